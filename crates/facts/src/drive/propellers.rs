//! The propellers of a loadout: whether each motor has one, and what they are.

use trimsheet_model::quantity::Quantity;
use trimsheet_model::{EntryId, Fact, Kind, Stage, Value};
use trimsheet_physics::propeller::{
    Coefficients, ESTIMATE_SPREAD, NoPropeller, Propeller,
};

use super::Unsure;
use crate::facts::{Facts, absent};
use crate::known::NotKnown;

impl Facts {
    /// The propellers of a loadout, one for each of its motors.
    ///
    /// Fails with what does not go together where there are other many of them; where the
    /// spec is so early that it has none at all, with one that nobody has said yet.
    pub(super) fn propellers_on(
        &self,
        loadout: EntryId,
        motors: &[EntryId],
    ) -> Result<Vec<EntryId>, NotKnown> {
        let propellers = self.of_kind(loadout, "propeller")?;
        if propellers.len() == motors.len() {
            return Ok(propellers);
        }
        let Some(one) = propellers.first().or(motors.first()).copied() else {
            return Ok(propellers);
        };
        let entry = self.entry(one)?;
        let says = match (propellers.len(), motors.len()) {
            (0, _) if self.is_half_written(motors)? => {
                return Err(self.none_aboard(loadout, "propeller"));
            }
            (0, 1) => format!("{} has no propeller on it", entry.title()),
            (0, motors) => format!("none of {motors} motors has a propeller on it"),
            (1, motors) => format!("1 propeller is aboard for {motors} motors"),
            (many, 1) => format!("{many} propellers are aboard for 1 motor"),
            (many, motors) => {
                format!("{many} propellers are aboard for {motors} motors")
            }
        };
        Err(NotKnown::impossible(says, Some(entry.span())))
    }

    /// Whether a spec is one that nobody would look for a propeller in yet: before
    /// anything is installed it has none anywhere, and says of no motor how fast it turns.
    fn is_half_written(&self, motors: &[EntryId]) -> Result<bool, NotKnown> {
        if Stage::Installed <= self.stage || !self.parts_of_kind("propeller")?.is_empty()
        {
            return Ok(false);
        }
        for motor in motors {
            if self.says(*motor, "speed-constant")? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// What propellers are, which must be alike, and how unsure their coefficients are,
    /// as a share.
    pub(super) fn one_propeller(
        &self,
        propellers: &[EntryId],
    ) -> Result<(Propeller, [Unsure; 2]), NotKnown> {
        let one = propellers.first().copied();
        let one = one.ok_or_else(|| NotKnown::no_such("no propeller"))?;
        let made = self.propeller(one)?;
        for other in propellers {
            if self.propeller(*other)?.0 != made.0 {
                let says = "the propellers are not alike, and what each of them does is not \
                            worked out apart";
                return Err(NotKnown::beyond(says, Some(self.entry(*other)?.span())));
            }
        }
        Ok(made)
    }

    /// A propeller as it was measured, else an estimate by its size.
    fn propeller(&self, id: EntryId) -> Result<(Propeller, [Unsure; 2]), NotKnown> {
        let (entry, fact) = (self.entry(id)?, self.must(id, "size")?);
        let size = self.slot(entry, fact, "size")?;
        let Some(Kind::Size(sizes)) = size.map(|size| &size.kind) else {
            return Err(absent(entry, "size"));
        };
        let si = |at: usize| sizes.get(at).map_or(0.0, Quantity::si);
        let (diameter, pitch) = (si(0), si(1));
        let mut rows = Vec::new();
        let mut spread: [f64; 2] = [0.0; 2];
        for line in entry.all("coefficients") {
            self.note(id, "coefficients");
            let (row, unsure) = self.coefficients(id, line)?;
            rows.push(row);
            let ([thrust, power], [of_thrust, of_power]) = (spread, unsure);
            spread = [thrust.max(of_thrust), power.max(of_power)];
        }
        let says = |why: NoPropeller| {
            NotKnown::impossible(format!("{}: {why}", entry.title()), Some(fact.span))
        };
        // Behind a single row all is an estimate, scaled to that.
        if rows.len() < 2 {
            spread = spread.map(|spread| spread.max(ESTIMATE_SPREAD));
        }
        let made = match rows.is_empty() {
            true => Propeller::estimated(diameter, pitch),
            false => Propeller::measured_of_pitch(diameter, pitch, rows),
        };
        let [thrust, power] = spread;
        let of = |what: &str, spread: f64| {
            let name = format!("{what} of {}", entry.title());
            Unsure::of(&name, Some(fact.span), 1.0, spread)
        };
        Ok((made.map_err(says)?, [of("thrust", thrust), of("power", power)]))
    }

    /// One measured row, and how unsure it is as a share.
    fn coefficients(
        &self,
        id: EntryId,
        line: &Fact,
    ) -> Result<(Coefficients, [f64; 2]), NotKnown> {
        let entry = self.entry(id)?;
        let number = |slot: &str| -> Result<(f64, f64), NotKnown> {
            let value = self.slot(entry, line, slot)?.and_then(Value::quantity);
            let value = value.ok_or_else(|| absent(entry, "coefficients"))?;
            Ok((value.si(), value.spread_si().unwrap_or(0.0)))
        };
        let (advance, thrust, power) =
            (number("advance")?, number("thrust")?, number("power")?);
        let share = |(value, spread): (f64, f64)| {
            if 0.0 < value { spread / value } else { 0.0 }
        };
        let row = Coefficients { advance: advance.0, thrust: thrust.0, power: power.0 };
        Ok((row, [share(thrust), share(power)]))
    }
}
