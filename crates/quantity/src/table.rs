//! The units that have a word of their own.
//!
//! Everything else is joined from these, as [`Unit::read`](crate::Unit::read) says.
//! Sizes are exact where the unit is defined by a number: inch, foot, pound, ounce,
//! mile per hour, knot, kilogram-force and ounce-force as in NIST Special Publication
//! 811 (2008), appendix B.8.

use std::collections::HashMap;
use std::f64::consts::PI;
use std::sync::LazyLock;

use crate::{Dimension, Dimension as D};

/// How numbers in a unit become numbers in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Scale {
    /// Times the first, divided by the second: a millimetre divides by 1000 rather
    /// than multiplies by 0.001, which no binary number is.
    Ratio(f64, f64),
    /// Degrees Celsius, whose nought is 273.15 K (SI Brochure, 9th edition).
    Celsius,
    /// Ten times the decimal logarithm of the number in SI units, and this much above it:
    /// a power of one watt is 30 dB above a milliwatt.
    Decibel(f64),
}

/// A unit with a word of its own.
#[derive(Clone, Debug)]
pub struct UnitRow {
    /// The word that the language prefers.
    pub word: &'static str,
    /// Other spellings that are read as the same.
    pub aliases: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// Its full name, in the singular.
    pub says: &'static str,
    pub(crate) scale: Scale,
}

const fn row(
    word: &'static str,
    aliases: &'static [&'static str],
    dimension: Dimension,
    says: &'static str,
    scale: Scale,
) -> UnitRow {
    UnitRow { word, aliases, dimension, says, scale }
}

const fn times(factor: f64) -> Scale {
    Scale::Ratio(factor, 1.0)
}

const fn per(divisor: f64) -> Scale {
    Scale::Ratio(1.0, divisor)
}

/// Every unit with a word of its own, by what it measures.
///
/// Upper and lower case differ (`s` is a second and `S` a cell, `mA` is no `MA`), so
/// other spellings are listed one by one, and only those that leave no doubt. The ohm
/// and micro signs have two code points each, which look the same.
pub const UNITS: &[UnitRow] = &[
    row("mm", &[], D::LENGTH, "millimetre", per(1000.0)),
    row("cm", &[], D::LENGTH, "centimetre", per(100.0)),
    row("dm", &[], D::LENGTH, "decimetre", per(10.0)),
    row("m", &[], D::LENGTH, "metre", times(1.0)),
    row("km", &[], D::LENGTH, "kilometre", times(1000.0)),
    row("in", &["inch", "inches"], D::LENGTH, "inch", Scale::Ratio(254.0, 10_000.0)),
    row("ft", &["foot", "feet"], D::LENGTH, "foot", Scale::Ratio(3048.0, 10_000.0)),
    row("mg", &[], D::MASS, "milligram", per(1e6)),
    row("g", &["gram", "grams"], D::MASS, "gram", per(1000.0)),
    row("kg", &["Kg"], D::MASS, "kilogram", times(1.0)),
    row("oz", &[], D::MASS, "ounce", Scale::Ratio(45_359_237.0, 16e8)),
    row("lb", &["lbs"], D::MASS, "pound", Scale::Ratio(45_359_237.0, 1e8)),
    row("us", &["\u{b5}s", "\u{3bc}s"], D::TIME, "microsecond", per(1e6)),
    row("ms", &[], D::TIME, "millisecond", per(1000.0)),
    row("s", &["sec"], D::TIME, "second", times(1.0)),
    row("min", &["mins"], D::TIME, "minute", times(60.0)),
    row("h", &["hr"], D::TIME, "hour", times(3600.0)),
    row("days", &["day"], D::TIME, "day", times(86_400.0)),
    row("N", &[], D::FORCE, "newton", times(1.0)),
    row("gf", &[], D::FORCE, "gram-force", Scale::Ratio(980_665.0, 1e8)),
    row("kgf", &[], D::FORCE, "kilogram-force", Scale::Ratio(980_665.0, 1e5)),
    row("ozf", &[], D::FORCE, "ounce-force", Scale::Ratio(OUNCE_FORCE, 16e13)),
    row("lbf", &[], D::FORCE, "pound-force", Scale::Ratio(OUNCE_FORCE, 1e13)),
    row("Pa", &[], D::PRESSURE, "pascal", times(1.0)),
    row("hPa", &[], D::PRESSURE, "hectopascal", times(100.0)),
    row("kPa", &[], D::PRESSURE, "kilopascal", times(1000.0)),
    row("MPa", &[], D::PRESSURE, "megapascal", times(1e6)),
    row("GPa", &[], D::PRESSURE, "gigapascal", times(1e9)),
    row("deg", &["°", "degree", "degrees"], D::ANGLE, "degree", Scale::Ratio(PI, 180.0)),
    row("rad", &[], D::ANGLE, "radian", times(1.0)),
    row("km/h", &["kph", "kmh"], D::SPEED, "kilometre per hour", per(3.6)),
    row("mph", &[], D::SPEED, "mile per hour", Scale::Ratio(44_704.0, 1e5)),
    row("kn", &["kt", "kts"], D::SPEED, "knot", Scale::Ratio(1852.0, 3600.0)),
    row("rpm", &["RPM"], D::ANGULAR_SPEED, "revolution per minute", per(30.0 / PI)),
    row("mA", &[], D::CURRENT, "milliampere", per(1000.0)),
    row("A", &["amp", "amps"], D::CURRENT, "ampere", times(1.0)),
    row("mV", &[], D::VOLTAGE, "millivolt", per(1000.0)),
    row("V", &["volt", "volts"], D::VOLTAGE, "volt", times(1.0)),
    row("mohm", &["m\u{3a9}", "m\u{2126}"], D::RESISTANCE, "milliohm", per(1000.0)),
    row("ohm", &["\u{3a9}", "\u{2126}", "ohms"], D::RESISTANCE, "ohm", times(1.0)),
    row("kohm", &["k\u{3a9}", "k\u{2126}"], D::RESISTANCE, "kilohm", times(1000.0)),
    row("uF", &["\u{b5}F", "\u{3bc}F"], D::CAPACITANCE, "microfarad", per(1e6)),
    row("uT", &["\u{b5}T", "\u{3bc}T"], D::MAGNETIC_FIELD, "microtesla", per(1e6)),
    row("mW", &[], D::POWER, "milliwatt", per(1000.0)),
    row("W", &["watt", "watts"], D::POWER, "watt", times(1.0)),
    row("kW", &[], D::POWER, "kilowatt", times(1000.0)),
    row("dBm", &[], D::POWER, "decibel over a milliwatt", Scale::Decibel(30.0)),
    row("J", &[], D::ENERGY, "joule", times(1.0)),
    row("Wh", &[], D::ENERGY, "watt hour", times(3600.0)),
    row("mAh", &[], D::CHARGE, "milliampere hour", Scale::Ratio(36.0, 10.0)),
    row("Ah", &[], D::CHARGE, "ampere hour", times(3600.0)),
    row("Hz", &[], D::FREQUENCY, "hertz", times(1.0)),
    row("kHz", &[], D::FREQUENCY, "kilohertz", times(1e3)),
    row("MHz", &[], D::FREQUENCY, "megahertz", times(1e6)),
    row("Bd", &["baud"], D::FREQUENCY, "baud", times(1.0)),
    row("kBd", &[], D::FREQUENCY, "kilobaud", times(1e3)),
    row("GHz", &[], D::FREQUENCY, "gigahertz", times(1e9)),
    row("S", &[], D::CELLS, "cell in series", times(1.0)),
    row("cell", &["cells"], D::CELLS, "cell", times(1.0)),
    row("C", &[], D::MULTIPLE, "times the capacity in an hour", per(3600.0)),
    row("awg", &["AWG"], D::GAUGE, "wire gauge", times(1.0)),
    row("dB", &["dBi"], D::NONE, "decibel", Scale::Decibel(0.0)),
    row("%", &["percent"], D::NONE, "percent", per(100.0)),
    row("°C", &["degC"], D::TEMPERATURE, "degree Celsius", Scale::Celsius),
    row("K", &[], D::TEMPERATURE, "kelvin", times(1.0)),
];

// 0.453 592 37 kg times 9.806 65 m/s², times 1e13: a whole number that a double holds.
const OUNCE_FORCE: f64 = 45_359_237.0 * 980_665.0;

impl UnitRow {
    /// The row whose word or alias is exactly this, with that spelling.
    pub(crate) fn named(text: &str) -> Option<(&'static str, &'static UnitRow)> {
        SPELLED.get_key_value(text).map(|(spelled, row)| (*spelled, *row))
    }
}

/// The rows by all their spellings: a check asks for units thousands of times.
static SPELLED: LazyLock<HashMap<&str, &UnitRow>> = LazyLock::new(|| {
    let all = UNITS.iter();
    all.flat_map(|row| row.aliases.iter().chain([&row.word]).map(move |one| (*one, row)))
        .collect()
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_spelling_means_two_units() {
        let mut all: Vec<&str> = Vec::new();
        for row in UNITS {
            all.push(row.word);
            all.extend(row.aliases);
        }
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
    }

    #[test]
    fn no_unit_is_spelled_like_a_side() {
        for row in UNITS {
            assert_eq!(crate::Side::from_word(row.word), None);
        }
    }
}
