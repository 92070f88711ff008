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

const SCRIPT: &str = r#"//! The wing has no washout.

const ABOUT = "wing";
const LEVEL = #{ planned: "note", ready: "warning" };
const SET = #{ least: "1 deg" };

fn check(wing, build, set) {
    if wing.washout < set.least {
        finding(wing.washout, `the wing has ${wing.washout} of washout, less than ${set.least}`)
            .remedy("twist the tip down while the covering is warm");
    }
}
"#;

const PAGE: &str = r#"# A wing without washout

## What it checks

What is compared with what, and when.

## Why it matters

What happens to the aircraft.

## What to do

With one's hands.

## Source

`least`: common practice, no source.

## Examples

### Too little

```trim
wing
    washout 0.5 deg     #~ note: [GROUP/NAME] "0.5° of washout"
```

### Enough

```trim
wing
    washout 2 deg
```

### Just enough

```trim
wing
    washout 1 deg
```

### Not known

```trim
wing
    washout ?           #~ cannot say: [GROUP/NAME]
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
