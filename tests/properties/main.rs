//! What holds of every text: reading loses nothing, a damage costs one finding, a remedy
//! clears its own, and inches are millimetres.
//!
//! Each property is stated in the module that tests it; [`specs`] makes the texts.
#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::string_slice,
    reason = "helpers of tests"
)]

mod hostile;
mod junk;
mod linkage;
mod lossless;
mod network;
mod portrait;
mod ports;
mod propulsion;
mod remedies;
mod specs;
mod units;
mod weighing;
