//! What lift a shape gives and where it acts: an estimate by a lattice of vortices.
//!
//! A thin wing bends the air downwards, and vortices that lie in it do the same.
//! So the wing is cut into panels, and each gets a vortex of unknown strength, shaped
//! like a horseshoe: bound across the panel, and trailing straight aft to far behind.
//!
//! ```text
//!             out ─►
//!   aft  ┌──────┬──────┬──────┬┄┐  the lattice ends a quarter of a strip short of
//!    │   │ ──── │ ──── │ ──── │ ┊  the tip: even strips then err in the second
//!    ▼   │  ×   │  ×   │  ×   │ ┊  order rather than in the first
//!        ├──────┼──────┼──────┤ ┊  ──── bound vortex, at a quarter of the panel
//!        │ ──── │ ──── │ ──── │ ┊   ×   where no air may pass, at three quarters
//!        │  ×   │  ×   │  ×   │ ┊
//!        ├──────╆━━━━━━┿━━━━━━┪ ┊  a hinge and the ends of a flap are always
//!        │ ──── ┃ ──── │ ──── ┃ ┊  edges of panels
//!        └┊────┊┗┊────┊┷┊────┊┛┄┘
//!         ▼    ▼ ▼    ▼ ▼    ▼     trailing vortices
//! ```
//!
//! That no air passes through a panel is one equation for each, linear in the strengths.
//! The other half of the aircraft is a mirror image, so that only one half is solved:
//! once with equal strengths (angle of attack, washout, elevator, pitching) and once
//! with opposite ones (aileron, rolling). The force on a bound vortex follows from its
//! strength (Kutta and Joukowski), the induced drag from the wake far behind (Trefftz).
//!
//! **What it leaves out.** It is linear: incidence, washout and flaps turn the direction
//! into which the air must not pass, and move nothing. It knows no friction, so neither
//! stall nor the drag of a section, and a flap of a real model is weaker than here. It
//! knows no thickness, no body, no propeller and no compressibility. Its results are
//! estimates: they may raise a stop, and never clear one.
//!
//! **The hinge.** A lattice sees the kink of a flap between two control points, which is
//! a quarter of a panel aft of the hinge, so that plain panels give 3 to 6 % too little
//! flap lift and approach the limit only as one over their number. Here the last panel
//! ahead of the hinge takes about a quarter of the deflection, which puts the kink back:
//! exactly the share with which the same rows, as an endless wing, have the flap lift of
//! thin-aerofoil theory ([`Hinge::Shared`]). It costs one small solution in two
//! dimensions; the flap's moment, which that does not fix, errs as one over the square.
//!
//! **How near.** A rectangular half wing of 0.5 m by 0.25 m, with a flap of a fifth of
//! the chord from a tenth of the half span to the tip; moments about the neutral point:
//!
//! | strips × panels | CL per rad | neutral point | CL per rad of flap | Cm per rad of flap |
//! |---|---|---|---|---|
//! | 10 × 8 | 3.6072 | 0.23254 | 1.8460 | −0.52610 |
//! | 20 × 10, [`Grid::WING`] | 3.6106 | 0.23220 | 1.8513 | −0.53219 |
//! | 40 × 20 | 3.6117 | 0.23200 | 1.8535 | −0.53651 |
//! | 60 × 20 | 3.6118 | 0.23199 | 1.8537 | −0.53663 |
//! | 80 × 30 | 3.6119 | 0.23196 | 1.8540 | −0.53740 |
//!
//! Over nine planforms, swept and not, with a flap each, the largest errors against what
//! two finer codes agree on, in per cent; of the neutral point, in per cent of the mean
//! chord. Beside them the panels of one half, and for orientation what solving for both
//! halves alike took on one machine (`cargo bench -p trimsheet-physics`):
//!
//! | grid | lift slope | neutral point | flap lift | flap moment | panels | ms |
//! |---|---|---|---|---|---|---|
//! | 10 × 8 | 1.80 | 0.47 | 3.58 | 2.47 | 80 | 0.2 |
//! | 20 × 10 | 0.25 | 0.10 | 0.51 | 1.16 | 200 | 1.6 |
//! | 40 × 20 | 0.06 | 0.03 | 0.02 | 0.25 | 800 | 64 |
//! | 60 × 20 | 0.01 | 0.01 | 0.13 | 0.29 | 1200 | 214 |
//!
//! That is why a wing is cut into 20 × 10. Ten strips put a neutral point of a 220 mm
//! chord 1 mm off, which is what a builder can measure; twenty put it 0.2 mm off. What
//! is left of the flap is less than what friction takes from a real one, and the next
//! grid costs forty times as much to mend it. A swept wing cut along the stream
//! converges from above.
//!
//! Sources: V. M. Falkner, ARC R&M 1910 (1943), for the method; Katz and Plotkin, "Low-Speed
//! Aerodynamics", chapters 10 and 12, for horseshoes and the velocity of a vortex line;
//! Hough, Journal of Aircraft 10 (1973), 314, for the inset at the tip; all from memory.
//! The share at the hinge is our own; thin-aerofoil theory is what it is checked against.

mod chord;
#[cfg(test)]
mod extremes;
mod influence;
mod mesh;
mod solution;
#[cfg(test)]
mod tests;
mod wake;

pub use solution::{
    Antisymmetric, Effect, FlapEffect, RollingEffect, State, StripLoad, Symmetric,
};

use mesh::{Mesh, Panel};
use nalgebra::DMatrix;

/// More panels than this are refused: the equations would not fit a small machine.
pub const MOST_PANELS: usize = 4000;

/// Nothing shorter than this, in m, has a lattice: squares of squares would vanish.
pub const SMALLEST: f64 = 1e-6;

/// Nothing further away than this, in m, has a lattice: squares of squares would overflow.
pub const LARGEST: f64 = 1e6;

/// A chord of a surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rib {
    /// How far out from the centre line, in m; never negative.
    pub out: f64,
    /// How far up, in m; for dihedral, winglets and the height of a tail.
    pub up: f64,
    /// The station of the leading edge, in m aft of the datum.
    pub leading_edge: f64,
    /// From the leading edge to the trailing edge, in m.
    pub chord: f64,
    /// The angle of its zero-lift line to the datum line, nose up positive, in radians:
    /// incidence, plus washout (negative), less the zero-lift angle of the section.
    pub incidence: f64,
}

impl Rib {
    /// The rib that stands so far on the straight way to another: 0 is this one, 1 that.
    #[must_use]
    pub fn towards(&self, outer: &Rib, share: f64) -> Rib {
        let mix = |one: f64, two: f64| one + share * (two - one);
        Rib {
            out: mix(self.out, outer.out),
            up: mix(self.up, outer.up),
            leading_edge: mix(self.leading_edge, outer.leading_edge),
            chord: mix(self.chord, outer.chord),
            incidence: mix(self.incidence, outer.incidence),
        }
    }
}

/// A flap at the trailing edge: elevon, aileron, elevator.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flap {
    /// How far out it begins, in m.
    pub inner: f64,
    /// How far out it ends, in m.
    pub outer: f64,
    /// Its chord as a share of the chord of the surface; 1 is a surface that turns whole.
    pub chord_share: f64,
}

/// Where the lattice ends at the tip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tip {
    /// A quarter of a strip short of it, which is nearer to the truth.
    Inset,
    /// At the tip, as in older published cases.
    Full,
}

/// What the panel ahead of a hinge does when the flap moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hinge {
    /// It takes the share of the deflection that puts the kink at the hinge.
    Shared,
    /// Nothing, as in older published cases: flap lift is a few per cent low.
    Plain,
}

/// How finely a surface is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Grid {
    /// Strips on one half, shared out between ribs and flap ends by length; each of
    /// these lengths has one at least.
    pub spanwise: u16,
    /// Panels along each chord.
    pub chordwise: u16,
    /// How the tip is treated.
    pub tip: Tip,
    /// How the hinge is treated.
    pub hinge: Hinge,
}

impl Grid {
    /// For a wing: 20 strips a half with 10 panels each.
    pub const WING: Self =
        Self { spanwise: 20, chordwise: 10, tip: Tip::Inset, hinge: Hinge::Shared };

    /// For a tail or a canard beside a wing: 12 strips a half with 6 panels each.
    pub const TAIL: Self =
        Self { spanwise: 12, chordwise: 6, tip: Tip::Inset, hinge: Hinge::Shared };
}

/// One half of a wing, a tail, a canard or a pair of fins; the other is its mirror image.
///
/// A wing that passes through a body should have a rib on the centre line, because the
/// body carries the lift across: without one, the gap is open and has tips of its own.
#[derive(Clone, Debug, PartialEq)]
pub struct Surface {
    /// From the inner to the outer end, at least two. Two ribs at one place are a step.
    pub ribs: Vec<Rib>,
    /// Its flap, if it has one.
    pub flap: Option<Flap>,
    /// How finely it is cut.
    pub grid: Grid,
}

/// What coefficients are counted in, and about which point moments are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reference {
    /// The area in m².
    pub area: f64,
    /// The chord in m, of moments in pitch.
    pub chord: f64,
    /// The span in m, of moments in roll.
    pub span: f64,
    /// The point of moments, in m aft of the datum.
    pub station: f64,
}

/// Why a shape has no lattice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoLattice {
    /// No surface was given.
    NoSurface,
    /// A surface has fewer than two ribs.
    TooFewRibs {
        /// Which surface, from 0.
        surface: usize,
    },
    /// A rib lies further in than the one before it, or within the other half.
    NotInOrder {
        /// Which surface, from 0.
        surface: usize,
        /// Which rib, from 0.
        rib: usize,
    },
    /// A rib is the one before it once more.
    CoincidentRibs {
        /// Which surface, from 0.
        surface: usize,
        /// The second of the two, from 0.
        rib: usize,
    },
    /// A rib has a negative chord.
    NegativeChord {
        /// Which surface, from 0.
        surface: usize,
        /// Which rib, from 0.
        rib: usize,
    },
    /// A surface has no span: it does not leave the centre line, or all its ribs lie at
    /// one place, within [`SMALLEST`].
    NoSpan {
        /// Which surface, from 0.
        surface: usize,
    },
    /// Between two ribs a surface has no area, their chords being below [`SMALLEST`].
    NoArea {
        /// Which surface, from 0.
        surface: usize,
    },
    /// A flap does not lie within its surface, or has no length or no chord.
    NoFlap {
        /// Which surface, from 0.
        surface: usize,
    },
    /// Area, chord or span to count in is nought or negative.
    NoReference,
    /// A grid has no strips or no panels.
    NoPanels {
        /// Which surface, from 0.
        surface: usize,
    },
    /// More than [`MOST_PANELS`] on one half.
    TooManyPanels,
    /// The equations have no single solution: surfaces lie within each other, say.
    NoSolution,
    /// A number is not finite or a length beyond [`LARGEST`], or a result is not finite.
    TooLarge,
}

/// A shape, cut into panels.
#[derive(Clone, Debug)]
pub struct Lattice {
    mesh: Mesh,
    reference: Reference,
}

impl Lattice {
    /// Cuts surfaces into panels.
    ///
    /// # Errors
    /// What is wrong with the surfaces, the grid, or what to count in.
    pub fn new(surfaces: &[Surface], reference: Reference) -> Result<Self, NoLattice> {
        let sizes = [reference.area, reference.chord, reference.span];
        if !sizes.iter().chain([&reference.station]).all(|number| number.is_finite()) {
            return Err(NoLattice::TooLarge);
        }
        if sizes.iter().any(|size| *size <= 0.0) {
            return Err(NoLattice::NoReference);
        }
        Ok(Self { mesh: Mesh::new(surfaces)?, reference })
    }

    /// How many unknown strengths there are: the panels of one half.
    #[must_use]
    pub fn panels(&self) -> usize {
        self.mesh.panels.len()
    }

    /// Solves for what acts on both halves alike: angle of attack, washout, flaps that
    /// move together, pitching.
    ///
    /// # Errors
    /// The equations have no solution, or numbers are too large.
    pub fn symmetric(&self) -> Result<Symmetric, NoLattice> {
        self.alike(influence::alike(&self.mesh.panels))
    }

    /// Solves for what acts on both halves oppositely: ailerons and rolling.
    ///
    /// # Errors
    /// The equations have no solution, or numbers are too large.
    pub fn antisymmetric(&self) -> Result<Antisymmetric, NoLattice> {
        self.opposite(influence::opposite(&self.mesh.panels))
    }

    /// Solves for both, in less time than one after the other.
    ///
    /// # Errors
    /// The equations have no solution, or numbers are too large.
    pub fn both(&self) -> Result<(Symmetric, Antisymmetric), NoLattice> {
        let (alike, opposite) = influence::both(&self.mesh.panels);
        Ok((self.alike(alike)?, self.opposite(opposite)?))
    }

    fn alike(&self, influence: Vec<f64>) -> Result<Symmetric, NoLattice> {
        let mut causes: Vec<Vec<f64>> = vec![
            self.cause(|panel| panel.normal.up),
            self.cause(|panel| panel.incidence),
            self.cause(|panel| {
                let arm = panel.control.aft - self.reference.station;
                2.0 * arm / self.reference.chord * panel.normal.up
            }),
        ];
        for surface in self.mesh.surfaces_with_flap() {
            causes.push(self.cause(|panel| panel.flap(surface)));
            causes.push(self.cause(|panel| panel.flap(surface) * panel.hinge_cosine));
        }
        let strengths = self.solve(&causes, influence)?;
        Symmetric::new(&self.mesh, self.reference, &strengths)
    }

    fn opposite(&self, influence: Vec<f64>) -> Result<Antisymmetric, NoLattice> {
        let mut causes = vec![self.cause(|panel| {
            let normal = panel.normal;
            let turned =
                normal.up * panel.control.right - normal.right * panel.control.up;
            2.0 * turned / self.reference.span
        })];
        for surface in self.mesh.surfaces_with_flap() {
            causes.push(self.cause(|panel| panel.flap(surface)));
            causes.push(self.cause(|panel| panel.flap(surface) * panel.hinge_cosine));
        }
        let strengths = self.solve(&causes, influence)?;
        Antisymmetric::new(&self.mesh, self.reference, &strengths)
    }

    /// The air that would pass through each panel, as a share of the airspeed.
    fn cause(&self, of: impl Fn(&Panel) -> f64) -> Vec<f64> {
        self.mesh.panels.iter().map(of).collect()
    }

    /// The strengths of the vortices for each cause, at an airspeed of 1 m/s.
    fn solve(
        &self,
        causes: &[Vec<f64>],
        influence: Vec<f64>,
    ) -> Result<Vec<Vec<f64>>, NoLattice> {
        let count = self.mesh.panels.len();
        let matrix = DMatrix::from_vec(count, count, influence);
        let all = causes.iter().flatten().map(|through| -through).collect();
        let wanted = DMatrix::from_vec(count, causes.len(), all);
        let solved = matrix.lu().solve(&wanted).ok_or(NoLattice::NoSolution)?;
        if !solved.iter().all(|strength| strength.is_finite()) {
            return Err(NoLattice::TooLarge);
        }
        Ok(solved.column_iter().map(|column| column.iter().copied().collect()).collect())
    }
}
