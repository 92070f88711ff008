//! A linkage that lies in one plane: most of them do, or nearly.

use super::{Axis, Crank, Joint, Linkage, NoLinkage, Rod};
use crate::space::Point;

/// A linkage in one plane, seen from the left: servo ahead, surface behind, and arm and
/// horn up from their axes at neutral but for their leans.
///
/// A servo angle is positive when the arm's top goes aft; with a horn above the hinge
/// the trailing edge then goes down, which is positive too. With both below, see it
/// upside down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// From the servo's axis to its pin, in m.
    pub arm: f64,
    /// From the hinge line to the horn's pin, in m.
    pub horn: f64,
    /// How far aft of the servo's axis the hinge line lies, in m.
    pub hinge_aft: f64,
    /// How far above the servo's axis it lies, in m.
    pub hinge_up: f64,
    /// How far aft of upright the arm leans at neutral, in radians.
    pub arm_lean: f64,
    /// How far aft of upright the line from the hinge to the horn's pin leans at neutral,
    /// in radians.
    pub horn_lean: f64,
    /// The rod.
    pub rod: Rod,
}

impl Plane {
    /// Joins it.
    ///
    /// # Errors
    /// An arm of no length, and as [`Linkage::new`].
    pub fn linkage(&self) -> Result<Linkage, NoLinkage> {
        let hinge = Point { aft: self.hinge_aft, right: 0.0, up: self.hinge_up };
        let crank = |joint: Joint, through: Point, length: f64, lean: f64| {
            let axis = Axis { through, direction: Point::RIGHT };
            Crank::leaning(axis, Point::UP, length, lean)
                .map_err(|why| NoLinkage::NoCrank(joint, why))
        };
        let arm = crank(Joint::Arm, Point::default(), self.arm, self.arm_lean)?;
        let horn = crank(Joint::Horn, hinge, self.horn, self.horn_lean)?;
        Linkage::new(arm, horn, self.rod)
    }
}
