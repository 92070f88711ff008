//! One motor out: the speed below which the rudder no longer holds the other.
//!
//! The motor that still pulls turns the nose with its thrust times its arm; fin and rudder
//! hold with the lift of the fin, so that
//!
//! ```text
//! T y = ½ ρ V² S l a τ δ
//! ```
//!
//! with the fin's area S, its arm l behind the balance point, its lift slope a, the share τ
//! of its angle that a rudder's angle is worth, and the rudder's angle δ. The drag of the
//! propeller that stands, sideslip and bank are left out; thrust is taken as given, though
//! it falls with speed.
//!
//! Source: moments about the vertical axis, as in B. Etkin and L. D. Reid, "Dynamics of
//! Flight", section 3.9; from memory. [`FIN_SLOPE`] and [`RUDDER_SHARE`] are common
//! practice, no source.

/// The lift slope of a short fin, for each radian.
pub const FIN_SLOPE: f64 = 2.6;

/// The share of the fin's angle that an angle of its rudder is worth.
pub const RUDDER_SHARE: f64 = 0.5;

/// What holds the nose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fin {
    /// Of all fins, in m².
    pub area: f64,
    /// How far its quarter chord lies behind the balance point, in m.
    pub arm: f64,
    /// How far the rudder goes, in rad.
    pub rudder: f64,
}

/// The speed in m/s below which a moment in N m turns the nose, in air of some kg/m³.
///
/// `None` where nothing holds it: no fin, no arm behind the balance point, no rudder.
#[must_use]
pub fn least_speed(moment: f64, fin: &Fin, density: f64) -> Option<f64> {
    let Fin { area, arm, rudder } = *fin;
    let holds = 0.5 * density * area * arm * FIN_SLOPE * RUDDER_SHARE * rudder;
    let numbers = [density, area, arm, rudder];
    let is_held = numbers.iter().all(|number| 0.0 < *number) && 0.0 <= moment;
    Some((moment / holds).sqrt()).filter(|speed| is_held && speed.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    const FIN: Fin = Fin { area: 0.02, arm: 0.7, rudder: 0.436 };

    #[test]
    fn at_the_least_speed_fin_and_thrust_balance() {
        let moment = 7.5 * 0.26;
        let speed = least_speed(moment, &FIN, 1.225).unwrap();
        let pressure = 0.5 * 1.225 * speed * speed;
        let holds = pressure * 0.02 * 0.7 * FIN_SLOPE * RUDDER_SHARE * 0.436;
        assert!((holds - moment).abs() < 1e-12);
    }

    #[test]
    fn twice_the_arm_of_a_motor_wants_the_root_of_two_times_the_speed() {
        let near = least_speed(1.0, &FIN, 1.225).unwrap();
        let far = least_speed(2.0, &FIN, 1.225).unwrap();
        assert!((far / near - 2_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn what_nothing_holds_has_no_speed() {
        for fin in [
            Fin { area: 0.0, ..FIN },
            Fin { arm: -0.1, ..FIN },
            Fin { rudder: 0.0, ..FIN },
            Fin { rudder: f64::NAN, ..FIN },
        ] {
            assert_eq!(least_speed(1.0, &fin, 1.225), None);
        }
    }
}
