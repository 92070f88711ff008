//! How the aircraft flies, as far as its shape tells: an estimate by a vortex lattice.
//!
//! The shape is read off the ribs in [`shape`]; what the lattice makes of it is worked
//! out once for a build, when something first asks. [`trim`] turns it into margins,
//! edges and speeds, [`edges`] between millimetres at an edge and angles at a hinge;
//! [`bending`] says what lift does to a spar, [`disc`] what comes near to a propeller.
//!
//! Everything here leaves out the body, the propeller, friction and the thickness of the
//! wing: whoever shows a number of it says that it is an estimate.

mod bending;
mod disc;
mod edges;
mod glide;
mod performance;
mod shape;
mod trim;

pub(crate) use disc::point;
pub(crate) use shape::Shape;

use trimsheet_model::EntryId;

use crate::known::{Known, NotKnown};

fn of_loadout(loadout: &Known) -> Result<EntryId, NotKnown> {
    let none = || NotKnown::no_such(format!("{} is no loadout", loadout.name));
    loadout.entry().ok_or_else(none)
}
