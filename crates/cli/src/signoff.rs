//! `trimsheet signoff`

use trimsheet_output::{Report, Summary, terminal};
use trimsheet_project::source::Level;
use trimsheet_project::{NotSigned, Signed, Signing, sign};

use crate::arguments::{Signoff, Under};
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
    let before = signed.before.as_deref();
    if let Err(why) = replace(&signed.path, before, &signed.text) {
        let hint = match why {
            NotWritten::Taken => "; somebody else signed meanwhile: sign again",
            NotWritten::Refused(_) => "",
        };
        screen::complain(&format!("cannot write {}: {why}{hint}", signed.path));
        return End::CouldNotRun;
    }
    screen::print(&said(&signed));
    End::Clear
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
