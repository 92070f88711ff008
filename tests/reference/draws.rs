//! The examples' balance points, drawn at random from what their builders wrote.
//!
//! JCGM 101:2008: every number that was written once is drawn from a normal distribution
//! of half its spread, and the balance is worked out anew. Between the bounds that we
//! quote must lie the share of draws that two standard deviations hold, 95.4 %.

use std::collections::BTreeMap;

use trimsheet_facts::{Facts, Known, Listed};
use trimsheet_model::EntryId;
use trimsheet_model::quantity::Quantity;
use trimsheet_model::source::Span;
use trimsheet_project::{Memory, Opened, Settings, open};

use crate::random::Random;

const DRAWS: u16 = 10_000;

/// Each with the number that its draws begin with.
const EXAMPLES: [(&str, u64); 3] =
    [("whinchat", 11), ("yellowhammer", 12), ("lapwing", 13)];

fn opened(name: &str) -> Opened {
    let host = Memory::new()
        .with("whinchat.trim", include_str!("../../examples/whinchat.trim"))
        .with("yellowhammer.trim", include_str!("../../examples/yellowhammer.trim"))
        .with("lapwing.trim", include_str!("../../examples/lapwing.trim"))
        .with(
            "shelf/club-parts.trim",
            include_str!("../../examples/shelf/club-parts.trim"),
        );
    open(&host, &format!("{name}.trim"), &Settings::default()).unwrap()
}

/// Where a loadout balances along the length, if it is known and nothing is left open.
fn balance(facts: &Facts, loadout: EntryId) -> Option<Known> {
    facts.of(&facts.known_entry(loadout), "balance").ok()?.field("x").cloned()
}

/// A value and a standard deviation, and the line that both come from.
struct Written {
    value: f64,
    deviation: f64,
    line: (Option<Span>, &'static str),
}

fn written(quantity: &Quantity, span: Option<Span>, what: &'static str) -> Written {
    let deviation = quantity.spread_si().unwrap_or(0.0) / 2.0;
    Written { value: quantity.si(), deviation, line: (span, what) }
}

fn mass_and_place(item: &Listed) -> (Written, Written) {
    let [along, ..] = &item.at;
    let mass = written(item.mass.as_ref().unwrap(), item.span, "mass");
    (mass, written(along.as_ref().unwrap(), item.placed, "place"))
}

/// The balance point, each line being off by so many standard deviations.
fn balanced(
    items: &[(Written, Written)],
    mut off: impl FnMut((Option<Span>, &'static str)) -> f64,
) -> f64 {
    let mut drawn = |one: &Written| one.value + one.deviation * off(one.line);
    let (mut moment, mut mass) = (0.0, 0.0);
    for (weight, place) in items {
        let weight = drawn(weight);
        moment += weight * drawn(place);
        mass += weight;
    }
    moment / mass
}

/// The share of draws that fall within the spread that is quoted of this balance point.
fn share_within(facts: &Facts, loadout: EntryId, x: &Known, random: &mut Random) -> f64 {
    let quoted = x.quantity().unwrap();
    let (at, spread) = (quoted.si(), quoted.spread_si().unwrap());
    let items: Vec<_> = facts.listed(loadout).items.iter().map(mass_and_place).collect();
    assert!((balanced(&items, |_| 0.0) - at).abs() < 1e-12);
    let draws = (0..DRAWS).map(|_| {
        let mut lines = BTreeMap::new();
        balanced(&items, |line| *lines.entry(line).or_insert_with(|| random.normal()))
    });
    let inside = draws.filter(|drawn| (drawn - at).abs() <= spread).count();
    f64::from(u16::try_from(inside).unwrap()) / f64::from(DRAWS)
}

#[test]
fn balance_points_drawn_at_random_fall_within_the_quoted_bounds_as_often_as_they_should()
{
    for (name, seed) in EXAMPLES {
        let opened = opened(name);
        let facts = &opened.facts;
        let mut random = Random(seed);
        let mut count = 0;
        for (id, loadout) in facts.of_word("loadout") {
            let Some(x) = balance(facts, id) else { continue };
            let share = share_within(facts, id, &x, &mut random);
            let says = format!("{name}, {}: {share}", loadout.name);
            assert!((0.94..=0.96).contains(&share), "{says}");
            count += 1;
        }
        assert!(0 < count, "no loadout of {name} has a balance");
    }
}
