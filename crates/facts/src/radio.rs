//! What sends, what hears, and where the active parts of their antennas are.
//!
//! [`near`] says how near they come to each other, [`conductors`] what else lies near
//! them, [`bands`] what meets on the air and how strong it arrives, [`compass`] what the
//! leads do to a compass. A place that is not known is no distance: each list is of what
//! is known, and has a question beside it that fails with the first thing that is not.

mod bands;
mod compass;
mod conductors;
mod near;

use std::rc::Rc;

use trimsheet_model::quantity::{Quantity, Unit};
use trimsheet_model::source::Span;
use trimsheet_model::{Entry, EntryId, Fact, Kind, Place, Value};
use trimsheet_physics::stretch::Stretch;

use crate::computed::id;
use crate::facts::{Facts, absent};
use crate::flight::point;
use crate::known::{Known, NotKnown, What};

/// The active part of an antenna, or the middle of a part that has its antenna inside.
#[derive(Clone, Debug)]
struct Active {
    /// What a message calls it.
    title: String,
    line: Span,
    at: Stretch,
    /// In m.
    unsure: f64,
}

/// One of the bands that a part sends on.
#[derive(Clone, Debug)]
struct Sent {
    part: EntryId,
    line: Span,
    band: Option<Quantity>,
    power: Option<Quantity>,
}

/// What could be found, and what stood in the way of more.
struct Found<T> {
    all: Vec<T>,
    not_known: Vec<NotKnown>,
}

impl<T> Found<T> {
    fn none() -> Self {
        Found { all: Vec::new(), not_known: Vec::new() }
    }

    fn take(&mut self, one: Result<T, NotKnown>) {
        match one {
            Ok(one) => self.all.push(one),
            Err(why) => self.not_known.push(why),
        }
    }

    /// Yes, or the first thing that is not known.
    fn known(&self, of: &Known) -> Result<Known, NotKnown> {
        match self.not_known.first() {
            Some(why) => Err(why.clone()),
            None => Ok(Known::computed(What::Flag(true), &of.name, of.span)),
        }
    }
}

impl Facts {
    /// The antennas of a part.
    fn antennas(&self, part: EntryId) -> Result<Found<Active>, NotKnown> {
        let mut found = Found::none();
        self.fact(part, "antenna")?;
        for fact in self.entry(part)?.all("antenna") {
            found.take(self.antenna(part, fact));
        }
        Ok(found)
    }

    fn antenna(&self, part: EntryId, fact: &Fact) -> Result<Active, NotKnown> {
        let entry = self.entry(part)?;
        let title = self.antenna_title(entry, fact);
        let at = |slot: &str| -> Result<Option<&Place>, NotKnown> {
            Ok(self.slot(entry, fact, slot)?.and_then(Value::place))
        };
        let (from, to) = match (at("from")?, at("to")?, at("at")?) {
            (Some(from), Some(to), _) => (from, to),
            (_, _, Some(at)) => (at, at),
            (_, _, None) => {
                let says = format!("where the {title} lies is not said");
                return Err(NotKnown::impossible(says, Some(fact.span)));
            }
        };
        let way = [from, to].map(|place| point(place, entry.half));
        let [from_at, to_at] = way;
        let unsure = unsure(from).max(unsure(to));
        let at = Stretch { from: from_at, to: to_at };
        Ok(Active { title, line: fact.span, at, unsure })
    }

    /// What a message calls an antenna: `antenna long of part receiver`.
    fn antenna_title(&self, entry: &Entry, fact: &Fact) -> String {
        let name = fact.slot("name").and_then(Value::text).unwrap_or("");
        format!("antenna {name} of {}", entry.title())
    }

    /// What of a part hears: its antennas, or of a satellite receiver that names none,
    /// itself.
    fn hearing(&self, part: EntryId) -> Result<Found<Active>, NotKnown> {
        let mut found = self.antennas(part)?;
        let entry = self.entry(part)?;
        if entry.fact("antenna").is_some() {
            return Ok(found);
        }
        found.take(if self.is_kind(part, &["gnss-receiver"])? {
            self.middle(part)
        } else {
            Err(absent(entry, "antenna"))
        });
        Ok(found)
    }

    /// The middle of a part, by its place.
    fn middle(&self, part: EntryId) -> Result<Active, NotKnown> {
        let entry = self.entry(part)?;
        let value = self.slot(entry, self.must(part, "at")?, "place")?;
        let place = value.and_then(Value::place).ok_or_else(|| absent(entry, "at"))?;
        let line = value.map_or_else(|| entry.span(), |value| value.span);
        let at = Stretch::point(point(place, entry.half));
        Ok(Active { title: entry.title(), line, at, unsure: unsure(place) })
    }

    fn is_kind(&self, part: EntryId, kinds: &[&str]) -> Result<bool, NotKnown> {
        self.fact(part, "kind")?;
        Ok(self.entry(part)?.kind().is_some_and(|kind| kinds.contains(&kind)))
    }

    /// Whether a part sends: it says on which band, or is of a kind that does.
    fn is_sender(&self, part: EntryId) -> Result<bool, NotKnown> {
        let is_of_kind = self.is_kind(part, &["transmitter", "video-transmitter"])?;
        Ok(is_of_kind || self.says(part, "sends")?)
    }

    /// Every band that a part sends on; one of which nothing is known where it only is of
    /// a kind that sends.
    fn sent(&self, part: EntryId) -> Result<Found<Sent>, NotKnown> {
        let mut found = Found::none();
        if !self.is_sender(part)? {
            return Ok(found);
        }
        let entry = self.entry(part)?;
        for fact in entry.all("sends") {
            let [band, power] = ["band", "power"].map(|slot| {
                let value = self.slot(entry, fact, slot);
                value.map(|value| value.and_then(Value::quantity).cloned())
            });
            let (band, power) = (band.unwrap_or(None), power.unwrap_or(None));
            if band.is_none() {
                found.not_known.push(no_band(entry, fact.span));
            }
            found.all.push(Sent { part, line: fact.span, band, power });
        }
        if found.all.is_empty() {
            let line = entry.span();
            found.not_known.push(absent(entry, "sends"));
            found.all.push(Sent { part, line, band: None, power: None });
        }
        Ok(found)
    }

    /// Whether the band and the power of all that a part sends are known.
    pub(crate) fn sent_known(&self, of: &Known) -> Result<Known, NotKnown> {
        let part = id(of)?;
        let title = self.entry(part)?.title();
        let mut found = self.sent(part)?;
        for sent in found.all.iter().filter(|sent| sent.power.is_none()) {
            let says = format!("how strongly {title} sends is not known");
            found.not_known.push(NotKnown::impossible(says, Some(sent.line)));
        }
        found.known(of)
    }

    /// The parts that send, but for one.
    fn senders_but(&self, part: EntryId) -> Result<Vec<EntryId>, NotKnown> {
        let mut all = Vec::new();
        for (other, _) in self.of_word("part").filter(|(other, _)| *other != part) {
            if self.is_sender(other)? {
                all.push(other);
            }
        }
        Ok(all)
    }

    /// A length in the unit of this spec.
    fn long(&self, si: f64, unsure: f64) -> What {
        let length = Quantity::from_si(si, &self.length_unit());
        What::Quantity(length.with_spread_si(unsure))
    }
}

fn no_band(entry: &Entry, line: Span) -> NotKnown {
    let says = format!("the band of {} is not known", entry.title());
    NotKnown::impossible(says, Some(line))
}

/// How unsure a place is, in m: its sides one way or another.
fn unsure(place: &Place) -> f64 {
    let sides = [Some(&place.along), place.across.as_ref(), place.upward.as_ref()];
    let spreads = sides.into_iter().flatten().filter_map(Quantity::spread_si);
    spreads.map(|spread| spread * spread).sum::<f64>().sqrt()
}

/// Two that have nothing to do with each other.
fn both(one: f64, other: f64) -> f64 {
    (one * one + other * other).sqrt()
}

/// The three sides of a box in m, where a size states three.
fn sides(value: Option<&Value>) -> Option<[f64; 3]> {
    let Some(Kind::Size(sizes)) = value.map(|value| &value.kind) else { return None };
    let si: Vec<f64> = sizes.iter().map(Quantity::si).collect();
    <[f64; 3]>::try_from(si).ok()
}

fn at_line(what: What, line: Span) -> Known {
    Known::computed(what, "radio", Some(line))
}

fn flag_at(is_so: bool, line: Span) -> Known {
    at_line(What::Flag(is_so), line)
}

/// A number that may not be known, as a record holds it: whether it is, and what it is.
fn maybe(quantity: Option<Quantity>, unit: &str, line: Span) -> (Known, Known) {
    let is_known = flag_at(quantity.is_some(), line);
    let none = || Quantity::from_si(0.0, &unit_of(unit));
    (is_known, at_line(What::Quantity(quantity.unwrap_or_else(none)), line))
}

fn unit_of(text: &str) -> Unit {
    Unit::read(text).unwrap_or_else(Facts::percent)
}

fn list_of(all: Vec<Known>, name: &str, of: &Known) -> Known {
    Known::computed(What::List(Rc::new(all)), name, of.span)
}
