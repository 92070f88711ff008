//! Whole outputs: every example in every format, and every remedy of every example.
#![expect(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "these tests read the workspace's own files"
)]

mod cards;
mod exchanged;
mod sheets;

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use trimsheet_output::{Colour, Look, Report, Summary, json, terminal};
use trimsheet_project::model::Stage;
use trimsheet_project::source::{Finding, Level, RuleId, apply};
use trimsheet_project::{Checked, Memory, Settings, check};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// The examples and their shelves, by their path in the workspace.
fn examples() -> Vec<(String, String)> {
    let mut found = Vec::new();
    for folder in ["examples", "examples/shelf"] {
        for entry in fs::read_dir(root().join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "trim") {
                let name = path.file_name().unwrap().to_string_lossy().into_owned();
                found.push((
                    format!("{folder}/{name}"),
                    fs::read_to_string(&path).unwrap(),
                ));
            }
        }
    }
    found.sort();
    found
}

/// The packs of rules beside the examples, the lock that pins them, the photos, and what
/// was signed.
fn rules() -> Vec<(String, String)> {
    let mut found = Vec::new();
    let folders = [
        "examples/rules",
        "examples/rules.lock",
        "examples/photos",
        "examples/yellowhammer.proof",
    ];
    let mut open: Vec<String> = folders.map(str::to_owned).into();
    while let Some(path) = open.pop() {
        let place = root().join(&path);
        if place.is_dir() {
            let inside = fs::read_dir(place).unwrap().map(|entry| {
                format!("{path}/{}", entry.unwrap().file_name().to_string_lossy())
            });
            open.extend(inside);
        } else {
            // Of a photo it counts that it is there.
            let is_text = !path.ends_with(".png");
            let text = is_text.then(|| fs::read_to_string(place).unwrap());
            found.push((path, text.unwrap_or_default()));
        }
    }
    found.sort();
    found
}

fn host(files: &[(String, String)]) -> Memory {
    let all = files.iter().chain(RULES.iter());
    all.fold(Memory::new(), |host, (path, text)| host.with(path, text.clone()))
}

static RULES: LazyLock<Vec<(String, String)>> = LazyLock::new(rules);

/// As on a day after the last record of the examples.
fn settings() -> Settings {
    Settings { today: "2026-11-25".parse().ok(), ..Settings::default() }
}

fn run(files: &[(String, String)], path: &str) -> Checked {
    check(&host(files), &[path.to_owned()], &settings())
}

fn report(checked: &Checked) -> Report<'_> {
    Report {
        sources: &checked.sources,
        findings: &checked.findings,
        cannot_say: &checked.cannot_say,
        waived: &checked.waived,
        figures: &checked.figures,
        judged: &checked.judged,
        rules: &checked.rules,
        troubles: &[],
        summary: Summary {
            stage: None,
            fail_at: Level::Error,
            files: checked.files,
            estimated: checked.estimated,
            unknown: checked.unknown,
            loosened: checked.loosened,
            proved: checked.proved,
        },
    }
}

#[test]
fn every_example_looks_as_it_was_reviewed() {
    let files = examples();
    insta::with_settings!({ snapshot_path => ".", prepend_module_to_snapshot => false }, {
        for (path, _) in &files {
            let checked = run(&files, path);
            let name = path.trim_start_matches("examples/").trim_end_matches(".trim");
            let name = name.replace('/', "-");
            let look = Look { colour: Colour::Plain, width: 90 };
            insta::assert_snapshot!(format!("{name}.text"), terminal(&report(&checked), &look));
            insta::assert_snapshot!(format!("{name}.json"), json(&report(&checked)));
        }
    });
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let files = examples();
    let folder = ["examples".to_owned()];
    let one = check(&host(&files), &folder, &settings());
    let four = check(&host(&files), &folder, &Settings { threads: 4, ..settings() });
    assert_eq!(json(&report(&one)), json(&report(&four)));
}

#[test]
fn a_second_thread_on_one_spec_changes_nothing() {
    let files = examples();
    let host = host(&files);
    for (path, _) in &files {
        let alone = run(&files, path);
        for threads in [2, 5] {
            let settings = Settings { threads, ..settings() };
            let helped = check(&host, std::slice::from_ref(path), &settings);
            assert_eq!(json(&report(&alone)), json(&report(&helped)), "{path}");
        }
    }
}

#[test]
fn every_remedy_with_an_edit_clears_its_finding_and_brings_none_that_is_worse() {
    let files = examples();
    let mut tried = 0;
    let aircraft = files.iter().filter(|(path, _)| !path.contains("/shelf/"));
    for ((path, _), stage) in
        aircraft.flat_map(|one| Stage::ALL.map(|stage| (one, stage)))
    {
        let settings = Settings { stage: Some(stage), ..settings() };
        let judged = |files: &[(String, String)]| {
            check(&host(files), std::slice::from_ref(path), &settings)
        };
        let before = judged(&files);
        for finding in &before.findings {
            for remedy in
                finding.remedies.iter().filter(|remedy| !remedy.edits.is_empty())
            {
                let mut after = files.clone();
                for (name, text) in &mut after {
                    let edits = remedy
                        .edits
                        .iter()
                        .filter(|edit| before.sources.path(edit.span.file) == name);
                    *text = apply(text, &edits.cloned().collect::<Vec<_>>()).unwrap();
                }
                for ((_, old), (_, new)) in files.iter().zip(&after) {
                    for fact in measured(old) {
                        assert!(new.contains(fact), "{} alters `{fact}`", remedy.says);
                    }
                }
                tried += 1;
                let says = format!("{} at the stage {stage}", remedy.says);
                keeps_its_promise(&before, finding, &judged(&after), &says);
            }
        }
    }
    assert!(tried >= 48, "the examples offer {tried} remedies with an edit");
}

/// The facts of a spec that somebody has measured or weighed.
fn measured(text: &str) -> impl Iterator<Item = &str> {
    let facts = text.split(['\n', ';']).map(str::trim);
    facts.filter(|fact| fact.contains("[measured") || fact.contains("[weighed"))
}

/// One finding of the rule less, and no rule has more findings than before above its level;
/// but what could not be read hid what could not be judged without it.
fn keeps_its_promise(before: &Checked, finding: &Finding, after: &Checked, says: &str) {
    let count = |checked: &Checked, rule: &str| {
        checked.findings.iter().filter(|one| one.rule.0 == rule).count()
    };
    let rule = &finding.rule.0;
    assert!(
        count(after, rule) < count(before, rule),
        "{rule} is still there after: {says}"
    );
    for one in &after.findings {
        let is_new = count(after, &one.rule.0) > count(before, &one.rule.0);
        let is_worse = one.level > finding.level;
        let was_hidden = rule.starts_with("read/") && was_silent(before, &one.rule);
        assert!(
            !is_new || !is_worse || was_hidden,
            "{says} brings {}: {}",
            one.rule,
            one.headline
        );
    }
}

/// Whether a rule could not judge something.
fn was_silent(checked: &Checked, rule: &RuleId) -> bool {
    let mut unsaid = checked.cannot_say.iter();
    let mut findings = checked.findings.iter();
    unsaid.any(|one| one.rule == *rule)
        || findings.any(|one| one.rule == *rule && one.headline.starts_with("cannot say"))
}

/// What is aboard of `first-evening` in every loadout: grams and millimetres aft, by hand
/// from its lines, each half of a pair for itself.
const ABOARD: &[(f64, f64)] = &[
    (368.0, 99.0),
    (146.0, 176.0),
    (52.0, 514.0),
    (68.0, -168.0),
    (12.0, -192.0),
    (27.0, 98.0),
    (9.0, 132.0),
    (22.0, 140.0),
    (12.0, 92.0),
    (12.0, 100.0),
    (6.0, -260.0),
];
const CAMERA: (f64, f64) = (96.0, -122.0);

/// The mass in grams and the balance point in millimetres aft, by Σ m x / Σ m.
fn by_hand(pack_at: f64, with_camera: bool) -> (f64, f64) {
    let mut all = ABOARD.to_vec();
    all.push((204.0, pack_at));
    all.extend(with_camera.then_some(CAMERA));
    let mass: f64 = all.iter().map(|(mass, _)| mass).sum();
    (mass, all.iter().map(|(mass, at)| mass * at).sum::<f64>() / mass)
}

#[test]
fn the_flawed_example_is_wrong_by_what_the_hand_computation_says() {
    let checked = run(&examples(), "examples/first-evening.trim");
    let place = |finding: &Finding| checked.sources.place(finding.primary.span).line;
    let found = |rule: &str, about: &str| {
        let mut of_rule =
            checked.findings.iter().filter(|finding| finding.rule.0 == rule);
        of_rule
            .find(|finding| finding.headline.contains(about))
            .unwrap_or_else(|| panic!("{rule} says nothing about {about}"))
    };
    let is_near = |rule: &str, about: &str, line: usize, expected: f64| {
        let finding = found(rule, about);
        let value = finding.primary.value.as_ref().unwrap();
        assert_eq!(place(finding), line, "{rule}");
        assert!(
            (value.value - expected).abs() < 0.01,
            "{rule}: {} for {expected}",
            value.value
        );
    };

    // ferry: (82786 + 204 x 10) / (734 + 204) = 84826 / 938 = 90.43, 8.43 past 82.
    let (_, ferry) = by_hand(10.0, false);
    assert!((ferry - 90.43).abs() < 0.01);
    is_near("balance/outside-band", "ferry", 102, ferry);
    // survey: 734 + 96 + 204 = 1034 g against 1025 g.
    let (survey, _) = by_hand(10.0, true);
    is_near("mass/over-limit", "survey", 100, survey);
    // practice, pack 45 ahead with the camera: 61894 / 1034 = 59.86, 6.14 ahead of 66;
    // pack 20 aft without it: 86866 / 938 = 92.61, 10.61 past 82.
    let (_, foremost) = by_hand(-45.0, true);
    let (_, aftmost) = by_hand(20.0, false);
    is_near("balance/loadout-corner", "practice", 105, aftmost);
    let ahead = format!("{:.0} mm ahead of the forward limit", 66.0 - foremost);
    let corner = found("balance/loadout-corner", "practice");
    assert!(
        corner.because.iter().any(|label| label.text.contains(&ahead)),
        "{corner:#?}"
    );
    // The wing: (240 + 170) / 2 x 650 x 2 = 266500 mm2, and 2/3 (240² + 240 x 170 + 170²) / 410.
    let area = (240.0 + 170.0) / 2.0 * 650.0 * 2.0 / 1e4;
    assert!(
        found("geometry/area-disagrees", "").headline.contains(&format!("{area:.2}"))
    );
    let chord = 2.0 / 3.0 * (240.0 * 240.0 + 240.0 * 170.0 + 170.0 * 170.0) / 410.0;
    let said = &found("geometry/mean-chord-disagrees", "").headline;
    assert!(said.contains(&format!("{chord:.0} mm")), "{said}");
    // controller 98 ± 23 and receiver 132 ± 19: 121 - 113 = 8 mm.
    is_near("geometry/parts-collide-in-bay", "", 72, 8.0);
}

#[test]
fn the_good_examples_have_nothing_at_or_above_error() {
    for name in ["whinchat", "yellowhammer", "lapwing"] {
        let checked = run(&examples(), &format!("examples/{name}.trim"));
        let serious = checked.findings.iter().filter(|one| one.level >= Level::Error);
        let serious: Vec<&Finding> = serious.collect();
        assert!(serious.is_empty(), "{serious:#?}");
        assert!(!checked.findings.is_empty(), "{name} has nothing left to do");
    }
}

#[test]
fn every_loadout_of_the_whinchat_has_a_balance() {
    let checked = run(&examples(), "examples/whinchat.trim");
    // Nothing that both loadouts need is missing: each has a balance.
    let silent: Vec<&str> =
        checked.cannot_say.iter().map(|one| one.rule.0.as_str()).collect();
    assert!(!silent.iter().any(|rule| rule.starts_with("balance/")), "{silent:?}");
}

/// Lines that mean nothing, in column 1 and indented.
const JUNK: &[&str] = &[
    "@@@ ???",
    "zzyzx qq",
    "    zzyzx 4",
    "    !!",
    "9999",
    "    % % %",
    "qwxz: blorp 3; vvv",
    "    xyzzy \"abc\"",
    "\"",
    "    [",
    "->",
    "    12..13 qx",
    "::",
    "    5 mm aft",
    ";;x",
];

/// Where each line of a spec with junk in it stood before; junk stood nowhere.
fn with_junk(text: &str, seed: u64) -> Vec<(Option<usize>, String)> {
    let numbered = text.lines().enumerate();
    let mut lines: Vec<_> =
        numbered.map(|(at, line)| (Some(at + 1), line.to_owned())).collect();
    let mut state = seed;
    let mut next = |below: usize| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        usize::try_from(state >> 33).unwrap() % below
    };
    for _ in 0..10 {
        let (at, junk) = (next(lines.len()), next(JUNK.len()));
        let line = JUNK.get(junk).copied().unwrap_or("@@");
        lines.insert(at, (None, line.to_owned()));
    }
    lines
}

#[test]
fn ten_junk_lines_add_ten_findings_and_change_no_other() {
    let files = examples();
    for name in ["whinchat", "yellowhammer", "lapwing", "first-evening"] {
        let path = &format!("examples/{name}.trim");
        let (_, text) = files.iter().find(|(name, _)| name == path).unwrap();
        let own = said(&run(&files, path), path, Some);
        for seed in 0..8 {
            let lines = with_junk(text, seed);
            let joined: String =
                lines.iter().map(|(_, line)| format!("{line}\n")).collect();
            let mut changed = files.clone();
            changed.retain(|(name, _)| name != path);
            changed.push((path.to_owned(), joined));
            let checked = run(&changed, path);
            let before =
                |line: usize| lines.get(line - 1).and_then(|(before, _)| *before);
            assert_eq!(said(&checked, path, before), own, "{path}, seed {seed}");
            let on_junk = checked.findings.iter().filter(|finding| {
                before(checked.sources.place(finding.primary.span).line).is_none()
            });
            assert_eq!(on_junk.count(), 10, "{path}, seed {seed}");
        }
    }
}

/// What is said about a spec, by the lines as they were counted before.
///
/// A fact that is said again behind a line that means nothing may belong to what that line
/// was meant to open, so that one is not called a contradiction.
fn said(
    checked: &Checked,
    path: &str,
    before: impl Fn(usize) -> Option<usize>,
) -> Vec<(usize, String)> {
    let findings = checked.findings.iter().filter(|finding| {
        checked.sources.path(finding.primary.span.file) == path
            && finding.rule.0 != "doc/conflicting-values"
    });
    let mut said: Vec<(usize, String)> = findings
        .filter_map(|finding| {
            let line = before(checked.sources.place(finding.primary.span).line)?;
            Some((line, format!("{}: {}", finding.rule, finding.headline)))
        })
        .collect();
    said.sort();
    said
}
