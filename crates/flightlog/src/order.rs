//! Rows in the order of time: what lies before, what comes twice, where rows are missing.

use crate::Channel;
use crate::rows::BadRow;

/// A row that could be read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Row {
    pub(crate) line: u64,
    /// In s.
    pub(crate) time: f64,
    pub(crate) values: Values,
}

/// What stands in the columns of a row; no number where nothing does.
pub(crate) type Values = [f64; Channel::COUNT];

/// What becomes of a row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Fate {
    /// It is used; `step` is the time since the row used before it, none behind a gap.
    Used {
        row: Row,
        step: Option<f64>,
        gap: Option<f64>,
    },
    LeftOut {
        line: u64,
        sort: BadRow,
    },
}

/// How many steps the usual step is the median of.
const STEPS: usize = 31;

/// A step that is so many times the usual one is a gap.
const GAP: f64 = 10.0;

/// So many rows in order among themselves, from the beginning on, are a new start.
const RESTART: usize = 10;

/// Lets rows through in the order of time.
///
/// A row behind a gap waits for the next one: where that one lies before it again, the
/// clock had leapt for one row, and it is that row that is out of order.
#[derive(Default)]
pub(crate) struct Order {
    first: Option<f64>,
    last: Option<Row>,
    held: Option<Row>,
    steps: Steps,
    back: Back,
    has_restarted: bool,
}

/// Rows one after the other that lie before the last one used.
#[derive(Default)]
struct Back {
    count: usize,
    first: f64,
    last: f64,
}

/// The latest steps, and their median as it was when it was last asked for.
#[derive(Default)]
struct Steps {
    latest: [f64; STEPS],
    count: usize,
    next: usize,
    usual: f64,
}

impl Order {
    /// Takes the steps of the rows that were looked at in advance.
    pub(crate) fn expect_steps(&mut self, steps: impl Iterator<Item = f64>) {
        for step in steps.filter(|step| 0.0 < *step).take(STEPS) {
            self.steps.push(step);
        }
        self.steps.settle();
    }

    /// The time of the last row that was used.
    pub(crate) fn last_time(&self) -> Option<f64> {
        self.last.or(self.held).map(|row| row.time)
    }

    /// Takes a row, and gives what becomes of it and of the one that waited.
    pub(crate) fn push(&mut self, row: Row, mut fate: impl FnMut(Fate)) {
        if self.has_restarted {
            let (line, sort) = (row.line, BadRow::AfterRestart);
            return fate(Fate::LeftOut { line, sort });
        }
        if let Some(held) = self.held.take() {
            let is_behind = self.last.is_none_or(|last| last.time < row.time);
            if row.time < held.time && is_behind {
                fate(Fate::LeftOut { line: held.line, sort: BadRow::OutOfOrder });
            } else {
                fate(self.accept(held));
            }
        }
        let Some(last) = self.last else {
            self.held = Some(row);
            return;
        };
        let step = row.time - last.time;
        if step < 0.0 {
            self.go_back(&row);
            fate(Fate::LeftOut { line: row.line, sort: BadRow::OutOfOrder });
        } else if step <= 0.0 {
            let same = are_alike(&row.values, &last.values);
            let sort = if same { BadRow::Repeated } else { BadRow::SameTime };
            fate(Fate::LeftOut { line: row.line, sort });
        } else if self.steps.is_gap(step) {
            self.held = Some(row);
        } else {
            fate(self.accept(row));
        }
    }

    /// The row that still waits when the log is over.
    pub(crate) fn finish(&mut self) -> Option<Fate> {
        let held = self.held.take()?;
        Some(self.accept(held))
    }

    fn accept(&mut self, row: Row) -> Fate {
        self.first.get_or_insert(row.time);
        self.back = Back::default();
        let since = self.last.replace(row).map(|last| row.time - last.time);
        let gap = since.filter(|step| self.steps.is_gap(*step));
        if let Some(step) = since {
            self.steps.push(step);
        }
        Fate::Used { row, step: if gap.is_some() { None } else { since }, gap }
    }

    /// Counts rows that go on among themselves from where the log began.
    fn go_back(&mut self, row: &Row) {
        let goes_on = 0 < self.back.count && self.back.last <= row.time;
        self.back = match goes_on {
            true => Back { count: self.back.count + 1, last: row.time, ..self.back },
            false => Back { count: 1, first: row.time, last: row.time },
        };
        let begin = self.first.unwrap_or(row.time) + GAP * self.steps.usual;
        self.has_restarted = RESTART <= self.back.count && self.back.first <= begin;
    }
}

fn are_alike(one: &Values, two: &Values) -> bool {
    one.iter()
        .zip(two)
        .all(|(one, two)| (one.is_nan() && two.is_nan()) || one.total_cmp(two).is_eq())
}

impl Steps {
    fn push(&mut self, step: f64) {
        if let Some(place) = self.latest.get_mut(self.next) {
            *place = step;
        }
        self.count = STEPS.min(self.count + 1);
        self.next = (self.next + 1) % STEPS;
        if self.next == 0 {
            self.settle();
        }
    }

    fn settle(&mut self) {
        let mut steps = self.latest;
        let steps = steps.get_mut(..self.count).unwrap_or_default();
        steps.sort_unstable_by(f64::total_cmp);
        self.usual = steps.get(self.count / 2).copied().unwrap_or(0.0);
    }

    /// Whether a step is far longer than usual; nothing is usual before three steps.
    fn is_gap(&mut self, step: f64) -> bool {
        if step <= GAP * self.usual {
            return false;
        }
        self.settle();
        3 <= self.count && GAP * self.usual < step
    }
}
