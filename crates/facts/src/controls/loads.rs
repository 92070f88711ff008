//! What a surface asks of its servo and its rod.

use std::rc::Rc;

use trimsheet_model::quantity::{Dimension, Quantity, STANDARD_GRAVITY, Unit};
use trimsheet_model::source::Span;
use trimsheet_model::{EntryId, Value};
use trimsheet_physics::column::{buckling_force, sleeved};
use trimsheet_physics::flap::section_flap;
use trimsheet_physics::hinge_moment::{MovingSurface, dynamic_pressure, hinge_moment};
use trimsheet_physics::round::Round;

use super::linkage::{entry_of, record, share};
use super::throws::{angle, number};
use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What};

impl Facts {
    /// The hinge moment at the speed limit and the largest throw, against the servo.
    pub(crate) fn servo_load(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let wing = self.wing_id()?;
        let limit = self.must(wing, "speed-limit")?;
        let wing_entry = self.entry(wing)?;
        let speed = self.slot(wing_entry, limit, "speed")?.and_then(Value::quantity);
        let speed = speed.ok_or_else(|| absent(wing_entry, "speed-limit"))?.si();
        let pressure = dynamic_pressure(self.density()?, speed);
        let (shape, chord_share) = self.moving_surface(id)?;
        let flap = section_flap(chord_share);
        let none = || {
            NotKnown::impossible("no hinge moment comes of these numbers", surface.span)
        };
        let (pressure, flap) = pressure.zip(flap).ok_or_else(none)?;
        let incidence = self.level_incidence(pressure).unwrap_or(0.0);
        let moment = |turned: f64| {
            let moment = hinge_moment(&shape, &flap, pressure, incidence, turned);
            moment.map(f64::abs)
        };
        let mut worst = None;
        for course in self.courses_of(id)? {
            let Ok(position) = &course.position else { continue };
            let deflection = course.throw.angle_from_flat();
            let felt = moment(deflection).ok_or_else(none)?;
            let torque = position.holding_torque(felt).map_or(f64::INFINITY, f64::abs);
            if worst.is_none_or(|(_, _, most)| most < torque) {
                worst = Some((deflection, felt, torque));
            }
        }
        let says = "the linkage reaches none of the throws";
        let (deflection, felt, torque) =
            worst.ok_or_else(|| NotKnown::impossible(says, surface.span))?;
        let ServoTorque { has, low_rail, span } = self.servo_torque(id)?;
        let rails = low_rail.into_iter().map(|(volts, line)| {
            Known::computed(What::Quantity(volts), "volts", Some(line))
        });
        let fields = vec![
            ("deflection", angle(deflection.abs())),
            ("moment", number(twist(felt), "moment")),
            ("torque", number(twist(torque), "torque")),
            ("has", number(twist(has), "has")),
            ("times", share(has / torque)),
            (
                "low_rails",
                Known::computed(
                    What::List(Rc::new(rails.collect())),
                    "low_rails",
                    Some(span),
                ),
            ),
        ];
        Ok(record(fields, "servo_load", Some(span)))
    }

    /// What the servo's torque presses the rod with, against what bends it out.
    pub(crate) fn rod_load(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = entry_of(surface)?;
        let entry = self.entry(id)?;
        let fact = self.must(id, "pushrod")?;
        let torque = self.servo_torque(id)?.has;
        let (outer, free) = (
            self.must_number(entry, fact, "dia")?,
            self.must_number(entry, fact, "free")?,
        );
        let inside = self.slot(entry, fact, "inside")?.and_then(Value::quantity);
        let none =
            || NotKnown::impossible("no rod is so thick or so long", Some(fact.span));
        let round = match inside {
            Some(inside) => Round::tube(outer, inside.si()),
            None => Round::rod(outer),
        };
        let round = round.ok_or_else(none)?;
        let young = self.stiffness_of(id, "pushrod")?;
        let stiffness = match self.sleeve(id)? {
            Some((sleeve, of)) => sleeved((round, young), (sleeve, of)),
            None => round.stiffness(young),
        };
        let bears = stiffness.and_then(|stiffness| buckling_force(stiffness, free));
        let bears = bears.ok_or_else(none)?;
        let linkage = self.linkage(id)?;
        let neutral = linkage.position(0.0).ok().and_then(|at| at.push_of_torque(torque));
        let push = neutral.ok_or_else(none)?.abs();
        let sizes = SIZES.iter().filter_map(|size| {
            let round = Round::rod(*size)?;
            let force = buckling_force(round.stiffness(young)?, free)?;
            let fields = vec![
                ("dia", number(self.metres(*size), "dia")),
                ("bears", number(newtons(force), "bears")),
            ];
            Some(record(fields, "size", Some(fact.span)))
        });
        let sizes = What::List(Rc::new(sizes.collect()));
        let fields = vec![
            ("push", number(newtons(push), "push")),
            ("bears", number(newtons(bears), "bears")),
            ("times", share(bears / push)),
            ("sizes", Known::computed(sizes, "sizes", Some(fact.span))),
        ];
        Ok(record(fields, "rod_load", Some(fact.span)))
    }

    /// The angle of attack, from no lift, at which the heaviest loadout flies level.
    fn level_incidence(&self, pressure: f64) -> Result<f64, NotKnown> {
        let mut heaviest: f64 = 0.0;
        for (loadout, _) in self.of_word("loadout") {
            let mass = self.mass(loadout)?;
            heaviest = heaviest.max(mass.quantity().map_or(0.0, Quantity::si));
        }
        let shape = self.shape()?;
        let (slope, area) =
            (shape.symmetric.angle_of_attack.lift, shape.symmetric.reference.area);
        let incidence = heaviest * STANDARD_GRAVITY / (pressure * area * slope);
        let none = || NotKnown::impossible("the shape does not lift", self.build.whole);
        incidence.is_finite().then_some(incidence).ok_or_else(none)
    }

    /// One moving surface of a surface, and its share of the chord.
    fn moving_surface(&self, id: EntryId) -> Result<(MovingSurface, f64), NotKnown> {
        let (inner_chord, outer_chord) = self.hinge_to_edge(id)?;
        let (inner, outer) = self.along_span(id)?;
        // A pair has a servo to each half; what is no pair is moved whole by one.
        let is_pair = self.fact(id, "pair")?.is_some();
        let halves = if is_pair || self.is_upright(id)? { 1.0 } else { 2.0 };
        let length = (outer - inner) * halves;
        Ok((MovingSurface { inner_chord, outer_chord, length }, self.surface_share(id)?))
    }

    /// The torque of the servo of a surface.
    ///
    /// The torque of a motor at a stand goes with its volts. On a rail of fewer volts
    /// than the torque is stated at, the servo has that much less; more volts are not
    /// counted, because some servos limit themselves.
    fn servo_torque(&self, id: EntryId) -> Result<ServoTorque, NotKnown> {
        let servo = self.servo(id)?;
        let (entry, fact) = (self.entry(servo)?, self.must(servo, "torque")?);
        let torque = self.must_number(entry, fact, "torque")?;
        let stated_at = self.slot(entry, fact, "at")?.and_then(Value::quantity);
        let rails = match stated_at {
            Some(_) => self.rails_of(servo)?,
            None => Vec::new(),
        };
        let lowest = rails
            .into_iter()
            .min_by(|(one, _), (other, _)| one.si().total_cmp(&other.si()));
        let low = stated_at.zip(lowest).filter(|(at, (volts, _))| volts.si() < at.si());
        let share = low.as_ref().map_or(1.0, |(at, (volts, _))| volts.si() / at.si());
        let low_rail = low.map(|(_, rail)| rail);
        Ok(ServoTorque { has: torque * share, low_rail, span: fact.span })
    }

    fn sleeve(&self, id: EntryId) -> Result<Option<(Round, f64)>, NotKnown> {
        let Some(fact) = self.fact(id, "sleeve")? else { return Ok(None) };
        let entry = self.entry(id)?;
        let tube = Round::tube(
            self.must_number(entry, fact, "dia")?,
            self.must_number(entry, fact, "inside")?,
        );
        let says = "the sleeve is not wider outside than inside";
        let tube = tube.ok_or_else(|| NotKnown::impossible(says, Some(fact.span)))?;
        Ok(Some((tube, self.stiffness_of(id, "sleeve")?)))
    }

    /// Young's modulus of what a line says that something is made of, in Pa.
    fn stiffness_of(&self, id: EntryId, word: &'static str) -> Result<f64, NotKnown> {
        let entry = self.entry(id)?;
        let fact = self.must(id, word)?;
        let material = self.slot(entry, fact, "material")?.and_then(Value::text);
        match material {
            Some("steel") => Ok(200e9),
            Some("carbon") => Ok(120e9),
            Some("aluminium") => Ok(70e9),
            Some("glass") => Ok(35e9),
            Some("wood") => Ok(10e9),
            Some(_) | None => Err(absent(entry, "material")),
        }
    }
}

/// What a servo can turn with.
struct ServoTorque {
    /// On its rail, in N m.
    has: f64,
    /// The rail, where it has fewer volts than the torque is stated at.
    low_rail: Option<(Quantity, Span)>,
    /// The line that states the torque.
    span: Span,
}

fn twist(newton_metres: f64) -> Quantity {
    Quantity::from_si(newton_metres, &Unit::for_dimension(Dimension::TORQUE))
}

fn newtons(force: f64) -> Quantity {
    Quantity::from_si(force, &Unit::for_dimension(Dimension::FORCE))
}

/// The diameters in which rod and wire are sold, in m (common practice, no source).
const SIZES: [f64; 8] = [0.8e-3, 1e-3, 1.2e-3, 1.5e-3, 2e-3, 2.5e-3, 3e-3, 4e-3];
