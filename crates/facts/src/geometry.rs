//! Outlines, and how parts lie in their bays.

use std::rc::Rc;

use trimsheet_model::quantity::{Axis, Dimension, Quantity, Unit};
use trimsheet_model::{EntryId, Kind, Value};
use trimsheet_physics::balance::Term;
use trimsheet_physics::planform::{NoPlanform, Planform, Rib, planform};

use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};
use crate::loadout::{Aboard, Fitted};

impl Facts {
    /// The ribs of a surface, from the root outward.
    pub(crate) fn ribs(&self, surface: EntryId) -> Result<Vec<Rib>, NotKnown> {
        self.must(surface, "rib")?;
        let entry = self.entry(surface)?;
        let mut ribs = Vec::new();
        for fact in entry.all("rib") {
            let number = |slot: &str| -> Result<f64, NotKnown> {
                let value = self.slot(entry, fact, slot)?;
                let quantity = value.and_then(Value::quantity);
                quantity.map(Quantity::si).ok_or_else(|| {
                    NotKnown::impossible("a rib is not whole", Some(fact.span))
                })
            };
            let (out, chord) = (number("out")?, number("chord")?);
            ribs.push(Rib { out, chord, leading_edge: number("leading-edge")? });
        }
        Ok(ribs)
    }

    /// Area, span and mean chord of a surface; a fin has one half only.
    pub(crate) fn planform(&self, surface: EntryId) -> Result<Known, NotKnown> {
        let outline = self.outline(surface)?;
        let entry = self.entry(surface)?;
        let span = entry.fact("rib").map(|rib| rib.span);
        let halves = if entry.row.word == "fin" { 0.5 } else { 1.0 };
        let length = self.length_unit();
        let long = |value: f64| What::Quantity(Quantity::from_si(value, &length));
        let area = Quantity::from_si(
            outline.area * halves,
            &Unit::for_dimension(Dimension::AREA),
        );
        let share = Unit::for_dimension(Dimension::NONE);
        let edge = Quantity::from_si(outline.mean_chord_leading_edge, &length);
        let fields = [
            ("area", What::Quantity(area)),
            ("span", long(outline.span * halves)),
            (
                "aspect_ratio",
                What::Quantity(Quantity::from_si(outline.aspect_ratio * halves, &share)),
            ),
            ("mean_chord", long(outline.mean_chord)),
            ("mean_chord_out", long(outline.mean_chord_out)),
            ("leading_edge", What::Quantity(edge.with_axis(Some(Axis::Length)))),
        ];
        let record = fields.into_iter().map(|(name, what)| {
            (name, Known::computed(what, format!("planform.{name}"), span))
        });
        Ok(Known::computed(What::Record(Rc::new(record.collect())), "planform", span))
    }

    pub(crate) fn outline(&self, surface: EntryId) -> Result<Planform, NotKnown> {
        let span = self.must(surface, "rib")?.span;
        let ribs = self.ribs(surface)?;
        planform(&ribs).map_err(|why| NotKnown::impossible(no_planform(why), Some(span)))
    }

    /// What keeps the ribs of a surface from making an outline: one sentence or none.
    pub(crate) fn outline_faults(
        &self,
        surface: EntryId,
    ) -> Result<Vec<Known>, NotKnown> {
        let Some(first) = self.fact(surface, "rib")? else { return Ok(Vec::new()) };
        let ribs = self.ribs(surface)?;
        let rib_spans: Vec<_> =
            self.entry(surface)?.all("rib").map(|rib| rib.span).collect();
        let mut faults = Vec::new();
        let pairs = ribs.iter().zip(ribs.iter().skip(1)).zip(rib_spans.iter().skip(1));
        for ((before, after), span) in pairs {
            if after.out < before.out {
                let says = "this rib is not further out than the rib before it";
                faults.push(Known::computed(
                    What::Words(says.into()),
                    "rib",
                    Some(*span),
                ));
            }
        }
        if faults.is_empty() {
            let why = planform(&ribs).err().map(no_planform);
            let span = Some(first.span);
            faults.extend(
                why.map(|says| Known::computed(What::Words(says.into()), "rib", span)),
            );
        }
        Ok(faults)
    }

    /// A place along the length in metres aft, as a share of the mean chord of the wing.
    ///
    /// # Errors
    /// That there is no wing, or what of its outline is not known.
    pub fn chord_share(&self, station: f64) -> Result<Quantity, NotKnown> {
        let (wing, _) =
            self.build.of_word("wing").next().ok_or_else(|| {
                NotKnown::impossible("there is no wing", self.build.whole)
            })?;
        let outline = self.outline(wing)?;
        Ok(Quantity::from_si(
            outline.share(station),
            &Unit::for_dimension(Dimension::NONE),
        ))
    }

    /// From where to where the airframe reaches, as far as bodies, bays and ribs say.
    pub(crate) fn extent(&self) -> Result<Known, NotKnown> {
        let mut ends: Option<(f64, f64)> = None;
        let mut widen = |front: f64, rear: f64| {
            let (nose, tail) = ends.unwrap_or((front, rear));
            ends = Some((nose.min(front), tail.max(rear)));
        };
        for (id, entry) in self.build.aboard() {
            match entry.row.word {
                "body" | "bay" => {
                    let reach = self.fact(id, "reach")?.and_then(|fact| fact.first());
                    if let Some(Kind::Range(low, high)) = reach.map(|reach| &reach.kind) {
                        widen(low.si(), high.si());
                    }
                }
                "wing" | "tail" | "fin" if self.says(id, "rib")? => {
                    for rib in self.ribs(id)? {
                        widen(rib.leading_edge, rib.leading_edge + rib.chord);
                    }
                }
                _ => {}
            }
        }
        let says = "neither a body, a bay nor a rib says how far the airframe reaches";
        let (front, rear) =
            ends.ok_or_else(|| NotKnown::impossible(says, self.build.whole))?;
        let length = self.length_unit();
        let end = |si: f64| {
            let quantity = Quantity::from_si(si, &length).with_axis(Some(Axis::Length));
            Known::computed(What::Quantity(quantity), "extent", self.build.whole)
        };
        let record = vec![("front", end(front)), ("rear", end(rear))];
        Ok(Known::computed(What::Record(Rc::new(record)), "extent", self.build.whole))
    }

    /// Parts that overlap each other in one bay, or reach out of it.
    pub(crate) fn crowding(&self, loadout: EntryId) -> Result<Vec<Known>, NotKnown> {
        let fitted = self.fitted(loadout)?;
        let mut found = Vec::new();
        for chosen in fitted.ways().unwrap_or_default() {
            let boxes = self.boxes(&fitted, &chosen)?;
            for (index, one) in boxes.iter().enumerate() {
                self.reach_out(one, &mut found)?;
                for other in boxes.iter().skip(index + 1) {
                    self.overlap(one, other, &mut found);
                }
            }
        }
        // Corners differ in one part at a time: the same crowding is said once, at its worst.
        let mut worst: Vec<Known> = Vec::new();
        for known in found {
            match worst.iter_mut().find(|seen| seen.name == known.name) {
                None => worst.push(known),
                Some(seen) if by(&known) > by(seen) => *seen = known,
                Some(_) => {}
            }
        }
        Ok(worst)
    }

    fn boxes(&self, fitted: &Fitted, chosen: &[bool]) -> Result<Vec<Boxed>, NotKnown> {
        let mut boxes = Vec::new();
        for (index, item) in fitted.items_when(chosen) {
            let Some(aboard) =
                fitted.items.get(index).filter(|aboard| !aboard.is_ballast)
            else {
                continue;
            };
            let (Some(bay), Some(size)) = (self.bay_of(aboard)?, item.size) else {
                continue;
            };
            let middle = item.at.map(|term: Term| term.value);
            let press = self.press_fit(aboard)?;
            boxes.push(Boxed { aboard: aboard.clone(), bay, middle, size, press });
        }
        Ok(boxes)
    }

    fn press_fit(&self, aboard: &Aboard) -> Result<bool, NotKnown> {
        match self.entry(aboard.entry)?.row.word {
            "part" | "pack" => self.says(aboard.entry, "press-fit"),
            _ => Ok(false),
        }
    }

    fn bay_of(&self, aboard: &Aboard) -> Result<Option<EntryId>, NotKnown> {
        let entry = self.entry(aboard.entry)?;
        for word in ["at", "slides"] {
            if let Some(fact) = self.fact(aboard.entry, word).ok().flatten()
                && let Some(inside) = self.slot(entry, fact, "inside")?
            {
                return Ok(inside.targets().first().copied());
            }
        }
        Ok(None)
    }

    fn reach_out(&self, one: &Boxed, found: &mut Vec<Known>) -> Result<(), NotKnown> {
        let bay = self.entry(one.bay)?;
        let reach = self.fact(one.bay, "reach")?.and_then(|fact| fact.first());
        if let Some(Kind::Range(front, rear)) = reach.map(|reach| &reach.kind) {
            let (nose, tail) = one.ends(0);
            let ahead = front.si() - nose;
            let behind = tail - rear.si();
            if ahead > 0.0 || behind > 0.0 {
                let (by, end) =
                    if ahead > behind { (ahead, "front") } else { (behind, "rear") };
                let half = one.size.first().copied().unwrap_or(0.0) / 2.0;
                let fits = (front.si() + half, rear.si() - half);
                let says = format!("the {end} of bay {}", bay.name);
                found.push(self.crowd(one, &says, by, bay.span(), Some(fits)));
            }
        }
        for (axis, word) in [(1, "width"), (2, "height")] {
            let room =
                self.fact(one.bay, word)?.and_then(|fact| fact.first()?.quantity());
            let needs = one.size.get(axis).copied().unwrap_or(0.0);
            if let Some(room) = room.filter(|room| needs > room.si()) {
                let says = format!("the {word} of bay {}", bay.name);
                found.push(self.crowd(one, &says, needs - room.si(), bay.span(), None));
            }
        }
        Ok(())
    }

    fn overlap(&self, one: &Boxed, other: &Boxed, found: &mut Vec<Known>) {
        if one.bay != other.bay {
            return;
        }
        let depths: Vec<f64> = (0..3)
            .map(|axis| {
                let (from, to) = one.ends(axis);
                let (other_from, other_to) = other.ends(axis);
                to.min(other_to) - from.max(other_from)
            })
            .collect();
        if depths.iter().all(|depth| *depth > 0.0) {
            let least = depths.iter().copied().fold(f64::INFINITY, f64::min);
            let says = &other.aboard.name;
            found.push(self.crowd(one, says, least, other.aboard.placed, None));
        }
    }

    fn crowd(
        &self,
        one: &Boxed,
        other: &str,
        by: f64,
        because: trimsheet_model::source::Span,
        fits: Option<(f64, f64)>,
    ) -> Known {
        let length = self.length_unit();
        let span = Some(one.aboard.placed);
        let name = format!("{} and {other}", one.aboard.name);
        let known = |what: What, span| Known::computed(what, name.clone(), span);
        let depth = Quantity::from_si(by, &length);
        let mut record = vec![
            ("part", known(What::Words(one.aboard.name.clone()), span)),
            ("other", known(What::Words(other.to_owned()), Some(because))),
            ("by", known(What::Quantity(depth), span)),
            ("press_fit", known(What::Flag(one.press), span)),
        ];
        let room = fits.filter(|(from, to)| from <= to);
        record.push(("has_room", known(What::Flag(room.is_some()), span)));
        if let Some((from, to)) = room {
            let end = |si: f64| {
                let end = Quantity::from_si(si, &length).with_axis(Some(Axis::Length));
                known(What::Quantity(end), span)
            };
            record.push(("room_from", end(from)));
            record.push(("room_to", end(to)));
        }
        known(What::Record(Rc::new(record)), span)
    }

    /// Parts that ought to mirror each other: halves of a pair, or two names that say so.
    pub(crate) fn twins(&self) -> Result<Vec<Known>, NotKnown> {
        let mut twins = Vec::new();
        for (left, entry) in self.build.of_word("part") {
            let Some(stem) = entry.name.strip_suffix("left") else { continue };
            let mirror = format!("{stem}right");
            let right =
                self.build.of_word("part").find(|(_, other)| other.name == mirror);
            let Some((right, _)) = right else { continue };
            let name = stem.trim_end_matches(['.', '-', '_']).to_owned();
            let fields = vec![
                ("left", self.known_entry(left)),
                ("right", self.known_entry(right)),
            ];
            let span = Some(entry.span());
            twins.push(Known::computed(What::Record(Rc::new(fields)), name, span));
        }
        Ok(twins)
    }
}

fn by(known: &Known) -> f64 {
    known.field("by").and_then(Known::quantity).map_or(0.0, Quantity::si)
}

/// A part as a box in its bay.
struct Boxed {
    aboard: Aboard,
    bay: EntryId,
    middle: [f64; 3],
    size: [f64; 3],
    press: bool,
}

impl Boxed {
    fn ends(&self, axis: usize) -> (f64, f64) {
        let middle = self.middle.get(axis).copied().unwrap_or(0.0);
        let half = self.size.get(axis).copied().unwrap_or(0.0) / 2.0;
        (middle - half, middle + half)
    }
}

fn no_planform(why: NoPlanform) -> String {
    match why {
        NoPlanform::TooFewRibs => {
            "one rib makes no outline: at least two are wanted".into()
        }
        NoPlanform::NotInOrder { .. } => {
            "the ribs do not go from the root outward".into()
        }
        NoPlanform::NegativeChord { .. } => "a rib has no chord".into(),
        NoPlanform::NoArea => "the ribs enclose no area".into(),
        NoPlanform::TooLarge => "the ribs are too large to reckon with".into(),
    }
}
