//! Logs in every form, with every sort of bad row, and figures that are known.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "helpers of tests stop where a log is not read"
)]

use proptest::prelude::*;
use trimsheet_flightlog::{
    BadRow, Channel, Column, Decimal, Delimiter, FaultSort, Mapping, Measure, NoLog,
    Reading, SORTS, SteadyBy, TimeForm, read,
};
use trimsheet_quantity::{Quantity, Unit};

fn column(header: &str, unit: &str) -> Column {
    Column::plain(header, Unit::read(unit))
}

fn mapping() -> Mapping {
    timed(column("t", "s"))
}

fn timed(time: Column) -> Mapping {
    Mapping::new(time)
        .with(Channel::Volts, column("u", "V"))
        .with(Channel::Amps, column("i", "A"))
}

fn reading(log: &str) -> Reading {
    read(log.as_bytes(), &mapping()).unwrap_or_else(|error| panic!("{error}"))
}

fn no_log(log: &[u8]) -> NoLog {
    read(log, &mapping()).unwrap_err()
}

fn near(found: Option<&Quantity>, expected: f64, within: f64) {
    let found = found.unwrap().value();
    assert!((found - expected).abs() <= within, "{found}, not {expected}");
}

/// The one sort of bad row that a log has, with the lines of its examples.
fn only(reading: &Reading) -> (BadRow, Vec<u64>) {
    let there: Vec<BadRow> =
        SORTS.into_iter().filter(|sort| 0 < reading.rows.count(*sort)).collect();
    let [sort] = there[..] else { panic!("{there:?}") };
    let examples = reading.rows.examples(sort);
    assert_eq!(reading.rows.all(), reading.rows.good + reading.rows.count(sort));
    (sort, examples.iter().map(|row| row.line).collect())
}

/// Rows of 0.1 s with these lines put in behind the row of 1 s, which is line 12.
fn log_with(odd: &str) -> String {
    let mut log = "t,u,i\n".to_owned();
    for tenth in 0..=40 {
        log += &format!("{}.{},15.0,5.0\n", tenth / 10, tenth % 10);
        if tenth == 10 {
            log += odd;
        }
    }
    log
}

#[test]
fn each_sort_of_bad_row_is_counted_and_named_and_costs_nothing_else() {
    let long = "9".repeat(70_000);
    let cases = [
        ("1.05,15.0\n", BadRow::Cut),
        ("1.05,15.0,\"5.0\n", BadRow::Cut),
        ("1.05,15.0,5.0,7\n", BadRow::TooManyFields),
        ("1,05,15,0,5,0\n", BadRow::TooManyFields),
        ("1.05,15.0,\n", BadRow::EmptyField),
        (",15.0,5.0\n", BadRow::EmptyField),
        ("1.05,\"15,0\",5.0\n", BadRow::OtherDecimals),
        ("1.05,15.0,nan\n", BadRow::NoNumber),
        ("soon,15.0,5.0\n", BadRow::NoNumber),
        ("t,u,i\n", BadRow::NoNumber),
        ("1.05,15.0,1e12\n", BadRow::TooLarge),
        ("0.95,15.0,5.0\n", BadRow::OutOfOrder),
        ("1.0,15.0,5.0\n", BadRow::Repeated),
        ("1.00,15.0,5.0\n", BadRow::Repeated),
        ("1.0,15.0,5.1\n", BadRow::SameTime),
        ("99.0,15.0,5.0\n", BadRow::OutOfOrder),
        (&format!("1.05,15.0,{long}\n"), BadRow::TooLong),
        ("1.05,15.0,5.0x\n", BadRow::NoNumber),
    ];
    for (odd, sort) in cases {
        let reading = reading(&log_with(odd));
        assert_eq!(only(&reading), (sort, vec![13]), "{:?}", odd.get(..20));
        assert_eq!(reading.rows.good, 41);
        near(reading.flown.charge.as_ref(), 20.0 / 3600.0, 1e-12);
        assert_eq!(reading.gaps.count, 0);
    }
}

#[test]
fn a_field_that_is_not_utf_8_is_a_row_of_its_own_sort() {
    let mut log = log_with("1.05,15.0,5.0").into_bytes();
    let place = log.windows(8).position(|part| part == b"1.05,15.").unwrap();
    log[place + 5] = 0xB5;
    let reading = read(log.as_slice(), &mapping()).unwrap();
    // The odd row has no line end: it and the next one are one row with more fields.
    assert_eq!(only(&reading).0, BadRow::TooManyFields);
    let log = log_with("1.05,15.0,5.0\n").replace("1.05,15.0", "1.05,1#.0");
    let log: Vec<u8> = log.bytes().map(|b| if b == b'#' { 0xB5 } else { b }).collect();
    let reading = read(log.as_slice(), &mapping()).unwrap();
    assert_eq!(only(&reading), (BadRow::NotText, vec![13]));
}

#[test]
fn examples_say_column_and_field_and_are_few() {
    let reading = reading(&log_with(&"1.05,15.0,none\n".repeat(9)));
    assert_eq!(reading.rows.count(BadRow::NoNumber), 9);
    let examples = reading.rows.examples(BadRow::NoNumber);
    assert_eq!(examples.len(), 5);
    assert_eq!(examples[0].column.as_deref(), Some("i"));
    assert_eq!(examples[0].field.as_deref(), Some("none"));
}

#[test]
fn a_gap_is_counted_and_nothing_is_summed_over_it() {
    let log = log_with("").replace("\n2.0,", "\n52.0,");
    // One row of a leap is out of order; a clock that goes on from there is a gap.
    assert_eq!(only(&reading(&log)), (BadRow::OutOfOrder, vec![22]));
    let (head, tail) = log_with("")
        .split_once("2.0,")
        .map(|(a, b)| (a.to_owned(), b.to_owned()))
        .unwrap();
    let tail =
        tail.replace("\n2.", "\n52.").replace("\n3.", "\n53.").replace("\n4.", "\n54.");
    let reading = reading(&format!("{head}52.0,{tail}"));
    assert_eq!((reading.rows.bad(), reading.gaps.count), (0, 1));
    assert_eq!(reading.gaps.first[0].line, 22);
    assert!((reading.gaps.seconds - 50.1).abs() < 1e-9, "{:?}", reading.gaps);
    near(reading.flown.charge.as_ref(), 5.0 * 3.9 / 3600.0, 1e-12);
    near(Some(&reading.flown.duration), 3.9, 1e-9);
}

#[test]
fn what_follows_a_new_start_of_the_clock_is_left_out() {
    let again: String =
        log_with("").lines().skip(1).map(|line| format!("{line}\n")).collect();
    let reading = reading(&(log_with("") + &again));
    assert_eq!(reading.rows.good, 41);
    assert_eq!(reading.rows.count(BadRow::OutOfOrder), 10);
    assert_eq!(reading.rows.count(BadRow::AfterRestart), 31);
    assert_eq!(reading.rows.all(), 82);
}

#[test]
fn delimiters_and_decimals_are_found_out() {
    let plain = reading("t,u,i\n0,15.5,5\n1,15.25,5\n");
    let forms = [
        ("t;u;i\n0;15,5;5\n1;15,25;5\n", Delimiter::Semicolon, Decimal::Comma),
        ("t;u;i\n0;15.5;5\n1;15.25;5\n", Delimiter::Semicolon, Decimal::Point),
        ("t\tu\ti\n0\t15,5\t5\n1\t15,25\t5\n", Delimiter::Tab, Decimal::Comma),
        (
            "t, u , i\r\n 0, 15.5, 5\r\n\r\n 1 ,15.25,5\r\n",
            Delimiter::Comma,
            Decimal::Point,
        ),
        ("\u{feff}t,u,i\n0,15.5,5\n1,15.25,5", Delimiter::Comma, Decimal::Point),
        (
            "\n\"t\",\"u\",\"i\",\n0,\"15.5\",5,\n\"1\",15.25,5,\n",
            Delimiter::Comma,
            Decimal::Point,
        ),
        (
            "t,u,i\n\"0\",\"15,5\",\"5\"\n\"1\",\"15,25\",\"5\"\n",
            Delimiter::Comma,
            Decimal::Comma,
        ),
        (
            "t,\"what, else\",u,i\n0,\"a \"\"b\"\", c\",15.5,5\n1,,15.25,5\n",
            Delimiter::Comma,
            Decimal::Point,
        ),
    ];
    for (log, delimiter, decimal) in forms {
        let found = reading(log);
        assert_eq!(
            (found.form.delimiter, found.form.decimal),
            (delimiter, decimal),
            "{log}"
        );
        assert_eq!((found.rows.good, found.rows.bad()), (2, 0), "{log}");
        assert_eq!(found.flown.charge, plain.flown.charge, "{log}");
        let least =
            |reading: &Reading| reading.flown.lowest_volts.clone().unwrap().volts.value;
        assert_eq!(least(&found), least(&plain), "{log}");
    }
    assert_eq!(reading("t, u , i\r\n 0, 15.5, 5\r\n\r\n 1 ,15.25,5\r\n").rows.blank, 1);
}

#[test]
fn a_row_of_the_other_locale_is_named() {
    let reading = reading("t;u;i\n0;15,5;5,0\n1;15.4;5,0\n2;15,3;5,0\n");
    assert_eq!(only(&reading), (BadRow::OtherDecimals, vec![3]));
}

#[test]
fn times_of_the_clock_step_over_midnight() {
    let clock =
        "t,u,i\n23:59:58.5,15,6\n23:59:59.5,15,6\n0:00:00.5,15,6\n00:00:01.5,15,6\n";
    let found = reading(clock);
    assert_eq!(found.form.time, TimeForm::Clock);
    near(Some(&found.flown.duration), 3.0, 1e-9);
    let date = "t,u,i\n2026-12-31T23:59:59Z,15,6\n2027-01-01T00:00:01Z,15,6\n2027-01-01 01:00:02+01:00,15,6\n";
    let found = reading(date);
    assert_eq!(found.form.time, TimeForm::Date);
    near(Some(&found.flown.duration), 3.0, 1e-9);
}

#[test]
fn counters_are_in_the_unit_of_the_mapping() {
    for (unit, scale) in [("us", "000000"), ("ms", "000"), ("s", "")] {
        let log = format!("t,u,i\n1700000000{scale},15,6\n1700000003{scale},15,6\n");
        let mapping = timed(column("t", unit));
        let found = read(log.as_bytes(), &mapping).unwrap();
        assert_eq!(found.form.time, TimeForm::Counter(Unit::read(unit).unwrap()));
        near(Some(&found.flown.duration), 3.0, 1e-9);
    }
}

#[test]
fn a_column_may_count_in_many_of_its_unit() {
    let tens = Column { each: 10.0, ..column("i", "mA") };
    let mapping = mapping().with(Channel::Amps, tens);
    let found = read(b"t,u,i\n0,15,500\n3600,15,500\n".as_slice(), &mapping).unwrap();
    near(found.flown.charge.as_ref(), 5.0, 1e-12);
}

#[test]
fn a_log_that_is_none_says_why() {
    assert!(matches!(no_log(b""), NoLog::Empty));
    assert!(matches!(no_log(b"\xEF\xBB\xBF\n\n"), NoLog::Empty));
    assert!(matches!(no_log(b"t,u,i\n"), NoLog::NoRows));
    assert!(matches!(no_log(b"0,15.0,5.0\n1,15.0,5.0\n"), NoLog::NoHeader(_)));
    assert!(matches!(no_log(b"\xFF\xFEt\0,\0u\0"), NoLog::NoText));
    let NoLog::OnlyBadRows(rows) = no_log(b"t,u,i\n0,x,5\n1,15\n") else { panic!() };
    assert_eq!((rows.all(), rows.bad()), (2, 2));
    let text = no_log(b"t,u,i\n0,x,5\n1,15\n").to_string();
    assert!(text.contains("first on line 2, \"u\" is \"x\""), "{text}");
}

#[test]
fn missing_and_doubled_columns_are_named_with_those_that_are_there() {
    let NoLog::Columns { faults, there } = no_log(b"t,U,i,i\n0,15,5,5\n") else {
        panic!()
    };
    assert_eq!(there, ["t", "U", "i", "i"]);
    assert_eq!(faults.len(), 2);
    assert_eq!(faults[0].channel, Some(Channel::Volts));
    assert_eq!(faults[0].sort, FaultSort::Missing { nearest: Some("U".into()) });
    assert_eq!(faults[1].sort, FaultSort::Doubled { first: 3, second: 4 });
    let text = no_log(b"t,U,i\n").to_string();
    assert_eq!(
        text,
        "the log has no column \"u\" for volts; \"U\" is near; its columns are \"t\", \"U\", \"i\""
    );
}

#[test]
fn units_that_measure_something_else_are_refused() {
    let wrong = mapping().with(Channel::Speed, column("v", "V"));
    let error = read(b"t,u,i,v\n".as_slice(), &wrong).unwrap_err().to_string();
    assert_eq!(error, "the column \"v\" is in V, which is no unit of speed");
    let bare = timed(column("t", ""));
    let error = read(b"t,u,i\n0,15,5\n".as_slice(), &bare).unwrap_err().to_string();
    assert!(error.contains("holds plain numbers"), "{error}");
}

#[test]
fn an_empty_field_of_a_lesser_channel_costs_only_that_channel() {
    let mapping = mapping()
        .with(Channel::Temperature, column("warm", "°C"))
        .with(Channel::Quality, column("link", ""));
    let log = "t,u,i,warm,link\n0,15,5,-4,90\n1,15,5,,70\n2,15,5,21.5,\n";
    let reading = read(log.as_bytes(), &mapping).unwrap();
    assert_eq!((reading.rows.good, reading.rows.without(Channel::Temperature)), (3, 1));
    let warm = reading.flown.extent(Channel::Temperature).unwrap();
    assert_eq!(
        warm.greatest.value,
        Measure::Quantity(Quantity::new(21.5, &Unit::read("°C").unwrap()))
    );
    assert_eq!(warm.greatest.line, 4);
    let link = reading.flown.extent(Channel::Quality).unwrap();
    assert_eq!(link.least.value, Measure::Bare(70.0));
}

/// A flight of which everything is known: rest, then cruise with two climbs, then rest.
struct Model {
    cruise: f64,
    climb: f64,
    ohm: f64,
    full: f64,
    falls: f64,
}

impl Model {
    fn amps(&self, second: f64) -> f64 {
        match second {
            second if !(20.0..320.0).contains(&second) => 0.1,
            second if (40.0..60.0).contains(&second) => self.climb,
            second if (200.0..215.0).contains(&second) => self.climb,
            _ => self.cruise,
        }
    }

    /// Rows at 10 Hz, each current held along a straight line to the next.
    fn log(&self, with_height: bool) -> String {
        let mut log = String::from(if with_height { "t,u,i,h\n" } else { "t,u,i\n" });
        let (mut charge, mut before, mut height) = (0.0, self.amps(0.0), 0.0);
        for row in 0..3600 {
            let second = f64::from(row) / 10.0;
            let amps = self.amps(second);
            charge += if row == 0 { 0.0 } else { (before + amps) / 2.0 * 0.1 / 3600.0 };
            before = amps;
            let volts = self.full - self.falls * charge - self.ohm * amps;
            height += if self.cruise < amps { 0.4 } else { 0.0 };
            log += &format!("{second},{volts},{amps}");
            log += &if with_height { format!(",{height:.1}\n") } else { "\n".to_owned() };
        }
        log
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_log_computed_from_a_known_model_gives_the_model_back(
        cruise in 3.0..8.0_f64,
        more in 1.6..3.0_f64,
        ohm in 0.01..0.1_f64,
        falls in 0.5..2.0_f64,
        with_height in any::<bool>(),
    ) {
        let model = Model { cruise, climb: cruise * more, ohm, full: 16.6, falls };
        let mapping = if with_height {
            mapping().with(Channel::Height, column("h", "m"))
        } else {
            mapping()
        };
        let log = model.log(with_height);
        let reading = read(log.as_bytes(), &mapping).unwrap();
        prop_assert_eq!(reading.rows.good, 3600);
        let flown = &reading.flown;
        let steady = flown.cruise.as_ref().unwrap();
        near(Some(&steady.amps), cruise, 1e-9);
        near(Some(&steady.wander), 0.0, 1e-9);
        prop_assert_eq!(
            steady.by,
            if with_height { SteadyBy::Height } else { SteadyBy::Current }
        );
        // 300 s under power, 35 of them at the higher current, and 59.9 s at rest; each
        // change of the current lies on a straight line over 0.1 s.
        let summed = 265.0 * cruise + 35.0 * model.climb + 59.9 * 0.1 - 0.05 * (cruise - 0.1) + 0.05 * (cruise - 0.1);
        near(flown.charge.as_ref(), summed / 3600.0, 1e-9);
        near(flown.under_power.as_ref(), 300.0, 0.21);
        near(flown.amps_over_1_s.as_ref(), model.climb, 1e-9);
        near(flown.amps_over_10_s.as_ref(), model.climb, 1e-9);
        let found = flown.resistance.as_ref().unwrap();
        near(found.in_unit(&Unit::read("ohm").unwrap()).as_ref(), ohm, 1e-6);
        near(flown.rest_before.as_ref().map(|rest| &rest.volts), 16.6 - 0.1 * ohm, 2e-3);
        let last = 16.6 - falls * summed / 3600.0 - 0.1 * ohm;
        near(flown.rest_after.as_ref().map(|rest| &rest.volts), last, 2e-3);
    }

    #[test]
    fn bytes_that_nobody_would_write_are_read_to_their_end(
        bytes in prop::collection::vec(prop::sample::select(
            b"0123456789.,;\t\"\r\n-:eTZ \xff\x00ab".to_vec(),
        ), 0..600),
        delimiter in prop::sample::select(vec![",", ";", "\t"]),
    ) {
        let mut log = ["t", "u", "i"].join(delimiter).into_bytes();
        log.push(b'\n');
        log.extend_from_slice(&bytes);
        let lines = u64::try_from(
            bytes.split_inclusive(|byte| *byte == b'\n').count()
        ).unwrap();
        match read(log.as_slice(), &mapping()) {
            Ok(reading) => prop_assert_eq!(reading.rows.all() + reading.rows.blank, lines),
            Err(NoLog::OnlyBadRows(rows)) => {
                prop_assert_eq!(rows.good, 0);
                prop_assert_eq!(rows.all() + rows.blank, lines);
            }
            Err(NoLog::NoRows) => {}
            Err(error) => prop_assert!(false, "{}", error),
        }
    }
}

#[test]
fn noise_widens_the_resistance_by_its_standard_error() {
    let model = Model { cruise: 5.0, climb: 15.0, ohm: 0.04, full: 16.6, falls: 1.0 };
    let mut noise = 1_u32;
    let log: String = model
        .log(false)
        .lines()
        .map(|line| {
            let Some((time, rest)) = line.split_once(',') else { return String::new() };
            let Some((volts, amps)) = rest.split_once(',') else { return String::new() };
            let Ok(volts) = volts.parse::<f64>() else { return format!("{line}\n") };
            // A linear congruence (Numerical Recipes, chapter 7.1, from memory).
            noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let off = f64::from(noise) / f64::from(u32::MAX) - 0.5;
            format!("{time},{},{amps}\n", volts + 0.1 * off)
        })
        .collect();
    let found = reading(&log).flown.resistance.unwrap();
    let (ohm, spread) = (found.si(), found.spread_si().unwrap());
    // 0.1 V wide and flat is 29 mV; 3600 rows whose currents vary by some 3 A.
    assert!((0.0001..0.001).contains(&spread), "{spread}");
    assert!((ohm - 0.04).abs() < 2.0 * spread, "{ohm} within {spread}");
}

#[test]
fn a_spike_is_told_from_a_climb() {
    let mut log = "t,u,i\n".to_owned();
    for tenth in 0..600 {
        let amps = match tenth {
            100 => 60.0,
            200..300 => 15.0,
            _ => 5.0,
        };
        log += &format!("{}.{},15,{amps}\n", tenth / 10, tenth % 10);
    }
    let flown = reading(&log).flown;
    let Measure::Quantity(peak) = flown.peak_amps.unwrap().value else { panic!() };
    near(Some(&peak), 60.0, 1e-9);
    // A spike of 55 A over two halves of 0.1 s, on 5 A.
    near(flown.amps_over_1_s.as_ref(), 15.0, 1e-9);
    // 9.9 s at 15 A, and half of 0.1 s either side.
    near(flown.amps_over_10_s.as_ref(), 15.0, 0.06);
}

#[test]
fn a_constant_current_tells_no_resistance() {
    let log: String = (0..100).map(|row| format!("{row},15,5\n")).collect();
    assert_eq!(reading(&format!("t,u,i\n{log}")).flown.resistance, None);
}
