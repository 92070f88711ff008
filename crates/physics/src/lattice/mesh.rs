//! Surfaces cut into strips, and strips into panels.

use super::chord::{Row, nearest, rows};
use super::{Flap, LARGEST, MOST_PANELS, NoLattice, Rib, SMALLEST, Surface, Tip};
use crate::space::Point;

/// A direction across the stream, of length one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Direction {
    pub(super) right: f64,
    pub(super) up: f64,
}

impl Direction {
    pub(super) fn mirrored(self) -> Self {
        Self { right: -self.right, up: self.up }
    }
}

/// One panel with its horseshoe.
#[derive(Clone, Copy, Debug)]
pub(super) struct Panel {
    pub(super) surface: usize,
    pub(super) strip: usize,
    /// The inner and the outer end of the bound vortex.
    pub(super) inner: Point,
    pub(super) outer: Point,
    /// Where no air may pass.
    pub(super) control: Point,
    pub(super) normal: Direction,
    /// In radians.
    pub(super) incidence: f64,
    /// How much of the flap's deflection it takes.
    pub(super) flap_share: f64,
    /// The cosine of the sweep of the hinge.
    pub(super) hinge_cosine: f64,
    /// The square of half the strip's width, in m².
    pub(super) core: f64,
}

impl Panel {
    /// How much it turns when the flap of a surface does.
    pub(super) fn flap(&self, surface: usize) -> f64 {
        if self.surface == surface { self.flap_share } else { 0.0 }
    }

    /// The middle of the bound vortex, where its force acts.
    pub(super) fn middle(&self) -> Point {
        self.inner.halfway(self.outer)
    }
}

/// All panels along one piece of the span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Strip {
    pub(super) surface: usize,
    pub(super) inner: Rib,
    pub(super) outer: Rib,
    has_flap: bool,
}

impl Strip {
    /// Its width, in m, across the stream.
    pub(super) fn width(&self) -> f64 {
        distance(&self.inner, &self.outer)
    }

    pub(super) fn normal(&self) -> Direction {
        let width = self.width();
        Direction {
            right: -(self.outer.up - self.inner.up) / width,
            up: (self.outer.out - self.inner.out) / width,
        }
    }

    fn hinge_cosine(&self, front: f64) -> f64 {
        let aft = point(&self.outer, front).minus(point(&self.inner, front)).aft;
        let width = self.width();
        width / (width * width + aft * aft).sqrt()
    }
}

/// Every surface of one half, cut.
#[derive(Clone, Debug)]
pub(super) struct Mesh {
    pub(super) panels: Vec<Panel>,
    pub(super) strips: Vec<Strip>,
    flaps: Vec<usize>,
}

impl Mesh {
    pub(super) fn new(surfaces: &[Surface]) -> Result<Self, NoLattice> {
        if surfaces.is_empty() {
            return Err(NoLattice::NoSurface);
        }
        let mut mesh = Self { panels: Vec::new(), strips: Vec::new(), flaps: Vec::new() };
        for (index, surface) in surfaces.iter().enumerate() {
            check(index, surface)?;
            mesh.add(index, surface)?;
        }
        Ok(mesh)
    }

    /// Which surfaces have a flap, from 0.
    pub(super) fn surfaces_with_flap(&self) -> impl Iterator<Item = usize> + '_ {
        self.flaps.iter().copied()
    }

    fn add(&mut self, index: usize, surface: &Surface) -> Result<(), NoLattice> {
        let rows = rows(surface.grid, surface.flap.as_ref());
        let strips = strips(index, surface);
        if MOST_PANELS < self.panels.len() + rows.len() * strips.len() {
            return Err(NoLattice::TooManyPanels);
        }
        if surface.flap.is_some() {
            self.flaps.push(index);
        }
        let front = surface.flap.map_or(1.0, |flap| 1.0 - flap.chord_share);
        for strip in strips {
            let panels =
                rows.iter().map(|row| panel(&strip, self.strips.len(), row, front));
            self.panels.extend(panels);
            self.strips.push(strip);
        }
        Ok(())
    }
}

/// Cuts a surface along its span.
fn strips(index: usize, surface: &Surface) -> Vec<Strip> {
    let ribs = with_flap_ends(surface);
    let pieces = || ribs.iter().zip(ribs.iter().skip(1));
    let whole: f64 = pieces().map(|(inner, outer)| distance(inner, outer)).sum();
    // What is no longer than rounding is a step, as if its ribs lay at one place.
    let slack = 1e-9 * whole;
    let is_long =
        |(_, (inner, outer)): &(usize, (&Rib, &Rib))| slack < distance(inner, outer);
    let last = pieces().enumerate().rfind(is_long).map(|(piece, _)| piece);
    let most = surface.grid.spanwise;
    let mut strips = Vec::new();
    for (piece, (inner, outer)) in pieces().enumerate() {
        let length = distance(inner, outer);
        if length <= slack {
            continue;
        }
        let count = nearest(f64::from(most) * length / whole, 1, most);
        let inset = match surface.grid.tip {
            Tip::Inset if Some(piece) == last => 0.25,
            Tip::Inset | Tip::Full => 0.0,
        };
        let middle = (inner.out + outer.out) / 2.0;
        let has_flap =
            surface.flap.is_some_and(|flap| flap.inner < middle && middle < flap.outer);
        let edge = |number: u16| {
            inner.towards(outer, f64::from(number) / (f64::from(count) + inset))
        };
        strips.extend((0..count).map(|number| Strip {
            surface: index,
            inner: edge(number),
            outer: edge(number + 1),
            has_flap,
        }));
    }
    strips
}

/// The ribs of a surface, and one at each end of its flap.
fn with_flap_ends(surface: &Surface) -> Vec<Rib> {
    let mut ribs = surface.ribs.clone();
    let Some(flap) = surface.flap else { return ribs };
    // A flap that ends at a rib but for rounding makes no strip of its own.
    let slack = 1e-9 * flap.outer;
    for end in [flap.inner, flap.outer] {
        if ribs.iter().any(|rib| (rib.out - end).abs() <= slack) {
            continue;
        }
        let Some(place) = ribs.iter().position(|rib| end < rib.out) else { continue };
        let (before, after) = ribs.split_at(place);
        if let (Some(inner), Some(outer)) = (before.last(), after.first()) {
            let rib = inner.towards(outer, (end - inner.out) / (outer.out - inner.out));
            ribs.insert(place, rib);
        }
    }
    ribs
}

fn panel(strip: &Strip, number: usize, row: &Row, front: f64) -> Panel {
    let (quarter, three) = (row.vortex(), row.control());
    let width = strip.width();
    Panel {
        surface: strip.surface,
        strip: number,
        inner: point(&strip.inner, quarter),
        outer: point(&strip.outer, quarter),
        control: point(&strip.inner, three).halfway(point(&strip.outer, three)),
        normal: strip.normal(),
        incidence: (strip.inner.incidence + strip.outer.incidence) / 2.0,
        flap_share: if strip.has_flap { row.flap_share } else { 0.0 },
        hinge_cosine: strip.hinge_cosine(front),
        core: width * width / 4.0,
    }
}

/// The place at a share of a rib's chord.
fn point(rib: &Rib, share: f64) -> Point {
    Point { aft: rib.leading_edge + share * rib.chord, right: rib.out, up: rib.up }
}

fn distance(inner: &Rib, outer: &Rib) -> f64 {
    let (out, up) = (outer.out - inner.out, outer.up - inner.up);
    (out * out + up * up).sqrt()
}

fn check(surface: usize, given: &Surface) -> Result<(), NoLattice> {
    if given.ribs.len() < 2 {
        return Err(NoLattice::TooFewRibs { surface });
    }
    if given.grid.spanwise == 0 || given.grid.chordwise == 0 {
        return Err(NoLattice::NoPanels { surface });
    }
    let mut before = 0.0;
    for (rib, found) in given.ribs.iter().enumerate() {
        let lengths = [found.out, found.up, found.leading_edge, found.chord];
        let is_small = lengths.iter().all(|length| length.abs() <= LARGEST);
        if !is_small || !found.incidence.is_finite() {
            return Err(NoLattice::TooLarge);
        }
        if found.out < before {
            return Err(NoLattice::NotInOrder { surface, rib });
        }
        if found.chord < 0.0 {
            return Err(NoLattice::NegativeChord { surface, rib });
        }
        before = found.out;
    }
    check_pieces(surface, given)?;
    given.flap.map_or(Ok(()), |flap| check_flap(surface, given, flap))
}

fn check_pieces(surface: usize, given: &Surface) -> Result<(), NoLattice> {
    let mut whole = 0.0;
    for (piece, (inner, outer)) in
        given.ribs.iter().zip(given.ribs.iter().skip(1)).enumerate()
    {
        let length = distance(inner, outer);
        if inner == outer {
            return Err(NoLattice::CoincidentRibs { surface, rib: piece + 1 });
        }
        if 0.0 < length && inner.chord + outer.chord < SMALLEST {
            return Err(NoLattice::NoArea { surface });
        }
        whole += length;
    }
    let leaves = given.ribs.last().is_some_and(|tip| SMALLEST <= tip.out);
    if leaves && SMALLEST <= whole { Ok(()) } else { Err(NoLattice::NoSpan { surface }) }
}

fn check_flap(surface: usize, given: &Surface, flap: Flap) -> Result<(), NoLattice> {
    if ![flap.inner, flap.outer, flap.chord_share].iter().all(|number| number.is_finite())
    {
        return Err(NoLattice::TooLarge);
    }
    let (Some(root), Some(tip)) = (given.ribs.first(), given.ribs.last()) else {
        return Err(NoLattice::TooFewRibs { surface });
    };
    let slack = 1e-9 * tip.out;
    let is_within = root.out - slack <= flap.inner && flap.outer <= tip.out + slack;
    let is_long = flap.inner + slack < flap.outer;
    let has_chord = 0.0 < flap.chord_share && flap.chord_share <= 1.0;
    if is_within && is_long && has_chord {
        Ok(())
    } else {
        Err(NoLattice::NoFlap { surface })
    }
}
