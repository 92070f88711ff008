//! Flaps of thin sections, against Glauert's theory as others printed it.

use trimsheet_physics::flap::{SectionFlap, section_flap};

use crate::rows::{Row, numbers, row, table};

/// What stands as `E 0.10:0.39582 0.20:…` in a row: shares of the chord and values.
fn pairs(row: &Row) -> Vec<(f64, f64)> {
    let text = row.text("expected").replace(':', " ");
    let found: Vec<(f64, f64)> =
        numbers(&text).chunks_exact(2).map(|pair| (pair[0], pair[1])).collect();
    assert_eq!(found.len(), 5);
    found
}

fn check(row: &Row, what: &str, of: impl Fn(SectionFlap) -> f64) {
    for (share, expected) in pairs(row) {
        row.assert(what, of(section_flap(share).unwrap()), expected, row.tolerance());
    }
}

/// Glauert, R&M 1095 (1927). Formula read, numbers recomputed.
#[test]
fn reference_ta_01_effectiveness_of_a_flap() {
    check(&row("TA-01"), "effectiveness", |flap| flap.effectiveness);
}

/// Glauert, R&M 1095 (1927). Closed form from memory; confirmed by a lattice.
#[test]
fn reference_ta_02_moment_of_a_flap() {
    check(&row("TA-02"), "moment", |flap| flap.moment);
}

/// The whole table: Glauert, R&M 1095 (1927); recomputed.
#[test]
fn reference_ta_03_every_row_of_the_table() {
    let rows = table("thin_aerofoil_flap.csv", include_str!("thin_aerofoil_flap.csv"));
    let tolerance = row("TA-03").tolerance();
    assert!(!rows.is_empty());
    for row in rows {
        let cell = |column: &str| -> f64 { row.text(column).parse().unwrap() };
        let flap = section_flap(cell("E_cf_over_c")).unwrap();
        let centre = 0.25 - flap.moment / flap.lift;
        for (column, found) in [
            ("dCl_ddelta_per_rad", flap.lift),
            ("tau", flap.effectiveness),
            ("dCm_c4_ddelta_per_rad", flap.moment),
            ("xcp_over_c_of_flap_lift", centre),
            ("b1_dCh_dalpha_per_rad", flap.hinge_moment_of_incidence),
            ("b2_dCh_ddelta_per_rad", flap.hinge_moment_of_flap),
        ] {
            row.assert(column, found, cell(column), tolerance);
        }
        // Printed with six decimals.
        for (column, per_radian) in [
            ("b1_per_deg", flap.hinge_moment_of_incidence),
            ("b2_per_deg", flap.hinge_moment_of_flap),
        ] {
            row.assert(column, per_radian.to_radians(), cell(column), 5e-7);
        }
        let angle = libm::acos(2.0 * cell("E_cf_over_c") - 1.0).to_degrees();
        row.assert("angle of the hinge", angle, cell("theta_h_deg"), 5e-5);
    }
}
