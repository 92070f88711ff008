//! `trimsheet debrief`

use std::io::{Read, stdin};

use trimsheet_output::{Report, Summary, terminal};
use trimsheet_project::Opened;
use trimsheet_project::model::EntryId;
use trimsheet_project::source::{Finding, Level};
use trimsheet_report::debrief::{Debrief as Page, NoMapping, Wanted, csv, json, text};
use trimsheet_report::flightlog::{NoLog, Reading, read};

use crate::arguments::{Debrief, SheetFormat};
use crate::opened::{no_such, opened};
use crate::{End, disk, screen};

/// Reads a flight log as the spec says its columns, and prints it beside the plan.
pub(crate) fn debrief(wanted: &Debrief) -> End {
    let (opened, is_damaged) = match opened(&wanted.file, &wanted.under, "debrief") {
        Ok(opened) => opened,
        Err(end) => return end,
    };
    let mapped = Wanted::find(&opened.facts, wanted.named.as_deref());
    let mapped = match mapped {
        Ok(mapped) => mapped,
        Err(why) => return no_mapping(&opened, wanted, why),
    };
    let loadout = match loadout(&opened, wanted) {
        Ok(loadout) => loadout,
        Err(says) => {
            screen::complain(&says);
            return End::CouldNotRun;
        }
    };
    let reading = match reading(&wanted.log, &mapped) {
        Ok(reading) => reading,
        Err(why) => return no_log(&opened, wanted, &mapped, &why),
    };
    let read = (wanted.log.as_str(), &reading);
    let page = Page::new(&opened.facts, &opened.sources, &mapped, read, loadout);
    screen::print(&match wanted.format {
        SheetFormat::Text => text(&page, screen::look().width),
        SheetFormat::Json => json(&page),
        SheetFormat::Csv => csv(&page),
    });
    if is_damaged { End::Found } else { End::Clear }
}

/// Reads the log as it comes, from a file or from what is piped in.
fn reading(path: &str, mapped: &Wanted) -> Result<Reading, NoLog> {
    let from: Box<dyn Read> = match path {
        "-" => Box::new(stdin().lock()),
        path => Box::new(disk::stream(path)?),
    };
    read(from, &mapped.mapping)
}

/// The loadout that was flown: the one named, or the only one.
fn loadout(opened: &Opened, wanted: &Debrief) -> Result<Option<EntryId>, String> {
    let all: Vec<(EntryId, String)> =
        opened.facts.of_word("loadout").map(|(id, one)| (id, one.name.clone())).collect();
    let Some(name) = &wanted.loadout else {
        return Ok(match all.as_slice() {
            [(only, _)] => Some(*only),
            _ => None,
        });
    };
    let found = all.iter().find(|(_, own)| own == name).map(|(id, _)| *id);
    let names = || all.iter().map(|(_, own)| own.clone()).collect::<Vec<_>>();
    found.map(Some).ok_or_else(|| no_such("loadout", &wanted.file, name, &names()))
}

fn no_mapping(opened: &Opened, wanted: &Debrief, why: NoMapping) -> End {
    let file = &wanted.file;
    let says = match why {
        NoMapping::NoSuch { names } => match (&wanted.named, names.is_empty()) {
            (Some(name), _) => no_such("log", file, name, &names),
            (None, true) => format!(
                "{file} has no entry `log`, which says what the columns of a log mean; \
                 see `log` in the reference of the language"
            ),
            (None, false) => format!(
                "{file} has several logs: name one with --log ({})",
                names.join(", ")
            ),
        },
        NoMapping::NotKnown(why) => {
            let place = why.span.map(|span| {
                let line = opened.sources.place(span).line;
                format!("{}:{line}: ", opened.sources.path(span.file))
            });
            format!("{}{}", place.unwrap_or_default(), why.says)
        }
    };
    screen::complain(&says);
    End::CouldNotRun
}

/// A column that is missing is shown at the line of the spec that asks for it.
fn no_log(opened: &Opened, wanted: &Debrief, mapped: &Wanted, why: &NoLog) -> End {
    let of_line = |channel, says: String| {
        Finding::new("debrief/log", Level::Error, mapped.line(channel), says)
    };
    let findings: Vec<Finding> = match why {
        NoLog::Columns { faults, there } => {
            let there: Vec<String> =
                there.iter().map(|header| format!("\"{header}\"")).collect();
            let there = format!("the columns of {} are {}", wanted.log, there.join(", "));
            let of = |fault: &trimsheet_report::flightlog::ColumnFault| {
                of_line(fault.channel, fault.says()).advised(there.clone())
            };
            faults.iter().map(of).collect()
        }
        NoLog::Unit { channel, .. } => vec![of_line(*channel, why.to_string())],
        NoLog::Unreadable(_)
        | NoLog::Empty
        | NoLog::NoRows
        | NoLog::NoText
        | NoLog::NoHeader(_)
        | NoLog::OnlyBadRows(_) => {
            screen::complain(&format!("{}: {why}", wanted.log));
            return End::CouldNotRun;
        }
    };
    screen::warn(&shown(opened, wanted, &findings));
    End::CouldNotRun
}

fn shown(opened: &Opened, wanted: &Debrief, findings: &[Finding]) -> String {
    let stage = wanted.under.stage.map(|stage| stage.word().to_owned());
    let summary = Summary { stage, files: 1, ..Summary::new(Level::Error) };
    let report = Report { summary, ..Report::of(&opened.sources, findings) };
    terminal(&report, &screen::look())
}
