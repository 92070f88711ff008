//! What comes out of a lattice.

use super::mesh::{Mesh, Panel, Strip};
use super::{NoLattice, Reference, wake};

/// Lift and pitching moment for one unit of what causes them.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Effect {
    /// The lift coefficient.
    pub lift: f64,
    /// The coefficient of the pitching moment about the reference station, nose up
    /// positive.
    pub moment: f64,
}

impl Effect {
    /// The moment about another station, in m aft of the datum.
    ///
    /// Cm′ = Cm + CL (x′ − x)/c: further aft, lift acts more nose up.
    #[must_use]
    pub fn moment_about(&self, station: f64, reference: &Reference) -> f64 {
        self.moment + self.lift * (station - reference.station) / reference.chord
    }
}

/// What a flap does when both halves move together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlapEffect {
    /// On which surface it is, from 0.
    pub surface: usize,
    /// For 1 rad, trailing edge down, measured along the stream.
    pub streamwise: Effect,
    /// For 1 rad, trailing edge down, measured about the hinge, as a gauge at right
    /// angles to it does: along the stream that is less, by the cosine of its sweep.
    pub hinge: Effect,
}

/// What a flap does when the halves move oppositely.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RollingEffect {
    /// On which surface it is, from 0.
    pub surface: usize,
    /// The rolling moment, right wing down positive, for the right trailing edge 1 rad
    /// down and the left one 1 rad up, measured along the stream: negative.
    pub streamwise: f64,
    /// The same, measured about the hinge.
    pub hinge: f64,
}

/// In what state the aircraft flies, for loads and drag.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct State {
    /// The angle of the datum line to the air, nose up positive, in radians.
    pub angle_of_attack: f64,
    /// q c/2V, nose up positive.
    pub pitch_rate: f64,
    /// The angle of each flap along the stream, trailing edge down positive, in radians,
    /// in the order of [`Symmetric::flaps`]; those that are missing are at rest.
    pub flaps: Vec<f64>,
}

/// What one strip of the right half carries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StripLoad {
    /// Which surface it belongs to, from 0.
    pub surface: usize,
    /// How far out its middle lies, in m.
    pub out: f64,
    /// How far up its middle lies, in m.
    pub up: f64,
    /// How wide it is across the stream, in m.
    pub width: f64,
    /// Its chord in the middle, in m.
    pub chord: f64,
    /// Its lift coefficient, of the force at right angles to it.
    pub lift: f64,
}

/// What acts on both halves alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Symmetric {
    /// What the coefficients are counted in.
    pub reference: Reference,
    /// Per radian of angle of attack.
    pub angle_of_attack: Effect,
    /// Of incidence and washout, with the datum line along the stream.
    pub incidence: Effect,
    /// Per unit of q c/2V, turning about the reference station, nose up.
    pub pitch_rate: Effect,
    /// Of each flap, in the order of the surfaces.
    pub flaps: Vec<FlapEffect>,
    strips: Vec<Strip>,
    /// Of each strip, for each cause but the hinges'.
    strengths: Vec<Vec<f64>>,
}

impl Symmetric {
    pub(super) fn new(
        mesh: &Mesh,
        reference: Reference,
        strengths: &[Vec<f64>],
    ) -> Result<Self, NoLattice> {
        let effects = strengths.iter().map(|one| effect(&mesh.panels, &reference, one));
        let mut effects = effects.collect::<Result<Vec<_>, _>>()?.into_iter();
        let mut next = || effects.next().ok_or(NoLattice::NoSolution);
        let (angle_of_attack, incidence, pitch_rate) = (next()?, next()?, next()?);
        let mut flaps = Vec::new();
        for surface in mesh.surfaces_with_flap() {
            flaps.push(FlapEffect { surface, streamwise: next()?, hinge: next()? });
        }
        // After the first three come pairs, along the stream and about the hinge.
        let is_kept = |cause: usize| cause < 3 || cause % 2 == 1;
        let kept = strengths.iter().enumerate().filter(|(cause, _)| is_kept(*cause));
        let strengths = kept.map(|(_, one)| by_strip(mesh, one)).collect();
        let strips = mesh.strips.clone();
        Ok(Self {
            reference,
            angle_of_attack,
            incidence,
            pitch_rate,
            flaps,
            strips,
            strengths,
        })
    }

    /// The station, in m aft of the datum, about which the moment does not change with
    /// the angle of attack. `None` if lift does not change either.
    #[must_use]
    pub fn neutral_point(&self) -> Option<f64> {
        let slope = self.angle_of_attack;
        let ahead = self.reference.chord * slope.moment / slope.lift;
        Some(self.reference.station - ahead).filter(|station| station.is_finite())
    }

    /// The angle of the datum line at which there is no lift, nose up positive, in
    /// radians, with flaps at rest. `None` if lift does not change with the angle.
    #[must_use]
    pub fn zero_lift_angle(&self) -> Option<f64> {
        let angle = -self.incidence.lift / self.angle_of_attack.lift;
        Some(angle).filter(|angle| angle.is_finite())
    }

    /// The moment at no lift, which is the same about every station: from incidence and
    /// washout alone. That of the
    /// sections is to be added.
    #[must_use]
    pub fn zero_lift_moment(&self) -> Option<f64> {
        let angle = self.zero_lift_angle()?;
        Some(self.incidence.moment + angle * self.angle_of_attack.moment)
    }

    /// Lift and moment in a state.
    #[must_use]
    pub fn effect(&self, state: &State) -> Effect {
        let flaps = self.flaps.iter().map(|flap| flap.streamwise);
        let first = [self.incidence, self.angle_of_attack, self.pitch_rate];
        let all = first.into_iter().chain(flaps).zip(amounts(state));
        all.fold(Effect::default(), |sum, (effect, amount)| Effect {
            lift: sum.lift + amount * effect.lift,
            moment: sum.moment + amount * effect.moment,
        })
    }

    /// What each strip of the right half carries in a state, from the inside out.
    ///
    /// Within a strip lift is even, and outside the last one, a quarter of a strip from
    /// the tip, there is none. The force over dynamic pressure is lift × chord × width.
    #[must_use]
    pub fn loads(&self, state: &State) -> Vec<StripLoad> {
        let strengths = self.strengths_in(state);
        let all = self.strips.iter().zip(strengths);
        all.map(|(strip, strength)| {
            let (inner, outer) = (&strip.inner, &strip.outer);
            let chord = (inner.chord + outer.chord) / 2.0;
            StripLoad {
                surface: strip.surface,
                out: (inner.out + outer.out) / 2.0,
                up: (inner.up + outer.up) / 2.0,
                width: strip.width(),
                chord,
                lift: 2.0 * strength / chord,
            }
        })
        .collect()
    }

    /// The coefficient of induced drag in a state, from the wake far behind.
    #[must_use]
    pub fn induced_drag(&self, state: &State) -> f64 {
        wake::drag_area(&self.strips, &self.strengths_in(state)) / self.reference.area
    }

    /// The strength of each strip in a state, at an airspeed of 1 m/s.
    fn strengths_in(&self, state: &State) -> Vec<f64> {
        let mut sums = vec![0.0; self.strips.len()];
        // Kept in the order of the causes, of which incidence is the second.
        let [angle, incidence, rest @ ..] = self.strengths.as_slice() else {
            return sums;
        };
        let all = [incidence, angle].into_iter().chain(rest).zip(amounts(state));
        for (strengths, amount) in all {
            for (sum, strength) in sums.iter_mut().zip(strengths) {
                *sum += amount * strength;
            }
        }
        sums
    }
}

/// How much of each there is: incidence always, angle of attack, pitching, flaps.
fn amounts(state: &State) -> impl Iterator<Item = f64> + '_ {
    let first = [1.0, state.angle_of_attack, state.pitch_rate];
    first.into_iter().chain(state.flaps.iter().copied())
}

/// What acts on both halves oppositely.
#[derive(Clone, Debug, PartialEq)]
pub struct Antisymmetric {
    /// What the coefficients are counted in.
    pub reference: Reference,
    /// The rolling moment, right wing down positive, per unit of p b/2V, right wing
    /// going down: damping is negative. About the datum line, at no height.
    pub roll_rate: f64,
    /// Of each flap, in the order of the surfaces.
    pub flaps: Vec<RollingEffect>,
}

impl Antisymmetric {
    pub(super) fn new(
        mesh: &Mesh,
        reference: Reference,
        strengths: &[Vec<f64>],
    ) -> Result<Self, NoLattice> {
        let moments = strengths.iter().map(|one| rolling(&mesh.panels, &reference, one));
        let mut moments = moments.collect::<Result<Vec<_>, _>>()?.into_iter();
        let mut next = || moments.next().ok_or(NoLattice::NoSolution);
        let roll_rate = next()?;
        let mut flaps = Vec::new();
        for surface in mesh.surfaces_with_flap() {
            flaps.push(RollingEffect { surface, streamwise: next()?, hinge: next()? });
        }
        Ok(Self { reference, roll_rate, flaps })
    }

    /// How fast the aircraft rolls in the end with its ailerons held, in rad/s, right wing
    /// down positive.
    ///
    /// `ailerons` are the angles of the right flaps about their hinges, in radians,
    /// trailing edge down positive, in the order of [`Antisymmetric::flaps`], the left
    /// ones being opposite; those that are missing are at rest. `airspeed` is in m/s.
    ///
    /// p = −(Σ Clδ δ/Clp) 2 V/b: the rate at which damping holds what the ailerons give.
    /// Inertia only decides how soon it comes. Real flaps give less past some 15°.
    /// Source: Pamadi, "Performance, Stability, Dynamics, and Control of Airplanes",
    /// section 6.3; from memory. `None` if rolling is not damped.
    #[must_use]
    pub fn steady_roll(&self, ailerons: &[f64], airspeed: f64) -> Option<f64> {
        let driven: f64 =
            self.flaps.iter().zip(ailerons).map(|(flap, angle)| flap.hinge * angle).sum();
        let rate = -driven / self.roll_rate * 2.0 * airspeed / self.reference.span;
        (self.roll_rate < 0.0 && rate.is_finite()).then_some(rate)
    }
}

/// Lift and moment of both halves: a bound vortex carries 2 Γ Δy of lift over q.
fn effect(
    panels: &[Panel],
    reference: &Reference,
    strengths: &[f64],
) -> Result<Effect, NoLattice> {
    let mut sum = Effect::default();
    for (panel, strength) in panels.iter().zip(strengths) {
        let lift = 4.0 * strength * (panel.outer.right - panel.inner.right);
        sum.lift += lift;
        sum.moment -= lift * (panel.middle().aft - reference.station);
    }
    let lift = sum.lift / reference.area;
    let moment = sum.moment / reference.area / reference.chord;
    if lift.is_finite() && moment.is_finite() {
        Ok(Effect { lift, moment })
    } else {
        Err(NoLattice::TooLarge)
    }
}

/// The rolling moment of both halves, right wing down positive.
fn rolling(
    panels: &[Panel],
    reference: &Reference,
    strengths: &[f64],
) -> Result<f64, NoLattice> {
    let moment = |(panel, strength): (&Panel, &f64)| {
        let (middle, along) = (panel.middle(), panel.outer.minus(panel.inner));
        -4.0 * strength * (middle.right * along.right + middle.up * along.up)
    };
    let sum: f64 = panels.iter().zip(strengths).map(moment).sum();
    let found = sum / reference.area / reference.span;
    if found.is_finite() { Ok(found) } else { Err(NoLattice::TooLarge) }
}

/// Adds up the strengths along each chord.
fn by_strip(mesh: &Mesh, strengths: &[f64]) -> Vec<f64> {
    let mut sums = vec![0.0; mesh.strips.len()];
    for (panel, strength) in mesh.panels.iter().zip(strengths) {
        if let Some(sum) = sums.get_mut(panel.strip) {
            *sum += strength;
        }
    }
    sums
}
