//! What holds of every drive: volts and torque agree or it says why not, resistance costs,
//! more pack lasts longer, and nothing flies level faster than its top speed.

use std::f64::consts::TAU;

use proptest::prelude::*;
use trimsheet_physics::endurance::Store;
use trimsheet_physics::motor::Motor;
use trimsheet_physics::polar::{Flight, Polar};
use trimsheet_physics::propeller::{Coefficients, Propeller};
use trimsheet_physics::propulsion::{Drive, NoWorking, Working};

use crate::specs::cases;

/// Even over the digits rather than over the numbers.
fn sized(least: f64, most: f64) -> impl Strategy<Value = f64> {
    (0.0..1.0).prop_map(move |at: f64| least * libm::pow(most / least, at))
}

/// Estimates, and tables of rows that only fall.
fn propellers() -> impl Strategy<Value = Propeller> {
    let estimated = (sized(0.06, 0.6), 0.2..1.2)
        .prop_map(|(diameter, pitch)| Propeller::estimated(diameter, pitch * diameter));
    let row = (0.02..0.3, 0.5..0.98, 0.5..1.0);
    let rows = (0.05..0.14, 0.4..0.7, prop::collection::vec(row, 1..6));
    let table = rows.prop_map(|(thrust, merit, rows)| {
        let power = libm::pow(thrust, 1.5) * 0.798 / merit;
        let mut table = vec![Coefficients { advance: 0.0, thrust, power }];
        for (step, thrust, power) in rows {
            let last = table[table.len() - 1];
            table.push(Coefficients {
                advance: last.advance + step,
                thrust: last.thrust * thrust,
                power: last.power * power,
            });
        }
        table
    });
    let measured = (sized(0.06, 0.6), table)
        .prop_map(|(diameter, rows)| Propeller::measured(diameter, rows));
    prop_oneof![estimated, measured].prop_filter_map("impossible", Result::ok)
}

/// Drives, many of which nobody would build.
fn drives() -> impl Strategy<Value = Drive> {
    let motor = (sized(15.0, 500.0), sized(0.004, 1.5), sized(0.01, 6.0));
    let motor = motor.prop_map(|(speed_constant, resistance, no_load_current)| Motor {
        speed_constant,
        resistance,
        no_load_current,
    });
    let source = (sized(3.0, 50.0), sized(1e-3, 1.0), 0.0..0.05, 0.0..8.0);
    (motor, propellers(), 1_u32..5, source).prop_map(
        |(motor, propeller, motors, (volts, source_resistance, branch, other))| Drive {
            motor,
            propeller,
            motors,
            volts,
            source_resistance,
            branch_resistance: branch,
            other_current: other,
        },
    )
}

/// Throttle, density and speed; half of them at rest.
fn settings() -> impl Strategy<Value = (f64, f64, f64)> {
    let throttle = prop_oneof![Just(1.0), 0.02..1.0];
    (throttle, 0.8..1.4, prop_oneof![Just(0.0), 0.0..45.0])
}

/// What lacks of the three balances, each as a share of what is balanced.
fn lacks(drive: &Drive, working: &Working, density: f64, speed: f64) -> [f64; 3] {
    let Drive { motor, propeller, .. } = drive;
    let Working { throttle, revolutions, motor_current, pack_current, .. } = *working;
    let motors = f64::from(drive.motors);
    let torque = propeller.torque(density, revolutions, speed);
    let shaft = (motor_current - motor.no_load_current) / motor.speed_constant;
    let bus = drive.volts - drive.source_resistance * pack_current;
    let loop_resistance = motor.resistance + drive.branch_resistance;
    let volts =
        TAU * revolutions / motor.speed_constant + motor_current * loop_resistance;
    let current = motors * throttle * motor_current + drive.other_current;
    // Against the no-load torque as well, because a shaft may carry next to none.
    let carried = torque + motor.no_load_current / motor.speed_constant;
    [
        (shaft - torque) / carried,
        (throttle * bus - volts) / drive.volts,
        (current - pack_current) / pack_current,
    ]
}

/// The volts that the packs bring when the motors draw nothing.
fn left(drive: &Drive) -> f64 {
    drive.volts - drive.source_resistance * drive.other_current
}

/// The volts that the packs keep at full throttle, whether that pulls or not.
fn keeps(drive: &Drive, density: f64, speed: f64) -> f64 {
    match drive.at_full(density, speed) {
        Ok(working) => working.pack_volts,
        Err(NoWorking::Windmills { revolutions, .. }) => {
            let torque = drive.propeller.torque(density, revolutions, speed);
            let current = f64::from(drive.motors) * drive.motor.current(torque);
            left(drive) - drive.source_resistance * current
        }
        // No excuse then: it has to climb.
        Err(_) => f64::INFINITY,
    }
}

/// Whether the reason that it gives is so.
fn is_so(
    why: &NoWorking,
    drive: &Drive,
    (throttle, density, speed): (f64, f64, f64),
) -> bool {
    let Motor { speed_constant, resistance, no_load_current } = drive.motor;
    match why {
        NoWorking::Collapses(keeps) => left(drive) <= 0.0 && *keeps <= 0.0,
        NoWorking::NeverTurns { needs, has } => {
            let shared =
                f64::from(drive.motors) * throttle * throttle * drive.source_resistance;
            let resists = resistance + drive.branch_resistance + shared;
            let expected = no_load_current * resists;
            (needs - expected).abs() < 1e-9 * drive.volts && has <= needs
        }
        NoWorking::Windmills { revolutions, thrust } => {
            let slowest =
                speed / (drive.propeller.last_advance() * drive.propeller.diameter());
            let torque = drive.propeller.torque(density, *revolutions, speed);
            let current = no_load_current + speed_constant * torque;
            *thrust <= 0.0
                && *revolutions <= slowest * (1.0 + 1e-9)
                && current.is_finite()
        }
        NoWorking::NotANumber(_)
        | NoWorking::NoMotor
        | NoWorking::NoConstant
        | NoWorking::NoResistance
        | NoWorking::TooMuch { .. }
        | NoWorking::NoFlight => false,
    }
}

/// A drive with more resistance in one of the three places.
fn resisting(drive: &Drive, place: u8, more: f64) -> Drive {
    let mut drive = drive.clone();
    match place {
        0 => drive.motor.resistance += more,
        1 => drive.branch_resistance += more,
        _ => drive.source_resistance += more,
    }
    drive
}

/// A model that is as heavy as its motors are strong, or not.
fn models() -> impl Strategy<Value = (Polar, Flight, f64)> {
    let polar = (0.015..0.08, 0.03..0.15).prop_map(|(zero_lift_drag, induced_factor)| {
        Polar { zero_lift_drag, induced_factor }
    });
    let flight = (sized(10.0, 120.0), 0.8..1.4)
        .prop_map(|(loading, density)| Flight { loading, density });
    (polar, flight, sized(0.05, 1.5))
}

fn stall(flight: &Flight) -> f64 {
    (2.0 * flight.loading / flight.density).sqrt()
}

proptest! {
    #![proptest_config(cases(10_000))]

    /// Torque, volts and currents agree to the digits of a number, or the reason why they
    /// cannot is so.
    #[test]
    fn a_working_point_balances_or_says_why(drive in drives(), setting in settings()) {
        let (throttle, density, speed) = setting;
        match drive.at(throttle, density, speed) {
            Ok(working) => {
                for lacks in lacks(&drive, &working, density, speed) {
                    prop_assert!(lacks.abs() < 1e-10, "{lacks} {working:?}");
                }
                let Working { shaft_power, electric_power, .. } = working;
                prop_assert!(0.0 < working.thrust && 0.0 < working.revolutions);
                prop_assert!(shaft_power < electric_power);
                prop_assert!(working.thrust * speed <= shaft_power * (1.0 + 1e-9));
            }
            Err(why) => prop_assert!(is_so(&why, &drive, setting), "{why:?}"),
        }
    }

    /// At one throttle, resistance anywhere lowers revolutions and every current, and
    /// makes nothing turn that did not.
    #[test]
    fn more_resistance_never_raises_a_current_at_one_throttle(
        drive in drives(), setting in settings(), place in 0_u8..3, more in sized(1e-4, 1.0)
    ) {
        let (throttle, density, speed) = setting;
        let before = drive.at(throttle, density, speed);
        let after = resisting(&drive, place, more).at(throttle, density, speed);
        match (before, after) {
            (Ok(before), Ok(after)) => {
                let most = 1.0 + 1e-10;
                prop_assert!(after.pack_current <= before.pack_current * most);
                prop_assert!(after.motor_current <= before.motor_current * most);
                prop_assert!(after.revolutions <= before.revolutions * most);
            }
            (Ok(_) | Err(_), Err(_)) => {}
            (Err(why), Ok(after)) => prop_assert!(false, "{why:?} {after:?}"),
        }
    }

    /// The throttle for a thrust gives that thrust, with no more throttle and no more
    /// current than was seen to give it; resistance then never lowers the current.
    #[test]
    fn the_throttle_for_a_thrust_gives_it(
        drive in drives(), setting in settings(), place in 0_u8..3, more in sized(1e-4, 1.0)
    ) {
        let (throttle, density, speed) = setting;
        let Ok(seen) = drive.at(throttle, density, speed) else { return Ok(()) };
        let found = drive.for_thrust(seen.thrust, density, speed).unwrap();
        prop_assert!((found.thrust - seen.thrust).abs() < 1e-9 * seen.thrust);
        prop_assert!(found.throttle <= throttle * (1.0 + 1e-6));
        prop_assert!(found.pack_current <= seen.pack_current * (1.0 + 1e-6));
        for lacks in lacks(&drive, &found, density, speed) {
            prop_assert!(lacks.abs() < 1e-9, "{lacks} {found:?}");
        }
        let resisting = resisting(&drive, place, more);
        if let Ok(after) = resisting.for_thrust(seen.thrust, density, speed) {
            prop_assert!(found.pack_current <= after.pack_current * (1.0 + 1e-9));
        }
    }

    /// At one mass, a pack with more charge and so less resistance lasts no shorter.
    #[test]
    fn a_larger_pack_of_the_same_mass_never_lasts_shorter(
        drive in drives(), model in models(), faster in 1.0..4.0,
        charge in sized(1e3, 5e4), larger in 1.0..4.0, exponent in 1.0..1.3
    ) {
        let (polar, flight, area) = model;
        let lasts = |times: f64| {
            let source_resistance = drive.source_resistance / times;
            let drive = Drive { source_resistance, ..drive.clone() };
            let speed = faster * stall(&flight);
            let working = drive.level(&polar, &flight, area, speed)?;
            let volts = working.pack_volts;
            let store = Store { charge: charge * times, volts, rated_time: 3600.0, exponent };
            Ok::<f64, NoWorking>(store.endurance(working.electric_power).unwrap())
        };
        if let Ok(small) = lasts(1.0) {
            let large = lasts(larger).unwrap();
            prop_assert!(small <= large * (1.0 + 1e-9), "{small} {large}");
        }
    }
}

proptest! {
    #![proptest_config(cases(1_500))]

    /// Level flight at the top speed takes full throttle, none above it is level, and
    /// where there is no top speed none that is sampled is level.
    #[test]
    fn nothing_flies_level_above_the_top_speed(
        drive in drives(), model in models(), shares in prop::collection::vec(0.0..1.0, 20)
    ) {
        let (polar, flight, area) = model;
        let stall = stall(&flight);
        let climbs = |speed| drive.climb(&polar, &flight, area, speed, 1.0);
        match drive.top_speed(&polar, &flight, area, stall) {
            Ok((top, working)) => {
                prop_assert!(stall <= top && working.throttle >= 1.0);
                let drag = flight.loading * area
                    / polar.glide_at(top, &flight).unwrap().ratio;
                prop_assert!((working.thrust - drag).abs() < 1e-6 * drag);
                for share in shares {
                    prop_assert!(climbs(top * (1.0001 + 2.0 * share)).unwrap() < 0.0);
                }
            }
            Err(NoWorking::TooMuch { asked, gives }) => {
                prop_assert!(gives < asked);
                for share in shares {
                    let climb = climbs(stall * (1.0 + 3.0 * share)).unwrap();
                    prop_assert!(climb < 0.0, "{climb}");
                }
            }
            Err(why) => {
                let setting = (1.0, flight.density, stall);
                prop_assert!(is_so(&why, &drive, setting), "{why:?}");
            }
        }
    }

    /// A model climbs at full throttle where less than that holds it level, as long as
    /// the packs keep half of their volts.
    #[test]
    fn what_is_held_level_climbs_at_full_throttle(
        drive in drives(), model in models(), faster in 1.0..4.0
    ) {
        let (polar, flight, area) = model;
        let speed = faster * stall(&flight);
        let level = drive.level(&polar, &flight, area, speed);
        let climb = drive.climb(&polar, &flight, area, speed, 1.0);
        match (level, climb) {
            (Ok(level), Ok(climb)) => {
                if left(&drive) / 2.0 < keeps(&drive, flight.density, speed) {
                    prop_assert!(-1e-9 <= climb, "{climb} {level:?}");
                }
            }
            (Err(NoWorking::TooMuch { asked, gives }), Ok(climb)) => {
                prop_assert!(gives < asked && climb < 0.0);
            }
            (Err(NoWorking::Collapses(keeps)), Ok(_)) => {
                prop_assert!(keeps <= left(&drive) / 2.0);
            }
            (level, climb) => prop_assert_eq!(level.err(), climb.err()),
        }
    }
}
