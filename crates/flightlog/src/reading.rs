//! The one pass over a log: line by line, row by row, into the sums.

use std::io::Read;

use trimsheet_quantity::Unit;

use crate::fields::{Splitter, Unsplit};
use crate::flown::{Flown, Sums};
use crate::form::{Decimal, Form, Header, Sample, Slot, check_units};
use crate::lines::{Line, Lines};
use crate::mapping::{Channel, Mapping};
use crate::no_log::NoLog;
use crate::number::number;
use crate::order::{Fate, Order, Row, Values};
use crate::rows::{BadRow, Example, Gap, Gaps, Rows};
use crate::time::{DAY, TimeForm, clock, date};

/// A log that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// In which form it is written.
    pub form: Form,
    /// The headers of its columns.
    pub columns: Vec<String>,
    /// Which rows were used and which were not.
    pub rows: Rows,
    /// Where rows are missing.
    pub gaps: Gaps,
    /// What was flown.
    pub flown: Flown,
    /// The day on which it begins, as its first date has it.
    pub day: Option<String>,
}

/// Reads a log to its end.
///
/// # Errors
/// What cannot be read, has no header or not the columns of the mapping, or no row that
/// can be used.
pub fn read(log: impl Read, mapping: &Mapping) -> Result<Reading, NoLog> {
    check_units(mapping)?;
    let mut lines = Lines::new(log)?;
    let mut blank = 0;
    let header = loop {
        match lines.next()? {
            None => return Err(NoLog::Empty),
            Some((_, Line::TooLong)) => return Err(NoLog::NoText),
            Some((_, Line::Whole(line))) if line.trim_ascii().is_empty() => blank += 1,
            Some((_, Line::Whole(line))) => break Header::read(line, mapping)?,
        }
    };
    let sample = Sample::take(lines.waiting(), &header, &mapping.time)?;
    let mut pass = Pass::new(header, &sample, mapping);
    pass.rows.blank = blank;
    while let Some((number, line)) = lines.next()? {
        pass.line(number, line);
    }
    pass.finish(mapping)
}

/// What a pass over a log carries from line to line.
struct Pass {
    header: Header,
    form: Form,
    splitter: Splitter,
    scales: [f64; Channel::COUNT],
    clock: Clock,
    order: Order,
    rows: Rows,
    gaps: Gaps,
    sums: Sums,
    day: Option<String>,
}

impl Pass {
    fn new(header: Header, sample: &Sample, mapping: &Mapping) -> Pass {
        let mut scales = [1.0; Channel::COUNT];
        for (channel, column) in mapping.columns() {
            if let Some(scale) = scales.get_mut(channel.place()) {
                *scale = column.each * column.unit.as_ref().map_or(1.0, scale_of);
            }
        }
        let form = sample.form.clone();
        let mut order = Order::default();
        let mut clock = Clock::new(&form, mapping.time.each);
        let times = sample.times.iter().filter_map(|field| clock.read(field, None));
        let times: Vec<f64> = times.collect();
        order.expect_steps(times.windows(2).map(|pair| match pair {
            [one, two] => two - one,
            _ => 0.0,
        }));
        Pass {
            splitter: Splitter::new(header.delimiter.byte()),
            clock: Clock::new(&form, mapping.time.each),
            sums: Sums::new(mapping.column(Channel::Height).is_some()),
            day: day_of(sample),
            header,
            form,
            scales,
            order,
            rows: Rows::new(),
            gaps: Gaps::default(),
        }
    }

    fn line(&mut self, line: u64, text: Line<'_>) {
        let at = |column, field| Example { line, column, field };
        let text = match text {
            Line::Whole(text) if text.trim_ascii().is_empty() => {
                self.rows.blank += 1;
                return;
            }
            Line::Whole(text) => text,
            Line::TooLong => {
                return self.rows.leave_out(BadRow::TooLong, || at(None, None));
            }
        };
        match self.row(line, text) {
            Ok(row) => {
                let (rows, gaps, sums) = (&mut self.rows, &mut self.gaps, &mut self.sums);
                self.order.push(row, |fate| settle(fate, rows, gaps, sums));
            }
            Err((sort, column, field)) => {
                let name = column.and_then(|column| self.header.name(column));
                self.rows.leave_out(sort, || at(name, field));
            }
        }
    }

    /// Reads a row, or says why it cannot be.
    fn row(&mut self, line: u64, text: &[u8]) -> Result<Row, Fault> {
        let mut values: Values = [f64::NAN; Channel::COUNT];
        let mut time = None;
        let mut fault: Option<Fault> = None;
        let mut surplus = false;
        let (header, form, scales) = (&self.header, &self.form, &self.scales);
        let (clock, last) = (&mut self.clock, self.order.last_time());
        let take = |place: usize, field: &[u8]| {
            let Some(slots) = header.slots.get(place) else {
                surplus |= !field.is_empty();
                return;
            };
            for slot in slots {
                let read = match slot {
                    Slot::Time => clock.read(field, last).ok_or(Slot::Time),
                    Slot::Channel(_) => number(field, form.decimal.byte()).ok_or(*slot),
                };
                match (read, slot) {
                    (Ok(seconds), Slot::Time) => time = Some(seconds),
                    (Ok(value), Slot::Channel(channel)) => {
                        let channel = channel.place();
                        if let (Some(to), Some(scale)) =
                            (values.get_mut(channel), scales.get(channel))
                        {
                            *to = value * scale;
                        }
                        if !(-LARGEST..=LARGEST).contains(&value) {
                            fault.get_or_insert_with(|| {
                                told(BadRow::TooLarge, place, field)
                            });
                        }
                    }
                    (Err(Slot::Channel(channel)), _)
                        if field.is_empty() && channel.may_be_empty() => {}
                    (Err(_), _) => {
                        fault.get_or_insert_with(|| no_number(form, place, field));
                    }
                }
            }
        };
        let count = self.splitter.split(text, take);
        match count {
            Err(Unsplit::Open) => return Err((BadRow::Cut, None, None)),
            Err(Unsplit::TooMany) => return Err((BadRow::TooManyFields, None, None)),
            Ok(count) if count < header.width => return Err((BadRow::Cut, None, None)),
            Ok(_) if surplus => return Err((BadRow::TooManyFields, None, None)),
            Ok(_) => {}
        }
        match (fault, time) {
            (None, Some(time)) => Ok(Row { line, time, values }),
            (Some(fault), _) => Err(fault),
            (None, None) => Err((BadRow::NoNumber, None, None)),
        }
    }

    fn finish(mut self, mapping: &Mapping) -> Result<Reading, NoLog> {
        if let Some(fate) = self.order.finish() {
            settle(fate, &mut self.rows, &mut self.gaps, &mut self.sums);
        }
        if self.rows.all() == 0 {
            return Err(NoLog::NoRows);
        }
        if self.rows.good == 0 {
            return Err(NoLog::OnlyBadRows(Box::new(self.rows)));
        }
        for (channel, _) in mapping.columns() {
            let count = self.sums.without.get(channel.place()).copied();
            self.rows.set_without(channel, count.unwrap_or(0));
        }
        Ok(Reading {
            form: self.form,
            columns: self.header.names,
            rows: self.rows,
            gaps: self.gaps,
            flown: self.sums.flown(mapping),
            day: self.day,
        })
    }
}

/// The day of the first date of a log.
fn day_of(sample: &Sample) -> Option<String> {
    let first = sample.times.iter().find(|field| date(field).is_some())?;
    Some(String::from_utf8_lossy(first.get(..10)?).into_owned())
}

/// A sort of bad row, the column that it is about, and what stands there.
type Fault = (BadRow, Option<usize>, Option<String>);

/// No instrument of a model reads more, in any unit.
const LARGEST: f64 = 1e9;

/// How much of a field is shown.
const FIELD: usize = 24;

fn told(sort: BadRow, place: usize, field: &[u8]) -> Fault {
    let text = String::from_utf8_lossy(field.get(..4 * FIELD).unwrap_or(field));
    let safe = text.chars().map(|mark| if mark.is_control() { '\u{fffd}' } else { mark });
    (sort, Some(place), Some(safe.take(FIELD).collect()))
}

/// Why a field was not read.
fn no_number(form: &Form, place: usize, field: &[u8]) -> Fault {
    if field.is_empty() {
        return (BadRow::EmptyField, Some(place), None);
    }
    if std::str::from_utf8(field).is_err() {
        return told(BadRow::NotText, place, field);
    }
    let other: Decimal = form.decimal.other();
    match number(field, other.byte()) {
        Some(_) => told(BadRow::OtherDecimals, place, field),
        None => told(BadRow::NoNumber, place, field),
    }
}

fn settle(fate: Fate, rows: &mut Rows, gaps: &mut Gaps, sums: &mut Sums) {
    match fate {
        Fate::LeftOut { line, sort } => {
            rows.leave_out(sort, || Example { line, column: None, field: None });
        }
        Fate::Used { row, step, gap } => {
            rows.good += 1;
            if let Some(seconds) = gap {
                gaps.add(Gap { line: row.line, seconds });
            }
            sums.add(&row, step);
        }
    }
}

/// What a number is multiplied with to be in SI units; degrees and decibels stay.
fn scale_of(unit: &Unit) -> f64 {
    if unit.may_be_negative() { 1.0 } else { unit.to_si(1.0) }
}

/// Turns time fields to seconds from the first one.
struct Clock {
    form: TimeForm,
    mark: u8,
    scale: f64,
    origin: Option<f64>,
}

impl Clock {
    fn new(form: &Form, each: f64) -> Clock {
        let scale = match &form.time {
            TimeForm::Counter(unit) => each * unit.to_si(1.0),
            TimeForm::Clock => 1.0,
            TimeForm::Date => DAY,
        };
        Clock { form: form.time.clone(), mark: form.decimal.byte(), scale, origin: None }
    }

    /// A time of day lies as near to the last row as the days allow, so that midnight is
    /// a step like any other.
    fn read(&mut self, field: &[u8], last: Option<f64>) -> Option<f64> {
        let from =
            |origin: &mut Option<f64>, value: f64| value - *origin.get_or_insert(value);
        match &self.form {
            TimeForm::Counter(_) => {
                let count = number(field, self.mark)?;
                let seconds = from(&mut self.origin, count) * self.scale;
                (seconds.abs() <= LONGEST).then_some(seconds)
            }
            TimeForm::Clock => {
                let seconds = from(&mut self.origin, clock(field)?);
                let days = last.map_or(0.0, |last| ((last - seconds) / DAY).round());
                Some(seconds + days * DAY)
            }
            TimeForm::Date => {
                let (day, seconds) = date(field)?;
                Some(from(&mut self.origin, day) * self.scale + seconds)
            }
        }
    }
}

/// No log is longer than a century, in s.
const LONGEST: f64 = 3.2e9;
