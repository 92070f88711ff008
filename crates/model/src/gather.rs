//! Lines to entries: which line opens one, and which facts belong to it.
//!
//! Here stands the discipline that one damage costs one finding. A line whose first word
//! means nothing closes nothing; what could not be read is remembered as lost, so that
//! no rule takes it for absent.

use std::collections::BTreeMap;

use trimsheet_source::{Edit, Finding, Level, Safety, Sources, Span, nearest};
use trimsheet_syntax::{self as syntax, Atom, AtomKind, Line, Tree};

use crate::build::{Entry, Fact, Kind, Source, Unknown};
use crate::describe::{a, any_of, quoted};
use crate::limit::Limited;
use crate::matching::read_fact;
use crate::messages::{expected, left_open, replaced};
use crate::vocabulary::{self, Row, Vocabulary};

/// The entries of one file, and what is wrong with its lines.
pub(crate) struct Gathered {
    pub(crate) entries: Vec<Entry>,
    pub(crate) findings: Vec<Finding>,
}

/// Groups the lines of a file into entries.
pub(crate) fn gather(
    tree: &Tree,
    sources: &Sources,
    vocabulary: &Vocabulary,
) -> Gathered {
    let mut gatherer = Gatherer {
        sources,
        vocabulary,
        entries: Vec::new(),
        findings: Limited::default(),
        open: None,
        after_junk: false,
        source: None,
        said: BTreeMap::new(),
        lost: Vec::new(),
    };
    for line in &tree.lines {
        gatherer.line(line);
    }
    gatherer.close();
    Gathered { entries: gatherer.entries, findings: gatherer.findings.all() }
}

struct Gatherer<'a> {
    sources: &'a Sources,
    vocabulary: &'a Vocabulary,
    entries: Vec<Entry>,
    findings: Limited,
    open: Option<Entry>,
    /// Whether a line in column 1 since the entry opened meant nothing.
    after_junk: bool,
    /// What the entry's head says of where its values come from.
    source: Option<Source>,
    /// Where among the facts of the open entry each word stands first.
    said: BTreeMap<&'static str, usize>,
    /// Facts of the open entry that may have stood in what could not be read.
    lost: Vec<(&'static Row, Span)>,
}

/// What has been said about one line already.
#[derive(Default)]
struct OnLine {
    reported: bool,
}

impl Gatherer<'_> {
    fn line(&mut self, line: &Line) {
        if self.merge_mark(line) {
            return;
        }
        let mut on_line = OnLine { reported: self.not_utf8(line) };
        match &line.head {
            Some(head) => {
                if !self.head(head, line, &mut on_line) {
                    return;
                }
            }
            None => {
                if !self.headless(line) {
                    return;
                }
            }
        }
        for fact in &line.facts {
            self.fact(fact, &mut on_line);
        }
    }

    /// A line without a head; false where it begins with a mark in column 1.
    fn headless(&mut self, line: &Line) -> bool {
        let text = self.sources.text(line.span);
        let Some(mark) = text.chars().next().filter(|mark| matches!(mark, ':' | ';'))
        else {
            return true;
        };
        let span = Span { end: line.span.start + 1, ..line.span };
        let says = format!("expected a word that opens an entry before `{mark}`");
        let finding = Finding::new("read/no-entry", Level::Error, span, says)
            .advised("write the entry before it, or indent the line below its entry");
        self.findings.push(finding);
        self.after_junk = true;
        false
    }

    /// A line that version control leaves where two sides of a merge meet; it closes
    /// nothing, and what stands on both sides is read.
    fn merge_mark(&mut self, line: &Line) -> bool {
        let text = self.sources.text(line.span);
        let is_mark = ["<<<<<<< ", "=======", ">>>>>>> ", "||||||| "]
            .iter()
            .any(|mark| text.starts_with(mark));
        if is_mark {
            let says = "a mark of a merge that is not done stands here; both sides of it were read";
            let finding = Finding::new("read/merge-mark", Level::Error, line.span, says);
            self.findings.push(finding.advised(
                "keep what is right of both sides, in a proof all of it, and take the marks out",
            ));
            self.after_junk = true;
        }
        is_mark
    }

    /// Bytes that were no UTF-8 are U+FFFD by now: one finding a line.
    fn not_utf8(&mut self, line: &Line) -> bool {
        let text = self.sources.text(line.span);
        let Some(at) = text.find('\u{FFFD}') else { return false };
        let start = line.span.start + at;
        let span = Span { start, end: start + '\u{FFFD}'.len_utf8(), ..line.span };
        self.findings.push(
            Finding::new(
                "read/not-utf8",
                Level::Error,
                span,
                "expected text in UTF-8, found bytes that are not",
            )
            .advised("save the file as UTF-8, and type the letter again"),
        );
        true
    }

    /// Opens an entry; false where the line means nothing and its facts go with it.
    fn head(&mut self, head: &syntax::Fact, line: &Line, on_line: &mut OnLine) -> bool {
        let Some(first) = head.atoms.first() else { return false };
        let word = self.sources.text(first.span);
        let is_name = matches!(first.kind, AtomKind::Name);
        if let Some(row) = vocabulary::entry(word).filter(|_| is_name) {
            self.open(row, head, on_line);
            return true;
        }
        let owners = if is_name { self.vocabulary.owners(word) } else { Vec::new() };
        let above = self.open.as_ref().filter(|_| !self.after_junk);
        let fits = above.is_some_and(|above| owners.contains(&above.row.word));
        if fits {
            let said = self.said.contains_key(word);
            self.findings.push(not_indented(first, line, said, self.sources));
            if !said {
                self.fact(head, on_line);
            }
            return !said;
        }
        // The word of a fact is no slip of the word of an entry.
        let near = Some(word).filter(|_| owners.is_empty());
        let near = near.and_then(|word| nearest(word, vocabulary::entry_words()));
        let near = near.and_then(vocabulary::entry);
        if !on_line.reported {
            self.findings.push(self.no_entry(first, &owners, near));
            on_line.reported = true;
        }
        match near {
            Some(row) if !matches!(first.kind, AtomKind::LeftOpen) => {
                self.open(row, head, on_line);
                true
            }
            _ => {
                self.after_junk = true;
                false
            }
        }
    }

    fn no_entry(&self, first: &Atom, owners: &[&str], near: Option<&Row>) -> Finding {
        if matches!(first.kind, AtomKind::LeftOpen) {
            return left_open(first, self.sources);
        }
        let word = quoted(first.span, self.sources);
        if !owners.is_empty() {
            let of = any_of(owners);
            let says =
                format!("expected an entry in column 1, found {word}, a fact of {of}");
            return Finding::new("read/unknown-entry", Level::Error, first.span, says)
                .advised("indent it below the entry that it is about");
        }
        let says = format!(
            "expected a word that opens an entry, such as part, wing or loadout, found {word}"
        );
        let finding = Finding::new("read/unknown-entry", Level::Error, first.span, says);
        meant(finding, first.span, near)
    }

    fn open(&mut self, row: &'static Row, head: &syntax::Fact, on_line: &OnLine) {
        self.close();
        let mut findings = Vec::new();
        let matched = read_fact(row, &head.atoms, head.span, self.sources, &mut findings);
        let named = row.name_slot().and_then(|slot| matched.fact.slot(slot.name));
        let name = match named {
            Some(value) => value.text().unwrap_or("").to_owned(),
            None => row.word.to_owned(),
        };
        if let Some(value) = named.filter(|_| name.contains('.') && !is_half(row, &name))
        {
            let says = format!(
                "expected a name without a point after `{}`, found `{name}`",
                row.word
            );
            findings.push(expected(value.span, says).advised(
                "only one half of a pair has a point in its name (servos.left)",
            ));
        }
        // The head of a line that was read as the nearest entry has its finding.
        if !on_line.reported {
            self.findings.extend(findings);
        }
        self.source = matched.source;
        self.after_junk = false;
        self.open = Some(Entry {
            row,
            name,
            head: matched.fact,
            facts: Vec::new(),
            repeats: Vec::new(),
            aboard: true,
            half: None,
        });
        self.lose(matched.given_up);
    }

    fn close(&mut self) {
        let Some(mut entry) = self.open.take() else { return };
        for (row, span) in std::mem::take(&mut self.lost) {
            if !self.said.contains_key(row.word) {
                self.said.insert(row.word, entry.facts.len());
                let values = Vec::new();
                entry.facts.push(Fact { row, span, values, damaged: true, via: None });
            }
        }
        self.said.clear();
        if let Some(source) = self.source.take() {
            let values = entry.facts.iter_mut().flat_map(|fact| &mut fact.values);
            for (_, value) in values.filter(|(_, value)| value.source.is_none()) {
                value.source = Some(source.clone().into());
            }
        }
        self.entries.push(entry);
    }

    fn fact(&mut self, fact: &syntax::Fact, on_line: &mut OnLine) {
        let Some(first) = fact.atoms.first() else { return };
        let word = self.sources.text(first.span);
        let Some(entry) = &self.open else {
            self.orphan(first, on_line);
            return;
        };
        // What a pack declares has the pack's name before a point.
        let is_name = matches!(first.kind, AtomKind::Name | AtomKind::Path);
        match self.vocabulary.fact(entry.row.word, word).filter(|_| is_name) {
            Some(row) => self.read(row, fact),
            None => self.unplaced(fact, first, on_line),
        }
    }

    fn read(&mut self, row: &'static Row, fact: &syntax::Fact) {
        let mut findings = Vec::new();
        let matched = read_fact(row, &fact.atoms, fact.span, self.sources, &mut findings);
        self.findings.extend(findings);
        self.lose(matched.given_up);
        let Some(entry) = &mut self.open else { return };
        let said = self.said.get(row.word).copied();
        match said.filter(|_| !row.often) {
            None => {
                self.said.entry(row.word).or_insert(entry.facts.len());
                entry.facts.push(matched.fact);
            }
            // Behind a line that meant nothing, the fact may belong to what that line
            // was meant to open: it is not known whose it is.
            Some(first) if self.after_junk => unknown(entry, first, Unknown::Damaged),
            Some(first) => {
                let earlier = entry.facts.get(first).map(|fact| fact.span);
                if earlier.is_none_or(|span| {
                    !words(span, self.sources).eq(words(matched.fact.span, self.sources))
                }) {
                    unknown(entry, first, Unknown::Conflict);
                }
                entry.repeats.push((first, matched.fact));
            }
        }
    }

    /// A fact with no entry above it.
    fn orphan(&mut self, first: &Atom, on_line: &mut OnLine) {
        let is_fact = !self.vocabulary.owners(self.sources.text(first.span)).is_empty();
        if on_line.reported || (self.after_junk && is_fact) {
            return;
        }
        on_line.reported = true;
        if matches!(first.kind, AtomKind::LeftOpen) {
            self.findings.push(left_open(first, self.sources));
            return;
        }
        let word = quoted(first.span, self.sources);
        let says = format!("expected an entry above {word}, found none that is open");
        self.findings.push(
            Finding::new("read/fact-without-entry", Level::Error, first.span, says)
                .advised("begin a line in column 1 with the entry that it is about"),
        );
    }

    /// A fact whose word the entry does not know.
    fn unplaced(&mut self, fact: &syntax::Fact, first: &Atom, on_line: &mut OnLine) {
        let Some(entry) = &self.open else { return };
        let entry_word = entry.row.word;
        let word = self.sources.text(first.span);
        let belongs = self.vocabulary.owners(word);
        let quiet = on_line.reported || (self.after_junk && !belongs.is_empty());
        let near = Some(word).filter(|_| belongs.is_empty());
        let near = near.and_then(|word| {
            nearest(word, self.vocabulary.facts(entry_word).map(|row| row.word))
        });
        let near = near.and_then(|near| self.vocabulary.fact(entry_word, near));
        if !quiet {
            on_line.reported = true;
            let finding = if matches!(first.kind, AtomKind::LeftOpen) {
                left_open(first, self.sources)
            } else if belongs.is_empty() {
                self.unknown_fact(first, entry_word, near)
            } else {
                not_here(word, first.span, entry_word, &belongs)
            };
            self.findings.push(finding);
        }
        match near {
            Some(row) if row.often => self.lose_one(row, fact.span),
            near => self.lost.extend(near.map(|row| (row, fact.span))),
        }
        let is_open = matches!(first.kind, AtomKind::LeftOpen);
        let given_up = fact.atoms.iter().skip(usize::from(!is_open));
        self.lose(given_up.map(|atom| atom.span));
    }

    /// Remembers one of several facts: without it the others are not all there is.
    fn lose_one(&mut self, row: &'static Row, span: Span) {
        let Some(entry) = &mut self.open else { return };
        self.said.entry(row.word).or_insert(entry.facts.len());
        let values = Vec::new();
        entry.facts.push(Fact { row, span, values, damaged: true, via: None });
    }

    fn unknown_fact(&self, first: &Atom, entry: &str, near: Option<&Row>) -> Finding {
        let known = self.vocabulary.facts(entry).map(|row| row.word);
        let some: Vec<&str> =
            known.filter(|word| !matches!(*word, "title" | "note")).take(4).collect();
        let wanted = if some.is_empty() {
            format!("expected no fact about {}, which takes none", a(entry))
        } else if near.is_some() {
            format!("expected a fact about {}", a(entry))
        } else {
            format!("expected a fact about {}, such as {}", a(entry), some.join(", "))
        };
        let says = format!("{wanted}, found {}", quoted(first.span, self.sources));
        let finding = Finding::new("read/unknown-fact", Level::Error, first.span, says);
        meant(finding, first.span, near)
    }

    /// Remembers which facts may have stood in what was given up.
    fn lose(&mut self, given_up: impl IntoIterator<Item = Span>) {
        let Some(entry) = &self.open else { return };
        for span in given_up {
            let text = self.sources.text(span);
            let pieces = text.split(|c: char| !c.is_alphanumeric() && c != '-');
            let words = pieces.filter(|word| !word.is_empty());
            let rows =
                words.filter_map(|word| self.vocabulary.fact(entry.row.word, word));
            self.lost.extend(rows.map(|row| (row, span)));
        }
    }
}

/// Adds the word of a row that was probably meant.
fn meant(finding: Finding, span: Span, near: Option<&Row>) -> Finding {
    match near {
        Some(row) => replaced(finding, span, row.word),
        None => finding,
    }
}

/// The text of a fact without what white space does not change.
fn words(span: Span, sources: &Sources) -> impl Iterator<Item = &str> {
    sources.text(span).split_whitespace()
}

/// Whether an entry is one half of a pair, as in `part servos.left`.
fn is_half(row: &Row, name: &str) -> bool {
    row.word == "part" && (name.ends_with(".left") || name.ends_with(".right"))
}

fn unknown(entry: &mut Entry, fact: usize, why: Unknown) {
    let fact = entry.facts.get_mut(fact);
    for (_, value) in fact.into_iter().flat_map(|fact| &mut fact.values) {
        value.kind = Kind::Unknown(why);
    }
}

fn not_here(word: &str, span: Span, entry: &str, belongs: &[&str]) -> Finding {
    let (of, here) = (any_of(belongs), a(entry));
    let says = format!("`{word}` is said of {of}, and stands here under {here}");
    Finding::new("read/fact-not-here", Level::Error, span, says)
        .advised(format!("write it below {of}, or begin that entry above it in column 1"))
}

/// A fact in column 1: it is read where the entry above has not said it yet.
fn not_indented(first: &Atom, line: &Line, said: bool, sources: &Sources) -> Finding {
    let word = sources.text(first.span);
    let says = format!("expected an entry in column 1, found `{word}`, a fact");
    let finding = Finding::new("read/not-indented", Level::Error, first.span, says);
    if said {
        return finding.advised("indent it below the entry that it is about");
    }
    let says = "indent the line; it was read as a fact of the entry above";
    let head = line.head.as_ref().map_or(0, |head| head.span.end - line.span.start);
    let behind = sources.text(line.span).get(head..).unwrap_or("").trim_start();
    // Indented, a `:` would be a part of the fact.
    if behind.starts_with(':') {
        return finding.advised(says);
    }
    let start = Span { end: first.span.start, ..first.span };
    let edit = Edit { span: start, text: "    ".into() };
    finding.remedied(says, Safety::Safe, vec![edit])
}
