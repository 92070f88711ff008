//! Straight stretches in space, and how near they come to each other and to boxes.

use crate::space::Point;

/// From one place straight to another; a point where both are one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Where it begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
}

/// How often a stretch is cut down on the way to where it is nearest to a box: each time
/// to two thirds, so that what is left of a metre is less than a millionth of a millimetre.
const CUTS: usize = 60;

impl Stretch {
    /// One that goes nowhere.
    #[must_use]
    pub fn point(at: Point) -> Self {
        Self { from: at, to: at }
    }

    /// The way along it.
    #[must_use]
    pub fn way(&self) -> Point {
        self.to.minus(self.from)
    }

    /// The place that lies a share of the way along it.
    #[must_use]
    pub fn at(&self, share: f64) -> Point {
        self.from.plus(self.way().times(share))
    }

    /// Its middle.
    #[must_use]
    pub fn middle(&self) -> Point {
        self.from.halfway(self.to)
    }

    /// The same, so far from where it was.
    #[must_use]
    pub fn moved(&self, by: Point) -> Self {
        Self { from: self.from.plus(by), to: self.to.plus(by) }
    }

    /// Its image on the other half of the model.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self { from: self.from.mirrored(), to: self.to.mirrored() }
    }

    /// How far a place is from it, in m.
    #[must_use]
    pub fn to_point(&self, place: Point) -> f64 {
        let way = self.way();
        let square = way.dot(way);
        let share = place.minus(self.from).dot(way) / square;
        let share = if 0.0 < square { share.clamp(0.0, 1.0) } else { 0.0 };
        place.minus(self.at(share)).length()
    }

    /// How far another one is from it, in m; nought where they meet.
    ///
    /// Where the nearest two places are not both inside, one of them is an end; geometry.
    #[must_use]
    pub fn to_stretch(&self, other: &Stretch) -> f64 {
        let ends = [
            self.to_point(other.from),
            self.to_point(other.to),
            other.to_point(self.from),
            other.to_point(self.to),
        ];
        let across = self.inside(other);
        ends.into_iter().chain(across).fold(f64::INFINITY, f64::min)
    }

    /// How far apart the endless lines of both are, if they are nearest inside of both.
    fn inside(&self, other: &Stretch) -> Option<f64> {
        let (one, two) = (self.way(), other.way());
        let between = self.from.minus(other.from);
        let (aa, ab, bb) = (one.dot(one), one.dot(two), two.dot(two));
        let (a, b) = (one.dot(between), two.dot(between));
        let square = aa * bb - ab * ab;
        // As good as parallel: then an end is as near as anything.
        if square <= 1e-12 * aa * bb {
            return None;
        }
        let share = (ab * b - bb * a) / square;
        let other_share = (aa * b - ab * a) / square;
        let is_inside = |share: f64| (0.0..=1.0).contains(&share);
        (is_inside(share) && is_inside(other_share))
            .then(|| self.at(share).minus(other.at(other_share)).length())
    }

    /// How far it is from a box that lies along the aircraft, in m; nought where they meet.
    ///
    /// `size` is how long, wide and high the box is, in m. The way from a place on the
    /// stretch to the box has one least value along it, so cutting down finds it.
    #[must_use]
    pub fn to_box(&self, middle: Point, size: [f64; 3]) -> f64 {
        let gap = |share: f64| to_box(self.at(share), middle, size);
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..CUTS {
            let third = (high - low) / 3.0;
            if gap(low + third) < gap(high - third) {
                high -= third;
            } else {
                low += third;
            }
        }
        gap(0.0).min(gap(1.0)).min(gap(f64::midpoint(low, high)))
    }

    /// The angle between two, in radians, from nought to a right one, whichever way they
    /// go; `None` if one of them is a point.
    #[must_use]
    pub fn angle_to(&self, other: &Stretch) -> Option<f64> {
        let (one, two) = (self.way().direction()?, other.way().direction()?);
        Some(libm::atan2(one.cross(two).length(), one.dot(two).abs()))
    }
}

/// How far a place is from a box, in m.
fn to_box(place: Point, middle: Point, size: [f64; 3]) -> f64 {
    let [long, wide, high] = size;
    let way = place.minus(middle);
    let gap = |way: f64, side: f64| (way.abs() - side / 2.0).max(0.0);
    let out = Point {
        aft: gap(way.aft, long),
        right: gap(way.right, wide),
        up: gap(way.up, high),
    };
    out.length()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(aft: f64, right: f64, up: f64) -> Point {
        Point { aft, right, up }
    }

    fn stretch(from: Point, to: Point) -> Stretch {
        Stretch { from, to }
    }

    /// The least of many places on both, which is never less than the distance.
    fn sampled(one: &Stretch, other: &Stretch) -> f64 {
        let shares = || (0..=400).map(|step| f64::from(step) / 400.0);
        let ways = shares().flat_map(|share| {
            shares().map(move |two| one.at(share).minus(other.at(two)).length())
        });
        ways.fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn two_that_cross_in_space_are_as_far_as_they_pass() {
        let one = stretch(at(-1.0, 0.0, 0.0), at(1.0, 0.0, 0.0));
        let other = stretch(at(0.2, -1.0, 0.3), at(0.2, 1.0, 0.3));
        assert!((one.to_stretch(&other) - 0.3).abs() < 1e-12);
        assert!((other.to_stretch(&one) - 0.3).abs() < 1e-12);
    }

    #[test]
    fn parallel_ones_and_points_are_as_far_as_their_nearest_ends() {
        let one = stretch(at(0.0, 0.0, 0.0), at(1.0, 0.0, 0.0));
        let beside = stretch(at(0.5, 0.0, 0.2), at(2.0, 0.0, 0.2));
        assert!((one.to_stretch(&beside) - 0.2).abs() < 1e-12);
        let behind = stretch(at(1.3, 0.4, 0.0), at(2.0, 0.4, 0.0));
        assert!((one.to_stretch(&behind) - 0.5).abs() < 1e-12);
        let point = Stretch::point(at(0.4, 0.0, 0.1));
        assert!((one.to_stretch(&point) - 0.1).abs() < 1e-12);
        let other = Stretch::point(at(0.4, 0.3, 0.5));
        assert!((point.to_stretch(&other) - 0.5).abs() < 1e-12);
    }

    #[test]
    fn no_two_places_are_nearer_than_the_distance_says_and_some_are_as_near() {
        let ends = [-0.9, 0.1, 0.7, -0.3, 0.5, -0.6, 0.2, 0.95, -0.45, 0.33, -0.8, 0.6];
        for turn in 0..ends.len() {
            let number = |step: usize| ends[(turn * 5 + step * 7) % ends.len()];
            let one =
                stretch(at(number(0), number(1), number(2)), at(number(3), 0.4, 0.1));
            let other =
                stretch(at(number(4), number(5), 0.2), at(number(6), -0.2, number(8)));
            let (found, least) = (one.to_stretch(&other), sampled(&one, &other));
            // Between two samples lie at most 2.2 m/400 on each of them.
            assert!(found <= least + 1e-12 && least < found + 0.006, "{found} {least}");
        }
    }

    #[test]
    fn a_box_is_as_far_as_its_nearest_side_edge_or_corner() {
        let size = [0.2, 0.1, 0.1];
        let middle = at(0.0, 0.0, 0.0);
        let past = stretch(at(-1.0, 0.08, 0.0), at(1.0, 0.08, 0.0));
        assert!((past.to_box(middle, size) - 0.03).abs() < 1e-9);
        let through = stretch(at(-1.0, -1.0, 0.0), at(1.0, 1.0, 0.0));
        assert!(through.to_box(middle, size) < 1e-9);
        // Three and four beyond the corner.
        let corner = Stretch::point(at(0.13, 0.09, 0.0));
        assert!((corner.to_box(middle, size) - 0.05).abs() < 1e-12);
        let short = stretch(at(0.13, 0.09, 0.0), at(0.5, 0.5, 0.2));
        assert!((short.to_box(middle, size) - 0.05).abs() < 1e-9);
    }

    #[test]
    fn the_angle_between_two_is_at_most_a_right_one() {
        let quarter = std::f64::consts::FRAC_PI_2;
        let along = stretch(at(0.0, 0.0, 0.0), at(1.0, 0.0, 0.0));
        let back = stretch(at(0.5, 0.1, 0.0), at(0.2, 0.1, 0.0));
        assert!(along.angle_to(&back).unwrap().abs() < 1e-12);
        let up = stretch(at(0.0, 0.0, 0.0), at(0.0, 0.0, 0.3));
        assert!((along.angle_to(&up).unwrap() - quarter).abs() < 1e-12);
        let slanted = stretch(at(0.0, 0.0, 0.0), at(-0.1, 0.1, 0.0));
        assert!((along.angle_to(&slanted).unwrap() - quarter / 2.0).abs() < 1e-12);
        assert_eq!(along.angle_to(&Stretch::point(at(0.0, 0.0, 0.0))), None);
    }
}
