//! The highest mean of a current over a length of time, wherever that begins.

/// How many places a length is begun at, in its own length.
const PLACES: usize = 20;

/// The charge at regular times, as far back as one length of time.
///
/// Between two rows the current goes along a straight line, so the charge at any time
/// between them is known. A length is begun at each twentieth of it.
pub(super) struct Sliding {
    /// In s.
    length: f64,
    charges: [f64; PLACES + 1],
    count: usize,
    next: usize,
    charge: f64,
    until: f64,
    highest: Option<f64>,
}

impl Sliding {
    pub(super) fn over(length: f64) -> Sliding {
        let mut sliding = Sliding {
            length,
            charges: [0.0; PLACES + 1],
            count: 0,
            next: 0,
            charge: 0.0,
            until: 0.0,
            highest: None,
        };
        sliding.begin();
        sliding
    }

    /// The highest mean in A, if the log goes on for so long.
    pub(super) fn highest(&self) -> Option<f64> {
        self.highest
    }

    /// Begins behind a gap.
    pub(super) fn begin(&mut self) {
        self.count = 0;
        self.keep(self.charge);
        self.until = self.length / PLACES_F;
    }

    /// Goes on by one step between two rows.
    pub(super) fn step(&mut self, from: f64, to: f64, step: f64) {
        let slope = (to - from) / step;
        if self.length < step {
            self.meet(from.max(to) - slope.abs() * self.length / 2.0);
            self.charge += (from + to) / 2.0 * step;
            return self.begin();
        }
        while self.until <= step {
            let so_far = (from + slope / 2.0 * self.until) * self.until;
            self.keep(self.charge + so_far);
            self.until += self.length / PLACES_F;
        }
        self.until -= step;
        self.charge += (from + to) / 2.0 * step;
    }

    fn keep(&mut self, charge: f64) {
        let Some(place) = self.charges.get_mut(self.next) else { return };
        *place = charge;
        self.next = (self.next + 1) % (PLACES + 1);
        self.count = (PLACES + 1).min(self.count + 1);
        if self.count == PLACES + 1 {
            let oldest = self.charges.get(self.next).copied().unwrap_or(charge);
            self.meet((charge - oldest) / self.length);
        }
    }

    fn meet(&mut self, mean: f64) {
        self.highest = Some(self.highest.map_or(mean, |highest| highest.max(mean)));
    }
}

const PLACES_F: f64 = 20.0;
