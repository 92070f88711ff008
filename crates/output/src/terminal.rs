//! A report for a person at a terminal, drawn by codespan.

use std::io;

use codespan_reporting::diagnostic::{Diagnostic, Severity};
use codespan_reporting::term::termcolor::{Ansi, NoColor, WriteColor};
use codespan_reporting::term::{self, Config};
use trimsheet_source::{Finding, Level, Span, Waived};

use crate::pen::{END, Pen, START};
use crate::{
    Colour, Look, MOST_CAUSES, Report, clean, page::Page, ruler::Ruler, summary, unsaid,
};

/// The fewest columns that a report is laid out for.
const NARROWEST: usize = 50;

/// The longest part of a line that is shown, however wide the terminal is.
const LONGEST_LINE: usize = 200;

/// Draws a report for a terminal.
///
/// Each finding has a headline, the lines that it is about with what was found there,
/// what can be done, and how certain it is. Then comes what somebody
/// lets pass, with the reason, and the rules that could not say,
/// gathered by what is not known, and the closing lines of [`summary`](fn@summary).
/// Control characters from specs and rules are shown as visible signs.
pub fn terminal(report: &Report<'_>, look: &Look) -> String {
    shown(report, look, &summary::lines(report))
}

/// Draws the findings of a report alone, without its closing lines.
pub fn findings(report: &Report<'_>, look: &Look) -> String {
    shown(report, look, &[])
}

fn shown(report: &Report<'_>, look: &Look, closing: &[String]) -> String {
    let bytes = match look.colour {
        Colour::Plain => {
            let out = NoColor::new(Vec::new());
            draw(report, look, closing, out).map(NoColor::into_inner)
        }
        Colour::Ansi => {
            let out = Ansi::new(Vec::new());
            draw(report, look, closing, out).map(Ansi::into_inner)
        }
    };
    // Writing to memory cannot fail; if it did, the closing lines are the least to say.
    bytes.map_or_else(
        |_| summary(report),
        |bytes| String::from_utf8_lossy(&bytes).into_owned(),
    )
}

fn draw<W: WriteColor>(
    report: &Report<'_>,
    look: &Look,
    closing: &[String],
    out: W,
) -> io::Result<W> {
    let width = look.width.max(NARROWEST);
    let ruler = Ruler::new(report.sources);
    let mut pen = Pen::new(out, width);
    let mut rest = report.findings;
    while let Some((first, behind)) = rest.split_first() {
        let count = behind.iter().take_while(|next| is_alike(first, next)).count();
        let (alike, others) = behind.split_at(count);
        draw_finding(&mut pen, &ruler, first, alike, width)?;
        rest = others;
    }
    for waived in report.waived {
        pen.entry("waived", &waived_sentence(&ruler, waived))?;
    }
    if !report.waived.is_empty() {
        pen.gap()?;
    }
    let sentences = unsaid::sentences(&ruler, report.cannot_say);
    for sentence in &sentences {
        pen.entry("cannot say", sentence)?;
    }
    if !sentences.is_empty() {
        pen.gap()?;
    }
    for figures in report.figures {
        pen.entry("worked out", &clean::visible(&figures.says))?;
    }
    if !report.figures.is_empty() {
        pen.gap()?;
    }
    for line in closing {
        pen.entry("", line)?;
    }
    pen.finish()
}

/// What passes, on whose word and until when, and where the reason stands.
fn waived_sentence(ruler: &Ruler<'_>, waived: &Waived) -> String {
    let finding = &waived.finding;
    let place = |span: Span| {
        let path = clean::visible(ruler.path(span.file));
        format!("{path}:{}", ruler.start(span).line)
    };
    format!(
        "{}[{}], {} ({}): \"{}\", says {} until {} ({})",
        finding.level,
        clean::visible(&finding.rule.0),
        clean::visible(&finding.headline),
        place(finding.primary.span),
        clean::visible(&waived.because.text),
        clean::visible(&waived.by),
        waived.until,
        place(waived.because.span),
    )
}

/// Whether two findings are one to a person: several rules that miss the same number.
fn is_alike(one: &Finding, other: &Finding) -> bool {
    let is_near = one.level == other.level && one.headline == other.headline;
    is_near && Finding { rule: one.rule.clone(), ..other.clone() } == *one
}

/// Draws a finding, under the names of all the rules that say just that.
fn draw_finding<W: WriteColor>(
    pen: &mut Pen<W>,
    ruler: &Ruler<'_>,
    finding: &Finding,
    alike: &[Finding],
    width: usize,
) -> io::Result<()> {
    let rules = [finding].into_iter().chain(alike);
    let rules: Vec<_> = rules.map(|one| clean::visible(&one.rule.0)).collect();
    let name = format!("{}[{}]", finding.level, rules.join(", "));
    let causes = finding.because.get(..MOST_CAUSES).unwrap_or(&finding.because);
    let page = Page::new(ruler, &finding.primary, causes, width.min(LONGEST_LINE));
    let diagnostic = Diagnostic::new(severity(finding.level))
        .with_message(format_args!("{START}{}{END}", clean::visible(&finding.headline)))
        .with_labels(page.labels.clone())
        .with_notes(notes(finding));
    let config = Config::default();
    pen.name(name.clone());
    let drawn = term::emit_to_write_style(pen, &config, &page, &diagnostic);
    if drawn.is_ok() {
        return Ok(());
    }
    // A finding must not be lost because its picture could not be drawn.
    let place = ruler.start(finding.primary.span);
    let path = clean::visible(ruler.path(finding.primary.span.file));
    let headline = clean::visible(&finding.headline);
    pen.entry(&name, &format!("{headline} ({path}:{})", place.line))
}

/// The severity whose colours a level has; the words are ours.
fn severity(level: Level) -> Severity {
    match level {
        Level::Note => Severity::Note,
        Level::Warning => Severity::Warning,
        Level::Error => Severity::Error,
        Level::Stop => Severity::Bug,
    }
}

/// What stands below the lines: causes left out, what to do, and how certain it is.
fn notes(finding: &Finding) -> Vec<String> {
    let mut notes = Vec::new();
    let left_out = finding.because.len().saturating_sub(MOST_CAUSES);
    if 0 < left_out {
        notes.push(note("because", &format!("{left_out} more, not shown")));
    }
    notes.extend(finding.remedies.iter().map(|remedy| note("remedy", &remedy.says)));
    notes.extend(finding.likely.iter().map(|likely| note("likely", likely)));
    notes
}

fn note(word: &str, text: &str) -> String {
    format!("{word}: {START}{}{END}", clean::visible(text))
}

#[cfg(test)]
mod tests;
