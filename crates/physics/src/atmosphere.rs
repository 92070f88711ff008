//! The air at a height: how dense it is, how viscous, and how fast sound is in it.
//!
//! The standard atmosphere stands still and dry. A field on a warm day is hotter than it
//! says, so the temperature may be given as it is; pressure is then still the standard's
//! at that height. Weather moves pressure by two or three per cent and moisture thins
//! warm air by up to two more: neither is known to a spec, and both are left out.
//!
//! Sources: ISO 2533:1975 and ICAO Doc 7488, which goes further down; constants from
//! memory, their numbers checked in the reference tests. Viscosity is Sutherland's
//! formula with the constants of the same standard.

use trimsheet_quantity::STANDARD_GRAVITY;

/// The lowest geopotential height answered for, in m.
pub const LOWEST: f64 = -5000.0;

/// The highest geopotential height answered for, in m: here the standard's second layer
/// ends.
pub const HIGHEST: f64 = 20_000.0;

/// The coldest air for which Sutherland's formula holds, in K (White, "Viscous Fluid
/// Flow", table 1-2: within 2 %; from memory).
pub const COLDEST: f64 = 170.0;

/// The hottest air for which Sutherland's formula holds, in K; as [`COLDEST`].
pub const HOTTEST: f64 = 1900.0;

/// At sea level, in K.
const SEA_LEVEL_TEMPERATURE: f64 = 288.15;
/// At sea level, in Pa.
const SEA_LEVEL_PRESSURE: f64 = 101_325.0;
/// By how much it is colder for each metre up, in K/m, as far as [`TROPOPAUSE`].
const LAPSE: f64 = 0.0065;
/// Above this height, in m, it gets no colder.
const TROPOPAUSE: f64 = 11_000.0;
/// The specific gas constant of dry air, in J/(kg K).
const GAS: f64 = 287.052_87;
/// The ratio of its specific heats.
const HEATS: f64 = 1.4;
/// Sutherland's constants, in kg/(m s sqrt(K)) and K.
const SUTHERLAND: (f64, f64) = (1.458e-6, 110.4);

/// The state of the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// In K.
    pub temperature: f64,
    /// In Pa.
    pub pressure: f64,
    /// In kg/m³.
    pub density: f64,
    /// In m/s.
    pub speed_of_sound: f64,
    /// The dynamic viscosity, in Pa s; over [`Air::density`] it is the kinematic one.
    pub viscosity: f64,
}

/// Finds the air at a geopotential height in m, with its own temperature in K if known.
///
/// T = 288.15 − 0.0065 H and p = 101325 (T/288.15)^(g/(0.0065 R)) up to 11 km, and above
/// it p falls by exp(−g/(R T)) for each metre; ρ = p/(R T), a = sqrt(1.4 R T),
/// µ = 1.458e-6 T^1.5/(T + 110.4). Geopotential and geometric height differ by 0.05 % at
/// 3 km. `None` outside [`LOWEST`] to [`HIGHEST`], and for a given temperature outside
/// [`COLDEST`] to [`HOTTEST`].
#[must_use]
pub fn air(height: f64, temperature: Option<f64>) -> Option<Air> {
    if !(LOWEST..=HIGHEST).contains(&height) {
        return None;
    }
    let (standard, pressure) = standard(height);
    let temperature = temperature.unwrap_or(standard);
    if !(COLDEST..=HOTTEST).contains(&temperature) {
        return None;
    }
    let (factor, constant) = SUTHERLAND;
    Some(Air {
        temperature,
        pressure,
        density: pressure / (GAS * temperature),
        speed_of_sound: (HEATS * GAS * temperature).sqrt(),
        viscosity: factor * temperature * temperature.sqrt() / (temperature + constant),
    })
}

/// The standard's temperature in K and pressure in Pa.
fn standard(height: f64) -> (f64, f64) {
    let temperature = SEA_LEVEL_TEMPERATURE - LAPSE * height.min(TROPOPAUSE);
    let colder = temperature / SEA_LEVEL_TEMPERATURE;
    let below = SEA_LEVEL_PRESSURE * libm::pow(colder, STANDARD_GRAVITY / (LAPSE * GAS));
    let above = STANDARD_GRAVITY * (height - TROPOPAUSE).max(0.0) / (GAS * temperature);
    (temperature, below * libm::exp(-above))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_warm_day_thins_the_air_and_leaves_its_pressure() {
        let standard = air(400.0, None).unwrap();
        let warm = air(400.0, Some(308.15)).unwrap();
        assert!((warm.pressure - standard.pressure).abs() < 1e-9);
        let ratio = standard.temperature / 308.15;
        assert!((warm.density - ratio * standard.density).abs() < 1e-12);
        assert!(standard.speed_of_sound < warm.speed_of_sound);
        assert!(standard.viscosity < warm.viscosity);
    }

    #[test]
    fn the_standards_own_temperature_changes_nothing() {
        let standard = air(1200.0, None).unwrap();
        assert_eq!(air(1200.0, Some(standard.temperature)), Some(standard));
    }

    #[test]
    fn a_layer_of_air_weighs_what_its_pressures_differ() {
        for height in [-4500.0, 0.0, 2500.0, 10_999.5, 11_000.5, 19_000.0] {
            let [below, here, above] =
                [-1.0, 0.0, 1.0].map(|step| air(height + step, None).unwrap());
            let weight = 2.0 * here.density * STANDARD_GRAVITY;
            let difference = below.pressure - above.pressure;
            assert!((difference / weight - 1.0).abs() < 1e-5, "{height}: {difference}");
        }
    }

    #[test]
    fn heights_and_temperatures_outside_are_none() {
        for height in [-5000.1, 20_000.1, f64::NAN, f64::INFINITY] {
            assert_eq!(air(height, None), None);
        }
        for temperature in [0.0, -5.0, 15.0, 1900.1, f64::NAN] {
            assert_eq!(air(0.0, Some(temperature)), None);
        }
        assert!(air(LOWEST, None).is_some() && air(HIGHEST, None).is_some());
    }
}
