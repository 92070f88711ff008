//! The form of a new rule, and of a new pack: files that already pass their own tests.

use trimsheet_rules::manifest::is_plain;

/// The two files of a new rule, each its path inside the pack and its text.
///
/// `pack` is the pack's name; a rule of the core pack goes by its own.
///
/// # Errors
/// That the id is no group and fault.
pub fn rule(pack: &str, id: &str) -> Result<[(String, String); 2], String> {
    match id.split_once('/') {
        Some((group, name)) if is_plain(group) && is_plain(name) => {
            let full =
                if pack == "core" { id.to_owned() } else { format!("{pack}/{id}") };
            Ok([
                (format!("{id}.rhai"), SCRIPT.to_owned()),
                (format!("{id}.md"), PAGE.replace("GROUP/NAME", &full)),
            ])
        }
        _ => Err(format!(
            "expected a group and a fault in lower-case letters, such as wing/no-lock, found `{id}`"
        )),
    }
}

/// What a new pack says of itself.
pub fn manifest(pack: &str, year: u16) -> String {
    MANIFEST.replace("NAME", pack).replace("YEAR", &year.to_string())
}

const MANIFEST: &str = r#"name    = "NAME"           # the name of the folder; rules and facts carry it
issue   = "YEAR"
title   = "What these rules are for, in a line"
licence = "MIT"
needs   = "0.1"            # the version of trimsheet
layer   = "club"           # kit, club or personal: who speaks
"#;

const SCRIPT: &str = r#"//! A bay is narrow.

const ABOUT = "bay";
const LEVEL = #{ planned: "note", ready: "warning" };
const SET = #{ least: "20 mm or more" };

fn check(bay, build, set) {
    if bay.width < set.least {
        finding(bay.width, `bay ${bay.name} is ${bay.width} wide, less than ${set.least}`)
            .remedy("widen it before the covering goes on");
    }
}
"#;

const PAGE: &str = r#"# A bay is narrow

## What it checks

What is compared with what, and when.

## Why it matters

What happens to the aircraft.

## What to do

With one's hands.

## Source

`least`: common practice, no source.

## Examples

### Too narrow

```trim
bay slot
    width 12 mm     #~ note: [GROUP/NAME] "12 mm wide"
```

### Wide enough

```trim
bay slot
    width 30 mm
```

### Just wide enough

```trim
bay slot
    width 20 mm
```

### Not known

```trim
bay slot
    width ?         #~ cannot say: [GROUP/NAME]
```
"#;

#[cfg(test)]
mod tests {
    use super::rule;

    #[test]
    fn a_rule_is_named_by_its_group_and_its_fault() {
        let [(script, _), (page, text)] = rule("elm-hill", "wing/no-lock").unwrap();
        assert_eq!((&*script, &*page), ("wing/no-lock.rhai", "wing/no-lock.md"));
        assert!(text.contains("[elm-hill/wing/no-lock]"));
        assert!(rule("elm-hill", "no-lock").is_err());
        assert!(rule("elm-hill", "../x").is_err());
        assert!(rule("elm-hill", "a/b/c").is_err());
    }
}
