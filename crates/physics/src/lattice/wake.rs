//! The wake far behind, where the trailing vortices alone are left: the induced drag.

use super::mesh::{Direction, Strip};

/// The drag over dynamic pressure, in m², of both halves at these strengths of strips.
///
/// D = −(ρ/2) Σ Γ w l over all strips, w being the velocity across the strip far behind.
/// Source: Trefftz; Katz and Plotkin, section 12.3, from memory.
pub(super) fn drag_area(strips: &[Strip], strengths: &[f64]) -> f64 {
    let all = || strips.iter().zip(strengths);
    let half: f64 = all()
        .map(|(strip, strength)| {
            let place = Place::middle(strip);
            let normal = strip.normal();
            let through: f64 = all()
                .map(|(source, strength)| {
                    let is_other = source.surface != strip.surface;
                    let core = if is_other { source.width() / 2.0 } else { 0.0 };
                    let here = pair(source, core, place, normal);
                    let there = pair(source, core, place.mirrored(), normal.mirrored());
                    strength * (here + there)
                })
                .sum();
            -strength * through * strip.width()
        })
        .sum();
    2.0 * half
}

#[derive(Clone, Copy)]
struct Place {
    right: f64,
    up: f64,
}

impl Place {
    fn middle(strip: &Strip) -> Self {
        Self {
            right: (strip.inner.out + strip.outer.out) / 2.0,
            up: (strip.inner.up + strip.outer.up) / 2.0,
        }
    }

    fn mirrored(self) -> Self {
        Self { right: -self.right, ..self }
    }
}

/// The velocity along `normal` of the two trailing vortices of a strip of unit strength.
fn pair(source: &Strip, core: f64, at: Place, normal: Direction) -> f64 {
    let line = |out: f64, up: f64| {
        let (right, up) = (at.right - out, at.up - up);
        let below = right * right + up * up + core * core;
        let turned = right * normal.up - up * normal.right;
        if 0.0 < below { turned / below } else { 0.0 }
    };
    let outer = line(source.outer.out, source.outer.up);
    let inner = line(source.inner.out, source.inner.up);
    (outer - inner) / (2.0 * std::f64::consts::PI)
}
