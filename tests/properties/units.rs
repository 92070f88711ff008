//! Inches are millimetres and ounces are grams, all through a build.

use proptest::prelude::*;

use crate::portrait::{portrait, read};
use crate::specs::cases;

/// Lengths in millimetres and masses in grams, as written.
#[derive(Clone, Debug)]
struct Numbers {
    lengths: Vec<f64>,
    masses: Vec<f64>,
}

fn numbers() -> impl Strategy<Value = Numbers> {
    let length = (1..200_000_u32).prop_map(|hundredths| f64::from(hundredths) / 100.0);
    let mass = (1..500_000_u32).prop_map(|hundredths| f64::from(hundredths) / 100.0);
    (prop::collection::vec(length, 16), prop::collection::vec(mass, 6))
        .prop_map(|(lengths, masses)| Numbers { lengths, masses })
}

/// A spec with these numbers, in units that are so many millimetres and grams.
fn spec(numbers: &Numbers, length: (&str, f64), mass: (&str, f64)) -> String {
    let (long, heavy) = (length.0, mass.0);
    let lengths: Vec<f64> = numbers.lengths.iter().map(|one| one / length.1).collect();
    let masses: Vec<f64> = numbers.masses.iter().map(|one| one / mass.1).collect();
    let [a, b, c, d, e, f, g, h] = lengths[..8] else { unreachable!() };
    let [i, j, k, l, m, n, o, p] = lengths[8..] else { unreachable!() };
    let [q, r, s, t, u, v] = masses[..] else { unreachable!() };
    format!(
        "instrument scale: resolution {q} {heavy}
assume mass [weighed on scale]
wing [plan]
    rib    {a} {long} out  chord {b} {long}  leading-edge {c} {long} aft
    band   {d}..{e} {long} aft  best {f} {long} aft
part shell: mass {r} {heavy} ± {s} {heavy}; at {g} {long} ahead {h} {long} left ± {i} {long}
part servos: pair; mass {t} {heavy} each; at {j} {long} aft {k} {long} out
part servos.left: mass {u} {heavy} [estimated]
part other like shell: size {l} x {m} x {n} {long}
pack main: mass {v} {heavy}; slides {o}..{p} {long} aft
"
    )
}

fn is_near(one: f64, two: f64) -> bool {
    (one - two).abs() <= 1e-9 * one.abs().max(two.abs()).max(1e-6)
}

proptest! {
    #![proptest_config(cases(100))]

    #[test]
    fn inches_and_ounces_make_the_build_that_millimetres_and_grams_make(
        numbers in numbers(),
    ) {
        let metric = read(&spec(&numbers, ("mm", 1.0), ("g", 1.0)));
        // An inch and an ounce are defined so.
        let inches = read(&spec(&numbers, ("in", 25.4), ("oz", 28.349_523_125)));
        prop_assert_eq!(metric.said(), []);
        prop_assert_eq!(inches.said(), []);
        let (metric, inches) = (portrait(&metric.build), portrait(&inches.build));
        prop_assert_eq!(metric.words, inches.words);
        prop_assert_eq!(metric.numbers.len(), inches.numbers.len());
        for (one, two) in metric.numbers.iter().zip(&inches.numbers) {
            prop_assert!(is_near(*one, *two), "{one} is not {two}");
        }
    }
}
