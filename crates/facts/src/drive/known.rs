//! What drives it, as rules read it.

use std::rc::Rc;

use trimsheet_model::quantity::{Dimension, Quantity, STANDARD_GRAVITY, Unit};
use trimsheet_model::source::Span;
use trimsheet_physics::propulsion::Working;

use super::Unsure;
use super::inputs::{Moved, Of};
use super::turns::in_rpm;
use super::working::{Reckoned, no_working};
use crate::computed::id;
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What, flag, number, record, unit, words};

pub(super) type Fields = Vec<(&'static str, Known)>;

impl Facts {
    /// The motors that are aboard.
    pub(crate) fn motors_aboard(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let motors = self.of_kind(id(loadout)?, "motor")?;
        let motors = motors.into_iter().map(|motor| self.known_entry(motor)).collect();
        let all = What::List(Rc::new(motors));
        Ok(Known::computed(all, "motors", loadout.span))
    }

    /// The packs that feed the motors.
    pub(crate) fn driving_packs(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let packs = self.packs_of(id(loadout)?)?;
        let packs = packs.into_iter().map(|pack| self.known_entry(pack)).collect();
        let all = What::List(Rc::new(packs));
        Ok(Known::computed(all, "driving_packs", loadout.span))
    }

    /// How a loadout works held fast at full throttle, its packs full, as reckoned.
    pub(crate) fn full_throttle(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let driving = self.driving(id(loadout)?)?;
        let standing = driving.standing.clone()?;
        let at = driving.inputs.motor;
        let of = |of: fn(&Working) -> f64| standing.number(&driving.inputs, of);
        let turns = of(|working| working.revolutions * std::f64::consts::TAU);
        let mut fields = vec![
            ("current", of(|one| one.pack_current).known(Dimension::CURRENT, at)),
            ("volts", of(|one| one.pack_volts).known(Dimension::VOLTAGE, at)),
            ("rpm", number(in_rpm(&turns), at)),
            ("thrust", of(|one| one.thrust).known(Dimension::FORCE, at)),
            ("watts", of(|one| one.electric_power).known(Dimension::POWER, at)),
        ];
        fields.extend(self.blade_speeds(id(loadout)?, &turns, at)?);
        Ok(record(fields, "full_throttle", at))
    }

    /// The current of the packs at full throttle, and where it comes from.
    pub(crate) fn known_full_current(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let id = id(loadout)?;
        let (current, from) = self.full_current(id)?;
        let at = current.parts.iter().find_map(|part| part.at);
        let at = at.unwrap_or(self.entry(id)?.span());
        let fields = vec![
            ("current", current.known(Dimension::CURRENT, at)),
            ("beside", self.beside_motors(id)?.known(Dimension::CURRENT, at)),
            ("from", words(from, at)),
        ];
        Ok(record(fields, "full_current", at))
    }

    /// The watts of the packs at full throttle: what a run read, else reckoned.
    pub(crate) fn full_watts(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let own = id(loadout)?;
        for run in self.runs(own)? {
            let volts = self.unsure(run, "volts", "volts")?;
            let amps = self.unsure(run, "current", "current")?;
            if let Some((volts, amps)) = volts.zip(amps) {
                let at = self.entry(run)?.span();
                return Ok(volts.times(&amps).known(Dimension::POWER, at));
            }
        }
        self.of(&self.full_throttle(loadout)?, "watts")
    }

    /// The thrust at a stand: what a run read, else as the motors state it, else reckoned.
    pub(crate) fn static_thrust(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let own = id(loadout)?;
        if let Some((record, read)) = self.run(own, "thrust", "force")? {
            let at = record.span.unwrap_or(self.entry(own)?.span());
            return Ok(read.known(Dimension::FORCE, at));
        }
        let mut sum: Option<Unsure> = None;
        for motor in self.of_kind(own, "motor")? {
            let Some(stated) = self.unsure(motor, "thrust", "force")? else {
                return self.of(&self.full_throttle(loadout)?, "thrust");
            };
            sum = Some(match sum {
                Some(before) => before.plus(&stated),
                None => stated,
            });
        }
        let none = || self.none_aboard(own, "motor");
        let sum = sum.ok_or_else(none)?;
        let at = sum.parts.first().and_then(|part| part.at);
        Ok(sum.known(Dimension::FORCE, at.unwrap_or(self.entry(own)?.span())))
    }

    /// That thrust over the weight.
    pub(crate) fn thrust_share(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let thrust = self.static_thrust(loadout)?;
        let mass = self.mass(id(loadout)?)?;
        let of = |known: &Known| {
            let quantity = known.quantity();
            let spread = quantity.and_then(Quantity::spread_si).unwrap_or(0.0);
            Unsure::of(
                &known.name,
                known.span,
                quantity.map_or(0.0, Quantity::si),
                spread,
            )
        };
        let weight = of(&mass);
        let weight = weight.then(weight.value * STANDARD_GRAVITY, STANDARD_GRAVITY);
        let share = of(&thrust).times(&weight.inverse()).in_unit(&Facts::percent());
        Ok(Known::computed(What::Quantity(share), "thrust_share", thrust.span))
    }

    /// The packs half empty and held at full throttle: their volts, and those of a cell.
    pub(crate) fn sag(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let own = id(loadout)?;
        let (cells, chemistry, resistance) = self.packs_together(own)?;
        let (mut current, from) = self.full_current(own)?;
        let rest = cells * trimsheet_physics::pack::open_circuit_volts(chemistry, 0.5);
        let spread = cells * trimsheet_physics::pack::OPEN_CIRCUIT_SPREAD;
        let drop = resistance.times(&current);
        let rest = Unsure::of("volts at rest at half charge (usual)", None, rest, spread);
        let volts = match (from, self.driving(own).and_then(|one| one.half.clone())) {
            ("reckoned", Ok(half)) => {
                let inputs = &self.driving(own)?.inputs;
                current = half.number(inputs, |working| working.pack_current);
                let volts = half.number(inputs, |working| working.pack_volts);
                volts.plus(&Unsure { value: 0.0, ..rest.clone() })
            }
            _ => rest.clone().minus(&drop),
        };
        let each = volts.then(volts.value / cells, 1.0 / cells);
        let packs = self.packs_of(own)?;
        let pack = packs.first().copied().unwrap_or(own);
        let at = self.entry(pack)?.span();
        let ohms = Resistance::of(&resistance, cells);
        let fields = vec![
            ("pack", self.known_entry(pack)),
            ("volts", volts.known(Dimension::VOLTAGE, at)),
            ("each", each.known(Dimension::VOLTAGE_PER_CELL, at)),
            ("at_rest", rest.known(Dimension::VOLTAGE, at)),
            ("current", current.known(Dimension::CURRENT, at)),
            ("from", words(from, at)),
            ("resistance", number(ohms, at)),
        ];
        Ok(record(fields, "sag", at))
    }

    /// In what the latest run of a loadout differs from what is reckoned for the volts
    /// that it was read at.
    pub(crate) fn run_differences(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let own = id(loadout)?;
        let mut all = Vec::new();
        if let Some((run, volts)) = self.run(own, "volts", "volts")? {
            let mut inputs = self.driving(own)?.inputs.clone();
            inputs.all.insert(Of::Volts, volts);
            let density = self.density()?;
            let work = |moved: &Moved<'_>| moved.drive_as_read().at_full(density, 0.0);
            let reckoned =
                Reckoned::new(&inputs, work).map_err(|why| no_working(&why, &inputs))?;
            let of = |of: fn(&Working) -> f64| reckoned.number(&inputs, of);
            let read = [
                ("current", "current", Dimension::CURRENT, of(|one| one.pack_current)),
                ("thrust", "force", Dimension::FORCE, of(|one| one.thrust)),
                (
                    "rpm",
                    "speed",
                    Dimension::ANGULAR_SPEED,
                    of(|one| one.revolutions * std::f64::consts::TAU),
                ),
            ];
            for (word, slot, dimension, reckoned) in read {
                let Some(run) = run.entry() else { continue };
                let Some(read) = self.unsure(run, word, slot)? else { continue };
                let at = read.parts.first().and_then(|part| part.at);
                let at = at.unwrap_or(self.entry(run)?.span());
                let unit = match word {
                    "rpm" => unit("rpm", dimension),
                    _ => Unit::for_dimension(dimension),
                };
                // Over what is reckoned, which is unsure there as well.
                let times = read.times(&reckoned.inverse());
                let share = Unsure { value: times.value - 1.0, ..times };
                all.push(record(
                    vec![
                        ("what", words(word, at)),
                        ("measured", number(read.in_unit(&unit), at)),
                        ("reckoned", number(reckoned.in_unit(&unit), at)),
                        ("share", number(share.in_unit(&Facts::percent()), at)),
                        ("run", self.known_entry(run)),
                    ],
                    word,
                    at,
                ));
            }
        }
        Ok(Known::computed(What::List(Rc::new(all)), "run_differences", loadout.span))
    }

    /// Level flight at the cruise speed, as reckoned.
    pub(crate) fn level_flight(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let flown = self.flown(id(loadout)?)?;
        let (inputs, level) = (&flown.way.inputs, &flown.level);
        let at = loadout.span.unwrap_or(inputs.motor);
        let throttle = level.number(inputs, |level| level.working.throttle);
        let fields = vec![
            ("speed", level.number(inputs, |one| one.speed).known(Dimension::SPEED, at)),
            (
                "current",
                level
                    .number(inputs, |one| one.working.pack_current)
                    .known(Dimension::CURRENT, at),
            ),
            ("throttle", number(throttle.in_unit(&Facts::percent()), at)),
            ("climb", level.number(inputs, |one| one.climb).known(Dimension::SPEED, at)),
        ];
        Ok(record(fields, "level_flight", at))
    }

    /// The highest speed of level flight, as reckoned.
    pub(crate) fn top_speed(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let flown = self.flown(id(loadout)?)?;
        let at = loadout.span.unwrap_or(flown.way.inputs.motor);
        Ok(flown.way.top_speed()?.known(Dimension::SPEED, at))
    }

    /// The speeds at which the charge lasts longest and goes furthest, as reckoned.
    pub(crate) fn best_speeds(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let flown = self.flown(id(loadout)?)?;
        let at = loadout.span.unwrap_or(flown.way.inputs.motor);
        let says = "no speed is held level";
        let none = || NotKnown::impossible(says, loadout.span);
        let [longest, furthest] = flown.way.best().ok_or_else(none)?;
        let of = |value: f64, dimension| Unsure::exact(value).known(dimension, at);
        let fields = vec![
            ("longest", of(longest.0, Dimension::SPEED)),
            ("longest_current", of(longest.1, Dimension::CURRENT)),
            ("furthest", of(furthest.0, Dimension::SPEED)),
            ("furthest_current", of(furthest.1, Dimension::CURRENT)),
        ];
        Ok(record(fields, "best_speeds", at))
    }

    /// How long the charge of a loadout lasts, and what it goes into.
    pub(crate) fn endurance(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let own = id(loadout)?;
        let energy = self.energy(own)?;
        let at = self.entry(own)?.span();
        let minutes = |of: &Unsure| of.in_unit(&unit("min", Dimension::TIME));
        let none = Unsure::exact(0.0);
        let climbs = energy.climbs.as_ref().unwrap_or(&none);
        let reserve = Unsure::exact(energy.reserve.0);
        let share = Unsure::exact(energy.share.0).in_unit(&Facts::percent());
        let mut fields = vec![
            ("time", number(minutes(&energy.time), at)),
            ("cruise", energy.cruise.known(Dimension::CURRENT, at)),
            ("cruise_is_stated", flag(energy.is_stated, None)),
            ("usable", energy.usable.known(Dimension::CHARGE, at)),
            ("share", number(share, at)),
            ("climbs", climbs.known(Dimension::CHARGE, at)),
            ("has_climbs", flag(energy.climbs.is_some(), None)),
            ("reserve", number(minutes(&reserve), at)),
            ("reserve_is_stated", flag(energy.reserve.1, None)),
        ];
        fields.extend(widest(&energy.time, at));
        Ok(record(fields, "endurance", at))
    }

    /// How far the charge of a loadout takes it in still air.
    pub(crate) fn flight_range(&self, loadout: &Known) -> Result<Known, NotKnown> {
        let own = id(loadout)?;
        let range = self.still_air_range(own)?;
        let at = self.entry(own)?.span();
        let kilometres = unit("km", Dimension::LENGTH);
        let mut fields = vec![("distance", number(range.in_unit(&kilometres), at))];
        fields.extend(widest(&range, at));
        Ok(record(fields, "flight_range", at))
    }
}

impl Unsure {
    pub(super) fn known(&self, dimension: Dimension, at: Span) -> Known {
        number(Unsure::quantity(self, dimension), at)
    }
}

/// The resistance of each cell of packs side by side.
struct Resistance;

impl Resistance {
    fn of(whole: &Unsure, cells: f64) -> Quantity {
        let each = whole.then(whole.value / cells, 1.0 / cells);
        each.in_unit(&unit("mohm/cell", Dimension::RESISTANCE_PER_CELL))
    }
}

/// What widens a number most, and by which share of its variance.
fn widest(of: &Unsure, at: Span) -> Fields {
    let (name, line, share) = match of.widest() {
        Some((part, share)) => (part.name.as_str(), part.at, share),
        None => ("", None, 0.0),
    };
    let share = Unsure::exact(share).in_unit(&Facts::percent());
    vec![
        ("has_widest", flag(!name.is_empty(), None)),
        ("widest", words(name, line.unwrap_or(at))),
        ("widest_share", number(share, at)),
    ]
}
