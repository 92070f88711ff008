//! An arm with a pin that turns about an axis: a servo's arm, or a surface's horn.

use std::f64::consts::PI;

use crate::lattice::{LARGEST, SMALLEST};
use crate::space::Point;

/// A line about which something turns: a servo's output, or a hinge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// A place on it, in m.
    pub through: Point,
    /// Where it points; of any length. Angles about it are counted by the right hand, so
    /// that a hinge that points to the right has its trailing edge down positive, on
    /// either half.
    pub direction: Point,
}

/// Why there is no arm to turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoCrank {
    /// The axis has no direction.
    NoDirection,
    /// What was called upright lies along the axis.
    NotUpright,
    /// The pin lies on the axis, within [`SMALLEST`].
    OnAxis,
    /// A number is not finite, or a length beyond [`LARGEST`].
    TooLarge,
}

/// A pin that goes round an axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crank {
    /// The place on the axis around which the pin goes.
    pub(super) centre: Point,
    /// From there to the pin at neutral.
    pub(super) arm: Point,
    /// As long, at right angles to it and to the axis: where the pin goes first.
    pub(super) ahead: Point,
}

impl Crank {
    /// An arm whose pin stands at a place while it is at neutral.
    ///
    /// # Errors
    /// The axis has no direction, the pin lies on it, or a number is too large.
    pub fn new(axis: Axis, pin: Point) -> Result<Self, NoCrank> {
        let (along, way) = checked(axis, pin.minus(axis.through))?;
        let centre = axis.through.plus(along.times(way.dot(along)));
        Self::around(centre, along, pin.minus(centre))
    }

    /// An arm whose pin stands so high above its axis and so far behind it at neutral.
    ///
    /// `upright` is the direction in which heights count, of any length; what of it lies
    /// along the axis is left out. Behind is where the right hand turns it: aft, for an
    /// axis that points to the right. The pin goes round `axis.through` itself.
    ///
    /// # Errors
    /// The axis has no direction or lies upright, the pin lies on it, or a number is too
    /// large.
    pub fn standing(
        axis: Axis,
        upright: Point,
        height: f64,
        behind: f64,
    ) -> Result<Self, NoCrank> {
        let (along, upright) = checked(axis, upright)?;
        let square = upright.minus(along.times(upright.dot(along)));
        if square.length() <= 1e-9 * upright.length() {
            return Err(NoCrank::NotUpright);
        }
        let up = square.direction().ok_or(NoCrank::NotUpright)?;
        let arm = up.times(height).plus(along.cross(up).times(behind));
        Self::around(axis.through, along, arm)
    }

    /// An arm of a length that leans so far behind upright at neutral, in radians.
    ///
    /// # Errors
    /// As [`Crank::standing`]; an arm of no or a negative length has its pin on its axis.
    pub fn leaning(
        axis: Axis,
        upright: Point,
        length: f64,
        lean: f64,
    ) -> Result<Self, NoCrank> {
        if length <= 0.0 {
            return Err(NoCrank::OnAxis);
        }
        let (height, behind) = (length * libm::cos(lean), length * libm::sin(lean));
        Self::standing(axis, upright, height, behind)
    }

    /// An arm that stands square to a rod to a place while it is at neutral, or leans so
    /// far behind that, in radians.
    ///
    /// u · D = a, where u is the direction of the arm, a its length and D the way to the
    /// place, seen along the axis; of the two such arms the one that is nearer to upright.
    /// Towards a place nearer than the arm is long no arm is square: it stands upright.
    ///
    /// # Errors
    /// As [`Crank::leaning`].
    pub fn square(
        axis: Axis,
        upright: Point,
        length: f64,
        lean: f64,
        to: Point,
    ) -> Result<Self, NoCrank> {
        let stands = Self::standing(axis, upright, 1.0, 0.0)?;
        let way = to.minus(axis.through);
        let (high, behind) = (way.dot(stands.arm), way.dot(stands.ahead));
        let far = libm::hypot(high, behind);
        if far <= length || !far.is_finite() {
            return Self::leaning(axis, upright, length, lean);
        }
        let (rod, square) = (libm::atan2(behind, high), libm::acos(length / far));
        let nearer = [rod - square, rod + square]
            .into_iter()
            .fold(PI, |best, one| if one.abs() < best.abs() { one } else { best });
        Self::leaning(axis, upright, length, nearer + lean)
    }

    fn around(centre: Point, along: Point, arm: Point) -> Result<Self, NoCrank> {
        let (radius, far) = (arm.length(), centre.length());
        if !(radius <= LARGEST && far <= LARGEST) {
            return Err(NoCrank::TooLarge);
        }
        if radius < SMALLEST {
            return Err(NoCrank::OnAxis);
        }
        Ok(Self { centre, arm, ahead: along.cross(arm) })
    }

    /// From the axis to the pin, in m.
    #[must_use]
    pub fn radius(&self) -> f64 {
        self.arm.length()
    }

    /// Where the pin stands when it has turned so far from neutral, in radians.
    #[must_use]
    pub fn pin(&self, angle: f64) -> Point {
        let (sine, cosine) = libm::sincos(angle);
        self.centre.plus(self.arm.times(cosine)).plus(self.ahead.times(sine))
    }

    /// How the pin moves there, in m per radian.
    pub(super) fn way(&self, angle: f64) -> Point {
        let (sine, cosine) = libm::sincos(angle);
        self.ahead.times(cosine).minus(self.arm.times(sine))
    }

    /// The same arm with its pin in another hole, on the line from the axis to this one.
    ///
    /// # Errors
    /// The hole lies on the axis, or too far out.
    pub fn with_hole(&self, radius: f64) -> Result<Self, NoCrank> {
        if radius.is_nan() || LARGEST < radius {
            return Err(NoCrank::TooLarge);
        }
        if radius < SMALLEST {
            return Err(NoCrank::OnAxis);
        }
        let times = radius / self.radius();
        let (arm, ahead) = (self.arm.times(times), self.ahead.times(times));
        Ok(Self { arm, ahead, ..*self })
    }

    /// Its image on the other half of the model, counted so that equal angles are images
    /// of each other: for hinges, trailing edge down stays positive.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let (centre, arm) = (self.centre.mirrored(), self.arm.mirrored());
        Self { centre, arm, ahead: self.ahead.mirrored() }
    }
}

/// The direction of an axis, and a way that is not endless.
fn checked(axis: Axis, way: Point) -> Result<(Point, Point), NoCrank> {
    let lengths = [axis.through, axis.direction, way].map(Point::length);
    if !lengths.iter().all(|length| *length <= LARGEST) {
        return Err(NoCrank::TooLarge);
    }
    let along = axis.direction.direction().ok_or(NoCrank::NoDirection)?;
    Ok((along, way))
}
