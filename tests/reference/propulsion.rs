//! Propellers against one that was measured and published, and against plain geometry.

use std::f64::consts::TAU;

use trimsheet_physics::propeller::{
    Coefficients, ESTIMATE_SPREAD, Propeller, figure_of_merit, pitch_speed, tip_speed,
};
use trimsheet_quantity::Unit;

use crate::rows::{Row, numbers, row, table};

fn inches(number: f64) -> f64 {
    Unit::read("in").unwrap().to_si(number)
}

/// Diameter in m, rev/s, CT, CP and density of PR-01.
fn inputs(row: &Row) -> [f64; 5] {
    let [nine, diameter, turns, thrust, power, density] = row.numbers("inputs")[..]
    else {
        panic!("other inputs: {:?}", row.numbers("inputs"))
    };
    row.assert("inches", inches(nine), diameter, 1e-12);
    [diameter, turns / 60.0, thrust, power, density]
}

/// Diameter and pitch in m of that propeller, from the name that its source gives it.
fn size(row: &Row) -> (f64, f64) {
    let words = row.text("source").split_whitespace();
    let mut sizes = words.filter_map(|word| word.trim_end_matches(',').split_once('x'));
    let (diameter, pitch) = sizes.next().unwrap();
    (inches(diameter.parse().unwrap()), inches(pitch.parse().unwrap()))
}

fn of_static(diameter: f64, thrust: f64, power: f64) -> Propeller {
    Propeller::measured(diameter, vec![Coefficients { advance: 0.0, thrust, power }])
        .unwrap()
}

/// UIUC Propeller Data Site, volume 2 (Deters, Ananda, Selig): the coefficients were read,
/// thrust, power and torque are recomputed.
#[test]
fn reference_pr_01_thrust_power_and_torque_of_coefficients() {
    let row = row("PR-01");
    let [diameter, turns, thrust, power, density] = inputs(&row);
    let propeller = of_static(diameter, thrust, power);
    let expected = row.numbers("expected");
    let share = row.tolerance() / 100.0;
    let found = [
        propeller.thrust(density, turns, 0.0),
        propeller.power(density, turns, 0.0),
        propeller.torque(density, turns, 0.0),
    ];
    assert_eq!(expected.len(), found.len());
    for (found, expected) in found.into_iter().zip(expected) {
        row.assert("of the shaft", found, expected, share * expected);
    }
}

/// The same source, every row of the static table.
#[test]
fn reference_pr_02_static_table() {
    let diameter = inputs(&row("PR-01"))[0];
    let share = row("PR-02").tolerance() / 100.0;
    let rows = table("propeller_static.csv", include_str!("propeller_static.csv"));
    assert!(7 <= rows.len());
    for row in rows {
        let cell = |column: &str| -> f64 { row.text(column).parse().unwrap() };
        let turns = cell("rpm") / 60.0;
        let (thrust, power) = (cell("CT_read"), cell("CP_read"));
        let propeller = of_static(diameter, thrust, power);
        let torque = propeller.torque(1.225, turns, 0.0);
        let merit = figure_of_merit(thrust, power).unwrap();
        for (column, found) in [
            ("thrust_N_rho1.225", propeller.thrust(1.225, turns, 0.0)),
            ("power_W_rho1.225", propeller.power(1.225, turns, 0.0)),
            ("power_W_rho1.225", torque * TAU * turns),
            ("torque_Nm", torque),
            ("tip_speed_m_s", tip_speed(diameter, turns)),
            ("FM=sqrt(2/pi)*CT^1.5/CP", merit),
        ] {
            row.assert(column, found, cell(column), share * cell(column));
        }
    }
}

/// The estimate for that propeller against every row of its table: the spread is a share
/// of the static coefficient.
#[test]
fn reference_pr_02_the_estimate_is_within_its_spread() {
    let (diameter, pitch) = size(&row("PR-01"));
    let Coefficients { thrust, power, .. } =
        Propeller::estimated(diameter, pitch).unwrap().coefficients(0.0);
    for row in table("propeller_static.csv", include_str!("propeller_static.csv")) {
        let cell = |column: &str| -> f64 { row.text(column).parse().unwrap() };
        row.assert("CT", thrust, cell("CT_read"), ESTIMATE_SPREAD * thrust);
        row.assert("CP", power, cell("CP_read"), ESTIMATE_SPREAD * power);
    }
}

/// CT at J, twice, as the row says it.
fn in_flight(row: &Row) -> Vec<Coefficients> {
    let found = numbers(row.text("expected"));
    let rows = found.chunks_exact(2);
    rows.map(|pair| Coefficients { advance: pair[1], thrust: pair[0], power: 0.0 })
        .collect()
}

/// The same source in a stream of air, read: the estimate is within its spread.
#[test]
fn reference_pr_04_thrust_falls_off_as_the_estimate_says() {
    let row = row("PR-04");
    let (diameter, pitch) = size(&self::row("PR-01"));
    let propeller = Propeller::estimated(diameter, pitch).unwrap();
    let spread = ESTIMATE_SPREAD * propeller.coefficients(0.0).thrust;
    let published = in_flight(&row);
    assert_eq!(published.len(), 2);
    for Coefficients { advance, thrust, .. } in published {
        let found = propeller.coefficients(advance).thrust;
        row.assert(&format!("CT at {advance}"), found, thrust, spread);
    }
}

/// The static row alone falls off near the rows in flight, whether its pitch is known or
/// made out of its power.
#[test]
fn reference_pr_04_thrust_falls_off_from_one_static_row() {
    let row = row("PR-04");
    let first = self::row("PR-01");
    let [diameter, _, thrust, power, _] = inputs(&first);
    let rows = || vec![Coefficients { advance: 0.0, thrust, power }];
    let (_, pitch) = size(&first);
    for propeller in [
        Propeller::measured(diameter, rows()).unwrap(),
        Propeller::measured_of_pitch(diameter, pitch, rows()).unwrap(),
    ] {
        for published in in_flight(&row) {
            let found = propeller.coefficients(published.advance).thrust;
            row.assert("CT", found, published.thrust, ESTIMATE_SPREAD * thrust);
        }
    }
}

/// V = π n D, recomputed.
#[test]
fn reference_pr_05_tip_speeds() {
    let row = row("PR-05");
    let [large, slow, small, fast] = row.numbers("inputs")[..] else {
        panic!("other inputs: {:?}", row.numbers("inputs"))
    };
    let [one, two, mach, sound] = row.numbers("expected")[..] else {
        panic!("other results")
    };
    let share = row.tolerance() / 100.0;
    row.assert("of the large", tip_speed(large, slow / 60.0), one, share * one);
    let found = tip_speed(small, fast / 60.0);
    row.assert("of the small", found, two, share * two);
    row.assert("Mach number", found / sound, mach, share * mach);
}

/// Geometric, recomputed.
#[test]
fn reference_pr_06_pitch_speed() {
    let row = row("PR-06");
    let [pitch, turns] = row.numbers("inputs")[..] else { panic!("other inputs") };
    let [speed] = row.numbers("expected")[..] else { panic!("other results") };
    let found = pitch_speed(inches(pitch), turns / 60.0);
    row.assert("pitch speed", found, speed, row.tolerance() / 100.0 * speed);
}

/// Momentum theory, recomputed.
#[test]
fn reference_pr_08_figure_of_merit() {
    let row = row("PR-08");
    let [_, _, thrust, power, _] = inputs(&self::row("PR-01"));
    let expected = *row.numbers("expected").last().unwrap();
    let found = figure_of_merit(thrust, power).unwrap();
    row.assert("figure of merit", found, expected, row.tolerance() / 100.0 * expected);
}
