//! Where masses balance, how sure that is, and what makes it unsure.
//!
//! A balance is worked out of *variables*: numbers that were each written once. A pair
//! of servos is weighed as one number and stands in the sum twice, so its two masses
//! are wrong by the same amount, and its two places to the side by opposite ones. Every
//! place where a variable enters is summed before squaring, which is what correlated
//! inputs ask for (JCGM 100:2008, section 5.2, for a correlation of one).
//!
//! Spreads are expanded ones, with coverage factor 2, and so are the results: the law of
//! propagation is linear in them.

/// A number that depends on one variable: a mass, or a place on one axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Term {
    /// Its value, in kg or m.
    pub value: f64,
    /// Which variable it depends on.
    pub variable: usize,
    /// By how much it changes with the variable: 1 for the variable itself, -1 for the
    /// place of the left one of a pair.
    pub weight: f64,
}

/// One thing that has a mass and a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Item {
    /// Its mass in kg; less than none for what is taken away from the others.
    pub mass: Term,
    /// Where its own balance point is, in m: aft, right and up.
    pub at: [Term; 3],
    /// Its length, width and height in m, if it is a box and these are known: they add
    /// its inertia about its own middle.
    pub size: Option<[f64; 3]>,
}

/// How far one variable makes the balance point unsure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contribution {
    /// The variable.
    pub variable: usize,
    /// By how much the balance point moves with the variable, on each axis: m per kg if
    /// it is a mass, m per m if it is a place.
    pub sensitivity: [f64; 3],
    /// The expanded spread of the balance point that it alone would leave, in m.
    pub spread: [f64; 3],
    /// Its share of the variance of the place along the length, from 0 to 1.
    pub share: f64,
}

/// Moments of inertia about the balance point, in kg m².
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Inertia {
    /// About the axis along the length: what resists rolling.
    pub xx: f64,
    /// About the axis to the side: what resists pitching.
    pub yy: f64,
    /// About the upright axis: what resists yawing.
    pub zz: f64,
    /// The product Σ m x z: positive if mass lies aft and high, or ahead and low.
    pub xz: f64,
}

/// The balance of a set of items.
#[derive(Clone, Debug, PartialEq)]
pub struct Balance {
    /// The total mass in kg.
    pub mass: f64,
    /// The moments about the datum in kg m, on each axis.
    pub moment: [f64; 3],
    /// The balance point in m: aft, right and up.
    pub at: [f64; 3],
    /// The expanded spread of the total mass in kg.
    pub mass_spread: f64,
    /// The expanded spread of the balance point in m.
    pub at_spread: [f64; 3],
    /// One for each variable that enters, the largest share first, ties by variable.
    pub contributions: Vec<Contribution>,
    /// The inertia about the balance point.
    pub inertia: Inertia,
}

/// Why a set of items has no balance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoBalance {
    /// There are no items.
    Nothing,
    /// Together they have no mass.
    NoMass,
    /// A number is not finite, or the sum is not.
    TooLarge,
    /// An item names a variable that has no spread in the list.
    NoSpread {
        /// The variable.
        variable: usize,
    },
}

/// Finds the balance point of the items, with its spread and what causes that.
///
/// `spreads` has one expanded spread for each variable, in the unit of the variable.
///
/// Sources: x = Σ m x / Σ m, FAA-H-8083-1 and AC 43.13-1B, chapter 10; the spread
/// `u²(x) = Σ (m/M)² u²(x_i) + Σ ((x_i - x)/M)² u²(m_i)`, JCGM 100:2008, equation 10,
/// good while spreads are small against the distances between the items.
///
/// # Errors
/// No items, no mass, or numbers that are not finite.
pub fn balance(items: &[Item], spreads: &[f64]) -> Result<Balance, NoBalance> {
    if items.is_empty() {
        return Err(NoBalance::Nothing);
    }
    let mass: f64 = items.iter().map(|item| item.mass.value).sum();
    let moment = each_axis(|axis| {
        items.iter().map(|item| item.mass.value * axis.of(&item.at).value).sum()
    });
    if !mass.is_finite() || !moment.iter().all(|moment| moment.is_finite()) {
        return Err(NoBalance::TooLarge);
    }
    if mass <= 0.0 {
        return Err(NoBalance::NoMass);
    }
    let at = moment.map(|moment| moment / mass);
    let (mass_spread, contributions) = contributions(items, spreads, mass, at)?;
    let at_spread = each_axis(|axis| {
        let squares = contributions.iter().map(|part| square(*axis.of(&part.spread)));
        squares.sum::<f64>().sqrt()
    });
    if !at_spread.iter().chain([&mass_spread]).all(|spread| spread.is_finite()) {
        return Err(NoBalance::TooLarge);
    }
    let inertia = inertia(items, at);
    Ok(Balance { mass, moment, at, mass_spread, at_spread, contributions, inertia })
}

/// What one variable does to the mass and the balance point, as it adds up.
#[derive(Clone, Copy, Default)]
struct Sensitivity {
    enters: bool,
    mass: f64,
    at: [f64; 3],
}

fn contributions(
    items: &[Item],
    spreads: &[f64],
    mass: f64,
    at: [f64; 3],
) -> Result<(f64, Vec<Contribution>), NoBalance> {
    let sums = sensitivities(items, spreads.len(), mass, at)?;
    let entering = || sums.iter().zip(spreads).filter(|(sum, _)| sum.enters);
    let mass_spread = entering().map(|(sum, spread)| square(sum.mass * spread)).sum();
    let variance: f64 =
        entering().map(|(sum, spread)| square(*Axis::Length.of(&sum.at) * spread)).sum();
    let mut found: Vec<Contribution> = Vec::new();
    for (variable, (sum, spread)) in sums.iter().zip(spreads).enumerate() {
        let alone = sum.at.map(|sensitivity| (sensitivity * spread).abs());
        let along = square(*Axis::Length.of(&alone));
        let share = if 0.0 < variance { along / variance } else { 0.0 };
        if sum.enters {
            let sensitivity = sum.at;
            found.push(Contribution { variable, sensitivity, spread: alone, share });
        }
    }
    found.sort_by(|one, two| two.share.total_cmp(&one.share));
    Ok((f64::sqrt(mass_spread), found))
}

fn sensitivities(
    items: &[Item],
    count: usize,
    mass: f64,
    at: [f64; 3],
) -> Result<Vec<Sensitivity>, NoBalance> {
    let mut sums = vec![Sensitivity::default(); count];
    for item in items {
        let sum = entry(&mut sums, item.mass.variable)?;
        sum.mass += item.mass.weight;
        for axis in Axis::ALL {
            let arm = axis.of(&item.at).value - axis.of(&at);
            *axis.of_mut(&mut sum.at) += item.mass.weight * arm / mass;
        }
        for axis in Axis::ALL {
            let place = axis.of(&item.at);
            let sum = entry(&mut sums, place.variable)?;
            *axis.of_mut(&mut sum.at) += place.weight * item.mass.value / mass;
        }
    }
    Ok(sums)
}

fn entry(
    sums: &mut [Sensitivity],
    variable: usize,
) -> Result<&mut Sensitivity, NoBalance> {
    let sum = sums.get_mut(variable).ok_or(NoBalance::NoSpread { variable })?;
    sum.enters = true;
    Ok(sum)
}

/// Σ m (y² + z²) and so on about the balance point, with m (b² + c²)/12 for a box
/// (any text on mechanics: the parallel axis theorem, and the solid box).
fn inertia(items: &[Item], at: [f64; 3]) -> Inertia {
    let mut sum = Inertia::default();
    for item in items {
        let mass = item.mass.value;
        let [x, y, z] = each_axis(|axis| axis.of(&item.at).value - axis.of(&at));
        let own = item.size.unwrap_or_default().map(|size| size * size / 12.0);
        let [length, width, height] = own;
        sum.xx += mass * (y * y + z * z + width + height);
        sum.yy += mass * (x * x + z * z + length + height);
        sum.zz += mass * (x * x + y * y + length + width);
        sum.xz += mass * x * z;
    }
    sum
}

#[derive(Clone, Copy)]
enum Axis {
    Length,
    Side,
    Height,
}

impl Axis {
    const ALL: [Axis; 3] = [Axis::Length, Axis::Side, Axis::Height];

    fn of<T>(self, [length, side, height]: &[T; 3]) -> &T {
        match self {
            Axis::Length => length,
            Axis::Side => side,
            Axis::Height => height,
        }
    }

    fn of_mut<T>(self, [length, side, height]: &mut [T; 3]) -> &mut T {
        match self {
            Axis::Length => length,
            Axis::Side => side,
            Axis::Height => height,
        }
    }
}

fn each_axis(value: impl Fn(Axis) -> f64) -> [f64; 3] {
    Axis::ALL.map(value)
}

fn square(value: f64) -> f64 {
    value * value
}

#[cfg(test)]
mod tests {
    use super::*;

    fn term(value: f64, variable: usize) -> Term {
        Term { value, variable, weight: 1.0 }
    }

    /// Four variables an item: its mass and its three places.
    fn item(number: usize, mass: f64, at: [f64; 3]) -> Item {
        let first = 4 * number;
        let [x, y, z] = at;
        Item {
            mass: term(mass, first),
            at: [term(x, first + 1), term(y, first + 2), term(z, first + 3)],
            size: None,
        }
    }

    fn near(one: f64, two: f64) -> bool {
        (one - two).abs() <= 1e-12 * one.abs().max(two.abs()).max(1.0)
    }

    #[test]
    fn moving_the_datum_moves_the_balance_point_by_as_much_and_nothing_else() {
        let spreads = [0.001, 0.002, 0.003, 0.004, 0.005, 0.006, 0.007, 0.008];
        let here = [item(0, 0.3, [0.1, 0.02, 0.0]), item(1, 0.5, [0.3, -0.1, 0.05])];
        let there = [item(0, 0.3, [1.1, 0.02, 0.0]), item(1, 0.5, [1.3, -0.1, 0.05])];
        let (here, there) =
            (balance(&here, &spreads).unwrap(), balance(&there, &spreads).unwrap());
        assert!(near(there.at[0], here.at[0] + 1.0));
        assert!(near(there.at_spread[0], here.at_spread[0]));
        assert!(near(there.inertia.yy, here.inertia.yy));
    }

    #[test]
    fn a_pair_leaves_no_doubt_to_the_side_but_twice_as_much_in_its_mass() {
        // One mass, one place aft, one place out and one height, each written once.
        let side = |weight: f64| Item {
            mass: term(0.02, 0),
            at: [
                term(0.1, 1),
                Term { value: 0.2 * weight, variable: 2, weight },
                term(0.0, 3),
            ],
            size: None,
        };
        let found =
            balance(&[side(1.0), side(-1.0)], &[0.001, 0.005, 0.01, 0.0]).unwrap();
        assert!(near(found.mass_spread, 0.002));
        assert!(near(found.at_spread[1], 0.0));
        assert!(near(found.at_spread[0], 0.005));
        assert_eq!(found.contributions.len(), 4);
    }

    #[test]
    fn the_largest_contribution_comes_first_and_the_shares_make_one() {
        let items = [item(0, 0.3, [0.1, 0.0, 0.0]), item(1, 0.1, [0.4, 0.0, 0.0])];
        let spreads = [0.001, 0.01, 0.0, 0.0, 0.001, 0.001, 0.0, 0.0];
        let found = balance(&items, &spreads).unwrap();
        assert_eq!(found.contributions[0].variable, 1);
        let shares: Vec<f64> =
            found.contributions.iter().map(|part| part.share).collect();
        assert!(shares.is_sorted_by(|one, two| two <= one));
        assert!(near(shares.iter().sum(), 1.0));
    }

    #[test]
    fn splitting_an_item_in_two_with_one_scale_reading_changes_nothing() {
        let whole = Item { size: Some([0.0; 3]), ..item(0, 0.4, [0.1, 0.0, 0.02]) };
        let half = Item { mass: Term { value: 0.2, variable: 0, weight: 0.5 }, ..whole };
        let other = item(1, 0.1, [0.3, 0.0, 0.0]);
        let spreads = [0.004, 0.003, 0.0, 0.001, 0.001, 0.002, 0.0, 0.0];
        let one = balance(&[whole, other], &spreads).unwrap();
        let two = balance(&[half, half, other], &spreads).unwrap();
        assert!(near(one.at[0], two.at[0]) && near(one.at_spread[0], two.at_spread[0]));
        assert!(near(one.mass_spread, two.mass_spread));
    }

    #[test]
    fn a_rod_of_many_boxes_turns_like_one_box() {
        let long = [Item { size: Some([1.0, 0.1, 0.1]), ..item(0, 1.0, [0.0; 3]) }];
        let short: Vec<Item> = [-0.375, -0.125, 0.125, 0.375]
            .iter()
            .enumerate()
            .map(|(number, x)| Item {
                size: Some([0.25, 0.1, 0.1]),
                ..item(number, 0.25, [*x, 0.0, 0.0])
            })
            .collect();
        let one = balance(&long, &[0.0; 4]).unwrap().inertia;
        let four = balance(&short, &[0.0; 16]).unwrap().inertia;
        assert!(near(one.xx, four.xx) && near(one.yy, four.yy) && near(one.zz, four.zz));
        assert!(near(one.yy, (1.0 + 0.01) / 12.0));
    }

    #[test]
    fn what_has_no_balance_says_why() {
        assert_eq!(balance(&[], &[]), Err(NoBalance::Nothing));
        let nothing = [item(0, 0.0, [0.1, 0.0, 0.0])];
        assert_eq!(balance(&nothing, &[0.0; 4]), Err(NoBalance::NoMass));
        let huge = [item(0, f64::MAX, [0.1; 3]), item(1, f64::MAX, [0.1; 3])];
        assert_eq!(balance(&huge, &[0.0; 8]), Err(NoBalance::TooLarge));
        let unsure = [item(0, 1.0, [0.1; 3])];
        assert_eq!(balance(&unsure, &[f64::INFINITY; 4]), Err(NoBalance::TooLarge));
        let short = balance(&unsure, &[0.0; 2]);
        assert_eq!(short, Err(NoBalance::NoSpread { variable: 2 }));
    }
}
