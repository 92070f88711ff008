//! Reading accepts every text, and loses nothing of it.

use proptest::prelude::*;
use trimsheet_model::source::{FileId, Span};
use trimsheet_model::syntax::{Atom, AtomKind, Line, Tree, parse};

use crate::portrait::read;
use crate::specs::{any_text, cases};

/// Puts a text together from the pieces of its tree and the gaps between them.
///
/// Fails where pieces are out of order, overlap, or reach outside the text.
pub(crate) fn rebuild(tree: &Tree, text: &str) -> String {
    let mut out = String::new();
    let mut done = 0;
    for piece in tree.pieces() {
        assert!(done <= piece.start && piece.start < piece.end, "{piece:?} after {done}");
        out += &text[done..piece.start];
        out += &text[piece.start..piece.end];
        done = piece.end;
    }
    out + &text[done..]
}

/// Nothing but white space and marks may stand between the pieces.
fn assert_gaps_are_empty(tree: &Tree, text: &str) {
    let mut done = 0;
    let ends = tree.pieces().map(|piece| (piece.start, piece.end));
    for (start, end) in ends.chain([(text.len(), text.len())]) {
        let gap = &text[done..start];
        let is_mark = |letter: char| {
            letter.is_whitespace() || letter == '\u{FEFF}' || ";:".contains(letter)
        };
        assert!(gap.chars().all(is_mark), "{gap:?} is lost");
        done = end;
    }
}

fn assert_inner_spans_fit(tree: &Tree) {
    for line in &tree.lines {
        for fact in line.head.iter().chain(&line.facts) {
            assert!(inside(fact.span, line.span), "{fact:?}");
            assert!(!fact.atoms.is_empty());
            fact.atoms.iter().for_each(|atom| assert_atom_fits(atom, fact.span));
        }
    }
}

fn assert_atom_fits(atom: &Atom, whole: Span) {
    assert!(inside(atom.span, whole), "{atom:?}");
    if let AtomKind::Source(inner) = &atom.kind {
        inner.iter().for_each(|inner| assert_atom_fits(inner, atom.span));
    }
}

fn inside(part: Span, whole: Span) -> bool {
    whole.start <= part.start && part.end <= whole.end
}

/// A line as it would stand at the start of a file.
fn moved(line: &Line, by: usize) -> String {
    let text = format!("{line:?}");
    let mut out = String::new();
    let mut rest = text.as_str();
    // Spans print their offsets after `start: ` and `end: `, and nothing else does.
    while let Some(at) = ["start: ", "end: "]
        .iter()
        .filter_map(|mark| rest.find(mark).map(|at| at + mark.len()))
        .min()
    {
        out += &rest[..at];
        let digits = rest[at..].find(|c: char| !c.is_ascii_digit()).unwrap();
        let offset: usize = rest[at..at + digits].parse().unwrap();
        out += &(offset - by).to_string();
        rest = &rest[at + digits..];
    }
    out + rest
}

proptest! {
    #![proptest_config(cases(250))]

    #[test]
    fn every_text_is_read_and_its_pieces_are_the_text(text in any_text()) {
        let tree = parse(FileId(0), &text);
        prop_assert_eq!(rebuild(&tree, &text), text.as_str());
        assert_gaps_are_empty(&tree, &text);
        assert_inner_spans_fit(&tree);
        prop_assert_eq!(tree.lines.len(), text.split('\n').count());
        read(&text);
    }

    #[test]
    fn a_line_read_alone_is_the_same_line(text in any_text()) {
        let text = text.trim_start_matches('\u{FEFF}');
        let tree = parse(FileId(0), text);
        for line in &tree.lines {
            let alone = parse(FileId(0), &text[line.span.start..line.span.end]);
            // A mark at the start of a file is passed over, inside of one it is space.
            if text[line.span.start..].starts_with('\u{FEFF}') {
                continue;
            }
            prop_assert_eq!(moved(&alone.lines[0], 0), moved(line, line.span.start));
        }
    }

    #[test]
    fn a_finding_stands_inside_the_text_and_says_what_it_is(text in any_text()) {
        let read = read(&text);
        for finding in &read.findings {
            let labels = finding.because.iter().chain([&finding.primary]);
            for label in labels {
                let span = label.span;
                prop_assert!(text.get(span.start..span.end).is_some(), "{:?}", finding);
            }
            let known = trimsheet_model::reading::READINGS;
            prop_assert!(known.iter().any(|one| one.id == finding.rule.0), "{:?}", finding);
            let says = finding.headline.split('`').step_by(2).collect::<String>();
            for word in ["invalid", "illegal", "error"] {
                prop_assert!(!says.contains(word), "{}", finding.headline);
            }
        }
    }
}
