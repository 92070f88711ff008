//! How far an edge moves when its surface turns.
//!
//! Builders measure the movement of an edge in three ways, which go apart as the angle
//! grows: at 30° by 4 % and by 15 %. A movement means nothing until it says which.
//!
//! ```text
//!                      ╱│ edge, turned
//!            c      ╱ ╱ │                     straight up    c sin δ
//!                ╱ ╱    │ straight up         straight gap   2 c sin ½δ
//!             ╱ ╱ gap   │                     upright ruler  c tan δ
//!   hinge  o───────────────● edge, flat
//! ```
//!
//! Movements are positive when the edge stands up, angles are about the hinge, in
//! radians, trailing edge down positive, as everywhere in this crate.

use std::f64::consts::{FRAC_PI_2, PI};

/// In which way the movement of an edge is measured.
///
/// All three are geometry, and all three are in use (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// How high the edge stands above where it lies flat: c sin δ.
    StraightUp,
    /// The shortest way from where the edge lay flat to where it is now: 2 c sin ½δ.
    StraightGap,
    /// Where the surface, made longer, meets an upright ruler that stands at the edge as
    /// it lies flat: c tan δ.
    UprightRuler,
}

impl Measure {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::StraightUp, Self::StraightGap, Self::UprightRuler];

    /// The movement of an edge, in m, up positive, at an angle, trailing edge down
    /// positive.
    ///
    /// `depth` is from the hinge to the edge, in m. `None` if there is no depth, or if
    /// the angle is so large that this way of measuring cannot tell it from another:
    /// beyond a right angle, or for the gap beyond half a turn.
    #[must_use]
    pub fn movement(self, depth: f64, angle: f64) -> Option<f64> {
        let is_told = match self {
            Self::StraightUp => angle.abs() <= FRAC_PI_2,
            Self::StraightGap => angle.abs() <= PI,
            Self::UprightRuler => angle.abs() < FRAC_PI_2,
        };
        let share = match self {
            Self::StraightUp => libm::sin(angle),
            Self::StraightGap => 2.0 * libm::sin(angle / 2.0),
            Self::UprightRuler => libm::tan(angle),
        };
        let movement = -depth * share;
        (is_told && 0.0 < depth && movement.is_finite()).then_some(movement)
    }

    /// The angle at which an edge has moved so far: [`Measure::movement`] the other way.
    ///
    /// `None` if there is no depth, or if the edge of so deep a surface cannot move so
    /// far.
    #[must_use]
    pub fn angle(self, depth: f64, movement: f64) -> Option<f64> {
        let share = movement / depth;
        if !(0.0 < depth && share.is_finite()) {
            return None;
        }
        match self {
            Self::StraightUp => (share.abs() <= 1.0).then(|| -libm::asin(share)),
            Self::StraightGap => {
                (share.abs() <= 2.0).then(|| -2.0 * libm::asin(share / 2.0))
            }
            Self::UprightRuler => Some(-libm::atan(share)),
        }
    }

    /// The movement of an edge that stands at `neutral` when it turns by `angle` more.
    ///
    /// An upright ruler stands where the edge stands at neutral. Signs and `None` as for
    /// [`Measure::movement`].
    #[must_use]
    pub fn movement_from(self, depth: f64, neutral: f64, angle: f64) -> Option<f64> {
        match self {
            Self::StraightGap => self.movement(depth, angle),
            Self::StraightUp | Self::UprightRuler => {
                let ahead = self.depth_from(depth, neutral);
                let to = self.movement(ahead, neutral + angle)?;
                Some(to - self.movement(ahead, neutral)?)
            }
        }
    }

    /// The angle by which an edge that stands at `neutral` turns when it moves so far:
    /// [`Measure::movement_from`] the other way.
    #[must_use]
    pub fn angle_from(self, depth: f64, neutral: f64, movement: f64) -> Option<f64> {
        match self {
            Self::StraightGap => self.angle(depth, movement),
            Self::StraightUp | Self::UprightRuler => {
                let ahead = self.depth_from(depth, neutral);
                let from = self.movement(ahead, neutral)?;
                Some(self.angle(ahead, from + movement)? - neutral)
            }
        }
    }

    /// How far behind the hinge a movement is read: an upright ruler stands at the edge,
    /// which lies nearer to the hinge when it is turned.
    fn depth_from(self, depth: f64, neutral: f64) -> f64 {
        match self {
            Self::UprightRuler => depth * libm::cos(neutral),
            Self::StraightUp | Self::StraightGap => depth,
        }
    }

    /// What another way of measuring reads where this one reads `movement`.
    ///
    /// `None` if one of the two has no answer.
    #[must_use]
    pub fn read_as(self, other: Self, depth: f64, movement: f64) -> Option<f64> {
        other.movement(depth, self.angle(depth, movement)?)
    }
}

/// How high the edge of a surface stands at an angle, in m: −c sin δ.
///
/// `depth` is from the hinge to the edge, in m.
#[must_use]
pub fn edge_height(depth: f64, angle: f64) -> f64 {
    -depth * libm::sin(angle)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edge_that_stands_up_is_turned_against_the_count_of_angles() {
        let angle = Measure::StraightUp.angle(0.05, 0.01).unwrap();
        assert!(angle < 0.0);
        assert!((edge_height(0.05, angle) - 0.01).abs() < 1e-15);
    }

    #[test]
    fn straight_up_from_a_reflex_adds_heights_and_edge_to_edge_adds_angles() {
        let (depth, reflex) = (0.05, -libm::asin(0.04));
        let turned = Measure::StraightUp.angle_from(depth, reflex, 0.014).unwrap();
        assert!((edge_height(depth, reflex + turned) - 0.016).abs() < 1e-15);
        let gap = Measure::StraightGap.angle_from(depth, reflex, 0.014);
        assert_eq!(gap, Measure::StraightGap.angle(depth, 0.014));
        for measure in Measure::ALL {
            for angle in [-0.5, -0.1, 0.2, 0.6] {
                let moved = measure.movement_from(depth, reflex, angle).unwrap();
                let back = measure.angle_from(depth, reflex, moved).unwrap();
                assert!((back - angle).abs() < 1e-12, "{measure:?} {angle}");
                let flat = measure.movement_from(depth, 0.0, angle);
                assert_eq!(flat, measure.movement(depth, angle));
            }
        }
    }

    #[test]
    fn an_edge_stands_no_further_than_it_is_deep() {
        assert_eq!(Measure::StraightUp.angle(0.05, 0.051), None);
        assert_eq!(Measure::StraightUp.angle(0.0, 0.0), None);
        assert_eq!(Measure::StraightUp.angle(0.05, f64::NAN), None);
        assert!(Measure::StraightUp.angle(0.05, -0.05).is_some());
    }

    #[test]
    fn each_way_of_measuring_goes_there_and_back() {
        for measure in Measure::ALL {
            for tenths in -899..=899 {
                let angle = f64::from(tenths / 10).to_radians();
                let movement = measure.movement(0.05, angle).unwrap();
                let back = measure.angle(0.05, movement).unwrap();
                assert!((back - angle).abs() < 1e-12, "{measure:?} {angle} {back}");
                for other in Measure::ALL {
                    let read = measure.read_as(other, 0.05, movement).unwrap();
                    let straight = other.movement(0.05, angle).unwrap();
                    assert!((read - straight).abs() < 1e-9 * (1.0 + straight.abs()));
                }
            }
        }
    }

    #[test]
    fn a_gap_is_longer_than_a_rise_and_a_ruler_reads_more_than_both() {
        let up = -20_f64.to_radians();
        let [rise, gap, ruler] =
            Measure::ALL.map(|measure| measure.movement(0.04, up).unwrap());
        assert!(0.0 < rise && rise < gap && gap < ruler, "{rise} {gap} {ruler}");
        assert!((edge_height(0.04, up) - rise).abs() < 1e-15);
    }

    #[test]
    fn a_movement_that_no_angle_has_and_an_angle_that_no_ruler_reads_are_none() {
        let beyond = [(0.05, 0.1001), (0.0, 0.0), (-0.05, 0.01), (0.05, f64::NAN)];
        for (depth, movement) in beyond {
            assert_eq!(Measure::StraightGap.angle(depth, movement), None);
        }
        assert!(Measure::StraightGap.angle(0.05, 0.1).is_some());
        assert_eq!(Measure::UprightRuler.angle(0.05, f64::INFINITY), None);
        assert_eq!(Measure::UprightRuler.movement(0.05, FRAC_PI_2), None);
        assert_eq!(Measure::StraightUp.movement(0.05, 1.6), None);
        for measure in Measure::ALL {
            for (depth, angle) in [(f64::INFINITY, 0.1), (0.0, 0.1), (0.05, f64::NAN)] {
                assert_eq!(measure.movement(depth, angle), None);
            }
        }
    }
}
