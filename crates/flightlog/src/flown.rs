//! What was flown: sums that run along the rows, and what is read off them in the end.
//!
//! Between two rows every reading goes along a straight line, so a charge is a sum of
//! trapezoids. Over a gap nothing is summed. How each figure is found stands with its
//! field of [`Flown`].

mod bins;
mod ladder;
mod sag;
mod sliding;
mod windows;

use trimsheet_quantity::{Dimension, Quantity, Unit};

use crate::mapping::{Channel, Mapping};
use crate::order::{Row, Values};

use ladder::{Ladder, Still};
use sag::Sag;
use sliding::Sliding;
use windows::Windows;

pub use windows::{CLIMB, STEADY, WINDOW};

/// What was flown; what the mapping does not name, or the rows do not show, is not there.
#[derive(Clone, Debug, PartialEq)]
pub struct Flown {
    /// The time between rows, without gaps.
    pub duration: Quantity,
    /// The current up to which the motor counts as at rest: 5 % of the highest mean over
    /// 1 s, rounded down to 10 mA times a power of two.
    pub idle: Option<Quantity>,
    /// How long the current was above [`Flown::idle`].
    pub under_power: Option<Quantity>,
    /// Current summed over time.
    pub charge: Option<Quantity>,
    /// What the instrument itself counted from the first row to the last.
    pub used: Option<Quantity>,
    /// The highest current of one row.
    pub peak_amps: Option<Moment>,
    /// The highest mean current over 1 s.
    pub amps_over_1_s: Option<Quantity>,
    /// The highest mean current over 10 s: a spike is gone from it, a climb is not.
    pub amps_over_10_s: Option<Quantity>,
    /// The current of steady flight.
    pub cruise: Option<Cruise>,
    /// The lowest volts, with the current in the same row.
    pub lowest_volts: Option<Lowest>,
    /// Volts before power first came, and after it last went.
    pub rest_before: Option<Rest>,
    /// The last rest.
    pub rest_after: Option<Rest>,
    /// Volts per ampere of load, fitted beside a cubic in the charge used; its spread is
    /// twice the standard error, which takes the rows as independent.
    pub resistance: Option<Quantity>,
    /// Least and greatest of each other channel.
    extents: [Option<Extent>; Channel::COUNT],
}

impl Flown {
    /// The least and the greatest reading of a channel.
    #[must_use]
    pub fn extent(&self, channel: Channel) -> Option<&Extent> {
        self.extents.get(channel.place())?.as_ref()
    }
}

/// A number with its unit, or a plain one where the log has no unit.
#[derive(Clone, Debug, PartialEq)]
pub enum Measure {
    /// With a unit.
    Quantity(Quantity),
    /// Without one.
    Bare(f64),
}

/// A reading, and when it was.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment {
    /// What was read.
    pub value: Measure,
    /// The time from the first row.
    pub at: Quantity,
    /// The line in the file.
    pub line: u64,
}

/// The least and the greatest of the readings of a channel.
#[derive(Clone, Debug, PartialEq)]
pub struct Extent {
    /// The least, where it first was.
    pub least: Moment,
    /// The greatest, where it first was.
    pub greatest: Moment,
}

/// The lowest volts.
#[derive(Clone, Debug, PartialEq)]
pub struct Lowest {
    /// The volts, and when.
    pub volts: Moment,
    /// The current in the same row.
    pub amps: Option<Quantity>,
}

/// A time without power.
#[derive(Clone, Debug, PartialEq)]
pub struct Rest {
    /// Mean of its last 5 s.
    pub volts: Quantity,
    /// How long it is.
    pub lasts: Quantity,
}

/// By what a window is known to be steady.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SteadyBy {
    /// The height changes by no more than [`CLIMB`].
    Height,
    /// The current stays within [`STEADY`] of its mean.
    Current,
}

/// Steady flight: windows of [`WINDOW`] one behind the other, under power and level.
#[derive(Clone, Debug, PartialEq)]
pub struct Cruise {
    /// The median of the windows by time; its spread is twice [`Cruise::wander`].
    pub amps: Quantity,
    /// How far windows lie from each other: the range between the quartiles over 1.349,
    /// which for a normal distribution is one standard deviation.
    pub wander: Quantity,
    /// How many windows.
    pub windows: u64,
    /// How long they are together.
    pub lasts: Quantity,
    /// By what they are steady.
    pub by: SteadyBy,
    /// The mean speed in them.
    pub speed: Option<Quantity>,
    /// The mean throttle in them.
    pub throttle: Option<Measure>,
}

/// The sums.
pub(crate) struct Sums {
    /// How many rows leave a channel empty, also one that is not mapped.
    pub(crate) without: [u64; Channel::COUNT],
    start: f64,
    before: Option<Values>,
    seconds: f64,
    /// In A s.
    charge: f64,
    extents: [Option<Ends>; Channel::COUNT],
    amps_at_lowest: f64,
    used: Option<(f64, f64)>,
    over_1_s: Sliding,
    over_10_s: Sliding,
    windows: Windows,
    ladder: Ladder,
    sag: Sag,
}

/// The least and the greatest, each with its time and line.
#[derive(Clone, Copy)]
struct Ends {
    least: (f64, f64, u64),
    greatest: (f64, f64, u64),
}

/// The normal quartiles lie 1.349 standard deviations apart (from memory).
const QUARTILES: f64 = 1.349;

const SECONDS_OF_HOUR: f64 = 3600.0;

fn of(values: &Values, channel: Channel) -> f64 {
    values.get(channel.place()).copied().unwrap_or(f64::NAN)
}

impl Sums {
    pub(crate) fn new(has_height: bool) -> Sums {
        Sums {
            without: [0; Channel::COUNT],
            start: 0.0,
            before: None,
            seconds: 0.0,
            charge: 0.0,
            extents: [None; Channel::COUNT],
            amps_at_lowest: f64::NAN,
            used: None,
            over_1_s: Sliding::over(1.0),
            over_10_s: Sliding::over(10.0),
            windows: Windows::new(has_height),
            ladder: Ladder::default(),
            sag: Sag::default(),
        }
    }

    /// Takes a row; `step` is the time from the one before, none behind a gap.
    pub(crate) fn add(&mut self, row: &Row, step: Option<f64>) {
        if self.before.is_none() {
            self.start = row.time;
        }
        let before = self.before.replace(row.values);
        match (before, step) {
            (Some(before), Some(step)) => self.step(&before, row, step),
            (None | Some(_), None) | (None, Some(_)) => {
                self.over_1_s.begin();
                self.over_10_s.begin();
                self.windows.begin();
            }
        }
        self.meet(row);
        let (volts, amps) =
            (of(&row.values, Channel::Volts), of(&row.values, Channel::Amps));
        self.sag.take(volts, amps, self.charge / SECONDS_OF_HOUR);
        let used = of(&row.values, Channel::Used);
        if !used.is_nan() {
            self.used = Some((self.used.map_or(used, |(first, _)| first), used));
        }
    }

    fn step(&mut self, before: &Values, row: &Row, step: f64) {
        self.seconds += step;
        let (from, to) = (of(before, Channel::Amps), of(&row.values, Channel::Amps));
        if from.is_nan() || to.is_nan() {
            return;
        }
        self.charge += (from + to) / 2.0 * step;
        self.over_1_s.step(from, to, step);
        self.over_10_s.step(from, to, step);
        self.windows.step(before, row, step);
        let volts = (of(before, Channel::Volts) + of(&row.values, Channel::Volts)) / 2.0;
        self.ladder.step(f64::midpoint(from, to), volts, step);
    }

    fn meet(&mut self, row: &Row) {
        let volts = Channel::Volts.place();
        let all = self.extents.iter_mut().zip(&mut self.without).zip(row.values);
        for (place, ((ends, without), value)) in all.enumerate() {
            if value.is_nan() {
                *without += 1;
                continue;
            }
            let here = (value, row.time, row.line);
            let Some(ends) = ends else {
                *ends = Some(Ends { least: here, greatest: here });
                if place == volts {
                    self.amps_at_lowest = of(&row.values, Channel::Amps);
                }
                continue;
            };
            if value < ends.least.0 {
                ends.least = here;
                if place == volts {
                    self.amps_at_lowest = of(&row.values, Channel::Amps);
                }
            }
            if ends.greatest.0 < value {
                ends.greatest = here;
            }
        }
    }

    /// Reads the figures off the sums.
    pub(crate) fn flown(&self, mapping: &Mapping) -> Flown {
        let amps = |amps| usual(amps, Dimension::CURRENT);
        let extents = Channel::ALL.map(|channel| self.extent(channel, mapping));
        let [volts, peak] = [Channel::Volts, Channel::Amps]
            .map(|channel| extents.get(channel.place()).cloned().flatten());
        let peak = peak.map(|extent| extent.greatest);
        let highest = self.over_1_s.highest().or(self.peak());
        let rung = highest.map(|highest| self.ladder.rung(highest));
        let has_amps = self.peak().is_some();
        Flown {
            duration: usual(self.seconds, Dimension::TIME),
            idle: rung.map(|rung| amps(rung.limit)),
            under_power: rung.map(|rung| usual(rung.above, Dimension::TIME)),
            charge: has_amps.then(|| usual(self.charge, Dimension::CHARGE)),
            used: self.used.map(|(first, last)| usual(last - first, Dimension::CHARGE)),
            peak_amps: peak,
            amps_over_1_s: self.over_1_s.highest().map(amps),
            amps_over_10_s: self.over_10_s.highest().map(amps),
            cruise: rung.and_then(|rung| self.cruise(rung.limit, mapping)),
            lowest_volts: volts.map(|extent| Lowest {
                volts: extent.least,
                amps: Some(self.amps_at_lowest).filter(|amps| !amps.is_nan()).map(amps),
            }),
            rest_before: rung.and_then(|rung| rest(&rung.before)),
            rest_after: rung.and_then(|rung| rest(&rung.after)),
            resistance: self.sag.resistance().map(|found| {
                usual(found.ohm, Dimension::RESISTANCE)
                    .with_spread_si(2.0 * found.standard_error)
            }),
            extents,
        }
    }

    fn peak(&self) -> Option<f64> {
        let ends = self.extents.get(Channel::Amps.place()).copied().flatten();
        ends.map(|ends| ends.greatest.0)
    }

    fn extent(&self, channel: Channel, mapping: &Mapping) -> Option<Extent> {
        let ends = self.extents.get(channel.place()).copied().flatten()?;
        let moment = |(value, time, line): (f64, f64, u64)| Moment {
            value: measure(value, channel, mapping),
            at: usual(time - self.start, Dimension::TIME),
            line,
        };
        Some(Extent { least: moment(ends.least), greatest: moment(ends.greatest) })
    }

    fn cruise(&self, idle: f64, mapping: &Mapping) -> Option<Cruise> {
        let above = self.windows.bins().above(idle)?;
        let wander = (above.three_quarters - above.quarter) / QUARTILES;
        let mean = |share: bins::Share, channel| {
            share.mean().map(|mean| measure(mean, channel, mapping))
        };
        let speed = match mean(above.speed, Channel::Speed) {
            Some(Measure::Quantity(speed)) => Some(speed),
            Some(Measure::Bare(_)) | None => None,
        };
        Some(Cruise {
            amps: usual(above.median, Dimension::CURRENT).with_spread_si(2.0 * wander),
            wander: usual(wander, Dimension::CURRENT),
            windows: above.windows,
            lasts: usual(above.seconds, Dimension::TIME),
            by: if self.windows.by_height() {
                SteadyBy::Height
            } else {
                SteadyBy::Current
            },
            speed,
            throttle: mean(above.throttle, Channel::Throttle),
        })
    }
}

fn rest(still: &Still) -> Option<Rest> {
    Some(Rest {
        volts: usual(still.volts?, Dimension::VOLTAGE),
        lasts: usual(still.seconds, Dimension::TIME),
    })
}

fn usual(si: f64, dimension: Dimension) -> Quantity {
    Quantity::from_si(si, &unit_of(dimension))
}

/// Charges in Ah and times in s, else what builders use.
fn unit_of(dimension: Dimension) -> Unit {
    let word = match dimension {
        Dimension::CHARGE => "Ah",
        Dimension::TIME => "s",
        _ => return Unit::for_dimension(dimension),
    };
    Unit::read(word).unwrap_or_else(|| Unit::for_dimension(dimension))
}

/// What is shown in V and A whatever the instrument counts in.
fn is_electric(unit: &Unit) -> bool {
    [Dimension::VOLTAGE, Dimension::CURRENT, Dimension::CHARGE]
        .contains(&unit.dimension())
}

/// A value as it was summed, back in the unit of its column.
fn measure(value: f64, channel: Channel, mapping: &Mapping) -> Measure {
    let unit = mapping.column(channel).and_then(|column| column.unit.as_ref());
    match unit {
        None => Measure::Bare(value),
        Some(unit) if unit.may_be_negative() => {
            Measure::Quantity(Quantity::new(value, unit))
        }
        Some(unit) if is_electric(unit) => {
            Measure::Quantity(usual(value, unit.dimension()))
        }
        Some(unit) => Measure::Quantity(Quantity::from_si(value, unit)),
    }
}
