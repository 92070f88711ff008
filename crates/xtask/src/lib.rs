//! Files that are made from others, and the form of a new rule.
//!
//! Texts only: the program beside this writes them, and a test compares what stands in
//! the workspace with what would be written.

use trimsheet_script::rules::facts::model::vocabulary::reference;

/// The grammar that the reference quotes.
const GRAMMAR: &str = include_str!("../../../grammar/trimsheet.pest");

/// Every file that is made from others: its path in the workspace and its text.
pub fn generated() -> Vec<(&'static str, String)> {
    vec![("grammar/REFERENCE.md", reference::page(GRAMMAR))]
}

/// The two files of a new rule: each its path in the workspace and its text.
///
/// # Errors
/// That the id is no group and fault.
pub fn new_rule(id: &str) -> Result<[(String, String); 2], String> {
    let word = |word: &str| {
        !word.is_empty()
            && word.chars().all(|letter| letter.is_ascii_lowercase() || letter == '-')
    };
    match id.split_once('/') {
        Some((group, name)) if word(group) && word(name) => Ok([
            (format!("rules/core/{id}.rhai"), SCRIPT.to_owned()),
            (format!("rules/core/{id}.md"), PAGE.replace("GROUP/NAME", id)),
        ]),
        _ => Err(format!(
            "expected a group and a fault, such as balance/outside-band, found {id}"
        )),
    }
}

const SCRIPT: &str = r#"//! A bay is narrow.

const ABOUT = "bay";
const LEVEL = #{ planned: "note", ready: "warning" };
const SET = #{ least: "20 mm" };

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
    use super::new_rule;

    #[test]
    fn a_rule_is_named_by_its_group_and_its_fault() {
        assert!(new_rule("wing/no-washout").is_ok());
        assert!(new_rule("washout").is_err());
        assert!(new_rule("../x").is_err());
    }
}
