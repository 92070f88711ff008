//! Columns and spars, against worked examples.

use std::f64::consts::PI;

use trimsheet_physics::column::buckling_force;
use trimsheet_physics::lattice::{Grid, Reference, Rib, State, StripLoad, Surface};
use trimsheet_physics::round::Round;
use trimsheet_physics::spar::{bending_moment, elliptic_root_moment, shear_force};

use crate::lattice::{flat, rib, solved};
use crate::rows::row;

/// A worked answer to a textbook exercise. Read in a copy; recomputed.
#[test]
fn reference_st_01_a_tube_with_hinged_ends() {
    let row = row("ST-01");
    let [outer, inner, length, modulus] = row.numbers("inputs")[..] else {
        panic!("other inputs")
    };
    let [second_moment, force] = row.numbers("expected")[..] else {
        panic!("other results")
    };
    let [moment_near, force_near] = row.numbers("tolerance")[..] else {
        panic!("other tolerances")
    };
    let tube = Round::tube(outer / 1e3, inner / 1e3).unwrap();
    row.assert("second moment", tube.second_moment() * 1e12, second_moment, moment_near);
    let found =
        buckling_force(tube.stiffness(modulus * 1e6).unwrap(), length / 1e3).unwrap();
    row.assert("force", found / 1e3, force, force_near);
}

/// Timoshenko, "Strength of Materials", part II. From memory; recomputed.
#[test]
fn reference_st_02_a_square_bar_with_hinged_ends() {
    let row = row("ST-02");
    let [length, side, modulus] = row.numbers("inputs")[..] else {
        panic!("other inputs")
    };
    // The formula knows no units, so these stay inches and pounds.
    let stiffness = modulus * side * side * side * side / 12.0;
    let found = buckling_force(stiffness, length).unwrap();
    row.assert("force", found, row.numbers("expected")[0], row.tolerance());
}

/// A worked example, read in a copy; the formula is that of Roark's tables, from memory.
#[test]
fn reference_st_03_a_cantilever_under_an_even_load() {
    let row = row("ST-03");
    let [per_metre, length] = row.numbers("inputs")[..] else { panic!("other inputs") };
    let [force, moment] = row.numbers("expected")[..] else { panic!("other results") };
    // Of both halves.
    let lift = 2.0 * per_metre * length;
    let strips = [0.3, 0.25, 0.45];
    let mut inner = 0.0;
    let loads = strips.map(|share| {
        let width = share * length;
        let out = inner + width / 2.0;
        inner += width;
        StripLoad { surface: 0, out, up: 0.0, width, chord: 0.3, lift: 0.4 }
    });
    let found = shear_force(&loads, lift, 0.0).unwrap();
    row.assert("reaction", found, force, row.tolerance());
    let found = bending_moment(&loads, lift, 0.0).unwrap();
    row.assert("moment", found, moment, row.tolerance());
}

/// The loads of a wing of span 2 with these chords, at an angle of attack.
fn loads(chord: impl Fn(f64) -> f64) -> Vec<StripLoad> {
    let ribs: Vec<Rib> = (0..=40_i32)
        .map(|number| {
            // Closer together towards the tip, where an ellipse bends.
            let out = libm::sin(f64::from(number) / 40.0 * PI / 2.0);
            let chord = chord(out);
            rib(out, -chord / 4.0, chord)
        })
        .collect();
    let reference = Reference { area: 1.0, chord: 1.0, span: 2.0, station: 0.0 };
    let grid = Grid { spanwise: 1, ..Grid::WING };
    let state = State { angle_of_attack: 0.1, ..State::default() };
    flat(ribs, grid, reference).loads(&state)
}

/// Table of centroids and Prandtl's elliptic loading, from memory; recomputed.
#[test]
fn reference_st_04_root_moment_of_an_elliptic_load() {
    let row = row("ST-04");
    let expected = row.numbers("expected")[0];
    let closed = elliptic_root_moment(1.0, 1.0).unwrap();
    row.assert("closed form", closed, expected, 5e-7);
    let [aspect_ratio] = row.numbers("inputs")[..] else { panic!("other inputs") };
    // Of an ellipse b² / S = 8 b / (2 π c) for a root chord of c.
    let root = 8.0 / (PI * aspect_ratio);
    let elliptic = loads(|out| root * (1.0 - out * out).max(0.0).sqrt());
    let found = bending_moment(&elliptic, 1.0, 0.0).unwrap() / 2.0;
    row.assert("lattice", found, expected, row.tolerance() / 100.0 * expected);
    // A rectangle has more of its lift outside, a strong taper less.
    let rectangle = bending_moment(&loads(|_| 0.2), 1.0, 0.0).unwrap() / 2.0;
    let tapered = bending_moment(&loads(|out| 0.3 - 0.25 * out), 1.0, 0.0).unwrap() / 2.0;
    assert!(1.02 * closed < rectangle && rectangle < 1.15 * closed, "{rectangle}");
    assert!(tapered < closed, "{tapered}");
}

/// As ST-04: the grid that is used for wings, on a wing as models have them.
#[test]
fn reference_st_04_a_bound_for_tapered_wings_on_the_usual_grid() {
    let closed = elliptic_root_moment(1.0, 2.0).unwrap();
    let reference = Reference { area: 1.0, chord: 1.0, span: 2.0, station: 0.0 };
    let ribs = vec![rib(0.0, 0.0, 0.3), rib(1.0, 0.1, 0.15)];
    let surface = Surface { ribs, flap: None, grid: Grid::WING };
    let state = State { angle_of_attack: 0.1, ..State::default() };
    let loads = solved(surface, reference).loads(&state);
    let found = bending_moment(&loads, 1.0, 0.0).unwrap();
    assert!((found / closed - 1.0).abs() < 0.03, "{found} {closed}");
}
