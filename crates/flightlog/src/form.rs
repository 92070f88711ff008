//! In which form a log is written, found out from its first lines.

use trimsheet_quantity::Unit;

use crate::fields::Splitter;
use crate::mapping::{Column, Mapping};
use crate::no_log::{ColumnFault, FaultSort, NoLog};
use crate::number::number;
use crate::time::{TimeForm, TimeSort};
use crate::{Channel, lines};

/// What stands between the fields of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Delimiter {
    /// `,`
    Comma,
    /// `;`
    Semicolon,
    /// A tab.
    Tab,
}

/// What stands in front of the decimals of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decimal {
    /// `.`
    Point,
    /// `,`
    Comma,
}

/// The form of a log.
#[derive(Clone, Debug, PartialEq)]
pub struct Form {
    /// What stands between fields.
    pub delimiter: Delimiter,
    /// What stands in front of decimals.
    pub decimal: Decimal,
    /// How the time is told.
    pub time: TimeForm,
}

impl Delimiter {
    const ALL: [Delimiter; 3] = [Delimiter::Comma, Delimiter::Semicolon, Delimiter::Tab];

    pub(crate) fn byte(self) -> u8 {
        match self {
            Delimiter::Comma => b',',
            Delimiter::Semicolon => b';',
            Delimiter::Tab => b'\t',
        }
    }
}

impl Decimal {
    pub(crate) fn byte(self) -> u8 {
        match self {
            Decimal::Point => b'.',
            Decimal::Comma => b',',
        }
    }

    pub(crate) fn other(self) -> Decimal {
        match self {
            Decimal::Point => Decimal::Comma,
            Decimal::Comma => Decimal::Point,
        }
    }
}

/// What the header says: which field of a row is what.
pub(crate) struct Header {
    pub(crate) delimiter: Delimiter,
    /// How many fields a row has.
    pub(crate) width: usize,
    pub(crate) names: Vec<String>,
    /// For each field, what it is; a field may be several things.
    pub(crate) slots: Vec<Vec<Slot>>,
}

/// What a field is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Slot {
    Time,
    Channel(Channel),
}

/// How much of a log is looked at to find out its form.
const SAMPLE: usize = 1000;

impl Header {
    /// Reads the header with the delimiter under which most of the mapping is found.
    pub(crate) fn read(line: &[u8], mapping: &Mapping) -> Result<Header, NoLog> {
        if line.contains(&0) {
            return Err(NoLog::NoText);
        }
        let all = Delimiter::ALL.map(|delimiter| (delimiter, names(line, delimiter)));
        let found = |names: &[String]| {
            wanted(mapping).filter(|(_, column)| names.contains(&column.header)).count()
        };
        // Of equals the last counts, so they are looked through from the end.
        let best = all.into_iter().rev();
        let best = best.max_by_key(|(_, names)| (found(names), names.len()));
        let Some((delimiter, names)) = best else { return Err(NoLog::Empty) };
        if found(&names) == 0 && names.iter().all(|name| is_reading(name)) {
            return Err(NoLog::NoHeader(names.join(" ").chars().take(60).collect()));
        }
        let faults: Vec<ColumnFault> = wanted(mapping)
            .filter_map(|(slot, column)| fault(slot, column, &names))
            .collect();
        if !faults.is_empty() {
            return Err(NoLog::Columns { faults, there: names });
        }
        let slots = names.iter().map(|name| {
            let here = wanted(mapping).filter(|(_, column)| column.header == *name);
            here.map(|(slot, _)| slot).collect()
        });
        let slots = slots.collect();
        Ok(Header { delimiter, width: names.len(), names, slots })
    }

    pub(crate) fn name(&self, field: usize) -> Option<String> {
        self.names.get(field).cloned()
    }
}

fn wanted(mapping: &Mapping) -> impl Iterator<Item = (Slot, &Column)> {
    let time = std::iter::once((Slot::Time, &mapping.time));
    let rest = mapping.columns();
    time.chain(rest.map(|(channel, column)| (Slot::Channel(channel), column)))
}

/// Whether a field could stand in a row of numbers.
fn is_reading(field: &str) -> bool {
    let is = |mark| TimeSort::of(field.as_bytes(), mark).is_some();
    field.is_empty() || is(b'.') || is(b',')
}

/// The names in a header, without empty ones at its end.
fn names(line: &[u8], delimiter: Delimiter) -> Vec<String> {
    let mut names = Vec::new();
    let mut splitter = Splitter::new(delimiter.byte());
    // A quote that is not closed leaves the names in front of it out, and these are missed.
    let _ = splitter.split(line, |_, field| {
        names.push(String::from_utf8_lossy(field).into_owned());
    });
    while names.last().is_some_and(String::is_empty) {
        names.pop();
    }
    names
}

fn fault(slot: Slot, column: &Column, names: &[String]) -> Option<ColumnFault> {
    let mut places = names.iter().enumerate().filter(|(_, name)| **name == column.header);
    let sort = match (places.next(), places.next()) {
        (Some(_), None) => return None,
        (None, _) => FaultSort::Missing { nearest: nearest(&column.header, names) },
        (Some((first, _)), Some((second, _))) => {
            FaultSort::Doubled { first: first + 1, second: second + 1 }
        }
    };
    let channel = match slot {
        Slot::Time => None,
        Slot::Channel(channel) => Some(channel),
    };
    Some(ColumnFault { channel, header: column.header.clone(), sort })
}

/// The header that differs least, by upper and lower case not at all.
fn nearest(header: &str, names: &[String]) -> Option<String> {
    let wanted: String = header.to_lowercase().chars().take(100).collect();
    let near = |name: &String| {
        let name: String = name.to_lowercase().chars().take(100).collect();
        let (short, long) = (name.chars().count(), wanted.chars().count());
        let begins =
            0 < short && (name.starts_with(&wanted) || wanted.starts_with(&name));
        let distance = strsim::damerau_levenshtein(&name, &wanted);
        (begins || distance * 3 <= short.max(long)).then_some(distance)
    };
    let all = names.iter().filter_map(|name| near(name).map(|distance| (distance, name)));
    all.min_by_key(|(distance, _)| *distance).map(|(_, name)| name.clone())
}

/// What the first rows show of the form, and of the time between rows.
pub(crate) struct Sample {
    pub(crate) form: Form,
    /// The time fields of the rows that were looked at.
    pub(crate) times: Vec<Vec<u8>>,
}

impl Sample {
    /// Looks at rows that are waiting; the last of them may be cut, and is left out.
    pub(crate) fn take(
        waiting: &[u8],
        header: &Header,
        time: &Column,
    ) -> Result<Sample, NoLog> {
        let mut splitter = Splitter::new(header.delimiter.byte());
        let (mut points, mut commas) = (0_usize, 0_usize);
        let mut times = Vec::new();
        let mut looked = 0;
        for line in waiting.split(|byte| *byte == b'\n').take(SAMPLE) {
            looked += usize::from(!line.trim_ascii().is_empty());
            if lines::LONGEST < line.len() || line.trim_ascii().is_empty() {
                continue;
            }
            // A row that cannot be split is counted when its turn comes.
            let _ = splitter.split(line, |place, field| {
                let Some(slots) =
                    header.slots.get(place).filter(|slots| !slots.is_empty())
                else {
                    return;
                };
                points +=
                    usize::from(field.contains(&b'.') && number(field, b'.').is_some());
                commas +=
                    usize::from(field.contains(&b',') && number(field, b',').is_some());
                if slots.contains(&Slot::Time) {
                    times.push(field.to_owned());
                }
            });
        }
        if looked == 0 {
            return Err(NoLog::NoRows);
        }
        let decimal = if points < commas { Decimal::Comma } else { Decimal::Point };
        let form = Form {
            delimiter: header.delimiter,
            decimal,
            time: time_form(time, most(&times, decimal.byte()))?,
        };
        Ok(Sample { form, times })
    }
}

/// The form that most times have.
fn most(times: &[Vec<u8>], mark: u8) -> Option<TimeSort> {
    let count = |sort| {
        times.iter().filter(|field| TimeSort::of(field, mark) == Some(sort)).count()
    };
    let all = [TimeSort::Date, TimeSort::Clock, TimeSort::Counter];
    let all = all.map(|sort| (count(sort), sort));
    let best = all.into_iter().max_by_key(|(count, _)| *count);
    best.filter(|(count, _)| 0 < *count).map(|(_, sort)| sort)
}

/// A clock says its unit itself, a counter does not.
fn time_form(time: &Column, sort: Option<TimeSort>) -> Result<TimeForm, NoLog> {
    match (sort, &time.unit) {
        (Some(TimeSort::Date), _) => Ok(TimeForm::Date),
        (Some(TimeSort::Clock), _) => Ok(TimeForm::Clock),
        (Some(TimeSort::Counter) | None, Some(unit)) => {
            Ok(TimeForm::Counter(unit.clone()))
        }
        (None, None) => Ok(TimeForm::Clock),
        (Some(TimeSort::Counter), None) => {
            Err(NoLog::Unit { channel: None, header: time.header.clone(), unit: None })
        }
    }
}

/// Refuses units that do not measure what the column holds.
pub(crate) fn check_units(mapping: &Mapping) -> Result<(), NoLog> {
    let refuse = |channel, column: &Column| {
        let unit: Option<String> =
            column.unit.as_ref().map(|unit| unit.text().to_owned());
        Err(NoLog::Unit { channel, header: column.header.clone(), unit })
    };
    let is_time = |unit: &Unit| unit.dimension() == trimsheet_quantity::Dimension::TIME;
    if !mapping.time.unit.as_ref().is_none_or(is_time) {
        return refuse(None, &mapping.time);
    }
    match mapping.columns().find(|(channel, column)| !channel.takes(column.unit.as_ref()))
    {
        Some((channel, column)) => refuse(Some(channel), column),
        None => Ok(()),
    }
}
