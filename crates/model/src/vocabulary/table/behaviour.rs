//! How it behaves once it is switched on: what transmitter and boards were told, and what
//! was seen of that.
//!
//! Behaviours in plain words, never a firmware's own: the spec outlives the firmware.

use trimsheet_quantity::Dimension;

use super::super::{Row, Takes};
use super::shorthand::*;

const SHARE: Takes = Takes::Quantity(&[Dimension::NONE]);
const TIME: Takes = Takes::Quantity(&[Dimension::TIME]);
const PULSES: Takes = Takes::Range(Dimension::TIME);
const EDGE: Takes = Takes::Word(&["rises", "falls"]);

pub(super) static BEHAVIOUR: &[Row] = &[
    row(
        "failsafe",
        &["setting"],
        &[
            must("of", Takes::Name),
            must(
                "does",
                Takes::Word(&["off", "hold-last", "return-home", "neutral", "reflex", "turn"]),
            ),
        ],
        "What `motor`, which means all of them, or a surface, by its name, does once the control link is lost.",
        "failsafe motor off",
    )
    .often(),
    row(
        "mode",
        &["setting"],
        &[
            must("name", Takes::Name),
            must(
                "does",
                Takes::Word(&[
                    "manual",
                    "rate-damped",
                    "self-level",
                    "hold-height",
                    "hold-course",
                    "circle",
                    "return-home",
                ]),
            ),
            led("by", Takes::Name),
            led("position", Takes::Word(&["away", "middle", "near"])),
        ],
        "A flight mode, what it does, and by which switch it is chosen, pushed away from the pilot, in the middle, or pulled near; `manual` has no gyro in it, mixes stay.",
        "mode plain manual by left-switch position away",
    )
    .often(),
    row(
        "arming",
        &["setting"],
        &[
            must_led("by", Takes::Name),
            led("throttle", Takes::Word(&["low", "any"])),
            led("fix", Takes::Word(&["needed", "not-needed"])),
            led("helper", Takes::Word(&["told", "not-told"])),
        ],
        "By which switch the motor is let go or locked, where the throttle has to be for that, whether a position fix is needed, and whether whoever helps was told how to lock it.",
        "arming by rear-switch throttle low fix needed helper told",
    ),
    row(
        "launch-assist",
        &["setting"],
        &[
            led("by", Takes::Name),
            led("throttle", SHARE),
            must_led("delay", TIME),
            led("climb", ANGLE),
            led("thrown", Takes::Text),
            led("abort", Takes::Text),
        ],
        "That a board starts the motor at the launch: by which switch, to which throttle, how long after the throw, how steeply it then climbs; how it is to be thrown, and how it is broken off.",
        "launch-assist by front-switch throttle 80 % delay 0.5 s climb 12 deg thrown \"level, into the wind\" abort \"front switch near: motor off\"",
    ),
    row(
        "return-home",
        &["setting"],
        &[
            must_led("height", LENGTH),
            led("slowest", Takes::Quantity(&[Dimension::SPEED])),
            led("home", Takes::Word(&["at-arming", "at-first-fix", "by-hand"])),
            led("override", Takes::Name),
        ],
        "How high and at least how fast it comes back by itself, when the place that it comes back to is recorded, and the switch that gives the pilot the sticks again.",
        "return-home height 60 m slowest 12 m/s home at-arming override left-switch",
    ),
    row(
        "logging",
        &["setting"],
        &[
            must("answer", YES_NO),
            led("storage", Takes::Word(&["card", "memory", "none"])),
            led("free", SHARE),
        ],
        "Whether flights are recorded aboard, on what, and how much of that is free.",
        "logging yes storage card free 80 %",
    ),
    row(
        "locator",
        &["setting"],
        &[many(
            "aids",
            Takes::Word(&["sounder", "lamp", "radio-beacon", "last-position"]),
        )],
        "What helps to find it once it is down out of sight.",
        "locator sounder last-position",
    ),
    row(
        "neutral",
        &["part servo"],
        &[led("pulse", TIME), led("off-centre", SHARE)],
        "What is sent to it with the stick let go: the pulse, or how far off centre that is, of the way to one end.",
        "neutral pulse 1520 us",
    ),
    row(
        "ends",
        &["part servo"],
        &[must("pulses", PULSES)],
        "The shortest and the longest pulse that is sent to it.",
        "ends 1100..1900 us",
    ),
    row(
        "pulses",
        &["part servo"],
        &[must("pulses", PULSES)],
        "The shortest and the longest pulse that its maker lets it follow.",
        "pulses 900..2100 us",
    ),
    row(
        "corrects",
        &["surface"],
        &[
            must(
                "tilt",
                Takes::Word(&[
                    "nose-down",
                    "nose-up",
                    "left-wing-down",
                    "right-wing-down",
                    "nose-left",
                    "nose-right",
                ]),
            ),
            may("moves", Takes::Word(&["rises", "falls", "swings-left", "swings-right"])),
            led("left-edge", EDGE),
            led("right-edge", EDGE),
        ],
        "Which way the gyro was seen to move it as the model was tilted by hand, the trailing edge watched from behind; of a pair, each half.",
        "corrects left-wing-down left-edge falls right-edge rises",
    )
    .often(),
    row(
        "transmitter",
        &["done"],
        &[must("state", Takes::Word(&["off", "on"]))],
        "Whether the transmitter was switched off for it.",
        "transmitter off",
    ),
    row(
        "seen",
        &["done"],
        &[many(
            "events",
            Takes::Word(&[
                "motor-stopped",
                "motor-ran-on",
                "surfaces-preset",
                "surfaces-held",
                "control-back",
                "control-lost",
            ]),
        )],
        "What was seen once the transmitter was off, and whether control came back with it.",
        "seen motor-stopped surfaces-preset control-back",
    ),
    row(
        "height",
        &["done"],
        &[must("height", LENGTH)],
        "How high it was.",
        "height 80 m",
    ),
];
