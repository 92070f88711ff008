//! The size of a wing from its ribs: area, mean chord and where that chord lies.
//!
//! ```text
//!        out ─►
//!   aft  0        y1          y2
//!    │   ┌─────── leading edge
//!    ▼   │chord 0 └────────┐
//!        │        │chord 1 └── chord 2
//!        └────────┴────────┘
//! ```
//!
//! Between two ribs both edges are straight. One half is given and the other is its
//! mirror image; what lies inside the first rib, a body say, is not counted as area.

/// A chord of the wing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rib {
    /// How far out from the centre line, in m.
    pub out: f64,
    /// From the leading edge to the trailing edge, in m.
    pub chord: f64,
    /// The station of the leading edge, in m aft of the datum.
    pub leading_edge: f64,
}

/// What follows from the ribs of a wing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Planform {
    /// The area of both halves in m².
    pub area: f64,
    /// From tip to tip in m.
    pub span: f64,
    /// Span squared over area.
    pub aspect_ratio: f64,
    /// The last chord over the first; `None` if the first is nought.
    pub taper: Option<f64>,
    /// The mean aerodynamic chord in m.
    pub mean_chord: f64,
    /// How far out it lies, in m.
    pub mean_chord_out: f64,
    /// The station of its leading edge, in m aft of the datum. On a wing with a kink
    /// that is not where the wing's edge stands at that distance out.
    pub mean_chord_leading_edge: f64,
}

/// Why ribs make no wing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoPlanform {
    /// Fewer than two ribs.
    TooFewRibs,
    /// A rib lies further in than the one before it, or within the other half.
    NotInOrder {
        /// Which one, from 0.
        rib: usize,
    },
    /// A rib has a negative chord.
    NegativeChord {
        /// Which one, from 0.
        rib: usize,
    },
    /// The ribs enclose no area.
    NoArea,
    /// A number is not finite, or the result is not.
    TooLarge,
}

/// Works out the wing that stands on these ribs, from the root to the tip.
///
/// For trapezoids of height h with chords c0, c1 and leading edges x0, x1 from y0 on:
/// S = Σ h (c0 + c1)/2, mean chord = Σ h (c0² + c0 c1 + c1²)/3 / S,
/// y = Σ h (y0 (c0 + c1)/2 + h (c0 + 2 c1)/6) / S, and its leading edge
/// x = Σ h (x0 (2 c0 + c1) + x1 (c0 + 2 c1))/6 / S. Two ribs at one place are a step.
///
/// Source: the integrals ∫c² dy, ∫y c dy and ∫x c dy over straight edges, exact; the
/// definitions as in NACA Report 751 (1942), from memory.
///
/// # Errors
/// Too few ribs, ribs out of order, a negative chord, no area, or numbers too large.
pub fn planform(ribs: &[Rib]) -> Result<Planform, NoPlanform> {
    check(ribs)?;
    let (Some(root), Some(tip)) = (ribs.first(), ribs.last()) else {
        return Err(NoPlanform::TooFewRibs);
    };
    let mut sums = Sums::default();
    for (inner, outer) in ribs.iter().zip(ribs.iter().skip(1)) {
        sums.add(inner, outer);
    }
    if sums.area <= 0.0 {
        return Err(NoPlanform::NoArea);
    }
    let (area, span) = (2.0 * sums.area, 2.0 * tip.out);
    let found = Planform {
        area,
        span,
        aspect_ratio: span * span / area,
        taper: (0.0 < root.chord).then(|| tip.chord / root.chord),
        mean_chord: sums.chord / sums.area,
        mean_chord_out: sums.out / sums.area,
        mean_chord_leading_edge: sums.leading_edge / sums.area,
    };
    let all = [found.aspect_ratio, found.mean_chord, found.mean_chord_leading_edge];
    let is_finite = all.iter().chain([&found.mean_chord_out]).all(|n| n.is_finite());
    if is_finite { Ok(found) } else { Err(NoPlanform::TooLarge) }
}

impl Planform {
    /// The station at a share of the mean chord, 0 being its leading edge.
    #[must_use]
    pub fn station(&self, share: f64) -> f64 {
        self.mean_chord_leading_edge + share * self.mean_chord
    }

    /// The share of the mean chord at which a station lies, 0 being its leading edge.
    #[must_use]
    pub fn share(&self, station: f64) -> f64 {
        (station - self.mean_chord_leading_edge) / self.mean_chord
    }
}

/// How high a straight panel has risen so far out, in the unit of `out`, by its dihedral
/// in radians.
#[must_use]
pub fn dihedral_rise(out: f64, dihedral: f64) -> f64 {
    out * libm::tan(dihedral)
}

/// The chord and leading edge of the wing so far out, between the ribs that it has.
///
/// `None` outside the first and the last rib. At a step it is the inner one.
#[must_use]
pub fn rib_at(ribs: &[Rib], out: f64) -> Option<Rib> {
    if let Some(rib) = ribs.iter().find(|rib| rib.out.total_cmp(&out).is_eq()) {
        return Some(*rib);
    }
    let pairs = ribs.iter().zip(ribs.iter().skip(1));
    let (inner, outer) =
        pairs.into_iter().find(|(inner, outer)| inner.out <= out && out <= outer.out)?;
    let height = outer.out - inner.out;
    let share = if 0.0 < height { (out - inner.out) / height } else { 0.0 };
    let between = |one: f64, two: f64| one + share * (two - one);
    Some(Rib {
        out,
        chord: between(inner.chord, outer.chord),
        leading_edge: between(inner.leading_edge, outer.leading_edge),
    })
}

#[derive(Default)]
struct Sums {
    area: f64,
    chord: f64,
    out: f64,
    leading_edge: f64,
}

impl Sums {
    fn add(&mut self, inner: &Rib, outer: &Rib) {
        let height = outer.out - inner.out;
        let (c0, c1) = (inner.chord, outer.chord);
        let (x0, x1) = (inner.leading_edge, outer.leading_edge);
        self.area += height * (c0 + c1) / 2.0;
        self.chord += height * (c0 * c0 + c0 * c1 + c1 * c1) / 3.0;
        let from_inner = height * (c0 + 2.0 * c1) / 6.0;
        self.out += height * (inner.out * (c0 + c1) / 2.0 + from_inner);
        self.leading_edge += height * (x0 * (2.0 * c0 + c1) + x1 * (c0 + 2.0 * c1)) / 6.0;
    }
}

fn check(ribs: &[Rib]) -> Result<(), NoPlanform> {
    if ribs.len() < 2 {
        return Err(NoPlanform::TooFewRibs);
    }
    let mut before = 0.0;
    for (rib, found) in ribs.iter().enumerate() {
        let numbers = [found.out, found.chord, found.leading_edge];
        if !numbers.iter().all(|number| number.is_finite()) {
            return Err(NoPlanform::TooLarge);
        }
        if found.out < before {
            return Err(NoPlanform::NotInOrder { rib });
        }
        if found.chord < 0.0 {
            return Err(NoPlanform::NegativeChord { rib });
        }
        before = found.out;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rib(out: f64, chord: f64, leading_edge: f64) -> Rib {
        Rib { out, chord, leading_edge }
    }

    fn near(one: f64, two: f64) -> bool {
        (one - two).abs() < 1e-12
    }

    #[test]
    fn a_rib_put_in_between_changes_nothing() {
        let two = [rib(0.0, 0.3, 0.0), rib(0.6, 0.15, 0.2)];
        let between = rib_at(&two, 0.22).unwrap();
        let (one, more) =
            (planform(&two).unwrap(), planform(&[two[0], between, two[1]]).unwrap());
        assert!(near(one.area, more.area) && near(one.mean_chord, more.mean_chord));
        assert!(near(one.mean_chord_out, more.mean_chord_out));
        assert!(near(one.mean_chord_leading_edge, more.mean_chord_leading_edge));
    }

    #[test]
    fn moving_the_datum_moves_the_mean_chord_by_as_much() {
        let here = planform(&[rib(0.0, 0.3, 0.0), rib(0.6, 0.15, 0.2)]).unwrap();
        let there = planform(&[rib(0.0, 0.3, 0.7), rib(0.6, 0.15, 0.9)]).unwrap();
        let moved = there.mean_chord_leading_edge - here.mean_chord_leading_edge;
        assert!(near(moved, 0.7) && near(here.mean_chord, there.mean_chord));
    }

    #[test]
    fn the_mean_chord_of_a_cranked_wing_is_not_read_off_its_edge() {
        let ribs = [rib(0.0, 0.3, 0.0), rib(0.2, 0.3, 0.0), rib(0.6, 0.1, 0.4)];
        let found = planform(&ribs).unwrap();
        let edge = rib_at(&ribs, found.mean_chord_out).unwrap().leading_edge;
        assert!(0.005 < (found.mean_chord_leading_edge - edge).abs());
    }

    #[test]
    fn a_station_comes_back_from_its_share() {
        let found = planform(&[rib(0.0, 0.3, 0.0), rib(0.6, 0.15, 0.2)]).unwrap();
        assert!(near(found.station(found.share(0.1234)), 0.1234));
        assert!(near(found.station(0.0), found.mean_chord_leading_edge));
    }

    #[test]
    fn ribs_that_make_no_wing_say_why() {
        let root = rib(0.1, 0.3, 0.0);
        let why = |ribs: &[Rib]| planform(ribs).unwrap_err();
        assert_eq!(why(&[]), NoPlanform::TooFewRibs);
        assert_eq!(why(&[root]), NoPlanform::TooFewRibs);
        assert_eq!(why(&[root, rib(0.05, 0.2, 0.0)]), NoPlanform::NotInOrder { rib: 1 });
        assert_eq!(why(&[rib(-0.1, 0.2, 0.0), root]), NoPlanform::NotInOrder { rib: 0 });
        let negative = NoPlanform::NegativeChord { rib: 1 };
        assert_eq!(why(&[root, rib(0.5, -0.2, 0.0)]), negative);
        assert_eq!(why(&[root, root]), NoPlanform::NoArea);
        assert_eq!(why(&[rib(0.0, 0.0, 0.0), rib(1.0, 0.0, 0.0)]), NoPlanform::NoArea);
        assert_eq!(why(&[root, rib(0.5, f64::NAN, 0.0)]), NoPlanform::TooLarge);
        assert_eq!(why(&[root, rib(1e200, 1e200, 0.0)]), NoPlanform::TooLarge);
    }
}
