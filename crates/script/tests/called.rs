//! For which entries a rule is called.

#[path = "helpers/running.rs"]
mod running;

use self::running::run;

/// What a rule finds that finds every entry it is called for.
fn called(about: &str, said: &str) -> Vec<String> {
    let script = format!(
        "//! A test.\nconst ABOUT = \"{about}\";\nconst SAID = \"{said}\";\n\
         const LEVEL = #{{ planned: \"error\" }};\n\
         fn check(it, build, set) {{ finding(it, `${{it.name}}`).remedy(\"look\"); }}\n"
    );
    let found = run(&[("a/first", &script)]);
    found.iter().filter_map(|one| one.rsplit(": ").next()).map(str::to_owned).collect()
}

#[test]
fn a_rule_is_called_for_entries_that_say_its_fact_known_or_not() {
    assert_eq!(called("part", "kind"), ["motor"]);
    assert_eq!(called("part", "mass"), ["motor", "shell", "mystery"]);
    assert_eq!(called("part", "poles"), Vec::<String>::new());
}

#[test]
fn a_loadout_says_what_the_wing_says_for_all() {
    assert_eq!(called("loadout", "band"), ["club"]);
    assert_eq!(called("loadout", "mass_limit"), Vec::<String>::new());
}

#[test]
fn a_line_that_may_stand_often_is_said_once_it_stands() {
    assert_eq!(called("wing", "ribs"), ["wing"]);
    assert_eq!(called("loadout", "ballasts"), Vec::<String>::new());
}
