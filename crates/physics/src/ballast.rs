//! Moving a balance point: by ballast, by sliding what is there, by changing equipment.
//!
//! Every formula is exact, since moments add. Masses and stations may be in any units
//! that go together; elsewhere in trimsheet they are kg and m aft of the datum.

/// Why the balance point cannot be brought where it is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cannot {
    /// The station lies on the side from which the balance point should move away, so
    /// that only a mass taken away there would help.
    WrongSide,
    /// The station is the target itself: no mass there moves the balance point to it.
    AtTarget,
    /// There is no mass to balance, or none that could be moved.
    NoMass,
    /// A number is not finite, or the answer is not.
    TooLarge,
}

/// A total mass, and where it balances.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weighed {
    /// The mass.
    pub mass: f64,
    /// Its moment about the datum.
    pub moment: f64,
    /// The station of its balance point.
    pub at: f64,
}

/// The ballast that brings the balance point from `at` to `target`, if it is fixed at
/// `station`; nought if it is there already.
///
/// B = M (target - at)/(station - target), which is exact: put on board, it moves the
/// balance point to the target. Source: FAA-H-8083-1, chapter 5, "Permanent ballast".
///
/// # Errors
/// A station on the wrong side of the target or at it, or no mass.
pub fn ballast(mass: f64, at: f64, target: f64, station: f64) -> Result<f64, Cannot> {
    forward(mass * (target - at), station - target, mass)
}

/// How far the balance point moves if `moved`, a part of `total`, goes so far aft.
///
/// Δx = m d/M. Source: FAA-H-8083-1, chapter 2.
///
/// # Errors
/// No total mass.
pub fn shift(moved: f64, distance: f64, total: f64) -> Result<f64, Cannot> {
    quotient(moved * distance, total, Cannot::NoMass)
}

/// How far `moved`, a part of `total`, must go aft so that the balance point comes from
/// `at` to `target`; negative is ahead.
///
/// d = M (target - at)/m. Source: FAA-H-8083-1, chapter 2.
///
/// # Errors
/// Nothing is moved, or there is no total mass.
pub fn distance_to_move(
    moved: f64,
    total: f64,
    at: f64,
    target: f64,
) -> Result<f64, Cannot> {
    has_mass(total)?;
    quotient(total * (target - at), moved, Cannot::NoMass)
}

/// How much must be moved from station `from` to station `to`, so that the balance
/// point of `total` comes from `at` to `target`.
///
/// m = M (target - at)/(to - from). Source: FAA-H-8083-25, chapter 10.
///
/// # Errors
/// The two stations lie the wrong way round or are one, or there is no mass.
pub fn mass_to_move(
    total: f64,
    at: f64,
    target: f64,
    from: f64,
    to: f64,
) -> Result<f64, Cannot> {
    forward(total * (target - at), to - from, total)
}

/// Where `added` was put, if the balance point of `mass` went from `before` to `after`.
///
/// x = after + M (after - before)/m: [`ballast`] solved for its station.
///
/// # Errors
/// Nothing was added, or there is no mass.
pub fn station_of_addition(
    mass: f64,
    before: f64,
    added: f64,
    after: f64,
) -> Result<f64, Cannot> {
    has_mass(mass)?;
    let beyond = quotient(mass * (after - before), added, Cannot::NoMass)?;
    finite(after + beyond)
}

/// The balance of what stands on scales: a reading and a station for each point.
///
/// Two points or three, or any number. Source: FAA-H-8083-1, chapter 3; x = D - F L/W
/// for a nosewheel and D + R L/W for a tailwheel are the same sum, taken about the
/// main wheels at D.
///
/// # Errors
/// The readings make no mass.
pub fn weighing(points: &[(f64, f64)]) -> Result<Weighed, Cannot> {
    change(0.0, 0.0, points)
}

/// The balance after changes to a mass with a moment: each is a mass, negative for one
/// that is taken away, and its station.
///
/// Source: FAA-H-8083-1, chapter 5, "Equipment changes".
///
/// # Errors
/// Nothing is left that balances.
pub fn change(mass: f64, moment: f64, changes: &[(f64, f64)]) -> Result<Weighed, Cannot> {
    let mass = changes.iter().fold(mass, |sum, (mass, _)| sum + mass);
    let moment = changes.iter().fold(moment, |sum, (mass, at)| sum + mass * at);
    let at = quotient(moment, mass, Cannot::NoMass)?;
    Ok(Weighed { mass, moment: finite(moment)?, at })
}

/// A quotient that only makes sense if it is not negative: a mass to be added.
fn forward(moment: f64, arm: f64, mass: f64) -> Result<f64, Cannot> {
    has_mass(mass)?;
    if moment == 0.0 {
        return Ok(0.0);
    }
    if arm == 0.0 {
        return Err(Cannot::AtTarget);
    }
    let answer = finite(moment / arm)?;
    if answer < 0.0 { Err(Cannot::WrongSide) } else { Ok(answer) }
}

fn quotient(above: f64, below: f64, nothing: Cannot) -> Result<f64, Cannot> {
    if below <= 0.0 { Err(nothing) } else { finite(above / below) }
}

fn has_mass(mass: f64) -> Result<(), Cannot> {
    if mass <= 0.0 { Err(Cannot::NoMass) } else { finite(mass).map(|_| ()) }
}

fn finite(value: f64) -> Result<f64, Cannot> {
    if value.is_finite() { Ok(value) } else { Err(Cannot::TooLarge) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(one: f64, two: f64) -> bool {
        (one - two).abs() < 1e-12
    }

    #[test]
    fn ballast_put_back_gives_the_target() {
        for (mass, at, target, station) in
            [(1.2, 0.161, 0.15, -0.095), (0.3, 0.05, 0.08, 0.6), (2.0, -0.1, -0.2, -0.3)]
        {
            let added = ballast(mass, at, target, station).unwrap();
            let found = weighing(&[(mass, at), (added, station)]).unwrap();
            assert!(near(found.at, target), "{found:?}");
            assert!(near(station_of_addition(mass, at, added, target).unwrap(), station));
        }
    }

    #[test]
    fn a_part_moved_as_far_as_was_said_gives_the_target() {
        let (total, at, target, moved) = (1.4, 0.161, 0.15, 0.37);
        let distance = distance_to_move(moved, total, at, target).unwrap();
        assert!(distance < 0.0);
        assert!(near(at + shift(moved, distance, total).unwrap(), target));
        let again = mass_to_move(total, at, target, 0.0, distance).unwrap();
        assert!(near(again, moved));
    }

    #[test]
    fn ballast_behind_a_tail_heavy_model_cannot_help() {
        assert_eq!(ballast(1.2, 0.161, 0.15, 0.3), Err(Cannot::WrongSide));
        // Between the balance point and the target it moves the right way, but never
        // as far as the target.
        assert_eq!(ballast(1.2, 0.161, 0.15, 0.155), Err(Cannot::WrongSide));
        assert_eq!(mass_to_move(1.2, 0.161, 0.15, 0.1, 0.2), Err(Cannot::WrongSide));
    }

    #[test]
    fn ballast_at_the_target_cannot_help() {
        assert_eq!(ballast(1.2, 0.161, 0.15, 0.15), Err(Cannot::AtTarget));
        assert_eq!(ballast(1.2, 0.15, 0.15, 0.15), Ok(0.0));
    }

    #[test]
    fn what_has_no_mass_cannot_be_balanced() {
        assert_eq!(ballast(0.0, 0.1, 0.2, 0.3), Err(Cannot::NoMass));
        assert_eq!(weighing(&[]), Err(Cannot::NoMass));
        assert_eq!(change(1.0, 0.1, &[(-1.0, 0.1)]), Err(Cannot::NoMass));
        assert_eq!(distance_to_move(0.0, 1.0, 0.1, 0.2), Err(Cannot::NoMass));
        assert_eq!(ballast(f64::NAN, 0.1, 0.2, 0.3), Err(Cannot::TooLarge));
        assert_eq!(ballast(f64::MAX, 0.0, 10.0, 11.0), Err(Cannot::TooLarge));
    }
}
