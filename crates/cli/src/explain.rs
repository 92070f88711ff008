//! `trimsheet explain`

use trimsheet_project::pages;
use trimsheet_project::rules::{Rule, core};
use trimsheet_project::source::{Sources, nearest};

use crate::{End, screen};

/// Prints the page of a rule, with its levels and what can be set.
pub(crate) fn explain(name: &str) -> End {
    let loaded = trimsheet_project::script::load(&[core()], &mut Sources::default());
    let rules = loaded.rules;
    if let Some(rule) = rules.iter().find(|rule| rule.id.0 == name) {
        screen::print(&page(rule));
        return End::Clear;
    }
    if let Some((id, says)) = pages().find(|(id, _)| *id == name) {
        screen::print(&format!("{id}\n\n{says}\n"));
        return End::Clear;
    }
    let ids = rules.iter().map(|rule| rule.id.0.as_str());
    let near = nearest(name, ids.chain(pages().map(|(id, _)| id)));
    let hint = near.map_or(String::new(), |near| format!("; the nearest is {near}"));
    screen::complain(&format!("no rule is called {name}{hint}"));
    End::CouldNotRun
}

fn page(rule: &Rule) -> String {
    let prose = prose(&rule.page);
    let mut text = format!("{}\n\n{prose}\n", rule.id);
    text.push_str(&format!("Level: {}\n", rule.levels));
    text.push_str(if rule.waivable {
        "A spec may waive it with a reason.\n"
    } else {
        "It cannot be waived.\n"
    });
    for parameter in &rule.parameters {
        text.push_str(&format!(
            "May be set: {} (core: {})\n",
            parameter.name, parameter.default
        ));
    }
    text
}

/// The page without its examples, which are for tests and for whoever writes rules.
fn prose(page: &str) -> String {
    let end = page.find("\n## Examples").unwrap_or(page.len());
    page.get(..end).unwrap_or(page).trim().to_owned() + "\n"
}
