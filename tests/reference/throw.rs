//! How far an edge moves, against a table of heights.

use trimsheet_physics::throw::{angle_of_edge, edge_height};

use crate::rows::table;

/// Geometry, recomputed: the height straight up is c sin δ.
#[test]
fn reference_throw_mm_heights_straight_up() {
    let rows = table("throw_mm.csv", include_str!("throw_mm.csv"));
    assert!(!rows.is_empty());
    for row in rows {
        let cell = |column: &str| -> f64 { row.text(column).parse().unwrap() };
        let depth = cell("surface_chord_mm") / 1e3;
        let up = -cell("deflection_deg").to_radians();
        let expected = cell("perpendicular_c_sin_mm");
        row.assert("height", edge_height(depth, up) * 1e3, expected, 5.1e-4);
        let back = angle_of_edge(depth, expected / 1e3).unwrap();
        // The table prints a ten thousandth of a millimetre.
        row.assert("angle", back.to_degrees(), up.to_degrees(), 0.002);
    }
}
