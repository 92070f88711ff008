//! What scales and stands say, as masses at stations that add.
//!
//! Every way of weighing gives a sum of items, some of them taken away: a tare is a mass
//! less than none where it hung, and a change of equipment takes an item off at one place
//! and puts one on at another. What is taken away has a negative mass and the weight -1,
//! so that [`balance`](crate::balance::balance) finds the balance point of the whole with
//! its spread, and a number that stands on both sides of a difference cancels instead of
//! being counted twice (JCGM 100:2008, section 5.2).

use crate::balance::{Balance, Item, Term};

/// What a scale showed at one point, with what hung or lay on it besides the aircraft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// What it showed, in kg.
    pub mass: Term,
    /// How much of that was no aircraft, in kg.
    pub tare: Option<Term>,
    /// Where the aircraft stood on it or hung from it, in m.
    pub at: [Term; 3],
}

impl Term {
    /// The same taken away.
    #[must_use]
    pub fn negated(self) -> Term {
        Term { value: -self.value, weight: -self.weight, ..self }
    }
}

impl Item {
    /// The same mass at the same place, taken away.
    #[must_use]
    pub fn taken_away(self) -> Item {
        Item { mass: self.mass.negated(), size: None, ..self }
    }
}

/// The items that a reading on a scale comes to: the whole, and its tare taken away.
///
/// The balance of two or three of them is x = Σ R x / Σ R: FAA-H-8083-1, chapter 3, whose
/// x = D - F L/W for a nosewheel and D + R L/W for a tailwheel are the same sum.
pub fn standing(reading: &Reading) -> Vec<Item> {
    let item = |mass: Term| Item { mass, at: reading.at, size: None };
    let tare = reading.tare.map(|tare| item(tare).taken_away());
    [item(reading.mass)].into_iter().chain(tare).collect()
}

/// The items that a reading at the hook comes to, if the rest of the aircraft's mass,
/// which is counted at `rest` already, is carried there.
///
/// x = rest + R (hook - rest)/W: moments about the rest, from any text on statics. It is
/// the two-point weighing of FAA-H-8083-1, chapter 3, with the second reading found as
/// W - R.
pub fn hanging(reading: &Reading, rest: [Term; 3]) -> Vec<Item> {
    let at_hook = standing(reading);
    let off_rest: Vec<Item> =
        at_hook.iter().map(|item| Item { at: rest, ..*item }.taken_away()).collect();
    at_hook.into_iter().chain(off_rest).collect()
}

/// How much further aft the balance point of a level aircraft is than that of one which
/// hangs `nose_down` by an angle, in m.
///
/// Nose down by θ, what lies higher swings ahead: x = x̄ + (z - z̄) tan θ, where x̄ and z̄
/// are the mean place of the supports, weighted by what each carries, and z is the height
/// of the balance point. Plane geometry; good for any angle short of a right one.
#[must_use]
pub fn swing(height_above_supports: f64, nose_down: f64) -> f64 {
    height_above_supports * libm::tan(nose_down)
}

/// The expanded spread of [`swing`], for spreads of the height and of the angle (JCGM
/// 100:2008, equation 10).
#[must_use]
pub fn swing_spread(
    height_above_supports: f64,
    height_spread: f64,
    nose_down: f64,
    angle_spread: f64,
) -> f64 {
    let tangent = libm::tan(nose_down);
    let per_angle = height_above_supports * (1.0 + tangent * tangent);
    libm::hypot(height_spread * tangent, angle_spread * per_angle)
}

/// A sum of terms and its expanded spread; what enters twice is summed before squaring.
///
/// Source: JCGM 100:2008, section 5.2, for a correlation of one.
#[must_use]
pub fn total(terms: &[Term], spreads: &[f64]) -> (f64, f64) {
    let value = terms.iter().map(|term| term.value).sum();
    let squares = spreads.iter().enumerate().map(|(variable, spread)| {
        let own = terms.iter().filter(|term| term.variable == variable);
        let part = own.map(|term| term.weight).sum::<f64>() * spread;
        part * part
    });
    (value, squares.sum::<f64>().sqrt())
}

/// How much further aft one balance point is than another that is worked out of the same
/// variables, and the expanded spread of that.
///
/// A variable that moves both alike makes the difference no less sure. Source: JCGM
/// 100:2008, section 5.2, for a correlation of one.
#[must_use]
pub fn apart(one: &Balance, other: &Balance, spreads: &[f64]) -> (f64, f64) {
    let along = |balance: &Balance, variable: usize| {
        let mut parts = balance.contributions.iter();
        let part = parts.find(|part| part.variable == variable);
        part.map_or(0.0, |part| {
            let [along, _, _] = part.sensitivity;
            along
        })
    };
    let squares = spreads.iter().enumerate().map(|(variable, spread)| {
        let part = (along(one, variable) - along(other, variable)) * spread;
        part * part
    });
    let ([one, ..], [other, ..]) = (one.at, other.at);
    (one - other, squares.sum::<f64>().sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::balance::balance;

    const FIXED: Term = Term { value: 0.0, variable: 0, weight: 0.0 };

    fn term(value: f64, variable: usize) -> Term {
        Term { value, variable, weight: 1.0 }
    }

    fn place(value: f64, variable: usize) -> [Term; 3] {
        [term(value, variable), FIXED, FIXED]
    }

    fn near(one: f64, two: f64) -> bool {
        (one - two).abs() < 1e-12
    }

    #[test]
    fn a_tare_is_taken_off_where_it_lay() {
        let nose = Reading {
            mass: term(0.25, 1),
            tare: Some(term(0.05, 2)),
            at: place(-0.1, 3),
        };
        let main = Reading { mass: term(0.8, 4), tare: None, at: place(0.15, 5) };
        let items = [standing(&nose), standing(&main)].concat();
        let found = balance(&items, &[0.0; 6]).unwrap();
        // 0.2 kg at -0.1 m and 0.8 kg at 0.15 m.
        assert!(near(found.mass, 1.0));
        assert!(near(found.at[0], 0.1));
    }

    #[test]
    fn one_end_on_a_rest_and_the_other_on_a_hook_balance_by_the_lever() {
        let rest = place(-0.04, 2);
        let whole = Item { mass: term(1.0, 1), at: rest, size: None };
        let hook = Reading { mass: term(0.21, 3), tare: None, at: place(0.56, 4) };
        let items = [vec![whole], hanging(&hook, rest)].concat();
        let spreads = [0.0, 0.002, 0.001, 0.001, 0.002];
        let found = balance(&items, &spreads).unwrap();
        // rest + R (hook - rest)/W = -40 mm + 0.21 x 600 mm.
        assert!(near(found.mass, 1.0));
        assert!(near(found.at[0], 0.086));
        // By hand: dx/dW = -R L/W², dx/drest = 1 - R/W, dx/dR = L/W, dx/dhook = R/W.
        let by_hand: [f64; 4] = [0.126 * 0.002, 0.79 * 0.001, 0.6 * 0.001, 0.21 * 0.002];
        let squares: f64 = by_hand.iter().map(|part| part * part).sum();
        assert!(near(found.at_spread[0], squares.sqrt()));
        assert!(near(found.mass_spread, 0.002));
    }

    #[test]
    fn what_is_taken_off_and_put_back_changes_neither_place_nor_spread() {
        let whole = Item { mass: term(1.0, 1), at: place(0.1, 2), size: None };
        let part = Item { mass: term(0.3, 3), at: place(-0.2, 4), size: None };
        let spreads = [0.0, 0.01, 0.002, 0.05, 0.02];
        let alone = balance(&[whole], &spreads).unwrap();
        let back = balance(&[whole, part.taken_away(), part], &spreads).unwrap();
        assert!(near(alone.at[0], back.at[0]));
        assert!(near(alone.at_spread[0], back.at_spread[0]));
        assert!(near(alone.mass_spread, back.mass_spread));
        let (none, unsure) = apart(&alone, &back, &spreads);
        assert!(near(none, 0.0) && near(unsure, 0.0));
    }

    #[test]
    fn a_part_that_is_moved_brings_its_mass_only_by_the_way_it_went() {
        let whole = Item { mass: term(1.0, 1), at: place(0.1, 2), size: None };
        let from = Item { mass: term(0.2, 3), at: [FIXED; 3], size: None };
        let to = Item { at: [Term { value: 0.05, ..FIXED }, FIXED, FIXED], ..from };
        let found =
            balance(&[whole, from.taken_away(), to], &[0.0, 0.0, 0.0, 0.01]).unwrap();
        // 0.2 kg go 50 mm: 10 mm; 10 g of doubt about them go 50 mm: half a millimetre.
        assert!(near(found.at[0], 0.11));
        assert!(near(found.at_spread[0], 0.0005));
    }

    #[test]
    fn a_balance_point_above_its_supports_swings_ahead_when_the_nose_hangs_down() {
        let four_degrees = 4.0_f64.to_radians();
        // Level it lies further aft again: 20 mm x tan 4° = 1.4 mm.
        assert!((swing(0.02, four_degrees) - 0.001_398_5).abs() < 1e-7);
        assert!(swing(-0.02, four_degrees) < 0.0);
        assert!(near(swing(0.02, 0.0), 0.0));
        // Level, a doubt about the height does nothing, one about the angle all it can.
        assert!(near(swing_spread(0.02, 0.01, 0.0, 0.05), 0.001));
    }

    #[test]
    fn a_sum_counts_what_enters_twice_before_it_squares() {
        let spreads = [0.0, 3.0, 4.0];
        assert_eq!(total(&[term(1.0, 1), term(2.0, 2)], &spreads), (3.0, 5.0));
        assert_eq!(total(&[term(1.0, 1), term(1.0, 1)], &spreads), (2.0, 6.0));
        assert_eq!(total(&[term(1.0, 1), term(1.0, 1).negated()], &spreads), (0.0, 0.0));
    }
}
