//! The debrief for a person.

use super::{Debrief, Figure};
use crate::page::{Page, place};

/// Writes a debrief within so many columns; fewer than 60 are taken as 60, more than 100
/// as 100.
pub fn text(debrief: &Debrief, columns: usize) -> String {
    let mut page = Page::new(columns);
    let revision = debrief.revision.as_ref().map(|says| format!(", revision {says}"));
    let title = match debrief.title.as_str() {
        "" => "aircraft without a name",
        title => title,
    };
    page.say(&format!("{title}{}: debrief", revision.unwrap_or_default()));
    page.say(&format!("{}, judged for the stage {}", debrief.file, debrief.stage));
    of_log(&mut page, debrief);
    page.rule(match &debrief.loadout {
        Some(_) => "planned and flown",
        None => "flown",
    });
    if let Some(loadout) = &debrief.loadout {
        page.entry("loadout", loadout);
    }
    let heads = ["", "planned", "flown", "difference", "note"];
    let body: Vec<Vec<String>> =
        debrief.figures.iter().map(|figure| row(&debrief.file, figure)).collect();
    page.list(&heads, &body);
    if let Some(from) = &debrief.cruise_from {
        page.gap();
        page.entry("cruise", from);
    }
    for not_said in &debrief.not_said {
        let line = not_said.line.as_ref().map(|line| place(&debrief.file, line));
        let says = format!("{}: {}", not_said.what, not_said.why);
        page.gap();
        page.entry("cannot say", &format!("{says}{}", line.unwrap_or_default()));
    }
    if let Some(offer) = &debrief.offer {
        page.rule("to write into the spec");
        let line = offer.line.as_ref().map(|line| place(&debrief.file, line));
        let line =
            line.map_or(String::new(), |line| format!(", in place of its line{line}"));
        page.entry("under", &format!("{}{line}", offer.under));
        page.entry("the line", &offer.says);
    }
    page.gap();
    page.say("A log shows one flight. No release to fly; local rules decide.");
    page.out
}

fn of_log(page: &mut Page, debrief: &Debrief) {
    let log = &debrief.log;
    page.rule("the log");
    let line = log.line.as_ref().map(|line| place(&debrief.file, line));
    page.entry(
        "log",
        &format!("{}, read as {}{}", log.path, log.name, line.unwrap_or_default()),
    );
    page.entry("form", &log.form);
    let out: u64 = log.left_out.iter().map(|sort| sort.count).sum();
    page.entry("rows", &format!("{}: {} used, {out} left out", log.rows, log.used));
    for sort in &log.left_out {
        let more = if (sort.first.len() as u64) < sort.count { "; …" } else { "" };
        let first = sort.first.join("; ");
        page.entry("left out", &format!("{} {}: {first}{more}", sort.count, sort.says));
    }
    if 0 < log.gap_count {
        let first =
            log.gaps.iter().map(|gap| format!("{} before line {}", gap.lasts, gap.line));
        let first: Vec<String> = first.collect();
        page.entry(
            "gaps",
            &format!(
                "{}, together {}, nothing summed over them: {}",
                log.gap_count,
                log.gap_time,
                first.join("; ")
            ),
        );
    }
    if 0 < log.blank {
        page.entry("blank", &format!("lines with nothing on them: {}", log.blank));
    }
    for empty in &log.empty {
        page.entry(
            "empty",
            &format!("{} in {} of the rows used", empty.channel, empty.count),
        );
    }
}

fn row(file: &str, figure: &Figure) -> Vec<String> {
    let number = |number: &Option<crate::Number>| {
        number.as_ref().map_or(String::new(), ToString::to_string)
    };
    let flown = match (&figure.flown, figure.bare) {
        (None, Some(bare)) => bare.to_string(),
        (flown, _) => number(flown),
    };
    let line = figure.line.as_ref().map(|line| place(file, line));
    let note = figure.note.clone().unwrap_or_default() + &line.unwrap_or_default();
    vec![
        figure.what.clone(),
        number(&figure.planned),
        flown,
        number(&figure.difference),
        note.trim_start().to_owned(),
    ]
}
