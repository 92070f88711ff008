//! Several things moved together, and moves with lead after them.
//!
//! Moving adds no mass, so everything that helps is moved to the end of its slide before
//! the first gram is added. What shifts the balance most is moved first: no other choice
//! of as many things shifts it further.

use trimsheet_model::source::Edit;

use super::lead::Spot;
use super::sliding::Sliding;
use super::ways::{Group, Way};
use super::{Aim, TINY, Work};
use crate::known::NotKnown;
use crate::loadout::Fitted;

/// A thing, and the end of its slide that helps.
pub(super) struct Helping<'a> {
    pub(super) sliding: Sliding<'a>,
    pub(super) end: f64,
    /// By how much it shifts the moment, in kg m.
    pub(super) shifts: f64,
    mass: f64,
}

/// Of more things than these at once nobody keeps count.
const MOST_MOVED: usize = 6;

impl<'a> Work<'a> {
    /// What can be slid the way that the balance point is to go, what shifts it most first.
    pub(super) fn helping(&self, ahead: bool) -> Result<Vec<Helping<'a>>, NotKnown> {
        let mut all = Vec::new();
        for sliding in self.sliding()? {
            let end = if ahead { sliding.low.si() } else { sliding.high.si() };
            let room = if ahead { sliding.now() - end } else { end - sliding.now() };
            let mass = self.mass_of(&sliding);
            if TINY < room && 0.0 < mass {
                all.push(Helping { sliding, end, shifts: room * mass, mass });
            }
        }
        all.sort_by(|one, other| other.shifts.total_cmp(&one.shifts));
        all.truncate(MOST_MOVED);
        Ok(all)
    }

    /// What can be slid the way into the band.
    fn helping_in(&self) -> Result<Vec<Helping<'a>>, NotKnown> {
        self.helping(self.band.best < self.now()?.x)
    }

    /// What is aboard with each of these at the end of its slide.
    pub(super) fn at_ends(&self, helping: &[&Helping<'_>]) -> Fitted {
        let mut fitted = self.fitted.clone();
        for one in helping {
            fitted = self.after(&fitted).moved(&one.sliding, one.end);
        }
        fitted
    }

    /// The fewest things that bring the whole spread inside when they are moved together.
    pub(super) fn moves_together(&self) -> Result<Option<Group>, NotKnown> {
        let helping = self.helping_in()?;
        for count in 2..=helping.len() {
            let mut few: Vec<&Helping<'_>> = helping.iter().take(count).collect();
            // The heaviest go to their ends, so that the way in all is the shortest.
            few.sort_by(|one, other| other.mass.total_cmp(&one.mass));
            let Some((last, first)) = few.split_last() else { continue };
            let fitted = self.at_ends(first);
            let work = self.after(&fitted);
            let mut group = Group {
                moved: u8::try_from(count).unwrap_or(u8::MAX),
                ..Group::default()
            };
            for place in work.places(&last.sliding)? {
                let mut words = self.end_words(first);
                words.push(work.move_words(&last.sliding, place.at, place.stopped));
                let says = format!(
                    "slide {}: balances at {}",
                    words.join(", and "),
                    work.say_point(place.then, place.aim)
                );
                let mut edits = self.end_edits(first)?;
                edits.push(self.move_edit(&last.sliding, &self.station(place.at))?);
                group.distance = first
                    .iter()
                    .fold((place.at - last.sliding.now()).abs(), |sum, one| {
                        sum + (one.end - one.sliding.now()).abs()
                    });
                group.ways.push(Way::whole(says, all_or_none(edits)));
            }
            if group.reaches() {
                return Ok(Some(group));
            }
        }
        Ok(None)
    }

    /// Moves to the ends of slides, and then the least lead: as few moves as need the
    /// least, and the one that shifts the balance most by itself.
    pub(super) fn moves_then_lead(&self) -> Result<Vec<Group>, NotKnown> {
        let helping = self.helping_in()?;
        let mut least: Vec<(usize, Group)> = Vec::new();
        for count in 1..=helping.len() {
            let few: Vec<&Helping<'_>> = helping.iter().take(count).collect();
            let Some(group) = self.ends_then_lead(&few)? else { continue };
            let is_less =
                least.last().is_none_or(|(_, last)| group.added + TINY < last.added);
            if is_less {
                least.push((count, group));
            }
        }
        // Between one move and the least lead lies only more to read.
        let last = least.len().saturating_sub(1);
        let kept = least.into_iter().enumerate();
        let kept = kept.filter(|(at, (count, _))| *at == last || *count == 1);
        Ok(kept.map(|(_, (_, group))| group).collect())
    }

    /// These at their ends, and then the lead where the least of it does.
    fn ends_then_lead(&self, few: &[&Helping<'_>]) -> Result<Option<Group>, NotKnown> {
        let fitted = self.at_ends(few);
        let work = self.after(&fitted);
        let Some(spot) = work.best_spot()? else { return Ok(None) };
        let way = |one: &&Helping<'_>| (one.end - one.sliding.now()).abs();
        let mut group = Group {
            moved: u8::try_from(few.len()).unwrap_or(u8::MAX),
            distance: few.iter().map(way).sum(),
            ..Group::default()
        };
        for amount in work.amounts(&spot)? {
            let says = format!(
                "slide {}; then {}: {}",
                self.end_words(few).join(", and "),
                work.lead_words(&spot, &amount)?,
                work.lead_gives(&spot, &amount)?
            );
            let mut edits = self.end_edits(few)?;
            edits.push(work.lead_edit(&spot, amount.total)?);
            group.added = amount.total - spot.already;
            group.ways.push(Way::whole(says, all_or_none(edits)));
        }
        Ok(group.reaches().then_some(group))
    }

    /// The place where the least lead brings the whole spread inside.
    pub(super) fn best_spot(&self) -> Result<Option<Spot>, NotKnown> {
        let mut best: Option<(f64, Spot)> = None;
        for spot in self.spots()? {
            let Some(amount) = self.amount(&spot, Aim::JustInside)? else { continue };
            let added = amount.total - spot.already;
            if best.as_ref().is_none_or(|(least, _)| added < *least) {
                best = Some((added, spot));
            }
        }
        Ok(best.map(|(_, spot)| spot))
    }

    pub(super) fn end_words(&self, few: &[&Helping<'_>]) -> Vec<String> {
        let words = few.iter().map(|one| {
            let ends = [one.sliding.low.si(), one.sliding.high.si()];
            let is_end = ends.iter().any(|end| (end - one.end).abs() < TINY);
            self.move_words(&one.sliding, one.end, is_end)
        });
        words.collect()
    }

    pub(super) fn end_edits(
        &self,
        few: &[&Helping<'_>],
    ) -> Result<Vec<Option<Edit>>, NotKnown> {
        let edits =
            few.iter().map(|one| self.move_edit(&one.sliding, &self.station(one.end)));
        edits.collect()
    }
}

/// Edits that keep a promise only together.
pub(super) fn all_or_none(edits: Vec<Option<Edit>>) -> Vec<Edit> {
    edits.into_iter().collect::<Option<Vec<Edit>>>().unwrap_or_default()
}
