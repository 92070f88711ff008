//! Who stands in which column: what is fed stands to the right of what feeds it.

use super::super::{Join, Thing, Way, Wiring};

/// What is drawn, before it has a place.
pub(super) struct Graph<'a> {
    /// What is joined, in the order of the spec.
    pub(super) things: Vec<&'a Thing>,
    /// Every way whose ends are known.
    pub(super) lines: Vec<Line<'a>>,
    /// The column of each thing, from the left.
    pub(super) columns: Vec<usize>,
    /// Whether every join is there.
    pub(super) is_whole: bool,
}

/// A way, between two of the things.
pub(super) struct Line<'a> {
    /// The number of the join, from 1.
    pub(super) number: usize,
    pub(super) way: &'a Way,
    pub(super) from: usize,
    pub(super) to: usize,
}

impl Line<'_> {
    pub(super) fn is_power(&self) -> bool {
        self.way.carries == "supply"
    }

    /// The tag that names it: `P3` for the power of the third join, `S3` for its signal.
    pub(super) fn tag(&self) -> String {
        let letter = if self.is_power() { 'P' } else { 'S' };
        format!("{letter}{}", self.number)
    }
}

impl<'a> Graph<'a> {
    pub(super) fn new(wiring: &'a Wiring) -> Graph<'a> {
        let is_end = |name: &str| {
            let mut ways = wiring.joins.iter().flat_map(|join| &join.ways);
            ways.any(|way| way.from.thing == name || way.to.thing == name)
        };
        let things: Vec<&Thing> =
            wiring.things.iter().filter(|thing| is_end(&thing.name)).collect();
        let of = |name: &str| things.iter().position(|thing| thing.name == name);
        let line = |(at, join): (usize, &'a Join)| {
            let ways = join.ways.iter().filter_map(move |way| {
                let (from, to) = (of(&way.from.thing)?, of(&way.to.thing)?);
                Some(Line { number: at + 1, way, from, to })
            });
            ways.collect::<Vec<_>>()
        };
        let lines: Vec<Line<'a>> =
            wiring.joins.iter().enumerate().flat_map(line).collect();
        let columns = columns(things.len(), &lines);
        Graph { things, lines, columns, is_whole: wiring.is_whole() }
    }

    /// The column of a thing.
    pub(super) fn column(&self, thing: usize) -> usize {
        self.columns.get(thing).copied().unwrap_or(0)
    }

    /// The ends of a line, the left one first.
    pub(super) fn ends(&self, line: &Line<'_>) -> (usize, usize) {
        if self.column(line.to) < self.column(line.from) {
            (line.to, line.from)
        } else {
            (line.from, line.to)
        }
    }
}

/// The column of each thing.
///
/// Power goes to the right wherever it can, and signals where power leaves it open; what
/// would close a ring goes to the left.
fn columns(count: usize, lines: &[Line<'_>]) -> Vec<usize> {
    let mut right: Vec<Vec<usize>> = vec![Vec::new(); count];
    let rank = |line: &Line<'_>| match (line.is_power(), line.way.is_lifted) {
        (true, false) => 0,
        (true, true) => 1,
        (false, _) => 2,
    };
    for now in 0..=2 {
        for line in lines.iter().filter(|line| rank(line) == now) {
            let (from, to) = if reaches(&right, line.to, line.from) {
                (line.to, line.from)
            } else {
                (line.from, line.to)
            };
            if let Some(next) = right.get_mut(from).filter(|_| from != to) {
                next.push(to);
            }
        }
    }
    let mut columns = vec![0; count];
    let mut moved = true;
    while moved {
        moved = false;
        for (from, next) in right.iter().enumerate() {
            let least = columns.get(from).copied().unwrap_or(0) + 1;
            for to in next {
                let Some(column) = columns.get_mut(*to) else { continue };
                if *column < least {
                    *column = least;
                    moved = true;
                }
            }
        }
    }
    columns
}

/// Whether one leads to the other.
fn reaches(right: &[Vec<usize>], from: usize, to: usize) -> bool {
    let mut met = vec![from];
    let mut next = 0;
    while let Some(at) = met.get(next).copied() {
        next += 1;
        if at == to {
            return true;
        }
        for one in right.get(at).into_iter().flatten() {
            if !met.contains(one) {
                met.push(*one);
            }
        }
    }
    false
}
