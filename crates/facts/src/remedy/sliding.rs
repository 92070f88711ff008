//! One thing that slides, or both of a pair.

use trimsheet_model::quantity::{Dimension, Quantity};
use trimsheet_model::{EntryId, Kind, planned_spread};
use trimsheet_physics::balance::Term;
use trimsheet_physics::ballast::distance_to_move;

use super::ways::{Group, Way};
use super::{Aim, Point, TINY, Work, chosen, in_steps, steps};
use crate::known::NotKnown;
use crate::loadout::{Aboard, Fitted};

/// Items that slide together: one part, or both of a pair.
#[derive(Clone)]
pub(super) struct Sliding<'a> {
    pub(super) items: Vec<usize>,
    pub(super) first: &'a Aboard,
    pub(super) low: Quantity,
    pub(super) high: Quantity,
}

impl<'a> Work<'a> {
    /// Everything aboard that slides.
    pub(super) fn sliding(&self) -> Result<Vec<Sliding<'a>>, NotKnown> {
        let mut all: Vec<Sliding<'a>> = Vec::new();
        for (index, aboard) in self.fitted.items.iter().enumerate() {
            if aboard.is_ballast {
                continue;
            }
            let of_pair = |one: &&mut Sliding<'_>| one.first.placed == aboard.placed;
            if let Some(pair) = all.iter_mut().find(of_pair) {
                pair.items.push(index);
            } else if let Some((low, high)) = self.slide(aboard.entry)? {
                all.push(Sliding { items: vec![index], first: aboard, low, high });
            }
        }
        Ok(all)
    }

    /// The slide of an item, if it has one.
    pub(super) fn slide(
        &self,
        item: EntryId,
    ) -> Result<Option<(Quantity, Quantity)>, NotKnown> {
        let entry = self.facts.entry(item)?;
        if !matches!(entry.row.word, "part" | "pack") {
            return Ok(None);
        }
        let Some(fact) = self.facts.fact(item, "slides")? else { return Ok(None) };
        let Some(range) = self.facts.slot(entry, fact, "range")? else { return Ok(None) };
        let Kind::Range(low, high) = &range.kind else { return Ok(None) };
        Ok(Some((low.clone(), (**high).clone())))
    }

    /// The ways to slide one thing, for each thing that slides.
    pub(super) fn moves(&self) -> Result<Vec<Group>, NotKnown> {
        let mut groups = Vec::new();
        for sliding in self.sliding()? {
            groups.extend(self.moving(&sliding)?);
        }
        Ok(groups)
    }

    /// The ways to slide one thing.
    fn moving(&self, sliding: &Sliding<'_>) -> Result<Option<Group>, NotKnown> {
        let places = self.places(sliding)?;
        let mut group = Group { moved: 1, ..Group::default() };
        for place in &places {
            group.distance = (place.at - sliding.now()).abs();
            group.ways.push(self.say_move(sliding, place)?);
        }
        if group.ways.is_empty() {
            group.ways.extend(self.say_too_short(sliding)?);
        }
        Ok((!group.ways.is_empty()).then_some(group))
    }

    /// The best place of a thing, and the least move where that asks for much less.
    pub(super) fn places(&self, sliding: &Sliding<'_>) -> Result<Vec<Place>, NotKnown> {
        let best = self.place(sliding, Aim::Best)?;
        let least = self.place(sliding, Aim::JustInside)?;
        let unit = self.facts.length_unit();
        let far = |place: &Option<Place>| {
            let far = |place: &Place| in_steps(place.at - sliding.now(), &unit).abs();
            place.as_ref().map(far)
        };
        Ok(chosen(far(&best), far(&least), best, least))
    }

    /// Where in its slide a thing keeps the whole spread inside.
    pub(super) fn place(
        &self,
        sliding: &Sliding<'_>,
        aim: Aim,
    ) -> Result<Option<Place>, NotKnown> {
        let now = self.now()?;
        let unit = self.facts.length_unit();
        let (low, high) = (sliding.low.si(), sliding.high.si());
        let mut spread = now.spread;
        // What is planned has another spread than what was measured: aim again with it.
        for _ in 0..3 {
            let Some(wanted) = self.wanted(sliding, self.target(now, spread, aim))?
            else {
                return Ok(None);
            };
            spread = self.then(sliding, wanted.clamp(low, high))?.spread;
        }
        let Some(wanted) = self.wanted(sliding, self.target(now, spread, aim))? else {
            return Ok(None);
        };
        let end = wanted.clamp(low, high);
        let is_stopped = (end - wanted).abs() > TINY;
        let way = wanted - sliding.now();
        let mut places = steps(end, way, &unit);
        places.insert(usize::from(!is_stopped), end);
        for at in places {
            let is_step = is_stopped
                || (in_steps(at, &unit).round() - in_steps(at, &unit)).abs() < TINY;
            let is_move = (at - sliding.now()).abs() > TINY;
            let in_slide = low - TINY <= at && at <= high + TINY;
            let then = self.then(sliding, at)?;
            if is_step && is_move && in_slide && self.is_inside(then) {
                let stopped = is_stopped && (at - end).abs() < TINY;
                return Ok(Some(Place { at, then, wanted, stopped, aim }));
            }
        }
        Ok(None)
    }

    /// Where a thing would have to be for the balance point to come to a target.
    pub(super) fn wanted(
        &self,
        sliding: &Sliding<'_>,
        target: f64,
    ) -> Result<Option<f64>, NotKnown> {
        let now = self.now()?;
        let mass = self.mass_of(sliding);
        let distance = distance_to_move(mass, now.mass, now.x, target);
        Ok(distance.ok().map(|distance| sliding.now() + distance))
    }

    /// The mass of what slides together, in kilograms.
    pub(super) fn mass_of(&self, sliding: &Sliding<'_>) -> f64 {
        let together = sliding.items.iter().filter_map(|at| self.fitted.items.get(*at));
        together.map(|aboard| aboard.item.mass.value).sum()
    }

    /// The balance with a thing at another place, planned and not yet measured.
    pub(super) fn then(
        &self,
        sliding: &Sliding<'_>,
        place: f64,
    ) -> Result<Point, NotKnown> {
        let variable = self.fitted.variables.len();
        let x = Term { value: place, variable, weight: 1.0 };
        let mut moved = self.items();
        for (index, item) in moved.iter_mut().enumerate() {
            if sliding.items.contains(&index) {
                let [_, across, upward] = item.at;
                item.at = [x, across, upward];
            }
        }
        self.point(&moved, &[planned_spread(place, Dimension::LENGTH)])
    }

    /// What is aboard, with a thing at another place.
    pub(super) fn moved(&self, sliding: &Sliding<'_>, place: f64) -> Fitted {
        let mut fitted = self.fitted.clone();
        let variable = fitted.more(planned_spread(place, Dimension::LENGTH));
        let x = Term { value: place, variable, weight: 1.0 };
        for index in &sliding.items {
            if let Some(aboard) = fitted.items.get_mut(*index) {
                let [_, across, upward] = aboard.item.at;
                aboard.item.at = [x, across, upward];
            }
        }
        fitted
    }

    /// A move in words: `main 40 mm ahead, to 10 mm aft`.
    pub(super) fn move_words(
        &self,
        sliding: &Sliding<'_>,
        at: f64,
        is_end: bool,
    ) -> String {
        let unit = self.facts.length_unit();
        let by = Quantity::from_si(at - sliding.now(), &unit).magnitude();
        let way = if at < sliding.now() { "ahead" } else { "aft" };
        let stopped = if is_end { ", the end of its slide" } else { "" };
        format!("{} {by} {way}, to {}{stopped}", sliding.name(), self.station(at))
    }

    fn say_move(&self, sliding: &Sliding<'_>, place: &Place) -> Result<Way, NotKnown> {
        let mut says = format!(
            "slide {}: balances at {}",
            self.move_words(sliding, place.at, place.stopped),
            self.say_point(place.then, place.aim)
        );
        if place.stopped && place.aim == Aim::Best {
            let best = self.station(self.band.best);
            let wanted = self.whole(place.wanted, sliding.now());
            says = format!("{says}; {best}, the best place, would need it at {wanted}");
        }
        let edit = self.move_edit(sliding, &self.station(place.at))?;
        Ok(Way::whole(says, edit.into_iter().collect()))
    }

    /// Says how far a slide reaches that does not reach far enough.
    fn say_too_short(&self, sliding: &Sliding<'_>) -> Result<Option<Way>, NotKnown> {
        let Some(wanted) = self.wanted(sliding, self.band.best)? else { return Ok(None) };
        let end = wanted.clamp(sliding.low.si(), sliding.high.si());
        if (end - wanted).abs() < TINY {
            return Ok(None);
        }
        let then = self.then(sliding, end)?;
        let says = format!(
            "{} alone does not reach: its slide ends at {}, where it balances at {}; \
             {}, the best place, would need it at {}",
            sliding.name(),
            self.station(end),
            self.with_spread(then),
            self.station(self.band.best),
            self.whole(wanted, sliding.now()),
        );
        Ok(Some(Way::short(says)))
    }
}

impl Sliding<'_> {
    /// What it is called; both of a pair go by the pair's name.
    pub(super) fn name(&self) -> &str {
        let name = self.first.name.as_str();
        match name.rsplit_once('.') {
            Some((pair, _)) if self.items.len() > 1 => pair,
            Some(_) | None => name,
        }
    }

    /// Where it is, in metres aft.
    pub(super) fn now(&self) -> f64 {
        let [along, ..] = self.first.item.at;
        along.value
    }
}

/// A place in a slide, in metres aft.
pub(super) struct Place {
    pub(super) at: f64,
    pub(super) then: Point,
    /// Where it would be if the slide had no end.
    wanted: f64,
    pub(super) stopped: bool,
    pub(super) aim: Aim,
}
