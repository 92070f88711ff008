//! Computed facts of control surfaces: throws as angles, linkages, and what they bear.

use trimsheet_model::quantity::Dimension;

use super::records::{LENGTH, SHARE, WORDS, field};
use super::{Computed, row};
use crate::facts::Facts;
use crate::gives::{Field, Gives};

const ANGLE: Gives = Gives::Quantity(&[Dimension::ANGLE]);
const FORCE: Gives = Gives::Quantity(&[Dimension::FORCE]);
const TORQUE: Gives = Gives::Quantity(&[Dimension::TORQUE]);
const TIME: Gives = Gives::Quantity(&[Dimension::TIME]);

pub(super) const ROWS: &[Computed] = &[
    row(
        "surface",
        "travels",
        Gives::List(&Gives::Record(TRAVEL)),
        "Each way that it goes at each rate, with its angle, however its edge was measured.",
        "surface.travels[0].angle",
        Facts::travels,
    ),
    row(
        "surface",
        "reflex_turn",
        ANGLE,
        "How far it is turned from flat with the stick let go, up or down, as its `reflex` states.",
        "surface.reflex_turn",
        Facts::reflex_turn,
    ),
    row(
        "surface",
        "courses",
        Gives::List(&Gives::Record(COURSE)),
        "What its servo does for each of these; a servo whose pivot is not stated stands square to a long rod.",
        "surface.courses[0].servo",
        Facts::courses,
    ),
    row(
        "surface",
        "servo_turn",
        Gives::Record(SERVO_TURN),
        "How far the arm of its servo may turn each way: 45 deg where no `turns` is stated (common practice, no source).",
        "surface.servo_turn.turn",
        Facts::servo_turn,
    ),
    row(
        "surface",
        "linkage_ends",
        Gives::List(&Gives::Record(END)),
        "Where its linkage stops, either way, and why.",
        "surface.linkage_ends[0].servo",
        Facts::linkage_ends,
    ),
    row(
        "surface",
        "curve",
        Gives::List(&Gives::Record(POINT)),
        "Servo and surface at equal steps over all that the servo may turn, or until the linkage stops: from up to down, or from left to right, neutral among them. Rod, arm and horn do not bend, and nothing has play.",
        "surface.curve[0].surface",
        Facts::curve,
    ),
    row(
        "surface",
        "unevenness",
        Gives::Record(UNEVENNESS),
        "How far it goes up and down for the same turn of the servo, at its largest throw.",
        "surface.unevenness.share",
        Facts::unevenness,
    ),
    row(
        "surface",
        "hole_pairs",
        Gives::List(&Gives::Record(HOLES)),
        "Every hole of the arm with every hole of the horn: those that reach first, and the best use of the servo's travel ahead.",
        "surface.hole_pairs[0].arm",
        Facts::hole_pairs,
    ),
    row(
        "surface",
        "end_points",
        Gives::List(&Gives::Record(END_POINT)),
        "The pulse for each throw that its linkage reaches, from 1500 us at neutral.",
        "surface.end_points[0].pulse",
        Facts::end_points,
    ),
    row(
        "surface",
        "servo_load",
        Gives::Record(SERVO_LOAD),
        "What the air at the speed limit asks of its servo at the throw that asks most, by thin-aerofoil theory, which is the upper bound; the wing stands as the heaviest loadout flies level, where mass and shape are known; an estimate.",
        "surface.servo_load.times",
        Facts::servo_load,
    ),
    row(
        "surface",
        "rod_load",
        Gives::Record(ROD_LOAD),
        "What the stalled servo presses its rod with, against what bends the rod out between its guides.",
        "surface.rod_load.bears",
        Facts::rod_load,
    ),
    row(
        "surface",
        "throw_numbers",
        Gives::List(&Gives::Record(THROW_NUMBER)),
        "Each number that its throws state, before anything is worked out of it.",
        "surface.throw_numbers[0].said",
        Facts::throw_numbers,
    ),
    row(
        "surface",
        "limited_throws",
        Gives::List(&Gives::Record(LIMITED_THROW)),
        "Each throw that the kit limits, beside its limits.",
        "surface.limited_throws.len()",
        Facts::limited_throws,
    ),
    row(
        "surface",
        "halves",
        Gives::List(&Gives::Record(HALF)),
        "How far its left half and its right half were found to go, beside each other.",
        "surface.halves.len()",
        Facts::halves,
    ),
    row(
        "surface",
        "combined",
        Gives::List(&Gives::Record(COMBINED)),
        "Up and down: how far the commands of its mix move the edge together, against its largest throw and what its linkage reaches.",
        "surface.combined[0].edge",
        Facts::combined,
    ),
    row(
        "surface",
        "linkage_reach",
        Gives::List(&Gives::Record(REACH)),
        "How far it comes each way while its servo turns as far as it may.",
        "surface.linkage_reach[0].surface",
        Facts::linkage_reach,
    ),
    row(
        "surface",
        "is_even",
        Gives::Flag,
        "Whether it is equally deep at both ends.",
        "surface.is_even",
        Facts::is_even,
    ),
    row(
        "surface",
        "reflex_edge",
        LENGTH,
        "Where its edge stands with the stick let go, up or down, however that was stated.",
        "surface.reflex_edge",
        Facts::reflex_edge,
    ),
];

const THROW_NUMBER: &[Field] = &[
    field("said", Gives::Value, "What the spec says."),
    field("rate", WORDS, "The rate."),
    field("way", WORDS, "up, down, left or right, or both."),
    field("is_angle", Gives::Flag, "Whether it is an angle."),
    field("angle_at_root", ANGLE, "The angle, if it was measured at the inner end."),
    field("angle_at_tip", ANGLE, "The angle, if it was measured at the outer end."),
];

const LIMITED_THROW: &[Field] = &[
    field("throw", Gives::Value, "What the spec says of it."),
    field("limit", Gives::Value, "What the kit lets it."),
    field("rate", WORDS, "The rate."),
    field("way", WORDS, "up, down, left or right."),
    field("size", LENGTH, "How far the edge goes; of degrees, how high it then stands."),
    field("low", LENGTH, "The least that the kit lets it."),
    field("high", LENGTH, "The most that the kit lets it."),
];

const HALF: &[Field] = &[
    field("left", Gives::Value, "How far the left half goes."),
    field("right", Gives::Value, "How far the right half goes."),
    field("rate", WORDS, "The rate."),
    field("way", WORDS, "up, down, left or right."),
    field("further", WORDS, "Which half goes further: left or right."),
    field("apart", LENGTH, "How much further."),
    field("share", SHARE, "That, of what the further one goes."),
];

const COMBINED: &[Field] = &[
    field("way", WORDS, "up or down."),
    field("commands", Gives::Count, "How many commands these are."),
    field("edge", LENGTH, "How far the edge then goes from where the throw counts."),
    field("throw", Gives::Value, "Its largest throw that way."),
    field("throw_edge", LENGTH, "How far the edge goes by it."),
    field("has_linkage", Gives::Flag, "Whether its linkage is stated."),
    field(
        "linkage_edge",
        LENGTH,
        "How far the edge goes by the linkage; nought if none is stated.",
    ),
];

const REACH: &[Field] = &[
    field("way", WORDS, "up or down."),
    field("servo", ANGLE, "How far the servo turns."),
    field(
        "surface",
        ANGLE,
        "How far the surface turns, from where it stands with the servo at neutral.",
    ),
    field("because", WORDS, "turned, if the servo's turn ends it; locked, over-centre."),
];

const TRAVEL: &[Field] = &[
    field("throw", Gives::Value, "What the spec says of it."),
    field("rate", WORDS, "The rate."),
    field("way", WORDS, "up, down, left or right."),
    field("depth", LENGTH, "From the hinge to the edge, where it is measured."),
    field("angle", ANGLE, "How far it turns from where it counts."),
    field("straight_up", LENGTH, "How high the edge then stands, straight up."),
    field("edge_to_edge", LENGTH, "How far that is straight across."),
    field("upright_rule", LENGTH, "What a rule reads that stands upright at the edge."),
    field("from_flat", LENGTH, "How far the edge then stands from flat."),
    field("stands", ANGLE, "How far it is then turned from flat, and to which side."),
];

const COURSE: &[Field] = &[
    field("throw", Gives::Value, "What the spec says of it."),
    field("rate", WORDS, "The rate."),
    field("way", WORDS, "up, down, left or right."),
    field(
        "angle",
        ANGLE,
        "How far the surface turns from where it stands with the servo at neutral.",
    ),
    field("reaches", Gives::Flag, "Whether the linkage comes so far."),
    field("because", WORDS, "Why it does not: locked, over-centre."),
    field("servo", ANGLE, "How far the servo turns for it, or until it stops."),
    field("surface", ANGLE, "How far the surface then is turned."),
    field("share", SHARE, "The servo's turn, of what it may turn."),
    field(
        "arm_transmission",
        ANGLE,
        "The angle between rod and arm there; a right angle is best.",
    ),
    field("horn_transmission", ANGLE, "The angle between rod and horn there."),
];

const SERVO_TURN: &[Field] = &[
    field("turn", ANGLE, "How far, from neutral."),
    field("is_stated", Gives::Flag, "Whether the spec says so."),
];

const END: &[Field] = &[
    field("way", WORDS, "up, down, left or right."),
    field("servo", ANGLE, "How far the servo has turned there."),
    field("surface", ANGLE, "How far the surface is turned there."),
    field("because", WORDS, "locked, over-centre, or half-turn, where nothing stops it."),
];

const POINT: &[Field] = &[
    field(
        "servo",
        ANGLE,
        "How far the servo is turned, and to which side that takes it.",
    ),
    field(
        "surface",
        ANGLE,
        "How far it is then turned from where it stands with the servo at neutral.",
    ),
    field("slope", SHARE, "How far it turns there, of what the servo turns."),
];

const UNEVENNESS: &[Field] = &[
    field("servo", ANGLE, "How far the servo turns."),
    field("up", ANGLE, "How far the surface goes up for it, or left."),
    field("down", ANGLE, "How far it goes down, or right."),
    field("share", SHARE, "How much more the one is than the other."),
];

const HOLES: &[Field] = &[
    field("arm", LENGTH, "The hole of the arm."),
    field("horn", LENGTH, "The hole of the horn."),
    field(
        "reaches",
        Gives::Flag,
        "Whether every throw is reached within the servo's turn.",
    ),
    field("servo", ANGLE, "How far the servo turns for the largest."),
    field("share", SHARE, "That, of what it may turn."),
];

const END_POINT: &[Field] = &[
    field("throw", Gives::Value, "What the spec says of it."),
    field("rate", WORDS, "The rate."),
    field("way", WORDS, "up, down, left or right."),
    field("pulse", TIME, "How long the pulse is."),
    field(
        "share",
        SHARE,
        "How much of all the way that is; below nought where it is shorter.",
    ),
];

const SERVO_LOAD: &[Field] = &[
    field("deflection", ANGLE, "How far the surface is turned from flat."),
    field("moment", TORQUE, "What the air turns it back with."),
    field("torque", TORQUE, "What of it comes to the servo."),
    field("has", TORQUE, "What the servo has at the volts of its rail."),
    field("times", SHARE, "How often that goes into it."),
    field(
        "low_rails",
        Gives::List(&VOLTS),
        "The volts of its rail, where they are fewer than its torque is stated at.",
    ),
];

const VOLTS: Gives = Gives::Quantity(&[Dimension::VOLTAGE]);

const ROD_LOAD: &[Field] = &[
    field("push", FORCE, "What the servo presses with at neutral when it stalls."),
    field("bears", FORCE, "What bends the rod out."),
    field("times", SHARE, "The one, of the other."),
    field(
        "sizes",
        Gives::List(&Gives::Record(SIZE)),
        "What a full rod of its material bears by its diameter.",
    ),
];

const SIZE: &[Field] = &[
    field("dia", LENGTH, "A diameter that is sold."),
    field("bears", FORCE, "What it bears over the same free length."),
];
