//! How long and how far a pack carries a model in level flight.
//!
//! Power is that of the drag polar over one efficiency for everything between the packs
//! and the air, taken as steady over speed and charge: [`crate::propulsion`] works it out
//! for each speed. No answer holds back a reserve; the caller takes off what stays in the
//! pack.
//!
//! A pack that is emptied faster than its charge was rated gives less, by the exponent of
//! Peukert: t = R (C/(I R))^n, with R the hours of the rating. That law was found for lead;
//! small lithium packs lie between 1.0 and 1.1 (common practice, no source), and at an
//! exponent of 1 it is plain division. Below the rated current it promises more than the
//! charge, so that there nothing should be built on it.
//!
//! Sources: L. W. Traub, "Range and Endurance Estimates for Battery-Powered Aircraft",
//! Journal of Aircraft 48(2), 2011, 703-707: the power was read, the endurance is from
//! memory. M. Hepperle, "Electric Flight - Potential and Limitations", NATO
//! STO-MP-AVT-209, 2012: from memory.

use trimsheet_quantity::STANDARD_GRAVITY;

use crate::polar::{Flight, Polar};

/// Packs that are emptied at a steady rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Store {
    /// The charge that may be used, in C.
    pub charge: f64,
    /// While it is used, in V.
    pub volts: f64,
    /// In how many seconds the charge was rated to be used.
    pub rated_time: f64,
    /// n, at least 1.
    pub exponent: f64,
}

/// How long energy in J lasts at a power in W, in s.
///
/// `None` without either.
#[must_use]
pub fn endurance(energy: f64, power: f64) -> Option<f64> {
    answered([energy, power], energy / power)
}

impl Store {
    /// How long it lasts at a power in W, in s: t = R (U C/(P R))^n.
    ///
    /// `None` without charge, volts, rated time or power, and with an exponent below 1.
    #[must_use]
    pub fn endurance(&self, power: f64) -> Option<f64> {
        let Self { charge, volts, rated_time, exponent } = *self;
        let rates = volts * charge / (power * rated_time);
        let time = rated_time * libm::pow(rates, exponent);
        let numbers = [charge, volts, rated_time, exponent, power];
        answered(numbers, time).filter(|_| 1.0 <= exponent)
    }

    /// How far it carries at a power in W and a speed in m/s, in m, in still air.
    ///
    /// `None` as for [`Store::endurance`], and without speed.
    #[must_use]
    pub fn range(&self, power: f64, speed: f64) -> Option<f64> {
        let time = self.endurance(power)?;
        answered([speed], time * speed)
    }

    /// What it gives of its charge at a current in A, as a share of 1: (C/(I R))^(n − 1).
    ///
    /// `None` without any of them.
    #[must_use]
    pub fn share_given(&self, current: f64) -> Option<f64> {
        let time = self.endurance(current * self.volts)?;
        answered([current], time * current / self.charge)
    }
}

impl Polar {
    /// The power in W that level flight with a wing of some m² takes out of the air at a
    /// speed in m/s: ρ U³ S CD0/2 + 2 W² k/(ρ U S).
    ///
    /// `None` as for [`Polar::glide_at`], and without area.
    #[must_use]
    pub fn level_power(&self, flight: &Flight, area: f64, speed: f64) -> Option<f64> {
        let glide = self.glide_at(speed, flight)?;
        answered([area], flight.loading * area * glide.sink)
    }

    /// The speed in m/s of level flight that lasts longest at one efficiency: that of the
    /// least sink, where the power is least.
    ///
    /// With `lift_max` not below the speed at which the wing has that.
    #[must_use]
    pub fn longest_speed(&self, flight: &Flight, lift_max: Option<f64>) -> Option<f64> {
        self.least_sink(flight, lift_max).map(|glide| glide.speed)
    }

    /// The speed in m/s of level flight that goes furthest in still air at one
    /// efficiency and an exponent of discharge, of which 1 is none.
    ///
    /// Where U/P^n is largest: CL² = (CD0/k) (3 n − 1)/(n + 1), which is the best glide for
    /// 1, and nears the least sink the larger it is. `lift_max` as above. `None` with
    /// an exponent below 1.
    #[must_use]
    pub fn furthest_speed(
        &self,
        flight: &Flight,
        exponent: f64,
        lift_max: Option<f64>,
    ) -> Option<f64> {
        let share = (3.0 * exponent - 1.0) / (exponent + 1.0);
        let lift = (share * self.zero_lift_drag / self.induced_factor).sqrt();
        let lift = lift_max.map_or(lift, |most| lift.min(most));
        let glide = self.glide(lift, flight);
        glide.filter(|_| 1.0 <= exponent && exponent.is_finite()).map(|glide| glide.speed)
    }
}

/// How far packs of some J/kg carry a model of which they are a share, in m in still air:
/// E η (L/D) s/g, with s that share.
///
/// `None` without any of them, and with an efficiency or a share above 1.
#[must_use]
pub fn battery_range(
    energy_per_mass: f64,
    efficiency: f64,
    glide_ratio: f64,
    share: f64,
) -> Option<f64> {
    let range = energy_per_mass * efficiency * glide_ratio * share / STANDARD_GRAVITY;
    let numbers = [energy_per_mass, efficiency, glide_ratio, share];
    answered(numbers, range).filter(|_| efficiency <= 1.0 && share <= 1.0)
}

/// An answer, if all that it was made of is above nought.
fn answered<const N: usize>(numbers: [f64; N], answer: f64) -> Option<f64> {
    let is_above = |number: &f64| 0.0 < *number && number.is_finite();
    (numbers.iter().all(is_above) && answer.is_finite()).then_some(answer)
}

#[cfg(test)]
mod tests {
    use super::*;

    const POLAR: Polar = Polar { zero_lift_drag: 0.028, induced_factor: 0.075 };
    const FLIGHT: Flight = Flight { loading: 42.0, density: 1.2 };
    const AREA: f64 = 0.3;
    const STORE: Store =
        Store { charge: 7920.0, volts: 11.1, rated_time: 3600.0, exponent: 1.0 };

    fn near(one: f64, two: f64) -> bool {
        (one - two).abs() <= 1e-12 * two.abs()
    }

    fn power(speed: f64) -> f64 {
        POLAR.level_power(&FLIGHT, AREA, speed).unwrap()
    }

    #[test]
    fn power_is_that_of_the_two_parts_of_drag() {
        let (speed, weight) = (12.5_f64, FLIGHT.loading * AREA);
        let parasite = 0.5 * 1.2 * speed * speed * speed * AREA * 0.028;
        let induced = 2.0 * weight * weight * 0.075 / (1.2 * speed * AREA);
        assert!(near(power(speed), parasite + induced));
    }

    #[test]
    fn no_sampled_speed_lasts_longer_or_goes_further() {
        let longest = POLAR.longest_speed(&FLIGHT, None).unwrap();
        let speeds = || (1..=3000).map(|step| 0.01 * f64::from(step));
        assert!(speeds().all(|speed| power(longest) <= power(speed) * (1.0 + 1e-12)));
        for exponent in [1.0, 1.1, 1.3] {
            let store = Store { exponent, ..STORE };
            let furthest = POLAR.furthest_speed(&FLIGHT, exponent, None).unwrap();
            let range = |speed: f64| store.range(power(speed) / 0.5, speed).unwrap();
            let most = range(furthest) * (1.0 + 1e-12);
            assert!(speeds().all(|speed| range(speed) <= most));
            assert!(longest < furthest);
        }
        let glide = POLAR.best_glide(&FLIGHT, None).unwrap();
        assert!(near(POLAR.furthest_speed(&FLIGHT, 1.0, None).unwrap(), glide.speed));
    }

    #[test]
    fn a_wing_with_little_lift_flies_faster() {
        let stall = POLAR.glide(0.5, &FLIGHT).unwrap().speed;
        assert!(near(POLAR.longest_speed(&FLIGHT, Some(0.5)).unwrap(), stall));
        assert!(near(POLAR.furthest_speed(&FLIGHT, 1.0, Some(0.5)).unwrap(), stall));
        let free = POLAR.furthest_speed(&FLIGHT, 1.0, None);
        assert_eq!(POLAR.furthest_speed(&FLIGHT, 1.0, Some(1.5)), free);
    }

    #[test]
    fn without_an_exponent_time_is_energy_over_power() {
        let energy = STORE.charge * STORE.volts;
        let plain = endurance(energy, 90.0).unwrap();
        assert!(near(STORE.endurance(90.0).unwrap(), plain));
        assert!(near(STORE.range(90.0, 14.0).unwrap(), 14.0 * plain));
        assert!(near(STORE.share_given(17.0).unwrap(), 1.0));
    }

    #[test]
    fn an_exponent_takes_where_the_current_is_above_the_rated_one() {
        let hard = Store { exponent: 1.1, ..STORE };
        assert!(near(hard.share_given(2.2).unwrap(), 1.0));
        assert!(near(hard.share_given(22.0).unwrap(), libm::pow(10.0, -0.1)));
        assert!(1.0 < hard.share_given(1.0).unwrap());
    }

    #[test]
    fn a_range_is_that_of_the_glide_with_the_energy_of_the_pack() {
        // 1 kg of pack with 500 kJ lifts 4 kg by 500 kJ/(4 kg g), and glides from there.
        let height = 0.6 * 5e5 / (4.0 * STANDARD_GRAVITY);
        assert!(near(battery_range(5e5, 0.6, 9.0, 0.25).unwrap(), 9.0 * height));
    }

    #[test]
    fn what_has_no_answer_is_none() {
        assert_eq!(endurance(0.0, 9.0), None);
        assert_eq!(endurance(9.0, -1.0), None);
        assert_eq!(STORE.endurance(f64::NAN), None);
        assert_eq!(STORE.range(80.0, 0.0), None);
        assert_eq!(Store { exponent: 0.9, ..STORE }.endurance(80.0), None);
        assert_eq!(POLAR.furthest_speed(&FLIGHT, 0.9, None), None);
        assert_eq!(POLAR.level_power(&FLIGHT, 0.0, 12.0), None);
        assert_eq!(battery_range(5e5, 1.1, 9.0, 0.25), None);
        assert_eq!(battery_range(5e5, 0.6, 9.0, 1.25), None);
    }
}
