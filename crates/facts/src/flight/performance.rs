//! Air, roll, thrust, and where to hold the wing to balance it.

use std::rc::Rc;

use trimsheet_model::quantity::{Axis, Dimension, Quantity, STANDARD_GRAVITY, Unit};
use trimsheet_model::{Entry, EntryId, Fact, Kind, Value};
use trimsheet_physics::atmosphere::{Air, air};
use trimsheet_physics::loading::stall_speed_in_turn;
use trimsheet_physics::planform::rib_at;

use super::{of_loadout, trim::Flying};
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};

impl Facts {
    /// The air of the field: of the standard atmosphere at its height, as warm as is
    /// stated; at sea level on a standard day where the spec says nothing of it.
    fn air(&self) -> Result<Air, NotKnown> {
        let model = self.of_word("model").next().map(|(id, _)| id);
        let number = |word: &'static str, slot: &str| -> Result<Option<f64>, NotKnown> {
            let Some(model) = model else { return Ok(None) };
            let Some(fact) = self.fact(model, word)? else { return Ok(None) };
            let value = self.slot(self.entry(model)?, fact, slot)?;
            Ok(value.and_then(Value::quantity).map(Quantity::si))
        };
        let height = number("field-height", "height")?.unwrap_or(0.0);
        let temperature = number("field-temperature", "temperature")?;
        air(height, temperature).ok_or_else(|| {
            let says = "the standard atmosphere does not reach to this height, or knows no \
                        such temperature";
            let span = model.and_then(|id| self.build.entry(id)).map(Entry::span);
            NotKnown::impossible(says, span)
        })
    }

    /// The density of the air of the field in kg/m³.
    pub(crate) fn density(&self) -> Result<f64, NotKnown> {
        self.air().map(|air| air.density)
    }

    /// The air of the field, as rules read it.
    pub(crate) fn known_air(&self) -> Result<Known, NotKnown> {
        let found = self.air()?;
        let of = |value: f64, dimension: Dimension| {
            let unit = Unit::for_dimension(dimension);
            What::Quantity(Quantity::from_si(value, &unit))
        };
        let fields = [
            ("density", of(found.density, Dimension::DENSITY)),
            ("pressure", of(found.pressure, Dimension::PRESSURE)),
            ("temperature", of(found.temperature, Dimension::TEMPERATURE)),
        ];
        let span = self.build.whole;
        let named = fields.map(|(name, what)| {
            (name, Known::computed(what, format!("air.{name}"), span))
        });
        Ok(Known::computed(What::Record(Rc::new(named.into())), "air", span))
    }

    /// The stall speed in a level turn at a bank.
    ///
    /// # Errors
    /// What of mass and outline is not known, or that no turn is that steep.
    pub fn turning_stall_speed(
        &self,
        loadout: &Known,
        lift_limit: &Quantity,
        bank: &Quantity,
    ) -> Result<Known, NotKnown> {
        let level = self.stall_speed(loadout, lift_limit)?;
        let level = level.quantity().ok_or_else(|| NotKnown::no_such("no speed"))?;
        let factor = stall_speed_in_turn(1.0, bank.si());
        let says = "no level turn is banked so steeply";
        let factor = factor.ok_or_else(|| NotKnown::impossible(says, loadout.span))?;
        let what = What::Quantity(level.scaled(factor));
        Ok(Known::computed(what, "turning_stall_speed", loadout.span))
    }

    /// How fast a loadout rolls in the end, at its trim speed with the stick full over.
    pub(crate) fn roll_rate(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let wanted = self.of(loadout, "trim_speed")?;
        let speed = wanted.quantity().map_or(0.0, Quantity::si);
        let surface = self.roll_control()?;
        let id = surface.entry().ok_or_else(|| NotKnown::no_such("no surface"))?;
        let shape = self.shape()?;
        let flap = shape.flap_of(id)?;
        let travel = self.travel(id)?;
        let angle = (travel.down - travel.up) / 2.0;
        let mut flaps = vec![0.0; flap];
        flaps.push(angle);
        let rate = shape.antisymmetric()?.steady_roll(&flaps, speed).map(f64::abs);
        let says = "the surface does nothing in roll, or nothing damps it";
        let rate = rate.ok_or_else(|| NotKnown::impossible(says, surface.span))?;
        let unit = Unit::read("deg/s")
            .unwrap_or_else(|| Unit::for_dimension(Dimension::ANGULAR_SPEED));
        let rate = What::Quantity(Quantity::from_si(rate, &unit));
        Ok(Known::computed(rate, "roll_rate", wanted.span))
    }

    /// What the thrust line does to the nose at full thrust: how high it lies over the
    /// balance point, its moment as a share of what the static margin puts right, and the
    /// edge that holds it at the trim speed.
    pub(crate) fn thrust_line(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let flying = self.flying(of_loadout(loadout)?)?;
        let balance = self.balance(of_loadout(loadout)?)?;
        let z = balance.field("z").and_then(Known::quantity).map_or(0.0, Quantity::si);
        let (mut thrust, mut moment, mut line) = (0.0, 0.0, None);
        for motor in self.parts_of_kind("motor")? {
            let id = motor.entry().ok_or_else(|| NotKnown::no_such("no motor"))?;
            let force = self.of(&motor, "thrust")?;
            let newtons = force.quantity().map_or(0.0, Quantity::si);
            let height = self.height_of(id)?;
            thrust += newtons;
            moment += newtons * (height - z);
            line.get_or_insert(force.span);
        }
        let span = line.flatten();
        let none = || NotKnown::impossible("no motor states its thrust", span);
        let offset = Some(moment / thrust).filter(|offset| offset.is_finite());
        let offset = offset.ok_or_else(none)?;
        let (x, _) = flying.balance;
        let margin = flying.pitch.static_margin(x);
        // q S CL is the weight, so no speed is needed: what rights the nose by one lift
        // coefficient is the margin times that.
        let weight = flying.mass.0 * STANDARD_GRAVITY;
        let share = moment / (margin * weight * flying.pitch.mean_chord);
        let height = Quantity::from_si(offset, &self.length_unit());
        let height = height.with_axis(Some(Axis::Height));
        let mut fields = vec![
            (
                "offset",
                Known::computed(What::Quantity(height), "thrust_line.offset", span),
            ),
            ("share", self.share((share.abs(), 0.0), loadout)),
        ];
        fields.push(("edge", self.thrust_edge(loadout, &flying, moment)?));
        Ok(Known::computed(What::Record(Rc::new(fields)), "thrust_line", span))
    }

    /// How far the edge has to move from trim at the trim speed to hold a moment, in N m.
    fn thrust_edge(
        &self,
        loadout: &Known,
        flying: &Flying,
        moment: f64,
    ) -> Result<Known, NotKnown> {
        let wanted = self.of(loadout, "trim_speed")?;
        let speed = wanted.quantity().map_or(0.0, Quantity::si);
        let pressure = flying.density * speed * speed / 2.0;
        let coefficient = moment / (pressure * flying.area * flying.pitch.mean_chord);
        // Thrust above the balance point turns the nose down: the control turns it up.
        let angle = coefficient / flying.pitch.control.moment;
        let says = "nothing holds the nose at this speed";
        let angle = Some(angle).filter(|angle| angle.abs() < 1.0);
        let angle = angle.ok_or_else(|| NotKnown::impossible(says, wanted.span))?;
        Ok(self.edge(self.edge_height(flying.surface, angle)?, 0.0, loadout))
    }

    /// How high a part lies, in m; on the line that places are measured from if it says
    /// nothing of it.
    fn height_of(&self, part: EntryId) -> Result<f64, NotKnown> {
        let fact = self.must(part, "at")?;
        let place = fact.first().map(|value| &value.kind);
        let Some(Kind::Place(place)) = place else { return Ok(0.0) };
        let place = place.upward.as_ref();
        Ok(place.map_or(0.0, Quantity::si))
    }

    /// Where to hold the wing to balance it, behind its leading edge at the place where
    /// it is held: the band, carried out along the span.
    pub(crate) fn held_band(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let id = self.wing_id()?;
        let held = self.must(id, "held")?;
        let out = held.first().and_then(Value::quantity).map_or(0.0, Quantity::si);
        let edge = self.leading_edge_at(id, out, held)?;
        let band = self.of(loadout, "band")?;
        let What::Range(low, high) = &band.what else {
            return Err(NotKnown::no_such("a band is a range of places"));
        };
        let best = if self.has(&band, "best")? {
            self.of(&band, "best")?.quantity().map(Quantity::si)
        } else {
            None
        };
        let behind = |place: f64| {
            let behind = Quantity::from_si(place - edge, &self.length_unit());
            Known::computed(What::Quantity(behind), "held_band", Some(held.span))
        };
        let mut fields = vec![("forward", behind(low.si())), ("aft", behind(high.si()))];
        fields.extend(best.map(|best| ("best", behind(best))));
        Ok(Known::computed(What::Record(Rc::new(fields)), "held_band", Some(held.span)))
    }

    fn leading_edge_at(
        &self,
        wing: EntryId,
        out: f64,
        held: &Fact,
    ) -> Result<f64, NotKnown> {
        let ribs = self.ribs(wing)?;
        let rib = rib_at(&ribs, out).ok_or_else(|| {
            let says = "the wing has no rib so far out, so nothing can hold it there";
            NotKnown::impossible(says, Some(held.span))
        })?;
        Ok(rib.leading_edge)
    }

    /// A number without a unit, with its spread.
    pub(super) fn share(&self, of: (f64, f64), about: &Known) -> Known {
        let unit = Unit::for_dimension(Dimension::NONE);
        let share = Quantity::from_si(of.0, &unit).with_spread_si(of.1);
        Known::computed(What::Quantity(share), &about.name, about.span)
    }

    /// A speed in m/s, with its spread.
    pub(super) fn speed(&self, of: (f64, f64), about: &Known) -> Known {
        let unit = Unit::for_dimension(Dimension::SPEED);
        let speed = Quantity::from_si(of.0, &unit).with_spread_si(of.1);
        Known::computed(What::Quantity(speed), &about.name, about.span)
    }
}
