//! Trim of wings without a tail.
//!
//! No published worked example was found: the rows hold own numbers of another code, by
//! published formulas, and check that ours says the same.

use trimsheet_physics::lattice::Lattice;
use trimsheet_physics::loading::stall_speed;
use trimsheet_physics::trim::Pitch;

use crate::planforms::invented;
use crate::rows::{Row, numbers, row, table};

/// The planform that a row names, from the nine invented ones.
fn planform_of(row: &Row) -> Row {
    let name = row.text("inputs").split([' ', ',']).find(|word| word.starts_with('P'));
    let mut rows = table("vlm_planforms.csv", include_str!("vlm_planforms.csv"));
    let found = rows.iter().position(|one| Some(one.text("id")) == name);
    rows.swap_remove(found.expect("the planform of the row"))
}

/// The number that follows some words in a column.
fn after(row: &Row, column: &str, words: &str) -> f64 {
    let (_, rest) = row.text(column).split_once(words).expect("the words of the column");
    numbers(rest)[0]
}

/// Formulas: I. Kroo, notes on stability; Etkin and Reid, chapter 2; NACA ACR L4H19.
/// The numbers are own ones of a second code.
fn trims_as_the_row_says(id: &str) {
    let row = row(id);
    let (surface, reference) = invented(&planform_of(&row));
    let lattice = Lattice::new(&[surface], reference).unwrap().symmetric().unwrap();
    let pitch = Pitch::new(&lattice, lattice.flaps[0].streamwise, 0.0).unwrap();
    let balance = pitch.balance_for(after(&row, "inputs", "static margin ") / 100.0);
    let lift = after(&row, "inputs", "CL ");
    row.assert("balance", balance * 1e3, after(&row, "expected", "x_cg "), 0.3);
    let control = pitch.control_for(lift, balance).unwrap();
    let expected = after(&row, "expected", "elevon ");
    row.assert("elevon", control.to_degrees(), expected, 0.03 * expected.abs());
    let angle = pitch.angle_of_attack(lift, control).to_degrees();
    row.assert("angle", angle, after(&row, "expected", "alpha_root "), 0.1);
    let mass = after(&row, "inputs", "mass ");
    let density = after(&row, "inputs", "rho ");
    let speed = stall_speed(mass, reference.area, density, lift).unwrap();
    let expected = after(&row, "expected", "V ");
    row.assert("speed", speed, expected, 0.001 * expected);
    // The row gives no tolerance for this one; it goes with the moment of the washout,
    // which VL-14 allows 7 % or 8e-4.
    let expected = after(&row, "expected", "(elevon 0) ");
    let margin = pitch.static_margin(balance);
    let allowed = (0.07 * expected).max(8e-4 / margin);
    let found = pitch.lift_at(0.0, balance).unwrap_or(0.0);
    row.assert("lift with the stick let go", found, expected, allowed);
}

#[test]
fn reference_tr_01_trim_of_a_swept_wing_with_washout() {
    trims_as_the_row_says("TR-01");
}

#[test]
fn reference_tr_02_trim_of_a_larger_swept_wing() {
    trims_as_the_row_says("TR-02");
}

#[test]
fn reference_tr_04_trim_of_a_plank() {
    trims_as_the_row_says("TR-04");
}
