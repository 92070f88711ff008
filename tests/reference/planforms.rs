//! The vortex lattice, against invented wings that two codes of others worked out.

use trimsheet_physics::lattice::{
    Flap, Grid, Hinge, Lattice, Reference, Rib, Surface, Symmetric, Tip,
};
use trimsheet_physics::planform::planform;

use crate::lattice::{cell, solved};
use crate::rows::{Row, half_of_last_digit, read, table};

/// The half wing of a row, with its flap, in m and radians.
pub(crate) fn invented(row: &Row) -> (Surface, Reference) {
    let list = |column: &str| -> Vec<f64> {
        row.text(column).split('/').map(|number| number.parse().unwrap()).collect()
    };
    let (edges, chords) = (list("x_le_mm"), list("chords_mm"));
    let (twists, heights) = (list("twist_deg"), list("z_mm"));
    let ribs: Vec<Rib> = list("stations_mm")
        .into_iter()
        .enumerate()
        .map(|(place, out)| Rib {
            out: out / 1e3,
            up: heights[place] / 1e3,
            leading_edge: edges[place] / 1e3,
            chord: chords[place] / 1e3,
            incidence: twists[place].to_radians(),
        })
        .collect();
    let half = cell(row, "span_mm") / 2e3;
    let flap = Flap {
        inner: half * cell(row, "elevon_y0_frac"),
        outer: half * cell(row, "elevon_y1_frac"),
        chord_share: cell(row, "elevon_cf"),
    };
    let flat: Vec<_> = ribs
        .iter()
        .map(|rib| trimsheet_physics::planform::Rib {
            out: rib.out,
            chord: rib.chord,
            leading_edge: rib.leading_edge,
        })
        .collect();
    let plan = planform(&flat).unwrap();
    let reference = Reference {
        area: plan.area,
        chord: plan.mean_chord,
        span: plan.span,
        station: plan.station(0.25),
    };
    (Surface { ribs, flap: Some(flap), grid: Grid::WING }, reference)
}

/// Nine invented wings, with two codes: recomputed, and cross-checked with the second.
/// The tolerances of the row, on the grid that is used for wings.
#[test]
fn reference_vl_14_invented_planforms() {
    assert!(9 <= planforms().len());
    for row in planforms() {
        let (surface, reference) = invented(&row);
        let found = solved(surface, reference);
        let neutral = found.neutral_point().unwrap();
        let within = |what: &str, found: f64, column: &str, relative: f64| {
            let expected = cell(&row, column);
            row.assert(what, found, expected, relative * expected.abs());
        };
        let slope = found.angle_of_attack.lift;
        within("lift slope", slope, "CLa_per_rad", 0.005);
        let share = (neutral - reference.station) / reference.chord + 0.25;
        row.assert("neutral point", share, cell(&row, "xnp_frac_mac"), 0.0025);
        // Nought for a wing without washout, but for rounding.
        let washed = cell(&row, "CL0_twist");
        let allowed = 0.015 * washed.abs() + 1e-12;
        row.assert("lift of washout", found.incidence.lift, washed, allowed);
        let moment = cell(&row, "Cm0_twist");
        let allowed = (0.07 * moment.abs()).max(8e-4);
        row.assert("moment", found.zero_lift_moment().unwrap(), moment, allowed);
        let angle = found.zero_lift_angle().unwrap().to_degrees();
        let expected = cell(&row, "alpha0_deg");
        row.assert("angle", angle, expected, 0.015 * expected.abs() + 1e-9);
        let flap = &found.flaps[0];
        for (effect, name) in [(flap.streamwise, "stream"), (flap.hinge, "hinge")] {
            within("flap lift", effect.lift, &format!("CLd_{name}_per_rad"), 0.02);
            let about = effect.moment_about(neutral, &reference);
            within("flap moment", about, &format!("Cmd_np_{name}_per_rad"), 0.015);
        }
    }
}

fn planforms() -> Vec<Row> {
    table("vlm_planforms.csv", include_str!("vlm_planforms.csv"))
}

/// The same wings on the grids on which the other code came to its values, with plain
/// hinges: one method, so every printed digit is met.
///
/// A grid of 80 by 30 is left out, because its equations take half a minute.
#[test]
fn reference_vl_14_every_grid_of_the_table_to_its_last_digit() {
    let rows = table("vlm_convergence.csv", include_str!("vlm_convergence.csv"));
    assert!(!rows.is_empty());
    for row in rows {
        let plan = planforms().into_iter().find(|plan| plan.text("id") == row.text("id"));
        let plan = plan.unwrap_or_else(|| panic!("no planform {}", row.text("id")));
        let count = |column: &str| -> u16 { row.text(column).parse().unwrap() };
        if 1300 < count("panels") {
            continue;
        }
        let (surface, reference) = invented(&plan);
        let (tip, hinge) = (Tip::Inset, Hinge::Plain);
        let (spanwise, chordwise) = (count("ns"), count("nc"));
        let grid = Grid { spanwise, chordwise, tip, hinge };
        let lattice = Lattice::new(&[Surface { grid, ..surface }], reference).unwrap();
        assert_eq!(lattice.panels(), usize::from(count("panels")));
        same_digits(&row, &lattice.symmetric().unwrap());
    }
}

fn same_digits(row: &Row, found: &Symmetric) {
    let reference = &found.reference;
    let neutral = found.neutral_point().unwrap();
    let (stream, hinge) = (found.flaps[0].streamwise, found.flaps[0].hinge);
    for (column, number) in [
        ("CLa_per_rad", found.angle_of_attack.lift),
        ("xnp_mm", neutral * 1e3),
        ("xnp_frac_mac", (neutral - reference.station) / reference.chord + 0.25),
        ("CL0_twist", found.incidence.lift),
        ("alpha0_deg", found.zero_lift_angle().unwrap().to_degrees()),
        ("Cm0_twist", found.zero_lift_moment().unwrap()),
        ("CLd_stream_per_rad", stream.lift),
        ("Cmd_np_stream_per_rad", stream.moment_about(neutral, reference)),
        ("CLd_hinge_per_rad", hinge.lift),
        ("Cmd_np_hinge_per_rad", hinge.moment_about(neutral, reference)),
    ] {
        let expected = cell(row, column);
        row.assert(column, number, expected, half_of_last_digit(expected, 5.0));
    }
}

/// The largest errors of a grid over our planforms, in per cent.
fn largest_errors(grid: Grid) -> [f64; 4] {
    let mut largest = [0.0_f64; 4];
    for row in read(include_str!("vlm_planforms.csv")) {
        let (surface, reference) = invented(&row);
        let found = solved(Surface { grid, ..surface }, reference);
        let neutral = found.neutral_point().unwrap();
        let flap = found.flaps[0].streamwise;
        let off = |number: f64, column: &str| number / cell(&row, column) - 1.0;
        let share = (neutral - reference.station) / reference.chord + 0.25;
        let about = flap.moment_about(neutral, &reference);
        for (most, error) in largest.iter_mut().zip([
            off(found.angle_of_attack.lift, "CLa_per_rad"),
            share - cell(&row, "xnp_frac_mac"),
            off(flap.lift, "CLd_stream_per_rad"),
            off(about, "Cmd_np_stream_per_rad"),
        ]) {
            *most = most.max(100.0 * error.abs());
        }
    }
    largest
}

/// The cells of each line of the documentation of the lattice that is about a grid.
fn documented() -> impl Iterator<Item = (Grid, Vec<&'static str>)> {
    let text = include_str!("../../crates/physics/src/lattice.rs");
    let lines = text.lines().filter_map(|line| line.strip_prefix("//! |"));
    lines.filter_map(|line| {
        let mut cells = line.trim_end_matches('|').split('|').map(str::trim);
        let (strips, rows) = cells.next()?.split_once(" × ")?;
        let rows = rows.split(',').next()?;
        let grid = Grid {
            spanwise: strips.parse().ok()?,
            chordwise: rows.parse().ok()?,
            ..Grid::WING
        };
        // Finer ones take seconds when debugged, and are not those that are used.
        (grid.spanwise * grid.chordwise <= 800).then(|| (grid, cells.collect()))
    })
}

#[test]
fn the_documented_errors_of_each_grid_are_those_it_has() {
    let mut grids = Vec::new();
    for (grid, cells) in documented() {
        let [errors @ .., panels, _] = &cells[..] else { continue };
        let Ok(panels) = panels.parse::<u16>() else { continue };
        assert_eq!(panels, grid.spanwise * grid.chordwise);
        let found = largest_errors(grid).map(|error| format!("{error:.2}"));
        assert_eq!(found[..], *errors, "{grid:?}");
        grids.push(grid);
    }
    assert!(grids.contains(&Grid::WING) && grids.len() == 3, "{grids:?}");
}

#[test]
fn the_documented_approach_to_the_limit_is_the_one_it_has() {
    let row = &read(include_str!("vlm_planforms.csv"))[0];
    let mut count = 0;
    for (grid, cells) in documented().filter(|(_, cells)| cells.len() == 4) {
        let (surface, reference) = invented(row);
        let found = solved(Surface { grid, ..surface }, reference);
        let neutral = found.neutral_point().unwrap();
        let flap = found.flaps[0].streamwise;
        let about = flap.moment_about(neutral, &reference);
        let numbers = [
            format!("{:.4}", found.angle_of_attack.lift),
            format!("{:.5}", neutral / reference.chord),
            format!("{:.4}", flap.lift),
            format!("{about:.5}").replace('-', "−"),
        ];
        assert_eq!(numbers[..], cells, "{grid:?}");
        count += 1;
    }
    assert_eq!(count, 3);
}
