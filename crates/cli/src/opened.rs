//! A spec opened for a page that is made of it: what could not be read is said first.

use trimsheet_output::{Report, Summary, terminal};
use trimsheet_project::source::{Finding, Level, nearest};
use trimsheet_project::{Opened, open};

use crate::arguments::Under;
use crate::disk::Disk;
use crate::{End, rules, screen};

/// Opens a spec, and says whether lines of it could not be read.
///
/// # Errors
/// How the program ends where nothing can be made of the file; why has been said.
pub(crate) fn opened(
    file: &str,
    under: &Under,
    page: &str,
) -> Result<(Opened, bool), End> {
    let settings = rules::settings(under).ok_or(End::CouldNotRun)?;
    let mut opened = open(&Disk, file, &settings).map_err(|trouble| {
        screen::complain(&format!("cannot read {file}: {trouble}"));
        End::CouldNotRun
    })?;
    in_order(&mut opened);
    let is_damaged = opened.findings.iter().any(|one| one.level >= Level::Error);
    if is_damaged {
        screen::warn(&findings(&opened, under));
    }
    if !opened.is_spec() {
        screen::complain(&format!("no {page} is made of {file} before more of it reads"));
        return Err(End::Found);
    }
    Ok((opened, is_damaged))
}

/// Says that a name is not among those of a spec: `no loadout of …`.
pub(crate) fn no_such(kind: &str, file: &str, wanted: &str, names: &[String]) -> String {
    let near = nearest(wanted, names.iter().map(String::as_str));
    let near = near.map_or(String::new(), |near| format!("; the nearest is {near}"));
    let names = if names.is_empty() { "none".to_owned() } else { names.join(", ") };
    format!("no {kind} of {file} is called {wanted}{near} (it has {names})")
}

/// By file and place, each once.
fn in_order(opened: &mut Opened) {
    let key = |finding: &Finding| (finding.primary.span, finding.rule.clone());
    opened.findings.sort_by_key(key);
    opened.findings.dedup();
}

fn findings(opened: &Opened, under: &Under) -> String {
    let report = Report {
        summary: Summary {
            stage: under.stage.map(|stage| stage.word().to_owned()),
            files: 1,
            ..Summary::new(Level::Error)
        },
        ..Report::of(&opened.sources, &opened.findings)
    };
    terminal(&report, &screen::look())
}
