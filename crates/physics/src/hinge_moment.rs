//! What the air does to a control surface about its hinge.
//!
//! A moment is positive with the trailing edge down, like the angle; the air turns a
//! surface back, so that for one that is down it is negative. The slopes of
//! thin-aerofoil theory ([`section_flap`](crate::flap::section_flap)) are upper bounds:
//! measured plain flaps gave three quarters of the one and half of the other (row HM-02
//! of the references). So what comes out here may raise a doubt about a servo; the bench
//! clears it. Gaps, horn balance, a swept hinge and the body are not here.

use crate::flap::SectionFlap;

/// A control surface whose hinge line and trailing edge are straight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MovingSurface {
    /// From the hinge line to the trailing edge at one end, in m.
    pub inner_chord: f64,
    /// The same at the other end, in m; nought for one that runs out to a point.
    pub outer_chord: f64,
    /// How long it is along its hinge line, in m.
    pub length: f64,
}

impl MovingSurface {
    /// Its area, in m²; `None` if it has none.
    #[must_use]
    pub fn area(&self) -> Option<f64> {
        let area = self.length * (self.inner_chord + self.outer_chord) / 2.0;
        (self.is_one() && area.is_finite()).then_some(area)
    }

    /// The area times the chord that hinge moments count in, in m³: ∫ c² dy.
    ///
    /// L (c0² + c0 c1 + c1²)/3, the integral over straight edges, exact; for an even
    /// chord that is S c. `None` if there is no surface.
    #[must_use]
    pub fn moment_of_area(&self) -> Option<f64> {
        let (one, two) = (self.inner_chord, self.outer_chord);
        let moment = self.length * (one * one + one * two + two * two) / 3.0;
        (self.is_one() && moment.is_finite()).then_some(moment)
    }

    fn is_one(&self) -> bool {
        let (one, two) = (self.inner_chord, self.outer_chord);
        0.0 <= one && 0.0 <= two && 0.0 < one + two && 0.0 < self.length
    }
}

/// How hard the air blows, in Pa: q = ½ ρ V², the definition of dynamic pressure.
///
/// `density` is in kg/m³, `airspeed` in m/s. `None` without air, or for a speed that is
/// negative.
#[must_use]
pub fn dynamic_pressure(density: f64, airspeed: f64) -> Option<f64> {
    let pressure = 0.5 * density * airspeed * airspeed;
    let is_blown = 0.0 < density && 0.0 <= airspeed;
    (is_blown && pressure.is_finite()).then_some(pressure)
}

/// The moment about the hinge, in N m, trailing edge down positive.
///
/// H = q S c (b1 α + b2 δ), with S c from [`MovingSurface::moment_of_area`]. `flap` is
/// that of the section, alike along the surface; `incidence` is the angle of attack from
/// no lift, `deflection` that of the surface, in radians: of one sign they add. Source: the definition of the
/// hinge-moment coefficient; Houghton and Carpenter, "Aerodynamics for Engineering
/// Students", equation 4.54 and after, for the slopes. `None` if there is no surface or
/// a number is not finite.
#[must_use]
pub fn hinge_moment(
    surface: &MovingSurface,
    flap: &SectionFlap,
    dynamic_pressure: f64,
    incidence: f64,
    deflection: f64,
) -> Option<f64> {
    let coefficient = flap.hinge_moment_of_incidence * incidence
        + flap.hinge_moment_of_flap * deflection;
    let moment = dynamic_pressure * surface.moment_of_area()? * coefficient;
    moment.is_finite().then_some(moment)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flap::section_flap;

    fn surface(inner_chord: f64, outer_chord: f64, length: f64) -> MovingSurface {
        MovingSurface { inner_chord, outer_chord, length }
    }

    #[test]
    fn a_surface_cut_in_two_has_the_moments_of_both_pieces() {
        let whole = surface(0.05, 0.03, 0.3);
        let pieces = [surface(0.05, 0.045, 0.075), surface(0.045, 0.03, 0.225)];
        let sum: f64 = pieces.iter().filter_map(MovingSurface::moment_of_area).sum();
        assert!((whole.moment_of_area().unwrap() - sum).abs() < 1e-15);
        let sum: f64 = pieces.iter().filter_map(MovingSurface::area).sum();
        assert!((whole.area().unwrap() - sum).abs() < 1e-15);
        // The chord squared counts, not the area squared: a taper has more than its mean.
        assert!(surface(0.04, 0.04, 0.3).moment_of_area() < whole.moment_of_area());
    }

    #[test]
    fn the_air_turns_a_surface_back() {
        let flap = section_flap(0.25).unwrap();
        let moment = |incidence: f64, deflection: f64| {
            let pressure = dynamic_pressure(1.225, 20.0).unwrap();
            let surface = surface(0.05, 0.04, 0.3);
            hinge_moment(&surface, &flap, pressure, incidence, deflection).unwrap()
        };
        assert!(moment(0.0, 0.2) < 0.0 && 0.0 < moment(0.0, -0.2));
        assert!(moment(0.1, 0.0) < 0.0, "and lift lifts it");
        assert!((moment(0.1, 0.2) - moment(0.1, 0.0) - moment(0.0, 0.2)).abs() < 1e-15);
    }

    #[test]
    fn twice_as_fast_is_four_times_as_hard() {
        let slow = dynamic_pressure(1.225, 10.0).unwrap();
        assert!((dynamic_pressure(1.225, 20.0).unwrap() - 4.0 * slow).abs() < 1e-12);
        assert_eq!(dynamic_pressure(1.225, 0.0), Some(0.0));
    }

    #[test]
    fn what_is_no_surface_and_what_is_no_air_has_no_moment() {
        let nan = f64::NAN;
        for none in [
            surface(0.0, 0.0, 0.3),
            surface(-0.01, 0.05, 0.3),
            surface(0.05, 0.05, 0.0),
            surface(nan, 0.05, 0.3),
            surface(0.05, 0.05, f64::INFINITY),
        ] {
            assert_eq!((none.area(), none.moment_of_area()), (None, None), "{none:?}");
        }
        for (density, airspeed) in [(0.0, 1.0), (1.2, -1.0), (nan, 1.0), (1.2, 1e200)] {
            assert_eq!(dynamic_pressure(density, airspeed), None);
        }
        let flap = section_flap(0.25).unwrap();
        assert_eq!(hinge_moment(&surface(0.05, 0.05, 0.3), &flap, 200.0, nan, 0.1), None);
    }
}
