//! The limits of the spec beside the numbers that they are for, and what the wing adds.

use trimsheet_facts::model::quantity::Quantity;
use trimsheet_facts::{Known, NotKnown, Why};

use super::{Maker, source};
use crate::number::Number;
use crate::sheet::{Band, Distance, Limit, NotSaid, Total};

impl Maker<'_> {
    /// The band with the distance of each total to its ends and its best place.
    pub(super) fn band(
        &self,
        loadout: &Known,
        totals: &[(&str, &Total)],
        not_said: &mut Vec<NotSaid>,
    ) -> Option<Band> {
        let band = match self.facts.of(loadout, "band") {
            Ok(band) => band,
            Err(why) => {
                not_said.push(self.not_said("the distance to the limits", &why));
                return None;
            }
        };
        let place = |total: &Total| total.x.0.clone();
        let limit = |name: &str| {
            let known = self.facts.of(&band, name).ok()?;
            self.limit(&known, totals, place)
        };
        Some(Band { forward: limit("forward")?, best: limit("best"), aft: limit("aft")? })
    }

    pub(super) fn mass_limit(
        &self,
        loadout: &Known,
        totals: &[(&str, &Total)],
    ) -> Option<Limit> {
        let known = self.facts.of(loadout, "mass_limit").ok()?;
        self.limit(&known, totals, |total| total.mass.0.clone())
    }

    fn limit(
        &self,
        known: &Known,
        totals: &[(&str, &Total)],
        value: fn(&Total) -> Quantity,
    ) -> Option<Limit> {
        let at = known.quantity()?;
        let distance = |(of, total): &(&str, &Total)| {
            let own = value(total);
            let by = Quantity::from_si(own.si() - at.si(), own.unit());
            let by = by.with_spread_si(own.spread_si().unwrap_or(0.0));
            Distance { of: (*of).to_owned(), by: Number(by) }
        };
        Some(Limit {
            at: Number(at.clone()),
            source: source(known.source, false),
            line: self.line(known.via.or(known.span)),
            distances: totals.iter().map(distance).collect(),
        })
    }

    /// The share of the mean chord and the wing loading.
    pub(super) fn of_wing(
        &self,
        loadout: &Known,
        total: Option<&Total>,
        is_whole: bool,
        not_said: &mut Vec<NotSaid>,
    ) -> (Option<Number>, Option<Number>) {
        let share = total.map(|total| self.chord_share(loadout, total));
        let loading = is_whole.then(|| self.facts.of(loadout, "wing_loading"));
        let loading = loading.map(|known| known.map(|known| known.quantity().cloned()));
        match (share, loading) {
            (Some(Err(share)), Some(Err(loading))) if share.span == loading.span => {
                let what = "the share of the mean chord and the wing loading";
                not_said.push(self.not_said(what, &share));
                (None, None)
            }
            (share, loading) => {
                let share = share.and_then(|share| {
                    self.known_or("the share of the mean chord", share, not_said)
                });
                let loading = loading.and_then(|loading| {
                    self.known_or("the wing loading", loading, not_said)
                });
                (share, loading.flatten().map(Number))
            }
        }
    }

    fn known_or<T>(
        &self,
        what: &str,
        known: Result<T, NotKnown>,
        not_said: &mut Vec<NotSaid>,
    ) -> Option<T> {
        known
            .map_err(|why| {
                if why.why != Why::NoSuch {
                    not_said.push(self.not_said(what, &why));
                }
            })
            .ok()
    }

    /// The balance point on the mean chord, as unsure as the balance point is.
    fn chord_share(&self, loadout: &Known, total: &Total) -> Result<Number, NotKnown> {
        let share = self.facts.of(loadout, "chord_share")?;
        let wing = self.facts.of(&self.facts.whole(), "wing")?;
        let planform = self.facts.of(&wing, "planform")?;
        let chord = self.facts.of(&planform, "mean_chord")?;
        let chord = chord.quantity().map_or(0.0, Quantity::si);
        let spread = total.x.0.spread_si().unwrap_or(0.0) / chord;
        let none = || NotKnown::impossible("the wing has no mean chord", share.span);
        let share = share.quantity().filter(|_| 0.0 < chord).ok_or_else(none)?;
        Ok(Number(share.clone().with_spread_si(spread)))
    }
}
