//! Steady flight, level and straight: which setting of the control trims which lift.
//!
//! All moments are about the balance point. Lift acts there as the static margin says,
//! the shape adds a moment that stays when lift is nought, and the control adds the rest:
//!
//! ```text
//! Cm = Cm0 + Cmδ δ − SM CL = 0        CL = CLα (α − α0) + CLδ δ
//! ```
//!
//! Sources: B. Etkin and L. D. Reid, "Dynamics of Flight", chapter 2; for wings without a
//! tail NACA ACR L4H19 (1944). Linear, so up to the stall at most; what the lattice leaves
//! out is left out here.

use crate::lattice::{Effect, Symmetric};

/// How an aircraft answers in pitch.
///
/// Angles are in radians, of the datum line nose up and of the control trailing edge
/// down; moments are nose up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pitch {
    /// Where lift by angle of attack acts, in m aft of the datum.
    pub neutral_point: f64,
    /// What moments are counted in, in m.
    pub mean_chord: f64,
    /// Lift coefficient per radian of angle of attack.
    pub lift_slope: f64,
    /// The angle of the datum line without lift, the control at rest.
    pub zero_lift_angle: f64,
    /// The moment coefficient without lift, the control at rest.
    pub zero_lift_moment: f64,
    /// What one radian of the control does; its moment is about the neutral point.
    pub control: Effect,
}

impl Pitch {
    /// Takes what a lattice says of a shape and of the control that trims it.
    ///
    /// `control` is one of the lattice's flap effects, along the stream or about the
    /// hinge; angles are then counted that way. `section_moment` is the moment coefficient
    /// of the sections at no lift, weighted by chord squared: with one section over the
    /// whole span, the section's own. `None` where lift does not change with the angle.
    #[must_use]
    pub fn new(
        lattice: &Symmetric,
        control: Effect,
        section_moment: f64,
    ) -> Option<Self> {
        let neutral_point = lattice.neutral_point()?;
        let moment = control.moment_about(neutral_point, &lattice.reference);
        let pitch = Self {
            neutral_point,
            mean_chord: lattice.reference.chord,
            lift_slope: lattice.angle_of_attack.lift,
            zero_lift_angle: lattice.zero_lift_angle()?,
            zero_lift_moment: lattice.zero_lift_moment()? + section_moment,
            control: Effect { moment, ..control },
        };
        Some(pitch).filter(|pitch| pitch.mean_chord > 0.0 && pitch.lift_slope > 0.0)
    }

    /// How far the balance point lies ahead of the neutral point, as a share of the mean
    /// chord; negative behind it, where the aircraft does not right itself.
    #[must_use]
    pub fn static_margin(&self, balance: f64) -> f64 {
        (self.neutral_point - balance) / self.mean_chord
    }

    /// The balance point of a static margin, in m aft of the datum.
    #[must_use]
    pub fn balance_for(&self, static_margin: f64) -> f64 {
        self.neutral_point - static_margin * self.mean_chord
    }

    /// The angle of the control that trims a lift coefficient.
    ///
    /// δ = (SM CL − Cm0)/Cmδ. `None` if the control does nothing in pitch.
    #[must_use]
    pub fn control_for(&self, lift: f64, balance: f64) -> Option<f64> {
        let asked = self.static_margin(balance) * lift - self.zero_lift_moment;
        finite(asked / self.control.moment)
    }

    /// The lift coefficient at which an angle of the control trims.
    ///
    /// CL = (Cm0 + Cmδ δ)/SM. `None` if there is none above nought: behind the neutral
    /// point, or with the nose held down, no steady flight follows.
    #[must_use]
    pub fn lift_at(&self, control: f64, balance: f64) -> Option<f64> {
        let margin = self.static_margin(balance);
        let moment = self.zero_lift_moment + self.control.moment * control;
        finite(moment / margin).filter(|lift| *lift > 0.0 && margin > 0.0)
    }

    /// The angle of the datum line that gives a lift coefficient at an angle of the
    /// control.
    #[must_use]
    pub fn angle_of_attack(&self, lift: f64, control: f64) -> f64 {
        self.zero_lift_angle + (lift - self.control.lift * control) / self.lift_slope
    }
}

fn finite(number: f64) -> Option<f64> {
    Some(number).filter(|number| number.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wing() -> Pitch {
        Pitch {
            neutral_point: 0.2,
            mean_chord: 0.25,
            lift_slope: 4.2,
            zero_lift_angle: -0.02,
            zero_lift_moment: 0.01,
            control: Effect { lift: 1.5, moment: -0.4 },
        }
    }

    #[test]
    fn the_margin_changes_sign_at_the_neutral_point() {
        let wing = wing();
        assert!(wing.static_margin(0.199) > 0.0);
        assert!(wing.static_margin(0.2).abs() < 1e-15);
        assert!(wing.static_margin(0.201) < 0.0);
        assert!((wing.balance_for(wing.static_margin(0.17)) - 0.17).abs() < 1e-15);
    }

    #[test]
    fn what_trims_a_lift_is_trimmed_at_that_lift() {
        let wing = wing();
        for lift in [0.1, 0.4, 0.9] {
            let control = wing.control_for(lift, 0.18).unwrap();
            assert!((wing.lift_at(control, 0.18).unwrap() - lift).abs() < 1e-12);
        }
    }

    #[test]
    fn more_lift_wants_more_up_and_a_balance_further_ahead_does_too() {
        let wing = wing();
        let slow = wing.control_for(0.8, 0.18).unwrap();
        assert!(slow < wing.control_for(0.3, 0.18).unwrap());
        assert!(wing.control_for(0.8, 0.17).unwrap() < slow);
    }

    #[test]
    fn the_moments_of_a_trimmed_state_add_up_to_nought() {
        let wing = wing();
        let (lift, balance) = (0.5, 0.175);
        let control = wing.control_for(lift, balance).unwrap();
        let angle = wing.angle_of_attack(lift, control);
        let by_angle = wing.lift_slope * (angle - wing.zero_lift_angle);
        let by_control = wing.control.lift * control;
        assert!((by_angle + by_control - lift).abs() < 1e-12);
        // Both act at the neutral point, but for the control's own moment.
        let about = lift * (balance - wing.neutral_point) / wing.mean_chord;
        let moment = wing.zero_lift_moment + wing.control.moment * control + about;
        assert!(moment.abs() < 1e-12);
    }

    #[test]
    fn what_has_no_answer_is_none() {
        let wing = wing();
        assert_eq!(wing.lift_at(0.0, 0.2), None);
        assert_eq!(wing.lift_at(0.0, 0.21), None);
        assert_eq!(wing.lift_at(0.5, 0.18), None);
        let stiff = Pitch { control: Effect { lift: 1.0, moment: 0.0 }, ..wing };
        assert_eq!(stiff.control_for(0.5, 0.18), None);
    }
}
