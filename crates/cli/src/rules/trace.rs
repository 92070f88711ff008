//! `trimsheet rules trace`

use std::rc::Rc;

use trimsheet_project::rules::{Ended, judge, settings as set};
use trimsheet_project::source::{Sources, Span};
use trimsheet_project::{Opened, open};

use crate::arguments::Under;
use crate::disk::Disk;
use crate::{End, explain, screen};

/// Shows what a rule reads of a spec, value by value, for each thing that it is about.
pub(crate) fn trace(file: &str, rule: &str, under: &Under) -> End {
    let Some(settings) = super::settings(under) else { return End::CouldNotRun };
    let opened = match open(&Disk, file, &settings) {
        Ok(opened) => opened,
        Err(trouble) => {
            screen::complain(&format!("cannot read {file}: {trouble}"));
            return End::CouldNotRun;
        }
    };
    let rules = &opened.rules.rules;
    let end = super::warn_of_packs(&opened.sources, &opened.findings);
    let Some(wanted) = rules.iter().find(|one| one.id.0 == rule) else {
        screen::complain(&explain::no_rule(rule, rules));
        return End::CouldNotRun;
    };
    let stage = opened.facts.stage;
    let build = &opened.facts.build;
    let (held, _) = set(build, rules, &opened.rules.packs, settings.today);
    let mut text = format!("{}: {}\n", wanted.id, wanted.title);
    if let Some(level) = held.level(wanted, stage) {
        text.push_str(&format!("{level} at the stage {stage}\n"));
        text.push_str(&calls(&opened, file, rule));
    } else {
        let levels = &wanted.levels;
        text.push_str(&format!(
            "silent at the stage {stage}, and reads nothing there; {levels}\n"
        ));
    }
    screen::show(&text);
    end
}

fn calls(opened: &Opened, file: &str, rule: &str) -> String {
    let Opened { facts, rules, sources, .. } = opened;
    let one: Vec<_> =
        rules.rules.iter().filter(|one| one.id.0 == rule).cloned().collect();
    let mut text = String::new();
    judge(&one, &rules.packs, facts, |rule, about, settings| {
        let (outcome, reads) = rules.scripts.machine().trace(
            rule,
            about,
            &Rc::clone(facts),
            settings,
            sources,
        );
        text.push_str(&format!(
            "\n{} ({})\n",
            explain::titled(about, facts),
            place(sources, file, about.span)
        ));
        let width =
            reads.iter().map(|read| read.asked.chars().count()).max().unwrap_or(0);
        for read in &reads {
            let pad = " ".repeat(width.saturating_sub(read.asked.chars().count()));
            text.push_str(&format!("    {}{pad}  {}", read.asked, read.came));
            if read.span.is_some() {
                text.push_str(&format!("  ({})", place(sources, file, read.span)));
            }
            text.push('\n');
        }
        text.push_str(&match &outcome.ended {
            Ended::Said if outcome.drafts.is_empty() => "    finds nothing\n".to_owned(),
            Ended::Said => String::new(),
            Ended::CannotSay(why) => format!("    cannot say: {}\n", why.says),
            Ended::Fault(fault) => format!("    could not run: {}\n", fault.says),
        });
        for draft in &outcome.drafts {
            text.push_str(&format!("    finds: {}\n", draft.headline));
        }
        outcome
    });
    let said = one.first().and_then(|rule| rule.said.as_deref());
    match said {
        _ if !text.is_empty() => text,
        Some(said) => format!("\nNothing that it is about says its {said}.\n"),
        None => "\nThe spec has nothing that it is about.\n".into(),
    }
}

/// Where something stands: its line, and its file if that is another than the spec.
fn place(sources: &Sources, file: &str, span: Option<Span>) -> String {
    let Some(span) = span else { return String::new() };
    let (path, line) = (sources.path(span.file), sources.place(span).line);
    if path == file { format!("line {line}") } else { format!("{path}:{line}") }
}
