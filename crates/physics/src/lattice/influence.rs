//! The velocity that one horseshoe makes where another panel lets no air pass.

use super::mesh::{Direction, Panel};
use crate::space::Point;

/// The velocities through all panels for unit strengths, vortex by vortex, the vortices
/// of the other half being as strong.
pub(super) fn alike(panels: &[Panel]) -> Vec<f64> {
    let mut all = Vec::with_capacity(panels.len() * panels.len());
    each(panels, |here, there| all.push(here + there));
    all
}

/// The same, those of the other half turning the other way.
pub(super) fn opposite(panels: &[Panel]) -> Vec<f64> {
    let mut all = Vec::with_capacity(panels.len() * panels.len());
    each(panels, |here, there| all.push(here - there));
    all
}

/// [`alike`] and [`opposite`], which differ by a sign.
pub(super) fn both(panels: &[Panel]) -> (Vec<f64>, Vec<f64>) {
    let count = panels.len() * panels.len();
    let (mut one, mut two) = (Vec::with_capacity(count), Vec::with_capacity(count));
    each(panels, |here, there| {
        one.push(here + there);
        two.push(here - there);
    });
    (one, two)
}

/// What each vortex and its mirror image do to each panel.
fn each(panels: &[Panel], mut keep: impl FnMut(f64, f64)) {
    for source in panels {
        for panel in panels {
            let core = if source.surface == panel.surface { 0.0 } else { source.core };
            let (at, normal) = (panel.control, panel.normal);
            let here = through(source, core, at, normal);
            // The mirror image acts here as the vortex itself does on the other side.
            let there = through(source, core, at.mirrored(), normal.mirrored());
            keep(here, there);
        }
    }
}

/// The velocity along `normal` at `at` of a horseshoe of unit strength.
///
/// `core` is the square of the distance, in m², within which a trailing vortex is
/// spread out: a tail in the plane of the wing would else meet it on a line.
fn through(source: &Panel, core: f64, at: Point, normal: Direction) -> f64 {
    let (one, two) = (at.minus(source.inner), at.minus(source.outer));
    let (one_far, two_far) = (one.length(), two.length());
    let bound = {
        let right = one.up * two.aft - one.aft * two.up;
        let up = one.aft * two.right - one.right * two.aft;
        let far = one_far * two_far;
        let below = far * (far + one.dot(two));
        let above = (right * normal.right + up * normal.up) * (one_far + two_far);
        // On the vortex itself the velocity is of no use, and by symmetry nought.
        if 0.0 < below { above / below } else { 0.0 }
    };
    let legs = leg(two, two_far, core, normal) - leg(one, one_far, core, normal);
    (bound + legs) / (4.0 * std::f64::consts::PI)
}

/// The velocity of a vortex that trails aft from a point to infinity, times 4π.
fn leg(from: Point, far: f64, core: f64, normal: Direction) -> f64 {
    let turned = from.right * normal.up - from.up * normal.right;
    let beside = from.right * from.right + from.up * from.up + core;
    // (1 + x/r)/d², written so that nothing cancels ahead of the vortex.
    if 0.0 < from.aft {
        let below = far * beside;
        if 0.0 < below { turned * (far + from.aft) / below } else { 0.0 }
    } else {
        let below = far * (far - from.aft);
        if 0.0 < below { turned / below } else { 0.0 }
    }
}
