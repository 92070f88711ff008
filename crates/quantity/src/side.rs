//! Which way a length goes: words in the language, signs in arithmetic.

/// A direction in which places are counted from the datum.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Axis {
    /// Along the aircraft; positive is aft.
    Length,
    /// Across the aircraft, as seen from behind; positive is right.
    Side,
    /// Upright; positive is up.
    Height,
    /// Away from the centre line, to either side.
    Out,
}

impl Axis {
    /// The word for the way in which a value of this sign lies; nought is positive.
    #[must_use]
    pub fn side(self, value: f64) -> Side {
        match (self, value < 0.0) {
            (Axis::Length, true) => Side::Ahead,
            (Axis::Length, false) => Side::Aft,
            (Axis::Side, true) => Side::Left,
            (Axis::Side, false) => Side::Right,
            (Axis::Height, true) => Side::Down,
            (Axis::Height, false) => Side::Up,
            (Axis::Out, _) => Side::Out,
        }
    }

    /// What a length on this axis is, as in "a length ahead or aft".
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            Axis::Length => "a length ahead or aft",
            Axis::Side => "a length left or right",
            Axis::Height => "a length up or down",
            Axis::Out => "a length out",
        }
    }
}

/// The word after a length that says which way it goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Towards the nose.
    Ahead,
    /// Towards the tail.
    Aft,
    /// To the pilot's left, seen from behind.
    Left,
    /// To the pilot's right, seen from behind.
    Right,
    /// Upwards.
    Up,
    /// Downwards.
    Down,
    /// Away from the centre line.
    Out,
}

impl Side {
    /// Every side, in the order of the axes.
    pub const ALL: [Side; 7] = [
        Side::Ahead,
        Side::Aft,
        Side::Left,
        Side::Right,
        Side::Up,
        Side::Down,
        Side::Out,
    ];

    /// The word of the language.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Side::Ahead => "ahead",
            Side::Aft => "aft",
            Side::Left => "left",
            Side::Right => "right",
            Side::Up => "up",
            Side::Down => "down",
            Side::Out => "out",
        }
    }

    /// The side that a word names.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Side> {
        Side::ALL.into_iter().find(|side| side.word() == word)
    }

    /// The axis along which it counts.
    #[must_use]
    pub fn axis(self) -> Axis {
        match self {
            Side::Ahead | Side::Aft => Axis::Length,
            Side::Left | Side::Right => Axis::Side,
            Side::Up | Side::Down => Axis::Height,
            Side::Out => Axis::Out,
        }
    }

    /// `1.0` where its axis is positive, `-1.0` where it is negative.
    #[must_use]
    pub fn sign(self) -> f64 {
        match self {
            Side::Aft | Side::Right | Side::Up | Side::Out => 1.0,
            Side::Ahead | Side::Left | Side::Down => -1.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_side_is_the_word_of_its_axis_and_sign() {
        for side in Side::ALL {
            assert_eq!(Side::from_word(side.word()), Some(side));
            assert_eq!(side.axis().side(side.sign()), side);
        }
        assert_eq!(Side::from_word("fore"), None);
    }
}
