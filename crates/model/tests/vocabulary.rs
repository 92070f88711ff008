//! The vocabulary table is free of doubt, and its examples read clean.

use std::collections::BTreeSet;

use trimsheet_model::quantity::{Side, Unit};
use trimsheet_model::source::{FileId, Sources};
use trimsheet_model::syntax::{AtomKind, parse};
use trimsheet_model::vocabulary::rows;
use trimsheet_model::vocabulary::{
    Need, Row, SOURCE, Slot, Takes, example_of, reference,
};
use trimsheet_model::{Document, resolve};

/// The closed list of a slot.
fn list(slot: &Slot) -> &'static [&'static str] {
    if let Takes::Word(list) = slot.takes { list } else { &[] }
}

/// Every word that may stand behind the word of a row: leading, or of a closed list.
fn words(row: &Row) -> Vec<&'static str> {
    let leading = row.slots.iter().filter(|slot| slot.led).map(|slot| slot.name);
    leading.chain(row.slots.iter().flat_map(list).copied()).collect()
}

/// Whether a slot is a word of a closed list that may be left out.
fn is_optional_word(slot: &Slot) -> bool {
    !slot.led && !list(slot).is_empty() && slot.need == Need::May
}

/// The words that may stand in any order.
fn free_words(row: &Row) -> Vec<&'static str> {
    let leading = row.slots.iter().filter(|slot| slot.led).map(|slot| slot.name);
    let optional = row.slots.iter().filter(|slot| is_optional_word(slot)).flat_map(list);
    leading.chain(optional.copied()).collect()
}

#[test]
fn in_a_row_leading_and_optional_words_differ() {
    for row in rows() {
        let words = free_words(row);
        let different: BTreeSet<&str> = words.iter().copied().collect();
        assert_eq!(words.len(), different.len(), "{}: {words:?}", row.word);
        let names: BTreeSet<&str> = row.slots.iter().map(|slot| slot.name).collect();
        assert_eq!(names.len(), row.slots.len(), "{}: two slots of one name", row.word);
    }
}

#[test]
fn no_word_is_a_unit_or_a_side_or_kept_by_the_grammar() {
    for row in rows() {
        for word in words(row) {
            assert!(Unit::read(word).is_none(), "{}: {word} is a unit", row.word);
            assert!(Side::from_word(word).is_none(), "{}: {word}", row.word);
            assert!(!matches!(word, "about" | "x"), "{}: {word}", row.word);
        }
    }
}

/// What a value begins with, as far as the grammar tells.
fn begins(takes: Takes) -> &'static str {
    match takes {
        Takes::Quantity(_)
        | Takes::Sided(..)
        | Takes::Range(_)
        | Takes::SidedRange(..)
        | Takes::Place
        | Takes::Size
        | Takes::Load
        | Takes::Count => "a number",
        Takes::Name | Takes::Reference(_) | Takes::Word(_) | Takes::Arrow => "a name",
        Takes::Rule => "a rule",
        Takes::Text => "a text",
        Takes::Date => "a date",
    }
}

#[test]
fn what_may_be_left_out_never_looks_like_what_comes_next() {
    for row in rows() {
        let is_free = |slot: &Slot| slot.led || is_optional_word(slot);
        let in_order: Vec<&Slot> =
            row.slots.iter().filter(|slot| !is_free(slot)).collect();
        for (at, slot) in in_order.iter().enumerate() {
            if slot.need == Need::Must {
                continue;
            }
            for next in &in_order[at + 1..] {
                let is_told_by_side = matches!(
                    (slot.takes, next.takes, next.need),
                    (Takes::Sided(..), Takes::Quantity(_), Need::May)
                );
                if is_told_by_side {
                    continue;
                }
                let (one, two) = (begins(slot.takes), begins(next.takes));
                assert_ne!(one, two, "{}: {} and {}", row.word, slot.name, next.name);
            }
        }
        let first_led = row.slots.iter().position(|slot| slot.led);
        let behind = row.slots.iter().skip(first_led.unwrap_or(row.slots.len()));
        for slot in behind {
            assert!(
                is_free(slot),
                "{}: {} stands behind a led slot",
                row.word,
                slot.name
            );
        }
    }
}

#[test]
fn no_entry_has_a_word_twice() {
    let mut seen = BTreeSet::new();
    for row in rows() {
        let owners: BTreeSet<&str> =
            row.within.iter().filter_map(|within| within.split(' ').next()).collect();
        let owners = if owners.is_empty() { BTreeSet::from([""]) } else { owners };
        for owner in owners {
            assert!(seen.insert((owner, row.word)), "{owner} has {} twice", row.word);
        }
    }
}

#[test]
fn every_fact_is_about_an_entry_that_there_is_and_every_word_is_a_name() {
    let entries: BTreeSet<&str> =
        rows().filter(|row| row.opens_entry()).map(|row| row.word).collect();
    for row in rows() {
        for owner in row.within.iter().filter_map(|within| within.split(' ').next()) {
            assert!(owner == SOURCE || entries.contains(owner), "{}: {owner}", row.word);
        }
        let slots = row.slots.iter().map(|slot| slot.name);
        for word in slots.chain([row.word]).chain(words(row)) {
            let tree = parse(FileId(0), &format!(" {word}"));
            let atoms = &tree.lines[0].facts[0].atoms;
            assert!(atoms.len() == 1 && atoms[0].kind == AtomKind::Name, "{word}");
        }
    }
}

#[test]
fn every_reference_is_to_entries_that_there_are() {
    for row in rows() {
        for slot in row.slots {
            let Takes::Reference(entries) = slot.takes else { continue };
            for entry in entries {
                let is_there = trimsheet_model::vocabulary::entry(entry).is_some();
                assert!(is_there, "{}: {entry}", row.word);
            }
        }
    }
}

/// What is said, but for names that stand in no such small file.
fn said(text: &str) -> Vec<String> {
    let mut sources = Sources::default();
    let file = sources.add("test.trim", text);
    let document = Document { file, tree: parse(file, text), shelves: Vec::new() };
    let (_, findings) = resolve(&[document], &sources);
    let known = findings.iter().filter(|finding| finding.rule.0 != "read/unknown-name");
    known.map(|finding| finding.headline.clone()).collect()
}

#[test]
fn every_row_has_an_example_that_begins_with_its_word_and_reads_clean() {
    for row in rows() {
        let start = if row.within.contains(&SOURCE) { "[" } else { "" };
        assert!(row.example.starts_with(&format!("{start}{}", row.word)), "{}", row.word);
        assert_eq!(said(&example_of(row)), [""; 0], "{}", example_of(row));
        assert!(row.says.ends_with('.'), "{}", row.word);
    }
}

const GRAMMAR: &str = include_str!("../../../grammar/trimsheet.pest");

/// The blocks of a page that hold specs.
fn specs(page: &str) -> Vec<String> {
    let mut blocks = page.split("```");
    blocks.next();
    let inside = blocks.step_by(2);
    inside.filter_map(|block| block.strip_prefix("trim\n")).map(str::to_owned).collect()
}

#[test]
fn every_spec_of_the_reference_reads_clean() {
    let page = reference::page(GRAMMAR);
    let specs = specs(&page);
    assert!(5 < specs.len());
    for text in specs {
        assert_eq!(said(&text), [""; 0], "{text}");
    }
}

#[test]
fn the_reference_names_every_word_unit_and_source() {
    let page = reference::page(GRAMMAR);
    assert!(page.lines().next().unwrap().contains("`cargo xtask gen`"));
    for row in rows() {
        assert!(page.contains(row.says), "{}", row.word);
        for slot in row.slots.iter().filter(|slot| slot.led) {
            assert!(page.contains(slot.name), "{}: {}", row.word, slot.name);
        }
    }
    for unit in trimsheet_model::quantity::UNITS {
        assert!(page.contains(&format!("| `{}` |", unit.word)), "{}", unit.word);
    }
    for rule in ["line = {", "measure = {", "stray = {"] {
        assert!(page.contains(rule), "{rule}");
    }
}

#[test]
fn no_table_of_the_reference_has_a_broken_row() {
    let page = reference::page(GRAMMAR);
    let mut width = None;
    for line in page.lines() {
        let bars = line.replace("\\|", "").matches('|').count();
        if line.starts_with('|') {
            assert_eq!(*width.get_or_insert(bars), bars, "{line}");
        } else {
            width = None;
        }
    }
}
