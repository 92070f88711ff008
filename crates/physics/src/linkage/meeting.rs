//! Where a pin can stand that a rod holds off another pin.
//!
//! The driven pin goes round a circle, and the rod puts it on a sphere around the driving
//! pin. With w from the driving pin to the middle of the circle, u and v its radii at
//! neutral and a quarter turn on, |w + u cos δ + v sin δ| = L reads
//!
//! ```text
//! A cos δ + B sin δ = C     A = w·u   B = w·v   C = (L² − w² − r²)/2
//! ```
//!
//! which has two answers, one on either side of atan2(B, A), while A² + B² − C² is above
//! nought; there they become one, and beyond there is none. Divided by (L r)² that is
//! the square of the sine of the angle at which the rod meets the driven arm. As the
//! driving pin goes round, A, B and C each swing as a sine does, so it cannot bend faster
//! than can be told beforehand: one may step along it and never step across a zero.

use std::f64::consts::PI;

use super::crank::Crank;

/// A number that swings as an arm turns.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Wave {
    mean: f64,
    cosine: f64,
    sine: f64,
}

impl Wave {
    fn at(self, (sine, cosine): (f64, f64)) -> f64 {
        self.mean + self.cosine * cosine + self.sine * sine
    }

    fn slope(self, (sine, cosine): (f64, f64)) -> f64 {
        self.sine * cosine - self.cosine * sine
    }

    /// What the second slope of its square never exceeds.
    fn bend(self) -> f64 {
        let swing = (self.cosine * self.cosine + self.sine * self.sine).sqrt();
        2.0 * (swing * swing + (self.mean.abs() + swing) * swing)
    }
}

/// Which of the two places the driven pin has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    /// A greater angle than the one at which both are one.
    Greater,
    /// A smaller one.
    Smaller,
}

/// One arm that drives another through a rod.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Meeting {
    along: Wave,
    across: Wave,
    reach: Wave,
    /// (L r)² of rod and driven arm, in m⁴.
    scale: f64,
}

/// Squares of sines that count as nought: a thousandth of a thousandth of a radian.
const NOUGHT: f64 = 1e-12;

/// Steps after which a walk ends where it is. It takes tens where arms have sizes.
const MOST_STEPS: u32 = 10_000;

impl Meeting {
    pub(super) fn new(driving: &Crank, driven: &Crank, rod: f64) -> Self {
        let apart = driven.centre.minus(driving.centre);
        let wave = |radius: crate::space::Point| Wave {
            mean: apart.dot(radius),
            cosine: -driving.arm.dot(radius),
            sine: -driving.ahead.dot(radius),
        };
        let squares =
            driven.arm.dot(driven.arm) + driving.arm.dot(driving.arm) + apart.dot(apart);
        Self {
            along: wave(driven.arm),
            across: wave(driven.ahead),
            reach: Wave {
                mean: (rod * rod - squares) / 2.0,
                cosine: apart.dot(driving.arm),
                sine: apart.dot(driving.ahead),
            },
            scale: rod * rod * driven.arm.dot(driven.arm),
        }
    }

    /// The square of the sine of the angle between the rod and the driven arm; negative
    /// if the rod does not reach.
    pub(super) fn openness(&self, driving: f64) -> f64 {
        let turned = libm::sincos(driving);
        let [along, across, reach] =
            [self.along, self.across, self.reach].map(|wave| wave.at(turned));
        (along * along + across * across - reach * reach) / self.scale
    }

    /// How openness changes, per radian.
    fn opening(&self, driving: f64) -> f64 {
        let turned = libm::sincos(driving);
        let [along, across, reach] = [self.along, self.across, self.reach]
            .map(|wave| 2.0 * wave.at(turned) * wave.slope(turned));
        (along + across - reach) / self.scale
    }

    /// The angle of the driven arm, within half a turn of neutral.
    ///
    /// Where the rod does not reach, the angle at which it is nearest to reaching.
    pub(super) fn angle(&self, driving: f64, side: Side) -> f64 {
        let turned = libm::sincos(driving);
        let [along, across, reach] =
            [self.along, self.across, self.reach].map(|wave| wave.at(turned));
        let both = (along * along + across * across).sqrt();
        let share = if 0.0 < both { (reach / both).clamp(-1.0, 1.0) } else { 0.0 };
        let (middle, half) = (libm::atan2(across, along), libm::acos(share));
        match side {
            Side::Greater => within_half_a_turn(middle + half),
            Side::Smaller => within_half_a_turn(middle - half),
        }
    }

    /// The angle of the driven arm where both places become one.
    pub(super) fn fold(&self, driving: f64) -> f64 {
        let turned = libm::sincos(driving);
        let sign = if self.reach.at(turned) < 0.0 { -1.0 } else { 1.0 };
        let (along, across) = (self.along.at(turned), self.across.at(turned));
        libm::atan2(sign * across, sign * along)
    }

    /// On which side the driven arm is, if it stands there.
    pub(super) fn side(&self, driving: f64, driven: f64) -> Side {
        let turned = libm::sincos(driving);
        let (sine, cosine) = libm::sincos(driven);
        let slope = self.across.at(turned) * cosine - self.along.at(turned) * sine;
        if slope < 0.0 { Side::Greater } else { Side::Smaller }
    }

    /// The first angle at which openness comes down to a level while the driving arm
    /// turns `most` radians on from an angle. `None` if it does not.
    ///
    /// `sense` is 1 or −1. With f above the level by f, a slope of f′ and a second slope
    /// of at most M, there is no zero before the one of f + f′ t − ½ M t².
    pub(super) fn first_down_to(
        &self,
        level: f64,
        from: f64,
        sense: f64,
        most: f64,
    ) -> Option<f64> {
        let bend = (self.along.bend() + self.across.bend() + self.reach.bend())
            / self.scale
            + f64::MIN_POSITIVE;
        let mut turned = 0.0;
        for _ in 0..MOST_STEPS {
            let at = from + sense * turned;
            let above = self.openness(at) - level;
            if above <= NOUGHT {
                return Some(at);
            }
            let slope = sense * self.opening(at);
            let root = (slope * slope + 2.0 * bend * above).sqrt();
            // The same root, written so that nothing cancels.
            let step = if slope < 0.0 {
                2.0 * above / (root - slope)
            } else {
                (slope + root) / bend
            };
            turned += step;
            if most <= turned {
                return None;
            }
        }
        Some(from + sense * turned)
    }
}

/// The same angle, above −π and up to π.
fn within_half_a_turn(angle: f64) -> f64 {
    if PI < angle {
        angle - 2.0 * PI
    } else if angle <= -PI {
        angle + 2.0 * PI
    } else {
        angle
    }
}
