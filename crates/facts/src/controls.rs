//! Control surfaces: how far they go, what moves them, and what they bear.
//!
//! [`throws`] reads what a builder writes of an edge as angles, whatever way it was
//! measured; [`linkage`] turns them into angles of the servo; [`loads`] says what air,
//! servo and rod do to each other; [`stated`] lays lines beside each other.

mod linkage;
mod loads;
mod stated;
mod throws;
