//! Copper wire, against the tables of standards and worked examples.

use trimsheet_physics::wire::{
    TINNED_STRANDED, diameter, heat, resistance_per_length, there_and_back, volts_lost,
};

use crate::rows::{Row, row, table};

const FOOT: f64 = 0.3048;

fn gauges() -> Vec<Row> {
    table("awg.csv", include_str!("awg.csv"))
}

fn cell(row: &Row, column: &str) -> Option<f64> {
    let text = row.text(column);
    (!text.is_empty()).then(|| text.parse().unwrap())
}

/// The gauge and the number behind it, of `10: 2.588, 16: 1.291` and the like.
fn by_gauge(row: &Row) -> Vec<(f64, f64)> {
    let numbers = row.numbers("expected");
    let all: Vec<(f64, f64)> =
        numbers.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect();
    assert!(all.len() > 4, "the row gives other numbers: {numbers:?}");
    all
}

/// ASTM B258, also NBS Handbook 100. The formula from memory; diameters in mils read.
#[test]
fn reference_el_01_diameters() {
    let own = row("EL-01");
    for (gauge, expected) in by_gauge(&own) {
        let found = diameter(gauge).unwrap() * 1e3;
        own.assert("diameter", found, expected, expected * own.tolerance() / 100.0);
    }
    let rows = gauges();
    assert!(rows.len() > 20);
    for row in rows {
        let gauge = cell(&row, "awg").unwrap();
        for (column, metre) in [("diameter_mm", 1e3), ("diameter_mil", 1e3 / 0.0254)] {
            let expected = cell(&row, column).unwrap();
            let found = diameter(gauge).unwrap() * metre;
            row.assert(column, found, expected, expected * own.tolerance() / 100.0);
        }
    }
}

/// NBS Handbook 100. Published Ω per 1000 ft read; recomputed.
#[test]
fn reference_el_02_resistance_of_copper() {
    let own = row("EL-02");
    let share = own.tolerance() / 100.0;
    for (gauge, expected) in by_gauge(&own) {
        let found = resistance_per_length(gauge, 20.0).unwrap() * 1e3;
        own.assert("resistance", found, expected, expected * share);
    }
    for row in gauges() {
        let found = resistance_per_length(cell(&row, "awg").unwrap(), 20.0).unwrap();
        let expected = cell(&row, "ohm_per_km_20C").unwrap();
        row.assert("of a kilometre", found * 1e3, expected, expected * share);
        if let Some(published) = cell(&row, "published_ohm_per_1000ft_solid") {
            let found = found * 1e3 * FOOT;
            row.assert("of a thousand feet", found, published, published * share);
        }
    }
}

/// FAA AC 43.13-1B, table 11-9. Read.
#[test]
fn reference_el_03_tinned_strands() {
    let own = row("EL-03");
    let published = own.numbers("expected");
    assert!(TINNED_STRANDED.len() <= published.len());
    for ((gauge, found), expected) in TINNED_STRANDED.iter().zip(published) {
        own.assert("of a thousand feet", found * 1e3 * FOOT, expected, 1e-9);
        // It may resist more than bare copper of its gauge, but for how it is stranded.
        let bare = resistance_per_length(f64::from(*gauge), 20.0).unwrap();
        assert!((0.95..1.35).contains(&(found / bare)), "{gauge}");
    }
    let column = "AC43.13-1B_T11-9_tinned_stranded_max_ohm_per_1000ft";
    for row in gauges() {
        let gauge: i32 = row.text("awg").parse().unwrap();
        let ours = TINNED_STRANDED.iter().find(|(own, _)| *own == gauge);
        if let (Some(expected), Some((_, found))) = (cell(&row, column), ours) {
            row.assert(column, found * 1e3 * FOOT, expected, 1e-9);
        }
    }
}

/// FAA AC 43.13-1B, table 11-7: one way, the frame carrying it back. Read.
#[test]
fn reference_el_04_to_06_volts_lost() {
    for id in ["EL-04", "EL-05", "EL-06"] {
        let row = row(id);
        let [per_foot, feet, amps] = row.numbers("inputs")[..] else {
            panic!("other inputs")
        };
        let found = volts_lost(per_foot / FOOT * (feet * FOOT), amps);
        row.assert("drop", found, row.numbers("expected")[0], row.tolerance());
    }
}

/// FAA AC 43.13-1B, table 11-8. Read; one printed value is wrong and was worked out again.
#[test]
fn reference_el_08_runs() {
    let row = row("EL-08");
    let [per_foot, first, amps, rest @ ..] = &row.numbers("inputs")[..] else {
        panic!("other inputs")
    };
    let feet = [*first].into_iter().chain(rest.iter().copied());
    let expected = row.numbers("expected");
    assert_eq!(expected.len(), 4);
    for (feet, expected) in feet.zip(expected) {
        row.assert("drop", volts_lost(per_foot * feet, *amps), expected, row.tolerance());
    }
}

/// NEC chapter 9, table 8, a worked example. Read.
#[test]
fn reference_el_10_there_and_back() {
    let row = row("EL-10");
    let [_gauge, per_thousand_feet, _, feet, amps] = row.numbers("inputs")[..] else {
        panic!("other inputs: {:?}", row.numbers("inputs"))
    };
    let per_length = per_thousand_feet / 1000.0 / FOOT;
    let found = volts_lost(there_and_back(per_length, feet * FOOT), amps);
    row.assert("drop", found, row.numbers("expected")[0], row.tolerance());
}

/// Ohm's and Joule's laws, with numbers of our own.
#[test]
fn reference_el_11_a_short_lead() {
    let row = row("EL-11");
    let [gauge, _, length, amps, temperature] = row.numbers("inputs")[..] else {
        panic!("other inputs: {:?}", row.numbers("inputs"))
    };
    let [milliohms, volts, watts] = row.numbers("expected")[..] else {
        panic!("other results")
    };
    let per_length = resistance_per_length(gauge, temperature).unwrap();
    let resistance = there_and_back(per_length, length / 1e3);
    let near = |expected: f64| expected * row.tolerance() / 100.0;
    row.assert("resistance", resistance * 1e3, milliohms, near(milliohms));
    row.assert("drop", volts_lost(resistance, amps), volts, near(volts));
    row.assert("heat", heat(resistance, amps), watts, near(watts));
}
