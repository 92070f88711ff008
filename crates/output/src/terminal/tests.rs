use trimsheet_source::{CannotSay, FileId, Label, RuleId, Sources, Span};

use super::*;
use crate::Summary;

const SPEC: &str = "\
wing:
    band   131..149 mm aft   [plan]
    span   1240 mm
parts:
    pack   210 g at 75 mm aft
    camera ? at 30 mm aft

loadout ferry: fits main
";

/// One file, and findings in it whose places are given by words of it.
struct Bench {
    sources: Sources,
    file: FileId,
}

impl Bench {
    fn new(text: &str) -> Bench {
        let mut sources = Sources::default();
        let file = sources.add("linnet.trim", text);
        Bench { sources, file }
    }

    fn at(&self, words: &str) -> Span {
        let start = self.sources.file(self.file).unwrap().text.find(words).unwrap();
        Span { file: self.file, start, end: start + words.len() }
    }

    fn drawn(&self, finding: Finding, width: usize) -> String {
        self.drawn_as(&[finding], &[], Look { colour: Colour::Plain, width })
    }

    fn drawn_as(&self, findings: &[Finding], unsaid: &[CannotSay], look: Look) -> String {
        let summary = Summary {
            stage: None,
            fail_at: Level::Note,
            files: 1,
            estimated: 0,
            unknown: 0,
            loosened: 0,
            proved: 0,
        };
        let sources = &self.sources;
        terminal(
            &Report { cannot_say: unsaid, summary, ..Report::of(sources, findings) },
            &look,
        )
    }
}

#[test]
fn a_finding_shows_its_lines_what_to_do_and_how_certain_it_is() {
    let bench = Bench::new(SPEC);
    let mut finding = Finding::new(
        "balance/outside-band",
        Level::Stop,
        bench.at("loadout ferry"),
        "far",
    )
    .labelled("152 mm ± 3 mm")
    .because(bench.at("149 mm"), "the aft limit")
    .advised("slide the pack 36 mm forward, to 39 mm aft, which reaches best")
    .advised("add 55 g ahead");
    finding.likely = Some("weigh the wiring next".into());
    assert_eq!(
        bench.drawn(finding, 60),
        "\
stop[balance/outside-band]: far
  ┌─ linnet.trim:8:1
  │
2 │     band   131..149 mm aft   [plan]
  │                 ------ the aft limit
  ·
8 │ loadout ferry: fits main
  │ ^^^^^^^^^^^^^ 152 mm ± 3 mm
  │
  = remedy: slide the pack 36 mm forward, to 39 mm aft,
            which reaches best
  = remedy: add 55 g ahead
  = likely: weigh the wiring next

1 stop in 1 file.
"
    );
}

#[test]
fn every_level_has_its_own_word() {
    let bench = Bench::new(SPEC);
    for level in Level::ALL {
        let text = bench.drawn(Finding::new("a/b", level, bench.at("wing"), "far"), 80);
        assert!(text.starts_with(&format!("{level}[a/b]: far\n")), "{text}");
    }
}

#[test]
fn a_cause_in_another_file_is_shown_there() {
    let mut bench = Bench::new(SPEC);
    let kit = bench.sources.add("kits/meadow.trim", "kit meadow\n    spar 8 mm\n");
    let spar = Span { file: kit, start: 20, end: 24 };
    let finding = Finding::new("a/b", Level::Note, bench.at("1240 mm"), "far")
        .because(spar, "the spar of the kit");
    assert_eq!(
        bench.drawn(finding, 80),
        "\
note[a/b]: far
  ┌─ linnet.trim:3:12
  │
3 │     span   1240 mm
  │            ^^^^^^^
  │
  ┌─ kits/meadow.trim:2:10
  │
2 │     spar 8 mm
  │          ---- the spar of the kit

1 note in 1 file.
"
    );
}

#[test]
fn the_only_line_between_two_shown_ones_is_shown_too() {
    let bench = Bench::new(SPEC);
    let finding = Finding::new("a/b", Level::Note, bench.at("band"), "far")
        .because(bench.at("parts"), "here");
    assert!(bench.drawn(finding, 80).contains("\n3 │     span   1240 mm\n4 │ parts:\n"));
}

#[test]
fn a_label_over_several_lines_is_drawn_on_its_first() {
    let bench = Bench::new(SPEC);
    let block = bench.at("wing:\n    band   131..149 mm aft   [plan]\n    span");
    let text = bench.drawn(Finding::new("a/b", Level::Note, block, "far"), 80);
    assert!(text.contains("\n1 │ wing:\n  │ ^^^^^\n"), "{text}");
    assert!(!text.contains("band"));
}

#[test]
fn the_end_of_a_file_can_be_pointed_at() {
    for (text, line) in [(SPEC, "9"), ("wing", "1"), ("", "1"), ("\r\n", "2")] {
        let bench = Bench::new(text);
        let end = Span { file: bench.file, start: text.len(), end: text.len() };
        let text = bench.drawn(Finding::new("a/b", Level::Error, end, "too early"), 80);
        assert!(text.contains(&format!("\n{line} │")) && text.contains('^'), "{text}");
    }
}

#[test]
fn a_long_line_is_shown_around_its_label_with_its_true_column() {
    let bench = Bench::new(&format!("{}HERE{}", "a".repeat(70_000), "b".repeat(70_000)));
    let finding = Finding::new("a/b", Level::Note, bench.at("HERE"), "far");
    assert_eq!(
        bench.drawn(finding.labelled("this one"), 50),
        "\
note[a/b]: far
  ┌─ linnet.trim:1:70001
  │
1 │ …aaaaaaaaaaaaaaHEREbbbbbbbbbbbbbbbbbbbbbbbbbb…
  │                ^^^^ this one

1 note in 1 file.
"
    );
}

#[test]
fn a_tab_and_wide_characters_keep_the_label_in_its_place() {
    let bench = Bench::new("\t翼 mass\n");
    let text = bench.drawn(Finding::new("a/b", Level::Note, bench.at("mass"), "far"), 80);
    assert!(text.contains("\n1 │     翼 mass\n  │        ^^^^\n"), "{text}");
}

#[test]
fn what_a_file_or_a_rule_holds_cannot_act_on_the_terminal() {
    let escape = "\u{1b}[2J\u{202e}\u{9b}\u{2}\u{3}";
    let mut bench = Bench::new(&format!("wing {escape} pack\n"));
    bench.file = bench.sources.add(format!("{escape}.trim"), format!("wing {escape}"));
    let finding =
        Finding::new(format!("a/{escape}"), Level::Stop, bench.at("[2"), escape)
            .labelled(escape)
            .because(bench.at("wing"), escape)
            .advised(escape);
    let because = Label::new(bench.at("wing"), escape);
    let unsaid = CannotSay { rule: RuleId::new(escape), about: because.clone(), because };
    let look = Look { colour: Colour::Plain, width: 80 };
    let text = bench.drawn_as(&[finding], &[unsaid], look);
    assert!(text.contains("␛[2J<U+202E><U+009B>␂␃"));
    let acts = |at: char| at != '\n' && (at.is_control() || at == '\u{202e}');
    assert_eq!(text.find(acts), None);
}

#[test]
fn colours_change_nothing_but_colours() {
    let bench = Bench::new(SPEC);
    let finding =
        Finding::new("a/b", Level::Stop, bench.at("pack"), "too far ".repeat(20))
            .labelled("this one")
            .because(bench.at("210 g"), "and this")
            .advised("slide it");
    let because = Label::new(bench.at("camera"), "no mass");
    let unsaid =
        [CannotSay { rule: RuleId::new("a/b"), about: because.clone(), because }];
    let findings = [finding];
    let draw = |colour| bench.drawn_as(&findings, &unsaid, Look { colour, width: 80 });
    let (plain, coloured) = (draw(Colour::Plain), draw(Colour::Ansi));
    assert!(coloured.contains("\u{1b}[") && !plain.contains('\u{1b}'));
    let mut pieces = coloured.split('\u{1b}');
    let mut bare = pieces.next().unwrap().to_owned();
    bare.extend(pieces.map(|piece| piece.split_once('m').unwrap().1));
    assert_eq!(bare, plain);
}

#[test]
fn nothing_is_wider_than_the_terminal_or_ends_in_a_space() {
    let bench = Bench::new(&SPEC.replace("1240 mm", &"1240 mm ".repeat(99)));
    let long = "it balances 152 mm aft of the datum ".repeat(9);
    for width in 50..120 {
        let finding = Finding::new("a/b", Level::Stop, bench.at("pack   210"), &*long)
            .labelled(&*long)
            .because(bench.at("mm 1240 mm 1"), &*long)
            .because(bench.at("aft\n    camera"), &*long)
            .advised(&*long);
        let because = Label::new(bench.at("camera"), &*long);
        let unsaid =
            CannotSay { rule: RuleId::new("a/b"), about: because.clone(), because };
        let look = Look { colour: Colour::Plain, width };
        for line in bench.drawn_as(&[finding], &[unsaid], look).lines() {
            assert!(line.chars().count() <= width, "{width}: {line}");
            assert!(!line.ends_with(' '), "{width}: {line}");
        }
    }
}

#[test]
fn any_stretch_of_any_text_can_be_shown() {
    let mut bench = Bench::new("µ\t翼\r\n\n\u{301}\u{1b}e\0\n\0\u{feff}\r");
    let length = bench.sources.file(bench.file).unwrap().text.len();
    bench.sources.add("empty.trim", "");
    for file in [0, 1, 2].map(FileId) {
        for start in 0..length + 3 {
            for end in 0..length + 3 {
                let span = Span { file, start, end };
                let finding = Finding::new("a/b", Level::Note, span, "far")
                    .labelled("here")
                    .because(Span { start: end, end: start, file: FileId(0) }, "there");
                assert!(bench.drawn(finding, 0).starts_with("note[a/b]: far\n"));
            }
        }
    }
}

#[test]
fn many_causes_are_drawn_in_part_and_counted() {
    let bench = Bench::new(&"part\n".repeat(100));
    let mut finding = Finding::new("a/b", Level::Note, bench.at("part"), "far");
    for start in (0..400).step_by(5) {
        finding = finding.because(Span { file: bench.file, start, end: start + 4 }, "so");
    }
    let text = bench.drawn(finding, 80);
    assert_eq!(text.matches(" so\n").count(), 20);
    assert!(text.contains("= because: 60 more, not shown\n"));
}

#[test]
fn rules_that_cannot_say_come_between_the_findings_and_the_count() {
    let bench = Bench::new(SPEC);
    let unsaid = CannotSay {
        rule: RuleId::new("balance/outside-band"),
        about: Label::new(bench.at("loadout ferry"), "loadout ferry"),
        because: Label::new(bench.at("camera"), "the mass of camera is not known"),
    };
    let finding = Finding::new("a/b", Level::Note, bench.at("wing"), "far");
    let look = Look { colour: Colour::Plain, width: 60 };
    let text = bench.drawn_as(&[finding], &[unsaid], look);
    assert!(
        text.ends_with(
            "\
^^^^

cannot say: balance/outside-band about loadout ferry: the
    mass of camera is not known (linnet.trim:6)

1 note in 1 file.
"
        ),
        "{text}"
    );
}
