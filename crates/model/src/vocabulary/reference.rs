//! The published reference of the language, made from the table.
//!
//! Whatever the table says is not written a second time: words, what follows them,
//! units and assumed spreads come from where reading takes them. Only what no table
//! holds stands as prose in `prose`. The page is a pure function of the program and of
//! the text of the grammar, so that a test can tell whether the file is stale.

mod prose;

use trimsheet_quantity::{Axis, Dimension, Side, UNITS};

use super::table::rows;
use super::{Need, Row, SOURCE, Slot, Takes, facts};
use crate::reading::READINGS;
use crate::spread::ASSUMED;

/// The text of the reference, in Markdown.
///
/// `grammar` is the text of `grammar/trimsheet.pest`, whose rules it quotes.
///
/// # Example
/// ```
/// let page = trimsheet_model::vocabulary::reference::page("line = { ANY* }");
/// assert!(page.contains("line = { ANY* }"));
/// assert!(page.contains("## Entries and their facts"));
/// ```
pub fn page(grammar: &str) -> String {
    let mut page = String::from(prose::START);
    page += &format!("\n```pest\n{}\n```\n", rules(grammar));
    page += prose::VALUES;
    page += &units();
    page += &sides();
    page += prose::ENTRIES;
    for row in rows().filter(|row| row.opens_entry()) {
        page += &entry(row);
    }
    page += &sources();
    page += prose::DECISIONS;
    page += &readings();
    page
}

/// The rules of the grammar with what is said about each, but not what is said of all.
fn rules(grammar: &str) -> String {
    let lines = grammar.lines().filter(|line| !line.starts_with("//!"));
    let lines = lines.map(|line| match line.strip_prefix("///") {
        Some(comment) => format!("//{comment}"),
        None => line.to_owned(),
    });
    lines.collect::<Vec<_>>().join("\n").trim().to_owned()
}

/// One row of a table; a bar in a cell would end it.
fn cells(cells: &[String]) -> String {
    let cells: Vec<String> = cells.iter().map(|cell| cell.replace('|', "\\|")).collect();
    format!("| {} |\n", cells.join(" | "))
}

/// A table in Markdown, with an empty line before it.
pub fn table(heads: &[&str], rows: impl IntoIterator<Item = Vec<String>>) -> String {
    let heads: Vec<String> = heads.iter().map(|head| (*head).to_owned()).collect();
    let mut out = format!("\n{}", cells(&heads));
    out += &format!("|{}\n", " --- |".repeat(heads.len()));
    for row in rows {
        out += &cells(&row);
    }
    out
}

/// A text as code in Markdown.
pub fn code(text: &str) -> String {
    format!("`{text}`")
}

fn units() -> String {
    let rows = UNITS.iter().map(|unit| {
        let also: Vec<String> = unit.aliases.iter().map(|alias| code(alias)).collect();
        let measures = unit.dimension.says();
        vec![code(unit.word), also.join(" "), unit.says.into(), measures]
    });
    prose::UNITS.to_owned() + &table(&["unit", "also", "name", "measures"], rows)
}

fn sides() -> String {
    let rows = Side::ALL.map(|side| {
        vec![code(side.word()), side.axis().says().into(), prose::side(side).into()]
    });
    prose::SIDES.to_owned() + &table(&["side", "makes", "goes"], rows)
}

fn entry(row: &Row) -> String {
    let mut out = format!("\n### `{}`\n\n{}\n\n", row.word, row.says);
    out += &format!("Form: {}\n\n```trim\n{}\n```\n", code(&form(row)), row.example);
    let rows = facts(row.word).map(|fact| {
        let kinds = fact.kinds(row.word);
        let of = match kinds.is_empty() {
            true => String::new(),
            false => format!(" Of kind {} only.", kinds.join(", ")),
        };
        let often = if fact.often { " May be said more than once." } else { "" };
        let private =
            if fact.private { " Private: a copy for others leaves it out." } else { "" };
        let since = fact.since.map_or("", crate::Stage::word);
        vec![
            code(&form(fact)),
            format!("{}{of}{often}{private}", fact.says),
            code(fact.example),
            since.into(),
        ]
    });
    let rows: Vec<Vec<String>> = rows.collect();
    if rows.is_empty() {
        return out;
    }
    out + &table(&["fact", "what it says", "example", "wanted from"], rows)
}

fn sources() -> String {
    let rows = ASSUMED.iter().map(|assumed| {
        let row = super::source(assumed.source);
        let (form, says) = row.map_or((String::new(), ""), |row| (form(row), row.says));
        vec![
            code(&format!("[{form}]")),
            says.into(),
            format!("{} g", assumed.mass_kilograms * 1000.0),
            format!("{} mm", assumed.length_metres * 1000.0),
            format!("{} %", (assumed.share * 100.0).round()),
        ]
    });
    let heads = [
        "source",
        "what it means",
        "masses, at least",
        "lengths",
        "all else, and masses",
    ];
    prose::SOURCES.to_owned() + &table(&heads, rows)
}

fn readings() -> String {
    let rows = READINGS.iter().map(|one| vec![code(one.id), one.says.into()]);
    prose::READINGS.to_owned() + &table(&["finding", "what is wrong"], rows)
}

/// How a row is written: what stands in capitals is replaced, what stands in brackets
/// may be left out.
fn form(row: &Row) -> String {
    let mut parts = vec![row.word.to_owned()];
    parts.extend(row.slots.iter().enumerate().map(|(at, slot)| slot_form(slot, at == 0)));
    let form = parts.join("  ");
    if row.within.contains(&SOURCE) { form.replace("  ", " ") } else { form }
}

fn slot_form(slot: &Slot, is_first: bool) -> String {
    let value = takes(slot.takes);
    let value = if slot.led { format!("{} {value}", slot.name) } else { value };
    match slot.need {
        Need::Must => value,
        Need::May => format!("[{value}]"),
        Need::Many if is_first => format!("{value} …"),
        Need::Many => format!("[{value} …]"),
    }
}

fn takes(takes: Takes) -> String {
    match takes {
        Takes::Quantity([]) => "QUANTITY".into(),
        Takes::Quantity(of) => any_capitals(of),
        Takes::Sided(of, axes) => format!("{} {}", any_capitals(of), sides_on(axes)),
        Takes::Range(of) => format!("{0}..{0}", capitals(of)),
        Takes::SidedRange(of, axes) => {
            format!("{0}..{0} {1}", capitals(of), sides_on(axes))
        }
        Takes::Place => "PLACE".into(),
        Takes::Size => "SIZE".into(),
        Takes::Load => "CURRENT steady|working|stalled|for TIME".into(),
        Takes::Count => "COUNT".into(),
        Takes::Name => "NAME".into(),
        Takes::Reference(entries) => {
            entries.iter().map(|one| one.to_uppercase()).collect::<Vec<_>>().join("|")
        }
        Takes::Rule => "GROUP/RULE".into(),
        Takes::Word(words) => words.join("|"),
        Takes::Text => "\"TEXT\"".into(),
        Takes::Date => "DATE".into(),
        Takes::Arrow => "NAME -> NAME".into(),
    }
}

fn any_capitals(of: &[Dimension]) -> String {
    of.iter().map(|one| capitals(*one)).collect::<Vec<_>>().join("|")
}

fn sides_on(axes: &[Axis]) -> String {
    let sides = Side::ALL.iter().filter(|side| axes.contains(&side.axis()));
    sides.map(|side| side.word()).collect::<Vec<_>>().join("|")
}

/// The dimension that a form calls so.
pub(super) fn dimension_in_capitals(word: &str) -> Option<Dimension> {
    super::declared::known_dimensions().find(|dimension| capitals(*dimension) == word)
}

/// What a dimension is called, as it stands in a form: `VOLTAGE-PER-CELL`.
fn capitals(of: Dimension) -> String {
    let says = of.says();
    let noun = says.split_once(' ').map_or(says.as_str(), |(_, noun)| noun);
    noun.to_uppercase().replace(' ', "-")
}
