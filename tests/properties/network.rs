//! What holds of every net: no power is lost, taking something off asks less of all that
//! feeds it, and a lead in two pieces is the lead.

use proptest::prelude::*;
use trimsheet_physics::network::{Flow, Network, Node, Part, Regulating};

use crate::specs::cases;

/// A branch from the pack: a lead, then a regulator or none, then what draws, each behind
/// a lead of its own.
#[derive(Clone, Debug)]
struct Branch {
    lead: f64,
    regulated: Option<(f64, Option<f64>)>,
    draws: Vec<(f64, f64)>,
}

#[derive(Clone, Debug)]
struct Net {
    pack: (f64, f64),
    branches: Vec<Branch>,
    /// A lead between the ends of the first two branches makes a loop.
    loop_lead: f64,
}

fn nets() -> impl Strategy<Value = Net> {
    let draws = prop::collection::vec((0.005..0.2, 0.0..2.0), 1..4);
    let share = prop::option::of(0.6..1.0);
    let regulated = prop::option::of((3.0..8.0, share));
    let branch = (0.002..0.05, regulated, draws)
        .prop_map(|(lead, regulated, draws)| Branch { lead, regulated, draws });
    let branches = prop::collection::vec(branch, 2..5);
    let whole = ((11.0..25.0, 0.001..0.04), branches, 0.01..0.3);
    whole.prop_map(|(pack, branches, loop_lead)| Net { pack, branches, loop_lead })
}

/// A net that is put together, with its parts by what they do.
struct Built {
    net: Network,
    pack: Part,
    trunks: Vec<Part>,
    regulators: Vec<Part>,
    all: Vec<Part>,
}

/// Puts a net together; every lead in so many pieces.
fn built(of: &Net, pieces: u8) -> Built {
    let mut net = Network::default();
    let hub = net.node();
    let pack = net.source(hub, of.pack.0, of.pack.1);
    let (mut all, mut trunks, mut regulators) = (vec![pack], Vec::new(), Vec::new());
    let mut ends = Vec::new();
    for branch in &of.branches {
        let mut end = net.node();
        let trunk = lead(&mut net, hub, end, branch.lead, pieces);
        trunks.push(trunk[0]);
        all.extend(trunk);
        ends.push(end);
        if let Some((volts, share)) = branch.regulated {
            let rail = net.node();
            let how = share.map_or(Regulating::Linear, Regulating::Switching);
            regulators.push(net.regulator(end, rail, volts, how));
            end = rail;
        }
        for (resistance, amps) in &branch.draws {
            let at = net.node();
            all.extend(lead(&mut net, end, at, *resistance, pieces));
            all.push(net.draw(at, *amps));
        }
    }
    all.extend(lead(&mut net, ends[0], ends[1], of.loop_lead, pieces));
    all.extend(&regulators);
    Built { net, pack, trunks, regulators, all }
}

fn lead(net: &mut Network, from: Node, to: Node, all: f64, pieces: u8) -> Vec<Part> {
    let mut last = from;
    let mut made = Vec::new();
    for piece in 1..=pieces {
        let next = if piece == pieces { to } else { net.node() };
        made.push(net.lead(last, next, all / f64::from(pieces)));
        last = next;
    }
    made
}

fn watts(built: &Built, flow: &Flow) -> f64 {
    built.all.iter().map(|part| flow.watts(*part)).sum()
}

proptest! {
    #![proptest_config(cases(400))]

    /// What the pack gives is what its parts take and turn into heat.
    #[test]
    fn no_power_is_lost(net in nets()) {
        let built = built(&net, 1);
        let flow = built.net.solve().unwrap();
        let given = net.pack.0 * flow.amps(built.pack);
        let taken = watts(&built, &flow);
        prop_assert!((given - taken).abs() <= 1e-7 * given.max(1.0), "{given} {taken}");
    }

    /// Every current towards something that draws gets less when it draws less.
    #[test]
    fn taking_something_off_lowers_every_current_that_feeds_it(
        net in nets(), at in any::<prop::sample::Index>()
    ) {
        let before = built(&net, 1);
        let branch = at.index(net.branches.len());
        let mut without = net.clone();
        let was = std::mem::replace(&mut without.branches[branch].draws[0].1, 0.0);
        let after = built(&without, 1);
        let (one, other) = (before.net.solve().unwrap(), after.net.solve().unwrap());
        prop_assert!(other.amps(after.pack) <= one.amps(before.pack) + 1e-9);
        let trunk = |built: &Built, flow: &Flow| flow.amps(built.trunks[branch]);
        prop_assert!(trunk(&after, &other) <= trunk(&before, &one) + 1e-9);
        if 0.01 < was {
            prop_assert!(other.amps(after.pack) < one.amps(before.pack));
        }
    }

    /// A lead that is cut and soldered together again carries what it carried.
    #[test]
    fn a_lead_in_pieces_is_the_lead(net in nets(), pieces in 2_u8..4) {
        let (whole, cut) = (built(&net, 1), built(&net, pieces));
        let (one, other) = (whole.net.solve().unwrap(), cut.net.solve().unwrap());
        prop_assert!((one.amps(whole.pack) - other.amps(cut.pack)).abs() < 1e-8);
        for (one_part, other_part) in whole.regulators.iter().zip(&cut.regulators) {
            prop_assert!((one.amps(*one_part) - other.amps(*other_part)).abs() < 1e-8);
        }
        prop_assert!((watts(&whole, &one) - watts(&cut, &other)).abs() < 1e-6);
    }
}
