//! Moments about hinges, against theory worked out by others and against measurements.

use trimsheet_physics::flap::section_flap;
use trimsheet_physics::hinge_moment::{MovingSurface, dynamic_pressure, hinge_moment};
use trimsheet_physics::loading::SEA_LEVEL_DENSITY;

use crate::rows::row;

/// Houghton and Carpenter, equation 4.54 and after. Formula derived, the printed form of
/// b2 read; numbers confirmed by discrete vortices.
#[test]
fn reference_hm_01_slopes_of_thin_aerofoil_theory() {
    let row = row("HM-01");
    let (shares, expected) = (row.numbers("inputs"), row.numbers("expected"));
    assert_eq!((shares.len(), expected.len()), (2, 4));
    for (share, slopes) in shares.into_iter().zip(expected.chunks_exact(2)) {
        let flap = section_flap(share).unwrap();
        row.assert("b1", flap.hinge_moment_of_incidence, slopes[0], row.tolerance());
        row.assert("b2", flap.hinge_moment_of_flap, slopes[1], row.tolerance());
    }
}

/// NACA tests of a plain flap, as a column quotes them; read. An order of magnitude:
/// theory is above what was measured, in every slope, and below three times of it.
#[test]
fn reference_hm_02_theory_is_above_what_was_measured() {
    let row = row("HM-02");
    let (shares, measured) = (row.numbers("inputs"), row.numbers("expected"));
    assert_eq!((shares.len(), measured.len()), (2, 4));
    for (share, slopes) in shares.into_iter().zip(measured.chunks_exact(2)) {
        let flap = section_flap(share).unwrap();
        let theory = [flap.hinge_moment_of_flap, flap.hinge_moment_of_incidence];
        for (theory, measured) in theory.into_iter().zip(slopes) {
            let times = theory.to_radians() / measured;
            assert!(1.0 < times && times < 3.0, "{share}: {times}");
        }
    }
    let note = row.numbers("note");
    let [.., flap_more, incidence_more] = note[..] else { panic!("other note") };
    let theory = section_flap(0.2).unwrap();
    let more =
        |theory: f64, measured: f64| (theory.to_radians() / measured - 1.0) * 100.0;
    let found = more(theory.hinge_moment_of_flap, measured[0]);
    row.assert("per cent above, flap", found, flap_more, 0.5);
    let found = more(theory.hinge_moment_of_incidence, measured[1]);
    row.assert("per cent above, incidence", found, incidence_more, 0.5);
}

/// Own numbers, recomputed: H = q S c b2 δ.
#[test]
fn reference_hm_03_moment_of_an_elevon() {
    let row = row("HM-03");
    let [speed, length, chord, share, degrees, incidence] = row.numbers("inputs")[..]
    else {
        panic!("other inputs")
    };
    let pressure = dynamic_pressure(SEA_LEVEL_DENSITY, speed).unwrap();
    let flap = section_flap(share / 100.0).unwrap();
    let even = MovingSurface {
        inner_chord: chord / 1e3,
        outer_chord: chord / 1e3,
        length: length / 1e3,
    };
    let down =
        hinge_moment(&even, &flap, pressure, incidence, degrees.to_radians()).unwrap();
    let expected = row.numbers("expected");
    let tolerance = row.tolerance() / 100.0;
    row.assert("moment", -down, expected[0], tolerance * expected[0]);
    // A kilogram's weight on an arm of a centimetre.
    let weights = -down / (9.80665 * 0.01);
    row.assert("moment, kgf cm", weights, expected[1], tolerance * expected[1]);
}
