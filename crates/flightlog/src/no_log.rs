//! Why there is nothing to say of a log.

use crate::{Channel, Rows};

/// Why a log could not be read at all.
#[derive(Debug, thiserror::Error)]
pub enum NoLog {
    /// What gives the bytes failed.
    #[error("cannot read the log: {0}")]
    Unreadable(#[from] std::io::Error),
    /// There is no line with anything in it.
    #[error("the log is empty")]
    Empty,
    /// There is a header and nothing under it.
    #[error("the log has a header and no row under it")]
    NoRows,
    /// The first line is longer than any row may be, or no text in UTF-8.
    #[error("the first line of the log is not text: a header in UTF-8 was expected")]
    NoText,
    /// The first line holds numbers.
    #[error("the log has no header: its first line holds numbers only ({0})")]
    NoHeader(String),
    /// Columns of the mapping that the header does not have once.
    #[error("{}", of_columns(.faults, .there))]
    Columns {
        /// Each column that is missing or doubled.
        faults: Vec<ColumnFault>,
        /// The headers that are there.
        there: Vec<String>,
    },
    /// A unit that does not measure what the column holds, or none where one is needed.
    #[error("{}", of_unit(*.channel, .header, .unit.as_deref()))]
    Unit {
        /// The channel; none for the time.
        channel: Option<Channel>,
        /// The header of the mapping.
        header: String,
        /// The unit of the mapping.
        unit: Option<String>,
    },
    /// Every row is one that cannot be used.
    #[error("none of the {} rows of the log can be used: {}", .0.all(), .0.sorts_text())]
    OnlyBadRows(Box<Rows>),
}

/// A column of the mapping that the log does not have once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ColumnFault {
    /// The channel; none for the time.
    pub channel: Option<Channel>,
    /// The header of the mapping.
    pub header: String,
    /// What is the matter.
    pub sort: FaultSort,
}

/// What is the matter with a column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FaultSort {
    /// It is not there; another header comes near.
    Missing {
        /// The header that differs least, if one is near.
        nearest: Option<String>,
    },
    /// Two columns have this header, counted from 1.
    Doubled {
        /// The first of them.
        first: usize,
        /// The next one.
        second: usize,
    },
}

impl ColumnFault {
    /// What is the matter, in a sentence that stands alone.
    #[must_use]
    pub fn says(&self) -> String {
        let name = named(self.channel);
        let header = &self.header;
        match &self.sort {
            FaultSort::Missing { nearest: Some(nearest) } => {
                format!(
                    "the log has no column \"{header}\" for {name}; \"{nearest}\" is near"
                )
            }
            FaultSort::Missing { nearest: None } => {
                format!("the log has no column \"{header}\" for {name}")
            }
            FaultSort::Doubled { first, second } => format!(
                "columns {first} and {second} of the log are both called \"{header}\" ({name})"
            ),
        }
    }
}

fn named(channel: Option<Channel>) -> &'static str {
    channel.map_or("time", Channel::name)
}

fn of_columns(faults: &[ColumnFault], there: &[String]) -> String {
    let faults: Vec<String> = faults.iter().map(ColumnFault::says).collect();
    let there: Vec<String> = there.iter().map(|header| format!("\"{header}\"")).collect();
    format!("{}; its columns are {}", faults.join("; "), there.join(", "))
}

fn of_unit(channel: Option<Channel>, header: &str, unit: Option<&str>) -> String {
    let name = named(channel);
    match unit {
        Some(unit) => {
            format!("the column \"{header}\" is in {unit}, which is no unit of {name}")
        }
        None => format!(
            "the column \"{header}\" holds plain numbers, and no unit says what {name} they are"
        ),
    }
}
