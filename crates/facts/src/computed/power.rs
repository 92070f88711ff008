//! Computed facts of the electric net: what flows, what it comes from, what is wrong.

use trimsheet_model::quantity::Dimension;

use super::records::{LENGTH, SHARE, WORDS, field};
use super::{Computed, row};
use crate::facts::Facts;
use crate::gives::{Among, Field, Gives};
use crate::power::FaultKind;

const AMPS: Gives = Gives::Quantity(&[Dimension::CURRENT]);
const VOLTS: Gives = Gives::Quantity(&[Dimension::VOLTAGE]);
const WATTS: Gives = Gives::Quantity(&[Dimension::POWER]);
const TIME: Gives = Gives::Quantity(&[Dimension::TIME]);
const GAUGE: Gives = Gives::Quantity(&[Dimension::GAUGE]);
const PHASE: Gives = Gives::Words(Among::These(&[
    "on the bench",
    "once armed",
    "at the launch",
    "in cruise",
    "at the landing",
]));

pub(super) const ROWS: &[Computed] = &[
    row(
        "build",
        "power_faults",
        Gives::List(&Gives::Record(FAULT)),
        "What keeps the supplies of the joins from being a sound net, in any loadout.",
        "build.power_faults.len()",
        Facts::power_faults,
    ),
    row(
        "part",
        "rail_uses",
        Gives::List(&Gives::Record(RAIL_USE)),
        "What each of its rails gives, in the loadout and the phase in which that is most: full throttle at the launch, servos at work, the pack full; what is not known counts as nought. A rail that does not say how it is made is taken as linear; one that switches and states no efficiency keeps 85 % (common practice, no source).",
        "part.rail_uses.len()",
        Facts::rail_uses,
    ),
    row(
        "part",
        "rail_uses_known",
        Gives::Flag,
        "Yes, or not known where something that draws from its rails is not: to be asked once what is known has been judged.",
        "part.rail_uses_known",
        Facts::rail_uses_known,
    ),
    row(
        "part",
        "jammed_uses_known",
        Gives::Flag,
        "The same of what its rails give once every servo stalls.",
        "part.jammed_uses_known",
        Facts::jammed_uses_known,
    ),
    row(
        "part",
        "fitting_rails",
        Gives::List(&WORDS),
        "The rails aboard whose volts lie within what it needs, as in `board.five`.",
        "part.fitting_rails.len()",
        Facts::fitting_rails,
    ),
    row(
        "part",
        "on_packs",
        Gives::List(&Gives::Record(ON_PACK)),
        "The packs that it hangs on with no rail between, and what volts that gives it.",
        "part.on_packs.len()",
        Facts::on_packs,
    ),
    row(
        "part",
        "motor_currents",
        Gives::List(&Gives::Record(MOTOR_CURRENT)),
        "What a speed controller passes to its motors, in the loadout in which that is most; nothing where no motor hangs on it.",
        "part.motor_currents.len()",
        Facts::motor_currents,
    ),
    row(
        "part",
        "carried",
        Gives::Record(CURRENTS),
        "The currents of its `carries`.",
        "part.carried.steady",
        |facts, of| facts.stated_currents(of, "carries"),
    ),
    row(
        "part",
        "drawn",
        Gives::Record(CURRENTS),
        "The currents of its `draws`.",
        "part.drawn.brief",
        |facts, of| facts.stated_currents(of, "draws"),
    ),
    row(
        "join",
        "lead_uses",
        Gives::List(&Gives::Record(LEAD_USE)),
        "What flows along each of its supplies, in the loadout and the phase in which that is most, where its wire has a gauge and a length; what is not known counts as nought.",
        "join.lead_uses.len()",
        Facts::lead_uses,
    ),
    row(
        "join",
        "lead_uses_known",
        Gives::Flag,
        "Yes, or not known where something that draws along its supplies is not: to be asked once what is known has been judged.",
        "join.lead_uses_known",
        Facts::lead_uses_known,
    ),
];

const FAULT: &[Field] = &[
    field(
        "kind",
        Gives::Words(Among::These(FaultKind::WORDS)),
        "What sort of fault it is.",
    ),
    field("says", WORDS, "What is wrong, in words."),
    field("about", Gives::Entry(&["part", "pack", "join"]), "What it is about."),
    field("has_because", Gives::Flag, "Whether another line makes it so."),
    field("because", WORDS, "What that line is, where there is one."),
];

const USER: &[Field] = &[
    field("part", Gives::Entry(&["part"]), "Who takes it."),
    field("amps", AMPS, "How much."),
];

const RAIL_USE: &[Field] = &[
    field("rail", WORDS, "The part and the rail: `board.servo`."),
    field("loadout", WORDS, "The loadout."),
    field("volts", VOLTS, "What it gives, as stated."),
    field("amps", AMPS, "The most that it gives in a flight."),
    field("phase", PHASE, "When."),
    field("users", Gives::List(&Gives::Record(USER)), "Who takes that, the most first."),
    field(
        "has_jammed",
        Gives::Flag,
        "Whether every servo on it says what it draws stalled.",
    ),
    field("jammed", AMPS, "What it gives once every servo stalls."),
    field("jammed_users", Gives::List(&Gives::Record(USER)), "Who takes that."),
    field("has_steady", Gives::Flag, "Whether a steady current is stated."),
    field("steady", AMPS, "What it can give for as long as you like."),
    field("has_burst", Gives::Flag, "Whether a brief current is stated."),
    field("burst", AMPS, "What it can give for some seconds."),
    field("burst_time", TIME, "For how many."),
    field("making", WORDS, "`linear` or `switching`; empty where that is not said."),
    field("heat", WATTS, "The most that it makes of heat."),
    field("heat_amps", AMPS, "What it gives then."),
    field("made_from", VOLTS, "What it is made from then."),
    field("heat_phase", PHASE, "When that is."),
];

const LEAD_USE: &[Field] = &[
    field("loadout", WORDS, "The loadout."),
    field("from", Gives::Entry(&["part", "pack"]), "Where it comes from."),
    field("to", Gives::Entry(&["part", "pack"]), "Where it goes to."),
    field("gauge", GAUGE, "The gauge of the wire."),
    field("length", LENGTH, "Its length, one way."),
    field("amps", AMPS, "The most that flows in a flight."),
    field("phase", PHASE, "When."),
    field("begins", VOLTS, "The volts that it begins with then."),
    field("lost", VOLTS, "The volts that it loses, both ways."),
    field("share", SHARE, "That, of the volts that it begins with."),
    field("heat", WATTS, "The heat that it makes."),
    field("has_bundle", Gives::Flag, "Whether the table of bundles has this gauge."),
    field("bundle", AMPS, "What the gauge may carry in a bundle of an aircraft."),
    field("times", SHARE, "What flows, of that."),
    field(
        "stouter",
        Gives::List(&Gives::Record(STOUTER)),
        "The stouter even gauges, the thinnest first.",
    ),
];

const STOUTER: &[Field] = &[
    field("gauge", GAUGE, "A gauge."),
    field("times", SHARE, "What flows, of what it may carry in a bundle."),
    field("lost", VOLTS, "The volts that it would lose."),
    field("share", SHARE, "That, of the volts that it begins with."),
];

const ON_PACK: &[Field] = &[
    field("pack", Gives::Entry(&["pack"]), "The pack."),
    field("loadout", WORDS, "The first loadout that fits it."),
    field("full", VOLTS, "Its volts fresh from the charger."),
    field("low", VOLTS, "The fewest that the part has in a flight."),
    field("low_phase", PHASE, "When."),
];

const MOTOR_CURRENT: &[Field] = &[
    field("loadout", WORDS, "The loadout."),
    field("motors", Gives::List(&Gives::Entry(&["part"])), "Its motors."),
    field("cruise", AMPS, "What flows in level flight."),
    field("most", AMPS, "The most that flows."),
    field("has_time", Gives::Flag, "Whether a time is stated for it."),
    field("time", TIME, "For how long."),
    field("has_steady", Gives::Flag, "Whether its motors state a steady current."),
    field("steady", AMPS, "The steady current of its motors."),
];

const CURRENTS: &[Field] = &[
    field("has_steady", Gives::Flag, "Whether a steady current is stated."),
    field("steady", AMPS, "The steady current."),
    field("has_brief", Gives::Flag, "Whether a brief current is stated."),
    field("brief", AMPS, "The largest brief current."),
    field("time", TIME, "For how long."),
];
