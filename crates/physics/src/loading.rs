//! How heavily a wing is loaded, how slowly it flies, and how large its tail is.
//!
//! Each answer is `None` where the question has none: no area, no lift, no air.

use trimsheet_quantity::STANDARD_GRAVITY;

/// The density of air at sea level on a standard day in kg/m³ (ISO 2533:1975).
pub const SEA_LEVEL_DENSITY: f64 = 1.225;

/// A change of the balance point too small to be worth a new weighing, as a share of
/// the mean chord: 0.05 % (FAA AC 43.13-1B, paragraph 10-2c, for fixed wings).
pub const NEGLIGIBLE_SHIFT: f64 = 0.0005;

/// The mass carried by each square metre of wing, in kg/m².
#[must_use]
pub fn wing_loading(mass: f64, area: f64) -> Option<f64> {
    answer(mass, area)
}

/// A wing loading that does not grow with the size of the model, in kg/m³.
///
/// Mass over area to the power of one and a half: models of one shape and density have
/// one value. Common practice, no source.
#[must_use]
pub fn size_free_loading(mass: f64, area: f64) -> Option<f64> {
    answer(mass, area * area.max(0.0).sqrt())
}

/// The speed below which a wing cannot carry the mass in level flight, in m/s.
///
/// V = sqrt(2 m g/(ρ S CL)), the definition of the lift coefficient solved for the
/// speed. `lift_max` is the largest lift coefficient of the whole model: below ten
/// metres a second it depends on size and speed, so it is the weak number here.
#[must_use]
pub fn stall_speed(mass: f64, area: f64, density: f64, lift_max: f64) -> Option<f64> {
    if mass < 0.0 {
        return None;
    }
    let squared = answer(2.0 * mass * STANDARD_GRAVITY, density * area * lift_max)?;
    Some(squared.sqrt())
}

/// How many times its weight a wing carries in a level turn at this bank, in radians.
///
/// n = 1/cos φ. Source: FAA-H-8083-25, chapter 5. `None` from upright on.
#[must_use]
pub fn load_factor(bank: f64) -> Option<f64> {
    answer(1.0, libm::cos(bank)).filter(|_| bank.abs() < std::f64::consts::FRAC_PI_2)
}

/// The stall speed in a level turn at this bank, in the unit of the one in level flight.
///
/// V = Vs sqrt(n). Source: FAA-H-8083-25, chapter 5.
#[must_use]
pub fn stall_speed_in_turn(stall_speed: f64, bank: f64) -> Option<f64> {
    load_factor(bank).map(|factor| stall_speed * factor.sqrt())
}

/// The tail volume: tail area times its arm over wing area times mean chord.
///
/// The arm is from the balance point to the tail's quarter chord, in m. Source: any
/// text on stability, for example Raymer, "Aircraft Design", chapter 6; from memory.
#[must_use]
pub fn tail_volume(
    tail_area: f64,
    arm: f64,
    wing_area: f64,
    mean_chord: f64,
) -> Option<f64> {
    answer(tail_area * arm, wing_area * mean_chord)
}

/// The fin volume: fin area times its arm over wing area times span.
///
/// Source: as for [`tail_volume`].
#[must_use]
pub fn fin_volume(fin_area: f64, arm: f64, wing_area: f64, span: f64) -> Option<f64> {
    answer(fin_area * arm, wing_area * span)
}

fn answer(above: f64, below: f64) -> Option<f64> {
    (0.0 < below).then(|| above / below).filter(|answer| answer.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(one: Option<f64>, two: f64) -> bool {
        one.is_some_and(|one| (one - two).abs() < 1e-12 * two.abs())
    }

    #[test]
    fn a_model_twice_as_large_has_the_same_size_free_loading() {
        let small = size_free_loading(0.6, 0.2).unwrap();
        assert!(near(size_free_loading(0.6 * 8.0, 0.2 * 4.0), small));
        let small = wing_loading(0.6, 0.2).unwrap();
        assert!(near(wing_loading(0.6 * 8.0, 0.2 * 4.0), 2.0 * small));
    }

    #[test]
    fn four_times_the_mass_stalls_at_twice_the_speed() {
        let light = stall_speed(0.5, 0.3, SEA_LEVEL_DENSITY, 0.9).unwrap();
        assert!(near(stall_speed(2.0, 0.3, SEA_LEVEL_DENSITY, 0.9), 2.0 * light));
        let turn = stall_speed_in_turn(light, 0.0);
        assert!(near(turn, light));
    }

    #[test]
    fn volumes_of_tail_and_fin_have_no_unit() {
        let (small, large) =
            (tail_volume(0.05, 0.6, 0.3, 0.2), tail_volume(0.2, 1.2, 1.2, 0.4));
        assert!(near(small, 0.5) && near(large, 0.5));
        assert!(near(fin_volume(0.03, 0.6, 0.3, 1.5), 0.04));
    }

    #[test]
    fn what_has_no_answer_is_none() {
        assert_eq!(wing_loading(1.0, 0.0), None);
        assert_eq!(size_free_loading(1.0, -1.0), None);
        assert_eq!(stall_speed(1.0, 0.3, 1.225, 0.0), None);
        assert_eq!(stall_speed(-1.0, 0.3, 1.225, 1.0), None);
        assert_eq!(stall_speed(f64::NAN, 0.3, 1.225, 1.0), None);
        assert_eq!(load_factor(std::f64::consts::FRAC_PI_2), None);
        assert_eq!(load_factor(2.0 * std::f64::consts::PI), None);
        assert_eq!(tail_volume(0.05, 0.6, 0.0, 0.2), None);
    }
}
