//! The vortex lattice, against published wings, limits, and two codes of others.

use std::f64::consts::PI;

use trimsheet_physics::lattice::{
    Effect, Flap, Grid, Hinge, Lattice, Reference, Rib, State, Surface, Symmetric, Tip,
};

use crate::rows::{Row, numbers, row, table};

pub(crate) fn rib(out: f64, leading_edge: f64, chord: f64) -> Rib {
    Rib { out, up: 0.0, leading_edge, chord, incidence: 0.0 }
}

fn plain(spanwise: u16, chordwise: u16) -> Grid {
    Grid { spanwise, chordwise, tip: Tip::Full, hinge: Hinge::Plain }
}

pub(crate) fn solved(surface: Surface, reference: Reference) -> Symmetric {
    Lattice::new(&[surface], reference).unwrap().symmetric().unwrap()
}

pub(crate) fn flat(ribs: Vec<Rib>, grid: Grid, reference: Reference) -> Symmetric {
    solved(Surface { ribs, flap: None, grid }, reference)
}

fn rectangle(aspect_ratio: f64, grid: Grid) -> Symmetric {
    let reference =
        Reference { area: aspect_ratio, chord: 1.0, span: aspect_ratio, station: 0.25 };
    flat(vec![rib(0.0, 0.0, 1.0), rib(aspect_ratio / 2.0, 0.0, 1.0)], grid, reference)
}

/// The number in a cell that holds nothing else.
pub(crate) fn cell(row: &Row, column: &str) -> f64 {
    row.text(column).parse().unwrap()
}

/// What the tolerance of a row, in per cent, allows of a number.
fn per_cent_of(row: &Row, expected: f64) -> f64 {
    row.tolerance() / 100.0 * expected.abs()
}

/// A wing of two ribs whose half chord is swept by 45 degrees.
fn warren_12() -> Symmetric {
    let semispan = 2_f64.sqrt();
    // The half chord lies 0.75 aft of the apex at the root, and the semispan more at
    // the tip, where half the chord is 0.25.
    let tip_edge = 0.75 + semispan - 0.25;
    let sweep = libm::atan2(tip_edge, semispan).to_degrees();
    let row = row("VL-01");
    row.assert("sweep of the leading edge", sweep, 53.54, 0.005);
    let reference = Reference {
        area: 2.0 * semispan,
        chord: 1.0,
        span: 2.0 * semispan,
        station: 0.0,
    };
    let ribs = vec![rib(0.0, 0.0, 1.5), rib(semispan, tip_edge, 0.5)];
    flat(ribs, Grid::WING, reference)
}

/// The Warren-12 planform in W. H. Mason, Applied Computational Aerodynamics. The value
/// was read in a stored test code, the page itself was not.
#[test]
fn reference_vl_01_lift_slope_of_warren_12() {
    let row = row("VL-01");
    let expected = row.numbers("expected")[0];
    let found = warren_12().angle_of_attack.lift;
    row.assert("lift slope", found, expected, per_cent_of(&row, expected));
}

/// As VL-01; moments are about the apex, over the mean geometric chord.
#[test]
fn reference_vl_02_moment_slope_of_warren_12() {
    let row = row("VL-02");
    let expected = row.numbers("expected")[0];
    let found = warren_12().angle_of_attack.moment;
    row.assert("moment slope", found, expected, per_cent_of(&row, expected));
}

/// Bertin and Smith, Aerodynamics for Engineers, example 7.2. From memory: a value of
/// this coarse lattice of four horseshoes, not of the wing.
#[test]
fn reference_vl_04_four_horseshoes_on_a_swept_wing() {
    let row = row("VL-04");
    let reference = Reference { area: 5.0, chord: 1.0, span: 5.0, station: 0.0 };
    let ribs = vec![rib(0.0, 0.0, 1.0), rib(2.5, 2.5, 1.0)];
    let found = flat(ribs, plain(4, 1), reference).angle_of_attack.lift;
    let expected = row.numbers("expected")[0];
    row.assert("lift slope", found, expected, per_cent_of(&row, expected));
}

/// A published test case of a lattice library, whose numbers come from a code of a
/// university. Read; on the same grid.
#[test]
fn reference_vl_05_a_nearly_rectangular_wing_on_one_row_of_panels() {
    let row = row("VL-05");
    let twist = 2_f64.to_radians();
    let ribs = vec![
        Rib { incidence: twist, ..rib(0.0, 0.0, 2.2) },
        Rib { incidence: twist, ..rib(7.5, 0.4, 1.8) },
    ];
    let reference = Reference { area: 30.0, chord: 2.0, span: 15.0, station: 0.5 };
    let found = flat(ribs, plain(12, 1), reference);
    let state = State { angle_of_attack: 1_f64.to_radians(), ..State::default() };
    let [lift, moment, drag] = row.numbers("expected")[..] else {
        panic!("other results")
    };
    let [_, lift_near, moment_near] =
        [&[0.0][..], &row.numbers("tolerance")].concat()[..]
    else {
        panic!("other tolerances")
    };
    let Effect { lift: found_lift, moment: found_moment } = found.effect(&state);
    row.assert("lift", found_lift, lift, lift_near);
    row.assert("moment", found_moment, moment, moment_near);
    // The row states no tolerance for drag: half of its last digit.
    row.assert("induced drag", found.induced_drag(&state), drag, 5e-6);
}

/// E. O. Tuck, J. Austral. Math. Soc. B 35 (1993): a rectangular wing of aspect ratio 1
/// (from memory) and 2 (two lattices).
#[test]
fn reference_vl_06_short_rectangular_wings() {
    for (id, aspect_ratio) in [("VL-06a", 1.0), ("VL-06b", 2.0)] {
        let row = row(id);
        let expected = row.numbers("expected")[0];
        let found = rectangle(aspect_ratio, Grid::WING).angle_of_attack.lift;
        row.assert("lift slope", found, expected, per_cent_of(&row, expected));
    }
}

/// Tuck's formula for large aspect ratios. Read, and evaluated here.
#[test]
fn reference_vl_06_long_rectangular_wings() {
    for (id, long) in [("VL-06c", 4.0_f64), ("VL-06d", 6.0), ("VL-06f", 10.0)] {
        let row = row(id);
        let log = libm::log(long);
        let formula =
            2.0 * PI - PI / long * (log + 2.5620) + 1.404 / (long * long) * (log + 3.645);
        let expected = row.numbers("expected")[0];
        row.assert("formula", formula, expected, 5e-5);
        // "0.4 % at AR 4; 0.1 % at AR>=6"
        let per_cent = if long < 5.0 { 0.4 } else { 0.1 };
        // The row's own grid has more strips: the formula is for the limit.
        let found = rectangle(long, Grid { spanwise: 40, ..Grid::WING });
        let found = found.angle_of_attack.lift;
        row.assert("lift slope", found, expected, per_cent / 100.0 * expected);
    }
}

/// What follows `AR` and a colon in a row: aspect ratios and values.
fn slopes(row: &Row) -> Vec<(f64, f64)> {
    let ratios = numbers(row.text("inputs"));
    let (_, values) = row.text("expected").rsplit_once(": ").unwrap();
    let found: Vec<(f64, f64)> = ratios.into_iter().zip(numbers(values)).collect();
    assert_eq!(found.len(), 4);
    found
}

fn helmbold(aspect_ratio: f64) -> f64 {
    2.0 * PI * aspect_ratio / (2.0 + (aspect_ratio * aspect_ratio + 4.0).sqrt())
}

/// Prandtl's and Helmbold's slopes of a wing. Recomputed; they stand around the lattice.
#[test]
fn reference_vl_08_and_vl_09_formulas_that_stand_around_the_lattice() {
    let (line, square) = (row("VL-08"), row("VL-09"));
    for ((long, upper), (_, near)) in slopes(&line).into_iter().zip(slopes(&square)) {
        line.assert("lifting line", 2.0 * PI * long / (long + 2.0), upper, 1e-4);
        square.assert("Helmbold", helmbold(long), near, 1e-4);
        let found = rectangle(long, Grid::WING).angle_of_attack.lift;
        assert!(0.9 * near < found && found < near, "{long}: {found}");
    }
}

/// DATCOM 4.1.3.2: lift slope by the sweep of the half chord, and beside it those of
/// VL-08, VL-09 and slender wings. Formulas read, recomputed; DATCOM's is known to lie some per cent above a lattice.
#[test]
fn reference_vl_10_slopes_by_the_sweep_of_the_half_chord() {
    let rows = table("lift_slope_formulas.csv", include_str!("lift_slope_formulas.csv"));
    assert!(!rows.is_empty());
    for row in rows {
        let long = cell(&row, "AR");
        for (column, formula) in [
            ("lifting_line_elliptic_2piAR/(AR+2)", 2.0 * PI * long / (long + 2.0)),
            ("Helmbold_2piAR/(2+sqrt(AR^2+4))", helmbold(long)),
            ("slender_piAR/2", PI * long / 2.0),
        ] {
            row.assert(column, formula, cell(&row, column), 1e-4);
        }
        for degrees in [10_i32, 20, 25, 30, 35, 45] {
            let column =
                format!("Polhamus_DATCOM_halfchord_sweep_{degrees}_deg_kappa1_M0");
            let tangent = libm::tan(f64::from(degrees).to_radians());
            let root = (4.0 + long * long * (1.0 + tangent * tangent)).sqrt();
            let formula = 2.0 * PI * long / (2.0 + root);
            row.assert(&column, formula, cell(&row, &column), 1e-4);
            if (3.0..=12.0).contains(&long) {
                let half = long / 2.0;
                let ribs = vec![rib(0.0, 0.0, 1.0), rib(half, half * tangent, 1.0)];
                let reference =
                    Reference { area: long, chord: 1.0, span: long, station: 0.0 };
                let found = flat(ribs, Grid::WING, reference).angle_of_attack.lift;
                let above = formula / found - 1.0;
                assert!(0.0 < above && above < 0.12, "{long}, {degrees}: {above}");
            }
        }
    }
}

/// Thin-aerofoil theory; recomputed.
#[test]
fn reference_vl_12_an_endless_wing_has_the_slope_of_its_section() {
    let row = row("VL-12");
    // One strip: the tips are so far away that more of them only count what the tips
    // lose, which is a thousandth at this aspect ratio.
    let found = rectangle(2000.0, plain(1, 1)).angle_of_attack.lift;
    let printed = numbers(row.text("expected"));
    row.assert("ratio", found / (2.0 * PI), printed[1], 5e-5);
    row.assert("lift slope", found, 2.0 * PI, per_cent_of(&row, 2.0 * PI));
}

fn endless_flap(grid: Grid) -> f64 {
    let flap = Some(Flap { inner: 0.0, outer: 1000.0, chord_share: 0.2 });
    let ribs = vec![rib(0.0, 0.0, 1.0), rib(1000.0, 0.0, 1.0)];
    let reference = Reference { area: 2000.0, chord: 1.0, span: 2000.0, station: 0.25 };
    solved(Surface { ribs, flap, grid }, reference).flaps[0].streamwise.lift
}

/// Own numbers, recomputed: plain panels approach the limit as one over their number,
/// and the share at the hinge is there with any.
#[test]
fn reference_vl_13_flap_of_an_endless_wing() {
    let row = row("VL-13");
    let (_, errors) = row.text("expected").split_once("= ").unwrap();
    let errors: Vec<f64> =
        errors.split('%').filter_map(|part| numbers(part).last().copied()).collect();
    assert_eq!(errors.len(), 4);
    let limit = numbers(&row.text("expected").replace('/', " "))[0];
    for (chordwise, expected) in [20, 40, 80, 160].into_iter().zip(errors) {
        let found = (endless_flap(plain(1, chordwise)) / limit - 1.0) * 100.0;
        row.assert("per cent", found, expected, row.tolerance());
    }
    for chordwise in [5, 10, 20] {
        let grid = Grid { hinge: Hinge::Shared, ..plain(1, chordwise) };
        let found = (endless_flap(grid) / limit - 1.0) * 100.0;
        row.assert("per cent, shared", found, 0.0, 0.2);
    }
}

/// A circle of diameter 2 as ribs along its edge: `count` pieces of the half span.
fn circle(count: i32, chordwise: u16) -> f64 {
    let ribs = (0..=count)
        .map(|number| {
            let out = f64::from(number) / f64::from(count);
            let half_chord = (1.0 - out * out).max(0.0).sqrt();
            rib(out, 1.0 - half_chord, 2.0 * half_chord)
        })
        .collect();
    let reference = Reference { area: PI, chord: 1.0, span: 2.0, station: 0.0 };
    // Every piece between two ribs is a strip.
    flat(ribs, Grid { chordwise, ..Grid::WING }, reference).angle_of_attack.lift
}

/// Jordan (1971) and van Spiegel (1959). From memory; recomputed with another lattice.
#[test]
fn reference_vl_07_a_flat_circular_wing() {
    let row = row("VL-07");
    let expected = row.numbers("expected")[0];
    let away = |count: i32| {
        let found = circle(count, 10);
        row.assert("lift slope", found, expected, per_cent_of(&row, expected));
        (found - expected).abs()
    };
    // A curved edge is met in the first order only.
    let (coarse, fine) = (away(20), away(60));
    assert!(2.0 * fine < coarse, "{coarse}, {fine}");
}
