//! The debrief for a spreadsheet: a row for each figure, and for each sort of row left out.

use csv::{Terminator, WriterBuilder};

use super::{Debrief, Figure};
use crate::csv::harmless;
use crate::number::Number;

/// What stands at the head of each column; a spread is the bound of its number.
const COLUMNS: [&str; 9] = [
    "what",
    "planned",
    "planned spread",
    "flown",
    "flown spread",
    "difference",
    "difference spread",
    "unit",
    "note",
];

/// Writes a debrief as comma-separated values: figures first, then `rows used`, what was
/// left out with its count as flown and its sort as the note, what cannot be said, and
/// the line to write into the spec.
pub fn csv(debrief: &Debrief) -> String {
    let mut rows: Vec<[String; 9]> = debrief.figures.iter().map(figure).collect();
    let count = |what: &str, count: u64, note: &str| bare(what, count.to_string(), note);
    rows.push(count("rows", debrief.log.rows, ""));
    rows.push(count("rows used", debrief.log.used, ""));
    for sort in &debrief.log.left_out {
        let note = format!("{}: {}", sort.says, sort.first.join("; "));
        rows.push(count("rows left out", sort.count, &note));
    }
    rows.push(count("gaps", debrief.log.gap_count, ""));
    for not_said in &debrief.not_said {
        let note = format!("{}: {}", not_said.what, not_said.why);
        rows.push(bare("cannot say", String::new(), &note));
    }
    if let Some(offer) = &debrief.offer {
        let note = format!("{}: {}", offer.under, offer.says);
        rows.push(bare("to write into the spec", String::new(), &note));
    }
    let mut writer =
        WriterBuilder::new().terminator(Terminator::Any(b'\n')).from_writer(Vec::new());
    // Writing to memory does not fail, and every row has the same columns.
    let _ = writer.write_record(COLUMNS);
    for row in rows {
        let _ = writer.write_record(row);
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

fn figure(figure: &Figure) -> [String; 9] {
    let value = |number: &Option<Number>| {
        number.as_ref().map_or(String::new(), |number| number.value().to_string())
    };
    let spread = |number: &Option<Number>| {
        let spread = number.as_ref().and_then(|number| number.0.spread());
        spread.map_or(String::new(), |spread| spread.to_string())
    };
    let unit = figure.flown.as_ref().map_or("", |flown| flown.0.unit().text());
    [
        harmless(&figure.what),
        value(&figure.planned),
        spread(&figure.planned),
        figure.bare.map_or_else(|| value(&figure.flown), |bare| bare.to_string()),
        spread(&figure.flown),
        value(&figure.difference),
        spread(&figure.difference),
        unit.to_owned(),
        harmless(figure.note.as_deref().unwrap_or_default()),
    ]
}

/// A row without a unit: a count, or words alone.
fn bare(what: &str, flown: String, note: &str) -> [String; 9] {
    let none = String::new;
    let (what, note) = (harmless(what), harmless(note));
    [what, none(), none(), flown, none(), none(), none(), none(), note]
}
