//! Ways to bring a balance point into its band, and what they look like in the spec.
//!
//! A remedy is a promise: carried out, it leaves the whole spread inside the band. So
//! each way is tried on the loadout before it is offered, with the spread that a planned
//! value has; it aims at the best place, and the smallest that is offered still keeps
//! the spread inside. Millimetres and grams round away from the limit. A way that does
//! not reach far enough is said without an edit.
//!
//! Sliding stands here, lead in [`lead`], shorter slides in [`stops`], and what is
//! written into the spec in [`writing`].

mod lead;
mod stops;
mod writing;

use trimsheet_model::quantity::{Axis, Dimension, Quantity, Unit};
use trimsheet_model::source::{Edit, Remedy, Safety};
use trimsheet_model::{EntryId, Kind, planned_spread};
use trimsheet_physics::balance::{Item, Term};
use trimsheet_physics::ballast::distance_to_move;

use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};
use crate::loadout::{Aboard, Fitted, Variable};

/// The band that a remedy aims into, in metres aft.
#[derive(Clone, Copy, Debug)]
struct Band {
    low: f64,
    high: f64,
    best: f64,
}

/// How far a remedy goes.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Aim {
    Best,
    JustInside,
}

impl Facts {
    /// The ways to bring a loadout that leaves nothing open into a band: each part that
    /// slides, then lead at each declared place; each to the best place first, then the
    /// least that keeps the whole spread inside, if that is much less.
    ///
    /// # Errors
    /// What of the loadout or the band is not known.
    pub fn ways_into(
        &self,
        loadout: &Known,
        band: &Known,
    ) -> Result<Vec<Remedy>, NotKnown> {
        let Some(id) = loadout.entry() else { return Ok(Vec::new()) };
        let fitted = self.fitted(id)?;
        if !fitted.choices.is_empty() {
            return Ok(Vec::new());
        }
        self.ways_of(id, &fitted, band)
    }

    /// The same for what is aboard, whatever that was worked out from.
    pub(crate) fn ways_of(
        &self,
        loadout: EntryId,
        fitted: &Fitted,
        band: &Known,
    ) -> Result<Vec<Remedy>, NotKnown> {
        let band = self.band(band)?;
        let work = Work { facts: self, loadout, fitted, band };
        let mut ways = Vec::new();
        for sliding in work.sliding()? {
            ways.extend(work.moving(&sliding)?);
        }
        for (bay, _) in self.of_word("bay") {
            ways.extend(work.lead(bay)?);
        }
        // What can be done comes before what does not reach far enough.
        ways.sort_by_key(|way| way.short);
        Ok(ways.into_iter().map(|way| way.remedy).collect())
    }

    fn band(&self, band: &Known) -> Result<Band, NotKnown> {
        let What::Range(low, high) = &band.what else {
            return Err(NotKnown::no_such("a band is a range of places"));
        };
        let middle = f64::midpoint(low.si(), high.si());
        let best = if self.has(band, "best")? {
            self.of(band, "best")?.quantity().map_or(middle, Quantity::si)
        } else {
            middle
        };
        Ok(Band { low: low.si(), high: high.si(), best })
    }

    /// A range with so much taken off at each end; it keeps its line.
    ///
    /// # Errors
    /// That it is no range, or one of something else.
    pub fn narrowed(&self, range: &Known, by: &Quantity) -> Result<Known, NotKnown> {
        let What::Range(low, high) = &range.what else {
            return Err(NotKnown::no_such(format!("{} is no range", range.name)));
        };
        let unlike =
            |why: trimsheet_model::quantity::Unlike| NotKnown::no_such(why.to_string());
        let (low, high) =
            (low.plus(by).map_err(unlike)?, high.minus(by).map_err(unlike)?);
        Ok(Known { what: What::Range(low, high), ..range.clone() })
    }
}

struct Work<'a> {
    facts: &'a Facts,
    loadout: EntryId,
    fitted: &'a Fitted,
    band: Band,
}

/// A way, and whether it does not reach far enough.
struct Way {
    remedy: Remedy,
    short: bool,
}

impl Way {
    fn whole(says: String, edits: Vec<Edit>) -> Way {
        let remedy = Remedy { says, edits, safety: Safety::Offered };
        Way { remedy, short: false }
    }

    fn short(says: String) -> Way {
        let remedy = Remedy { says, edits: Vec::new(), safety: Safety::Offered };
        Way { remedy, short: true }
    }
}

/// Items that slide together: one part, or both of a pair.
struct Sliding<'a> {
    items: Vec<usize>,
    first: &'a Aboard,
    low: Quantity,
    high: Quantity,
}

/// A balance point and its spread, in metres, and the mass in kilograms.
#[derive(Clone, Copy)]
struct Point {
    mass: f64,
    x: f64,
    spread: f64,
}

impl Work<'_> {
    /// The balance of items, which may use variables with these spreads besides.
    fn point(&self, items: &[Item], added: &[f64]) -> Result<Point, NotKnown> {
        let mut fitted = self.fitted.clone();
        fitted.variables.extend(added.iter().map(|spread| Variable {
            says: String::new(),
            act: String::new(),
            span: None,
            via: None,
            spread: *spread,
            source: None,
            assumed: false,
        }));
        let balance = fitted.balance_of(items)?;
        let ([x, ..], [spread, ..]) = (balance.at, balance.at_spread);
        Ok(Point { mass: balance.mass, x, spread })
    }

    fn items(&self) -> Vec<Item> {
        self.fitted.items.iter().map(|aboard| aboard.item).collect()
    }

    /// Whether the whole spread lies inside, and not on the bare limit.
    fn is_inside(&self, point: Point) -> bool {
        self.band.low + TINY < point.x - point.spread
            && point.x + point.spread < self.band.high - TINY
    }

    /// Where the balance point should come to from `now`, if it then has this spread.
    fn target(&self, now: Point, spread: f64, aim: Aim) -> f64 {
        match aim {
            Aim::Best => self.band.best,
            Aim::JustInside if now.x > self.band.best => self.band.high - spread,
            Aim::JustInside => self.band.low + spread,
        }
    }

    /// Everything aboard that slides.
    fn sliding(&self) -> Result<Vec<Sliding<'_>>, NotKnown> {
        let mut all: Vec<Sliding<'_>> = Vec::new();
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
    fn slide(&self, item: EntryId) -> Result<Option<(Quantity, Quantity)>, NotKnown> {
        let entry = self.facts.entry(item)?;
        if !matches!(entry.row.word, "part" | "pack") {
            return Ok(None);
        }
        let Some(fact) = self.facts.fact(item, "slides")? else { return Ok(None) };
        let Some(range) = self.facts.slot(entry, fact, "range")? else { return Ok(None) };
        let Kind::Range(low, high) = &range.kind else { return Ok(None) };
        Ok(Some((low.clone(), high.clone())))
    }

    /// The ways to slide one thing.
    fn moving(&self, sliding: &Sliding<'_>) -> Result<Vec<Way>, NotKnown> {
        let best = self.place(sliding, Aim::Best)?;
        let least = self.place(sliding, Aim::JustInside)?;
        let [along, ..] = sliding.first.item.at;
        let far = |place: &Option<Place>| {
            let unit = self.facts.length_unit();
            place.as_ref().map(|place| in_steps(place.at - along.value, &unit).abs())
        };
        let mut ways = Vec::new();
        for place in chosen(far(&best), far(&least), best, least) {
            ways.push(self.say_move(sliding, &place)?);
        }
        if ways.is_empty() {
            ways.extend(self.say_too_short(sliding)?);
        }
        Ok(ways)
    }

    /// Where in its slide a thing keeps the whole spread inside.
    fn place(&self, sliding: &Sliding<'_>, aim: Aim) -> Result<Option<Place>, NotKnown> {
        let [along, ..] = sliding.first.item.at;
        let now = self.point(&self.items(), &[])?;
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
        let way = wanted - along.value;
        let mut places = steps(end, way, &unit);
        places.insert(usize::from(!is_stopped), end);
        for at in places {
            let is_step = is_stopped
                || (in_steps(at, &unit).round() - in_steps(at, &unit)).abs() < TINY;
            let is_move = (at - along.value).abs() > TINY;
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
    fn wanted(
        &self,
        sliding: &Sliding<'_>,
        target: f64,
    ) -> Result<Option<f64>, NotKnown> {
        let now = self.point(&self.items(), &[])?;
        let [along, ..] = sliding.first.item.at;
        let together = sliding.items.iter().filter_map(|at| self.fitted.items.get(*at));
        let mass: f64 = together.map(|aboard| aboard.item.mass.value).sum();
        let distance = distance_to_move(mass, now.mass, now.x, target);
        Ok(distance.ok().map(|distance| along.value + distance))
    }

    /// The balance with a thing at another place, planned and not yet measured.
    fn then(&self, sliding: &Sliding<'_>, place: f64) -> Result<Point, NotKnown> {
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

    fn say_move(&self, sliding: &Sliding<'_>, place: &Place) -> Result<Way, NotKnown> {
        let [along, ..] = sliding.first.item.at;
        let unit = self.facts.length_unit();
        let by = Quantity::from_si(place.at - along.value, &unit).magnitude();
        let way = if place.at < along.value { "ahead" } else { "aft" };
        let (name, to) = (sliding.name(), self.station(place.at));
        let stopped = if place.stopped { ", the end of its slide" } else { "" };
        let mut says = format!(
            "slide {name} {by} {way}, to {to}{stopped}: balances at {}",
            self.say_point(place.then, place.aim)
        );
        if place.stopped && place.aim == Aim::Best {
            let best = self.station(self.band.best);
            let wanted = self.whole(place.wanted, along.value);
            says = format!("{says}; {best}, the best place, would need it at {wanted}");
        }
        let edit = self.move_edit(sliding, &to)?;
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
        let [along, ..] = sliding.first.item.at;
        let says = format!(
            "{} alone does not reach: its slide ends at {}, where it balances at {}; \
             {}, the best place, would need it at {}",
            sliding.name(),
            self.station(end),
            self.with_spread(then),
            self.station(self.band.best),
            self.whole(wanted, along.value),
        );
        Ok(Some(Way::short(says)))
    }

    fn station(&self, si: f64) -> Quantity {
        Quantity::from_si(si, &self.facts.length_unit()).with_axis(Some(Axis::Length))
    }

    /// A place in whole steps, rounded away from another.
    fn whole(&self, si: f64, from: f64) -> Quantity {
        let unit = self.facts.length_unit();
        let first = steps(si, si - from, &unit).first().copied();
        self.station(first.unwrap_or(si))
    }

    fn with_spread(&self, point: Point) -> String {
        self.station(point.x).with_spread_si(point.spread).with_spread()
    }

    fn say_point(&self, point: Point, aim: Aim) -> String {
        let near = (point.x - self.band.best).abs() < NEAR;
        let what = match aim {
            Aim::Best | Aim::JustInside if near => "the best place",
            Aim::Best => "its whole spread inside the band",
            Aim::JustInside => "the least that brings its whole spread inside",
        };
        format!("{}, {what}", self.with_spread(point))
    }
}

impl Sliding<'_> {
    /// What it is called; both of a pair go by the pair's name.
    fn name(&self) -> &str {
        let name = self.first.name.as_str();
        match name.rsplit_once('.') {
            Some((pair, _)) if self.items.len() > 1 => pair,
            Some(_) | None => name,
        }
    }
}

/// A place in a slide, in metres aft.
struct Place {
    at: f64,
    then: Point,
    /// Where it would be if the slide had no end.
    wanted: f64,
    stopped: bool,
    aim: Aim,
}

/// The best way, and the least where it asks for much less of a person.
fn chosen<T>(
    far_best: Option<f64>,
    far_least: Option<f64>,
    best: Option<T>,
    least: Option<T>,
) -> Vec<T> {
    let is_less = match (far_best, far_least) {
        (Some(best), Some(least)) => least < best * MUCH_LESS && least + FEW < best,
        (Some(_), None) | (None, _) => true,
    };
    let least = if is_less { least } else { None };
    best.into_iter().chain(least).collect()
}

/// Two places that differ by less than this, in metres or steps, are one.
const TINY: f64 = 1e-9;

/// Within this many metres a balance counts as at the best place.
const NEAR: f64 = 0.001;

/// A way that saves less than a quarter of the work, or only a few steps, is no other.
const MUCH_LESS: f64 = 0.75;
const FEW: f64 = 4.5;

/// The step that a person can set, in a unit.
pub(crate) fn step(unit: &Unit) -> f64 {
    match unit.text() {
        "kg" | "m" => 0.001,
        "in" | "inch" | "oz" => 0.05,
        "cm" => 0.1,
        "lb" | "ft" => 0.01,
        _ => 1.0,
    }
}

pub(crate) fn in_steps(si: f64, unit: &Unit) -> f64 {
    unit.of_si(si) / step(unit)
}

/// The values near one that a person can set, in SI units: the nearest on the side of
/// the way that is gone first, then on and on, then back.
fn steps(si: f64, way: f64, unit: &Unit) -> Vec<f64> {
    let exact = in_steps(si, unit);
    let (first, on) = if way < 0.0 {
        ((exact + TINY).floor(), -1.0)
    } else {
        ((exact - TINY).ceil(), 1.0)
    };
    let near = [0.0, on, 2.0 * on, 3.0 * on, 4.0 * on, -on];
    near.iter().map(|more| unit.to_si((first + more) * step(unit))).collect()
}
