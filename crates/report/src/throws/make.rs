//! From facts to a throws card.

use trimsheet_facts::model::quantity::{Dimension, Quantity};
use trimsheet_facts::model::source::{Sources, Span};
use trimsheet_facts::model::{Entry, Fact, Half, Value};
use trimsheet_facts::{Facts, Known, NotKnown, What};

use super::{
    End, Linkage, Point, Pulse, Rate, Reached, Reflex, Surface, Throws, Turn, Way,
};
use crate::make::{Heading, heading};
use crate::number::Number;
use crate::sheet::{Line, NotSaid};

/// The card of an aircraft.
pub(super) fn throws(facts: &Facts, sources: &Sources) -> Throws {
    let Heading { title, file, revision, stage } = heading(facts, sources);
    let surfaces = facts.of_word("surface").filter(|(_, one)| is_first(one));
    let surfaces = surfaces.map(|(id, entry)| {
        let known = facts.known_entry(id);
        let mut maker = Maker { facts, sources, known, entry, not_said: Vec::new() };
        maker.surface()
    });
    Throws { surfaces: surfaces.collect(), title, file, revision, stage }
}

/// Whether it is the half of its pair that stands for both.
fn is_first(surface: &Entry) -> bool {
    surface.half != Some(Half::Right)
}

/// What it takes to make the card of one surface.
struct Maker<'a> {
    facts: &'a Facts,
    sources: &'a Sources,
    known: Known,
    entry: &'a Entry,
    not_said: Vec<NotSaid>,
}

impl Maker<'_> {
    fn surface(&mut self) -> Surface {
        let rates = self.rates();
        let is_moved = !rates.is_empty() || self.entry.says("linkage");
        let linkage = if is_moved { self.linkage() } else { None };
        let reflex = self.reflex();
        let name = self.entry.name.split('.').next().unwrap_or_default();
        Surface {
            name: name.to_owned(),
            line: self.line(self.entry.span()),
            on: self.text("on"),
            is_pair: self.entry.half.is_some() || self.entry.says("pair"),
            depths: self.depths(),
            reflex,
            linkage,
            rates,
            not_said: std::mem::take(&mut self.not_said),
        }
    }

    fn line(&self, span: Span) -> Option<Line> {
        let file = self.sources.path(span.file).to_owned();
        Some(Line { file, line: self.sources.place(span).line })
    }

    fn text(&self, word: &str) -> Option<String> {
        self.entry.fact(word)?.first()?.text().map(str::to_owned)
    }

    fn depths(&self) -> Option<[Number; 2]> {
        let fact = self.entry.fact("hinge-to-edge")?;
        Some([length(fact, "root")?, length(fact, "tip")?])
    }

    /// A computed fact of the surface; where it is not known, that is noted.
    fn ask(&mut self, name: &'static str, what: &str) -> Option<Known> {
        let asked = self.facts.of(&self.known, name);
        asked.map_err(|why| self.note(what, &why)).ok()
    }

    fn note(&mut self, what: &str, why: &NotKnown) {
        let line = why.span.and_then(|span| self.line(span));
        // One gap behind several headings is told once.
        let is_same = |one: &&mut NotSaid| one.why == why.says && one.line == line;
        if let Some(told) = self.not_said.iter_mut().find(is_same) {
            told.what = format!("{}, {what}", told.what);
            return;
        }
        self.not_said.push(NotSaid {
            what: what.to_owned(),
            why: why.says.clone(),
            line,
        });
    }

    fn reflex(&mut self) -> Option<Reflex> {
        let fact = self.entry.fact("reflex")?;
        let stated = number(fact.slot("edge")?.quantity()?);
        let by = fact.slot("by").and_then(Value::text).map(str::to_owned);
        let turned = self.ask("reflex_turn", "how far its reflex turns it")?;
        Some(Reflex { stated, turned: Number(turned.quantity()?.clone()), by })
    }

    fn linkage(&mut self) -> Option<Linkage> {
        let ends = list(self.ask("linkage_ends", "where its linkage stops")?);
        let curve = self.ask("curve", "its course").map_or(Vec::new(), list);
        let fact = self.entry.fact("linkage")?;
        let servo = self.ask("servo_turn", "how far its servo turns")?;
        Some(Linkage {
            arm: length(fact, "arm"),
            horn: length(fact, "horn"),
            is_placed: fact.slot("pivot").is_some(),
            usable: field(&servo, "turn")?,
            is_usable_stated: is_so(&servo, "is_stated"),
            best_holes: self.best_holes(),
            ends: ends.iter().filter_map(end).collect(),
            curve: curve.iter().filter_map(point).collect(),
        })
    }

    /// The best pair of those holes that there are, where both lists are stated.
    fn best_holes(&self) -> Option<[Number; 2]> {
        let pairs = list(self.facts.of(&self.known, "hole_pairs").ok()?);
        let best = pairs.first().filter(|pair| is_so(pair, "reaches"))?;
        Some([field(best, "arm")?, field(best, "horn")?])
    }

    fn rates(&mut self) -> Vec<Rate> {
        let Some(travels) = self.ask("travels", "how far it goes") else {
            return Vec::new();
        };
        let courses = self.ask("courses", "what the servo does").map_or(Vec::new(), list);
        let pulses = self.ask("end_points", "the pulses").map_or(Vec::new(), list);
        let mut rates: Vec<Rate> = Vec::new();
        let entry = self.entry;
        for (at, travel) in list(travels).iter().enumerate() {
            let Some(span) = travel.span else { continue };
            let holds = |fact: &&Fact| {
                fact.span.file == span.file
                    && fact.span.start <= span.start
                    && span.end <= fact.span.end
            };
            let Some(fact) = entry.all("throw").find(holds) else { continue };
            let way = words(travel, "way");
            let is_same =
                |one: &&Known| one.span == Some(span) && words(one, "way") == way;
            let pulse = pulses.iter().find(is_same).and_then(pulse);
            let read = slot(fact, "read").unwrap_or_else(|| STRAIGHT_UP.to_owned());
            let Some(way) = self.way(travel, &read) else { continue };
            let way = Way { servo: courses.get(at).and_then(turn), pulse, ..way };
            let line = self.line(fact.span);
            match rates.last_mut().filter(|rate| rate.line == line) {
                Some(rate) => rate.ways.push(way),
                None => rates.extend(self.rate(fact, travel, read, way)),
            }
        }
        rates
    }

    /// A throw, with the first way that it goes.
    fn rate(&self, fact: &Fact, travel: &Known, read: String, way: Way) -> Option<Rate> {
        let depth = field(travel, "depth")?;
        let from_reflex = slot(fact, "from").as_deref() == Some("reflex");
        let is_even = self.facts.of(&self.known, "is_even");
        let is_even = is_even.is_ok_and(|even| matches!(even.what, What::Flag(true)));
        let at = slot(fact, "at").or((!is_even).then(|| "root".to_owned()));
        let from =
            if from_reflex && self.entry.says("reflex") { "reflex" } else { "flat" };
        Some(Rate {
            name: slot(fact, "rate").unwrap_or_default(),
            line: self.line(fact.span),
            at,
            depth,
            from: from.to_owned(),
            read,
            ways: vec![way],
        })
    }

    fn way(&mut self, travel: &Known, read: &str) -> Option<Way> {
        let (depth, stands) = (field(travel, "depth")?, field(travel, "stands")?);
        let height = depth.0.si() * libm::sin(stands.0.si());
        let height = Quantity::from_si(height, depth.0.unit());
        let mut way = Way {
            way: words(travel, "way"),
            stated: field(travel, "throw")?,
            straight_up: field(travel, "straight_up")?,
            edge_to_edge: field(travel, "edge_to_edge")?,
            upright_rule: field(travel, "upright_rule")?,
            angle: field(travel, "angle")?,
            height: Number(height.with_axis(stands.0.axis())),
            stands,
            servo: None,
            pulse: None,
            reached: Vec::new(),
            right_beyond_left: None,
        };
        way.reached = self.reached(&words(travel, "rate"), &way, read);
        let found = |half: &str| way.reached.iter().find(|one| one.half == half);
        way.right_beyond_left = match (found("left"), found("right")) {
            (Some(left), Some(right)) => less(&right.found, &left.found),
            _ => None,
        };
        Some(way)
    }

    /// What was found at the halves, measured as the throw is.
    fn reached(&mut self, rate: &str, way: &Way, read: &str) -> Vec<Reached> {
        let mut all = Vec::new();
        let entry = self.entry;
        for fact in entry.all("measured-throw") {
            if slot(fact, "rate").as_deref() != Some(rate) {
                continue;
            }
            let half = slot(fact, "half").unwrap_or_default();
            let half = half.trim_end_matches("-half").to_owned();
            for value in fact.slots("ways") {
                let Some(found) = value.quantity() else {
                    let says =
                        "the line of `measured-throw` has a value that is not known";
                    let why = NotKnown::impossible(says, Some(value.span));
                    self.note(&format!("how far the {half} half goes"), &why);
                    continue;
                };
                let side = found.axis().map(|axis| axis.side(found.si()).word());
                if side != Some(way.way.as_str()) {
                    continue;
                }
                let found = number(found);
                let beyond = less(&found, throw(way, read, &found));
                let half = half.clone();
                all.extend(beyond.map(|beyond| Reached { half, found, beyond }));
            }
        }
        all
    }
}

/// The number of a throw that what was found compares with.
fn throw<'a>(way: &'a Way, read: &str, found: &Number) -> &'a Number {
    match (found.0.dimension() == Dimension::ANGLE, read) {
        (true, _) => &way.angle,
        (false, "edge-to-edge") => &way.edge_to_edge,
        (false, "upright-rule") => &way.upright_rule,
        (false, _) => &way.straight_up,
    }
}

fn list(known: Known) -> Vec<Known> {
    let What::List(list) = known.what else { return Vec::new() };
    list.to_vec()
}

fn field(record: &Known, name: &str) -> Option<Number> {
    record.field(name).and_then(Known::quantity).cloned().map(Number)
}

fn words(record: &Known, name: &str) -> String {
    record.field(name).map_or(String::new(), ToString::to_string)
}

fn is_so(record: &Known, name: &str) -> bool {
    matches!(record.field(name).map(|one| &one.what), Some(What::Flag(true)))
}

fn slot(fact: &Fact, name: &str) -> Option<String> {
    fact.slot(name)?.text().map(str::to_owned)
}

fn length(fact: &Fact, name: &str) -> Option<Number> {
    fact.slot(name)?.quantity().map(number)
}

/// A number of the spec, as far as it is stated: what it is assumed to be unsure by is
/// no matter of a card.
fn number(quantity: &Quantity) -> Number {
    Number(quantity.clone().without_spread())
}

/// How much more one size is than another, whatever their sides.
fn less(one: &Number, other: &Number) -> Option<Number> {
    let (one, other) = (one.0.magnitude(), other.0.magnitude());
    one.without_spread().minus(&other.without_spread()).ok().map(Number)
}

fn end(record: &Known) -> Option<End> {
    Some(End {
        way: words(record, "way"),
        servo: field(record, "servo")?,
        surface: field(record, "surface")?,
        because: words(record, "because"),
    })
}

fn point(record: &Known) -> Option<Point> {
    Some(Point { servo: field(record, "servo")?, surface: field(record, "surface")? })
}

fn turn(record: &Known) -> Option<Turn> {
    let reaches = is_so(record, "reaches");
    Some(Turn {
        by: field(record, "servo")?,
        share: field(record, "share")?,
        rod_to_arm: field(record, "arm_transmission").filter(|_| reaches),
        rod_to_horn: field(record, "horn_transmission").filter(|_| reaches),
        stopped: (!reaches).then(|| words(record, "because")),
        surface: field(record, "surface")?,
    })
}

fn pulse(record: &Known) -> Option<Pulse> {
    Some(Pulse { length: field(record, "pulse")?, share: field(record, "share")? })
}

/// How millimetres are read where the spec does not say it.
const STRAIGHT_UP: &str = "straight-up";
