//! What a remedy for one loadout does to the others.

use std::rc::Rc;

use trimsheet_model::EntryId;
use trimsheet_model::quantity::Quantity;

use super::lead::{Amount, Spot};
use super::{Band, Point, TINY, Work, in_steps, step};
use crate::facts::Facts;
use crate::known::NotKnown;
use crate::loadout::Fitted;

/// Another loadout of the spec, which leaves nothing open.
pub(super) struct Other {
    pub(super) id: EntryId,
    pub(super) fitted: Rc<Fitted>,
    band: Band,
}

impl Facts {
    /// The other loadouts whose balance and band are known and leave nothing open.
    pub(super) fn other_loadouts(&self, loadout: EntryId) -> Vec<Other> {
        let others = self.of_word("loadout").filter(|(id, _)| *id != loadout);
        let others = others.filter_map(|(id, _)| {
            let fitted = self.fitted(id).ok().filter(|one| one.choices.is_empty())?;
            let band = self.of(&self.known_entry(id), "band").ok()?;
            Some(Other { id, fitted, band: self.band(&band).ok()? })
        });
        others.collect()
    }

    /// A loadout to be looked at beside another.
    pub(super) fn work_on<'a>(&'a self, other: &'a Other) -> Work<'a> {
        let Other { id, fitted, band } = other;
        Work { facts: self, loadout: *id, fitted, band: *band, by_list: true }
    }
}

impl Work<'_> {
    /// Says how far outside its band this loadout would be, if it is inside as it stands:
    /// `"ferry": it would balance at 171 mm aft, 5 mm behind its aft limit`.
    pub(super) fn spoilt(&self, then: Point) -> Result<Option<String>, NotKnown> {
        let now = self.now()?;
        let is_in = |x: f64| self.band.low - TINY <= x && x <= self.band.high + TINY;
        if !is_in(now.x) || is_in(then.x) {
            return Ok(None);
        }
        let (past, limit) = if self.band.high < then.x {
            (then.x - self.band.high, "behind its aft limit")
        } else {
            (self.band.low - then.x, "ahead of its forward limit")
        };
        let past = Quantity::from_si(self.in_tenths(past), &self.facts.length_unit());
        let name = &self.facts.entry(self.loadout)?.name;
        let at = self.station(self.in_tenths(then.x));
        Ok(Some(format!("\"{name}\": it would balance at {at}, {past} {limit}")))
    }

    /// A length in whole tenths of a step: no more is known of what is only planned.
    fn in_tenths(&self, si: f64) -> f64 {
        let unit = self.facts.length_unit();
        unit.to_si((in_steps(si, &unit) * 10.0).round() / 10.0 * step(&unit))
    }

    /// What becomes of the other loadouts if lead is glued in for this one.
    pub(super) fn if_it_stays(
        &self,
        spot: &Spot,
        amount: &Amount,
    ) -> Result<String, NotKnown> {
        if !self.by_list || amount.total <= spot.already + TINY {
            return Ok(String::new());
        }
        let mut spoilt = Vec::new();
        for other in self.facts.other_loadouts(self.loadout) {
            let work = self.facts.work_on(&other);
            let has_own = work
                .fitted
                .items
                .iter()
                .any(|one| one.is_ballast && one.entry == spot.bay);
            if !has_own {
                let there = spot.over(work.items());
                spoilt.extend(work.spoilt(work.with_lead(&there, amount.total)?)?);
            }
        }
        Ok(match spoilt.as_slice() {
            [] => String::new(),
            all => format!("; left in, it spoils {}", all.join(", and ")),
        })
    }
}
