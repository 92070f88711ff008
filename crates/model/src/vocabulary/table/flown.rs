//! How the aircraft is flown.

use trimsheet_quantity::Dimension;

use super::super::{Row, Takes};
use super::shorthand::*;

pub(super) static FLOWN: &[Row] = &[
    row(
        "loadout",
        &[],
        &[must("name", Takes::Name)],
        "One way in which it is flown: which pack, where, with what.",
        "loadout ferry: fits main at 40 mm aft; without camera",
    ),
    row(
        "fits",
        &["loadout", "weighed", "balanced"],
        &[must("pack", Takes::Reference(&["pack"])), led("at", Takes::Place)],
        "The pack that is aboard, and where in its slide; in a record, which was, and where.",
        "fits main at 40 mm aft",
    )
    .often(),
    row(
        "places",
        &["loadout", "weighed", "balanced"],
        &[must("part", Takes::Reference(&["part"])), must_led("at", Takes::Place)],
        "Where in its slide a part is; in a record, where it was.",
        "places camera at 40 mm ahead",
    )
    .often(),
    row(
        "with",
        &["loadout"],
        &[many("parts", Takes::Reference(&["part"]))],
        "Optional parts that are aboard.",
        "with camera",
    )
    .often(),
    row(
        "without",
        &["loadout"],
        &[many("parts", Takes::Reference(&["part"]))],
        "Optional parts that stay at home.",
        "without camera",
    )
    .often(),
    row(
        "ballast",
        &["loadout", "weighed", "balanced"],
        &[
            must("bay", Takes::Reference(&["bay"])),
            must("mass", MASS),
            led("at", Takes::Place),
            led("fixed", Takes::Text),
            led("removable", YES_NO),
        ],
        "Lead aboard: in which bay, how much, where, how it is held; in a record, the lead that was, in place of the loadout's.",
        "ballast nose 20 g at 80 mm ahead fixed \"strip, glued and taped\" removable yes",
    )
    .often(),
    row(
        "cruise",
        &["loadout"],
        &[must("current", Takes::Quantity(&[Dimension::CURRENT]))],
        "The current of the packs in level flight, all together, as a meter in their lead reads it.",
        "cruise 4.4 A",
    ),
];
