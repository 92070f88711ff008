//! From millimetres at an edge to angles at a hinge, and back.
//!
//! Heights are straight up from where the edge lies flat, up positive, as one reads them
//! off an upright ruler: h = c sin δ. Angles are about the hinge, trailing edge down
//! positive, as the lattice counts them.

use trimsheet_model::quantity::{Axis, Quantity};
use trimsheet_model::{EntryId, Fact, Kind, Value};
use trimsheet_physics::throw::{angle_of_edge, edge_height};

use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What};

/// How far the edge of a surface goes from flat, at its inner end, in m.
#[derive(Clone, Copy, Debug)]
pub(super) struct Travel {
    /// The highest that its edge goes; up positive.
    pub(super) up: f64,
    /// The lowest that its edge goes; up positive, so mostly negative.
    pub(super) down: f64,
}

impl Facts {
    /// The angle at which an edge stands so high at one end of its surface.
    pub(super) fn edge_angle(
        &self,
        surface: EntryId,
        height: f64,
        is_at_tip: bool,
    ) -> Result<f64, NotKnown> {
        let (root, tip) = self.hinge_to_edge(surface)?;
        let depth = if is_at_tip { tip } else { root };
        let entry = self.entry(surface)?;
        angle_of_edge(depth, height).ok_or_else(|| {
            let title = entry.title();
            let says = format!(
                "the edge of {title} would stand further from flat than it is deep"
            );
            NotKnown::impossible(says, Some(entry.span()))
        })
    }

    /// How high the edge stands at the inner end, at an angle of the surface.
    pub(super) fn edge_height(
        &self,
        surface: EntryId,
        angle: f64,
    ) -> Result<f64, NotKnown> {
        let (root, _) = self.hinge_to_edge(surface)?;
        Ok(edge_height(root, angle))
    }

    /// A height of an edge, as rules read it: so far up or down.
    pub(super) fn edge(&self, height: f64, spread: f64, of: &Known) -> Known {
        let edge = Quantity::from_si(height, &self.length_unit()).with_spread_si(spread);
        let edge = edge.with_axis(Some(Axis::Height));
        Known::computed(What::Quantity(edge), format!("{}.edge", of.name), of.span)
    }

    /// The angle of a surface with the stick let go, as its `reflex` states.
    pub(super) fn reflex_angle(&self, surface: EntryId) -> Result<f64, NotKnown> {
        let fact = self.must(surface, "reflex")?;
        let entry = self.entry(surface)?;
        let height = self.slot(entry, fact, "edge")?.and_then(Value::quantity);
        let height = height.ok_or_else(|| absent(entry, "reflex"))?.si();
        let is_at_tip = self.is_at_tip(surface, fact, height)?;
        self.edge_angle(surface, height, is_at_tip)
    }

    /// At which end of a surface a line counts; at which does not matter for nought, nor
    /// where both ends are equally deep.
    fn is_at_tip(
        &self,
        surface: EntryId,
        fact: &Fact,
        height: f64,
    ) -> Result<bool, NotKnown> {
        let entry = self.entry(surface)?;
        let at = self.slot(entry, fact, "at")?.and_then(Value::text);
        let (root, tip) = self.hinge_to_edge(surface)?;
        let is_alike = (root - tip).abs() < ALIKE || height.abs() < ALIKE;
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

    /// How far the edge goes from flat, over all rates.
    pub(super) fn travel(&self, surface: EntryId) -> Result<Travel, NotKnown> {
        self.must(surface, "throw")?;
        let mut travel = Travel { up: 0.0, down: 0.0 };
        for fact in self.entry(surface)?.all("throw") {
            let neutral = self.throw_counts_from(surface, fact)?;
            for (_, value) in fact.values.iter().filter(|(slot, _)| *slot == "ways") {
                let way = self.known_value(self.entry(surface)?, fact, value)?;
                let Kind::Quantity(way) = &way.kind else { continue };
                if way.axis() != Some(Axis::Height) {
                    continue;
                }
                let is_at_tip = self.is_at_tip(surface, fact, way.si())?;
                let from_neutral = self.edge_angle(surface, way.si(), is_at_tip)?;
                let height = self.edge_height(surface, neutral + from_neutral)?;
                travel.up = travel.up.max(height);
                travel.down = travel.down.min(height);
            }
        }
        Ok(travel)
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
}

/// Two depths that nobody can tell apart with a ruler, in m.
const ALIKE: f64 = 1e-4;
