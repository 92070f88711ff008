//! The working point: where packs, leads, controllers, motors and propellers agree.
//!
//! A controller is an ideal chopper: with the throttle at a share d of 1 its motor has d
//! times the volts that the packs bring to it, and takes from them d times the current of
//! the motor. What it and its leads resist is counted with the current of the motor. Its
//! ripple, its timing and what it uses itself are left out, so that at part throttle more
//! is drawn than is said here. All motors are alike and work in the same air.
//!
//! ```text
//! d (U − Rs I) = ω/Kv + (Rm + Rb) Im      I = N d Im + Io      Im = I0 + Kv Q(ω)
//! ```
//!
//! At one throttle there is one working point if torque grows with revolutions, and more
//! resistance anywhere then lowers revolutions, the current of a motor and that of the
//! packs. For one thrust it is the other way: more resistance asks for more throttle, and
//! so for more current of the packs. Where packs and leads take more than half of the
//! volts, more throttle gives less thrust, so that what fails at full throttle may still
//! fly with less; nobody should build that.
//!
//! Sources: the motor as in [`crate::motor`], the propeller as in [`crate::propeller`], the
//! chopper in any text on power electronics; from memory. A bench run of the whole drive
//! that was measured is worth more than this.

use std::f64::consts::TAU;
use std::fmt;

use trimsheet_quantity::STANDARD_GRAVITY;

use crate::motor::Motor;
use crate::polar::{Flight, Polar};
use crate::propeller::Propeller;
use crate::root::root;

/// What drives a model.
#[derive(Clone, Debug, PartialEq)]
pub struct Drive {
    /// One of the motors.
    pub motor: Motor,
    /// The propeller on its shaft.
    pub propeller: Propeller,
    /// How many there are, all alike, each with its controller.
    pub motors: u32,
    /// Of the packs when nothing is drawn, in V.
    pub volts: f64,
    /// Of the packs and the leads that all current passes, in Ω.
    pub source_resistance: f64,
    /// Of the controller and the leads of one motor, without its winding, in Ω.
    pub branch_resistance: f64,
    /// What is drawn from the packs beside the motors, in A.
    pub other_current: f64,
}

/// How a drive works.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Working {
    /// The share of 1 for which the controller switches the volts on.
    pub throttle: f64,
    /// In rev/s.
    pub revolutions: f64,
    /// Of one motor, in A.
    pub motor_current: f64,
    /// At the terminals of one motor, in V.
    pub motor_volts: f64,
    /// Of the packs, with what is drawn beside the motors, in A.
    pub pack_current: f64,
    /// Behind all that resists every current, in V.
    pub pack_volts: f64,
    /// Of all propellers, in N.
    pub thrust: f64,
    /// Of one shaft, in N m.
    pub torque: f64,
    /// Of all shafts, in W.
    pub shaft_power: f64,
    /// What the packs give at those volts, in W.
    pub electric_power: f64,
}

/// Why nothing can be said of a drive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoWorking {
    /// This number is none, or not within what it can be.
    NotANumber(&'static str),
    /// There is no motor to turn anything.
    NoMotor,
    /// The motor has no speed constant above nought.
    NoConstant,
    /// The winding of the motor has no resistance above nought.
    NoResistance,
    /// More thrust is asked for than full throttle gives, both in N.
    TooMuch {
        /// What is asked for.
        asked: f64,
        /// What full throttle gives; at most nought where the model is too fast for it.
        gives: f64,
    },
    /// The packs cannot bring the current: what resists takes half of their volts or more,
    /// and more throttle gives less. In V, what they would keep at full throttle.
    Collapses(f64),
    /// The motor has too few volts to bring even its no-load current.
    NeverTurns {
        /// What it would need to begin to turn, in V.
        needs: f64,
        /// What it has, in V.
        has: f64,
    },
    /// At this speed the propeller turns too slowly to pull.
    Windmills {
        /// In rev/s.
        revolutions: f64,
        /// At most nought, in N; below it a brake.
        thrust: f64,
    },
    /// The polar has no level flight at this speed: without lift, drag, area or air.
    NoFlight,
}

impl fmt::Display for NoWorking {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoWorking::NotANumber(what) => write!(to, "{what} is not a number it can be"),
            NoWorking::NoMotor => to.write_str("it has no motor"),
            NoWorking::NoConstant => {
                to.write_str("its motor has no speed constant above nought")
            }
            NoWorking::NoResistance => {
                to.write_str("the winding of its motor has no resistance above nought")
            }
            NoWorking::TooMuch { asked, gives } => write!(
                to,
                "{asked:.2} N of thrust are asked for, and full throttle gives {gives:.2} N"
            ),
            NoWorking::Collapses(keeps) => write!(
                to,
                "its packs cannot bring the current: at full throttle they would keep \
                 {keeps:.2} V"
            ),
            NoWorking::NeverTurns { needs, has } => write!(
                to,
                "its motor has {has:.2} V, and needs {needs:.2} V for its no-load current"
            ),
            NoWorking::Windmills { revolutions, thrust } => write!(
                to,
                "its propeller turns too slowly to pull at this speed: {thrust:.2} N at \
                 {revolutions:.1} turns in a second"
            ),
            NoWorking::NoFlight => {
                to.write_str("there is no level flight at this speed to work it out for")
            }
        }
    }
}

impl std::error::Error for NoWorking {}

/// What the throttle may be above 1 by rounding, when just what it gives is asked for.
const ROUNDED: f64 = 1e-9;

/// How many speeds are tried for the highest; a band that is narrower may be missed.
const SPEEDS: u32 = 100;

/// How often the best of those is looked for nearer.
const THIRDS: u32 = 60;

impl Drive {
    /// How it works at full throttle, in air of some kg/m³ at a speed in m/s.
    ///
    /// # Errors
    ///
    /// The first [`NoWorking`] that is found.
    pub fn at_full(&self, density: f64, speed: f64) -> Result<Working, NoWorking> {
        self.at(1.0, density, speed)
    }

    /// How it works at a throttle between 0 and 1.
    ///
    /// # Errors
    ///
    /// The first [`NoWorking`] that is found; [`NoWorking::Windmills`] where there is no
    /// thrust.
    pub fn at(
        &self,
        throttle: f64,
        density: f64,
        speed: f64,
    ) -> Result<Working, NoWorking> {
        let working = self.balanced(throttle, density, speed)?;
        let Working { revolutions, thrust, .. } = working;
        match 0.0 < thrust {
            true => Ok(working),
            false => Err(NoWorking::Windmills { revolutions, thrust }),
        }
    }

    /// How it works when it gives a thrust in N, above nought.
    ///
    /// # Errors
    ///
    /// The first [`NoWorking`] that is found.
    pub fn for_thrust(
        &self,
        thrust: f64,
        density: f64,
        speed: f64,
    ) -> Result<Working, NoWorking> {
        self.is_whole(density, speed)?;
        if !is_above(thrust) {
            return Err(NoWorking::NotANumber("the thrust"));
        }
        let left = self.volts_left()?;
        let motors = f64::from(self.motors);
        let pull = |revolutions: f64| {
            motors * self.propeller.thrust(density, revolutions, speed) - thrust
        };
        let most = self.motor.turning(left, 0.0) / TAU;
        if pull(most) < 0.0 {
            return Err(self.too_much(thrust, density, speed));
        }
        let revolutions = root(pull, 0.0, most);
        let torque = self.propeller.torque(density, revolutions, speed);
        let current = self.motor.current(torque);
        // d U − d² Rs N Im = E: the smaller of the two d, in a form that loses no digits.
        let needs = self.needs(revolutions, current);
        let sags = self.source_resistance * motors * current;
        let squared = left * left - 4.0 * sags * needs;
        let throttle = 2.0 * needs / (left + squared.max(0.0).sqrt());
        if squared < 0.0 || 1.0 + ROUNDED < throttle {
            return Err(self.too_much(thrust, density, speed));
        }
        Ok(self.working(throttle.min(1.0), revolutions, density, speed))
    }

    /// How it works in level flight with a wing of some m² at a speed in m/s: thrust is
    /// the drag of the polar.
    ///
    /// The stall is not looked at, as in [`Polar`].
    ///
    /// # Errors
    ///
    /// The first [`NoWorking`] that is found.
    pub fn level(
        &self,
        polar: &Polar,
        flight: &Flight,
        area: f64,
        speed: f64,
    ) -> Result<Working, NoWorking> {
        let drag = drag(polar, flight, area, speed)?;
        self.for_thrust(drag, flight.density, speed)
    }

    /// The highest speed of level flight in m/s, at full throttle, and how it then works.
    ///
    /// Looked for from above down to `stall_speed`, in a hundred steps, and nearer about
    /// the one that lacks least.
    ///
    /// # Errors
    ///
    /// The first [`NoWorking`] that is found; [`NoWorking::TooMuch`] if no speed is held
    /// above the stall, with drag and thrust where the least is lacking.
    pub fn top_speed(
        &self,
        polar: &Polar,
        flight: &Flight,
        area: f64,
        stall_speed: f64,
    ) -> Result<(f64, Working), NoWorking> {
        self.is_whole(flight.density, stall_speed)?;
        drag(polar, flight, area, stall_speed)?;
        let left = self.volts_left()?;
        self.balanced(1.0, flight.density, stall_speed)?;
        // Beyond this the propeller would brake even if nothing held the motor.
        let free = self.motor.turning(left, 0.0) / TAU;
        let highest = free * self.propeller.last_advance() * self.propeller.diameter();
        // What does not work lacks without end.
        let lacks = |speed: f64| {
            let drag = drag(polar, flight, area, speed).unwrap_or(f64::INFINITY);
            let working = self.balanced(1.0, flight.density, speed);
            drag - working.map_or(f64::NEG_INFINITY, |working| working.thrust)
        };
        let step = (highest - stall_speed).max(0.0) / f64::from(SPEEDS);
        let at = |steps: u32| stall_speed + f64::from(steps) * step;
        let mut least = (f64::INFINITY, SPEEDS);
        for steps in (0..=SPEEDS).rev() {
            let lacking = lacks(at(steps));
            if lacking <= 0.0 {
                return self.topped(root(lacks, at(steps), at(steps + 1)), flight);
            }
            if lacking < least.0 {
                least = (lacking, steps);
            }
        }
        let near = lowest(lacks, at(least.1.saturating_sub(1)), at(least.1 + 1));
        if lacks(near) <= 0.0 {
            return self.topped(root(lacks, near, at(least.1 + 1)), flight);
        }
        let asked = drag(polar, flight, area, near)?;
        Err(NoWorking::TooMuch { asked, gives: asked - lacks(near) })
    }

    /// How fast it climbs in m/s at full throttle and a speed in m/s, with a mass in kg:
    /// what thrust has left over drag, times the speed, over the weight.
    ///
    /// Negative where it sinks. For climbs that are not steep: drag is that of level
    /// flight, and the thrust carries no weight. At 20° up the drag that lift makes is
    /// taken 13 % too high.
    ///
    /// # Errors
    ///
    /// The first [`NoWorking`] that is found.
    pub fn climb(
        &self,
        polar: &Polar,
        flight: &Flight,
        area: f64,
        speed: f64,
        mass: f64,
    ) -> Result<f64, NoWorking> {
        if !is_above(mass) {
            return Err(NoWorking::NotANumber("the mass"));
        }
        let drag = drag(polar, flight, area, speed)?;
        let working = self.balanced(1.0, flight.density, speed)?;
        Ok((working.thrust - drag) * speed / (mass * STANDARD_GRAVITY))
    }

    fn topped(&self, speed: f64, flight: &Flight) -> Result<(f64, Working), NoWorking> {
        Ok((speed, self.at_full(flight.density, speed)?))
    }

    /// Whether every number is one that it can be.
    fn is_whole(&self, density: f64, speed: f64) -> Result<(), NoWorking> {
        if self.motors == 0 {
            return Err(NoWorking::NoMotor);
        }
        if !is_above(self.motor.speed_constant) {
            return Err(NoWorking::NoConstant);
        }
        if !is_above(self.motor.resistance) {
            return Err(NoWorking::NoResistance);
        }
        let above = [(self.volts, "the volts of the packs"), (density, "the density")];
        let not_below = [
            (self.motor.no_load_current, "the no-load current"),
            (self.source_resistance, "the resistance of packs and leads"),
            (self.branch_resistance, "the resistance of a controller"),
            (self.other_current, "the current beside the motors"),
            (speed, "the speed"),
        ];
        let above = above.iter().find(|(number, _)| !is_above(*number));
        let not_below =
            not_below.iter().find(|(number, _)| !(0.0 <= *number && number.is_finite()));
        match above.or(not_below) {
            Some((_, what)) => Err(NoWorking::NotANumber(what)),
            None => Ok(()),
        }
    }

    /// What the packs bring when the motors draw nothing.
    fn volts_left(&self) -> Result<f64, NoWorking> {
        let left = self.volts - self.source_resistance * self.other_current;
        if is_above(left) { Ok(left) } else { Err(NoWorking::Collapses(left)) }
    }

    /// The volts behind the chopper that drive a current through one motor.
    fn needs(&self, revolutions: f64, current: f64) -> f64 {
        self.motor.volts(TAU * revolutions, current) + current * self.branch_resistance
    }

    /// Where volts and torque agree, whatever the thrust.
    fn balanced(
        &self,
        throttle: f64,
        density: f64,
        speed: f64,
    ) -> Result<Working, NoWorking> {
        self.is_whole(density, speed)?;
        if !(0.0..=1.0).contains(&throttle) {
            return Err(NoWorking::NotANumber("the throttle"));
        }
        let has = throttle * self.volts_left()?;
        let shared =
            throttle * throttle * f64::from(self.motors) * self.source_resistance;
        let lacks = |revolutions: f64| {
            let torque = self.propeller.torque(density, revolutions, speed);
            let current = self.motor.current(torque);
            self.needs(revolutions, current) + shared * current - has
        };
        let short = lacks(0.0);
        if 0.0 <= short {
            return Err(NoWorking::NeverTurns { needs: short + has, has });
        }
        let revolutions = root(lacks, 0.0, self.motor.turning(has, 0.0) / TAU);
        Ok(self.working(throttle, revolutions, density, speed))
    }

    fn working(
        &self,
        throttle: f64,
        revolutions: f64,
        density: f64,
        speed: f64,
    ) -> Working {
        let motors = f64::from(self.motors);
        let torque = self.propeller.torque(density, revolutions, speed);
        let motor_current = self.motor.current(torque);
        let pack_current = motors * throttle * motor_current + self.other_current;
        let pack_volts = self.volts - self.source_resistance * pack_current;
        Working {
            throttle,
            revolutions,
            motor_current,
            motor_volts: throttle * pack_volts - motor_current * self.branch_resistance,
            pack_current,
            pack_volts,
            thrust: motors * self.propeller.thrust(density, revolutions, speed),
            torque,
            shaft_power: motors * self.propeller.power(density, revolutions, speed),
            electric_power: pack_volts * pack_current,
        }
    }

    /// Why a thrust is more than there is.
    fn too_much(&self, asked: f64, density: f64, speed: f64) -> NoWorking {
        let left = self.volts_left();
        match (left, self.balanced(1.0, density, speed)) {
            (Ok(left), Ok(full)) if full.pack_volts <= left / 2.0 => {
                NoWorking::Collapses(full.pack_volts)
            }
            (Ok(_), Ok(full)) => NoWorking::TooMuch { asked, gives: full.thrust },
            (Err(why), Ok(_) | Err(_)) | (Ok(_), Err(why)) => why,
        }
    }
}

fn is_above(number: f64) -> bool {
    0.0 < number && number.is_finite()
}

/// The drag in N of level flight at a speed.
fn drag(polar: &Polar, flight: &Flight, area: f64, speed: f64) -> Result<f64, NoWorking> {
    let glide = polar.glide_at(speed, flight).filter(|_| is_above(area));
    let drag = glide.map(|glide| flight.loading * area / glide.ratio);
    drag.filter(|drag| is_above(*drag)).ok_or(NoWorking::NoFlight)
}

/// Where a function that falls and then rises is lowest, by thirds.
fn lowest(function: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    let (mut low, mut high) = (low, high);
    for _ in 0..THIRDS {
        let third = (high - low) / 3.0;
        let (one, two) = (low + third, high - third);
        if function(one) <= function(two) {
            high = two;
        } else {
            low = one;
        }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::propeller::Coefficients;

    const DENSITY: f64 = 1.19;

    fn drive() -> Drive {
        Drive {
            motor: Motor { speed_constant: 98.0, resistance: 0.07, no_load_current: 0.8 },
            propeller: Propeller::estimated(0.254, 0.127).unwrap(),
            motors: 2,
            volts: 12.3,
            source_resistance: 0.03,
            branch_resistance: 0.006,
            other_current: 0.7,
        }
    }

    const POLAR: Polar = Polar { zero_lift_drag: 0.03, induced_factor: 0.07 };
    const FLIGHT: Flight = Flight { loading: 40.0, density: DENSITY };
    const AREA: f64 = 0.35;

    fn near(one: f64, two: f64) -> bool {
        (one - two).abs() <= 1e-9 * two.abs()
    }

    /// Every equation of the module, worked out again from the outside.
    fn assert_agrees(drive: &Drive, working: &Working, speed: f64) {
        let Drive { motor, propeller, .. } = drive;
        let turning = TAU * working.revolutions;
        assert!(near(motor.torque(working.motor_current), working.torque));
        let torque = propeller.torque(DENSITY, working.revolutions, speed);
        assert!(near(torque, working.torque));
        let volts = motor.volts(turning, working.motor_current);
        assert!(near(volts, working.motor_volts));
        let branch = working.motor_current * drive.branch_resistance;
        assert!(near(volts + branch, working.throttle * working.pack_volts));
        let current = 2.0 * working.throttle * working.motor_current + 0.7;
        assert!(near(current, working.pack_current));
        assert!(near(12.3 - 0.03 * current, working.pack_volts));
        assert!(near(working.shaft_power, 2.0 * torque * turning));
        assert!(near(working.electric_power, working.pack_volts * current));
    }

    #[test]
    fn volts_torque_and_power_agree() {
        let drive = drive();
        for (throttle, speed) in [(1.0, 0.0), (1.0, 13.0), (0.6, 0.0), (0.7, 9.0)] {
            let working = drive.at(throttle, DENSITY, speed).unwrap();
            assert!(near(working.throttle, throttle));
            assert_agrees(&drive, &working, speed);
            let again = drive.for_thrust(working.thrust, DENSITY, speed).unwrap();
            assert!(near(again.throttle, throttle), "{again:?} {working:?}");
            assert_agrees(&drive, &again, speed);
        }
    }

    #[test]
    fn a_drive_without_a_propeller_to_speak_of_turns_as_its_constant_says() {
        let mut drive = drive();
        drive.motor.no_load_current = 0.0;
        let thin = Coefficients { advance: 0.0, thrust: 1e-9, power: 1e-9 };
        drive.propeller = Propeller::measured_of_pitch(0.254, 0.127, vec![thin]).unwrap();
        let working = drive.at_full(DENSITY, 0.0).unwrap();
        let expected = 98.0 * (12.3 - 0.03 * 0.7) / TAU;
        assert!((working.revolutions - expected).abs() < 1e-5 * expected);
    }

    #[test]
    fn what_does_not_work_says_why() {
        let refused = |change: fn(&mut Drive)| {
            let mut drive = drive();
            change(&mut drive);
            drive.at_full(DENSITY, 0.0).unwrap_err()
        };
        assert_eq!(refused(|drive| drive.motors = 0), NoWorking::NoMotor);
        let none = refused(|drive| drive.motor.speed_constant = 0.0);
        assert_eq!(none, NoWorking::NoConstant);
        let none = refused(|drive| drive.motor.resistance = 0.0);
        assert_eq!(none, NoWorking::NoResistance);
        let none = refused(|drive| drive.volts = f64::NAN);
        assert_eq!(none, NoWorking::NotANumber("the volts of the packs"));
        let drawn = refused(|drive| drive.other_current = 500.0);
        assert!(matches!(drawn, NoWorking::Collapses(left) if left < 0.0));
        let stiff = refused(|drive| drive.motor.no_load_current = 200.0);
        assert!(matches!(stiff, NoWorking::NeverTurns { needs, has } if has < needs));
        assert_eq!(
            drive().at(1.2, DENSITY, 0.0),
            Err(NoWorking::NotANumber("the throttle"))
        );
        assert!(matches!(
            drive().at(0.3, DENSITY, 25.0),
            Err(NoWorking::Windmills { thrust, .. }) if thrust < 0.0
        ));
    }

    #[test]
    fn a_thrust_that_is_too_much_is_told_with_what_there_is() {
        let full = drive().at_full(DENSITY, 0.0).unwrap();
        let just = drive().for_thrust(full.thrust, DENSITY, 0.0).unwrap();
        assert!(near(just.throttle, 1.0));
        for more in [1.001, 1.2, 3.0, 1e6] {
            let why = drive().for_thrust(more * full.thrust, DENSITY, 0.0).unwrap_err();
            let NoWorking::TooMuch { asked, gives } = why else { panic!("{why}") };
            assert!(near(asked, more * full.thrust) && near(gives, full.thrust));
        }
        let weak = Drive { source_resistance: 1.0, ..drive() };
        let why = weak.for_thrust(full.thrust, DENSITY, 0.0).unwrap_err();
        assert!(matches!(why, NoWorking::Collapses(keeps) if keeps < 6.15), "{why}");
    }

    #[test]
    fn the_top_speed_is_where_full_throttle_is_level_flight_and_no_faster() {
        let drive = drive();
        let (top, working) = drive.top_speed(&POLAR, &FLIGHT, AREA, 9.0).unwrap();
        let level = drive.level(&POLAR, &FLIGHT, AREA, top).unwrap();
        assert!(near(level.throttle, 1.0) && near(level.thrust, working.thrust));
        let climb = |speed| drive.climb(&POLAR, &FLIGHT, AREA, speed, 1.43).unwrap();
        assert!(climb(top).abs() < 1e-9);
        for step in 1..400 {
            let faster = top * (1.0 + 0.003 * f64::from(step));
            assert!(climb(faster) < 0.0);
            assert!(drive.level(&POLAR, &FLIGHT, AREA, faster).is_err());
        }
        assert!(0.0 < climb(0.99 * top) && climb(0.99 * top) < climb(0.8 * top));
    }

    #[test]
    fn what_cannot_stay_up_has_no_top_speed() {
        let weak = Drive { volts: 3.4, motors: 1, ..drive() };
        let why = weak.top_speed(&POLAR, &FLIGHT, AREA, 9.0).unwrap_err();
        let NoWorking::TooMuch { asked, gives } = why else { panic!("{why}") };
        assert!(gives < asked);
        let heavy = Flight { loading: f64::NAN, ..FLIGHT };
        let why = drive().top_speed(&POLAR, &heavy, AREA, 9.0);
        assert_eq!(why, Err(NoWorking::NoFlight));
        let above = drive().top_speed(&POLAR, &FLIGHT, AREA, 90.0);
        assert!(matches!(above, Err(NoWorking::TooMuch { .. })), "{above:?}");
    }
}
