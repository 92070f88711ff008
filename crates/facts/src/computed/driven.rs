//! Computed facts of what drives it: packs as they were read, throttles, propellers.

use trimsheet_model::quantity::Dimension;

use super::records::{SHARE, WORDS, field};
use super::{Computed, flag, id, list, row};
use crate::facts::Facts;
use crate::gives::{Among, Field, Gives};

const AMPS: Gives = Gives::Quantity(&[Dimension::CURRENT]);
const CHARGE: Gives = Gives::Quantity(&[Dimension::CHARGE]);
const PACK: Gives = Gives::Entry(&["pack"]);
const PART: Gives = Gives::Entry(&["part"]);
const CHECKED: Gives = Gives::Entry(&["checked"]);
const LOADOUT: Gives = Gives::Entry(&["loadout"]);

pub(super) const ROWS: &[Computed] = &[
    row(
        "build",
        "packs_together",
        Gives::List(&Gives::Record(TOGETHER)),
        "Packs that stand side by side in a loadout, with no rail between, each two once; those of other volts when full are among `power_faults` instead.",
        "build.packs_together.len()",
        Facts::packs_side_by_side,
    ),
    row(
        "build",
        "throttles",
        Gives::List(&Gives::Record(THROTTLE)),
        "Each signal that leads to a speed controller.",
        "build.throttles.len()",
        |facts, build| Ok(list(facts.throttles()?, build)),
    ),
    row(
        "part",
        "turner",
        PART,
        "Of a propeller: the motor that it sits on, the one that it names, or the only one, or the one on its side.",
        "part.turner.name",
        Facts::turner,
    ),
    row(
        "pack",
        "checks",
        Gives::List(&CHECKED),
        "The records that it was looked at, the latest first.",
        "pack.checks.len()",
        |facts, of| Ok(list(facts.checks(of)?, of)),
    ),
    row(
        "pack",
        "rests",
        Gives::List(&Gives::Record(VOLTS_READ)),
        "Its volts at rest as they were read, of each cell, the latest first.",
        "pack.rests.len()",
        |facts, of| Ok(list(facts.read_of(of, "volts")?, of)),
    ),
    row(
        "pack",
        "resistances",
        Gives::List(&Gives::Record(OHMS_READ)),
        "Its inner resistance as it was read, of each cell, the latest first.",
        "pack.resistances.len()",
        |facts, of| Ok(list(facts.read_of(of, "resistance")?, of)),
    ),
    row(
        "pack",
        "cycle_counts",
        Gives::List(&Gives::Record(CYCLES_READ)),
        "How often it had been charged by each day, the latest first.",
        "pack.cycle_counts.len()",
        |facts, of| Ok(list(facts.read_of(of, "cycles")?, of)),
    ),
    row(
        "pack",
        "is_polymer",
        Gives::Flag,
        "Whether its cells are of lithium polymer, as they are where no other chemistry is said.",
        "pack.is_polymer",
        |facts, of| Ok(flag(facts.is_polymer(id(of)?)?, of)),
    ),
    row(
        "pack",
        "energy",
        Gives::Quantity(&[Dimension::ENERGY]),
        "The charge of its label times its nominal volts: of lithium polymer 3.7 V a cell.",
        "pack.energy",
        Facts::label_energy,
    ),
    row(
        "loadout",
        "charge_used",
        Gives::Record(USED),
        "What is taken out of its packs until the timer calls: the cruise current, and full throttle for as long as it climbs. What they hold is what was read last, or else the label.",
        "loadout.charge_used.share",
        Facts::charge_used,
    ),
    row(
        "setting",
        "alarm_uses",
        Gives::List(&Gives::Record(ALARM)),
        "Each alarm with the packs of lithium polymer that are flown under it: one of the volts of a cell once, one of the volts of a pack once for each number of cells.",
        "setting.alarm_uses.len()",
        |facts, of| Ok(list(facts.alarm_uses(of)?, of)),
    ),
    row(
        "done",
        "named_parts",
        Gives::List(&PART),
        "The parts that it names, both halves of a pair; a step that names none means all.",
        "done.named_parts.len()",
        Facts::named_parts,
    ),
    row(
        "done",
        "named_packs",
        Gives::List(&PACK),
        "The packs that it names.",
        "done.named_packs.len()",
        Facts::named_packs,
    ),
];

const TOGETHER: &[Field] = &[
    field("pack", PACK, "The one that is written further down."),
    field("other", PACK, "The one that it meets."),
    field("loadout", WORDS, "The first loadout that fits both."),
];

const THROTTLE: &[Field] = &[
    field("controller", PART, "The speed controller."),
    field("from", Gives::Entry(&["part", "pack"]), "Where the signal comes from."),
    field("out", WORDS, "Out of which socket, at the line of the signal."),
];

const DAY: Field = field("date", Gives::Date, "The day.");
const RECORD: Field = field("record", CHECKED, "The record.");

const VOLTS_READ: &[Field] = &[
    field(
        "value",
        Gives::Quantity(&[Dimension::VOLTAGE_PER_CELL]),
        "The volts of a cell, at their line.",
    ),
    DAY,
    RECORD,
];

const OHMS_READ: &[Field] = &[
    field(
        "value",
        Gives::Quantity(&[Dimension::RESISTANCE_PER_CELL]),
        "The resistance of a cell, at its line.",
    ),
    DAY,
    RECORD,
];

const CYCLES_READ: &[Field] =
    &[field("value", Gives::Count, "How often, at its line."), DAY, RECORD];

const USED: &[Field] = &[
    field("charge", CHARGE, "What is taken."),
    field("held", CHARGE, "What the packs hold, all together."),
    field("share", SHARE, "One as a share of the other."),
    field("level_share", SHARE, "How much of that in level flight."),
    field("climbing_share", SHARE, "How much of that at full throttle."),
    field("cruise", AMPS, "The current in level flight, at its line."),
    field("full", AMPS, "The current at full throttle; nought where no climb is said."),
    field("full_is_read", Gives::Flag, "Whether a record `ran` says it."),
    field("held_is_read", Gives::Flag, "Whether records say what every pack holds."),
    field("has_usable", Gives::Flag, "Whether a pack says how much may be used."),
    field("usable", SHARE, "The least that one says; all where none does."),
];

const ALARM: &[Field] = &[
    field(
        "level",
        Gives::Words(Among::These(&["warning", "critical", "cut-off"])),
        "What it does.",
    ),
    field(
        "volts",
        Gives::Quantity(&[Dimension::VOLTAGE_PER_CELL, Dimension::VOLTAGE]),
        "The volts as they are stored, at their line.",
    ),
    field(
        "per_cell",
        Gives::Quantity(&[Dimension::VOLTAGE_PER_CELL]),
        "What that is for a cell of the pack.",
    ),
    field("is_of_pack", Gives::Flag, "Whether they are of a whole pack."),
    field("cells_differ", Gives::Flag, "Whether packs of several cell counts are flown."),
    field("loadout", LOADOUT, "A loadout that fits the pack."),
    field("pack", PACK, "The pack."),
];
