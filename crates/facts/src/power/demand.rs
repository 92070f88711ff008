//! What a part takes in each phase.

use trimsheet_model::quantity::Quantity;
use trimsheet_model::{EntryId, Fact, Kind, Phase as Stated};

use super::Phase;
use crate::drive::Unsure;
use crate::facts::{Facts, absent};
use crate::known::NotKnown;

/// What a servo takes at work, as a share of what it takes stalled, where only that is
/// stated. Common practice, no source.
const WORKING_SHARE: f64 = 0.4;

/// Kinds of part that pass a current on and take none worth counting, unless they say so.
const PASSING: &[&str] =
    &["wiring", "speed-controller", "regulator", "structure", "strap"];

/// A current and its spread, in A.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Amps {
    pub(super) amps: f64,
    pub(super) spread: f64,
}

/// The currents that lines of a part state.
#[derive(Clone, Debug, Default)]
pub(super) struct Currents {
    pub(super) steady: Option<Quantity>,
    working: Option<Quantity>,
    stalled: Option<Quantity>,
    /// For some seconds, the largest first.
    pub(super) brief: Vec<(Quantity, Quantity)>,
}

impl Currents {
    /// The currents of a line.
    pub(super) fn of(
        facts: &Facts,
        part: EntryId,
        fact: &Fact,
    ) -> Result<Currents, NotKnown> {
        let entry = facts.entry(part)?;
        let mut all = Currents::default();
        for (_, value) in &fact.values {
            let Kind::Load(amps, phase) = &facts.known_value(entry, fact, value)?.kind
            else {
                continue;
            };
            match &**phase {
                Stated::Steady => all.steady = Some(amps.clone()),
                Stated::Working => all.working = Some(amps.clone()),
                Stated::Stalled => all.stalled = Some(amps.clone()),
                Stated::For(time) => all.brief.push((amps.clone(), time.clone())),
            }
        }
        all.brief.sort_by(|(one, _), (other, _)| other.si().total_cmp(&one.si()));
        Ok(all)
    }

    fn is_empty(&self) -> bool {
        let said = [&self.steady, &self.working, &self.stalled];
        said.iter().all(|one| one.is_none()) && self.brief.is_empty()
    }

    /// The largest that is stated, with its time, else the steady one.
    fn most(&self) -> Option<&Quantity> {
        self.brief.first().map(|(amps, _)| amps).or(self.steady.as_ref())
    }
}

fn of(quantity: &Quantity, share: f64) -> Amps {
    let spread = quantity.spread_si().unwrap_or(0.0);
    Amps { amps: quantity.si() * share, spread: spread * share }
}

impl Facts {
    /// The currents that a part says it draws; `None` where it says none.
    pub(super) fn drawn(&self, part: EntryId) -> Result<Option<Currents>, NotKnown> {
        for word in ["needs", "draws"] {
            if let Some(fact) = self.fact(part, word)? {
                let currents = Currents::of(self, part, fact)?;
                if !currents.is_empty() {
                    return Ok(Some(currents));
                }
            }
        }
        Ok(None)
    }

    /// Whether a part is one that takes a current, be that known or not.
    pub(super) fn takes(&self, part: EntryId) -> Result<bool, NotKnown> {
        let says = self.says(part, "needs")? || self.says(part, "draws")?;
        self.fact(part, "kind")?;
        let kind = self.entry(part)?.kind();
        Ok(says || matches!(kind, Some("servo" | "motor" | "receiver")))
    }

    /// What a part takes in a phase; nothing where it only passes a current on. `read` is
    /// what a meter read of a motor in that phase.
    pub(super) fn demand(
        &self,
        part: EntryId,
        phase: Phase,
        read: &Result<Option<Amps>, NotKnown>,
    ) -> Result<Amps, NotKnown> {
        self.fact(part, "kind")?;
        let entry = self.entry(part)?;
        let kind = entry.kind();
        if kind == Some("motor") {
            return match phase {
                Phase::Launch | Phase::Cruise => match read.clone()? {
                    Some(read) => Ok(read),
                    None => {
                        let drawn = self.drawn(part)?.unwrap_or_default();
                        let steady =
                            drawn.steady.as_ref().filter(|_| phase == Phase::Cruise);
                        let stated = steady.or(drawn.most());
                        Ok(of(stated.ok_or_else(|| absent(entry, "draws"))?, 1.0))
                    }
                },
                Phase::Bench | Phase::Armed | Phase::Landing | Phase::Jammed => {
                    Ok(Amps::default())
                }
            };
        }
        let Some(drawn) = self.drawn(part)? else {
            let passes = kind.is_some_and(|kind| PASSING.contains(&kind));
            let is_consumer = self.takes(part)?;
            return if passes || !is_consumer {
                Ok(Amps::default())
            } else {
                Err(absent(entry, "needs"))
            };
        };
        let stalled = drawn.stalled.as_ref();
        if phase == Phase::Jammed && kind == Some("servo") {
            let says = || {
                let says =
                    format!("{} does not say what it draws stalled", entry.title());
                NotKnown::impossible(&says, Some(entry.span()))
            };
            return Ok(of(stalled.ok_or_else(says)?, 1.0));
        }
        let working = drawn.working.as_ref().or(drawn.steady.as_ref());
        let brief = drawn.brief.first().map(|(amps, _)| amps);
        let plain = working.or(brief).map(|amps| of(amps, 1.0));
        Ok(plain.or(stalled.map(|amps| of(amps, WORKING_SHARE))).unwrap_or_default())
    }

    /// What a meter read of each of some motors in a phase: in level flight what the
    /// loadout says, at full throttle what its latest run says. Both are currents of the
    /// packs, so what is drawn beside the motors is taken off.
    pub(super) fn read_of_motors(
        &self,
        loadout: EntryId,
        phase: Phase,
        motors: usize,
        beside: f64,
    ) -> Result<Option<Amps>, NotKnown> {
        let read = match phase {
            Phase::Cruise => self.unsure(loadout, "cruise", "current")?,
            Phase::Launch => {
                self.run(loadout, "current", "current")?.map(|(_, read)| read)
            }
            Phase::Bench | Phase::Armed | Phase::Landing | Phase::Jammed => None,
        };
        let share =
            u32::try_from(motors.max(1)).map_or(1.0, |count| 1.0 / f64::from(count));
        Ok(read.map(|read| Amps {
            amps: (read.value - beside).max(0.0) * share,
            spread: read.spread() * share,
        }))
    }

    /// The most that a motor says it draws.
    pub(crate) fn most_drawn(&self, motor: EntryId) -> Result<Option<Unsure>, NotKnown> {
        let drawn = self.drawn(motor)?.unwrap_or_default();
        let name = format!("what {} draws", self.entry(motor)?.title());
        let span = self.fact(motor, "draws")?.map(|fact| fact.span);
        Ok(drawn.most().map(|most| {
            Unsure::of(&name, span, most.si(), most.spread_si().unwrap_or(0.0))
        }))
    }
}
