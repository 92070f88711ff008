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

/// A propeller whose size and place are known.
struct Turning {
    id: EntryId,
    half: Option<Half>,
    disc: Disc,
    /// How unsure its place along the aircraft is, in m.
    unsure: f64,
}

/// One thing at its nearest to a disc.
struct Near {
    what: String,
    span: Option<Span>,
    /// In m.
    by: f64,
    /// How high the edge of a surface then stands over where it lies flat, in m.
    edge: f64,
}

impl Facts {
    /// How near something comes to the disc of each propeller that is known.
    ///
    /// Both halves of a wing are alike, so of a pair of propellers one is enough for it.
    pub(crate) fn near_discs(&self, of: &Known) -> Result<Known, NotKnown> {
        let id = of.entry().ok_or_else(|| NotKnown::no_such("no entry"))?;
        let entry = self.entry(id)?;
        let mut found = Vec::new();
        for turning in self.propellers()? {
            let is_mirrored = turning.half == Some(Half::Left);
            let disc = &turning.disc;
            let (all, own) = match entry.row.word {
                "part" => self.near_part(id, disc)?,
                _ if is_mirrored => (Vec::new(), 0.0),
                "surface" => (self.near_surface(id, disc)?, 0.0),
                _ => (self.near_edges(id, disc)?, 0.0),
            };
            let unsure = (turning.unsure * turning.unsure + own * own).sqrt();
            found.extend(all.iter().map(|near| self.known_near(near, &turning, unsure)));
        }
        let list = What::List(Rc::new(found));
        Ok(Known::computed(list, "near_discs", of.span))
    }

    /// The propellers whose size and place are known; the others are asked for by
    /// whoever asks about them.
    fn propellers(&self) -> Result<Vec<Turning>, NotKnown> {
        let mut all = Vec::new();
        for propeller in self.parts_of_kind("propeller")? {
            let Some(id) = propeller.entry() else { continue };
            if let Ok((disc, unsure)) = self.disc(id) {
                all.push(Turning { id, half: self.entry(id)?.half, disc, unsure });
            }
        }
        Ok(all)
    }

    fn known_near(&self, near: &Near, turning: &Turning, unsure: f64) -> Known {
        let unit = self.length_unit();
        let by = Quantity::from_si(near.by, &unit).with_spread_si(unsure);
        let edge = Quantity::from_si(near.edge, &unit).with_axis(Some(Axis::Height));
        let known = |what: What| Known::computed(what, near.what.clone(), near.span);
        let fields = vec![
            ("what", known(What::Words(near.what.clone()))),
            ("propeller", self.known_entry(turning.id)),
            ("by", known(What::Quantity(by))),
            ("edge", known(What::Quantity(edge))),
        ];
        known(What::Record(Rc::new(fields)))
    }

    /// The disc of a propeller, and how unsure its place along the aircraft is, in m.
    fn disc(&self, propeller: EntryId) -> Result<(Disc, f64), NotKnown> {
        let entry = self.entry(propeller)?;
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

    /// The edges of a wing or a tail, at rest.
    fn near_edges(&self, id: EntryId, disc: &Disc) -> Result<Vec<Near>, NotKnown> {
        if !self.says(id, "rib")? {
            return Ok(Vec::new());
        }
        let entry = self.entry(id)?;
        let ribs = self.lattice_ribs(id, 0.0)?;
        let span = entry.fact("rib").map(|rib| rib.span);
        let edges = [("leading", 0.0), ("trailing", 1.0)];
        let edges = edges.into_iter().filter_map(|(name, share)| {
            let stretches = ribs.iter().zip(ribs.iter().skip(1));
            let points = stretches.flat_map(|(inner, outer)| {
                steps().map(move |step| on_chord(&inner.towards(outer, step), share))
            });
            let what = format!("the {name} edge of {}", entry.title());
            Some(Near { what, span, by: nearest(disc, points)?, edge: 0.0 })
        });
        Ok(edges.collect())
    }

    /// The edge of a hinged surface, over all of its travel.
    fn near_surface(&self, id: EntryId, disc: &Disc) -> Result<Vec<Near>, NotKnown> {
        let entry = self.entry(id)?;
        let Some(on) = self.hinged_on(id)? else { return Ok(Vec::new()) };
        if self.entry(on)?.row.word == "fin" || !self.says(id, "throw")? {
            return Ok(Vec::new());
        }
        let ribs = self.lattice_ribs(on, 0.0)?;
        let travel = self.travel(id)?;
        let mut best: Option<(f64, f64)> = None;
        for step in steps() {
            let angle = travel.down + step * (travel.up - travel.down);
            let edge = self.turned_edge(id, &ribs, angle)?;
            let Some(by) = nearest(disc, edge.into_iter()) else { continue };
            if best.is_none_or(|(least, _)| by < least) {
                best = Some((by, self.edge_height(id, angle)?));
            }
        }
        let span = entry.fact("throw").map(|throw| throw.span);
        let what = format!("the edge of {}", entry.title());
        Ok(best.map(|(by, edge)| Near { what, span, by, edge }).into_iter().collect())
    }

    /// The edge of a surface at an angle, point by point.
    fn turned_edge(
        &self,
        surface: EntryId,
        ribs: &[Rib],
        angle: f64,
    ) -> Result<Vec<Point>, NotKnown> {
        let (root, tip) = self.hinge_to_edge(surface)?;
        let (inner, outer) = self.along_span(surface)?;
        let points = steps().filter_map(|step| {
            let rib = rib_between(ribs, inner + step * (outer - inner))?;
            let depth = root + step * (tip - root);
            Some(turned_edge(on_chord(&rib, 1.0), depth, angle))
        });
        Ok(points.collect())
    }

    /// A part that states a size, unless it turns with the propeller; and how unsure its
    /// place along the aircraft is, in m.
    fn near_part(&self, id: EntryId, disc: &Disc) -> Result<(Vec<Near>, f64), NotKnown> {
        let entry = self.entry(id)?;
        let turns = matches!(entry.kind(), Some("propeller" | "motor"));
        if turns || !self.says(id, "size")? || !self.says(id, "at")? {
            return Ok((Vec::new(), 0.0));
        }
        let size = self.slot(entry, self.must(id, "size")?, "size")?;
        let Some(Kind::Size(sizes)) = size.map(|size| &size.kind) else {
            return Ok((Vec::new(), 0.0));
        };
        let [long, wide, high] = sizes.as_slice() else { return Ok((Vec::new(), 0.0)) };
        let (middle, unsure) = self.middle_of(id, "at")?;
        let by = disc.to_box(middle, [long.si(), wide.si(), high.si()]);
        let span = entry.fact("at").map(|at| at.span);
        let what = entry.title();
        let near = by.map(|by| Near { what, span, by, edge: 0.0 });
        Ok((near.into_iter().collect(), unsure))
    }
}

/// A place in space; of a pair, on the side of its half.
pub(crate) fn point(place: &Place, half: Option<Half>) -> Point {
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

/// The chord at a place along the span, if the ribs reach so far.
fn rib_between(ribs: &[Rib], out: f64) -> Option<Rib> {
    let mut pairs = ribs.iter().zip(ribs.iter().skip(1));
    let pair = pairs.find(|(inner, outer)| inner.out <= out && out <= outer.out)?;
    let long = pair.1.out - pair.0.out;
    let step = if 0.0 < long { (out - pair.0.out) / long } else { 0.0 };
    Some(pair.0.towards(pair.1, step))
}
