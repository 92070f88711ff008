//! Computed facts about what was signed: which steps are open, and what opened a record.

use std::rc::Rc;

use trimsheet_model::Stage;

use super::records::{WORDS, field};
use super::{Computed, flag, id, list, row, words};
use crate::as_built::Departure;
use crate::facts::Facts;
use crate::gives::{Field, Gives};
use crate::known::{Known, What};
use crate::proof::Change;
use crate::step::{Done, Proved};

/// A fact that is no longer as it was when a record was signed.
const CHANGE: &[Field] = &[
    field("base", WORDS, "The fact, at its line by now."),
    field("says", WORDS, "The fact, as in `surface elevons: reflex`."),
    field("was", WORDS, "What the spec said then, or `not said`."),
    field("now", WORDS, "What it says now, or `not said`."),
];

/// A step that a pack asks for.
const STEP: &[Field] = &[
    field("base", WORDS, "The step, at the line of its record or of the model."),
    field("name", WORDS, "What it goes by: `failsafe`."),
    field(
        "title",
        WORDS,
        "What is done; behind it the loadout, if it is one of several.",
    ),
    field("card", WORDS, "The card that it stands on."),
    field("before", WORDS, "The stage that is not reached without it, or `no stage`."),
    field(
        "state",
        WORDS,
        "`open`, `unsigned`, `unsealed`, `reopened`, `lapsed` or `proved`.",
    ),
    field(
        "is_due",
        Gives::Flag,
        "Whether the stage that the build is judged for asks for it.",
    ),
    field(
        "is_proved",
        Gives::Flag,
        "Whether a signed record says that it was done, and what that rests on has not changed.",
    ),
];

/// Of the whole aircraft.
pub(super) const ROWS: &[Computed] = &[
    row(
        "build",
        "photos_missing",
        Gives::List(&WORDS),
        "The photos that the spec names and that are not there, each at its line.",
        "build.photos_missing.len()",
        |facts, of| Ok(list(facts.photos_missing()?, of)),
    ),
    row(
        "build",
        "steps_asked",
        Gives::List(&Gives::Record(STEP)),
        "The steps that the packs ask for, in the order in which a person does them; those of a loadout once for each.",
        "build.steps_asked.len()",
        |facts, of| {
            let done = facts.steps_done()?;
            let all = done.iter().map(|done| step(facts, done, of)).collect();
            Ok(list(all, of))
        },
    ),
];

/// A fact that stands otherwise in the reference that the model follows.
const DEPARTURE: &[Field] = &[
    field("base", WORDS, "The fact, at its line."),
    field("fact", WORDS, "Its word, or `all` where the reference has no such entry."),
    field("reference", WORDS, "What the reference says, or `not said`."),
    field("built", WORDS, "What the spec says, or `not said`."),
];

/// Of what may stand otherwise in the reference.
macro_rules! departures {
    ($on:literal) => {
        row(
            $on,
            "departures",
            Gives::List(&Gives::Record(DEPARTURE)),
            "Where it is not as in the reference spec that the model follows; an empty list where it follows none.",
            concat!($on, ".departures.len()"),
            |facts, of| {
                let all = facts.departures_of(id(of)?)?;
                Ok(list(all.iter().map(|one| departure(one, of)).collect(), of))
            },
        )
    };
}

/// Of parts and packs.
pub(super) const DEPARTURES: &[Computed] = &[departures!("part"), departures!("pack")];

fn departure(departure: &Departure, of: &Known) -> Known {
    let span = departure.span.or(of.span);
    let at =
        |text: &str| Known::computed(What::Words(text.to_owned()), "departures", span);
    let said = |text: &Option<String>| at(text.as_deref().unwrap_or("not said"));
    let word = departure.fact.unwrap_or("all");
    let fields = vec![
        ("base", at(word)),
        ("fact", at(word)),
        ("reference", said(&departure.reference)),
        ("built", said(&departure.built)),
    ];
    Known::computed(What::Record(Rc::new(fields)), "departures", span)
}

/// Of every kind of record: a macro, since each row's example begins with the word that
/// opens the record.
macro_rules! of_record {
    ($on:literal) => {
        &[
            row(
                $on,
                "is_signed",
                Gives::Flag,
                "Whether somebody signed it, so that a change opens it again.",
                concat!($on, ".is_signed"),
                |facts, of| Ok(flag(facts.signed(id(of)?)?.is_some(), of)),
            ),
            row(
                $on,
                "unsealed",
                Gives::List(&WORDS),
                "Why its lines are not those that were signed; an empty list where they are.",
                concat!($on, ".unsealed.len()"),
                |facts, of| {
                    let why = facts.unsealed(id(of)?)?;
                    Ok(list(why.into_iter().map(|why| words(why, of)).collect(), of))
                },
            ),
            row(
                $on,
                "since_signed",
                Gives::List(&Gives::Record(CHANGE)),
                "What it rests on and that is no longer as it was when it was signed.",
                concat!($on, ".since_signed.len()"),
                |facts, of| {
                    let changes = facts.changes_since(id(of)?)?;
                    Ok(list(changes.iter().map(change).collect(), of))
                },
            ),
        ]
    };
}

/// Of records, by the word that opens them.
pub(super) const OF_RECORDS: &[&[Computed]] = &[
    of_record!("weighed"),
    of_record!("balanced"),
    of_record!("done"),
    of_record!("saved"),
    of_record!("checked"),
    of_record!("ran"),
    of_record!("flew"),
];

fn change(change: &Change) -> Known {
    let at = |text: &str| {
        Known::computed(What::Words(text.to_owned()), "since_signed", Some(change.span))
    };
    let (was, now) = change.said();
    let said = |text: Option<&str>| at(text.unwrap_or("not said"));
    let fields = vec![
        ("base", at(&change.fact)),
        ("says", at(&change.fact)),
        ("was", said(was)),
        ("now", said(now)),
    ];
    Known::computed(What::Record(Rc::new(fields)), "since_signed", Some(change.span))
}

fn step(facts: &Facts, done: &Done<'_>, build: &Known) -> Known {
    let (state, record) = match &done.proved {
        Proved::Open => ("open", None),
        Proved::Unsigned(record) => ("unsigned", Some(*record)),
        Proved::Unsealed(record, _) => ("unsealed", Some(*record)),
        Proved::Reopened(record, _) => ("reopened", Some(*record)),
        Proved::Lapsed(record, _) => ("lapsed", Some(*record)),
        Proved::Holds(record) => ("proved", Some(*record)),
    };
    let span = record.map_or(build.span, |id| facts.known_entry(id).span);
    let at = |what: What| Known::computed(what, "steps_asked", span);
    let word = |text: &str| at(What::Words(text.to_owned()));
    let is_due = done.step.before.is_some_and(|before| before <= facts.stage);
    let fields = vec![
        ("base", word(&done.step.title)),
        ("name", word(&done.step.name)),
        ("title", word(&done.title(facts))),
        ("card", word(done.step.card.word())),
        ("before", word(done.step.before.map_or("no stage", Stage::word))),
        ("state", word(state)),
        ("is_due", at(What::Flag(is_due))),
        ("is_proved", at(What::Flag(state == "proved"))),
    ];
    Known::computed(What::Record(Rc::new(fields)), "steps_asked", span)
}
