//! Ways to bring a balance point into its band, and what they look like in the spec.
//!
//! A remedy is a promise: carried out, it leaves the whole spread inside the band. So
//! each way is tried on the loadout before it is offered, with the spread that a planned
//! value has; it aims at the best place, and the smallest that is offered still keeps
//! the spread inside. Millimetres and grams round away from the limit. A way that does
//! not reach far enough is said without an edit.
//!
//! One thing that slides stands in [`sliding`], lead in [`lead`], several moves and moves
//! with lead in [`together`], other packs and parts in [`shelf`], what becomes of the
//! other loadouts in [`others`], one place for all of them in [`common`], less lead in
//! [`saving`], shorter slides in [`stops`], and what is written into the spec in
//! [`writing`].

mod common;
mod lead;
mod left_in;
mod others;
mod saving;
mod shelf;
mod sliding;
mod stops;
mod together;
mod ways;
mod writing;

use std::rc::Rc;

use trimsheet_model::EntryId;
use trimsheet_model::quantity::{Axis, Quantity, Unit};
use trimsheet_model::source::Remedy;
use trimsheet_physics::balance::Item;

use self::sliding::Sliding;
use self::ways::{Group, Way, ranked};
pub(crate) use self::writing::planned_edit;
use crate::balance::contributors;
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};
use crate::loadout::Fitted;

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
    /// slides and lead at each declared place, several of them together where one alone
    /// does not reach, and other packs and parts that would do it. What adds the least
    /// mass comes first, then what moves the fewest things, then what moves them least;
    /// each aims at the best place first, then at the least that keeps the whole spread
    /// inside, if that is much less.
    ///
    /// # Errors
    /// What of the loadout or the band is not known.
    pub fn ways_into(
        &self,
        loadout: &Known,
        band: &Known,
    ) -> Result<Vec<Remedy>, NotKnown> {
        let Some((id, fitted)) = self.nothing_open(loadout)? else {
            return Ok(Vec::new());
        };
        self.ways_of(id, &fitted, band, true)
    }

    /// The same ways for a point that lies inside and whose spread does not: an edit only
    /// where it cannot bring anything worse than that. Lead that is added asks how it is
    /// held, lead that is aboard asks whether a move would spare it, and a record that the
    /// place rests on would be of another aircraft.
    ///
    /// # Errors
    /// What of the loadout or the band is not known.
    pub fn moves_into(
        &self,
        loadout: &Known,
        band: &Known,
    ) -> Result<Vec<Remedy>, NotKnown> {
        let Some((id, fitted)) = self.nothing_open(loadout)? else {
            return Ok(Vec::new());
        };
        let mut groups = self.groups_of(id, &fitted, band, true)?;
        let has_lead = fitted.items.iter().any(|one| one.is_ballast);
        let is_advice = has_lead || self.is_placed_by_record(id)?;
        let spoil = |group: &&mut Group| is_advice || TINY < group.added;
        groups.iter_mut().filter(spoil).for_each(Group::in_words);
        Ok(ranked(groups))
    }

    /// What is aboard in a loadout that leaves nothing open.
    fn nothing_open(
        &self,
        loadout: &Known,
    ) -> Result<Option<(EntryId, Rc<Fitted>)>, NotKnown> {
        let Some(id) = loadout.entry() else { return Ok(None) };
        let fitted = self.fitted(id)?;
        Ok(fitted.choices.is_empty().then_some((id, fitted)))
    }

    /// The same for what is aboard, whatever that was worked out from.
    pub(crate) fn ways_of(
        &self,
        loadout: EntryId,
        fitted: &Fitted,
        band: &Known,
        by_list: bool,
    ) -> Result<Vec<Remedy>, NotKnown> {
        Ok(ranked(self.groups_of(loadout, fitted, band, by_list)?))
    }

    fn groups_of(
        &self,
        loadout: EntryId,
        fitted: &Fitted,
        band: &Known,
        by_list: bool,
    ) -> Result<Vec<Group>, NotKnown> {
        let band = self.band(band)?;
        let work = Work { facts: self, loadout, fitted, band, by_list };
        let mut groups = work.moves()?;
        let lead = work.lead_alone()?;
        if !groups.iter().any(Group::reaches) {
            groups.extend(work.moves_together()?);
        }
        if !groups.iter().any(Group::reaches) {
            groups.extend(work.moves_then_lead()?);
            groups.extend(work.swaps()?);
        }
        groups.extend(lead);
        if !groups.iter().any(Group::reaches) {
            groups.extend(work.measure_first()?);
        }
        Ok(groups)
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
        Ok(Known { what: What::Range(low, high.into()), ..range.clone() })
    }
}

/// A loadout to be brought into a band.
struct Work<'a> {
    facts: &'a Facts,
    loadout: EntryId,
    fitted: &'a Fitted,
    band: Band,
    /// Whether it is as the list of parts says, and not as it was measured.
    by_list: bool,
}

/// A balance point and its spread, in metres, and the mass and its spread in kilograms.
#[derive(Clone, Copy)]
struct Point {
    mass: f64,
    mass_spread: f64,
    x: f64,
    spread: f64,
}

impl<'a> Work<'a> {
    /// The same loadout after something has been done to it.
    fn after<'b>(&self, fitted: &'b Fitted) -> Work<'b>
    where
        'a: 'b,
    {
        let Work { facts, loadout, band, by_list, .. } = *self;
        Work { facts, loadout, fitted, band, by_list }
    }

    /// The balance of items, which may use variables with these spreads besides.
    fn point(&self, items: &[Item], added: &[f64]) -> Result<Point, NotKnown> {
        let balance = self.fitted.balance_with(items, added)?;
        let ([x, ..], [spread, ..]) = (balance.at, balance.at_spread);
        let (mass, mass_spread) = (balance.mass, balance.mass_spread);
        Ok(Point { mass, mass_spread, x, spread })
    }

    /// The balance as it is.
    fn now(&self) -> Result<Point, NotKnown> {
        self.point(&self.items(), &[])
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

    /// What to weigh or measure where nothing brings the whole spread inside.
    fn measure_first(&self) -> Result<Option<Group>, NotKnown> {
        let balance = self.fitted.balance_of(&self.items())?;
        let unit = self.facts.length_unit();
        let all = contributors(self.fitted, &balance, &unit);
        let Some((first, moves)) = all.first().and_then(|first| {
            Some((first.field("act")?, first.field("moves")?.quantity()?))
        }) else {
            return Ok(None);
        };
        let way = Way::short(format!(
            "{first} first: that alone leaves the balance unsure by {moves}, and a surer \
             balance needs less of a way"
        ));
        Ok(Some(Group::short(way)))
    }

    /// The limit of the mass in kilograms, if there is one.
    fn mass_limit(&self) -> Option<f64> {
        let loadout = self.facts.known_entry(self.loadout);
        let limit = self.facts.of(&loadout, "mass_limit").ok();
        limit.as_ref().and_then(Known::quantity).map(Quantity::si)
    }

    /// A mass in all, beside its limit: `738 g in all (mass limit 790 g)`.
    fn in_all(&self, mass: f64) -> String {
        let unit = self.facts.mass_unit();
        let mass = Quantity::from_si(mass, &unit);
        match self.mass_limit() {
            Some(limit) => {
                format!("{mass} in all (mass limit {})", Quantity::from_si(limit, &unit))
            }
            None => format!("{mass} in all"),
        }
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
