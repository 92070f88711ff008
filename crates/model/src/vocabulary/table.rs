//! The vocabulary table: every word of the language but the sides, `about` and `x`.
//!
//! Slots without a leading word come first, in order; then, in any order, the led ones
//! and optional words of closed lists. There are no defaults, and any value may be `?`.
//! A test keeps the table free of doubt.

use trimsheet_quantity::{Axis, Dimension};

use super::{Need, Row, SOURCE, Slot, Takes};
use crate::stage::Stage;

const FORE_AFT: &[Axis] = &[Axis::Length];
const SPAN: &[Axis] = &[Axis::Out, Axis::Height];
const YES_NO: Takes = Takes::Word(&["yes", "no"]);
const LENGTH: Takes = Takes::Quantity(&[Dimension::LENGTH]);
const MASS: Takes = Takes::Quantity(&[Dimension::MASS]);
const ANGLE: Takes = Takes::Quantity(&[Dimension::ANGLE]);

const fn must(name: &'static str, takes: Takes) -> Slot {
    Slot { name, led: false, takes, need: Need::Must }
}
const fn may(name: &'static str, takes: Takes) -> Slot {
    Slot { name, led: false, takes, need: Need::May }
}
const fn many(name: &'static str, takes: Takes) -> Slot {
    Slot { name, led: false, takes, need: Need::Many }
}
const fn led(name: &'static str, takes: Takes) -> Slot {
    Slot { name, led: true, takes, need: Need::May }
}
const fn must_led(name: &'static str, takes: Takes) -> Slot {
    Slot { name, led: true, takes, need: Need::Must }
}

const fn row(
    word: &'static str,
    within: &'static [&'static str],
    slots: &'static [Slot],
    says: &'static str,
    example: &'static str,
) -> Row {
    Row { word, within, slots, often: false, since: None, says, example }
}

impl Row {
    const fn often(self) -> Row {
        Row { often: true, ..self }
    }
    const fn since(self, stage: Stage) -> Row {
        Row { since: Some(stage), ..self }
    }
}

/// What the head of a dated record says.
const RECORD: &[Slot] = &[
    must("loadout", Takes::Reference(&["loadout"])),
    must("date", Takes::Date),
    led("by", Takes::Name),
];

/// Every row: entries, then the facts of each, then the sources.
pub static ROWS: &[Row] = &[
    // ---- The document ----
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
        &[must("word", Takes::Word(&["hand", "bungee", "ground", "dolly"]))],
        "How it gets into the air.",
        "launch hand",
    ),
    row(
        "note",
        &[
            "model", "wing", "tail", "fin", "body", "bay", "part", "pack", "assembly", "surface",
            "join", "loadout", "weighed", "balanced",
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
        &[must("step", Takes::Quantity(&[Dimension::MASS, Dimension::LENGTH, Dimension::ANGLE, Dimension::CURRENT, Dimension::VOLTAGE]))],
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
    // ---- The airframe ----
    row(
        "wing",
        &[],
        &[may("name", Takes::Name)],
        "The main lifting surface, both halves.",
        "wing [plan]",
    ),
    row(
        "tail",
        &[],
        &[may("name", Takes::Name)],
        "A horizontal tail or a foreplane, both halves.",
        "tail [plan]",
    ),
    row("fin", &[], &[may("name", Takes::Name)], "One vertical surface.", "fin [plan]"),
    row("body", &[], &[may("name", Takes::Name)], "The fuselage.", "body [plan]"),
    row(
        "layout",
        &["wing"],
        &[
            must("layout", Takes::Word(&["tailless", "conventional", "canard"])),
            may("propeller", Takes::Word(&["pusher", "tractor", "twin-tractor", "unpowered"])),
        ],
        "Where the tail is, and which way the propeller works.",
        "layout tailless pusher",
    ),
    row(
        "rib",
        &["wing", "tail", "fin"],
        &[
            must("out", Takes::Sided(Dimension::LENGTH, SPAN)),
            must_led("chord", LENGTH),
            must_led("leading-edge", Takes::Sided(Dimension::LENGTH, FORE_AFT)),
            led("height", Takes::Sided(Dimension::LENGTH, &[Axis::Height])),
            led("incidence", ANGLE),
        ],
        "One station of the outline, from the root outward; a fin's go upward.",
        "rib 0 mm out  chord 240 mm  leading-edge 0 mm aft",
    )
    .often(),
    row(
        "washout",
        &["wing"],
        &[must("angle", ANGLE)],
        "How far the tip is turned nose down against the root.",
        "washout 2 deg",
    ),
    row(
        "dihedral",
        &["wing", "tail"],
        &[must("angle", ANGLE)],
        "How far the panels rise toward the tip.",
        "dihedral 3 deg",
    ),
    row(
        "area",
        &["wing", "tail", "fin"],
        &[must("area", Takes::Quantity(&[Dimension::AREA]))],
        "The area as the drawings state it; compared with the ribs, never used instead.",
        "area 24.2 dm2",
    ),
    row(
        "mean-chord",
        &["wing"],
        &[must("chord", LENGTH), led("leading-edge", Takes::Sided(Dimension::LENGTH, FORE_AFT))],
        "The mean aerodynamic chord as the drawings state it, and where it begins.",
        "mean-chord 198 mm  leading-edge 88 mm aft",
    ),
    row(
        "band",
        &["wing", "loadout"],
        &[
            must("limits", Takes::SidedRange(Dimension::LENGTH, FORE_AFT)),
            led("best", Takes::Sided(Dimension::LENGTH, FORE_AFT)),
        ],
        "Where the balance point may lie, and where it is best; a loadout may have its own.",
        "band 88..104 mm aft  best 96 mm aft",
    )
    .since(Stage::Installed),
    row(
        "mass-limit",
        &["wing", "loadout"],
        &[must("mass", MASS)],
        "The most that it may weigh as flown.",
        "mass-limit 1400 g",
    ),
    row(
        "speed-limit",
        &["wing"],
        &[must("speed", Takes::Quantity(&[Dimension::SPEED]))],
        "The fastest that it may fly.",
        "speed-limit 22 m/s",
    ),
    row(
        "lift-limit",
        &["wing"],
        &[must("coefficient", Takes::Quantity(&[Dimension::NONE]))],
        "The greatest lift coefficient of the wing, in percent: 95 % is 0.95.",
        "lift-limit 95 % ± 10 %",
    ),
    row(
        "reach",
        &["body", "bay"],
        &[must("reach", Takes::SidedRange(Dimension::LENGTH, FORE_AFT))],
        "From where to where it goes.",
        "reach 40..190 mm aft",
    ),
    row(
        "reach",
        &["surface"],
        &[must("reach", Takes::SidedRange(Dimension::LENGTH, &[Axis::Out]))],
        "From where to where it goes along the span.",
        "reach 140..500 mm out",
    ),
    row(
        "width",
        &["body", "bay"],
        &[must("width", LENGTH)],
        "How wide it is inside.",
        "width 46 mm",
    ),
    row(
        "height",
        &["body", "bay"],
        &[must("height", LENGTH)],
        "How high it is inside.",
        "height 32 mm",
    ),
    row("bay", &[], &[must("name", Takes::Name)], "A room that parts lie in.", "bay nose: reach 10..95 mm ahead"),
    row(
        "ballast",
        &["bay"],
        &[must_led("at", Takes::Place), led("most", MASS)],
        "Where lead may be fixed in the bay, and how much there is room for.",
        "ballast at 80 mm ahead most 60 g",
    ),
    row(
        "surface",
        &[],
        &[must("name", Takes::Name)],
        "A control surface, or a pair of them.",
        "surface elevons: pair; on wing",
    ),
    row(
        "on",
        &["surface"],
        &[must("what", Takes::Reference(&["wing", "tail", "fin"]))],
        "What the surface is hinged to.",
        "on wing",
    ),
    row(
        "hinge-to-edge",
        &["surface"],
        &[must_led("root", LENGTH), must_led("tip", LENGTH)],
        "How deep the surface is from its hinge to the edge, at both ends.",
        "hinge-to-edge root 44 mm  tip 30 mm",
    ),
    row(
        "driven",
        &["surface"],
        &[must_led("by", Takes::Reference(&["part"]))],
        "The servo, or the pair of servos, that moves it.",
        "driven by servos",
    ),
    // ---- What is aboard ----
    row(
        "part",
        &[],
        &[must("name", Takes::Name), led("like", Takes::Reference(&["part"]))],
        "One thing aboard, or a pair of them; `like` takes what it does not say itself.",
        "part motor: kind motor; mass 74 g; at 260 mm aft",
    ),
    row(
        "kind",
        &["part"],
        &[must("kind", Takes::Word(KINDS))],
        "What sort of part it is.",
        "kind motor",
    ),
    row(
        "mass",
        &["part", "pack", "assembly"],
        &[must("mass", MASS), may("counted", Takes::Word(&["each", "together"]))],
        "What it weighs; of a pair, each one or both together.",
        "mass 74 g",
    )
    .since(Stage::Installed),
    row(
        "at",
        &["part", "pack", "assembly"],
        &[must("place", Takes::Place), led("inside", Takes::Reference(&["bay"]))],
        "Where its own balance point is, from the datum, and which bay it lies in.",
        "at 86 mm aft inside works",
    )
    .since(Stage::Installed),
    row(
        "slides",
        &["part", "pack"],
        &[
            must("range", Takes::SidedRange(Dimension::LENGTH, FORE_AFT)),
            led("inside", Takes::Reference(&["bay"])),
        ],
        "Between which places its own balance point can be moved.",
        "slides 10..50 mm aft inside tray",
    ),
    row(
        "size",
        &["part", "pack"],
        &[must("size", Takes::Size)],
        "How long, wide and high it is; of a propeller, diameter and pitch.",
        "size 96 x 34 x 26 mm",
    ),
    row(
        "press-fit",
        &["part", "pack"],
        &[],
        "It is meant to sit tight in its bay.",
        "press-fit",
    ),
    row(
        "pair",
        &["part", "surface"],
        &[],
        "There are two, left and right alike; `out` is from the centre line.",
        "pair",
    ),
    row(
        "optional",
        &["part"],
        &[],
        "It is not always aboard: a loadout says with or without.",
        "optional",
    ),
    row(
        "drops",
        &["part"],
        &[],
        "It is let go in flight.",
        "drops",
    ),
    row(
        "retracts",
        &["part"],
        &[must_led("to", Takes::Place)],
        "It moves in flight, and where its balance point is then.",
        "retracts to 60 mm aft",
    ),
    row(
        "count",
        &["part"],
        &[must("count", Takes::Count)],
        "How many of it are meant by this one entry; the mass is of all of them.",
        "count 6",
    ),
    row(
        "poles",
        &["part motor"],
        &[must("count", Takes::Count)],
        "How many magnet poles the motor has.",
        "poles 12",
    ),
    row(
        "speed-constant",
        &["part motor"],
        &[must("constant", Takes::Quantity(&[Dimension::SPEED_CONSTANT]))],
        "How fast the unloaded motor turns for each volt.",
        "speed-constant 1150 rpm/V",
    ),
    row(
        "draws",
        &["part"],
        &[many("loads", Takes::Load)],
        "The current that it takes, in each phase.",
        "draws 19 A for 15 s  13 A steady",
    ),
    row(
        "carries",
        &["part"],
        &[many("loads", Takes::Load)],
        "The current that it can pass, in each phase.",
        "carries 30 A steady  36 A for 8 s",
    ),
    row(
        "needs",
        &["part"],
        &[must("volts", Takes::Range(Dimension::VOLTAGE)), many("load", Takes::Load)],
        "The volts that it works on, and the current that it takes in each phase.",
        "needs 4.0..8.6 V  0.12 A steady",
    ),
    row(
        "torque",
        &["part servo"],
        &[
            must("torque", Takes::Quantity(&[Dimension::TORQUE])),
            led("at", Takes::Quantity(&[Dimension::VOLTAGE])),
        ],
        "The torque of a servo, and the volts that it has it at.",
        "torque 2.1 kgf.cm at 5.2 V",
    ),
    row(
        "sends",
        &["part"],
        &[
            must("band", Takes::Quantity(&[Dimension::FREQUENCY])),
            led("power", Takes::Quantity(&[Dimension::POWER])),
        ],
        "The radio band that it sends on, and how strongly.",
        "sends 868 MHz power 12 dBm",
    )
    .often(),
    row(
        "port",
        &["part"],
        &[must("name", Takes::Name), may("protocol", Takes::Word(&["uart", "servo", "analogue", "i2c", "can"]))],
        "A socket of the part, by the name printed on it.",
        "port serial2 uart",
    )
    .often(),
    row(
        "pack",
        &[],
        &[must("name", Takes::Name), led("like", Takes::Reference(&["pack"]))],
        "A battery; which one is aboard is said by the loadout.",
        "pack main: mass 214 g; slides 10..50 mm aft",
    ),
    row(
        "cells",
        &["pack"],
        &[
            must("count", Takes::Quantity(&[Dimension::CELLS])),
            may("chemistry", Takes::Word(&["lipo", "lihv", "liion", "life", "nimh"])),
        ],
        "How many cells are in series, and of which chemistry.",
        "cells 3S lipo",
    ),
    row(
        "cells",
        &["part"],
        &[must("range", Takes::Range(Dimension::CELLS))],
        "The packs that it works on.",
        "cells 3S..4S",
    ),
    row(
        "capacity",
        &["pack"],
        &[must("charge", Takes::Quantity(&[Dimension::CHARGE]))],
        "The charge that the label states.",
        "capacity 2.6 Ah",
    ),
    row(
        "rating",
        &["pack"],
        &[must("multiple", Takes::Quantity(&[Dimension::MULTIPLE]))],
        "The current that the label states, as a multiple of the capacity.",
        "rating 25 C",
    ),
    row(
        "resistance",
        &["pack"],
        &[must("ohms", Takes::Quantity(&[Dimension::RESISTANCE_PER_CELL, Dimension::RESISTANCE]))],
        "The inner resistance, of each cell or of the whole pack.",
        "resistance 7 mohm/cell",
    ),
    row(
        "warmest",
        &["part", "pack"],
        &[must("temperature", Takes::Quantity(&[Dimension::TEMPERATURE]))],
        "The warmest that it may become.",
        "warmest 60 °C",
    ),
    row(
        "assembly",
        &[],
        &[must("name", Takes::Name)],
        "Parts that were weighed together; its mass counts, theirs do not.",
        "assembly shell: holds wing-skins spars; mass 395 g; at 138 mm aft",
    ),
    row(
        "holds",
        &["assembly"],
        &[many("parts", Takes::Reference(&["part"]))],
        "The parts that it is made of.",
        "holds wing-skins spars",
    )
    .often(),
    row(
        "join",
        &[],
        &[must("name", Takes::Name)],
        "One connection between two parts.",
        "join receiver-data: signal receiver.data -> board.serial2",
    ),
    row(
        "signal",
        &["join"],
        &[must("way", Takes::Arrow)],
        "From which socket to which a signal goes.",
        "signal receiver.data -> board.serial2",
    )
    .often(),
    row(
        "supply",
        &["join"],
        &[must("way", Takes::Arrow)],
        "From where to where the power goes.",
        "supply board -> receiver",
    )
    .often(),
    row(
        "wire",
        &["join"],
        &[must("gauge", Takes::Quantity(&[Dimension::GAUGE])), may("length", LENGTH)],
        "The gauge of the wire and its length, one way.",
        "wire 24 awg 150 mm",
    ),
    // ---- How it is flown ----
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
        "The current in level flight.",
        "cruise 4.4 A",
    ),
    // ---- What was done ----
    row(
        "weighed",
        &[],
        RECORD,
        "The whole aircraft was put on a scale, or on several, as a loadout flies but for what is said.",
        "weighed survey 2026-02-20 by MT: mass 986 g [weighed on scale-b]",
    )
    .often(),
    row(
        "balanced",
        &[],
        RECORD,
        "The whole aircraft was balanced on a stand, or between a rest and a scale, as a loadout flies but for what is said.",
        "balanced survey 2026-02-20 by MT: at 95 mm aft [measured on pin-stand]; level",
    )
    .often(),
    row(
        "mass",
        &["weighed", "balanced"],
        &[must("mass", MASS), led("tare", MASS)],
        "What the scale showed, and how much of that was the hook, the bag or the cradle.",
        "mass 1012 g tare 26 g",
    ),
    row(
        "reading",
        &["weighed"],
        &[may("point", Takes::Name), must("mass", MASS), must_led("at", Takes::Place), led("tare", MASS)],
        "What one of several scales showed, where the aircraft stood on it, and how much of that was the block or the cradle.",
        "reading left-wheel 402 g at 88 mm aft 110 mm left tare 12 g",
    )
    .often(),
    row(
        "at",
        &["balanced"],
        &[must("place", Takes::Place)],
        "Where it balanced, from the datum.",
        "at 95 mm aft",
    ),
    row(
        "rests",
        &["balanced"],
        &[must_led("at", Takes::Place)],
        "Where one end of it rested, on an edge or a peg, while the other hung from a scale.",
        "rests at 40 mm ahead",
    ),
    row(
        "hangs",
        &["balanced"],
        &[must("mass", MASS), must_led("at", Takes::Place), led("tare", MASS)],
        "What the hanging scale showed, where it was hooked on, and how much of that was the hook.",
        "hangs 212 g at 590 mm aft tare 6 g",
    ),
    row(
        "with",
        &["weighed", "balanced"],
        &[many("parts", Takes::Reference(&["part"]))],
        "Parts that were on it at the time: easily forgotten ones, and ones that the loadout flies without.",
        "with camera",
    )
    .often(),
    row(
        "without",
        &["weighed", "balanced"],
        &[many("parts", Takes::Reference(&["part", "pack"]))],
        "Parts and packs that the loadout flies with, and that were not on it at the time.",
        "without hatch",
    )
    .often(),
    row(
        "no-ballast",
        &["weighed", "balanced"],
        &[],
        "The lead that the loadout flies with was not on it.",
        "no-ballast",
    ),
    row(
        "level",
        &["weighed", "balanced"],
        &[],
        "It stood or hung as the datum says that it lies level.",
        "level",
    ),
    row(
        "nose-down",
        &["weighed", "balanced"],
        &[must("angle", ANGLE)],
        "How far nose down from level it stood or hung.",
        "nose-down 4 deg",
    ),
    // ---- Where values come from ----
    row(
        "weighed",
        &[SOURCE],
        &[may("date", Takes::Date), led("on", Takes::Reference(&["instrument"]))],
        "Put on a scale.",
        "[weighed 2026-02-09 on scale-b]",
    ),
    row(
        "measured",
        &[SOURCE],
        &[may("date", Takes::Date), led("on", Takes::Reference(&["instrument"]))],
        "Taken from the thing itself with a rule, a stand or a meter.",
        "[measured 2026-02-09]",
    ),
    row(
        "datasheet",
        &[SOURCE],
        &[may("date", Takes::Date), led("of", Takes::Text)],
        "Printed by the maker of the part.",
        "[datasheet]",
    ),
    row(
        "kit",
        &[SOURCE],
        &[may("date", Takes::Date), led("of", Takes::Text)],
        "Stated by the designer of the kit.",
        "[kit]",
    ),
    row(
        "plan",
        &[SOURCE],
        &[may("date", Takes::Date), led("of", Takes::Text)],
        "Read off a drawing, or decided and not yet built.",
        "[plan]",
    ),
    row(
        "estimated",
        &[SOURCE],
        &[may("date", Takes::Date), led("by", Takes::Name)],
        "Guessed by someone who has built before.",
        "[estimated]",
    ),
    row(
        "copied",
        &[SOURCE],
        &[may("date", Takes::Date), led("of", Takes::Text)],
        "True of another aircraft of the same design.",
        "[copied]",
    ),
];

/// The entries that a rule can find fault with.
const ENTRIES: &[&str] = &[
    "model",
    "datum",
    "wing",
    "tail",
    "fin",
    "body",
    "bay",
    "surface",
    "part",
    "pack",
    "assembly",
    "join",
    "loadout",
    "instrument",
];

/// What sorts of part there are.
const KINDS: &[&str] = &[
    "motor",
    "propeller",
    "speed-controller",
    "flight-controller",
    "receiver",
    "transmitter",
    "servo",
    "sensor",
    "camera",
    "payload",
    "structure",
    "wiring",
    "glue",
    "covering",
    "fastener",
    "strap",
    "linkage",
    "undercarriage",
    "other",
];
