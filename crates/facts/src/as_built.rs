//! As built: where a model departs from the reference spec that it follows.
//!
//! Facts are compared as they are written, without their sources: that a mass was weighed
//! here and planned there is no departure, and another mass is.

use std::collections::BTreeSet;

use trimsheet_model::source::Span;
use trimsheet_model::{Entry, EntryId};

use crate::facts::Facts;
use crate::known::NotKnown;
use crate::proof::{is_ground, may_carry, plain};

/// One fact that stands otherwise in the reference, or only in one of the two.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Departure {
    /// What it is a fact of, as in `pack main`.
    pub of: String,
    /// The word of the fact; none where the whole entry stands only in one of the two.
    pub fact: Option<&'static str>,
    /// What the reference says, if it says something.
    pub reference: Option<String>,
    /// What this model says, if it says something.
    pub built: Option<String>,
    /// Where this model says it.
    pub span: Option<Span>,
}

impl Facts {
    /// The reference spec that the model follows, where it could be read.
    pub fn reference(&self) -> Option<&Facts> {
        self.reference.as_deref()
    }

    /// Where this model departs from its reference: in the order of its own entries, then
    /// what only the reference has.
    pub fn departures(&self) -> Vec<Departure> {
        let Some(reference) = self.reference() else { return Vec::new() };
        let own: Vec<&Entry> = self.compared().collect();
        let theirs: Vec<&Entry> = reference.compared().collect();
        let of_own = own.iter().flat_map(|entry| self.departing(entry, reference));
        let mut all: Vec<Departure> = of_own.collect();
        let gone = theirs.iter().filter(|it| !own.iter().any(|one| key(one) == key(it)));
        all.extend(gone.map(|entry| Departure {
            of: entry.title(),
            fact: None,
            reference: Some(reference.bare(entry, entry.row.word).unwrap_or_default()),
            built: None,
            span: None,
        }));
        all
    }

    /// Where one entry departs from the reference; whoever asks has read all that it says.
    pub(crate) fn departures_of(&self, id: EntryId) -> Result<Vec<Departure>, NotKnown> {
        let Some(reference) = self.reference() else { return Ok(Vec::new()) };
        let entry = self.entry(id)?;
        self.note(id, entry.row.word);
        entry.facts.iter().for_each(|fact| self.note(id, fact.row.word));
        Ok(self.departing(entry, reference))
    }

    fn departing(&self, own: &Entry, reference: &Facts) -> Vec<Departure> {
        let mut theirs = reference.compared();
        match theirs.find(|other| key(other) == key(own)) {
            Some(other) => self.differing(own, reference, other),
            None => vec![Departure {
                of: own.title(),
                fact: None,
                reference: None,
                built: Some(self.bare(own, own.row.word).unwrap_or_default()),
                span: Some(own.span()),
            }],
        }
    }

    /// The facts in which two entries differ.
    fn differing(&self, own: &Entry, reference: &Facts, other: &Entry) -> Vec<Departure> {
        let words = |entry: &Entry| -> Vec<&'static str> {
            let words = entry.facts.iter().map(|fact| fact.row.word);
            words.filter(|word| is_ground(word) && *word != "follows").collect()
        };
        let mut seen = BTreeSet::new();
        let all = words(own).into_iter().chain(words(other));
        let all: Vec<&'static str> = all.filter(|word| seen.insert(*word)).collect();
        let differs = |word: &'static str| {
            let (built, theirs) = (self.bare(own, word), reference.bare(other, word));
            let span = own.fact(word).map_or_else(|| own.span(), |fact| fact.span);
            (built != theirs).then(|| Departure {
                of: own.title(),
                fact: Some(word),
                reference: theirs,
                built,
                span: Some(span),
            })
        };
        all.into_iter().filter_map(differs).collect()
    }

    /// The entries that describe the aircraft.
    fn compared(&self) -> impl Iterator<Item = &Entry> {
        self.build.aboard().map(|(_, entry)| entry).filter(|entry| {
            may_carry(entry.row.word) && !matches!(entry.row.word, "instrument" | "log")
        })
    }

    /// What an entry says under a word, without sources and without what was assumed.
    fn bare(&self, entry: &Entry, word: &str) -> Option<String> {
        if entry.row.word == word {
            return Some(without_brackets(&self.as_written(&entry.head)));
        }
        let all: Vec<String> = entry
            .all(word)
            .map(|fact| without_brackets(&self.as_written(fact)))
            .collect();
        (!all.is_empty()).then(|| all.join("; "))
    }
}

/// What an entry is compared by: a file is about one aircraft, whatever it is called.
fn key(entry: &Entry) -> (&'static str, &str) {
    let name = if entry.row.word == "model" { "" } else { entry.name.as_str() };
    (entry.row.word, name)
}

/// A text without what stands in brackets, quotes kept whole.
fn without_brackets(text: &str) -> String {
    let (mut out, mut depth, mut quoted) = (String::new(), 0_usize, false);
    let mut before = ' ';
    for letter in text.chars() {
        if letter == '"' && before != '\\' && depth == 0 {
            quoted = !quoted;
        }
        before = letter;
        match letter {
            '[' | '(' if !quoted => depth += 1,
            ']' | ')' if !quoted => depth = depth.saturating_sub(1),
            _ if depth == 0 => out.push(letter),
            _ => {}
        }
    }
    plain(&out)
}

#[cfg(test)]
mod tests {
    use super::without_brackets;

    #[test]
    fn what_stands_in_brackets_goes_and_what_stands_in_quotes_stays() {
        assert_eq!(without_brackets("343 g [weighed on a] (± 2 g)"), "343 g");
        assert_eq!(without_brackets("\"a [b] \\\" (c)\" x [d]"), "\"a [b] \\\" (c)\" x");
    }
}
