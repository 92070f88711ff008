//! How far the list of parts is from what scale and stand say, and what can be done.

use trimsheet_model::quantity::{Quantity, Unit};
use trimsheet_model::source::{Edit, Remedy, Safety};
use trimsheet_model::{Entry, EntryId};
use trimsheet_physics::balance::{Item, Term};

use super::sheet::Sheet;
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};
use crate::loadout::{Fitted, Variable};
use crate::remedy::{in_steps, step};

/// What a part is called that stands for what the list lacks.
const UNLISTED: &str = "unlisted";

impl Facts {
    /// How much more a loadout weighs on the scale than on the list.
    pub(crate) fn mass_off_list(&self, loadout: EntryId) -> Result<Known, NotKnown> {
        let record = self.mass_base(loadout)?;
        let (mass, spread) = Sheet::of_list_masses(self, record)?.unlisted_mass();
        let mass = Quantity::from_si(mass, &self.mass_unit()).with_spread_si(spread);
        let span = Some(self.entry(loadout)?.span());
        Ok(Known::computed(What::Quantity(mass), "mass_off_list", span))
    }

    /// How much further aft a loadout balances by the records than by the list.
    pub(crate) fn balance_off_list(&self, loadout: EntryId) -> Result<Known, NotKnown> {
        let sheet = Sheet::of_list(self, self.base(loadout)?, loadout)?;
        let (by, spread) = sheet.unlisted_shift()?;
        let by = Quantity::from_si(by, &self.length_unit()).with_spread_si(spread);
        let span = Some(self.entry(loadout)?.span());
        Ok(Known::computed(What::Quantity(by), "balance_off_list", span))
    }

    /// The ways to bring the balance that was measured into a band.
    ///
    /// They are for hands: once the work is done the record is of another aircraft, and
    /// only a new one can take its place, so nothing is written.
    ///
    /// # Errors
    /// What of the records or the band is not known.
    pub fn as_weighed_ways_into(
        &self,
        loadout: &Known,
        band: &Known,
    ) -> Result<Vec<Remedy>, NotKnown> {
        let Some(id) = loadout.entry() else { return Ok(Vec::new()) };
        // Where a part of the list is not known, moves cannot be worked out from it.
        let Ok(sheet) = Sheet::of_list(self, self.base(id)?, id) else {
            return Ok(Vec::new());
        };
        let ways = self.ways_of(id, &sheet.fitted, band, false)?;
        Ok(ways.into_iter().map(|way| Remedy { edits: Vec::new(), ..way }).collect())
    }

    /// Offers to list what is missing as a part whose place is not known, so that the
    /// balance of the list carries the doubt; nothing where the list is no lighter, or where
    /// it is not known how far the airframe reaches.
    ///
    /// # Errors
    /// What of the records or the masses on the list is not known.
    pub fn ways_to_list(&self, loadout: &Known) -> Result<Vec<Remedy>, NotKnown> {
        let Some(id) = loadout.entry() else { return Ok(Vec::new()) };
        let off = self.mass_off_list(id)?;
        let Some(missing) = off.quantity().filter(|mass| 0.0 < mass.si()) else {
            return Ok(Vec::new());
        };
        let Ok(extent) = self.extent() else { return Ok(Vec::new()) };
        let end = |name: &str| {
            let end = extent.field(name).and_then(Known::quantity);
            end.map_or(0.0, Quantity::si)
        };
        // Where parts lie, there may be others, whether a body is drawn there or not.
        let aboard = self.fitted(id).ok();
        let items = aboard.iter().flat_map(|fitted| &fitted.items);
        let places = items.map(|line| {
            let [along, ..] = line.item.at;
            along.value
        });
        let ends = (end("front"), end("rear"));
        let (front, rear) =
            places.fold(ends, |(front, rear), at| (front.min(at), rear.max(at)));
        let unit = self.length_unit();
        let middle = whole(f64::midpoint(front, rear), &unit, f64::round);
        let half = whole((rear - middle).max(middle - front), &unit, up);
        let place =
            format!("{} ± {}", self.station(middle), Quantity::from_si(half, &unit));
        let mass = missing.with_spread();
        let fact = format!(
            "part {UNLISTED}: kind other; mass {mass} [estimated]; at {place} [estimated]\n"
        );
        let effect = self.effect(id, missing, middle, half, (front, rear));
        let effect = effect.unwrap_or_else(|why| {
            format!("how far that moves the balance cannot be said, because {why}")
        });
        let spoilt = self.spoilt_by_listing(missing, middle);
        let edits = match spoilt {
            None => self.before(id, fact).into_iter().collect(),
            Some(_) => Vec::new(),
        };
        let says = format!(
            "or list it as a part of {mass} that lies anywhere from {} to {}: {effect}{}",
            self.station(front),
            self.station(rear),
            spoilt.unwrap_or_default()
        );
        Ok(vec![Remedy { says, edits, safety: Safety::Offered }])
    }

    /// Says which loadout a part of unknown place brings above its limit or out of its
    /// band: that is worse than a list that falls short, and asks for hands first.
    fn spoilt_by_listing(&self, missing: &Quantity, middle: f64) -> Option<String> {
        let unit = self.mass_unit();
        let more = whole(missing.si(), &unit, up);
        let all = self.of_word("loadout").map(|(id, _)| id);
        let spoilt = all.filter_map(|id| {
            let above = self.above_limit_with(id, more);
            let above = above.or_else(|| self.outside_with(id, missing.si(), middle))?;
            Some(format!("; with it \"{}\" {above}", self.entry(id).ok()?.name))
        });
        spoilt.into_iter().next()
    }

    fn above_limit_with(&self, loadout: EntryId, more: f64) -> Option<String> {
        let limit = self.of(&self.known_entry(loadout), "mass_limit").ok()?;
        let (limit, mass) = (limit.quantity()?.si(), self.mass(loadout).ok()?);
        let mass = mass.quantity()?.si();
        let over = mass + more - limit;
        let quantity = |si: f64| Quantity::from_si(si, &self.mass_unit());
        (mass <= limit && 0.0 < over).then(|| {
            format!("weighs {} above its limit of {}", quantity(over), quantity(limit))
        })
    }

    fn outside_with(&self, loadout: EntryId, more: f64, at: f64) -> Option<String> {
        let band = self.of(&self.known_entry(loadout), "band").ok()?;
        let What::Range(low, high) = &band.what else { return None };
        let is_in = |x: f64| low.si() <= x && x <= high.si();
        let fitted = self.fitted(loadout).ok()?;
        let mut places = fitted.ways()?.into_iter().filter_map(|chosen| {
            let closed = fitted.closed(&chosen);
            let (with, items) = with_part(&closed, more, at, [0.0; 2]);
            let [now, ..] = closed.balance(&[]).ok()?.at;
            let then = with.balance_of(&items).ok()?;
            let [x, ..] = then.at;
            (is_in(now) && !is_in(x)).then(|| self.point(&then).with_spread())
        });
        let then = places.next()?;
        Some(format!("balances at {then}, outside its band"))
    }

    /// What a part of unknown place does to the balance of the list.
    fn effect(
        &self,
        loadout: EntryId,
        missing: &Quantity,
        middle: f64,
        half: f64,
        (front, rear): (f64, f64),
    ) -> Result<String, NotKnown> {
        let fitted = self.fitted(loadout)?;
        if !fitted.choices.is_empty() {
            return Ok(
                "how far that moves the balance depends on what is left open".into()
            );
        }
        let point = |at: f64, spreads: [f64; 2]| {
            let (with, items) = with_part(&fitted, missing.si(), at, spreads);
            with.balance_of(&items).map(|balance| self.point(&balance))
        };
        let now = fitted.balance(&[])?;
        let both = point(middle, [missing.spread_si().unwrap_or(0.0), half])?;
        let (ahead, behind) = (point(front, [0.0; 2])?, point(rear, [0.0; 2])?);
        Ok(format!(
            "the list then balances at {} instead of {}, from {ahead} with all of it in \
             front to {behind} with all of it behind",
            both.with_spread(),
            self.point(&now).with_spread(),
        ))
    }

    /// Puts a line before the entry of a loadout, unless its name is taken.
    fn before(&self, loadout: EntryId, line: String) -> Option<Edit> {
        let is_taken = self.build.entries.iter().any(|entry| entry.name == UNLISTED);
        let head = self.build.entry(loadout).map(Entry::span)?;
        let span = trimsheet_model::source::Span { end: head.start, ..head };
        (!is_taken).then_some(Edit { span, text: line })
    }
}

/// What is aboard with one more part, whose mass and place have these spreads.
fn with_part(
    fitted: &Fitted,
    mass: f64,
    at: f64,
    spreads: [f64; 2],
) -> (Fitted, Vec<Item>) {
    let mut fitted = fitted.clone();
    let first = fitted.variables.len();
    fitted.variables.extend(spreads.map(|spread| Variable {
        says: UNLISTED.into(),
        act: String::new(),
        span: None,
        via: None,
        spread,
        source: None,
        assumed: false,
    }));
    let at = Term { value: at, variable: first + 1, weight: 1.0 };
    let middle = Term { value: 0.0, weight: 0.0, ..at };
    let mass = Term { value: mass, variable: first, weight: 1.0 };
    let items = fitted.items.iter().map(|line| line.item);
    let part = Item { mass, at: [at, middle, middle], size: None };
    let items = items.chain([part]).collect();
    (fitted, items)
}

/// The next whole number up, unless it is one but for the last bits.
fn up(value: f64) -> f64 {
    (value - 1e-6).ceil()
}

/// A length in whole steps of what a person can measure.
fn whole(si: f64, unit: &Unit, round: fn(f64) -> f64) -> f64 {
    unit.to_si(round(in_steps(si, unit)) * step(unit))
}
