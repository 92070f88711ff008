//! Formulas, each with its source and the limits within which it holds.
//!
//! Inside this crate numbers are plain `f64` in SI units: kilograms, metres, seconds,
//! radians. Places count from the datum, aft, right and up being positive. Nothing here
//! knows parts, units as they are written, or limits; a question that has no answer
//! gets an error that says why, never a number that is none.

pub mod atmosphere;
pub mod balance;
pub mod ballast;
pub mod clearance;
pub mod column;
pub mod endurance;
pub mod flap;
pub mod hinge_moment;
pub mod lattice;
pub mod linkage;
pub mod loading;
pub mod motor;
pub mod network;
pub mod pack;
pub mod planform;
pub mod polar;
pub mod propeller;
pub mod propulsion;
pub mod pulse;
pub mod radio;
mod root;
pub mod round;
pub mod space;
pub mod spar;
pub mod stretch;
pub mod throw;
pub mod trim;
pub mod weighing;
pub mod wire;
pub mod yaw;
