//! A flap on a thin section: what its deflection does, in two dimensions.
//!
//! The section is a bent line in a stream without friction. Angles are positive with
//! the trailing edge down, and small. Real flaps do less: the air thickens ahead of the
//! hinge and leaves the surface behind it, and past some 15° little more is gained. So
//! these are upper bounds of what a model gets.
//!
//! Source: H. Glauert, ARC R&M 1095 (1927).

use std::f64::consts::PI;

/// What one radian of flap does to a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionFlap {
    /// The angle of attack that lifts as much, as a share of the flap angle: τ.
    pub effectiveness: f64,
    /// The lift coefficient per radian: 2π τ.
    pub lift: f64,
    /// The moment about the quarter chord per radian, nose up positive: negative.
    pub moment: f64,
    /// The hinge moment per radian of angle of attack, over q and the flap's chord
    /// squared, trailing edge down positive: b1, negative.
    pub hinge_moment_of_incidence: f64,
    /// The hinge moment per radian of the flap's own deflection, over q and its chord
    /// squared, trailing edge down positive: b2, negative. Measured plain flaps have
    /// about two thirds of it (common practice, no source), so it is an upper bound.
    pub hinge_moment_of_flap: f64,
}

/// Works out a flap from its chord as a share of the section's.
///
/// With cos θ = 2 E − 1: τ = 1 − (θ − sin θ)/π, dCm/dδ = −½ sin θ (1 − cos θ), and
/// b1 = −((π − θ)(cos θ − ½) + sin θ (1 − ½ cos θ))/E², from the pressures of a flat
/// plate. A flap has those of a plate at (1 − θ/π) δ and those of the kink,
/// 4/π ln|sin ½(φ + θ)/sin ½(φ − θ)| δ, integrated behind the hinge:
/// b2 = (1 − θ/π) b1 − sin θ ((π − θ) cos θ + sin θ)/(2π E²).
/// `None` if the share is not above 0 and up to 1.
#[must_use]
pub fn section_flap(chord_share: f64) -> Option<SectionFlap> {
    if !(0.0 < chord_share && chord_share <= 1.0) {
        return None;
    }
    let cosine = 2.0 * chord_share - 1.0;
    let angle = libm::acos(cosine);
    let sine = libm::sin(angle);
    let effectiveness = 1.0 - (angle - sine) / PI;
    let behind = PI - angle;
    let about_hinge = behind * (cosine - 0.5) + sine * (1.0 - cosine / 2.0);
    let of_incidence = -about_hinge / (chord_share * chord_share);
    let of_kink =
        -sine * (behind * cosine + sine) / (2.0 * PI * chord_share * chord_share);
    Some(SectionFlap {
        effectiveness,
        lift: 2.0 * PI * effectiveness,
        moment: -0.5 * sine * (1.0 - cosine),
        hinge_moment_of_incidence: of_incidence,
        hinge_moment_of_flap: behind / PI * of_incidence + of_kink,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flap_of_the_whole_chord_is_an_angle_of_attack() {
        let whole = section_flap(1.0).unwrap();
        assert!((whole.effectiveness - 1.0).abs() < 1e-12 && whole.moment.abs() < 1e-12);
        let (one, two) = (whole.hinge_moment_of_incidence, whole.hinge_moment_of_flap);
        assert!((one - two).abs() < 1e-12);
    }

    #[test]
    fn a_flap_is_harder_to_turn_itself_than_for_the_wing_to_turn_it() {
        for percent in 1..100 {
            let flap = section_flap(f64::from(percent) / 100.0).unwrap();
            assert!(flap.hinge_moment_of_flap < flap.hinge_moment_of_incidence);
        }
    }

    #[test]
    fn a_flap_without_chord_or_longer_than_its_section_is_none() {
        for share in [0.0, -0.1, 1.1, f64::NAN] {
            assert_eq!(section_flap(share), None);
        }
    }
}
