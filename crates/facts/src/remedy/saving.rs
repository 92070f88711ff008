//! Whether lead is needed, and what could be done instead of carrying it.

use std::rc::Rc;

use trimsheet_model::EntryId;
use trimsheet_model::quantity::Quantity;
use trimsheet_model::source::Remedy;

use super::common::worked_out;
use super::lead::Spot;
use super::together::{Helping, all_or_none};
use super::ways::{Group, Way, ranked};
use super::{Aim, Point, TINY, Work, in_steps, step, steps};
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};
use crate::loadout::Fitted;

/// A move, and the lead that it saves.
struct Saving<'a> {
    helping: Helping<'a>,
    total: f64,
    then: Point,
}

impl Facts {
    /// Lead at each declared place, after everything that helps was moved to the end of
    /// its slide; empty where moves alone bring the whole spread inside, or it is there.
    pub(crate) fn lead_needed(&self, loadout: &Known) -> Result<Vec<Known>, NotKnown> {
        let Some(id) = loadout.entry() else { return Ok(Vec::new()) };
        let fitted = self.settled(id)?;
        let work = self.work_in_band(id, &fitted)?;
        if work.moves_reach()? {
            return Ok(Vec::new());
        }
        let helping = work.helping(work.band.best < work.now()?.x)?;
        let fitted = work.at_ends(&helping.iter().collect::<Vec<_>>());
        let work = work.after(&fitted);
        let (length, mass) = (self.length_unit(), self.mass_unit());
        let mut all = Vec::new();
        for spot in work.spots()? {
            let Some(amount) = work.amount(&spot, Aim::JustInside)? else { continue };
            let then = amount.then;
            let added = amount.total - spot.already;
            let bay = What::Words(self.entry(spot.bay)?.name.clone());
            let of = |si, spread, unit, name| worked_out(si, spread, unit, name, loadout);
            let fields = vec![
                ("bay", Known::computed(bay, "bay", loadout.span)),
                ("at", of(spot.at, 0.0, &length, "at")),
                ("lead", of(added, 0.0, &mass, "lead")),
                ("mass", of(then.mass, 0.0, &mass, "mass")),
                ("x", of(then.x, then.spread, &length, "x")),
            ];
            let what = What::Record(Rc::new(fields));
            all.push((added, Known::computed(what, "lead_needed", loadout.span)));
        }
        all.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        Ok(all.into_iter().map(|(_, known)| known).collect())
    }

    /// How near moves alone bring a loadout to the best place.
    pub(crate) fn by_moves(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let id = loadout.entry().ok_or_else(|| NotKnown::no_such("no loadout"))?;
        let fitted = self.settled(id)?;
        let work = self.work_in_band(id, &fitted)?;
        let reaches = work.moves_reach()?;
        let helping = work.helping(work.band.best < work.now()?.x)?;
        let few: Vec<&Helping<'_>> = helping.iter().collect();
        let ends = few.iter().map(|one| {
            format!("{} at {}", one.sliding.name(), self.station(one.end).with_spread())
        });
        let says = ends.collect::<Vec<_>>().join(", ");
        let fitted = work.at_ends(&few);
        let then = work.after(&fitted).now()?;
        let words = |what| Known::computed(what, "by_moves", loadout.span);
        let x = worked_out(then.x, then.spread, &self.length_unit(), "x", loadout);
        let fields = vec![
            ("x", x),
            ("reaches", words(What::Flag(reaches))),
            ("says", words(What::Words(says))),
        ];
        Ok(words(What::Record(Rc::new(fields))))
    }

    /// Moves to the ends of slides with the least lead after them, and lead alone: advice,
    /// for `ways_into` writes them where the finding is that the point lies outside.
    ///
    /// # Errors
    /// What of the loadout or the band is not known.
    pub fn ways_with_lead(&self, loadout: &Known) -> Result<Vec<Remedy>, NotKnown> {
        let Some((id, fitted)) = self.nothing_open(loadout)? else {
            return Ok(Vec::new());
        };
        let work = self.work_in_band(id, &fitted)?;
        let mut groups = work.moves_then_lead()?;
        groups.extend(work.lead_alone()?);
        groups.retain(Group::reaches);
        groups.iter_mut().for_each(Group::in_words);
        Ok(ranked(groups))
    }

    /// What each move would save of the lead aboard, the most first.
    pub(crate) fn lead_savings(&self, loadout: &Known) -> Result<Vec<Known>, NotKnown> {
        let Some(id) = loadout.entry() else { return Ok(Vec::new()) };
        let fitted = self.settled(id)?;
        let work = self.work_in_band(id, &fitted)?;
        let Some(spot) = work.leaded_spot()? else { return Ok(Vec::new()) };
        let (length, mass) = (self.length_unit(), self.mass_unit());
        let savings = work.savings(&spot)?;
        let known = savings.into_iter().map(|saving| {
            let Saving { helping, total, .. } = saving;
            let way = (helping.end - helping.sliding.now()).abs();
            let of = |si, unit, name| worked_out(si, 0.0, unit, name, loadout);
            let name = What::Words(helping.sliding.name().to_owned());
            let fields = vec![
                ("part", Known::computed(name, "part", loadout.span)),
                ("to", of(helping.end, &length, "to")),
                ("by", of(way, &length, "by").without_side()),
                ("saves", of(spot.already - total, &mass, "saves")),
            ];
            Known::computed(What::Record(Rc::new(fields)), "lead_savings", loadout.span)
        });
        Ok(known.collect())
    }

    /// The moves that save lead, each with as much lead taken out as keeps the balance
    /// where it is; the edit does all of them. Where records are of this loadout as it
    /// stands, nothing is written: they would then be of another aircraft.
    ///
    /// # Errors
    /// What of the loadout is not known.
    pub fn ways_to_save_lead(&self, loadout: &Known) -> Result<Vec<Remedy>, NotKnown> {
        let Some((id, fitted)) = self.nothing_open(loadout)? else {
            return Ok(Vec::new());
        };
        let work = self.work_in_band(id, &fitted)?;
        let Some(spot) = work.leaded_spot()? else { return Ok(Vec::new()) };
        let savings = work.savings(&spot)?;
        let all: Vec<&Helping<'_>> = savings.iter().map(|one| &one.helping).collect();
        let mut ways = Vec::new();
        for saving in &savings {
            let few = [&saving.helping];
            let is_all = savings.len() == 1;
            ways.push(work.say_saving(&spot, &few, saving.total, saving.then, is_all)?);
        }
        if 1 < all.len()
            && let Some((total, then)) = work.saved(&spot, &all)?
        {
            ways.push(work.say_saving(&spot, &all, total, then, true)?);
        }
        let mut group = Group { ways, ..Group::default() };
        if self.records_of(id).next().is_some() {
            group.in_words();
        }
        Ok(group.ways.into_iter().map(Way::into_remedy).collect())
    }

    /// Packs and parts that would do the work of the lead aboard: without any lead the
    /// whole spread lies inside the band.
    pub(crate) fn lead_replaced(&self, loadout: &Known) -> Result<Vec<Known>, NotKnown> {
        let Some(id) = loadout.entry() else { return Ok(Vec::new()) };
        let fitted = self.settled(id)?;
        let lead: f64 = fitted
            .items
            .iter()
            .filter(|one| one.is_ballast)
            .map(|one| one.item.mass.value)
            .sum();
        if lead <= TINY {
            return Ok(Vec::new());
        }
        let mut bare = (*fitted).clone();
        bare.items.retain(|one| !one.is_ballast);
        let work = self.work_in_band(id, &bare)?;
        let mut all = Vec::new();
        for swap in work.exchanges()? {
            let Some(swapped) = work.swapped(&swap)? else { continue };
            let then = swapped.then;
            let words = work.swap_words(&swap, &swapped)?;
            let text = |words: String| {
                Known::computed(What::Words(words), "lead_replaced", loadout.span)
            };
            let (length, mass) = (self.length_unit(), self.mass_unit());
            let of = |si, spread, unit, name| worked_out(si, spread, unit, name, loadout);
            let fields = vec![
                ("name", text(swap.name.clone())),
                ("says", text(words)),
                ("lead", of(lead, 0.0, &mass, "lead")),
                ("mass", of(then.mass, 0.0, &mass, "mass")),
                ("x", of(then.x, then.spread, &length, "x")),
            ];
            let what = What::Record(Rc::new(fields));
            all.push((then.mass, Known::computed(what, "lead_replaced", loadout.span)));
        }
        all.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        Ok(all.into_iter().map(|(_, known)| known).collect())
    }
}

impl Facts {
    /// What is aboard in a loadout that leaves nothing open.
    fn settled(&self, loadout: EntryId) -> Result<Rc<Fitted>, NotKnown> {
        self.balance(loadout)?;
        self.fitted(loadout)
    }
}

impl<'a> Work<'a> {
    /// Whether the whole spread is inside, or moves alone bring it there.
    fn moves_reach(&self) -> Result<bool, NotKnown> {
        Ok(self.is_inside(self.now()?)
            || self.moves()?.iter().any(Group::reaches)
            || self.moves_together()?.is_some())
    }

    /// The place with the most lead aboard, while the whole spread is inside.
    fn leaded_spot(&self) -> Result<Option<Spot>, NotKnown> {
        if !self.is_inside(self.now()?) {
            return Ok(None);
        }
        let spots = self.spots()?.into_iter().filter(|spot| TINY < spot.already);
        Ok(spots
            .reduce(|one, other| if one.already < other.already { other } else { one }))
    }

    /// What each move, on the side of the lead, saves of it: to the end of its slide, or
    /// to where all of the lead can come out.
    fn savings(&self, spot: &Spot) -> Result<Vec<Saving<'a>>, NotKnown> {
        let x = self.now()?.x;
        let mut bare = self.fitted.clone();
        bare.items.retain(|one| !(one.is_ballast && one.entry == spot.bay));
        let bare = self.after(&bare);
        let mut all = Vec::new();
        for mut helping in self.helping(spot.at < x)? {
            let now = helping.sliding.now();
            if let Some(enough) = bare.wanted(&helping.sliding, x)?
                && (enough - now).abs() < (helping.end - now).abs()
            {
                let unit = self.facts.length_unit();
                let settable = steps(enough, enough - now, &unit);
                helping.end = settable.first().copied().unwrap_or(enough);
            }
            if self.parts_a_common_place(&helping)? {
                continue;
            }
            let Some((total, then)) = self.saved(spot, &[&helping])? else { continue };
            all.push(Saving { helping, total, then });
        }
        all.sort_by(|one, other| one.total.total_cmp(&other.total));
        Ok(all)
    }

    /// Whether a pack lies at one place for this loadout and another, and would no longer
    /// serve the other where this move brings it: then the lead buys the common place.
    fn parts_a_common_place(&self, helping: &Helping<'_>) -> Result<bool, NotKnown> {
        for other in self.facts.other_loadouts(self.loadout) {
            let work = self.facts.work_on(&other);
            let Some(pack) = work.pack()? else { continue };
            let is_same = pack.first.entry == helping.sliding.first.entry;
            let is_there = (pack.now() - helping.sliding.now()).abs() < TINY;
            if !is_same || !is_there {
                continue;
            }
            let Some(reach) = work.reach(&pack)? else { continue };
            if reach.holds(pack.now()) && !reach.holds(helping.end) {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// How much lead is left that keeps the balance where it is, with these at their
    /// ends; none where that saves nothing, or leaves the band.
    fn saved(
        &self,
        spot: &Spot,
        few: &[&Helping<'_>],
    ) -> Result<Option<(f64, Point)>, NotKnown> {
        let x = self.now()?.x;
        let fitted = self.at_ends(few);
        let work = self.after(&fitted);
        let Some(there) = work.spot(spot.bay)? else { return Ok(None) };
        let wanted = work.wanted_lead(&there, x)?.unwrap_or(0.0);
        let unit = self.facts.mass_unit();
        let total = unit.to_si((in_steps(wanted, &unit) - TINY).ceil() * step(&unit));
        let then = work.with_lead(&there, total)?;
        let is_less = total + TINY < spot.already;
        Ok((is_less && work.is_inside(then)).then_some((total, then)))
    }

    fn say_saving(
        &self,
        spot: &Spot,
        few: &[&Helping<'_>],
        total: f64,
        then: Point,
        is_all: bool,
    ) -> Result<Way, NotKnown> {
        let unit = self.facts.mass_unit();
        let out = Quantity::from_si(spot.already - total, &unit);
        let left = if total < TINY {
            String::new()
        } else {
            format!(", leaving {}", Quantity::from_si(total, &unit))
        };
        let all = if total < TINY { "all " } else { "" };
        let says = format!(
            "slide {} and take {all}{out} of lead out of bay {}{left}: {}, balances at {}",
            self.end_words(few).join(", and "),
            self.facts.entry(spot.bay)?.name,
            self.in_all(then.mass),
            self.with_spread(then)
        );
        let mut edits = self.end_edits(few)?;
        edits.push(self.lead_edit(spot, total)?);
        let edits = if is_all { all_or_none(edits) } else { Vec::new() };
        Ok(Way::whole(says, edits))
    }
}
