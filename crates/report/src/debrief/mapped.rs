//! From a `log` of the spec to the mapping with which a log is read.

use trimsheet_facts::model::EntryId;
use trimsheet_facts::model::quantity::Quantity;
use trimsheet_facts::model::source::Span;
use trimsheet_facts::{Facts, LogColumn, NotKnown};
use trimsheet_flightlog::{Channel, Column, Mapping};

/// A `log` of the spec that is wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// Its name.
    pub name: String,
    /// Where it stands.
    pub span: Span,
    /// Which column is what.
    pub mapping: Mapping,
    lines: Vec<(Option<Channel>, Span)>,
    /// Columns that say what another one says as well, and are not read.
    pub(super) more: Vec<LogColumn>,
}

/// Why there is no mapping.
#[derive(Clone, Debug, PartialEq)]
pub enum NoMapping {
    /// The spec has no `log`, none of this name, or several and none was named.
    NoSuch {
        /// The names of those that there are.
        names: Vec<String>,
    },
    /// What it says is not known.
    NotKnown(Box<NotKnown>),
}

impl Wanted {
    /// Finds the log of this name, or the only one.
    ///
    /// # Errors
    /// That there is no such log, or that its lines are not known.
    pub fn find(facts: &Facts, name: Option<&str>) -> Result<Wanted, NoMapping> {
        let logs: Vec<(EntryId, &str, Span)> = facts
            .of_word("log")
            .map(|(id, log)| (id, log.name.as_str(), log.span()))
            .collect();
        let found = match (name, logs.as_slice()) {
            (Some(name), all) => all.iter().find(|(_, own, _)| *own == name),
            (None, [only]) => Some(only),
            (None, _) => None,
        };
        let Some((id, name, span)) = found else {
            let names = logs.iter().map(|(_, name, _)| (*name).to_owned()).collect();
            return Err(NoMapping::NoSuch { names });
        };
        let columns = facts.log_columns(*id);
        let columns = columns.map_err(|why| NoMapping::NotKnown(Box::new(why)))?;
        Wanted::of(name, *span, columns).ok_or_else(|| {
            let says = format!("log {name} names no column of time");
            NoMapping::NotKnown(Box::new(NotKnown::impossible(says, Some(*span))))
        })
    }

    fn of(name: &str, span: Span, columns: Vec<LogColumn>) -> Option<Wanted> {
        let time = columns.iter().find(|column| column.word == "time")?;
        let mut mapping = Mapping::new(column(time));
        let (mut lines, mut more) = (Vec::new(), Vec::new());
        for one in columns {
            let channel = channel(one.word);
            if lines.iter().any(|(known, _)| *known == channel) {
                more.push(one);
                continue;
            }
            lines.push((channel, one.span));
            if let Some(channel) = channel {
                mapping = mapping.with(channel, column(&one));
            }
        }
        Some(Wanted { name: name.to_owned(), span, mapping, lines, more })
    }

    /// The line that says which column a channel is; none stands for the time.
    pub fn line(&self, channel: Option<Channel>) -> Span {
        let line = self.lines.iter().find(|(known, _)| *known == channel);
        line.map_or(self.span, |(_, span)| *span)
    }
}

fn column(said: &LogColumn) -> Column {
    Column {
        header: said.head.trim().to_owned(),
        unit: said.each.as_ref().map(|each| each.unit().clone()),
        each: said.each.as_ref().map_or(1.0, Quantity::value),
    }
}

/// The channel of a word of the vocabulary; none for the time.
fn channel(word: &str) -> Option<Channel> {
    match word {
        "volts" => Some(Channel::Volts),
        "amps" => Some(Channel::Amps),
        "used" => Some(Channel::Used),
        "cell-volts" => Some(Channel::CellVolts),
        "speed" => Some(Channel::Speed),
        "height" => Some(Channel::Height),
        "temperature" => Some(Channel::Temperature),
        "quality" => Some(Channel::Quality),
        "throttle" => Some(Channel::Throttle),
        _ => None,
    }
}
