//! What follows from a loadout about its way into the band: where its pack serves, which
//! lead it needs, what would spare it.

use trimsheet_model::quantity::{Axis, Dimension};

use super::records::{LENGTH, MASS, WORDS, field};
use super::{Computed, id, list, row};
use crate::facts::Facts;
use crate::gives::{Field, Gives};

const PLACES: Gives = Gives::Range(Dimension::LENGTH, Some(Axis::Length));

/// The computed facts of loadouts and packs that ways are made of.
pub(super) const ROWS: &[Computed] = &[
    row(
        "loadout",
        "pack_range",
        PLACES,
        "Between which places its one pack keeps the whole spread inside the band; absent where none does.",
        "loadout.pack_range.aft",
        |facts, of| facts.pack_range(id(of)?),
    ),
    row(
        "pack",
        "common_range",
        PLACES,
        "Between which places it serves every loadout that fits it; absent where no one place does.",
        "pack.common_range.aft",
        |facts, of| facts.common_range(id(of)?),
    ),
    row(
        "loadout",
        "pack_shared",
        Gives::List(&Gives::Record(SHARED)),
        "The other loadouts that fit the same pack, and whether one place of it serves both.",
        "loadout.pack_shared.len()",
        |facts, of| Ok(list(facts.pack_shared(id(of)?)?, of)),
    ),
    row(
        "loadout",
        "by_moves",
        Gives::Record(BY_MOVES),
        "How near moves alone bring it to the best place, all that helps at the end of its slide.",
        "loadout.by_moves.x",
        Facts::by_moves,
    ),
    row(
        "loadout",
        "lead_needed",
        Gives::List(&Gives::Record(NEEDED)),
        "The least lead at each declared place after all moves, the least first; empty where moves alone do it.",
        "loadout.lead_needed.len()",
        |facts, of| Ok(list(facts.lead_needed(of)?, of)),
    ),
    row(
        "loadout",
        "lead_savings",
        Gives::List(&Gives::Record(SAVINGS)),
        "What each move, to the end of its slide or less far, would save of the lead aboard, the most first.",
        "loadout.lead_savings.len()",
        |facts, of| Ok(list(facts.lead_savings(of)?, of)),
    ),
    row(
        "loadout",
        "lead_replaced",
        Gives::List(&Gives::Record(REPLACED)),
        "Other packs and parts of the same kind that would do the work of all the lead aboard, the lightest first.",
        "loadout.lead_replaced.len()",
        |facts, of| Ok(list(facts.lead_replaced(of)?, of)),
    ),
    row(
        "loadout",
        "if_lead_stays",
        Gives::List(&Gives::Record(STAYS)),
        "What each other loadout would be with a piece of lead of this one that its line does not call removable.",
        "loadout.if_lead_stays.len()",
        |facts, of| Ok(list(facts.if_lead_stays(of)?, of)),
    ),
];

const SHARED: &[Field] = &[
    field("other", Gives::Entry(&["loadout"]), "The other loadout."),
    field("pack", Gives::Entry(&["pack"]), "The pack that both fit."),
    field("range", PLACES, "Where the pack serves this loadout."),
    field("their_range", PLACES, "Where it serves the other."),
    field("serves_both", Gives::Flag, "Whether the two overlap."),
    field("apart", LENGTH, "How far they miss each other."),
    field(
        "is_inside",
        Gives::Flag,
        "Whether the pack lies where it serves this loadout.",
    ),
    field("best", LENGTH, "Where it serves this loadout best."),
    field("left_at", LENGTH, "Where the other has it."),
    field("x", LENGTH, "Where this loadout balances with the pack left there."),
];

const BY_MOVES: &[Field] = &[
    field("x", LENGTH, "The balance point then."),
    field("reaches", Gives::Flag, "Whether moves alone bring the whole spread inside."),
    field("says", WORDS, "What lies where then; empty where nothing slides that way."),
];

const NEEDED: &[Field] = &[
    field("bay", WORDS, "The bay."),
    field("at", LENGTH, "Where in it, ahead or aft."),
    field("lead", MASS, "How much more lead brings the whole spread just inside."),
    field("mass", MASS, "All that is aboard then."),
    field("x", LENGTH, "The balance point then."),
];

const SAVINGS: &[Field] = &[
    field("part", WORDS, "What is moved."),
    field(
        "to",
        LENGTH,
        "Where to: the end of its slide, or where all the lead can come out.",
    ),
    field("by", LENGTH, "How far that is."),
    field("saves", MASS, "How much lead can then come out."),
];

const REPLACED: &[Field] = &[
    field("name", WORDS, "What would be fitted."),
    field("says", WORDS, "The exchange in words, with its masses."),
    field("lead", MASS, "The lead that comes out."),
    field("mass", MASS, "All that is aboard then."),
    field("x", LENGTH, "The balance point then."),
];

const STAYS: &[Field] = &[
    field("other", Gives::Entry(&["loadout"]), "The other loadout."),
    field("lead", MASS, "How much lead it is."),
    field("bay", WORDS, "The bay that it lies in."),
    field("is_fixed", Gives::Flag, "Whether its line says that it cannot be taken out."),
    field("mass", MASS, "What the other loadout weighs with it."),
    field("x", LENGTH, "Where the other loadout balances with it."),
    field(
        "has_room",
        Gives::Flag,
        "Whether a place of its pack serves the other with it.",
    ),
    field(
        "room_from",
        LENGTH,
        "The foremost place of the pack that serves the other with it, if there is one.",
    ),
    field(
        "room_to",
        LENGTH,
        "The rearmost place of the pack that serves the other with it, if there is one.",
    ),
];
