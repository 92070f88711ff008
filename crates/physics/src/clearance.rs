//! How near things come to a propeller's disc, and whether a hollow lies over a rod.

use crate::lattice::Rib;
use crate::space::Point;
use crate::throw::edge_height;

/// What a propeller sweeps: flat, round, and square to the line of flight.
///
/// How deep the blades are along the line of flight and how far they bend ahead is not
/// in it; whoever sets a clearance leaves room for both.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Disc {
    centre: Point,
    /// In m; above nought.
    radius: f64,
}

impl Disc {
    /// A disc by its middle and its diameter in m; `None` if it has none, or a number is
    /// not finite.
    #[must_use]
    pub fn new(centre: Point, diameter: f64) -> Option<Self> {
        let is_one = 0.0 < diameter && diameter.is_finite() && is_finite(centre);
        is_one.then_some(Self { centre, radius: diameter / 2.0 })
    }

    /// The shortest way from the disc to a box, in m; nought where they meet.
    ///
    /// `size` is how long, wide and high the box is, in m; nought each for a point. Along
    /// the line of flight and across it the ways are apart, so they add as squares:
    /// geometry. `None` if a size is negative or a number is not finite.
    #[must_use]
    pub fn to_box(&self, middle: Point, size: [f64; 3]) -> Option<f64> {
        if !is_finite(middle) || size.iter().any(|side| *side < 0.0 || !side.is_finite())
        {
            return None;
        }
        let [long, wide, high] = size;
        let way = middle.minus(self.centre);
        let gap = |way: f64, side: f64| (way.abs() - side / 2.0).max(0.0);
        let across = libm::hypot(gap(way.right, wide), gap(way.up, high));
        Some(libm::hypot(gap(way.aft, long), (across - self.radius).max(0.0)))
    }
}

fn is_finite(point: Point) -> bool {
    [point.aft, point.right, point.up].iter().all(|number| number.is_finite())
}

/// A point on the chord of a rib of the right half: a share of 0 is its leading edge, of 1
/// its trailing edge. The chord turns about its leading edge.
#[must_use]
pub fn on_chord(rib: &Rib, share: f64) -> Point {
    let (along, turned) = (share * rib.chord, rib.incidence);
    Point {
        aft: rib.leading_edge + along * libm::cos(turned),
        right: rib.out,
        up: rib.up - along * libm::sin(turned),
    }
}

/// Where an edge is when its surface has turned, trailing edge down positive, in radians.
///
/// `flat` is where the edge lies flat, `depth` how far from its hinge, in m. The hinge is
/// taken to lie across the line of flight: one that is swept moves its edge sideways too,
/// by the sine of its sweep of what it moves ahead.
#[must_use]
pub fn turned_edge(flat: Point, depth: f64, angle: f64) -> Point {
    flat.plus(Point {
        aft: -depth * (1.0 - libm::cos(angle)),
        right: 0.0,
        up: edge_height(depth, angle),
    })
}

/// A place as seen from above, in m: aft, and to the right.
pub type FromAbove = (f64, f64);

/// How far the middle line of a rod passes from a rectangle, both seen from above, in m;
/// nought where it crosses it.
///
/// The rectangle lies along the aircraft: `middle`, and how long and wide it is, in m.
/// `None` if a size is negative or a number is not finite.
#[must_use]
pub fn line_to_rectangle(
    line: (FromAbove, FromAbove),
    middle: FromAbove,
    size: (f64, f64),
) -> Option<f64> {
    let ((from_aft, from_right), (to_aft, to_right)) = line;
    let numbers = [from_aft, from_right, to_aft, to_right, middle.0, middle.1];
    let is_there = numbers.iter().chain([&size.0, &size.1]).all(|one| one.is_finite());
    if !is_there || size.0 < 0.0 || size.1 < 0.0 {
        return None;
    }
    let (half_long, half_wide) = (size.0 / 2.0, size.1 / 2.0);
    let (from, to) = (
        (from_aft - middle.0, from_right - middle.1),
        (to_aft - middle.0, to_right - middle.1),
    );
    if crosses(from, to, (half_long, half_wide)) {
        return Some(0.0);
    }
    let gap = |end: FromAbove| {
        let (along, across) =
            ((end.0.abs() - half_long).max(0.0), (end.1.abs() - half_wide).max(0.0));
        libm::hypot(along, across)
    };
    let corners = [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)];
    let of_corners = corners.iter().map(|(along, across)| {
        to_line((along * half_long, across * half_wide), from, to)
    });
    Some(of_corners.fold(gap(from).min(gap(to)), f64::min))
}

/// Whether a stretch of line passes through a rectangle about the origin, by what of it
/// lies between each pair of sides.
fn crosses(from: FromAbove, to: FromAbove, half: (f64, f64)) -> bool {
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (start, end, half) in [(from.0, to.0, half.0), (from.1, to.1, half.1)] {
        let way = end - start;
        if way.abs() > 0.0 {
            let (one, two) = ((-half - start) / way, (half - start) / way);
            first = first.max(one.min(two));
            last = last.min(one.max(two));
        } else if start.abs() > half {
            return false;
        }
    }
    first <= last
}

/// How far a place is from a stretch of line.
fn to_line(place: FromAbove, from: FromAbove, to: FromAbove) -> f64 {
    let way = (to.0 - from.0, to.1 - from.1);
    let out = (place.0 - from.0, place.1 - from.1);
    let square = way.0 * way.0 + way.1 * way.1;
    let along = if 0.0 < square {
        ((out.0 * way.0 + out.1 * way.1) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    libm::hypot(out.0 - along * way.0, out.1 - along * way.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn disc() -> Disc {
        Disc::new(Point { aft: 0.3, right: 0.0, up: 0.02 }, 0.2).unwrap()
    }

    fn at(aft: f64, right: f64, up: f64) -> Point {
        Point { aft, right, up }
    }

    #[test]
    fn a_point_before_the_disc_is_as_far_as_it_is_ahead() {
        for (right, up) in [(0.0, 0.02), (0.05, 0.02), (0.0, -0.07), (-0.1, 0.02)] {
            let gap = disc().to_box(at(0.288, right, up), [0.0; 3]).unwrap();
            assert!((gap - 0.012).abs() < 1e-12, "{right} {up}");
        }
    }

    #[test]
    fn a_point_outside_of_the_tips_is_further_by_what_it_lies_out() {
        let gap = disc().to_box(at(0.3, 0.14, 0.02), [0.0; 3]).unwrap();
        assert!((gap - 0.04).abs() < 1e-12);
        // Three ahead and four out are five away.
        let gap = disc().to_box(at(0.27, 0.14, 0.02), [0.0; 3]).unwrap();
        assert!((gap - 0.05).abs() < 1e-12);
    }

    #[test]
    fn a_box_is_as_near_as_its_nearest_corner_and_meets_what_it_reaches_into() {
        let gap = disc().to_box(at(0.24, 0.16, 0.02), [0.06, 0.04, 0.02]).unwrap();
        let corner = disc().to_box(at(0.27, 0.14, 0.02), [0.0; 3]).unwrap();
        assert!((gap - corner).abs() < 1e-12);
        let none = disc().to_box(at(0.29, 0.0, 0.0), [0.04, 0.01, 0.01]).unwrap();
        assert!(none.abs() < 1e-15);
    }

    #[test]
    fn what_is_no_disc_and_no_box_has_no_distance() {
        assert_eq!(Disc::new(at(0.0, 0.0, 0.0), 0.0), None);
        assert_eq!(Disc::new(at(f64::NAN, 0.0, 0.0), 0.2), None);
        assert_eq!(disc().to_box(at(0.0, 0.0, 0.0), [-0.1, 0.0, 0.0]), None);
        assert_eq!(disc().to_box(at(0.0, f64::INFINITY, 0.0), [0.0; 3]), None);
    }

    #[test]
    fn an_edge_that_turns_stays_as_far_from_its_hinge() {
        let flat = at(0.25, 0.1, 0.01);
        let hinge = at(0.21, 0.1, 0.01);
        for tenths in -15..=15 {
            let moved = turned_edge(flat, 0.04, f64::from(tenths) / 10.0);
            let way = moved.minus(hinge);
            assert!((libm::hypot(way.aft, way.up) - 0.04).abs() < 1e-12);
            // Trailing edge down is positive.
            assert!(tenths <= 0 || way.up < 0.0);
        }
    }

    #[test]
    fn a_chord_with_its_nose_up_has_its_trailing_edge_down() {
        let rib =
            Rib { out: 0.2, up: 0.03, leading_edge: 0.1, chord: 0.2, incidence: 0.1 };
        assert_eq!(on_chord(&rib, 0.0), at(0.1, 0.2, 0.03));
        let rear = on_chord(&rib, 1.0);
        assert!(rear.up < 0.03 && rear.aft < 0.3);
        let way = rear.minus(on_chord(&rib, 0.0));
        assert!((libm::hypot(way.aft, way.up) - 0.2).abs() < 1e-12);
    }

    #[test]
    fn a_line_through_a_rectangle_or_along_its_side_meets_it() {
        let size = (0.04, 0.02);
        let through = ((-0.1, -0.1), (0.1, 0.1));
        assert_eq!(line_to_rectangle(through, (0.0, 0.0), size), Some(0.0));
        let inside = ((0.001, 0.0), (0.002, 0.001));
        assert_eq!(line_to_rectangle(inside, (0.0, 0.0), size), Some(0.0));
        let along = ((0.02, -0.1), (0.02, 0.1));
        assert_eq!(line_to_rectangle(along, (0.0, 0.0), size), Some(0.0));
    }

    #[test]
    fn a_line_that_passes_is_as_far_as_its_nearest_point_from_the_nearest_corner() {
        // x + y = 0.05 passes the corner (0.02, 0.01) at 0.02/√2.
        let line = ((-0.05, 0.1), (0.1, -0.05));
        let gap = line_to_rectangle(line, (0.0, 0.0), (0.04, 0.02)).unwrap();
        assert!((gap - 0.02 / 2.0_f64.sqrt()).abs() < 1e-12, "{gap}");
        // One that stops short is as far as its end.
        let short = ((0.05, 0.05), (0.05, 0.2));
        let gap = line_to_rectangle(short, (0.0, 0.0), (0.04, 0.02)).unwrap();
        assert!((gap - 0.05).abs() < 1e-12, "{gap}");
        // Moving everything alike changes nothing.
        let moved = ((0.05 + 0.3, 0.05 + 0.2), (0.05 + 0.3, 0.2 + 0.2));
        let same = line_to_rectangle(moved, (0.3, 0.2), (0.04, 0.02)).unwrap();
        assert!((gap - same).abs() < 1e-12);
    }

    #[test]
    fn a_line_without_length_is_a_point_and_one_without_numbers_is_none() {
        let point = ((0.05, 0.0), (0.05, 0.0));
        let gap = line_to_rectangle(point, (0.0, 0.0), (0.04, 0.02)).unwrap();
        assert!((gap - 0.03).abs() < 1e-12);
        let broken = ((f64::NAN, 0.0), (0.05, 0.0));
        assert_eq!(line_to_rectangle(broken, (0.0, 0.0), (0.04, 0.02)), None);
        assert_eq!(line_to_rectangle(point, (0.0, 0.0), (-0.04, 0.02)), None);
    }
}
