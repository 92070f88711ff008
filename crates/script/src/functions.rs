//! What a rule can call, beside reading facts.

use std::cell::RefCell;
use std::rc::Rc;

use rhai::{Dynamic, Engine, FLOAT, INT};
use trimsheet_rules::facts::model::quantity::{Dimension, Quantity, Unit, Unlike};
use trimsheet_rules::facts::{Facts, Known, NotKnown, What};
use trimsheet_rules::source::Remedy;

use crate::draft::{Draft, Offer};
use crate::value::{Given, Table, Value, fault, raise};

/// A function of the host, as the reference describes it.
pub struct Documented {
    /// How it is written.
    pub form: &'static str,
    /// What it does.
    pub says: &'static str,
    /// A body of `check(loadout, build, set)` that uses it.
    pub example: &'static str,
}

pub(crate) const fn doc(
    form: &'static str,
    says: &'static str,
    example: &'static str,
) -> Documented {
    Documented { form, says, example }
}

/// Every function of the host.
pub const DOCUMENTED: &[Documented] = &[
    doc(
        "finding(value, text)",
        "Says what is wrong, on the line of a value, an entry or the build.",
        "finding(build.wing.band, \"here\");",
    ),
    doc(
        ".label(text)",
        "Puts words under the line of the finding.",
        "finding(loadout, \"x\").label(\"this one\");",
    ),
    doc(
        ".number(value)",
        "Gives the number of the finding to readers that are programs.",
        "finding(loadout, \"x\").number(loadout.mass);",
    ),
    doc(
        ".because(value, text)",
        "Points at another line that caused it.",
        "finding(loadout, \"x\").because(build.wing.band.aft, \"the limit\");",
    ),
    doc(
        ".remedy(text)",
        "Says what to do with one's hands.",
        "finding(loadout, \"x\").remedy(\"weigh it\");",
    ),
    doc(
        ".remedy(text, value, words)",
        "The same, and offers to write words behind a value, or as one more fact of an entry.",
        "finding(loadout, \"x\").remedy(\"name its limits\", build.wing, \"mass-limit ?\");",
    ),
    doc(
        ".replan(text, value, words)",
        "The same, and offers to write a plan in place of a value that nobody has measured.",
        "finding(loadout, \"x\").replan(\"plan for less\", build.wing.mass_limit, \"900 g\");",
    ),
    doc(
        ".remedies(list)",
        "Offers what the engine worked out, with edits.",
        "finding(loadout, \"x\").remedies(loadout.ways_into(build.wing.band));",
    ),
    doc(
        ".likely(text)",
        "Says what is not certain, and what to measure next.",
        "finding(loadout, \"x\").likely(\"weigh the wiring next\");",
    ),
    doc(
        ".at_most(level)",
        "Makes this one finding no more serious than a level.",
        "finding(loadout, \"x\").at_most(\"note\");",
    ),
    doc(
        "value.has(name)",
        "Whether something is said, be it known or not.",
        "if !build.wing.has(\"washout\") { finding(loadout, \"x\"); }",
    ),
    doc(
        "quantity(text)",
        "A number with its unit, where `12.mm` cannot be written.",
        "if loadout.mass > quantity(\"1.2 kg\") { finding(loadout, \"x\"); }",
    ),
    doc(
        "12.mm, 3.5.kg",
        "A number with its unit.",
        "if loadout.mass > 900.g { finding(loadout, \"x\"); }",
    ),
    doc(
        "value.with_spread",
        "A number with its spread, as text.",
        "finding(loadout, `${loadout.mass.with_spread}`);",
    ),
    doc(
        "value.magnitude",
        "A length without its side.",
        "finding(loadout, `${loadout.balance.y.magnitude}`);",
    ),
    doc(
        "value.rough",
        "A number with two digits, or three if the first is a one, where more would promise too much.",
        "finding(loadout, `${loadout.mass.rough}`);",
    ),
    doc(
        "value.exact",
        "A number without its spread: of a limit, which is decided and not measured.",
        "if loadout.mass.surely_above(build.wing.mass_limit.exact) { finding(loadout, \"x\"); }",
    ),
    doc(
        "a.surely_above(b), a.surely_below(b)",
        "Whether the whole spread lies above, or below.",
        "if loadout.mass.surely_above(900.g) { finding(loadout, \"x\"); }",
    ),
    doc(
        "a.possibly_above(b), a.possibly_below(b)",
        "Whether any of the spread lies above, or below.",
        "if loadout.mass.possibly_above(900.g) { finding(loadout, \"x\"); }",
    ),
    doc(
        "range.narrowed(by)",
        "A range with so much taken off at each end; it keeps its line.",
        "let ways = loadout.ways_into(build.wing.band.narrowed(2.mm));",
    ),
    doc(
        "loadout.ways_into(band)",
        "Moves and lead that bring the whole spread into a band, the best place first.",
        "let ways = loadout.ways_into(build.wing.band);",
    ),
    doc(
        "loadout.moves_into(band)",
        "The same ways for a spread that reaches across a limit, with an edit only where it brings nothing worse: where no lead is aboard or added, and no record says where it balances.",
        "let ways = loadout.moves_into(build.wing.band);",
    ),
    doc(
        "part.ways_to_plug(), signal.ways_to_plug()",
        "How every user of the ports of a part, or of the parts at both ends of a signal, gets one that fits, with the fewest signals changed; a sentence where one of them can have none.",
        "for part in build.parts { finding(part, \"x\").remedies(part.ways_to_plug()); }",
    ),
    doc(
        "join.ways_to_turn(signal)",
        "Turns the arrow of one of its `signal_ports` that goes the wrong way, where it fits the other way round.",
        "for join in build.joins { for one in join.signal_ports { finding(join, \"x\").remedies(join.ways_to_turn(one)); } }",
    ),
    doc(
        "loadout.stops_inside(band)",
        "Shorter slides that keep every corner inside a band.",
        "let ways = loadout.stops_inside(build.wing.band);",
    ),
    doc(
        "loadout.ways_with_lead()",
        "The least lead that brings the whole spread into the band, after moves and alone: advice, which `ways_into` writes.",
        "finding(loadout, \"x\").remedies(loadout.ways_with_lead());",
    ),
    doc(
        "loadout.ways_to_save_lead()",
        "Moves with which some of the lead aboard can come out, the balance staying where it is; advice where records are of the loadout.",
        "finding(loadout, \"x\").remedies(loadout.ways_to_save_lead());",
    ),
    doc(
        "loadout.ways_to_share(other)",
        "A place of the pack for each of two loadouts, then the least lead with which one place serves both: advice, which writes nothing.",
        "for one in loadout.pack_shared { finding(loadout, \"x\").remedies(loadout.ways_to_share(one.other)); }",
    ),
    doc(
        "loadout.as_weighed_ways_into(band)",
        "Moves and lead that bring the balance that was measured into a band: work for hands, which writes nothing.",
        "if loadout.has(\"as_weighed\") { finding(loadout, \"x\").remedies(loadout.as_weighed_ways_into(build.wing.band)); }",
    ),
    doc(
        "loadout.ways_to_list()",
        "Offers to list what weighs and is not listed as a part whose place is not known.",
        "if loadout.has(\"mass_as_weighed\") { finding(loadout, \"x\").remedies(loadout.ways_to_list()); }",
    ),
    doc(
        "join.ways_to_lengthen(length)",
        "Offers to write a length of its wire, as planned, in whole centimetres.",
        "for join in build.joins { finding(join, \"x\").remedies(join.ways_to_lengthen(300.mm)); }",
    ),
    doc(
        "part.ways_to_clear(antenna, distance)",
        "The shortest move along the aircraft with which one of its antennas, as `near_senders` calls it, keeps a distance from every antenna that sends and whose place is known: a sentence, or none where no place in the airframe does.",
        "for part in build.parts { for near in part.near_senders { finding(part, \"x\").remedies(part.ways_to_clear(near.antenna, 100.mm)); } }",
    ),
    doc(
        "loadout.stall_speed(share)",
        "The stall speed at a greatest lift coefficient, in the air of the field: an estimate.",
        "let speed = loadout.stall_speed(quantity(\"90 %\"));",
    ),
    doc(
        "loadout.turning_stall_speed(share, bank)",
        "The same in a level turn at a bank: an estimate.",
        "let speed = loadout.turning_stall_speed(quantity(\"90 %\"), quantity(\"45 deg\"));",
    ),
    doc(
        "loadout.edge_for(share)",
        "Where the edge of the surface that trims has to stand to hold a lift coefficient, up or down from flat at its inner end: an estimate.",
        "if loadout.has(\"static_margin\") { let edge = loadout.edge_for(quantity(\"90 %\")); }",
    ),
    doc(
        "loadout.crowding(clearance)",
        "Parts that lie nearer to each other in a bay than a clearance, or reach out of it: a list of records.",
        "for crowd in loadout.crowding(2.mm) { finding(crowd.part, `${crowd.by}`); }",
    ),
    doc(
        "loadout.has_most(name)",
        "Whether no other loadout has more of a computed quantity: for what needs saying once, of the worst.",
        "if loadout.has_most(\"mass\") { finding(loadout, \"x\"); }",
    ),
    doc(
        "build.share_of_chord(place)",
        "Where on the wing's mean chord a place lies.",
        "let share = build.share_of_chord(build.wing.band.aft);",
    ),
    doc(
        "build.of_kind(word)",
        "The parts of a kind.",
        "for part in build.of_kind(\"glue\") { finding(part, \"x\"); }",
    ),
    doc(
        "build.records(word)",
        "The records of a word, `weighed`, `balanced`, `done`, `saved`, `checked`, `ran` or `flew`, the latest first.",
        "for record in build.records(\"balanced\") { finding(record, `${record.date}`); }",
    ),
    doc(
        "build.steps(step)",
        "The records that a step was done, the latest first.",
        "for record in build.steps(\"failsafe\") { finding(record, `${record.called}`); }",
    ),
    doc(
        "date(text)",
        "A day of the calendar.",
        "if date(\"2026-03-01\") > date(\"2026-02-28\") { finding(loadout, \"x\"); }",
    ),
    doc(
        "date.days_after(other)",
        "How many days lie between a day and another, as a time; below nought if the other is later.",
        "if date(\"2026-03-01\").days_after(date(\"2026-02-27\")) > quantity(\"1 day\") { finding(loadout, \"x\"); }",
    ),
    doc(
        "date.time_after(other)",
        "How much time lies between an hour of a day and another, below nought if the other is later; not known where one of them says no hour.",
        "if date(\"2026-03-01T15:10\").time_after(date(\"2026-03-01T14:30\")) < quantity(\"60 min\") { finding(loadout, \"x\"); }",
    ),
];

/// What lists and texts can do that rules have use for; the language brings it.
pub const LANGUAGE: &[Documented] = &[
    doc(
        "list.len()",
        "How many there are.",
        "if loadout.packs.len() > 1 { finding(loadout, \"x\"); }",
    ),
    doc(
        "list[0]",
        "The first of a list; `[1]` is the second.",
        "if loadout.packs.len() > 0 { let first = loadout.packs[0]; }",
    ),
    doc(
        "list.push(value)",
        "Puts one more at the end of a list.",
        "let all = []; all.push(loadout.mass);",
    ),
    doc(
        "list.extract(from, count)",
        "A piece of a list.",
        "let next = loadout.aboard.extract(1, 3);",
    ),
    doc(
        "list.contains(text)",
        "Whether a list of texts has this one.",
        "let is_one = [\"hand\", \"bungee\"].contains(\"hand\");",
    ),
    doc(
        "list.index_of(text)",
        "At which place of a list of texts this one stands; -1 if nowhere.",
        "let at = [\"hand\", \"bungee\"].index_of(\"bungee\");",
    ),
    doc(
        "`text ${value}`",
        "A text between backticks, with values in it.",
        "finding(loadout, `it weighs ${loadout.mass}`);",
    ),
];

/// Units that a number of a script can be given as a property.
pub(crate) const UNITS: &[&str] = &[
    "mm", "cm", "m", "g", "kg", "oz", "lb", "deg", "A", "V", "W", "Wh", "Ah", "mAh",
    "Hz", "MHz", "GHz", "s", "min", "N", "dm2", "percent",
];

/// Registers the names that shipped scripts ask for most behind a point.
///
/// A value has these names by its indexer as well; only, the engine looks for a name of
/// its own first, and takes longer to find that there is none than to answer.
pub(crate) fn names(engine: &mut Engine, names: &'static [&str]) {
    for name in names {
        engine.register_get(*name, |value: &mut Value| value.get(name));
    }
}

/// Registers everything that a rule can call.
pub(crate) fn register(engine: &mut Engine, drafts: &Rc<RefCell<Vec<Draft>>>) {
    engine.register_type_with_name::<Value>("Value");
    engine.register_type_with_name::<Draft>("Finding");
    engine.register_type_with_name::<Offer>("Remedy");
    engine.register_type_with_name::<Table>("Set");
    engine.register_indexer_get(|value: &mut Value, name: &str| value.get(name));
    engine.register_indexer_get(|set: &mut Table, name: &str| set.get(name));
    findings(engine, drafts);
    numbers(engine);
    questions(engine);
    answers(engine);
    searches(engine);
    weighings(engine);
    ports(engine);
    records(engine);
}

fn findings(engine: &mut Engine, drafts: &Rc<RefCell<Vec<Draft>>>) {
    let all = Rc::clone(drafts);
    engine.register_fn("finding", move |at: Value, headline: &str| -> Given<Draft> {
        if all.borrow().len() >= MOST_FINDINGS {
            return Err(fault(format!(
                "more than {MOST_FINDINGS} findings about one thing"
            )));
        }
        let draft = Draft::new(&at, headline);
        all.borrow_mut().push(draft.clone());
        Ok(draft)
    });
    engine.register_fn("label", Draft::label);
    engine.register_fn("because", |draft: &mut Draft, value: Value, text: &str| {
        draft.because(&value, text)
    });
    engine.register_fn("number", |draft: &mut Draft, value: Value| draft.number(&value));
    engine.register_fn("remedy", Draft::advise);
    engine.register_fn(
        "remedy",
        |draft: &mut Draft, says: &str, at: Value, words: &str| {
            draft.advise_writing(says, &at, words)
        },
    );
    engine.register_fn(
        "replan",
        |draft: &mut Draft, says: &str, at: Value, words: &str| {
            draft.replan(says, &at, words)
        },
    );
    engine.register_fn("remedies", Draft::remedies);
    engine.register_fn("likely", Draft::likely);
    engine.register_fn("at_most", Draft::at_most);
}

/// One call of a rule finds no more than this; a loop that does is out of hand.
pub(crate) const MOST_FINDINGS: usize = 200;

fn numbers(engine: &mut Engine) {
    for word in UNITS {
        let text = if *word == "percent" { "%" } else { word };
        let Some(unit) = Unit::read(text) else { continue };
        let other = unit.clone();
        engine.register_get(*word, move |number: &mut INT| -> Given<Value> {
            let number =
                i32::try_from(*number).map_err(|_| fault("a number is too large"))?;
            Ok(Value::written(Quantity::new(f64::from(number), &unit)))
        });
        engine.register_get(*word, move |number: &mut FLOAT| {
            Value::written(Quantity::new(*number, &other))
        });
    }
    engine.register_fn("quantity", |text: &str| -> Given<Value> {
        let says = format!("expected a number with its unit, found \"{text}\"");
        quantity(text).map(Value::written).ok_or_else(|| fault(says))
    });
    compare(engine, "surely_above", Quantity::surely_above);
    compare(engine, "surely_below", Quantity::surely_below);
    compare(engine, "possibly_above", Quantity::possibly_above);
    compare(engine, "possibly_below", Quantity::possibly_below);
}

/// A count of days, which is far below what a float holds exactly.
fn whole(days: i64) -> FLOAT {
    i32::try_from(days).map_or(FLOAT::INFINITY, FLOAT::from)
}

type Compare = fn(&Quantity, &Quantity) -> Result<bool, Unlike>;

fn compare(engine: &mut Engine, name: &str, holds: Compare) {
    engine.register_fn(name, move |a: &mut Value, b: Value| -> Given<bool> {
        holds(a.quantity()?, b.quantity()?).map_err(|why| fault(why.to_string()))
    });
}

/// Reads `80 mm` or `12 %`.
pub(crate) fn quantity(text: &str) -> Option<Quantity> {
    let text = text.trim();
    let end =
        text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '/')))?;
    let (number, unit) = text.split_at_checked(end)?;
    let unit = Unit::read(unit.trim())?;
    let number = trimsheet_rules::facts::model::quantity::read_number(number)?;
    Some(Quantity::new(number, &unit))
}

fn questions(engine: &mut Engine) {
    engine.register_fn("has", |value: &mut Value, name: &str| -> Given<bool> {
        let has = value.facts()?.has(&value.known, name);
        value.noted_flag(&format_args!(".has(\"{name}\")"), &has);
        has.map_err(raise)
    });
    engine.register_fn("narrowed", |range: &mut Value, by: Value| -> Given<Dynamic> {
        let narrowed = range.facts()?.narrowed(&range.known, by.quantity()?);
        let asked =
            range.noted(&format_args!(".narrowed({})", by.quantity()?), &narrowed);
        Ok(range.give_as(narrowed.map_err(raise)?, asked))
    });
    engine.register_fn(
        "ways_into",
        |loadout: &mut Value, band: Value| -> Given<rhai::Array> {
            let ways = of_loadout(loadout)?.ways_into(&loadout.known, &band.known);
            noted_ways(loadout, &format_args!(".ways_into({})", band.known), &ways);
            ways.map(offers).map_err(raise)
        },
    );
    engine.register_fn(
        "moves_into",
        |loadout: &mut Value, band: Value| -> Given<rhai::Array> {
            let ways = of_loadout(loadout)?.moves_into(&loadout.known, &band.known);
            noted_ways(loadout, &format_args!(".moves_into({})", band.known), &ways);
            ways.map(offers).map_err(raise)
        },
    );
    engine.register_fn(
        "stops_inside",
        |loadout: &mut Value, band: Value| -> Given<rhai::Array> {
            let ways = of_loadout(loadout)?.stops_inside(&loadout.known, &band.known);
            noted_ways(loadout, &format_args!(".stops_inside({})", band.known), &ways);
            ways.map(offers).map_err(raise)
        },
    );
    engine.register_fn("ways_with_lead", |loadout: &mut Value| -> Given<rhai::Array> {
        let ways = of_loadout(loadout)?.ways_with_lead(&loadout.known);
        noted_ways(loadout, &".ways_with_lead()", &ways);
        ways.map(offers).map_err(raise)
    });
    engine.register_fn(
        "ways_to_save_lead",
        |loadout: &mut Value| -> Given<rhai::Array> {
            let ways = of_loadout(loadout)?.ways_to_save_lead(&loadout.known);
            noted_ways(loadout, &".ways_to_save_lead()", &ways);
            ways.map(offers).map_err(raise)
        },
    );
    engine.register_fn(
        "ways_to_share",
        |loadout: &mut Value, other: Value| -> Given<rhai::Array> {
            of_loadout(&other)?;
            let ways = of_loadout(loadout)?.ways_to_share(&loadout.known, &other.known);
            noted_ways(loadout, &format_args!(".ways_to_share({})", other.known), &ways);
            ways.map(offers).map_err(raise)
        },
    );
}

/// What the engine works out from records of weighing, of wires and of antennas.
fn weighings(engine: &mut Engine) {
    engine.register_fn(
        "ways_to_lengthen",
        |join: &mut Value, length: Value| -> Given<rhai::Array> {
            let least = of(&length, Dimension::LENGTH)?;
            let ways = join.facts()?.ways_to_lengthen(&join.known, least);
            noted_ways(join, &format_args!(".ways_to_lengthen({least})"), &ways);
            ways.map(offers).map_err(raise)
        },
    );
    engine.register_fn(
        "ways_to_clear",
        |part: &mut Value, antenna: Value, distance: Value| -> Given<rhai::Array> {
            let far = of(&distance, Dimension::LENGTH)?.si();
            let name = antenna.known.to_string();
            let ways = part.facts()?.ways_to_clear(&part.known, &name, far);
            let step = format_args!(".ways_to_clear({name}, {})", distance.known);
            noted_ways(part, &step, &ways);
            ways.map(offers).map_err(raise)
        },
    );
    engine.register_fn(
        "as_weighed_ways_into",
        |loadout: &mut Value, band: Value| -> Given<rhai::Array> {
            let ways = loadout.facts()?.as_weighed_ways_into(&loadout.known, &band.known);
            ways.map(offers).map_err(raise)
        },
    );
    engine.register_fn("ways_to_list", |loadout: &mut Value| -> Given<rhai::Array> {
        loadout.facts()?.ways_to_list(&loadout.known).map(offers).map_err(raise)
    });
}

/// What the engine works out of ports.
fn ports(engine: &mut Engine) {
    engine.register_fn("ways_to_plug", |of: &mut Value| -> Given<rhai::Array> {
        let ways = of.facts()?.ways_to_plug(&of.known);
        noted_ways(of, &".ways_to_plug()", &Ok(ways.clone()));
        Ok(offers(ways))
    });
    engine.register_fn(
        "ways_to_turn",
        |join: &mut Value, signal: Value| -> Given<rhai::Array> {
            let ways = join.facts()?.ways_to_turn(&join.known, &signal.known);
            let step = format!(".ways_to_turn({})", signal.known);
            noted_ways(join, &step, &Ok(ways.clone()));
            Ok(offers(ways))
        },
    );
}

/// Writes down how many ways there are, if anybody wants to know.
fn noted_ways(
    loadout: &Value,
    step: &dyn std::fmt::Display,
    ways: &Result<Vec<Remedy>, NotKnown>,
) {
    let count = |ways: &Vec<Remedy>| {
        let count = i64::try_from(ways.len()).unwrap_or(i64::MAX);
        Known::computed(What::Count(count), "ways", loadout.known.span)
    };
    loadout.noted(step, &ways.as_ref().map(count).map_err(NotKnown::clone));
}

/// What was done when, and how long ago that is.
fn records(engine: &mut Engine) {
    engine.register_fn("records", |build: &mut Value, word: &str| -> Given<Dynamic> {
        let records = build.facts()?.records(word);
        listed(build, &format_args!(".records(\"{word}\")"), records)
    });
    engine.register_fn("steps", |build: &mut Value, step: &str| -> Given<Dynamic> {
        let records = build.facts()?.steps(step);
        listed(build, &format_args!(".steps(\"{step}\")"), records)
    });
    engine.register_fn("date", |text: &str| -> Given<Value> {
        let says =
            format!("expected a day that exists, such as 2026-03-14, found \"{text}\"");
        text.parse().map(Value::day).map_err(|_| fault(says))
    });
    engine.register_fn("days_after", |day: &mut Value, other: Value| -> Given<Value> {
        let days = day.date()?.days_after(other.date()?);
        let unit = if days.abs() == 1 { "day" } else { "days" };
        let unit = Unit::read(unit).ok_or_else(|| fault("days are no unit"))?;
        Ok(day.worked_out(Quantity::new(whole(days), &unit)))
    });
    engine.register_fn("time_after", |day: &mut Value, other: Value| -> Given<Value> {
        let minutes = day.date()?.minutes_after(other.date()?).ok_or_else(|| {
            let says = "the hour is not said, so how much time lies between is not known";
            raise(NotKnown::impossible(says, day.known.span))
        })?;
        let unit = Unit::read("min").ok_or_else(|| fault("minutes are no unit"))?;
        Ok(day.worked_out(Quantity::new(whole(minutes), &unit)))
    });
}

/// What the engine works out for a rule from a number that the rule gives.
fn answers(engine: &mut Engine) {
    engine.register_fn(
        "stall_speed",
        |loadout: &mut Value, limit: Value| -> Given<Dynamic> {
            let share = of(&limit, Dimension::NONE)?;
            let speed = of_loadout(loadout)?.stall_speed(&loadout.known, share);
            let step = format_args!(".stall_speed({})", limit.known);
            let asked = loadout.noted(&step, &speed);
            Ok(loadout.give_as(speed.map_err(raise)?, asked))
        },
    );
    engine.register_fn(
        "turning_stall_speed",
        |loadout: &mut Value, limit: Value, bank: Value| -> Given<Dynamic> {
            let (share, angle) =
                (of(&limit, Dimension::NONE)?, of(&bank, Dimension::ANGLE)?);
            let facts = of_loadout(loadout)?;
            let speed = facts.turning_stall_speed(&loadout.known, share, angle);
            let step =
                format_args!(".turning_stall_speed({}, {})", limit.known, bank.known);
            let asked = loadout.noted(&step, &speed);
            Ok(loadout.give_as(speed.map_err(raise)?, asked))
        },
    );
    engine.register_fn(
        "edge_for",
        |loadout: &mut Value, lift: Value| -> Given<Dynamic> {
            let share = of(&lift, Dimension::NONE)?;
            let edge = of_loadout(loadout)?.edge_for(&loadout.known, share);
            let asked = loadout.noted(&format_args!(".edge_for({})", lift.known), &edge);
            Ok(loadout.give_as(edge.map_err(raise)?, asked))
        },
    );
}

/// What the engine looks up for a rule among parts, places and loadouts.
fn searches(engine: &mut Engine) {
    engine.register_fn(
        "crowding",
        |loadout: &mut Value, clearance: Value| -> Given<Dynamic> {
            let near = of(&clearance, Dimension::LENGTH)?.si();
            let found = of_loadout(loadout)?.crowding(&loadout.known, near);
            let list = |all| {
                let list = What::List(Rc::new(all));
                Known::computed(list, "crowding", loadout.known.span)
            };
            let found = found.map(list);
            let step = format_args!(".crowding({})", clearance.known);
            let asked = loadout.noted(&step, &found);
            Ok(loadout.give_as(found.map_err(raise)?, asked))
        },
    );
    engine.register_fn("has_most", |loadout: &mut Value, name: &str| -> Given<bool> {
        let most = of_loadout(loadout)?.has_most(&loadout.known, name);
        loadout.noted_flag(&format_args!(".has_most(\"{name}\")"), &most);
        most.map_err(raise)
    });
    engine.register_fn(
        "share_of_chord",
        |build: &mut Value, place: Value| -> Given<Value> {
            let share = build.facts()?.chord_share(of(&place, Dimension::LENGTH)?.si());
            let known = share.map(|share| {
                Known::computed(What::Quantity(share), "chord_share", place.known.span)
            });
            build.noted(&format_args!(".share_of_chord({})", place.known), &known);
            let known = known.map_err(raise)?;
            Ok(place
                .worked_out(known.quantity().ok_or_else(|| fault("no share"))?.clone()))
        },
    );
    // What `catch` is given, where a text wants it in words.
    engine.register_fn("to_string", |why: &mut NotKnown| why.says.clone());
    engine.register_fn("of_kind", |build: &mut Value, word: &str| -> Given<Dynamic> {
        let parts = build.facts()?.parts_of_kind(word);
        listed(build, &format_args!(".of_kind(\"{word}\")"), parts)
    });
}

/// What was asked of the build as a list, written down if anybody wants to know.
fn listed(
    build: &Value,
    step: &dyn std::fmt::Display,
    found: Result<Vec<Known>, NotKnown>,
) -> Given<Dynamic> {
    let list = |all| Known::computed(What::List(Rc::new(all)), "list", build.known.span);
    let found = found.map(list);
    let asked = build.noted(step, &found);
    Ok(build.give_as(found.map_err(raise)?, asked))
}

/// The facts of a loadout; anything else is a mistake of the script.
fn of_loadout(value: &Value) -> Given<&Rc<Facts>> {
    let facts = value.facts()?;
    if facts.word(&value.known) == Some("loadout") {
        return Ok(facts);
    }
    Err(fault(format!("a loadout was expected, {} is {}", value.known, value.kind())))
}

/// A number of one dimension; anything else is a mistake of the script.
fn of(value: &Value, dimension: Dimension) -> Given<&Quantity> {
    let quantity = value.quantity()?;
    if quantity.dimension() == dimension {
        return Ok(quantity);
    }
    let (expected, found) = (dimension.says(), quantity.dimension().says());
    Err(fault(format!("{expected} was expected, {} is {found}", value.known)))
}

fn offers(remedies: Vec<Remedy>) -> rhai::Array {
    remedies.into_iter().map(|remedy| Dynamic::from(Offer(Rc::new(remedy)))).collect()
}
