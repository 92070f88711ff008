//! Ways to bring a balance point into its band, and what they look like in the spec.
//!
//! A remedy is a promise: carried out, it leaves the whole spread inside the band. So
//! each way is tried on the loadout before it is offered, with the spread that a planned
//! value has; it aims at the best place, and the smallest that is offered still keeps
//! the spread inside. Millimetres and grams round away from the limit.

use trimsheet_model::quantity::{Axis, Quantity, Unit};
use trimsheet_model::source::{Edit, Remedy, Safety, Span};
use trimsheet_model::{EntryId, Fact, Kind, Value, planned_spread};
use trimsheet_physics::balance::{Item, Term};
use trimsheet_physics::ballast::{ballast, distance_to_move};

use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};
use crate::loadout::{Choice, Fitted, Open};

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
    /// slides, then lead at each declared place; to the best place first, then the least.
    ///
    /// # Errors
    /// What of the loadout or the band is not known.
    pub fn ways_into(
        &self,
        loadout: &Known,
        band: &Known,
    ) -> Result<Vec<Remedy>, NotKnown> {
        let band = self.band(band)?;
        let Some(id) = loadout.entry() else { return Ok(Vec::new()) };
        let fitted = self.fitted(id)?;
        if !fitted.choices.is_empty() {
            return Ok(Vec::new());
        }
        let work = Work { facts: self, loadout: id, fitted: &fitted, band };
        let mut ways = Vec::new();
        for aim in [Aim::Best, Aim::JustInside] {
            for index in 0..fitted.items.len() {
                ways.extend(work.moving(index, aim)?);
            }
        }
        for aim in [Aim::Best, Aim::JustInside] {
            for (bay, _) in self.build.of_word("bay") {
                ways.extend(work.adding(bay, aim)?);
            }
        }
        ways.dedup_by(|later, earlier| {
            later.edits == earlier.edits && later.says == earlier.says
        });
        Ok(ways)
    }

    /// The shorter slides that keep every corner of a loadout inside a band.
    ///
    /// # Errors
    /// What of the loadout or the band is not known.
    pub fn stops_inside(
        &self,
        loadout: &Known,
        band: &Known,
    ) -> Result<Vec<Remedy>, NotKnown> {
        let band = self.band(band)?;
        let Some(id) = loadout.entry() else { return Ok(Vec::new()) };
        let fitted = self.fitted(id)?;
        let work = Work { facts: self, loadout: id, fitted: &fitted, band };
        let mut ways = Vec::new();
        for (index, choice) in fitted.choices.iter().enumerate() {
            ways.extend(work.shorter(index, choice)?);
        }
        Ok(ways)
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
}

struct Work<'a> {
    facts: &'a Facts,
    loadout: EntryId,
    fitted: &'a Fitted,
    band: Band,
}

/// A balance point and its spread, in metres.
#[derive(Clone, Copy)]
struct Point {
    mass: f64,
    x: f64,
    spread: f64,
}

impl Work<'_> {
    fn point(&self, items: &[Item], added: &[f64]) -> Result<Point, NotKnown> {
        let mut fitted = self.fitted.clone();
        fitted.variables.extend(added.iter().map(|spread| crate::loadout::Variable {
            says: String::new(),
            span: None,
            via: None,
            spread: *spread,
        }));
        let balance = fitted.balance_of(items)?;
        let ([x, ..], [spread, ..]) = (balance.at, balance.at_spread);
        Ok(Point { mass: balance.mass, x, spread })
    }

    fn items(&self) -> Vec<Item> {
        self.fitted.items.iter().map(|aboard| aboard.item).collect()
    }

    fn is_inside(&self, point: Point) -> bool {
        self.band.low <= point.x - point.spread
            && point.x + point.spread <= self.band.high
    }

    /// Where the balance point should come to.
    fn target(&self, now: Point, aim: Aim) -> f64 {
        match aim {
            Aim::Best => self.band.best,
            Aim::JustInside if now.x > self.band.best => self.band.high - now.spread,
            Aim::JustInside => self.band.low + now.spread,
        }
    }

    /// Moving one item along its slide.
    fn moving(&self, index: usize, aim: Aim) -> Result<Option<Remedy>, NotKnown> {
        let Some(aboard) = self.fitted.items.get(index).filter(|item| !item.is_ballast)
        else {
            return Ok(None);
        };
        let Some((low, high)) = self.slide(aboard.entry)? else { return Ok(None) };
        let items = self.items();
        let now = self.point(&items, &[])?;
        let [along, across, upward] = aboard.item.at;
        let target = self.target(now, aim);
        let Ok(distance) =
            distance_to_move(aboard.item.mass.value, now.mass, now.x, target)
        else {
            return Ok(None);
        };
        let unit = self.facts.length_unit();
        let spread =
            planned_spread(along.value, trimsheet_model::quantity::Dimension::LENGTH);
        let variable = self.fitted.variables.len();
        let wanted = (along.value + distance).clamp(low.si(), high.si());
        for place in steps(wanted, distance.signum(), &unit) {
            if place < low.si() - TINY || place > high.si() + TINY {
                continue;
            }
            let x = Term { value: place, variable, weight: 1.0 };
            let mut moved = items.clone();
            if let Some(item) = moved.get_mut(index) {
                item.at = [x, across, upward];
            }
            let then = self.point(&moved, &[spread])?;
            let far = (place - along.value).abs();
            if self.is_inside(then) && far > TINY {
                return self.say_move(index, place, then, (&low, &high)).map(Some);
            }
        }
        Ok(None)
    }

    fn say_move(
        &self,
        index: usize,
        place: f64,
        then: Point,
        (low, high): (&Quantity, &Quantity),
    ) -> Result<Remedy, NotKnown> {
        let unit = self.facts.length_unit();
        let Some(aboard) = self.fitted.items.get(index) else {
            return Err(NotKnown::no_such("no such item"));
        };
        let [along, ..] = aboard.item.at;
        let to = Quantity::from_si(place, &unit).with_axis(Some(Axis::Length));
        let by = Quantity::from_si(place - along.value, &unit).magnitude();
        let way = if place < along.value { "ahead" } else { "aft" };
        let says = format!(
            "slide {} {by} {way}, to {to} (its slide goes from {low} to {high}): balances at {}",
            aboard.name,
            self.say_point(then),
        );
        let edits = self.move_edit(aboard.entry, aboard.placed, &to)?;
        Ok(Remedy { says, edits: edits.into_iter().collect(), safety: Safety::Offered })
    }

    /// Where the place of an item is written, if nobody has measured it there.
    fn move_edit(
        &self,
        item: EntryId,
        placed: Span,
        to: &Quantity,
    ) -> Result<Option<Edit>, NotKnown> {
        let loadout = self.facts.entry(self.loadout)?;
        let own = self.facts.entry(item)?;
        let facts = loadout.facts.iter().chain(&own.facts);
        let mut values = facts.flat_map(|fact| &fact.values).map(|(_, value)| value);
        let Some(value) = values.find(|value| value.span == placed) else {
            return Ok(None);
        };
        let Kind::Place(place) = &value.kind else { return Ok(None) };
        let is_simple = place.across.is_none() && place.upward.is_none();
        Ok(is_simple.then(|| planned_edit(value, &to.to_string())).flatten())
    }

    /// Adding lead at the place that a bay declares for it.
    fn adding(&self, bay: EntryId, aim: Aim) -> Result<Option<Remedy>, NotKnown> {
        let Some(fact) = self.facts.fact(bay, "ballast")? else { return Ok(None) };
        let entry = self.facts.entry(bay)?;
        let Some(at) = self.facts.slot(entry, fact, "at")? else { return Ok(None) };
        let most = self.facts.slot(entry, fact, "most")?.and_then(Value::quantity);
        let Kind::Place(place) = &at.kind else { return Ok(None) };
        let items = self.items();
        let now = self.point(&items, &[])?;
        let station = place.along.si();
        let Ok(mass) = ballast(now.mass, now.x, self.target(now, aim), station) else {
            return Ok(None);
        };
        let (already, written) = self.ballast_in(bay)?;
        let unit = self.facts.mass_unit();
        let spread = [
            planned_spread(mass, trimsheet_model::quantity::Dimension::MASS),
            place.along.spread_si().unwrap_or(0.0),
        ];
        let variable = self.fitted.variables.len();
        for mass in steps(mass, 1.0, &unit) {
            let too_much = most.is_some_and(|most| mass + already > most.si());
            if mass <= 0.0 || too_much {
                continue;
            }
            let term = Term { value: mass, variable, weight: 1.0 };
            let at = Term { value: station, variable: variable + 1, weight: 1.0 };
            let none = Term { value: 0.0, variable: variable + 1, weight: 0.0 };
            let mut with = items.clone();
            with.push(Item { mass: term, at: [at, none, none], size: None });
            let then = self.point(&with, &spread)?;
            if self.is_inside(then) {
                let total = Quantity::from_si(mass + already, &unit);
                let added = Quantity::from_si(mass, &unit);
                let heavier = Quantity::from_si(then.mass, &unit);
                let says = format!(
                    "add {added} of lead in bay {} at {}: {heavier} in all, balances at {}",
                    entry.name,
                    place.along,
                    self.say_point(then),
                );
                let edits = self.ballast_edit(&entry.name, written, &total)?;
                return Ok(Some(Remedy { says, edits, safety: Safety::Offered }));
            }
        }
        Ok(None)
    }

    /// The lead that lies in a bay already, and where it is written.
    fn ballast_in(&self, bay: EntryId) -> Result<(f64, Option<&Value>), NotKnown> {
        let loadout = self.facts.entry(self.loadout)?;
        for fact in loadout.all("ballast") {
            let here =
                fact.slot("bay").is_some_and(|named| named.targets().contains(&bay));
            if let (true, Some(mass)) = (here, fact.slot("mass")) {
                return Ok((mass.quantity().map_or(0.0, Quantity::si), Some(mass)));
            }
        }
        Ok((0.0, None))
    }

    fn ballast_edit(
        &self,
        bay: &str,
        written: Option<&Value>,
        total: &Quantity,
    ) -> Result<Vec<Edit>, NotKnown> {
        if let Some(value) = written {
            return Ok(planned_edit(value, &total.to_string()).into_iter().collect());
        }
        let loadout = self.facts.entry(self.loadout)?;
        let last = loadout.facts.iter().map(|fact| fact.span).max_by_key(|span| span.end);
        let edit = last.map(|last| Edit {
            span: last.after(),
            text: format!("; ballast {bay} {total} [plan]"),
        });
        Ok(edit.into_iter().collect())
    }

    /// A shorter slide, where one keeps every corner inside.
    fn shorter(&self, index: usize, choice: &Choice) -> Result<Option<Remedy>, NotKnown> {
        let Open::Slide(low, high) = &choice.open else { return Ok(None) };
        let (mut from, mut to) = (low.si(), high.si());
        for chosen in self.fitted.ways().unwrap_or_default() {
            if chosen.get(index).copied().unwrap_or(false) {
                continue;
            }
            let mut other = chosen.clone();
            other.get_mut(index).into_iter().for_each(|end| *end = true);
            let (a, b) = (self.corner(&chosen)?, self.corner(&other)?);
            let travel = high.si() - low.si();
            let rate = (b.x - a.x) / travel;
            if travel <= 0.0 || rate <= 0.0 {
                return Ok(None);
            }
            let spread = a.spread.max(b.spread);
            from = from.max(low.si() + (self.band.low + spread - a.x) / rate);
            to = to.min(low.si() + (self.band.high - spread - a.x) / rate);
        }
        let unit = low.unit();
        let step = step(unit);
        let from = (in_steps(from, unit) - TINY).ceil() * step;
        let to = (in_steps(to, unit) + TINY).floor() * step;
        if from >= to {
            return Ok(None);
        }
        let end = |value: f64| Quantity::new(value, unit).with_axis(Some(Axis::Length));
        let (from, to) = (end(from), end(to));
        let item = choice.items.first().and_then(|item| self.fitted.items.get(*item));
        let Some(item) = item else { return Ok(None) };
        let says = format!(
            "fit stops so that {} slides only from {from} to {to}: every corner is then inside",
            item.name
        );
        let entry = self.facts.entry(item.entry)?;
        let value = entry.fact("slides").and_then(Fact::first);
        let edit = value.and_then(|value| planned_edit(value, &format!("{from}..{to}")));
        let edits = edit.into_iter().collect();
        Ok(Some(Remedy { says, edits, safety: Safety::Offered }))
    }

    fn corner(&self, chosen: &[bool]) -> Result<Point, NotKnown> {
        let items: Vec<Item> =
            self.fitted.items_when(chosen).map(|(_, item)| item).collect();
        self.point(&items, &[])
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

    fn say_point(&self, point: Point) -> String {
        let unit = self.facts.length_unit();
        let at = Quantity::from_si(point.x, &unit)
            .with_axis(Some(Axis::Length))
            .with_spread_si(point.spread);
        let best = if (point.x - self.band.best).abs() < step(&unit) * BEST {
            "the best place"
        } else {
            "with its whole spread inside the band"
        };
        format!("{}, {best}", at.with_spread())
    }
}

/// Two places that differ by less than this, in metres or steps, are one.
const TINY: f64 = 1e-9;

/// Within this many metres for each unit of step, a balance counts as the best place.
const BEST: f64 = 0.001;

/// The step that a person can set, in a unit.
fn step(unit: &Unit) -> f64 {
    match unit.text() {
        "kg" | "m" => 0.001,
        "in" | "inch" | "oz" => 0.05,
        "cm" => 0.1,
        "lb" | "ft" => 0.01,
        _ => 1.0,
    }
}

fn in_steps(si: f64, unit: &Unit) -> f64 {
    unit.of_si(si) / step(unit)
}

/// The values near one that a person can set, in SI units: the nearest on the side of
/// the way that is gone first, then on and on, then back.
fn steps(si: f64, way: f64, unit: &Unit) -> Vec<f64> {
    let exact = in_steps(si, unit);
    let (first, back) =
        if way < 0.0 { (exact.floor(), 1.0) } else { (exact.ceil(), -1.0) };
    let near = [0.0, -back, -2.0 * back, -3.0 * back, -4.0 * back, back];
    near.iter().map(|more| unit.to_si((first + more) * step(unit))).collect()
}

/// Writes a planned value in the place of one that nobody has measured.
fn planned_edit(value: &Value, text: &str) -> Option<Edit> {
    let source = value.source.as_ref();
    let is_measured = source.is_some_and(|s| matches!(s.word, "measured" | "weighed"));
    if is_measured || value.via.is_some() {
        return None;
    }
    // A source that stands right behind the value is replaced with it.
    let behind = source.filter(|source| {
        source.span.file == value.span.file
            && source.span.start >= value.span.end
            && source.span.start - value.span.end <= 4
    });
    let span = behind.map_or(value.span, |source| value.span.to(source.span));
    Some(Edit { span, text: format!("{text} [plan]") })
}
