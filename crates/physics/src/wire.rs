//! Copper wire by its gauge: how thick it is, what it resists, what it loses and warms.
//!
//! A gauge is of the copper alone: American wire gauge, in whole numbers, smaller being
//! thicker. For a wire of strands the figures of [`resistance_per_length`] are those of a
//! solid one of the same copper; tinned strands reach those of [`TINNED_STRANDED`].

use std::f64::consts::PI;

/// The resistivity of annealed copper at 20 °C, in Ω m: 1/58 Ω mm²/m.
///
/// Source: the International Annealed Copper Standard, as in NBS Handbook 100 (1966).
pub const COPPER: f64 = 1e-6 / 58.0;

/// The temperature of the tables, in °C.
pub const TABLE_TEMPERATURE: f64 = 20.0;

/// Tinned stranded copper as aircraft use it: the gauge, and the most that it may resist
/// at 20 °C, in Ω/m.
///
/// Source: FAA AC 43.13-1B, table 11-9, which gives Ω per 1000 ft.
pub const TINNED_STRANDED: [(i32, f64); 8] = [
    (24, 28.40 / THOUSAND_FEET),
    (22, 16.20 / THOUSAND_FEET),
    (20, 9.88 / THOUSAND_FEET),
    (18, 6.23 / THOUSAND_FEET),
    (16, 4.81 / THOUSAND_FEET),
    (14, 3.06 / THOUSAND_FEET),
    (12, 2.02 / THOUSAND_FEET),
    (10, 1.26 / THOUSAND_FEET),
];

/// In m.
const THOUSAND_FEET: f64 = 304.8;

/// The diameter of the copper, in m: 0.127 mm · 92^((36 − n)/39).
///
/// Source: ASTM B258, also NBS Handbook 100; from memory, and agreeing with its table.
/// `None` for a gauge that is no number, or so small or large that no wire has it.
#[must_use]
pub fn diameter(gauge: f64) -> Option<f64> {
    let diameter = 0.127e-3 * libm::pow(92.0, (36.0 - gauge) / 39.0);
    (-3.0..=50.0).contains(&gauge).then_some(diameter)
}

/// What a metre of one wire resists, in Ω/m, at a temperature of the copper in °C.
///
/// The factor of temperature is (234.5 + T)/254.5, of annealed copper; source: NBS
/// Handbook 100, from memory. `None` as for [`diameter`], or if the copper is colder than
/// any that the line of this factor describes.
#[must_use]
pub fn resistance_per_length(gauge: f64, temperature: f64) -> Option<f64> {
    let diameter = diameter(gauge)?;
    let area = PI * diameter * diameter / 4.0;
    let warmed = COPPER * temperature_factor(temperature)?;
    Some(warmed / area)
}

/// What a metre of one wire of tinned strands resists at most, in Ω/m, at a temperature
/// of the copper in °C; of a gauge that [`TINNED_STRANDED`] leaves out, a solid one of the
/// same copper.
///
/// `None` as for [`resistance_per_length`].
#[must_use]
pub fn stranded_resistance(gauge: f64, temperature: f64) -> Option<f64> {
    let listed = TINNED_STRANDED
        .iter()
        .find(|(listed, _)| (f64::from(*listed) - gauge).abs() < 0.01);
    match listed {
        Some((_, at_table)) => Some(at_table * temperature_factor(temperature)?),
        None => resistance_per_length(gauge, temperature),
    }
}

/// The current that each of several loaded wires may carry in a bundle, in A, its copper
/// at 150 °C: the gauge and the amperes.
///
/// Source: FAA AC 43.13-1B, for 22 down to 10 gauge. The thinner ones go on in the same
/// steps; common practice, no source.
pub const BUNDLE_AMPS: [(i32, f64); 11] = [
    (30, 1.7),
    (28, 2.2),
    (26, 2.9),
    (24, 3.8),
    (22, 5.0),
    (20, 7.0),
    (18, 9.0),
    (16, 11.0),
    (14, 14.0),
    (12, 19.0),
    (10, 26.0),
];

/// The current that a gauge may carry in a bundle, in A; of one between two, the thinner
/// one's. `None` for what is thinner than all of them.
#[must_use]
pub fn bundle_amps(gauge: f64) -> Option<f64> {
    let mut thick_enough =
        BUNDLE_AMPS.iter().filter(|(listed, _)| gauge <= f64::from(*listed));
    thick_enough.next_back().map(|(_, amps)| *amps)
}

/// How many times what it resists at 20 °C copper resists at another temperature, in °C.
///
/// Source as for [`resistance_per_length`]. `None` below −200 °C, where it is no line.
#[must_use]
pub fn temperature_factor(temperature: f64) -> Option<f64> {
    let factor = (234.5 + temperature) / (234.5 + TABLE_TEMPERATURE);
    (-200.0 <= temperature && factor.is_finite()).then_some(factor)
}

/// What a lead resists there and back, in Ω: of `per_length` Ω/m, and `length` m one way.
#[must_use]
pub fn there_and_back(per_length: f64, length: f64) -> f64 {
    2.0 * per_length * length
}

/// The volts that a current loses in a resistance. Source: Ohm's law.
#[must_use]
pub fn volts_lost(resistance: f64, current: f64) -> f64 {
    resistance * current
}

/// The heat that a current makes in a resistance, in W. Source: Joule's law.
#[must_use]
pub fn heat(resistance: f64, current: f64) -> f64 {
    resistance * current * current
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn six_gauges_are_half_the_diameter_and_ten_a_tenth_of_the_area() {
        let six = diameter(20.0).unwrap() / diameter(26.0).unwrap();
        assert!((six - 2.0).abs() < 0.01);
        let ten = resistance_per_length(30.0, 20.0).unwrap()
            / resistance_per_length(20.0, 20.0).unwrap();
        assert!((ten - 10.16).abs() < 0.01);
    }

    #[test]
    fn warm_copper_resists_more() {
        assert!((temperature_factor(20.0).unwrap() - 1.0).abs() < 1e-15);
        // 0.393 % for each degree at 20 °C.
        let one = temperature_factor(21.0).unwrap() - 1.0;
        assert!((one - 0.00393).abs() < 1e-5);
    }

    #[test]
    fn what_is_no_wire_has_no_figures() {
        for gauge in [f64::NAN, f64::INFINITY, -4.0, 51.0] {
            assert_eq!(diameter(gauge), None);
            assert_eq!(resistance_per_length(gauge, 20.0), None);
        }
        assert_eq!(temperature_factor(f64::NAN), None);
        assert_eq!(temperature_factor(-250.0), None);
    }

    #[test]
    fn strands_resist_what_the_table_says_about_as_much_as_solid_copper() {
        let of = |gauge| stranded_resistance(gauge, 20.0).unwrap();
        assert!((of(22.0) - 16.20 / 304.8).abs() < 1e-12);
        for gauge in [10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0, 24.0] {
            let more = of(gauge) / resistance_per_length(gauge, 20.0).unwrap();
            assert!((0.95..1.3).contains(&more), "{gauge}: {more}");
        }
        // What the table leaves out is as a solid wire.
        assert!((of(28.0) - resistance_per_length(28.0, 20.0).unwrap()).abs() < 1e-15);
        let warm = stranded_resistance(22.0, 60.0).unwrap() / of(22.0);
        assert!((warm - 294.5 / 254.5).abs() < 1e-12);
    }

    #[test]
    fn a_bundle_carries_what_the_table_says_and_between_two_gauges_the_lesser() {
        assert_eq!(bundle_amps(16.0), Some(11.0));
        assert_eq!(bundle_amps(17.0), Some(9.0));
        assert_eq!(bundle_amps(6.0), Some(26.0));
        assert_eq!(bundle_amps(31.0), None);
        assert_eq!(bundle_amps(f64::NAN), None);
    }

    #[test]
    fn two_halves_of_a_lead_lose_what_the_whole_loses() {
        let of = |length| volts_lost(there_and_back(0.013, length), 12.0);
        assert!((2.0 * of(0.15) - of(0.3)).abs() < 1e-15);
    }
}
