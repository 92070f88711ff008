//! What a wing's lift does to its spar, and the spar to its socket.
//!
//! Lift bends the halves up: at every station the spar carries the moment of all that
//! lies outside of it. How lift is spread comes from the lattice; how much of it there
//! is, from the load factor. What the wing itself weighs pulls the other way; it is left
//! out, on the side of more. Twisting, a skin that
//! carries too, and landings are not here. Strengths are never known here: they are the
//! builder's.

use std::f64::consts::PI;

use trimsheet_quantity::STANDARD_GRAVITY;

use crate::lattice::StripLoad;
use crate::round::Round;

/// Why a wing has no bending moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoMoment {
    /// There is no strip, or together they carry nothing or push down.
    NoLift,
    /// The station lies on the other half.
    OtherHalf,
    /// A number is not finite, or the result is not.
    TooLarge,
}

/// The lift of both halves that a mass needs at a load factor, in N: n m g.
///
/// `None` if there is no mass, or a number is not finite.
#[must_use]
pub fn lift_at(load_factor: f64, mass: f64) -> Option<f64> {
    let lift = load_factor * mass * STANDARD_GRAVITY;
    (0.0 < mass && lift.is_finite()).then_some(lift)
}

/// The moment that bends a half up at a station, in N m.
///
/// `loads` are the strips of the right half, of the surface in question only; `lift` is
/// what both halves carry together, in N, and `station` is how far out, in m. Lift is
/// even within a strip, and how it is spread does not change with how much there is, so
/// take the loads in the state that is meant. For halves that are flat or have little
/// dihedral; the strips of a winglet push sideways and are no part of it.
///
/// M = ½ L Σ l c ∫(y − y0) dy / Σ l c Δy: statics, exact for the strips.
///
/// # Errors
/// The strips carry nothing, the station lies on the other half, or a number is not
/// finite.
pub fn bending_moment(
    loads: &[StripLoad],
    lift: f64,
    station: f64,
) -> Result<f64, NoMoment> {
    outside(loads, lift, station, |inner, outer| {
        let width = outer - inner;
        width * ((inner + outer) / 2.0 - station)
    })
}

/// The force that shears a half off at a station, in N: the lift of what lies outside.
///
/// Arguments as for [`bending_moment`].
///
/// # Errors
/// As [`bending_moment`].
pub fn shear_force(
    loads: &[StripLoad],
    lift: f64,
    station: f64,
) -> Result<f64, NoMoment> {
    outside(loads, lift, station, |inner, outer| outer - inner)
}

/// Adds up something over what of each strip lies outside of a station.
fn outside(
    loads: &[StripLoad],
    lift: f64,
    station: f64,
    of: impl Fn(f64, f64) -> f64,
) -> Result<f64, NoMoment> {
    if station < 0.0 {
        return Err(NoMoment::OtherHalf);
    }
    let (mut all, mut sum) = (0.0, 0.0);
    for load in loads {
        let each = load.lift * load.chord;
        let (inner, outer) = (load.out - load.width / 2.0, load.out + load.width / 2.0);
        all += each * load.width;
        if station < outer {
            sum += each * of(inner.max(station), outer);
        }
    }
    let found = lift / 2.0 * (sum / all);
    let is_finite = [all, sum, lift, station].iter().all(|number| number.is_finite());
    if !is_finite {
        Err(NoMoment::TooLarge)
    } else if all <= 0.0 {
        Err(NoMoment::NoLift)
    } else if found.is_finite() {
        Ok(found)
    } else {
        Err(NoMoment::TooLarge)
    }
}

/// The moment at the root if lift is spread over the span as an ellipse, in N m.
///
/// M = L b/(3π), which is 0.106 L b: the middle of a quarter of an ellipse lies 4/(3π)
/// of its axis out. It is no bound: by the lattice a rectangular wing of aspect ratio 10
/// has 7 % more, one that tapers to a sixth 6 % less.
/// `lift` is that of both halves in N, `span` in m. `None` if there is no span.
#[must_use]
pub fn elliptic_root_moment(lift: f64, span: f64) -> Option<f64> {
    let moment = lift * span / (3.0 * PI);
    (0.0 < span && moment.is_finite()).then_some(moment)
}

/// The stress at the surface of a round spar or joiner, in Pa: M over the modulus of its
/// section.
///
/// `moment` is in N m; of several spars each carries its share by stiffness. Source:
/// bending of straight beams, any text on strength of materials. `None` if a number is not
/// finite.
#[must_use]
pub fn bending_stress(moment: f64, section: &Round) -> Option<f64> {
    let stress = moment.abs() / section.section_modulus();
    stress.is_finite().then_some(stress)
}

/// How hard a spar presses at the mouth and at the bottom of its socket, in Pa: 6 M/(d L²).
///
/// ```text
///   pressure  ▲▲▲▲▲                    M = ∫ p x d dx over a pressure that runs evenly
///             ││││▲▲▲                      from p at one end to −p at the other,
///   ══════════╪╪╪╪╪╪╪══════════            which is p d L²/6
///                    ▼▼▼││││
///                       ▼▼▼▼▼  depth L
/// ```
///
/// `moment` in N m, at the middle of the socket; `diameter` of the spar and `depth` of
/// the socket in m. A stiff spar in a material that gives evenly: statics. The shear
/// force adds V/(d L). `None` if there is no socket.
#[must_use]
pub fn socket_pressure(moment: f64, diameter: f64, depth: f64) -> Option<f64> {
    let pressure = 6.0 * moment.abs() / (diameter * depth * depth);
    let is_socket = 0.0 < diameter && 0.0 < depth;
    (is_socket && pressure.is_finite()).then_some(pressure)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A half wing of even lift and chord, in strips of uneven widths.
    fn even(semispan: f64) -> Vec<StripLoad> {
        let edges = [0.0, 0.1, 0.3, 0.35, 0.7, 1.0].map(|share| share * semispan);
        let pairs = edges.iter().zip(edges.iter().skip(1));
        let strip = |(inner, outer): (&f64, &f64)| StripLoad {
            surface: 0,
            out: (inner + outer) / 2.0,
            up: 0.0,
            width: outer - inner,
            chord: 0.2,
            lift: 0.5,
        };
        pairs.map(strip).collect()
    }

    #[test]
    fn even_lift_bends_as_a_beam_under_an_even_load_does() {
        let loads = even(0.8);
        let per_metre = 30.0;
        let lift = 2.0 * 0.8 * per_metre;
        for station in [0.0, 0.05, 0.28, 0.5, 0.79, 0.8, 2.0] {
            let arm = (0.8_f64 - station).max(0.0);
            let moment = bending_moment(&loads, lift, station).unwrap();
            assert!((moment - per_metre * arm * arm / 2.0).abs() < 1e-12);
            let shear = shear_force(&loads, lift, station).unwrap();
            assert!((shear - per_metre * arm).abs() < 1e-12);
        }
    }

    #[test]
    fn how_the_strips_are_scaled_does_not_matter() {
        let loads = even(0.8);
        let mut more = loads.clone();
        for load in &mut more {
            load.lift *= 3.7;
        }
        let [one, two] = [loads, more].map(|loads| bending_moment(&loads, 10.0, 0.1));
        assert!((one.unwrap() - two.unwrap()).abs() < 1e-12);
    }

    #[test]
    fn a_socket_a_quarter_deeper_is_pressed_by_a_third_less() {
        let pressure = socket_pressure(5.0, 0.008, 0.100).unwrap();
        assert!((pressure - 375e3).abs() < 1e-6);
        let deeper = socket_pressure(5.0, 0.008, 0.125).unwrap();
        assert!((deeper - 240e3).abs() < 1e-6);
    }

    #[test]
    fn the_pressure_in_a_socket_holds_the_moment() {
        let (moment, diameter, depth) = (5.0, 0.008, 0.1);
        let edge = socket_pressure(moment, diameter, depth).unwrap();
        // Ten thousand slices of a pressure that runs evenly from one end to the other.
        let held: f64 = (0..10_000)
            .map(|slice| {
                let from_middle = (f64::from(slice) + 0.5) / 10_000.0 - 0.5;
                let force = edge * 2.0 * from_middle * diameter * depth / 10_000.0;
                force * from_middle * depth
            })
            .sum();
        assert!((held - moment).abs() < 1e-6, "{held}");
    }

    #[test]
    fn a_tube_bears_a_moment_with_more_stress_than_a_rod_as_thick() {
        let (rod, tube) = (Round::rod(0.01).unwrap(), Round::tube(0.01, 0.008).unwrap());
        let stress = bending_stress(6.0, &rod).unwrap();
        assert!((stress - 32.0 * 6.0 / (PI * 1e-6)).abs() < 1.0);
        assert!((bending_stress(-6.0, &rod).unwrap() - stress).abs() < 1e-6);
        assert!(stress < bending_stress(6.0, &tube).unwrap());
    }

    #[test]
    fn what_has_no_answer_says_why() {
        let loads = even(0.8);
        assert_eq!(bending_moment(&[], 10.0, 0.0), Err(NoMoment::NoLift));
        assert_eq!(bending_moment(&loads, 10.0, -0.1), Err(NoMoment::OtherHalf));
        for (lift, station) in [(f64::NAN, 0.0), (1.0, f64::NAN), (f64::INFINITY, 0.0)] {
            assert_eq!(bending_moment(&loads, lift, station), Err(NoMoment::TooLarge));
        }
        let mut down = loads;
        for load in &mut down {
            load.lift = -load.lift;
        }
        assert_eq!(bending_moment(&down, 10.0, 0.0), Err(NoMoment::NoLift));
        assert_eq!(elliptic_root_moment(10.0, 0.0), None);
        assert_eq!(elliptic_root_moment(f64::NAN, 1.0), None);
    }

    #[test]
    fn what_has_no_size_or_no_number_has_no_answer() {
        assert_eq!((lift_at(6.0, 0.0), lift_at(f64::NAN, 1.0)), (None, None));
        assert_eq!(bending_stress(f64::NAN, &Round::rod(0.01).unwrap()), None);
        assert_eq!(socket_pressure(7.0, 0.0, 0.1), None);
        assert_eq!(socket_pressure(f64::INFINITY, 0.01, 0.1), None);
    }
}
