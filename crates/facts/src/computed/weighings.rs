//! Computed facts about records of what was done, and what follows from weighings.

use super::records::{AS_WEIGHED, LENGTH, MASS, MASS_AS_WEIGHED, SHEET, WORDS};
use super::{Computed, id, list, row};
use crate::gives::Gives;

/// Of loadouts.
pub(super) const ROWS: &[Computed] = &[
    row(
        "loadout",
        "is_measured",
        Gives::Flag,
        "Whether a record of this loadout itself says where it balances.",
        "loadout.is_measured",
        |facts, of| facts.is_measured(id(of)?),
    ),
    row(
        "loadout",
        "as_weighed",
        AS_WEIGHED,
        "By the latest records, with what was changed since taken off and put on.",
        "loadout.as_weighed.x",
        |facts, of| facts.as_weighed(id(of)?),
    ),
    row(
        "loadout",
        "mass_as_weighed",
        MASS_AS_WEIGHED,
        "By the latest record that gives a mass, with what was changed since.",
        "loadout.mass_as_weighed.mass",
        |facts, of| facts.mass_as_weighed(id(of)?),
    ),
    row(
        "loadout",
        "mass_off_list",
        MASS,
        "How much more than the list the scale says, with the spread of the difference; below nought where it says less.",
        "loadout.mass_off_list",
        |facts, of| facts.mass_off_list(id(of)?),
    ),
    row(
        "loadout",
        "balance_off_list",
        LENGTH,
        "How much further aft than the list the records say that it balances, with the spread of the difference; below nought where it is further ahead.",
        "loadout.balance_off_list",
        |facts, of| facts.balance_off_list(id(of)?),
    ),
];

pub(super) const fn date(on: &'static str, example: &'static str) -> Computed {
    let says = "The day of the record.";
    row(on, "date", Gives::Date, says, example, |facts, of| {
        facts.in_head(id(of)?, "date")
    })
}

pub(super) const fn by(on: &'static str, example: &'static str) -> Computed {
    let says = "Who made the record.";
    row(on, "by", WORDS, says, example, |facts, of| facts.in_head(id(of)?, "by"))
}

pub(super) const fn called(on: &'static str, example: &'static str) -> Computed {
    let says = "What a message calls the record: what was done, to what, on which day.";
    row(on, "called", WORDS, says, example, |facts, of| facts.called_of(id(of)?))
}

/// Of records of a pack that was read, of a run at full throttle, and of settings.
pub(super) const OTHERS: &[Computed] = &[
    date("checked", "checked.date.year"),
    by("checked", "checked.by"),
    called("checked", "checked.called"),
    row(
        "checked",
        "pack",
        Gives::Entry(&["pack"]),
        "The pack that was looked at.",
        "checked.pack.name",
        |facts, of| facts.named_in_head(id(of)?, "pack"),
    ),
    date("ran", "ran.date.year"),
    by("ran", "ran.by"),
    called("ran", "ran.called"),
    row(
        "ran",
        "loadout",
        Gives::Entry(&["loadout"]),
        "The loadout that ran.",
        "ran.loadout.name",
        |facts, of| facts.named_in_head(id(of)?, "loadout"),
    ),
    row(
        "ran",
        "others",
        Gives::List(&WORDS),
        "Who was there besides whoever did it.",
        "ran.others.len()",
        |facts, of| Ok(list(facts.others(id(of)?)?, of)),
    ),
    date("saved", "saved.date.year"),
    by("saved", "saved.by"),
    called("saved", "saved.called"),
];

/// Of records that a step was done.
pub(super) const DONE: &[Computed] = &[
    date("done", "done.date.year"),
    by("done", "done.by"),
    row(
        "done",
        "step",
        WORDS,
        "The step that was carried out.",
        "done.step",
        |facts, of| facts.in_head(id(of)?, "step"),
    ),
    row(
        "done",
        "others",
        Gives::List(&WORDS),
        "Who was there besides whoever did it.",
        "done.others.len()",
        |facts, of| Ok(list(facts.others(id(of)?)?, of)),
    ),
    called("done", "done.called"),
];

/// Of both kinds of weighing alike: a macro, since each row's example begins with the word
/// that opens the record.
macro_rules! of_record {
    ($on:literal) => {
        &[
            row(
                $on,
                "loadout",
                Gives::Entry(&["loadout"]),
                "The loadout that the record is of.",
                concat!($on, ".loadout.name"),
                |facts, of| facts.loadout_of(id(of)?),
            ),
            date($on, concat!($on, ".date.year")),
            by($on, concat!($on, ".by")),
            called($on, concat!($on, ".called")),
            row(
                $on,
                "gives_place",
                Gives::Flag,
                "Whether the record says where it balances.",
                concat!($on, ".gives_place"),
                |facts, of| facts.places_it(id(of)?),
            ),
            row(
                $on,
                "measured_mass",
                MASS,
                "What the scales showed, less the tares.",
                concat!($on, ".measured_mass"),
                |facts, of| facts.measured_mass(id(of)?),
            ),
            row(
                $on,
                "measured_place",
                LENGTH,
                "Where it balanced as it was, neither levelled nor corrected.",
                concat!($on, ".measured_place"),
                |facts, of| facts.measured_place(id(of)?),
            ),
            row(
                $on,
                "as_flown",
                SHEET,
                "The measurement corrected to its loadout as it flies.",
                concat!($on, ".as_flown.x"),
                |facts, of| facts.as_flown(id(of)?),
            ),
            row(
                $on,
                "correction",
                WORDS,
                "The arithmetic that brings the record to its loadout as it flies: masses, stations, moments and what they come to.",
                concat!($on, ".correction"),
                |facts, of| facts.correction(id(of)?),
            ),
            row(
                $on,
                "differences",
                Gives::List(&WORDS),
                "In what the aircraft was not as its loadout flies.",
                concat!($on, ".differences.len()"),
                |facts, of| facts.differences(id(of)?),
            ),
            row(
                $on,
                "rests_on_plan",
                Gives::List(&WORDS),
                "What lay where, by the loadout's word, when that is only planned; each stands at the planned value.",
                concat!($on, ".rests_on_plan.len()"),
                |facts, of| facts.rests_on_plan(id(of)?),
            ),
        ]
    };
}

pub(super) const WEIGHED: &[Computed] = of_record!("weighed");
pub(super) const BALANCED: &[Computed] = of_record!("balanced");
