//! How a remedy is written into the spec.
//!
//! What somebody has weighed or measured is never replaced, and what is written is
//! marked as planned: it is not done until it is done and measured.

use trimsheet_model::quantity::Quantity;
use trimsheet_model::source::Edit;
use trimsheet_model::{Entry, EntryId, Fact, Kind, Value};

use super::{Sliding, Work};
use crate::facts::Facts;
use crate::known::{Known, NotKnown};

impl Facts {
    /// Puts one more fact behind what an entry says; none where its last line could not
    /// be read, or where the entry is not written at all.
    pub fn appended(&self, id: EntryId, fact: &str) -> Option<Edit> {
        let entry = self.build.entry(id)?;
        if is_listed(entry) || entry.head.damaged {
            return None;
        }
        let head = entry.head.span;
        let own = entry.facts.iter().filter(|fact| {
            fact.via.is_none()
                && fact.span.file == head.file
                && fact.span.start >= head.start
        });
        match own.max_by_key(|fact| fact.span.end) {
            Some(last) if last.damaged => None,
            Some(last) => {
                Some(Edit { span: last.span.after(), text: format!("; {fact}") })
            }
            None => Some(Edit { span: head.after(), text: format!(": {fact}") }),
        }
    }
}

impl Facts {
    /// Writes a planned value in the place of one that the spec states; none where it was
    /// measured, or comes from another file.
    pub fn planned(&self, known: &Known, text: &str) -> Option<Edit> {
        let beside = known.beside?;
        let fact = self.build.entry(beside.entry)?.facts.get(beside.fact)?;
        planned_edit(&fact.values.get(beside.value)?.1, text)
    }
}

impl Work<'_> {
    /// Writes where a thing is to be: for this loadout alone, where there are loadouts.
    pub(super) fn move_edit(
        &self,
        sliding: &Sliding<'_>,
        to: &Quantity,
    ) -> Result<Option<Edit>, NotKnown> {
        let loadout = self.facts.entry(self.loadout)?;
        let placed = sliding.first.placed;
        let said = |entry: &Entry| {
            let values = entry.facts.iter().flat_map(|fact| &fact.values);
            values.map(|(_, value)| value).find(|value| value.span == placed).cloned()
        };
        if let Some(value) = said(loadout) {
            return Ok(self.place_edit(&value, to));
        }
        let own = self.facts.entry(sliding.first.entry)?;
        if is_listed(loadout) {
            return Ok(said(own).and_then(|value| self.place_edit(&value, to)));
        }
        let name = sliding.name();
        if own.row.word != "pack" {
            let fact = format!("places {name} at {to} [plan]");
            return Ok(self.facts.appended(self.loadout, &fact));
        }
        let fits = loadout.all("fits").filter_map(|fact| fact.slot("pack"));
        let mut fits = fits.filter(|pack| pack.targets().contains(&sliding.first.entry));
        Ok(match fits.next() {
            Some(pack) => {
                let text = format!(" at {to} [plan]");
                Some(Edit { span: pack.span.after(), text })
            }
            None => {
                let fact = format!("fits {name} at {to} [plan]");
                self.facts.appended(self.loadout, &fact)
            }
        })
    }

    fn place_edit(&self, value: &Value, to: &Quantity) -> Option<Edit> {
        let Kind::Place(place) = &value.kind else { return None };
        let sides = place.across.iter().chain(&place.upward);
        let sides: String = sides.map(|side| format!(" {side}")).collect();
        planned_edit(value, &format!("{to}{sides}"))
    }

    /// Whether every place that a loadout states for an entry lies in a stretch.
    pub(super) fn all_places_within(&self, item: EntryId, from: f64, to: f64) -> bool {
        let loadouts = self.facts.of_word("loadout");
        let facts = loadouts.flat_map(|(_, loadout)| &loadout.facts);
        let about = |fact: &&Fact| {
            let named = fact.slot("pack").or_else(|| fact.slot("part"));
            named.is_some_and(|named| named.targets().contains(&item))
        };
        let mut stated = facts.filter(about).filter_map(|fact| fact.slot("at"));
        stated.all(|at| {
            at.place().is_some_and(|place| (from..=to).contains(&place.along.si()))
        })
    }
}

/// Whether an entry stands for an aircraft as it is listed, and in no line of the spec.
fn is_listed(entry: &Entry) -> bool {
    entry.row.word == "loadout" && entry.head.values.is_empty()
}

/// Writes a planned value in the place of one that nobody has measured.
pub(crate) fn planned_edit(value: &Value, text: &str) -> Option<Edit> {
    let source = value.source.as_ref();
    let is_measured = source.is_some_and(|s| matches!(s.word, "measured" | "weighed"));
    if is_measured || value.via.is_some() {
        return None;
    }
    // A source that stands right behind the value is replaced with it.
    let behind = source.filter(|source| {
        source.span.file == value.span.file
            && source.span.start >= value.span.end
            && source.span.start - value.span.end <= 4
    });
    let span = behind.map_or(value.span, |source| value.span.to(source.span));
    Some(Edit { span, text: format!("{text} [plan]") })
}
