//! Lines to entries: which line opens one, and which facts belong to it.
//!
//! Here stands the discipline that one damage costs one finding. A line whose first word
//! means nothing closes nothing; what could not be read is remembered as lost, so that
//! no rule takes it for absent.

use trimsheet_source::{Edit, Finding, Level, Safety, Sources, Span, nearest};
use trimsheet_syntax::{self as syntax, Atom, AtomKind, Line, Tree};

use crate::build::{Entry, Fact, Kind, Source, Unknown};
use crate::describe::quoted;
use crate::matching::{left_open, read_fact, suggest};
use crate::vocabulary::{self, Row};

/// The entries of one file, and the sources that it assumes.
pub(crate) struct Gathered {
    pub(crate) entries: Vec<Entry>,
    pub(crate) findings: Vec<Finding>,
}

/// Groups the lines of a file into entries.
pub(crate) fn gather(tree: &Tree, sources: &Sources) -> Gathered {
    let mut gatherer = Gatherer {
        sources,
        out: Gathered { entries: Vec::new(), findings: Vec::new() },
        open: None,
        after_junk: false,
        source: None,
        lost: Vec::new(),
    };
    for line in &tree.lines {
        gatherer.line(line);
    }
    gatherer.close();
    gatherer.out
}

struct Gatherer<'a> {
    sources: &'a Sources,
    out: Gathered,
    open: Option<Entry>,
    /// Whether a line in column 1 since the entry opened meant nothing.
    after_junk: bool,
    /// What the entry's head says of where its values come from.
    source: Option<Source>,
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
        let mut on_line = OnLine { reported: self.not_utf8(line) };
        let text = self.sources.text(line.span);
        if let Some(head) = &line.head {
            if !self.head(head, &mut on_line) {
                return;
            }
        } else if text.starts_with([':', ';']) {
            let span = Span { end: line.span.start + 1, ..line.span };
            let mark = if text.starts_with(':') { ':' } else { ';' };
            let says = format!("expected an entry before `{mark}`");
            self.out.findings.push(Finding::new(
                "read/no-entry",
                Level::Error,
                span,
                says,
            ));
            self.after_junk = true;
            return;
        }
        for fact in &line.facts {
            self.fact(fact, &mut on_line);
        }
    }

    /// Bytes that were no UTF-8 are U+FFFD by now: one finding a line.
    fn not_utf8(&mut self, line: &Line) -> bool {
        let text = self.sources.text(line.span);
        let Some(at) = text.find('\u{FFFD}') else { return false };
        let start = line.span.start + at;
        let span = Span { start, end: start + '\u{FFFD}'.len_utf8(), ..line.span };
        self.out.findings.push(
            Finding::new(
                "read/not-utf8",
                Level::Error,
                span,
                "bytes that are not UTF-8 text",
            )
            .advised("save the file as UTF-8, and type the letter again"),
        );
        true
    }

    /// Opens an entry; false where the line means nothing and its facts go with it.
    fn head(&mut self, head: &syntax::Fact, on_line: &mut OnLine) -> bool {
        let Some(first) = head.atoms.first() else { return false };
        let word = self.sources.text(first.span);
        let is_name = matches!(first.kind, AtomKind::Name);
        if let Some(row) = vocabulary::entry(word).filter(|_| is_name) {
            self.open(row, head);
            return true;
        }
        let above = self.open.as_ref().filter(|_| is_name && !self.after_junk);
        let above = above.filter(|e| vocabulary::fact(e.row.word, word).is_some());
        if let Some(said) = above.map(|entry| entry.says(word)) {
            self.out.findings.push(not_indented(first, word, said));
            if !said {
                self.fact(head, on_line);
            }
            return !said;
        }
        let near = nearest(word, vocabulary::entry_words()).and_then(vocabulary::entry);
        if !on_line.reported {
            self.out.findings.push(self.no_entry(first));
            on_line.reported = true;
        }
        match near {
            Some(row) if !matches!(first.kind, AtomKind::LeftOpen) => {
                self.open(row, head);
                true
            }
            _ => {
                self.after_junk = true;
                false
            }
        }
    }

    fn no_entry(&self, first: &Atom) -> Finding {
        if matches!(first.kind, AtomKind::LeftOpen) {
            return left_open(first, self.sources);
        }
        let word = quoted(first.span, self.sources);
        let says = format!(
            "expected a word that opens an entry, such as part, wing or loadout, found {word}"
        );
        let finding = Finding::new("read/unknown-entry", Level::Error, first.span, says);
        suggest(finding, first.span, self.sources, vocabulary::entry_words())
    }

    fn open(&mut self, row: &'static Row, head: &syntax::Fact) {
        self.close();
        let matched =
            read_fact(row, &head.atoms, head.span, self.sources, &mut self.out.findings);
        let name = match row.name_slot().and_then(|slot| matched.fact.slot(slot.name)) {
            Some(value) => value.text().unwrap_or("").to_owned(),
            None => row.word.to_owned(),
        };
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
            if !entry.says(row.word) {
                let values = Vec::new();
                entry.facts.push(Fact { row, span, values, damaged: true, via: None });
            }
        }
        if let Some(source) = self.source.take() {
            let values = entry.facts.iter_mut().flat_map(|fact| &mut fact.values);
            for (_, value) in values.filter(|(_, value)| value.source.is_none()) {
                value.source = Some(source.clone());
            }
        }
        self.out.entries.push(entry);
    }

    fn fact(&mut self, fact: &syntax::Fact, on_line: &mut OnLine) {
        let Some(first) = fact.atoms.first() else { return };
        let word = self.sources.text(first.span);
        let Some(entry) = &self.open else {
            self.orphan(first, on_line);
            return;
        };
        let is_name = matches!(first.kind, AtomKind::Name);
        match vocabulary::fact(entry.row.word, word).filter(|_| is_name) {
            Some(row) => self.read(row, fact),
            None => self.unplaced(fact, first, on_line),
        }
    }

    fn read(&mut self, row: &'static Row, fact: &syntax::Fact) {
        let matched =
            read_fact(row, &fact.atoms, fact.span, self.sources, &mut self.out.findings);
        self.lose(matched.given_up);
        let Some(entry) = &mut self.open else { return };
        let said = entry.facts.iter().position(|fact| fact.row.word == row.word);
        match said.filter(|_| !row.often) {
            None => entry.facts.push(matched.fact),
            // Behind a line that meant nothing, the fact may belong to what that line
            // was meant to open: it is not known whose it is.
            Some(first) if self.after_junk => unknown(entry, first, Unknown::Damaged),
            Some(first) => {
                let texts =
                    entry.facts.get(first).map(|fact| words(fact.span, self.sources));
                if texts != Some(words(matched.fact.span, self.sources)) {
                    unknown(entry, first, Unknown::Conflict);
                }
                entry.repeats.push((first, matched.fact));
            }
        }
    }

    /// A fact with no entry above it.
    fn orphan(&mut self, first: &Atom, on_line: &mut OnLine) {
        if self.after_junk || on_line.reported {
            return;
        }
        on_line.reported = true;
        let word = quoted(first.span, self.sources);
        let says = format!("{word} belongs to no entry: nothing above it opens one");
        self.out.findings.push(
            Finding::new("read/fact-without-entry", Level::Error, first.span, says)
                .advised("begin the line in column 1 with the entry that it is about"),
        );
    }

    /// A fact whose word the entry does not know.
    fn unplaced(&mut self, fact: &syntax::Fact, first: &Atom, on_line: &mut OnLine) {
        let Some(entry) = &self.open else { return };
        let entry_word = entry.row.word;
        let word = self.sources.text(first.span);
        let belongs: Vec<&str> = owners(word);
        let near = nearest(word, vocabulary::facts(entry_word).map(|row| row.word));
        let near = near.and_then(|near| vocabulary::fact(entry_word, near));
        let quiet = on_line.reported || (self.after_junk && !belongs.is_empty());
        if !quiet {
            on_line.reported = true;
            let finding = if matches!(first.kind, AtomKind::LeftOpen) {
                left_open(first, self.sources)
            } else if belongs.is_empty() {
                self.unknown_fact(first, entry_word)
            } else {
                not_here(word, first.span, entry_word, &belongs)
            };
            self.out.findings.push(finding);
        }
        if let Some(row) = near.filter(|_| belongs.is_empty()) {
            self.lost.push((row, fact.span));
        }
        self.lose(fact.atoms.get(1..).unwrap_or(&[]));
        if matches!(first.kind, AtomKind::LeftOpen) {
            self.lose(&fact.atoms);
        }
    }

    fn unknown_fact(&self, first: &Atom, entry: &str) -> Finding {
        let known = || vocabulary::facts(entry).map(|row| row.word);
        let some: Vec<&str> = known().take(4).collect();
        let such = if some.is_empty() {
            "it takes none".into()
        } else {
            format!("such as {}", some.join(", "))
        };
        let says = format!(
            "expected a fact about a {entry}, {such}, found {}",
            quoted(first.span, self.sources)
        );
        let finding = Finding::new("read/unknown-fact", Level::Error, first.span, says);
        suggest(finding, first.span, self.sources, known())
    }

    /// Remembers which facts may have stood in what was given up.
    fn lose(&mut self, atoms: &[Atom]) {
        let Some(entry) = &self.open else { return };
        for atom in atoms {
            let text = self.sources.text(atom.span);
            let pieces = text.split(|c: char| !c.is_alphanumeric() && c != '-');
            for word in pieces {
                if let Some(row) = vocabulary::fact(entry.row.word, word) {
                    self.lost.push((row, atom.span));
                }
            }
        }
    }
}

/// The text of a fact without what white space does not change.
fn words(span: Span, sources: &Sources) -> Vec<&str> {
    sources.text(span).split_whitespace().collect()
}

fn unknown(entry: &mut Entry, fact: usize, why: Unknown) {
    let fact = entry.facts.get_mut(fact);
    for (_, value) in fact.into_iter().flat_map(|fact| &mut fact.values) {
        value.kind = Kind::Unknown(why);
    }
}

/// The entries that know a fact of this word.
fn owners(word: &str) -> Vec<&'static str> {
    let mut owners: Vec<&str> = vocabulary::table::ROWS
        .iter()
        .filter(|row| row.word == word)
        .flat_map(|row| row.within.iter().filter_map(|within| within.split(' ').next()))
        .filter(|owner| *owner != vocabulary::SOURCE)
        .collect();
    owners.dedup();
    owners
}

fn not_here(word: &str, span: Span, entry: &str, belongs: &[&str]) -> Finding {
    let of = belongs.join(" or a ");
    let says = format!("`{word}` is said of a {of}, and stands here under a {entry}");
    Finding::new("read/fact-not-here", Level::Error, span, says)
}

/// A fact in column 1: it is read where the entry above has not said it yet.
fn not_indented(first: &Atom, word: &str, said: bool) -> Finding {
    let says = format!("`{word}` is a fact, and begins in column 1 as an entry does");
    let finding = Finding::new("read/not-indented", Level::Error, first.span, says);
    if said {
        return finding.advised("indent it below the entry that it is about");
    }
    let start = Span { end: first.span.start, ..first.span };
    finding.remedied(
        "indent the line; it was read as a fact of the entry above",
        Safety::Safe,
        vec![Edit { span: start, text: "    ".into() }],
    )
}
