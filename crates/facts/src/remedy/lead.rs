//! Lead at the places that bays declare for it: more of it, or less.

use trimsheet_model::quantity::{Dimension, Quantity};
use trimsheet_model::source::Edit;
use trimsheet_model::{EntryId, Kind, Value, planned_spread};
use trimsheet_physics::balance::{Item, Term};
use trimsheet_physics::ballast::ballast;

use super::ways::{Group, Way};
use super::writing::planned_edit;
use super::{Aim, Point, TINY, Work, chosen, in_steps, step, steps};
use crate::known::NotKnown;

/// A place for lead, and what lies there already.
pub(super) struct Spot {
    pub(super) bay: EntryId,
    /// Where it is, in metres aft, and the spread of that.
    pub(super) at: f64,
    pub(super) at_spread: f64,
    /// The lead that lies there already, in kilograms, and where that is written.
    pub(super) already: f64,
    pub(super) written: Option<Value>,
    /// Everything aboard but that lead.
    others: Vec<Item>,
    /// How much there may be, in kilograms, and what stands against more.
    pub(super) room: Option<f64>,
    pub(super) room_of: &'static str,
}

/// An amount of lead, in kilograms, and what comes of it.
pub(super) struct Amount {
    pub(super) total: f64,
    pub(super) then: Point,
    is_all: bool,
    aim: Aim,
}

impl Spot {
    /// The same place in another loadout, which has no lead there.
    pub(super) fn over(&self, others: Vec<Item>) -> Spot {
        let Spot { bay, at, at_spread, room, room_of, .. } = *self;
        Spot { bay, at, at_spread, already: 0.0, written: None, others, room, room_of }
    }
}

impl Work<'_> {
    /// The ways to bring the balance point into the band with lead alone, in each bay.
    pub(super) fn lead_alone(&self) -> Result<Vec<Group>, NotKnown> {
        let mut groups = Vec::new();
        for spot in self.spots()? {
            let mut group = Group::default();
            for amount in self.amounts(&spot)? {
                group.added = amount.total - spot.already;
                group.ways.push(self.say_lead(&spot, &amount)?);
            }
            if group.ways.is_empty() {
                group.ways.extend(self.say_no_room(&spot)?);
            }
            if !group.ways.is_empty() {
                groups.push(group);
            }
        }
        Ok(groups)
    }

    /// The best amount of lead at a spot, and the least where that is much less.
    pub(super) fn amounts(&self, spot: &Spot) -> Result<Vec<Amount>, NotKnown> {
        let best = self.amount(spot, Aim::Best)?;
        let least = self.amount(spot, Aim::JustInside)?;
        let unit = self.facts.mass_unit();
        let much = |amount: &Option<Amount>| {
            let change = amount.as_ref().map(|amount| amount.total - spot.already);
            change.map(|change| in_steps(change, &unit).abs())
        };
        Ok(chosen(much(&best), much(&least), best, least))
    }

    /// Every place that a bay declares for lead.
    pub(super) fn spots(&self) -> Result<Vec<Spot>, NotKnown> {
        let mut spots = Vec::new();
        for (bay, _) in self.facts.of_word("bay") {
            spots.extend(self.spot(bay)?);
        }
        Ok(spots)
    }

    pub(super) fn spot(&self, bay: EntryId) -> Result<Option<Spot>, NotKnown> {
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

    /// How much the mass limit leaves for lead with the whole spread of the mass, if there
    /// is a limit.
    fn mass_left(&self, others: &[Item]) -> Result<Option<f64>, NotKnown> {
        let Some(limit) = self.mass_limit() else { return Ok(None) };
        let now = self.point(others, &[])?;
        let bare = (limit - now.mass).max(0.0);
        let lead = planned_spread(bare, Dimension::MASS);
        let spread = (now.mass_spread * now.mass_spread + lead * lead).sqrt();
        Ok(Some((bare - spread).max(0.0)))
    }

    /// The lead that there must be at a spot, as far as there is room for it.
    pub(super) fn amount(
        &self,
        spot: &Spot,
        aim: Aim,
    ) -> Result<Option<Amount>, NotKnown> {
        let now = self.now()?;
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
    pub(super) fn wanted_lead(
        &self,
        spot: &Spot,
        target: f64,
    ) -> Result<Option<f64>, NotKnown> {
        let without = self.point(&spot.others, &[])?;
        let wanted = ballast(without.mass, without.x, target, spot.at).ok();
        // Where even no lead at all is too much, none is the most that can be done.
        let is_there = spot.already > TINY;
        Ok(wanted.or(is_there.then_some(0.0)))
    }

    pub(super) fn with_lead(&self, spot: &Spot, total: f64) -> Result<Point, NotKnown> {
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

    /// What to do with the lead, in words: `add 24 g of lead in bay nose at 110 mm ahead`.
    pub(super) fn lead_words(
        &self,
        spot: &Spot,
        amount: &Amount,
    ) -> Result<String, NotKnown> {
        let unit = self.facts.mass_unit();
        let change = Quantity::from_si(amount.total - spot.already, &unit).magnitude();
        let total = Quantity::from_si(amount.total, &unit);
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
        Ok(format!("{says}{all}"))
    }

    /// What comes of an amount of lead: the mass in all, the balance, the other loadouts.
    pub(super) fn lead_gives(
        &self,
        spot: &Spot,
        amount: &Amount,
    ) -> Result<String, NotKnown> {
        let point = self.say_point(amount.then, amount.aim);
        let heavier = self.in_all(amount.then.mass);
        let others = self.if_it_stays(spot, amount)?;
        Ok(format!("{heavier}, balances at {point}{others}"))
    }

    fn say_lead(&self, spot: &Spot, amount: &Amount) -> Result<Way, NotKnown> {
        let (words, gives) =
            (self.lead_words(spot, amount)?, self.lead_gives(spot, amount)?);
        let edit = self.lead_edit(spot, amount.total)?;
        Ok(Way::whole(format!("{words}: {gives}"), edit.into_iter().collect()))
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

    /// Writes how much lead there is to be at a spot; how it is held is for the builder.
    pub(super) fn lead_edit(
        &self,
        spot: &Spot,
        total: f64,
    ) -> Result<Option<Edit>, NotKnown> {
        let total = Quantity::from_si(total, &self.facts.mass_unit());
        if let Some(value) = &spot.written {
            // A line of no lead at all is for the builder to take out.
            let some = total.si() > 0.0;
            return Ok(some.then(|| planned_edit(value, &total.to_string())).flatten());
        }
        let bay = &self.facts.entry(spot.bay)?.name;
        let fact = format!("ballast {bay} {total} [plan]");
        Ok(self.facts.appended(self.loadout, &fact))
    }
}
