//! What drives it: where packs, leads, controllers, motors and propellers agree, what that
//! takes in level flight, and how long and how far it lasts.
//!
//! `inputs` gathers the numbers that this rests on, each with its line; `working` finds
//! the working points; `energy` makes time and way of them; `known` hands all of it to
//! rules. What the spec states wins over what is reckoned: a run with a meter over the
//! working point, the stated cruise current over the drag.
//!
//! What is reckoned leaves out the body in the slipstream, how warm the winding grows and
//! what the propeller does in a slip: whoever shows it says that it is an estimate.

mod energy;
mod faults;
mod inputs;
mod known;
mod one_out;
mod packs;
mod propellers;
mod turns;
mod unsure;
mod working;

pub(crate) use self::energy::ChargeHeld;
pub(crate) use self::faults::DRIVE_FAULTS;
pub(crate) use self::packs::Resists;
pub use self::unsure::{Part, Unsure};
pub use self::working::{Driving, Flown};
