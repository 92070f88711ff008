//! The dated records of a spec: what was weighed, balanced and done, and when.

use trimsheet_model::vocabulary::{self, RECORDS};
use trimsheet_model::{Date, EntryId, Kind, Value};

use crate::facts::Facts;
use crate::known::{Known, NotKnown, What, Why};
use crate::step::Proved;

impl Facts {
    /// The records of a word, the latest first; of one day, the one further down.
    ///
    /// # Errors
    /// That records of this word there are not, or that the day of one is not known.
    pub fn records(&self, word: &str) -> Result<Vec<Known>, NotKnown> {
        let is_record = RECORDS.contains(&word) && vocabulary::entry(word).is_some();
        if !is_record {
            let all = RECORDS.join(", ");
            let says = format!("expected one of {all} for records, found `{word}`");
            return Err(NotKnown::no_such(says));
        }
        let mut dated = Vec::new();
        for (id, _) in self.of_word(word) {
            dated.push((self.day_of(id)?, id));
        }
        dated.sort_by(|a, b| b.cmp(a));
        Ok(dated.into_iter().map(|(_, id)| self.known_entry(id)).collect())
    }

    /// The records that a step was done, the latest first.
    ///
    /// # Errors
    /// That the step or the day of a record is not known, so that it may be one of them.
    pub fn steps(&self, step: &str) -> Result<Vec<Known>, NotKnown> {
        let mut found = Vec::new();
        for record in self.records("done")? {
            let Some(id) = record.entry() else { continue };
            let done = self.head_value(id, "step")?;
            // A record that was opened again, or edited, is none of the step any more.
            let holds =
                !matches!(self.proved(id)?, Proved::Reopened(..) | Proved::Unsealed(..));
            if done.text() == Some(step) && holds {
                found.push(record);
            }
        }
        Ok(found)
    }

    /// What stands in the head of a record: its day, who made it, which step it is.
    pub(crate) fn in_head(
        &self,
        id: EntryId,
        slot: &'static str,
    ) -> Result<Known, NotKnown> {
        let (entry, value) = (self.entry(id)?, self.head_value(id, slot)?);
        let what = match (value.date(), value.text()) {
            (Some(date), _) => What::Date(date),
            (None, text) => What::Words(text.unwrap_or("").to_owned()),
        };
        let name = [&entry.name, ".", slot].concat();
        Ok(Known::computed(what, name, Some(value.span)))
    }

    /// The value of a slot in the head of a record.
    pub(crate) fn head_value(
        &self,
        id: EntryId,
        slot: &'static str,
    ) -> Result<&Value, NotKnown> {
        let entry = self.entry(id)?;
        self.note(id, entry.row.word);
        let unknown = |why: NotKnown| NotKnown {
            says: format!("the {slot} of {} is not known", entry.title()),
            ..why
        };
        let value = self.slot(entry, &entry.head, slot).map_err(unknown)?;
        value.ok_or_else(|| NotKnown {
            why: Why::Absent,
            says: format!("{} says no {slot}", self.called(id)),
            span: Some(entry.span()),
        })
    }

    /// The entry that stands in the head of a record.
    pub(crate) fn named_in_head(
        &self,
        id: EntryId,
        slot: &'static str,
    ) -> Result<Known, NotKnown> {
        let stated = self.in_head(id, slot)?;
        let value = self.entry(id)?.head.slot(slot);
        let named = match value.map(|value| &value.kind) {
            Some(Kind::Reference(_, named)) => named.first().copied(),
            Some(_) | None => None,
        };
        let says = || format!("{} names nothing that there is", self.called(id));
        let named = named.ok_or_else(|| NotKnown::impossible(says(), stated.span))?;
        Ok(self.known_entry(named))
    }

    /// Who was there when a step was done, besides whoever did it.
    pub(crate) fn others(&self, done: EntryId) -> Result<Vec<Known>, NotKnown> {
        let Some(fact) = self.fact(done, "with")? else { return Ok(Vec::new()) };
        let entry = self.entry(done)?;
        let by = entry.head.slot("by").and_then(Value::text);
        let mut all = Vec::new();
        for (_, value) in &fact.values {
            let unknown = |why: NotKnown| NotKnown {
                says: format!(
                    "who was there besides is not known of {}",
                    self.called(done)
                ),
                ..why
            };
            let known = self.known_value(entry, fact, value).map_err(unknown)?;
            let name = known.text().unwrap_or("");
            if by != Some(name) {
                let what = What::Words(name.to_owned());
                all.push(Known::computed(what, "with", Some(value.span)));
            }
        }
        Ok(all)
    }

    fn day_of(&self, id: EntryId) -> Result<Date, NotKnown> {
        let entry = self.entry(id)?;
        let says = || format!("{} says no date", self.called(id));
        let date = self.head_value(id, "date")?.date();
        date.ok_or_else(|| NotKnown::impossible(says(), Some(entry.span())))
    }
}
