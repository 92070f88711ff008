//! A rule cannot hang, crash, or compare unlike things; what it does wrong is one finding
//! that points into its script, and every other rule still runs.

#[path = "helpers/running.rs"]
mod running;

use trimsheet_script::rules::source::Finding;

use self::running::{findings, rule, run};

/// The one finding that a rule with this body makes, which points into its script.
#[track_caller]
fn fault(body: &str) -> String {
    let good = rule("finding(loadout, `the other rule ran`);");
    let found = run(&[("a/first", &rule(body)), ("z/last", &good)]);
    let other: Vec<&String> =
        found.iter().filter(|one| one.contains("club/z/last")).collect();
    assert_eq!(other.len(), 1, "the other rule must run: {found:#?}");
    let mut own = found.iter().filter(|one| !one.contains("club/z/last"));
    let first = own.next().cloned().unwrap_or_default();
    assert!(own.next().is_none(), "one finding is wanted: {found:#?}");
    assert!(
        first.starts_with("rules/club/a/first.rhai:"),
        "it must point into the script: {first}"
    );
    first
}

#[track_caller]
fn fault_says(body: &str, says: &str) {
    let found = fault(body);
    assert!(found.contains(says), "{found}\nshould say {says}");
}

#[test]
fn an_endless_loop_is_ended() {
    fault_says("loop { }", "rules/out-of-bounds");
    fault_says("let n = 0; while n >= 0 { n += 1; }", "does not come to an end");
}

#[test]
fn what_grows_for_ever_is_ended() {
    fault_says("let s = \"ab\"; loop { s += s; }", "rules/out-of-bounds");
    fault_says("let a = []; loop { a.push(1); }", "rules/out-of-bounds");
    fault_says("let a = [1]; loop { a += a; }", "rules/out-of-bounds");
    fault_says("let a = []; loop { a = [a]; }", "rules/out-of-bounds");
    fault_says("let a = []; loop { a = [a, a]; }", "rules/out-of-bounds");
    fault_says(
        "let m = #{}; let n = 0; loop { m[`k${n}`] = n; n += 1; }",
        "rules/out-of-bounds",
    );
    fault_says("let m = #{}; loop { m = #{ a: m, b: m }; }", "rules/out-of-bounds");
    fault_says("loop { finding(loadout, \"x\"); }", "rules/");
}

#[test]
fn deep_recursion_is_ended() {
    let body = "deeper(0)\n}\nfn deeper(n) { deeper(n + 1)";
    fault_says(body, "rules/out-of-bounds");
    let deep = format!("let x = {}1{};", "(".repeat(2000), ")".repeat(2000));
    fault_says(&deep, "rules/cannot-read");
}

#[test]
fn closures_currying_and_the_like_are_refused_as_the_script_is_read() {
    for body in [
        "let f = |x| x; loop { let g = f; f = |x| g.call(x); }",
        "let f = Fn(\"check\"); loop { f = curry(f, f); }",
        "eval(\"1\");",
        "print(\"x\");",
        "import \"x\" as y;",
    ] {
        fault_says(body, "rules/cannot-read");
    }
}

#[test]
fn there_is_no_sleeping() {
    fault_says("sleep(100);", "no function is called `sleep`");
}

#[test]
fn unlike_things_are_not_compared() {
    for body in [
        "if loadout.mass < loadout.balance.x { }",
        "if loadout.mass < 4.0 { }",
        "if 4 > loadout.mass { }",
        "if loadout.mass == 4 { }",
        "if loadout.mass != \"4 g\" { }",
        "if \"a\" < 3 { }",
        "if 3 == \"a\" { }",
        "if true == 1 { }",
        "if loadout == 3 { }",
        "if [] == 3 { }",
        "if \"a\" < \"b\" { }",
        "if build.wing.band > 3.mm { }",
        "if loadout.mass.surely_above(3.mm) { }",
    ] {
        fault_says(body, "rules/fault");
    }
    fault_says("if loadout.mass < 30.mm { }", "a mass");
    fault_says("if loadout.mass < 4.0 { }", "cannot be compared with the number 4");
}

#[test]
fn unlike_things_are_not_added() {
    for body in [
        "let x = loadout.mass + loadout.balance.x;",
        "let x = loadout.mass + 1;",
        "let x = 1.5 - loadout.mass;",
        "let x = loadout.mass / 0;",
        "let x = loadout.mass / (loadout.mass - loadout.mass);",
        "let x = 1 / 0;",
    ] {
        fault_says(body, "rules/fault");
    }
}

#[test]
fn a_misspelt_name_gets_the_nearest_one_at_its_place() {
    let found = fault("let x = 1;\nlet y = loadout.balence;");
    assert!(found.starts_with("rules/club/a/first.rhai:7:"), "{found}");
    assert!(
        found.contains("`balence`") && found.contains("nearest is `balance`"),
        "{found}"
    );
    fault_says("build.wing.bnad;", "nearest is `band`");
    fault_says("build.wings_;", "nothing called");
    fault_says("loadout.balance.q;", "nothing called");
    fault_says("build.wing.band.aftt;", "nearest is `aft`");
    fault_says("set.spar;", "nearest is `spare`");
    fault_says("let x = lodaout;", "lodaout");
    fault_says("fnding(loadout, \"x\");", "nearest is `finding`");
    fault_says("build.of_kind(\"moter\");", "nearest is `motor`");
}

#[test]
fn a_script_that_cannot_be_read_points_at_the_place() {
    let found = fault("let x = ;");
    assert!(
        found.starts_with("rules/club/a/first.rhai:6:9: rules/cannot-read"),
        "{found}"
    );
}

#[test]
fn what_a_rule_must_state_is_asked_for() {
    let good = rule("");
    for (without, says) in [
        (good.replace("//! A test.", ""), "first line"),
        (good.replace("const ABOUT", "const ABOTU"), "nearest is ABOUT"),
        (good.replace("\"loadout\"", "\"loadot\""), "nearest is loadout"),
        (good.replace("planned:", "pland:"), "expected one of the stages"),
        (good.replace("\"error\"", "\"eror\""), "expected one of note"),
        (good.replace("\"5 mm\"", "\"5\""), "a number with its unit"),
        (
            good.replace("check(loadout, build, set) { set.spare;", "check(loadout) {"),
            "fn check",
        ),
    ] {
        let found = run(&[("a/first", &without)]);
        assert!(found.iter().any(|one| one.contains(says)), "{says}: {found:#?}");
    }
}

#[test]
fn what_is_not_known_ends_one_call_only_and_is_no_fault() {
    let text = "//! A test.\nconst ABOUT = \"part\";\nconst LEVEL = #{ planned: \"error\" };\n\
        fn check(part, build, set) { if part.mass > 100.g { finding(part.mass, `${part.name}: ${part.mass}`); } }";
    let found = run(&[("a/first", text)]);
    assert_eq!(found, ["test.trim:7:18: club/a/first: shell: 300 g"]);
}

#[test]
fn like_things_are_compared_and_reckoned_with() {
    let found = run(&[(
        "a/first",
        &rule(
            "let band = build.wing.band;
             if loadout.mass == 380.g && loadout.mass > quantity(\"0.3 kg\") && 1 < 2.5
                 && band.forward + set.spare == 45.mm && band.best < band.aft
                 && build.wing.planform.area / 2 > quantity(\"9 dm2\") && 5 / 2 == 2.5
                 && loadout.name == \"club\" && \"club\" == loadout.name
                 && !build.wing.has(\"washout\") {
                 finding(band.aft, `${band.aft - band.forward}, ${loadout.balance.x}`);
             }",
        ),
    )]);
    assert_eq!(found, ["test.trim:5:10: club/a/first: 20 mm, 48.9 mm aft"]);
}

#[test]
fn days_between_two_dates_are_a_time() {
    let found = run(&[(
        "a/first",
        &rule(
            "let march = date(\"2028-03-01\"); let leap = date(\"2028-02-29\");
             let year = date(\"2027-03-01\");
             if march.days_after(year) > 52.min && march.days_after(leap) < quantity(\"2 days\") {
                 finding(build.wing, `${march.days_after(leap)}, ${leap.days_after(march)}, ${march.days_after(year)}`);
             }",
        ),
    )]);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].ends_with("1 day, -1 day, 366 days"), "{found:#?}");
    fault_says("let day = date(\"2026-02-30\");", "a day that exists");
    fault_says(
        "let days = loadout.mass.days_after(date(\"2026-02-28\"));",
        "wants a date",
    );
    fault_says(
        "let records = build.records(\"loadout\");",
        "weighed, balanced, done, saved, checked, ran",
    );
}

#[test]
fn every_documented_function_has_an_example_that_runs() {
    for one in trimsheet_script::DOCUMENTED {
        let (found, _) = findings(&[("a/first", &rule(one.example))]);
        let wrong: Vec<&Finding> =
            found.iter().filter(|finding| finding.rule.0.starts_with("rules/")).collect();
        assert!(wrong.is_empty(), "{}: {wrong:#?}", one.form);
    }
}

#[test]
fn findings_point_at_values_of_the_spec_with_their_numbers() {
    let (found, _) = findings(&[(
        "a/first",
        &rule(
            "finding(loadout.balance.x, \"x\").because(build.wing.band.aft, \"the limit\");",
        ),
    )]);
    let finding = found.first().unwrap();
    let number = finding.primary.value.clone().unwrap();
    // (80 g x -30 mm + 300 g x 70 mm) / 380 g
    assert!((number.value - 18_600.0 / 380.0).abs() < 1e-9);
    assert_eq!(number.unit, "mm");
    let limit = finding.because[0].value.clone().unwrap();
    assert!((limit.value - 60.0).abs() < 1e-9 && limit.source.as_deref() == Some("plan"));
}
