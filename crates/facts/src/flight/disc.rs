//! How near things come to the disc of a propeller.
//!
//! Edges of wings and tails are looked at point by point along the span, those of hinged
//! surfaces over all of their travel as well. Parts count as boxes where they state a
//! size; a part without one is a balance point, which says nothing of where it ends.

use std::rc::Rc;

use trimsheet_model::quantity::{Axis, Quantity};
use trimsheet_model::source::Span;
use trimsheet_model::{EntryId, Half, Kind, Place, Value};
use trimsheet_physics::clearance::{Disc, on_chord, turned_edge};
use trimsheet_physics::lattice::Rib;
use trimsheet_physics::space::Point;

use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What};

/// Into so many pieces a stretch of the span is cut, and the travel of a surface.
const PIECES: u16 = 48;

/// One thing near the disc, at its nearest.
struct Near {
    what: String,
    span: Option<Span>,
    /// In m, with its spread.
    by: (f64, f64),
    /// How high the edge of a surface then stands over where it lies flat, in m.
    edge: Option<f64>,
}

impl Facts {
    /// What comes how near to the disc of a propeller, the nearest first.
    pub(crate) fn near_disc(&self, propeller: &Known) -> Result<Known, NotKnown> {
        let id = propeller.entry().ok_or_else(|| NotKnown::no_such("no part"))?;
        let (disc, unsure) = self.disc(id)?;
        let mut all = Vec::new();
        self.near_edges(&disc, &mut all)?;
        self.near_surfaces(&disc, &mut all)?;
        for near in &mut all {
            near.by.1 = unsure;
        }
        self.near_parts(id, &disc, unsure, &mut all)?;
        all.sort_by(|one, two| one.by.0.total_cmp(&two.by.0));
        let list = all.iter().map(|near| self.known_near(near));
        let list = What::List(Rc::new(list.collect()));
        Ok(Known::computed(list, "near_disc", propeller.span))
    }

    fn known_near(&self, near: &Near) -> Known {
        let unit = self.length_unit();
        let by = Quantity::from_si(near.by.0, &unit).with_spread_si(near.by.1);
        let known = |what: What| Known::computed(what, near.what.clone(), near.span);
        let edge = Quantity::from_si(near.edge.unwrap_or(0.0), &unit);
        let fields = vec![
            ("what", known(What::Words(near.what.clone()))),
            ("by", known(What::Quantity(by))),
            ("moves", known(What::Flag(near.edge.is_some()))),
            ("edge", known(What::Quantity(edge.with_axis(Some(Axis::Height))))),
        ];
        known(What::Record(Rc::new(fields)))
    }

    /// The disc of a propeller, and how unsure its place along the aircraft is, in m.
    fn disc(&self, propeller: EntryId) -> Result<(Disc, f64), NotKnown> {
        let entry = self.entry(propeller)?;
        if entry.kind() != Some("propeller") {
            let says = format!("{} is no propeller, so it has no disc", entry.title());
            return Err(NotKnown::impossible(says, Some(entry.span())));
        }
        let size = self.slot(entry, self.must(propeller, "size")?, "size")?;
        let Some(Kind::Size(sizes)) = size.map(|size| &size.kind) else {
            return Err(absent(entry, "size"));
        };
        let diameter = sizes.first().map_or(0.0, Quantity::si);
        let (centre, unsure) = self.middle_of(propeller, "at")?;
        let disc = Disc::new(centre, diameter).ok_or_else(|| {
            let says = format!("{} has no diameter", entry.title());
            NotKnown::impossible(says, Some(entry.span()))
        })?;
        Ok((disc, unsure))
    }

    /// Where the middle of something is, and how unsure that is along the aircraft, in m.
    pub(crate) fn middle_of(
        &self,
        of: EntryId,
        word: &'static str,
    ) -> Result<(Point, f64), NotKnown> {
        let entry = self.entry(of)?;
        let place = self.slot(entry, self.must(of, word)?, "place")?;
        let place = place.and_then(Value::place).ok_or_else(|| absent(entry, word))?;
        let unsure = place.along.spread_si().unwrap_or(0.0);
        Ok((point(place, entry.half), unsure))
    }

    /// The edges of wings and tails, at rest.
    fn near_edges(&self, disc: &Disc, all: &mut Vec<Near>) -> Result<(), NotKnown> {
        for (id, entry) in self.of_word("wing").chain(self.of_word("tail")) {
            if !self.says(id, "rib")? {
                continue;
            }
            let ribs = self.lattice_ribs(id, 0.0)?;
            let span = entry.fact("rib").map(|rib| rib.span);
            for (name, share) in [("leading", 0.0), ("trailing", 1.0)] {
                let outs = ribs.iter().zip(ribs.iter().skip(1));
                let points = outs.flat_map(|(inner, outer)| {
                    steps().map(move |step| on_chord(&between(inner, outer, step), share))
                });
                let Some(by) = nearest(disc, points) else { continue };
                let what = format!("the {name} edge of {}", entry.title());
                all.push(Near { what, span, by: (by, 0.0), edge: None });
            }
        }
        Ok(())
    }

    /// The edges of hinged surfaces, over all of their travel.
    fn near_surfaces(&self, disc: &Disc, all: &mut Vec<Near>) -> Result<(), NotKnown> {
        for (on, _) in self.of_word("wing").chain(self.of_word("tail")) {
            for surface in self.hinged_to(on)? {
                let entry = self.entry(surface)?;
                if !self.says(surface, "throw")? {
                    continue;
                }
                let ribs = self.lattice_ribs(on, 0.0)?;
                let travel = self.travel(surface)?;
                let mut best: Option<(f64, f64)> = None;
                for step in steps() {
                    let height = travel.down + step * (travel.up - travel.down);
                    let edge = self.turned_edge(surface, &ribs, height)?;
                    let Some(by) = nearest(disc, edge.into_iter()) else { continue };
                    if best.is_none_or(|(least, _)| by < least) {
                        best = Some((by, height));
                    }
                }
                let Some((by, height)) = best else { continue };
                let (what, by) = (format!("the edge of {}", entry.title()), (by, 0.0));
                let span = entry.fact("throw").map(|throw| throw.span);
                all.push(Near { what, span, by, edge: Some(height) });
            }
        }
        Ok(())
    }

    /// The edge of a surface that stands so high at its inner end, point by point.
    fn turned_edge(
        &self,
        surface: EntryId,
        ribs: &[Rib],
        height: f64,
    ) -> Result<Vec<Point>, NotKnown> {
        let entry = self.entry(surface)?;
        let angle = self.edge_angle(surface, height, false)?;
        let (root, tip) = self.hinge_to_edge(surface)?;
        let reach = self.must(surface, "reach")?.first().and_then(Value::range);
        let (inner, outer) = reach.ok_or_else(|| absent(entry, "reach"))?;
        let (inner, outer) = (inner.si(), outer.si());
        let points = steps().filter_map(|step| {
            let rib = rib_between(ribs, inner + step * (outer - inner))?;
            let depth = root + step * (tip - root);
            Some(turned_edge(on_chord(&rib, 1.0), depth, angle))
        });
        Ok(points.collect())
    }

    /// Parts that state a size, but for what turns with the propeller.
    fn near_parts(
        &self,
        propeller: EntryId,
        disc: &Disc,
        unsure: f64,
        all: &mut Vec<Near>,
    ) -> Result<(), NotKnown> {
        for (id, entry) in self.of_word("part") {
            let turns = matches!(entry.kind(), Some("propeller" | "motor"));
            if id == propeller
                || turns
                || !self.says(id, "size")?
                || !self.says(id, "at")?
            {
                continue;
            }
            let size = self.slot(entry, self.must(id, "size")?, "size")?;
            let Some(Kind::Size(sizes)) = size.map(|size| &size.kind) else { continue };
            let [long, wide, high] = sizes.as_slice() else { continue };
            let (middle, own) = self.middle_of(id, "at")?;
            let sizes = [long.si(), wide.si(), high.si()];
            let Some(by) = disc.to_box(middle, sizes) else { continue };
            let span = entry.fact("at").map(|at| at.span);
            let by = (by, (unsure * unsure + own * own).sqrt());
            all.push(Near { what: entry.title(), span, by, edge: None });
        }
        Ok(())
    }
}

/// A place in space; of a pair, on the side of its half.
fn point(place: &Place, half: Option<Half>) -> Point {
    let si = |side: &Option<Quantity>| side.as_ref().map_or(0.0, Quantity::si);
    let is_out = place.across.as_ref().is_some_and(|at| at.axis() == Some(Axis::Out));
    let sign = if is_out && half == Some(Half::Left) { -1.0 } else { 1.0 };
    Point {
        aft: place.along.si(),
        right: sign * si(&place.across),
        up: si(&place.upward),
    }
}

/// From nought to one, both ends included.
fn steps() -> impl Iterator<Item = f64> {
    (0..=PIECES).map(|piece| f64::from(piece) / f64::from(PIECES))
}

/// The nearest of some points of the right half, or of their mirror images.
fn nearest(disc: &Disc, points: impl Iterator<Item = Point>) -> Option<f64> {
    let ways = points.flat_map(|point| {
        let mirrored = Point { right: -point.right, ..point };
        [point, mirrored].map(|point| disc.to_box(point, [0.0; 3]))
    });
    ways.flatten().reduce(f64::min)
}

fn between(inner: &Rib, outer: &Rib, step: f64) -> Rib {
    let mix = |one: f64, two: f64| one + step * (two - one);
    Rib {
        out: mix(inner.out, outer.out),
        up: mix(inner.up, outer.up),
        leading_edge: mix(inner.leading_edge, outer.leading_edge),
        chord: mix(inner.chord, outer.chord),
        incidence: mix(inner.incidence, outer.incidence),
    }
}

/// The chord at a place along the span, if the ribs reach so far.
fn rib_between(ribs: &[Rib], out: f64) -> Option<Rib> {
    let mut pairs = ribs.iter().zip(ribs.iter().skip(1));
    let pair = pairs.find(|(inner, outer)| inner.out <= out && out <= outer.out)?;
    let long = pair.1.out - pair.0.out;
    let step = if 0.0 < long { (out - pair.0.out) / long } else { 0.0 };
    Some(between(pair.0, pair.1, step))
}
