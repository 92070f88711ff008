//! How spreads add: the law of propagation, and draws at random beside it.

use trimsheet_physics::balance::{Balance, Item, Term, balance};
use trimsheet_quantity::{Quantity, Unit};

use crate::random::Random;
use crate::rows::{Row, numbers, row};

/// One line of UN-02, `airframe 210(5)@165(3)`: a mass and a place, each with its
/// standard uncertainty.
struct Line {
    mass: (f64, f64),
    station: (f64, f64),
}

fn lines(row: &Row) -> Vec<Line> {
    let (_, list) = row.text("inputs").split_once(": ").unwrap();
    let line = |text: &str| {
        let [mass, mass_spread, station, station_spread] = numbers(text)[..] else {
            panic!("{text}: not a mass and a place")
        };
        Line { mass: (mass, mass_spread), station: (station, station_spread) }
    };
    list.split(';').map(line).collect()
}

fn found(lines: &[Line]) -> Balance {
    let mut spreads = Vec::new();
    let mut items = Vec::new();
    for line in lines {
        let mut term = |(value, deviation): (f64, f64)| {
            // Ours are expanded spreads, twice the standard uncertainty.
            spreads.push(2.0 * deviation);
            Term { value, variable: spreads.len() - 1, weight: 1.0 }
        };
        let (mass, at) = (term(line.mass), term(line.station));
        items.push(Item {
            mass,
            at: [at, term((0.0, 0.0)), term((0.0, 0.0))],
            size: None,
        });
    }
    balance(&items, &spreads).unwrap()
}

/// JCGM 100:2008, equation 10; own numbers, recomputed.
#[test]
fn reference_un_02_spread_of_a_balance_point() {
    let row = row("UN-02");
    let found = found(&lines(&row));
    let [mass, at, deviation] = row.numbers("expected")[..3] else {
        panic!("other results")
    };
    row.assert("mass", found.mass, mass, 1e-9);
    row.assert("balance point", found.at[0], at, row.tolerance());
    row.assert("deviation", found.at_spread[0] / 2.0, deviation, row.tolerance());
}

/// The same by 200,000 draws, as JCGM 101:2008 does it.
#[test]
fn reference_un_02_draws_at_random_agree_with_the_formula() {
    let row = row("UN-02");
    let lines = lines(&row);
    let mut random = Random(2);
    let mut draw = |(value, deviation): (f64, f64)| value + deviation * random.normal();
    let mut balance_point = || {
        let drawn = lines.iter().map(|line| (draw(line.mass), draw(line.station)));
        let (moment, mass) = drawn.fold((0.0, 0.0), |(moment, sum), (mass, at)| {
            (moment + mass * at, sum + mass)
        });
        moment / mass
    };
    let draws: Vec<f64> = (0..200_000).map(|_| balance_point()).collect();
    let mean = draws.iter().sum::<f64>() / 2e5;
    let variance = draws.iter().map(|at| (at - mean) * (at - mean)).sum::<f64>() / 2e5;
    let found = found(&lines);
    // Four standard errors: u/sqrt(n) of the mean, u/sqrt(2 n) of the deviation.
    let deviation = found.at_spread[0] / 2.0;
    row.assert("mean", mean, found.at[0], 4.0 * deviation / 2e5_f64.sqrt());
    row.assert("deviation", variance.sqrt(), deviation, 4.0 * deviation / 4e5_f64.sqrt());
}

/// JCGM 101:2008, 9.2.3. From memory; recomputed analytically and by draws.
///
/// Four even inputs are not normal: the interval of 95 % ends at 3.88, where a normal
/// one would end at 3.92 and our coverage factor of 2 says 4, which errs outwards.
#[test]
fn reference_un_04_sum_of_four_even_inputs() {
    let row = row("UN-04");
    let half_width = 3_f64.sqrt();
    let gram = Unit::read("g").unwrap();
    // An even input of half width a has the standard uncertainty a/sqrt(3).
    let input = Quantity::new(0.0, &gram)
        .with_spread_in(2.0 * half_width / 3_f64.sqrt(), &gram)
        .unwrap();
    let two = input.plus(&input).unwrap();
    let expanded = two.plus(&two).unwrap().spread().unwrap();
    row.assert("deviation", expanded / 2.0, row.numbers("expected")[0], 1e-12);

    let mut random = Random(4);
    let mut even = || half_width * (2.0 * random.even() - 1.0);
    let mut sizes: Vec<f64> =
        (0..1_000_000).map(|_| (even() + even() + even() + even()).abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let end = sizes[950_000];
    // The row prints the end as a formula and as a number after it.
    let expected = 2.0 * 3_f64.sqrt() * (2.0 - 0.6_f64.sqrt().sqrt());
    assert!(row.text("expected").contains("= 3.8794 ("));
    row.assert("printed end", expected, 3.8794, 0.000_05);
    row.assert("end of the interval", end, expected, row.tolerance());
    assert!(end < expanded);
}
