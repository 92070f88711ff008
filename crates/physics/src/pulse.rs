//! What a servo is told: the length of a pulse, for the angle of its arm.
//!
//! Times are in seconds, angles in radians from the servo's neutral, shares as parts of
//! one: 1 is 100 %. How far a servo turns for a pulse is its own and must be stated, or
//! measured; it is near enough even over the travel of control surfaces (common
//! practice, no source).

/// The pulse at which servos stand at neutral, in s: 1500 µs (common practice, no source).
pub const NEUTRAL: f64 = 1.5e-3;

/// How a servo answers pulses, and how far what sends them counts as all the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pulses {
    /// The pulse at which the arm stands at neutral, in s; usually [`NEUTRAL`].
    pub neutral: f64,
    /// By how much a longer pulse turns the arm, in s per radian; negative for a servo
    /// that turns against the count of its linkage's angles. Never nought.
    pub per_radian: f64,
    /// By how much a pulse differs from neutral at 100 %, in s; above nought.
    pub full: f64,
}

impl Pulses {
    /// The pulse for an angle of the arm, in s.
    ///
    /// `None` if there is no such pulse: it would end before it begins.
    #[must_use]
    pub fn pulse(&self, angle: f64) -> Option<f64> {
        let pulse = self.neutral + self.per_radian * angle;
        (0.0 < pulse && pulse.is_finite()).then_some(pulse)
    }

    /// The angle of the arm for a pulse in s. `None` if the servo does not answer.
    #[must_use]
    pub fn angle(&self, pulse: f64) -> Option<f64> {
        let angle = (pulse - self.neutral) / self.per_radian;
        angle.is_finite().then_some(angle)
    }

    /// How much of all the way an angle of the arm is: the end point to be set for it.
    ///
    /// Negative where the pulse is shorter than at neutral. `None` if nothing counts as
    /// all the way.
    #[must_use]
    pub fn share(&self, angle: f64) -> Option<f64> {
        let share = self.per_radian * angle / self.full;
        (0.0 < self.full && share.is_finite()).then_some(share)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pulses() -> Pulses {
        let per_radian = 10e-6 * 180.0 / std::f64::consts::PI;
        Pulses { neutral: NEUTRAL, per_radian, full: 500e-6 }
    }

    #[test]
    fn ten_microseconds_a_degree_make_1900_at_40_degrees_and_that_is_80_per_cent() {
        let angle = 40_f64.to_radians();
        assert!((pulses().pulse(angle).unwrap() - 1.9e-3).abs() < 1e-15);
        assert!((pulses().share(angle).unwrap() - 0.8).abs() < 1e-12);
        assert!((pulses().angle(1.9e-3).unwrap() - angle).abs() < 1e-12);
    }

    #[test]
    fn a_servo_that_turns_the_other_way_gets_the_shorter_pulse() {
        let reversed = Pulses { per_radian: -pulses().per_radian, ..pulses() };
        assert!(reversed.pulse(0.3).unwrap() < NEUTRAL);
        assert!(reversed.share(0.3).unwrap() < 0.0);
        let back = reversed.angle(reversed.pulse(0.3).unwrap()).unwrap();
        assert!((back - 0.3).abs() < 1e-12);
    }

    #[test]
    fn a_servo_that_does_not_turn_and_a_span_of_nothing_have_no_answer() {
        let still = Pulses { per_radian: 0.0, full: 0.0, ..pulses() };
        assert_eq!((still.angle(1.6e-3), still.share(0.1)), (None, None));
        assert_eq!(pulses().pulse(f64::NAN), None);
        assert_eq!(pulses().pulse(-3.0), None, "shorter than nothing");
        assert_eq!(pulses().share(f64::INFINITY), None);
    }
}
