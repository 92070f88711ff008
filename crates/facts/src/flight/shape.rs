//! The lattice of a build: lifting surfaces from their ribs, flaps from their hinges.

use std::sync::{Arc, OnceLock};

use trimsheet_model::quantity::Quantity;
use trimsheet_model::{Entry, EntryId, Fact, Value};
use trimsheet_physics::lattice::{
    Antisymmetric, Flap, Grid, Lattice, NoLattice, Reference, Rib, Surface, Symmetric,
};
use trimsheet_physics::planform::{self, dihedral_rise, rib_at};

use crate::facts::{Facts, absent};
use crate::known::{NotKnown, Why};

/// What the lattice says of a build.
#[derive(Debug)]
pub(crate) struct Shape {
    lattice: Lattice,
    /// What acts on both halves alike.
    pub(crate) symmetric: Symmetric,
    antisymmetric: OnceLock<Result<Antisymmetric, NoLattice>>,
    /// The hinged surface of each flap of the lattice, in its order.
    pub(crate) flaps: Vec<EntryId>,
    /// Why a hinged surface has no flap in the lattice.
    without_flap: Vec<(EntryId, NotKnown)>,
    /// Of the wing and the tails: the angle at which a section does not lift, or why that
    /// is not known; the lattice then has it as nought, which moves no neutral point.
    pub(crate) sections: Result<(), NotKnown>,
}

impl Shape {
    /// Which flap of the lattice a hinged surface is.
    pub(crate) fn flap_of(&self, surface: EntryId) -> Result<usize, NotKnown> {
        let place = self.flaps.iter().position(|own| *own == surface);
        let why = self.without_flap.iter().find(|(own, _)| *own == surface);
        place.ok_or_else(|| {
            why.map_or_else(
                || NotKnown::impossible("the surface is hinged to no wing or tail", None),
                |(_, why)| why.clone(),
            )
        })
    }

    /// What acts on both halves oppositely, worked out when it is first asked for.
    pub(crate) fn antisymmetric(&self) -> Result<&Antisymmetric, NotKnown> {
        let solved = self.antisymmetric.get_or_init(|| self.lattice.antisymmetric());
        solved.as_ref().map_err(|why| NotKnown::impossible(no_lattice(*why), None))
    }
}

impl Facts {
    /// The lattice of the build, worked out once.
    pub(crate) fn shape(&self) -> Result<Arc<Shape>, NotKnown> {
        self.shape_once(|| self.new_shape().map(Arc::new))
    }

    fn new_shape(&self) -> Result<Shape, NotKnown> {
        let wing = self.wing_id()?;
        let outline = self.outline(wing)?;
        let mut building = Building::default();
        self.add_surface(&mut building, wing, Grid::WING)?;
        let tails: Vec<EntryId> = self.of_word("tail").map(|(tail, _)| tail).collect();
        if tails.is_empty() && !self.is_tailless()? {
            let says = "the layout of the wing has a tail, and the spec describes none";
            let span = Some(self.must(wing, "layout")?.span);
            return Err(NotKnown { why: Why::Absent, says: says.into(), span });
        }
        for tail in tails {
            self.add_surface(&mut building, tail, Grid::TAIL)?;
        }
        let reference = Reference {
            area: outline.area,
            chord: outline.mean_chord,
            span: outline.span,
            station: outline.station(0.25),
        };
        let span = self.entry(wing)?.span();
        let none = |why| NotKnown::impossible(no_lattice(why), Some(span));
        let lattice = Lattice::new(&building.surfaces, reference).map_err(none)?;
        let symmetric = lattice.symmetric().map_err(none)?;
        Ok(Shape {
            lattice,
            symmetric,
            antisymmetric: OnceLock::new(),
            flaps: building.flaps,
            without_flap: building.without_flap,
            sections: building.sections.map_or(Ok(()), Err),
        })
    }

    fn add_surface(
        &self,
        building: &mut Building,
        of: EntryId,
        grid: Grid,
    ) -> Result<(), NotKnown> {
        // A section that is not known moves no neutral point: only trim asks for it.
        let camber = self.zero_lift(of).unwrap_or_else(|why| {
            building.sections.get_or_insert(why);
            0.0
        });
        let mut ribs = self.lattice_ribs(of, camber)?;
        if let Some(first) = ribs.first().copied().filter(|first| first.out > 0.0) {
            // The body between the panels carries the lift across.
            ribs.insert(0, Rib { out: 0.0, ..first });
        }
        let hinged: Vec<EntryId> = self.hinged_to(of)?;
        let flap = match hinged.as_slice() {
            [] => None,
            [only] => match self.flap(*only, of) {
                Ok(flap) => Some((*only, flap)),
                Err(why) => {
                    building.without_flap.push((*only, why));
                    None
                }
            },
            several => {
                let says = format!(
                    "{} has {} hinged surfaces, and the lattice takes one on each half",
                    self.entry(of)?.title(),
                    several.len()
                );
                for surface in several {
                    let span = self.entry(*surface)?.span();
                    let why = NotKnown::impossible(says.clone(), Some(span));
                    building.without_flap.push((*surface, why));
                }
                None
            }
        };
        building.flaps.extend(flap.map(|(surface, _)| surface));
        let flap = flap.map(|(_, flap)| flap);
        building.surfaces.push(Surface { ribs, flap, grid });
        Ok(())
    }

    /// The hinged surfaces on a wing or a tail.
    pub(super) fn hinged_to(&self, of: EntryId) -> Result<Vec<EntryId>, NotKnown> {
        let mut all = Vec::new();
        for (id, _) in self.of_word("surface") {
            if self.hinged_on(id)? == Some(of) {
                all.push(id);
            }
        }
        Ok(all)
    }

    /// The ribs of a wing or a tail, with their heights and angles.
    ///
    /// A rib that states its height or its incidence has that; the others lie on straight
    /// lines by `dihedral` and `washout`.
    pub(super) fn lattice_ribs(
        &self,
        of: EntryId,
        camber: f64,
    ) -> Result<Vec<Rib>, NotKnown> {
        let flat = self.ribs(of)?;
        let entry = self.entry(of)?;
        let dihedral = self.angle(of, "dihedral")?.unwrap_or(0.0);
        let washout = self.angle(of, "washout")?.unwrap_or(0.0);
        let (root, tip) = match flat.as_slice() {
            [root, .., tip] => (root.out, tip.out),
            _ => (0.0, 0.0),
        };
        let mut base = None;
        let mut ribs = Vec::new();
        for (rib, fact) in flat.iter().zip(entry.all("rib")) {
            let along = (rib.out - root) / (tip - root);
            let stated = self.number(entry, fact, "height")?;
            let height = *base.get_or_insert(stated.unwrap_or(0.0));
            let rises = dihedral_rise(rib.out - root, dihedral);
            let turned = self.number(entry, fact, "incidence")?;
            ribs.push(Rib {
                out: rib.out,
                up: stated.unwrap_or(height + rises),
                leading_edge: rib.leading_edge,
                chord: rib.chord,
                incidence: turned.unwrap_or(-washout * along) - camber,
            });
        }
        Ok(ribs)
    }

    /// What a surface is hinged to, if the spec says it.
    pub(crate) fn hinged_on(
        &self,
        surface: EntryId,
    ) -> Result<Option<EntryId>, NotKnown> {
        let Some(fact) = self.fact(surface, "on")? else { return Ok(None) };
        let entry = self.entry(surface)?;
        let on = fact.first().map(|value| self.known_value(entry, fact, value));
        Ok(on.transpose()?.and_then(|on| on.targets().first().copied()))
    }

    /// From where to where a surface goes along the span, in m out.
    pub(crate) fn along_span(&self, surface: EntryId) -> Result<(f64, f64), NotKnown> {
        let (entry, fact) = (self.entry(surface)?, self.must(surface, "reach")?);
        let reach = fact.first().map(|value| self.known_value(entry, fact, value));
        let reach = reach.transpose()?.and_then(Value::range);
        let (low, high) = reach.ok_or_else(|| absent(entry, "reach"))?;
        Ok((low.si(), high.si()))
    }

    /// A number in one slot of a fact, in SI units, or that the line lacks it.
    pub(crate) fn must_number(
        &self,
        entry: &Entry,
        fact: &Fact,
        slot: &str,
    ) -> Result<f64, NotKnown> {
        self.number(entry, fact, slot)?.ok_or_else(|| absent(entry, slot))
    }

    /// A number in one slot of a fact, in SI units, if the line has it.
    pub(crate) fn number(
        &self,
        entry: &Entry,
        fact: &Fact,
        slot: &str,
    ) -> Result<Option<f64>, NotKnown> {
        let value = self.slot(entry, fact, slot)?;
        Ok(value.and_then(Value::quantity).map(Quantity::si))
    }

    /// An angle that an entry may state, in radians; a tail has no `washout`.
    fn angle(&self, of: EntryId, word: &'static str) -> Result<Option<f64>, NotKnown> {
        let entry = self.entry(of)?;
        let Some(fact) = self.fact(of, word)? else { return Ok(None) };
        self.number(entry, fact, "angle")
    }

    /// The angle of the chord line at which a section does not lift, nose up positive.
    fn zero_lift(&self, of: EntryId) -> Result<f64, NotKnown> {
        let entry = self.entry(of)?;
        let Some(fact) = self.fact(of, "zero-lift")? else {
            return if self.is_uncambered(of)? {
                Ok(0.0)
            } else {
                Err(absent(entry, "zero-lift angle of its section"))
            };
        };
        self.turning(entry, fact, "angle")
    }

    /// The moment coefficient of the wing's section, nose up positive.
    ///
    /// One section over the whole span: weighted by chord squared, it is its own.
    pub(super) fn section_moment(&self, wing: EntryId) -> Result<f64, NotKnown> {
        let entry = self.entry(wing)?;
        let Some(fact) = self.fact(wing, "section-moment")? else {
            return if self.is_uncambered(wing)? {
                Ok(0.0)
            } else {
                Err(absent(entry, "section-moment"))
            };
        };
        self.turning(entry, fact, "coefficient")
    }

    /// A number that is followed by `nose-up` or `nose-down`.
    fn turning(&self, entry: &Entry, fact: &Fact, slot: &str) -> Result<f64, NotKnown> {
        let size = self.number(entry, fact, slot)?;
        let way = self.slot(entry, fact, "way")?.and_then(Value::text);
        match (size, way) {
            (Some(size), Some("nose-up")) => Ok(size),
            (Some(size), Some("nose-down")) => Ok(-size),
            _ => Err(absent(entry, fact.row.word)),
        }
    }

    fn is_uncambered(&self, of: EntryId) -> Result<bool, NotKnown> {
        let entry = self.entry(of)?;
        let fact = self.must(of, "section")?;
        let shape = self.slot(entry, fact, "shape")?.and_then(Value::text);
        Ok(matches!(shape, Some("flat" | "symmetric")))
    }

    /// The share of the chord that a hinged surface takes: of what it is cut from.
    pub(crate) fn surface_share(&self, surface: EntryId) -> Result<f64, NotKnown> {
        let of = self.hinged_on(surface)?;
        let entry = self.entry(surface)?;
        let of = of.ok_or_else(|| absent(entry, "on"))?;
        Ok(self.flap(surface, of)?.chord_share)
    }

    /// The flap that a hinged surface is.
    fn flap(&self, surface: EntryId, on: EntryId) -> Result<Flap, NotKnown> {
        let (inner, outer) = self.along_span(surface)?;
        let (at_root, at_tip) = self.hinge_to_edge(surface)?;
        let ribs: Vec<planform::Rib> = self.ribs(on)?;
        let span = Some(self.must(surface, "reach")?.span);
        let chord = |out: f64| {
            rib_at(&ribs, out).map(|rib| rib.chord).ok_or_else(|| {
                let says = "the surface reaches past the ribs of what it is hinged to";
                NotKnown::impossible(says, span)
            })
        };
        // The lattice has one share: the flap's area over the area that it is cut from.
        let chord_share = (at_root + at_tip) / (chord(inner)? + chord(outer)?);
        Ok(Flap { inner, outer, chord_share })
    }

    /// How deep a hinged surface is at its two ends, in m.
    pub(crate) fn hinge_to_edge(&self, surface: EntryId) -> Result<(f64, f64), NotKnown> {
        let entry = self.entry(surface)?;
        let fact = self.must(surface, "hinge-to-edge")?;
        let end = |slot: &str| {
            self.number(entry, fact, slot)?
                .ok_or_else(|| absent(entry, "depth from hinge to edge"))
        };
        Ok((end("root")?, end("tip")?))
    }
}

#[derive(Default)]
struct Building {
    surfaces: Vec<Surface>,
    flaps: Vec<EntryId>,
    without_flap: Vec<(EntryId, NotKnown)>,
    sections: Option<NotKnown>,
}

/// What keeps a shape from having a lattice, in the words of somebody with a ruler.
fn no_lattice(why: NoLattice) -> &'static str {
    match why {
        NoLattice::NoSurface | NoLattice::TooFewRibs { .. } => {
            "a wing or a tail has fewer than two ribs, so no lift can be estimated"
        }
        NoLattice::NotInOrder { .. } => {
            "the ribs do not follow each other outward, so no lift can be estimated"
        }
        NoLattice::CoincidentRibs { .. } => {
            "two ribs of one chord lie at one place, so no lift can be estimated"
        }
        NoLattice::NegativeChord { .. } | NoLattice::NoArea { .. } => {
            "a wing or a tail has no area between two ribs, so no lift can be estimated"
        }
        NoLattice::NoSpan { .. } => {
            "a wing or a tail has no span, so no lift can be estimated"
        }
        NoLattice::NoFlap { .. } => {
            "a hinged surface does not lie within what it is hinged to, or is deeper than \
             it, so no lift can be estimated"
        }
        NoLattice::NoReference => "the wing has no area, so no lift can be estimated",
        NoLattice::NoPanels { .. } | NoLattice::TooManyPanels => {
            "there are too many ribs to estimate the lift"
        }
        NoLattice::NoSolution => {
            "surfaces lie within each other, so no lift can be estimated"
        }
        NoLattice::TooLarge => "the ribs are too large or too small to reckon with",
    }
}
