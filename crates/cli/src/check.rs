//! `trimsheet check`

use trimsheet_output::{
    Report, Summary, annotations, json, junit, lines, sarif, summary, terminal,
};
use trimsheet_project::{Checked, Settings, check as run};

use crate::End;
use crate::arguments::{Check, CheckFormat};
use crate::disk::Disk;
use crate::{rules, screen};

/// Checks what was asked for, and shows what was found.
pub(crate) fn check(wanted: &Check) -> End {
    let threads = wanted.threads.or_else(|| std::thread::available_parallelism().ok());
    let threads = threads.map_or(1, std::num::NonZero::get);
    let Some(settings) = rules::settings(&wanted.under) else { return End::CouldNotRun };
    let settings = Settings { threads, progress: screen::progress, ..settings };
    let checked = run(&Disk, &wanted.paths, &settings);
    for (path, trouble) in &checked.troubles {
        screen::complain(&format!("cannot check {path}: {trouble}"));
    }
    let nothing_to_do = checked.files == 0 && checked.troubles.is_empty();
    if nothing_to_do {
        let paths = wanted.paths.join(", ");
        screen::complain(&format!("found no spec (a file called NAME.trim) in {paths}"));
        return End::CouldNotRun;
    }
    if checked.files > 0 || wanted.format.names_troubles() {
        show(wanted, &checked);
    }
    let fails = checked.findings.iter().any(|finding| finding.level >= wanted.fail_at);
    match (checked.troubles.is_empty(), fails) {
        (false, _) => End::CouldNotRun,
        (true, true) => End::Found,
        (true, false) => End::Clear,
    }
}

fn show(wanted: &Check, checked: &Checked) {
    let troubles = checked.troubles.iter();
    let troubles: Vec<(String, String)> =
        troubles.map(|(path, trouble)| (path.clone(), trouble.to_string())).collect();
    let report = Report {
        sources: &checked.sources,
        findings: &checked.findings,
        cannot_say: &checked.cannot_say,
        waived: &checked.waived,
        figures: &checked.figures,
        judged: &checked.judged,
        rules: &checked.rules,
        troubles: &troubles,
        summary: Summary {
            stage: wanted.under.stage.map(|stage| stage.word().to_owned()),
            fail_at: wanted.fail_at,
            files: checked.files,
            estimated: checked.estimated,
            unknown: checked.unknown,
            loosened: checked.loosened,
            proved: checked.proved,
        },
    };
    screen::print(&match wanted.format {
        CheckFormat::Text => terminal(&report, &screen::look()),
        CheckFormat::Lines => lines(&report),
        CheckFormat::Json => json(&report),
        CheckFormat::Sarif => sarif(&report),
        CheckFormat::Junit => junit(&report),
        CheckFormat::Annotations => annotations(&report),
    });
    // Lines are all findings; what no finding means is said beside them.
    if matches!(wanted.format, CheckFormat::Lines) {
        screen::warn(&summary(&report));
    }
}
