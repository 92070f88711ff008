//! `trimsheet try`

use trimsheet_output::{Report, findings};
use trimsheet_project::change::{Done, NotChanged, Rewritten, Seen, Trial};
use trimsheet_project::source::{Finding, Level, Sources};
use trimsheet_report::Sheet;
use trimsheet_report::trial::{Changed, Moved, Told, Trial as Shown, json, text};

use crate::arguments::{Format, Try};
use crate::disk::Disk;
use crate::{End, rules, screen};

/// Tries what was asked for, and shows what it does.
pub(crate) fn try_changes(wanted: &Try) -> End {
    let Some(settings) = rules::settings(&wanted.under) else { return End::CouldNotRun };
    let (file, loadout) = (&wanted.file, wanted.loadout.as_deref());
    let tried = trimsheet_project::change::try_changes(
        &Disk,
        file,
        &wanted.changes,
        loadout,
        &settings,
    );
    let trial = match tried {
        Ok(trial) => trial,
        Err(why) => return refused(file, why),
    };
    let came = trial.shifted().came.iter().any(|one| one.level >= Level::Error);
    let shown = shown(&trial);
    screen::print(&match wanted.format {
        Format::Text => text(&shown, screen::look().width),
        Format::Json => json(&shown),
    });
    if came { End::Found } else { End::Clear }
}

/// Says why nothing was changed.
pub(crate) fn refused(file: &str, why: NotChanged) -> End {
    match why {
        NotChanged::Trouble(trouble) => {
            screen::complain(&format!("cannot read {file}: {trouble}"));
        }
        NotChanged::NoLoadout(says) => screen::complain(&says),
        NotChanged::NotUnderstood(sources, found) => {
            let report = Report::of(&sources, &found);
            screen::warn(&findings(&report, &screen::look()));
        }
    }
    End::CouldNotRun
}

fn shown(trial: &Trial) -> Shown {
    let sheet = |seen: &Seen| Sheet::new(&seen.opened.facts, &seen.opened.sources);
    let (before, after) = (sheet(&trial.before), sheet(&trial.after));
    let shifted = trial.shifted();
    let told = |list: &[&Finding], sources: &Sources| {
        list.iter().map(|one| told(one, sources)).collect()
    };
    let (old, new) = (&trial.before.checked.sources, &trial.after.checked.sources);
    Shown {
        file: after.file.clone(),
        stage: trial.stage().word().to_owned(),
        changes: trial.done.iter().map(changed).collect(),
        loadouts: Moved::between(&before, &after),
        came: told(&shifted.came, new),
        went: told(&shifted.went, old),
        reworded: told(&shifted.reworded, new),
        stay: shifted.stay,
    }
}

fn told(finding: &Finding, sources: &Sources) -> Told {
    Told {
        level: finding.level.word().to_owned(),
        rule: finding.rule.to_string(),
        says: finding.headline.clone(),
        line: sources.place(finding.primary.span).line,
    }
}

fn changed(done: &Done) -> Changed {
    let line = |one: &Rewritten| {
        let Rewritten { of, line, before, after } = one;
        match (before.is_empty(), after.is_empty()) {
            (true, _) => format!("{of}, line {line}: put in `{after}`"),
            (_, true) => format!("{of}, line {line}: take out `{before}`"),
            (false, false) => format!("{of}, line {line}: `{before}` becomes `{after}`"),
        }
    };
    Changed {
        phrase: done.phrase.clone(),
        lines: done.lines.iter().map(line).collect(),
        notes: done.notes.clone(),
    }
}
