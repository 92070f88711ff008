//! The document itself, and what it is read with.

use trimsheet_quantity::Dimension;

use super::super::{Row, Takes};
use super::shorthand::*;
use crate::stage::Stage;

pub(super) static DOCUMENT: &[Row] = &[
    row(
        "model",
        &[],
        &[must("name", Takes::Name)],
        "The aircraft that the file is about.",
        "model heron",
    ),
    row(
        "rules",
        &["model"],
        &[must("pack", Takes::Text)],
        "A pack of rules that applies besides the built-in ones, by its name.",
        "rules \"elm-hill\"",
    )
    .often(),
    row(
        "title",
        &["model", "part", "pack", "assembly"],
        &[must("text", Takes::Text)],
        "What people call it.",
        "title \"Heron, long nose\"",
    ),
    row(
        "revision",
        &["model"],
        &[
            must("letter", Takes::Name),
            may("date", Takes::Date),
            led("by", Takes::Name),
            led("because", Takes::Text),
        ],
        "Which state of the design this is, since when, by whom and why.",
        "revision B 2026-02-11 by MT because \"longer nose\"",
    ),
    row(
        "stage",
        &["model"],
        &[must("stage", Takes::Word(Stage::WORDS))],
        "How far the build has come; findings grow more serious with it.",
        "stage bench",
    ),
    row(
        "follows",
        &["model"],
        &[must("text", Takes::Text)],
        "The drawings or the spec that this build follows.",
        "follows \"Heron drawings, sheet 4\"",
    ),
    row(
        "mission",
        &["model"],
        &[must("word", Takes::Word(&["survey", "trainer", "glider", "sport", "ferry"]))],
        "What it is flown for.",
        "mission survey",
    ),
    row(
        "launch",
        &["model"],
        &[
            must("word", Takes::Word(&["hand", "bungee", "ground", "dolly"])),
            led("at", Takes::Quantity(&[Dimension::SPEED])),
        ],
        "How it gets into the air, and how fast it leaves the hand, the line or the dolly.",
        "launch hand at 9 m/s",
    ),
    row(
        "field-height",
        &["model"],
        &[must("height", LENGTH)],
        "How high the field lies above the sea, for the density of its air.",
        "field-height 340 m",
    ),
    row(
        "field-temperature",
        &["model"],
        &[must("temperature", Takes::Quantity(&[Dimension::TEMPERATURE]))],
        "How warm the air is there on the day.",
        "field-temperature 28 °C",
    ),
    row(
        "note",
        &[
            "model", "wing", "tail", "fin", "body", "bay", "part", "pack", "assembly", "surface",
            "join", "loadout", "spar", "recess", "fastener", "weighed", "balanced", "done", "ran", "checked", "log", "flew", "maiden", "field",
        ],
        &[must("text", Takes::Text)],
        "A remark for people; no rule reads it.",
        "note \"balance again after the paint\"",
    )
    .often(),
    row(
        "include",
        &[],
        &[must("file", Takes::Text), led("as", Takes::Name)],
        "Reads another file, whose parts `like` can take from; a shelf is not aboard.",
        "include \"shelf/servos.trim\" as servos",
    )
    .often(),
    row("datum", &[], &[], "From where places are measured.", "datum"),
    row(
        "origin",
        &["datum"],
        &[
            may("surface", Takes::Word(&["wing", "tail", "fin", "body"])),
            may("where", Takes::Word(&["root", "tip", "centre-line", "body-side"])),
            may("edge", Takes::Word(&["leading-edge", "trailing-edge", "nose", "firewall"])),
        ],
        "The point that everything is measured from: which surface, where on it, which edge.",
        "origin wing root leading-edge",
    ),
    row(
        "level",
        &["datum"],
        &[must("line", Takes::Word(&["chord-line", "datum-line", "thrust-line"]))],
        "What lies level when heights and balance are measured.",
        "level chord-line",
    ),
    row(
        "instrument",
        &[],
        &[must("name", Takes::Name)],
        "A scale, a stand or a meter that values are measured on.",
        "instrument scale-b: resolution 2 g",
    ),
    row(
        "resolution",
        &["instrument"],
        &[must(
            "step",
            Takes::Quantity(&[
                Dimension::MASS,
                Dimension::LENGTH,
                Dimension::ANGLE,
                Dimension::CURRENT,
                Dimension::VOLTAGE,
                Dimension::RESISTANCE,
                Dimension::CHARGE,
                Dimension::ANGULAR_SPEED,
                Dimension::FORCE,
                Dimension::TEMPERATURE,
                Dimension::TIME,
            ]),
        )],
        "The smallest step that it shows.",
        "resolution 1 g",
    ),
    row(
        "assume",
        &[],
        &[must("fact", Takes::Name)],
        "The source of every value of a fact, in this file, whose line names none.",
        "assume mass [weighed on scale-b]",
    )
    .often(),
    row(
        "set",
        &[],
        &[
            must("rule", Takes::Rule),
            must("parameter", Takes::Name),
            must("value", Takes::Quantity(&[])),
            must_led("because", Takes::Text),
            led("by", Takes::Name),
            led("until", Takes::Date),
        ],
        "Sets a parameter of a rule for this model, with the reason; what loosens a limit is a waiver, and says by whom and until when.",
        "set mass/estimate-heavy installed 12 % because \"the shell cannot be weighed apart\" by MT until 2026-05-01",
    )
    .often(),
    row(
        "waive",
        &[],
        &[must("rule", Takes::Rule), must_led("on", Takes::Reference(ENTRIES))],
        "Lets one rule's findings about one entry pass: with a reason, by somebody, until a day.",
        "waive mass/small-stuff-forgotten on heron: because \"weighed with the shell\"; by MT until 2026-05-01",
    )
    .often(),
    row(
        "because",
        &["waive"],
        &[must("text", Takes::Text)],
        "The reason, for whoever reads it later.",
        "because \"weighed with the shell\"",
    ),
    row(
        "by",
        &["waive"],
        &[must("name", Takes::Name), must_led("until", Takes::Date)],
        "Who answers for it, and the last day on which it holds.",
        "by MT until 2026-05-01",
    ),
];
