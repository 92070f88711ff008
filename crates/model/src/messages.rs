//! What is said about a fact that could not be read as its row wants it.
//!
//! Each function makes one finding: what was expected, what was found, and, where it can
//! be written down, what was probably meant.

use trimsheet_source::{Edit, Finding, Level, Safety, Sources, Span, nearest};
use trimsheet_syntax::{Atom, AtomKind};

use crate::describe::{found, or, quoted};
use crate::matching::is_optional_word;
use crate::vocabulary::{self, Row, Slot, Takes};

/// A finding that something else was expected.
pub(crate) fn expected(span: Span, headline: String) -> Finding {
    Finding::new("read/expected", Level::Error, span, headline)
}

/// Adds the nearest known word, and the edit that writes it.
pub(crate) fn suggest<'a>(
    finding: Finding,
    span: Span,
    sources: &Sources,
    known: impl IntoIterator<Item = &'a str>,
) -> Finding {
    match nearest(sources.text(span), known) {
        None => finding,
        Some(word) => replaced(finding, span, word),
    }
}

/// Adds the edit that writes a word in the place of what stands there.
pub(crate) fn replaced(finding: Finding, span: Span, word: &str) -> Finding {
    let edit = Edit { span, text: word.into() };
    let says = format!("if `{word}` was meant, write that");
    finding.remedied(says, Safety::Offered, vec![edit])
}

/// A quote or a bracket that is never closed.
pub(crate) fn left_open(atom: &Atom, sources: &Sources) -> Finding {
    let text = sources.text(atom.span);
    let at = Span { end: atom.span.start + 1, ..atom.span };
    let finding =
        |headline: &str| Finding::new("read/left-open", Level::Error, at, headline);
    if let Some(slash) = lone_backslash(text) {
        let span = Span {
            start: atom.span.start + slash,
            end: atom.span.start + slash + 1,
            ..at
        };
        let headline =
            "expected `\\\"` or `\\\\` in this text, found a `\\` before something else";
        let edit = Edit { span, text: "\\\\".into() };
        return Finding::new("read/left-open", Level::Error, span, headline).remedied(
            "write `\\\\` for one `\\`",
            Safety::Offered,
            vec![edit],
        );
    }
    if text.starts_with('"') {
        return finding(
            "this `\"` is not closed on its line, so the rest of it is not known",
        )
        .advised("put `\"` where the text ends");
    }
    finding("this `[` is not closed before the next mark, so the rest of the line is not known")
        .advised("put `]` where the source ends; no `[`, `;` or `#` may stand in it")
}

/// Where a text that would be closed has a `\` that stands for nothing.
fn lone_backslash(text: &str) -> Option<usize> {
    let mut letters = text.char_indices().skip_while(|(at, _)| *at == 0);
    let mut lone = None;
    if !text.starts_with('"') {
        return None;
    }
    while let Some((at, letter)) = letters.next() {
        match letter {
            '"' => return lone,
            '\\' => match letters.next() {
                Some((_, '"' | '\\')) => {}
                _ => lone = lone.or(Some(at)),
            },
            _ => {}
        }
    }
    None
}

/// Whether an atom is a bracket that is never closed.
pub(crate) fn opens_bracket(atom: &Atom, sources: &Sources) -> bool {
    matches!(atom.kind, AtomKind::LeftOpen) && sources.text(atom.span).starts_with('[')
}

/// A value of nothing, where there is always something.
pub(crate) fn nothing(
    takes: Takes,
    after: &str,
    span: Span,
    sources: &Sources,
) -> Finding {
    let (want, text) = (takes.says(), quoted(span, sources));
    let says = format!("expected {want} above nothing after `{after}`, found {text}");
    let edit = Edit { span, text: "?".into() };
    Finding::new("read/impossible-value", Level::Error, span, says).remedied(
        "write `?` while it is not known",
        Safety::Offered,
        vec![edit],
    )
}

/// A led value that the fact cannot go without.
pub(crate) fn missing(row: &Row, slot: &Slot, span: Span, sources: &Sources) -> Finding {
    let (name, want) = (slot.name, slot.takes.says());
    let whole = quoted(span, sources);
    let says =
        format!("expected `{name}` with {want} after `{}`, found only {whole}", row.word);
    let finding = expected(span, says);
    if !slot.takes.is_measured() {
        return finding.advised(format!("write `{name}` with {want} behind it"));
    }
    let edit = Edit { span: span.after(), text: format!(" {name} ?") };
    finding.remedied(
        format!("write `{name} ?` while it is not known"),
        Safety::Offered,
        vec![edit],
    )
}

/// What stands in brackets is no source.
pub(crate) fn no_source(atoms: &[Atom], span: Span, sources: &Sources) -> Finding {
    let known = || vocabulary::facts(vocabulary::SOURCE).map(|row| row.word);
    let at = atoms.first().map_or(span, |atom| atom.span);
    let list = known().collect::<Vec<_>>().join(", ");
    let says = format!("expected a source, one of {list}, found {}", quoted(at, sources));
    suggest(expected(at, says), at, sources, known())
}

/// A source with no value before it.
pub(crate) fn covers_nothing(span: Span, row: &Row, sources: &Sources) -> Finding {
    let source = quoted(span, sources);
    let says = if row.opens_entry() {
        format!("{source} is a second source for the same `{}`", row.word)
    } else {
        format!("expected a value before {source}: a source covers what stands before it")
    };
    let finding = Finding::new("read/source-covers-nothing", Level::Warning, span, says);
    if row.opens_entry() {
        finding.advised("keep one of them")
    } else {
        finding.advised("write it behind the value that it is about")
    }
}

/// Adds what was probably meant by an atom that stands where a value should.
///
/// `whole` is the atom with what was passed over behind it.
pub(crate) fn meant(
    finding: Finding,
    takes: Takes,
    atom: &Atom,
    whole: Span,
    sources: &Sources,
) -> Finding {
    match takes {
        Takes::Word(words) if matches!(atom.kind, AtomKind::Name) => {
            suggest(finding, atom.span, sources, words.iter().copied())
        }
        Takes::Text if !sources.text(whole).contains(['"', '\\']) => {
            let text = format!("\"{}\"", sources.text(whole));
            let edit = Edit { span: whole, text };
            finding.remedied("put the text in quotes", Safety::Offered, vec![edit])
        }
        Takes::Quantity(_)
        | Takes::Sided(..)
        | Takes::Range(_)
        | Takes::SidedRange(..)
        | Takes::Place
        | Takes::Size
        | Takes::Load
        | Takes::Count => point_for_comma(finding, atom, sources),
        Takes::Word(_)
        | Takes::Text
        | Takes::Name
        | Takes::Reference(_)
        | Takes::Rule
        | Takes::Date
        | Takes::Arrow => finding,
    }
}

/// `3,5` is three and a half; `1,700` may be one point seven, or one thousand seven
/// hundred, so both are offered.
fn point_for_comma(mut finding: Finding, atom: &Atom, sources: &Sources) -> Finding {
    let text = sources.text(atom.span);
    let all_digits =
        |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let Some((whole, part)) = text.split_once(',') else { return finding };
    if !all_digits(whole) || !all_digits(part) {
        return finding;
    }
    let mut readings = vec![format!("{whole}.{part}")];
    if part.len() == 3 {
        readings.push(format!("{whole}{part}"));
    }
    for reading in readings {
        finding = replaced(finding, atom.span, &reading);
    }
    finding
}

/// An atom that no slot of its row takes.
pub(crate) struct Leftover<'a> {
    pub(crate) row: &'static Row,
    /// The slots that nothing has been read for.
    pub(crate) unfilled: &'a [&'static Slot],
    pub(crate) before: Option<&'a Atom>,
    pub(crate) atom: &'a Atom,
}

impl Leftover<'_> {
    /// The finding; `wanted` is what was expected, where one slot was being read.
    pub(crate) fn finding(&self, wanted: &str, sources: &Sources) -> Finding {
        let atom = self.atom;
        if matches!(atom.kind, AtomKind::LeftOpen) {
            return left_open(atom, sources);
        }
        let wanted = if wanted.is_empty() { self.wanted() } else { wanted.into() };
        let says = format!("{wanted}, found {}", found(atom, sources));
        let finding = expected(atom.span, says);
        if let Some(marked) = self.marked(&finding, sources) {
            return marked;
        }
        let finding = suggest(finding, atom.span, sources, self.words());
        point_for_comma(finding, atom, sources)
    }

    /// The words that may stand here.
    fn words(&self) -> Vec<&'static str> {
        let mut words = Vec::new();
        for slot in self.unfilled {
            if slot.led {
                words.push(slot.name);
            } else if let Takes::Word(list) = slot.takes
                && is_optional_word(slot)
            {
                words.extend(list);
            }
        }
        words
    }

    /// The mark that ends a fact of this row.
    fn mark(&self) -> &'static str {
        if self.row.opens_entry() { ":" } else { ";" }
    }

    fn wanted(&self) -> String {
        let (word, mark) = (self.row.word, self.mark());
        let mut words: Vec<String> =
            self.words().iter().map(|word| format!("`{word}`")).collect();
        if self.row.within.contains(&vocabulary::SOURCE) {
            words.push("`]`".into());
        } else {
            words.push(format!("`{mark}`"));
            words.push("the end of the line".into());
        }
        format!("expected {} after `{word}`", or(&words))
    }

    /// The finding, where what follows is a fact whose mark was forgotten.
    fn marked(&self, finding: &Finding, sources: &Sources) -> Option<Finding> {
        if !matches!(self.atom.kind, AtomKind::Name) {
            return None;
        }
        let text = sources.text(self.atom.span);
        let owner = |within: &'static str| within.split(' ').next();
        let starts_fact = if self.row.opens_entry() {
            vocabulary::fact(self.row.word, text).is_some()
        } else {
            let mut owners = self.row.within.iter().filter_map(|within| owner(within));
            owners.any(|entry| vocabulary::fact(entry, text).is_some())
        };
        let before = self.before.filter(|_| starts_fact)?;
        let mark = self.mark();
        let edit = Edit { span: before.span.after(), text: mark.into() };
        let says = format!("`{text}` begins a fact of its own: put `{mark}` before it");
        Some(finding.clone().remedied(says, Safety::Offered, vec![edit]))
    }
}
