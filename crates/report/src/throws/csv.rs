//! The throws card for a spreadsheet: one row for each surface, rate and way.

use csv::{Terminator, WriterBuilder};

use super::{Rate, Surface, Throws, Way};
use crate::csv::harmless;
use crate::number::Number;

/// Writes a card as comma-separated values; what does not apply or is not known is empty,
/// and the last column says why.
pub fn csv(throws: &Throws) -> String {
    let mut writer =
        WriterBuilder::new().terminator(Terminator::Any(b'\n')).from_writer(Vec::new());
    let ways =
        throws.surfaces.iter().flat_map(|one| &one.rates).flat_map(|one| &one.ways);
    let length = ways.map(|way| way.straight_up.0.unit().text()).next().unwrap_or("mm");
    // Writing to memory does not fail, and every row has the same columns.
    let _ = writer.write_record(heads(length));
    for surface in &throws.surfaces {
        for rate in &surface.rates {
            for way in &rate.ways {
                let _ = writer.write_record(row(surface, rate, way));
            }
        }
        if surface.rates.is_empty() {
            let mut cells: [String; COLUMNS] = Default::default();
            let [name, .., note] = &mut cells;
            *name = harmless(&surface.name);
            *note = harmless(&why(surface));
            let _ = writer.write_record(&cells);
        }
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

/// How many columns there are.
const COLUMNS: usize = 24;

fn heads(length: &str) -> [String; COLUMNS] {
    [
        "surface".to_owned(),
        "rate".to_owned(),
        "way".to_owned(),
        "at".to_owned(),
        "from".to_owned(),
        "read".to_owned(),
        format!("depth ({length})"),
        format!("straight up ({length})"),
        format!("edge to edge ({length})"),
        format!("upright rule ({length})"),
        "angle (deg)".to_owned(),
        format!("from flat ({length} up or right)"),
        "servo (deg)".to_owned(),
        "servo share (%)".to_owned(),
        "rod to arm (deg)".to_owned(),
        "rod to horn (deg)".to_owned(),
        "stopped".to_owned(),
        "pulse (us)".to_owned(),
        "pulse share (%)".to_owned(),
        "left found".to_owned(),
        "right found".to_owned(),
        "found in".to_owned(),
        "line".to_owned(),
        "note".to_owned(),
    ]
}

fn row(surface: &Surface, rate: &Rate, way: &Way) -> [String; COLUMNS] {
    let of = |number: Option<&Number>| {
        number.map_or(String::new(), |one| one.value().to_string())
    };
    let in_length = |number: &Number| {
        let number = number.0.in_unit(way.straight_up.0.unit()).map(Number);
        number.map_or(String::new(), |one| one.value().to_string())
    };
    let found = |half: &str| way.reached.iter().find(|one| one.half == half);
    let size = |half: &str| found(half).map(|one| one.found.magnitude());
    let servo = way.servo.as_ref();
    let pulse = way.pulse.as_ref();
    let unit = way.reached.first().map(|one| one.found.0.unit().text().to_owned());
    [
        harmless(&surface.name),
        harmless(&rate.name),
        way.way.clone(),
        rate.at.clone().unwrap_or_default(),
        rate.from.clone(),
        rate.read.clone(),
        in_length(&rate.depth),
        in_length(&way.straight_up),
        in_length(&way.edge_to_edge),
        in_length(&way.upright_rule),
        of(Some(&way.angle)),
        in_length(&way.height),
        of(servo.map(|turn| &turn.by)),
        of(servo.map(|turn| &turn.share)),
        of(servo.and_then(|turn| turn.rod_to_arm.as_ref())),
        of(servo.and_then(|turn| turn.rod_to_horn.as_ref())),
        servo.and_then(|turn| turn.stopped.clone()).unwrap_or_default(),
        of(pulse.map(|pulse| &pulse.length)),
        of(pulse.map(|pulse| &pulse.share)),
        of(size("left").as_ref()),
        of(size("right").as_ref()),
        unit.unwrap_or_default(),
        rate.line.as_ref().map_or(String::new(), |line| line.line.to_string()),
        harmless(&why(surface)),
    ]
}

/// What cannot be said of a surface, and why.
fn why(surface: &Surface) -> String {
    let all = surface.not_said.iter().map(|one| format!("{}: {}", one.what, one.why));
    all.collect::<Vec<_>>().join("; ")
}
