//! What a record says of itself: what was measured, what differed from the loadout as it
//! flies, and what the measurement comes to once that is reckoned with.

use std::rc::Rc;

use trimsheet_model::quantity::Quantity;
use trimsheet_model::{EntryId, Value};

use super::sheet::{Sheet, beyond};
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};
use crate::stowed::{State, Stowed};

impl Facts {
    /// The loadout that a record is of, as a rule meets it.
    pub(crate) fn loadout_of(&self, record: EntryId) -> Result<Known, NotKnown> {
        Ok(self.known_entry(self.record_loadout(record)?))
    }

    /// What a message calls a record, as a rule meets it.
    pub(crate) fn called_of(&self, record: EntryId) -> Result<Known, NotKnown> {
        let span = Some(self.entry(record)?.span());
        Ok(Known::computed(What::Words(self.called(record)), "called", span))
    }

    /// Whether a record gives a place, as a rule meets it.
    pub(crate) fn places_it(&self, record: EntryId) -> Result<Known, NotKnown> {
        let span = Some(self.entry(record)?.span());
        let gives = What::Flag(self.gives_place(record)?);
        Ok(Known::computed(gives, "gives_place", span))
    }

    /// What the scales showed, less the tare.
    pub(crate) fn measured_mass(&self, record: EntryId) -> Result<Known, NotKnown> {
        let span = Some(self.entry(record)?.span());
        let sheet = Sheet::of_scales(self, record)?;
        Ok(self.total_mass(&sheet, span))
    }

    /// Where it balanced as it was, and as level or nose down as it hung.
    pub(crate) fn measured_place(&self, record: EntryId) -> Result<Known, NotKnown> {
        let span = Some(self.entry(record)?.span());
        let balance = Sheet::as_it_was(self, self.base_at(record)?)?.balance()?;
        Ok(Known::computed(What::Quantity(self.point(&balance)), "x", span))
    }

    /// What a record comes to for its loadout as it flies.
    pub(crate) fn as_flown(&self, record: EntryId) -> Result<Known, NotKnown> {
        let span = Some(self.entry(record)?.span());
        let base = self.base_at(record)?;
        let sheet = Sheet::of_changes(self, base, self.record_loadout(record)?)?;
        let mut fields = self.balanced_fields(&sheet, span)?;
        fields.extend(self.base_fields(base, span)?);
        Ok(self.record("as_flown", fields, span))
    }

    /// The arithmetic that brings a record to its loadout as it flies, in words.
    pub(crate) fn correction(&self, record: EntryId) -> Result<Known, NotKnown> {
        let span = Some(self.entry(record)?.span());
        let loadout = self.record_loadout(record)?;
        let says = if self.gives_place(record)? {
            let sheet = Sheet::of_changes(self, self.base_at(record)?, loadout)?;
            self.arithmetic(&sheet, &sheet.balance()?)
        } else {
            self.mass_arithmetic(&Sheet::of_mass(self, record, loadout)?)
        };
        Ok(Known::computed(What::Words(says), "correction", span))
    }

    /// In what the aircraft was not as its loadout flies, in words.
    pub(crate) fn differences(&self, record: EntryId) -> Result<Known, NotKnown> {
        let loadout = self.record_loadout(record)?;
        let was = self.stowed(State { loadout, record: Some(record) })?;
        let flies = self.stowed(State::flown(loadout))?;
        // What a record does not place may lie anywhere.
        let (more, less) = match self.gives_place(record)? {
            true => {
                (beyond(&was, &flies, Stowed::key), beyond(&flies, &was, Stowed::key))
            }
            false => (
                beyond(&was, &flies, Stowed::weight_key),
                beyond(&flies, &was, Stowed::weight_key),
            ),
        };
        let span = Some(self.entry(record)?.span());
        let mut all = Vec::new();
        for one in more.iter().filter(|one| !one.is_missing) {
            let other = less.iter().find(|other| other.entry == one.entry);
            let name = self.stowed_name(one)?;
            let says = match other {
                Some(other) => self.moved(&name, one, other),
                None => Some(format!("with {name}")),
            };
            all.extend(says);
        }
        let was_also = |one: &&Stowed<'_>| more.iter().any(|o| o.entry == one.entry);
        for one in less.iter().filter(|one| !was_also(one)) {
            all.push(format!("without {}", self.stowed_name(one)?));
        }
        for one in more.iter().filter(|one| one.is_missing) {
            all.push(format!("without {}", self.stowed_name(one)?));
        }
        let all = all
            .into_iter()
            .map(|says| Known::computed(What::Words(says), "difference", span));
        Ok(Known::computed(What::List(Rc::new(all.collect())), "differences", span))
    }

    /// The values that a record rests on and that are only planned: where a pack or a
    /// part lay, how much lead there was.
    pub(crate) fn rests_on_plan(&self, record: EntryId) -> Result<Known, NotKnown> {
        let loadout = self.record_loadout(record)?;
        let was = self.stowed(State { loadout, record: Some(record) })?;
        let span = Some(self.entry(record)?.span());
        let gives_place = self.gives_place(record)?;
        let is_plan =
            |value: &&Value| value.source.as_ref().is_some_and(|s| s.word == "plan");
        let mut all = Vec::new();
        for one in &was {
            let lead = one.lead.and_then(|(_, fact)| fact.slot("mass"));
            let at = one.at.filter(|_| gives_place);
            for value in at.into_iter().chain(lead).filter(is_plan) {
                let name = self.stowed_name(one)?;
                let words = What::Words(name.clone());
                all.push(Known::computed(words, name, Some(value.span)));
            }
        }
        Ok(Known::computed(What::List(Rc::new(all)), "rests_on_plan", span))
    }

    fn moved(&self, name: &str, was: &Stowed<'_>, flies: &Stowed<'_>) -> Option<String> {
        if was.lead.is_some() {
            let mass = |one: &Stowed<'_>| {
                let mass = one.lead.and_then(|(_, fact)| fact.slot("mass"))?;
                mass.quantity().map(Quantity::to_string)
            };
            let (was, flies) = (mass(was)?, mass(flies)?);
            return Some(format!("with {was} of {name}, which flies with {flies}"));
        }
        let place = |one: &Stowed<'_>| {
            one.at.and_then(Value::place).map(|place| place.along.to_string())
        };
        let (was, flies) = (place(was), place(flies));
        if was == flies && was.is_some() {
            return None;
        }
        let was = was.unwrap_or_else(|| "its own place".into());
        let flies = flies.unwrap_or_else(|| "its own place".into());
        Some(format!("with {name} at {was}, which flies at {flies}"))
    }

    fn stowed_name(&self, stowed: &Stowed<'_>) -> Result<String, NotKnown> {
        let name = &self.entry(stowed.entry)?.name;
        Ok(match stowed.lead {
            Some(_) => format!("the lead in {name}"),
            None => name.clone(),
        })
    }
}
