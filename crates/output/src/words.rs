//! A finding in words alone, for forms that draw no lines of a file.

use trimsheet_source::{CannotSay, Finding, Waived};

use crate::{MOST_CAUSES, clean, lines::place, ruler::Ruler};

/// What was found, what caused it and what can be done, each on a line of its own.
pub(crate) fn whole(ruler: &Ruler<'_>, finding: &Finding) -> Vec<String> {
    let mut lines = vec![clean::visible(&finding.headline)];
    if !finding.primary.text.is_empty() {
        lines.push(format!("here: {}", clean::visible(&finding.primary.text)));
    }
    let causes = finding.because.iter().take(MOST_CAUSES);
    lines.extend(causes.map(|label| {
        let at = place(ruler, label.span);
        format!("because of {at}: {}", clean::visible(&label.text))
    }));
    let left_out = finding.because.len().saturating_sub(MOST_CAUSES);
    lines
        .extend((0 < left_out).then(|| format!("because of {left_out} more, not shown")));
    lines.extend(advice(finding));
    lines
}

/// What can be done, and what is not certain.
pub(crate) fn advice(finding: &Finding) -> impl Iterator<Item = String> {
    let remedies = finding.remedies.iter();
    let remedies =
        remedies.map(|remedy| format!("remedy: {}", clean::visible(&remedy.says)));
    let likely = finding.likely.iter();
    remedies.chain(likely.map(|says| format!("likely: {}", clean::visible(says))))
}

/// What could not be judged, and why.
pub(crate) fn unsaid(unsaid: &CannotSay) -> String {
    let about = clean::visible(&unsaid.about.text);
    let of = if about.is_empty() { "this".into() } else { about };
    let because = clean::visible(&unsaid.because.text);
    format!("cannot say whether {of} passes, because {because}")
}

/// Why a finding is let pass, on whose word, and until when.
pub(crate) fn reason(waived: &Waived) -> String {
    format!(
        "\"{}\", says {} until {}",
        clean::visible(&waived.because.text),
        clean::visible(&waived.by),
        clean::visible(&waived.until),
    )
}
