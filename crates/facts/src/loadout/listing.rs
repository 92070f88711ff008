//! What is aboard, thing by thing, as far as it is known: for sheets.
//!
//! The balance stops at the first thing that is not known, because a sum with a gap is
//! no sum. A list need not: it names what is known, and why the rest is not.

use std::collections::BTreeSet;

use trimsheet_model::quantity::{Axis, Quantity};
use trimsheet_model::source::Span;
use trimsheet_model::{EntryId, Fact, Half, Value};
use trimsheet_physics::balance::Term;

use super::{Aboard, Fitter, Open};
use crate::facts::Facts;
use crate::known::NotKnown;
use crate::stowed::{State, Stowed};

/// Everything aboard in a loadout, in the order of the spec: parts, packs, ballast.
#[derive(Clone, Debug, Default)]
pub struct Listing {
    /// One for each thing; both halves of a pair have their own.
    pub items: Vec<Listed>,
    /// Why no sum can be made; empty where everything aboard is known.
    pub not_known: Vec<NotKnown>,
    /// How many masses and places were written for what is known, each line once.
    pub values: usize,
    /// How many of them have a spread that was assumed from their source.
    pub assumed: usize,
}

/// One thing aboard, as far as it is known.
#[derive(Clone, Debug)]
pub struct Listed {
    /// The part, the pack, the assembly, or the bay that lead lies in.
    pub entry: EntryId,
    /// What it is called.
    pub name: String,
    /// Which half of a pair it is.
    pub half: Option<Half>,
    /// Whether it is lead in a bay.
    pub is_ballast: bool,
    /// What it weighs with its spread, in the builder's unit of mass.
    pub mass: Option<Quantity>,
    /// Where the mass comes from, if that is said.
    pub mass_source: Option<&'static str>,
    /// Whether the mass is `about`.
    pub is_about: bool,
    /// Where its own balance point is: aft, right and up, in the builder's unit of
    /// length; `None` on the centre line or the chord line, or where it is not known.
    pub at: [Option<Quantity>; 3],
    /// Where the place comes from, if that is said.
    pub place_source: Option<&'static str>,
    /// Both ends of its slide, where the loadout leaves open where in it it is.
    pub slide: Option<(Quantity, Quantity)>,
    /// Whether the loadout leaves open whether it is aboard.
    pub is_open: bool,
    /// The stretch that its mass stands in, or the thing itself.
    pub span: Option<Span>,
    /// The stretch that says where it is.
    pub placed: Option<Span>,
    /// What is not known about it.
    pub not_known: Option<NotKnown>,
}

/// Something that is not known about what is aboard, or about one thing.
struct Gap<'a> {
    about: Option<Stowed<'a>>,
    why: NotKnown,
}

impl Facts {
    /// Lists what is aboard in a loadout, as far as it is known.
    ///
    /// Where `not_known` is empty, the sum of what is listed is the loadout's balance.
    pub fn listed(&self, loadout: EntryId) -> Listing {
        let mut fitter = Fitter::new(self);
        let mut gaps: Vec<Gap<'_>> = Vec::new();
        let state = State::flown(loadout);
        for aboard in
            [self.stowed_parts(state), self.stowed_packs(state), self.stowed_lead(state)]
        {
            match aboard {
                Ok(aboard) => gaps.extend(aboard.into_iter().filter_map(|stowed| {
                    let why = fitter.take(&stowed).err()?;
                    Some(Gap { about: Some(stowed), why })
                })),
                Err(why) => gaps.push(Gap { about: None, why }),
            }
        }
        let mut items: Vec<Listed> = (fitter.out.items.iter().enumerate())
            .map(|(index, aboard)| fitter.listed(index, aboard))
            .collect();
        items.extend(gaps.iter().filter_map(|gap| self.listed_gap(gap)));
        // What could not be fitted goes where it stands in the spec.
        items.sort_by_key(|item| (item.is_ballast, self.is_pack(item.entry), item.entry));
        // Both halves of a pair lack the same line.
        let mut lines = BTreeSet::new();
        let why = gaps.into_iter().map(|gap| gap.why);
        let not_known = why.filter(|why| why.span.is_none_or(|span| lines.insert(span)));
        let not_known: Vec<NotKnown> = not_known.collect();
        let mut written: Vec<(Span, bool)> = (fitter.out.variables.iter())
            .filter_map(|variable| Some((variable.span?, variable.assumed)))
            .collect();
        written.sort_unstable();
        written.dedup_by_key(|(span, _)| *span);
        let assumed = written.iter().filter(|(_, assumed)| *assumed).count();
        Listing { items, not_known, values: written.len(), assumed }
    }

    fn is_pack(&self, id: EntryId) -> bool {
        self.build.entry(id).is_some_and(|entry| entry.row.word == "pack")
    }

    /// What is known of a thing that could not be fitted.
    fn listed_gap(&self, gap: &Gap<'_>) -> Option<Listed> {
        let stowed = gap.about.filter(|stowed| stowed.lead.is_none())?;
        let (id, at) = (stowed.entry, stowed.at);
        let entry = self.build.entry(id)?;
        let mass = entry.fact("mass").and_then(|fact| fact.slot("mass"));
        let at = at.or_else(|| entry.fact("at").and_then(Fact::first));
        let place = at.and_then(Value::place);
        let length = self.length_unit();
        let along = place.and_then(|place| place.along.in_unit(&length));
        let across = place.and_then(|place| place.across.as_ref()?.in_unit(&length));
        let across = across.map(|across| {
            let is_left = entry.half == Some(Half::Left);
            let mirrored = is_left && across.axis() == Some(Axis::Out);
            let across = if mirrored { across.negated() } else { across };
            across.with_axis(Some(Axis::Side))
        });
        let upward = place.and_then(|place| place.upward.as_ref()?.in_unit(&length));
        let counted = entry.fact("mass").and_then(|fact| fact.slot("counted"));
        let together = counted.and_then(Value::text) == Some("together");
        let share = if together && entry.half.is_some() { 0.5 } else { 1.0 };
        let source = |value: Option<&Value>| value.and_then(source_of);
        Some(Listed {
            entry: id,
            name: entry.name.clone(),
            half: entry.half,
            is_ballast: false,
            mass: mass
                .and_then(Value::quantity)
                .and_then(|mass| Some(mass.in_unit(&self.mass_unit())?.scaled(share))),
            mass_source: source(mass),
            is_about: mass.is_some_and(|mass| mass.about),
            at: [along, across, upward],
            place_source: source(at),
            slide: None,
            is_open: false,
            span: Some(mass.map_or(entry.span(), |mass| mass.span)),
            placed: at.map(|at| at.span),
            not_known: Some(gap.why.clone()),
        })
    }
}

/// Where a value comes from; what comes through a `like` is true of another thing alike.
fn source_of(value: &Value) -> Option<&'static str> {
    let own = value.source.as_ref().map(|source| source.word);
    if value.via.is_some() { Some("copied") } else { own }
}

impl Fitter<'_> {
    fn listed(&self, index: usize, aboard: &Aboard) -> Listed {
        let spread = |term: Term| {
            let variable = self.out.variables.get(term.variable);
            variable.map_or(0.0, |variable| variable.spread * term.weight)
        };
        let length = self.facts.length_unit();
        let place = |term: Term, axis: Axis| {
            let quantity = Quantity::from_si(term.value, &length).with_axis(Some(axis));
            quantity.with_spread_si(spread(term))
        };
        let [along, across, upward] = aboard.item.at;
        let said = |term: Term, axis: Axis| {
            // A number that nobody wrote has no weight of its own.
            (term.weight != 0.0).then(|| place(term, axis))
        };
        let open = |open: fn(&Open) -> bool| {
            let mut choices = self.out.choices.iter();
            choices.find(|choice| choice.items.contains(&index) && open(&choice.open))
        };
        let slide = open(|open| matches!(open, Open::Slide(..)));
        let slide = slide.and_then(|choice| match &choice.open {
            Open::Slide(low, high) => {
                Some((low.in_unit(&length)?, high.in_unit(&length)?))
            }
            Open::Optional => None,
        });
        let mass = aboard.item.mass;
        let weighs = Quantity::from_si(mass.value, &self.facts.mass_unit());
        let variable = self.out.variables.get(along.variable);
        Listed {
            entry: aboard.entry,
            name: aboard.name.clone(),
            half: self.facts.build.entry(aboard.entry).and_then(|entry| entry.half),
            is_ballast: aboard.is_ballast,
            mass: Some(weighs.with_spread_si(spread(mass))),
            mass_source: source_of(&aboard.mass),
            is_about: aboard.mass.about,
            at: [
                slide.is_none().then(|| place(along, Axis::Length)),
                said(across, Axis::Side),
                said(upward, Axis::Height),
            ],
            place_source: variable.and_then(|variable| variable.source),
            slide,
            is_open: open(|open| matches!(open, Open::Optional)).is_some(),
            span: Some(aboard.mass.span),
            placed: Some(aboard.placed),
            not_known: None,
        }
    }
}
