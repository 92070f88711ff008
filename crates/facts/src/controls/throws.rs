//! From what a builder reads off an edge to angles at a hinge.
//!
//! Angles are about the hinge, in radians, trailing edge down positive, as the lattice
//! counts them; of an upright surface, trailing edge right positive.

use std::rc::Rc;

use trimsheet_model::quantity::{Axis, Dimension, Quantity, Side, Unit};
use trimsheet_model::{Entry, EntryId, Fact, Value};
use trimsheet_physics::throw::{Measure, edge_height};

use super::stated::Stated;
use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What};

/// One way that a surface goes at a rate.
pub(crate) struct Throw {
    pub(crate) rate: String,
    pub(crate) side: Side,
    /// The angle from where it counts from, and the angle at which that stands.
    pub(crate) angle: f64,
    pub(crate) neutral: f64,
    /// From the hinge to the edge where it is measured, in m.
    pub(crate) depth: f64,
    /// What the spec says.
    pub(crate) said: Known,
}

impl Throw {
    /// The angle from flat.
    pub(crate) fn angle_from_flat(&self) -> f64 {
        self.neutral + self.angle
    }
}

impl Facts {
    /// Each way that a surface goes, at each of its rates, in the order of the text.
    pub(crate) fn throws(&self, surface: EntryId) -> Result<Vec<Throw>, NotKnown> {
        self.must(surface, "throw")?;
        let mut throws = Vec::new();
        for stated in self.stated(surface, "throw")? {
            let Stated { fact, value, .. } = stated;
            let Some(said) = value.quantity() else { continue };
            let neutral = self.throw_counts_from(surface, fact)?;
            for (side, size) in self.sides(surface, fact, said)? {
                let depth = self.depth_at(surface, fact, size)?;
                let size =
                    if matches!(side, Side::Up | Side::Left) { size } else { -size };
                throws.push(Throw {
                    rate: stated.rate.to_owned(),
                    side,
                    angle: self.turned(surface, fact, said, size, (depth, neutral))?,
                    neutral,
                    depth,
                    said: stated.known.clone(),
                });
            }
        }
        Ok(throws)
    }

    /// To which sides a stated throw goes, and how far to each.
    fn sides(
        &self,
        surface: EntryId,
        throw: &Fact,
        said: &Quantity,
    ) -> Result<Vec<(Side, f64)>, NotKnown> {
        if let Some(axis) = said.axis() {
            return Ok(vec![(axis.side(said.si()), said.si().abs())]);
        }
        let entry = self.entry(surface)?;
        let share = match self.slot(entry, throw, "counted")?.and_then(Value::text) {
            Some("each-way") => 1.0,
            Some("total") => 0.5,
            Some(_) | None => {
                let says = format!(
                    "the throw of {} does not say whether it is `each-way` or in `total`",
                    entry.title()
                );
                return Err(NotKnown::impossible(says, Some(throw.span)));
            }
        };
        let both = match self.is_upright(surface)? {
            true => [Side::Left, Side::Right],
            false => [Side::Up, Side::Down],
        };
        Ok(both.map(|side| (side, said.si() * share)).to_vec())
    }

    /// Whether a surface is hinged to a fin, so that its edge goes left and right.
    pub(crate) fn is_upright(&self, surface: EntryId) -> Result<bool, NotKnown> {
        let on = self.hinged_on(surface)?.and_then(|on| self.build.entry(on));
        Ok(on.is_some_and(|on| on.row.word == "fin"))
    }

    /// The angle by which an edge is turned that goes so far up or left, below nought the
    /// other way: from an angle at which it stands, where it is so deep.
    pub(super) fn turned(
        &self,
        surface: EntryId,
        fact: &Fact,
        said: &Quantity,
        size: f64,
        (depth, neutral): (f64, f64),
    ) -> Result<f64, NotKnown> {
        if said.dimension() == Dimension::ANGLE {
            return Ok(-size);
        }
        let entry = self.entry(surface)?;
        let measure = self.measure(entry, fact)?;
        measure.angle_from(depth, neutral, size).ok_or_else(|| {
            let says = format!(
                "the edge of {} would stand further from flat than it is deep",
                entry.title()
            );
            NotKnown::impossible(says, Some(fact.span))
        })
    }

    /// How the millimetres of a line are read.
    fn measure(&self, entry: &Entry, fact: &Fact) -> Result<Measure, NotKnown> {
        let has_slot = fact.row.slots.iter().any(|slot| slot.name == "read");
        let read = if has_slot { self.slot(entry, fact, "read")? } else { None };
        Ok(match read.and_then(Value::text) {
            Some("edge-to-edge") => Measure::StraightGap,
            Some("upright-rule") => Measure::UprightRuler,
            Some(_) | None => Measure::StraightUp,
        })
    }

    /// How deep a surface is where a line counts, in m.
    pub(crate) fn depth_at(
        &self,
        surface: EntryId,
        fact: &Fact,
        size: f64,
    ) -> Result<f64, NotKnown> {
        let (root, tip) = self.hinge_to_edge(surface)?;
        Ok(if self.is_at_tip(surface, fact, size)? { tip } else { root })
    }

    /// At which end of a surface a line counts; at which does not matter for nought, nor
    /// for an angle, nor where both ends are equally deep.
    fn is_at_tip(
        &self,
        surface: EntryId,
        fact: &Fact,
        size: f64,
    ) -> Result<bool, NotKnown> {
        let entry = self.entry(surface)?;
        let at = self.slot(entry, fact, "at")?.and_then(Value::text);
        let (root, tip) = self.hinge_to_edge(surface)?;
        let is_angle = fact
            .values
            .iter()
            .filter_map(|(_, value)| value.quantity())
            .any(|number| number.dimension() == Dimension::ANGLE);
        let is_alike = is_angle || (root - tip).abs() < ALIKE || size.abs() < ALIKE;
        match at {
            Some("tip") => Ok(true),
            Some(_) => Ok(false),
            None if is_alike => Ok(false),
            None => {
                let says = format!(
                    "the {} of {} does not say at which end it counts, `at root` or `at tip`",
                    fact.row.word,
                    entry.title()
                );
                Err(NotKnown::impossible(says, Some(fact.span)))
            }
        }
    }

    /// The angle of a surface with the stick let go, as its `reflex` states.
    pub(crate) fn reflex_angle(&self, surface: EntryId) -> Result<f64, NotKnown> {
        let fact = self.must(surface, "reflex")?;
        let entry = self.entry(surface)?;
        let edge = self.slot(entry, fact, "edge")?.and_then(Value::quantity);
        let edge = edge.ok_or_else(|| absent(entry, "reflex"))?;
        let depth = self.depth_at(surface, fact, edge.si())?;
        self.turned(surface, fact, edge, edge.si(), (depth, 0.0))
    }

    /// The angle of the surface that a throw counts from: flat, or the reflex.
    fn throw_counts_from(&self, surface: EntryId, throw: &Fact) -> Result<f64, NotKnown> {
        let entry = self.entry(surface)?;
        let from = self.slot(entry, throw, "from")?.and_then(Value::text);
        if from == Some("flat") || self.fact(surface, "reflex")?.is_none() {
            return Ok(0.0);
        }
        let reflex = self.reflex_angle(surface)?;
        if from.is_none() && reflex.abs() > 0.0 {
            let says = format!(
                "the throw of {} does not say from where it counts, `from flat` or `from reflex`",
                entry.title()
            );
            return Err(NotKnown::impossible(says, Some(throw.span)));
        }
        Ok(reflex)
    }

    /// Each way that a surface goes, as rules read it.
    pub(crate) fn travels(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = surface.entry().ok_or_else(|| NotKnown::no_such("no surface"))?;
        let throws = self.throws(id)?;
        let axis = self.edge_axis(id)?;
        let all = throws.iter().map(|throw| {
            let edge = |angle: f64| self.metres(edge_height(throw.depth, angle).abs());
            let read = |measure: Measure| {
                let moved =
                    measure.movement_from(throw.depth, throw.neutral, throw.angle);
                moved.map_or_else(|| edge(throw.angle), |moved| self.metres(moved.abs()))
            };
            let fields = vec![
                ("throw", throw.said.clone()),
                ("rate", words(&throw.rate)),
                ("way", words(throw.side.word())),
                ("depth", number(self.metres(throw.depth), "depth")),
                ("angle", angle(throw.angle.abs())),
                ("straight_up", number(read(Measure::StraightUp), "straight_up")),
                ("edge_to_edge", number(read(Measure::StraightGap), "edge_to_edge")),
                ("upright_rule", number(read(Measure::UprightRuler), "upright_rule")),
                ("from_flat", number(edge(throw.angle_from_flat()), "from_flat")),
                ("stands", sided(throw.angle_from_flat(), axis)),
            ];
            Known {
                span: throw.said.span,
                ..Known::computed(What::Record(Rc::new(fields)), "travel", None)
            }
        });
        let all = Rc::new(all.collect());
        Ok(Known::computed(What::List(all), "travels", surface.span))
    }

    /// How its reflex turns a surface from flat, as rules read it.
    pub(crate) fn reflex_turn(&self, surface: &Known) -> Result<Known, NotKnown> {
        let id = surface.entry().ok_or_else(|| NotKnown::no_such("no surface"))?;
        let span = self.must(id, "reflex")?.span;
        let turn = sided(self.reflex_angle(id)?, self.edge_axis(id)?);
        Ok(Known { span: Some(span), ..turn })
    }

    /// Along which axis the edge of a surface goes.
    pub(crate) fn edge_axis(&self, surface: EntryId) -> Result<Axis, NotKnown> {
        Ok(if self.is_upright(surface)? { Axis::Side } else { Axis::Height })
    }

    /// A length in the unit of the spec.
    pub(crate) fn metres(&self, metres: f64) -> Quantity {
        Quantity::from_si(metres, &self.length_unit())
    }
}

pub(super) fn words(text: &str) -> Known {
    Known::computed(What::Words(text.to_owned()), "words", None)
}

pub(super) fn number(quantity: Quantity, name: &str) -> Known {
    Known::computed(What::Quantity(quantity), name, None)
}

/// An angle as rules read it, in degrees.
pub(super) fn angle(radians: f64) -> Known {
    number(Quantity::from_si(radians, &Unit::for_dimension(Dimension::ANGLE)), "angle")
}

/// An angle about a hinge on the side to which the edge then goes, in degrees.
pub(super) fn sided(radians: f64, axis: Axis) -> Known {
    // The edge goes down or to the right for a positive angle; up and right are positive.
    let sign = if matches!(axis, Axis::Height) { -1.0 } else { 1.0 };
    let unit = Unit::for_dimension(Dimension::ANGLE);
    number(Quantity::from_si(sign * radians, &unit).with_axis(Some(axis)), "angle")
}

/// Two depths that nobody can tell apart with a ruler, in m.
pub(super) const ALIKE: f64 = 1e-4;
