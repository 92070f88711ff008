//! Packs by their label, against definitions of standards.

use trimsheet_physics::pack::{Charge, Chemistry, cell_volts, energy, rated_current};

use crate::rows::row;

const HOUR: f64 = 3600.0;

/// IEC 61434, It = C / 1 h, from memory; recomputed.
#[test]
fn reference_el_12_current_of_a_rating() {
    let own = row("EL-12");
    let inputs = own.numbers("inputs");
    let (milliampere_hours, rating, charging) = (inputs[0], inputs[1], inputs[2]);
    let charge = milliampere_hours / 1e3 * HOUR;
    let expected = own.numbers("expected");
    own.assert("current", rated_current(charge, rating), expected[0], 1e-9);
    let one = rated_current(charge, charging);
    own.assert("charging", one, expected[1], 1e-9);
    own.assert("hours", charge / one / HOUR, expected[2], 1e-9);
}

/// Watt hours are volts times ampere hours: 49 CFR 171.8, UN 38.3.2.3. Recomputed.
#[test]
fn reference_el_13_energy() {
    let own = row("EL-13");
    let (inputs, expected) = (own.numbers("inputs"), own.numbers("expected"));
    assert_eq!(inputs.len(), 3 * expected.len());
    for (case, expected) in inputs.chunks_exact(3).zip(expected) {
        let found = energy(case[2] * HOUR, case[0] * case[1]) / HOUR;
        own.assert("energy", found, expected, 1e-9);
    }
}

/// The volts that makers state of lithium cells; IEC 61960-3 leaves them to the maker, so
/// that this is a default and no check value. From memory.
#[test]
fn reference_el_14_cells_are_charged_and_named_as_makers_state() {
    for chemistry in [Chemistry::LithiumPolymer, Chemistry::LithiumIon] {
        assert!((cell_volts(chemistry, Charge::Full) - 4.20).abs() < 1e-12);
        assert!((3.6..=3.7).contains(&cell_volts(chemistry, Charge::Nominal)));
        // Under a load a pack is landed well above its end of discharge at rest.
        assert!((2.5..3.6).contains(&cell_volts(chemistry, Charge::Low)));
    }
}
