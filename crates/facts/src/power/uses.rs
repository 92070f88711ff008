//! What flows in a net that is put together, by phase, and what each thing has of it.

use std::collections::{BTreeMap, BTreeSet};

use trimsheet_model::quantity::{Dimension, Quantity, Unit};
use trimsheet_model::{Entry, EntryId};
use trimsheet_physics::network::{Flow, Network, NoFlow, Node, Part};
use trimsheet_physics::pack::Charge;

use super::demand::Amps;
use super::net::{Net, Works, rail_title};
use super::{At, FaultKind, Fed, LeadUse, PackUse, Phase, Power, RailUse, Through, User};
use crate::known::NotKnown;

/// A current so small that it is none, in A.
const NOTHING: f64 = 1e-9;

/// What a part takes at its point.
struct Demand {
    part: EntryId,
    at: usize,
    amps: Result<Amps, NotKnown>,
}

/// What flows in one phase.
struct Phased {
    phase: Phase,
    flow: Flow,
    nodes: BTreeMap<usize, Node>,
    rails: Vec<Option<Part>>,
    leads: Vec<Option<Part>>,
    packs: Vec<Option<Part>>,
    demands: Vec<Demand>,
    /// How much more each part of the net brings for one more amp of each demand.
    answers: Vec<Vec<f64>>,
}

impl Phased {
    fn volts(&self, root: usize) -> f64 {
        self.nodes.get(&root).map_or(0.0, |node| self.flow.volts(*node))
    }

    /// How much of a demand a part of the net brings.
    fn answer(&self, demand: usize, part: Part) -> f64 {
        let answers = self.answers.get(demand).map_or(&[][..], Vec::as_slice);
        Network::answer(answers, part)
    }

    /// The current of a part of the net, with what the demands make it unsure.
    fn amps(&self, part: Part) -> Quantity {
        let unsure = self.demands.iter().enumerate().map(|(index, demand)| {
            let spread = demand.amps.as_ref().map_or(0.0, |amps| amps.spread);
            let share = self.answer(index, part) * spread;
            share * share
        });
        let spread = unsure.sum::<f64>().sqrt();
        quantity(self.flow.amps(part), Dimension::CURRENT).with_spread_si(spread)
    }

    /// What is not known of what a part of the net brings.
    fn not_known(&self, part: Part) -> Vec<NotKnown> {
        let all = self.demands.iter().enumerate();
        let all = all.filter(|(index, _)| NOTHING < self.answer(*index, part).abs());
        all.filter_map(|(_, demand)| demand.amps.as_ref().err().cloned()).collect()
    }

    fn at(&self, part: Part, volts: f64) -> At {
        At {
            phase: self.phase,
            amps: self.amps(part),
            volts: quantity(volts, Dimension::VOLTAGE),
            heat: quantity(self.flow.watts(part), Dimension::POWER),
        }
    }
}

fn quantity(si: f64, dimension: Dimension) -> Quantity {
    Quantity::from_si(si, &Unit::for_dimension(dimension))
}

impl Net<'_> {
    /// What flows in each phase.
    pub(super) fn solved(mut self) -> Result<Power, NotKnown> {
        // What is drawn beside the motors is what flows while they stand still.
        let landing = self.flow(Phase::Landing)?;
        let of_packs = |phased: &Phased| {
            let packs = phased.packs.iter().flatten();
            packs.map(|pack| phased.flow.amps(*pack)).sum::<f64>()
        };
        self.beside = landing.as_ref().map_or(0.0, of_packs);
        let mut phases = Vec::new();
        for phase in Phase::ALL {
            phases.extend(self.flow(phase)?);
        }
        let mut faults = std::mem::take(&mut self.faults);
        faults.sort_by_key(|fault| (fault.at, fault.kind));
        Ok(Power {
            faults,
            together: self.together(),
            rails: self.rail_uses(&phases),
            leads: self.lead_uses(&phases),
            fed: self.fed(&phases),
            packs: self.pack_uses(&phases),
            controllers: self.controllers()?,
            unknown_leads: self.unknown_leads,
            unknown_packs: self.unknown_packs,
        })
    }

    /// What each part takes in a phase, that something feeds.
    fn demands(
        &self,
        phase: Phase,
        alive: &BTreeSet<usize>,
    ) -> Result<Vec<Demand>, NotKnown> {
        let mut motors = 0;
        let mut fed = Vec::new();
        for part in &self.parts {
            let Some(at) = self.feeds(*part).filter(|at| alive.contains(at)) else {
                continue;
            };
            self.facts.fact(*part, "kind")?;
            motors += usize::from(self.facts.entry(*part)?.kind() == Some("motor"));
            fed.push((*part, at));
        }
        let read = self.read(phase, motors);
        let all = fed.into_iter().map(|(part, at)| {
            let amps = self.facts.demand(part, phase, &read);
            Demand { part, at, amps }
        });
        // What a rail of unknown volts asks for is not known where it comes from.
        let unclear = self.rails.iter().filter_map(|rail| {
            let at = Some(self.root(rail.from)).filter(|at| alive.contains(at))?;
            let why = rail.not_known.first().filter(|_| rail.works != Works::AsMade)?;
            Some(Demand { part: rail.part, at, amps: Err(why.clone()) })
        });
        Ok(all.chain(unclear).collect())
    }

    /// What a meter read of each of some motors in a phase.
    fn read(&self, phase: Phase, motors: usize) -> Result<Option<Amps>, NotKnown> {
        self.loadout.map_or(Ok(None), |loadout| {
            self.facts.read_of_motors(loadout, phase, motors, self.beside)
        })
    }

    /// What flows in a phase; `None` where that cannot be.
    fn flow(&mut self, phase: Phase) -> Result<Option<Phased>, NotKnown> {
        let tries = self.rails.len() + 1;
        for _ in 0..tries {
            let alive = self.alive();
            let demands = self.demands(phase, &alive)?;
            let Some((network, mut phased)) = self.network(phase, &alive, demands) else {
                return Ok(None);
            };
            match network.solve() {
                Ok(flow) => {
                    let nodes =
                        phased.demands.iter().map(|demand| phased.nodes.get(&demand.at));
                    let answers = nodes.map(|node| network.answers(&flow, *node?));
                    phased.answers = answers.map(Option::unwrap_or_default).collect();
                    return Ok(Some(Phased { flow, ..phased }));
                }
                Err(NoFlow::TooLow { regulator, has }) => {
                    self.too_low(&phased, regulator, has);
                }
                Err(why) => {
                    self.collapses(phase, why);
                    return Ok(None);
                }
            }
        }
        Ok(None)
    }

    fn too_low(&mut self, phased: &Phased, regulator: Part, has: f64) {
        let index = phased.rails.iter().position(|rail| *rail == Some(regulator));
        let Some(index) = index else { return };
        let Some(rail) = self.rails.get_mut(index) else { return };
        rail.works = Works::FromNowhere;
        let (part, span, volts) = (rail.part, rail.line.span, rail.volts.clone());
        let title = rail_title(self.facts, part, rail.name);
        let has = quantity(has, Dimension::VOLTAGE).rough();
        let phase = phased.phase.when();
        let says = format!(
            "rail {title} should give {volts} and has only {has} to make it from {phase}"
        );
        self.fault(FaultKind::TooFewVolts, part, span, says, None);
    }

    fn collapses(&mut self, phase: Phase, why: NoFlow) {
        let Some(pack) = self.packs.first().map(|pack| pack.entry) else { return };
        let is_said = self.faults.iter().any(|fault| fault.kind == FaultKind::Collapses);
        let Ok(entry) = self.facts.entry(pack) else { return };
        let (title, at) = (entry.title(), entry.span());
        if !is_said {
            let says = format!("nothing flows from {title} {}: {why}", phase.when());
            self.fault(FaultKind::Collapses, pack, at, says, None);
        }
    }

    /// The network of a phase; `None` where the volts of a pack are not known, or no pack
    /// is aboard.
    fn network(
        &self,
        phase: Phase,
        alive: &BTreeSet<usize>,
        demands: Vec<Demand>,
    ) -> Option<(Network, Phased)> {
        let mut network = Network::default();
        let nodes: BTreeMap<usize, Node> =
            alive.iter().map(|at| (*at, network.node())).collect();
        let node = |at: usize| nodes.get(&self.root(at)).copied();
        let mut packs = Vec::new();
        for pack in &self.packs {
            let (volts, at) = (pack.volts(phase.charge())?, node(pack.at)?);
            packs.push(Some(network.source(at, volts, pack.resistance)));
        }
        let leads = self.leads.iter().map(|lead| {
            Some(network.lead(node(lead.from)?, node(lead.to)?, lead.resistance))
        });
        let leads = leads.collect();
        let rails = self.rails.iter().map(|rail| match rail.works {
            Works::AsMade => {
                let (from, to) = (node(rail.from)?, node(rail.to)?);
                Some(network.regulator(from, to, rail.volts.si(), rail.regulating))
            }
            Works::FromNowhere => {
                Some(network.source(node(rail.to)?, rail.volts.si(), 0.0))
            }
            Works::Not => None,
        });
        let rails = rails.collect();
        for demand in &demands {
            let amps = demand.amps.as_ref().map_or(0.0, |amps| amps.amps);
            network.draw(node(demand.at)?, amps);
        }
        let (flow, answers) = (Flow::default(), Vec::new());
        Some((
            network,
            Phased { phase, flow, nodes, rails, leads, packs, demands, answers },
        ))
    }

    fn rail_uses(&self, phases: &[Phased]) -> Vec<RailUse> {
        let working =
            self.rails.iter().enumerate().filter(|(_, rail)| rail.works != Works::Not);
        working
            .map(|(index, rail)| {
                let mut users: BTreeMap<EntryId, Vec<(Phase, Quantity)>> =
                    BTreeMap::new();
                let (mut not_known, mut not_known_jammed) =
                    (rail.not_known.clone(), rail.not_known.clone());
                let mut by_phase = Vec::new();
                for phased in phases {
                    let Some(part) = phased.rails.get(index).copied().flatten() else {
                        continue;
                    };
                    by_phase.push(phased.at(part, phased.volts(self.root(rail.from))));
                    let missing = if phased.phase == Phase::Jammed {
                        &mut not_known_jammed
                    } else {
                        &mut not_known
                    };
                    missing.extend(phased.not_known(part));
                    for (at, demand) in phased.demands.iter().enumerate() {
                        let share = phased.answer(at, part);
                        let Ok(amps) = &demand.amps else { continue };
                        if NOTHING < share * amps.amps {
                            let amps = quantity(share * amps.amps, Dimension::CURRENT)
                                .with_spread_si(share * amps.spread);
                            users
                                .entry(demand.part)
                                .or_default()
                                .push((phased.phase, amps));
                        }
                    }
                }
                RailUse {
                    part: rail.part,
                    name: rail.name.to_owned(),
                    line: rail.line.span,
                    volts: rail.volts.clone(),
                    making: rail.making.to_owned(),
                    steady: rail.currents.steady.clone(),
                    burst: rail.currents.brief.first().cloned(),
                    by_phase,
                    users: users
                        .into_iter()
                        .map(|(part, amps)| User { part, amps })
                        .collect(),
                    not_known,
                    not_known_jammed,
                }
            })
            .collect()
    }

    fn lead_uses(&self, phases: &[Phased]) -> Vec<LeadUse> {
        let all = self.leads.iter().enumerate().map(|(index, lead)| {
            let (mut by_phase, mut begins, mut not_known) =
                (Vec::new(), Vec::new(), Vec::new());
            for phased in phases {
                let Some(part) = phased.leads.get(index).copied().flatten() else {
                    continue;
                };
                let (from, to) = (
                    phased.volts(self.root(lead.from)),
                    phased.volts(self.root(lead.to)),
                );
                let mut at = phased.at(part, (from - to).abs());
                at.amps = at.amps.magnitude();
                begins.push((phased.phase, from.max(to)));
                by_phase.push(at);
                if phased.phase != Phase::Jammed {
                    not_known.extend(phased.not_known(part));
                }
            }
            LeadUse {
                join: lead.join,
                names: lead.names,
                ends: lead.ends,
                gauge: lead.gauge,
                length: lead.length.clone(),
                resistance: lead.resistance,
                begins,
                by_phase,
                not_known,
            }
        });
        all.collect()
    }

    fn fed(&self, phases: &[Phased]) -> Vec<Fed> {
        let mut all = Vec::new();
        for part in &self.parts {
            let Some(at) = self.feeds(*part) else { continue };
            let mut by_phase = Vec::new();
            for phased in phases {
                let Some(demand) =
                    phased.demands.iter().find(|demand| demand.part == *part)
                else {
                    continue;
                };
                let amps = demand.amps.as_ref().map_or(Amps::default(), |amps| *amps);
                by_phase.push(At {
                    phase: phased.phase,
                    amps: quantity(amps.amps, Dimension::CURRENT)
                        .with_spread_si(amps.spread),
                    volts: quantity(phased.volts(at), Dimension::VOLTAGE),
                    heat: quantity(amps.amps * phased.volts(at), Dimension::POWER),
                });
            }
            if by_phase.is_empty() {
                continue;
            }
            let net = self.net_of(at);
            let pack = self.packs.iter().find(|pack| net.contains(&self.root(pack.at)));
            let full = pack.and_then(|pack| pack.volts(Charge::Full));
            all.push(Fed {
                part: *part,
                pack: pack.map(|pack| pack.entry),
                full: full.map(|volts| quantity(volts, Dimension::VOLTAGE)),
                by_phase,
            });
        }
        all
    }

    fn pack_uses(&self, phases: &[Phased]) -> Vec<PackUse> {
        let all = self.packs.iter().enumerate().map(|(index, pack)| {
            let (mut by_phase, mut not_known) = (Vec::new(), Vec::new());
            for phased in phases {
                let Some(part) = phased.packs.get(index).copied().flatten() else {
                    continue;
                };
                by_phase.push(phased.at(part, phased.volts(self.root(pack.at))));
                if phased.phase != Phase::Jammed {
                    not_known.extend(phased.not_known(part));
                }
            }
            PackUse { pack: pack.entry, is_assumed: pack.is_assumed, by_phase, not_known }
        });
        all.collect()
    }

    fn controllers(&self) -> Result<Vec<Through>, NotKnown> {
        let mut all = Vec::new();
        for part in &self.parts {
            if self.facts.entry(*part)?.kind() != Some("speed-controller") {
                continue;
            }
            let motors = self.motors_of(*part);
            if let Some(through) = self.through(*part, motors) {
                all.push(through);
            }
        }
        Ok(all)
    }

    /// What a controller passes on; `None` where it has no motors, or they do not say
    /// what they draw.
    fn through(&self, part: EntryId, motors: Vec<EntryId>) -> Option<Through> {
        let all = self.parts.iter().filter(|part| {
            self.facts.build.entry(**part).and_then(Entry::kind) == Some("motor")
        });
        // Where nobody has measured it, the steady current of the motors stands for it.
        let count = all.count();
        let sum = |phase: Phase| {
            let read = Ok(self.read(phase, count).unwrap_or(None));
            let mut sum = Amps::default();
            for motor in &motors {
                let amps = self.facts.demand(*motor, phase, &read).ok()?;
                sum =
                    Amps { amps: sum.amps + amps.amps, spread: sum.spread + amps.spread };
            }
            Some(quantity(sum.amps, Dimension::CURRENT).with_spread_si(sum.spread))
        };
        let first = *motors.first()?;
        let drawn = self.facts.drawn(first).ok()?.unwrap_or_default();
        let steady = drawn.steady.map(|steady| {
            let count = u32::try_from(motors.len()).map_or(1.0, f64::from);
            steady.scaled(count)
        });
        let time = drawn.brief.first().map(|(_, time)| time.clone());
        let (cruise, most) = (sum(Phase::Cruise)?, sum(Phase::Launch)?);
        Some(Through { part, motors, cruise, most: (most, time), steady })
    }
}
