//! A junk line costs one finding, on itself, and changes no other.

use proptest::prelude::*;
use trimsheet_model::source::nearest;
use trimsheet_model::vocabulary::rows;

use crate::portrait::{portrait, read};
use crate::specs::{FLAWED, GOOD, cases};

/// What junk is made of: nothing here is, or is near, a word of the language.
const RUBBISH: &[&str] = &[
    "zzz",
    "qqqq",
    "xyzzy",
    "fnord7",
    "@@",
    "3-way",
    "1,5",
    "12",
    "7 kk",
    "..",
    "±",
    "-->",
    "\"quoted\"",
    "\"open",
    "[zzz]",
    "[open",
    "]",
    "?",
    "2026-02-11",
    "2026-13-99",
    "a.b.c",
    "q/q",
    "zz;",
    "yy:",
    "(((",
    "日本語",
    "🛩",
    "5 x",
    "\\",
    "<->",
    "_",
    "%%%",
    "$1",
];

fn rubbish() -> impl Strategy<Value = String> {
    prop::collection::vec(prop::sample::select(RUBBISH), 1..6)
        .prop_map(|words| words.join(" "))
}

fn line() -> impl Strategy<Value = String> {
    ("(    )?", rubbish()).prop_map(|(indent, junk)| format!("{indent}{junk}"))
}

/// A text with lines put in, and which of its lines they are.
fn with_lines(
    base: &str,
    junk: &[(prop::sample::Index, String)],
) -> (String, Vec<usize>) {
    let mut lines: Vec<(bool, &str)> = base.lines().map(|line| (false, line)).collect();
    for (at, line) in junk {
        let at = at.index(lines.len() + 1);
        lines.insert(at, (true, line));
    }
    let places = lines.iter().enumerate().filter(|(_, (is_junk, _))| *is_junk);
    let places = places.map(|(at, _)| at).collect();
    let text = lines.iter().map(|(_, line)| format!("{line}\n")).collect();
    (text, places)
}

/// Where a line of the base stands once junk has been put in.
fn shifted(line: usize, junk: &[usize]) -> usize {
    let mut line = line;
    for place in junk {
        line += usize::from(*place <= line);
    }
    line
}

fn assert_junk_costs_itself(base: &str, junk: &[(prop::sample::Index, String)]) {
    let before = read(base).said();
    let (text, places) = with_lines(base, junk);
    let after = read(&text).said();
    let (on_junk, others): (Vec<_>, Vec<_>) =
        after.into_iter().partition(|(line, _)| places.contains(line));
    let lines: Vec<usize> = on_junk.iter().map(|(line, _)| *line).collect();
    assert_eq!(lines, places, "{text}\n{on_junk:#?}");
    let kept: Vec<_> =
        before.into_iter().map(|(line, said)| (shifted(line, &places), said)).collect();
    assert_eq!(others, kept, "{text}");
}

proptest! {
    #![proptest_config(cases(100))]

    #[test]
    fn a_junk_line_costs_one_finding_on_itself_and_changes_no_other(
        base in prop::sample::select(&[GOOD, FLAWED][..]),
        at in any::<prop::sample::Index>(),
        junk in line(),
    ) {
        assert_junk_costs_itself(base, &[(at, junk)]);
    }

    #[test]
    fn a_junk_line_in_column_1_leaves_the_build_as_it_is(
        at in any::<prop::sample::Index>(),
        junk in rubbish(),
    ) {
        let (text, _) = with_lines(GOOD, &[(at, junk)]);
        prop_assert_eq!(portrait(&read(&text).build), portrait(&read(GOOD).build));
    }

    #[test]
    fn ten_junk_lines_cost_ten_findings(
        junk in prop::collection::vec((any::<prop::sample::Index>(), line()), 10),
    ) {
        assert_junk_costs_itself(GOOD, &junk);
    }

    #[test]
    fn a_random_word_in_column_1_costs_one_finding(
        at in any::<prop::sample::Index>(),
        word in "[a-z]{3,9}",
    ) {
        let known = rows().map(|row| row.word);
        prop_assume!(nearest(&word, known).is_none());
        assert_junk_costs_itself(GOOD, &[(at, word)]);
    }
}

#[test]
fn the_good_spec_reads_without_a_finding() {
    assert_eq!(read(GOOD).said(), []);
}

#[test]
fn only_a_word_that_opens_an_entry_or_is_near_one_closes_the_entry_above() {
    let under = |line: &str| {
        let text = format!("part a\n{line}\n    size 3 x 4 x 5 mm\n");
        let build = read(&text).build;
        let owner = build.entries.iter().find(|entry| entry.says("size")).unwrap();
        owner.name.clone()
    };
    for line in ["part b", "prt b", "Part b", "parts b: mass 3 g", "pack b"] {
        assert_eq!(under(line), "b", "{line}");
    }
    for line in
        ["zzz b", "b", "mass 3 g", "@@", "\"part b", "[part b]", "; part b", "band"]
    {
        assert_eq!(under(line), "a", "{line}");
    }
}
