//! Formulas that need a build around them: loadings, volumes, the stall speed.

use std::rc::Rc;

use trimsheet_model::quantity::{Dimension, Quantity, Unit};
use trimsheet_model::{EntryId, Fact, Kind, Unknown};
use trimsheet_physics::loading;

use super::{flag, id, list};
use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};

impl Facts {
    /// The word that opens an entry.
    pub fn word(&self, known: &Known) -> Option<&'static str> {
        self.build.entry(known.entry()?).map(|entry| entry.row.word)
    }

    pub(crate) fn wing(&self) -> Result<Known, NotKnown> {
        self.of(&self.whole(), "wing")
    }

    pub(crate) fn wing_id(&self) -> Result<EntryId, NotKnown> {
        id(&self.wing()?)
    }

    /// The area, the mean chord and the rest of the wing's outline, in SI units.
    pub(super) fn wing_outline(
        &self,
    ) -> Result<trimsheet_physics::planform::Planform, NotKnown> {
        self.outline(id(&self.wing()?)?)
    }

    pub(super) fn loading(
        &self,
        of: &Known,
        formula: fn(f64, f64) -> Option<f64>,
        dimension: Dimension,
    ) -> Result<Known, NotKnown> {
        let mass = self.mass(id(of)?)?;
        let spread = mass.quantity().and_then(Quantity::spread_si).unwrap_or(0.0);
        let mass = mass.quantity().map_or(0.0, Quantity::si);
        let area = self.wing_outline()?.area;
        let none = || NotKnown::impossible("the wing has no area", of.span);
        let loading = formula(mass, area).ok_or_else(none)?;
        let spread = formula(spread, area).ok_or_else(none)?;
        let quantity = Quantity::from_si(loading, &Unit::for_dimension(dimension));
        let quantity = quantity.with_spread_si(spread);
        Ok(Known::computed(
            What::Quantity(quantity),
            format!("{}.loading", of.name),
            of.span,
        ))
    }

    /// The guessed mass of a loadout as a share of its mass.
    pub(super) fn guessed_share(&self, loadout: EntryId) -> Result<Known, NotKnown> {
        let (part, all) = (self.guessed_mass(loadout)?, self.mass(loadout)?);
        let si = |known: &Known| known.quantity().map_or(0.0, Quantity::si);
        let share = si(&part) / si(&all);
        let share = Quantity::from_si(share, &Unit::for_dimension(Dimension::NONE));
        Ok(Known::computed(What::Quantity(share), "guessed_share", part.span))
    }

    /// The stall speed of a loadout at a greatest lift coefficient, in the air of the field.
    ///
    /// The speed goes with the root of both, so each lends it half its own share of
    /// spread.
    ///
    /// # Errors
    /// What of mass and outline is not known.
    pub fn stall_speed(
        &self,
        loadout: &Known,
        lift_limit: &Quantity,
    ) -> Result<Known, NotKnown> {
        let mass = self.mass(id(loadout)?)?;
        let si = |known: &Quantity| known.si();
        let unsure = |known: &Quantity| known.spread_si().unwrap_or(0.0) / known.si();
        let (weighs, lift) = (mass.quantity().map_or(0.0, si), lift_limit.si());
        let area = self.wing_outline()?.area;
        let speed = loading::stall_speed(weighs, area, self.density()?, lift);
        let says = "no lift, so no stall speed";
        let speed = speed.ok_or_else(|| NotKnown::impossible(says, loadout.span))?;
        let (of_mass, of_lift) =
            (mass.quantity().map_or(0.0, unsure), unsure(lift_limit));
        let shares = (of_mass * of_mass + of_lift * of_lift).sqrt();
        let quantity = Quantity::from_si(speed, &Unit::for_dimension(Dimension::SPEED));
        let quantity = quantity.with_spread_si(speed * shares / 2.0);
        Ok(Known::computed(What::Quantity(quantity), "stall_speed", loadout.span))
    }

    pub(super) fn tail_volume(&self, tail: &Known) -> Result<Known, NotKnown> {
        let (wing, own) = (self.wing_outline()?, self.outline(id(tail)?)?);
        let arm = own.station(0.25) - wing.station(0.25);
        let volume =
            loading::tail_volume(own.area, arm.abs(), wing.area, wing.mean_chord);
        self.volume(tail, volume)
    }

    pub(super) fn fin_volume(&self, fin: &Known) -> Result<Known, NotKnown> {
        let (wing, own) = (self.wing_outline()?, self.outline(id(fin)?)?);
        let arm = own.station(0.25) - wing.station(0.25);
        let volume = loading::fin_volume(own.area / 2.0, arm.abs(), wing.area, wing.span);
        self.volume(fin, volume)
    }

    pub(super) fn volume(
        &self,
        of: &Known,
        volume: Option<f64>,
    ) -> Result<Known, NotKnown> {
        let volume = volume
            .ok_or_else(|| NotKnown::impossible("the wing has no area", of.span))?;
        let quantity = Quantity::from_si(volume, &Unit::for_dimension(Dimension::NONE));
        Ok(Known::computed(
            What::Quantity(quantity),
            format!("{}.volume", of.name),
            of.span,
        ))
    }

    pub(super) fn repeats(&self, of: &Known) -> Result<Known, NotKnown> {
        let entry = self.entry(id(of)?)?;
        let pairs = entry.repeats.iter().filter_map(|(first, again)| {
            let first = entry.facts.get(*first)?;
            let place = |fact: &Fact| {
                let word = What::Words(fact.row.word.into());
                Known::computed(word, fact.row.word, Some(fact.span))
            };
            let differ = first
                .values
                .iter()
                .any(|(_, value)| matches!(value.kind, Kind::Unknown(Unknown::Conflict)));
            let fields = vec![
                ("first", place(first)),
                ("again", place(again)),
                ("differ", flag(differ, of)),
            ];
            Some(Known::computed(
                What::Record(Rc::new(fields)),
                first.row.word,
                Some(again.span),
            ))
        });
        Ok(list(pairs.collect(), of))
    }
}
