//! Working points of a loadout, each number with all that makes it unsure.

use std::rc::Rc;

use trimsheet_model::EntryId;
use trimsheet_model::quantity::{Quantity, STANDARD_GRAVITY};
use trimsheet_physics::loading::stall_speed;
use trimsheet_physics::polar::{Flight, Polar};
use trimsheet_physics::propulsion::{NoWorking, Working};

use super::inputs::{Inputs, Moved, Of};
use super::{Part, Unsure};
use crate::facts::Facts;
use crate::known::{Known, NotKnown};

/// The charge at which launches are judged, and at which a flight is at its middle, as a
/// share.
const HALF: f64 = 0.5;

/// What drives a loadout, as it stands and as it flies.
#[derive(Debug)]
pub struct Driving {
    pub(super) inputs: Inputs,
    /// Held fast at full throttle, the packs full.
    pub(super) standing: Result<Reckoned<Working>, NotKnown>,
    /// The same with the packs half empty.
    pub(super) half: Result<Reckoned<Working>, NotKnown>,
}

/// A working point, and where each input moves it to.
#[derive(Clone, Debug)]
pub(super) struct Reckoned<T> {
    pub(super) base: T,
    /// With each input so much of a spread less and more: how far those two lie apart in
    /// spreads, and what follows from them.
    moved: Vec<(Of, f64, T, T)>,
}

impl<T: Clone> Reckoned<T> {
    /// Works something out with the inputs as they are, and with each moved by its spread.
    pub(super) fn new<E>(
        inputs: &Inputs,
        work: impl Fn(&Moved<'_>) -> Result<T, E>,
    ) -> Result<Self, E> {
        let base = work(&Moved { inputs, moved: None })?;
        let mut moved = Vec::new();
        for (of, input) in &inputs.all {
            if input.spread() <= 0.0 {
                continue;
            }
            let by = |by: f64| work(&Moved { inputs, moved: Some((*of, by)) }).ok();
            match (by(-1.0), by(1.0)) {
                (Some(less), Some(more)) => moved.push((*of, 2.0, less, more)),
                (Some(less), None) => moved.push((*of, 1.0, less, base.clone())),
                (None, Some(more)) => moved.push((*of, 1.0, base.clone(), more)),
                (None, None) => {}
            }
        }
        Ok(Self { base, moved })
    }

    /// One number of it, with all that makes it unsure.
    pub(super) fn number(&self, inputs: &Inputs, of: impl Fn(&T) -> f64) -> Unsure {
        let mut number = Unsure::exact(of(&self.base));
        for (which, apart, less, more) in &self.moved {
            let moves = (of(more) - of(less)) / apart;
            let Some(input) = inputs.all.get(which) else { continue };
            // What is one input may be made of several numbers of the spec.
            let whole = input.spread();
            let parts = input
                .parts
                .iter()
                .map(|part| Part { moves: moves * part.moves / whole, ..part.clone() });
            number = number.plus(&Unsure { value: 0.0, parts: parts.collect() });
        }
        number
    }
}

/// Level flight of a loadout.
#[derive(Debug)]
pub struct Flown {
    pub(super) level: Reckoned<Level>,
    pub(super) way: Way,
}

/// What level flight follows from.
#[derive(Debug)]
pub(super) struct Way {
    pub(super) inputs: Inputs,
    area: f64,
    induced: f64,
    density: f64,
    /// The slowest that is flown, in m/s.
    slowest: f64,
}

/// How it works in level flight.
#[derive(Clone, Debug)]
pub(super) struct Level {
    /// At the speed of its cruise.
    pub(super) working: Working,
    /// That speed, in m/s.
    pub(super) speed: f64,
    /// How fast it climbs at full throttle and that speed, in m/s.
    pub(super) climb: f64,
}

impl Way {
    /// The polar and the flight with the inputs moved.
    fn polar(&self, moved: &Moved<'_>) -> (Polar, Flight) {
        let loading = moved.of(Of::Mass) * STANDARD_GRAVITY / self.area;
        (
            Polar { zero_lift_drag: moved.of(Of::Drag), induced_factor: self.induced },
            Flight { loading, density: self.density },
        )
    }

    /// How it works level at a speed in m/s, its packs half empty.
    fn at(&self, moved: &Moved<'_>, speed: f64) -> Result<Working, NoWorking> {
        let (polar, flight) = self.polar(moved);
        let drive = moved.drive(HALF);
        let mut working = drive.level(&polar, &flight, self.area, speed)?;
        // What a real controller takes beside the ideal one, at part throttle.
        let own = (working.pack_current - drive.other_current).max(0.0);
        working.pack_current = own * moved.of(Of::Switching) + drive.other_current;
        Ok(working)
    }

    fn levelled(&self, moved: &Moved<'_>) -> Result<Level, NoWorking> {
        let speed = moved.of(Of::Speed);
        let (polar, flight) = self.polar(moved);
        let (drive, mass) = (moved.drive(HALF), moved.of(Of::Mass));
        let working = self.at(moved, speed)?;
        let climb = drive.climb(&polar, &flight, self.area, speed, mass)?;
        Ok(Level { working, speed, climb })
    }

    /// The highest speed of level flight, its packs half empty.
    pub(super) fn top_speed(&self) -> Result<Unsure, NotKnown> {
        let work = |moved: &Moved<'_>| {
            let (polar, flight) = self.polar(moved);
            let drive = moved.drive(HALF);
            drive.top_speed(&polar, &flight, self.area, self.slowest).map(|(top, _)| top)
        };
        let top = Reckoned::new(&self.inputs, work);
        let top = top.map_err(|why| no_working(&why, &self.inputs))?;
        Ok(top.number(&self.inputs, |top| *top))
    }

    /// The speeds in m/s at which a charge lasts longest and at which it goes furthest,
    /// each with the current of the packs in A.
    pub(super) fn best(&self) -> Option<[(f64, f64); 2]> {
        let still = Moved { inputs: &self.inputs, moved: None };
        let step = self.slowest * STEP;
        let speeds = (0..STEPS).map(|step_at| self.slowest + f64::from(step_at) * step);
        let all: Vec<(f64, f64)> = speeds
            .filter_map(|speed| Some((speed, self.at(&still, speed).ok()?.pack_current)))
            .collect();
        let least = |of: fn(&(f64, f64)) -> f64| {
            all.iter().min_by(|one, two| of(one).total_cmp(&of(two))).copied()
        };
        Some([least(|(_, amps)| *amps)?, least(|(speed, amps)| amps / speed)?])
    }
}

/// How many speeds are tried for the best ones, and how far they lie apart, as a share of
/// the slowest: up to three times that.
const STEPS: u32 = 200;
const STEP: f64 = 0.01;

impl Facts {
    /// What drives a loadout, worked out once.
    ///
    /// # Errors
    /// What of motors, propellers and packs is not known.
    pub fn driving(&self, loadout: EntryId) -> Result<Rc<Driving>, NotKnown> {
        self.driving_once(loadout, || {
            let inputs = self.drive_inputs(loadout)?;
            let density = self.density()?;
            let at = |charge: f64| {
                let work = |moved: &Moved<'_>| moved.drive(charge).at_full(density, 0.0);
                Reckoned::new(&inputs, work).map_err(|why| no_working(&why, &inputs))
            };
            let (standing, half) = (at(1.0), at(HALF));
            Ok(Rc::new(Driving { inputs, standing, half }))
        })
    }

    /// The speed at which a loadout cruises: the stated one, else that of its furthest
    /// glide.
    pub(super) fn cruise_speed(&self, loadout: EntryId) -> Result<Unsure, NotKnown> {
        let known = self.known_entry(loadout);
        match self.of(&known, "trim_speed") {
            Ok(stated) => {
                let (speed, spread) = number(&stated);
                Ok(Unsure::of("trim speed", stated.span, speed, spread))
            }
            Err(why) => {
                let glide = self.glide(&known).map_err(|_| why)?;
                Ok(Unsure::exact(glide.field("speed").map_or(0.0, |one| number(one).0)))
            }
        }
    }

    /// Level flight of a loadout at its cruise, as its drag, its mass and its drive give
    /// it, worked out once.
    ///
    /// # Errors
    /// What of drive, drag, shape and mass is not known.
    pub fn flown(&self, loadout: EntryId) -> Result<Rc<Flown>, NotKnown> {
        self.flown_once(loadout, || {
            let mut inputs = self.driving(loadout)?.inputs.clone();
            let drag = self.must_unsure(self.wing_id()?, "drag", "coefficient")?;
            let (area, induced) = self.lifting()?;
            let mass = self.mass(loadout)?;
            let (kilograms, spread) = number(&mass);
            let mass = Unsure::of("mass", mass.span, kilograms, spread);
            let speed = self.cruise_speed(loadout)?;
            let density = self.density()?;
            let lift = self.coefficient("lift-limit")?;
            let stall =
                lift.and_then(|(lift, _)| stall_speed(kilograms, area, density, lift));
            let slowest = stall.unwrap_or(speed.value / 2.0);
            inputs.all.extend([(Of::Drag, drag), (Of::Mass, mass), (Of::Speed, speed)]);
            let way = Way { inputs, area, induced, density, slowest };
            let level = Reckoned::new(&way.inputs, |moved| way.levelled(moved));
            let level = level.map_err(|why| no_working(&why, &way.inputs))?;
            Ok(Rc::new(Flown { level, way }))
        })
    }
}

/// A number in SI units and its spread.
fn number(known: &Known) -> (f64, f64) {
    let quantity = known.quantity();
    let spread = quantity.and_then(Quantity::spread_si).unwrap_or(0.0);
    (quantity.map_or(0.0, Quantity::si), spread)
}

/// Why there is no working point, on the line of the motor.
pub(super) fn no_working(why: &NoWorking, inputs: &Inputs) -> NotKnown {
    NotKnown::impossible(format!("no working point: {why}"), Some(inputs.motor))
}
