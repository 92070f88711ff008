//! What drives it, as far as it is stated and recorded: packs as they were read with a
//! meter, who turns which propeller, who hears which throttle.
//!
//! No working point of motor and propeller is worked out here.

mod afterwards;
mod charge;
mod readings;
mod turned;

pub use readings::Reading;
