//! The power tree: who feeds whom, by the supplies of the joins alone.
//!
//! An outlet that is fed apart stands for itself: it has nothing of what feeds its part.

use super::{Branch, End, Join, Thing, Way};

/// Whether a supply leads to a thing, with its plus wire.
pub(super) fn is_fed(joins: &[Join], things: &[Thing], thing: &str) -> bool {
    let tree = Tree { joins, things, met: Vec::new(), all: Vec::new() };
    tree.is_fed((thing, None))
}

/// The branches, each behind what it grows from.
pub(super) fn branches(joins: &[Join], things: &[Thing]) -> Vec<Branch> {
    let mut tree = Tree { joins, things, met: Vec::new(), all: Vec::new() };
    let mut nodes: Vec<Node<'_>> = Vec::new();
    for thing in things {
        nodes.push((&thing.name, None));
        let apart = thing.sockets.iter().filter(|socket| socket.says == APART);
        nodes.extend(
            apart.map(|socket| (thing.name.as_str(), Some(socket.name.as_str()))),
        );
    }
    nodes.retain(|node| tree.supplies(*node).next().is_some());
    let is_first =
        |tree: &Tree<'_>, node: Node<'_>| tree.is_pack(node) || !tree.is_fed(node);
    let (first, others): (Vec<Node<'_>>, Vec<Node<'_>>) =
        nodes.into_iter().partition(|node| is_first(&tree, *node));
    // What feeds each other in a ring has no first; the ring is told from where it is met.
    for node in first.into_iter().chain(others) {
        if !tree.met.contains(&node) {
            tree.grow(node);
        }
    }
    tree.all
}

/// What the sheet says of an outlet that is fed apart.
pub(super) const APART: &str = "fed apart";

/// A thing, or an outlet of it that is fed apart.
type Node<'a> = (&'a str, Option<&'a str>);

struct Tree<'a> {
    joins: &'a [Join],
    things: &'a [Thing],
    /// Whose branches stand in the tree.
    met: Vec<Node<'a>>,
    all: Vec<Branch>,
}

/// What is still to be put into the tree.
enum Next<'a> {
    Socket(Node<'a>, &'a str),
    Fed(&'a Join, &'a Way),
}

impl<'a> Tree<'a> {
    fn thing(&self, name: &str) -> Option<&'a Thing> {
        self.things.iter().find(|thing| thing.name == name)
    }

    fn is_pack(&self, (name, _): Node<'_>) -> bool {
        self.thing(name).is_some_and(|thing| thing.kind.as_deref() == Some("pack"))
    }

    fn node(&self, end: &'a End) -> Node<'a> {
        let sockets = self.thing(&end.thing).map(|thing| thing.sockets.as_slice());
        let is_apart = |name: &str| {
            let mut sockets = sockets.unwrap_or_default().iter();
            sockets.any(|socket| socket.name == name && socket.says == APART)
        };
        (&end.thing, end.socket.as_deref().filter(|name| is_apart(name)))
    }

    fn ways(&self) -> impl Iterator<Item = (&'a Join, &'a Way)> {
        let ways = self.joins.iter();
        let ways = ways.flat_map(|join| join.ways.iter().map(move |way| (join, way)));
        ways.filter(|(_, way)| way.carries == "supply")
    }

    /// What comes out of a node.
    fn supplies(&self, node: Node<'_>) -> impl Iterator<Item = (&'a Join, &'a Way)> {
        self.ways().filter(move |(_, way)| self.node(&way.from) == node)
    }

    fn is_fed(&self, node: Node<'_>) -> bool {
        self.ways().any(|(_, way)| !way.is_lifted && self.node(&way.to) == node)
    }

    fn grow(&mut self, node: Node<'a>) {
        let thing = self.thing(node.0);
        let is = if self.is_pack(node) { "pack" } else { "source" };
        self.all.push(Branch {
            is: is.to_owned(),
            says: thing.map_or(String::new(), |thing| thing.says.clone()),
            ..branch(0, named(node.0, node.1), node.0)
        });
        // A list of what is next instead of calls within calls: a chain may be long.
        let mut next = self.out_of(node, 1);
        while let Some((depth, one)) = next.pop() {
            match one {
                Next::Socket(node, socket) => {
                    self.socket(depth, node.0, socket);
                    next.extend(self.by(node, Some(socket), depth + 1));
                }
                Next::Fed(join, way) => {
                    let to = self.node(&way.to);
                    let is_met = self.met.contains(&to);
                    let feeds_on = self.supplies(to).next().is_some();
                    self.all.push(Branch {
                        join: Some(join.name.clone()),
                        gauge: join.gauge.clone(),
                        length: join.length.clone(),
                        is_lifted: way.is_lifted,
                        is_above: is_met && feeds_on && !way.is_lifted,
                        fed_by: Some(way.from.thing.clone()),
                        ..branch(depth, name(&way.to), &way.to.thing)
                    });
                    if !is_met && !way.is_lifted {
                        next.extend(self.out_of(to, depth + 1));
                    }
                }
            }
        }
    }

    fn socket(&mut self, depth: usize, thing: &str, name: &str) {
        let own = self.thing(thing).map(|own| own.sockets.as_slice());
        let own = own.unwrap_or_default().iter().find(|one| one.name == name);
        self.all.push(Branch {
            is: own.map_or(String::new(), |own| own.is.clone()),
            says: own.map_or(String::new(), |own| own.says.clone()),
            ..branch(depth, name.to_owned(), thing)
        });
    }

    /// What comes out of a node, last first: what comes out of no named socket, then what
    /// each socket gives.
    fn out_of(&mut self, node: Node<'a>, depth: usize) -> Vec<(usize, Next<'a>)> {
        self.met.push(node);
        if node.1.is_some() {
            return self.by(node, node.1, depth);
        }
        let mut sockets: Vec<&'a str> = Vec::new();
        for (_, way) in self.supplies(node) {
            let socket = way.from.socket.as_deref();
            sockets.extend(socket.filter(|socket| !sockets.contains(socket)));
        }
        let sockets = sockets.into_iter().rev();
        let mut all: Vec<(usize, Next<'a>)> =
            sockets.map(|socket| (depth, Next::Socket(node, socket))).collect();
        all.extend(self.by(node, None, depth));
        all
    }

    /// What comes out of one socket of a node, or of none, last first.
    fn by(
        &self,
        node: Node<'a>,
        socket: Option<&str>,
        depth: usize,
    ) -> Vec<(usize, Next<'a>)> {
        let own = self.supplies(node);
        let own = own.filter(|(_, way)| way.from.socket.as_deref() == socket);
        let mut all: Vec<_> =
            own.map(|(join, way)| (depth, Next::Fed(join, way))).collect();
        all.reverse();
        all
    }
}

/// A branch with nothing but its name.
fn branch(depth: usize, name: String, thing: &str) -> Branch {
    Branch {
        depth,
        name,
        thing: thing.to_owned(),
        fed_by: None,
        is: "part".to_owned(),
        says: String::new(),
        join: None,
        gauge: None,
        length: None,
        is_lifted: false,
        is_above: false,
    }
}

/// A thing, and its socket if one is named: `board.servos`.
pub(super) fn name(end: &End) -> String {
    named(&end.thing, end.socket.as_deref())
}

fn named(thing: &str, socket: Option<&str>) -> String {
    match socket {
        Some(socket) => format!("{thing}.{socket}"),
        None => thing.to_owned(),
    }
}
