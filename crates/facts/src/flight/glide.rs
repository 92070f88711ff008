//! How a loadout glides without power, by its stated drag and the lattice's.

use std::rc::Rc;

use trimsheet_model::Value;
use trimsheet_model::quantity::{Quantity, STANDARD_GRAVITY, Unit};
use trimsheet_physics::lattice::{State, Symmetric};
use trimsheet_physics::polar::{Flight, Glide, Polar};

use super::of_loadout;
use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What};

/// The lift coefficient at which the induced drag of a shape is read off: in the middle
/// of those that a model flies at. What washout adds there counts as induced by lift.
const READ_OFF_AT: f64 = 0.5;

/// The height in m from which a glide is told.
const FROM_HEIGHT: f64 = 100.0;

/// What a glide follows from; drag and lift limit each with its spread.
struct Gliding {
    flight: Flight,
    induced_factor: f64,
    drag: (f64, f64),
    limit: Option<(f64, f64)>,
}

/// The furthest glide and that of the least sink.
type Both = (Glide, Glide);

impl Gliding {
    /// With the drag and the lift limit so many spreads off.
    fn with(&self, drag: f64, limit: f64) -> Option<Both> {
        let polar = Polar {
            zero_lift_drag: self.drag.0 + drag * self.drag.1,
            induced_factor: self.induced_factor,
        };
        let most = self.limit.map(|(most, spread)| most + limit * spread);
        polar.best_glide(&self.flight, most).zip(polar.least_sink(&self.flight, most))
    }

    /// One number of the two glides, with its spread.
    fn number(&self, of: impl Fn(&Both) -> f64) -> Option<(f64, f64)> {
        let half = |low: Option<Both>, high: Option<Both>| {
            let ends = low.zip(high);
            ends.map_or(0.0, |(low, high)| (of(&high) - of(&low)) / 2.0)
        };
        let by_drag = half(self.with(-1.0, 0.0), self.with(1.0, 0.0));
        let by_limit = half(self.with(0.0, -1.0), self.with(0.0, 1.0));
        let spread = (by_drag * by_drag + by_limit * by_limit).sqrt();
        Some((of(&self.with(0.0, 0.0)?), spread))
    }
}

impl Facts {
    /// How a loadout glides without power, at its speeds of furthest way and least sink.
    pub(crate) fn glide(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let gliding = self.gliding(loadout)?;
        let span = self.must(self.wing_id()?, "drag")?.span;
        let says = "without drag, mass or lift there is no glide";
        let number = |of: fn(&Both) -> f64| {
            gliding.number(of).ok_or_else(|| NotKnown::impossible(says, Some(span)))
        };
        let speed =
            |of: fn(&Both) -> f64| number(of).map(|speed| self.speed(speed, loadout));
        let (ratio, unsure) = number(|two| two.0.ratio)?;
        let unit = Unit::read("m").unwrap_or_else(|| self.length_unit());
        let distance = Quantity::from_si(ratio * FROM_HEIGHT, &unit)
            .with_spread_si(unsure * FROM_HEIGHT);
        let fields = vec![
            (
                "distance",
                Known::computed(What::Quantity(distance), "glide", loadout.span),
            ),
            ("speed", speed(|two| two.0.speed)?),
            ("sink", speed(|two| two.0.sink)?),
            ("slow_speed", speed(|two| two.1.speed)?),
            ("least_sink", speed(|two| two.1.sink)?),
        ];
        Ok(Known::computed(What::Record(Rc::new(fields)), "glide", Some(span)))
    }

    /// The area that lifts in m², and what the square of the lift coefficient adds to the
    /// drag coefficient.
    pub(crate) fn lifting(&self) -> Result<(f64, f64), NotKnown> {
        let shape = self.shape()?;
        Ok((shape.symmetric.reference.area, induced(&shape.symmetric)))
    }

    fn gliding(&self, loadout: &Known) -> Result<Gliding, NotKnown> {
        let drag = self.coefficient("drag")?;
        let drag = match drag {
            Some(drag) => drag,
            None => return Err(absent(self.entry(self.wing_id()?)?, "drag")),
        };
        let mass = self.mass(of_loadout(loadout)?)?;
        let mass = mass.quantity().map_or(0.0, Quantity::si);
        let (area, induced_factor) = self.lifting()?;
        let flight =
            Flight { loading: mass * STANDARD_GRAVITY / area, density: self.density()? };
        let limit = self.coefficient("lift-limit")?;
        Ok(Gliding { flight, induced_factor, drag, limit })
    }

    /// A coefficient of the wing with its spread, if the spec states it.
    pub(crate) fn coefficient(
        &self,
        word: &'static str,
    ) -> Result<Option<(f64, f64)>, NotKnown> {
        let wing = self.wing_id()?;
        let Some(fact) = self.fact(wing, word)? else { return Ok(None) };
        let value = self.slot(self.entry(wing)?, fact, "coefficient")?;
        let number = value.and_then(Value::quantity);
        Ok(number.map(|number| (number.si(), number.spread_si().unwrap_or(0.0))))
    }
}

/// What the square of the lift coefficient adds to the drag coefficient of a shape.
fn induced(shape: &Symmetric) -> f64 {
    let angle = (READ_OFF_AT - shape.incidence.lift) / shape.angle_of_attack.lift;
    let state = State { angle_of_attack: angle, ..State::default() };
    shape.induced_drag(&state) / (READ_OFF_AT * READ_OFF_AT)
}
