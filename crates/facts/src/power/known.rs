//! What flows, as rules read it: of each thing in the loadout where it is most.

use std::rc::Rc;

use trimsheet_model::quantity::{Dimension, Quantity, Unit};
use trimsheet_model::{Entry, EntryId, Value};
use trimsheet_physics::wire;

use super::demand::Currents;
use super::net::rail_title;
use super::{At, LeadUse, Phase, Power, RailUse, Through};
use crate::computed::id;
use crate::facts::{Facts, absent};
use crate::known::{Known, NotKnown, What, flag, number, record, words};

type Fields = Vec<(&'static str, Known)>;

impl Facts {
    /// What flows in every loadout of which that can be said.
    fn powers(&self) -> Result<Vec<(String, Rc<Power>)>, NotKnown> {
        let mut all = Vec::new();
        let mut why = None;
        for (id, loadout) in self.of_word("loadout") {
            match self.power(id) {
                Ok(power) => all.push((loadout.name.clone(), power)),
                Err(one) => why = why.or(Some(one)),
            }
        }
        match why {
            Some(why) if all.is_empty() => Err(why),
            Some(_) | None => Ok(all),
        }
    }

    /// Fails with the first thing that is not known of what flows somewhere.
    fn all_known(
        &self,
        of: &Known,
        missing: impl Fn(&Power) -> Vec<NotKnown>,
    ) -> Result<Known, NotKnown> {
        for (id, _) in self.of_word("loadout") {
            if let Some(why) = missing(&*self.power(id)?).into_iter().next() {
                return Err(why);
            }
        }
        Ok(Known::computed(What::Flag(true), &of.name, of.span))
    }

    /// What is wrong with the nets of the loadouts, each once.
    pub(crate) fn power_faults(&self, of: &Known) -> Result<Known, NotKnown> {
        let mut seen = Vec::new();
        let mut all = Vec::new();
        for (_, power) in self.powers()? {
            for fault in &power.faults {
                let key = (fault.kind, fault.at, fault.about);
                if seen.contains(&key) {
                    continue;
                }
                seen.push(key);
                let (line, says) = match &fault.because {
                    Some((line, says)) => (*line, says.as_str()),
                    None => (fault.at, ""),
                };
                let fields = vec![
                    ("kind", words(fault.kind.word(), fault.at)),
                    ("says", words(&fault.says, fault.at)),
                    ("about", self.known_entry(fault.about)),
                    ("has_because", flag(fault.because.is_some(), None)),
                    ("because", words(says, line)),
                ];
                all.push(record(fields, fault.kind.word(), fault.at));
            }
        }
        Ok(list(all, "power_faults", of))
    }

    /// Packs that stand side by side in any loadout, each two once.
    pub(crate) fn packs_side_by_side(&self, of: &Known) -> Result<Known, NotKnown> {
        let mut seen = Vec::new();
        let mut all = Vec::new();
        for (loadout, power) in self.powers()? {
            for pair in &power.together {
                if seen.contains(pair) {
                    continue;
                }
                seen.push(*pair);
                let span = self.entry(pair.0)?.span();
                let fields = vec![
                    ("pack", self.known_entry(pair.0)),
                    ("other", self.known_entry(pair.1)),
                    ("loadout", words(&loadout, span)),
                ];
                all.push(record(fields, "together", span));
            }
        }
        Ok(list(all, "packs_together", of))
    }

    /// What each rail of a part gives, in the loadout in which that is most.
    pub(crate) fn rail_uses(&self, of: &Known) -> Result<Known, NotKnown> {
        let part = id(of)?;
        let mut most: Vec<(String, f64, RailUse)> = Vec::new();
        for (loadout, power) in self.powers()? {
            for rail in power.rails.iter().filter(|rail| rail.part == part) {
                let Some(amps) = worst(&rail.by_phase).map(|at| at.amps.si()) else {
                    continue;
                };
                let known = most.iter_mut().find(|(_, _, one)| one.name == rail.name);
                match known {
                    Some(known) if known.1 < amps => {
                        *known = (loadout.clone(), amps, rail.clone());
                    }
                    Some(_) => {}
                    None => most.push((loadout.clone(), amps, rail.clone())),
                }
            }
        }
        let all =
            most.iter().filter_map(|(loadout, _, rail)| self.rail_use(loadout, rail));
        Ok(list(all.collect(), "rail_uses", of))
    }

    fn rail_use(&self, loadout: &str, rail: &RailUse) -> Option<Known> {
        let worst = worst(&rail.by_phase)?;
        let jammed = rail.by_phase.iter().find(|at| at.phase == Phase::Jammed);
        let flown = rail.by_phase.iter().filter(|at| at.phase != Phase::Jammed);
        let hottest =
            flown.max_by(|one, other| one.heat.si().total_cmp(&other.heat.si()))?;
        let none = || amps(0.0);
        let burst = rail.burst.clone();
        let fields = vec![
            ("rail", words(&rail_title(self, rail.part, &rail.name), rail.line)),
            ("loadout", words(loadout, rail.line)),
            ("volts", number(rail.volts.clone(), rail.line)),
            ("amps", number(worst.amps.clone(), rail.line)),
            ("phase", words(worst.phase.when(), rail.line)),
            ("users", self.users(rail, worst.phase)),
            (
                "has_jammed",
                flag(jammed.is_some() && rail.not_known_jammed.is_empty(), None),
            ),
            ("jammed", number(jammed.map_or_else(none, |at| at.amps.clone()), rail.line)),
            ("jammed_users", self.users(rail, Phase::Jammed)),
            ("has_steady", flag(rail.steady.is_some(), None)),
            ("steady", number(rail.steady.clone().unwrap_or_else(none), rail.line)),
            ("has_burst", flag(burst.is_some(), None)),
            (
                "burst",
                number(burst.as_ref().map_or_else(none, |one| one.0.clone()), rail.line),
            ),
            (
                "burst_time",
                number(burst.map_or_else(|| seconds(0.0), |one| one.1), rail.line),
            ),
            ("making", words(&rail.making, rail.line)),
            ("heat", number(hottest.heat.clone(), rail.line)),
            ("heat_amps", number(hottest.amps.clone(), rail.line)),
            ("made_from", number(hottest.volts.clone(), rail.line)),
            ("heat_phase", words(hottest.phase.when(), rail.line)),
        ];
        Some(record(fields, "rail_use", rail.line))
    }

    /// Who takes from a rail in a phase, the one that takes most first.
    fn users(&self, rail: &RailUse, phase: Phase) -> Known {
        let mut users: Vec<(EntryId, Quantity)> = Vec::new();
        for user in &rail.users {
            let amps = user.amps.iter().find(|(at, _)| *at == phase);
            users.extend(amps.map(|(_, amps)| (user.part, amps.clone())));
        }
        users.sort_by(|(_, one), (_, other)| other.si().total_cmp(&one.si()));
        let all = users.into_iter().map(|(part, amps)| {
            let span = self.build.entry(part).map_or(rail.line, Entry::span);
            let fields =
                vec![("part", self.known_entry(part)), ("amps", number(amps, span))];
            record(fields, "user", span)
        });
        Known::computed(What::List(Rc::new(all.collect())), "users", Some(rail.line))
    }

    /// Whether all is known of what the rails of a part give.
    pub(crate) fn rail_uses_known(&self, of: &Known) -> Result<Known, NotKnown> {
        let part = id(of)?;
        self.all_known(of, |power| {
            let own = power.rails.iter().filter(|rail| rail.part == part);
            own.flat_map(|rail| rail.not_known.iter().cloned()).collect()
        })
    }

    /// Whether all is known of what the rails of a part give once servos stall.
    pub(crate) fn jammed_uses_known(&self, of: &Known) -> Result<Known, NotKnown> {
        let part = id(of)?;
        self.all_known(of, |power| {
            let own = power.rails.iter().filter(|rail| rail.part == part);
            own.flat_map(|rail| rail.not_known_jammed.iter().cloned()).collect()
        })
    }

    /// What flows along each supply of a join, in the loadout in which that is most.
    pub(crate) fn lead_uses(&self, of: &Known) -> Result<Known, NotKnown> {
        let join = id(of)?;
        let mut most: Vec<(String, f64, LeadUse)> = Vec::new();
        for (loadout, power) in self.powers()? {
            for lead in power.leads.iter().filter(|lead| lead.join == join) {
                let Some(amps) = worst(&lead.by_phase).map(|at| at.amps.si()) else {
                    continue;
                };
                let known = most.iter_mut().find(|(_, _, one)| one.ends == lead.ends);
                match known {
                    Some(known) if known.1 < amps => {
                        *known = (loadout.clone(), amps, lead.clone());
                    }
                    Some(_) => {}
                    None => most.push((loadout.clone(), amps, lead.clone())),
                }
            }
        }
        let all =
            most.iter().filter_map(|(loadout, _, lead)| self.lead_use(loadout, lead));
        Ok(list(all.collect(), "lead_uses", of))
    }

    fn lead_use(&self, loadout: &str, lead: &LeadUse) -> Option<Known> {
        let worst = worst(&lead.by_phase)?;
        let begins = lead.begins.iter().find(|(phase, _)| *phase == worst.phase)?.1;
        let times =
            |gauge: f64| wire::bundle_amps(gauge).map(|amps| worst.amps.si() / amps);
        let stouter = (0..=15).rev().map(|half| f64::from(2 * half));
        let stouter = stouter.filter(|gauge| *gauge < lead.gauge).filter_map(|gauge| {
            let per_length = wire::stranded_resistance(gauge, wire::TABLE_TEMPERATURE)?;
            let resistance = wire::there_and_back(per_length, lead.length.si());
            let lost = wire::volts_lost(resistance, worst.amps.si());
            let fields = vec![
                ("gauge", number(self.gauge(gauge), lead.names)),
                ("times", number(share(times(gauge)?), lead.names)),
                ("lost", number(volts(lost), lead.names)),
                ("share", number(share(lost / begins), lead.names)),
            ];
            Some(record(fields, "stouter", lead.names))
        });
        let stouter: Vec<Known> = stouter.collect();
        let (from, to) = lead.ends;
        let bundle = wire::bundle_amps(lead.gauge);
        let fields = vec![
            ("loadout", words(loadout, lead.names)),
            ("from", self.known_entry(from)),
            ("to", self.known_entry(to)),
            ("gauge", number(self.gauge(lead.gauge), lead.names)),
            ("length", number(lead.length.clone(), lead.names)),
            ("amps", number(worst.amps.clone(), lead.names)),
            ("phase", words(worst.phase.when(), lead.names)),
            ("begins", number(volts(begins), lead.names)),
            ("lost", number(worst.volts.clone(), lead.names)),
            ("share", number(share(worst.volts.si() / begins), lead.names)),
            ("heat", number(worst.heat.clone(), lead.names)),
            ("has_bundle", flag(bundle.is_some(), None)),
            ("bundle", number(amps(bundle.unwrap_or(0.0)), lead.names)),
            ("times", number(share(times(lead.gauge).unwrap_or(0.0)), lead.names)),
            (
                "stouter",
                Known::computed(
                    What::List(Rc::new(stouter)),
                    "stouter",
                    Some(lead.names),
                ),
            ),
        ];
        Some(record(fields, "lead_use", lead.names))
    }

    fn gauge(&self, gauge: f64) -> Quantity {
        Quantity::from_si(gauge, &Unit::for_dimension(Dimension::GAUGE))
    }

    /// Whether all is known of what flows along the supplies of a join.
    pub(crate) fn lead_uses_known(&self, of: &Known) -> Result<Known, NotKnown> {
        let join = id(of)?;
        self.all_known(of, |power| {
            let own = power.leads.iter().filter(|lead| lead.join == join);
            let unknown = power.unknown_leads.iter().filter(|(of, _)| *of == join);
            let unknown = unknown.map(|(_, why)| why.clone());
            unknown.chain(own.flat_map(|lead| lead.not_known.iter().cloned())).collect()
        })
    }

    /// The rails aboard whose volts lie within what a part needs.
    pub(crate) fn fitting_rails(&self, of: &Known) -> Result<Known, NotKnown> {
        let part = id(of)?;
        let needs = self.must(part, "needs")?;
        let range = self.slot(self.entry(part)?, needs, "volts")?.and_then(Value::range);
        let (low, high) = match range {
            Some(range) => range,
            None => return Err(absent(self.entry(part)?, "needs")),
        };
        let mut all = Vec::new();
        for (id, owner) in self.of_word("part") {
            self.fact(id, "rail")?;
            for rail in owner.all("rail") {
                let volts = rail.slot("volts").and_then(Value::quantity);
                let fits = volts
                    .is_some_and(|volts| (low.si()..=high.si()).contains(&volts.si()));
                if let (true, Some(name)) =
                    (fits, rail.slot("name").and_then(Value::text))
                {
                    all.push(words(&rail_title(self, id, name), rail.span));
                }
            }
        }
        Ok(list(all, "fitting_rails", of))
    }

    /// The packs that a part hangs on without a rail between, each with the loadout that
    /// fits it, and the volts that the part then has.
    pub(crate) fn on_packs(&self, of: &Known) -> Result<Known, NotKnown> {
        let part = id(of)?;
        let mut all: Vec<(EntryId, Known)> = Vec::new();
        for (loadout, power) in self.powers()? {
            let Some(fed) = power.fed.iter().find(|fed| fed.part == part) else {
                continue;
            };
            let (Some(pack), Some(full)) = (fed.pack, fed.full.clone()) else { continue };
            let flown = fed.by_phase.iter().filter(|at| at.phase != Phase::Jammed);
            let low =
                flown.min_by(|one, other| one.volts.si().total_cmp(&other.volts.si()));
            let Some(low) = low else { continue };
            if all.iter().any(|(known, _)| *known == pack) {
                continue;
            }
            let span = self.entry(pack)?.span();
            let fields = vec![
                ("pack", self.known_entry(pack)),
                ("loadout", words(&loadout, span)),
                ("full", number(full, span)),
                ("low", number(low.volts.clone(), span)),
                ("low_phase", words(low.phase.when(), span)),
            ];
            all.push((pack, record(fields, "on_pack", span)));
        }
        Ok(list(all.into_iter().map(|(_, known)| known).collect(), "on_packs", of))
    }

    /// What a speed controller passes to its motors, in the loadout in which that is most.
    pub(crate) fn motor_currents(&self, of: &Known) -> Result<Known, NotKnown> {
        let part = id(of)?;
        let mut most: Option<(String, Through)> = None;
        for (loadout, power) in self.powers()? {
            for through in power.controllers.iter().filter(|one| one.part == part) {
                let more = |one: &Through| one.cruise.si().max(one.most.0.si());
                if most.as_ref().is_none_or(|(_, known)| more(known) < more(through)) {
                    most = Some((loadout.clone(), through.clone()));
                }
            }
        }
        let span = self.entry(part)?.span();
        let all = most.map(|(loadout, through)| {
            let (steady, time) = (through.steady.clone(), through.most.1.clone());
            let motors = through.motors.iter().map(|motor| self.known_entry(*motor));
            let motors = What::List(Rc::new(motors.collect()));
            let fields = vec![
                ("loadout", words(&loadout, span)),
                ("motors", Known::computed(motors, "motors", Some(span))),
                ("cruise", number(through.cruise.clone(), span)),
                ("most", number(through.most.0.clone(), span)),
                ("has_time", flag(time.is_some(), None)),
                ("time", number(time.unwrap_or_else(|| seconds(0.0)), span)),
                ("has_steady", flag(steady.is_some(), None)),
                ("steady", number(steady.unwrap_or_else(|| amps(0.0)), span)),
            ];
            record(fields, "motor_current", span)
        });
        Ok(list(all.into_iter().collect(), "motor_currents", of))
    }

    /// The currents that a line of a part states: for as long as you like, and for some
    /// seconds.
    pub(crate) fn stated_currents(
        &self,
        of: &Known,
        word: &'static str,
    ) -> Result<Known, NotKnown> {
        let part = id(of)?;
        let fact = self.must(part, word)?;
        let currents = Currents::of(self, part, fact)?;
        let brief = currents.brief.first().cloned();
        let fields = vec![
            ("has_steady", flag(currents.steady.is_some(), None)),
            ("steady", number(currents.steady.unwrap_or_else(|| amps(0.0)), fact.span)),
            ("has_brief", flag(brief.is_some(), None)),
            (
                "brief",
                number(
                    brief.as_ref().map_or_else(|| amps(0.0), |one| one.0.clone()),
                    fact.span,
                ),
            ),
            ("time", number(brief.map_or_else(|| seconds(0.0), |one| one.1), fact.span)),
        ];
        if currents_are_none(&fields) {
            return Err(absent(self.entry(part)?, word));
        }
        Ok(record(fields, word, fact.span))
    }
}

/// Whether a line states neither a steady nor a brief current.
fn currents_are_none(fields: &Fields) -> bool {
    let says = |name: &str| {
        let field = fields.iter().find(|(field, _)| *field == name);
        matches!(field, Some((_, Known { what: What::Flag(true), .. })))
    };
    !says("has_steady") && !says("has_brief")
}

/// Where the current is most, of the phases of a flight.
fn worst(by_phase: &[At]) -> Option<&At> {
    let flown = by_phase.iter().filter(|at| at.phase != Phase::Jammed);
    // Of equal ones the first, which is the one that comes first in a day.
    flown.rev().max_by(|one, other| one.amps.si().total_cmp(&other.amps.si()))
}

fn amps(si: f64) -> Quantity {
    Quantity::from_si(si, &Unit::for_dimension(Dimension::CURRENT))
}

fn volts(si: f64) -> Quantity {
    Quantity::from_si(si, &Unit::for_dimension(Dimension::VOLTAGE))
}

fn seconds(si: f64) -> Quantity {
    Quantity::from_si(si, &Unit::for_dimension(Dimension::TIME))
}

fn share(of_one: f64) -> Quantity {
    Quantity::from_si(of_one, &Facts::percent())
}

fn list(all: Vec<Known>, name: &str, of: &Known) -> Known {
    Known::computed(What::List(Rc::new(all)), name, of.span)
}
