//! How messages speak of what was found.

use trimsheet_quantity::Unit;
use trimsheet_source::{Sources, Span};
use trimsheet_syntax::{Atom, AtomKind};

/// A stretch of text in backticks, shortened to what a person wants to read.
pub(crate) fn quoted(span: Span, sources: &Sources) -> String {
    let text = sources.text(span);
    let mut short: String = text.chars().take(40).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    format!("`{short}`")
}

/// Whether a stretch holds bytes that were no UTF-8, which have a finding of their own.
pub(crate) fn holds_lost_bytes(span: Span, sources: &Sources) -> bool {
    sources.text(span).contains('\u{FFFD}')
}

/// A noun with the article that it is spoken with: `a part`, `an assembly`.
pub(crate) fn a(noun: &str) -> String {
    let article = if noun.starts_with(['a', 'e', 'i', 'o']) { "an" } else { "a" };
    format!("{article} {noun}")
}

/// Nouns with their articles and an `or` before the last: `a wing, a tail or a fin`.
pub(crate) fn any_of(nouns: &[&str]) -> String {
    let all: Vec<String> = nouns.iter().map(|noun| a(noun)).collect();
    or(&all)
}

/// Words in a row with an `or` before the last.
pub(crate) fn or(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [before @ .., last] => format!("{} or {last}", before.join(", ")),
    }
}

/// What an atom is: `300 g`, a mass.
pub(crate) fn found(atom: &Atom, sources: &Sources) -> String {
    let text = quoted(atom.span, sources);
    match &atom.kind {
        AtomKind::Measure(measure) => {
            let unit = measure.first.unit.map(|unit| Unit::read(sources.text(unit)));
            match unit {
                Some(Some(unit)) => format!("{text}, {}", unit.dimension().says()),
                Some(None) => format!("{text}, a number with an unknown unit"),
                None => format!("{text}, a number"),
            }
        }
        AtomKind::Text => format!("{text}, a text"),
        AtomKind::Date => format!("{text}, a date"),
        AtomKind::Name | AtomKind::Path => format!("{text}, a word"),
        AtomKind::Rule => format!("{text}, the name of a rule"),
        AtomKind::Arrow(_)
        | AtomKind::Unknown
        | AtomKind::Stray
        | AtomKind::Source(_) => text,
        AtomKind::LeftOpen if sources.text(atom.span).starts_with('"') => {
            "a quote that is not closed on its line".into()
        }
        AtomKind::LeftOpen => "a bracket that is not closed on its line".into(),
    }
}
