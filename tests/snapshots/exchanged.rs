//! The forms that others have agreed on, held against what those say of them.

use serde_json::Value;
use trimsheet_output::{Report, annotations, junit, lines, sarif};
use trimsheet_project::source::{Finding, Level, apply};
use trimsheet_project::{Checked, Memory, Settings, check};

use super::{examples, host, report, root, run, settings};

/// SARIF 2.1.0, as OASIS publishes its schema: see `tests/schemas/README.md`.
fn schema() -> jsonschema::Validator {
    let path = root().join("tests/schemas/sarif-schema-2.1.0.json");
    let text = std::fs::read_to_string(path).unwrap();
    // One pattern, of a key that we do not write, has a bracket that strict readers of
    // patterns want to have escaped.
    let text = text.replace("{2}]?$", r"{2}\\]?$");
    let schema: Value = serde_json::from_str(&text).unwrap();
    jsonschema::options().should_validate_formats(true).build(&schema).unwrap()
}

/// What the schema has against a document.
fn faults(schema: &jsonschema::Validator, document: &Value) -> Vec<String> {
    let errors = schema.iter_errors(document);
    errors.map(|error| format!("{}: {error}", error.instance_path())).collect()
}

fn written(checked: &Checked) -> Value {
    let troubles = checked.troubles.iter();
    let troubles: Vec<(String, String)> =
        troubles.map(|(path, trouble)| (path.clone(), trouble.to_string())).collect();
    let report = Report { troubles: &troubles, ..report(checked) };
    serde_json::from_str(&sarif(&report)).unwrap()
}

/// Every object of a key, anywhere in a document.
fn of_key<'a>(document: &'a Value, key: &str, found: &mut Vec<&'a Value>) {
    let inside: Vec<&Value> = match document {
        Value::Object(all) => {
            found.extend(all.get(key));
            all.values().collect()
        }
        Value::Array(all) => all.iter().collect(),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => Vec::new(),
    };
    inside.into_iter().for_each(|one| of_key(one, key, found));
}

fn results(document: &Value) -> &Vec<Value> {
    document.pointer("/runs/0/results").unwrap().as_array().unwrap()
}

/// A spec with letters of two bytes and of four, letters that are put together, lines that
/// end as some editors end them, a file name that is no address, and faults on each.
const ODD: &str = "\u{feff}model e\u{301}🛩x\r\n    colour \"🛩\u{1}\u{202e}\" @\r\n\
    part µ-🛩: kind structure; mass 40 mm [weighed]; at 3 mm\r\n\
    # 🛩🛩🛩\r\npart 2nd; mass 3\r\nset balance/nothing x 3 mm\r\n";

const ODD_PATH: &str = "ol' größe/50 % #1?.trim";

fn odd() -> Checked {
    let host = Memory::new().with(ODD_PATH, ODD);
    check(&host, &[ODD_PATH.to_owned(), "not-there.trim".to_owned()], &settings())
}

#[test]
fn sarif_of_every_example_and_of_odd_letters_is_as_the_standard_says() {
    let schema = schema();
    let files = examples();
    let mut all: Vec<(String, Checked)> =
        files.iter().map(|(path, _)| (path.clone(), run(&files, path))).collect();
    let folder = check(&host(&files), &["examples".to_owned()], &settings());
    all.push(("examples".into(), folder));
    all.push((ODD_PATH.into(), odd()));
    for (path, checked) in &all {
        let document = written(checked);
        let faults = faults(&schema, &document);
        assert!(faults.is_empty(), "{path}: {faults:#?}");
        let count = checked.findings.len() + checked.waived.len();
        assert_eq!(results(&document).len(), count + checked.cannot_say.len(), "{path}");
        // What a schema cannot say: a rule is named by its place, and fingerprints differ.
        let rules = document.pointer("/runs/0/tool/driver/rules").unwrap();
        let mut known = std::collections::BTreeSet::new();
        for result in results(&document) {
            let index = usize::try_from(result["ruleIndex"].as_u64().unwrap()).unwrap();
            assert_eq!(rules[index]["id"], result["ruleId"]);
            assert!(rules[index]["help"]["text"].is_string(), "{result:#}");
            let kind = result["kind"].as_str().unwrap();
            assert_eq!(kind == "open", result["level"] == "none");
            let print = result.pointer("/partialFingerprints/entryAndFact~1v1").unwrap();
            assert!(known.insert((kind, print.as_str().unwrap())), "{print} twice");
        }
    }
}

#[test]
fn the_schema_refuses_what_the_standard_does_not_know() {
    let schema = schema();
    let files = examples();
    let good = written(&run(&files, "examples/first-evening.trim"));
    for (pointer, wrong) in [
        ("/runs/0/results/0/level", Value::from("stop")),
        ("/runs/0/results/0/kind", Value::from("unknown")),
        ("/runs/0/columnKind", Value::from("bytes")),
        ("/runs/0/results/0/message", Value::from("a text alone")),
        ("/runs/0/tool/driver/name", Value::Null),
        ("/version", Value::from("2.2")),
    ] {
        let mut document = good.clone();
        *document.pointer_mut(pointer).unwrap() = wrong;
        assert!(!faults(&schema, &document).is_empty(), "{pointer}");
    }
    let mut document = good.clone();
    let run = document.pointer_mut("/runs/0").unwrap().as_object_mut().unwrap();
    run.insert("verdict".into(), Value::from("fine"));
    assert!(!faults(&schema, &document).is_empty(), "a key of our own");
}

/// What a reader of the standard finds at a region: lines end at a line break, columns
/// count code points, and a byte order mark is no part of the text.
fn at<'a>(text: &'a str, region: &Value) -> &'a str {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let place = |line: &str, column: &str| {
        let number = |key: &str| usize::try_from(region[key].as_u64().unwrap()).unwrap();
        let lines = text.split_inclusive('\n').take(number(line) - 1);
        let start = lines.map(str::len).sum::<usize>();
        let rest = text.get(start..).unwrap();
        let letters = rest.char_indices().map(|(at, _)| at).chain([rest.len()]);
        start + letters.skip(number(column) - 1).take(1).next().unwrap()
    };
    let (start, end) = (place("startLine", "startColumn"), place("endLine", "endColumn"));
    text.get(start..end).unwrap()
}

#[test]
fn regions_of_odd_letters_lie_where_the_findings_do() {
    let checked = odd();
    let document = written(&checked);
    let mut seen = 0;
    for (finding, result) in checked.findings.iter().zip(results(&document)) {
        let place = result.pointer("/locations/0/physicalLocation").unwrap();
        let region = &place["region"];
        let text = checked.sources.text(finding.primary.span);
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        assert_eq!(at(ODD, region), text, "{result:#}");
        assert_eq!(
            place["artifactLocation"]["uri"],
            "ol%27%20gr%C3%B6%C3%9Fe/50%20%25%20%231%3F.trim"
        );
        seen += 1;
    }
    assert!(seen >= 6, "{seen} findings");
    let troubles = document.pointer("/runs/0/invocations/0/toolExecutionNotifications/0");
    assert_eq!(
        troubles.unwrap().pointer("/message/text").unwrap(),
        "cannot check not-there.trim: there is no such file or folder"
    );
    let successful = document.pointer("/runs/0/invocations/0/executionSuccessful");
    assert_eq!(successful, Some(&Value::Bool(false)));
}

#[test]
fn a_fix_of_sarif_is_the_edit_of_the_remedy() {
    let files = examples();
    let path = "examples/first-evening.trim";
    let (_, text) = files.iter().find(|(name, _)| name == path).unwrap();
    let checked = run(&files, path);
    let document = written(&checked);
    let mut tried = 0;
    for (finding, result) in checked.findings.iter().zip(results(&document)) {
        let remedies = finding.remedies.iter().filter(|one| !one.edits.is_empty());
        for (remedy, fix) in
            remedies.zip(result["fixes"].as_array().into_iter().flatten())
        {
            let mut replacements = Vec::new();
            of_key(fix, "replacements", &mut replacements);
            // From the last to the first, as a reader would make them.
            let mut edited = text.clone();
            let mut all: Vec<&Value> =
                replacements.iter().flat_map(|one| one.as_array().unwrap()).collect();
            let line = |one: &Value, key: &str| one["deletedRegion"][key].as_u64();
            all.sort_by_key(|one| (line(one, "startLine"), line(one, "startColumn")));
            for one in all.into_iter().rev() {
                let gone = at(text, &one["deletedRegion"]);
                let start = gone.as_ptr().addr() - text.as_ptr().addr();
                let new = one["insertedContent"]["text"].as_str().unwrap();
                edited.replace_range(start..start + gone.len(), new);
            }
            assert_eq!(Ok(edited), apply(text, &remedy.edits), "{}", remedy.says);
            tried += 1;
        }
    }
    assert!(tried >= 5, "{tried} fixes");
}

#[test]
fn a_finding_keeps_its_fingerprint_when_lines_and_numbers_change() {
    let files = examples();
    let path = "examples/first-evening.trim";
    let prints = |files: &[(String, String)]| -> Vec<String> {
        let document = written(&run(files, path));
        let mut all = Vec::new();
        of_key(&document, "entryAndFact/v1", &mut all);
        all.iter().map(ToString::to_string).collect()
    };
    let mut moved = files.clone();
    for (_, text) in moved.iter_mut().filter(|(name, _)| name == path) {
        *text = format!("# one line more\n\n{text}").replace("29.3 dm2", "29.4 dm2");
    }
    assert_eq!(prints(&files), prints(&moved));
}

#[test]
fn what_is_waived_is_in_sarif_as_suppressed_with_its_reason() {
    let text = "model x\n    stage balanced\npart shell: kind structure; mass 40 g\n\
        waive mass/small-stuff-forgotten on x\n    because \"nothing to weigh yet\"\n    \
        by KV until 2026-12-24\n";
    let host = Memory::new().with("x.trim", text);
    let checked = check(&host, &["x.trim".to_owned()], &settings());
    assert_eq!(checked.waived.len(), 1, "{:#?}", checked.findings);
    let document = written(&checked);
    let is_waived = |one: &&Value| one["ruleId"] == "mass/small-stuff-forgotten";
    let result = results(&document).iter().find(is_waived).unwrap();
    let suppression = result.pointer("/suppressions/0").unwrap();
    assert_eq!(suppression["kind"], "inSource");
    assert_eq!(suppression["status"], "accepted");
    assert_eq!(
        suppression["justification"],
        "\"nothing to weigh yet\", says KV until 2026-12-24"
    );
    assert!(junit(&report(&checked)).contains("waived: x.trim:1:1: "));
}

/// The suites of a report: each with its cases, by name, as "passed", "failure", …
fn suites(text: &str) -> Vec<(String, Vec<(String, String)>)> {
    let document = roxmltree::Document::parse(text).unwrap();
    let of = |node: roxmltree::Node<'_, '_>, name: &str| {
        node.attribute(name).unwrap().to_owned()
    };
    let suites = document.root_element().children().filter(roxmltree::Node::is_element);
    suites
        .map(|suite| {
            let cases = suite.children().filter(|node| node.has_tag_name("testcase"));
            let cases: Vec<(String, String)> = cases
                .map(|case| {
                    let ends = ["failure", "error", "skipped"];
                    let mut inside = case.children().map(|node| node.tag_name().name());
                    let end = inside.find(|name| ends.contains(name)).unwrap_or("passed");
                    (of(case, "name"), end.to_owned())
                })
                .collect();
            for (attribute, end) in
                [("failures", "failure"), ("errors", "error"), ("skipped", "skipped")]
            {
                let count = cases.iter().filter(|(_, one)| one == end).count();
                assert_eq!(of(suite, attribute), count.to_string());
            }
            assert_eq!(of(suite, "tests"), cases.len().to_string());
            (of(suite, "name"), cases)
        })
        .collect()
}

#[test]
fn a_case_of_junit_passes_only_where_its_rule_ran_and_said_nothing_serious() {
    let files = examples();
    let checked = check(&host(&files), &["examples".to_owned()], &settings());
    let text = junit(&report(&checked));
    let suites = suites(&text);
    let specs: Vec<&str> = suites.iter().map(|(name, _)| name.as_str()).collect();
    let paths: Vec<&str> = files.iter().map(|(path, _)| path.as_str()).collect();
    assert_eq!(specs, paths, "a suite for each spec");
    for (spec, cases) in &suites {
        let alone = run(&files, spec);
        let serious = |rule: &str| {
            let mut found = alone.findings.iter().filter(|one| one.rule.0 == rule);
            found.any(|one| one.level >= Level::Error)
        };
        let silent = |rule: &str| alone.cannot_say.iter().any(|one| one.rule.0 == rule);
        for (rule, end) in cases {
            let expected = match (serious(rule), silent(rule)) {
                (true, _) => "failure",
                (false, true) => "skipped",
                (false, false) => "passed",
            };
            assert_eq!(end, expected, "{rule} over {spec}");
        }
        let named = |rule: &str| cases.iter().any(|(name, _)| name == rule);
        assert!(alone.findings.iter().all(|one| named(&one.rule.0)), "{spec}");
        assert!(alone.cannot_say.iter().all(|one| named(&one.rule.0)), "{spec}");
    }
    let (_, flawed) = &suites[1];
    assert!(flawed.iter().any(|(_, end)| end == "passed"), "{flawed:?}");
}

#[test]
fn a_fault_in_a_shared_file_fails_in_the_suite_of_every_spec_that_includes_it() {
    let shelf = "part servo: kind servo; mass 9 g [weighed]; volts 3..2 V [datasheet]\n";
    let spec =
        "include \"shelf.trim\"\npart a like shelf.servo: at 3 mm aft [measured]\n";
    let host = Memory::new()
        .with("shelf.trim", format!("{shelf}    mass 3 mm\n"))
        .with("a.trim", spec)
        .with("b.trim", spec)
        .with("c.trim", "part motor: kind motor; mass 9 g\n");
    let paths = ["a.trim", "b.trim", "c.trim"].map(str::to_owned);
    let checked = check(&host, &paths, &Settings::default());
    let found: Vec<&str> = checked
        .findings
        .iter()
        .filter(|one| checked.sources.path(one.primary.span.file) == "shelf.trim")
        .map(|one| one.rule.0.as_str())
        .collect();
    assert!(!found.is_empty());
    for (spec, cases) in suites(&junit(&report(&checked))) {
        let fails =
            cases.iter().any(|(name, end)| found.contains(&&**name) && end == "failure");
        assert_eq!(fails, spec != "c.trim", "{spec}: {cases:?}");
    }
}

#[test]
fn odd_letters_stay_within_a_line_and_within_xml() {
    let checked = odd();
    assert_eq!(suites(&junit(&report(&checked))).len(), 1);
    for line in annotations(&report(&checked)).lines() {
        let is_plain = line.chars().all(|letter| !letter.is_control());
        assert!(is_plain && !line.contains('\u{202e}'), "{line:?}");
    }
    let findings = checked.findings.len();
    assert!(lines(&report(&checked)).lines().count() >= findings);
}

/// A spec with a finding that has an edit, one that is waived, and a loadout of which
/// nothing can be said.
const LINNET: &str = "\
model linnet
    stage   bench
datum
    origin  wing root leading-edge
    level   chord-line
wing [plan]
    layout  tailless pusher
    rib     0 mm out    chord 280 mm  leading-edge 0 mm aft
    rib     640 mm out  chord 190 mm  leading-edge 232 mm aft
    band    138..147 mm aft  best 142 mm aft
bay tray [plan]: reach 0..170 mm aft
part shell:  kind structure;         mass 512 g [weighed]; at 169 mm aft [measured]
part motor:  kind motor;             mass 74 g [weighed];  at 305 mm aft [measured]
part board:  kind flight-controller; mass 21 g [weighed];  at 96 mm aft [measured]
pack main:   mass 318 g [weighed]; slides 25..90 mm aft inside tray [measured]
pack spare:  mass ?;               slides 25..90 mm aft inside tray [measured]
loadout meadow: fits main at 86 mm aft [plan]
loadout moor:   fits spare at 40 mm aft [plan]
waive mass/small-stuff-forgotten on linnet
    because  \"the wiring was weighed with the shell\"
    by       KV until 2026-12-01
";

/// SARIF with no more of a page than its heading.
fn without_pages(text: &str) -> String {
    let lines = text.lines().map(|line| match line.split_once(r"\n\n## ") {
        Some((heading, _)) => format!("{heading} …\n"),
        None => format!("{line}\n"),
    });
    lines.collect()
}

/// `JUnit` without the cases that pass, of which there is one for nearly every rule.
fn without_passes(text: &str) -> String {
    let is_pass = |line: &&str| line.contains("<testcase ") && line.ends_with("/>");
    text.lines().filter(|line| !is_pass(line)).map(|line| format!("{line}\n")).collect()
}

#[test]
fn the_agreed_forms_look_as_they_were_reviewed() {
    let flawed = run(&examples(), "examples/first-evening.trim");
    let host = Memory::new().with("linnet.trim", LINNET);
    let linnet = check(&host, &["linnet.trim".to_owned()], &settings());
    let [linnet, flawed] = [report(&linnet), report(&flawed)];
    insta::with_settings!({ snapshot_path => ".", prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("first-evening.lines", lines(&flawed));
        insta::assert_snapshot!("first-evening.annotations", annotations(&flawed));
        insta::assert_snapshot!("linnet.junit", without_passes(&junit(&linnet)));
        // One of each kind of result.
        let is_shown = |one: &&Finding| one.rule.0 == "balance/outside-band";
        let findings: Vec<Finding> = linnet.findings.iter().filter(is_shown).cloned().collect();
        let (first, _) = linnet.cannot_say.split_at(1);
        let some = Report { findings: &findings, cannot_say: first, ..linnet };
        insta::assert_snapshot!("linnet.sarif", without_pages(&sarif(&some)));
    });
}
