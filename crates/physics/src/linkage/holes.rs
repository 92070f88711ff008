//! Which hole of the arm goes with which hole of the horn.

use std::cmp::Ordering;

use super::{Linkage, NoAngle, NoLinkage, Rod};

/// What a surface is to do, and what the servo has for it; all in radians and positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// How far the surface is to go up from neutral.
    pub up: f64,
    /// How far it is to go down.
    pub down: f64,
    /// How far the servo may turn from neutral, in either sense.
    pub usable: f64,
}

/// How a pair of holes does what is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fit {
    /// It does.
    Reaches,
    /// It would, if the servo could turn further than it may.
    NeedsMore,
    /// The surface never comes so far, or the number asked for is none.
    Ends(NoAngle),
    /// There is no linkage with these holes.
    NoLinkage(NoLinkage),
}

/// One hole of the arm with one of the horn, and a rod that closes at neutral.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HolePair {
    /// The arm's hole, in m from the servo's axis.
    pub arm: f64,
    /// The horn's hole, in m from the hinge line.
    pub horn: f64,
    /// The rod between its pins, in m; `None` if there is no linkage.
    pub rod: Option<f64>,
    /// The servo angle for the throw up; `None` if it does not come so far.
    pub servo_up: Option<f64>,
    /// The servo angle for the throw down; `None` if it does not come so far.
    pub servo_down: Option<f64>,
    /// The larger of the two as a share of what is usable; above 1 it needs more.
    pub share: Option<f64>,
    /// Whether it does what is wanted, and if not, why.
    pub fit: Fit,
}

/// Tries every hole of the arm with every hole of the horn, the best first.
///
/// The linkage gives the axes, and the lines on which the holes lie: through the axis
/// and the pin. Holes are in m from the axes. Pairs that reach come first, those that
/// use most of the servo's travel ahead, since they move the surface most finely and
/// bear the most (common practice, no source); then those that need more, by how much.
/// Of equal pairs the shorter arm comes first.
#[must_use]
pub fn hole_pairs(
    linkage: &Linkage,
    arms: &[f64],
    horns: &[f64],
    wanted: Wanted,
) -> Vec<HolePair> {
    let all = arms.iter().flat_map(|arm| horns.iter().map(|horn| (*arm, *horn)));
    let mut pairs: Vec<HolePair> =
        all.map(|(arm, horn)| pair(linkage, arm, horn, wanted)).collect();
    pairs.sort_by(order);
    pairs
}

fn pair(like: &Linkage, arm: f64, horn: f64, wanted: Wanted) -> HolePair {
    let none = HolePair {
        arm,
        horn,
        rod: None,
        servo_up: None,
        servo_down: None,
        share: None,
        fit: Fit::Ends(NoAngle::NotANumber),
    };
    let numbers = [wanted.up, wanted.down, wanted.usable];
    if !numbers.iter().all(|number| number.is_finite() && 0.0 <= *number) {
        return none;
    }
    let linkage = match like.with_holes(arm, horn) {
        Ok(linkage) => linkage,
        Err(why) => return HolePair { fit: Fit::NoLinkage(why), ..none },
    };
    let (up, down) = (linkage.servo(-wanted.up), linkage.servo(wanted.down));
    let (servo_up, servo_down) = (up.ok(), down.ok());
    let rod = Some(linkage.rod());
    let found = HolePair { rod, servo_up, servo_down, ..none };
    match (up, down) {
        (Err(why), _) | (_, Err(why)) => HolePair { fit: Fit::Ends(why), ..found },
        (Ok(up), Ok(down)) => {
            let turned = up.abs().max(down.abs());
            let fit = if turned <= wanted.usable { Fit::Reaches } else { Fit::NeedsMore };
            let share = Some(turned / wanted.usable).filter(|share| share.is_finite());
            HolePair { share, fit, ..found }
        }
    }
}

impl Linkage {
    /// The same linkage with its pins in other holes, in m from the axes, and a rod cut
    /// so that it closes at neutral.
    ///
    /// # Errors
    /// A hole on its axis, or as [`Linkage::new`].
    pub fn with_holes(&self, arm: f64, horn: f64) -> Result<Self, NoLinkage> {
        use super::Joint::{Arm, Horn};
        let arm = self.arm().with_hole(arm);
        let arm = arm.map_err(|why| NoLinkage::NoCrank(Arm, why))?;
        let horn = self.horn().with_hole(horn);
        let horn = horn.map_err(|why| NoLinkage::NoCrank(Horn, why))?;
        Self::new(arm, horn, Rod::ClosedAtNeutral)
    }
}

/// Pairs that reach, those that need more, and the others, each by what they use.
fn order(one: &HolePair, two: &HolePair) -> Ordering {
    let rank = |pair: &HolePair| match pair.fit {
        Fit::Reaches => 0,
        Fit::NeedsMore => 1,
        Fit::Ends(_) => 2,
        Fit::NoLinkage(_) => 3,
    };
    // What reaches should use much, and what does not should lack little.
    let use_of = |pair: &HolePair| match pair.fit {
        Fit::Reaches => -pair.share.unwrap_or(0.0),
        Fit::NeedsMore | Fit::Ends(_) | Fit::NoLinkage(_) => {
            pair.share.unwrap_or(f64::INFINITY)
        }
    };
    rank(one)
        .cmp(&rank(two))
        .then(use_of(one).total_cmp(&use_of(two)))
        .then(one.arm.total_cmp(&two.arm))
        .then(one.horn.total_cmp(&two.horn))
}
