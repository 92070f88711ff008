//! Marks: what is expected, written at the line where it is expected.

use trimsheet_project::source::{Level, RuleId};

/// What one mark says, and where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// The line of the file that it is about, from 0; past the last is the end.
    pub at: usize,
    /// The line of the page on which it stands.
    pub line: usize,
    /// What it says.
    pub claim: Claim,
}

/// What is expected of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Claim {
    /// A finding is about it.
    Finding {
        /// How serious the finding is.
        level: Level,
        /// What it is called.
        rule: RuleId,
        /// Part of its message; empty is any message.
        says: String,
    },
    /// It caused a finding, with these words among others.
    Because(String),
    /// A finding about it has a remedy with these words.
    Remedy(String),
    /// A finding about it is uncertain, with these words.
    Likely(String),
    /// Its unknown value kept a rule from judging.
    CannotSay(RuleId),
    /// A rule's finding about it is waived.
    Waived(RuleId),
}

/// What opens a mark in a file of this name: a comment in its language.
pub(crate) fn opener(name: &str) -> &'static str {
    if name.ends_with(".rhai") { "//~" } else { "#~" }
}

/// A line without its marks, and what each mark says or why it says nothing.
pub(crate) fn split<'a>(
    line: &'a str,
    opener: &str,
) -> (&'a str, Vec<Result<Claim, String>>) {
    let Some((text, marks)) = line.split_once(opener) else {
        return (line, Vec::new());
    };
    (text.trim_end(), marks.split(opener).map(|mark| claim(mark.trim())).collect())
}

const FORMS: &str = "a mark is `stop: [rule] \"part of the message\"` with stop, error, \
     warning or note, or `because: \"…\"`, `remedy: \"…\"`, `likely: \"…\"`, or `cannot \
     say: [rule]`, `waived: [rule]`";

fn claim(mark: &str) -> Result<Claim, String> {
    let wrong = || format!("found the mark `{mark}`; {FORMS}");
    let (word, rest) = mark.split_once(':').ok_or_else(wrong)?;
    let rest = rest.trim();
    let text = || quoted(rest).filter(|text| !text.is_empty()).ok_or_else(wrong);
    match word.trim() {
        "because" => text().map(Claim::Because),
        "remedy" => text().map(Claim::Remedy),
        "likely" => text().map(Claim::Likely),
        word @ ("cannot say" | "waived") => {
            let (rule, _) =
                rule(rest).filter(|(_, rest)| rest.is_empty()).ok_or_else(wrong)?;
            Ok(if word == "waived" {
                Claim::Waived(rule)
            } else {
                Claim::CannotSay(rule)
            })
        }
        word => {
            let level = Level::from_word(word).ok_or_else(wrong)?;
            let (rule, rest) = rule(rest).ok_or_else(wrong)?;
            let says = if rest.is_empty() { Some(String::new()) } else { quoted(rest) };
            Ok(Claim::Finding { level, rule, says: says.ok_or_else(wrong)? })
        }
    }
}

fn rule(text: &str) -> Option<(RuleId, &str)> {
    let (id, rest) = text.strip_prefix('[')?.split_once(']')?;
    let named = id.contains('/') && !id.contains(char::is_whitespace);
    named.then(|| (RuleId::new(id), rest.trim()))
}

fn quoted(text: &str) -> Option<String> {
    let inner = text.strip_prefix('"')?.strip_suffix('"')?;
    Some(inner.replace("\\\"", "\""))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stop(says: &str) -> Claim {
        let rule = RuleId::new("balance/outside-band");
        Claim::Finding { level: Level::Stop, rule, says: says.into() }
    }

    #[test]
    fn a_mark_is_taken_off_its_line() {
        let line = "part a: mass ?   #~ stop: [balance/outside-band] \"12 mm\"";
        assert_eq!(split(line, "#~"), ("part a: mass ?", vec![Ok(stop("12 mm"))]));
        assert_eq!(split("part a  # ~ no", "#~"), ("part a  # ~ no", Vec::new()));
    }

    #[test]
    fn several_marks_stand_on_one_line() {
        let line = "#~ stop: [balance/outside-band] #~ because: \"the \\\"aft\\\" limit\"\
             #~ cannot say: [radio/silent]";
        let because = Claim::Because("the \"aft\" limit".into());
        let unsaid = Claim::CannotSay(RuleId::new("radio/silent"));
        assert_eq!(split(line, "#~"), ("", vec![Ok(stop("")), Ok(because), Ok(unsaid)]));
    }

    #[test]
    fn a_mark_that_says_nothing_is_refused_with_the_forms_it_may_have() {
        for mark in [
            "stop",
            "halt: [a/b]",
            "stop: a/b",
            "stop: [a/b] x",
            "because:",
            "stop: [ab]",
        ] {
            let says = claim(mark).unwrap_err();
            assert!(says.contains(mark) && says.contains("cannot say: [rule]"), "{says}");
        }
    }
}
