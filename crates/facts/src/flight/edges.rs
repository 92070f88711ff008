//! From angles at a hinge to heights of an edge, and how far an edge goes in all.
//!
//! Heights are straight up from where the edge lies flat, at the inner end of the
//! surface, up positive: h = −c sin δ. Angles count trailing edge down positive.

use trimsheet_model::EntryId;
use trimsheet_model::quantity::{Axis, Side};
use trimsheet_physics::throw::edge_height;

use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};

/// How far a surface goes from flat, in radians, trailing edge down positive.
#[derive(Clone, Copy, Debug)]
pub(super) struct Travel {
    /// The angle at its highest, so mostly negative.
    pub(super) up: f64,
    /// The angle at its lowest.
    pub(super) down: f64,
}

impl Facts {
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
        let edge = self.metres(height).with_spread_si(spread);
        let edge = edge.with_axis(Some(Axis::Height));
        Known::computed(What::Quantity(edge), format!("{}.edge", of.name), of.span)
    }

    /// How far a surface goes from flat, over all rates.
    pub(super) fn travel(&self, surface: EntryId) -> Result<Travel, NotKnown> {
        let mut travel = Travel { up: 0.0, down: 0.0 };
        for throw in self.throws(surface)? {
            if matches!(throw.side, Side::Up | Side::Down) {
                travel.up = travel.up.min(throw.angle_from_flat());
                travel.down = travel.down.max(throw.angle_from_flat());
            }
        }
        Ok(travel)
    }
}
