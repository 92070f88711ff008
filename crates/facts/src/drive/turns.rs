//! How fast propellers turn at full throttle: as runs read it, else as it is reckoned.

use std::f64::consts::TAU;
use std::rc::Rc;

use trimsheet_model::EntryId;
use trimsheet_model::quantity::{Dimension, Quantity};
use trimsheet_model::source::Span;
use trimsheet_physics::propeller::{pitch_speed, tip_speed};

use super::Unsure;
use super::known::Fields;
use crate::computed::id;
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What, flag, number, record, unit, words};

impl Facts {
    /// The propellers that are aboard.
    pub(crate) fn propellers_aboard(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let all = self.of_kind(id(loadout)?, "propeller")?;
        let all = all.into_iter().map(|one| self.known_entry(one)).collect();
        Ok(Known::computed(What::List(Rc::new(all)), "propellers", loadout.span))
    }

    /// How fast the propellers of a loadout turn at full throttle: the most that a run
    /// read, back to the latest one on full packs, else as it is reckoned.
    pub(crate) fn full_turns(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let own = id(loadout)?;
        let full = self.full_throttle(loadout);
        let of_full = full.as_ref().ok().and_then(|full| full.field("volts"));
        let mut most: Option<(Unsure, Span)> = None;
        let mut is_full = false;
        for run in self.runs(own)? {
            // `rpm ?` says that nobody has read it, as if it were not there.
            let Some(read) = self.unsure(run, "rpm", "speed").unwrap_or(None) else {
                continue;
            };
            let at = read.parts.first().and_then(|part| part.at);
            let at = at.unwrap_or(self.entry(run)?.span());
            if most.as_ref().is_none_or(|(before, _)| before.value < read.value) {
                most = Some((read, at));
            }
            let volts = self.unsure(run, "volts", "volts").unwrap_or(None);
            is_full = volts
                .zip(of_full.and_then(Known::quantity))
                .is_some_and(|(volts, full)| is_as_high(&volts, full));
            if is_full {
                break;
            }
        }
        let (rpm, from, at) = match most {
            Some((read, at)) => (number(in_rpm(&read), at), "measured", at),
            None => {
                let full = full?;
                let at = full.span.unwrap_or(self.entry(own)?.span());
                (self.of(&full, "rpm")?, "reckoned", at)
            }
        };
        let is_full = is_full || from == "reckoned";
        let fields = vec![
            ("rpm", rpm),
            ("from", words(from, at)),
            ("is_full", flag(is_full, Some(at))),
        ];
        Ok(record(fields, "full_turns", at))
    }

    /// How fast those turns take tips and blades along.
    pub(crate) fn full_speeds(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let turns = self.of(&self.full_turns(loadout)?, "rpm")?;
        let at = turns.span.unwrap_or(self.entry(id(loadout)?)?.span());
        let quantity = turns.quantity();
        let spread = quantity.and_then(Quantity::spread_si).unwrap_or(0.0);
        let si = quantity.map_or(0.0, Quantity::si);
        let turns = Unsure::of("turns", turns.span, si, spread);
        Ok(record(self.blade_speeds(id(loadout)?, &turns, at)?, "full_speeds", at))
    }

    /// How fast turns take the tips of a propeller along, and would take it ahead.
    pub(super) fn blade_speeds(
        &self,
        loadout: EntryId,
        turns: &Unsure,
        at: Span,
    ) -> Result<Fields, NotKnown> {
        let (diameter, pitch) = self.propeller_size(loadout)?;
        let each = turns.value / TAU;
        let tip = turns.then(tip_speed(diameter, each), tip_speed(diameter, 1.0) / TAU);
        let ahead = turns.then(pitch_speed(pitch, each), pitch_speed(pitch, 1.0) / TAU);
        Ok(vec![
            ("tip_speed", tip.known(Dimension::SPEED, at)),
            ("pitch_speed", ahead.known(Dimension::SPEED, at)),
        ])
    }

    /// Diameter and pitch of the propellers of a loadout in m, of the first that is aboard.
    fn propeller_size(&self, loadout: EntryId) -> Result<(f64, f64), NotKnown> {
        let propellers = self.of_kind(loadout, "propeller")?;
        let none = || self.none_aboard(loadout, "propeller");
        let first = *propellers.first().ok_or_else(none)?;
        let size = self.of(&self.known_entry(first), "size")?;
        let What::Size(sizes) = &size.what else {
            return Err(NotKnown::no_such("a propeller has diameter and pitch"));
        };
        let si = |at: usize| sizes.get(at).map_or(0.0, Quantity::si);
        Ok((si(0), si(1)))
    }
}

/// Whether volts that were read may be those that are reckoned for full packs.
fn is_as_high(read: &Unsure, full: &Quantity) -> bool {
    let (own, other) = (read.spread(), full.spread_si().unwrap_or(0.0));
    full.si() <= read.value + (own * own + other * other).sqrt()
}

/// Turns in the unit in which builders read them.
pub(super) fn in_rpm(turns: &Unsure) -> Quantity {
    turns.in_unit(&unit("rpm", Dimension::ANGULAR_SPEED))
}
