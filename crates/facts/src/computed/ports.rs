//! Computed facts of ports: who uses them, and where that does not go together.

use trimsheet_model::quantity::Dimension;

use super::records::{WORDS, field};
use super::{Computed, id, list, row};
use crate::gives::{Among, Field, Gives};

const PORT: Gives = Gives::Line("part", "port");
const PORTS: Gives = Gives::List(&PORT);
const RATES: Gives = Gives::Range(Dimension::FREQUENCY, None);

/// Of joins and of parts.
pub(super) const ROWS: &[Computed] = &[
    row(
        "join",
        "signal_ports",
        Gives::List(&Gives::Record(SIGNAL)),
        "Each of its signals with the ports at both ends, one that goes both ways as two; a part with one port need not name it.",
        "join.signal_ports.len()",
        |facts, of| Ok(list(facts.signal_ports(id(of)?)?, of)),
    ),
    row(
        "part",
        "double_booked",
        Gives::List(&Gives::Record(BOOKED)),
        "Each half of one of its ports that several want, but for a bus and for what is divided.",
        "part.double_booked.len()",
        |facts, of| Ok(list(facts.double_booked(id(of)?)?, of)),
    ),
    row(
        "part",
        "address_clashes",
        Gives::List(&Gives::Record(ALIKE)),
        "Each address that several devices on one of its i2c ports answer to.",
        "part.address_clashes.len()",
        |facts, of| Ok(list(facts.address_clashes(id(of)?)?, of)),
    ),
    row(
        "part",
        "group_clashes",
        Gives::List(&Gives::Record(APART)),
        "Each of its timers whose outputs in use are to have pulse rates that no one rate meets: the two that are furthest apart.",
        "part.group_clashes.len()",
        |facts, of| Ok(list(facts.group_clashes(id(of)?)?, of)),
    ),
    row(
        "part",
        "unused_ports",
        PORTS,
        "Its ports that no signal uses.",
        "part.unused_ports.len()",
        |facts, of| Ok(list(facts.unused_ports(id(of)?)?, of)),
    ),
];

const THING: Gives = Gives::Entry(&["part", "pack"]);

const SIGNAL: &[Field] = &[
    field("says", WORDS, "The signal: `receiver.data to board.serial2`."),
    field("from", THING, "What it comes from."),
    field("out_of", WORDS, "The port that it comes out of, with the name of its part."),
    field("out_ports", PORTS, "That port, if its part declares any."),
    field("to", THING, "What it goes to."),
    field("into", WORDS, "The port that it goes into, with the name of its part."),
    field("in_ports", PORTS, "That port, if its part declares any."),
    field(
        "is_back",
        Gives::Flag,
        "Whether it is the way back of one that goes both ways.",
    ),
];

const BOOKED: &[Field] = &[
    field("name", WORDS, "The port with the name of its part, at the second signal."),
    field(
        "half",
        Gives::Words(Among::These(&["sends", "receives"])),
        "Which half of it they want.",
    ),
    field("port", PORT, "The port."),
    field("uses", Gives::List(&WORDS), "What is at the other ends, each at its signal."),
];

const ALIKE: &[Field] = &[
    field("name", WORDS, "The port with the name of its part, at the second signal."),
    field("address", WORDS, "The address, as the first device writes it."),
    field("uses", Gives::List(&WORDS), "What answers to it, each at its signal."),
];

const APART: &[Field] = &[
    field("group", WORDS, "The timer; empty where the port shares none."),
    field("ports", WORDS, "The ports in use that share it."),
    field("slow", WORDS, "What works on the slower pulses only."),
    field("slow_rate", RATES, "The pulse rates that it works on."),
    field("fast", WORDS, "What works on the faster pulses only."),
    field("fast_rate", RATES, "The pulse rates that it works on."),
];
