//! Computed facts of flights and of the first one, of what a text gives away, and of what
//! to look up about a model.

use trimsheet_model::quantity::Dimension;

use super::records::{SHARE, WORDS, field};
use super::weighings::{by, called, date};
use super::{Computed, id, list, row};
use crate::facts::Facts;
use crate::gives::{Among, Field, Gives};

const AMPS: Gives = Gives::Quantity(&[Dimension::CURRENT]);
const LOADOUT: Gives = Gives::Entry(&["loadout"]);

pub(super) const ROWS: &[Computed] = &[
    date("flew", "flew.date.year"),
    by("flew", "flew.by"),
    called("flew", "flew.called"),
    row(
        "flew",
        "loadout",
        LOADOUT,
        "The loadout that flew.",
        "flew.loadout.name",
        |facts, of| facts.named_in_head(id(of)?, "loadout"),
    ),
    row(
        "flew",
        "mean_current",
        Gives::Record(MEAN),
        "The charge that the flight used over the time that it lasted, beside what its loadout was to take in that time: the cruise current, and full throttle for as long as it climbs.",
        "flew.mean_current.share",
        Facts::mean_current,
    ),
    row(
        "maiden",
        "loadout",
        LOADOUT,
        "The loadout of the first flight.",
        "maiden.loadout.name",
        |facts, of| facts.named_in_head(id(of)?, "loadout"),
    ),
    row(
        "build",
        "private_texts",
        Gives::List(&Gives::Record(PRIVATE)),
        "The texts of the spec that look as though they hold an address of mail, a telephone number or a place on the globe.",
        "build.private_texts.len()",
        |facts, of| Ok(list(facts.private_texts(), of)),
    ),
    row(
        "build",
        "legal_pointers",
        Gives::List(&Gives::Record(POINTER)),
        "Where rules of the air of some countries speak of mass, height or place, as they were read: something to look up, and never a judgement.",
        "build.legal_pointers.len()",
        |facts, of| Ok(list(facts.legal_pointers(of), of)),
    ),
];

const MEAN: &[Field] = &[
    field("flown", AMPS, "What it took on the mean."),
    field("planned", AMPS, "What it was to take on the mean."),
    field("share", SHARE, "How much more that was, of the plan; below nought if less."),
    field(
        "planned_is_stated",
        Gives::Flag,
        "Whether the spec states the cruise current.",
    ),
];

const PRIVATE: &[Field] = &[
    field("text", WORDS, "The text, at its line."),
    field(
        "holds",
        Gives::Words(Among::These(&[
            "an address of mail",
            "a telephone number",
            "a place on the globe",
        ])),
        "What it looks like.",
    ),
];

const POINTER: &[Field] = &[
    field(
        "topic",
        Gives::Words(Among::These(&["mass", "height", "place"])),
        "What it is about.",
    ),
    field("country", WORDS, "Where it holds."),
    field("reference", WORDS, "Where it stands."),
    field("says", WORDS, "What it speaks of."),
    field("read", WORDS, "How it was read, and when if that was noted."),
];
