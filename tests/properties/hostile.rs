//! Input that nobody would write: it is read to its end, and nothing of it is lost.
//!
//! Nothing here takes long because nothing is read over and over; if one of these never
//! comes back, something grows with the square of the text.

use crate::lossless::rebuild;
use crate::portrait::{Read, portrait, read};
use crate::specs::{FLAWED, GOOD};

/// Without optimisation a hundredth of the text takes as long.
const SHARE: usize = if cfg!(debug_assertions) { 100 } else { 1 };
const LINE: usize = 1_000_000 / SHARE;
const FILE: usize = if cfg!(debug_assertions) { 200_000 } else { 10_000_000 };

fn filled(with: &str, length: usize) -> String {
    with.repeat(length / with.len())
}

fn survive(text: &str) -> Read {
    let read = read(text);
    assert!(rebuild(&read.tree, text) == text, "something was lost");
    assert!(read.findings.len() <= 2002, "{} findings", read.findings.len());
    read
}

#[test]
fn a_line_of_a_million_characters_is_read_whatever_they_are() {
    let kinds = [
        "1", "a", "\"", "\\\"", "1 x ", "a.", "a/", "[a ", "[a] ", "[", "a;", ":", "1 ",
        "1..", "1/", "5 g ", "--", "->", "? ", "#", " ", "\u{FFFD}", "about ", "3 ± ",
        "日", "5²",
    ];
    for kind in kinds {
        survive(&filled(kind, LINE));
        survive(&format!("part a\n    draws {}", filled(kind, LINE)));
    }
}

#[test]
fn a_hundred_thousand_brackets_cost_one_finding() {
    for text in ["[".repeat(100_000), "[".repeat(50_000) + &"]".repeat(50_000)] {
        assert_eq!(survive(&text).findings.len(), 1);
        assert_eq!(survive(&format!("part a: mass 5 g {text}")).findings.len(), 1);
    }
}

#[test]
fn ten_megabytes_are_read_and_their_findings_are_counted() {
    let read = survive(&filled(GOOD, FILE));
    assert!(read.build.entries.len() > FILE / 200);
    let last = &read.findings.last().unwrap().headline;
    assert!(last.ends_with(" more findings from here on are not shown"), "{last}");
    for kind in ["  zz\n", "part a: mass 3 g\n", "\n"] {
        survive(&filled(kind, FILE));
    }
}

#[test]
fn a_hundred_thousand_entries_and_facts_are_read() {
    let many = 100_000 / SHARE;
    let parts: String =
        (0..many).map(|at| format!("part p{at} like p{}: mass 3 g\n", at + 1)).collect();
    assert_eq!(survive(&parts).findings.len(), 1, "the last is like nobody");
    let pairs: String = (0..many / 2)
        .map(|at| format!("part p{at}: pair; mass 3 g each\npart p{at}.left: mass 4 g\n"))
        .collect();
    assert_eq!(survive(&pairs).findings.len(), 0);
    let notes: String = (0..many).map(|at| format!("    note \"{at}\"\n")).collect();
    let repeats = "    mass 3 g\n".repeat(many);
    let read = survive(&format!("part a\n{notes}{repeats}"));
    assert_eq!(read.build.entries[0].repeats.len(), many - 1);
    let likes: String = (0..many).map(|at| format!("part p{at} like a\n")).collect();
    let read = survive(&format!("part a\n{notes}{likes}"));
    let facts: usize = read.build.entries.iter().map(|entry| entry.facts.len()).sum();
    assert!(facts <= 500_000, "{facts} facts");
    let names: String = (0..many).map(|at| format!("    with q{at}\n")).collect();
    survive(&format!("loadout a\n{names}{parts}"));
}

#[test]
fn line_breaks_tabs_and_a_mark_at_the_start_change_nothing() {
    let good = portrait(&read(GOOD).build);
    let written = [
        GOOD.replace('\n', "\r\n"),
        GOOD.replace("    ", "\t"),
        GOOD.replace(' ', "\u{A0}"),
        GOOD.trim_end().to_owned(),
        format!("{GOOD}\n\n   \n\t\n"),
    ];
    for text in written {
        let read = survive(&text);
        assert_eq!(read.said(), []);
        // A text in quotes keeps the spaces that are in it.
        let words = |words: &[String]| -> Vec<String> {
            words.iter().map(|word| word.replace("\\u{a0}", " ")).collect()
        };
        assert_eq!(words(&portrait(&read.build).words), words(&good.words));
    }
    let marked = survive(&format!("\u{FEFF}{GOOD}"));
    assert_eq!(portrait(&marked.build), good);
    assert_eq!(marked.said().len(), 1);
}

#[test]
fn bytes_that_are_no_text_cost_one_finding_a_line() {
    let mut bytes = GOOD.as_bytes().to_vec();
    let places: Vec<usize> =
        (0..bytes.len()).filter(|at| bytes[*at..].starts_with(b"395")).collect();
    for at in &places {
        bytes[*at] = 0xFF;
        bytes[*at + 2] = 0xC3;
    }
    let read = survive(&String::from_utf8_lossy(&bytes));
    assert_eq!(read.said().len(), places.len());
    assert_eq!(read.findings[0].rule.0, "read/not-utf8");
}

#[test]
fn nought_bytes_and_letters_that_turn_the_line_around_are_strays() {
    for letter in ['\0', '\u{202E}', '\u{200B}', '\u{1}', '\u{7F}', '\u{10FFFF}'] {
        let read = survive(&format!("part a: mass 5 g {letter}; at 3 mm aft\n"));
        assert_eq!(read.said().len(), 1, "{letter:?}");
        assert!(read.build.entries[0].says("at"));
    }
}

#[test]
fn a_flawed_spec_has_the_same_findings_however_often_it_is_read() {
    assert_eq!(read(FLAWED).said(), read(FLAWED).said());
}
