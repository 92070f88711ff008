//! Numbers as they are written: reading what a builder wrote, and how many digits to
//! print.

/// Reads `12`, `.5`, `0.5`, `1/2`, `3 1/2`, and each of them after a minus.
///
/// Anything else is `None`: no exponents, no thousands marks, no sign of plus, no
/// division by nought, and nothing too large to be finite.
#[must_use]
pub fn read_number(text: &str) -> Option<f64> {
    let (sign, digits) = match text.strip_prefix('-') {
        Some(digits) => (-1.0, digits),
        None => (1.0, text),
    };
    let mut words = digits.split_whitespace();
    let value = match (words.next()?, words.next(), words.next()) {
        (fraction, None, None) if fraction.contains('/') => read_fraction(fraction)?,
        (decimal, None, None) => read_decimal(decimal)?,
        (whole, Some(fraction), None) => read_whole(whole)? + read_fraction(fraction)?,
        (_, _, Some(_)) => return None,
    };
    let starts_with_space = digits.starts_with(char::is_whitespace);
    (value.is_finite() && !starts_with_space).then_some(sign * value)
}

fn read_fraction(text: &str) -> Option<f64> {
    let (above, below) = text.split_once('/')?;
    let (above, below) = (read_whole(above)?, read_whole(below)?);
    (0.0 < below).then(|| above / below)
}

fn read_decimal(text: &str) -> Option<f64> {
    let (whole, part) = match text.split_once('.') {
        Some((whole, part)) => (whole, part),
        None => (text, "0"),
    };
    let is_number = has_only_digits(whole) && has_only_digits(part) && !part.is_empty();
    let is_number = is_number && !text.is_empty();
    is_number.then(|| text.parse().ok()).flatten()
}

fn read_whole(text: &str) -> Option<f64> {
    let is_whole = has_only_digits(text) && !text.is_empty();
    is_whole.then(|| text.parse().ok()).flatten()
}

fn has_only_digits(text: &str) -> bool {
    text.bytes().all(|byte| byte.is_ascii_digit())
}

/// A value with no more digits than its spread deserves.
///
/// With a spread, the value ends at the spread's last digit (see [`spread_text`]), but
/// no digit before the point is lost, and one digit other than nought is kept. Without,
/// it has at most four digits; whole numbers lose none. Noughts after the point that
/// say nothing are dropped, and no more than twelve digits are printed.
pub(crate) fn value_text(value: f64, spread: Option<f64>) -> String {
    if is_nought(value) {
        return "0".to_owned();
    }
    let (_, exponent) = leading_digit(value, 4);
    let wanted = match spread {
        Some(spread) if !is_nought(spread) => {
            decimals_of_spread(spread).max(-leading_digit(value, 1).1)
        }
        Some(_) => 11 - exponent,
        None => 3 - exponent,
    };
    let wanted = if exponent < 0 { wanted } else { wanted.min(11 - exponent) };
    with_decimals(value, wanted)
}

/// A spread with one digit, or two if the first is a one.
///
/// Before the point two digits are kept, so that `± 25 g` stays what was written.
pub(crate) fn spread_text(spread: f64) -> String {
    if is_nought(spread) {
        return "0".to_owned();
    }
    let (_, exponent) = leading_digit(spread, 2);
    if exponent < 2 {
        return with_decimals(spread, decimals_of_spread(spread));
    }
    let rounded = format!("{spread:.1e}").parse().unwrap_or(spread);
    with_decimals(rounded, 0)
}

/// Below this a number is what rounding left over of a nought.
fn is_nought(value: f64) -> bool {
    value.abs() < 1e-12
}

/// How many decimals show one digit of the spread, or two if the first is a one.
fn decimals_of_spread(spread: f64) -> i32 {
    let (first, exponent) = leading_digit(spread, 2);
    if first == '1' {
        return (1 - exponent).max(0);
    }
    // 0.97 with one digit is 1, which would leave it with none of its own.
    (-leading_digit(spread, 1).1).max(0)
}

/// The first digit and the power of ten of a number rounded to so many digits.
fn leading_digit(value: f64, digits: usize) -> (char, i32) {
    let text = format!("{:.*e}", digits.saturating_sub(1), value.abs());
    let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
    (mantissa.chars().next().unwrap_or('0'), exponent.parse().unwrap_or(0))
}

fn with_decimals(value: f64, decimals: i32) -> String {
    // Longer than twelve digits, a number is read more easily with its power of ten.
    if 1e12 <= value.abs() {
        return format!("{value:.3e}");
    }
    let decimals = usize::try_from(decimals.clamp(0, 15)).unwrap_or(0);
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_builders_write_them() {
        let read = [
            ("12", 12.0),
            (".5", 0.5),
            ("0.5", 0.5),
            ("1/2", 0.5),
            ("3 1/2", 3.5),
            ("3\u{a0}1/2", 3.5),
            ("-3", -3.0),
            ("-3 1/2", -3.5),
            ("007", 7.0),
        ];
        for (text, value) in read {
            assert_eq!(read_number(text), Some(value), "{text}");
        }
    }

    #[test]
    fn what_is_no_plain_number_is_not_read() {
        let refused = [
            "", "-", ".", "5.", "1e3", "inf", "NaN", "+3", "1,000", "1/0", "1/", "/2",
            "3 4", "1 2 1/2", "1.5/2", "--3", "- 3", "1.2.3", "0x10", "½",
        ];
        for text in refused {
            assert_eq!(read_number(text), None, "{text}");
        }
        assert_eq!(read_number(&"9".repeat(400)), None);
        assert_eq!(read_number(&format!("{0}/{0}", "9".repeat(400))), None);
    }

    #[test]
    fn a_value_has_no_more_digits_than_its_spread_deserves() {
        assert_eq!(value_text(161.234, Some(3.0)), "161");
        assert_eq!(value_text(161.234, Some(0.3)), "161.2");
        assert_eq!(value_text(161.234, Some(0.14)), "161.23");
        assert_eq!(value_text(161.234, Some(0.97)), "161");
        assert_eq!(value_text(1334.4, Some(30.0)), "1334");
        assert_eq!(value_text(0.3, Some(5.0)), "0.3");
        assert_eq!(value_text(161.0, Some(0.3)), "161");
        assert_eq!(value_text(5.02, Some(0.0)), "5.02");
    }

    #[test]
    fn a_spread_has_one_digit_or_two_if_it_begins_with_one() {
        let written = [
            (3.4, "3"),
            (0.26, "0.3"),
            (0.14, "0.14"),
            (0.96, "1"),
            (1.44, "1.4"),
            (12.3, "12"),
            (25.0, "25"),
            (135.7, "140"),
            (0.0, "0"),
        ];
        for (spread, text) in written {
            assert_eq!(spread_text(spread), text);
        }
    }

    #[test]
    fn a_value_without_a_spread_has_four_digits_and_whole_numbers_lose_none() {
        let written = [
            (11.4, "11.4"),
            (0.123_456, "0.1235"),
            (12.345_6, "12.35"),
            (123_456.7, "123457"),
            (1334.0, "1334"),
            (9.999_96, "10"),
            (-30.0, "-30"),
            (-1e-17, "0"),
            (0.1 + 0.2, "0.3"),
            (4.2e-8, "0.000000042"),
            (2.5e200, "2.500e200"),
        ];
        for (value, text) in written {
            assert_eq!(value_text(value, None), text);
        }
    }
}
