use super::*;
use crate::Claim;

const TWO: &str = "\
# Balance

```toml
stage = \"ready\"
```

## Behind

```trim
#~ because: \"limit\"
wing [plan]
```

More prose.

```trim
loadout ferry   #~ stop: [balance/outside-band] \"161 mm\"
```

```trim shelf.trim
part servo
```

## Inside

```toml
stage = \"bench\"
```

```trim
loadout ferry
```
";

fn problems(text: &str) -> Vec<(usize, String)> {
    let problems = read("tests/page.md", text).unwrap_err();
    problems.into_iter().map(|problem| (problem.line, problem.says)).collect()
}

#[test]
fn each_heading_with_blocks_is_a_test_named_by_its_headings() {
    let page = read("rules/core/balance/outside-band.md", TWO).unwrap();
    let names: Vec<(&str, usize)> =
        page.cases.iter().map(|case| (case.name.as_str(), case.line)).collect();
    assert_eq!(names, [("Balance / Behind", 7), ("Balance / Inside", 24)]);
}

#[test]
fn blocks_under_one_heading_join_into_a_file_named_after_the_page() {
    let page = read("rules/core/balance/outside-band.md", TWO).unwrap();
    let [own, shelf] = page.cases[0].files.as_slice() else { panic!() };
    assert_eq!(
        (own.name.as_str(), shelf.name.as_str()),
        ("outside-band.trim", "shelf.trim")
    );
    let lines: Vec<(&str, usize)> =
        own.lines.iter().map(|line| (line.text.as_str(), line.line)).collect();
    assert_eq!(lines, [("wing [plan]", 11), ("loadout ferry", 17)]);
}

#[test]
fn a_mark_is_about_its_own_line_or_the_next() {
    let page = read("rules/core/balance/outside-band.md", TWO).unwrap();
    let places: Vec<(usize, usize)> =
        page.cases[0].files[0].marks.iter().map(|mark| (mark.at, mark.line)).collect();
    assert_eq!(places, [(0, 10), (1, 17)]);
}

#[test]
fn marks_in_a_script_are_comments_of_its_language() {
    let page = "# A\n```rhai rules/club/a/b.rhai\nlet x = ; //~ error: [a/b]\n```\n\
                ```trim\nx\n```\n";
    let page = read("page.md", page).unwrap();
    let file = &page.cases[0].files[1];
    assert_eq!(file.lines[0].text, "let x = ;");
    assert!(matches!(file.marks[0].claim, Claim::Finding { .. }));
}

#[test]
fn settings_hold_for_the_headings_below_and_not_beside() {
    let page = read("tests/page.md", TWO).unwrap();
    let stages: Vec<Option<&str>> =
        page.cases.iter().map(|case| case.settings.stage.as_deref()).collect();
    assert_eq!(stages, [Some("ready"), Some("bench")]);
}

#[test]
fn a_rules_page_counts_only_its_own_rule_unless_it_says_otherwise() {
    let page = read("rules/core/balance/outside-band.md", TWO).unwrap();
    let only = page.cases[0].settings.only.clone().unwrap();
    assert_eq!(only, ["balance/outside-band"]);
    assert_eq!(read("tests/page.md", TWO).unwrap().cases[0].settings.only, None);
    let wider = TWO.replace("stage = \"ready\"", "only = [\"balance/*\"]");
    let page = read("rules/core/balance/outside-band.md", &wider).unwrap();
    assert_eq!(page.cases[0].settings.only.clone().unwrap(), ["balance/*"]);
}

#[test]
fn a_heading_that_is_both_a_test_and_a_group_is_refused() {
    let found = problems("# A\n```trim\nx\n```\n## B\n```trim\ny\n```\n");
    let [(1, says)] = found.as_slice() else { panic!("{found:?}") };
    assert!(says.contains("a test below it, at line 5"), "{says}");
}

#[test]
fn prose_below_a_test_does_not_make_it_a_group() {
    assert!(read("a.md", "# A\n```trim\nx\n```\n## Notes\n\nProse.\n").is_ok());
}

#[test]
fn two_tests_of_one_name_are_refused() {
    let found = problems("# A\n```trim\nx\n```\n# A\n```trim\ny\n```\n");
    assert_eq!(found, [(5, "a test of this name stands at line 1 already".into())]);
}

#[test]
fn a_block_without_a_heading_or_without_a_spec_is_refused() {
    let found = problems("```trim\nx\n```\n# A\n```snapshot\n```\n");
    let lines: Vec<usize> = found.iter().map(|(line, _)| *line).collect();
    assert_eq!(lines, [1, 4], "{found:?}");
}

#[test]
fn a_block_with_a_slip_in_its_name_is_refused_rather_than_passed_over() {
    let found = problems("# A\n```trim\nx\n```\n```snapshoot\n```\n```remedied\n```\n");
    let [(5, first), (7, second)] = found.as_slice() else { panic!("{found:?}") };
    assert!(first.contains("`snapshoot`") && second.contains("`remedied`"));
}

#[test]
fn a_mark_that_says_nothing_and_settings_that_cannot_be_read_name_their_lines() {
    let found = problems(
        "# A\n```toml\nstrict = true\nstage = 3\n```\n```trim\nx #~ stopp\n```\n",
    );
    let lines: Vec<usize> = found.iter().map(|(line, _)| *line).collect();
    assert_eq!(lines, [4, 7], "{found:?}");
}

#[test]
fn a_console_block_is_commands_and_what_each_prints() {
    let page = "# A\n```console\n$ trimsheet check a.trim\none\n\n$ trimsheet\n```\n";
    let page = read("a.md", page).unwrap();
    let steps = &page.cases[0].consoles[0].steps;
    assert_eq!(steps[0].command, "trimsheet check a.trim");
    assert_eq!((steps[0].line, steps[0].expected.as_str()), (3, "one\n\n"));
    assert_eq!((steps[1].line, steps[1].expected.as_str()), (6, ""));
    assert!(problems("# A\n```console\none\n```\n")[0].1.contains("`$ `"));
}
