//! The page beside a script: whether it is there, and has what every page has.

/// The headings that every page has, in their order.
pub(crate) const HEADINGS: [&str; 5] =
    ["What it checks", "Why it matters", "What to do", "Source", "Examples"];

/// What is missing on the page of a rule; `name` is its path in the pack.
pub(crate) fn missing(page: Option<&str>, name: &str) -> Option<String> {
    let Some(page) = page else {
        return Some(format!("it has no page beside it: write {name}.md"));
    };
    let has = |heading: &&str| {
        let mut lines = page.lines();
        lines.any(|line| line.strip_prefix("## ").map(str::trim) == Some(*heading))
    };
    let without: Vec<&str> =
        HEADINGS.iter().copied().filter(|heading| !has(heading)).collect();
    if !without.is_empty() {
        let all = without.join(", ");
        return Some(format!("its page {name}.md has no heading for {all}"));
    }
    let examples = page.lines().skip_while(|line| !line.starts_with("## Examples"));
    let has_example = examples.into_iter().any(|line| line.trim_end() == "```trim");
    let says =
        format!("its page {name}.md has no example: a block of `trim` below Examples");
    (!has_example).then_some(says)
}
