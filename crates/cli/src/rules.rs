//! `trimsheet rules`: what applies, writing a rule, testing a pack, keeping the lock.

pub(crate) mod list;
mod new;
mod test;
mod trace;
mod update;

use trimsheet_project::model::{Date, NoDate};
use trimsheet_project::rules::{Pack, core};
use trimsheet_project::{Settings, read_pack};

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
    let trouble = match read_pack(&Disk, name) {
        Ok(pack) => return Ok(pack),
        Err(trouble) => trouble,
    };
    if name.contains('/') {
        return Err(format!("cannot read the pack {name}: {trouble}"));
    }
    for shelf in shelves {
        if let Ok(pack) = read_pack(&Disk, &format!("{shelf}/{name}")) {
            return Ok(pack);
        }
    }
    let looked = shelves.join(" or ");
    Err(format!(
        "no pack of rules called {name} was found here or in {looked}; a pack is a folder with a pack.toml"
    ))
}

/// Reads a day, for the arguments.
pub(crate) fn day(text: &str) -> Result<Date, String> {
    text.parse().map_err(|why: NoDate| why.to_string())
}
