//! What holds of every record of weighing.

use proptest::prelude::*;
use trimsheet_facts::model::quantity::Quantity;
use trimsheet_facts::model::source::Sources;
use trimsheet_facts::model::{Document, Stage, resolve, syntax};
use trimsheet_facts::{Facts, What};

use crate::specs::cases;

/// Mass and balance of a loadout in grams and millimetres, from its list and from its
/// records.
fn both(spec: &str, loadout: &str) -> [(f64, f64); 2] {
    let mut sources = Sources::default();
    let file = sources.add("test.trim", spec);
    let tree = syntax::parse(file, spec);
    let (build, findings) =
        resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
    assert!(findings.is_empty(), "{findings:?}\n{spec}");
    let facts = Facts::new(build, Stage::Balanced);
    let What::List(all) = facts.of(&facts.whole(), "loadouts").unwrap().what else {
        unreachable!()
    };
    let loadout = all.iter().find(|one| one.name == loadout).unwrap();
    ["balance", "as_weighed"].map(|name| {
        let record = facts.of(loadout, name).unwrap();
        let si = |field: &str| {
            record.field(field).and_then(|one| one.quantity()).map_or(0.0, Quantity::si)
        };
        (si("mass") * 1000.0, si("x") * 1000.0)
    })
}

fn listed(spec: &str, loadout: &str) -> (f64, f64) {
    both(spec, loadout)[0]
}

fn weighed(spec: &str, loadout: &str) -> (f64, f64) {
    both(spec, loadout)[1]
}

/// Parts in grams at places in millimetres aft; some fly with one loadout only.
#[derive(Clone, Debug)]
struct Parts(Vec<(f64, f64)>);

fn parts() -> impl Strategy<Value = Parts> {
    let part = (1..5000_u32, -3000..3000_i32)
        .prop_map(|(mass, at)| (f64::from(mass) / 10.0, f64::from(at) / 10.0));
    prop::collection::vec(part, 5).prop_map(Parts)
}

fn place(at: f64) -> String {
    format!("{} mm {}", at.abs(), if at < 0.0 { "ahead" } else { "aft" })
}

/// `one` flies with the third part, `two` with the fourth, and the last is moved.
fn spec(parts: &Parts, datum: f64, records: &str) -> String {
    let mut text = String::new();
    for (number, (mass, at)) in parts.0.iter().enumerate() {
        let optional = if matches!(number, 2 | 3) { "; optional" } else { "" };
        text += &format!(
            "part p{number}: mass {mass} g [weighed]; at {} [measured]{optional}\n",
            place(at + datum)
        );
    }
    format!(
        "{text}loadout one: with p2; without p3
loadout two: with p3; without p2; places p4 at {} [measured]
{records}",
        place(25.0 + datum)
    )
}

/// A whole and where it hung, as records.
fn records(loadout: &str, (mass, at): (f64, f64)) -> String {
    format!(
        "weighed {loadout} 2026-03-01: mass {mass} g [weighed]
balanced {loadout} 2026-03-01: at {} [measured]; level\n",
        place(at)
    )
}

fn readings(points: &[(f64, f64)]) -> String {
    let lines = points.iter().map(|(reading, at)| {
        format!("    reading {reading} g at {} [weighed]\n", place(*at))
    });
    format!("weighed one 2026-03-01\n{}    level\n", lines.collect::<String>())
}

fn is_near(one: (f64, f64), two: (f64, f64)) -> bool {
    let near = |one: f64, two: f64| (one - two).abs() < 1e-6 * one.abs().max(1.0);
    near(one.0, two.0) && near(one.1, two.1)
}

proptest! {
    #![proptest_config(cases(60))]

    #[test]
    fn a_weighing_invented_from_a_list_gives_its_balance_back(parts in parts()) {
        let some = spec(&parts, 0.0, &records("one", (500.0, 10.0)));
        let (one, two) = (listed(&some, "one"), listed(&some, "two"));
        let whole = spec(&parts, 0.0, &records("one", one));
        prop_assert!(is_near(weighed(&whole, "one"), one));
        prop_assert!(is_near(weighed(&whole, "two"), two));
        // On two points, as the lever shares it, and on a rest and a hook.
        let (nose, tail) = (-400.0, 400.0);
        let at_tail = one.0 * (one.1 - nose) / (tail - nose);
        let points = readings(&[(one.0 - at_tail, nose), (at_tail, tail)]);
        prop_assert!(is_near(weighed(&spec(&parts, 0.0, &points), "one"), one));
        let hook = format!(
            "balanced one 2026-03-01
    mass {} g [weighed]; rests at {} [measured]; level
    hangs {at_tail} g at {} [weighed]\n",
            one.0,
            place(nose),
            place(tail)
        );
        prop_assert!(is_near(weighed(&spec(&parts, 0.0, &hook), "one"), one));
    }

    #[test]
    fn a_change_of_equipment_and_back_changes_nothing(
        parts in parts(),
        mass in 3000..6000_u32,
        at in -200..200_i32,
    ) {
        let one = (f64::from(mass), f64::from(at));
        let there = weighed(&spec(&parts, 0.0, &records("one", one)), "two");
        let back = weighed(&spec(&parts, 0.0, &records("two", there)), "one");
        prop_assert!(is_near(back, one), "{one:?} {there:?} {back:?}");
    }

    #[test]
    fn what_was_not_on_it_is_put_on_as_if_it_had_been(parts in parts()) {
        let some = spec(&parts, 0.0, &records("one", (500.0, 10.0)));
        let two = listed(&some, "two");
        // `one` as weighed with what `two` flies with is `two`.
        let last = place(25.0);
        let other = format!("; with p3; without p2; places p4 at {last} [measured]\n");
        let text = records("one", two).replace('\n', &other);
        let one = listed(&some, "one");
        prop_assert!(is_near(weighed(&spec(&parts, 0.0, &text), "one"), one));
    }

    #[test]
    fn moving_the_datum_moves_it_all_alike(
        parts in parts(),
        by in -500..500_i32,
        at in -200..200_i32,
    ) {
        let (by, at) = (f64::from(by), f64::from(at));
        let here = spec(&parts, 0.0, &records("one", (4000.0, at)));
        let there = spec(&parts, by, &records("one", (4000.0, at + by)));
        for loadout in ["one", "two"] {
            let (mass, x) = weighed(&here, loadout);
            prop_assert!(is_near(weighed(&there, loadout), (mass, x + by)));
        }
    }

    #[test]
    fn readings_in_another_order_give_the_same(
        points in prop::collection::vec((1..5000_u32, -500..500_i32), 2..5),
    ) {
        let mut points: Vec<(f64, f64)> =
            points.iter().map(|(mass, at)| (f64::from(*mass), f64::from(*at))).collect();
        let parts = Parts(vec![(10.0, 0.0); 5]);
        let first = weighed(&spec(&parts, 0.0, &readings(&points)), "one");
        points.reverse();
        let second = weighed(&spec(&parts, 0.0, &readings(&points)), "one");
        prop_assert!(is_near(first, second));
    }
}
