//! The forms in which a log tells the time.

use trimsheet_quantity::Unit;

use crate::number::number;

/// How a log tells the time.
#[derive(Clone, Debug, PartialEq)]
pub enum TimeForm {
    /// A number that counts up, in this unit.
    Counter(Unit),
    /// A time of day, `14:05:09.250`; midnight is stepped over.
    Clock,
    /// A day and a time of day, `2026-11-02T14:05:09.250Z`.
    Date,
}

/// The sort of a form, before its unit is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum TimeSort {
    Counter,
    Clock,
    Date,
}

pub(crate) const DAY: f64 = 86_400.0;

impl TimeSort {
    /// What a field looks like, if it is a time at all.
    pub(crate) fn of(field: &[u8], mark: u8) -> Option<TimeSort> {
        if number(field, mark).is_some() {
            return Some(TimeSort::Counter);
        }
        if clock(field).is_some() {
            return Some(TimeSort::Clock);
        }
        date(field).map(|_| TimeSort::Date)
    }
}

/// Seconds of the day of `HH:MM:SS`, with decimals behind a point or a comma.
pub(crate) fn clock(field: &[u8]) -> Option<f64> {
    let mut parts = field.splitn(3, |byte| *byte == b':');
    let hours = digits(parts.next()?, 1..=2)?;
    let minutes = digits(parts.next()?, 2..=2)?;
    let seconds = parts.next()?;
    if !seconds.first_chunk::<2>()?.iter().all(u8::is_ascii_digit) {
        return None;
    }
    if !matches!(seconds.get(2), None | Some(b'.' | b',')) {
        return None;
    }
    let seconds = number(seconds, b'.').or_else(|| number(seconds, b','))?;
    // A leap second is a 61st.
    let is_time = hours < 24 && minutes < 60 && seconds < 61.0;
    is_time.then(|| f64::from(hours * 3600 + minutes * 60) + seconds)
}

/// The day, counted from 1970-01-01, and the seconds from its beginning.
///
/// ISO 8601, extended form, with `T` or a blank between; a time zone is taken off, so
/// the seconds may lie before the day or after it.
pub(crate) fn date(field: &[u8]) -> Option<(f64, f64)> {
    let (day, time) = field.split_at_checked(10)?;
    let [b'T' | b't' | b' ', time @ ..] = time else { return None };
    let mut parts = day.split(|byte| *byte == b'-');
    let year = digits(parts.next()?, 4..=4)?;
    let month = digits(parts.next()?, 2..=2)?;
    let of_month = digits(parts.next()?, 2..=2)?;
    if parts.next().is_some() {
        return None;
    }
    let (time, offset) = zone(time)?;
    Some((f64::from(days(year, month, of_month)?), clock(time)? - offset))
}

/// A time of day without its zone, and the seconds by which the zone is ahead.
fn zone(time: &[u8]) -> Option<(&[u8], f64)> {
    if let [time @ .., b'Z' | b'z'] = time {
        return Some((time, 0.0));
    }
    let Some(place) = time.iter().position(|byte| matches!(byte, b'+' | b'-')) else {
        return Some((time, 0.0));
    };
    let (time, zone) = time.split_at_checked(place)?;
    let (sign, zone) = zone.split_first()?;
    let (hours, minutes) = match zone {
        [hours @ .., b':', a, b] => (hours, [*a, *b]),
        [_, _] => (zone, *b"00"),
        [hours @ .., a, b] => (hours, [*a, *b]),
        _ => return None,
    };
    let (hours, minutes) = (digits(hours, 2..=2)?, digits(&minutes, 2..=2)?);
    let seconds = f64::from(hours * 3600 + minutes * 60);
    Some((time, if *sign == b'-' { -seconds } else { seconds }))
}

fn digits(text: &[u8], lengths: std::ops::RangeInclusive<usize>) -> Option<u32> {
    let is_number = lengths.contains(&text.len()) && text.iter().all(u8::is_ascii_digit);
    let join = |sum: u32, byte: &u8| sum * 10 + u32::from(byte - b'0');
    is_number.then(|| text.iter().fold(0, join))
}

/// Days from 1970-01-01 in the Gregorian calendar, if there is such a day.
///
/// The year is counted from March, so that the leap day is its last one.
fn days(year: u32, month: u32, of_month: u32) -> Option<i32> {
    let is_leap =
        year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let last = match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if is_leap => 29,
        2 => 28,
        _ => return None,
    };
    if !(1..=last).contains(&of_month) || year == 0 {
        return None;
    }
    let (year, month) = match month {
        1 | 2 => (year - 1, month + 9),
        _ => (year, month - 3),
    };
    let before = year * 365 + year / 4 - year / 100 + year / 400;
    let days = before + (153 * month + 2) / 5 + of_month - 1;
    Some(i32::try_from(days).ok()? - 719_468)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_those_of_the_calendar() {
        // 2000-03-01 is day 11 017 after 1970-01-01 (30 years of 365 days, 7 leap days
        // to 1996, and 60 days of the leap year 2000).
        assert_eq!(days(1970, 1, 1), Some(0));
        assert_eq!(days(2000, 3, 1), Some(11_017));
        assert_eq!(days(2024, 2, 29), Some(days(2024, 3, 1).unwrap() - 1));
        for (year, month, day) in
            [(2023, 2, 29), (1900, 2, 29), (2024, 4, 31), (2024, 13, 1), (2024, 1, 0)]
        {
            assert_eq!(days(year, month, day), None);
        }
    }

    #[test]
    fn times_of_day_are_read_with_their_decimals() {
        assert_eq!(clock(b"00:00:00"), Some(0.0));
        assert_eq!(clock(b"23:59:59.5"), Some(86_399.5));
        assert_eq!(clock(b"9:05:01,25"), Some(32_701.25));
        for text in ["24:00:00", "12:60:00", "12:00", "12:00:1", "1:2:3", "12:00:00x"] {
            assert_eq!(clock(text.as_bytes()), None, "{text}");
        }
    }

    #[test]
    fn dates_are_read_with_their_zone() {
        let utc = date(b"2026-11-02T14:05:09Z").unwrap();
        assert_eq!(date(b"2026-11-02 14:05:09"), Some(utc));
        assert_eq!(date(b"2026-11-02T16:35:09+02:30"), Some(utc));
        assert_eq!(date(b"2026-11-02T12:05:09-0200"), Some(utc));
        assert_eq!(date(b"2026-11-02T16:05:09+02"), Some(utc));
        for text in ["2026-11-31T00:00:00", "2026-11-02", "2026-11-02T14:05:09+2"] {
            assert_eq!(date(text.as_bytes()), None, "{text}");
        }
    }
}
