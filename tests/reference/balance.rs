//! Mass and balance: the worked examples of handbooks and question banks.

use trimsheet_physics::balance::{Item, Term, balance};
use trimsheet_physics::ballast::{
    ballast, change, distance_to_move, mass_to_move, station_of_addition, weighing,
};
use trimsheet_physics::loading::NEGLIGIBLE_SHIFT;
use trimsheet_physics::planform::{Rib, planform};

use crate::rows::row;

/// For sums of numbers that are printed exactly.
const EXACT: f64 = 1e-6;

/// Total, moment and balance point of a loading sheet, by the same function that
/// balances an aircraft.
fn assert_loading_sheet(id: &str) {
    let row = row(id);
    let term = |value: f64| Term { value, variable: 0, weight: 0.0 };
    let item = |(mass, station): (f64, f64)| Item {
        mass: term(mass),
        at: [term(station), term(0.0), term(0.0)],
        size: None,
    };
    let items: Vec<Item> = row.masses_at_stations().into_iter().map(item).collect();
    let found = balance(&items, &[0.0]).unwrap();
    let expected = row.numbers("expected");
    row.assert("weight", found.mass, expected[0], EXACT);
    // The sheet rounds the moment of each line to a whole number.
    let lines = f64::from(u32::try_from(items.len()).unwrap());
    row.assert("moment", found.moment[0], expected[1], 0.5 * lines);
    row.assert("balance point", found.at[0], *expected.last().unwrap(), row.tolerance());
}

/// FAA AC 43.13-1B, figure 10-10. Inputs and result read.
#[test]
fn reference_wb_01_most_forward_extreme() {
    assert_loading_sheet("WB-01");
}

/// FAA AC 43.13-1B, figure 10-13. Inputs and totals read; the balance point recomputed.
///
/// Erratum: the page prints 18.6 in, but 38466/2100 is 18.32.
#[test]
fn reference_wb_03_most_passengers() {
    assert_loading_sheet("WB-03");
    assert_eq!(row("WB-03").numbers("expected")[2..], [18.32]);
}

/// FAA AC 43.13-1B, figure 10-14. Inputs and result read.
#[test]
fn reference_wb_04_most_baggage() {
    assert_loading_sheet("WB-04");
}

/// The last number among the inputs after `NAME=`.
fn named(id: &str, name: &str) -> f64 {
    let row = row(id);
    let mut parts = row.text("inputs").split([',', ';']);
    let part = parts.find_map(|part| part.trim().strip_prefix(&format!("{name}=")));
    crate::rows::numbers(part.unwrap_or_else(|| panic!("{id}: no {name}")))[0]
}

/// One small wheel carrying `small` of the whole, the main wheels carrying the rest.
fn assert_weighing(id: &str, small: (&str, f64), main: f64) {
    let row = row(id);
    let (reading, whole) = (named(id, small.0), named(id, "W"));
    let found = weighing(&[(reading, small.1), (whole - reading, main)]).unwrap();
    row.assert("balance point", found.at, row.numbers("expected")[0], row.tolerance());
}

/// FAA-H-8083-1, chapters 3 and 10. Inputs and result read.
#[test]
fn reference_wb_05_from_the_main_wheels_of_a_nosewheel_type() {
    assert_weighing("WB-05", ("F", named("WB-05", "L")), 0.0);
}

/// FAA-H-8083-1, chapter 3. Weights read with WB-05; the datum and the printed result
/// from memory; recomputed.
#[test]
fn reference_wb_06_nosewheel_with_the_datum_ahead() {
    let datum = named("WB-06", "D");
    assert_weighing("WB-06", ("F", datum - named("WB-06", "L")), datum);
}

/// FAA-H-8083-1, chapter 3. From memory; recomputed.
#[test]
fn reference_wb_08_tailwheel_with_the_datum_ahead() {
    let datum = named("WB-08", "D");
    assert_weighing("WB-08", ("R", datum + named("WB-08", "L")), datum);
}

/// FAA-H-8083-1, chapter 3. From memory; recomputed.
#[test]
fn reference_wb_09_tailwheel_with_the_datum_behind() {
    let datum = -named("WB-09", "D");
    assert_weighing("WB-09", ("R", datum + named("WB-09", "L")), datum);
}

fn assert_ballast(id: &str) {
    let row = row(id);
    let [mass, at, target, station] = row.numbers("inputs")[..] else {
        panic!("{id}: other inputs")
    };
    let found = ballast(mass, at, target, station).unwrap();
    row.assert("ballast", found, row.numbers("expected")[0], row.tolerance());
}

/// FAA-H-8083-1, chapter 5. Weight and balance point read; limit, station and result
/// from memory; recomputed.
#[test]
fn reference_wb_10_permanent_ballast() {
    assert_ballast("WB-10");
}

/// FAA mechanic's test question, from a secondary source. Read.
#[test]
fn reference_wb_15_least_ballast_for_the_forward_limit() {
    assert_ballast("WB-15");
}

/// FAA-H-8083-1, figure 2-11. Balance points read; weights from memory.
#[test]
fn reference_wb_11_shift_of_a_weight() {
    let row = row("WB-11");
    let [total, moved, at, target] = row.numbers("inputs")[..] else {
        panic!("other inputs")
    };
    let found = distance_to_move(moved, total, at, target).unwrap();
    // The source gives the size; towards the lighter end is ahead here.
    row.assert("distance", -found, row.numbers("expected")[0], EXACT);
}

/// FAA-H-8083-25, chapter 10. Inputs and result read.
#[test]
fn reference_wb_13_weight_to_shift_to_the_aft_limit() {
    let row = row("WB-13");
    let [total, at, target, from, to] = row.numbers("inputs")[..] else {
        panic!("other inputs")
    };
    let found = mass_to_move(total, at, target, from, to).unwrap();
    row.assert("weight", found, row.numbers("expected")[0], EXACT);
}

/// European ATPL question bank, a secondary source. Read.
#[test]
fn reference_wb_16_arm_of_an_added_mass() {
    let row = row("WB-16");
    let [mass, before, added, after] = row.numbers("inputs")[..] else {
        panic!("other inputs")
    };
    let found = station_of_addition(mass, before, added, after).unwrap();
    row.assert("arm", found, row.numbers("expected")[0], row.tolerance());
}

/// FAA mechanic's test question. Read.
#[test]
fn reference_wb_17_change_of_equipment() {
    let row = row("WB-17");
    let [mass, moment] = row.numbers("inputs")[..2] else { panic!("other inputs") };
    let found = change(mass, moment, &row.masses_at_stations()).unwrap();
    let expected = row.numbers("expected");
    row.assert("weight", found.mass, expected[0], EXACT);
    row.assert("moment", found.moment, expected[1], EXACT);
    row.assert("balance point", found.at, expected[2], row.tolerance());
    row.assert("shift", found.at - moment / mass, expected[3], row.tolerance());
}

/// FAA mechanic's test question. Inputs and totals read; the quotient recomputed.
#[test]
fn reference_wb_19_change_of_equipment() {
    let row = row("WB-19");
    let found = weighing(&row.masses_at_stations()).unwrap();
    let expected = row.numbers("expected");
    row.assert("weight", found.mass, expected[0], EXACT);
    row.assert("moment", found.moment, expected[1], EXACT);
    row.assert("balance point", found.at, expected[2], row.tolerance());
}

/// European ATPL question bank. Read.
#[test]
fn reference_wb_20_three_point_weighing() {
    let row = row("WB-20");
    let found = weighing(&row.masses_at_stations()).unwrap();
    let expected = row.numbers("expected");
    row.assert("mass", found.mass, expected[0], EXACT);
    row.assert("balance point", found.at, expected[1], row.tolerance());
}

/// A question whose answer is not shown. Inputs read; recomputed.
#[test]
fn reference_wb_21_three_point_weighing() {
    let row = row("WB-21");
    let found = weighing(&row.masses_at_stations()).unwrap();
    row.assert("balance point", found.at, row.numbers("expected")[0], row.tolerance());
}

/// A question whose answer is not shown. Inputs read; recomputed.
#[test]
fn reference_wb_22_balance_point_as_a_share_of_the_mean_chord() {
    let row = row("WB-22");
    let [station, from, to] = row.numbers("inputs")[..] else { panic!("other inputs") };
    let rib = Rib { out: 0.0, chord: to - from, leading_edge: from };
    let wing = planform(&[rib, Rib { out: 1.0, ..rib }]).unwrap();
    let percent = 100.0 * wing.share(station);
    row.assert("share", percent, row.numbers("expected")[0], row.tolerance());
}

/// FAA AC 43.13-1B, paragraph 10-2c. Read.
#[test]
fn reference_wb_24_a_change_that_is_negligible() {
    let row = row("WB-24");
    let percent = 100.0 * NEGLIGIBLE_SHIFT;
    row.assert("share", percent, row.numbers("expected")[0], 1e-12);
}
