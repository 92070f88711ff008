//! Where packs of rules are found, and what a lock does to them.

use trimsheet_project::rules::lock::Lock;
use trimsheet_project::{Checked, Locked, Memory, NoPack, Settings, check, read_pack};

const SPEC: &str =
    "model wren\n    rules \"elm-hill\"\nbay slot: width 12 mm [measured]\n";

fn manifest(name: &str, issue: &str) -> String {
    format!(
        "name = \"{name}\"\nissue = \"{issue}\"\ntitle = \"t\"\nlicence = \"MIT\"\nneeds = \"0.1\"\nlayer = \"club\"\n"
    )
}

fn rule(least: &str) -> String {
    format!(
        "//! A bay is narrow.\nconst ABOUT = \"bay\";\nconst LEVEL = #{{ planned: \"note\" }};\nfn check(bay, build, set) {{\n    if bay.width < {least} {{ finding(bay.width, `narrower than ${{{least}}}`); }}\n}}\n"
    )
}

/// The headings that a rule's page must have, and an example.
const PAGE: &str = "# A bay is narrow\n\n## What it checks\n\na\n\n## Why it matters\n\nb\n\n## What to do\n\nc\n\n## Source\n\nCommon practice, no source.\n\n## Examples\n\n### Wide\n\n```trim\nbay slot\n```\n";

fn with_pack(host: Memory, folder: &str, name: &str, issue: &str, least: &str) -> Memory {
    host.with(&format!("{folder}/{name}/pack.toml"), manifest(name, issue))
        .with(&format!("{folder}/{name}/bay/narrow.rhai"), rule(least))
        .with(&format!("{folder}/{name}/bay/narrow.md"), PAGE)
}

fn run(host: &Memory, settings: &Settings) -> Checked {
    check(host, &["fleet/wren.trim".to_owned()], settings)
}

/// What is said by packs and about them.
fn told(checked: &Checked) -> Vec<String> {
    let of_packs = |id: &str| id.starts_with("elm-hill/") || id.starts_with("rules/");
    let findings = checked.findings.iter().filter(|one| of_packs(&one.rule.0));
    findings
        .map(|one| {
            let path = checked.sources.path(one.primary.span.file);
            let line = checked.sources.place(one.primary.span).line;
            format!("{path}:{line} {}: {}", one.rule, one.headline)
        })
        .collect()
}

fn spec() -> Memory {
    Memory::new().with("fleet/wren.trim", SPEC)
}

const NARROW: &str = "fleet/wren.trim:3 elm-hill/bay/narrow: narrower than 20 mm";

#[test]
fn a_pack_is_found_beside_the_spec_before_the_users_own() {
    let settings = Settings { shelves: vec!["own".into()], ..Settings::default() };
    let own = with_pack(spec(), "own", "elm-hill", "2026", "15.mm");
    assert_eq!(
        told(&run(&own, &settings)),
        ["fleet/wren.trim:3 elm-hill/bay/narrow: narrower than 15 mm"]
    );
    let both = with_pack(own, "fleet/rules", "elm-hill", "2026", "20.mm");
    assert_eq!(told(&run(&both, &settings)), [NARROW]);
}

#[test]
fn a_pack_that_is_nowhere_is_said_where_it_is_named_with_the_nearest() {
    let host = with_pack(spec(), "fleet/rules", "elm-hall", "2026", "20.mm");
    let checked = run(&host, &Settings::default());
    assert_eq!(
        told(&checked),
        [
            "fleet/wren.trim:2 rules/pack-missing: no pack of rules called `elm-hill` was found"
        ]
    );
    let says = &checked.findings.iter().find(|f| f.rule.0 == "rules/pack-missing");
    assert_eq!(says.unwrap().remedies[0].says, "if `elm-hall` was meant, write that");
}

#[test]
fn a_name_that_would_leave_the_shelf_is_no_name() {
    let host = with_pack(Memory::new(), "own", "elm-hill", "2026", "20.mm")
        .with("fleet/wren.trim", SPEC.replace("elm-hill", "../../own/elm-hill"));
    let found = told(&run(&host, &Settings::default()));
    assert!(found[0].contains("`../../own/elm-hill` is no name of a pack"), "{found:?}");
}

#[test]
fn a_pack_given_twice_is_one_and_two_of_one_name_are_said() {
    let host = with_pack(spec(), "fleet/rules", "elm-hill", "2026", "20.mm");
    let same = read_pack(&host, "fleet/rules/elm-hill").unwrap();
    let mut settings = Settings::default();
    settings.packs.push(same);
    assert_eq!(told(&run(&host, &settings)), [NARROW]);

    let other = with_pack(Memory::new(), "own", "elm-hill", "2027", "15.mm");
    let mut settings = Settings::default();
    settings.packs.push(read_pack(&other, "own/elm-hill").unwrap());
    let found = told(&run(&host, &settings));
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(found.iter().any(|one| one.contains("a second pack is called `elm-hill`")));
}

#[test]
fn a_lock_keeps_what_it_carries_whatever_the_folder_holds_by_now() {
    let old = with_pack(spec(), "fleet/rules", "elm-hill", "2026", "20.mm");
    let pack = read_pack(&old, "fleet/rules/elm-hill").unwrap();
    let lock = Lock::new([(&pack, "2026")]).text().unwrap();
    let locked = old.clone().with("fleet/rules.lock", lock);
    assert_eq!(told(&run(&locked, &Settings::default())), [NARROW]);

    let moved = with_pack(locked.clone(), "fleet/rules", "elm-hill", "2027", "5.mm");
    let found = told(&run(&moved, &Settings::default()));
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(found[0].contains("checked under the locked issue, 2026"), "{found:?}");
    assert_eq!(found[1], NARROW);
    let ignore = Settings { lock: Locked::Ignore, ..Settings::default() };
    assert_eq!(told(&run(&moved, &ignore)), [""; 0]);
}

#[test]
fn a_locked_pack_needs_no_folder() {
    let old = with_pack(Memory::new(), "own", "elm-hill", "2026", "20.mm");
    let pack = read_pack(&old, "own/elm-hill").unwrap();
    let lock = Lock::new([(&pack, "2026")]).text().unwrap();
    let host = spec().with("fleet/rules.lock", lock);
    assert_eq!(told(&run(&host, &Settings::default())), [NARROW]);
}

#[test]
fn a_lock_that_was_tampered_with_or_lacks_a_pack_is_said() {
    let host = with_pack(spec(), "fleet/rules", "elm-hill", "2026", "20.mm");
    let pack = read_pack(&host, "fleet/rules/elm-hill").unwrap();
    let lock = Lock::new([(&pack, "2026")]).text().unwrap();
    let tampered = host.clone().with("fleet/rules.lock", lock.replace("20.mm", "9.mm"));
    let found = told(&run(&tampered, &Settings::default()));
    assert!(found.iter().any(|one| one.contains("rules/lock-unclear")), "{found:?}");
    assert!(found.contains(&NARROW.to_owned()), "{found:?}");

    let hollow = Lock::new([(&pack, "2026")]).text().unwrap();
    let (hollow, _) = hollow.split_once("[[pack.file]]").unwrap();
    let found =
        told(&run(&host.clone().with("fleet/rules.lock", hollow), &Settings::default()));
    assert_eq!(found.len(), 2, "one for the lock, and the rule still runs: {found:?}");
    assert!(found.iter().any(|one| one.contains("rules/lock-unclear")), "{found:?}");
    assert!(found.contains(&NARROW.to_owned()), "{found:?}");

    let empty = host.with("fleet/rules.lock", "form = 1\n");
    let found = told(&run(&empty, &Settings::default()));
    assert!(found[0].contains("the pack elm-hill is not in the lock"), "{found:?}");
}

#[test]
fn the_specs_of_a_pack_are_not_checked_with_a_folder() {
    let host = with_pack(spec(), "fleet/rules", "elm-hill", "2026", "20.mm")
        .with("fleet/rules/elm-hill/bases/plain.trim", "part x\n");
    let checked = check(&host, &["fleet".to_owned()], &Settings::default());
    assert_eq!(checked.files, 1);
}

#[test]
fn a_lock_and_its_packs_may_pass_through_other_line_ends() {
    let host = with_pack(spec(), "fleet/rules", "elm-hill", "2026", "20.mm");
    let pack = read_pack(&host, "fleet/rules/elm-hill").unwrap();
    let lock = Lock::new([(&pack, "2026")]).text().unwrap().replace('\n', "\r\n");
    let found = told(&run(&host.with("fleet/rules.lock", lock), &Settings::default()));
    assert_eq!(found, [NARROW]);
}

#[test]
fn two_folders_with_locks_of_one_pack_are_each_told_of_their_own() {
    let mut host = Memory::new();
    for (folder, word) in [("east", "wide"), ("west", "narrow")] {
        let one = with_pack(Memory::new(), "own", "elm-hill", "2026", word);
        let pack = read_pack(&one, "own/elm-hill").unwrap();
        let lock = Lock::new([(&pack, "2026")]).text().unwrap();
        host = host
            .with(&format!("{folder}/rules.lock"), lock)
            .with(&format!("{folder}/wren.trim"), SPEC);
    }
    let paths = ["east".to_owned(), "west".to_owned()];
    let found = told(&check(&host, &paths, &Settings::default()));
    assert_eq!(found.len(), 2, "{found:?}");
    for (one, (folder, word)) in found.iter().zip([("east", "wide"), ("west", "narrow")])
    {
        let place = format!("{folder}/rules.lock/elm-hill/bay/narrow.rhai:5");
        assert!(one.starts_with(&place) && one.contains(word), "{one}");
    }
}

#[test]
fn a_pack_that_is_given_need_not_lie_beside_the_spec() {
    let other = with_pack(Memory::new(), "own", "elm-hill", "2026", "20.mm");
    let mut settings = Settings::default();
    settings.packs.push(read_pack(&other, "own/elm-hill").unwrap());
    assert_eq!(told(&run(&spec(), &settings)), [NARROW]);
}

#[test]
fn a_folder_that_is_no_pack_is_said_for_what_it_is() {
    let host = spec().with("fleet/rules/elm-hill/bay/narrow.md", PAGE);
    assert_eq!(read_pack(&host, "fleet/rules/elm-hill"), Err(NoPack::Unsaid));
    let found = told(&run(&host, &Settings::default()));
    assert!(
        found[0].contains("`elm-hill` cannot be used: it holds no pack.toml"),
        "{found:?}"
    );
    let host = with_pack(spec(), "fleet/rules", "elm-hill", "2026", "20.mm")
        .with("fleet/rules/elm-hill/bay/narrow.md", b"\xff".to_vec());
    let found = told(&run(&host, &Settings::default()));
    assert!(found[0].contains("bay/narrow.md is no text in UTF-8"), "{found:?}");
    let full = (0..2001).fold(spec(), |host, at| {
        host.with(&format!("fleet/rules/elm-hill/bay/{at}.md"), PAGE)
    });
    assert_eq!(read_pack(&full, "fleet/rules/elm-hill"), Err(NoPack::TooMuch));
    assert_eq!(read_pack(&full, ""), Err(NoPack::Missing));
}

#[test]
fn a_limit_that_is_loosened_and_partly_taken_back_still_counts_as_loosened() {
    let set = |share: &str, by: &str| {
        format!("set balance/lateral share {share} % because \"x\"{by}\n")
    };
    let waived = set("5", " by MT until 2027-01-01");
    let loosened = |sets: &str| {
        let host = Memory::new().with("fleet/wren.trim", format!("model wren\n{sets}"));
        run(&host, &Settings::default()).loosened
    };
    assert_eq!(loosened(&waived), 1);
    assert_eq!(loosened(&format!("{waived}{}", set("4.9", ""))), 1);
    assert_eq!(
        loosened(&format!("{waived}{}", set("0.4", ""))),
        0,
        "stricter than the core's own"
    );
}
