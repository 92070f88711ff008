//! Computed facts of joins: how far they reach, their ground, and their plugs.

use super::records::{LENGTH, THING, field};
use super::{Computed, id, list, row};
use crate::facts::Facts;
use crate::gives::{Field, Gives};

/// Of joins, and of what shares a rail.
pub(super) const ROWS: &[Computed] = &[
    row(
        "join",
        "path",
        Gives::Record(PATH),
        "Its longest way by the places of what it joins; what slides is taken at the end of its slide that lies further off.",
        "join.path.distance",
        Facts::path,
    ),
    row(
        "join",
        "pack_leads",
        Gives::List(&Gives::Record(ENDS)),
        "The supplies that bring what the pack itself gives: from the pack, or from a part that passes it on.",
        "join.pack_leads.len()",
        |facts, of| Ok(list(facts.pack_leads(id(of)?)?, of)),
    ),
    row(
        "join",
        "groundless",
        Gives::List(&Gives::Record(GROUNDLESS)),
        "The signals whose ends share no ground, or only by the leads of the pack; ground runs along every other supply, lifted or not, and beside each signal with a minus lead.",
        "join.groundless.len()",
        |facts, of| Ok(list(facts.groundless(id(of)?)?, of)),
    ),
    row(
        "join",
        "like_plugs",
        Gives::List(&Gives::Record(LIKE_PLUG)),
        "The joins above it whose plug has the same family and gender and goes elsewhere; of plugs that do not state their gender and their place, none.",
        "join.like_plugs.len()",
        |facts, of| Ok(list(facts.like_plugs(id(of)?)?, of)),
    ),
    row(
        "part",
        "fed_with",
        Gives::List(&Gives::Entry(&["part"])),
        "The other parts that hang on a rail that feeds it.",
        "part.fed_with.len()",
        |facts, of| Ok(list(facts.fed_with(id(of)?)?, of)),
    ),
];

const FROM: Field = field("from", THING, "The part or the pack that it comes from.");
const TO: Field = field("to", THING, "The part or the pack that it goes to.");

const ENDS: &[Field] = &[FROM, TO];

const PATH: &[Field] = &[
    FROM,
    TO,
    field("distance", LENGTH, "Along, across and upward added up."),
    field("plugs", Gives::Count, "How many plugs a hand has to get at."),
];

const GROUNDLESS: &[Field] = &[
    FROM,
    TO,
    field("by_pack", Gives::Flag, "Whether the leads of the pack join their grounds."),
];

const LIKE_PLUG: &[Field] = &[
    field("other", Gives::Entry(&["join"]), "The other join."),
    field("apart", LENGTH, "How far apart the two plugs sit."),
];
