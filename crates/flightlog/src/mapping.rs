//! Which column of a log is what, in which unit.

use trimsheet_quantity::{Dimension, Unit};

/// What a column of a log may hold, beside the time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Channel {
    /// Volts of the pack.
    Volts,
    /// Current out of the pack.
    Amps,
    /// Charge used, as the instrument itself counts it.
    Used,
    /// Volts of the weakest cell.
    CellVolts,
    /// Speed of flight.
    Speed,
    /// Height.
    Height,
    /// A temperature.
    Temperature,
    /// Quality of the radio link; less is weaker.
    Quality,
    /// Throttle.
    Throttle,
}

impl Channel {
    /// Every channel, in the order in which they are kept.
    pub const ALL: [Channel; Channel::COUNT] = [
        Channel::Volts,
        Channel::Amps,
        Channel::Used,
        Channel::CellVolts,
        Channel::Speed,
        Channel::Height,
        Channel::Temperature,
        Channel::Quality,
        Channel::Throttle,
    ];

    pub(crate) const COUNT: usize = 9;

    /// What it is called in a sentence.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Channel::Volts => "volts",
            Channel::Amps => "amps",
            Channel::Used => "charge used",
            Channel::CellVolts => "cell volts",
            Channel::Speed => "speed",
            Channel::Height => "height",
            Channel::Temperature => "temperature",
            Channel::Quality => "radio quality",
            Channel::Throttle => "throttle",
        }
    }

    /// What its unit may measure; empty where plain numbers are taken as well.
    fn dimensions(self) -> &'static [Dimension] {
        match self {
            Channel::Volts => &[Dimension::VOLTAGE],
            Channel::Amps => &[Dimension::CURRENT],
            Channel::Used => &[Dimension::CHARGE],
            Channel::CellVolts => &[Dimension::VOLTAGE, Dimension::VOLTAGE_PER_CELL],
            Channel::Speed => &[Dimension::SPEED],
            Channel::Height => &[Dimension::LENGTH],
            Channel::Temperature => &[Dimension::TEMPERATURE],
            Channel::Quality | Channel::Throttle => &[],
        }
    }

    /// Whether a column in this unit, or in none, can be this.
    #[must_use]
    pub fn takes(self, unit: Option<&Unit>) -> bool {
        let dimensions = self.dimensions();
        dimensions.is_empty()
            || unit.is_some_and(|unit| dimensions.contains(&unit.dimension()))
    }

    pub(crate) fn place(self) -> usize {
        self as usize
    }

    /// Whether a row that leaves it empty can still be used.
    pub(crate) fn may_be_empty(self) -> bool {
        match self {
            Channel::Volts | Channel::Amps => false,
            Channel::Used
            | Channel::CellVolts
            | Channel::Speed
            | Channel::Height
            | Channel::Temperature
            | Channel::Quality
            | Channel::Throttle => true,
        }
    }
}

/// A column by the text in the header, and the unit of what stands under it.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// The text in the header, without blanks around it.
    pub header: String,
    /// The unit, or none where plain numbers or times of the clock stand.
    pub unit: Option<Unit>,
    /// How many of the unit a one in the column stands for: 10 where it counts in 10 mA.
    pub each: f64,
}

impl Column {
    /// A column whose numbers are in a unit as they stand.
    #[must_use]
    pub fn plain(header: impl Into<String>, unit: Option<Unit>) -> Column {
        Column { header: header.into(), unit, each: 1.0 }
    }
}

/// Which column is what.
#[derive(Clone, Debug, PartialEq)]
pub struct Mapping {
    /// The column of time.
    pub time: Column,
    columns: Vec<(Channel, Column)>,
}

impl Mapping {
    /// A mapping that knows the time only.
    #[must_use]
    pub fn new(time: Column) -> Mapping {
        Mapping { time, columns: Vec::new() }
    }

    /// The same with one more column; the last one said of a channel counts.
    #[must_use]
    pub fn with(mut self, channel: Channel, column: Column) -> Mapping {
        self.columns.retain(|(said, _)| *said != channel);
        self.columns.push((channel, column));
        self.columns.sort_by_key(|(channel, _)| *channel);
        self
    }

    /// The columns beside the time, in the order of [`Channel::ALL`].
    pub fn columns(&self) -> impl Iterator<Item = (Channel, &Column)> {
        self.columns.iter().map(|(channel, column)| (*channel, column))
    }

    /// The column of a channel.
    #[must_use]
    pub fn column(&self, channel: Channel) -> Option<&Column> {
        self.columns().find(|(said, _)| *said == channel).map(|(_, column)| column)
    }
}
