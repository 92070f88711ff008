//! Packs: their cells, what they resist, and the charge that a flight may use.

use trimsheet_model::quantity::{Dimension, Quantity};
use trimsheet_model::source::Span;
use trimsheet_model::{EntryId, Fact, Value};
use trimsheet_physics::pack::{
    Chemistry, FADE_SPREAD, RATED_TEMPERATURE, RESISTANCE_FACTOR_SPREAD, capacity_left,
    resistance_factor,
};

use super::Unsure;
use crate::facts::{Facts, absent};
use crate::joined::Way;
use crate::known::NotKnown;
use crate::stowed::State;

/// What a cell resists inside, in Ω, where that is not stated. Common practice, no source.
const CELL_RESISTANCE: f64 = 0.006;

/// How unsure a capacity is that was read before the latest count of its charges, as a
/// share. Common practice, no source.
const SINCE: f64 = 0.2;

/// What a pack resists.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Resists {
    /// In Ω.
    pub(crate) ohms: f64,
    /// In Ω, where the line states it.
    pub(crate) spread: Option<f64>,
    /// The line; none where it was assumed.
    pub(crate) at: Option<Span>,
}

impl Resists {
    /// What packs of so many cells usually resist.
    pub(crate) fn usual(cells: f64) -> Resists {
        Resists { ohms: cells * CELL_RESISTANCE, spread: None, at: None }
    }
}

impl Facts {
    /// The cells of a pack in series and what they are made of; `None` where it does not
    /// say.
    pub(crate) fn cells_of(
        &self,
        pack: EntryId,
    ) -> Result<Option<(f64, Chemistry)>, NotKnown> {
        let entry = self.entry(pack)?;
        let Some(fact) = self.fact(pack, "cells")? else { return Ok(None) };
        let count = self.slot(entry, fact, "count")?.and_then(Value::quantity);
        let count = count.ok_or_else(|| absent(entry, "cells"))?.si();
        let chemistry = self.slot(entry, fact, "chemistry")?.and_then(Value::text);
        Ok(Some((count, chemistry_of(chemistry))))
    }

    /// The inner resistance of a pack with so many cells: by its latest reading, else as
    /// it is stated, else as cells usually are; in the cold of the field, where that is
    /// known.
    pub(crate) fn pack_resistance(
        &self,
        pack: EntryId,
        cells: f64,
    ) -> Result<Resists, NotKnown> {
        if let Some(reading) = self.latest_reading(pack, "resistance")? {
            let fact = self.must(reading.record, "resistance")?;
            return self.resists(reading.record, fact, cells);
        }
        match self.fact(pack, "resistance")? {
            Some(fact) => self.resists(pack, fact, cells),
            None => Ok(Resists::usual(cells)),
        }
    }

    fn resists(
        &self,
        entry: EntryId,
        fact: &Fact,
        cells: f64,
    ) -> Result<Resists, NotKnown> {
        let entry = self.entry(entry)?;
        let value = self.slot(entry, fact, "ohms")?;
        let ohms = value.and_then(Value::quantity);
        let ohms = ohms.ok_or_else(|| absent(entry, "resistance"))?;
        let of_cells = ohms.dimension() == Dimension::RESISTANCE_PER_CELL;
        let read = self.slot(entry, fact, "at")?.and_then(Value::quantity);
        let read = read.map_or(RATED_TEMPERATURE, Quantity::si);
        let says = "how much a pack resists in that cold or that heat is not known";
        let beyond = || NotKnown::impossible(says, Some(fact.span));
        let colder = match self.stated_warmth()? {
            Some(field) => {
                let both = resistance_factor(field).zip(resistance_factor(read));
                let (field, read) = both.ok_or_else(beyond)?;
                field / read
            }
            None => 1.0,
        };
        let times = if of_cells { cells } else { 1.0 } * colder;
        Ok(Resists {
            ohms: ohms.si() * times,
            // What the cold adds is not surer than the law that says it.
            spread: ohms.spread_si().map(|spread| {
                let by_cold = RESISTANCE_FACTOR_SPREAD * (colder - 1.0) * ohms.si();
                (spread * spread + by_cold * by_cold).sqrt() * times
            }),
            at: value.map(|value| value.via.unwrap_or(value.span)),
        })
    }

    /// How warm the field is in K, where the spec says it.
    fn stated_warmth(&self) -> Result<Option<f64>, NotKnown> {
        let model = self.of_word("model").next().map(|(id, _)| id);
        let Some(model) = model else { return Ok(None) };
        let warmth = self.unsure(model, "field-temperature", "temperature")?;
        Ok(warmth.map(|warmth| warmth.value))
    }

    /// The charge of a pack when it is full, in C: what it gave at its latest reading,
    /// else what the label states, less what its charges have cost it.
    pub(crate) fn charge_of(&self, pack: EntryId) -> Result<Unsure, NotKnown> {
        let given = self.latest_reading(pack, "capacity")?;
        let cycles = self.latest_reading(pack, "cycles")?;
        if let Some(reading) = given {
            let read = self.must_unsure(reading.record, "capacity", "charge")?;
            let since = cycles.filter(|cycles| reading.date < cycles.date);
            // Some of what it then held is gone; how much, the label's fade tells.
            return Ok(match since {
                Some(_) => read.clone().plus(&Unsure::of(
                    "charges since its capacity was read",
                    read.parts.first().and_then(|part| part.at),
                    0.0,
                    SINCE * read.value,
                )),
                None => read,
            });
        }
        let cycles = cycles.and_then(|reading| reading.value.count()).map(f64::from);
        let label = self.must_unsure(pack, "capacity", "charge")?;
        let Some(cycles) = cycles else { return Ok(label) };
        let entry = self.entry(pack)?;
        let left = capacity_left(cycles).ok_or_else(|| {
            let says = format!(
                "what {} still holds after {cycles} charges is not known: read it",
                entry.title()
            );
            NotKnown::impossible(says, Some(entry.span()))
        })?;
        let name = format!("age of {}", self.entry(pack)?.title());
        let faded = Unsure::of(&name, None, left, (1.0 - left) * FADE_SPREAD);
        Ok(label.times(&faded))
    }

    /// The packs of a loadout that feed a motor or a speed controller; all of them where
    /// no supply says which do.
    pub(crate) fn packs_of(&self, loadout: EntryId) -> Result<Vec<EntryId>, NotKnown> {
        // By what is stowed, not by the balance: what drives it asks for no mass.
        let stowed = self.stowed_packs(State::flown(loadout))?;
        let all: Vec<EntryId> = stowed.iter().map(|stowed| stowed.entry).collect();
        let mut ways = Vec::new();
        for (join, _) in self.of_word("join") {
            ways.extend(self.carried(join, "supply")?);
        }
        let feeds = |pack: &EntryId| self.leads_to_a_motor(*pack, &ways);
        let driving: Vec<EntryId> = all.iter().copied().filter(feeds).collect();
        Ok(if driving.is_empty() { all } else { driving })
    }

    /// Whether a supply leads from a pack to a motor or a speed controller, through
    /// whatever lies between.
    fn leads_to_a_motor(&self, pack: EntryId, supplies: &[Way<'_>]) -> bool {
        let mut met = vec![pack];
        let mut at = 0;
        while let Some(from) = met.get(at).copied() {
            at += 1;
            for way in supplies.iter().filter(|way| way.from.entry == from) {
                if !met.contains(&way.to.entry) {
                    met.push(way.to.entry);
                }
            }
        }
        let kinds = met.iter().filter_map(|id| self.build.entry(*id)?.kind());
        kinds.into_iter().any(|kind| matches!(kind, "motor" | "speed-controller"))
    }
}

fn chemistry_of(word: Option<&str>) -> Chemistry {
    match word {
        Some("lihv") => Chemistry::HighVoltage,
        Some("liion") => Chemistry::LithiumIon,
        Some("life") => Chemistry::IronPhosphate,
        Some("nimh") => Chemistry::NickelHydride,
        // What most packs are made of, and what a spec that names cells alone means.
        Some(_) | None => Chemistry::LithiumPolymer,
    }
}
