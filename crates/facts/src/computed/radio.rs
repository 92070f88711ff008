//! Computed facts of radio: what antennas and a compass are near to, and what is on air.

use trimsheet_model::quantity::Dimension;

use super::records::{LENGTH, SHARE, WORDS, field};
use super::{Computed, row};
use crate::facts::Facts;
use crate::gives::{Among, Field, Gives};

const BAND: Gives = Gives::Quantity(&[Dimension::FREQUENCY]);
const POWER: Gives = Gives::Quantity(&[Dimension::POWER]);
const ANGLE: Gives = Gives::Quantity(&[Dimension::ANGLE]);
const FIELD: Gives = Gives::Quantity(&[Dimension::MAGNETIC_FIELD]);

pub(super) const ROWS: &[Computed] = &[
    row(
        "part",
        "near_senders",
        Gives::List(&Gives::Record(NEAR_SENDER)),
        "For each of its antennas, or of a satellite receiver that names none for itself, and each band that another part sends on: how near the nearest antenna of that part comes.",
        "part.near_senders.len()",
        Facts::near_senders,
    ),
    row(
        "part",
        "near_senders_known",
        Gives::Flag,
        "Yes, or not known where an antenna of its own or of a sender is not: to be asked once what is known has been judged.",
        "part.near_senders_known",
        Facts::near_senders_known,
    ),
    row(
        "part",
        "sent_known",
        Gives::Flag,
        "Yes, or not known where the band or the power of something that it sends is not.",
        "part.sent_known",
        Facts::sent_known,
    ),
    row(
        "part",
        "antenna_angles",
        Gives::List(&Gives::Record(ANGLES)),
        "The angle between each two of its antennas that say from where to where they go.",
        "part.antenna_angles.len()",
        Facts::antenna_angles,
    ),
    row(
        "part",
        "antenna_angles_known",
        Gives::Flag,
        "Yes, or not known where it has several antennas and one does not say which way it goes.",
        "part.antenna_angles_known",
        Facts::antenna_angles_known,
    ),
    row(
        "part",
        "near_conductors",
        Gives::List(&Gives::Record(NEAR_CONDUCTOR)),
        "How near each of its antennas comes to spars and parts of carbon fibre or metal, to packs as the loadouts have them, and to the leads of motors, straight between what they join.",
        "part.near_conductors.len()",
        Facts::near_conductors,
    ),
    row(
        "part",
        "near_conductors_known",
        Gives::Flag,
        "Yes, or not known where one of these has no place, a spar does not say what it is made of, or a pack no size.",
        "part.near_conductors_known",
        Facts::near_conductors_known,
    ),
    row(
        "part",
        "made_on_air",
        Gives::List(&Gives::Record(MADE)),
        "The second and third harmonics of the senders aboard, and the sums and differences of each two up to the third order, against each band that it listens on; of a satellite receiver that names none, 1575.42 MHz.",
        "part.made_on_air.len()",
        Facts::made_on_air,
    ),
    row(
        "part",
        "made_on_air_known",
        Gives::Flag,
        "Yes, or not known where a band of its own or of a sender is not.",
        "part.made_on_air_known",
        Facts::made_on_air_known,
    ),
    row(
        "part",
        "band_neighbours",
        Gives::List(&Gives::Record(NEIGHBOUR)),
        "How far apart each band that it listens on and each that another part sends on are.",
        "part.band_neighbours.len()",
        Facts::band_neighbours,
    ),
    row(
        "part",
        "link_margins",
        Gives::List(&Gives::Record(MARGIN)),
        "By how much each of its links is stronger in free space than the weakest that is heard, at the `link-range` of the model; of several antennas the one of least gain counts.",
        "part.link_margins.len()",
        Facts::link_margins,
    ),
    row(
        "part",
        "link_margins_known",
        Gives::Flag,
        "Yes, or not known where a power, a gain or a sensitivity of one of its links is not.",
        "part.link_margins_known",
        Facts::link_margins_known,
    ),
    row(
        "part",
        "near_leads",
        Gives::List(&Gives::Record(NEAR_LEAD)),
        "What each pair of leads that brings what the pack itself gives, straight between what it joins, does to a compass at this place in cruise, in the loadout in which that is most.",
        "part.near_leads.len()",
        Facts::near_leads,
    ),
    row(
        "part",
        "near_leads_known",
        Gives::Flag,
        "Yes, or not known where the place of such a lead or what flows in it is not.",
        "part.near_leads_known",
        Facts::near_leads_known,
    ),
];

const NEAR_SENDER: &[Field] = &[
    field("antenna", WORDS, "Its own antenna, in words, at its line."),
    field("sender", Gives::Entry(&["part"]), "The part that sends."),
    field("sender_antenna", WORDS, "The antenna of that part, at its line."),
    field("by", LENGTH, "How near they come."),
    field("has_band", Gives::Flag, "Whether the band is known."),
    field("band", BAND, "The band that it sends on."),
    field("has_power", Gives::Flag, "Whether the power is known."),
    field("power", POWER, "How strongly it sends."),
];

const ANGLES: &[Field] = &[
    field("first", WORDS, "One antenna, in words, at its line."),
    field("second", WORDS, "The other one."),
    field("angle", ANGLE, "The angle between them, up to a right one."),
];

const NEAR_CONDUCTOR: &[Field] = &[
    field("antenna", WORDS, "Its antenna, in words, at its line."),
    field("conductor", WORDS, "What conducts, at its line."),
    field("by", LENGTH, "How near they come; nought where they touch."),
];

const MADE: &[Field] = &[
    field("says", WORDS, "What makes it, in words."),
    field("frequency", BAND, "Where it falls."),
    field("band", BAND, "The band that the part listens on."),
    field("apart", BAND, "How far from the middle of that it falls."),
    field("sender", Gives::Entry(&["part"]), "The first of those that make it."),
];

const NEIGHBOUR: &[Field] = &[
    field("own", BAND, "The band that it listens on."),
    field("sender", Gives::Entry(&["part"]), "The part that sends."),
    field("band", BAND, "The band that it sends on."),
    field("apart", SHARE, "How far apart they are, of its own."),
];

const MARGIN: &[Field] = &[
    field(
        "way",
        Gives::Words(Among::These(&["up", "down"])),
        "Up to the model, by what it receives, or down from it.",
    ),
    field("band", BAND, "The band."),
    field("range", LENGTH, "The range that the model states."),
    field("loss", SHARE, "What is lost on the way in free space."),
    field("margin", SHARE, "What is left above the weakest that is heard."),
];

const NEAR_LEAD: &[Field] = &[
    field("join", Gives::Entry(&["join"]), "The join."),
    field("loadout", WORDS, "The loadout in which it is most."),
    field("amps", Gives::Quantity(&[Dimension::CURRENT]), "What flows in cruise."),
    field("by", LENGTH, "How near the leads come."),
    field("has_spacing", Gives::Flag, "Whether the join says how far they lie apart."),
    field("spacing", LENGTH, "How far plus and minus lie apart."),
    field(
        "is_twisted",
        Gives::Flag,
        "Whether they are twisted; that is not reckoned with.",
    ),
    field("field", FIELD, "The field of the pair; of a single lead without a spacing."),
    field(
        "turned",
        ANGLE,
        "How far that turns a compass at most, where 20 uT of the field of the earth lie level.",
    ),
    field("field_if_split", FIELD, "The field of one lead by itself."),
    field("turned_if_split", ANGLE, "How far that would turn it."),
];
