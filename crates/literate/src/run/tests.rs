//! The runner against a small check of its own: a limit on masses, and a unit.

use trimsheet_project::source::{
    CannotSay, Edit, FileId, Finding, Label, Level, RuleId, Safety, Sources, Span,
};

use super::*;
use crate::read;

/// Finds masses above 100 g, masses that are not known, and the unit `gr`.
///
/// A line with `mulish` has a remedy that changes nothing, one with `brittle` a remedy
/// that brings something worse.
fn scale(files: &[(String, String)], _: &Settings) -> Result<Judged, String> {
    let mut judged = Judged::default();
    for (name, text) in files {
        let file = judged.sources.add(name, text);
        let mut start = 0;
        for line in text.lines() {
            weigh(&mut judged, file, start, line);
            start += line.len() + 1;
        }
    }
    Ok(judged)
}

fn weigh(judged: &mut Judged, file: FileId, start: usize, line: &str) {
    let stretch = |word: &str| {
        let at = start + line.find(word).unwrap();
        Span { file, start: at, end: at + word.len() }
    };
    if line.contains("?") {
        let (about, because) = (stretch("part"), stretch("?"));
        judged.cannot_say.push(CannotSay {
            rule: RuleId::new("mass/too-heavy"),
            about: Label::new(about, "the part"),
            because: Label::new(because, "its mass is not known"),
        });
    }
    if line.contains("crack") {
        let span = stretch("crack");
        judged.findings.push(Finding::new("mass/cracked", Level::Stop, span, "a crack"));
    }
    if line.contains(" gr") {
        let span = stretch("gr");
        let edits = vec![Edit { span, text: "g".into() }];
        let finding = Finding::new("read/unknown-unit", Level::Warning, span, "found gr");
        judged.findings.push(finding.remedied("write g", Safety::Safe, edits));
    }
    let masses = line.split_whitespace().filter_map(|word| word.parse::<u32>().ok());
    for mass in masses.filter(|mass| 100 < *mass) {
        let finding = too_heavy(&judged.sources, line, stretch(&mass.to_string()), mass);
        judged.findings.push(finding);
    }
}

fn too_heavy(sources: &Sources, line: &str, span: Span, mass: u32) -> Finding {
    let text = match () {
        () if line.contains("mulish") => mass.to_string(),
        () if line.contains("brittle") => "90 crack".into(),
        () => "100".into(),
    };
    let says = format!("weighs {mass} g, {} g too much", mass - 100);
    let mut finding = Finding::new("mass/too-heavy", Level::Error, span, says)
        .labelled("on the scale")
        .remedied("plane it down to 100 g", Safety::Offered, vec![Edit { span, text }]);
    finding.likely = line.contains("about").then(|| "weigh it again".into());
    if let Some(at) = sources.file(span.file).and_then(|file| file.text.find("limit")) {
        finding = finding.because(Span { start: at, end: at + 5, ..span }, "the limit");
    }
    finding
}

fn bases(name: &str) -> Option<String> {
    let base = "model plain\n\nlimit 100 g\npart wing 40 g\npart tail 30 g\n";
    (name == "plain.trim").then(|| base.into())
}

fn outcome(page: &str) -> Outcome {
    let page = read("tests/page.md", page).unwrap();
    run_with(&page, &page.cases[0], &bases, &scale)
}

/// The problems of a test with this spec.
fn spec(text: &str) -> Vec<(usize, String)> {
    problems(&format!("# A\n```trim\n{text}\n```\n"))
}

fn problems(page: &str) -> Vec<(usize, String)> {
    let problems = outcome(page).problems.into_iter();
    problems.map(|problem| (problem.line, problem.says)).collect()
}

const HEAVY: &str = "part a 120 g #~ error: [mass/too-heavy] \"20 g too much\"";

#[test]
fn a_spec_whose_findings_are_all_marked_passes() {
    assert_eq!(spec(HEAVY), []);
    assert_eq!(spec("part a 90 g"), []);
    assert_eq!(spec("#~ error: [mass/too-heavy]\npart a 120 g"), []);
    assert_eq!(spec("part a 120 g #~ error: [mass/too-heavy] \"on the scale\""), []);
}

#[test]
fn a_finding_without_a_mark_fails_at_its_line_and_says_how_to_mark_it() {
    let found = spec("part b 90 g\npart a 120 g");
    let [(4, says)] = found.as_slice() else { panic!("{found:?}") };
    assert!(says.contains("found error[mass/too-heavy]: weighs 120 g, 20 g too much"));
    assert!(says.contains("#~ error: [mass/too-heavy] \"…\""), "{says}");
}

#[test]
fn a_mark_without_a_finding_fails_and_says_what_stands_there_instead() {
    let found = spec("part a 90 g #~ error: [mass/too-heavy]");
    assert_eq!(found, [(3, "expected error[mass/too-heavy]\nfound nothing here".into())]);
    for slip in ["stop: [mass/too-heavy]", "error: [mass/heavy]"] {
        let found = spec(&format!("part a 120 g #~ {slip}"));
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(found.iter().any(|(_, says)| says.starts_with("expected")
            && says.contains("found error[mass/too-heavy]: weighs 120 g")));
    }
    let found = spec(
        "part a 120 g #~ error: [mass/too-heavy] \"30 g\"\npart b 90 g #~ note: [mass/too-heavy]",
    );
    assert!(
        found.iter().any(|(line, says)| *line == 4 && says.contains("but at line 3"))
    );
}

#[test]
fn each_finding_needs_a_mark_of_its_own() {
    let found =
        spec("#~ error: [mass/too-heavy] #~ error: [mass/too-heavy]\npart a 120 g");
    assert_eq!(found.len(), 1, "{found:?}");
}

#[test]
fn a_mark_with_more_words_chooses_first() {
    let two = "#~ error: [mass/too-heavy] #~ error: [mass/too-heavy] \"20 g\"";
    assert_eq!(spec(&format!("part a 120 g 130 g {two}")), []);
}

#[test]
fn causes_remedies_and_likelihoods_can_be_marked() {
    let text = "limit 100 g #~ because: \"the limit\"\npart a about 120 g #~ error: \
                [mass/too-heavy] #~ remedy: \"plane it\" #~ likely: \"again\"";
    assert_eq!(spec(text), []);
    let found = spec(&text.replace("the limit", "the band").replace("plane", "sand"));
    let [(3, cause), (4, remedy)] = found.as_slice() else { panic!("{found:?}") };
    assert!(cause.contains("because \"the limit\""), "{cause}");
    assert!(remedy.contains("remedy: plane it down to 100 g"), "{remedy}");
}

#[test]
fn what_cannot_be_said_needs_a_mark_only_where_settings_are_strict() {
    let unknown = "part a ?";
    let marked = format!("{unknown} #~ cannot say: [mass/too-heavy]");
    let strict = |text: &str| {
        problems(&format!("# A\n```toml\nstrict = true\n```\n```trim\n{text}\n```\n"))
    };
    assert_eq!((spec(unknown), spec(&marked)), (vec![], vec![]));
    assert_eq!(strict(&marked), []);
    let found = strict(unknown);
    assert!(found[0].1.contains("cannot say about the part: its mass is not known"));
    let found = spec("part a 90 g #~ cannot say: [mass/too-heavy]");
    assert!(found[0].1.contains("found nothing here"), "{found:?}");
}

#[test]
fn rules_that_do_not_count_are_passed_over() {
    let page = "# A\n```toml\nonly = [\"power/*\"]\n```\n```trim\npart a 120 gr\n```\n";
    let found = problems(page);
    let [(6, says)] = found.as_slice() else { panic!("{found:?}") };
    assert!(says.contains("read/unknown-unit"), "{says}");
}

fn based(text: &str) -> String {
    format!("# A\n```toml\nbase = \"plain.trim\"\n```\n```trim\n{text}\n```\n")
}

#[test]
fn a_base_stands_before_the_example_and_its_lines_are_told_apart() {
    assert_eq!(problems(&based(HEAVY)), []);
    let limit = format!("limit 99 g #~ because: \"the limit\"\n{HEAVY}");
    assert_eq!(problems(&based(&limit)), [], "the base's own limit is replaced");
    let other = limit.replace("limit 99", "part wing 99");
    let found = problems(&based(&other));
    let [(6, says)] = found.as_slice() else { panic!("{found:?}") };
    assert!(says.contains("found nothing here"), "{says}");
}

#[test]
fn a_finding_in_the_base_cannot_be_marked_and_says_so() {
    let page = based("part a 90 g").replace("plain", "heavy");
    let page = read("tests/page.md", &page).unwrap();
    let heavy = |_: &str| Some("model m\npart b 120 g\n".to_owned());
    let outcome = run_with(&page, &page.cases[0], &heavy, &scale);
    let [problem] = outcome.problems.as_slice() else { panic!("{outcome:?}") };
    assert_eq!(problem.line, 1);
    assert!(problem.says.contains("at line 2 of heavy.trim"), "{problem}");
    let outcome = run_with(&page, &page.cases[0], &bases, &scale);
    assert!(outcome.problems[0].says.contains("there is no base `heavy.trim`"));
}

#[test]
fn a_snapshot_shows_the_findings_without_marks_and_closing_lines() {
    let page = format!("# A\n```trim\n{HEAVY}\n```\n```snapshot\n```\n");
    let outcome = outcome(&page);
    let rewritten = outcome.rewritten.unwrap();
    assert!(rewritten.contains("error[mass/too-heavy]: weighs 120 g, 20 g too much\n"));
    assert!(rewritten.contains("page.trim:1:8"), "{rewritten}");
    assert_eq!(rewritten.matches("#~").count(), 1);
    assert!(!rewritten.contains("in 1 file"), "{rewritten}");
    assert_eq!(problems(&rewritten), []);
}

#[test]
fn a_snapshot_that_differs_shows_the_lines_that_do_and_can_be_accepted() {
    let page = format!("# A\n```trim\n{HEAVY}\n```\n```snapshot\n```\n");
    let right = outcome(&page).rewritten.unwrap();
    let wrong = right.replace("remedy: plane", "remedy: sand");
    let outcome = outcome(&wrong);
    let [problem] = outcome.problems.as_slice() else { panic!("{outcome:?}") };
    assert_eq!(problem.line, 5);
    assert!(problem.says.contains("- "), "{problem}");
    assert!(problem.says.contains("remedy: sand it down"), "{problem}");
    assert!(problem.says.contains("remedy: plane it down"), "{problem}");
    assert!(!problem.says.contains("page.trim:1:8"), "{problem}");
    assert_eq!(outcome.rewritten.as_ref(), Some(&right));
}

#[test]
fn a_fixed_block_holds_the_spec_after_its_safe_edits_only() {
    let text = "part a 120 gr #~ error: [mass/too-heavy] #~ warning: [read/unknown-unit]";
    let page = format!("# A\n```trim\n{text}\n```\n```fixed\npart a 120 g\n```\n");
    assert_eq!(problems(&page), []);
    let found = problems(&page.replace("part a 120 g\n", "part a 100 g\n"));
    assert!(found[0].1.contains("- part a 100 g\n    + part a 120 g"), "{found:?}");
}

#[test]
fn a_remedied_block_holds_the_spec_after_the_remedy_it_names() {
    for name in ["1", "plane it", "\"plane it\""] {
        let block = format!("```remedied {name}\npart a 100 g\n```\n");
        assert_eq!(problems(&format!("# A\n```trim\n{HEAVY}\n```\n{block}")), []);
    }
    let page = format!("# A\n```trim\n{HEAVY}\n```\n```remedied 2\n```\n");
    let found = problems(&page);
    assert!(found[0].1.contains("a remedy number 2"), "{found:?}");
    assert!(found[0].1.contains("1 plane it down to 100 g"), "{found:?}");
}

#[test]
fn of_a_base_only_entries_that_changed_are_shown() {
    let base = |_: &str| Some("model m\npart b 120 g\npart c 1 g\n".to_owned());
    let block = "```remedied 1\npart b 100 g\npart a 90 g\n```\n";
    let page = read("page.md", &format!("{}{block}", based("part a 90 g"))).unwrap();
    let outcome = run_with(&page, &page.cases[0], &base, &scale);
    assert_eq!(outcome.rewritten, None, "{outcome:?}");
}

#[test]
fn a_remedy_that_does_not_clear_its_finding_fails() {
    let found = spec("part a mulish 120 g #~ error: [mass/too-heavy]");
    let [(1, says)] = found.as_slice() else { panic!("{found:?}") };
    assert!(says.contains("promises \"plane it down to 100 g\""), "{says}");
    assert!(says.contains("the rule still finds: weighs 120 g"), "{says}");
}

#[test]
fn a_remedy_that_brings_something_worse_fails() {
    let found = spec("part a brittle 120 g #~ error: [mass/too-heavy]");
    let [(1, says)] = found.as_slice() else { panic!("{found:?}") };
    assert!(says.contains("with it comes stop[mass/cracked]: a crack"), "{says}");
}

#[test]
fn remedies_are_tried_without_the_marks_and_for_rules_that_do_not_count_otherwise() {
    let text = "# A\n```toml\nonly = []\n```\n```trim\npart a brittle 120 g\n```\n";
    let page = read("a.md", text).unwrap();
    let case = page.cases.first().unwrap();
    assert_eq!(run_with(&page, case, &|_| None, &scale).problems, []);
    let found =
        promises_with(&at_stage(case, Stage::Bench), &|_| None, &|files, settings| {
            assert_eq!(settings.stage.as_deref(), Some("bench"));
            scale(files, settings)
        });
    let found = found.unwrap();
    let [problem] = found.as_slice() else { panic!("{found:?}") };
    assert!(problem.says.contains("with it comes stop[mass/cracked]"), "{problem}");
}

#[test]
fn a_test_of_console_blocks_alone_is_left_to_whoever_has_the_program() {
    let outcome = outcome("# A\n```console\n$ trimsheet\n```\n");
    assert_eq!(outcome, Outcome { problems: vec![], rewritten: None });
}
