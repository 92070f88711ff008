//! Other packs and parts in place of those aboard: of the spec, or of a shelf that it
//! includes and takes nothing of.
//!
//! Only what does the same work by its own line is looked at: a pack of as many cells of
//! the same kind, a part of the same kind, where that kind can be exchanged without
//! another look at propeller and motor. Whether it fits and suits is for the builder to
//! say, so nothing is written.

use trimsheet_model::quantity::Quantity;
use trimsheet_model::{Entry, EntryId, Fact, Value};
use trimsheet_physics::balance::Term;

use super::sliding::Sliding;
use super::ways::{Group, Way};
use super::{Aim, Point, TINY, Work};
use crate::known::NotKnown;
use crate::loadout::{Aboard, Fitted};

/// Kinds of parts of which one can be exchanged for another.
const EXCHANGED: &[&str] = &["camera", "receiver", "transmitter", "flight-controller"];

/// How many exchanges are worth reading.
const MOST: usize = 3;

/// One thing in place of another.
pub(super) struct Swap {
    /// Which item of the loadout it takes the place of.
    index: usize,
    pub(super) name: String,
    pub(super) mass: Quantity,
    /// What is aboard then, where it was.
    fitted: Fitted,
    slide: Option<(Quantity, Quantity)>,
}

/// A swap that brings the whole spread inside.
pub(super) struct Swapped {
    /// Where it goes in its slide, in metres aft.
    pub(super) at: Option<f64>,
    pub(super) then: Point,
    aim: Aim,
}

impl Work<'_> {
    /// Exchanges that bring the whole spread inside, those that add the least first.
    pub(super) fn swaps(&self) -> Result<Vec<Group>, NotKnown> {
        let mut groups = Vec::new();
        if !self.by_list {
            return Ok(groups);
        }
        let now = self.now()?;
        for swap in self.exchanges()? {
            let Some(swapped) = self.swapped(&swap)? else { continue };
            let spoilt = self.spoilt_by(&swap)?;
            let words = self.swap_words(&swap, &swapped)?;
            let end = match spoilt.as_slice() {
                [] => String::new(),
                all => format!("; spoils {}", all.join(", and ")),
            };
            let point = self.say_point(swapped.then, swapped.aim);
            let way =
                Way::whole(format!("{words}, balances at {point}{end}"), Vec::new());
            groups.push(Group {
                ways: vec![way],
                added: swapped.then.mass - now.mass,
                moved: 1,
                distance: 0.0,
                spoils: !spoilt.is_empty(),
            });
        }
        groups.sort_by(|one, other| one.added.total_cmp(&other.added));
        groups.truncate(MOST);
        Ok(groups)
    }

    /// A swap in words: `fit large (260 g) in place of main, at 20 mm aft: 60 g heavier,
    /// 750 g in all`.
    pub(super) fn swap_words(
        &self,
        swap: &Swap,
        swapped: &Swapped,
    ) -> Result<String, NotKnown> {
        let old = self.fitted.items.get(swap.index);
        let old = old.ok_or_else(|| NotKnown::no_such("no such item"))?;
        let more = swap.mass.si() - old.item.mass.value;
        let by = Quantity::from_si(more, &self.facts.mass_unit()).magnitude();
        let way = if more < 0.0 { "lighter" } else { "heavier" };
        let at = swapped
            .at
            .map_or_else(String::new, |at| format!(", at {}", self.station(at)));
        let (name, mass) = (&swap.name, &swap.mass);
        let all = self.in_all(swapped.then.mass);
        let size = self.larger(swap)?;
        Ok(format!(
            "fit {name} ({mass}) in place of {}{at}{size}: {by} {way}, {all}",
            old.name
        ))
    }

    /// What it comes to, if that is inside with its whole spread and below the mass limit.
    pub(super) fn swapped(&self, swap: &Swap) -> Result<Option<Swapped>, NotKnown> {
        let work = self.after(&swap.fitted);
        let Some(first) = swap.fitted.items.get(swap.index) else { return Ok(None) };
        let place = match &swap.slide {
            Some((low, high)) => {
                let (low, high) = (low.clone(), high.clone());
                let sliding = Sliding { items: vec![swap.index], first, low, high };
                work.places(&sliding)?.into_iter().next()
            }
            None => None,
        };
        let swapped = match place {
            Some(place) => {
                Swapped { at: Some(place.at), then: place.then, aim: place.aim }
            }
            None => Swapped { at: None, then: work.now()?, aim: Aim::Best },
        };
        let then = swapped.then;
        let limit = self.mass_limit();
        let is_light =
            limit.is_none_or(|limit| then.mass + then.mass_spread < limit + TINY);
        Ok((work.is_inside(then) && is_light).then_some(swapped))
    }

    /// Everything that could take the place of something aboard.
    pub(super) fn exchanges(&self) -> Result<Vec<Swap>, NotKnown> {
        let mut all = Vec::new();
        for (index, old) in self.fitted.items.iter().enumerate() {
            let entry = self.facts.entry(old.entry)?;
            if old.is_ballast || entry.half.is_some() || !is_exchanged(entry) {
                continue;
            }
            for (id, spare) in self.spares(old.entry, entry) {
                all.extend(self.exchange(index, old, id, spare)?);
            }
        }
        Ok(all)
    }

    /// The entries that do the same work as one aboard, and are not aboard themselves.
    fn spares<'b>(
        &'b self,
        old: EntryId,
        entry: &'b Entry,
    ) -> impl Iterator<Item = (EntryId, &'b Entry)> {
        let all = self.facts.build.entries.iter().enumerate();
        let all = all.map(|(index, spare)| (EntryId(index), spare));
        all.filter(move |(id, spare)| {
            let is_here = self.fitted.items.iter().any(|one| one.entry == *id);
            *id != old
                && !is_here
                && spare.row.word == entry.row.word
                && does_the_same(spare, entry)
                && (spare.aboard && entry.row.word == "pack"
                    || !spare.aboard && !self.is_taken(spare))
        })
    }

    /// Whether something aboard was taken from this entry of a shelf.
    fn is_taken(&self, shelf: &Entry) -> bool {
        let own = |span| shelf.facts.iter().any(|fact| fact.span == span);
        let aboard = self.facts.build.aboard();
        let facts = aboard.flat_map(|(_, entry)| &entry.facts);
        facts.filter(|fact| fact.via.is_some()).any(|fact| own(fact.span))
    }

    fn exchange(
        &self,
        index: usize,
        old: &Aboard,
        id: EntryId,
        spare: &Entry,
    ) -> Result<Option<Swap>, NotKnown> {
        self.facts.note(id, "mass");
        let mass = spare.fact("mass").and_then(|fact| fact.slot("mass"));
        let Some(mass) = mass.and_then(Value::quantity) else { return Ok(None) };
        let own = self.slide(id)?;
        let slide = match own {
            Some(slide) => Some(slide),
            None => self.slide(old.entry)?,
        };
        let mut fitted = self.fitted.clone();
        let variable = fitted.more(mass.spread_si().unwrap_or(0.0));
        let Some(item) = fitted.items.get_mut(index) else { return Ok(None) };
        item.item.mass = Term { value: mass.si(), variable, weight: 1.0 };
        item.item.size = None;
        spare.name.clone_into(&mut item.name);
        let (name, mass) = (spare.name.clone(), mass.clone().without_spread());
        Ok(Some(Swap { index, name, mass, fitted, slide }))
    }

    /// What the swap of a part does to the loadouts that carry it too; a pack is chosen by
    /// each loadout for itself.
    fn spoilt_by(&self, swap: &Swap) -> Result<Vec<String>, NotKnown> {
        let mut spoilt = Vec::new();
        let Some(old) = self.fitted.items.get(swap.index) else { return Ok(spoilt) };
        if self.facts.entry(old.entry)?.row.word == "pack" {
            return Ok(spoilt);
        }
        for other in self.facts.other_loadouts(self.loadout) {
            let work = self.facts.work_on(&other);
            let variable = work.fitted.variables.len();
            let mut items = work.items();
            for (item, aboard) in items.iter_mut().zip(&work.fitted.items) {
                if aboard.entry == old.entry {
                    item.mass = Term { value: swap.mass.si(), variable, weight: 1.0 };
                }
            }
            let then = work.point(&items, &[0.0])?;
            spoilt.extend(work.spoilt(then)?);
        }
        Ok(spoilt)
    }

    /// A word of warning where it is larger than what lies there now, as far as that is
    /// known.
    fn larger(&self, swap: &Swap) -> Result<String, NotKnown> {
        let Some(old) = self.fitted.items.get(swap.index) else {
            return Ok(String::new());
        };
        let sizes = |entry: &Entry| -> Option<Vec<f64>> {
            let value = entry.fact("size").and_then(Fact::first)?;
            let trimsheet_model::Kind::Size(sizes) = &value.kind else { return None };
            Some(sizes.iter().map(Quantity::si).collect())
        };
        let new = self.facts.build.entries.iter().find(|entry| entry.name == swap.name);
        let (old, new) = (sizes(self.facts.entry(old.entry)?), new.and_then(sizes));
        let (Some(old), Some(new)) = (old, new) else { return Ok(String::new()) };
        let is_larger = old.iter().zip(&new).any(|(old, new)| old + TINY < *new);
        let says = if is_larger { ", if its larger size finds room" } else { "" };
        Ok(says.to_owned())
    }
}

fn is_exchanged(entry: &Entry) -> bool {
    entry.row.word == "pack"
        || entry.row.word == "part"
            && entry.kind().is_some_and(|is| EXCHANGED.contains(&is))
}

/// Whether one does the work of the other by what their lines say.
fn does_the_same(one: &Entry, other: &Entry) -> bool {
    if one.row.word == "part" {
        return one.kind() == other.kind();
    }
    let cells = |entry: &Entry| {
        let fact = entry.fact("cells")?;
        let count = fact.first().and_then(Value::quantity).map(Quantity::si);
        let kind = fact.values.get(1).and_then(|(_, value)| value.text());
        count.map(|count| (count, kind.map(str::to_owned)))
    };
    let (one, other) = (cells(one), cells(other));
    one.is_some() && one == other
}
