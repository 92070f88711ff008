//! Margins of stability, and the edges and speeds that trim.

use std::rc::Rc;

use trimsheet_model::quantity::{Axis, Quantity};
use trimsheet_model::{EntryId, Value};
use trimsheet_physics::loading::stall_speed;
use trimsheet_physics::trim::Pitch;

use super::Shape;
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What, Why};

/// How unsure the neutral point of a lattice is, as a share of the mean chord.
///
/// The lattice's own error is a tenth of a per cent; the body, the propeller and the
/// thickness that it leaves out move the neutral point by a few. Common practice, no
/// source.
const NEUTRAL_POINT_SPREAD: f64 = 0.02;

/// A loadout in steady flight: what every question about trim starts from.
pub(super) struct Flying {
    pub(super) pitch: Pitch,
    pub(super) surface: EntryId,
    /// Mass in kg, balance point in m aft, each with its spread; the neutral point's
    /// spread counts as the balance point's.
    pub(super) mass: (f64, f64),
    pub(super) balance: (f64, f64),
    pub(super) area: f64,
    pub(super) density: f64,
}

impl Facts {
    /// Where lift by angle of attack acts, with its spread.
    pub(crate) fn neutral_point(&self) -> Result<Known, NotKnown> {
        let shape = self.shape()?;
        let (station, spread) = self.lift_acts_at(&shape)?;
        let place = Quantity::from_si(station, &self.length_unit());
        let place = place.with_spread_si(spread).with_axis(Some(Axis::Length));
        let wing = self.wing()?.span;
        Ok(Known::computed(What::Quantity(place), "neutral_point", wing))
    }

    fn lift_acts_at(&self, shape: &Shape) -> Result<(f64, f64), NotKnown> {
        let says = "the shape does not lift, so it has no neutral point";
        let none = || NotKnown::impossible(says, self.build.whole);
        let station = shape.symmetric.neutral_point().ok_or_else(none)?;
        Ok((station, NEUTRAL_POINT_SPREAD * shape.symmetric.reference.chord))
    }

    /// How far a balance point lies ahead of the neutral point, as a share of the mean
    /// chord; below nought behind it.
    pub(crate) fn margin_of(&self, balance: &Known) -> Result<Known, NotKnown> {
        let shape = self.shape()?;
        let (station, unsure) = self.lift_acts_at(&shape)?;
        let x = balance.field("x").and_then(Known::quantity);
        let (x, spread) = x.map_or((0.0, 0.0), with_spread);
        let chord = shape.symmetric.reference.chord;
        let margin = Quantity::from_si((station - x) / chord, &Facts::percent());
        let margin = margin.with_spread_si(both(spread, unsure) / chord);
        Ok(Known::computed(What::Quantity(margin), "static_margin", balance.span))
    }

    /// The hinged surface that trims: on the wing of a tailless, or else on the tail.
    pub(crate) fn pitch_control(&self) -> Result<Known, NotKnown> {
        let tailless = self.is_tailless()?;
        self.control_on(if tailless { "wing" } else { "tail" })
    }

    /// The hinged surface that rolls: on the wing.
    pub(crate) fn roll_control(&self) -> Result<Known, NotKnown> {
        self.control_on("wing")
    }

    pub(super) fn is_tailless(&self) -> Result<bool, NotKnown> {
        let wing = self.wing_id()?;
        let (entry, fact) = (self.entry(wing)?, self.must(wing, "layout")?);
        let layout = self.slot(entry, fact, "layout")?.and_then(Value::text);
        Ok(layout == Some("tailless"))
    }

    fn control_on(&self, word: &'static str) -> Result<Known, NotKnown> {
        let mut all = Vec::new();
        for (of, _) in self.of_word(word) {
            all.extend(self.hinged_to(of)?);
        }
        match all.as_slice() {
            [only] => Ok(self.known_entry(*only)),
            [] => {
                let says = format!("no surface is hinged to a {word}");
                Err(NotKnown { why: Why::Absent, says, span: self.build.whole })
            }
            [_, second, ..] => {
                let says = format!(
                    "more than one surface is hinged to a {word}, and which of them trims is not stated"
                );
                let span = Some(self.entry(*second)?.span());
                Err(NotKnown::impossible(says, span))
            }
        }
    }

    /// A loadout that leaves nothing open, in steady flight.
    pub(super) fn flying(&self, loadout: EntryId) -> Result<Flying, NotKnown> {
        let balance = self.balance(loadout)?;
        let number = |field: &str| {
            balance.field(field).and_then(Known::quantity).map_or((0.0, 0.0), with_spread)
        };
        let (mass, (x, spread)) = (number("mass"), number("x"));
        let surface = self.pitch_control()?;
        let surface = surface.entry().ok_or_else(|| NotKnown::no_such("no surface"))?;
        let shape = self.shape()?;
        shape.sections.clone()?;
        let flap = shape.flap_of(surface)?;
        let effect = shape.symmetric.flaps.get(flap).map(|flap| flap.hinge);
        let section = self.section_moment(self.wing_id()?)?;
        let pitch =
            effect.and_then(|effect| Pitch::new(&shape.symmetric, effect, section));
        let says = "the shape does not lift, so nothing trims";
        let pitch = pitch.ok_or_else(|| NotKnown::impossible(says, self.build.whole))?;
        let (_, unsure) = self.lift_acts_at(&shape)?;
        Ok(Flying {
            pitch,
            surface,
            mass,
            balance: (x, both(spread, unsure)),
            area: shape.symmetric.reference.area,
            density: self.density()?,
        })
    }

    /// The lift and the speed at which a loadout flies level with the stick let go.
    pub(crate) fn hands_off(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let id = super::of_loadout(loadout)?;
        let flying = self.flying(id)?;
        let reflex = self.reflex_angle(flying.surface)?;
        let lift = |x: f64| flying.pitch.lift_at(reflex, x);
        let speed = |x: f64| flying.speed(lift(x)?);
        let says = "with its edges so, it does not settle at any speed: behind the neutral \
                    point, or held nose down";
        let span = self.must(flying.surface, "reflex")?.span;
        let none = || NotKnown::impossible(says, Some(span));
        let fields = vec![
            ("lift", self.share(flying.unsure(lift).ok_or_else(none)?, loadout)),
            ("speed", self.speed(flying.unsure(speed).ok_or_else(none)?, loadout)),
        ];
        let record = What::Record(Rc::new(fields));
        Ok(Known::computed(record, "hands_off", Some(span)))
    }

    /// Where the edge has to stand to fly level at the speed that is wanted.
    pub(crate) fn reflex_wanted(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let wanted = self.of(loadout, "trim_speed")?;
        let speed = wanted.quantity().map_or(0.0, Quantity::si);
        let flying = self.flying(super::of_loadout(loadout)?)?;
        let lift = flying.lift(speed).ok_or_else(|| {
            NotKnown::impossible("at no speed nothing is trimmed", wanted.span)
        })?;
        let edge = self.edge_of(&flying, lift, loadout)?;
        Ok(Known { span: wanted.span, ..edge })
    }

    /// Where the edge has to stand to hold a lift coefficient, at the inner end of the
    /// surface that trims.
    ///
    /// # Errors
    /// What of the shape, the balance or the surface is not known, or that the surface
    /// does not reach so far.
    pub fn edge_for(&self, loadout: &Known, lift: &Quantity) -> Result<Known, NotKnown> {
        let flying = self.flying(super::of_loadout(loadout)?)?;
        self.edge_of(&flying, lift.si(), loadout)
    }

    fn edge_of(
        &self,
        flying: &Flying,
        lift: f64,
        loadout: &Known,
    ) -> Result<Known, NotKnown> {
        let angle = |x: f64| flying.pitch.control_for(lift, x);
        let title = self.entry(flying.surface)?.title();
        let says = format!("{title} does nothing in pitch");
        let (angle, spread) = flying
            .unsure(angle)
            .ok_or_else(|| NotKnown::impossible(says, loadout.span))?;
        if angle.abs() > STEEPEST {
            let says = format!("no angle of {title} holds that lift");
            return Err(NotKnown::impossible(says, loadout.span));
        }
        let height = self.edge_height(flying.surface, angle)?;
        let further = self.edge_height(flying.surface, angle + spread)?;
        Ok(self.edge(height, (further - height).abs(), loadout))
    }

    /// The furthest that an edge goes up, or down, from flat, over all rates.
    pub(crate) fn furthest(&self, surface: &Known, up: bool) -> Result<Known, NotKnown> {
        let id = surface.entry().ok_or_else(|| NotKnown::no_such("no surface"))?;
        let travel = self.travel(id)?;
        let angle = if up { travel.up } else { travel.down };
        let height = self.edge_height(id, angle)?;
        let span = self.must(id, "throw")?.span;
        Ok(Known { span: Some(span), ..self.edge(height, 0.0, surface) })
    }
}

impl Flying {
    /// The speed at which a lift coefficient carries the mass, in m/s.
    pub(super) fn speed(&self, lift: f64) -> Option<f64> {
        stall_speed(self.mass.0, self.area, self.density, lift)
    }

    /// The lift coefficient that carries the mass at a speed.
    pub(super) fn lift(&self, speed: f64) -> Option<f64> {
        // The speed at a lift coefficient of one, over the speed: squared.
        let at_one = self.speed(1.0)?;
        Some(at_one * at_one / speed / speed).filter(|lift| lift.is_finite())
    }

    /// A number that follows from the balance point, with its spread.
    ///
    /// Where an end of the balance point's spread has no answer, all of it is unsure.
    pub(super) fn unsure(&self, of: impl Fn(f64) -> Option<f64>) -> Option<(f64, f64)> {
        let (x, spread) = self.balance;
        let value = of(x)?;
        let ends = of(x - spread).zip(of(x + spread));
        Some((value, ends.map_or(value.abs(), |(a, b)| (a - b).abs() / 2.0)))
    }
}

/// A surface that is turned further than this is no flap any more, in radians.
const STEEPEST: f64 = 0.8;

fn with_spread(quantity: &Quantity) -> (f64, f64) {
    (quantity.si(), quantity.spread_si().unwrap_or(0.0))
}

fn both(one: f64, other: f64) -> f64 {
    (one * one + other * other).sqrt()
}
