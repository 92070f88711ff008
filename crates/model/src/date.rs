//! Days of the calendar, after ISO 8601.

/// A day, and an hour where it was said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    /// The year.
    pub year: u16,
    /// The month, from 1.
    pub month: u8,
    /// The day, from 1.
    pub day: u8,
    /// Hour and minute.
    pub time: Option<(u8, u8)>,
}

/// That a text is no day that exists.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoDate;

impl Date {
    /// The day that lies so many days after 1970-01-01, by the calendar in use since 1582.
    ///
    /// Source: the rule of leap years of ISO 8601, counted in eras of 400 years.
    pub fn after_1970(days: u32) -> Date {
        // Years are counted from March, so that a leap day is the last of its year.
        let days = days + DAYS_TO_1970;
        let (era, day_of_era) = (days / DAYS_OF_ERA, days % DAYS_OF_ERA);
        let leaps = day_of_era / 1460 + day_of_era / 146_096;
        let year_of_era = (day_of_era + day_of_era / 36_524 - leaps) / 365;
        let before = 365 * year_of_era + year_of_era / 4 - year_of_era / 100;
        let day_of_year = day_of_era - before;
        let month_from_march = (5 * day_of_year + 2) / 153;
        let day = day_of_year - (153 * month_from_march + 2) / 5 + 1;
        let month = if month_from_march < 10 {
            month_from_march + 3
        } else {
            month_from_march - 9
        };
        let year = era * 400 + year_of_era + u32::from(month <= 2);
        Date {
            year: u16::try_from(year).unwrap_or(u16::MAX),
            month: u8::try_from(month).unwrap_or(1),
            day: u8::try_from(day).unwrap_or(1),
            time: None,
        }
    }

    /// How many days lie between this day and an earlier one; negative if it is later.
    pub fn days_after(self, earlier: Date) -> i64 {
        self.count() - earlier.count()
    }

    /// How many minutes lie between this moment and an earlier one; negative if it is
    /// later, and `None` where one of them says no hour.
    pub fn minutes_after(self, earlier: Date) -> Option<i64> {
        let minutes = |(hour, minute): (u8, u8)| i64::from(hour) * 60 + i64::from(minute);
        let (own, other) = (minutes(self.time?), minutes(earlier.time?));
        Some(self.days_after(earlier) * 24 * 60 + own - other)
    }

    /// The same day without its hour.
    #[must_use]
    pub fn day_only(self) -> Date {
        Date { time: None, ..self }
    }

    /// Days since the first of March of the year nought.
    fn count(self) -> i64 {
        let (year, month) = (i64::from(self.year), i64::from(self.month));
        let (year, month) =
            if month <= 2 { (year - 1, month + 9) } else { (year, month - 3) };
        let leaps = year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400);
        365 * year + leaps + (153 * month + 2) / 5 + i64::from(self.day) - 1
    }
}

/// The days of 400 years, after which the calendar repeats.
const DAYS_OF_ERA: u32 = 146_097;
/// The days from the first of March of the year nought to 1970-01-01.
const DAYS_TO_1970: u32 = 719_468;

impl std::fmt::Display for NoDate {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("expected a day that exists, such as 2026-03-14")
    }
}

impl std::str::FromStr for Date {
    type Err = NoDate;

    fn from_str(text: &str) -> Result<Date, NoDate> {
        date(text).ok_or(NoDate)
    }
}

impl std::fmt::Display for Date {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)?;
        match self.time {
            Some((hour, minute)) => write!(f, "T{hour:02}:{minute:02}"),
            None => Ok(()),
        }
    }
}

/// Reads a day that exists, after ISO 8601.
fn date(text: &str) -> Option<Date> {
    let (day_text, time_text) = match text.split_once('T') {
        Some((day, time)) => (day, Some(time)),
        None => (text, None),
    };
    let mut parts = day_text.split('-');
    let year: u16 = parts.next()?.parse().ok()?;
    let month: u8 = parts.next()?.parse().ok()?;
    let day: u8 = parts.next()?.parse().ok()?;
    let leap =
        year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let days = match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => return None,
    };
    let time = match time_text {
        None => None,
        Some(text) => {
            let (hour, minute) = text.split_once(':')?;
            let time: (u8, u8) = (hour.parse().ok()?, minute.parse().ok()?);
            Some(time).filter(|(hour, minute)| *hour < 24 && *minute < 60)
        }
    };
    let has_time = time_text.is_some() == time.is_some();
    (has_time && (1..=days).contains(&day)).then_some(Date { year, month, day, time })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_goes_over_midnight_and_is_not_known_without_both_hours() {
        let after = |a: &str, b: &str| date(a).unwrap().minutes_after(date(b).unwrap());
        assert_eq!(after("2026-11-02T15:10", "2026-11-02T14:10"), Some(60));
        assert_eq!(after("2026-11-03T00:20", "2026-11-02T23:50"), Some(30));
        assert_eq!(after("2026-11-02T14:10", "2026-11-02T14:40"), Some(-30));
        assert_eq!(after("2026-11-02T14:10", "2026-11-02"), None);
    }

    #[test]
    fn only_days_of_the_calendar_are_dates() {
        assert!(date("2028-02-29").is_some());
        assert!(date("2026-02-29").is_none());
        assert!(date("2100-02-29").is_none());
        assert!(date("2026-13-01").is_none());
        assert!(date("2026-03-14T24:00").is_none());
        assert_eq!(date("2026-03-14T09:30").unwrap().to_string(), "2026-03-14T09:30");
    }

    #[test]
    fn days_are_counted_through_leap_years() {
        for (days, text) in [
            (0, "1970-01-01"),
            (59, "1970-03-01"),
            (11_016, "2000-02-29"),
            (20_782, "2026-11-25"),
        ] {
            let day = Date::after_1970(days);
            assert_eq!(day.to_string(), text);
            assert_eq!(day.days_after(Date::after_1970(0)), i64::from(days));
        }
        let (march, february) =
            (date("2026-03-01").unwrap(), date("2026-02-28").unwrap());
        assert_eq!(march.days_after(february), 1);
        assert_eq!(february.days_after(march), -1);
    }
}
