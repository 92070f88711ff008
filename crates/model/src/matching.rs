//! One fact: the atoms behind its word, matched to the slots of its row.
//!
//! Everything that a message must know stands in the row, so messages are exact:
//! "expected a length after `chord`, found `300 g`, a mass". After a finding, reading
//! goes on only where a word of the row says what comes next; what was passed over is
//! remembered, so that what a damaged fact lacks is not known, rather than absent.
//! What the findings say stands in [`crate::messages`].

use trimsheet_source::{Finding, Sources, Span};
use trimsheet_syntax::{Atom, AtomKind};

use crate::build::{Fact, Kind, Source, Unknown, Value};
use crate::describe::{found, holds_lost_bytes};
use crate::glued::unglue;
use crate::messages::{self, Leftover};
use crate::spread::UNSTATED;
use crate::values::{Read, begins, is_nothing, read_value};
use crate::vocabulary::{self, Need, Row, Slot, Takes};

/// A fact as read, and the stretches that its reading passed over.
pub(crate) struct Matched {
    pub(crate) fact: Fact,
    pub(crate) given_up: Vec<Span>,
    /// The last source; in a head it covers the whole entry.
    pub(crate) source: Option<Source>,
}

/// Reads the atoms of a fact, of which the first is its word.
pub(crate) fn read_fact(
    row: &'static Row,
    atoms: &[Atom],
    span: Span,
    sources: &Sources,
    findings: &mut Vec<Finding>,
) -> Matched {
    // Most facts have one value.
    let values = Vec::with_capacity(1);
    let fact = Fact { row, span, values, damaged: false, via: None };
    let atoms = unglue(row, atoms, sources);
    let mut matcher = Matcher {
        sources,
        findings,
        atoms: &atoms,
        at: 1,
        fact,
        unsourced: 0,
        source: None,
        given_up: Vec::new(),
        progress: Progress::Sound,
    };
    matcher.positional();
    matcher.in_any_order();
    matcher.missing();
    let Matcher { fact, given_up, source, .. } = matcher;
    Matched { fact, given_up, source }
}

/// Reads a fact that stands in no spec, as in `at 50 mm aft`, and what is wrong with it.
///
/// Its names are bound to nothing, and its values have no spread but what is written.
pub fn read_alone(
    row: &'static Row,
    atoms: &[Atom],
    sources: &Sources,
) -> (Fact, Vec<Finding>) {
    let mut findings = Vec::new();
    let Some((first, last)) = atoms.first().zip(atoms.last()) else {
        let span = Span { file: trimsheet_source::FileId(0), start: 0, end: 0 };
        let values = Vec::new();
        return (Fact { row, span, values, damaged: true, via: None }, findings);
    };
    let span = first.span.to(last.span);
    let matched = read_fact(row, atoms, span, sources, &mut findings);
    (matched.fact, findings)
}

/// How the reading of a fact goes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Progress {
    /// Nothing has been said about it.
    Sound,
    /// It has a finding; what is only a consequence gets none.
    Broken,
    /// Nothing behind this point can be told.
    GivenUp,
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
    given_up: Vec<Span>,
    progress: Progress,
}

impl<'a> Matcher<'a> {
    fn row(&self) -> &'static Row {
        self.fact.row
    }

    /// The next atom that is no source; sources on the way cover what was read before.
    fn next(&mut self) -> Option<&'a Atom> {
        while self.progress != Progress::GivenUp {
            let atom = self.atoms.get(self.at)?;
            let AtomKind::Source(inner) = &atom.kind else {
                return Some(atom);
            };
            self.at += 1;
            self.cover(inner, atom.span);
        }
        None
    }

    fn cover(&mut self, inner: &[Atom], span: Span) {
        let source = read_source(inner, span, self.sources, self.findings);
        // In a head it covers the entry, so there one is enough and needs no value.
        let covers = match self.row().opens_entry() {
            true => self.source.is_none(),
            false => self.unsourced < self.fact.values.len(),
        };
        if !covers && self.progress == Progress::Sound {
            self.findings.push(messages::covers_nothing(span, self.row(), self.sources));
        }
        self.cover_with(source);
    }

    fn cover_with(&mut self, source: Source) {
        for (_, value) in self.fact.values.iter_mut().skip(self.unsourced) {
            value.source = Some(source.clone().into());
        }
        self.source = Some(source);
        self.unsourced = self.fact.values.len();
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
        while self.next().is_some_and(|atom| self.fits(slot, atom)) {
            filled = true;
            if !self.read(slot, after) || slot.need != Need::Many {
                break;
            }
        }
        if filled || self.may_lack(slot) {
            return;
        }
        // What is led by its word is a damage of its own, whatever came before.
        if self.progress == Progress::Sound
            || (slot.led && self.progress == Progress::Broken)
        {
            self.expected(slot, after);
        } else {
            self.lack(slot, self.fact.span);
        }
    }

    fn fits(&self, slot: &Slot, atom: &Atom) -> bool {
        let is_name = matches!(slot.takes, Takes::Name | Takes::Reference(_));
        begins(slot.takes, atom, self.sources)
            && !(is_name && self.leads(atom))
            && !self.belongs_behind(slot, atom)
    }

    /// Whether a number without a side is meant for a later slot: `throw full 8 mm
    /// each-way`.
    fn belongs_behind(&self, slot: &Slot, atom: &Atom) -> bool {
        let AtomKind::Measure(measure) = &atom.kind else { return false };
        matches!(slot.takes, Takes::Sided(..))
            && measure.first.side.is_none()
            && self.later(slot).any(|one| {
                !one.led
                    && one.need == Need::May
                    && matches!(one.takes, Takes::Quantity(_))
            })
    }

    /// The slots of the row that stand behind one.
    fn later(&self, slot: &Slot) -> impl Iterator<Item = &'static Slot> {
        let name = slot.name;
        self.row().slots.iter().skip_while(move |one| one.name != name).skip(1)
    }

    /// Whether a slot may stay empty: `needs` may go without a current behind the volts.
    fn may_lack(&self, slot: &Slot) -> bool {
        let is_first = self.row().slots.first().is_some_and(|one| one.name == slot.name);
        !slot.led
            && match slot.need {
                Need::May => true,
                Need::Many => !is_first,
                Need::Must => false,
            }
    }

    /// Reads a value; false where it could not be read.
    fn read(&mut self, slot: &'static Slot, after: &str) -> bool {
        let rest = self.atoms.get(self.at..).unwrap_or(&[]);
        let start = rest.first().map_or(self.fact.span, |atom| atom.span);
        let Read { value, used } = read_value(slot.takes, rest, self.sources);
        let last = rest.get(used.max(1) - 1).map_or(start, |atom| atom.span);
        self.at += used.max(1);
        match value {
            Ok(value) if is_nothing(slot, &value) => {
                let finding =
                    messages::nothing(slot.takes, after, value.span, self.sources);
                self.lack(slot, value.span);
                // The rest of the fact is as readable as before.
                let before = self.progress;
                self.say(slot, finding);
                self.progress = before;
                true
            }
            Ok(value) => {
                self.fact.values.push((slot.name, value));
                true
            }
            Err(wrong) => {
                self.fact.values.push((slot.name, Value::damaged(start.to(last))));
                let finding = wrong.finding(slot.takes, after, start.to(last));
                self.say(slot, finding);
                self.resume();
                false
            }
        }
    }

    fn lack(&mut self, slot: &'static Slot, span: Span) {
        self.fact.values.push((slot.name, Value::damaged(span)));
    }

    /// A value is missing, or something else stands in its place.
    fn expected(&mut self, slot: &'static Slot, after: &str) {
        let wanted = format!("expected {} after `{after}`", slot.takes.says());
        let Some(atom) = self.next() else {
            let before = self.at.checked_sub(1).and_then(|at| self.atoms.get(at));
            let span = before.map_or(self.fact.span, |atom| atom.span);
            self.lack(slot, span);
            let says = format!("{wanted}, found nothing more");
            self.say(slot, messages::expected(span, says));
            return;
        };
        self.lack(slot, atom.span);
        if is_unreadable(atom) {
            self.give_up(&wanted);
            return;
        }
        let before = std::mem::replace(&mut self.progress, Progress::Broken);
        let first = self.at;
        // What leads or begins something else is not this value written wrongly.
        if !self.leads(atom) && !self.begins_another(slot, atom) {
            self.pass_over();
        }
        self.resume();
        let passed = self.atoms.get(first..self.at).and_then(|passed| passed.last());
        let whole = passed.map_or(atom.span, |last| atom.span.to(last.span));
        let says = format!("{wanted}, found {}", found(atom, self.sources));
        let finding = messages::expected(atom.span, says);
        let finding = messages::meant(finding, slot.takes, atom, whole, self.sources);
        let after = std::mem::replace(&mut self.progress, before);
        self.say(slot, finding);
        self.progress = after;
    }

    fn begins_another(&self, slot: &Slot, atom: &Atom) -> bool {
        self.later(slot).any(|one| !one.led && begins(one.takes, atom, self.sources))
    }

    fn in_any_order(&mut self) {
        while let Some(atom) = self.next() {
            let led = self.unfilled().find(|slot| slot.led && self.is_word(slot, atom));
            let optional = self
                .unfilled()
                .find(|slot| is_optional_word(slot) && self.is_one_of(slot, atom));
            match (led, optional) {
                (Some(slot), _) => {
                    self.at += 1;
                    self.fill(slot, slot.name);
                }
                (None, Some(slot)) => {
                    self.read(slot, self.row().word);
                }
                (None, None) => self.give_up(""),
            }
        }
    }

    /// Slots that nothing has been read for.
    fn unfilled(&self) -> impl Iterator<Item = &'static Slot> {
        let slots = self.row().slots.iter();
        slots.filter(|slot| self.fact.slot(slot.name).is_none())
    }

    fn is_word(&self, slot: &Slot, atom: &Atom) -> bool {
        matches!(atom.kind, AtomKind::Name) && self.sources.text(atom.span) == slot.name
    }

    fn is_one_of(&self, slot: &Slot, atom: &Atom) -> bool {
        matches!(atom.kind, AtomKind::Name | AtomKind::Unknown)
            && begins(slot.takes, atom, self.sources)
    }

    fn missing(&mut self) {
        let needed: Vec<&Slot> =
            self.unfilled().filter(|slot| slot.led && slot.need == Need::Must).collect();
        for slot in needed {
            if self.progress == Progress::Sound {
                let finding =
                    messages::missing(self.row(), slot, self.fact.span, self.sources);
                self.findings.push(finding);
            }
            if self.progress != Progress::GivenUp {
                self.lack(slot, self.fact.span);
            }
        }
    }

    /// Goes on behind a finding, where a word of the row or a source says what comes.
    fn resume(&mut self) {
        while let Some(atom) = self.atoms.get(self.at) {
            if matches!(atom.kind, AtomKind::Source(_)) || self.leads_unfilled(atom) {
                return;
            }
            if is_unreadable(atom) {
                self.give_up("");
                return;
            }
            self.pass_over();
        }
    }

    fn pass_over(&mut self) {
        if let Some(atom) = self.atoms.get(self.at) {
            self.given_up.push(atom.span);
            self.fact.damaged = true;
        }
        self.at += 1;
    }

    /// Ends the reading of this fact at the next atom, with one finding for it all.
    fn give_up(&mut self, wanted: &str) {
        let Some(atom) = self.atoms.get(self.at) else { return };
        let unfilled: Vec<&Slot> = self.unfilled().collect();
        let before = self.at.checked_sub(1).and_then(|at| self.atoms.get(at));
        let leftover = Leftover { row: self.row(), unfilled: &unfilled, before, atom };
        if self.progress == Progress::Sound && !holds_lost_bytes(atom.span, self.sources)
        {
            self.findings.push(leftover.finding(wanted, self.sources));
        }
        if messages::opens_bracket(atom, self.sources) {
            self.cover_with(unread_source(atom.span));
        }
        // What cannot be read may have been the unit of the number before it.
        let last = self.fact.values.last_mut().map(|(_, value)| value);
        if let Some(value) = last
            && matches!(value.kind, Kind::Unknown(Unknown::NoUnit))
        {
            value.kind = Kind::Unknown(Unknown::Damaged);
        }
        self.progress = Progress::GivenUp;
        self.fact.damaged = true;
        let rest = self.atoms.get(self.at..).unwrap_or(&[]);
        self.given_up.extend(rest.iter().map(|atom| atom.span));
    }

    /// Says what is wrong with a slot, unless a finding before it may have caused that.
    fn say(&mut self, slot: &Slot, finding: Finding) {
        let is_new = slot.led || self.progress == Progress::Sound;
        // Bytes that are no UTF-8 have a finding of their own.
        if is_new && !holds_lost_bytes(finding.primary.span, self.sources) {
            self.findings.push(finding);
        }
        self.progress = Progress::Broken;
    }

    /// Whether an atom leads another slot of the row, or is an optional word of it.
    fn leads(&self, atom: &Atom) -> bool {
        matches!(atom.kind, AtomKind::Name)
            && self.row().slots.iter().any(|slot| self.leads_to(slot, atom))
    }

    fn leads_unfilled(&self, atom: &Atom) -> bool {
        matches!(atom.kind, AtomKind::Name)
            && self.unfilled().any(|slot| self.leads_to(slot, atom))
    }

    fn leads_to(&self, slot: &Slot, atom: &Atom) -> bool {
        (slot.led && self.is_word(slot, atom))
            || (is_optional_word(slot) && begins(slot.takes, atom, self.sources))
    }
}

/// Whether a slot is a word of a closed list that may stand anywhere behind the others.
pub(crate) fn is_optional_word(slot: &Slot) -> bool {
    matches!(slot.takes, Takes::Word(_)) && slot.need == Need::May && !slot.led
}

fn is_unreadable(atom: &Atom) -> bool {
    matches!(atom.kind, AtomKind::Stray | AtomKind::LeftOpen)
}

/// What cannot be read is no better than a guess, whatever the file assumes elsewhere.
fn unread_source(span: Span) -> Source {
    Source { word: UNSTATED, date: None, on: None, span }
}

/// Reads what stands in brackets.
fn read_source(
    atoms: &[Atom],
    span: Span,
    sources: &Sources,
    findings: &mut Vec<Finding>,
) -> Source {
    let word = atoms.first().filter(|atom| matches!(atom.kind, AtomKind::Name));
    let row = word.and_then(|word| vocabulary::source(sources.text(word.span)));
    let Some(row) = row else {
        if !holds_lost_bytes(span, sources) {
            findings.push(messages::no_source(atoms, span, sources));
        }
        return unread_source(span);
    };
    let matched = read_fact(row, atoms, span, sources, findings);
    let date = matched.fact.slot("date").and_then(Value::date);
    let on = matched.fact.slot("on").and_then(Value::text).map(str::to_owned);
    Source { word: row.word, date, on, span }
}
