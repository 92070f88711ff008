//! What a join has to have whatever its current: length, ground, plugs of its own.
//!
//! Which ways it has is said in [`joined`](crate::joined); what flows in them is not
//! asked here.

use std::rc::Rc;

use trimsheet_model::quantity::{Quantity, Unit};
use trimsheet_model::source::{Remedy, Safety, Span};
use trimsheet_model::{EntryId, Kind, Value};
use trimsheet_physics::space::Point;

use crate::computed::id;
use crate::facts::{Facts, absent, lost};
use crate::joined::{End, Way};
use crate::known::{Known, NotKnown, What};
use crate::remedy::{in_steps, planned_edit, step};

/// A ground that two parts share by one wire.
struct Bond {
    one: EntryId,
    other: EntryId,
    /// Whether the wire is a lead of the pack, which the motor's current flows in.
    of_pack: bool,
}

/// How far it is between the ends of a way.
struct Reach<'a> {
    way: Way<'a>,
    /// Along, across and upward added up, in m.
    distance: f64,
    /// How unsure that is, in m.
    unsure: f64,
}

impl Facts {
    /// The longest way of a join, along, across and upward added up, and how many plugs
    /// a hand has to get at.
    ///
    /// What slides is taken at the end of its slide that lies further off.
    pub(crate) fn path(&self, join: &Known) -> Result<Known, NotKnown> {
        let id = id(join)?;
        let mut longest: Option<Reach<'_>> = None;
        for way in self.connections(id)? {
            let reach = self.reach(way)?;
            if longest.as_ref().is_none_or(|other| other.distance < reach.distance) {
                longest = Some(reach);
            }
        }
        let longest = longest.ok_or_else(|| absent_way(self, id, join))?;
        let mut plugs = 0;
        for end in [longest.way.from, longest.way.to] {
            plugs += i64::from(self.says(end.entry, "plug")?);
        }
        let own = i64::from(self.says(id, "plug")?);
        let distance = Quantity::from_si(longest.distance, &self.length_unit())
            .with_spread_si(longest.unsure);
        let span = Some(longest.way.names);
        let fields = vec![
            ("from", self.known_entry(longest.way.from.entry)),
            ("to", self.known_entry(longest.way.to.entry)),
            ("distance", Known::computed(What::Quantity(distance), "distance", span)),
            ("plugs", Known::computed(What::Count(plugs.max(own)), "plugs", span)),
        ];
        Ok(Known::computed(What::Record(Rc::new(fields)), "path", span))
    }

    fn reach<'a>(&self, way: Way<'a>) -> Result<Reach<'a>, NotKnown> {
        let (from, from_unsure) = self.places_of(way.from.entry)?;
        let (to, to_unsure) = self.places_of(way.to.entry)?;
        let all =
            from.iter().flat_map(|one| to.iter().map(move |other| apart(*one, *other)));
        let distance = all.fold(0.0, f64::max);
        let unsure = (from_unsure * from_unsure + to_unsure * to_unsure).sqrt();
        Ok(Reach { way, distance, unsure })
    }

    /// Where something may lie, and how unsure that is along the aircraft, in m.
    fn places_of(&self, of: EntryId) -> Result<(Vec<Point>, f64), NotKnown> {
        if self.says(of, "at")? || !self.says(of, "slides")? {
            return self.middle_of(of, "at").map(|(point, unsure)| (vec![point], unsure));
        }
        let entry = self.entry(of)?;
        let range = self.slot(entry, self.must(of, "slides")?, "range")?;
        let Some(Kind::Range(low, high)) = range.map(|range| &range.kind) else {
            return Err(absent(entry, "slides"));
        };
        let end = |end: &Quantity| Point { aft: end.si(), right: 0.0, up: 0.0 };
        let unsure = [low, high].map(|end| end.spread_si().unwrap_or(0.0));
        Ok((vec![end(low), end(high)], unsure.into_iter().fold(0.0, f64::max)))
    }

    /// Offers to write a length of wire, as planned, in whole centimetres.
    ///
    /// # Errors
    /// That it is no join, or that the length it has now is not known.
    pub fn ways_to_lengthen(
        &self,
        join: &Known,
        least: &Quantity,
    ) -> Result<Vec<Remedy>, NotKnown> {
        let id = id(join)?;
        let entry = self.entry(id)?;
        let length = self.slot(entry, self.must(id, "wire")?, "length")?;
        let length = length.ok_or_else(|| absent(entry, "length of wire"))?;
        let unit = length
            .quantity()
            .map_or_else(|| self.length_unit(), |own| own.unit().clone());
        let long = long_enough(least.si(), &unit);
        Ok(vec![Remedy {
            says: format!("make the lead {long} long or longer"),
            edits: planned_edit(length, &long.to_string()).into_iter().collect(),
            safety: Safety::Offered,
        }])
    }

    /// The supplies of a join that bring what the pack itself gives.
    pub(crate) fn pack_leads(&self, join: EntryId) -> Result<Vec<Known>, NotKnown> {
        let supplies = self.supplies()?;
        let mut found = Vec::new();
        for way in supplies.iter().filter(|way| way.join == join) {
            if self.is_of_pack(way.from, &supplies, &mut Vec::new())? {
                found.push(self.between(way, Vec::new()));
            }
        }
        Ok(found)
    }

    pub(crate) fn supplies(&self) -> Result<Vec<Way<'_>>, NotKnown> {
        let all = self.all_ways()?.into_iter();
        Ok(all.filter(|way| way.carries == "supply").collect())
    }

    /// Whether what comes out of an end is the pack's own: a pack, or a part that passes
    /// it on; what makes a rail, and a controller of a motor, does not.
    pub(crate) fn is_of_pack(
        &self,
        end: End<'_>,
        supplies: &[Way<'_>],
        met: &mut Vec<EntryId>,
    ) -> Result<bool, NotKnown> {
        let entry = self.entry(end.entry)?;
        if entry.row.word == "pack" {
            return Ok(true);
        }
        if met.contains(&end.entry) {
            return Ok(false);
        }
        met.push(end.entry);
        self.fact(end.entry, "kind")?;
        self.fact(end.entry, "rail")?;
        let is_meant =
            |name: Option<&str>| end.socket.is_empty() || name == Some(end.socket);
        let mut rails =
            entry.all("rail").map(|rail| rail.slot("name").and_then(Value::text));
        if entry.kind() == Some("speed-controller") || rails.any(is_meant) {
            return Ok(false);
        }
        for way in supplies.iter().filter(|way| way.to.entry == end.entry) {
            if self.is_of_pack(way.from, supplies, met)? {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// The signals of a join whose ends share no ground but by the leads of the pack.
    pub(crate) fn groundless(&self, join: EntryId) -> Result<Vec<Known>, NotKnown> {
        let own = self.connections(join)?;
        let signals: Vec<&Way<'_>> =
            own.iter().filter(|way| way.carries == "signal").collect();
        if signals.is_empty() {
            return Ok(Vec::new());
        }
        let bonds = self.bonds()?;
        let mut found = Vec::new();
        for way in signals {
            let (from, to) = (way.from.entry, way.to.entry);
            if grounded(from, &bonds, |bond| !bond.of_pack).contains(&to) {
                continue;
            }
            let by_pack = grounded(from, &bonds, |_| true).contains(&to);
            let by_pack =
                Known::computed(What::Flag(by_pack), "by_pack", Some(way.names));
            found.push(self.between(way, vec![("by_pack", by_pack)]));
        }
        Ok(found)
    }

    /// Every wire that joins the grounds of two parts: each supply, lifted or not, and
    /// each signal with a minus lead beside it.
    fn bonds(&self) -> Result<Vec<Bond>, NotKnown> {
        let supplies = self.supplies()?;
        let mut bonds = Vec::new();
        for way in self.all_ways()? {
            let of_pack = match way.carries {
                "supply" => self.is_of_pack(way.from, &supplies, &mut Vec::new())?,
                _ if self.has_minus(way.join)? => false,
                _ => continue,
            };
            bonds.push(Bond { one: way.from.entry, other: way.to.entry, of_pack });
        }
        Ok(bonds)
    }

    fn has_minus(&self, join: EntryId) -> Result<bool, NotKnown> {
        let Some(leads) = self.fact(join, "leads")? else { return Ok(false) };
        match leads.slot("minus") {
            None if leads.damaged => Err(lost(self.entry(join)?, "leads", leads.span)),
            minus => Ok(minus.is_some()),
        }
    }

    /// The joins further up whose plug is of the same family and gender and goes
    /// elsewhere, and how far it is from this one.
    pub(crate) fn like_plugs(&self, join: EntryId) -> Result<Vec<Known>, NotKnown> {
        let mut found = Vec::new();
        let Some(own) = self.plug(join)? else { return Ok(found) };
        for (other, _) in self.of_word("join").take_while(|(other, _)| *other != join) {
            let Some(plug) = self.plug(other)? else { continue };
            let is_like = (plug.family, plug.gender) == (own.family, own.gender);
            if !is_like || self.joins_the_same(join, other)? {
                continue;
            }
            let apart = straight(own.at, plug.at);
            let apart = Quantity::from_si(apart, &self.length_unit());
            let fields = vec![
                ("other", self.known_entry(other)),
                (
                    "apart",
                    Known::computed(What::Quantity(apart), "apart", Some(own.span)),
                ),
            ];
            let record = What::Record(Rc::new(fields));
            found.push(Known::computed(record, "like_plug", Some(own.span)));
        }
        Ok(found)
    }

    /// The plug of a join, if it has one whose gender and place are stated.
    fn plug(&self, join: EntryId) -> Result<Option<Plug<'_>>, NotKnown> {
        let Some(fact) = self.fact(join, "plug")? else { return Ok(None) };
        let entry = self.entry(join)?;
        let family = self.slot(entry, fact, "family")?.and_then(Value::text);
        let gender = self.slot(entry, fact, "gender")?.and_then(Value::text);
        let at = self.slot(entry, fact, "at")?.and_then(Value::place);
        let (Some(family), Some(gender), Some(at)) = (family, gender, at) else {
            return Ok(None);
        };
        let side = |side: &Option<Quantity>| side.as_ref().map_or(0.0, Quantity::si);
        let at =
            Point { aft: at.along.si(), right: side(&at.across), up: side(&at.upward) };
        Ok(Some(Plug { family, gender, at, span: fact.span }))
    }

    fn joins_the_same(&self, one: EntryId, other: EntryId) -> Result<bool, NotKnown> {
        let ends = |join| -> Result<Vec<_>, NotKnown> {
            let ways = self.connections(join)?.into_iter();
            Ok(ways.map(|way| (way.carries, way.from, way.to)).collect())
        };
        Ok(ends(one)? == ends(other)?)
    }

    /// The other parts that a rail feeds which feeds this one.
    pub(crate) fn fed_with(&self, part: EntryId) -> Result<Vec<Known>, NotKnown> {
        let own: Vec<Span> =
            self.rails_of(part)?.into_iter().map(|(_, line)| line).collect();
        let mut found = Vec::new();
        if own.is_empty() {
            return Ok(found);
        }
        for (other, _) in self.of_word("part").filter(|(other, _)| *other != part) {
            let rails = self.rails_of(other)?;
            if rails.iter().any(|(_, line)| own.contains(line)) {
                found.push(self.known_entry(other));
            }
        }
        Ok(found)
    }

    fn between(&self, way: &Way<'_>, more: Vec<(&'static str, Known)>) -> Known {
        let ends = [("from", way.from.entry), ("to", way.to.entry)];
        let ends = ends.map(|(name, end)| (name, self.known_entry(end)));
        let fields = ends.into_iter().chain(more).collect();
        let name = way.carries;
        Known::computed(What::Record(Rc::new(fields)), name, Some(way.names))
    }
}

/// A plug of a join, and where it sits.
struct Plug<'a> {
    family: &'a str,
    gender: &'a str,
    at: Point,
    span: Span,
}

/// Everything whose ground is the ground of one part, itself included.
fn grounded(from: EntryId, bonds: &[Bond], counts: fn(&Bond) -> bool) -> Vec<EntryId> {
    let (mut met, mut next) = (vec![from], 0);
    while let Some(one) = met.get(next).copied() {
        next += 1;
        for bond in bonds.iter().filter(|bond| counts(bond)) {
            for (end, far) in [(bond.one, bond.other), (bond.other, bond.one)] {
                if end == one && !met.contains(&far) {
                    met.push(far);
                }
            }
        }
    }
    met
}

/// Along, across and upward added up: wires run along walls.
fn apart(one: Point, other: Point) -> f64 {
    (one.aft - other.aft).abs()
        + (one.right - other.right).abs()
        + (one.up - other.up).abs()
}

fn straight(one: Point, other: Point) -> f64 {
    let sides = [one.aft - other.aft, one.right - other.right, one.up - other.up];
    sides.iter().map(|side| side * side).sum::<f64>().sqrt()
}

/// A length in whole centimetres, or in steps of a unit that is not metric, rounded up.
fn long_enough(si: f64, unit: &Unit) -> Quantity {
    const CENTIMETRE: f64 = 0.01;
    const TINY: f64 = 1e-9;
    if matches!(unit.text(), "mm" | "cm" | "m") {
        let whole = (si / CENTIMETRE - TINY).ceil() * CENTIMETRE;
        return Quantity::from_si(whole, unit);
    }
    Quantity::new((in_steps(si, unit) - TINY).ceil() * step(unit), unit)
}

fn absent_way(facts: &Facts, id: EntryId, join: &Known) -> NotKnown {
    match facts.entry(id) {
        Ok(entry) => absent(entry, "signal and no supply"),
        Err(_) => NotKnown::impossible("no such join", join.span),
    }
}
