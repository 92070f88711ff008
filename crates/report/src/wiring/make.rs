//! From facts to a wiring sheet.

use trimsheet_facts::model::source::{Sources, Span};
use trimsheet_facts::model::{Entry, EntryId, Fact, Value};
use trimsheet_facts::{Facts, NotKnown};

use super::{
    End, Join, Lead, Occupant, Photo, Plug, Socket, Thing, Way, Wiring, flow, tree,
};
use crate::make::{Heading, heading};
use crate::number::Number;
use crate::sheet::{Line, NotSaid};

/// The sheet of an aircraft.
pub(super) fn wiring(facts: &Facts, sources: &Sources) -> Wiring {
    let Heading { title, file, revision, stage } = heading(facts, sources);
    let maker = Maker { facts, sources };
    let joins: Vec<Join> =
        facts.of_word("join").map(|(id, entry)| maker.join(id, entry)).collect();
    let parts = facts.of_word("part").map(|(_, entry)| (entry, false));
    let packs = facts.of_word("pack").map(|(_, entry)| (entry, true));
    let entries: Vec<(&Entry, bool)> = packs.chain(parts).collect();
    let things = entries.iter().filter_map(|(entry, is_pack)| {
        let sockets = sockets(entry, &joins);
        let is_joined = ends(&joins).any(|end| end.thing == entry.name);
        let kind = if *is_pack { Some("pack") } else { entry.kind() };
        let own = entry.fact("cells").filter(|_| *is_pack);
        (is_joined || !sockets.is_empty()).then(|| Thing {
            name: entry.name.clone(),
            kind: kind.map(str::to_owned),
            says: own.map_or(String::new(), cells),
            line: maker.line(entry.span()),
            sockets,
        })
    });
    let things: Vec<Thing> = things.collect();
    let needing =
        entries.iter().map(|(entry, _)| *entry).filter(|entry| needs_power(entry));
    let unfed = needing.filter(|entry| !tree::is_fed(&joins, &things, &entry.name));
    let unfed = unfed.map(|entry| entry.name.clone()).collect();
    let tree = tree::branches(&joins, &things);
    let flows = flow::flows(facts, sources, &tree);
    Wiring { title, file, revision, stage, joins, things, tree, flows, unfed }
}

/// Both ends of every way.
fn ends(joins: &[Join]) -> impl Iterator<Item = &End> {
    joins.iter().flat_map(|join| &join.ways).flat_map(|way| [&way.from, &way.to])
}

/// Whether the spec says that it takes a current or works on some volts.
fn needs_power(entry: &Entry) -> bool {
    entry.says("needs") || entry.says("draws")
}

struct Maker<'a> {
    facts: &'a Facts,
    sources: &'a Sources,
}

impl Maker<'_> {
    fn line(&self, span: Span) -> Option<Line> {
        let file = self.sources.path(span.file).to_owned();
        Some(Line { file, line: self.sources.place(span).line })
    }

    fn join(&self, id: EntryId, entry: &Entry) -> Join {
        let (ways, not_said) = match self.ways(id, entry) {
            Ok(ways) => (ways, None),
            Err(why) => (Vec::new(), Some(self.not_said(&entry.name, &why))),
        };
        let wire = entry.fact("wire");
        let leads = entry.fact("leads").map(|fact| fact.values.as_slice());
        let lead = |(carries, value): &(&'static str, Value)| Lead {
            carries: (*carries).to_owned(),
            colour: value.text().map(str::to_owned),
        };
        Join {
            name: entry.name.clone(),
            line: self.line(entry.span()),
            ways,
            leads: leads.unwrap_or_default().iter().map(lead).collect(),
            plug: entry.fact("plug").map(plug),
            gauge: wire.and_then(|fact| number(fact, "gauge")),
            length: wire.and_then(|fact| number(fact, "length")),
            extended: entry.fact("extended").and_then(|fact| number(fact, "length")),
            photo: entry.fact("photo").map(|fact| Photo {
                file: words(fact, "file"),
                date: fact
                    .slot("date")
                    .and_then(Value::date)
                    .map(|date| date.to_string()),
            }),
            not_said,
        }
    }

    fn ways(&self, id: EntryId, entry: &Entry) -> Result<Vec<Way>, NotKnown> {
        let ways = self.facts.connections(id)?;
        if ways.is_empty() {
            let says = "the spec says no signal and no supply of it that leads from one \
                        part to another";
            return Err(NotKnown::impossible(says, Some(entry.span())));
        }
        let way = |way: &trimsheet_facts::Way<'_>| Way {
            carries: way.carries.to_owned(),
            from: self.end(&way.from),
            to: self.end(&way.to),
            is_divided: way.is("divided"),
            is_reversed: way.is("reversed"),
            is_lifted: way.is("lifted"),
            line: self.line(way.line.span),
        };
        Ok(ways.iter().map(way).collect())
    }

    fn end(&self, end: &trimsheet_facts::End<'_>) -> End {
        let entry = self.facts.build.entry(end.entry);
        End {
            thing: entry.map_or(String::new(), |entry| entry.name.clone()),
            socket: (!end.socket.is_empty()).then(|| end.socket.to_owned()),
        }
    }

    fn not_said(&self, join: &str, why: &NotKnown) -> NotSaid {
        let line = why.span.and_then(|span| self.line(span));
        NotSaid { what: format!("where join {join} leads"), why: why.says.clone(), line }
    }
}

fn words(fact: &Fact, slot: &str) -> Option<String> {
    fact.slot(slot).and_then(Value::text).map(str::to_owned)
}

fn number(fact: &Fact, slot: &str) -> Option<Number> {
    Some(Number(fact.slot(slot)?.quantity()?.clone()))
}

fn plug(fact: &Fact) -> Plug {
    Plug {
        family: words(fact, "family"),
        gender: words(fact, "gender"),
        kept: words(fact, "kept"),
        turned: words(fact, "turned"),
        carries: number(fact, "carries"),
    }
}

/// The cells of a pack: `4S lipo`.
fn cells(fact: &Fact) -> String {
    let count = fact.slot("count").and_then(Value::quantity);
    let count = count.map(ToString::to_string);
    let all = [count, words(fact, "chemistry")];
    all.into_iter().flatten().collect::<Vec<_>>().join(" ")
}

/// The sockets of a thing; a join can name no other.
fn sockets(entry: &Entry, joins: &[Join]) -> Vec<Socket> {
    let mut all: Vec<Socket> = Vec::new();
    for is in ["port", "rail", "outlet"] {
        for fact in entry.all(is) {
            let Some(name) = words(fact, "name") else { continue };
            let says = says(is, fact);
            all.push(Socket {
                on: on(&entry.name, &name, joins),
                name,
                is: is.to_owned(),
                says,
            });
        }
    }
    all
}

/// What a socket speaks, or which volts it gives.
fn says(is: &str, fact: &Fact) -> String {
    let quantity = |slot: &str| fact.slot(slot).and_then(Value::quantity);
    let range = |slot: &str| {
        let (low, high) = fact.slot(slot)?.range()?;
        Some(if low == high { low.to_string() } else { format!("{low} to {high}") })
    };
    let labelled =
        |label: &str, text: Option<String>| text.map(|text| format!("{label} {text}"));
    let all = match is {
        "port" => vec![
            words(fact, "protocol"),
            words(fact, "way").map(|way| format!("only {way}")),
            words(fact, "idle").map(|idle| match idle.as_str() {
                "inverts" => "can be inverted".to_owned(),
                _ => idle,
            }),
            labelled("group", words(fact, "group")),
            range("rate"),
            range("speed"),
            words(fact, "framing"),
            labelled("level", quantity("level").map(ToString::to_string)),
            labelled("bears", quantity("bears").map(ToString::to_string)),
            labelled("address", words(fact, "address")),
        ],
        "rail" => vec![
            quantity("volts").map(ToString::to_string),
            labelled("made from", words(fact, "from")),
        ],
        _ => vec![words(fact, "fed").map(|_| tree::APART.to_owned())],
    };
    all.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Who is on a socket.
fn on(thing: &str, socket: &str, joins: &[Join]) -> Vec<Occupant> {
    let is_it = |end: &End| end.thing == thing && end.socket.as_deref() == Some(socket);
    let mut all = Vec::new();
    for join in joins {
        for way in &join.ways {
            let ends = [(&way.from, &way.to, "to"), (&way.to, &way.from, "from")];
            for (_, other, goes) in ends.into_iter().filter(|(own, ..)| is_it(own)) {
                all.push(Occupant {
                    join: join.name.clone(),
                    carries: way.carries.clone(),
                    goes: goes.to_owned(),
                    other: other.clone(),
                });
            }
        }
    }
    all
}
