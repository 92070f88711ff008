//! What the leads that feed the rest do to a compass.
//!
//! Looked at are the leads that bring what the pack itself gives: those of a rail carry
//! little. Each pair is taken to lie straight between the places of what it joins. The
//! three leads of a motor carry a current that turns round far faster than a compass
//! follows, and are left out.

use trimsheet_model::quantity::Quantity;
use trimsheet_model::source::Span;
use trimsheet_model::{Entry, EntryId, Value};
use trimsheet_physics::radio::{
    EARTH_HORIZONTAL, beside_pair, beside_single_lead, heading_error,
};
use trimsheet_physics::stretch::Stretch;

use super::{Active, Found, at_line, both, flag_at, list_of, maybe, unit_of};
use crate::computed::id;
use crate::facts::{Facts, absent};
use crate::joined::Way;
use crate::known::{Known, NotKnown, What, record, words};
use crate::power::Phase;
use crate::stowed::State;

/// In m; nearer than that no middle of a lead comes to the middle of a part.
const NEAREST: f64 = 1e-3;

/// A pair of leads beside a compass, in one loadout.
struct Beside {
    join: EntryId,
    names: Span,
    loadout: String,
    amps: Quantity,
    /// In m.
    by: f64,
    unsure: f64,
}

impl Facts {
    /// What each pair of leads does to a compass in cruise, in the loadout in which that
    /// is most.
    pub(crate) fn near_leads(&self, of: &Known) -> Result<Known, NotKnown> {
        let found = self.leads_beside(id(of)?)?;
        let mut most: Vec<Beside> = Vec::new();
        for one in found.all {
            let field = |one: &Beside| one.amps.si() / one.by;
            match most.iter_mut().find(|other| other.names == one.names) {
                Some(other) if field(other) < field(&one) => *other = one,
                Some(_) => {}
                None => most.push(one),
            }
        }
        let all = most.iter().filter_map(|one| self.near_lead(one).transpose());
        Ok(list_of(all.collect::<Result<_, _>>()?, "near_leads", of))
    }

    /// Whether all is known of the leads beside a compass.
    pub(crate) fn near_leads_known(&self, of: &Known) -> Result<Known, NotKnown> {
        self.leads_beside(id(of)?)?.known(of)
    }

    fn near_lead(&self, one: &Beside) -> Result<Option<Known>, NotKnown> {
        let entry = self.entry(one.join)?;
        let spaced = self.fact(one.join, "spaced")?;
        let spacing = match spaced {
            Some(fact) => self.slot(entry, fact, "distance").ok().flatten(),
            None => None,
        };
        let spacing = spacing.and_then(Value::quantity).cloned();
        let is_twisted = spaced.is_some_and(|fact| fact.slot("so").is_some());
        let Some(single) = beside_single_lead(one.amps.si(), one.by) else {
            return Ok(None);
        };
        let pair =
            spacing.as_ref().and_then(|s| beside_pair(one.amps.si(), s.si(), one.by));
        let line = spaced.map_or(one.names, |fact| fact.span);
        let known = |quantity: Quantity| at_line(What::Quantity(quantity), one.names);
        let tesla = |si: f64| known(Quantity::from_si(si, &unit_of("uT")));
        let turned = |field: f64| {
            let error = heading_error(field, EARTH_HORIZONTAL);
            known(Quantity::from_si(error, &unit_of("deg")))
        };
        let field = pair.unwrap_or(single);
        let (has_spacing, spacing) = maybe(spacing, "mm", line);
        let fields = vec![
            ("join", self.known_entry(one.join)),
            ("loadout", words(&one.loadout, one.names)),
            ("amps", known(one.amps.clone())),
            ("by", at_line(self.long(one.by, one.unsure), one.names)),
            ("has_spacing", has_spacing),
            ("spacing", spacing),
            ("is_twisted", flag_at(is_twisted, line)),
            ("field", tesla(field)),
            ("turned", turned(field)),
            ("field_if_split", tesla(single)),
            ("turned_if_split", turned(single)),
        ];
        Ok(Some(record(fields, "near_lead", one.names)))
    }

    /// The supplies of the joins in each loadout, with the current of its cruise.
    fn leads_beside(&self, part: EntryId) -> Result<Found<Beside>, NotKnown> {
        let mut found = Found::none();
        let compass = match self.middle(part) {
            Ok(compass) => compass,
            Err(why) => {
                found.not_known.push(why);
                return Ok(found);
            }
        };
        let supplies = self.supplies()?;
        for way in &supplies {
            let ends = [way.from.entry, way.to.entry];
            let is_of_pack = self.is_of_pack(way.from, &supplies, &mut Vec::new())?;
            if !is_of_pack || ends.contains(&part) {
                continue;
            }
            for (loadout, entry) in self.of_word("loadout") {
                let beside = self.lead_beside(&compass, way, loadout, &mut found);
                match beside {
                    Ok(Some(beside)) => {
                        let loadout = entry.name.clone();
                        found.all.push(Beside { loadout, ..beside });
                    }
                    Ok(None) => {}
                    Err(why) => found.not_known.push(why),
                }
            }
        }
        Ok(found)
    }

    fn lead_beside(
        &self,
        compass: &Active,
        way: &Way<'_>,
        loadout: EntryId,
        found: &mut Found<Beside>,
    ) -> Result<Option<Beside>, NotKnown> {
        let (from, to) = (way.from.entry, way.to.entry);
        let (Some(one), Some(other)) =
            (self.end_at(from, loadout)?, self.end_at(to, loadout)?)
        else {
            return Ok(None);
        };
        let power = self.power(loadout)?;
        let lead = power
            .leads
            .iter()
            .find(|lead| lead.join == way.join && lead.ends == (from, to));
        let Some(lead) = lead else {
            let missing = power.unknown_leads.iter().find(|(join, _)| *join == way.join);
            let why = missing.map(|(_, why)| why.clone());
            let join = self.entry(way.join)?;
            return if way.is("lifted") {
                Ok(None)
            } else {
                Err(why.unwrap_or_else(|| absent(join, "wire")))
            };
        };
        found.not_known.extend(lead.not_known.iter().cloned());
        let cruise = lead.by_phase.iter().find(|at| at.phase == Phase::Cruise);
        let cruise = cruise.ok_or_else(|| {
            let says = format!(
                "what flows in {} cannot be worked out",
                self.entry(way.join).map_or(String::new(), Entry::title)
            );
            NotKnown::impossible(says, Some(way.names))
        })?;
        let ways = one.iter().flat_map(|one| {
            other
                .iter()
                .map(move |other| Stretch { from: one.at.from, to: other.at.from })
        });
        let place = compass.at.from;
        let by = ways
            .map(|way| way.to_point(place))
            .fold(f64::INFINITY, f64::min)
            .max(NEAREST);
        let ends = one.iter().chain(&other).map(|end| end.unsure);
        let unsure = both(compass.unsure, ends.fold(0.0, f64::max));
        Ok(Some(Beside {
            join: way.join,
            names: way.names,
            loadout: String::new(),
            amps: cruise.amps.clone(),
            by,
            unsure,
        }))
    }

    /// Where an end of a lead is in a loadout: both ends of its slide where that is open,
    /// and nowhere where the loadout leaves it out.
    fn end_at(
        &self,
        end: EntryId,
        loadout: EntryId,
    ) -> Result<Option<Vec<Active>>, NotKnown> {
        if self.entry(end)?.row.word != "pack" {
            return Ok(Some(vec![self.middle(end)?]));
        }
        let packs = self.stowed_packs(State::flown(loadout))?;
        let Some(pack) = packs.iter().find(|pack| pack.entry == end) else {
            return Ok(None);
        };
        let (middle, slack) = self.stowed_at(pack)?;
        let ends = [-0.5, 0.5].map(|half| {
            let by = trimsheet_physics::space::Point::AFT.times(half * slack);
            Active { at: middle.at.moved(by), ..middle.clone() }
        });
        Ok(Some(ends.to_vec()))
    }
}
