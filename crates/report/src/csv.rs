//! A sheet for a spreadsheet: one row for each thing aboard of each loadout, and totals.
//!
//! The first row names the columns, with their units; numbers are plain, with a point and
//! a minus. Places and moments are positive aft, right and up. A cell is empty where
//! something is not known or not said; `note` says what and why.
//!
//! | `row` | meaning |
//! | --- | --- |
//! | `item` | one thing aboard; a pair is one row with the mass of both |
//! | `total` | the sum; its masses and places are empty where it cannot be said |
//! | `foremost`, `aftmost` | the ends, where the loadout leaves something open |
//! | `as weighed` | what a scale and a stand said |
//!
//! A text that a spreadsheet would take for a formula begins with an apostrophe.

use csv::{Terminator, WriterBuilder};

use crate::number::Number;
use crate::sheet::{Corner, Item, Line, Loadout, Sheet, Total};

/// Writes a sheet as comma-separated values, in the form that the
/// [module](mod@crate::csv) describes.
pub fn csv(sheet: &Sheet) -> String {
    let mut writer =
        WriterBuilder::new().terminator(Terminator::Any(b'\n')).from_writer(Vec::new());
    let rows = sheet.loadouts.iter().flat_map(rows);
    for row in std::iter::once(heads(sheet)).chain(rows) {
        // Writing to memory does not fail, and every row has the same columns.
        let _ = writer.write_record(&row);
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

/// How many columns there are.
const COLUMNS: usize = 16;

type Row = [String; COLUMNS];

fn heads(sheet: &Sheet) -> Row {
    let (mass, length) = (&sheet.units.mass, &sheet.units.length);
    [
        "loadout".to_owned(),
        "row".to_owned(),
        "name".to_owned(),
        "count".to_owned(),
        format!("mass ({mass})"),
        format!("mass spread ({mass})"),
        "mass from".to_owned(),
        format!("place ({length} aft)"),
        format!("place spread ({length})"),
        format!("side ({length} right)"),
        format!("out on both sides ({length})"),
        format!("height ({length} up)"),
        format!("moment ({} aft)", sheet.units.moment),
        "file".to_owned(),
        "line".to_owned(),
        "note".to_owned(),
    ]
}

fn rows(loadout: &Loadout) -> Vec<Row> {
    let mut rows: Vec<Row> =
        loadout.items.iter().map(|item| item_row(loadout, item)).collect();
    match &loadout.total {
        Some(total) => rows.push(total_row(loadout, "total", total, "")),
        None => rows.push(unsaid_row(loadout)),
    }
    let ends = ["foremost", "aftmost"].into_iter().zip(&loadout.corners);
    rows.extend(
        ends.map(|(row, Corner { says, total })| total_row(loadout, row, total, says)),
    );
    if let Some(weighed) = &loadout.as_weighed {
        let mut row = blank(loadout, "as weighed");
        fill(&mut row, [weighed.mass.as_ref(), weighed.x.as_ref()]);
        let base = weighed.base.as_deref().map(|base| format!("based on {base}"));
        set(&mut row, 15, &base.unwrap_or_default());
        rows.push(row);
    }
    rows
}

fn item_row(loadout: &Loadout, item: &Item) -> Row {
    let mut row = blank(loadout, "item");
    set(&mut row, 2, &item.name);
    set(&mut row, 3, &item.count.to_string());
    fill(&mut row, [item.mass.as_ref(), item.x.as_ref()]);
    set(&mut row, 6, item.source.word());
    let side = if item.is_pair { 10 } else { 9 };
    put(&mut row, side, item.y.as_ref().map(Number::value));
    put(&mut row, 11, item.z.as_ref().map(Number::value));
    put(&mut row, 12, item.moment.as_ref().map(Number::value));
    let Some(Line { file, line }) = &item.line else { return row };
    set(&mut row, 13, file);
    set(&mut row, 14, &line.to_string());
    let slide = item
        .slide
        .as_ref()
        .map(|(low, high)| format!("its place is open, from {} to {}", low.0, high.0));
    let open = item.is_open.then(|| "with or without it is open".to_owned());
    let notes: Vec<String> =
        item.not_known.clone().into_iter().chain(slide).chain(open).collect();
    set(&mut row, 15, &notes.join("; "));
    row
}

fn total_row(loadout: &Loadout, kind: &str, total: &Total, note: &str) -> Row {
    let mut row = blank(loadout, kind);
    fill(&mut row, [Some(&total.mass), Some(&total.x)]);
    put(&mut row, 9, total.y.as_ref().map(Number::value));
    put(&mut row, 11, total.z.as_ref().map(Number::value));
    put(&mut row, 12, Some(total.moment.value()));
    set(&mut row, 15, note);
    row
}

/// The total where there is none, and why.
fn unsaid_row(loadout: &Loadout) -> Row {
    let mut row = blank(loadout, "total");
    let why = loadout.not_said.iter().filter(|one| one.line.is_some());
    let open = loadout.open.iter().map(|open| format!("open: {open}"));
    let why = why.map(|one| format!("cannot say: {}", one.why));
    let notes: Vec<String> = open.chain(why).collect();
    set(&mut row, 15, &notes.join("; "));
    row
}

fn blank(loadout: &Loadout, kind: &str) -> Row {
    let mut row = Row::default();
    set(&mut row, 0, &loadout.name);
    set(&mut row, 1, kind);
    row
}

/// The mass and the place, each with its spread.
fn fill(row: &mut Row, [mass, x]: [Option<&Number>; 2]) {
    put(row, 4, mass.map(Number::value));
    put(row, 5, mass.and_then(Number::spread));
    put(row, 7, x.map(Number::value));
    put(row, 8, x.and_then(Number::spread));
}

fn put(row: &mut Row, column: usize, value: Option<f64>) {
    if let (Some(value), Some(cell)) = (value, row.get_mut(column)) {
        *cell = value.to_string();
    }
}

fn set(row: &mut Row, column: usize, text: &str) {
    if let Some(cell) = row.get_mut(column) {
        *cell = harmless(text);
    }
}

/// The text, which no spreadsheet takes for a formula: those begin with one of these
/// signs, and some programs look past white space in front of them.
pub(crate) fn harmless(text: &str) -> String {
    let first = text.trim_start().chars().next();
    let begins_with_control = text.starts_with(['\t', '\r', '\n']);
    if begins_with_control || matches!(first, Some('=' | '+' | '-' | '@')) {
        return format!("'{text}");
    }
    text.to_owned()
}

#[cfg(test)]
mod tests {
    use super::harmless;

    #[test]
    fn what_would_be_a_formula_is_text() {
        for text in ["=1+1", "+1", "-1", "@SUM(A1)", " =1", "\t=1", "\r=1", "\u{a0}=1"] {
            assert_eq!(harmless(text), format!("'{text}"));
        }
        for text in ["servos", "2 of them", "a=b", ""] {
            assert_eq!(harmless(text), text);
        }
    }
}
