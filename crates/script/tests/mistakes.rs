//! Mistakes of a script are found as it is loaded, each at its own place.

#[path = "helpers/running.rs"]
mod running;

use trimsheet_script::load;
use trimsheet_script::rules::source::Sources;
use trimsheet_script::rules::{PackFile, core};

use self::running::{PAGE, loaded, pack, rule, run, said};

/// What loading a rule with this body says, without the rule's name.
fn says(body: &str) -> Vec<String> {
    of_script(&rule(body))
}

fn of_script(text: &str) -> Vec<String> {
    let (loaded, sources) = loaded(&[("a/first", text)]);
    let all = said(&loaded.findings, &sources);
    let start = "the rule club/a/first could not be loaded: ";
    all.iter().map(|one| one.replace(start, "")).collect()
}

/// Loading finds one mistake, and says this of it.
#[track_caller]
fn one(body: &str, expected: &str) {
    let all = says(body);
    assert_eq!(all.len(), 1, "{body}: one finding is wanted: {all:#?}");
    assert!(all.iter().all(|one| one.contains("rules/fault")), "{all:#?}");
    assert!(all.iter().all(|one| one.contains(expected)), "{body}: {all:#?}");
}

#[track_caller]
fn none(body: &str) {
    assert_eq!(says(body), Vec::<String>::new(), "{body}");
}

#[test]
fn every_rule_of_the_core_pack_loads_without_a_finding() {
    let mut sources = Sources::default();
    // A working copy is looked through; the pack as it is shipped relies on this test.
    let mut copy = core();
    copy.files.push(PackFile { path: "NOTES.md".into(), text: "".into() });
    let loaded = load(&[copy], &mut sources);
    assert_eq!(said(&loaded.findings, &sources), Vec::<String>::new());
}

#[test]
fn a_shipped_rule_states_the_same_read_by_its_head_alone_as_read_whole() {
    let mut copy = core();
    copy.files.push(PackFile { path: "NOTES.md".into(), text: "".into() });
    let stated = |pack| {
        let loaded = load(&[pack], &mut Sources::default());
        loaded.rules.into_iter().map(|rule| format!("{rule:?}")).collect::<Vec<_>>()
    };
    let shipped = stated(core());
    assert!(40 < shipped.len());
    assert_eq!(shipped, stated(copy));
}

#[test]
fn a_name_that_nothing_has_is_found_at_its_place() {
    let all = says("if false {\n    let x = build.wing.bnad;\n}");
    assert_eq!(
        all,
        [
            "rules/club/a/first.rhai:7:24: rules/fault: a wing has nothing called `bnad`; the nearest is `band`"
        ]
    );
    one("loadout.balence;", "the nearest is `balance`");
    one("loadout.balance.xx.exact;", "the record has nothing called `xx`");
    one("build.wings[0].ares;", "the nearest is `area`");
    one("build.wing.band.aftt;", "the nearest is `aft`");
    one("build.wing.band.bset;", "the nearest is `best`");
    one("build.wing.layout.propellor == \"pusher\";", "the nearest is `propeller`");
    one("build.wing.ribs[0].chrod;", "the nearest is `chord`");
    one("for part in loadout.aboard { part.mas; }", "the nearest is `mass`");
    one("build.loadots;", "the nearest is `loadouts`");
    one("if build.has(\"wng\") { }", "the nearest is `wing`");
    one("build[\"wng\"];", "the nearest is `wing`");
    one("loadout.mass.source;", "a mass has nothing called `source`");
    one("loadout.packs.mass;", "a list has nothing called `mass`");
    one("finding(loadout, `${loadout.nmae}`);", "the nearest is `name`");
    one("loadout.has_most(\"mas\");", "the nearest is `mass`");
    one("loadout.crowding(2.mm)[0].is_wal;", "the nearest is `is_wall`");
}

#[test]
fn what_is_right_for_one_of_several_entries_is_no_mistake() {
    let text = "//! A test.\nconst ABOUT = [\"part\", \"bay\"];\nconst LEVEL = #{ planned: \"error\" };\n\
        fn check(it, build, set) { if it.word == \"part\" { it.is_held; it.kind; } else { it.width; } WRONG }";
    assert_eq!(of_script(&text.replace("WRONG", "")), Vec::<String>::new());
    let all = of_script(&text.replace("WRONG", "it.kidn;"));
    assert!(all.len() == 1 && all[0].contains("nearest is `kind`"), "{all:#?}");
}

#[test]
fn a_parameter_that_is_not_in_set_is_found() {
    one("set.spar;", "no parameter called `spar` in SET; the nearest is `spare`");
    one("set[\"spar\"];", "the nearest is `spare`");
    one("help(set);\n}\nfn help(given) { given.spar;", "the nearest is `spare`");
}

#[test]
fn a_function_that_does_not_exist_or_takes_something_else_is_found() {
    one(
        "fnding(loadout, \"x\");",
        "no function is called `fnding`; the nearest is `finding`",
    );
    one("finding(loadout);", "`finding` takes 2 values in its brackets, found 1");
    one("finding(loadout, \"x\").lable(\"y\");", "the nearest is `label`");
    one(
        "finding(loadout, \"x\").because(loadout);",
        "takes 2 values in its brackets, found 1",
    );
    one("help(1);\n}\nfn help(a, b) {", "`help` takes 2 values in its brackets, found 1");
    one("finding(loadout, loadout.mass);", "wants a text, found a mass");
    one("finding(\"x\", loadout);", "wants a value, an entry or the build");
    one("loadout.mass.label(\"x\");", "wants a finding");
    one("build.wing.mass_limit.narrowed(2.mm);", "wants a range, found a mass");
    one("build.wing.ways_into(build.wing.band);", "wants a loadout");
    one("loadout.crowding(2.g);", "wants a length, found a mass");
    one("finding(loadout, \"x\").at_most(\"eror\");", "expected one of note");
}

#[test]
fn unlike_things_are_found_before_they_meet() {
    one(
        "if false { loadout.mass + loadout.balance.x }",
        "a mass and a length cannot be added",
    );
    one("loadout.mass - 4;", "the number 4 cannot be taken from a mass");
    one("loadout.mass - \"4 g\";", "cannot be taken from");
    one("loadout.mass < loadout.balance.x;", "a mass cannot be compared with a length");
    one("loadout.mass == 4;", "a mass cannot be compared with the number 4");
    one("loadout.mass.surely_above(3.mm);", "a mass cannot be compared with a length");
    one("build.wing.band > 3.mm;", "a range cannot be compared with a length");
    one("build.wing.band - 3.mm;", "expected a number with its unit, found a range");
    one("loadout.mass * loadout.mass > loadout.mass;", "cannot be compared with a mass");
    one(
        "loadout.mass / build.wing.planform.area > 3.g;",
        "a mass per area cannot be compared",
    );
    one("set.spare > loadout.mass;", "a length cannot be compared with a mass");
    one("2 / loadout.mass;", "the number 2 cannot be divided by a mass");
    one("if loadout.mass { }", "expected yes or no, found a mass");
    one("if loadout.is_open && loadout.mass { }", "expected yes or no, found a mass");
    one("for x in loadout.mass { }", "expected a list, found a mass");
    one("loadout.name < \"a\";", "words cannot be compared with the text \"a\"");
}

#[test]
fn a_word_that_something_never_is_gets_the_nearest() {
    one(
        "build.wing.layout == \"tailess\";",
        "it is never \"tailess\"; the nearest is `tailless`",
    );
    one("\"hnad\" != build.model.launch;", "the nearest is `hand`");
    one("build.stage == \"bnech\";", "the nearest is `bench`");
    one(
        "build.of_kind(\"moter\");",
        "no kind of part is called `moter`; the nearest is `motor`",
    );
    one("build.parts[0].word == \"prat\";", "the nearest is `part`");
    one("build.wing.band.source == \"paln\";", "the nearest is `plan`");
    one("for value in build.values { value.fact == \"mas\" }", "the nearest is `mass`");
}

#[test]
fn a_unit_that_does_not_exist_is_found() {
    one("loadout.mass > 12.mn;", "no unit behind a point is called `mn`");
    one("loadout.balance.x > 1.5.inch;", "no unit behind a point is called `inch`");
    one("loadout.mass > quantity(\"12 gm\");", "expected a number with its unit");
    one("quantity(\"twelve\");", "expected a number with its unit");
}

#[test]
fn mistakes_are_followed_through_functions_and_variables() {
    one(
        "let worst = loadout.foremost;\nfor one in loadout.corners { worst = one; }\nworst.yy;",
        "nothing called `yy`",
    );
    one("say(build.wing);\n}\nfn say(it) { it.spam", "a wing has nothing called `spam`");
    one(
        "let x = mass_of(loadout);\nx > 3.mm;\n}\nfn mass_of(it) { it.mass",
        "a mass cannot be",
    );
    one("let all = [];\nall.push(loadout.mass);\nall[0] > 3.mm;", "a mass cannot be");
    one(
        "nobody_calls_this();\n}\nfn nobody_calls_this() { 3.mn;\n}\nfn nor_this() {",
        "`mn`",
    );
    one("}\nfn nor_this() { fnding();", "no function is called `fnding`");
}

#[test]
fn where_nothing_is_known_nothing_is_said() {
    for body in [
        "let x = loadout.mass; x = build.wing; x.band;",
        "for it in [loadout.mass, build.wing] { it.whatever; }",
        "say(1);\nsay(build.wing);\n}\nfn say(it) { it.band",
        "let it = if loadout.is_open { build } else { loadout }; it.anything;",
        "try { loadout.balence; } catch { }",
        "let m = #{}; m.a = 1; m.a + loadout.mass;",
        "let a = [1]; a.insert(0, build.wing); a[0].band;",
        "let a = [[1]]; a[0].push(build.wing); a[0][0].band;",
        "let it = switch loadout.name { _ => build }; it.anything;",
        "for value in build.values { if value.is_known { value > 3.mm; value.low; value.chord; } }",
        "let n = loadout.corners.len() + 1; if n > 2 { }",
        "loadout[`${loadout.name}`];",
        "set[`${loadout.name}`];",
        "let text = \"a\" + loadout.mass + 3;",
        "again(loadout, 3);\n}\nfn again(it, n) { if n > 0 { again(it, n - 1) } else { it.mass }",
        "build.surface.driven.name;",
        "build.wing.band.narrowed(2.mm).aft.source;",
        "if loadout.mass in [1, 2] { }",
    ] {
        none(body);
    }
}

#[test]
fn constants_are_looked_at() {
    let good = rule("");
    let with = |from: &str, to: &str| of_script(&good.replace(from, to));
    for (found, says) in [
        (
            with("const SET", "const LIMIT = 3;\nconst SET"),
            "`LIMIT` is no constant of a rule; there are ABOUT",
        ),
        (
            with("const SET", "const WAIVABEL = true;\nconst SET"),
            "the nearest is WAIVABLE",
        ),
        (with("const SET", "let x = 3;\nconst SET"), "stands outside of every function"),
        (
            with("const SET", "const WAIVABLE = \"no\";\nconst SET"),
            "expected `true` or `false`, found the text",
        ),
        (
            with("const SET", "const SAID = 3;\nconst SET"),
            "expected a fact that an entry must say",
        ),
        (
            with("const SET", "const SAID = \"mass_limti\";\nconst SET"),
            "`loadout` says no fact called `mass_limti`; the nearest is `mass_limit`",
        ),
        (with("\"loadout\"", "3"), "expected what the rule is called for"),
        (with("\"loadout\"", "[]"), "found an empty list"),
        (with("planned: \"error\"", ""), "expected at least one stage"),
        (with("#{ spare: \"5 mm\" }", "\"5 mm\""), "expected names with their numbers"),
        (
            with("spare: \"5 mm\"", "spare: \"5 mm\", room: \"3 mm\""),
            "never reads the parameter `room`",
        ),
    ] {
        assert_eq!(found.len(), 1, "{says}: {found:#?}");
        assert!(found[0].contains(says), "{says}: {found:#?}");
    }
}

#[test]
fn a_parameter_that_is_read_by_a_made_up_name_counts_as_read() {
    let text = rule("let word = \"room\"; set[`${word}`];");
    let text = text.replace("spare: \"5 mm\"", "spare: \"5 mm\", room: \"3 mm\"");
    assert_eq!(of_script(&text), Vec::<String>::new());
}

#[test]
fn a_page_is_wanted_with_its_headings_and_an_example() {
    let script = rule("");
    for (page, says) in [
        (None, "it has no page beside it: write a/first.md"),
        (
            Some(PAGE.replace("## Why it matters\n", "")),
            "has no heading for Why it matters",
        ),
        (Some(PAGE.replace("```trim", "```text")), "has no example"),
    ] {
        let mut club = pack(&[("a/first", &script)]);
        club.files.retain(|file| file.path != "a/first.md");
        let page =
            page.map(|text| PackFile { path: "a/first.md".into(), text: text.into() });
        club.files.extend(page);
        let mut sources = Sources::default();
        let loaded = load(&[club], &mut sources);
        let found = said(&loaded.findings, &sources);
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0].starts_with("rules/club/a/first.rhai:1:1: rules/fault"),
            "{found:#?}"
        );
        assert!(found[0].contains(says), "{found:#?}");
        assert!(loaded.rules.is_empty());
    }
}

#[test]
fn a_rule_with_a_mistake_does_not_run_and_the_others_do() {
    let wrong = rule("finding(loadout, \"this ran\"); if false { loadout.balence; }");
    let good = rule("finding(loadout, \"the other ran\");");
    let found = run(&[("a/first", &wrong), ("b/second", &good)]);
    assert_eq!(found.len(), 2, "{found:#?}");
    assert!(found.iter().any(|one| one.contains("`balence`")));
    assert!(found.iter().any(|one| one.contains("the other ran")));
}

#[test]
fn a_script_that_is_too_large_or_has_another_name_is_not_loaded() {
    let large = format!("{}// {}\n", rule(""), "x".repeat(70_000));
    let (large, sources) = loaded(&[("a/first", &large)]);
    let found = said(&large.findings, &sources);
    assert!(
        found[0].contains("rules/out-of-bounds") && found[0].contains("may have 64000"),
        "{found:#?}"
    );
    for name in ["a/First", "a/fir st", "a/first_one", "a//first", "é/first"] {
        let (named, sources) = loaded(&[(name, &rule(""))]);
        let found = said(&named.findings, &sources);
        assert!(
            found.len() == 1 && found[0].contains("lower-case letters"),
            "{name}: {found:#?}"
        );
        assert!(named.rules.is_empty());
    }
    let (fine, _) = loaded(&[("a/first-2", &rule(""))]);
    assert_eq!(fine.rules.len(), 1);
}

#[test]
fn line_ends_and_marks_of_other_editors_change_nothing() {
    let text = rule("loadout.balence;");
    let (with_lines, of_lines) = loaded(&[("a/first", &text)]);
    let expected = said(&with_lines.findings, &of_lines);
    for other in [text.replace('\n', "\r\n"), format!("\u{feff}{text}")] {
        let (other, sources) = loaded(&[("a/first", &other)]);
        assert_eq!(said(&other.findings, &sources), expected);
    }
}

#[test]
fn hostile_scripts_are_looked_through_all_the_same() {
    let deep = format!("let x = {}loadout{}.mass;", "(".repeat(40), ")".repeat(40));
    let long = format!("loadout{};", ".mass".repeat(40));
    let functions: String =
        (0..1_000).map(|n| format!("fn f{n}() {{ f{n}() }}\n")).collect();
    let around = format!("{}\n}}\n{functions}fn last() {{", "f0();");
    let calls = "a(loadout);\n}\nfn a(x) { b([x]) }\nfn b(x) { a([x]) }\nfn c() { c()";
    let comments = "// nothing\n".repeat(2_000);
    let sum = format!("let x = 1{};", " + 1".repeat(10_000));
    let points = format!("loadout{};", ".mass".repeat(10_000));
    let places = format!("build.parts{};", "[0]".repeat(10_000));
    let calls_on = format!("build{};", ".has(1)".repeat(8_000));
    let ifs = format!("if 1 < 2 {{ }}{}", " else if 1 < 2 { }".repeat(3_000));
    let ands = format!("let x = true{};", " && true".repeat(5_000));
    let minus = format!("let x = {}1;", "-".repeat(20_000));
    let names: String = (0..3_000).map(|n| format!("let n{n} = 1;\n")).collect();
    let bodies = [
        &deep, &long, &around, &comments, &sum, &points, &places, &calls_on, &ifs, &ands,
        &minus, &names,
    ];
    for body in bodies.into_iter().map(String::as_str).chain([calls]) {
        drop(says(body));
    }
    let only = of_script(&comments);
    assert!(only.iter().any(|one| one.contains("expected `fn check")), "{only:#?}");
    assert!(!of_script("").is_empty() && !of_script("\u{feff}").is_empty());
    assert!(!of_script("fn check(a, b, c) { ").is_empty());
}

/// Every name behind a point in the core pack, slipped: most are found, all at their line.
#[test]
fn slips_in_the_core_pack_are_found_where_they_are() {
    let (mut slips, mut found) = (0_usize, 0_usize);
    for (name, file) in core().scripts() {
        let places: Vec<usize> = file
            .text
            .match_indices('.')
            .map(|(at, _)| at + 1)
            .filter(|at| {
                let (before, after) = file.text.split_at(*at);
                let code = before.rsplit('\n').next().unwrap_or("");
                let in_code = !code.contains("//") && code.matches('"').count() % 2 == 0;
                in_code
                    && !code.starts_with("const")
                    && after.starts_with(char::is_lowercase)
                    && !before.ends_with("..")
            })
            .collect();
        for at in places {
            let (before, after) = file.text.split_at(at);
            let length = after.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap();
            let (word, rest) = after.split_at(length);
            let text = format!("{before}{word}qqq{rest}");
            let line = before.matches('\n').count() + 1;
            let (loaded, sources) = loaded(&[("a/first", &text)]);
            let all = said(&loaded.findings, &sources);
            slips += 1;
            let here = format!("rules/club/a/first.rhai:{line}:");
            let others =
                |one: &&String| !one.starts_with(&here) && !one.contains("never reads");
            assert_eq!(all.iter().find(others), None, "{name}: {word}qqq on line {line}");
            found += usize::from(all.iter().any(|one| one.starts_with(&here)));
        }
    }
    assert!(slips > 300, "{slips} slips");
    assert!(found * 100 >= slips * 85, "{found} of {slips} slips are found");
}
