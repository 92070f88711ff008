//! By what name a rule reaches what it wants to know.
//!
//! First what the entry says, by the vocabulary, then what follows, by the table of
//! computed facts; a dash in a word is an underscore in a rule. Behind a value, the other
//! slots of its line, and then what every value of its kind has.

use std::rc::Rc;

use trimsheet_model::quantity::{Axis, Dimension, Quantity, Side, Unit};
use trimsheet_model::source::nearest;
use trimsheet_model::vocabulary::{self, Need, Row, Slot, Takes};
use trimsheet_model::{Entry, EntryId, Fact, Kind, Place, Unknown, Value};

use crate::computed;
use crate::facts::{Facts, absent};
use crate::gives::rule_name;
use crate::known::{Beside, Known, NotKnown, What, Why};

impl Facts {
    /// Finds what something has by this name.
    ///
    /// # Errors
    /// What is not known or not said, with its line, or that there is no such name.
    pub fn of(&self, known: &Known, name: &str) -> Result<Known, NotKnown> {
        match &known.what {
            What::Build => self.of_build(known, name),
            What::Entry(id) => {
                // `ballast nose 20 g`: its bay stands for the line, whose other slots come first.
                if let Some(found) = self.other_slot(known, name)? {
                    return Ok(found);
                }
                self.of_entry(known, *id, name)
            }
            What::Record(fields) => known.field(name).cloned().ok_or_else(|| {
                no_such(
                    &known.name,
                    name,
                    fields.iter().map(|(field, _)| (*field).to_owned()),
                )
            }),
            What::Quantity(_)
            | What::Range(..)
            | What::Place(_)
            | What::Size(_)
            | What::Words(_)
            | What::Date(_)
            | What::Count(_)
            | What::Flag(_)
            | What::List(_)
            | What::Unknown(_) => self.of_value(known, name),
        }
    }

    /// Whether something says a word or has a slot, be its value known or not.
    ///
    /// # Errors
    /// That the line may have said it but could not be read, or that there is no such name.
    pub fn has(&self, known: &Known, name: &str) -> Result<bool, NotKnown> {
        match self.of(known, name) {
            Ok(Known { what: What::Flag(said), .. }) => Ok(said),
            Ok(_) => Ok(true),
            Err(NotKnown { why: Why::Absent, .. }) => Ok(false),
            Err(NotKnown { why: Why::Unknown(Unknown::Damaged), says, span }) => {
                Err(NotKnown { why: Why::Unknown(Unknown::Damaged), says, span })
            }
            Err(NotKnown { why: Why::Unknown(_), .. }) => Ok(true),
            Err(other) => Err(other),
        }
    }

    /// Whether an entry says a fact of the vocabulary, by its name in rules, or may have
    /// said it where its line could not be read; a loadout falls back on the wing.
    ///
    /// What is no entry, or knows no such fact, is not left out by this.
    pub fn may_say(&self, known: &Known, name: &str) -> bool {
        let What::Entry(id) = known.what else { return true };
        let Ok(entry) = self.entry(id) else { return true };
        let row = self.build.vocabulary.fact_called(entry.row.word, name);
        let Some(row) = row else { return true };
        let is_said = |id| self.fact(id, row.word).map_or(true, |fact| fact.is_some());
        let wing = || self.of_word("wing").next();
        let falls_back = entry.row.word == "loadout" && row.fits("wing");
        is_said(id) || falls_back && wing().is_some_and(|(wing, _)| is_said(wing))
    }

    fn of_build(&self, build: &Known, name: &str) -> Result<Known, NotKnown> {
        if let Some(row) = computed::find("build", name) {
            return (row.work)(self, build);
        }
        let word = name.replace('_', "-");
        if vocabulary::entry(&word).is_some() {
            let first = self.of_word(&word).next();
            let (id, _) = first.ok_or_else(|| NotKnown {
                why: Why::Absent,
                says: format!("the spec has no {word}"),
                span: self.build.whole,
            })?;
            return Ok(self.known_entry(id));
        }
        if let Some(word) =
            word.strip_suffix('s').filter(|word| vocabulary::entry(word).is_some())
        {
            let all = self.of_word(word).map(|(id, _)| self.known_entry(id)).collect();
            return Ok(Known::computed(What::List(Rc::new(all)), name, self.build.whole));
        }
        let words =
            vocabulary::entry_words().flat_map(|word| [word.into(), format!("{word}s")]);
        Err(no_such("build", name, words.chain(computed::names("build"))))
    }

    fn of_entry(
        &self,
        known: &Known,
        id: EntryId,
        name: &str,
    ) -> Result<Known, NotKnown> {
        let entry = self.entry(id)?;
        let kind = entry.row.word;
        if let Some(row) = computed::find(kind, name) {
            return (row.work)(self, known);
        }
        if let Some(row) = self.build.vocabulary.fact_called(kind, name) {
            return if row.often {
                self.all_said(id, entry, row)
            } else {
                self.said(id, entry, row)
            };
        }
        let words = self.build.vocabulary.facts(kind).map(rule_name);
        Err(no_such(&entry.title(), name, words.chain(computed::names(kind))))
    }

    /// What an entry says under a word; a loadout falls back on the wing.
    fn said(
        &self,
        id: EntryId,
        entry: &Entry,
        row: &'static Row,
    ) -> Result<Known, NotKnown> {
        let said = self.fact(id, row.word)?;
        let Some(fact) = said else {
            if row.slots.is_empty() {
                return Ok(Known::computed(
                    What::Flag(false),
                    row.word,
                    Some(entry.span()),
                ));
            }
            let wing = self.of_word("wing").next();
            if let (true, "loadout", Some((wing, surface))) =
                (row.fits("wing"), entry.row.word, wing)
            {
                return self.said(wing, surface, row);
            }
            return Err(absent(entry, row.word));
        };
        let index = entry.facts.iter().position(|one| std::ptr::eq(one, fact));
        self.value(id, index.unwrap_or(0), 0)
    }

    fn all_said(
        &self,
        id: EntryId,
        entry: &Entry,
        row: &'static Row,
    ) -> Result<Known, NotKnown> {
        self.fact(id, row.word)?;
        let facts =
            entry.facts.iter().enumerate().filter(|(_, fact)| fact.row.word == row.word);
        let all: Result<Vec<Known>, NotKnown> =
            facts.map(|(index, _)| self.value(id, index, 0)).collect();
        Ok(Known::computed(What::List(Rc::new(all?)), row.word, Some(entry.span())))
    }

    /// A value of a fact, as a rule meets it.
    pub(crate) fn value(
        &self,
        id: EntryId,
        fact: usize,
        value: usize,
    ) -> Result<Known, NotKnown> {
        let entry = self.entry(id)?;
        let said =
            entry.facts.get(fact).ok_or_else(|| NotKnown::no_such("no such fact"))?;
        if said.row.slots.is_empty() {
            return Ok(Known::computed(What::Flag(true), said.row.word, Some(said.span)));
        }
        let Some((_, found)) = said.values.get(value) else {
            return Err(absent(entry, said.row.word));
        };
        self.known_value(entry, said, found)?;
        let what = self.what(found);
        let named = if let What::Entry(id) = what { self.build.entry(id) } else { None };
        let named = named.map(|entry| entry.name.clone());
        let mut known =
            described(entry, said, found, what, Beside { entry: id, fact, value });
        // What a line refers to is called by its own name.
        if let Some(named) = named {
            known.name = named;
        }
        Ok(known)
    }

    fn what(&self, value: &Value) -> What {
        match &value.kind {
            Kind::Quantity(quantity) | Kind::Load(quantity, _) => {
                What::Quantity(quantity.clone())
            }
            Kind::Range(low, high) => What::Range(low.clone(), high.clone()),
            Kind::Place(place) => What::Place(place.clone()),
            Kind::Size(sizes) => What::Size(sizes.clone()),
            Kind::Count(count) => What::Count(i64::from(*count)),
            Kind::Reference(_, ids) => match ids.as_slice() {
                [only] => What::Entry(*only),
                several => {
                    let all = several.iter().map(|id| self.known_entry(*id));
                    What::List(Rc::new(all.collect()))
                }
            },
            Kind::Name(text) | Kind::Rule(text) | Kind::Text(text) => {
                What::Words(text.clone())
            }
            Kind::Word(word) => What::Words((*word).to_owned()),
            Kind::Date(date) => What::Date(*date),
            Kind::Way(from, to, _) => What::Words(format!("{from} -> {to}")),
            Kind::Unknown(why) => What::Unknown(*why),
        }
    }

    fn of_value(&self, known: &Known, name: &str) -> Result<Known, NotKnown> {
        if let Some(beside) = known.beside
            && let Some(found) = self.beside(beside, name)?
        {
            return Ok(found);
        }
        let part = |what: What| Known {
            what,
            name: [&known.name, ".", name].concat(),
            ..known.clone()
        };
        let found = match (&known.what, name) {
            (What::Range(low, _), "low") => Some(What::Quantity(low.clone())),
            (What::Range(_, high), "high") => Some(What::Quantity((**high).clone())),
            (What::Range(low, _), "forward") if low.axis() == Some(Axis::Length) => {
                Some(What::Quantity(low.clone()))
            }
            (What::Range(low, high), "aft") if low.axis() == Some(Axis::Length) => {
                Some(What::Quantity((**high).clone()))
            }
            (What::Place(place), "x" | "y" | "z") => Some(on_axis(place, name)),
            (What::Size(sizes), _) => size(sizes, name).map(What::Quantity),
            (What::Date(date), "year") => Some(What::Count(i64::from(date.year))),
            (What::Date(date), "has_hour") => Some(What::Flag(date.time.is_some())),
            (What::Quantity(quantity), "spread") => quantity
                .spread_si()
                .map(|spread| What::Quantity(Quantity::from_si(spread, quantity.unit()))),
            _ => None,
        };
        found.map(part).ok_or_else(|| {
            // Another value of its kind has it: this one does not say it.
            let may_have = matches!(known.what, What::Size(_) | What::Quantity(_));
            if may_have && parts_of(&known.what).contains(&name) {
                let says = format!("{} states no {name}", known.name);
                return NotKnown { why: Why::Absent, says, span: known.span };
            }
            let slots = known.beside.and_then(|beside| {
                self.build.entry(beside.entry)?.facts.get(beside.fact)
            });
            let slots = slots
                .into_iter()
                .flat_map(|fact| fact.row.slots)
                .map(|slot| slot.name.replace('-', "_"));
            let own = parts_of(&known.what).iter().map(|part| (*part).to_owned());
            no_such(&known.name, name, own.chain(slots).chain(computed::names("value")))
        })
    }

    /// Another slot of the line that a reference stands in, where the line has one so called.
    fn other_slot(&self, known: &Known, name: &str) -> Result<Option<Known>, NotKnown> {
        let Some(beside) = known.beside else { return Ok(None) };
        let fact = self.entry(beside.entry)?.facts.get(beside.fact);
        let word = name.replace('_', "-");
        let is_slot =
            fact.is_some_and(|fact| fact.row.slots.iter().any(|slot| slot.name == word));
        if is_slot { self.beside(beside, name) } else { Ok(None) }
    }

    /// Another slot of the line that a value stands in, or what is said about the line.
    fn beside(&self, beside: Beside, name: &str) -> Result<Option<Known>, NotKnown> {
        let entry = self.entry(beside.entry)?;
        let Some(fact) = entry.facts.get(beside.fact) else { return Ok(None) };
        self.note(beside.entry, fact.row.word);
        let Some((_, value)) = fact.values.get(beside.value) else { return Ok(None) };
        if let Some(what) = about_value(self, entry, beside.entry, fact, value, name) {
            let known = described(entry, fact, value, what, beside);
            return Ok(Some(Known { beside: None, ..known }));
        }
        if name == "dated" {
            return dated(entry, fact, value).map(Some);
        }
        let word = name.replace('_', "-");
        let Some(slot) = fact.row.slots.iter().find(|slot| slot.name == word) else {
            return Ok(None);
        };
        let at = fact.values.iter().position(|(of, _)| *of == slot.name);
        match (at, slot.need) {
            (Some(_), Need::Many) => {
                let all = fact
                    .values
                    .iter()
                    .enumerate()
                    .filter(|(_, (of, _))| *of == slot.name);
                let all: Result<Vec<Known>, NotKnown> = all
                    .map(|(at, _)| self.value(beside.entry, beside.fact, at))
                    .collect();
                let list = What::List(Rc::new(all?));
                Ok(Some(Known::computed(list, slot.name, Some(fact.span))))
            }
            (Some(at), _) => self.value(beside.entry, beside.fact, at).map(Some),
            (None, _) => {
                self.slot(entry, fact, slot.name)?;
                let says = format!(
                    "the {} of {} says no {}",
                    fact.row.word,
                    entry.title(),
                    slot.name
                );
                Err(NotKnown { why: Why::Absent, says, span: Some(fact.span) })
            }
        }
    }

    /// The parts of a kind; what else there is was not read.
    ///
    /// # Errors
    /// That no kind has this name, or that the kind of some part could not be read.
    pub fn parts_of_kind(&self, word: &str) -> Result<Vec<Known>, NotKnown> {
        let Some(kind) = vocabulary::part_kind(word) else {
            let all = vocabulary::part_kinds().iter().map(|word| (*word).to_owned());
            return Err(no_such("kind", word, all));
        };
        self.note_kind(kind);
        let (found, _) = self.watch(|| {
            let mut found = Vec::new();
            for (id, part) in self.of_word("part") {
                if self.fact(id, "kind")?.is_some() && part.kind() == Some(kind) {
                    found.push(self.known_entry(id));
                }
            }
            Ok(found)
        });
        found
    }

    /// Gathers what [`Facts::values`] gives.
    pub(crate) fn gathered_values(&self) -> Vec<Known> {
        let mut values: Vec<Known> = Vec::new();
        let mut seen = std::collections::BTreeSet::new();
        for (id, entry) in self.build.aboard() {
            for (index, fact) in entry.facts.iter().enumerate() {
                for (at, (slot, value)) in fact.values.iter().enumerate() {
                    let takes = fact.row.slots.iter().find(|one| one.name == *slot);
                    let counts = takes.is_some_and(|slot| slot.takes.is_measured());
                    if counts && seen.insert(value.span) {
                        let beside = Beside { entry: id, fact: index, value: at };
                        values.push(described(
                            entry,
                            fact,
                            value,
                            self.what(value),
                            beside,
                        ));
                    }
                }
            }
        }
        values
    }
}

fn described(
    entry: &Entry,
    fact: &Fact,
    value: &Value,
    what: What,
    beside: Beside,
) -> Known {
    Known {
        what,
        name: [&entry.name, ".", fact.row.word].concat(),
        span: Some(value.span),
        via: value.via,
        source: value.source.as_ref().map(|source| source.word),
        owner: None,
        beside: Some(beside),
    }
}

/// What every value of a line can say of itself; the table of computed facts lists it.
fn about_value(
    facts: &Facts,
    entry: &Entry,
    id: EntryId,
    fact: &Fact,
    value: &Value,
    name: &str,
) -> Option<What> {
    let unknown = |why: Unknown| matches!(value.kind, Kind::Unknown(is) if is == why);
    Some(match name {
        "entry" => What::Entry(id),
        "fact" => What::Words(fact.row.word.to_owned()),
        "of" => What::Words(entry.title()),
        "called" => What::Words(called(fact, slot_of(fact, value)?)),
        "has_source" => What::Flag(value.source.is_some()),
        "source" => {
            let source = value.source.as_ref();
            What::Words(source.map_or("no source", |source| source.word).to_owned())
        }
        "has_instrument" => {
            What::Flag(value.source.as_ref().is_some_and(|source| source.on.is_some()))
        }
        "is_assumed" => What::Flag(value.assumed),
        "is_about" => What::Flag(value.about),
        "is_unknown" => What::Flag(value.about || unknown(Unknown::Written)),
        "is_known" => What::Flag(!matches!(value.kind, Kind::Unknown(_))),
        "has_no_unit" => What::Flag(unknown(Unknown::NoUnit)),
        "wants" => What::Words(facts.wants(slot_of(fact, value)?)),
        "wants_only_a_unit" => What::Flag(wants_only_a_unit(slot_of(fact, value)?)),
        "is_needed" => {
            What::Flag(fact.row.since.is_some_and(|since| since <= facts.stage))
        }
        "is_needed_later" => What::Flag(fact.row.since.is_some()),
        "needed_from" => What::Words(
            fact.row.since.map_or("no stage", |since| since.word()).to_owned(),
        ),
        _ => return None,
    })
}

/// The day that the source of a value states.
fn dated(entry: &Entry, fact: &Fact, value: &Value) -> Result<Known, NotKnown> {
    let source = value.source.as_ref();
    let found = source.and_then(|source| Some((source.date?, source.span)));
    let (date, span) = found.ok_or_else(|| NotKnown {
        why: Why::Absent,
        says: format!(
            "the {} of {} does not say of which day it is",
            fact.row.word,
            entry.title()
        ),
        span: Some(value.via.unwrap_or(value.span)),
    })?;
    Ok(Known::computed(What::Date(date), format!("{}.dated", entry.name), Some(span)))
}

/// The slot of a fact that a value of it fills.
fn slot_of(fact: &Fact, value: &Value) -> Option<&'static Slot> {
    let (name, _) = fact.values.iter().find(|(_, own)| own.span == value.span)?;
    fact.row.slots.iter().find(|slot| slot.name == *name)
}

/// What a message calls a value of a slot: `mass`, `place`, `rib chord`.
fn called(fact: &Fact, slot: &Slot) -> String {
    let word = fact.row.word;
    match (slot.takes, slot.led) {
        (Takes::Place, _) => "place".to_owned(),
        (Takes::Load, _) => "current".to_owned(),
        (_, true) => format!("{word} {}", slot.name),
        (_, false) if word == "slides" => "slide".to_owned(),
        (_, false)
            if fact.row.slots.first().is_some_and(|first| first.name != slot.name) =>
        {
            format!("{word} {}", slot.name)
        }
        (_, false) => word.to_owned(),
    }
}

/// Whether a number in this slot is whole once it has one unit, and no side.
fn wants_only_a_unit(slot: &Slot) -> bool {
    match slot.takes {
        Takes::Quantity(dimensions) => dimensions.len() == 1,
        Takes::Range(_) | Takes::Size => true,
        Takes::Sided(..)
        | Takes::SidedRange(..)
        | Takes::Place
        | Takes::Load
        | Takes::Count
        | Takes::Name
        | Takes::Reference(_)
        | Takes::Rule
        | Takes::Word(_)
        | Takes::Text
        | Takes::Date
        | Takes::Arrow => false,
    }
}

impl Facts {
    /// What a builder would write behind a number in a slot, in this spec's own units.
    fn wants(&self, slot: &Slot) -> String {
        let unit = |dimension: Dimension| match dimension {
            Dimension::LENGTH => self.length_unit().text().to_owned(),
            Dimension::MASS => self.mass_unit().text().to_owned(),
            other => Unit::for_dimension(other).text().to_owned(),
        };
        let sided = |dimension: Dimension, axes: &[Axis]| {
            let sides = Side::ALL.iter().filter(|side| axes.contains(&side.axis()));
            let sides = sides.map(|side| format!("{} {}", unit(dimension), side.word()));
            sides.collect::<Vec<_>>().join(" or ")
        };
        match slot.takes {
            Takes::Quantity(dimensions) => {
                let units = dimensions.iter().map(|dimension| unit(*dimension));
                units.collect::<Vec<_>>().join(" or ")
            }
            Takes::Range(dimension) => unit(dimension),
            Takes::Sided(dimensions, axes) => {
                let each = dimensions.iter().map(|dimension| sided(*dimension, axes));
                each.collect::<Vec<_>>().join(" or ")
            }
            Takes::SidedRange(dimension, axes) => sided(dimension, axes),
            Takes::Place => sided(Dimension::LENGTH, &[Axis::Length]),
            Takes::Load => unit(Dimension::CURRENT),
            Takes::Size
            | Takes::Count
            | Takes::Name
            | Takes::Reference(_)
            | Takes::Rule
            | Takes::Word(_)
            | Takes::Text
            | Takes::Date
            | Takes::Arrow => unit(Dimension::LENGTH),
        }
    }
}

/// The parts that a value of this kind has, for suggestions.
fn parts_of(what: &What) -> &'static [&'static str] {
    match what {
        What::Range(..) => &["low", "high", "forward", "aft"],
        What::Place(_) => &["x", "y", "z"],
        What::Size(_) => &["length", "width", "height", "diameter", "pitch"],
        What::Quantity(_) => &["spread"],
        What::Date(_) => &["year", "has_hour"],
        What::Build
        | What::Entry(_)
        | What::Words(_)
        | What::Count(_)
        | What::Flag(_)
        | What::List(_)
        | What::Record(_)
        | What::Unknown(_) => &[],
    }
}

fn on_axis(place: &Place, name: &str) -> What {
    let unit = place.along.unit();
    let middle = |axis| Quantity::new(0.0, unit).with_axis(Some(axis));
    What::Quantity(match name {
        "x" => place.along.clone(),
        "y" => place.across.clone().unwrap_or_else(|| middle(Axis::Side)),
        _ => place.upward.clone().unwrap_or_else(|| middle(Axis::Height)),
    })
}

fn size(sizes: &[Quantity], name: &str) -> Option<Quantity> {
    match (sizes, name) {
        ([length, ..], "length") => Some(length.clone()),
        ([_, width, _], "width") => Some(width.clone()),
        ([_, _, height], "height") => Some(height.clone()),
        ([diameter, _], "diameter") => Some(diameter.clone()),
        ([_, pitch], "pitch") => Some(pitch.clone()),
        _ => None,
    }
}

fn no_such(of: &str, name: &str, known: impl Iterator<Item = String>) -> NotKnown {
    let known: Vec<String> = known.collect();
    let near = nearest(name, known.iter().map(String::as_str));
    let hint = near.map_or(String::new(), |near| format!("; the nearest is `{near}`"));
    NotKnown::no_such(format!("{of} has nothing called `{name}`{hint}"))
}
