//! The wiring sheet for a spreadsheet: one row for each way.

use csv::{Terminator, WriterBuilder};

use super::text::{colours, remarks};
use super::{Join, Way, Wiring};
use crate::csv::harmless;
use crate::number::Number;

/// Writes a sheet as comma-separated values: one row for each way of each join, what the
/// ways of a join share again in each; what is not said or not known is empty, and the
/// last column says why a join leads nowhere.
pub fn csv(wiring: &Wiring) -> String {
    let mut writer =
        WriterBuilder::new().terminator(Terminator::Any(b'\n')).from_writer(Vec::new());
    let lengths = wiring.joins.iter().find_map(|join| join.length.as_ref());
    let unit = lengths.map_or("mm", |length| length.0.unit().text());
    // Writing to memory does not fail, and every row has the same columns.
    let _ = writer.write_record(heads(unit));
    for join in &wiring.joins {
        for way in &join.ways {
            let _ = writer.write_record(row(join, Some(way), lengths));
        }
        if join.ways.is_empty() {
            let _ = writer.write_record(row(join, None, lengths));
        }
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

/// How many columns there are.
const COLUMNS: usize = 19;

fn heads(length: &str) -> [String; COLUMNS] {
    [
        "join".to_owned(),
        "carries".to_owned(),
        "from".to_owned(),
        "from socket".to_owned(),
        "to".to_owned(),
        "to socket".to_owned(),
        "way".to_owned(),
        "leads in the order of the pins".to_owned(),
        "plug".to_owned(),
        "plug has".to_owned(),
        "plug kept".to_owned(),
        "plug turned".to_owned(),
        "gauge".to_owned(),
        format!("one way ({length})"),
        format!("extended ({length})"),
        "photograph".to_owned(),
        "photographed".to_owned(),
        "line".to_owned(),
        "note".to_owned(),
    ]
}

fn row(join: &Join, way: Option<&Way>, unit: Option<&Number>) -> [String; COLUMNS] {
    let of =
        |words: Option<&String>| words.map_or(String::new(), |words| harmless(words));
    let length = |number: Option<&Number>| {
        let unit = unit.map(|unit| unit.0.unit());
        let number = number.and_then(|number| number.0.in_unit(unit?)).map(Number);
        number.map_or(String::new(), |one| one.value().to_string())
    };
    let plug = join.plug.as_ref();
    let photo = join.photo.as_ref();
    let line = way.map_or(&join.line, |way| &way.line).as_ref();
    let line = line.map_or(String::new(), |line| line.line.to_string());
    [
        harmless(&join.name),
        way.map_or(String::new(), |way| way.carries.clone()),
        of(way.map(|way| &way.from.thing)),
        of(way.and_then(|way| way.from.socket.as_ref())),
        of(way.map(|way| &way.to.thing)),
        of(way.and_then(|way| way.to.socket.as_ref())),
        way.map_or(String::new(), remarks),
        harmless(&colours(join)),
        of(plug.and_then(|plug| plug.family.as_ref())),
        of(plug.and_then(|plug| plug.gender.as_ref())),
        of(plug.and_then(|plug| plug.kept.as_ref())),
        of(plug.and_then(|plug| plug.turned.as_ref())),
        join.gauge.as_ref().map_or(String::new(), |gauge| gauge.0.to_string()),
        length(join.length.as_ref()),
        length(join.extended.as_ref()),
        of(photo.and_then(|photo| photo.file.as_ref())),
        of(photo.and_then(|photo| photo.date.as_ref())),
        line,
        join.not_said.as_ref().map_or(String::new(), |one| harmless(&one.why)),
    ]
}
