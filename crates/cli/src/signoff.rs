//! `trimsheet signoff` and `trimsheet baseline`: what is written into a proof

use trimsheet_output::{Report, Summary, terminal};
use trimsheet_project::source::Level;
use trimsheet_project::{NotSigned, Rebased, Signed, Signing, baseline, sign};

use crate::arguments::{Baseline, Signoff, Under};
use crate::disk::{Disk, NotWritten, replace};
use crate::{End, rules, screen};

/// Signs a step, and writes the proof whole or not at all.
pub(crate) fn signoff(wanted: &Signoff) -> End {
    let under = Under { rules: wanted.rules.clone(), ..Under::default() };
    let Some(settings) = rules::settings(&under) else { return End::CouldNotRun };
    let signing = Signing {
        step: wanted.step.clone(),
        loadout: wanted.loadout.clone(),
        by: wanted.by.clone(),
        date: wanted.date,
        note: wanted.note.clone(),
        readings: wanted.reading.clone(),
    };
    let signed = match sign(&Disk, &wanted.file, &signing, &settings) {
        Ok(signed) => signed,
        Err(why) => {
            complain(&why);
            return End::CouldNotRun;
        }
    };
    if !write(&signed.path, signed.before.as_deref(), &signed.text) {
        return End::CouldNotRun;
    }
    screen::print(&said(&signed));
    End::Clear
}

/// Writes down which findings are known.
pub(crate) fn rebase(wanted: &Baseline) -> End {
    let Some(settings) = rules::settings(&wanted.under) else { return End::CouldNotRun };
    let by = wanted.by.as_deref().unwrap_or("");
    let rebased = match baseline(&Disk, &wanted.file, by, wanted.until, &settings) {
        Ok(rebased) => rebased,
        Err(why) => {
            complain(&why);
            return End::CouldNotRun;
        }
    };
    let Rebased { path, before, text, added, pruned, firm } = rebased;
    if added + pruned > 0 && !write(&path, before.as_deref(), &text) {
        return End::CouldNotRun;
    }
    let firm = match firm {
        0 => String::new(),
        1 => "\n  1 more cannot be waived, and still counts".to_owned(),
        firm => format!("\n  {firm} more cannot be waived, and still count"),
    };
    let lines = if pruned == 1 { "line" } else { "lines" };
    screen::print(&format!("{path}: {added} known, {pruned} {lines} taken out{firm}\n"));
    End::Clear
}

/// Writes a proof, or says why not.
fn write(path: &str, before: Option<&str>, text: &str) -> bool {
    let Err(why) = replace(path, before, text) else { return true };
    let hint = match why {
        NotWritten::Taken => "; somebody else wrote it meanwhile: try again",
        NotWritten::Refused(_) => "",
    };
    screen::complain(&format!("cannot write {path}: {why}{hint}"));
    false
}

fn said(signed: &Signed) -> String {
    let count = signed.grounds.len();
    let facts = if count == 1 { "fact" } else { "facts" };
    format!(
        "{}\n  signed in {}, resting on {count} {facts}; a change of any of them opens it again\n",
        signed.record, signed.path
    )
}

fn complain(why: &NotSigned) {
    if let NotSigned::Unread(sources, findings) = why {
        let report = Report {
            summary: Summary { files: 1, ..Summary::new(Level::Error) },
            ..Report::of(sources, findings)
        };
        screen::warn(&terminal(&report, &screen::look()));
    }
    screen::complain(&why.to_string());
}
