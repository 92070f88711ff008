//! What radio loses in free space, against the recommendation of the ITU.

use trimsheet_physics::radio::{Link, free_space_loss};

use crate::rows::{row, table};

const MEGAHERTZ: f64 = 1e6;
const KILOMETRE: f64 = 1e3;

/// ITU-R P.525-5. Formula read; the table recomputed from it.
#[test]
fn reference_rf_01_free_space_loss() {
    let own = row("RF-01");
    let rows = table("fspl.csv", include_str!("fspl.csv"));
    assert!(rows.len() > 20);
    for row in rows {
        let cell = |column: &str| row.numbers(column)[0];
        let (frequency, distance) = (cell("f_MHz") * MEGAHERTZ, cell("d_km") * KILOMETRE);
        let found = free_space_loss(frequency, distance).unwrap();
        row.assert("exact", found, cell("exact_dB"), 0.001);
        // The recommendation rounds its constant of 32.4478 to 32.4.
        let rounded = cell("P.525_rounded_32.4_dB");
        row.assert("rounded", found, rounded, own.tolerance());
    }
}

/// ITU-R P.525-5. Recomputed.
#[test]
fn reference_rf_02_numbers() {
    let row = row("RF-02");
    let inputs = row.numbers("inputs");
    let pairs: Vec<&[f64]> = inputs.chunks_exact(2).collect();
    let expected = row.numbers("expected");
    assert_eq!((pairs.len(), expected.len()), (3, 3));
    for (pair, expected) in pairs.into_iter().zip(expected) {
        let found = free_space_loss(pair[0] * MEGAHERTZ, pair[1] * KILOMETRE).unwrap();
        row.assert("loss", found, expected, row.tolerance());
    }
}

/// Friis, with numbers of our own. Recomputed.
#[test]
fn reference_rf_03_link_budget() {
    let row = row("RF-03");
    let [sent, sender, hearer, megahertz, kilometres, sensitivity] =
        row.numbers("inputs")[..]
    else {
        panic!("other inputs: {:?}", row.numbers("inputs"))
    };
    let ratio = |decibels: f64| libm::pow(10.0, decibels / 10.0);
    let link = Link {
        frequency: megahertz * MEGAHERTZ,
        sent: ratio(sent) / 1e3,
        sender_gain: ratio(sender),
        hearer_gain: ratio(hearer),
        sensitivity: ratio(sensitivity) / 1e3,
    };
    let found = 10.0 * libm::log10(link.margin(kilometres * KILOMETRE).unwrap());
    row.assert("margin", found, row.numbers("expected")[0], row.tolerance());
}
