//! Round rods and tubes: what their section gives to columns and beams.

use std::f64::consts::PI;

/// The section of a round rod or tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Round {
    /// In m; above nought.
    outer: f64,
    /// In m; never negative and below the outer one, nought for a rod.
    inner: f64,
}

impl Round {
    /// A solid rod, by its diameter in m; `None` if it has none.
    #[must_use]
    pub fn rod(diameter: f64) -> Option<Self> {
        Self::tube(diameter, 0.0)
    }

    /// A tube, by its outer and inner diameter in m.
    ///
    /// `None` if there is no wall between them, or one is negative or not finite.
    #[must_use]
    pub fn tube(outer: f64, inner: f64) -> Option<Self> {
        let is_one = 0.0 <= inner && inner < outer && outer.is_finite();
        let section = Self { outer, inner };
        (is_one && 0.0 < section.second_moment())
            .then_some(section)
            .filter(|section| section.second_moment().is_finite())
    }

    /// The outer diameter in m.
    #[must_use]
    pub fn outer(&self) -> f64 {
        self.outer
    }

    /// The inner diameter in m, nought for a rod.
    #[must_use]
    pub fn inner(&self) -> f64 {
        self.inner
    }

    /// The area of the material, in m²: π (D² − d²)/4.
    #[must_use]
    pub fn area(&self) -> f64 {
        PI / 4.0 * (self.outer * self.outer - self.inner * self.inner)
    }

    /// The second moment of area about a diameter, in m⁴: π (D⁴ − d⁴)/64.
    ///
    /// Source: any table of sections, for example Machinery's Handbook, "Moments of
    /// inertia, section moduli, and radii of gyration"; from memory.
    #[must_use]
    pub fn second_moment(&self) -> f64 {
        let (outer, inner) = (self.outer * self.outer, self.inner * self.inner);
        PI / 64.0 * (outer * outer - inner * inner)
    }

    /// The second moment over half the diameter, in m³: a moment over it is the stress
    /// at the surface. Source: as for [`Round::second_moment`].
    #[must_use]
    pub fn section_modulus(&self) -> f64 {
        2.0 * self.second_moment() / self.outer
    }

    /// How it resists bending, in N m²: E I. `young` is the modulus of its material, in Pa.
    ///
    /// `None` if the material has no modulus.
    #[must_use]
    pub fn stiffness(&self, young: f64) -> Option<f64> {
        let stiffness = young * self.second_moment();
        (0.0 < stiffness && stiffness.is_finite()).then_some(stiffness)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rod_twice_as_thick_is_sixteen_times_as_stiff_and_eight_times_as_strong() {
        let (thin, thick) = (Round::rod(0.001).unwrap(), Round::rod(0.002).unwrap());
        assert!((thick.second_moment() / thin.second_moment() - 16.0).abs() < 1e-12);
        assert!((thick.section_modulus() / thin.section_modulus() - 8.0).abs() < 1e-12);
        assert!((thick.area() / thin.area() - 4.0).abs() < 1e-12);
    }

    #[test]
    fn a_tube_is_a_rod_less_the_rod_that_fits_in_it() {
        let tube = Round::tube(0.004, 0.003).unwrap();
        let (whole, hole) = (Round::rod(0.004).unwrap(), Round::rod(0.003).unwrap());
        let less = whole.second_moment() - hole.second_moment();
        assert!((tube.second_moment() / less - 1.0).abs() < 1e-12);
        assert!((tube.area() / (whole.area() - hole.area()) - 1.0).abs() < 1e-12);
        assert_eq!((tube.outer(), tube.inner()), (0.004, 0.003));
    }

    #[test]
    fn what_has_no_wall_is_no_tube() {
        for (outer, inner) in [
            (0.003, 0.003),
            (0.003, 0.004),
            (0.0, 0.0),
            (0.003, -0.001),
            (f64::NAN, 0.0),
            (f64::INFINITY, 0.0),
            (0.003, f64::NAN),
            (1e200, 0.0),
            (1e-200, 0.0),
        ] {
            assert_eq!(Round::tube(outer, inner), None, "{outer} {inner}");
        }
    }
}
