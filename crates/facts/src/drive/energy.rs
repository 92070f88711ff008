//! How long and how far the charge lasts.

use trimsheet_model::EntryId;

use super::Unsure;
use crate::facts::Facts;
use crate::known::{Known, NotKnown};

/// How much of its charge a flight may use where no `usable` says it, as a share. Common
/// practice, no source.
const USABLE: f64 = 0.8;

/// The reserve in s where no `reserve` says it. Common practice, no source.
const RESERVE: f64 = 180.0;

/// The charge of a flight and what it is used for.
#[derive(Clone, Debug)]
pub struct Energy {
    /// The current of the packs in level flight, in A.
    pub cruise: Unsure,
    /// Whether the spec states that current.
    pub is_stated: bool,
    /// The charge that may be used, in C.
    pub usable: Unsure,
    /// What of that the climbs use, in C; `None` where no climb is stated.
    pub climbs: Option<Unsure>,
    /// The reserve in s, and whether the spec states it.
    pub reserve: (f64, bool),
    /// What may be used as a share, and whether the spec states it of every pack.
    pub share: (f64, bool),
    /// Level flight until only the reserve is left, in s.
    pub time: Unsure,
}

/// What the packs of a loadout hold, in C.
#[derive(Clone, Debug)]
pub(crate) struct ChargeHeld {
    /// All of it.
    pub(crate) whole: Unsure,
    /// What of it a flight may use.
    pub(crate) usable: Unsure,
    /// The least share of its own that a pack lets be used, where one says so.
    pub(crate) least: Option<f64>,
    /// Whether every pack says so.
    pub(crate) all_stated: bool,
    /// Whether records say what every pack holds.
    pub(crate) is_read: bool,
}

impl Facts {
    /// The current of the packs in level flight as drag and drive give it, whatever the
    /// spec states, in A.
    ///
    /// # Errors
    /// What of drive, drag and shape is not known.
    pub fn reckoned_cruise(&self, loadout: EntryId) -> Result<Unsure, NotKnown> {
        let flown = self.flown(loadout)?;
        Ok(flown.level.number(&flown.way.inputs, |level| level.working.pack_current))
    }

    /// The current of the packs in level flight in A, stated or reckoned, and which.
    pub(crate) fn cruise_current(
        &self,
        loadout: EntryId,
    ) -> Result<(Unsure, bool), NotKnown> {
        match self.unsure(loadout, "cruise", "current") {
            Ok(Some(stated)) => Ok((stated, true)),
            Ok(None) => Ok((self.reckoned_cruise(loadout)?, false)),
            // `cruise ?` says that nobody has read it, not that it cannot be reckoned.
            Err(why) => match self.reckoned_cruise(loadout) {
                Ok(reckoned) => Ok((reckoned, false)),
                Err(_) => Err(why),
            },
        }
    }

    /// How long the charge of a loadout lasts, and what it goes into.
    ///
    /// # Errors
    /// What of packs and cruise is not known.
    pub fn energy(&self, loadout: EntryId) -> Result<Energy, NotKnown> {
        let (cruise, is_stated) = self.cruise_current(loadout)?;
        let span = Some(self.entry(loadout)?.span());
        if cruise.value <= 0.0 {
            return Err(NotKnown::impossible("level flight draws no current", span));
        }
        let held = self.charge_held(loadout)?;
        let share = (held.usable.value / held.whole.value, held.all_stated);
        let usable = held.usable;
        let climbs = self.climbing_charge(loadout)?;
        let reserve = self.reserve(loadout)?;
        let left = match &climbs {
            Some(climbs) => usable.clone().minus(climbs),
            None => usable.clone(),
        };
        let lasts = left.times(&cruise.inverse());
        // Where climbs and reserve use all of it, nothing is left for level flight.
        let time = Unsure { value: (lasts.value - reserve.0).max(0.0), ..lasts };
        Ok(Energy { cruise, is_stated, usable, climbs, reserve, share, time })
    }

    /// How far the charge of a loadout takes it in still air, in m: its time at its cruise
    /// speed.
    ///
    /// # Errors
    /// As of [`Facts::energy`], and what of the cruise speed is not known.
    pub fn still_air_range(&self, loadout: EntryId) -> Result<Unsure, NotKnown> {
        let time = self.energy(loadout)?.time;
        Ok(time.times(&self.cruise_speed(loadout)?))
    }

    /// What the packs that drive a loadout hold, and how much of it a flight may use.
    pub(crate) fn charge_held(&self, loadout: EntryId) -> Result<ChargeHeld, NotKnown> {
        let exact = || Unsure::exact(0.0);
        let (mut whole, mut usable) = (exact(), exact());
        let (mut least, mut all_stated, mut is_read) = (None::<f64>, true, true);
        for pack in self.packs_of(loadout)? {
            let charge = self.charge_of(pack)?;
            is_read &= self.latest_reading(pack, "capacity")?.is_some();
            let share = self.unsure(pack, "usable", "part")?;
            all_stated &= share.is_some();
            if let Some(own) = share.as_ref().map(|share| share.value) {
                least = Some(least.map_or(own, |known| known.min(own)));
            }
            let share = share.unwrap_or_else(|| Unsure::exact(USABLE));
            usable = usable.plus(&charge.times(&share));
            whole = whole.plus(&charge);
        }
        if whole.value <= 0.0 {
            return Err(self.none_aboard(loadout, "pack"));
        }
        Ok(ChargeHeld { whole, usable, least, all_stated, is_read })
    }

    /// What the climbs of a flight use, where it states any.
    fn climbing_charge(&self, loadout: EntryId) -> Result<Option<Unsure>, NotKnown> {
        let Some(time) = self.unsure(loadout, "climbs", "time")? else { return Ok(None) };
        Ok(Some(time.times(&self.full_current(loadout)?.0)))
    }

    fn reserve(&self, loadout: EntryId) -> Result<(f64, bool), NotKnown> {
        let model = self.of_word("model").next().map(|(id, _)| id);
        for id in [Some(loadout), model].into_iter().flatten() {
            if let Some(stated) = self.unsure(id, "reserve", "time")? {
                return Ok((stated.value, true));
            }
        }
        Ok((RESERVE, false))
    }

    /// The current of the packs at full throttle in A: read by a meter, else reckoned,
    /// else as the motors state it; and which.
    pub(crate) fn full_current(
        &self,
        loadout: EntryId,
    ) -> Result<(Unsure, &'static str), NotKnown> {
        if let Some((_, read)) = self.run(loadout, "current", "current")? {
            return Ok((read, "measured"));
        }
        let standing = self.driving(loadout).and_then(|driving| {
            let standing = driving.standing.clone()?;
            Ok(standing.number(&driving.inputs, |working| working.pack_current))
        });
        let why = match standing {
            Ok(reckoned) => return Ok((reckoned, "reckoned")),
            Err(why) => why,
        };
        let mut sum = self.beside_motors(loadout)?;
        for motor in self.of_kind(loadout, "motor")? {
            let Some(drawn) = self.most_drawn(motor)? else { return Err(why) };
            sum = sum.plus(&drawn);
        }
        Ok((sum, "stated"))
    }

    /// A number of the latest run of a loadout at full throttle, and the record.
    pub(crate) fn run(
        &self,
        loadout: EntryId,
        word: &'static str,
        slot: &str,
    ) -> Result<Option<(Known, Unsure)>, NotKnown> {
        for run in self.runs(loadout)? {
            if let Some(read) = self.unsure(run, word, slot)? {
                return Ok(Some((self.known_entry(run), read)));
            }
        }
        Ok(None)
    }

    /// The runs of a loadout at full throttle, the latest first.
    pub(super) fn runs(&self, loadout: EntryId) -> Result<Vec<EntryId>, NotKnown> {
        let mut all = Vec::new();
        for record in self.records("ran")? {
            let Some(id) = record.entry() else { continue };
            if self.named_in_head(id, "loadout")?.entry() == Some(loadout) {
                all.push(id);
            }
        }
        Ok(all)
    }
}
