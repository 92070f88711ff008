//! What a flight takes out of the packs, and the volts at which it is called down.

use trimsheet_model::quantity::{Dimension, Quantity, Unit};
use trimsheet_model::source::Span;
use trimsheet_model::{EntryId, Value};
use trimsheet_physics::pack::{Charge, cell_volts, energy};

use crate::computed::id;
use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What, record, words};
use crate::stowed::State;

/// What a flight takes, in amperes, seconds and ampere seconds.
struct Flight {
    timer: f64,
    climbs: f64,
    cruise: Known,
    /// The current at full throttle, and whether somebody read it.
    full: (f64, bool),
}

impl Facts {
    /// The energy of a pack by its label.
    pub(crate) fn label_energy(&self, of: &Known) -> Result<Known, NotKnown> {
        let pack = id(of)?;
        let entry = self.entry(pack)?;
        let cells = self.cells_of(pack)?.ok_or_else(|| absent(entry, "cells"))?;
        let (cells, chemistry) = cells;
        let charge = self.number_of(pack, "capacity", "charge")?;
        let joules = energy(charge, cells * cell_volts(chemistry, Charge::Nominal));
        let quantity = Quantity::from_si(joules, &unit("Wh", Dimension::ENERGY));
        Ok(Known::computed(What::Quantity(quantity), "energy", of.span))
    }

    /// What a loadout takes out of its packs until its timer calls, as a share of what
    /// they hold.
    pub(crate) fn charge_used(&self, of: &Known) -> Result<Known, NotKnown> {
        let loadout = id(of)?;
        let span = self.entry(loadout)?.span();
        let flight = self.flight(loadout)?;
        let (held, usable, is_read) = self.held_charge(loadout)?;
        let cruise = flight.cruise.quantity().map_or(0.0, Quantity::si);
        let level = cruise * (flight.timer - flight.climbs).max(0.0);
        let climbing = flight.full.0 * flight.climbs.min(flight.timer);
        let charge = |si: f64| number(si, &unit("Ah", Dimension::CHARGE), span);
        let share = |si: f64| number(si / held, &Facts::percent(), span);
        let amps = number(flight.full.0, &unit("A", Dimension::CURRENT), span);
        let fields = vec![
            ("charge", charge(level + climbing)),
            ("held", charge(held)),
            ("share", share(level + climbing)),
            ("level_share", share(level)),
            ("climbing_share", share(climbing)),
            ("cruise", flight.cruise),
            ("full", amps),
            ("full_is_read", flag(flight.full.1, span)),
            ("held_is_read", flag(is_read, span)),
            ("has_usable", flag(usable.is_some(), span)),
            ("usable", share(usable.unwrap_or(1.0) * held)),
        ];
        Ok(record(fields, "charge_used", span))
    }

    fn flight(&self, loadout: EntryId) -> Result<Flight, NotKnown> {
        let timer = self.number_of(loadout, "timer", "time")?;
        let whole = self.known_entry(loadout);
        let cruise = self.of(&whole, "cruise")?;
        let climbs = self.climbs_of(loadout)?;
        let full = if climbs > 0.0 { self.climb_current(loadout)? } else { (0.0, false) };
        Ok(Flight { timer, climbs, cruise, full })
    }

    /// How long a loadout climbs at full throttle, in s; not at all where nobody says it.
    pub(super) fn climbs_of(&self, loadout: EntryId) -> Result<f64, NotKnown> {
        match self.fact(loadout, "climbs")? {
            Some(_) => self.number_of(loadout, "climbs", "time"),
            None => Ok(0.0),
        }
    }

    /// What the packs of a loadout give at full throttle, and whether a run read it.
    pub(super) fn climb_current(
        &self,
        loadout: EntryId,
    ) -> Result<(f64, bool), NotKnown> {
        let full = self.of(&self.known_entry(loadout), "full_current")?;
        let amps = full.field("current").and_then(Known::quantity);
        let from = full.field("from").map(ToString::to_string);
        Ok((amps.map_or(0.0, Quantity::si), from.as_deref() == Some("measured")))
    }

    /// What the packs of a loadout hold in all, the least share of it that one lets be
    /// used, and whether all of it was read.
    fn held_charge(
        &self,
        loadout: EntryId,
    ) -> Result<(f64, Option<f64>, bool), NotKnown> {
        let stowed = self.stowed_packs(State::flown(loadout))?;
        let (mut held, mut usable, mut is_read) = (0.0, None::<f64>, true);
        for pack in &stowed {
            held += self.charge_of(pack.entry)?.value;
            is_read &= self.latest_reading(pack.entry, "capacity")?.is_some();
            if self.fact(pack.entry, "usable")?.is_some() {
                let own = self.number_of(pack.entry, "usable", "part")?;
                usable = Some(usable.map_or(own, |known| known.min(own)));
            }
        }
        let apart = stowed.len() > self.power(loadout)?.together.len() + 1;
        let entry = self.entry(loadout)?;
        if held > 0.0 && !apart {
            return Ok((held, usable, is_read));
        }
        let says = if apart {
            format!(
                "{} fits packs that are not side by side, and which of them gives the cruise current is not known",
                entry.title()
            )
        } else {
            format!("{} fits no pack that holds anything", entry.title())
        };
        Err(NotKnown::impossible(says, Some(entry.span())))
    }

    /// Each alarm of a setting with each sort of pack that is flown under it, by cells.
    pub(crate) fn alarm_uses(&self, of: &Known) -> Result<Vec<Known>, NotKnown> {
        let setting = id(of)?;
        let flown = self.flown_packs()?;
        let mut all = Vec::new();
        for (at, fact) in self.entry(setting)?.facts.iter().enumerate() {
            if fact.row.word != "alarm" {
                continue;
            }
            self.fact(setting, "alarm")?;
            let slots = fact.values.iter().position(|(slot, _)| *slot == "volts");
            let Some(slot) = slots else { continue };
            let volts = self.value(setting, at, slot)?;
            let level = fact.slot("level").and_then(Value::text).unwrap_or("");
            let of_pack =
                volts.quantity().map(Quantity::dimension) == Some(Dimension::VOLTAGE);
            let cells: Result<Vec<f64>, NotKnown> = if of_pack {
                flown.iter().map(|(_, pack)| self.count_of_cells(*pack)).collect()
            } else {
                Ok(Vec::new())
            };
            let cells = cells?;
            let differ = cells.iter().any(|one| cells.iter().any(|two| one < two));
            let mut seen: Vec<u64> = Vec::new();
            for (loadout, pack) in &flown {
                let key = if of_pack { self.count_of_cells(*pack)?.to_bits() } else { 0 };
                if !self.is_polymer(*pack)? || seen.contains(&key) {
                    continue;
                }
                seen.push(key);
                let fields = vec![
                    ("level", words(level, fact.span)),
                    ("volts", volts.clone()),
                    ("per_cell", self.per_cell(*pack, &volts)?),
                    ("is_of_pack", flag(of_pack, fact.span)),
                    ("cells_differ", flag(differ, fact.span)),
                    ("loadout", self.known_entry(*loadout)),
                    ("pack", self.known_entry(*pack)),
                ];
                all.push(record(fields, "alarm", fact.span));
            }
        }
        Ok(all)
    }

    /// Each pack that a loadout fits, with the first loadout that does.
    fn flown_packs(&self) -> Result<Vec<(EntryId, EntryId)>, NotKnown> {
        let mut all: Vec<(EntryId, EntryId)> = Vec::new();
        for (loadout, _) in self.of_word("loadout") {
            for stowed in self.stowed_packs(State::flown(loadout))? {
                if all.iter().all(|(_, pack)| *pack != stowed.entry) {
                    all.push((loadout, stowed.entry));
                }
            }
        }
        Ok(all)
    }

    /// Whether the cells of a pack are of lithium polymer, as they are where nothing else
    /// is said.
    pub(crate) fn is_polymer(&self, pack: EntryId) -> Result<bool, NotKnown> {
        Ok(matches!(self.chemistry(pack)?, None | Some("lipo" | "lihv")))
    }

    fn chemistry(&self, pack: EntryId) -> Result<Option<&str>, NotKnown> {
        let Some(fact) = self.fact(pack, "cells")? else { return Ok(None) };
        let chemistry = self.slot(self.entry(pack)?, fact, "chemistry")?;
        Ok(chemistry.and_then(Value::text))
    }
}

pub(super) fn unit(text: &str, dimension: Dimension) -> Unit {
    Unit::read(text).unwrap_or_else(|| Unit::for_dimension(dimension))
}

pub(super) fn number(si: f64, unit: &Unit, span: Span) -> Known {
    let quantity = Quantity::from_si(si, unit);
    Known::computed(What::Quantity(quantity), "number", Some(span))
}

pub(super) fn flag(is_so: bool, span: Span) -> Known {
    Known::computed(What::Flag(is_so), "flag", Some(span))
}
