//! A motor with permanent magnets, by three constants: what it turns for each volt, what
//! its winding resists, and what it draws when nothing holds it.
//!
//! Torque is in proportion to the current beyond the no-load current, and revolutions to
//! the volts that the winding leaves over. The no-load current is taken as steady, though
//! it grows somewhat with revolutions, and the resistance as that of the winding as it
//! was measured: copper resists 0.39 % more for each kelvin that it is warmer, so that a
//! hot motor gives less than is said here.
//!
//! Source: the equivalent circuit of a direct-current machine with permanent magnets, in
//! any text on electric machines; from memory. In SI units the volts for each rad/s and
//! the newton metres for each ampere are one number, 1/Kv.

/// A motor by its constants.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motor {
    /// Kv: what it turns for each volt, in rad/s per V.
    pub speed_constant: f64,
    /// Of the winding between the two terminals that carry the current, in Ω.
    pub resistance: f64,
    /// What it draws when it turns free, in A.
    pub no_load_current: f64,
}

impl Motor {
    /// The torque of the shaft in N m at a current in A: (I − I0)/Kv.
    ///
    /// Below the no-load current it is negative: the shaft would have to be helped.
    #[must_use]
    pub fn torque(&self, current: f64) -> f64 {
        (current - self.no_load_current) / self.speed_constant
    }

    /// The current in A that gives a torque of the shaft in N m: I0 + Kv Q.
    #[must_use]
    pub fn current(&self, torque: f64) -> f64 {
        self.no_load_current + self.speed_constant * torque
    }

    /// The volts that a motor makes against its supply when it turns, at so many rad/s.
    #[must_use]
    pub fn back_volts(&self, turning: f64) -> f64 {
        turning / self.speed_constant
    }

    /// The volts at its terminals when it turns at so many rad/s with a current in A.
    #[must_use]
    pub fn volts(&self, turning: f64, current: f64) -> f64 {
        self.back_volts(turning) + current * self.resistance
    }

    /// What it turns in rad/s at so many volts with a current in A.
    #[must_use]
    pub fn turning(&self, volts: f64, current: f64) -> f64 {
        (volts - current * self.resistance) * self.speed_constant
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MOTOR: Motor =
        Motor { speed_constant: 95.0, resistance: 0.08, no_load_current: 0.9 };

    #[test]
    fn power_that_goes_in_comes_out_or_is_lost_where_the_model_says() {
        let (turning, current) = (700.0, 21.0);
        let given = MOTOR.volts(turning, current) * current;
        let shaft = MOTOR.torque(current) * turning;
        let copper = current * current * MOTOR.resistance;
        let iron = MOTOR.back_volts(turning) * MOTOR.no_load_current;
        assert!((given - shaft - copper - iron).abs() < 1e-9);
    }

    #[test]
    fn each_answer_leads_back_to_what_was_asked() {
        assert!((MOTOR.current(MOTOR.torque(13.0)) - 13.0).abs() < 1e-12);
        assert!((MOTOR.turning(MOTOR.volts(512.0, 9.0), 9.0) - 512.0).abs() < 1e-9);
        assert!(MOTOR.torque(0.5) < 0.0 && MOTOR.torque(0.9).abs() < 1e-15);
    }
}
