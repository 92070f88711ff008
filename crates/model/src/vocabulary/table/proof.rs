//! What a record rests on: written by the program when somebody signs a step.
//!
//! A proof stands beside the spec, one line each, and every line names its record: so the
//! lines of two people can be put together in any order, and none of them is lost.

use super::super::{RECORDS, Row, Takes};
use super::shorthand::*;

pub(super) static PROOF: &[Row] = &[
    row(
        "proof",
        &[],
        &[must("form", Takes::Count)],
        "The form in which the lines of a proof are written; a proof of another form is not read.",
        "proof 1",
    ),
    row(
        "signed",
        RECORDS,
        &[must("record", Takes::Name), led("under", Takes::Text)],
        "The record was signed by whoever did it: its name in the proof, and the pack that asked for it.",
        "signed r4c1f09be under \"core 2026-11\"",
    ),
    row(
        "rests",
        &[],
        &[
            must("record", Takes::Name),
            must("fact", Takes::Text),
            led("was", Takes::Text),
        ],
        "A signed record rests on this fact, and what the spec said of it then; without `was` it said nothing.",
        "rests r4c1f09be \"surface elevons: reflex\" was \"2 mm up at root\"",
    )
    .often(),
    row(
        "seal",
        &[],
        &[must("record", Takes::Name), must("sum", Takes::Text)],
        "The check sum of a signed record and all that it rests on, so that a line that is lost or changed shows.",
        "seal r4c1f09be \"5f0c2a9e41b7d386\"",
    )
    .often(),
    row(
        "known",
        &[],
        &[
            must("rule", Takes::Rule),
            must("of", Takes::Text),
            led("by", Takes::Name),
            led("until", Takes::Date),
            led("facts", Takes::Text),
        ],
        "A finding that an old model had when it was first checked: let pass until a day, while the facts that the rule read are as they were.",
        "known mass/size-free-loading \"loadout ferry\" by MT until 2026-09-01 facts \"5f0c2a9e41b7d386\"",
    )
    .often(),
];
