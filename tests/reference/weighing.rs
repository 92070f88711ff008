//! Weighings and changes of equipment, from the text of a spec to mass and balance, in
//! the units of the source.

use trimsheet_facts::model::quantity::{Dimension, Quantity, Unit};
use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::{Facts, What};

use crate::rows::{Row, numbers, row};

/// For sums of numbers that are printed exactly.
const EXACT: f64 = 1e-6;

/// What the records of a spec come to for a loadout, in these units.
struct Found {
    mass: f64,
    moment: f64,
    at: f64,
}

fn found(spec: &str, loadout: &str, mass: &str, length: &str) -> Found {
    let mut sources = Sources::default();
    let file = sources.add("test.trim", spec);
    let tree = syntax::parse(file, spec);
    let (build, findings) =
        resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
    let said: Vec<&str> = findings.iter().map(|one| one.headline.as_str()).collect();
    assert!(said.is_empty(), "{said:?}\n{spec}");
    let facts = Facts::new(build, Stage::Balanced);
    let loadouts = facts.of(&facts.whole(), "loadouts").unwrap();
    let What::List(all) = loadouts.what else { panic!("a list was expected") };
    let loadout = all.iter().find(|one| one.name == loadout).unwrap();
    let record = facts.of(loadout, "as_weighed").unwrap_or_else(|why| panic!("{why}"));
    let unit = |text: &str| Unit::read(text).unwrap();
    let value = |name: &str, text: &str| {
        record.field(name).unwrap().quantity().unwrap().value_in(&unit(text)).unwrap()
    };
    let (total, at) = (value("mass", mass), value("x", length));
    let What::List(steps) = &record.field("steps").unwrap().what else {
        panic!("a list was expected")
    };
    let moment = |step: &trimsheet_facts::Known| {
        let moment: &Quantity = step.field("moment").unwrap().quantity().unwrap();
        assert_eq!(moment.dimension(), Dimension::MOMENT);
        moment.si()
    };
    let moments: f64 = steps.iter().map(moment).sum();
    let moment = moments / (unit(mass).to_si(1.0) * unit(length).to_si(1.0));
    Found { mass: total, moment, at }
}

/// A station as a spec writes it.
fn place(station: f64, unit: &str) -> String {
    let side = if station < 0.0 { "ahead" } else { "aft" };
    format!("{} {unit} {side}", station.abs())
}

/// A spec with a reading on each point.
fn on_points(points: &[(f64, f64)], mass: &str, length: &str) -> String {
    let lines = points.iter().map(|(reading, station)| {
        let at = place(*station, length);
        format!("    reading {reading} {mass} at {at} [weighed]\n")
    });
    let lines: String = lines.collect();
    format!("loadout all\nweighed all 2026-03-01\n{lines}    level\n")
}

/// A spec with one end at rest and the other on a hook.
fn on_a_hook(whole: f64, hook: (f64, f64), rest: f64) -> String {
    format!(
        "loadout all
balanced all 2026-03-01
    mass   {whole} lb [weighed]
    rests  at {} [measured]
    hangs  {} lb [weighed] at {} [measured]
    level
",
        place(rest, "in"),
        hook.0,
        place(hook.1, "in"),
    )
}

/// The number among the inputs after `NAME=`.
fn named(row: &Row, name: &str) -> f64 {
    let mut parts = row.text("inputs").split([',', ';']);
    let part = parts.find_map(|part| part.trim().strip_prefix(&format!("{name}=")));
    numbers(part.unwrap_or_else(|| panic!("{name} is missing")))[0]
}

/// One small wheel at a station, and the rest of the whole on the main wheels; and the
/// same with the main wheels as the rest and the small one on a hook.
fn assert_two_points(id: &str, small: (&str, f64), main: f64) {
    let row = row(id);
    let (reading, whole) = (named(&row, small.0), named(&row, "W"));
    let points = on_points(&[(reading, small.1), (whole - reading, main)], "lb", "in");
    let hook = on_a_hook(whole, (reading, small.1), main);
    for spec in [points, hook] {
        let found = found(&spec, "all", "lb", "in");
        row.assert("weight", found.mass, whole, EXACT);
        row.assert("balance", found.at, row.numbers("expected")[0], row.tolerance());
    }
}

/// FAA-H-8083-1, chapters 3 and 10. Inputs and result read.
#[test]
fn reference_wb_05_a_spec_of_two_points_from_the_main_wheels() {
    assert_two_points("WB-05", ("F", named(&row("WB-05"), "L")), 0.0);
}

/// FAA-H-8083-1, chapter 3. Weights read with WB-05; the datum and the printed result
/// from memory; recomputed.
#[test]
fn reference_wb_06_a_spec_of_a_nosewheel_with_the_datum_ahead() {
    let datum = named(&row("WB-06"), "D");
    assert_two_points("WB-06", ("F", datum - named(&row("WB-06"), "L")), datum);
}

/// FAA-H-8083-1, chapter 3. From memory; recomputed.
#[test]
fn reference_wb_08_a_spec_of_a_tailwheel_with_the_datum_ahead() {
    let datum = named(&row("WB-08"), "D");
    assert_two_points("WB-08", ("R", datum + named(&row("WB-08"), "L")), datum);
}

/// FAA-H-8083-1, chapter 3. From memory; recomputed.
#[test]
fn reference_wb_09_a_spec_of_a_tailwheel_with_the_datum_behind() {
    let datum = -named(&row("WB-09"), "D");
    assert_two_points("WB-09", ("R", datum + named(&row("WB-09"), "L")), datum);
}

/// European ATPL question bank. Read.
#[test]
fn reference_wb_20_a_spec_of_three_points_in_kilograms_and_inches() {
    let row = row("WB-20");
    let spec = on_points(&row.masses_at_stations(), "kg", "in");
    let found = found(&spec, "all", "kg", "in");
    let expected = row.numbers("expected");
    row.assert("mass", found.mass, expected[0], EXACT);
    row.assert("balance", found.at, expected[1], row.tolerance());
}

/// A question whose answer is not shown. Inputs read; recomputed.
#[test]
fn reference_wb_21_a_spec_of_three_points_in_pounds() {
    let row = row("WB-21");
    let spec = on_points(&row.masses_at_stations(), "lb", "in");
    let found = found(&spec, "all", "lb", "in");
    row.assert("balance", found.at, row.numbers("expected")[0], row.tolerance());
}

/// A spec whose records are of `before`, and whose `after` has the changes made.
fn changed(mass: f64, at: f64, changes: &[(f64, f64)]) -> String {
    let (mut parts, mut with, mut without) =
        (String::new(), String::new(), String::new());
    for (number, (change, station)) in changes.iter().enumerate() {
        parts += &format!(
            "part p{number}: mass {} lb [weighed]; at {} [measured]; optional\n",
            change.abs(),
            place(*station, "in")
        );
        let list = if *change < 0.0 { &mut without } else { &mut with };
        *list += &format!(" p{number}");
    }
    // What the row takes away was aboard before.
    format!(
        "{parts}loadout before: with{without}; without{with}
loadout after: with{with}; without{without}
weighed before 2026-03-01: mass {mass} lb [weighed]
balanced before 2026-03-01: at {} [measured]; level
",
        place(at, "in")
    )
}

/// FAA mechanic's test question. Read.
#[test]
fn reference_wb_17_a_spec_of_a_change_of_equipment() {
    let row = row("WB-17");
    let [mass, moment] = row.numbers("inputs")[..2] else { panic!("other inputs") };
    let spec = changed(mass, moment / mass, &row.masses_at_stations());
    let found = found(&spec, "after", "lb", "in");
    let expected = row.numbers("expected");
    row.assert("weight", found.mass, expected[0], EXACT);
    row.assert("moment", found.moment, expected[1], 1e-3);
    row.assert("balance point", found.at, expected[2], row.tolerance());
    row.assert("shift", found.at - moment / mass, expected[3], row.tolerance());
}

/// FAA mechanic's test question. Inputs and totals read; the quotient recomputed.
#[test]
fn reference_wb_19_a_spec_of_a_change_of_equipment() {
    let row = row("WB-19");
    let all = row.masses_at_stations();
    let (mass, at) = all[0];
    let spec = changed(mass, at, &all[1..]);
    let found = found(&spec, "after", "lb", "in");
    let expected = row.numbers("expected");
    row.assert("weight", found.mass, expected[0], EXACT);
    row.assert("moment", found.moment, expected[1], 1e-3);
    row.assert("balance point", found.at, expected[2], row.tolerance());
}
