//! The numbers that a working point rests on, each with its name and its line.

use std::collections::BTreeMap;

use trimsheet_model::source::Span;
use trimsheet_model::{Entry, EntryId, Value};
use trimsheet_physics::motor::Motor;
use trimsheet_physics::pack::{Chemistry, open_circuit_volts};
use trimsheet_physics::propeller::Propeller;
use trimsheet_physics::propulsion::Drive;

use super::Unsure;
use super::packs::Resists;
use crate::facts::{Facts, absent};
use crate::known::{NotKnown, Why};
use crate::power::Phase;

/// What a speed controller resists, in Ω, where that is not stated, and by how much that
/// may be off. Common practice, no source.
const CONTROLLER: (f64, f64) = (0.004, 0.003);

/// By how much more current a controller takes at part throttle than an ideal chopper,
/// and by how much that may be off. Common practice, no source.
const SWITCHING: (f64, f64) = (1.05, 0.05);

/// By how much a stated resistance of a pack may be off by its charge and its warmth,
/// where no spread stands beside it, as a share. Common practice, no source.
const PACK: f64 = 0.15;

/// How unsure an assumed resistance is, as a share. Common practice, no source.
const ASSUMED_PACK: f64 = 0.5;

/// One of the numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Of {
    SpeedConstant,
    Winding,
    NoLoad,
    Controller,
    Thrust,
    Power,
    Pack,
    Other,
    Switching,
    Drag,
    Mass,
    Speed,
    /// The volts at the pack that a meter read.
    Volts,
}

/// All numbers of a drive, and what does not move.
#[derive(Clone, Debug)]
pub(super) struct Inputs {
    pub(super) all: BTreeMap<Of, Unsure>,
    pub(super) motors: u32,
    /// The line of the motor.
    pub(super) motor: Span,
    propeller: Propeller,
    cells: f64,
    chemistry: Chemistry,
    leads: f64,
    branch: f64,
}

/// The numbers, one of them moved by so many of its spreads.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moved<'a> {
    pub(super) inputs: &'a Inputs,
    pub(super) moved: Option<(Of, f64)>,
}

impl Moved<'_> {
    /// A number; nought where there is none.
    pub(super) fn of(&self, which: Of) -> f64 {
        let Some(input) = self.inputs.all.get(&which) else { return 0.0 };
        match self.moved {
            Some((moved, by)) if moved == which => input.value + by * input.spread(),
            Some(_) | None => input.value,
        }
    }

    /// The drive with so much left in its packs, as a share.
    pub(super) fn drive(&self, charge: f64) -> Drive {
        let inputs = self.inputs;
        let volts = inputs.cells * open_circuit_volts(inputs.chemistry, charge);
        Drive {
            motor: Motor {
                speed_constant: self.of(Of::SpeedConstant),
                resistance: self.of(Of::Winding).max(f64::EPSILON),
                no_load_current: self.of(Of::NoLoad).max(0.0),
            },
            propeller: inputs.propeller.scaled(self.of(Of::Thrust), self.of(Of::Power)),
            motors: inputs.motors,
            volts,
            source_resistance: self.of(Of::Pack).max(0.0) + inputs.leads,
            branch_resistance: self.of(Of::Controller).max(0.0) + inputs.branch,
            other_current: self.of(Of::Other).max(0.0),
        }
    }

    /// The drive behind the volts that a meter read at the pack.
    pub(super) fn drive_as_read(&self) -> Drive {
        Drive { volts: self.of(Of::Volts), source_resistance: 0.0, ..self.drive(1.0) }
    }
}

impl Facts {
    /// A number of a fact with its spread, its name and its line, if it is said.
    pub(crate) fn unsure(
        &self,
        id: EntryId,
        word: &'static str,
        slot: &str,
    ) -> Result<Option<Unsure>, NotKnown> {
        let Some(fact) = self.fact(id, word)? else { return Ok(None) };
        let entry = self.entry(id)?;
        let value = self.slot(entry, fact, slot)?;
        let name = format!("{} of {}", word.replace('-', " "), entry.title());
        Ok(value.and_then(|value| stated(&name, value)))
    }

    /// The same, where it must be said.
    pub(super) fn must_unsure(
        &self,
        id: EntryId,
        word: &'static str,
        slot: &str,
    ) -> Result<Unsure, NotKnown> {
        let entry = self.entry(id)?;
        self.unsure(id, word, slot)?.ok_or_else(|| absent(entry, word))
    }

    /// What of a kind is aboard in a loadout.
    pub(crate) fn of_kind(
        &self,
        loadout: EntryId,
        kind: &str,
    ) -> Result<Vec<EntryId>, NotKnown> {
        let mut all = Vec::new();
        for part in self.parts_aboard(loadout)? {
            let Some(id) = part.entry() else { continue };
            self.fact(id, "kind")?;
            if self.entry(id)?.kind() == Some(kind) {
                all.push(id);
            }
        }
        Ok(all)
    }

    /// All that a loadout has to drive it.
    pub(super) fn drive_inputs(&self, loadout: EntryId) -> Result<Inputs, NotKnown> {
        let motors = self.of_kind(loadout, "motor")?;
        let none = || self.none_aboard(loadout, "motor");
        let first = *motors.first().ok_or_else(none)?;
        // A motor without a propeller has no working point, whatever else is not known.
        let propellers = self.propellers_on(loadout, &motors)?;
        let mut all = BTreeMap::from([
            (Of::SpeedConstant, self.of_motors(&motors, "speed-constant", "constant")?),
            (Of::Winding, self.of_motors(&motors, "resistance", "ohms")?),
            (Of::NoLoad, self.of_motors(&motors, "no-load", "current")?),
            (Of::Switching, usual("what the controller loses by switching", SWITCHING)),
        ]);
        let (propeller, [thrust, power]) = self.one_propeller(&propellers)?;
        all.extend([(Of::Thrust, thrust), (Of::Power, power)]);
        let controllers = self.of_kind(loadout, "speed-controller")?;
        let stated = match controllers.first() {
            Some(controller) => self.unsure(*controller, "resistance", "ohms")?,
            None => None,
        };
        let controller =
            stated.unwrap_or_else(|| usual("resistance of the controller", CONTROLLER));
        all.insert(Of::Controller, controller);
        let (cells, chemistry, resistance) = self.packs_together(loadout)?;
        all.insert(Of::Pack, resistance);
        all.insert(Of::Other, self.beside_motors(loadout)?);
        let (leads, branch) = self.lead_resistances(loadout)?;
        let count = u32::try_from(motors.len()).unwrap_or(u32::MAX);
        let motor = self.entry(first)?.span();
        Ok(Inputs {
            all,
            motors: count,
            motor,
            propeller,
            cells,
            chemistry,
            leads,
            branch,
        })
    }

    /// That nothing of a kind is aboard, which nobody need have said.
    pub(super) fn none_aboard(&self, loadout: EntryId, kind: &str) -> NotKnown {
        let span = self.entry(loadout).ok().map(Entry::span);
        NotKnown { why: Why::Absent, says: format!("no {kind} is aboard"), span }
    }

    /// A number of the motors, which must be alike.
    fn of_motors(
        &self,
        motors: &[EntryId],
        word: &'static str,
        slot: &str,
    ) -> Result<Unsure, NotKnown> {
        let mut found: Option<Unsure> = None;
        for motor in motors {
            let own = self.must_unsure(*motor, word, slot)?;
            match &found {
                Some(first) if (first.value - own.value).abs() > 1e-9 * first.value => {
                    let says = format!(
                        "the motors are not alike in their {}, and what each of them does \
                         is not worked out apart",
                        word.replace('-', " ")
                    );
                    return Err(NotKnown::beyond(
                        says,
                        own.parts.first().and_then(|part| part.at),
                    ));
                }
                Some(_) => {}
                None => found = Some(own),
            }
        }
        found.ok_or_else(|| NotKnown::no_such("no motor"))
    }

    /// Cells, chemistry and resistance of the packs of a loadout, side by side.
    pub(super) fn packs_together(
        &self,
        loadout: EntryId,
    ) -> Result<(f64, Chemistry, Unsure), NotKnown> {
        let mut cells: Option<(f64, Chemistry)> = None;
        let mut conducts: Option<Unsure> = None;
        for pack in self.packs_of(loadout)? {
            let entry = self.entry(pack)?;
            let own = self.cells_of(pack)?.ok_or_else(|| absent(entry, "cells"))?;
            if cells.is_some_and(|(count, _)| (count - own.0).abs() > 0.5) {
                let says = "its packs have other cells than each other";
                return Err(NotKnown::impossible(says, Some(self.entry(pack)?.span())));
            }
            cells = Some(own);
            let conductance = self.pack_resistance_unsure(pack, own.0)?.inverse();
            conducts = Some(match conducts {
                Some(before) => before.plus(&conductance),
                None => conductance,
            });
        }
        let none = || self.none_aboard(loadout, "pack");
        let (cells, chemistry) = cells.ok_or_else(none)?;
        let resistance = conducts.ok_or_else(none)?.inverse();
        Ok((cells, chemistry, resistance))
    }

    /// The inner resistance of a pack, with its spread.
    fn pack_resistance_unsure(
        &self,
        pack: EntryId,
        cells: f64,
    ) -> Result<Unsure, NotKnown> {
        let name = format!("resistance of {}", self.entry(pack)?.title());
        let Resists { ohms, spread, at } = self.pack_resistance(pack, cells)?;
        let spread = match (at, spread) {
            (None, _) => ohms * ASSUMED_PACK,
            (Some(_), Some(spread)) => spread,
            (Some(_), None) => ohms * PACK,
        };
        Ok(Unsure::of(&name, at, ohms, spread))
    }

    /// What is drawn from the packs beside the motors, servos at work.
    pub(super) fn beside_motors(&self, loadout: EntryId) -> Result<Unsure, NotKnown> {
        let power = self.power_on_usual_packs(loadout)?;
        let driving = self.packs_of(loadout)?;
        let mut sum = Unsure::exact(0.0);
        for pack in power.packs.iter().filter(|pack| driving.contains(&pack.pack)) {
            let at = pack.by_phase.iter().find(|at| at.phase == Phase::Landing);
            let Some(at) = at else { continue };
            let spread = at.amps.spread_si().unwrap_or(0.0);
            let name = "what is drawn beside the motors";
            sum = sum.plus(&Unsure::of(name, None, at.amps.si(), spread));
        }
        Ok(sum)
    }

    /// What the leads resist that all current passes, and those of one motor, in Ω; leads
    /// without gauge or length are taken as short.
    fn lead_resistances(&self, loadout: EntryId) -> Result<(f64, f64), NotKnown> {
        let power = self.power(loadout)?;
        let (mut shared, mut branch) = (0.0, 0.0);
        let kind = |id: EntryId| self.build.entry(id).and_then(Entry::kind);
        let packs = self.packs_of(loadout)?;
        let of_packs: Vec<f64> = power
            .leads
            .iter()
            .filter(|lead| packs.contains(&lead.ends.0))
            .map(|lead| lead.resistance)
            .collect();
        if !of_packs.is_empty() {
            shared = 1.0 / of_packs.iter().map(|one| 1.0 / one.max(1e-9)).sum::<f64>();
        }
        let motors: Vec<EntryId> = self.of_kind(loadout, "motor")?;
        let count = u32::try_from(motors.len().max(1)).map_or(1.0, f64::from);
        for lead in power.leads.iter().filter(|lead| !packs.contains(&lead.ends.0)) {
            if matches!(kind(lead.ends.1), Some("motor" | "speed-controller")) {
                branch += lead.resistance / count;
            }
        }
        Ok((shared, branch))
    }
}

/// A number that a value states, with its spread and its line.
fn stated(name: &str, value: &Value) -> Option<Unsure> {
    let quantity = value.quantity()?;
    let spread = quantity.spread_si().unwrap_or(0.0);
    Some(Unsure::of(name, Some(value.via.unwrap_or(value.span)), quantity.si(), spread))
}

fn usual(name: &str, of: (f64, f64)) -> Unsure {
    Unsure::of(&format!("{name} (usual)"), None, of.0, of.1)
}
