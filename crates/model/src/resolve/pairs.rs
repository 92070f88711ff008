//! Pairs: one entry that means two parts, left and right alike.

use std::collections::BTreeMap;

use trimsheet_quantity::Axis;
use trimsheet_source::{Edit, FileId, Finding, Level, Safety, Sources, Span};

use crate::build::{Entry, Fact, Half, Kind, Unknown};
use crate::limit::Limited;

/// Makes two parts of each pair; an entry of one half says what is different there.
pub(super) fn make_two(
    entries: &mut Vec<Entry>,
    texts: &Sources,
    findings: &mut Limited,
) {
    let written = std::mem::take(entries);
    let (halves, wholes): (Vec<Entry>, Vec<Entry>) =
        written.into_iter().partition(|entry| half_of(entry).is_some());
    let mut halves = Halves::new(halves);
    for mut entry in wholes {
        match pair_fact(&entry) {
            Some(pair) if pair.damaged => one_or_two(&mut entry, &mut halves),
            Some(_) => {
                check_sides(&mut entry, texts, findings, Wanted::Out);
                ask_each_or_together(&mut entry, findings);
                entries.extend(Half::ALL.map(|half| made(&entry, half, &mut halves)));
                continue;
            }
            None => check_sides(&mut entry, texts, findings, Wanted::LeftOrRight),
        }
        entries.push(entry);
    }
    let left_over = halves.by_name.into_values().flatten();
    for (half, is_used) in left_over {
        if !is_used {
            findings.push(no_pair(&half));
        }
        entries.extend((!is_used).then_some(half));
    }
}

/// Entries that are one half of a pair, by file and name, and whether a pair had them.
struct Halves {
    by_name: BTreeMap<(FileId, String), Vec<(Entry, bool)>>,
}

impl Halves {
    fn new(halves: Vec<Entry>) -> Halves {
        let mut by_name: BTreeMap<_, Vec<_>> = BTreeMap::new();
        for half in halves {
            let key = (half.span().file, half.name.clone());
            by_name.entry(key).or_default().push((half, false));
        }
        Halves { by_name }
    }

    fn take(&mut self, file: FileId, name: &str) -> &[(Entry, bool)] {
        let Some(own) = self.by_name.get_mut(&(file, name.to_owned())) else {
            return &[];
        };
        own.iter_mut().for_each(|(_, is_used)| *is_used = true);
        own
    }
}

fn pair_fact(entry: &Entry) -> Option<&Fact> {
    entry.fact("pair").filter(|_| entry.row.word == "part")
}

/// Whether it is a pair stood in what could not be read: its mass is not known then.
fn one_or_two(entry: &mut Entry, halves: &mut Halves) {
    for half in Half::ALL {
        halves.take(entry.span().file, &format!("{}.{}", entry.name, half.word()));
    }
    for fact in entry.facts.iter_mut().filter(|fact| fact.row.word == "mass") {
        forget(fact);
    }
}

fn forget(fact: &mut Fact) {
    for (_, value) in &mut fact.values {
        value.kind = Kind::Unknown(Unknown::Damaged);
    }
}

fn made(entry: &Entry, half: Half, halves: &mut Halves) -> Entry {
    let name = format!("{}.{}", entry.name, half.word());
    let file = entry.span().file;
    let mut made = Entry { name: name.clone(), half: Some(half), ..entry.clone() };
    for (own, _) in halves.take(file, &name) {
        differ(&mut made, own);
    }
    made
}

fn differ(made: &mut Entry, own: &Entry) {
    made.head.damaged |= own.is_damaged();
    made.facts.retain(|fact| !own.says(fact.row.word));
    made.facts.extend(own.facts.iter().cloned());
    made.repeats.extend(own.repeats.iter().cloned());
}

fn no_pair(half: &Entry) -> Finding {
    let (pair, _) = half_of(half).unwrap_or_default();
    let says = format!(
        "expected a pair called `{pair}`, of which `{}` is one half, found none",
        half.name
    );
    Finding::new("read/unknown-name", Level::Error, half.span(), says).advised(format!(
        "write `part {pair}` with `pair`, or give this part a name without a point"
    ))
}

/// The mass of a pair is of each or of both: without a word for it, it is not known.
fn ask_each_or_together(entry: &mut Entry, findings: &mut Limited) {
    let name = entry.name.clone();
    for fact in entry.facts.iter_mut().filter(|fact| fact.row.word == "mass") {
        if fact.damaged || fact.via.is_some() || fact.slot("counted").is_some() {
            continue;
        }
        let Some(value) = fact.first() else { continue };
        if matches!(value.kind, Kind::Unknown(_)) {
            continue;
        }
        let at = value.span.after();
        let says =
            format!("is this mass of each of the two {name}, or of both together?");
        let mut finding =
            Finding::new("read/each-or-together", Level::Error, value.span, says);
        for word in ["each", "together"] {
            let edit = Edit { span: at, text: format!(" {word}") };
            let says = format!("write `{word}` behind it");
            finding = finding.remedied(says, Safety::Offered, vec![edit]);
        }
        findings.push(finding);
        forget(fact);
    }
}

/// Which sides a place across the aircraft may have.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wanted {
    /// A pair lies to both sides of the centre line.
    Out,
    /// One thing lies to one side of it.
    LeftOrRight,
}

/// One part is left or right; two alike are so far out from the centre line.
fn check_sides(
    entry: &mut Entry,
    texts: &Sources,
    findings: &mut Limited,
    wanted: Wanted,
) {
    if !matches!(entry.row.word, "part" | "pack" | "assembly" | "bay") {
        return;
    }
    let (title, is_copied) = (entry.title(), |fact: &Fact| fact.via.is_some());
    for fact in entry.facts.iter_mut().filter(|fact| !is_copied(fact)) {
        for (_, value) in &mut fact.values {
            let Kind::Place(place) = &value.kind else { continue };
            let is_out = place
                .across
                .as_ref()
                .is_some_and(|across| across.axis() == Some(Axis::Out));
            let has_side = place.across.is_some();
            let is_fit = match wanted {
                Wanted::Out => !has_side || is_out,
                Wanted::LeftOrRight => !is_out,
            };
            if !is_fit {
                findings.push(other_side(&title, value.span, texts, wanted));
                value.kind = Kind::Unknown(Unknown::Damaged);
            }
        }
    }
}

fn other_side(title: &str, place: Span, texts: &Sources, wanted: Wanted) -> Finding {
    let (instead, found) = match wanted {
        Wanted::Out => (["out"].as_slice(), ["left", "right"].as_slice()),
        Wanted::LeftOrRight => (["left", "right"].as_slice(), ["out"].as_slice()),
    };
    let text = texts.text(place);
    let words = found.iter().filter_map(|word| Some((*word, text.rfind(word)?)));
    let (word, at) = words.max_by_key(|(_, at)| *at).unwrap_or(("", 0));
    let start = place.start + at;
    let span = Span { start, end: start + word.len(), ..place };
    let why = match wanted {
        Wanted::Out => "is a pair, one to each side",
        Wanted::LeftOrRight => "is no pair",
    };
    let list = instead.join("` or `");
    let says = format!("expected `{list}` in this place, found `{word}`: {title} {why}");
    let mut finding = Finding::new("read/side-of-a-pair", Level::Error, span, says);
    for side in instead {
        let edit = Edit { span, text: (*side).into() };
        let says = format!("write `{side}`");
        finding = finding.remedied(says, Safety::Offered, vec![edit]);
    }
    finding
}

fn half_of(entry: &Entry) -> Option<(&str, &str)> {
    entry.name.rsplit_once('.').filter(|(_, half)| matches!(*half, "left" | "right"))
}
