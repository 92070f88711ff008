//! The assignment of users to ports that changes the fewest signals.
//!
//! It knows no parts and no spec: who may go where is a table. Outputs that share a timer
//! share one pulse rate, so a rate is chosen for each group first, from the lower ends of
//! what users and ports state: if any rate suits them all, the largest of these does.
//! For each choice the rest is the assignment problem, which is solved exactly.

use pathfinding::prelude::{Matrix, kuhn_munkres_min};

/// A range of pulse rates, in hertz.
pub type Rates = (f64, f64);

/// A port that users can be given.
#[derive(Clone, Debug, PartialEq)]
pub struct Slot {
    /// Which timer it shares, by a number, if it shares one.
    pub group: Option<usize>,
    /// The pulse rates that it can have, if they are stated.
    pub rates: Option<Rates>,
}

/// A user that wants one port for itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// The port that it has, by its place among the ports.
    pub now: usize,
    /// How many signals change if it gets another.
    pub signals: usize,
    /// For each port, whether it would do, pulse rates apart.
    pub takes: Vec<bool>,
    /// The pulse rates that it works on, if they are stated.
    pub rates: Option<Rates>,
}

/// What comes of it.
#[derive(Clone, Debug, PartialEq)]
pub enum Assigned {
    /// The port of each user.
    All(Vec<usize>),
    /// The users for which no port is left, however the others are moved.
    Without(Vec<usize>),
    /// More than is looked through.
    TooMany,
}

/// At most so many users and ports are looked through.
pub const MOST_USERS: usize = 64;
/// See [`MOST_USERS`].
pub const MOST_PORTS: usize = 256;
/// So much work: the choices of rates, times users, times users, times ports.
const MOST_WORK: usize = 20_000_000;

/// What a changed signal costs. What is below breaks ties: who comes first in the spec
/// stays, and ports are taken in their order.
const CHANGE: i64 = 100_000_000;
const ORDER: i64 = 1_000;
/// What a user without a port costs, more than all changes together.
const NO_PORT: i64 = 10_000_000_000_000;
/// What a port costs that is not allowed, more than all users without a port.
const NEVER: i64 = 1_000 * NO_PORT;

/// Gives each user a port of its own that does for it, changing the fewest signals.
pub fn assign(ports: &[Slot], users: &[Wanted]) -> Assigned {
    if users.is_empty() {
        return Assigned::All(Vec::new());
    }
    let Some(choices) = choices(ports, users) else { return Assigned::TooMany };
    let solved = choices.iter().map(|rates| solve(ports, users, rates));
    let Some((_, chosen)) = solved.min_by_key(|(cost, _)| *cost) else {
        return Assigned::TooMany;
    };
    let without = chosen.iter().enumerate().filter(|(_, port)| ports.len() <= **port);
    let without: Vec<usize> = without.map(|(user, _)| user).collect();
    if without.is_empty() { Assigned::All(chosen) } else { Assigned::Without(without) }
}

/// Whether a range holds a rate, give or take the rounding of its unit.
fn holds(range: Option<Rates>, rate: f64) -> bool {
    range.is_none_or(|(low, high)| {
        let little = rate.abs() * 1e-9;
        low - little <= rate && rate <= high + little
    })
}

/// Every way to give each group one rate, or none where nothing asks for one.
fn choices(ports: &[Slot], users: &[Wanted]) -> Option<Vec<Vec<Option<f64>>>> {
    let groups =
        ports.iter().filter_map(|port| port.group).max().map_or(0, |last| last + 1);
    if MOST_USERS < users.len() || MOST_PORTS < ports.len() || MOST_PORTS < groups {
        return None;
    }
    let mut choices = vec![Vec::new()];
    for group in 0..groups {
        let rates = lower_ends(ports, users, group);
        let each = users.len() * users.len() * (ports.len() + users.len());
        if MOST_WORK < choices.len() * rates.len() * each {
            return None;
        }
        let longer = choices.iter().flat_map(|choice| {
            rates.iter().map(move |rate| {
                let mut choice = choice.clone();
                choice.push(*rate);
                choice
            })
        });
        choices = longer.collect();
    }
    Some(choices)
}

/// The rates that one group may need: the lower ends of what could meet in it.
fn lower_ends(ports: &[Slot], users: &[Wanted], group: usize) -> Vec<Option<f64>> {
    let inside = |at: usize| ports.get(at).is_some_and(|port| port.group == Some(group));
    let could = users.iter().filter(|user| {
        user.takes.iter().enumerate().any(|(at, takes)| *takes && inside(at))
    });
    let of_ports = ports.iter().filter(|port| port.group == Some(group));
    let ranges = could.map(|user| user.rates).chain(of_ports.map(|port| port.rates));
    let mut rates: Vec<f64> = ranges.flatten().map(|(low, _)| low).collect();
    rates.sort_by(f64::total_cmp);
    rates.dedup_by(|a, b| a.total_cmp(b).is_eq());
    if rates.is_empty() { vec![None] } else { rates.into_iter().map(Some).collect() }
}

/// The cheapest assignment at these rates of the groups, and what it costs; a user for
/// which none is left has a place behind the last port.
fn solve(ports: &[Slot], users: &[Wanted], rates: &[Option<f64>]) -> (i64, Vec<usize>) {
    let columns = ports.len() + users.len();
    let weights = Matrix::from_fn(users.len(), columns, |(at, column)| {
        let (Some(user), Some(port)) = (users.get(at), ports.get(column)) else {
            return NO_PORT - count(at);
        };
        let takes = user.takes.get(column).is_some_and(|takes| *takes);
        if !takes || !suits(user, port, rates) {
            return NEVER;
        }
        if user.now == column {
            return 0;
        }
        let later = count(users.len() - at);
        count(user.signals) * CHANGE + later * ORDER + count(column)
    });
    kuhn_munkres_min(&weights)
}

/// Whether the pulses of a port suit a user, at the rate that its group has then.
fn suits(user: &Wanted, port: &Slot, rates: &[Option<f64>]) -> bool {
    let rate = port.group.and_then(|group| rates.get(group).copied().flatten());
    match (rate, user.rates, port.rates) {
        (Some(rate), ours, its) => holds(ours, rate) && holds(its, rate),
        (None, Some((low, high)), Some(its)) => {
            holds(Some(its), low.max(its.0)) && holds(Some((low, high)), low.max(its.0))
        }
        (None, ours, _) => ours.is_none_or(|(low, high)| low <= high),
    }
}

/// A count, as far as the costs leave room for it.
fn count(of: usize) -> i64 {
    i64::try_from(of.min(999)).unwrap_or(999)
}
