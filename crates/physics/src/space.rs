//! Places in space, and the ways between them.

/// A place, or the way from one place to another, in m: aft, right and up of the datum.
///
/// The three follow the right hand in this order. So whatever turns about a line that
/// points to the right, by the right hand, turns its top aft and its trailing edge down.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// Aft of the datum.
    pub aft: f64,
    /// Right of the centre line, as seen by a pilot.
    pub right: f64,
    /// Above the datum.
    pub up: f64,
}

impl Point {
    /// A way of 1 m straight aft.
    pub const AFT: Self = Self { aft: 1.0, right: 0.0, up: 0.0 };

    /// A way of 1 m straight to the right.
    pub const RIGHT: Self = Self { aft: 0.0, right: 1.0, up: 0.0 };

    /// A way of 1 m straight up.
    pub const UP: Self = Self { aft: 0.0, right: 0.0, up: 1.0 };

    /// One way after the other.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self {
            aft: self.aft + other.aft,
            right: self.right + other.right,
            up: self.up + other.up,
        }
    }

    /// The way that leads from the other place to this one.
    #[must_use]
    pub fn minus(self, other: Self) -> Self {
        Self {
            aft: self.aft - other.aft,
            right: self.right - other.right,
            up: self.up - other.up,
        }
    }

    /// The same way, so many times.
    #[must_use]
    pub fn times(self, count: f64) -> Self {
        Self { aft: count * self.aft, right: count * self.right, up: count * self.up }
    }

    /// The product that is nought for two ways at right angles, in m².
    #[must_use]
    pub fn dot(self, other: Self) -> f64 {
        self.aft * other.aft + self.right * other.right + self.up * other.up
    }

    /// The product that is at right angles to both ways, by the right hand, in m².
    #[must_use]
    pub fn cross(self, other: Self) -> Self {
        Self {
            aft: self.right * other.up - self.up * other.right,
            right: self.up * other.aft - self.aft * other.up,
            up: self.aft * other.right - self.right * other.aft,
        }
    }

    /// How long the way is, in m.
    #[must_use]
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The same way with a length of 1 m; `None` if it leads nowhere or endlessly far.
    #[must_use]
    pub fn direction(self) -> Option<Self> {
        let length = self.length();
        let one = self.times(1.0 / length);
        (0.0 < length && one.length().is_finite() && 0.5 < one.length()).then_some(one)
    }

    /// The place between this one and the other.
    #[must_use]
    pub fn halfway(self, other: Self) -> Self {
        Self {
            aft: (self.aft + other.aft) / 2.0,
            right: (self.right + other.right) / 2.0,
            up: (self.up + other.up) / 2.0,
        }
    }

    /// Its image on the other half of the model.
    #[must_use]
    pub fn mirrored(self) -> Self {
        Self { right: -self.right, ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn aft_right_and_up_follow_the_right_hand() {
        assert_eq!(Point::AFT.cross(Point::RIGHT), Point::UP);
        assert_eq!(Point::RIGHT.cross(Point::UP), Point::AFT);
        assert_eq!(Point::UP.cross(Point::AFT), Point::RIGHT);
    }

    #[test]
    fn a_way_to_nowhere_has_no_direction() {
        assert_eq!(Point::default().direction(), None);
        assert_eq!(Point::UP.times(f64::INFINITY).direction(), None);
        assert_eq!(Point::UP.times(f64::NAN).direction(), None);
        assert_eq!(Point::UP.times(3.0).direction(), Some(Point::UP));
        let way = Point { aft: 3.0, right: -2.0, up: 6.0 };
        assert!((way.length() - 7.0).abs() < 1e-15);
        assert!((way.direction().unwrap().length() - 1.0).abs() < 1e-15);
    }
}
