//! `trimsheet rules`: what applies, writing a rule, testing a pack, keeping the lock.

pub(crate) mod list;
mod new;
mod test;
mod trace;
mod update;

use trimsheet_output::{Report, findings};
use trimsheet_project::model::{Date, NoDate};
use trimsheet_project::rules::manifest::is_plain;
use trimsheet_project::rules::{Pack, core};
use trimsheet_project::source::{Finding, Level, Sources};
use trimsheet_project::{NoPack, Settings, read_pack};

use crate::arguments::{RulesCommand, Under};
use crate::disk::Disk;
use crate::{End, screen};

/// Does what was asked of the rules.
pub(crate) fn rules(wanted: &RulesCommand) -> End {
    match wanted {
        RulesCommand::List(wanted) => list::list(wanted),
        RulesCommand::New { rule, pack } => new::new(rule, pack),
        RulesCommand::Test { pack, only, accept } => {
            test::test(pack, only.as_deref(), *accept)
        }
        RulesCommand::Trace { file, rule, under } => trace::trace(file, rule, under),
        RulesCommand::Update { path, write } => update::update(path, *write),
    }
}

/// How to check, as the arguments that many commands share say it; why not is said.
pub(crate) fn settings(under: &Under) -> Option<Settings> {
    let shelves = screen::shelves();
    let mut packs = vec![core()];
    for name in &under.rules {
        match given_pack(name, &shelves) {
            Ok(pack) => packs.push(pack),
            Err(says) => {
                screen::complain(&says);
                return None;
            }
        }
    }
    let today = Some(under.date.unwrap_or_else(screen::today));
    Some(Settings { stage: under.stage, today, packs, shelves, ..Settings::default() })
}

/// A pack by its folder, or by its name among the user's own.
fn given_pack(name: &str, shelves: &[String]) -> Result<Pack, String> {
    let own = shelves.iter().filter(|_| is_plain(name));
    let places: Vec<String> = std::iter::once(name.to_owned())
        .chain(own.map(|shelf| format!("{shelf}/{name}")))
        .collect();
    for place in &places {
        match read_pack(&Disk, place) {
            Ok(pack) => return Ok(pack),
            Err(NoPack::Missing) => {}
            Err(why) => return Err(format!("the pack {place} cannot be used: {why}")),
        }
    }
    Err(format!(
        "no pack of rules called \"{name}\" was found as {}; a pack is a folder that holds a pack.toml",
        places.join(" or ")
    ))
}

/// Shows what is wrong with packs and with what is set of their rules, beside what was
/// asked for.
pub(crate) fn warn_of_packs(sources: &Sources, found: &[Finding]) -> End {
    let is_of_packs = |one: &&Finding| one.rule.0.starts_with("rules/");
    let mut kept: Vec<Finding> = found.iter().filter(is_of_packs).cloned().collect();
    if kept.is_empty() {
        return End::Clear;
    }
    kept.sort_by_key(|one| (one.primary.span, one.rule.clone()));
    kept.dedup();
    screen::warn(&findings(&Report::of(sources, &kept), &screen::look()));
    let is_wrong = kept.iter().any(|one| one.level >= Level::Error);
    if is_wrong { End::Found } else { End::Clear }
}

/// Reads a day, for the arguments.
pub(crate) fn day(text: &str) -> Result<Date, String> {
    text.parse().map_err(|why: NoDate| why.to_string())
}
