//! A histogram of a fixed number of bins, whose width doubles when it is outgrown.

const COUNT: usize = 2048;

/// The first width, in A.
const WIDTH: f64 = 0.002;

/// Steady windows by their mean current.
///
/// A bin keeps sums beside its count, so what is read off it is the mean of what lies
/// in it and not its middle.
pub(super) struct Bins {
    width: f64,
    bins: Box<[Bin]>,
}

#[derive(Clone, Copy, Default)]
pub(super) struct Bin {
    windows: u64,
    seconds: f64,
    charge: f64,
    speed: Share,
    throttle: Share,
}

/// A sum over time, and over how long.
#[derive(Clone, Copy, Default)]
pub(super) struct Share {
    sum: f64,
    seconds: f64,
}

impl Share {
    /// Nothing is added where nothing stands.
    pub(super) fn take(&mut self, value: f64, step: f64) {
        if !value.is_nan() {
            self.sum += value * step;
            self.seconds += step;
        }
    }

    fn join(&mut self, other: Share) {
        self.sum += other.sum;
        self.seconds += other.seconds;
    }

    pub(super) fn mean(self) -> Option<f64> {
        (0.0 < self.seconds).then(|| self.sum / self.seconds)
    }
}

/// What the bins above a current hold.
pub(super) struct Above {
    pub(super) windows: u64,
    pub(super) seconds: f64,
    pub(super) quarter: f64,
    pub(super) median: f64,
    pub(super) three_quarters: f64,
    pub(super) speed: Share,
    pub(super) throttle: Share,
}

impl Bins {
    pub(super) fn new() -> Bins {
        Bins { width: WIDTH, bins: vec![Bin::default(); COUNT].into_boxed_slice() }
    }

    pub(super) fn add(
        &mut self,
        charge: f64,
        seconds: f64,
        speed: Share,
        throttle: Share,
    ) {
        let amps = charge / seconds;
        while COUNT_F * self.width <= amps {
            self.double();
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "not negative, and below the count of bins"
        )]
        let place = (amps / self.width) as usize;
        if let Some(bin) = self.bins.get_mut(place) {
            bin.join(&Bin { windows: 1, seconds, charge, speed, throttle });
        }
    }

    /// Each bin takes two of the old ones.
    fn double(&mut self) {
        self.width *= 2.0;
        for place in 0..COUNT {
            let mut both = Bin::default();
            for old in [2 * place, 2 * place + 1] {
                both.join(self.bins.get(old).unwrap_or(&Bin::default()));
            }
            if let Some(bin) = self.bins.get_mut(place) {
                *bin = both;
            }
        }
    }

    /// The quartiles of the current by time, of windows with more than `idle`.
    pub(super) fn above(&self, idle: f64) -> Option<Above> {
        let bins = || self.bins.iter().filter(|bin| idle * bin.seconds < bin.charge);
        let mut all = Bin::default();
        bins().for_each(|bin| all.join(bin));
        let quantile = |share: f64| {
            let mut seconds = 0.0;
            bins().find_map(|bin| {
                seconds += bin.seconds;
                (share * all.seconds <= seconds).then(|| bin.charge / bin.seconds)
            })
        };
        Some(Above {
            windows: all.windows,
            seconds: all.seconds,
            quarter: quantile(0.25)?,
            median: quantile(0.5)?,
            three_quarters: quantile(0.75)?,
            speed: all.speed,
            throttle: all.throttle,
        })
    }
}

const COUNT_F: f64 = 2048.0;

impl Bin {
    fn join(&mut self, other: &Bin) {
        self.windows += other.windows;
        self.seconds += other.seconds;
        self.charge += other.charge;
        self.speed.join(other.speed);
        self.throttle.join(other.throttle);
    }
}
