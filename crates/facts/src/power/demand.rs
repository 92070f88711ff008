//! What a part takes in each phase.

use trimsheet_model::quantity::Quantity;
use trimsheet_model::{EntryId, Fact, Kind, Phase as Stated, Value};

use super::Phase;
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
            match phase {
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

    /// What a part takes in a phase; nothing where it only passes a current on.
    pub(super) fn demand(
        &self,
        part: EntryId,
        phase: Phase,
        cruise: &Result<Option<Amps>, NotKnown>,
    ) -> Result<Amps, NotKnown> {
        self.fact(part, "kind")?;
        let entry = self.entry(part)?;
        let kind = entry.kind();
        if kind == Some("motor") {
            return match phase {
                Phase::Launch => {
                    let drawn = self.drawn(part)?.unwrap_or_default();
                    let most = drawn.most().ok_or_else(|| absent(entry, "draws"))?;
                    Ok(of(most, 1.0))
                }
                Phase::Cruise => match cruise.clone()? {
                    Some(cruise) => Ok(cruise),
                    None => {
                        let drawn = self.drawn(part)?.unwrap_or_default();
                        let steady =
                            drawn.steady.or(drawn.brief.first().map(|one| one.0.clone()));
                        Ok(of(&steady.ok_or_else(|| absent(entry, "draws"))?, 1.0))
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

    /// What each motor of a loadout draws in level flight, where the loadout says it.
    pub(super) fn cruise(
        &self,
        loadout: EntryId,
        motors: usize,
    ) -> Result<Option<Amps>, NotKnown> {
        let Some(fact) = self.fact(loadout, "cruise")? else { return Ok(None) };
        let value = self.slot(self.entry(loadout)?, fact, "current")?;
        let share =
            u32::try_from(motors.max(1)).map_or(1.0, |count| 1.0 / f64::from(count));
        Ok(value.and_then(Value::quantity).map(|amps| of(amps, share)))
    }
}
