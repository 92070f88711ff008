//! The bill of materials: every part and every pack, how many, how heavy, and from which
//! shelf.

use csv::{Terminator, WriterBuilder};
use trimsheet_facts::Facts;
use trimsheet_facts::model::quantity::{Quantity, Unit};
use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Date, Entry, Value};

use super::{FOOT, above};
use crate::cards::{document, said};
use crate::csv::harmless;
use crate::make::{count, source};
use crate::number::Number;
use crate::page::Page;
use crate::sheet::{Line, Source};

/// A bill of materials.
#[derive(Clone, Debug, PartialEq)]
pub struct Bill {
    /// The aircraft and its revision.
    pub model: String,
    /// The spec, as its path is shown, and the day of printing if somebody says it.
    pub made: String,
    /// One for each part or pair of parts and for each pack, in the order of the spec.
    pub rows: Vec<Row>,
}

/// One sort of thing.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its name.
    pub name: String,
    /// Its kind; of a pack, `pack`.
    pub kind: Option<String>,
    /// What people call it, if the spec says it.
    pub title: Option<String>,
    /// How many there are: two of a pair, or the `count` of the spec.
    pub count: u32,
    /// Whether it is not always aboard.
    pub is_optional: bool,
    /// What all of it weighs, if that is known.
    pub mass: Option<Number>,
    /// Where the mass comes from.
    pub from: Source,
    /// What it is like: an entry of a shelf, or another.
    pub like: Option<String>,
    /// Where it stands.
    pub line: Line,
}

/// Makes the bill of an aircraft.
pub fn bill(facts: &Facts, sources: &Sources, printed: Option<Date>) -> Bill {
    let (model, made) = above(facts, sources, printed);
    let parts = facts.of_word("part").chain(facts.of_word("pack"));
    let mut rows: Vec<Row> = Vec::new();
    for (_, entry) in parts {
        let own = row(entry, sources);
        let twin = rows.last_mut().filter(|known| {
            entry.half.is_some() && known.name == own.name && known.from == own.from
        });
        match twin {
            Some(twin) => {
                twin.count = twin.count.saturating_add(own.count);
                twin.mass = sum(twin.mass.as_ref(), own.mass.as_ref());
            }
            None => rows.push(own),
        }
    }
    Bill { model, made, rows }
}

/// Both masses, said by one line; not known where one is not.
fn sum(one: Option<&Number>, other: Option<&Number>) -> Option<Number> {
    let (one, other) = (one?, other?);
    let spread = |number: &Number| number.0.spread_si().unwrap_or(0.0);
    let both = Quantity::from_si(one.0.si() + other.0.si(), one.0.unit());
    Some(Number(both.with_spread_si(spread(one) + spread(other))))
}

fn row(entry: &Entry, sources: &Sources) -> Row {
    let mass = entry.fact("mass");
    let value = mass.and_then(|fact| fact.slot("mass"));
    let together = mass.and_then(|fact| fact.slot("counted")).and_then(Value::text)
        == Some("together");
    let share = if together && entry.half.is_some() { 0.5 } else { 1.0 };
    let quantity = value.and_then(Value::quantity).map(|mass| mass.scaled(share));
    let is_about = value.is_some_and(|value| value.about);
    let from = value.and_then(|value| value.source.as_ref()).map(|source| source.word);
    let is_unknown = quantity.is_none();
    let name = match (entry.half, entry.name.rsplit_once('.')) {
        (Some(_), Some((pair, _))) => pair.to_owned(),
        (_, _) => entry.name.clone(),
    };
    let text = |fact: &str| entry.fact(fact)?.first()?.text().map(str::to_owned);
    let is_pack = entry.row.word == "pack";
    let span = entry.span();
    Row {
        name,
        kind: if is_pack {
            Some("pack".to_owned())
        } else {
            entry.kind().map(str::to_owned)
        },
        title: text("title"),
        count: count(Some(entry)),
        is_optional: entry.says("optional"),
        mass: quantity.map(Number),
        from: if is_unknown { Source::Unstated } else { source(from, is_about) },
        like: entry.head.slot("like").and_then(Value::text).map(str::to_owned),
        line: Line {
            file: sources.path(span.file).to_owned(),
            line: sources.place(span).line,
        },
    }
}

/// Writes a bill within so many columns; fewer than 60 are taken as 60, more than 100 as
/// 100.
pub fn text(bill: &Bill, columns: usize) -> String {
    let mut page = Page::new(columns);
    page.say(&format!("{}: bill of materials", bill.model));
    page.say(&bill.made);
    page.rule("parts and packs");
    let rows: Vec<Vec<String>> =
        bill.rows.iter().map(|row| cells(row).to_vec()).collect();
    page.list(&HEADS, &rows);
    page.gap();
    page.say(FOOT);
    page.out
}

/// What stands above the columns for people.
const HEADS: [&str; 7] = ["name", "count", "kind", "mass, all", "from", "like", "title"];

/// What stands in them.
fn cells(row: &Row) -> [String; 7] {
    [
        row.name.clone(),
        row.count.to_string(),
        kind(row),
        row.mass.as_ref().map_or("?".to_owned(), ToString::to_string),
        row.from.word().to_owned(),
        row.like.clone().unwrap_or_default(),
        row.title.clone().unwrap_or_default(),
    ]
}

/// The kind, and whether it is always aboard.
fn kind(row: &Row) -> String {
    let kind = row.kind.as_deref().unwrap_or("?");
    if row.is_optional { format!("{kind}, optional") } else { kind.to_owned() }
}

/// Writes a bill as comma-separated values; what is not said or not known is empty.
pub fn csv(bill: &Bill) -> String {
    let mut writer =
        WriterBuilder::new().terminator(Terminator::Any(b'\n')).from_writer(Vec::new());
    // Writing to memory does not fail, and every row has the same columns.
    let _ = writer.write_record([
        "name",
        "count",
        "kind",
        "optional",
        "title",
        "mass of all (g)",
        "mass spread (g)",
        "mass from",
        "like",
        "file",
        "line",
    ]);
    let grams = Unit::read("g");
    for row in &bill.rows {
        let grams = grams.as_ref().and_then(|unit| row.mass.as_ref()?.0.in_unit(unit));
        let mass = grams.map(Number);
        let number =
            |number: Option<f64>| number.map_or(String::new(), |one| one.to_string());
        let cells = [
            harmless(&row.name),
            row.count.to_string(),
            row.kind.clone().unwrap_or_default(),
            if row.is_optional { "yes" } else { "no" }.to_owned(),
            harmless(row.title.as_deref().unwrap_or_default()),
            number(mass.as_ref().map(Number::value)),
            number(mass.as_ref().and_then(Number::spread)),
            row.from.word().to_owned(),
            harmless(row.like.as_deref().unwrap_or_default()),
            harmless(&row.line.file),
            row.line.line.to_string(),
        ];
        let _ = writer.write_record(&cells);
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

/// Writes a bill as one HTML document, a table on A4 whose heads stand on every sheet.
pub fn html(bill: &Bill) -> String {
    let cell = |text: &str| format!("<td>{}</td>", said(text));
    let row = |row: &Row| {
        let cells = cells(row);
        format!("<tr>{}</tr>\n", cells.iter().map(|one| cell(one)).collect::<String>())
    };
    let heads: String = HEADS.iter().map(|head| format!("<th>{head}</th>")).collect();
    let rows: String = bill.rows.iter().map(row).collect();
    let body = format!(
        "<h1>{}: bill of materials</h1>\n<p>{}</p>\n<table>\n<thead><tr>{heads}</tr></thead>\n\
         <tbody>\n{rows}</tbody>\n</table>\n<p>{FOOT}</p>\n",
        said(&bill.model),
        said(&bill.made)
    );
    document(&format!("{}: bill of materials", bill.model), STYLE, &body)
}

/// Black on white, and no row across two sheets.
const STYLE: &str = "@page { size: A4; margin: 15mm; }
body { font: 10pt/1.3 Arial, Helvetica, sans-serif; color: #000; background: #fff; }
h1 { font-size: 15pt; margin: 0; }
p { margin: 1mm 0 3mm; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; vertical-align: top; padding: 0.8mm 2mm 0.8mm 0; border-bottom: 0.2mm solid #000; }
tr { break-inside: avoid; }
";
