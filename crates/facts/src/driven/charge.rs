//! What a flight takes out of the packs, and the volts at which it is called down.

use trimsheet_model::quantity::{Dimension, Quantity};
use trimsheet_model::{EntryId, Value};
use trimsheet_physics::pack::{Charge, cell_volts, energy};

use crate::computed::id;
use crate::drive::{ChargeHeld, Unsure};
use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What, flag, number, record, unit, words};
use crate::stowed::State;

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
        let timer = self.number_of(loadout, "timer", "time")?;
        let cruise = self.of(&self.known_entry(loadout), "cruise")?;
        let climbs = self.unsure(loadout, "climbs", "time")?.map(|climbs| climbs.value);
        let (full, from) = match climbs {
            Some(_) => self.full_current(loadout)?,
            None => (Unsure::exact(0.0), ""),
        };
        let climbs = climbs.unwrap_or(0.0);
        let held = self.held_side_by_side(loadout)?;
        let whole = held.whole.value;
        let amps = cruise.quantity().map_or(0.0, Quantity::si);
        let level = amps * (timer - climbs).max(0.0);
        let climbing = full.value * climbs.min(timer);
        let charge =
            |si: f64| number(Quantity::from_si(si, &unit("Ah", Dimension::CHARGE)), span);
        let percent =
            |part: f64| number(Quantity::from_si(part, &Facts::percent()), span);
        let share = |si: f64| percent(si / whole);
        let fields = vec![
            ("charge", charge(level + climbing)),
            ("held", charge(whole)),
            ("share", share(level + climbing)),
            ("level_share", share(level)),
            ("climbing_share", share(climbing)),
            ("cruise", cruise),
            ("full", number(full.quantity(Dimension::CURRENT), span)),
            ("full_is_read", flag(from == "measured", Some(span))),
            ("held_is_read", flag(held.is_read, Some(span))),
            ("has_usable", flag(held.least.is_some(), Some(span))),
            ("usable", percent(held.least.unwrap_or(1.0))),
        ];
        Ok(record(fields, "charge_used", span))
    }

    /// What the packs that drive a loadout hold, where they all give its cruise current.
    fn held_side_by_side(&self, loadout: EntryId) -> Result<ChargeHeld, NotKnown> {
        let packs = self.packs_of(loadout)?;
        let power = self.power_on_usual_packs(loadout)?;
        let together = power.together.iter().filter(|(pack, _)| packs.contains(pack));
        if packs.len() <= together.count() + 1 {
            return self.charge_held(loadout);
        }
        let entry = self.entry(loadout)?;
        let says = format!(
            "{} fits packs that are not side by side, and which of them gives the cruise current is not known",
            entry.title()
        );
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
                    ("is_of_pack", flag(of_pack, Some(fact.span))),
                    ("cells_differ", flag(differ, Some(fact.span))),
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
