//! Rows that cannot be used, by sort, and what is missing between rows.

use crate::Channel;

/// Why a row cannot be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BadRow {
    /// It has fewer fields than the header, or a quote that is not closed.
    Cut,
    /// It has more fields than the header.
    TooManyFields,
    /// It is longer than any row can be.
    TooLong,
    /// A field is not text in UTF-8.
    NotText,
    /// A field that the row cannot do without is empty.
    EmptyField,
    /// A field has the other decimal mark than the log.
    OtherDecimals,
    /// A field is no number, or the time no time.
    NoNumber,
    /// A number is larger than any reading.
    TooLarge,
    /// Its time lies before the row ahead of it.
    OutOfOrder,
    /// It is the row ahead of it once more.
    Repeated,
    /// It has the time of the row ahead of it and other values.
    SameTime,
    /// It stands behind the place where the clock starts again.
    AfterRestart,
}

/// Every sort of row that cannot be used, in the order in which they are listed.
pub const SORTS: [BadRow; 12] = [
    BadRow::Cut,
    BadRow::TooManyFields,
    BadRow::TooLong,
    BadRow::NotText,
    BadRow::EmptyField,
    BadRow::OtherDecimals,
    BadRow::NoNumber,
    BadRow::TooLarge,
    BadRow::OutOfOrder,
    BadRow::Repeated,
    BadRow::SameTime,
    BadRow::AfterRestart,
];

impl BadRow {
    /// What is the matter with such rows, behind a count of them.
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            BadRow::Cut => "cut: fewer fields than the header, or an open quote",
            BadRow::TooManyFields => "more fields than the header",
            BadRow::TooLong => "longer than 65536 bytes",
            BadRow::NotText => "not text in UTF-8",
            BadRow::EmptyField => "a field is empty",
            BadRow::OtherDecimals => "decimals of another locale",
            BadRow::NoNumber => "a field is no number",
            BadRow::TooLarge => "a number larger than any reading",
            BadRow::OutOfOrder => "out of order in time",
            BadRow::Repeated => "the row ahead, repeated",
            BadRow::SameTime => "the time of the row ahead, with other values",
            BadRow::AfterRestart => "behind a new start of the clock",
        }
    }
}

/// How many rows of each sort are named.
pub const SHOWN: usize = 5;

/// A row that was left out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Example {
    /// The line in the file, counted from 1 as an editor does.
    pub line: u64,
    /// The header of the column that it is about, if it is about one.
    pub column: Option<String>,
    /// What stands there, cut to a length that can be shown.
    pub field: Option<String>,
}

/// What became of the rows of a log: `good` and all bad ones are all there are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rows {
    /// Rows that were used.
    pub good: u64,
    /// Lines with nothing on them, which are no rows.
    pub blank: u64,
    bad: [(u64, Vec<Example>); SORTS.len()],
    /// How many of the rows used leave a channel empty.
    without: [u64; Channel::COUNT],
}

impl Rows {
    pub(crate) fn new() -> Rows {
        Rows { good: 0, blank: 0, bad: Default::default(), without: Default::default() }
    }

    /// All rows under the header.
    #[must_use]
    pub fn all(&self) -> u64 {
        self.good + self.bad()
    }

    /// All rows that were left out.
    #[must_use]
    pub fn bad(&self) -> u64 {
        self.bad.iter().map(|(count, _)| count).sum()
    }

    /// How many rows of a sort were left out.
    #[must_use]
    pub fn count(&self, sort: BadRow) -> u64 {
        self.bad.get(sort as usize).map_or(0, |(count, _)| *count)
    }

    /// The first rows of a sort that were left out, [`SHOWN`] at most.
    #[must_use]
    pub fn examples(&self, sort: BadRow) -> &[Example] {
        self.bad.get(sort as usize).map_or(&[], |(_, examples)| examples)
    }

    /// How many of the rows that were used leave this channel empty.
    #[must_use]
    pub fn without(&self, channel: Channel) -> u64 {
        self.without.get(channel.place()).copied().unwrap_or(0)
    }

    pub(crate) fn leave_out(&mut self, sort: BadRow, example: impl FnOnce() -> Example) {
        if let Some((count, examples)) = self.bad.get_mut(sort as usize) {
            *count += 1;
            if examples.len() < SHOWN {
                examples.push(example());
            }
        }
    }

    pub(crate) fn set_without(&mut self, channel: Channel, count: u64) {
        if let Some(without) = self.without.get_mut(channel.place()) {
            *without = count;
        }
    }

    /// The sorts there are with their counts, for a sentence.
    pub(crate) fn sorts_text(&self) -> String {
        let there = SORTS.into_iter().filter(|sort| 0 < self.count(*sort));
        let texts = there.map(|sort| {
            let first = self.examples(sort).first();
            let first =
                first.map(|row| format!(" (first on line {}{})", row.line, row.at()));
            format!("{} {}{}", self.count(sort), sort.says(), first.unwrap_or_default())
        });
        texts.collect::<Vec<_>>().join("; ")
    }
}

impl Example {
    /// The column and the field, behind the number of the line.
    #[must_use]
    pub fn at(&self) -> String {
        match (&self.column, &self.field) {
            (Some(column), Some(field)) => format!(", \"{column}\" is \"{field}\""),
            (Some(column), None) => format!(", \"{column}\""),
            (None, Some(field)) => format!(", \"{field}\""),
            (None, None) => String::new(),
        }
    }
}

/// Times without a row: nothing is summed over them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Gaps {
    /// How many there are.
    pub count: u64,
    /// Together, in s.
    pub seconds: f64,
    /// The first of them, [`SHOWN`] at most.
    pub first: Vec<Gap>,
}

/// A time without a row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// The line of the row behind it.
    pub line: u64,
    /// How long it is, in s.
    pub seconds: f64,
}

impl Gaps {
    pub(crate) fn add(&mut self, gap: Gap) {
        self.count += 1;
        self.seconds += gap.seconds;
        if self.first.len() < SHOWN {
            self.first.push(gap);
        }
    }
}
