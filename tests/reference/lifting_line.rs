//! Glauert's lifting line of tapered wings, and the vortex lattice beside it.
//!
//! A lifting line takes each section as if it were two-dimensional, so it lies above a
//! lifting surface: the less so the longer the wing. It is worked out here only to hold
//! the table to its theory; what the program uses is the lattice.

use std::f64::consts::PI;

use trimsheet_physics::lattice::{Grid, Lattice, Reference, State, Surface};

use crate::lattice::{cell, rib};
use crate::rows::{Row, row, table};

/// How many odd terms of the series are taken, as the row says.
const TERMS: usize = 60;

struct Line {
    slope: f64,
    tau: f64,
    delta: f64,
}

fn odd(number: usize) -> f64 {
    f64::from(u32::try_from(2 * number + 1).unwrap())
}

/// Σ An sin nθ (n µ + sin θ) = µ sin θ, µ = 2π c/(4 b), at as many places as terms.
fn lifting_line(aspect_ratio: f64, taper: f64) -> Line {
    let root = 2.0 / (aspect_ratio * (1.0 + taper));
    let equation = |place: usize| {
        let angle = PI / 2.0 * (odd(place) + 1.0) / (odd(TERMS) - 1.0);
        let sine = libm::sin(angle);
        let chord = root * (1.0 - (1.0 - taper) * libm::cos(angle));
        let factor = 2.0 * PI * chord / 4.0;
        let term = |number: usize| {
            libm::sin(odd(number) * angle) * (odd(number) * factor + sine)
        };
        let mut numbers: Vec<f64> = (0..TERMS).map(term).collect();
        numbers.push(factor * sine);
        numbers
    };
    let terms = eliminated((0..TERMS).map(equation).collect());
    let slope = PI * aspect_ratio * terms[0];
    let share = |number: usize| terms[number] / terms[0];
    let delta =
        (1..TERMS).map(|number| odd(number) * share(number) * share(number)).sum();
    let tau = (2.0 * PI / slope - 1.0) * aspect_ratio / 2.0 - 1.0;
    Line { slope, tau, delta }
}

/// Solves equations whose last number is what they come to (Gauss and Jordan).
fn eliminated(mut rows: Vec<Vec<f64>>) -> Vec<f64> {
    for column in 0..rows.len() {
        let size = |place: &usize| rows[*place][column].abs();
        let largest = (column..rows.len()).max_by(|a, b| size(a).total_cmp(&size(b)));
        rows.swap(column, largest.unwrap());
        let pivot = rows[column].clone();
        for (place, row) in rows.iter_mut().enumerate() {
            let factor = row[column] / pivot[column];
            if place != column {
                row.iter_mut()
                    .zip(&pivot)
                    .for_each(|(number, by)| *number -= factor * by);
            }
        }
    }
    let solved = rows.iter().enumerate();
    solved.map(|(place, row)| row[rows.len()] / row[place]).collect()
}

/// Lift slope and delta of the same wing by the lattice, its quarter chord unswept.
fn by_lattice(aspect_ratio: f64, taper: f64) -> (f64, f64) {
    let chord = 2.0 / (1.0 + taper);
    let ribs = vec![
        rib(0.0, 0.0, chord),
        rib(aspect_ratio / 2.0, chord * (1.0 - taper) / 4.0, chord * taper),
    ];
    let reference =
        Reference { area: aspect_ratio, chord: 1.0, span: aspect_ratio, station: 0.0 };
    let surface = Surface { ribs, flap: None, grid: Grid::WING };
    let found = Lattice::new(&[surface], reference).unwrap().symmetric().unwrap();
    let state = State { angle_of_attack: 1.0, ..State::default() };
    let slope = found.angle_of_attack.lift;
    (slope, found.induced_drag(&state) * PI * aspect_ratio / (slope * slope) - 1.0)
}

fn tapered() -> Vec<Row> {
    table("lifting_line_tapered.csv", include_str!("lifting_line_tapered.csv"))
}

/// Glauert, Elements of Aerofoil and Airscrew Theory, chapter 11. Recomputed.
#[test]
fn reference_vl_15_lifting_lines_of_tapered_wings() {
    let tolerance = row("VL-15").tolerance();
    assert!(!tapered().is_empty());
    for row in tapered() {
        let found = lifting_line(cell(&row, "AR"), cell(&row, "taper"));
        row.assert("slope", found.slope, cell(&row, "CLalpha_per_rad_a0_2pi"), tolerance);
        row.assert("tau", found.tau, cell(&row, "tau_Glauert"), tolerance);
        row.assert("delta", found.delta, cell(&row, "delta_induced"), tolerance);
        row.assert("e", 1.0 / (1.0 + found.delta), cell(&row, "e"), tolerance);
    }
}

/// The same wings as surfaces: lift less by some 0.4 over the aspect ratio, and nearer to
/// an ellipse.
#[test]
fn reference_vl_15_lifting_lines_stand_above_the_lattice() {
    for row in tapered() {
        let (long, taper) = (cell(&row, "AR"), cell(&row, "taper"));
        let (slope, delta) = by_lattice(long, taper);
        let below = 1.0 - slope / cell(&row, "CLalpha_per_rad_a0_2pi");
        assert!(0.25 < below * long && below * long < 0.5, "{long}, {taper}: {below}");
        let line = cell(&row, "delta_induced");
        assert!(0.0 < delta && delta < line, "{long}, {taper}: {delta}, {line}");
    }
}
