//! Reading one phrase: whom it is about, and what is to be otherwise.
//!
//! The words behind the entry are read as a line of the spec is, by the same rows, so
//! that what is said of a phrase is as exact as what is said of a line, and points into
//! the phrase. A phrase that is not understood changes nothing.

use trimsheet_model::quantity::{Dimension, Quantity, Side};
use trimsheet_model::vocabulary::{self, Need, Row, Slot, Takes};
use trimsheet_model::{Entry, EntryId, Fact, Kind, Unknown, read_alone};
use trimsheet_source::{FileId, Finding, Level, Safety, Span, nearest};
use trimsheet_syntax::{Atom, AtomKind, parse};

use crate::check::Opened;

/// What a phrase asks for.
#[derive(Debug)]
pub(super) enum Wish {
    /// `main mass 310 g`: a fact of an entry, or of both halves of a pair.
    Says(Vec<EntryId>, Fact),
    /// `main like club.grey`: what it is taken from, as it stands in the phrase.
    Like(Vec<EntryId>, String),
    /// `servos 20 mm further ahead`: moved so far, positive aft, right, up or out.
    Further(Vec<EntryId>, Quantity, Span),
    /// `without camera`: a fact of every loadout, or of the one that was asked for.
    OfLoadouts(Fact),
}

type Read<T> = Result<T, Box<Finding>>;

/// How far something moves: the row that the length of `further` is read by.
static FURTHER: Row = Row {
    word: "further",
    within: &["part"],
    slots: &[Slot {
        name: "by",
        led: false,
        takes: Takes::Quantity(&[Dimension::LENGTH]),
        need: Need::Must,
    }],
    often: false,
    private: false,
    since: None,
    says: "How far it is moved.",
    example: "further 20 mm",
};

/// Reads the phrase that is this file.
pub(super) fn read(opened: &Opened, file: FileId) -> Read<Wish> {
    let text = opened.sources.file(file).map_or("", |file| &*file.text);
    let tree = parse(file, text);
    let mut lines = tree.lines.iter();
    let line = lines.next();
    let start = Span { file, start: 0, end: 0 };
    if let Some(second) = lines.next() {
        let says = "expected one change on one line, found a second line".to_owned();
        return Err(each_by_itself(expected(second.span, says)));
    }
    let Some((line, head)) = line.and_then(|line| Some((line, line.head.as_ref()?)))
    else {
        let found = if text.is_empty() { "nothing" } else { "no word to begin with" };
        let says = format!("expected a change, found {found}");
        return Err(with_examples(expected(start, says)));
    };
    if let Some(more) = line.facts.first() {
        let says =
            format!("expected one change, found `{}` as well", opened.text(more.span));
        return Err(each_by_itself(expected(more.span, says)));
    }
    Reader { opened }.phrase(&head.atoms, start)
}

struct Reader<'a> {
    opened: &'a Opened,
}

impl Reader<'_> {
    fn phrase(&self, atoms: &[Atom], start: Span) -> Read<Wish> {
        let atoms = self.without_entry_word(atoms);
        let Some((who, rest)) = atoms.split_first() else {
            return Err(with_examples(expected(
                start,
                "expected a change, found nothing".into(),
            )));
        };
        let word = self.opened.text(who.span);
        let ids = self.opened.called(word);
        let of_loadouts = vocabulary::fact("loadout", word);
        match (ids.first().and_then(|id| self.opened.facts.build.entry(*id)), of_loadouts)
        {
            (Some(entry), None) => self.of_entry(entry, ids, who, rest),
            (Some(entry), Some(_)) if self.is_about(entry, rest) => {
                self.of_entry(entry, ids, who, rest)
            }
            (_, Some(row)) => self.fact(row, atoms).map(Wish::OfLoadouts),
            (None, None) => Err(self.unknown_name(who)),
        }
    }

    /// `part main at …` is `main at …`.
    fn without_entry_word<'b>(&self, atoms: &'b [Atom]) -> &'b [Atom] {
        let [word, who, rest @ ..] = atoms else { return atoms };
        let (word, name) = (self.opened.text(word.span), self.opened.text(who.span));
        let ids = self.opened.called(name);
        let is_its = ids.iter().any(|id| {
            let entry = self.opened.facts.build.entry(*id);
            entry.is_some_and(|entry| entry.row.word == word && entry.name != word)
        });
        let is_redundant =
            !rest.is_empty() && is_its && self.opened.called(word).is_empty();
        if is_redundant { atoms.get(1..).unwrap_or(atoms) } else { atoms }
    }

    /// Whether what follows the name of an entry is said of it.
    fn is_about(&self, entry: &Entry, rest: &[Atom]) -> bool {
        rest.first().is_some_and(|word| {
            let vocabulary = &self.opened.facts.build.vocabulary;
            let is_fact =
                vocabulary.fact(entry.row.word, self.opened.text(word.span)).is_some();
            is_fact || matches!(word.kind, AtomKind::Measure(_))
        })
    }

    fn of_entry(
        &self,
        entry: &Entry,
        ids: Vec<EntryId>,
        who: &Atom,
        rest: &[Atom],
    ) -> Read<Wish> {
        let [word, behind @ ..] = rest else {
            let says = format!(
                "expected what of {} is to be otherwise, found nothing more",
                entry.title()
            );
            return Err(with_examples(expected(who.span.after(), says)));
        };
        let text = self.opened.text(word.span);
        if matches!(word.kind, AtomKind::Measure(_)) {
            return self.further(entry, ids, word, behind);
        }
        let takes_like = entry.row.slots.iter().any(|slot| slot.name == "like");
        if text == "like" && takes_like {
            return self.like(ids, word, behind);
        }
        let vocabulary = &self.opened.facts.build.vocabulary;
        match vocabulary.fact(entry.row.word, text) {
            Some(row) => Ok(Wish::Says(ids, self.fact(row, rest)?)),
            None => Err(self.unknown_fact(entry, word)),
        }
    }

    fn like(&self, ids: Vec<EntryId>, word: &Atom, behind: &[Atom]) -> Read<Wish> {
        match behind {
            [of] if matches!(of.kind, AtomKind::Name | AtomKind::Path) => {
                Ok(Wish::Like(ids, self.opened.text(of.span).to_owned()))
            }
            [] => Err(expected(
                word.span.after(),
                "expected the name of an entry after `like`, found nothing more".into(),
            )),
            [of, ..] => Err(expected(
                of.span,
                format!(
                    "expected one name after `like`, found `{}`",
                    self.opened.text(
                        behind.last().map_or(of.span, |last| of.span.to(last.span))
                    )
                ),
            )),
        }
    }

    /// `20 mm further ahead`
    fn further(
        &self,
        entry: &Entry,
        ids: Vec<EntryId>,
        by: &Atom,
        behind: &[Atom],
    ) -> Read<Wish> {
        let [further, side, more @ ..] = behind else {
            return Err(self.place_or_way(by));
        };
        if self.opened.text(further.span) != "further" {
            return Err(self.place_or_way(by));
        }
        if !matches!(entry.row.word, "part" | "pack" | "assembly") {
            let says = format!(
                "expected a part, a pack or an assembly to move, found {}",
                entry.title()
            );
            return Err(expected(by.span, says));
        }
        let fact = self.fact(&FURTHER, &[further.clone(), by.clone()])?;
        let word = self.opened.text(side.span);
        let Some(to) = Side::from_word(word) else {
            let says = format!(
                "expected ahead, aft, left, right, up, down or out after `further`, found `{word}`"
            );
            return Err(expected(side.span, says));
        };
        if let Some(more) = more.first() {
            let says =
                format!("expected nothing more, found `{}`", self.opened.text(more.span));
            return Err(each_by_itself(expected(more.span, says)));
        }
        let by_how_much = fact.first().and_then(|value| value.quantity()).cloned();
        let Some(by_how_much) = by_how_much else { return Err(self.place_or_way(by)) };
        Ok(Wish::Further(ids, by_how_much.without_spread().on_side(to), by.span))
    }

    /// A measure stands where it is not said whether it is a place or a way.
    fn place_or_way(&self, by: &Atom) -> Box<Finding> {
        let text = self.opened.text(by.span);
        let says = format!(
            "expected `at` before a place, or `further` and a side behind a length, found `{text}`"
        );
        let finding = *expected(by.span, says);
        Box::new(finding.advised(
            "write `at 50 mm aft` for a place, `20 mm further ahead` for a way from where it is",
        ))
    }

    /// Reads a fact by its row, with all its names bound.
    fn fact(&self, row: &'static Row, atoms: &[Atom]) -> Read<Fact> {
        let (mut fact, findings) = read_alone(row, atoms, &self.opened.sources);
        // No lead at all is nothing that a spec can say, but something to try.
        let is_none = |one: &Finding| one.rule.0 == "read/impossible-value";
        if row.word == "ballast" && !findings.is_empty() && findings.iter().all(is_none) {
            fact.values.retain(|(slot, _)| *slot != "mass");
            fact.damaged = false;
        } else if let Some(first) = findings.into_iter().next() {
            return Err(Box::new(first));
        }
        for (name, value) in &mut fact.values {
            if matches!(value.kind, Kind::Unknown(Unknown::NoUnit)) {
                return Err(self.no_unit(value.span));
            }
            let Kind::Reference(text, ids) = &mut value.kind else { continue };
            let slot = row.slots.iter().find(|slot| slot.name == *name);
            let Some(Takes::Reference(words)) = slot.map(|slot| slot.takes) else {
                continue;
            };
            *ids = self.opened.called(text);
            ids.retain(|id| {
                let entry = self.opened.facts.build.entry(*id);
                entry.is_some_and(|entry| words.contains(&entry.row.word))
            });
            // What an entry owns, as in `board.serial2`, is looked up where it then stands.
            if ids.is_empty() && !text.contains('.') {
                return Err(self.unknown_reference(value.span, words));
            }
        }
        if fact.damaged {
            let says = format!("expected what may stand behind `{}`", row.word);
            return Err(expected(fact.span, says));
        }
        Ok(fact)
    }

    fn no_unit(&self, span: Span) -> Box<Finding> {
        let text = self.opened.text(span);
        let says = format!(
            "expected a unit behind each number, such as mm or g, found `{text}`"
        );
        let finding = *expected(span, says);
        Box::new(finding.advised("write the unit behind the number: 50 mm, 310 g"))
    }

    fn unknown_name(&self, who: &Atom) -> Box<Finding> {
        let word = self.opened.text(who.span);
        let names = self.opened.names(|_| true);
        let known = names.iter().map(String::as_str).chain(OF_LOADOUTS);
        let says = format!(
            "expected the name of an entry of the spec, or one of {}, found `{word}`",
            OF_LOADOUTS.join(", ")
        );
        let finding = Finding::new("read/unknown-name", Level::Error, who.span, says);
        match nearest(word, known) {
            Some(near) => Box::new(meant(finding, near)),
            None => with_examples(Box::new(finding)),
        }
    }

    fn unknown_reference(&self, span: Span, words: &[&str]) -> Box<Finding> {
        let word = self.opened.text(span);
        let names = self.opened.names(|entry| words.contains(&entry.row.word));
        let of = words.join(" or a ");
        let says = format!("expected the name of a {of}, found `{word}`");
        let finding = Finding::new("read/unknown-name", Level::Error, span, says);
        let near = nearest(word, names.iter().map(String::as_str));
        Box::new(match near {
            Some(near) => meant(finding, near),
            None if names.is_empty() => finding.advised(format!("the spec has no {of}")),
            None => finding.advised(format!("it has {}", some(&names))),
        })
    }

    fn unknown_fact(&self, entry: &Entry, word: &Atom) -> Box<Finding> {
        let text = self.opened.text(word.span);
        let vocabulary = &self.opened.facts.build.vocabulary;
        let known: Vec<&str> =
            vocabulary.facts(entry.row.word).map(|row| row.word).collect();
        let says = format!("expected a fact about {}, found `{text}`", entry.title());
        let finding = Finding::new("read/unknown-fact", Level::Error, word.span, says);
        match nearest(text, known) {
            Some(near) => Box::new(meant(finding, near)),
            None => with_examples(Box::new(finding)),
        }
    }
}

/// The facts of loadouts with which a phrase mostly begins.
const OF_LOADOUTS: [&str; 4] = ["with", "without", "ballast", "fits"];

impl Opened {
    pub(super) fn text(&self, span: Span) -> &str {
        self.sources.text(span)
    }

    /// The entries of this aircraft that a name means: both halves by the name of a pair.
    pub(super) fn called(&self, name: &str) -> Vec<EntryId> {
        let is_called = |entry: &Entry| {
            let is_half = || entry.half.and_then(|_| entry.name.rsplit_once('.'));
            entry.name == name || is_half().is_some_and(|(pair, _)| pair == name)
        };
        let entries = self.facts.build.aboard();
        entries.filter(|(_, entry)| is_called(entry)).map(|(id, _)| id).collect()
    }

    /// The names of entries of this aircraft, a pair by its own.
    fn names(&self, is_meant: impl Fn(&Entry) -> bool) -> Vec<String> {
        let entries = self.facts.build.aboard().map(|(_, entry)| entry);
        let mut names: Vec<String> = Vec::new();
        for entry in entries.filter(|entry| is_meant(entry)) {
            let pair = entry.half.and_then(|_| entry.name.rsplit_once('.'));
            let name = pair.map_or(entry.name.as_str(), |(pair, _)| pair);
            if !names.iter().any(|known| known == name) {
                names.push(name.to_owned());
            }
        }
        names
    }
}

/// The first few of a list of names.
fn some(names: &[String]) -> String {
    let first: Vec<&str> = names.iter().take(8).map(String::as_str).collect();
    let more = if names.len() > 8 { " and more" } else { "" };
    format!("{}{more}", first.join(", "))
}

pub(super) fn expected(span: Span, says: String) -> Box<Finding> {
    Box::new(Finding::new("read/expected", Level::Error, span, says))
}

fn meant(finding: Finding, near: &str) -> Finding {
    let span = finding.primary.span;
    let edit = trimsheet_source::Edit { span, text: near.to_owned() };
    let says = format!("if `{near}` was meant, write that");
    finding.remedied(says, Safety::Offered, vec![edit])
}

fn each_by_itself(finding: Box<Finding>) -> Box<Finding> {
    Box::new(finding.advised("give each change by itself, in quotes of its own"))
}

fn with_examples(finding: Box<Finding>) -> Box<Finding> {
    Box::new(finding.advised(
        "write it as a line of the spec says it: `main at 50 mm aft`, `servos 20 mm further ahead`, `main mass 310 g`, `without camera`, `ballast nose 30 g`",
    ))
}
