//! What flows along the branches of the power tree, in each loadout and phase.
//!
//! The currents are those of the leads, the rails and the packs, the volts those at a
//! part or a pack. What is not known counts as nought where they are worked out, so that
//! a current with something unknown behind it is the least that flows, and all volts of
//! the loadout are then the most that there can be.

use trimsheet_facts::model::EntryId;
use trimsheet_facts::model::source::{Sources, Span};
use trimsheet_facts::power::{At, Phase, Power};
use trimsheet_facts::{Facts, NotKnown};

use super::{Branch, Figures, Flow};
use crate::number::Number;
use crate::sheet::{Line, NotSaid};

/// What flows in each loadout; nothing where the tree has no branch.
pub(super) fn flows(facts: &Facts, sources: &Sources, tree: &[Branch]) -> Vec<Flow> {
    if tree.is_empty() {
        return Vec::new();
    }
    let loadouts = facts.of_word("loadout");
    let maker = Maker { facts, sources };
    loadouts.map(|(id, entry)| maker.flow(id, &entry.name, tree)).collect()
}

struct Maker<'a> {
    facts: &'a Facts,
    sources: &'a Sources,
}

impl Maker<'_> {
    fn flow(&self, loadout: EntryId, name: &str, tree: &[Branch]) -> Flow {
        let name = name.to_owned();
        let power = match self.facts.power(loadout) {
            Ok(power) => power,
            Err(why) => {
                let not_said = vec![self.not_said("amps and volts", &why)];
                return Flow { name, is_whole: false, branches: Vec::new(), not_said };
            }
        };
        let mut not_said: Vec<NotSaid> = power
            .faults
            .iter()
            .map(|fault| {
                let why = NotKnown::impossible(fault.says.clone(), Some(fault.at));
                self.not_said("all amps and volts", &why)
            })
            .collect();
        let packs = power.packs.iter().flat_map(|one| &one.not_known);
        let rails = power.rails.iter().flat_map(|one| &one.not_known);
        let leads = power.leads.iter().flat_map(|one| &one.not_known);
        let unknown = power.unknown_leads.iter().map(|(_, why)| why);
        for why in packs.chain(rails).chain(leads).chain(unknown) {
            let one = self.not_said("all amps and volts", why);
            if !not_said.contains(&one) {
                not_said.push(one);
            }
        }
        let mut branches = Vec::new();
        for branch in tree {
            let mut figures = self.figures(&power, branch);
            if self.is_unstated(branch, &figures) {
                figures.is_least = true;
                let why = format!("{} says neither needs nor draws", branch.name);
                let what = "all amps and volts".to_owned();
                not_said.push(NotSaid { what, why, line: None });
            }
            branches.push(figures);
        }
        Flow { name, is_whole: not_said.is_empty(), branches, not_said }
    }

    fn not_said(&self, what: &str, why: &NotKnown) -> NotSaid {
        let line = why.span.map(|span: Span| Line {
            file: self.sources.path(span.file).to_owned(),
            line: self.sources.place(span).line,
        });
        NotSaid { what: what.to_owned(), why: why.says.clone(), line }
    }

    fn is_called(&self, id: EntryId, name: &str) -> bool {
        self.facts.build.entry(id).is_some_and(|entry| entry.name == name)
    }

    /// Whether nothing flows to a part only because no line says what it takes.
    fn is_unstated(&self, branch: &Branch, figures: &Figures) -> bool {
        let mut amps = figures.amps.iter().flatten().peekable();
        let is_part = branch.is == "part" && !branch.is_lifted && amps.peek().is_some();
        let parts = self.facts.of_word("part");
        let mut own = parts.filter(|(_, entry)| entry.name == branch.thing);
        is_part
            && !figures.is_least
            && amps.all(|amps| amps.0.si().abs() < 1e-9)
            && own.any(|(_, entry)| !entry.says("needs") && !entry.says("draws"))
    }

    fn figures(&self, power: &Power, branch: &Branch) -> Figures {
        let is_it = |id: EntryId| self.is_called(id, &branch.thing);
        let amps = |all: &[At]| by_phase(all, |at| Number(at.amps.clone()));
        let volts = |all: &[At]| by_phase(all, |at| Number(at.volts.clone()));
        let none = || vec![None; Phase::FLOWN.len()];
        match branch.is.as_str() {
            "pack" => power.packs.iter().find(|one| is_it(one.pack)).map(|one| Figures {
                amps: amps(&one.by_phase),
                volts: volts(&one.by_phase),
                is_least: !one.not_known.is_empty(),
            }),
            "rail" => {
                let is_rail = |name: &str| name == branch.name;
                let mut rails = power.rails.iter();
                rails.find(|one| is_it(one.part) && is_rail(&one.name)).map(|one| {
                    Figures {
                        amps: amps(&one.by_phase),
                        volts: none(),
                        is_least: !one.not_known.is_empty(),
                    }
                })
            }
            "part" if !branch.is_lifted => {
                let is_lead = |join: EntryId, (from, to): (EntryId, EntryId)| {
                    let join_name = branch.join.as_deref().unwrap_or_default();
                    let feeds = branch.fed_by.as_deref().unwrap_or_default();
                    self.is_called(join, join_name)
                        && self.is_called(from, feeds)
                        && is_it(to)
                };
                let lead = power.leads.iter().find(|one| is_lead(one.join, one.ends));
                let fed = power.fed.iter().find(|one| is_it(one.part));
                Some(Figures {
                    amps: lead.map_or_else(none, |one| amps(&one.by_phase)),
                    volts: fed.map_or_else(none, |one| volts(&one.by_phase)),
                    is_least: lead.is_some_and(|one| !one.not_known.is_empty()),
                })
            }
            _ => None,
        }
        .unwrap_or_else(|| Figures {
            amps: none(),
            volts: none(),
            is_least: false,
        })
    }
}

/// A number for each phase of a flight, where there is one.
fn by_phase(all: &[At], number: impl Fn(&At) -> Number) -> Vec<Option<Number>> {
    let of = |phase: &Phase| all.iter().find(|at| at.phase == *phase).map(&number);
    Phase::FLOWN.iter().map(of).collect()
}
