//! Lead at the places that bays declare for it: more of it, or less.

use trimsheet_model::quantity::{Dimension, Quantity};
use trimsheet_model::source::Edit;
use trimsheet_model::{EntryId, Kind, Value, planned_spread};
use trimsheet_physics::balance::{Item, Term};
use trimsheet_physics::ballast::ballast;

use super::writing::planned_edit;
use super::{Aim, Point, TINY, Way, Work, chosen, in_steps, step, steps};
use crate::known::NotKnown;

/// A place for lead, and what lies there already.
struct Spot {
    bay: EntryId,
    /// Where it is, in metres aft, and the spread of that.
    at: f64,
    at_spread: f64,
    /// The lead that lies there already, in kilograms, and where that is written.
    already: f64,
    written: Option<Value>,
    /// Everything aboard but that lead.
    others: Vec<Item>,
    /// How much there may be, in kilograms, and what stands against more.
    room: Option<f64>,
    room_of: &'static str,
}

/// An amount of lead, in kilograms, and what comes of it.
struct Amount {
    total: f64,
    then: Point,
    is_all: bool,
    aim: Aim,
}

impl Work<'_> {
    /// The ways to bring the balance point into the band with the lead in one bay.
    pub(super) fn lead(&self, bay: EntryId) -> Result<Vec<Way>, NotKnown> {
        let Some(spot) = self.spot(bay)? else { return Ok(Vec::new()) };
        let best = self.amount(&spot, Aim::Best)?;
        let least = self.amount(&spot, Aim::JustInside)?;
        let unit = self.facts.mass_unit();
        let much = |amount: &Option<Amount>| {
            let change = amount.as_ref().map(|amount| amount.total - spot.already);
            change.map(|change| in_steps(change, &unit).abs())
        };
        let mut ways = Vec::new();
        for amount in chosen(much(&best), much(&least), best, least) {
            ways.push(self.say_lead(&spot, &amount)?);
        }
        if ways.is_empty() {
            ways.extend(self.say_no_room(&spot)?);
        }
        Ok(ways)
    }

    fn spot(&self, bay: EntryId) -> Result<Option<Spot>, NotKnown> {
        let Some(fact) = self.facts.fact(bay, "ballast")? else { return Ok(None) };
        let entry = self.facts.entry(bay)?;
        let Some(at) = self.facts.slot(entry, fact, "at")? else { return Ok(None) };
        let Kind::Place(place) = &at.kind else { return Ok(None) };
        let most = self.facts.slot(entry, fact, "most")?.and_then(Value::quantity);
        let here =
            |aboard: &&crate::loadout::Aboard| aboard.is_ballast && aboard.entry == bay;
        let lead = self.fitted.items.iter().find(here);
        let is_other = |aboard: &&crate::loadout::Aboard| {
            lead.is_none_or(|lead| !std::ptr::eq(*aboard, lead))
        };
        let others: Vec<Item> =
            self.fitted.items.iter().filter(is_other).map(|aboard| aboard.item).collect();
        let (at, at_spread) = match lead.map(|lead| lead.item.at) {
            Some([x, ..]) => {
                let spread = self.fitted.variables.get(x.variable);
                (x.value, spread.map_or(0.0, |variable| variable.spread))
            }
            None => (place.along.si(), place.along.spread_si().unwrap_or(0.0)),
        };
        let most = most.map(Quantity::si);
        let limit = self.mass_left(&others)?;
        let by_mass = limit.is_some_and(|limit| most.is_none_or(|most| limit < most));
        Ok(Some(Spot {
            bay,
            at,
            at_spread,
            already: lead.map_or(0.0, |lead| lead.item.mass.value),
            written: lead.map(|lead| lead.mass.clone()),
            others,
            room: if by_mass { limit } else { most },
            room_of: if by_mass { "the mass limit" } else { "the bay" },
        }))
    }

    /// How much the mass limit leaves for lead, if there is one.
    fn mass_left(&self, others: &[Item]) -> Result<Option<f64>, NotKnown> {
        let loadout = self.facts.known_entry(self.loadout);
        let limit = self.facts.of(&loadout, "mass_limit").ok();
        let limit = limit.as_ref().and_then(|limit| limit.quantity()).map(Quantity::si);
        let mass = self.point(others, &[])?.mass;
        Ok(limit.map(|limit| (limit - mass).max(0.0)))
    }

    /// The lead that there must be at a spot, as far as there is room for it.
    fn amount(&self, spot: &Spot, aim: Aim) -> Result<Option<Amount>, NotKnown> {
        let now = self.point(&self.items(), &[])?;
        let unit = self.facts.mass_unit();
        let mut spread = now.spread;
        let mut wanted = None;
        for _ in 0..3 {
            wanted = self.wanted_lead(spot, self.target(now, spread, aim))?;
            let Some(total) = wanted else { return Ok(None) };
            spread = self.with_lead(spot, total)?.spread;
        }
        let Some(wanted) = wanted else { return Ok(None) };
        let room = spot.room.map(|room| (in_steps(room, &unit) + TINY).floor());
        let room = room.map_or(f64::INFINITY, |room| unit.to_si(room * step(&unit)));
        let end = wanted.min(room);
        for total in steps(end, wanted - spot.already, &unit) {
            let is_change = (total - spot.already).abs() > TINY;
            if total < -TINY || total > room + TINY || !is_change {
                continue;
            }
            let then = self.with_lead(spot, total.max(0.0))?;
            if self.is_inside(then) {
                let is_all = wanted > room + TINY;
                return Ok(Some(Amount { total: total.max(0.0), then, is_all, aim }));
            }
        }
        Ok(None)
    }

    /// The lead that brings the balance point to a target; none where it stands on the
    /// wrong side.
    fn wanted_lead(&self, spot: &Spot, target: f64) -> Result<Option<f64>, NotKnown> {
        let without = self.point(&spot.others, &[])?;
        let wanted = ballast(without.mass, without.x, target, spot.at).ok();
        // Where even no lead at all is too much, none is the most that can be done.
        let is_there = spot.already > TINY;
        Ok(wanted.or(is_there.then_some(0.0)))
    }

    fn with_lead(&self, spot: &Spot, total: f64) -> Result<Point, NotKnown> {
        let variable = self.fitted.variables.len();
        let mass = Term { value: total, variable, weight: 1.0 };
        let at = Term { value: spot.at, variable: variable + 1, weight: 1.0 };
        let middle = Term { value: 0.0, variable: variable + 1, weight: 0.0 };
        let mut items = spot.others.clone();
        if total > 0.0 {
            items.push(Item { mass, at: [at, middle, middle], size: None });
        }
        self.point(&items, &[planned_spread(total, Dimension::MASS), spot.at_spread])
    }

    fn say_lead(&self, spot: &Spot, amount: &Amount) -> Result<Way, NotKnown> {
        let unit = self.facts.mass_unit();
        let change = Quantity::from_si(amount.total - spot.already, &unit).magnitude();
        let total = Quantity::from_si(amount.total, &unit);
        let heavier = Quantity::from_si(amount.then.mass, &unit);
        let (bay, at) = (&self.facts.entry(spot.bay)?.name, self.station(spot.at));
        let says = if amount.total < TINY {
            format!("take all {change} of lead out of bay {bay} at {at}")
        } else if amount.total < spot.already {
            format!("take {change} of lead out of bay {bay} at {at}, leaving {total}")
        } else if spot.written.is_some() {
            format!("add {change} of lead in bay {bay} at {at}, making {total}")
        } else {
            format!("add {change} of lead in bay {bay} at {at}")
        };
        let all = match amount.is_all {
            true => format!(", all that {} leaves room for", spot.room_of),
            false => String::new(),
        };
        let point = self.say_point(amount.then, amount.aim);
        let says = format!("{says}{all}: {heavier} in all, balances at {point}");
        Ok(Way::whole(says, self.lead_edit(spot, &total)?))
    }

    /// Says how much lead would be wanted where there is no room for it.
    fn say_no_room(&self, spot: &Spot) -> Result<Option<Way>, NotKnown> {
        let (wanted, room) = (self.wanted_lead(spot, self.band.best)?, spot.room);
        let (Some(wanted), Some(room)) = (wanted, room) else { return Ok(None) };
        if wanted <= room {
            return Ok(None);
        }
        let unit = self.facts.mass_unit();
        let rounded = (in_steps(wanted, &unit) - TINY).ceil() * step(&unit);
        let says = format!(
            "lead in bay {} alone does not reach: {}, the best place, would need {} at \
             {}, and {} leaves room for {}",
            self.facts.entry(spot.bay)?.name,
            self.station(self.band.best),
            Quantity::new(rounded, &unit),
            self.station(spot.at),
            spot.room_of,
            Quantity::from_si(room, &unit),
        );
        Ok(Some(Way::short(says)))
    }

    fn lead_edit(&self, spot: &Spot, total: &Quantity) -> Result<Vec<Edit>, NotKnown> {
        if let Some(value) = &spot.written {
            // A line of no lead at all is for the builder to take out.
            let some = total.si() > 0.0;
            let edit = some.then(|| planned_edit(value, &total.to_string())).flatten();
            return Ok(edit.into_iter().collect());
        }
        let bay = &self.facts.entry(spot.bay)?.name;
        let fact = format!("ballast {bay} {total} [plan]");
        Ok(self.facts.appended(self.loadout, &fact).into_iter().collect())
    }
}
