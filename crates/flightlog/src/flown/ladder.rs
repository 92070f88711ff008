//! How long the current was above each of some limits, and the volts while it was not.
//!
//! Which current counts as rest follows from the highest one, which is known only when
//! the log is over. So a ladder of limits is kept, each twice the one below it: how long
//! the current was between two rungs, when it first came there and when it last was. One
//! limit is read off in the end.

const RUNGS: usize = 18;

/// The lowest limit, in A.
const LOWEST: f64 = 0.01;

/// Up to this share of the highest current the motor is at rest.
///
/// Receiver and servos draw less, a motor that pulls draws more. Common practice, no
/// source.
const REST: f64 = 0.05;

#[derive(Default)]
pub(super) struct Ladder {
    /// All steps so far, in s.
    seconds: f64,
    recent: Recent,
    /// The lowest step of all, up to the first rung, then what lies above each rung.
    steps: [Between; RUNGS + 1],
    /// Where the last current lay, and the limits of that.
    at: usize,
    from: f64,
    to: f64,
}

/// When the current lay between two rungs.
#[derive(Clone, Copy, Default)]
struct Between {
    seconds: f64,
    first: Option<Still>,
    last: f64,
}

/// What is read off one rung.
#[derive(Clone, Copy)]
pub(super) struct Rung {
    /// In A.
    pub(super) limit: f64,
    /// How long the current was above the limit, in s.
    pub(super) above: f64,
    pub(super) before: Still,
    pub(super) after: Still,
}

/// A time without power: how long, and the mean volts of its last seconds.
#[derive(Clone, Copy, Default)]
pub(super) struct Still {
    pub(super) seconds: f64,
    pub(super) volts: Option<f64>,
}

impl Ladder {
    pub(super) fn step(&mut self, amps: f64, volts: f64, step: f64) {
        if !(self.from < amps && amps <= self.to) {
            self.find(amps);
        }
        if let Some(between) = self.steps.get_mut(self.at) {
            if between.first.is_none() {
                let volts = self.recent.mean(self.seconds);
                between.first = Some(Still { seconds: self.seconds, volts });
            }
            between.seconds += step;
            between.last = self.seconds + step;
        }
        self.seconds += step;
        self.recent.take(volts, step);
    }

    fn find(&mut self, amps: f64) {
        (self.at, self.from, self.to) = (0, f64::NEG_INFINITY, LOWEST);
        while self.to < amps && self.at < RUNGS {
            self.at += 1;
            self.from = self.to;
            self.to *= 2.0;
        }
        if self.at == RUNGS {
            self.to = f64::INFINITY;
        }
    }

    /// The highest rung that the highest current leaves to rest.
    pub(super) fn rung(&self, highest: f64) -> Rung {
        let (mut limit, mut place) = (LOWEST, 1);
        while 2.0 * limit <= REST * highest && place < RUNGS {
            limit *= 2.0;
            place += 1;
        }
        let above = || self.steps.iter().skip(place);
        let whole =
            Still { seconds: self.seconds, volts: self.recent.mean(self.seconds) };
        let firsts = above().filter_map(|between| between.first);
        let before = firsts.min_by(|one, two| one.seconds.total_cmp(&two.seconds));
        let last = above().map(|between| between.last).fold(0.0, f64::max);
        let after = self.seconds - last;
        Rung {
            limit,
            above: above().map(|between| between.seconds).sum(),
            before: before.unwrap_or(whole),
            after: Still { seconds: after, volts: self.recent.mean(after) },
        }
    }
}

const PARTS: usize = 10;

/// How long a part is, in s: ten of them are 5 s.
const PART: f64 = 0.5;

/// The volts of the last seconds, in parts.
#[derive(Default)]
struct Recent {
    /// Volts times seconds, and seconds; `next` is still being filled.
    parts: [(f64, f64); PARTS],
    next: usize,
}

impl Recent {
    fn take(&mut self, volts: f64, step: f64) {
        let Some((sum, seconds)) = self.parts.get_mut(self.next) else { return };
        *sum += volts * step;
        *seconds += step;
        if PART <= *seconds {
            self.next = (self.next + 1) % PARTS;
            if let Some(part) = self.parts.get_mut(self.next) {
                *part = (0.0, 0.0);
            }
        }
    }

    /// The mean of the parts that lie whole within the last so many seconds.
    fn mean(&self, within: f64) -> Option<f64> {
        let (mut sum, mut seconds) = (0.0, 0.0);
        for back in 0..PARTS {
            let place = (self.next + PARTS - back) % PARTS;
            let (part, lasts) = self.parts.get(place)?;
            if within + 1e-6 < seconds + lasts {
                break;
            }
            sum += part;
            seconds += lasts;
        }
        (0.0 < seconds).then(|| sum / seconds).filter(|volts| volts.is_finite())
    }
}
