//! Four-bar linkages, against a table that was worked out by intersecting circles.
//!
//! The table looks at a linkage from the left: the servo's axis at the origin, the hinge
//! so far aft and so far up of it, arm and horn up from their axes. All of its angles
//! are positive with the top going aft, and so are ours; a horn above the hinge line
//! then turns the trailing edge down.

use trimsheet_physics::linkage::{Linkage, Plane, Rod};

use crate::rows::{Row, read, row, table};

fn cell(row: &Row, column: &str) -> f64 {
    row.text(column).parse().unwrap()
}

fn rows() -> Vec<Row> {
    let rows = table("linkage.csv", include_str!("linkage.csv"));
    assert!(40 <= rows.len());
    rows
}

fn linkage(row: &Row, rod: Rod) -> Linkage {
    let length = |column: &str| cell(row, column) / 1e3;
    let plane = Plane {
        arm: length("servo_arm_mm"),
        horn: length("horn_mm"),
        hinge_aft: length("pivot_to_hinge_x_mm"),
        hinge_up: length("hinge_z_offset_mm"),
        arm_lean: cell(row, "arm_neutral_deg").to_radians(),
        horn_lean: cell(row, "horn_neutral_deg").to_radians(),
        rod,
    };
    plane.linkage().unwrap()
}

/// F. Freudenstein (1955); recomputed by intersecting circles.
#[test]
fn reference_lk_01_surface_angles() {
    let tolerance = row("LK-01").tolerance();
    for row in rows() {
        let rod = cell(&row, "rod_len_mm") / 1e3;
        let stated = linkage(&row, Rod::Long(rod));
        let servo = cell(&row, "servo_deg");
        // Where a table says in words that there is no angle, there is none.
        let Ok(expected) = row.text("surface_deg_exact").parse::<f64>() else {
            assert!(stated.surface(servo.to_radians()).is_err(), "{servo} degrees");
            continue;
        };
        let found = stated.surface(servo.to_radians()).unwrap();
        row.assert("surface angle", found.to_degrees(), expected, tolerance);
        let back = stated.servo(found).unwrap();
        row.assert("servo angle", back.to_degrees(), servo, 1e-6);
        let at_rest = stated.rest().to_degrees();
        if at_rest.abs() < tolerance {
            let closed = linkage(&row, Rod::ClosedAtNeutral);
            let found = closed.surface(servo.to_radians()).unwrap().to_degrees();
            row.assert("surface angle, rod that closes", found, expected, tolerance);
        }
    }
}

/// Of our own rows the last printed digit is right as well, and the rods close.
#[test]
fn reference_lk_01_to_the_last_digit() {
    for row in read(include_str!("linkage.csv")) {
        let closed = linkage(&row, Rod::ClosedAtNeutral);
        row.assert("rod", closed.rod() * 1e3, cell(&row, "rod_len_mm"), 5.1e-6);
        let found = closed.surface(cell(&row, "servo_deg").to_radians()).unwrap();
        let expected = cell(&row, "surface_deg_exact");
        row.assert("surface angle", found.to_degrees(), expected, 5.1e-5);
    }
}

/// Arm over horn, where both are square to the rod; recomputed.
#[test]
fn reference_lk_02_slope_at_neutral() {
    let row = row("LK-02");
    let [arm, horn] = row.numbers("inputs")[..] else { panic!("other inputs") };
    let plane = Plane {
        arm: arm / 1e3,
        horn: horn / 1e3,
        hinge_aft: 0.120,
        hinge_up: (arm - horn) / 1e3,
        arm_lean: 0.0,
        horn_lean: 0.0,
        rod: Rod::ClosedAtNeutral,
    };
    let expected = row.numbers("expected");
    let square = plane.linkage().unwrap().position(0.0).unwrap();
    row.assert("slope", square.slope(), expected[0], row.tolerance());
    let (arm, horn) = (square.arm_transmission, square.horn_transmission);
    row.assert("arm square to rod", arm.to_degrees(), 90.0, 1e-6);
    row.assert("horn square to rod", horn.to_degrees(), 90.0, 1e-6);
    let case = rows().into_iter().find(|row| row.text("case") == "L1").unwrap();
    let exact = linkage(&case, Rod::ClosedAtNeutral).position(0.0).unwrap();
    row.assert("slope of case L1", exact.slope(), *expected.last().unwrap(), 1e-3);
}

/// A horn that leans; recomputed.
#[test]
fn reference_lk_03_unequal_throws_of_a_raked_horn() {
    let row = row("LK-03");
    let case = rows().into_iter().find(|row| row.text("case") == "L4").unwrap();
    let throws =
        linkage(&case, Rod::ClosedAtNeutral).throws(30_f64.to_radians()).unwrap();
    let [down, up] = row.numbers("expected")[..] else { panic!("other results") };
    row.assert("down", throws.down.to_degrees(), down, row.tolerance());
    row.assert("up", -throws.up.to_degrees(), up, row.tolerance());
    let more = throws.unevenness().unwrap();
    row.assert("unevenness", more, down / -up - 1.0, 1e-3);
}
