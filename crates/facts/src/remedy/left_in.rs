//! Lead that belongs to one loadout, and what it does if it stays in for another.

use std::rc::Rc;

use trimsheet_model::{EntryId, Value};
use trimsheet_physics::balance::Term;

use super::common::worked_out;
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};
use crate::loadout::{Aboard, Fitted};

impl Facts {
    /// What each other loadout would be with the lead of this one that nobody says can be
    /// taken out, where it has none in the same bay.
    pub(crate) fn if_lead_stays(&self, loadout: &Known) -> Result<Vec<Known>, NotKnown> {
        let Some(id) = loadout.entry() else { return Ok(Vec::new()) };
        let fitted = self.fitted(id)?;
        let mut all = Vec::new();
        for aboard in fitted.items.iter().filter(|one| one.is_ballast) {
            let answer = self.removable(id, aboard)?;
            if answer == Some("yes") {
                continue;
            }
            for other in self.other_loadouts(id) {
                let has_own = other
                    .fitted
                    .items
                    .iter()
                    .any(|one| one.is_ballast && one.entry == aboard.entry);
                if !has_own {
                    let with = joined(&other.fitted, aboard, &fitted);
                    let stays = answer == Some("no");
                    all.push(self.left_in(other.id, &with, aboard, stays)?);
                }
            }
        }
        Ok(all)
    }

    /// Whether the line of a piece of lead says that it can be taken out.
    fn removable(
        &self,
        loadout: EntryId,
        lead: &Aboard,
    ) -> Result<Option<&str>, NotKnown> {
        let entry = self.entry(loadout)?;
        let is_its = |value: &Value| value.span == lead.mass.span;
        let fact =
            entry.all("ballast").find(|fact| fact.slot("mass").is_some_and(is_its));
        let Some(fact) = fact else { return Ok(None) };
        Ok(self.slot(entry, fact, "removable")?.and_then(Value::text))
    }

    fn left_in(
        &self,
        other: EntryId,
        with: &Fitted,
        lead: &Aboard,
        is_fixed: bool,
    ) -> Result<Known, NotKnown> {
        let work = self.work_in_band(other, with)?;
        let now = work.now()?;
        let (length, mass) = (self.length_unit(), self.mass_unit());
        // The line of the lead is where it can be made removable.
        let here = Known::computed(What::Flag(true), "lead", Some(lead.mass.span));
        let of = |si, spread, unit, name| worked_out(si, spread, unit, name, &here);
        let words = |what| Known { what, ..here.clone() };
        let mut fields = vec![
            ("other", self.known_entry(other)),
            ("lead", of(lead.item.mass.value, 0.0, &mass, "lead")),
            ("bay", words(What::Words(self.entry(lead.entry)?.name.clone()))),
            ("is_fixed", words(What::Flag(is_fixed))),
            ("mass", of(now.mass, now.mass_spread, &mass, "mass")),
            ("x", of(now.x, now.spread, &length, "x")),
        ];
        let reach = match work.pack()? {
            Some(pack) => work.reach(&pack)?,
            None => None,
        };
        fields.push(("has_room", words(What::Flag(reach.is_some()))));
        if let Some(reach) = reach {
            fields.push(("room_from", of(reach.from, 0.0, &length, "room_from")));
            fields.push(("room_to", of(reach.to, 0.0, &length, "room_to")));
        }
        Ok(Known { what: What::Record(Rc::new(fields)), ..here })
    }
}

/// What is aboard in one loadout, with a thing of another.
fn joined(into: &Fitted, thing: &Aboard, of: &Fitted) -> Fitted {
    let mut fitted = into.clone();
    let spread =
        |term: Term| of.variables.get(term.variable).map_or(0.0, |one| one.spread);
    let mut aboard = thing.clone();
    for term in aboard.item.at.iter_mut().chain([&mut aboard.item.mass]) {
        term.variable = fitted.more(spread(*term));
    }
    fitted.items.push(aboard);
    fitted
}
