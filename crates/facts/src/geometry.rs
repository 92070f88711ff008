//! Outlines, and how parts lie in their bays.

use std::rc::Rc;

use trimsheet_model::quantity::{Axis, Dimension, Quantity, Unit};
use trimsheet_model::source::Span;
use trimsheet_model::{EntryId, Half, Kind, Value};
use trimsheet_physics::balance::Term;
use trimsheet_physics::planform::{NoPlanform, Planform, Rib, planform};

use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};
use crate::loadout::{Aboard, Fitted, Fitter};
use crate::stowed::State;

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
            faults
                .extend(why.map(|says| Known::computed(What::Words(says), "rib", span)));
        }
        Ok(faults)
    }

    /// A place along the length in metres aft, as a share of the mean chord of the wing.
    ///
    /// # Errors
    /// That there is no wing, or what of its outline is not known.
    pub fn chord_share(&self, station: f64) -> Result<Quantity, NotKnown> {
        let (wing, _) = self
            .of_word("wing")
            .next()
            .ok_or_else(|| NotKnown::impossible("there is no wing", self.build.whole))?;
        let outline = self.outline(wing)?;
        Ok(Quantity::from_si(
            outline.share(station),
            &Unit::for_dimension(Dimension::NONE),
        ))
    }

    /// From where to where the airframe reaches, as far as bodies, bays and ribs say.
    ///
    /// Each end stands at the line that reaches furthest.
    pub(crate) fn extent(&self) -> Result<Known, NotKnown> {
        let mut ends: Vec<(f64, Span)> = Vec::new();
        let airframe = ["body", "bay", "wing", "tail", "fin"];
        for (id, entry) in airframe.iter().flat_map(|word| self.of_word(word)) {
            match entry.row.word {
                "body" | "bay" => {
                    let reach = self.fact(id, "reach")?.and_then(|fact| fact.first());
                    if let Some(reach) = reach
                        && let Kind::Range(low, high) = &reach.kind
                    {
                        ends.extend([(low.si(), reach.span), (high.si(), reach.span)]);
                    }
                }
                "wing" | "tail" | "fin" if self.says(id, "rib")? => {
                    for (rib, fact) in self.ribs(id)?.into_iter().zip(entry.all("rib")) {
                        let rear = rib.leading_edge + rib.chord;
                        ends.extend([(rib.leading_edge, fact.span), (rear, fact.span)]);
                    }
                }
                _ => {}
            }
        }
        let says = "neither a body, a bay nor a rib says how far the airframe reaches";
        let none = || NotKnown::impossible(says, self.build.whole);
        let end = |end: &(f64, Span)| {
            let place = Quantity::from_si(end.0, &self.length_unit());
            let place = place.with_axis(Some(Axis::Length));
            Known::computed(What::Quantity(place), "extent", Some(end.1))
        };
        let order = |a: &&(f64, Span), b: &&(f64, Span)| a.0.total_cmp(&b.0);
        let front = ends.iter().min_by(order).map(end).ok_or_else(none)?;
        let rear = ends.iter().max_by(order).map(end).ok_or_else(none)?;
        let record = vec![("front", front), ("rear", rear)];
        Ok(Known::computed(What::Record(Rc::new(record)), "extent", self.build.whole))
    }

    /// Parts of a loadout that lie nearer to each other than a clearance in metres, or
    /// overlap, or reach out of their bay.
    ///
    /// # Errors
    /// What of the parts and their places is not known.
    pub fn crowding(
        &self,
        loadout: &Known,
        clearance: f64,
    ) -> Result<Vec<Known>, NotKnown> {
        let loadout = loadout.entry().ok_or_else(|| {
            NotKnown::no_such(format!("{} is no loadout", loadout.name))
        })?;
        let fitted = self.in_bays(loadout)?;
        let mut found = Vec::new();
        for chosen in fitted.ways().unwrap_or_default() {
            let boxes = self.boxes(&fitted, &chosen)?;
            for (index, one) in boxes.iter().enumerate() {
                self.reach_out(one, &mut found)?;
                for other in boxes.iter().skip(index + 1) {
                    self.overlap(one, other, clearance, &mut found);
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

    /// What is aboard, but for what is not known and has no box in a bay: the mass of a
    /// thing elsewhere moves no wall.
    fn in_bays(&self, loadout: EntryId) -> Result<Fitted, NotKnown> {
        let mut fitter = Fitter::new(self);
        let state = State::flown(loadout);
        let (parts, packs) = (self.stowed_parts(state)?, self.stowed_packs(state)?);
        for stowed in parts.into_iter().chain(packs) {
            let Err(why) = fitter.take(&stowed) else { continue };
            if self.says(stowed.entry, "size")? && self.bay_of(stowed.entry)?.is_some() {
                return Err(why);
            }
        }
        Ok(fitter.out)
    }

    fn boxes(&self, fitted: &Fitted, chosen: &[bool]) -> Result<Vec<Boxed>, NotKnown> {
        let mut boxes = Vec::new();
        for (index, item) in fitted.items_when(chosen) {
            let Some(aboard) =
                fitted.items.get(index).filter(|aboard| !aboard.is_ballast)
            else {
                continue;
            };
            let (Some(bay), Some(size)) = (self.bay_of(aboard.entry)?, item.size) else {
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

    fn bay_of(&self, id: EntryId) -> Result<Option<EntryId>, NotKnown> {
        let entry = self.entry(id)?;
        for word in ["at", "slides"] {
            if let Some(fact) = self.fact(id, word).ok().flatten()
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
        if let Some(reach) = reach
            && let Kind::Range(front, rear) = &reach.kind
        {
            let (nose, tail) = one.ends(0);
            let ahead = settled(front.si() - nose);
            let behind = settled(tail - rear.si());
            if ahead > 0.0 || behind > 0.0 {
                let (by, end) =
                    if ahead > behind { (ahead, "front") } else { (behind, "rear") };
                let half = one.size.first().copied().unwrap_or(0.0) / 2.0;
                let fits = (front.si() + half, rear.si() - half);
                let other = format!("the {end} of bay {}", bay.name);
                let fits = Some(fits);
                let (because, way) = (reach.span, "lengthwise");
                let wall = Crowd { other, is_wall: true, because, by, way, fits };
                found.push(self.crowd(one, wall));
            }
        }
        for (axis, word, way) in [(1, "width", "sideways"), (2, "height", "in height")] {
            let Some(value) = self.fact(one.bay, word)?.and_then(|fact| fact.first())
            else {
                continue;
            };
            let needs = one.size.get(axis).copied().unwrap_or(0.0);
            if let Some(room) = value.quantity().filter(|room| needs > room.si()) {
                let other = format!("the {word} of bay {}", bay.name);
                let (because, by) = (value.span, needs - room.si());
                let wall = Crowd { other, is_wall: true, because, by, way, fits: None };
                found.push(self.crowd(one, wall));
            }
        }
        Ok(())
    }

    fn overlap(
        &self,
        one: &Boxed,
        other: &Boxed,
        clearance: f64,
        found: &mut Vec<Known>,
    ) {
        if one.bay != other.bay {
            return;
        }
        let depths =
            [(0, "lengthwise"), (1, "sideways"), (2, "in height")].map(|(axis, way)| {
                let (from, to) = one.ends(axis);
                let (other_from, other_to) = other.ends(axis);
                (settled(to.min(other_to) - from.max(other_from)), way)
            });
        // Boxes that are clear of each other in one direction do not meet.
        let least = depths.into_iter().min_by(|(a, _), (b, _)| a.total_cmp(b));
        if let Some((by, way)) = least.filter(|(by, _)| *by > -clearance) {
            let because = other.aboard.placed;
            let other = other.aboard.name.clone();
            let part = Crowd { other, is_wall: false, because, by, way, fits: None };
            found.push(self.crowd(one, part));
        }
    }

    fn crowd(&self, one: &Boxed, crowd: Crowd) -> Known {
        let length = self.length_unit();
        let span = Some(one.aboard.placed);
        let name = format!("{} and {}", one.aboard.name, crowd.other);
        let known = |what: What, span| Known::computed(what, name.clone(), span);
        let depth = Quantity::from_si(crowd.by, &length);
        let mut record = vec![
            ("part", known(What::Words(one.aboard.name.clone()), span)),
            ("other", known(What::Words(crowd.other), Some(crowd.because))),
            ("is_wall", known(What::Flag(crowd.is_wall), span)),
            ("by", known(What::Quantity(depth), span)),
            ("way", known(What::Words(crowd.way.to_owned()), span)),
            ("press_fit", known(What::Flag(one.press), span)),
        ];
        let room = crowd.fits.filter(|(from, to)| from <= to);
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

    /// The right half of what this part is the left half of, declared or named so.
    pub(crate) fn twin(&self, part: EntryId) -> Result<Known, NotKnown> {
        let entry = self.entry(part)?;
        let mirror = entry.name.strip_suffix("left").map(|stem| format!("{stem}right"));
        let twin = mirror.and_then(|mirror| {
            self.of_word("part").find(|(_, other)| other.name == mirror)
        });
        twin.map(|(right, _)| self.known_entry(right))
            .ok_or_else(|| crate::facts::absent(entry, "right half"))
    }

    /// On which side of the centre line a part is: `left`, `right` or `centre`.
    pub(crate) fn side(&self, part: EntryId) -> Result<&'static str, NotKnown> {
        let entry = self.entry(part)?;
        let at = self.slot(entry, self.must(part, "at")?, "place")?;
        let Some(Kind::Place(place)) = at.map(|at| &at.kind) else { return Ok("centre") };
        let across = place.across.as_ref().filter(|across| across.si() != 0.0);
        let Some(across) = across else { return Ok("centre") };
        let is_left = if across.axis() == Some(Axis::Out) {
            entry.half == Some(Half::Left)
        } else {
            across.si() < 0.0
        };
        Ok(if is_left { "left" } else { "right" })
    }
}

fn by(known: &Known) -> f64 {
    known.field("by").and_then(Known::quantity).map_or(0.0, Quantity::si)
}

/// What a box comes too near to.
struct Crowd {
    other: String,
    /// Whether it is the bay itself.
    is_wall: bool,
    because: Span,
    /// How far they overlap in metres; below nought where they do not.
    by: f64,
    /// The direction in which that is least.
    way: &'static str,
    /// Between which places in metres aft the box fits its bay along the length.
    fits: Option<(f64, f64)>,
}

/// A length in m without what adding left in its last digits: what touches does not overlap.
fn settled(length: f64) -> f64 {
    const NANOMETRES: f64 = 1e9;
    (length * NANOMETRES).round() / NANOMETRES
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
