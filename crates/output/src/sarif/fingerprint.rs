//! What a finding is recognised by when lines above it come and go.
//!
//! Its rule, its file, the head of the entry that it stands in and the word of the fact:
//! no number and no line, so that a balance which is corrected by a millimetre and is
//! still out is the same finding. Several that agree in all of it are counted.

use std::collections::BTreeMap;

use trimsheet_source::{RuleId, Span};

use crate::clean;
use crate::ruler::{Ruler, char_boundary};

/// The longest part of a word that counts, in characters.
const LONGEST: usize = 60;

/// How far from a stretch the words of its fact are looked for, in bytes: a machine can
/// write a spec as one line of a megabyte.
const NEAR: usize = 4096;

/// How many lines above a fact its entry is looked for.
const FARTHEST: usize = 5_000;

/// What was recognised so far, and how often.
#[derive(Default)]
pub(super) struct Fingerprints(BTreeMap<String, usize>);

impl Fingerprints {
    /// The next one for what a rule says of a stretch.
    pub(super) fn next(
        &mut self,
        ruler: &Ruler<'_>,
        rule: &RuleId,
        span: Span,
    ) -> String {
        let (head, fact) = entry_and_fact(ruler, span);
        let path = clean::visible(ruler.path(span.file));
        let text = format!("{}|{path}|{head}|{fact}", clean::visible(&rule.0));
        let count = self.0.entry(text.clone()).or_insert(0);
        *count += 1;
        format!("{text}|{count}")
    }
}

/// The words that open the entry of a stretch, and the word of its fact.
fn entry_and_fact(ruler: &Ruler<'_>, span: Span) -> (String, String) {
    let Some(file) = ruler.file(span.file) else { return Default::default() };
    let spot = ruler.start(span);
    let line = |number: usize| {
        let line = file.text.get(file.line_range(number)).unwrap_or("");
        line.strip_prefix('\u{feff}').unwrap_or(line)
    };
    let nearest = (spot.line.saturating_sub(FARTHEST).max(1)..=spot.line).rev();
    let mut heads =
        nearest.map(line).filter(|line| line.starts_with(char::is_alphabetic));
    let head = words(heads.next().unwrap_or(""), 2);
    let start = file.line_range(spot.line).start.max(spot.byte.saturating_sub(NEAR));
    let start = char_boundary(&file.text, start);
    let before = file.text.get(start..spot.byte).unwrap_or("");
    let piece = before.rfind([';', ':']).map_or(start, |at| start + at + 1);
    let rest = file.text.get(piece..file.line_range(spot.line).end).unwrap_or("");
    (head, words(rest.trim_start_matches('\u{feff}'), 1))
}

/// The first words of a piece, as far as they go.
fn words(text: &str, count: usize) -> String {
    let text = text.get(..char_boundary(text, NEAR)).unwrap_or("");
    let end = text.find([':', ';', '#', '[']).unwrap_or(text.len());
    let words = text.get(..end).unwrap_or("").split_whitespace().take(count);
    let cut = words.map(|word| word.chars().take(LONGEST).collect::<String>());
    clean::visible(&cut.collect::<Vec<_>>().join(" "))
}

#[cfg(test)]
mod tests {
    use trimsheet_source::Sources;

    use super::*;

    fn of(text: &str, stretches: &[&str]) -> Vec<String> {
        let mut sources = Sources::default();
        let file = sources.add("a.trim", text);
        let ruler = Ruler::new(&sources);
        let mut known = Fingerprints::default();
        let rule = RuleId::new("mass/odd");
        let next = |stretch: &&str| {
            let start = text.find(stretch).unwrap();
            let span = Span { file, start, end: start + stretch.len() };
            known.next(&ruler, &rule, span)
        };
        stretches.iter().map(next).collect()
    }

    #[test]
    fn lines_and_numbers_do_not_count() {
        let one = of("part shell: mass 40 g; at 3 mm aft\n", &["40 g"]);
        assert_eq!(one, ["mass/odd|a.trim|part shell|mass|1"]);
        let moved = "# a\n\npart shell\n    kind structure\n    mass  41.5 g # or so\n";
        assert_eq!(of(moved, &["41.5 g"]), one);
    }

    #[test]
    fn those_that_agree_in_all_of_it_are_counted() {
        let text = "loadout far: fits main at 3 mm aft; fits left at 4 mm aft\n";
        assert_eq!(
            of(text, &["loadout far", "fits main", "fits left"]),
            [
                "mass/odd|a.trim|loadout far|loadout|1",
                "mass/odd|a.trim|loadout far|fits|1",
                "mass/odd|a.trim|loadout far|fits|2",
            ]
        );
    }
}
