//! Which socket each signal uses, and which it could use instead.
//!
//! A signal takes the sending half of the socket that it comes out of and the receiving
//! half of the one that it goes into. One half serves one user, but for a bus, and for an
//! output whose every signal is `divided`. What may share a socket as the spec stands
//! moves together: whoever reads a stream that another sends belongs to both.
//!
//! `socket` reads ports and signals, `users` says who shares and who is in the way,
//! `fits` which port takes which user, `assign` gives each user a port with the fewest
//! changes, `ways` writes that into the spec, and `told` is what rules ask for. A
//! port that states less than the one in use is never offered in its place.

pub mod assign;
mod fits;
mod socket;
mod told;
mod users;
mod ways;

pub(crate) use self::socket::Signals;
pub(crate) use self::ways::Plugged;
