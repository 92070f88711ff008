//! Windows of five seconds, and which of them were flown steadily.

use crate::Channel;
use crate::order::{Row, Values};

use super::bins::{Bins, Share};
use super::of;

/// How long a window is, in s.
pub const WINDOW: f64 = 5.0;

/// How fast a window may climb or sink and still be level, in m/s.
///
/// Air moves a model about so much; a climb is several times faster. Common practice,
/// no source.
pub const CLIMB: f64 = 1.0;

/// How far a current may lie from the mean of its window, as a share of that.
///
/// Common practice, no source.
pub const STEADY: f64 = 0.15;

/// Fewer steps in a window do not show whether it is steady.
const FEWEST: u32 = 4;

/// Fills one window after the other, and sorts steady ones into bins by their current.
pub(super) struct Windows {
    by_height: bool,
    open: Window,
    bins: Bins,
}

#[derive(Clone, Copy, Default)]
struct Window {
    steps: u32,
    seconds: f64,
    charge: f64,
    least: f64,
    greatest: f64,
    line: Line,
    speed: Share,
    throttle: Share,
}

/// Sums for a straight line through heights over time.
#[derive(Clone, Copy, Default)]
struct Line {
    count: f64,
    base: f64,
    times: f64,
    heights: f64,
    squares: f64,
    products: f64,
}

impl Windows {
    pub(super) fn new(by_height: bool) -> Windows {
        Windows { by_height, open: Window::default(), bins: Bins::new() }
    }

    pub(super) fn bins(&self) -> &Bins {
        &self.bins
    }

    pub(super) fn by_height(&self) -> bool {
        self.by_height
    }

    /// Leaves a window that a gap has cut.
    pub(super) fn begin(&mut self) {
        self.open = Window::default();
    }

    pub(super) fn step(&mut self, before: &Values, row: &Row, step: f64) {
        let [from, to] = [before, &row.values].map(|values| of(values, Channel::Amps));
        let window = &mut self.open;
        if window.steps == 0 {
            (window.least, window.greatest) = (from, from);
            window.line.take(0.0, of(before, Channel::Height));
        }
        window.steps += 1;
        window.seconds += step;
        window.charge += (from + to) / 2.0 * step;
        window.least = window.least.min(to);
        window.greatest = window.greatest.max(to);
        window.line.take(window.seconds, of(&row.values, Channel::Height));
        window.speed.take(of(&row.values, Channel::Speed), step);
        window.throttle.take(of(&row.values, Channel::Throttle), step);
        if WINDOW - 1e-6 <= window.seconds {
            self.close();
        }
    }

    fn close(&mut self) {
        let window = std::mem::take(&mut self.open);
        let mean = window.charge / window.seconds;
        let is_steady = if self.by_height {
            window.line.slope().is_some_and(|climb| climb.abs() <= CLIMB)
        } else {
            (1.0 - STEADY) * mean <= window.least
                && window.greatest <= (1.0 + STEADY) * mean
        };
        if FEWEST <= window.steps && is_steady && 0.0 < mean {
            self.bins.add(window.charge, window.seconds, window.speed, window.throttle);
        }
    }
}

impl Line {
    fn take(&mut self, time: f64, height: f64) {
        if height.is_nan() {
            return;
        }
        if self.count <= 0.0 {
            self.base = height;
        }
        let height = height - self.base;
        self.count += 1.0;
        self.times += time;
        self.heights += height;
        self.squares += time * time;
        self.products += time * height;
    }

    fn slope(&self) -> Option<f64> {
        let below = self.count * self.squares - self.times * self.times;
        let above = self.count * self.products - self.times * self.heights;
        (3.0 <= self.count && 0.0 < below).then(|| above / below)
    }
}
