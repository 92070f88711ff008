//! How far an edge moves, against a table of movements measured in each way.

use trimsheet_physics::throw::{Measure, edge_height};

use crate::rows::{row, table};

/// The ways of measuring, by the columns of the table.
const COLUMNS: [(Measure, &str); 2] = [
    (Measure::StraightUp, "perpendicular_c_sin_mm"),
    (Measure::StraightGap, "chord_2c_sin_half_mm"),
];

/// LK-05. Geometry, recomputed: straight up c sin δ, and straight across 2 c sin ½δ.
#[test]
fn reference_lk_05_movements_of_an_edge() {
    let rows = table("throw_mm.csv", include_str!("throw_mm.csv"));
    let tolerance = row("LK-05").tolerance();
    assert!(!rows.is_empty());
    for row in rows {
        let cell = |column: &str| -> f64 { row.text(column).parse().unwrap() };
        let depth = cell("surface_chord_mm") / 1e3;
        let up = -cell("deflection_deg").to_radians();
        for (measure, column) in COLUMNS {
            let expected = cell(column);
            let found = measure.movement(depth, up).unwrap() * 1e3;
            row.assert(column, found, expected, tolerance);
            let back = measure.angle(depth, expected / 1e3).unwrap();
            // The table prints a ten thousandth of a millimetre.
            row.assert("angle", back.to_degrees(), up.to_degrees(), 0.002);
            for (other, column) in COLUMNS {
                let read = measure.read_as(other, depth, expected / 1e3).unwrap();
                row.assert("read as", read * 1e3, cell(column), tolerance);
            }
        }
        let [rise, gap] =
            COLUMNS.map(|(measure, _)| measure.movement(depth, up).unwrap());
        let more = (gap / rise - 1.0) * 100.0;
        row.assert("gap over rise", more, cell("chord_vs_perp_pct"), 5.1e-4);
        let expected = cell("perpendicular_c_sin_mm");
        row.assert("height", edge_height(depth, up) * 1e3, expected, tolerance);
        let back = Measure::StraightUp.angle(depth, expected / 1e3).unwrap();
        row.assert("angle of an edge", back.to_degrees(), up.to_degrees(), 0.002);
    }
}

/// Geometry; that builders use both was read, the numbers are recomputed.
#[test]
fn reference_lk_04_ways_of_measuring() {
    let row = row("LK-04");
    let [depth, degrees] = row.numbers("inputs")[..] else { panic!("other inputs") };
    let printed = |after: &str| -> f64 {
        let (_, rest) = row.text("expected").split_once(after).unwrap();
        rest.split([';', ' ']).next().unwrap().parse().unwrap()
    };
    let (depth, up) = (depth / 1e3, -degrees.to_radians());
    for (measure, after) in [
        (Measure::StraightGap, "2c sin(d/2) = "),
        (Measure::StraightUp, "perpendicular c sin d = "),
    ] {
        let found = measure.movement(depth, up).unwrap() * 1e3;
        row.assert(after, found, printed(after), row.tolerance());
        let back = measure.angle(depth, printed(after) / 1e3).unwrap();
        row.assert("angle", -back.to_degrees(), degrees, 0.002);
    }
}
