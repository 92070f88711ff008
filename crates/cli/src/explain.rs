//! `trimsheet explain`

use trimsheet_project::facts::{Facts, Known};
use trimsheet_project::pages;
use trimsheet_project::rules::Rule;
use trimsheet_project::source::nearest;

use crate::arguments::Under;
use crate::rules::list::{InForce, in_force, parameter};
use crate::{End, screen};

/// Prints the page of a rule, with its levels and what is set of it here.
pub(crate) fn explain(name: &str, file: Option<&str>, under: &Under) -> End {
    let Some(here) = in_force(file, under) else { return End::CouldNotRun };
    if let Some(rule) = here.rules.iter().find(|rule| rule.id.0 == name) {
        screen::show(&page(rule, &here));
        return here.end;
    }
    if let Some((id, says)) = pages().find(|(id, _)| *id == name) {
        screen::print(&format!("{id}\n\n{says}\n"));
        return here.end;
    }
    if let Some(row) = here.vocabulary.declared().iter().find(|row| row.word == name) {
        let of = row.within.join(", ");
        screen::show(&format!(
            "{name}, a fact of {of}\n\n{}\n\nFor example: {}\n",
            row.says, row.example
        ));
        return here.end;
    }
    screen::complain(&no_rule(name, &here.rules));
    End::CouldNotRun
}

/// That no rule has a name, with the nearest that there is.
pub(crate) fn no_rule(name: &str, rules: &[Rule]) -> String {
    let ids = rules.iter().map(|rule| rule.id.0.as_str());
    let near = nearest(name, ids.chain(pages().map(|(id, _)| id)));
    let hint = near.map_or(String::new(), |near| format!("; the nearest is {near}"));
    format!("no rule is called {name}{hint}")
}

/// What a rule was called for, as a message calls it.
pub(crate) fn titled(about: &Known, facts: &Facts) -> String {
    let entry = about.entry().and_then(|id| facts.build.entry(id));
    entry.map_or_else(|| about.name.clone(), trimsheet_project::model::Entry::title)
}

fn page(rule: &Rule, here: &InForce) -> String {
    let mut text = format!("{}\n\n{}\n\n", rule.id, rule.text().prose());
    text.push_str(&format!("Pack: {}, the {} layer\n", rule.pack, rule.layer.word()));
    text.push_str(&format!("Level: {}\n", rule.levels));
    for raise in here.settings.raises(&rule.id) {
        text.push_str(&format!(
            "At least {} from {}, raised by {}\n",
            raise.to, raise.from, raise.owner
        ));
    }
    text.push_str(if rule.waivable {
        "A spec may waive it: with a reason, by somebody, until a day.\n"
    } else {
        "It cannot be waived.\n"
    });
    for one in &rule.parameters {
        text.push_str(&format!("May be set: {}\n", parameter(rule, one, &here.settings)));
    }
    text
}
