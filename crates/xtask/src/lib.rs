//! Files that are made from others, and the form of a new rule.
//!
//! Texts only: the program beside this writes them, and a test compares what stands in
//! the workspace with what would be written.

use trimsheet_script::rules::facts::model::vocabulary::reference;
use trimsheet_script::scaffold;

/// The grammar that the reference quotes.
const GRAMMAR: &str = include_str!("../../../grammar/trimsheet.pest");

/// Every file that is made from others: its path in the workspace and its text.
pub fn generated() -> Vec<(&'static str, String)> {
    vec![
        ("grammar/REFERENCE.md", reference::page(GRAMMAR)),
        ("rules/REFERENCE.md", trimsheet_script::reference::page()),
    ]
}

/// The two files of a new rule of the core pack: each its path in the workspace and its
/// text.
///
/// # Errors
/// That the id is no group and fault.
pub fn new_rule(id: &str) -> Result<[(String, String); 2], String> {
    let files = scaffold::rule("core", id)?;
    Ok(files.map(|(path, text)| (format!("rules/core/{path}"), text)))
}
