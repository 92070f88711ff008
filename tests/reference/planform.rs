//! Areas and mean chords, against closed forms and published examples.

use trimsheet_physics::planform::{Planform, Rib, planform};

use crate::rows::{Row, numbers, row, table};

fn wing(chords: &[f64], outs: &[f64], leading_edges: &[f64]) -> Planform {
    let places = outs.iter().zip(leading_edges);
    let rib = |(chord, (out, leading_edge)): (&f64, (&f64, &f64))| Rib {
        out: *out,
        chord: *chord,
        leading_edge: *leading_edge,
    };
    planform(&chords.iter().zip(places).map(rib).collect::<Vec<_>>()).unwrap()
}

/// Public Domain Aeronautical Software, example 1 of its mean chord program. Read;
/// recomputed, and equal.
#[test]
fn reference_pl_01_a_swept_trapezoid() {
    let row = row("PL-01");
    let [c0, c1, y0, y1, x0, x1] = row.numbers("inputs")[..] else {
        panic!("other inputs")
    };
    let found = wing(&[c0, c1], &[y0, y1], &[x0, x1]);
    // The text names the quarter chord as x_c/4, whose 4 is no result.
    let expected: Vec<f64> =
        row.numbers("expected").into_iter().filter(|number| 4.0 < *number).collect();
    let all = [
        found.area / 2.0,
        found.mean_chord,
        found.mean_chord_out,
        found.mean_chord_leading_edge,
        found.station(0.25),
    ];
    assert_eq!(all.len(), expected.len());
    for (found, expected) in all.into_iter().zip(expected) {
        row.assert("one of the results", found, expected, row.tolerance());
    }
}

/// Raymer, "Aircraft Design: A Conceptual Approach". Formula and example read.
#[test]
fn reference_pl_02_the_mean_chord_of_a_trapezoid() {
    let row = row("PL-02");
    let [root, tip] = named_pair(&row);
    let found = wing(&[root, tip], &[0.0, 3.0], &[0.0, 1.0]);
    let expected = *row.numbers("expected").last().unwrap();
    row.assert("mean chord", found.mean_chord, expected, row.tolerance());
}

fn named_pair(row: &Row) -> [f64; 2] {
    let parts = row.text("inputs").split(',');
    let found: Vec<f64> =
        parts.map(|part| numbers(part.split('=').nth(1).unwrap())[0]).collect();
    found.try_into().unwrap()
}

/// Raymer; NACA Report 751. Formula read; the report's number from memory.
#[test]
fn reference_pl_03_how_far_out_the_mean_chord_lies() {
    let row = row("PL-03");
    assert_eq!(row.text("expected"), "y = b/6 (1+2l)/(1+l)");
    for taper in [0.0, 0.2, 0.5, 0.8, 1.0, 1.7] {
        let span = 1.3;
        let found = wing(&[0.3, 0.3 * taper], &[0.0, span / 2.0], &[0.0, 0.1]);
        let expected = span / 6.0 * (1.0 + 2.0 * taper) / (1.0 + taper);
        row.assert("place of the mean chord", found.mean_chord_out, expected, 1e-12);
    }
}

/// The cases of `planform_mac.csv`: closed forms recomputed, the first one read.
#[test]
fn reference_pl_05_every_case_of_the_table() {
    let relative = row("PL-05").tolerance();
    let rows = table("planform_mac.csv", include_str!("planform_mac.csv"));
    assert!(!rows.is_empty());
    for row in rows {
        let case = row.text("case").to_owned();
        assert!(!row.text("source").trim().is_empty(), "{case} has no source");
        let list = |column: &str| -> Vec<f64> {
            row.text(column).split('/').map(|number| number.parse().unwrap()).collect()
        };
        let (chords, outs) = (list("chords"), list("y_stations"));
        let found = wing(&chords, &outs, &list("x_le_stations"));
        for (column, value) in [
            ("area_full", found.area),
            ("span", found.span),
            ("AR", found.aspect_ratio),
            ("MAC", found.mean_chord),
            ("y_MAC", found.mean_chord_out),
            ("x_LE_MAC", found.mean_chord_leading_edge),
            ("x_quarter_MAC", found.station(0.25)),
        ] {
            let printed = row.text(column);
            let expected: f64 = printed.parse().unwrap();
            let tolerance = if expected == 0.0 {
                relative * found.mean_chord
            } else {
                relative * expected.abs() + half_of_last_digit(printed)
            };
            row.assert(&format!("{case}, {column}"), value, expected, tolerance);
        }
    }
}

/// Half of the last digit that was printed: what rounding took from the reference.
fn half_of_last_digit(printed: &str) -> f64 {
    let decimals = printed.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    (0..decimals).fold(0.5, |half, _| half / 10.0)
}

/// By definition; recomputed.
#[test]
fn reference_pl_06_station_and_share_of_the_mean_chord() {
    let row = row("PL-06");
    let found = wing(&[0.3, 0.2, 0.1], &[0.0, 0.2, 0.6], &[0.0, 0.02, 0.2]);
    for share in [-0.1, 0.0, 0.25, 1.0] {
        let station = found.mean_chord_leading_edge + share * found.mean_chord;
        row.assert("station", found.station(share), station, 1e-12);
        row.assert("share", found.share(found.station(share)), share, 1e-12);
    }
}
