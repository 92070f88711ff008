//! What conducts and lies near an antenna: carbon fibre, metal, packs, leads of motors.

use trimsheet_model::quantity::{Axis, Quantity};
use trimsheet_model::source::Span;
use trimsheet_model::{Entry, EntryId, Place, Value};
use trimsheet_physics::space::Point;
use trimsheet_physics::stretch::Stretch;

use super::{Active, Found, at_line, both, list_of, sides, unsure};
use crate::computed::id;
use crate::facts::{Facts, absent};
use crate::flight::point;
use crate::known::{Known, NotKnown, record, words};
use crate::stowed::{State, Stowed};

/// Something that conducts, and where it lies.
#[derive(Clone, Debug)]
struct Conductor {
    entry: EntryId,
    title: String,
    line: Span,
    body: Body,
    /// In m.
    unsure: f64,
}

#[derive(Clone, Copy, Debug)]
enum Body {
    /// A round one by its middle line, and half of its thickness in m.
    Rod(Stretch, f64),
    /// A box by its middle and its sides in m.
    Block(Point, [f64; 3]),
}

impl Body {
    fn to(self, antenna: &Stretch) -> f64 {
        match self {
            Body::Rod(middle, half) => (middle.to_stretch(antenna) - half).max(0.0),
            Body::Block(middle, size) => antenna.to_box(middle, size),
        }
    }
}

impl Facts {
    /// How near each antenna of a part comes to each thing that conducts, but for itself.
    pub(crate) fn near_conductors(&self, of: &Known) -> Result<Known, NotKnown> {
        let part = id(of)?;
        let own = self.antennas(part)?.all;
        let mut all = Vec::new();
        if own.is_empty() {
            return Ok(list_of(all, "near_conductors", of));
        }
        let conductors = self.conductors()?.all;
        for one in &own {
            let mut nearest: Vec<(f64, &Conductor)> = Vec::new();
            for other in conductors.iter().filter(|other| other.entry != part) {
                let by = other.body.to(&one.at);
                let same = nearest.iter_mut().find(|(_, near)| near.entry == other.entry);
                match same {
                    Some(same) if by < same.0 => *same = (by, other),
                    Some(_) => {}
                    None => nearest.push((by, other)),
                }
            }
            all.extend(
                nearest.into_iter().map(|(by, other)| self.known_beside(one, other, by)),
            );
        }
        Ok(list_of(all, "near_conductors", of))
    }

    fn known_beside(&self, one: &Active, other: &Conductor, by: f64) -> Known {
        let by = self.long(by, both(one.unsure, other.unsure));
        let fields = vec![
            ("antenna", words(&one.title, one.line)),
            ("conductor", words(&other.title, other.line)),
            ("by", at_line(by, one.line)),
        ];
        record(fields, "near_conductor", one.line)
    }

    /// Whether all is known of where a part has antennas and what conducts lies.
    pub(crate) fn near_conductors_known(&self, of: &Known) -> Result<Known, NotKnown> {
        let part = id(of)?;
        let mut own = self.antennas(part)?;
        if self.entry(part)?.fact("antenna").is_some() {
            own.not_known.extend(self.conductors()?.not_known);
        }
        own.known(of)
    }

    /// Everything that conducts, as far as its place is known.
    fn conductors(&self) -> Result<Found<Conductor>, NotKnown> {
        let mut found = Found::none();
        for (spar, _) in self.of_word("spar") {
            self.spar_conducts(spar, &mut found)?;
        }
        for (part, entry) in self.of_word("part") {
            let Some(material) = self.conducting(part, &mut found)? else { continue };
            let title = format!("{material} {}", entry.title());
            match self.middle(part) {
                Ok(middle) => self.block(part, title, &middle, 0.0, &mut found)?,
                Err(why) => found.not_known.push(why),
            }
        }
        self.packs_conduct(&mut found)?;
        self.motor_leads_conduct(&mut found)?;
        Ok(found)
    }

    /// What something is made of, if that conducts.
    fn conducting(
        &self,
        of: EntryId,
        found: &mut Found<Conductor>,
    ) -> Result<Option<&str>, NotKnown> {
        let Some(fact) = self.fact(of, "made-of")? else { return Ok(None) };
        let material = match self.slot(self.entry(of)?, fact, "material") {
            Ok(material) => material.and_then(Value::text),
            Err(why) => {
                found.not_known.push(why);
                None
            }
        };
        Ok(material.filter(|own| matches!(*own, "carbon-fibre" | "metal")))
    }

    /// A spar; one that does not say what it is made of may be carbon.
    fn spar_conducts(
        &self,
        spar: EntryId,
        found: &mut Found<Conductor>,
    ) -> Result<(), NotKnown> {
        let entry = self.entry(spar)?;
        let Some(material) = self.conducting(spar, found)? else {
            if !self.says(spar, "made-of")? {
                found.not_known.push(absent(entry, "made-of"));
            }
            return Ok(());
        };
        let (from, to, line) = match self.spar_line(spar) {
            Ok(line) => line,
            Err(why) => {
                found.not_known.push(why);
                return Ok(());
            }
        };
        let half = self.number_of(spar, "diameter", "outer").map(|thick| thick / 2.0);
        let half = half.unwrap_or_else(|why| {
            found.not_known.push(why);
            0.0
        });
        let stretch = Stretch { from: point(from, None), to: point(to, None) };
        let is_both = [from, to].into_iter().any(is_out);
        let halves = [stretch].into_iter().chain(is_both.then(|| stretch.mirrored()));
        for middle in halves {
            found.all.push(Conductor {
                entry: spar,
                title: format!("{material} {}", entry.title()),
                line,
                body: Body::Rod(middle, half),
                unsure: unsure(from).max(unsure(to)),
            });
        }
        Ok(())
    }

    fn spar_line(&self, spar: EntryId) -> Result<(&Place, &Place, Span), NotKnown> {
        let entry = self.entry(spar)?;
        let runs = self.must(spar, "runs")?;
        let end = |slot: &str| -> Result<&Place, NotKnown> {
            let place = self.slot(entry, runs, slot)?.and_then(Value::place);
            place.ok_or_else(|| absent(entry, "line"))
        };
        Ok((end("from")?, end("to")?, runs.span))
    }

    /// Something with a middle, as a box if it states its size; `slack` is what it may
    /// slide along the aircraft, in m.
    fn block(
        &self,
        of: EntryId,
        title: String,
        middle: &Active,
        slack: f64,
        found: &mut Found<Conductor>,
    ) -> Result<(), NotKnown> {
        let entry = self.entry(of)?;
        let size = match self.fact(of, "size")? {
            Some(fact) => self.slot(entry, fact, "size"),
            None => Err(absent(entry, "size")),
        };
        let size = size.unwrap_or_else(|why| {
            found.not_known.push(why);
            None
        });
        let [long, wide, high] = sides(size).unwrap_or([0.0; 3]);
        let body = Body::Block(middle.at.from, [long + slack, wide, high]);
        let (line, unsure) = (middle.line, middle.unsure);
        found.all.push(Conductor { entry: of, title, line, body, unsure });
        Ok(())
    }

    /// The packs, where each loadout has them.
    fn packs_conduct(&self, found: &mut Found<Conductor>) -> Result<(), NotKnown> {
        for (loadout, entry) in self.of_word("loadout") {
            let packs = match self.stowed_packs(State::flown(loadout)) {
                Ok(packs) => packs,
                Err(why) => {
                    found.not_known.push(why);
                    continue;
                }
            };
            for pack in packs {
                let own = self.entry(pack.entry)?;
                let title = format!("{} in loadout {}", own.title(), entry.name);
                match self.stowed_at(&pack) {
                    Ok((middle, slack)) => {
                        self.block(pack.entry, title, &middle, slack, found)?;
                    }
                    Err(why) => found.not_known.push(why),
                }
            }
        }
        Ok(())
    }

    /// The middle of a pack as a loadout has it, and how far it may slide, in m.
    pub(super) fn stowed_at(&self, pack: &Stowed<'_>) -> Result<(Active, f64), NotKnown> {
        let entry = self.entry(pack.entry)?;
        if let Some(value) = pack.at {
            let place = value.place().ok_or_else(|| absent(entry, "place"))?;
            let at = Stretch::point(point(place, entry.half));
            let (line, unsure) = (value.span, unsure(place));
            return Ok((Active { title: entry.title(), line, at, unsure }, 0.0));
        }
        if !self.says(pack.entry, "slides")? {
            return Ok((self.middle(pack.entry)?, 0.0));
        }
        let range = self.slot(entry, self.must(pack.entry, "slides")?, "range")?;
        let line = range.map_or_else(|| entry.span(), |range| range.span);
        let ends = range.and_then(Value::range).ok_or_else(|| absent(entry, "slides"))?;
        let (low, high) = (ends.0.si(), ends.1.si());
        let aft = Point::AFT.times(f64::midpoint(low, high));
        let unsure = ends.0.spread_si().map_or(0.0, f64::abs);
        let at = Stretch::point(aft);
        Ok((Active { title: entry.title(), line, at, unsure }, (high - low).abs()))
    }

    /// The leads between a motor and what feeds it, straight from one to the other.
    fn motor_leads_conduct(&self, found: &mut Found<Conductor>) -> Result<(), NotKnown> {
        for way in self.all_ways()? {
            let is_motor = |end: EntryId| {
                self.entry(end).ok().and_then(Entry::kind) == Some("motor")
            };
            let (from, to) = (way.from.entry, way.to.entry);
            if way.carries != "supply" || !(is_motor(from) || is_motor(to)) {
                continue;
            }
            match (self.middle(from), self.middle(to)) {
                (Ok(one), Ok(other)) => found.all.push(Conductor {
                    entry: way.join,
                    title: format!("leads of {}", self.entry(way.join)?.title()),
                    line: way.names,
                    body: Body::Rod(
                        Stretch { from: one.at.from, to: other.at.from },
                        0.0,
                    ),
                    unsure: one.unsure.max(other.unsure),
                }),
                (Err(why), _) | (_, Err(why)) => found.not_known.push(why),
            }
        }
        Ok(())
    }
}

/// Whether a place counts from the middle outward, on both halves.
fn is_out(place: &Place) -> bool {
    place.across.as_ref().and_then(Quantity::axis) == Some(Axis::Out)
}
