//! What holds of every board: the users get ports that fit, with as few changes as any
//! way has, and none is left out while there is a way; and what is offered, written into
//! the spec, leaves nothing to offer.

use std::fmt::Write;

use proptest::prelude::*;
use trimsheet_facts::ports::assign::{Assigned, Rates, Slot, Wanted, assign};
use trimsheet_facts::{Facts, What};
use trimsheet_model::source::{Sources, apply};
use trimsheet_model::{Document, Stage, resolve, syntax};

use crate::specs::cases;

/// Ranges of pulse rates, some of which end where others begin.
const RATES: &[Rates] = &[(40.0, 60.0), (60.0, 200.0), (200.0, 490.0), (50.0, 333.0)];
/// What is left to a user whose devices agree on none.
const NONE: &[Rates] = &[(200.0, 60.0)];

fn rates() -> impl Strategy<Value = Option<Rates>> {
    prop::option::of(prop::sample::select(RATES))
}

fn wanted_rates() -> impl Strategy<Value = Option<Rates>> {
    prop_oneof![9 => rates(), 1 => prop::sample::select(NONE).prop_map(Some)]
}

fn boards() -> impl Strategy<Value = (Vec<Slot>, Vec<Wanted>)> {
    let slot = (prop::option::of(0..2_usize), rates())
        .prop_map(|(group, rates)| Slot { group, rates });
    (prop::collection::vec(slot, 1..6), 0..5_usize).prop_flat_map(|(slots, users)| {
        let count = slots.len();
        let takes = prop::collection::vec(prop::bool::weighted(0.7), count);
        let wanted = (0..count, 1..4_usize, takes, wanted_rates()).prop_map(
            |(now, signals, takes, rates)| Wanted { now, signals, takes, rates },
        );
        (Just(slots), prop::collection::vec(wanted, users))
    })
}

/// Whether these users may have these ports.
fn is_valid(slots: &[Slot], users: &[Wanted], chosen: &[usize]) -> bool {
    let own = users.iter().zip(chosen).all(|(user, port)| user.takes[*port]);
    let apart = (0..chosen.len()).all(|at| !chosen[..at].contains(&chosen[at]));
    own && apart
        && (0..chosen.len()).all(|at| {
            let group = slots[chosen[at]].group;
            let met = (0..chosen.len()).filter(|other| {
                *other == at || group.is_some() && slots[chosen[*other]].group == group
            });
            let ranges = met.flat_map(|at| [users[at].rates, slots[chosen[at]].rates]);
            let ranges: Vec<Rates> = ranges.flatten().collect();
            let low = ranges.iter().map(|range| range.0).fold(0.0, f64::max);
            ranges.iter().all(|range| low <= range.1)
        })
}

fn changed(users: &[Wanted], chosen: &[usize]) -> usize {
    let moved = users.iter().zip(chosen).filter(|(user, port)| user.now != **port);
    moved.map(|(user, _)| user.signals).sum()
}

/// The fewest changes of all ways there are, tried one by one.
fn fewest(slots: &[Slot], users: &[Wanted]) -> Option<usize> {
    let mut ways: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in users {
        ways = ways
            .iter()
            .flat_map(|way| {
                (0..slots.len()).map(|port| [way.clone(), vec![port]].concat())
            })
            .collect();
    }
    let valid = ways.iter().filter(|way| is_valid(slots, users, way));
    valid.map(|way| changed(users, way)).min()
}

/// A board of six ports with what hangs on them, as a spec.
#[derive(Clone, Debug)]
struct Bench {
    ports: Vec<(&'static str, &'static str)>,
    devices: Vec<(&'static str, usize, &'static str)>,
}

const KINDS: &[&str] = &[
    "uart",
    "uart inverts",
    "uart receives",
    "uart sends",
    "i2c",
    "servo group a",
    "servo group a rate 50..400 Hz",
    "servo group b",
    "uart speed 9.6..57.6 kBd level 3.3 V bears 3.6 V",
    "uart level 3.3 V bears 5 V",
];
const DEVICES: &[&str] = &[
    "uart",
    "uart sends inverted",
    "uart level 5 V",
    "uart speed 115.2..230.4 kBd",
    "i2c address \"0x1e\"",
    "servo receives rate 40..60 Hz",
    "servo receives rate 200..490 Hz",
];

fn benches() -> impl Strategy<Value = Bench> {
    let port = (Just(""), prop::sample::select(KINDS));
    let arrow = prop::sample::select(&["->", "<-", "<->"][..]);
    let device = (prop::sample::select(DEVICES), 0..6_usize, arrow);
    let ports = prop::collection::vec(port, 6);
    let devices = prop::collection::vec(device, 1..6);
    (ports, devices).prop_map(|(ports, devices)| Bench { ports, devices })
}

fn written(bench: &Bench) -> String {
    let mut text = String::from("model rig\npart board: kind flight-controller\n");
    for (at, (_, port)) in bench.ports.iter().enumerate() {
        writeln!(text, "    port p{at} {port}").unwrap();
    }
    for (at, (port, socket, arrow)) in bench.devices.iter().enumerate() {
        writeln!(text, "part d{at}: kind sensor; port x {port}").unwrap();
        writeln!(text, "join j{at}: signal d{at}.x {arrow} board.p{socket}").unwrap();
    }
    text
}

fn facts(text: &str) -> Facts {
    let mut sources = Sources::default();
    let file = sources.add("rig.trim", text);
    let tree = syntax::parse(file, text);
    let (build, findings) =
        resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
    assert!(findings.is_empty(), "{findings:#?}");
    Facts::new(build, Stage::Bench)
}

proptest! {
    #![proptest_config(cases(600))]

    #[test]
    fn every_user_gets_a_port_with_the_fewest_changes((slots, users) in boards()) {
        let best = fewest(&slots, &users);
        match assign(&slots, &users) {
            Assigned::All(chosen) => {
                prop_assert!(is_valid(&slots, &users, &chosen), "{chosen:?}");
                prop_assert_eq!(Some(changed(&users, &chosen)), best);
            }
            Assigned::Without(without) => {
                prop_assert_eq!(best, None);
                // Without those the rest has a way.
                let rest = (0..users.len()).filter(|at| !without.contains(at));
                let rest: Vec<Wanted> = rest.map(|at| users[at].clone()).collect();
                prop_assert!(fewest(&slots, &rest).is_some());
            }
            Assigned::TooMany => prop_assert!(false, "so few are never too many"),
        }
    }

    #[test]
    fn what_is_offered_leaves_nothing_to_offer(bench in benches()) {
        let text = written(&bench);
        let before = facts(&text);
        let (board, _) = before.of_word("part").next().unwrap();
        let ways = before.ways_to_plug(&before.known_entry(board));
        for way in ways.iter().filter(|way| !way.edits.is_empty()) {
            let after = facts(&apply(&text, &way.edits).unwrap());
            let board = after.known_entry(after.of_word("part").next().unwrap().0);
            prop_assert_eq!(after.ways_to_plug(&board), Vec::new());
            for name in ["double_booked", "address_clashes", "group_clashes"] {
                let found = after.of(&board, name).unwrap().what;
                let What::List(found) = found else { unreachable!("a list") };
                prop_assert!(found.is_empty(), "{name}");
            }
        }
    }
}
