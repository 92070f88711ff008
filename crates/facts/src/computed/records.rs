//! What records hold: the balance of a loadout, the outline of a surface, and so on.

use trimsheet_model::quantity::Dimension;

use crate::gives::{Among, Field, Gives};

pub(super) const fn field(name: &'static str, gives: Gives, says: &'static str) -> Field {
    Field { name, gives, says }
}

pub(super) const MASS: Gives = Gives::Quantity(&[Dimension::MASS]);
pub(super) const LENGTH: Gives = Gives::Quantity(&[Dimension::LENGTH]);
pub(super) const SHARE: Gives = Gives::Quantity(&[Dimension::NONE]);
pub(super) const WORDS: Gives = Gives::Words(Among::Any);
const INERTIA: Gives = Gives::Quantity(&[Dimension::INERTIA]);

pub(super) const BALANCE: Gives = Gives::Record(BALANCE_FIELDS);
pub(super) const CORNERS: Gives = Gives::List(&BALANCE);
pub(super) const IN_FLIGHT: Gives = Gives::List(&Gives::Record(IN_FLIGHT_FIELDS));
pub(super) const EXTENT: Gives = Gives::Record(EXTENT_FIELDS);
pub(super) const PLANFORM: Gives = Gives::Record(PLANFORM_FIELDS);
pub(super) const GUESSES: Gives = Gives::List(&Gives::Record(GUESS_FIELDS));
pub(super) const REPEATS: Gives = Gives::List(&Gives::Record(REPEAT_FIELDS));

pub(super) const SHEET: Gives = Gives::Record(SHEET_FIELDS);
pub(super) const AS_WEIGHED: Gives = Gives::Record(AS_WEIGHED_FIELDS);
pub(super) const MASS_AS_WEIGHED: Gives = Gives::Record(MASS_AS_WEIGHED_FIELDS);

pub(super) const WAYS: Gives = Gives::List(&Gives::Record(WAY_FIELDS));

/// Parts that lie too near to each other, as `loadout.crowding` lists them.
pub const CROWDING: Gives = Gives::List(&Gives::Record(CROWD_FIELDS));

const BALANCE_FIELDS: &[Field] = &[
    field("mass", MASS, "All that is aboard."),
    field("x", LENGTH, "The balance point, ahead or aft."),
    field("y", LENGTH, "The balance point, left or right."),
    field("z", LENGTH, "The balance point, up or down."),
    field("roll_inertia", INERTIA, "About the axis along the body."),
    field("pitch_inertia", INERTIA, "About the axis across the body."),
    field("yaw_inertia", INERTIA, "About the upright axis."),
    field(
        "says",
        WORDS,
        "How the choices were made: `with camera`; empty where none is open.",
    ),
    field(
        "contributors",
        Gives::List(&Gives::Record(CONTRIBUTOR)),
        "What makes x unsure, the largest first.",
    ),
];

const IN_FLIGHT_FIELDS: &[Field] = &[
    field("mass", MASS, "All that is aboard."),
    field("x", LENGTH, "The balance point, ahead or aft."),
    field("y", LENGTH, "The balance point, left or right."),
    field("z", LENGTH, "The balance point, up or down."),
    field("roll_inertia", INERTIA, "About the axis along the body."),
    field("pitch_inertia", INERTIA, "About the axis across the body."),
    field("yaw_inertia", INERTIA, "About the upright axis."),
    field("says", WORDS, "What happens: `once camera is let go`."),
    field(
        "contributors",
        Gives::List(&Gives::Record(CONTRIBUTOR)),
        "What makes x unsure, the largest first.",
    ),
    field("before", LENGTH, "The balance point until then, ahead or aft."),
];

const CONTRIBUTOR: &[Field] = &[
    field("says", WORDS, "Which number it is: `the mass of wiring`."),
    field("share", SHARE, "How much of the spread is its doing."),
    field("moves", LENGTH, "How far it alone leaves x unsure."),
    field("act", WORDS, "What makes it surer: `weigh the wiring`."),
];

const EXTENT_FIELDS: &[Field] = &[
    field("front", LENGTH, "The foremost place."),
    field("rear", LENGTH, "The rearmost place."),
];

const PLANFORM_FIELDS: &[Field] = &[
    field("area", Gives::Quantity(&[Dimension::AREA]), "The area."),
    field("span", LENGTH, "From tip to tip; of a fin, its height."),
    field("aspect_ratio", SHARE, "Span squared over area."),
    field("mean_chord", LENGTH, "The mean aerodynamic chord."),
    field("mean_chord_out", LENGTH, "How far out the mean chord lies."),
    field("leading_edge", LENGTH, "Where the mean chord begins."),
];

const GUESS_FIELDS: &[Field] =
    &[field("of", WORDS, "What it is the mass of."), field("mass", MASS, "How much.")];

const REPEAT_FIELDS: &[Field] = &[
    field("first", WORDS, "The word, on the line that says it first."),
    field("again", WORDS, "The word, on the line that says it again."),
    field("differ", Gives::Flag, "Whether the two lines differ."),
];

const CROWD_FIELDS: &[Field] = &[
    field("part", WORDS, "The name of the part."),
    field("other", WORDS, "What it comes too near to."),
    field("is_wall", Gives::Flag, "Whether that is the bay itself."),
    field("by", LENGTH, "How far they overlap; below nought where they do not."),
    field(
        "way",
        Gives::Words(Among::These(&["lengthwise", "sideways", "in height"])),
        "The direction in which that is least.",
    ),
    field("press_fit", Gives::Flag, "Whether it is meant to sit tight."),
    field("has_room", Gives::Flag, "Whether it fits its bay at another place."),
    field("room_from", LENGTH, "The foremost place where it fits, if there is one."),
    field("room_to", LENGTH, "The rearmost place where it fits, if there is one."),
];

const STEPS: Gives = Gives::List(&Gives::Record(STEP_FIELDS));

const STEP_FIELDS: &[Field] = &[
    field("says", WORDS, "What it is: a reading, a part taken off or put on."),
    field("mass", MASS, "How much; below nought where it is taken off."),
    field("at", LENGTH, "Where, ahead or aft."),
    field("moment", Gives::Quantity(&[Dimension::MOMENT]), "One times the other."),
];

const SHEET_FIELDS: &[Field] = &[
    field("mass", MASS, "All that is aboard."),
    field("x", LENGTH, "The balance point, ahead or aft."),
    field(
        "contributors",
        Gives::List(&Gives::Record(CONTRIBUTOR)),
        "What makes x unsure, the largest first.",
    ),
    field("arithmetic", WORDS, "The sum in words."),
    field("steps", STEPS, "The sum, step by step."),
    field("changes", STEPS, "The steps that are no reading."),
    field("base", WORDS, "The record, at its line."),
    field("says", WORDS, "The record."),
];

const AS_WEIGHED_FIELDS: &[Field] = &[
    field("mass", MASS, "All that is aboard."),
    field("x", LENGTH, "The balance point, ahead or aft."),
    field(
        "contributors",
        Gives::List(&Gives::Record(CONTRIBUTOR)),
        "What makes x unsure, the largest first.",
    ),
    field("arithmetic", WORDS, "The sum in words."),
    field("steps", STEPS, "The sum, step by step."),
    field("changes", STEPS, "The steps that are no reading."),
    field("base", WORDS, "The records, at the line of the first."),
    field("says", WORDS, "The records, at the line of the loadout."),
    field("is_own", Gives::Flag, "Whether they are of this loadout."),
];

const MASS_AS_WEIGHED_FIELDS: &[Field] = &[
    field("mass", MASS, "All that is aboard."),
    field("base", WORDS, "The record, at its line."),
    field("says", WORDS, "The record, at the line of the loadout."),
    field("changes", STEPS, "What was taken off and put on since."),
    field("is_own", Gives::Flag, "Whether it is of this loadout."),
];

pub(super) const THING: Gives = Gives::Entry(&["part", "pack"]);

const WAY_FIELDS: &[Field] = &[
    field(
        "carries",
        Gives::Words(Among::These(&["signal", "supply"])),
        "Whether it is a signal or a supply.",
    ),
    field("from", THING, "The part or the pack that it comes from."),
    field("out_of", WORDS, "The socket that it comes out of; empty where none is named."),
    field("to", THING, "The part or the pack that it goes to."),
    field("into", WORDS, "The socket that it goes into; empty where none is named."),
];
