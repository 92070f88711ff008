//! The closing lines: how much was found, and what that does not mean.

use trimsheet_source::Level;

use crate::{Report, clean, counted};

/// The closing lines of a report, each ended by a line break.
///
/// The first counts the findings. Where none makes the run fail, the second says how
/// much of the build is not known or not proved, because a run without findings is
/// easily taken for leave to fly.
pub fn summary(report: &Report<'_>) -> String {
    lines(report).into_iter().flat_map(|line| [line, "\n".into()]).collect()
}

/// The closing lines, without line breaks.
pub(crate) fn lines(report: &Report<'_>) -> Vec<String> {
    let fail_at = report.summary.fail_at;
    let passed = report.findings.iter().all(|finding| finding.level < fail_at);
    let mut lines = vec![counts(report)];
    lines.extend(passed.then(|| caution(report)));
    lines
}

/// How many findings of a level there are.
pub(crate) fn count(report: &Report<'_>, level: Level) -> usize {
    report.findings.iter().filter(|finding| finding.level == level).count()
}

fn counts(report: &Report<'_>) -> String {
    let levels: Vec<String> = Level::ALL
        .into_iter()
        .rev()
        .map(|level| (count(report, level), level.word()))
        .filter(|(count, _)| 0 < *count)
        .map(|(count, word)| counted(count, word, &format!("{word}s")))
        .collect();
    let mut found =
        if levels.is_empty() { "No findings".into() } else { levels.join(", ") };
    if !report.waived.is_empty() {
        found.push_str(&format!(", {} waived", report.waived.len()));
    }
    if 0 < report.summary.loosened {
        let limits = counted(report.summary.loosened, "limit", "limits");
        found.push_str(&format!(", {limits} loosened"));
    }
    let files = counted(report.summary.files, "file", "files");
    let stage = report.summary.stage.as_deref().map(clean::visible);
    let stage = stage.map(|stage| format!(", judged for the stage {stage}"));
    format!("{found} in {files}{}.", stage.unwrap_or_default())
}

fn caution(report: &Report<'_>) -> String {
    let summary = &report.summary;
    let estimated = counted(summary.estimated, "value", "values");
    let proved = match summary.proved {
        0 => "nothing proved yet".into(),
        steps => format!("{} proved", counted(steps, "step", "steps")),
    };
    format!(
        "No finding at or above {}. Not a release to fly: {estimated} estimated, {} \
         unknown, {proved}. Inspect the aircraft; local rules decide.",
        summary.fail_at, summary.unknown
    )
}

#[cfg(test)]
mod tests {
    use trimsheet_source::{FileId, Finding, Sources, Span};

    use super::*;
    use crate::Summary;

    fn closing(levels: &[Level], summary: Summary) -> String {
        let span = Span { file: FileId(0), start: 0, end: 0 };
        let findings: Vec<Finding> =
            levels.iter().map(|level| Finding::new("a/b", *level, span, "")).collect();
        let sources = Sources::default();
        let report = Report { summary, ..Report::of(&sources, &findings) };
        super::summary(&report)
    }

    fn summary(files: usize, estimated: usize, unknown: usize, proved: usize) -> Summary {
        let (stage, loosened, fail_at) = (None, 0, Level::Error);
        Summary { stage, fail_at, files, loosened, estimated, unknown, proved }
    }

    #[test]
    fn a_run_that_fails_is_counted_by_level_the_worst_first() {
        use Level::{Error, Note, Stop, Warning};
        let levels = [Warning, Stop, Note, Warning, Error, Stop, Warning];
        let text = closing(&levels, summary(4, 3, 2, 0));
        assert_eq!(text, "2 stops, 1 error, 3 warnings, 1 note in 4 files.\n");
    }

    #[test]
    fn a_run_that_does_not_fail_is_no_release_to_fly() {
        let text = closing(&[Level::Warning], summary(1, 3, 2, 0));
        assert_eq!(
            text,
            "1 warning in 1 file.\n\
             No finding at or above error. Not a release to fly: 3 values estimated, \
             2 unknown, nothing proved yet. Inspect the aircraft; local rules decide.\n"
        );
    }

    #[test]
    fn one_is_counted_in_the_singular() {
        let text = closing(&[], summary(0, 1, 0, 1));
        assert!(text.starts_with("No findings in 0 files.\n"));
        assert!(text.contains("fly: 1 value estimated, 0 unknown, 1 step proved. "));
        assert!(closing(&[], summary(1, 0, 0, 2)).contains(" 2 steps proved."));
    }

    #[test]
    fn the_stage_asked_for_is_named() {
        let asked = Summary { stage: Some("balanced".into()), ..summary(2, 0, 0, 0) };
        let text = closing(&[Level::Stop], asked);
        assert_eq!(text, "1 stop in 2 files, judged for the stage balanced.\n");
    }

    #[test]
    fn the_level_that_fails_is_the_callers_choice() {
        let strict = Summary { fail_at: Level::Warning, ..summary(1, 0, 0, 0) };
        assert_eq!(closing(&[Level::Warning], strict), "1 warning in 1 file.\n");
    }
}
