//! The net of a loadout: its points, what joins them, and what is wrong with that.

use std::collections::{BTreeMap, BTreeSet};

use trimsheet_model::quantity::{Dimension, Quantity, Unit};
use trimsheet_model::source::Span;
use trimsheet_model::{Entry, EntryId, Fact, Value};
use trimsheet_physics::network::Regulating;
use trimsheet_physics::pack::{Charge, Chemistry, cell_volts};
use trimsheet_physics::wire;

use super::demand::Currents;
use super::{Fault, FaultKind};
use crate::drive::Resists;
use crate::facts::Facts;
use crate::joined::{End, Way};
use crate::known::NotKnown;
use crate::stowed::State;

/// What a switching regulator keeps of the power, where that is not stated. Common
/// practice, no source.
const KEEPS: f64 = 0.85;

/// A point of the net: what feeds a part, under no name, or one of its rails or outlets.
type Key<'a> = (EntryId, &'a str);

/// A pack that is fitted.
#[derive(Debug)]
pub(super) struct Pack {
    pub(super) entry: EntryId,
    pub(super) at: usize,
    /// Cells and chemistry; `None` where the pack does not say its cells.
    cells: Option<(f64, Chemistry)>,
    pub(super) resistance: f64,
    pub(super) is_assumed: bool,
}

impl Pack {
    /// Its volts with nothing drawn.
    pub(super) fn volts(&self, charge: Charge) -> Option<f64> {
        self.cells.map(|(cells, chemistry)| cells * cell_volts(chemistry, charge))
    }
}

/// What becomes of a rail in the reckoning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Works {
    /// It gives what is drawn.
    AsMade,
    /// Another gives it.
    Not,
    /// It gives what is drawn, and nobody knows from what.
    FromNowhere,
}

/// A rail that a part makes.
#[derive(Debug)]
pub(super) struct Rail<'a> {
    pub(super) part: EntryId,
    pub(super) name: &'a str,
    pub(super) line: &'a Fact,
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) volts: Quantity,
    pub(super) making: &'a str,
    pub(super) regulating: Regulating,
    pub(super) currents: Currents,
    /// What of its line is not known.
    pub(super) not_known: Vec<NotKnown>,
    is_isolated: bool,
    pub(super) works: Works,
}

/// A supply whose leads resist something.
#[derive(Debug)]
pub(super) struct Lead {
    pub(super) join: EntryId,
    pub(super) names: Span,
    pub(super) ends: (EntryId, EntryId),
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) gauge: f64,
    pub(super) length: Quantity,
    pub(super) resistance: f64,
}

/// The net of a loadout.
#[derive(Debug)]
pub(super) struct Net<'a> {
    pub(super) facts: &'a Facts,
    pub(super) loadout: Option<EntryId>,
    /// The parts aboard, and those that may be.
    pub(super) parts: Vec<EntryId>,
    pub(super) packs: Vec<Pack>,
    pub(super) rails: Vec<Rail<'a>>,
    pub(super) leads: Vec<Lead>,
    /// What is not known of the leads of a join.
    pub(super) unknown_leads: Vec<(EntryId, NotKnown)>,
    /// What is not known of what packs resist; they then count as packs usually do.
    pub(super) unknown_packs: Vec<NotKnown>,
    /// Points that a supply leads to which does not say from which rail.
    unclear: Vec<(usize, NotKnown)>,
    supplies: Vec<Way<'a>>,
    points: BTreeMap<Key<'a>, usize>,
    /// Which point each has been joined to without resistance.
    same: Vec<usize>,
    pub(super) faults: Vec<Fault>,
    /// What flows from the packs while the motors stand still, in A.
    pub(super) beside: f64,
}

impl<'a> Net<'a> {
    /// Puts the net of a loadout together, and finds what is wrong with it.
    pub(super) fn new(facts: &'a Facts, loadout: EntryId) -> Result<Net<'a>, NotKnown> {
        let without = facts.named(loadout, "without")?;
        let parts = facts.of_word("part").map(|(id, _)| id);
        let parts = parts.filter(|id| !without.contains(id)).collect();
        let stowed = facts.stowed_packs(State::flown(loadout))?;
        let packs = stowed.iter().map(|stowed| stowed.entry).collect();
        let mut net = Net::joined(facts, parts, packs)?;
        net.loadout = Some(loadout);
        net.uncounted()?;
        net.circles();
        net.meeting();
        net.unfed()?;
        Ok(net)
    }

    /// Joins what the supplies between some parts and packs join.
    pub(super) fn joined(
        facts: &'a Facts,
        parts: Vec<EntryId>,
        packs: Vec<EntryId>,
    ) -> Result<Net<'a>, NotKnown> {
        let aboard: BTreeSet<EntryId> = parts.iter().chain(&packs).copied().collect();
        let mut net = Net {
            facts,
            loadout: None,
            parts,
            packs: Vec::new(),
            rails: Vec::new(),
            leads: Vec::new(),
            unknown_leads: Vec::new(),
            unknown_packs: Vec::new(),
            unclear: Vec::new(),
            supplies: Vec::new(),
            points: BTreeMap::new(),
            same: Vec::new(),
            faults: Vec::new(),
            beside: 0.0,
        };
        for pack in packs {
            net.pack(pack)?;
        }
        for part in net.parts.clone() {
            net.part(part)?;
        }
        for way in facts.all_ways()? {
            let is_aboard =
                [way.from.entry, way.to.entry].iter().all(|end| aboard.contains(end));
            if way.carries == "supply" && is_aboard {
                net.supply(way)?;
            }
        }
        Ok(net)
    }

    fn point(&mut self, key: Key<'a>) -> usize {
        let next = self.same.len();
        let found = *self.points.entry(key).or_insert(next);
        if found == next {
            self.same.push(next);
        }
        self.root(found)
    }

    /// The point that stands for all that are joined to one without resistance.
    pub(super) fn root(&self, mut point: usize) -> usize {
        while let Some(next) = self.same.get(point).copied().filter(|next| *next != point)
        {
            point = next;
        }
        point
    }

    fn unite(&mut self, one: usize, other: usize) {
        let (one, other) = (self.root(one), self.root(other));
        if let Some(same) = self.same.get_mut(one.max(other)) {
            *same = one.min(other);
        }
    }

    pub(super) fn fault(
        &mut self,
        kind: FaultKind,
        about: EntryId,
        at: Span,
        says: String,
        because: Option<(Span, String)>,
    ) {
        self.faults.push(Fault { kind, says, at, because, about });
    }

    fn pack(&mut self, id: EntryId) -> Result<(), NotKnown> {
        let facts = self.facts;
        let cells = facts.cells_of(id)?;
        let count = cells.map_or(1.0, |(count, _)| count);
        let own = facts.pack_resistance(id, count).unwrap_or_else(|why| {
            self.unknown_packs.push(why);
            Resists::usual(count)
        });
        let at = self.point((id, ""));
        let (resistance, is_assumed) = (own.ohms, own.at.is_none());
        self.packs.push(Pack { entry: id, at, cells, resistance, is_assumed });
        Ok(())
    }

    /// Packs that feed something and do not say their cells.
    fn uncounted(&mut self) -> Result<(), NotKnown> {
        let feeds = |pack: &&Pack| {
            self.supplies
                .iter()
                .any(|way| [way.from.entry, way.to.entry].contains(&pack.entry))
        };
        let unsaid = self.packs.iter().filter(|pack| pack.cells.is_none()).filter(feeds);
        for id in unsaid.map(|pack| pack.entry).collect::<Vec<_>>() {
            let entry = self.facts.entry(id)?;
            let (title, at) = (entry.title(), entry.span());
            let says =
                format!("{title} does not say its cells, so nothing tells its volts");
            self.fault(FaultKind::NoCells, id, at, says, None);
        }
        Ok(())
    }

    /// The rails and the outlets of a part.
    fn part(&mut self, id: EntryId) -> Result<(), NotKnown> {
        let facts = self.facts;
        let entry = facts.entry(id)?;
        let fed = self.point((id, ""));
        facts.fact(id, "outlet")?;
        for fact in entry.all("outlet") {
            let Some(name) = fact.slot("name").and_then(Value::text) else { continue };
            let at = self.point((id, name));
            if fact.slot("fed").is_none() {
                self.unite(fed, at);
            }
        }
        facts.fact(id, "rail")?;
        for fact in entry.all("rail") {
            self.rail(id, fact)?;
        }
        Ok(())
    }

    fn rail(&mut self, part: EntryId, line: &'a Fact) -> Result<(), NotKnown> {
        let facts = self.facts;
        let entry = facts.entry(part)?;
        let Some(name) = line.slot("name").and_then(Value::text) else { return Ok(()) };
        let mut not_known = Vec::new();
        let volts = match facts.slot(entry, line, "volts") {
            Ok(volts) => volts.and_then(Value::quantity).cloned(),
            Err(why) => {
                not_known.push(why);
                None
            }
        };
        let works = if volts.is_some() { Works::AsMade } else { Works::FromNowhere };
        // What gives this is not known, and so nothing is asked of it.
        let volts = volts.unwrap_or_else(|| {
            Quantity::from_si(5.0, &Unit::for_dimension(Dimension::VOLTAGE))
        });
        let currents = Currents::of(facts, part, line).unwrap_or_else(|why| {
            not_known.push(why);
            Currents::default()
        });
        let making = facts.slot(entry, line, "making")?.and_then(Value::text);
        let making = making.unwrap_or("");
        let keeps = kept(facts, entry, line).unwrap_or_else(|why| {
            not_known.push(why);
            KEEPS
        });
        // Where nobody says how it is made, the one that draws more is taken.
        let regulating = match making {
            "switching" => Regulating::Switching(keeps),
            _ => Regulating::Linear,
        };
        let from = match facts.slot(entry, line, "from")?.and_then(Value::text) {
            Some(other) if supplies_of(entry).any(|name| name == other) => {
                self.point((part, other))
            }
            Some(other) => {
                let says = format!(
                    "{} has no rail and no outlet `{other}` to make `{name}` from",
                    entry.title()
                );
                self.fault(FaultKind::NoSuchRail, part, line.span, says, None);
                self.point((part, ""))
            }
            None => self.point((part, "")),
        };
        let to = self.point((part, name));
        self.rails.push(Rail {
            part,
            name,
            line,
            from,
            to,
            volts,
            making,
            regulating,
            currents,
            not_known,
            is_isolated: line.slot("isolated").is_some(),
            works,
        });
        Ok(())
    }

    /// Joins what a supply joins.
    fn supply(&mut self, way: Way<'a>) -> Result<(), NotKnown> {
        self.supplies.push(way);
        if way.is("lifted") {
            return Ok(());
        }
        let to_motor = self.facts.entry(way.to.entry)?.kind() == Some("motor");
        let to = self.end(&way.to)?;
        let from = match self.begin(&way.from, to_motor)? {
            Ok(from) => from,
            Err(says) => {
                let why = NotKnown::impossible(&says, Some(way.names));
                self.unclear.push((to, why));
                self.fault(FaultKind::WhichRail, way.from.entry, way.names, says, None);
                return Ok(());
            }
        };
        let resists = self.resistance(way.join).unwrap_or_else(|why| {
            self.unknown_leads.push((way.join, why));
            None
        });
        match resists {
            Some((gauge, length, resistance)) if 0.0 < resistance => {
                let ends = (way.from.entry, way.to.entry);
                let (join, names) = (way.join, way.names);
                let lead =
                    Lead { join, names, ends, from, to, gauge, length, resistance };
                self.leads.push(lead);
            }
            Some(_) | None => self.unite(from, to),
        }
        Ok(())
    }

    /// The point that a supply comes from, or what makes that unclear.
    fn begin(
        &mut self,
        from: &End<'a>,
        to_motor: bool,
    ) -> Result<Result<usize, String>, NotKnown> {
        let entry = self.facts.entry(from.entry)?;
        let owned: Vec<&str> = supplies_of(entry).collect();
        if owned.contains(&from.socket) {
            return Ok(Ok(self.point((from.entry, from.socket))));
        }
        Ok(match owned.as_slice() {
            [only] if !to_motor => Ok(self.point((from.entry, only))),
            [_, _, ..] if !to_motor => {
                let all = owned.iter().map(|name| format!("`{}.{name}`", entry.name));
                let all: Vec<String> = all.collect();
                let (title, all) = (entry.title(), all.join(" and "));
                Err(format!(
                    "{title} gives {all}, and which of them is meant is not said"
                ))
            }
            _ => Ok(self.point((from.entry, ""))),
        })
    }

    /// The point that a supply goes to: what feeds a part, or a rail or outlet of it.
    fn end(&mut self, to: &End<'a>) -> Result<usize, NotKnown> {
        let is_named =
            supplies_of(self.facts.entry(to.entry)?).any(|name| name == to.socket);
        Ok(self.point((to.entry, if is_named { to.socket } else { "" })))
    }

    /// What the leads of a join resist, both ways; `None` where gauge or length are not
    /// said.
    fn resistance(
        &mut self,
        join: EntryId,
    ) -> Result<Option<(f64, Quantity, f64)>, NotKnown> {
        let facts = self.facts;
        let Some(fact) = facts.fact(join, "wire")? else { return Ok(None) };
        let entry = facts.entry(join)?;
        let number =
            |slot: &str| Ok(facts.slot(entry, fact, slot)?.and_then(Value::quantity));
        let (Some(gauge), Some(length)) = (number("gauge")?, number("length")?) else {
            return Ok(None);
        };
        let warm = number("warm")?.map_or(wire::TABLE_TEMPERATURE, celsius);
        let per_length = match number("resists")? {
            Some(stated) => Some(stated.si()),
            None => wire::stranded_resistance(gauge.si(), warm),
        };
        let per_length = per_length.ok_or_else(|| {
            let says = format!("no wire is known of the gauge of {}", entry.title());
            NotKnown::impossible(&says, Some(fact.span))
        })?;
        let resistance = wire::there_and_back(per_length, length.si());
        let is_said = self.faults.iter().any(|fault| fault.at == fact.span);
        if resistance <= 0.0 && !is_said {
            let says =
                format!("the leads of {} are said to resist nothing", entry.title());
            self.fault(FaultKind::NoResistance, join, fact.span, says, None);
        }
        Ok(Some((gauge.si(), length.clone(), resistance)))
    }

    /// Whether a current out of one point can come to another, along leads both ways and
    /// through rails that work.
    pub(super) fn reached(
        &self,
        begin: impl IntoIterator<Item = usize>,
    ) -> BTreeSet<usize> {
        let mut reached = BTreeSet::new();
        let mut next: Vec<usize> = begin.into_iter().map(|one| self.root(one)).collect();
        while let Some(point) = next.pop() {
            if !reached.insert(point) {
                continue;
            }
            for lead in &self.leads {
                let (from, to) = (self.root(lead.from), self.root(lead.to));
                next.extend((from == point).then_some(to));
                next.extend((to == point).then_some(from));
            }
            for rail in self.rails.iter().filter(|rail| rail.works == Works::AsMade) {
                next.extend((self.root(rail.from) == point).then(|| self.root(rail.to)));
            }
        }
        reached
    }

    /// The points that leads join to one, without a rail between.
    pub(super) fn net_of(&self, begin: usize) -> BTreeSet<usize> {
        let mut reached = BTreeSet::new();
        let mut next = vec![self.root(begin)];
        while let Some(point) = next.pop() {
            if reached.insert(point) {
                for lead in &self.leads {
                    let (from, to) = (self.root(lead.from), self.root(lead.to));
                    next.extend((from == point).then_some(to));
                    next.extend((to == point).then_some(from));
                }
            }
        }
        reached
    }

    /// Rails that are made from themselves, alone or by way of each other.
    fn circles(&mut self) {
        for index in 0..self.rails.len() {
            let Some(rail) = self.rails.get(index) else { continue };
            let (from, to) = (self.root(rail.from), rail.to);
            if !self.reached([to]).contains(&from) {
                continue;
            }
            let net = self.net_of(to);
            let is_itself = net.contains(&from);
            // One that meets the pack that it is made from is said to be that.
            if is_itself
                && self.packs.iter().any(|pack| net.contains(&self.root(pack.at)))
            {
                continue;
            }
            let title = rail_title(self.facts, rail.part, rail.name);
            let (kind, says) = if is_itself {
                (FaultKind::FedByItself, format!("rail {title} is fed by its own output"))
            } else {
                (
                    FaultKind::Loop,
                    format!("rail {title} is made from a rail that is made from it"),
                )
            };
            let (part, line) = (rail.part, rail.line.span);
            let other = self.rails.iter().find(|other| {
                kind == FaultKind::Loop
                    && other.line.span != line
                    && self.reached([to]).contains(&self.root(other.from))
            });
            let because = other.map(|other| {
                (
                    other.line.span,
                    format!(
                        "the other is {}",
                        rail_title(self.facts, other.part, other.name)
                    ),
                )
            });
            self.fault(kind, part, line, says, because);
            if let Some(rail) = self.rails.get_mut(index) {
                rail.works = Works::FromNowhere;
            }
        }
    }

    /// Rails and packs that meet without anything between them.
    fn meeting(&mut self) {
        let mut seen: BTreeSet<usize> = BTreeSet::new();
        for index in 0..self.rails.len() {
            let Some(rail) = self.rails.get(index) else { continue };
            let net = self.net_of(rail.to);
            if !net.iter().all(|point| seen.insert(*point)) {
                continue;
            }
            let of_net = self
                .rails
                .iter()
                .enumerate()
                .filter(|(_, rail)| net.contains(&self.root(rail.to)));
            let mut held: Vec<usize> = of_net.map(|(at, _)| at).collect();
            // The highest gives the current; of equal ones the first.
            held.sort_by(|one, other| {
                let volts =
                    |at: &usize| self.rails.get(*at).map_or(0.0, |rail| rail.volts.si());
                volts(other).total_cmp(&volts(one))
            });
            let pack = self.packs.iter().find(|pack| net.contains(&self.root(pack.at)));
            let pack = pack.map(|pack| pack.entry);
            for (order, at) in held.iter().enumerate() {
                if order == 0 && pack.is_none() {
                    continue;
                }
                self.second(*at, held.first().copied(), pack, &net);
            }
        }
        self.packs_meeting();
    }

    /// A rail that meets another, or a pack: a fault, unless nothing can flow back.
    fn second(
        &mut self,
        at: usize,
        first: Option<usize>,
        pack: Option<EntryId>,
        net: &BTreeSet<usize>,
    ) {
        let Some(rail) = self.rails.get(at) else { return };
        if !rail.is_isolated {
            let own = self.described(rail);
            let other = first
                .filter(|first| *first != at)
                .and_then(|first| self.rails.get(first));
            let (with, other_end) = match (pack, other) {
                (Some(pack), _) => {
                    let pack = self.facts.build.entry(pack);
                    (pack.map_or(String::new(), Entry::title), pack.map(Entry::span))
                }
                (None, Some(other)) => (
                    self.described(other),
                    Some(self.feeding(other, net).unwrap_or(other.line.span)),
                ),
                (None, None) => return,
            };
            let says = format!("{own} meets {with}: two sources feed one net");
            let at = self.feeding(rail, net).unwrap_or(rail.line.span);
            let because =
                other_end.map(|span| (span, "the other comes in here".to_owned()));
            // Of the two, the line that stands later in the spec is the one too many.
            let (at, because) = match because {
                Some((span, what)) if span.start > at.start && pack.is_none() => {
                    (span, Some((at, what)))
                }
                other => (at, other),
            };
            let part = rail.part;
            self.fault(FaultKind::TwoSources, part, at, says, because);
        }
        if let Some(rail) = self.rails.get_mut(at) {
            rail.works = Works::Not;
        }
    }

    /// A rail as a message names it, with its volts where they are known.
    fn described(&self, rail: &Rail<'_>) -> String {
        let title = rail_title(self.facts, rail.part, rail.name);
        match rail.line.slot("volts").and_then(Value::quantity) {
            Some(volts) => format!("rail {title} of {volts}"),
            None => format!("rail {title}"),
        }
    }

    /// The line of the supply by which a rail comes into a net.
    fn feeding(&self, rail: &Rail<'_>, net: &BTreeSet<usize>) -> Option<Span> {
        let from_rail = |way: &&Way<'_>| {
            // What leads to a motor passes the pack on, unless it names the rail.
            let to = self.facts.build.entry(way.to.entry).and_then(Entry::kind);
            let begins = way.from.socket == rail.name
                || (way.from.socket.is_empty() && to != Some("motor"));
            way.from.entry == rail.part && begins && !way.is("lifted")
        };
        let into = |way: &&Way<'_>| {
            let mut ends =
                [(way.to.entry, way.to.socket), (way.to.entry, "")].into_iter();
            ends.any(|key| {
                self.points.get(&key).is_some_and(|at| net.contains(&self.root(*at)))
            })
        };
        self.supplies.iter().filter(from_rail).find(into).map(|way| way.names)
    }

    /// Each pack that meets an earlier one with no rail between, and that one.
    fn side_by_side(&self) -> Vec<(&Pack, &Pack)> {
        let mut all = Vec::new();
        for (index, pack) in self.packs.iter().enumerate() {
            let net = self.net_of(pack.at);
            let mut earlier = self.packs.iter().take(index);
            let other = earlier.find(|other| net.contains(&self.root(other.at)));
            all.extend(other.map(|other| (pack, other)));
        }
        all
    }

    /// The packs that stand side by side and are not known to have other volts when full.
    pub(super) fn together(&self) -> Vec<(EntryId, EntryId)> {
        let is_even = |(one, other): &(&Pack, &Pack)| {
            let full = one.volts(Charge::Full).zip(other.volts(Charge::Full));
            full.is_none_or(|(own, its)| !is_unequal(own, its))
        };
        let even = self.side_by_side().into_iter().filter(is_even);
        even.map(|(one, other)| (one.entry, other.entry)).collect()
    }

    /// Packs side by side must have the same volts.
    fn packs_meeting(&mut self) {
        let mut found = Vec::new();
        for (pack, other) in self.side_by_side() {
            let (Some(own), Some(its)) =
                (pack.volts(Charge::Full), other.volts(Charge::Full))
            else {
                continue;
            };
            if is_unequal(own, its) {
                found.push((pack.entry, other.entry, own, its));
            }
        }
        for (pack, other, own, its) in found {
            let (Ok(one), Ok(two)) = (self.facts.entry(pack), self.facts.entry(other))
            else {
                continue;
            };
            let says = format!(
                "{} of {own:.1} V full stands side by side with {} of {its:.1} V",
                one.title(),
                two.title(),
            );
            let because = Some((two.span(), "the other".to_owned()));
            let at = one.span();
            self.fault(FaultKind::UnequalPacks, pack, at, says, because);
        }
    }

    /// The points that something feeds.
    pub(super) fn alive(&self) -> BTreeSet<usize> {
        let packs = self.packs.iter().map(|pack| pack.at);
        let nowhere = self.rails.iter().filter(|rail| rail.works == Works::FromNowhere);
        self.reached(packs.chain(nowhere.map(|rail| rail.to)))
    }

    /// The rails that feed a part, each with its volts and its line.
    pub(super) fn rails_to(
        &self,
        part: EntryId,
    ) -> Result<Vec<(Quantity, Span)>, NotKnown> {
        let Some(at) = self.feeds(part) else { return Ok(Vec::new()) };
        let net = self.net_of(at);
        let mut unclear = self.unclear.iter();
        if let Some((_, why)) = unclear.find(|(to, _)| net.contains(&self.root(*to))) {
            return Err(why.clone());
        }
        let feeding = self.rails.iter().filter(|rail| net.contains(&self.root(rail.to)));
        let volts = feeding.map(|rail| match rail.not_known.first() {
            Some(why) if rail.works == Works::FromNowhere => Err(why.clone()),
            Some(_) | None => Ok((rail.volts.clone(), rail.line.span)),
        });
        volts.collect()
    }

    /// The motors that a speed controller turns.
    pub(super) fn motors_of(&self, controller: EntryId) -> Vec<EntryId> {
        let ways = self.supplies.iter().filter(|way| way.from.entry == controller);
        let motors = ways.map(|way| way.to.entry).filter(|to| {
            self.facts.build.entry(*to).and_then(Entry::kind) == Some("motor")
        });
        motors.collect()
    }

    /// The point that feeds a part.
    pub(super) fn feeds(&self, part: EntryId) -> Option<usize> {
        self.points.get(&(part, "")).map(|at| self.root(*at))
    }

    /// Parts that need to be fed, and that nothing feeds; a spec without any supply, or
    /// without a pack, is not that far yet.
    fn unfed(&mut self) -> Result<(), NotKnown> {
        if self.supplies.is_empty() || self.packs.is_empty() {
            return Ok(());
        }
        let alive = self.alive();
        let mut dark: BTreeSet<EntryId> = BTreeSet::new();
        for part in self.parts.clone() {
            let is_alive = self.feeds(part).is_some_and(|at| alive.contains(&at));
            if !is_alive && self.facts.takes(part)? {
                dark.insert(part);
            }
        }
        for part in &dark {
            let into: Vec<Way<'_>> = self
                .supplies
                .iter()
                .filter(|way| way.to.entry == *part)
                .copied()
                .collect();
            // What is fed by a part that is itself dark has its cause there.
            if into.iter().any(|way| dark.contains(&way.from.entry) && !way.is("lifted"))
            {
                continue;
            }
            let entry = self.facts.entry(*part)?;
            let because = into.first().map(|way| {
                let what = if way.is("lifted") {
                    "the plus wire is lifted here"
                } else {
                    "nothing feeds what this comes from"
                };
                (way.names, what.to_owned())
            });
            let says = match &because {
                Some(_) => format!(
                    "nothing feeds {}, though a supply leads to it",
                    entry.title()
                ),
                None => format!("nothing feeds {}", entry.title()),
            };
            let at = entry.span();
            self.fault(FaultKind::NoSource, *part, at, says, because);
        }
        Ok(())
    }
}

/// What a switching regulator keeps of the power, above 0, up to 1.
fn kept(facts: &Facts, entry: &Entry, line: &Fact) -> Result<f64, NotKnown> {
    let stated = facts.slot(entry, line, "efficiency")?.and_then(Value::quantity);
    let keeps = stated.map_or(KEEPS, Quantity::si);
    if 0.0 < keeps && keeps <= 1.0 {
        return Ok(keeps);
    }
    let says = format!("no rail of {} can keep more power than it takes", entry.title());
    Err(NotKnown::impossible(&says, Some(line.span)))
}

/// The names of the rails and the outlets of a part.
fn supplies_of(entry: &Entry) -> impl Iterator<Item = &str> {
    let owned = entry.all("rail").chain(entry.all("outlet"));
    owned.filter_map(|fact| fact.slot("name").and_then(Value::text))
}

/// What a message calls a rail: `board.servo`.
pub(super) fn rail_title(facts: &Facts, part: EntryId, name: &str) -> String {
    let part = facts.build.entry(part).map_or("", |entry| &entry.name);
    format!("{part}.{name}")
}

/// A temperature in °C.
/// Whether two packs have other volts when full.
fn is_unequal(own: f64, its: f64) -> bool {
    (own - its).abs() > 0.01
}

fn celsius(of: &Quantity) -> f64 {
    of.si() - 273.15
}
