//! Reading a unit, alone or joined from others, and what it is in SI units.

use std::sync::Arc;

use crate::Dimension;
use crate::table::{Scale, UNITS, UnitRow};

/// A unit as it was written, and how its numbers become SI numbers.
///
/// Two units are equal if they are written alike.
#[derive(Clone, Debug)]
pub struct Unit(Written);

/// How a unit is written: nearly all are words of the table, and copied at no cost.
#[derive(Clone, Debug)]
enum Written {
    /// One of the spellings of a row.
    Word(&'static str, &'static UnitRow),
    Joined(Arc<Joined>),
}

#[derive(Debug)]
struct Joined {
    text: String,
    dimension: Dimension,
    scale: Scale,
}

impl PartialEq for Unit {
    fn eq(&self, other: &Unit) -> bool {
        self.text() == other.text()
    }
}

/// Longer than any unit that means something.
const LONGEST: usize = 32;

impl Unit {
    /// Reads a unit: a word of [`UNITS`], or several of them joined.
    ///
    /// `.` and `-` multiply, `/` divides by the one unit after it, and an exponent is a
    /// digit behind the word or behind `^`: `rpm/V`, `kgf.cm`, `kg/m3`, `m/s^2`.
    ///
    /// Where a mass and a length are joined by a hyphen and nothing else is there
    /// (`oz-in`, `kg-cm`), the mass stands for its weight and the unit is one of
    /// torque, as servo makers print it. With a dot, `kg.cm` is a moment of mass.
    #[must_use]
    pub fn read(text: &str) -> Option<Unit> {
        if LONGEST < text.len() {
            return None;
        }
        if let Some((word, row)) = UnitRow::named(text) {
            return Some(Unit(Written::Word(word, row)));
        }
        let product = weight_by_arm(text).or_else(|| joined(text))?;
        let scale = Scale::Ratio(product.numerator, product.denominator);
        Some(Unit::joined(text, product.dimension, scale))
    }

    /// The unit as it was written.
    #[must_use]
    pub fn text(&self) -> &str {
        match &self.0 {
            Written::Word(word, _) => word,
            Written::Joined(joined) => &joined.text,
        }
    }

    /// What it measures.
    #[must_use]
    pub fn dimension(&self) -> Dimension {
        match &self.0 {
            Written::Word(_, row) => row.dimension,
            Written::Joined(joined) => joined.dimension,
        }
    }

    fn scale(&self) -> Scale {
        match &self.0 {
            Written::Word(_, row) => row.scale,
            Written::Joined(joined) => joined.scale,
        }
    }

    fn joined(text: impl Into<String>, dimension: Dimension, scale: Scale) -> Unit {
        Unit(Written::Joined(Arc::new(Joined { text: text.into(), dimension, scale })))
    }

    /// A number in this unit, in SI units.
    #[must_use]
    pub fn to_si(&self, value: f64) -> f64 {
        match self.scale() {
            Scale::Ratio(above, below) => value * above / below,
            Scale::Celsius => value + CELSIUS_NOUGHT,
            Scale::Decibel(above) => libm::exp10((value - above) / 10.0),
        }
    }

    /// A number in SI units, in this unit.
    #[must_use]
    pub fn of_si(&self, si: f64) -> f64 {
        match self.scale() {
            Scale::Ratio(above, below) => si * below / above,
            Scale::Celsius => si - CELSIUS_NOUGHT,
            Scale::Decibel(above) => 10.0 * libm::log10(si) + above,
        }
    }

    /// A small difference in this unit at the value `si`, in SI units.
    pub(crate) fn step_to_si(&self, step: f64, si: f64) -> f64 {
        match self.scale() {
            Scale::Ratio(above, below) => step * above / below,
            Scale::Celsius => step,
            Scale::Decibel(_) => step * si * DECIBEL,
        }
    }

    /// A small difference in SI units at the value `si`, in this unit.
    pub(crate) fn step_of_si(&self, step: f64, si: f64) -> f64 {
        match self.scale() {
            Scale::Ratio(above, below) => step * below / above,
            Scale::Celsius => step,
            Scale::Decibel(_) => step / (si * DECIBEL),
        }
    }

    /// The unit in which builders read a quantity of this dimension.
    ///
    /// A dimension that has none gets one made of SI base units, as in `kg.m3`.
    #[must_use]
    pub fn for_dimension(dimension: Dimension) -> Unit {
        dimension.usual_unit().and_then(Unit::read).unwrap_or_else(|| {
            let (text, divisor) = dimension.in_base_units();
            let scale = Scale::Ratio(1.0, divisor);
            Unit::joined(text, dimension, scale)
        })
    }

    /// Whether a number in this unit may have a minus: in °C, dB and dBm only.
    #[must_use]
    pub fn may_be_negative(&self) -> bool {
        match self.scale() {
            Scale::Ratio(..) => false,
            Scale::Celsius | Scale::Decibel(_) => true,
        }
    }

    /// The unit of a difference of two values in this unit: a kelvin for °C.
    pub(crate) fn of_difference(&self) -> Unit {
        match self.scale() {
            Scale::Ratio(..) => self.clone(),
            Scale::Celsius => Unit::read("K").unwrap_or_else(|| self.clone()),
            Scale::Decibel(_) => Unit::for_dimension(self.dimension()),
        }
    }

    /// Whether the unit has no number for nought and less.
    pub(crate) fn is_logarithmic(&self) -> bool {
        match self.scale() {
            Scale::Ratio(..) | Scale::Celsius => false,
            Scale::Decibel(_) => true,
        }
    }
}

const CELSIUS_NOUGHT: f64 = 273.15;

/// One decibel as a share of a power: ln 10 / 10.
const DECIBEL: f64 = std::f64::consts::LN_10 / 10.0;

struct Product {
    dimension: Dimension,
    numerator: f64,
    denominator: f64,
}

impl Product {
    const ONE: Product =
        Product { dimension: Dimension::NONE, numerator: 1.0, denominator: 1.0 };

    fn times(self, other: &Product) -> Product {
        Product {
            dimension: self.dimension.times(other.dimension),
            numerator: self.numerator * other.numerator,
            denominator: self.denominator * other.denominator,
        }
    }

    fn over(self, other: &Product) -> Product {
        Product {
            dimension: self.dimension.over(other.dimension),
            numerator: self.numerator * other.denominator,
            denominator: self.denominator * other.numerator,
        }
    }
}

/// `oz-in` and its like, where a mass is written for its weight.
fn weight_by_arm(text: &str) -> Option<Product> {
    let (one, two) = text.split_once('-')?;
    let (one, two) = (atom(one)?, atom(two)?);
    let is = |first, second| one.dimension == first && two.dimension == second;
    let (mass, length) = (Dimension::MASS, Dimension::LENGTH);
    if !is(mass, length) && !is(length, mass) {
        return None;
    }
    // 9.806 65 as a quotient of whole numbers, so that the product is exact.
    let gravity = Product {
        dimension: Dimension::ACCELERATION,
        numerator: 980_665.0,
        denominator: 100_000.0,
    };
    let product = one.times(&two).times(&gravity);
    Some(Product { dimension: Dimension::TORQUE, ..product })
}

fn joined(text: &str) -> Option<Product> {
    let mut product = Product::ONE;
    let mut divides = false;
    let mut rest = text;
    loop {
        let (factor, after) = take_factor(rest)?;
        product = if divides { product.over(&factor) } else { product.times(&factor) };
        let mut after = after.chars();
        divides = match after.next() {
            None => return Some(product),
            Some('/') => true,
            Some('.' | '-') => false,
            Some(_) => return None,
        };
        rest = after.as_str();
    }
}

/// One word with its exponent, and what stands behind it.
fn take_factor(text: &str) -> Option<(Product, &str)> {
    let end = text.find(|mark: char| !is_word(mark)).unwrap_or(text.len());
    let (word, rest) = text.split_at_checked(end)?;
    let raised = rest.strip_prefix('^');
    let digits = raised.unwrap_or(rest);
    let below = raised.and_then(|digits| digits.strip_prefix('-'));
    let (is_below, digits) = (below.is_some(), below.unwrap_or(digits));
    let (exponent, rest) = match take_exponent(digits)? {
        (None, _) if raised.is_some() => return None,
        (exponent, rest) => (exponent.unwrap_or(1), rest),
    };
    let atom = atom(word)?;
    let mut power = Product::ONE;
    for _ in 0..exponent {
        power = if is_below { power.over(&atom) } else { power.times(&atom) };
    }
    Some((power, rest))
}

fn is_word(mark: char) -> bool {
    mark.is_alphabetic() || mark == '%' || mark == '°'
}

/// An exponent of one digit, if there is one, and what stands behind it.
fn take_exponent(text: &str) -> Option<(Option<u32>, &str)> {
    let mut marks = text.chars();
    let exponent = match marks.next() {
        Some('²') => 2,
        Some('³') => 3,
        Some(digit) if digit.is_ascii_digit() => digit.to_digit(10)?,
        Some(_) | None => return Some((None, text)),
    };
    let rest = marks.as_str();
    let goes_on = rest.starts_with(|mark: char| mark.is_ascii_digit() || is_word(mark));
    (exponent != 0 && !goes_on).then_some((Some(exponent), rest))
}

fn atom(word: &str) -> Option<Product> {
    let (_, row) = UnitRow::named(word)?;
    match row.scale {
        Scale::Ratio(numerator, denominator) => {
            Some(Product { dimension: row.dimension, numerator, denominator })
        }
        // Neither has a meaning in a product.
        Scale::Celsius | Scale::Decibel(_) => None,
    }
}

/// What is often written for a unit that has another word here.
const SLIPS: &[(&str, &str)] = &[
    ("gr", "g"),
    ("gm", "g"),
    ("gms", "g"),
    ("kgs", "kg"),
    ("cc", "cm3"),
    ("ml", "cm3"),
    ("c", "°C"),
    ("celsius", "°C"),
    ("kv", "rpm/V"),
    ("kgcm", "kgf.cm"),
    ("ncm", "N.cm"),
    ("nm", "N.m"),
    ("ozin", "oz-in"),
    ("fps", "ft/s"),
    ("kmph", "km/h"),
];

/// The unit that was probably meant by a word that is none.
///
/// First comes what differs by upper and lower case only, then known slips and full
/// names, then what differs by a letter.
#[must_use]
pub fn nearest_unit(text: &str) -> Option<&'static str> {
    if LONGEST < text.len() {
        return None;
    }
    let lower = text.to_lowercase();
    let slip = SLIPS.iter().find(|(slip, _)| *slip == lower).map(|(_, unit)| *unit);
    let spelled = |row: &&UnitRow| {
        let mut words = std::iter::once(&row.word).chain(row.aliases);
        words.any(|word| word.to_lowercase() == lower)
    };
    let singular = lower.strip_suffix('s').unwrap_or(&lower).replace("meter", "metre");
    let called = |row: &&UnitRow| row.says.to_lowercase() == singular;
    let word = |row: &'static UnitRow| row.word;
    slip.or_else(|| UNITS.iter().find(spelled).map(word))
        .or_else(|| UNITS.iter().find(called).map(word))
        .or_else(|| nearly(&singular))
}

/// A word or name that is one slip away; a short word is a slip of nothing.
fn nearly(lower: &str) -> Option<&'static str> {
    let is_near = |word: &str| {
        3 <= word.chars().count()
            && 3 <= lower.chars().count()
            && strsim::damerau_levenshtein(&word.to_lowercase(), lower) <= 1
    };
    let row = UNITS.iter().find(|row| is_near(row.word) || is_near(row.says))?;
    Some(row.word)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unit(text: &str) -> Unit {
        Unit::read(text).unwrap_or_else(|| panic!("{text} is no unit"))
    }

    /// The number comes out exactly, not merely near: these are definitions.
    fn assert_is(value: f64, from: &str, expected: f64, to: &str) {
        let found = unit(to).of_si(unit(from).to_si(value));
        assert!((found - expected).abs() <= 1e-15 * expected.abs(), "{from}: {found}");
        assert_eq!(unit(from).dimension(), unit(to).dimension());
    }

    #[test]
    fn inches_pounds_and_weights_have_their_defined_sizes() {
        // NIST Special Publication 811 (2008), appendix B.8; from memory, and the
        // first three exact by definition.
        assert_is(1.0, "in", 25.4, "mm");
        assert_is(1.0, "ft", 304.8, "mm");
        assert_is(1.0, "lb", 453.592_37, "g");
        assert_is(16.0, "oz", 1.0, "lb");
        assert_is(1.0, "kgf", 9.806_65, "N");
        assert_is(16.0, "ozf", 4.448_221_615_260_5, "N");
        assert_is(1.0, "mph", 0.447_04, "m/s");
        assert_is(1.0, "kn", 1.852, "km/h");
        // Appendix B.8 rounds an ounce-force inch to 7.061 552 E-03 N.m.
        let torque = unit("ozf.in").to_si(1.0);
        assert!((torque - 7.061_552e-3).abs() < 0.5e-9, "{torque}");
    }

    #[test]
    fn a_hyphen_between_a_mass_and_a_length_makes_a_torque() {
        assert_is(1.0, "oz-in", 1.0, "ozf.in");
        assert_is(1.0, "in-oz", 1.0, "ozf.in");
        assert_is(1.0, "kg-cm", 1.0, "kgf.cm");
        assert_eq!(unit("kg.cm").dimension(), Dimension::MOMENT);
        assert_eq!(unit("oz.in").dimension(), Dimension::MOMENT);
    }

    #[test]
    fn units_are_joined_and_raised() {
        assert_is(1.0, "m/s^2", 1.0, "m/s2");
        assert_is(1.0, "kg/m^3", 0.001, "g/cm3");
        assert_is(30.0, "g/dm2", 3.0, "kg/m2");
        assert_is(3.6, "km/h", 1.0, "m/s");
        assert_is(1.0, "N-m", 100.0, "N.cm");
        assert_is(1.0, "s^-1", 1.0, "Hz");
        assert_is(1.0, "dm²", 100.0, "cm2");
        let named = [
            ("rpm/V", Dimension::SPEED_CONSTANT),
            ("mohm/cell", Dimension::RESISTANCE_PER_CELL),
            ("V/cell", Dimension::VOLTAGE_PER_CELL),
            ("oz/ft2", Dimension::AREA_LOADING),
            ("oz/ft3", Dimension::VOLUME_LOADING),
            ("lb.in", Dimension::MOMENT),
            ("kgf.cm", Dimension::TORQUE),
            ("W.h", Dimension::ENERGY),
            ("V.A", Dimension::POWER),
        ];
        for (text, dimension) in named {
            assert_eq!(unit(text).dimension(), dimension, "{text}");
        }
    }

    #[test]
    fn case_tells_units_apart() {
        assert_eq!(unit("s").dimension(), Dimension::TIME);
        assert_eq!(unit("S").dimension(), Dimension::CELLS);
        assert_eq!(unit("AWG").dimension(), Dimension::GAUGE);
        assert_eq!(unit("C").dimension(), Dimension::MULTIPLE);
        for text in ["mHz", "c", "MA", "gr", "KV", "n", "Mm", "v"] {
            assert_eq!(Unit::read(text), None, "{text}");
        }
    }

    #[test]
    fn what_is_no_unit_is_not_read() {
        for text in [
            "", ".", "/", "m/", "/s", "m//s", "m2s", "m0", "m22", "2m", "mm mm", "°C/W",
            "dBm/Hz", "m^", "m^-", "aft", "x", "m-", "m.-1", "é",
        ] {
            assert_eq!(Unit::read(text), None, "{text}");
        }
        assert_eq!(Unit::read(&"m.".repeat(5000)), None);
    }

    #[test]
    fn celsius_and_decibels_are_not_proportional() {
        assert_is(20.0, "°C", 293.15, "K");
        assert_is(20.0, "dBm", 100.0, "mW");
        assert_is(14.0, "dBm", 14.0, "dBm");
        assert_is(20.0, "dB", 10_000.0, "%");
        assert!(unit("°C").may_be_negative() && unit("dBm").may_be_negative());
        assert!(!unit("mm").may_be_negative());
    }

    #[test]
    fn a_made_up_unit_reads_back_as_itself() {
        let bases = ["kg", "m", "s", "A", "K", "rad", "cell", "awg", "C"];
        let mut seed: u64 = 5;
        for _ in 0..500 {
            let mut dimension = Dimension::NONE;
            for base in bases {
                seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
                let base = unit(base).dimension();
                for step in 0..seed >> 61 {
                    dimension = match step % 3 {
                        0 => dimension.times(base),
                        _ => dimension.over(base),
                    };
                }
            }
            let made = Unit::for_dimension(dimension);
            let read = unit(made.text());
            assert_eq!(read.dimension(), dimension, "{}", made.text());
            let ratio = read.to_si(1.0) / made.to_si(1.0);
            assert!((ratio - 1.0).abs() < 1e-12, "{}", made.text());
        }
    }

    #[test]
    fn a_word_that_is_no_unit_gets_the_nearest_one() {
        let near = [
            ("gr", Some("g")),
            ("GRAMS", Some("g")),
            ("mhz", Some("MHz")),
            ("millimeters", Some("mm")),
            ("milimetre", Some("mm")),
            ("kv", Some("rpm/V")),
            ("V", Some("V")),
            ("aft", None),
            ("qqqq", None),
        ];
        for (text, word) in near {
            assert_eq!(nearest_unit(text), word, "{text}");
        }
        for (slip, word) in SLIPS {
            assert!(Unit::read(word).is_some() && Unit::read(slip).is_none(), "{slip}");
        }
    }
}
