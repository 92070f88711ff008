//! Every formula against numbers that somebody else worked out.
//!
//! `checks.csv` has one row for each published check: its inputs, what should come out,
//! how near, who says so, and how far that was verified. A row that is used is a test
//! named by its id; inputs and expected values are read from the row, so that the test
//! cannot drift from what the source says. Numeric tables stand in files of their own,
//! and are also read from the folder that `TRIMSHEET_MORE_REFERENCES` names, if it
//! names one: rows kept elsewhere, in files of the same names, run unchanged.
//!
//! The word "verified" in a row is honest: the page was read, or the number was worked
//! out again from its formula, or it comes from memory.

#[cfg(test)]
mod atmosphere;
#[cfg(test)]
mod balance;
#[cfg(test)]
mod circuit;
#[cfg(test)]
mod draws;
#[cfg(test)]
mod endurance;
#[cfg(test)]
mod flap;
#[cfg(test)]
mod hinge_moment;
#[cfg(test)]
mod lattice;
#[cfg(test)]
mod lifting_line;
#[cfg(test)]
mod linkage;
#[cfg(test)]
mod loading;
#[cfg(test)]
mod pack;
#[cfg(test)]
mod planform;
#[cfg(test)]
mod planforms;
#[cfg(test)]
mod propulsion;
#[cfg(test)]
mod radio;
#[cfg(test)]
mod random;
#[cfg(test)]
mod rows;
#[cfg(test)]
mod sheet;
#[cfg(test)]
mod spread;
#[cfg(test)]
mod structure;
#[cfg(test)]
mod throw;
#[cfg(test)]
mod trim;
#[cfg(test)]
mod weighing;
#[cfg(test)]
mod wire;
