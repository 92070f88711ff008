//! What records add up to: readings, tares and changes of equipment, as signed items over
//! variables that each stand for one number of the text.

use trimsheet_model::quantity::Quantity;
use trimsheet_model::{Entry, EntryId, Fact, Value};
use trimsheet_physics::balance::{Balance, Item, Term};
use trimsheet_physics::weighing::{self, Reading};

use super::Base;
use crate::facts::{Facts, absent};
use crate::known::NotKnown;
use crate::loadout::{Aboard, Fitted, Fitter, Variable};
use crate::stowed::{State, Stowed};

/// A sum of items, in the order in which a person would write it down.
pub(crate) struct Sheet {
    pub(crate) fitted: Fitted,
    /// How many items at the beginning are the loadout as the list has it.
    listed: usize,
    /// From which item on equipment was changed.
    changed: usize,
}

/// How the step of a tare begins.
const TARE: &str = "tare";

/// One line of a sum as a person reads it.
pub(crate) struct Net<'a> {
    pub(crate) name: &'a str,
    /// The station, in m aft of the datum.
    pub(crate) along: f64,
    /// What was shown, or is put on; less than none for what is taken off. In kg.
    pub(crate) gross: f64,
    /// The tare in it, with the other sign, in kg.
    pub(crate) tare: Option<f64>,
}

impl Net<'_> {
    /// The mass that counts, in kg.
    pub(crate) fn mass(&self) -> f64 {
        self.gross + self.tare.unwrap_or(0.0)
    }
}

impl Sheet {
    /// The records' sum, and what differs in a loadout.
    pub(crate) fn of_changes(
        facts: &Facts,
        base: Base,
        loadout: EntryId,
    ) -> Result<Sheet, NotKnown> {
        Writer::new(facts, base, loadout)?.changes()
    }

    /// The same sum, made up of all that the list has in a loadout, what the records say,
    /// and all that the list had then, taken away.
    pub(crate) fn of_list(
        facts: &Facts,
        base: Base,
        loadout: EntryId,
    ) -> Result<Sheet, NotKnown> {
        Writer::new(facts, base, loadout)?.whole()
    }

    /// The masses alone, and what differs in a loadout.
    pub(crate) fn of_mass(
        facts: &Facts,
        record: EntryId,
        loadout: EntryId,
    ) -> Result<Sheet, NotKnown> {
        let base = Base { mass: record, place: record };
        let writer = Writer::of_mass(facts, base, loadout)?;
        writer.is_stated(&writer.flown, None)?;
        writer.masses()
    }

    /// What the scales of one record showed, less the tares.
    pub(crate) fn of_scales(facts: &Facts, record: EntryId) -> Result<Sheet, NotKnown> {
        let mut writer = Writer::bare(facts, Base { mass: record, place: record });
        let nowhere = [writer.fitter.fixed(); 3];
        writer.total(nowhere)?;
        Ok(writer.sheet(0, usize::MAX))
    }

    /// What the records say, before anything is changed or levelled.
    pub(crate) fn as_it_was(facts: &Facts, base: Base) -> Result<Sheet, NotKnown> {
        let mut writer = Writer::bare(facts, base);
        if base.mass != base.place {
            writer.weighed = facts.stowed(then(facts, base.mass)?)?;
            writer.balanced = facts.stowed(then(facts, base.place)?)?;
        }
        writer.measured()?;
        Ok(writer.sheet(0, usize::MAX))
    }

    /// What the scales of one record showed, less all that the list has for it.
    pub(crate) fn of_list_masses(
        facts: &Facts,
        record: EntryId,
    ) -> Result<Sheet, NotKnown> {
        let base = Base { mass: record, place: record };
        let mut writer = Writer::of_mass(facts, base, facts.record_loadout(record)?)?;
        let nowhere = [writer.fitter.fixed(); 3];
        writer.total(nowhere)?;
        let weighed = writer.weighed.clone();
        writer.weight_changes(&weighed, &[], nowhere)?;
        Ok(writer.sheet(0, usize::MAX))
    }

    /// Where it all balances.
    pub(crate) fn balance(&self) -> Result<Balance, NotKnown> {
        let items: Vec<Item> = self.fitted.items.iter().map(|line| line.item).collect();
        self.fitted.balance_of(&items)
    }

    /// What it all weighs, and the spread of that.
    pub(crate) fn mass(&self) -> (f64, f64) {
        self.mass_of(&self.fitted.items)
    }

    /// How much more the records say than the list: what is not listed.
    pub(crate) fn unlisted_mass(&self) -> (f64, f64) {
        self.mass_of(self.fitted.items.get(self.listed..).unwrap_or(&[]))
    }

    /// How much further aft the records say it balances than the list does.
    pub(crate) fn unlisted_shift(&self) -> Result<(f64, f64), NotKnown> {
        let listed = self.fitted.items.iter().take(self.listed);
        let items: Vec<Item> = listed.map(|line| line.item).collect();
        let list = self.fitted.balance_of(&items)?;
        Ok(weighing::apart(&self.balance()?, &list, &self.spreads()))
    }

    /// The lines that a person would write.
    pub(crate) fn steps(&self) -> impl Iterator<Item = &Aboard> {
        self.fitted.items.iter().filter(|line| !line.name.is_empty())
    }

    /// The same as a person reads it: a tare together with the reading that it was part of.
    pub(crate) fn net(&self) -> impl Iterator<Item = Net<'_>> {
        let mut steps = self.steps().peekable();
        std::iter::from_fn(move || {
            let step = steps.next()?;
            let ([along, ..], gross) = (step.item.at, step.item.mass.value);
            let tare = steps.next_if(|next| next.name.starts_with(TARE));
            let tare = tare.map(|tare| tare.item.mass.value);
            Some(Net { name: &step.name, along: along.value, gross, tare })
        })
    }

    /// What was taken off and put on since.
    pub(crate) fn changes(&self) -> impl Iterator<Item = &Aboard> {
        self.fitted.items.iter().skip(self.changed)
    }

    fn mass_of(&self, lines: &[Aboard]) -> (f64, f64) {
        let terms: Vec<Term> = lines.iter().map(|line| line.item.mass).collect();
        weighing::total(&terms, &self.spreads())
    }

    fn spreads(&self) -> Vec<f64> {
        self.fitted.variables.iter().map(|variable| variable.spread).collect()
    }
}

struct Writer<'a> {
    facts: &'a Facts,
    base: Base,
    fitter: Fitter<'a>,
    /// What was aboard when it was weighed, and when it was balanced.
    weighed: Vec<Stowed<'a>>,
    balanced: Vec<Stowed<'a>>,
    /// What is aboard as the loadout flies.
    flown: Vec<Stowed<'a>>,
}

impl<'a> Writer<'a> {
    fn new(facts: &'a Facts, base: Base, loadout: EntryId) -> Result<Self, NotKnown> {
        let writer = Writer::of_mass(facts, base, loadout)?;
        writer.is_stated(&writer.flown, None)?;
        writer.has_places(&writer.balanced, Some(base.place))?;
        writer.has_places(&writer.flown, None)?;
        Ok(writer)
    }

    fn of_mass(facts: &'a Facts, base: Base, loadout: EntryId) -> Result<Self, NotKnown> {
        let writer = Writer {
            weighed: facts.stowed(then(facts, base.mass)?)?,
            balanced: facts.stowed(then(facts, base.place)?)?,
            flown: facts.stowed(State::flown(loadout))?,
            ..Writer::bare(facts, base)
        };
        writer.is_stated(&writer.weighed, Some(base.mass))?;
        writer.is_stated(&writer.balanced, Some(base.place))?;
        Ok(writer)
    }

    /// Nothing but the records.
    fn bare(facts: &'a Facts, base: Base) -> Self {
        let (weighed, balanced, flown) = (Vec::new(), Vec::new(), Vec::new());
        Writer { facts, base, fitter: Fitter::new(facts), weighed, balanced, flown }
    }

    fn sheet(self, listed: usize, changed: usize) -> Sheet {
        Sheet { fitted: self.fitter.out, listed, changed }
    }

    fn changes(mut self) -> Result<Sheet, NotKnown> {
        self.measured()?;
        self.attitude()?;
        let changed = self.fitter.out.items.len();
        let off = beyond(&self.balanced, &self.flown, Stowed::key);
        let on = beyond(&self.flown, &self.balanced, Stowed::key);
        for stowed in &off {
            self.take_off(stowed, "take off")?;
        }
        for stowed in &on {
            self.put_on(stowed, "put on")?;
        }
        Ok(self.sheet(0, changed))
    }

    fn whole(mut self) -> Result<Sheet, NotKnown> {
        for stowed in &self.flown.clone() {
            self.fitter.take(stowed)?;
        }
        let listed = self.fitter.out.items.len();
        self.measured()?;
        self.attitude()?;
        let changed = self.fitter.out.items.len();
        for stowed in &self.balanced.clone() {
            self.take_off(stowed, "")?;
        }
        Ok(self.sheet(listed, changed))
    }

    fn masses(mut self) -> Result<Sheet, NotKnown> {
        let nowhere = [self.fitter.fixed(); 3];
        self.total(nowhere)?;
        let changed = self.fitter.out.items.len();
        let (weighed, flown) = (self.weighed.clone(), self.flown.clone());
        self.weight_changes(&weighed, &flown, nowhere)?;
        Ok(self.sheet(0, changed))
    }

    /// What stood on scales or hung between them, at its places.
    fn measured(&mut self) -> Result<(), NotKnown> {
        let Base { mass, place } = self.base;
        if self.facts.reads_points(place)? {
            return self.points();
        }
        let entry = self.facts.entry(place)?;
        let is_stand = self.facts.says(place, "at")?;
        let word = if is_stand { "at" } else { "rests" };
        let fact = self.facts.fact(place, word)?.ok_or_else(|| {
            let called = self.facts.called(place);
            let says = format!(
                "{called} does not say where its other end rested: rests at PLACE"
            );
            NotKnown::impossible(says, Some(entry.span()))
        })?;
        let slot = if is_stand { "place" } else { "at" };
        let at = self.facts.slot(entry, fact, slot)?;
        let at = at.ok_or_else(|| absent(entry, "place"))?;
        let name = self.loadout_name(place);
        let name = if is_stand { name } else { "the rest".to_owned() };
        let carried = self.fitter.stated(&name, at)?;
        self.total(carried)?;
        if mass != place {
            let (weighed, balanced) = (self.weighed.clone(), self.balanced.clone());
            self.weight_changes(&weighed, &balanced, carried)?;
        }
        if is_stand { Ok(()) } else { self.hook(carried) }
    }

    /// Several readings, each at its place.
    fn points(&mut self) -> Result<(), NotKnown> {
        let record = self.base.place;
        for (number, fact) in (1..).zip(self.readings(record)?) {
            let (name, reading) = self.reading(record, fact, number)?;
            let [mass, tare] = [name.clone(), format!("{TARE} {name}")];
            let names = [mass, tare];
            for (name, item) in names.into_iter().zip(weighing::standing(&reading)) {
                self.line(record, name, item, fact)?;
            }
        }
        Ok(())
    }

    /// The end that hung from a scale.
    fn hook(&mut self, rest: [Term; 3]) -> Result<(), NotKnown> {
        let record = self.base.place;
        let fact = self.facts.must(record, "hangs")?;
        let (_, reading) = self.reading(record, fact, 0)?;
        let names: &[&str] = match reading.tare {
            Some(_) => &[
                "on the hook",
                "tare on the hook",
                "so off the rest",
                "tare off the rest",
            ],
            None => &["on the hook", "so off the rest"],
        };
        for (name, item) in names.iter().zip(weighing::hanging(&reading, rest)) {
            self.line(record, (*name).to_owned(), item, fact)?;
        }
        Ok(())
    }

    /// What it weighed all together, carried at one place.
    fn total(&mut self, at: [Term; 3]) -> Result<(), NotKnown> {
        let record = self.base.mass;
        let entry = self.facts.entry(record)?;
        let mut lines: Vec<(String, Term, &Fact)> = Vec::new();
        if self.facts.reads_points(record)? {
            for (number, fact) in (1..).zip(self.readings(record)?) {
                let (name, reading) = self.reading(record, fact, number)?;
                let tare = reading.tare.map(Term::negated);
                let tare = tare.map(|tare| (format!("{TARE} {name}"), tare, fact));
                lines.push((name, reading.mass, fact));
                lines.extend(tare);
            }
        } else {
            let fact = self.facts.must(record, "mass")?;
            let name = self.loadout_name(record);
            let mass = self.facts.slot(entry, fact, "mass")?;
            let mass = mass.ok_or_else(|| absent(entry, "mass"))?;
            lines.push((name.clone(), self.fitter.mass(&name, mass, 1.0)?, fact));
            if let Some(tare) = self.facts.slot(entry, fact, "tare")? {
                let tare = self.fitter.mass("the tare", tare, 1.0)?.negated();
                lines.push(("tare".to_owned(), tare, fact));
            }
        }
        for (name, mass, fact) in lines {
            self.line(record, name, Item { mass, at, size: None }, fact)?;
        }
        Ok(())
    }

    /// Masses that were aboard then and are not now, and the other way, at one place.
    fn weight_changes(
        &mut self,
        then: &[Stowed<'a>],
        now: &[Stowed<'a>],
        at: [Term; 3],
    ) -> Result<(), NotKnown> {
        let off = beyond(then, now, Stowed::weight_key)
            .into_iter()
            .map(|stowed| (stowed, true));
        let on = beyond(now, then, Stowed::weight_key)
            .into_iter()
            .map(|stowed| (stowed, false));
        for (stowed, is_off) in off.chain(on) {
            let (name, mass, value) = self.fitter.weight(&stowed)?;
            let verb = if is_off == stowed.is_missing { "put on" } else { "take off" };
            let mass = if is_off { mass.negated() } else { mass };
            self.fitter.out.items.push(Aboard {
                entry: self.base.mass,
                name: format!("{verb} {name}"),
                item: Item { mass, at, size: None },
                placed: value.span,
                mass: value,
                is_ballast: false,
            });
        }
        Ok(())
    }

    /// What it would be level, if it hung nose down.
    fn attitude(&mut self) -> Result<(), NotKnown> {
        let record = self.base.place;
        let Some(fact) = self.facts.fact(record, "nose-down")? else { return Ok(()) };
        let entry = self.facts.entry(record)?;
        let Some(value) = self.facts.slot(entry, fact, "angle")? else { return Ok(()) };
        let Some(angle) = value.quantity() else { return Ok(()) };
        let mut list = Fitter::new(self.facts);
        for stowed in &self.balanced {
            list.take(stowed)?;
        }
        let listed = list.out.balance(&[])?;
        let lines = self.fitter.out.items.iter();
        let own: Vec<Item> = lines
            .filter(|line| line.entry == record || line.entry == self.base.mass)
            .map(|line| line.item)
            .collect();
        let stood = self.fitter.out.balance_of(&own)?;
        let ([.., z], [.., spread]) = (listed.at, listed.at_spread);
        let ([.., support], [.., support_spread]) = (stood.at, stood.at_spread);
        let (height, unsure) =
            (z - support, (spread * spread + support_spread * support_spread).sqrt());
        let (turn, turn_spread) = (angle.si(), angle.spread_si().unwrap_or(0.0));
        let by = weighing::swing(height, turn);
        let spread = weighing::swing_spread(height, unsure, turn, turn_spread);
        self.swing(stood.mass, by, spread, value, angle)
    }

    /// A couple that moves the balance point by so much and weighs nothing.
    fn swing(
        &mut self,
        mass: f64,
        by: f64,
        spread: f64,
        value: &Value,
        angle: &Quantity,
    ) -> Result<(), NotKnown> {
        let fixed = self.fitter.fixed();
        self.fitter.out.variables.push(Variable {
            says: "how far nose down it was, and how high it balances".into(),
            act: "level it and measure again".into(),
            span: Some(value.span),
            via: value.via,
            spread,
            source: None,
            assumed: false,
        });
        let variable = self.fitter.out.variables.len() - 1;
        let fact = self.facts.must(self.base.place, "nose-down")?;
        let by = Term { value: by, variable, weight: 1.0 };
        let there = [Term { value: mass, ..fixed }, Term { value: -mass, ..fixed }];
        let names = [format!("levelled from {angle} nose down"), String::new()];
        let places = [[by, fixed, fixed], [fixed; 3]];
        for ((name, mass), at) in names.into_iter().zip(there).zip(places) {
            self.line(self.base.place, name, Item { mass, at, size: None }, fact)?;
        }
        Ok(())
    }

    /// The readings of a record, of which one alone says nothing.
    fn readings(&self, record: EntryId) -> Result<Vec<&'a Fact>, NotKnown> {
        let entry = self.facts.entry(record)?;
        let all: Vec<&Fact> = entry.all("reading").collect();
        if all.len() < 2 {
            let says = format!(
                "{} has one reading: what the other points carried is not said",
                self.facts.called(record)
            );
            return Err(NotKnown::impossible(says, Some(entry.span())));
        }
        Ok(all)
    }

    /// What one scale showed, and what a step calls it.
    fn reading(
        &mut self,
        record: EntryId,
        fact: &Fact,
        number: usize,
    ) -> Result<(String, Reading), NotKnown> {
        let entry = self.facts.entry(record)?;
        let point = match (self.facts.slot(entry, fact, "point")?, number) {
            (Some(point), _) => point.text().unwrap_or("point").to_owned(),
            (None, 0) => "the hook".to_owned(),
            (None, number) => format!("point {number}"),
        };
        let lacks = |what: &str| absent(entry, &format!("{what} at {point}"));
        let mass = self.facts.slot(entry, fact, "mass")?;
        let mass = mass.ok_or_else(|| lacks("mass"))?;
        let at = self.facts.slot(entry, fact, "at")?.ok_or_else(|| lacks("place"))?;
        let name = format!("{} on {point}", self.loadout_name(record));
        let tare = self.facts.slot(entry, fact, "tare")?;
        let of_tare = format!("the tare on {point}");
        let tare = tare.map(|tare| self.fitter.mass(&of_tare, tare, 1.0)).transpose()?;
        let mass = self.fitter.mass(&name, mass, 1.0)?;
        let at = self.fitter.stated(&point, at)?;
        Ok((format!("on {point}"), Reading { mass, tare, at }))
    }

    fn loadout_name(&self, record: EntryId) -> String {
        let loadout = self.facts.record_loadout(record).ok();
        let entry = loadout.and_then(|loadout| self.facts.build.entry(loadout));
        entry.map_or_else(|| "it".to_owned(), |entry| entry.name.clone())
    }

    fn line(
        &mut self,
        record: EntryId,
        name: String,
        item: Item,
        fact: &Fact,
    ) -> Result<(), NotKnown> {
        let entry = self.facts.entry(record)?;
        let mass = fact.first().ok_or_else(|| absent(entry, fact.row.word))?.clone();
        self.fitter.out.items.push(Aboard {
            entry: record,
            name,
            item,
            mass,
            placed: fact.span,
            is_ballast: false,
        });
        Ok(())
    }

    fn put_on(&mut self, stowed: &Stowed<'_>, verb: &str) -> Result<(), NotKnown> {
        self.fitter.take(stowed)?;
        if let Some(last) = self.fitter.out.items.last_mut() {
            last.name = format!("{verb} {}", last.name);
        }
        Ok(())
    }

    /// Takes away what was aboard; the record that says so stands for it from then on.
    fn take_off(&mut self, stowed: &Stowed<'_>, verb: &str) -> Result<(), NotKnown> {
        self.fitter.take(stowed)?;
        let record = self.base.place;
        let span = self.facts.entry(record)?.span();
        let verb = match (verb, stowed.is_missing) {
            ("", _) => "",
            (_, true) => "put back",
            (verb, false) => verb,
        };
        if let Some(last) = self.fitter.out.items.last_mut() {
            last.item = last.item.taken_away();
            last.entry = record;
            last.placed = span;
            last.is_ballast = false;
            last.name = if verb.is_empty() {
                String::new()
            } else {
                format!("{verb} {}", last.name)
            };
        }
        Ok(())
    }

    /// That it is stated of everything whether it was aboard.
    fn is_stated(
        &self,
        stowed: &[Stowed<'_>],
        record: Option<EntryId>,
    ) -> Result<(), NotKnown> {
        let Some(open) = stowed.iter().find(|stowed| stowed.is_open) else {
            return Ok(());
        };
        let part = self.facts.entry(open.entry)?;
        let says = match record {
            Some(record) => {
                let called = self.facts.called(record);
                format!("{called} does not say with or without {}", part.name)
            }
            None => format!("with or without {} is not stated", part.name),
        };
        let span = record.and_then(|record| self.facts.build.entry(record));
        Err(NotKnown::impossible(says, Some(span.unwrap_or(part).span())))
    }

    /// That nothing lies somewhere in a slide.
    fn has_places(
        &self,
        stowed: &[Stowed<'_>],
        record: Option<EntryId>,
    ) -> Result<(), NotKnown> {
        for one in stowed.iter().filter(|one| one.at.is_none() && one.lead.is_none()) {
            let slides = self.facts.entry(one.entry)?.row.word != "assembly"
                && self.facts.says(one.entry, "slides")?;
            if !slides || self.facts.says(one.entry, "at")? {
                continue;
            }
            let part = self.facts.entry(one.entry)?;
            let says = match record {
                Some(record) => {
                    let called = self.facts.called(record);
                    format!("{called} does not say where in its slide {} was", part.name)
                }
                None => format!("the place of {} in its slide is not stated", part.name),
            };
            let span = record.and_then(|record| self.facts.build.entry(record));
            return Err(NotKnown::impossible(says, span.or(Some(part)).map(Entry::span)));
        }
        Ok(())
    }
}

/// How it was for a record.
fn then(facts: &Facts, record: EntryId) -> Result<State, NotKnown> {
    Ok(State { loadout: facts.record_loadout(record)?, record: Some(record) })
}

/// What is among these and not among those.
pub(crate) fn beyond<'a, K: PartialEq>(
    these: &[Stowed<'a>],
    those: &[Stowed<'a>],
    key: impl Fn(&Stowed<'a>) -> K,
) -> Vec<Stowed<'a>> {
    let is_other = |one: &&Stowed<'a>| those.iter().all(|other| key(other) != key(one));
    these.iter().filter(is_other).copied().collect()
}
