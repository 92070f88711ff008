//! Pairs: one entry that means two parts, left and right alike.

use trimsheet_source::{Edit, Finding, Level, Safety};

use crate::build::{Entry, Half, Kind, Unknown};

/// Makes two parts of each pair; an entry of one half says what is different there.
pub(super) fn make_two(entries: &mut Vec<Entry>, findings: &mut Vec<Finding>) {
    let written = std::mem::take(entries);
    let (halves, wholes): (Vec<Entry>, Vec<Entry>) =
        written.into_iter().partition(|entry| half_of(entry).is_some());
    let mut used = vec![false; halves.len()];
    for entry in wholes {
        if entry.row.word != "part" || !entry.says("pair") {
            entries.push(entry);
            continue;
        }
        let entry = counted(entry, findings);
        for half in [Half::Left, Half::Right] {
            let name = format!("{}.{}", entry.name, half.word());
            let mut made =
                Entry { name: name.clone(), half: Some(half), ..entry.clone() };
            for (own, used) in halves.iter().zip(&mut used) {
                if own.name == name && own.span().file == entry.span().file {
                    *used = true;
                    differ(&mut made, own);
                }
            }
            entries.push(made);
        }
    }
    for (half, _) in halves.into_iter().zip(used).filter(|(_, used)| !used) {
        let pair = half_of(&half).map_or("", |(pair, _)| pair);
        let says = format!(
            "expected a pair called {pair}, of which `{}` is one half",
            half.name
        );
        findings.push(
            Finding::new("read/unknown-name", Level::Error, half.span(), says).advised(
                format!(
                    "write `part {pair}` with `pair`, or give this part a plain name"
                ),
            ),
        );
        entries.push(half);
    }
}

/// The mass of a pair is of each or of both: without a word for it, it is not known.
fn counted(mut entry: Entry, findings: &mut Vec<Finding>) -> Entry {
    for fact in entry.facts.iter_mut().filter(|fact| fact.row.word == "mass") {
        if fact.damaged || fact.via.is_some() || fact.slot("counted").is_some() {
            continue;
        }
        let Some(value) = fact.values.first().map(|(_, value)| value) else { continue };
        if matches!(value.kind, Kind::Unknown(_)) {
            continue;
        }
        let at = value.span.after();
        let says = format!(
            "is this mass of each of the two {}, or of both together?",
            entry.name
        );
        let mut finding =
            Finding::new("read/each-or-together", Level::Error, value.span, says);
        for word in ["each", "together"] {
            let edit = Edit { span: at, text: format!(" {word}") };
            finding = finding.remedied(
                format!("write `{word}` behind it"),
                Safety::Offered,
                vec![edit],
            );
        }
        findings.push(finding);
        for (_, value) in &mut fact.values {
            value.kind = Kind::Unknown(Unknown::Damaged);
        }
    }
    entry
}

fn half_of(entry: &Entry) -> Option<(&str, &str)> {
    entry.name.rsplit_once('.').filter(|(_, half)| matches!(*half, "left" | "right"))
}

fn differ(made: &mut Entry, own: &Entry) {
    made.facts.retain(|fact| !own.says(fact.row.word));
    made.facts.extend(own.facts.iter().cloned());
    made.repeats.extend(own.repeats.iter().cloned());
}
