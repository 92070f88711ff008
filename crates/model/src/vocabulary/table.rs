//! The vocabulary table: every word of the language but the sides, `about` and `x`.
//!
//! Slots without a leading word come first, in order; then, in any order, the led ones
//! and optional words of closed lists. There are no defaults, and any value may be `?`.
//! A test keeps the table free of doubt.

mod aboard;
mod afterwards;
mod airframe;
mod behaviour;
mod document;
mod done;
mod driven;
mod flown;
mod held;
mod logged;
mod proof;
mod radio;
mod shorthand;
mod sources;
mod surfaces;

use super::Row;

/// Every row, in the order in which the reference shows them.
pub(crate) fn rows() -> impl Iterator<Item = &'static Row> {
    let parts = [
        document::DOCUMENT,
        airframe::AIRFRAME,
        surfaces::SURFACES,
        aboard::ABOARD,
        driven::DRIVEN,
        radio::RADIO,
        behaviour::BEHAVIOUR,
        flown::FLOWN,
        done::DONE,
        proof::PROOF,
        afterwards::AFTERWARDS,
        logged::LOGGED,
        held::HELD,
        sources::SOURCES,
    ];
    parts.into_iter().flatten()
}
