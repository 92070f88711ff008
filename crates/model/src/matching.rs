//! One fact: the atoms behind its word, matched to the slots of its row.
//!
//! Everything that a message must know stands in the row, so messages are exact:
//! "expected a length after `chord`, found `300 g`, a mass". A fact whose reading breaks
//! off is damaged: what it lacks is not known, rather than absent.

use trimsheet_source::{Finding, Level, Safety, Sources, Span, nearest};
use trimsheet_syntax::{Atom, AtomKind};

use crate::build::{Fact, Source, Value};
use crate::describe::{found, quoted};
use crate::values::{Read, begins, read_value};
use crate::vocabulary::{self, Need, Row, Slot, Takes};

/// A fact as read, and the atoms that its reading gave up on.
pub(crate) struct Matched<'a> {
    pub(crate) fact: Fact,
    pub(crate) given_up: &'a [Atom],
    /// The last source; in a head it covers the whole entry.
    pub(crate) source: Option<Source>,
}

/// Reads the atoms of a fact, of which the first is its word.
pub(crate) fn read_fact<'a>(
    row: &'static Row,
    atoms: &'a [Atom],
    span: Span,
    sources: &Sources,
    findings: &mut Vec<Finding>,
) -> Matched<'a> {
    let fact = Fact { row, span, values: Vec::new(), damaged: false, via: None };
    let mut matcher = Matcher {
        sources,
        findings,
        atoms,
        at: 1,
        fact,
        unsourced: 0,
        source: None,
        given_up: None,
    };
    matcher.positional();
    matcher.in_any_order();
    matcher.missing();
    let given_up = matcher.given_up.and_then(|at| atoms.get(at..)).unwrap_or(&[]);
    Matched { fact: matcher.fact, given_up, source: matcher.source }
}

struct Matcher<'a> {
    sources: &'a Sources,
    findings: &'a mut Vec<Finding>,
    atoms: &'a [Atom],
    at: usize,
    fact: Fact,
    /// The first value that no source has covered yet.
    unsourced: usize,
    source: Option<Source>,
    /// Where the reading broke off, if it did.
    given_up: Option<usize>,
}

impl<'a> Matcher<'a> {
    fn row(&self) -> &'static Row {
        self.fact.row
    }

    /// The next atom that is no source; sources on the way cover what was read before.
    fn next(&mut self) -> Option<&'a Atom> {
        while self.given_up.is_none() {
            let atom = self.atoms.get(self.at)?;
            let AtomKind::Source(inner) = &atom.kind else {
                return Some(atom);
            };
            self.at += 1;
            if let Some(source) =
                read_source(inner, atom.span, self.sources, self.findings)
            {
                for (_, value) in self.fact.values.iter_mut().skip(self.unsourced) {
                    value.source = Some(source.clone());
                }
                self.source = Some(source);
            }
            self.unsourced = self.fact.values.len();
        }
        None
    }

    fn positional(&mut self) {
        for slot in
            self.row().slots.iter().filter(|slot| !slot.led && !is_optional_word(slot))
        {
            self.fill(slot, self.fact.row.word);
        }
    }

    /// Reads one value of a slot, or several where it takes many.
    fn fill(&mut self, slot: &'static Slot, after: &str) {
        let mut filled = false;
        while let Some(atom) = self.next() {
            let fits = begins(slot.takes, atom, self.sources)
                && !(self.leads(atom)
                    && matches!(slot.takes, Takes::Name | Takes::Reference(_)));
            if !fits {
                break;
            }
            self.read(slot, after);
            filled = true;
            if slot.need != Need::Many {
                break;
            }
        }
        if !filled && (slot.need != Need::May || slot.led) && self.given_up.is_none() {
            self.expected(slot, after);
        }
    }

    fn read(&mut self, slot: &'static Slot, after: &str) {
        let rest = self.atoms.get(self.at..).unwrap_or(&[]);
        let start = rest.first().map_or(self.fact.span, |atom| atom.span);
        let read = read_value(slot.takes, rest, self.sources);
        let value = match read {
            Read { value: Ok(value), used } => {
                self.at += used;
                value
            }
            Read { value: Err(wrong), used } => {
                self.at += used.max(1);
                let end = self.atoms.get(self.at - 1).map_or(start, |atom| atom.span);
                let place = wrong.span.unwrap_or(start.to(end));
                self.findings.push(wrong.finding(slot.takes, after, place));
                Value::damaged(start.to(end))
            }
        };
        self.fact.values.push((slot.name, value));
    }

    /// A value is missing, or something else stands in its place.
    fn expected(&mut self, slot: &'static Slot, after: &str) {
        let want = slot.takes.says();
        let head = format!("expected {want} after `{after}`");
        let Some(atom) = self.next() else {
            let span = self
                .atoms
                .get(self.at.saturating_sub(1))
                .map_or(self.fact.span, |a| a.span);
            self.say("read/expected", span, format!("{head}, found nothing more"));
            self.fact.values.push((slot.name, Value::damaged(span)));
            return;
        };
        self.fact.values.push((slot.name, Value::damaged(atom.span)));
        if is_unreadable(atom) {
            self.give_up(&head);
            return;
        }
        let mut finding =
            expected(atom.span, format!("{head}, found {}", found(atom, self.sources)));
        if let (Takes::Word(words), AtomKind::Name) = (slot.takes, &atom.kind) {
            finding = suggest(finding, atom.span, self.sources, words.iter().copied());
        }
        self.findings.push(finding);
        // A word that leads something else is not this value written wrongly.
        if !self.leads(atom) {
            self.at += 1;
        }
    }

    fn in_any_order(&mut self) {
        while let Some(atom) = self.next() {
            let word = self.sources.text(atom.span);
            let is_word = matches!(atom.kind, AtomKind::Name);
            let slots = self.row().slots;
            let led = slots.iter().find(|slot| slot.led && is_word && slot.name == word);
            let optional = slots.iter().find(|slot| {
                is_optional_word(slot)
                    && is_word
                    && begins(slot.takes, atom, self.sources)
            });
            match (led, optional) {
                (Some(slot), _) if self.fact.slot(slot.name).is_none() => {
                    self.at += 1;
                    self.fill(slot, slot.name);
                }
                (_, Some(slot)) if self.fact.slot(slot.name).is_none() => {
                    self.read(slot, word)
                }
                _ => self.give_up(""),
            }
        }
    }

    fn missing(&mut self) {
        if self.given_up.is_some() {
            return;
        }
        for slot in self.row().slots {
            if slot.led && slot.need == Need::Must && self.fact.slot(slot.name).is_none()
            {
                let says = slot.takes.says();
                self.say(
                    "read/expected",
                    self.fact.span,
                    format!(
                        "expected `{}` and {says} after `{}`",
                        slot.name,
                        self.row().word
                    ),
                );
                self.fact.values.push((slot.name, Value::damaged(self.fact.span)));
            }
        }
    }

    /// Ends the reading of this fact at the next atom, with one finding.
    fn give_up(&mut self, wanted: &str) {
        let Some(atom) = self.atoms.get(self.at) else { return };
        self.given_up = Some(self.at);
        self.fact.damaged = true;
        if let Some(finding) = self.leftover(atom, wanted) {
            self.findings.push(finding);
        }
    }

    fn leftover(&self, atom: &Atom, wanted: &str) -> Option<Finding> {
        let text = self.sources.text(atom.span);
        // Bytes that are no UTF-8 have a finding of their own.
        if text.contains('\u{FFFD}') {
            return None;
        }
        if matches!(atom.kind, AtomKind::LeftOpen) {
            return Some(left_open(atom, self.sources));
        }
        let mut words: Vec<&str> = self
            .row()
            .slots
            .iter()
            .filter(|slot| slot.led && self.fact.slot(slot.name).is_none())
            .map(|slot| slot.name)
            .collect();
        let wanted = match (wanted, words.is_empty()) {
            ("", true) => {
                format!("expected `;` or the end of the line after `{}`", self.row().word)
            }
            ("", false) => {
                format!("expected {} or `;` after `{}`", ticked(&words), self.row().word)
            }
            (wanted, _) => wanted.into(),
        };
        let says = format!("{wanted}, found {}", found(atom, self.sources));
        for slot in self.row().slots.iter().filter(|slot| is_optional_word(slot)) {
            if let Takes::Word(list) = slot.takes {
                words.extend(list);
            }
        }
        let finding = suggest(expected(atom.span, says), atom.span, self.sources, words);
        Some(self.help(finding, atom))
    }

    /// What the commonest slips mean.
    fn help(&self, finding: Finding, atom: &Atom) -> Finding {
        let text = self.sources.text(atom.span);
        let digits =
            |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
        if let Some((whole, part)) = text.split_once(',')
            && digits(whole)
            && digits(part)
        {
            return finding.advised(format!("write a point in a number: {whole}.{part}"));
        }
        let starts_fact = vocabulary::table::ROWS.iter().any(|row| {
            row.word == text && row.within.iter().any(|w| self.row().within.contains(w))
        });
        let before = self.at.checked_sub(1).and_then(|at| self.atoms.get(at));
        match before {
            Some(before) if starts_fact && matches!(atom.kind, AtomKind::Name) => finding
                .remedied(
                    format!("begin `{text}` as a fact of its own: put `;` before it"),
                    Safety::Offered,
                    vec![trimsheet_source::Edit {
                        span: before.span.after(),
                        text: ";".into(),
                    }],
                ),
            _ => finding,
        }
    }

    fn say(&mut self, rule: &str, span: Span, headline: String) {
        self.findings.push(Finding::new(rule, Level::Error, span, headline));
    }

    /// Whether an atom leads another slot of the row, or is an optional word of it.
    fn leads(&self, atom: &Atom) -> bool {
        let word = self.sources.text(atom.span);
        matches!(atom.kind, AtomKind::Name)
            && self.row().slots.iter().any(|slot| {
                (slot.led && slot.name == word)
                    || (is_optional_word(slot) && begins(slot.takes, atom, self.sources))
            })
    }
}

fn is_optional_word(slot: &Slot) -> bool {
    matches!(slot.takes, Takes::Word(_)) && slot.need == Need::May && !slot.led
}

fn is_unreadable(atom: &Atom) -> bool {
    matches!(atom.kind, AtomKind::Stray | AtomKind::LeftOpen)
}

fn expected(span: Span, headline: String) -> Finding {
    Finding::new("read/expected", Level::Error, span, headline)
}

pub(crate) fn left_open(atom: &Atom, sources: &Sources) -> Finding {
    let mark = if sources.text(atom.span).starts_with('"') { '"' } else { '[' };
    let close = if mark == '"' { '"' } else { ']' };
    let at = Span { end: atom.span.start + 1, ..atom.span };
    let headline = format!(
        "this `{mark}` is not closed on its line, so the rest of it is not known"
    );
    Finding::new("read/left-open", Level::Error, at, headline)
        .advised(format!("put `{close}` where it ends"))
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
        Some(word) => finding.remedied(
            format!("if `{word}` was meant, write that"),
            Safety::Offered,
            vec![trimsheet_source::Edit { span, text: word.into() }],
        ),
    }
}

fn ticked(words: &[&str]) -> String {
    words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ")
}

/// Reads what stands in brackets.
pub(crate) fn read_source(
    atoms: &[Atom],
    span: Span,
    sources: &Sources,
    findings: &mut Vec<Finding>,
) -> Option<Source> {
    let word = atoms.first().filter(|atom| matches!(atom.kind, AtomKind::Name));
    let row = word.and_then(|word| vocabulary::source(sources.text(word.span)));
    let Some(row) = row else {
        let known = || vocabulary::facts(vocabulary::SOURCE).map(|row| row.word);
        let at = atoms.first().map_or(span, |atom| atom.span);
        let list = known().collect::<Vec<_>>().join(", ");
        let says =
            format!("expected a source, one of {list}, found {}", quoted(at, sources));
        findings.push(suggest(expected(at, says), at, sources, known()));
        return None;
    };
    let matched = read_fact(row, atoms, span, sources, findings);
    let date = matched.fact.slot("date").and_then(Value::date);
    let on = matched.fact.slot("on").and_then(Value::text).map(str::to_owned);
    Some(Source { word: row.word, date, on, span })
}
