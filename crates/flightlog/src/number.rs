//! Numbers as instruments print them, with a point or a comma.

/// Longer than any number that an instrument prints.
const LONGEST: usize = 48;

/// Powers of ten that a double holds exactly.
const TENS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
    1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// Reads a number whose decimals stand behind `mark`, rounded to the nearest double.
///
/// Up to 15 digits, the quotient of two doubles that are both exact is the nearest
/// double (Clinger 1990, "How to read floating point numbers accurately", section 3;
/// from memory). All others go to the standard library.
pub(crate) fn number(field: &[u8], mark: u8) -> Option<f64> {
    let (is_negative, digits) = match field {
        [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] => (false, rest),
        rest => (false, rest),
    };
    let mut whole: u64 = 0;
    let mut rest = digits;
    let mut add = |rest: &mut &[u8]| {
        while let [byte, after @ ..] = *rest {
            let digit = byte.wrapping_sub(b'0');
            if 9 < digit {
                break;
            }
            whole = whole.wrapping_mul(10).wrapping_add(u64::from(digit));
            *rest = after;
        }
    };
    add(&mut rest);
    let mut count = digits.len() - rest.len();
    let mut decimals = 0;
    if let [first, after @ ..] = rest
        && *first == mark
    {
        rest = after;
        add(&mut rest);
        decimals = after.len() - rest.len();
        count += decimals;
    }
    if !rest.is_empty() {
        return slowly(field, mark);
    }
    if count == 0 {
        return None;
    }
    let Some(tens) = TENS.get(decimals).filter(|_| count <= 15) else {
        return slowly(field, mark);
    };
    #[expect(clippy::cast_precision_loss, reason = "15 digits are exact")]
    let value = whole as f64 / tens;
    Some(if is_negative { -value } else { value })
}

/// What has an exponent or many digits.
fn slowly(field: &[u8], mark: u8) -> Option<f64> {
    let mut text = [0; LONGEST];
    let text = text.get_mut(..field.len())?;
    for (to, from) in text.iter_mut().zip(field) {
        *to = match from {
            byte if *byte == mark => b'.',
            b'0'..=b'9' | b'+' | b'-' | b'e' | b'E' => *from,
            _ => return None,
        };
    }
    let value: f64 = std::str::from_utf8(text).ok()?.parse().ok()?;
    value.is_finite().then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_the_nearest_doubles() {
        for text in [
            "0",
            "-0.5",
            "+3",
            "14.83",
            "5.",
            ".5",
            "123456789012345",
            "0.000001",
            "1e3",
            "-2.5E-3",
            "12345678901234567890.125",
            "1700000000123456",
            "0.12345678901234567",
            "99999999.9999999",
        ] {
            let nearest: f64 = text.parse().unwrap();
            assert_eq!(number(text.as_bytes(), b'.'), Some(nearest), "{text}");
            let comma = text.replace('.', ",");
            assert_eq!(number(comma.as_bytes(), b','), Some(nearest), "{comma}");
        }
    }

    #[test]
    fn what_is_no_number_is_none() {
        for text in [
            "", "-", ".", "+.", "1.2.3", "1,2", "nan", "inf", "0x10", "5 A", "1e999",
            "--1", "1e", "12:30",
        ] {
            assert_eq!(number(text.as_bytes(), b'.'), None, "{text}");
        }
        assert_eq!(number("1".repeat(100).as_bytes(), b'.'), None);
    }
}
