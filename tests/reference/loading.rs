//! Wing loadings and stall speeds.

use trimsheet_physics::loading::{
    SEA_LEVEL_DENSITY, load_factor, stall_speed, stall_speed_in_turn, wing_loading,
};
use trimsheet_quantity::{Dimension, STANDARD_GRAVITY, Unit};

use crate::rows::row;

fn assert_stall(id: &str) {
    let row = row(id);
    let [mass, area, lift_max, height, gravity] = row.numbers("inputs")[..] else {
        panic!("{id}: other inputs")
    };
    row.assert("height", height, 0.0, 0.0);
    row.assert("gravity", gravity, STANDARD_GRAVITY, 0.0);
    let [speed, weight, loading] = row.numbers("expected")[..] else {
        panic!("{id}: other results")
    };
    let share = row.tolerance() / 100.0;
    let found = stall_speed(mass, area, SEA_LEVEL_DENSITY, lift_max).unwrap();
    row.assert("stall speed in m/s", found, speed, share * speed);
    let found = wing_loading(mass, area).unwrap();
    row.assert("in N/m2", found * STANDARD_GRAVITY, weight, share * weight);
    let unit = Unit::read("g/dm2").unwrap();
    assert_eq!(unit.dimension(), Dimension::AREA_LOADING);
    row.assert("in g/dm2", unit.of_si(found), loading, share * loading);
}

/// V = sqrt(2 W/(ρ S CL)); own numbers, recomputed.
#[test]
fn reference_pf_04_stall_speed_and_wing_loading() {
    assert_stall("PF-04");
}

/// V = sqrt(2 W/(ρ S CL)); own numbers, recomputed.
#[test]
fn reference_pf_05_stall_speed_and_wing_loading() {
    assert_stall("PF-05");
}

/// V = sqrt(2 W/(ρ S CL)); own numbers, recomputed.
#[test]
fn reference_pf_07_stall_speed_and_wing_loading() {
    assert_stall("PF-07");
}

/// FAA-H-8083-25: n = 1/cos φ, Vs sqrt(n). Read.
#[test]
fn reference_pf_08_stall_speed_in_a_turn() {
    let row = row("PF-08");
    let [bank, level, steep] = row.numbers("inputs")[..] else { panic!("other inputs") };
    let [_, speed, factor] = row.numbers("expected")[..] else { panic!("other results") };
    let found = stall_speed_in_turn(level, bank.to_radians()).unwrap();
    row.assert("speed", found, speed, row.tolerance());
    // The factor is printed with four decimals.
    let found = load_factor(steep.to_radians()).unwrap().sqrt();
    row.assert("factor", found, factor, 0.000_05);
}
