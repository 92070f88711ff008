//! How hard a pushrod can be pressed before it bows out.
//!
//! Euler's column with ends that are free to turn, as clevises and bends are. It is a
//! ceiling: a rod that is not straight, a clevis that pulls to one side and play in the
//! guides all lower it. It is that of *bowing* only: a short thick rod yields first, so
//! compare the force over the area with what the material bears.

use std::f64::consts::PI;

use crate::round::Round;

/// The force at which a rod bows out, in N: π² E I/L².
///
/// `stiffness` is E I in N m², for a rod within a sleeve the sum of both ([`sleeved`]);
/// `free_length` is between its ends, or between guides, in m: a guide keeps the
/// rod from moving aside and lets it turn, so it bows in as many waves as there are
/// lengths between them.
///
/// Source: L. Euler; in any text on strength of materials, for example Timoshenko,
/// "Strength of Materials", part II, "Buckling of bars", from memory. `None` if there is
/// no rod.
#[must_use]
pub fn buckling_force(stiffness: f64, free_length: f64) -> Option<f64> {
    let force = PI * PI * stiffness / (free_length * free_length);
    let is_rod = 0.0 < stiffness && 0.0 < free_length;
    (is_rod && force.is_finite()).then_some(force)
}

/// The stiffness of a rod within a tube that fits it, in N m²: they bend together, and
/// neither holds the other's length, so their E I add.
///
/// Each is given as its section and the modulus of its material in Pa. `None` if one of
/// them has no modulus.
#[must_use]
pub fn sleeved(rod: (Round, f64), tube: (Round, f64)) -> Option<f64> {
    let stiffness = rod.0.stiffness(rod.1)? + tube.0.stiffness(tube.1)?;
    stiffness.is_finite().then_some(stiffness)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Steel, in Pa, as tables give it (common practice, no source).
    const STEEL: f64 = 205e9;

    fn steel(diameter: f64) -> f64 {
        Round::rod(diameter).unwrap().stiffness(STEEL).unwrap()
    }

    #[test]
    fn a_wire_of_1_2_mm_and_150_mm_bears_9_n_and_one_of_2_mm_69() {
        assert!((buckling_force(steel(0.0012), 0.150).unwrap() - 9.15).abs() < 0.01);
        assert!((buckling_force(steel(0.0020), 0.150).unwrap() - 70.6).abs() < 0.1);
        // With the softest of the usual moduli, 200 GPa.
        let soft = Round::rod(0.0020).unwrap().stiffness(200e9).unwrap();
        assert!((buckling_force(soft, 0.150).unwrap() - 68.9).abs() < 0.1);
    }

    #[test]
    fn a_guide_in_the_middle_makes_a_rod_bear_four_times_as_much() {
        let free = buckling_force(steel(0.001), 0.2).unwrap();
        let guided = buckling_force(steel(0.001), 0.1).unwrap();
        assert!((guided / free - 4.0).abs() < 1e-12);
    }

    #[test]
    fn a_sleeve_adds_its_own_stiffness() {
        let rod = Round::rod(0.0012).unwrap();
        let tube = Round::tube(0.003, 0.0012).unwrap();
        let together = sleeved((rod, STEEL), (tube, 100e9)).unwrap();
        // Of one material they are one rod.
        let one = sleeved((rod, STEEL), (tube, STEEL)).unwrap();
        assert!((one / steel(0.003) - 1.0).abs() < 1e-12);
        assert!(steel(0.0012) < together && together < one);
    }

    #[test]
    fn what_is_no_rod_has_no_force() {
        for (stiffness, length) in
            [(0.0, 0.1), (0.02, 0.0), (-1.0, 0.1), (f64::NAN, 0.1), (1.0, 1e-200)]
        {
            assert_eq!(buckling_force(stiffness, length), None);
        }
        assert_eq!(Round::rod(0.001).unwrap().stiffness(f64::NAN), None);
    }
}
