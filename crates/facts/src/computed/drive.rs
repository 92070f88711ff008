//! Computed facts of what drives it: working points, endurance and range.

use trimsheet_model::quantity::Dimension;

use super::records::{LENGTH, SHARE, WORDS, field};
use super::{Computed, row};
use crate::drive::DRIVE_FAULTS;
use crate::facts::Facts;
use crate::gives::{Among, Field, Gives};

const AMPS: Gives = Gives::Quantity(&[Dimension::CURRENT]);
const VOLTS: Gives = Gives::Quantity(&[Dimension::VOLTAGE]);
const WATTS: Gives = Gives::Quantity(&[Dimension::POWER]);
const FORCE: Gives = Gives::Quantity(&[Dimension::FORCE]);
const SPEED: Gives = Gives::Quantity(&[Dimension::SPEED]);
const TIME: Gives = Gives::Quantity(&[Dimension::TIME]);
const CHARGE: Gives = Gives::Quantity(&[Dimension::CHARGE]);
const TURNS: Gives = Gives::Quantity(&[Dimension::ANGULAR_SPEED]);
const FROM: Gives = Gives::Words(Among::These(&["measured", "reckoned", "stated"]));

pub(super) const ROWS: &[Computed] = &[
    row(
        "build",
        "drive_faults",
        Gives::List(&Gives::Record(FAULT)),
        "What keeps motors, propellers and packs from working together, each once: a motor without a propeller, a propeller without a pitch, packs that cannot bring what is asked for. Before stage `installed` a spec without any propeller, and without any `speed-constant`, lacks none.",
        "build.drive_faults.len()",
        Facts::drive_faults,
    ),
    row(
        "loadout",
        "drive_known",
        Gives::Flag,
        "Yes, or not known where something is not that tells whether motors, propellers and packs work together: to be asked once `drive_faults` have been judged.",
        "loadout.drive_known",
        Facts::drive_known,
    ),
    row(
        "loadout",
        "motors",
        Gives::List(&Gives::Entry(&["part"])),
        "The motors that are aboard.",
        "loadout.motors.len()",
        Facts::motors_aboard,
    ),
    row(
        "loadout",
        "propellers",
        Gives::List(&Gives::Entry(&["part"])),
        "The propellers that are aboard.",
        "loadout.propellers.len()",
        Facts::propellers_aboard,
    ),
    row(
        "loadout",
        "driving_packs",
        Gives::List(&Gives::Entry(&["pack"])),
        "The packs that feed its motors; all that are aboard where no supply says which do.",
        "loadout.driving_packs.len()",
        Facts::driving_packs,
    ),
    row(
        "loadout",
        "full_throttle",
        Gives::Record(FULL),
        "How it works at full throttle, held fast, its packs full, by the constants of motor and propeller; an estimate.",
        "loadout.full_throttle.rpm",
        Facts::full_throttle,
    ),
    row(
        "loadout",
        "full_turns",
        Gives::Record(FULL_TURNS),
        "How fast its propellers turn at full throttle at a stand: the most that a run read, back to the latest one whose volts were as high as those that are reckoned for full packs, else as it is reckoned.",
        "loadout.full_turns.rpm",
        Facts::full_turns,
    ),
    row(
        "loadout",
        "full_speeds",
        Gives::Record(FULL_SPEEDS),
        "How fast those turns take its propellers along.",
        "loadout.full_speeds.tip_speed",
        Facts::full_speeds,
    ),
    row(
        "loadout",
        "full_current",
        Gives::Record(CURRENT),
        "The current of the packs at full throttle: as a run read it, else as it is reckoned, else as the motors state it.",
        "loadout.full_current.current",
        Facts::known_full_current,
    ),
    row(
        "loadout",
        "full_watts",
        WATTS,
        "What the packs give at full throttle: as a run read it, else reckoned.",
        "loadout.full_watts",
        Facts::full_watts,
    ),
    row(
        "loadout",
        "static_thrust",
        FORCE,
        "The full thrust of all motors at a stand: as a run read it, else as the motors state it, else reckoned.",
        "loadout.static_thrust",
        Facts::static_thrust,
    ),
    row(
        "loadout",
        "thrust_share",
        SHARE,
        "That thrust over the weight.",
        "loadout.thrust_share",
        Facts::thrust_share,
    ),
    row(
        "loadout",
        "sag",
        Gives::Record(SAG),
        "What the packs keep of their volts at full throttle when they are half empty; an estimate.",
        "loadout.sag.each",
        Facts::sag,
    ),
    row(
        "loadout",
        "run_differences",
        Gives::List(&Gives::Record(DIFFERENCE)),
        "In what its latest run at full throttle differs from what is reckoned for the volts that were read.",
        "loadout.run_differences.len()",
        Facts::run_differences,
    ),
    row(
        "loadout",
        "level_flight",
        Gives::Record(LEVEL),
        "How it flies level at its trim speed, or where none is stated at the speed of its furthest glide, its packs half empty; an estimate.",
        "loadout.level_flight.throttle",
        Facts::level_flight,
    ),
    row(
        "loadout",
        "top_speed",
        SPEED,
        "The highest speed of level flight, its packs half empty; an estimate.",
        "loadout.top_speed",
        Facts::top_speed,
    ),
    row(
        "loadout",
        "best_speeds",
        Gives::Record(BEST),
        "The speeds at which its charge lasts longest and goes furthest; an estimate.",
        "loadout.best_speeds.longest",
        Facts::best_speeds,
    ),
    row(
        "loadout",
        "endurance",
        Gives::Record(ENDURANCE),
        "How long it flies level until only the reserve is left: by the stated cruise current, else by the reckoned one. Where nothing is stated 80 % of the charge is used and 3 min are kept (common practice, no source).",
        "loadout.endurance.time",
        Facts::endurance,
    ),
    row(
        "loadout",
        "flight_range",
        Gives::Record(RANGE),
        "How far it goes in that time at its cruise speed in still air.",
        "loadout.flight_range.distance",
        Facts::flight_range,
    ),
    row(
        "loadout",
        "one_motor_out",
        Gives::Record(ONE_OUT),
        "Of a model with motors off the centre line: what pulls when one of them stops, and the speed below which full rudder does not hold that; an estimate.",
        "loadout.one_motor_out.speed",
        Facts::one_motor_out,
    ),
];

const FAULT: &[Field] = &[
    field(
        "kind",
        Gives::Words(Among::These(DRIVE_FAULTS)),
        "What does not go together: the `propellers` with the motors, or their `numbers`.",
    ),
    field("says", WORDS, "What is wrong, in words."),
];

const ONE_OUT: &[Field] = &[
    field("thrust", FORCE, "The full thrust of one motor at a stand."),
    field("out", LENGTH, "How far out it sits."),
    field("speed", SPEED, "The least speed at which full rudder holds it."),
    field(
        "rudder",
        Gives::Quantity(&[Dimension::ANGLE]),
        "How far the rudder goes, to the side on which it goes less.",
    ),
];

const FULL: &[Field] = &[
    field("current", AMPS, "What the packs give, with what is drawn beside the motors."),
    field("volts", VOLTS, "What they keep of their volts."),
    field("rpm", TURNS, "How fast each propeller turns."),
    field("thrust", FORCE, "What all of them pull."),
    field("watts", WATTS, "What the packs give."),
    TIP_SPEED,
    PITCH_SPEED,
];

const FULL_TURNS: &[Field] = &[
    field("rpm", TURNS, "How fast each propeller turns."),
    field("from", FROM, "Where it comes from: `measured` or `reckoned`."),
    field(
        "is_full",
        Gives::Flag,
        "Whether that is on full packs: reckoned so, or read at volts as high, within what is unsure.",
    ),
];

const FULL_SPEEDS: &[Field] = &[TIP_SPEED, PITCH_SPEED];

const TIP_SPEED: Field =
    field("tip_speed", SPEED, "How fast the tips of a propeller go.");
const PITCH_SPEED: Field =
    field("pitch_speed", SPEED, "How fast it would screw itself through a solid.");

const CURRENT: &[Field] = &[
    field("current", AMPS, "The current."),
    field("beside", AMPS, "What of it does not go through the motors."),
    field("from", FROM, "Where it comes from: `measured`, `reckoned` or `stated`."),
];

const SAG: &[Field] = &[
    field("pack", Gives::Entry(&["pack"]), "The first of the packs."),
    field("volts", VOLTS, "What they keep together."),
    field(
        "each",
        Gives::Quantity(&[Dimension::VOLTAGE_PER_CELL]),
        "What each cell keeps.",
    ),
    field("at_rest", VOLTS, "What they have at rest."),
    field(
        "current",
        AMPS,
        "What they give; reckoned with full packs where it is reckoned.",
    ),
    field("from", FROM, "Where that comes from."),
    field(
        "resistance",
        Gives::Quantity(&[Dimension::RESISTANCE_PER_CELL]),
        "What each cell resists, those side by side as one.",
    ),
];

const DIFFERENCE: &[Field] = &[
    field(
        "what",
        Gives::Words(Among::These(&["current", "thrust", "rpm"])),
        "What was read.",
    ),
    field(
        "measured",
        Gives::Quantity(&[
            Dimension::CURRENT,
            Dimension::FORCE,
            Dimension::ANGULAR_SPEED,
        ]),
        "What was read of it.",
    ),
    field(
        "reckoned",
        Gives::Quantity(&[
            Dimension::CURRENT,
            Dimension::FORCE,
            Dimension::ANGULAR_SPEED,
        ]),
        "What is reckoned.",
    ),
    field(
        "share",
        SHARE,
        "How much more was read, of what is reckoned; below nought if less.",
    ),
    field("run", Gives::Entry(&["ran"]), "The record."),
];

const LEVEL: &[Field] = &[
    field("speed", SPEED, "How fast."),
    field("current", AMPS, "What the packs give, as reckoned."),
    field("throttle", SHARE, "How far the throttle is open."),
    field("climb", SPEED, "How fast it climbs at that speed and full throttle."),
];

const BEST: &[Field] = &[
    field("longest", SPEED, "The speed at which the charge lasts longest."),
    field("longest_current", AMPS, "What the packs give then."),
    field("furthest", SPEED, "The speed at which it goes furthest in still air."),
    field("furthest_current", AMPS, "What the packs give then."),
];

const ENDURANCE: &[Field] = &[
    field("time", TIME, "Level flight until only the reserve is left."),
    field("cruise", AMPS, "The current in level flight."),
    field("cruise_is_stated", Gives::Flag, "Whether the spec states it."),
    field("usable", CHARGE, "The charge that may be used."),
    field("share", SHARE, "That, of the whole charge."),
    field("climbs", CHARGE, "What of it the climbs use."),
    field("has_climbs", Gives::Flag, "Whether the spec states climbs."),
    field("reserve", TIME, "What is kept, in level flight."),
    field("reserve_is_stated", Gives::Flag, "Whether the spec states it."),
    HAS_WIDEST,
    WIDEST,
    WIDEST_SHARE,
];

const RANGE: &[Field] =
    &[field("distance", LENGTH, "How far."), HAS_WIDEST, WIDEST, WIDEST_SHARE];

const HAS_WIDEST: Field =
    field("has_widest", Gives::Flag, "Whether anything makes it unsure.");
const WIDEST: Field = field("widest", WORDS, "What makes it most unsure.");
const WIDEST_SHARE: Field =
    field("widest_share", SHARE, "Which share of its variance that makes.");
