//! What follows from a build, worked out when it is asked for and kept.
//!
//! [`Facts`] answers questions by name: `loadout.balance.x`, `wing.band.aft`. Facts that
//! the builder wrote are found by the vocabulary, facts that follow from them by the
//! table in [`computed`]; a rule cannot tell them apart. Unknown is not zero: it comes
//! out of every computation that it enters as [`NotKnown`], with its line.
//!
//! No limit and no opinion stands here; those are rules.

mod as_built;
mod balance;
pub mod computed;
mod controls;
pub mod drive;
mod driven;
mod facts;
mod flight;
mod geometry;
pub mod gives;
mod hollow;
mod joined;
mod joints;
mod known;
mod legal;
mod loadout;
mod logged;
mod lookup;
pub mod ports;
pub mod power;
mod private;
mod proof;
mod radio;
mod records;
mod remedy;
mod step;
mod stowed;
mod weighing;

pub use as_built::Departure;
pub use driven::Reading;
pub use facts::{FactId, Facts, Reads};
pub use joined::{End, Way};
pub use known::{Known, NotKnown, What, Why};
pub use loadout::{Listed, Listing};
pub use logged::LogColumn;
pub use private::{given_away, private_in};
pub use proof::{Change, Ground, Grounds, photos, sealed};
pub use step::{Card, Done, Drawn, LIKE, OfStep, Proved, Step, is_said};
pub use {trimsheet_model as model, trimsheet_physics as physics};
