//! Where a function passes through nought.

/// Passes at most; halving alone needs 60 or so for every digit of a number.
const PASSES: usize = 200;

/// A place between two at which a function that is below nought at the first and not at
/// the second changes its sign, as near as numbers go.
///
/// A chord is tried in turn with halving, so that no shape of the function makes it slow.
/// Where the function does not pass through nought between the two, the answer is one of
/// them.
pub(crate) fn root(function: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    let (mut below, mut above) = ((low, function(low)), (high, function(high)));
    if 0.0 <= below.1 {
        return low;
    }
    if above.1 <= 0.0 {
        return high;
    }
    for pass in 0..PASSES {
        let middle = f64::midpoint(below.0, above.0);
        if !(below.0 < middle && middle < above.0) {
            break;
        }
        let chord = below.0 + (above.0 - below.0) * below.1 / (below.1 - above.1);
        let is_inside = below.0 < chord && chord < above.0;
        let at = if pass % 2 == 0 && is_inside { chord } else { middle };
        let value = function(at);
        if value < 0.0 {
            below = (at, value);
        } else if 0.0 < value {
            above = (at, value);
        } else {
            return at;
        }
    }
    if -below.1 < above.1 { below.0 } else { above.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roots_are_found_to_the_last_digits() {
        assert!((root(|x| x * x - 2.0, 0.0, 2.0) - 2_f64.sqrt()).abs() < 1e-15);
        // Flat on one side and steep on the other, where a chord alone creeps.
        assert!(
            (root(|x| libm::exp(40.0 * x) - 2.0, 0.0, 1.0) - 0.017_328_7).abs() < 1e-7
        );
        // A jump has no root, and the answer is its place.
        let jump = root(|x| if x < 0.3 { -1.0 } else { 1.0 }, 0.0, 1.0);
        assert!((jump - 0.3).abs() < 1e-15);
    }

    #[test]
    fn without_a_change_of_sign_an_end_is_the_answer() {
        assert!(root(|x| x + 1.0, 0.0, 1.0).abs() < 1e-300);
        assert!((root(|x| x - 2.0, 0.0, 1.0) - 1.0).abs() < 1e-300);
    }
}
