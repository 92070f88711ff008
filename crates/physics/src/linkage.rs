//! A servo's arm, a rod, a horn: where the surface stands, and what the servo feels.
//!
//! Both pins go round circles, each about its own axis, anywhere in space; the rod keeps
//! them apart and is free to turn at both ends. From that the surface angle follows in
//! closed form, for any servo angle (`meeting.rs`), and the other way round.
//!
//! ```text
//!        pin ●──────────── rod ───────────● pin
//!           ╱                              │
//!      arm ╱  lean                         │ horn, with the pin above the hinge line,
//!         ╱                                │ or a little ahead of it or behind it
//!   servo ○                         hinge  ○═══════════ surface ═══▷  δ, edge down
//! ```
//!
//! **Where it ends.** Turned on and on, a servo comes to one of two places. Where rod and
//! horn lie in one plane with the hinge, the rod turns the horn no further: the linkage
//! is *locked*, and the servo stalls. Where rod and arm lie in one plane with the servo's
//! axis, the arm goes *over centre*: the surface stops, and comes back if the servo turns
//! on. Between the two, surface and servo go together, and there only are there answers.
//!
//! **What the servo feels.** Force times way is the same at both ends of a linkage
//! without friction (virtual work), so the torque at the servo is that at the hinge times
//! dδ/dθ. Friction, play, and rods that bend are not here.
//!
//! Lengths are in m, angles in radians about their axes by the right hand (see
//! [`Axis`]), from neutral. Source: the loop closure of a four-bar linkage, exact;
//! F. Freudenstein, "Approximate synthesis of four-bar linkages", ASME 1955, for the
//! plane one, from memory.

mod crank;
mod holes;
mod meeting;
mod plane;
#[cfg(test)]
mod tests;

pub use crank::{Axis, Crank, NoCrank};
pub use holes::{Fit, HolePair, Wanted, hole_pairs};
pub use plane::Plane;

use std::f64::consts::{FRAC_PI_2, PI};

use crate::lattice::{LARGEST, SMALLEST};
use meeting::{Meeting, Side};

/// How long the rod is between its pins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rod {
    /// So that arm and horn are both at neutral at once.
    ClosedAtNeutral,
    /// So long, in m: at servo neutral the surface then stands where the rod puts it, on
    /// the side of it that is nearer to its own neutral.
    Long(f64),
}

/// One of the two joints of a linkage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joint {
    /// The servo's arm.
    Arm,
    /// The surface's horn.
    Horn,
}

/// Why parts make no linkage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoLinkage {
    /// One of the two is no arm.
    NoCrank(Joint, NoCrank),
    /// The rod has no length, within [`SMALLEST`]: the pins lie on one another.
    NoRod,
    /// With the servo at neutral the rod does not reach the horn's pin, wherever that is.
    DoesNotMeet {
        /// The shortest rod that does, in m.
        shortest: f64,
        /// The longest one that does, in m.
        longest: f64,
    },
    /// At neutral this joint moves nothing: rod, arm and axis lie in one plane.
    DeadAtNeutral(Joint),
    /// A number is not finite, or a length beyond [`LARGEST`].
    TooLarge,
}

/// Why a servo turns a surface no further.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// Rod and horn lie in one plane with the hinge: the servo stalls there.
    Locked,
    /// Rod and arm lie in one plane with the servo's axis: past it the surface comes back.
    OverCentre,
    /// Nothing stops it, but servo or surface has turned by half a turn.
    HalfTurn,
}

/// Where the travel of a linkage ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    /// The servo angle.
    pub servo: f64,
    /// The surface angle.
    pub surface: f64,
    /// What happens there.
    pub stop: Stop,
}

/// Why an angle has no counterpart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoAngle {
    /// It lies beyond the end of the travel on its side.
    Beyond(End),
    /// It is not a number, or not a finite one.
    NotANumber,
}

/// One of something for each sense in which a servo turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Senses<T> {
    /// For negative servo angles.
    pub negative: T,
    /// For positive servo angles.
    pub positive: T,
}

/// A linkage at one angle of its servo.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Position {
    /// The servo angle.
    pub servo: f64,
    /// The surface angle.
    pub surface: f64,
    /// The way of the arm's pin along the rod, in m per radian: how far the line of the
    /// rod passes from the servo's axis; positive if it pushes with a positive turn.
    pub arm_lever: f64,
    /// The same for the horn's pin and the hinge.
    pub horn_lever: f64,
    /// The angle between the rod and the plane of arm and servo axis, from nought, where
    /// the arm goes over centre, to a right angle, where all of the force counts.
    pub arm_transmission: f64,
    /// The angle between the rod and the plane of horn and hinge, from nought, where the
    /// linkage is locked, to a right angle.
    pub horn_transmission: f64,
}

impl Position {
    /// How fast the surface turns for the servo: dδ/dθ.
    ///
    /// It is the torque at the servo over that at the hinge as well.
    #[must_use]
    pub fn slope(&self) -> f64 {
        self.arm_lever / self.horn_lever
    }

    /// The torque with which the servo holds the surface against a hinge moment, in N m.
    ///
    /// Both are positive in the sense of their angles: M = −H dδ/dθ (virtual work).
    /// `None` if the moment is not finite.
    #[must_use]
    pub fn holding_torque(&self, hinge_moment: f64) -> Option<f64> {
        finite(-hinge_moment * self.slope())
    }

    /// The force that presses the rod while it holds a hinge moment, in N; negative pulls.
    ///
    /// `None` if the linkage is locked, or the moment is not finite.
    #[must_use]
    pub fn push_against(&self, hinge_moment: f64) -> Option<f64> {
        finite(-hinge_moment / self.horn_lever)
    }

    /// The force that presses the rod when the servo gives a torque, in N; negative pulls.
    ///
    /// It grows without end towards over-centre. `None` there, or if the torque is not
    /// finite.
    #[must_use]
    pub fn push_of_torque(&self, torque: f64) -> Option<f64> {
        finite(torque / self.arm_lever)
    }

    /// The smaller of the two transmission angles, and where it is.
    #[must_use]
    pub fn tightest(&self) -> (Joint, f64) {
        if self.horn_transmission < self.arm_transmission {
            (Joint::Horn, self.horn_transmission)
        } else {
            (Joint::Arm, self.arm_transmission)
        }
    }
}

/// Where a transmission angle comes down to a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Binding {
    /// The servo angle.
    pub servo: f64,
    /// The surface angle.
    pub surface: f64,
    /// At which joint.
    pub joint: Joint,
}

/// How far a surface goes when its servo turns equally far in both senses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Throws {
    /// How far it goes down from where it stands at servo neutral, in radians.
    pub down: f64,
    /// How far it goes up from there, in radians, counted positive.
    pub up: f64,
}

impl Throws {
    /// By what share the larger throw exceeds the smaller: 0.1 is a tenth.
    ///
    /// `None` without a smaller throw to compare with.
    #[must_use]
    pub fn unevenness(&self) -> Option<f64> {
        let (less, more) = (self.down.min(self.up), self.down.max(self.up));
        (0.0 < less).then(|| more / less - 1.0)
    }
}

/// A servo, a rod and a surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Linkage {
    arm: Crank,
    horn: Crank,
    rod: f64,
    /// The servo drives the surface.
    forward: Meeting,
    forward_side: Side,
    /// The surface drives the servo.
    backward: Meeting,
    backward_side: Side,
    /// The surface angle at servo neutral.
    rest: f64,
    ends: Senses<End>,
}

impl Linkage {
    /// Joins a servo's arm and a surface's horn.
    ///
    /// # Errors
    /// The rod has no length or does not reach, or a joint is dead at neutral.
    pub fn new(arm: Crank, horn: Crank, rod: Rod) -> Result<Self, NoLinkage> {
        let length = match rod {
            Rod::ClosedAtNeutral => horn.pin(0.0).minus(arm.pin(0.0)).length(),
            Rod::Long(length) => length,
        };
        if length.is_nan() || LARGEST < length.abs() {
            return Err(NoLinkage::TooLarge);
        }
        if length < SMALLEST {
            return Err(NoLinkage::NoRod);
        }
        let forward = Meeting::new(&arm, &horn, length);
        let backward = Meeting::new(&horn, &arm, length);
        let (forward_side, rest) = match rod {
            Rod::ClosedAtNeutral => (forward.side(0.0, 0.0), 0.0),
            Rod::Long(length) => at_rest(&arm, &horn, &forward, length)?,
        };
        let backward_side = backward.side(rest, 0.0);
        let end = End { servo: 0.0, surface: rest, stop: Stop::HalfTurn };
        let ends = Senses { negative: end, positive: end };
        let rod = length;
        let mut linkage = Self {
            arm,
            horn,
            rod,
            forward,
            forward_side,
            backward,
            backward_side,
            rest,
            ends,
        };
        linkage.check_neutral()?;
        linkage.ends = Senses { negative: linkage.end(-1.0), positive: linkage.end(1.0) };
        Ok(linkage)
    }

    /// The rod between its pins, in m.
    #[must_use]
    pub fn rod(&self) -> f64 {
        self.rod
    }

    /// The servo's arm.
    #[must_use]
    pub fn arm(&self) -> &Crank {
        &self.arm
    }

    /// The surface's horn.
    #[must_use]
    pub fn horn(&self) -> &Crank {
        &self.horn
    }

    /// The surface angle at servo neutral: nought for a rod that closes there.
    #[must_use]
    pub fn rest(&self) -> f64 {
        self.rest
    }

    /// Where the travel ends in each sense of the servo.
    #[must_use]
    pub fn ends(&self) -> Senses<End> {
        self.ends
    }

    /// The same linkage on the other half of the model, with equal angles.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self { arm: self.arm.mirrored(), horn: self.horn.mirrored(), ..*self }
    }

    /// The surface angle for a servo angle.
    ///
    /// # Errors
    /// The servo angle lies beyond an end of the travel, which says where it is and what
    /// happens there.
    pub fn surface(&self, servo: f64) -> Result<f64, NoAngle> {
        let Senses { negative, positive } = self.ends;
        let is_within = |end: End| servo.abs() <= end.servo.abs();
        checked(servo, 0.0, negative, positive, is_within)?;
        Ok(self.forward.angle(servo, self.forward_side))
    }

    /// The servo angle for a surface angle.
    ///
    /// # Errors
    /// The surface does not come so far: the end of the travel on that side says why.
    pub fn servo(&self, surface: f64) -> Result<f64, NoAngle> {
        let Senses { negative, positive } = self.ends;
        let (lower, upper) = if negative.surface < positive.surface {
            (negative, positive)
        } else {
            (positive, negative)
        };
        let is_within =
            |end: End| (surface - self.rest).abs() <= (end.surface - self.rest).abs();
        checked(surface, self.rest, lower, upper, is_within)?;
        Ok(self.backward.angle(surface, self.backward_side))
    }

    /// Everything about the linkage at a servo angle.
    ///
    /// # Errors
    /// As [`Linkage::surface`].
    pub fn position(&self, servo: f64) -> Result<Position, NoAngle> {
        let surface = self.surface(servo)?;
        let way = self.horn.pin(surface).minus(self.arm.pin(servo));
        let lever = |crank: &Crank, angle: f64| way.dot(crank.way(angle)) / self.rod;
        let transmission = |crank: &Crank, lever: f64| {
            libm::asin((lever.abs() / crank.radius()).min(1.0))
        };
        let arm_lever = lever(&self.arm, servo);
        let horn_lever = lever(&self.horn, surface);
        let position = Position {
            servo,
            surface,
            arm_lever,
            horn_lever,
            arm_transmission: transmission(&self.arm, arm_lever),
            horn_transmission: transmission(&self.horn, horn_lever),
        };
        let is_dead = !position.slope().is_finite();
        let end = if servo < 0.0 { self.ends.negative } else { self.ends.positive };
        if is_dead { Err(NoAngle::Beyond(end)) } else { Ok(position) }
    }

    /// Positions at equal steps of the servo: one more than there are steps.
    ///
    /// # Errors
    /// The first of them that there is none for.
    pub fn course(
        &self,
        from: f64,
        to: f64,
        steps: u16,
    ) -> Result<Vec<Position>, NoAngle> {
        let share = |step: u16| f64::from(step) / f64::from(steps.max(1));
        let angle = |step: u16| from + (to - from) * share(step);
        (0..=steps).map(|step| self.position(angle(step))).collect()
    }

    /// How far the surface goes up and down when the servo turns so far in both senses.
    ///
    /// # Errors
    /// As [`Linkage::surface`], for the sense in which it fails.
    pub fn throws(&self, servo: f64) -> Result<Throws, NoAngle> {
        let (one, two) = (self.surface(servo)?, self.surface(-servo)?);
        let (low, high) = (one.min(two), one.max(two));
        Ok(Throws { down: (high - self.rest).max(0.0), up: (self.rest - low).max(0.0) })
    }

    /// Where a transmission angle first comes down to a limit, in each sense of the servo.
    ///
    /// `limit` is in radians. It is found exactly, because the square of the sine of a
    /// transmission angle is a sum of sines of the driving angle. `None` in a sense in
    /// which servo or surface makes half a turn before.
    ///
    /// # Errors
    /// The limit is not a number.
    pub fn bindings(&self, limit: f64) -> Result<Senses<Option<Binding>>, NoAngle> {
        if limit.is_nan() {
            return Err(NoAngle::NotANumber);
        }
        let sine = libm::sin(limit.clamp(0.0, FRAC_PI_2));
        let level = sine * sine;
        Ok(Senses {
            negative: self.binding(level, -1.0, self.ends.negative),
            positive: self.binding(level, 1.0, self.ends.positive),
        })
    }

    fn binding(&self, level: f64, sense: f64, end: End) -> Option<Binding> {
        let most = (end.servo.abs() + 1e-9).min(PI);
        let horn = self.forward.first_down_to(level, 0.0, sense, most).map(|servo| {
            let surface = self.forward.angle(servo, self.forward_side);
            Binding { servo, surface, joint: Joint::Horn }
        });
        let turns = (end.surface - self.rest).abs() + 1e-9;
        let sense = if end.surface < self.rest { -1.0 } else { 1.0 };
        let arm = self.backward.first_down_to(level, self.rest, sense, turns);
        let arm = arm.map(|surface| {
            // At once is at neutral, whatever rounding says.
            let is_at_rest = (surface - self.rest).abs() <= 0.0;
            let servo = self.backward.angle(surface, self.backward_side);
            let servo = if is_at_rest { 0.0 } else { servo };
            Binding { servo, surface, joint: Joint::Arm }
        });
        match (horn, arm) {
            (Some(horn), Some(arm)) if horn.servo.abs() <= arm.servo.abs() => Some(horn),
            (horn, None) => horn,
            (_, arm) => arm,
        }
    }

    /// Neither joint may be dead where everything begins.
    fn check_neutral(&self) -> Result<(), NoLinkage> {
        // Less than a tenth of a degree off dead, a drawing says nothing about the side.
        let least = 3e-6;
        if self.forward.openness(0.0) < least {
            return Err(NoLinkage::DeadAtNeutral(Joint::Horn));
        }
        if self.backward.openness(self.rest) < least {
            return Err(NoLinkage::DeadAtNeutral(Joint::Arm));
        }
        Ok(())
    }

    /// Where the travel ends if the servo turns in one sense, 1 or −1.
    ///
    /// A lock is the first servo angle at which the horn's two places become one; an
    /// over-centre the first surface angle at which the arm's do. Which of them comes
    /// first is told by the side of the horn: a lock that was passed has changed it.
    fn end(&self, sense: f64) -> End {
        let locked = self.forward.first_down_to(0.0, 0.0, sense, PI);
        let last = locked.unwrap_or(sense * PI);
        let surface_sense = sense * self.sense_at_rest();
        let most = PI - surface_sense * self.rest;
        let over = self.backward.first_down_to(0.0, self.rest, surface_sense, most);
        let (servo, surface, stop) = match over {
            Some(surface) => (self.backward.fold(surface), surface, Stop::OverCentre),
            None => {
                // A hair short of where angles begin anew.
                let surface = surface_sense * (PI - 1e-9);
                let servo = self.backward.angle(surface, self.backward_side);
                (servo, surface, Stop::HalfTurn)
            }
        };
        let is_first = 0.0 <= sense * servo
            && sense * servo < sense * last
            && self.forward.side(servo, surface) == self.forward_side;
        if is_first {
            return End { servo, surface, stop };
        }
        let stop = if locked.is_some() { Stop::Locked } else { Stop::HalfTurn };
        let surface = self.forward.angle(last, self.forward_side);
        End { servo: last, surface, stop }
    }

    /// 1 if servo and surface turn in one sense at neutral, −1 if they do not.
    fn sense_at_rest(&self) -> f64 {
        let way = self.horn.pin(self.rest).minus(self.arm.pin(0.0));
        let (arm, horn) = (way.dot(self.arm.way(0.0)), way.dot(self.horn.way(self.rest)));
        1_f64.copysign(arm * horn)
    }
}

fn finite(number: f64) -> Option<f64> {
    number.is_finite().then_some(number)
}

/// Refuses an angle that lies beyond an end, of which the first is on the lower side.
fn checked(
    angle: f64,
    rest: f64,
    lower: End,
    upper: End,
    is_within: impl Fn(End) -> bool,
) -> Result<(), NoAngle> {
    if !angle.is_finite() {
        return Err(NoAngle::NotANumber);
    }
    let end = if angle < rest { lower } else { upper };
    if is_within(end) { Ok(()) } else { Err(NoAngle::Beyond(end)) }
}

/// The side and the surface angle at servo neutral for a rod of a stated length.
fn at_rest(
    arm: &Crank,
    horn: &Crank,
    forward: &Meeting,
    rod: f64,
) -> Result<(Side, f64), NoLinkage> {
    let (shortest, longest) = reach(arm, horn);
    if !(shortest <= rod && rod <= longest) {
        return Err(NoLinkage::DoesNotMeet { shortest, longest });
    }
    let [greater, smaller] =
        [Side::Greater, Side::Smaller].map(|side| (side, forward.angle(0.0, side)));
    Ok(if greater.1.abs() < smaller.1.abs() { greater } else { smaller })
}

/// The shortest and the longest way from the arm's pin at neutral to the horn's circle.
fn reach(arm: &Crank, horn: &Crank) -> (f64, f64) {
    let way = arm.pin(0.0).minus(horn.centre);
    let radius = horn.radius();
    let [one, two] = [horn.arm, horn.ahead].map(|side| way.dot(side) / radius);
    let out = (one * one + two * two).sqrt();
    let beside = (way.dot(way) - out * out).max(0.0);
    let (near, far) = (out - radius, out + radius);
    ((near * near + beside).sqrt(), (far * far + beside).sqrt())
}
