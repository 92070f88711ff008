//! The rules that could not say, gathered by the line whose value is not known.
//!
//! One unknown mass silences every rule about balance, in every loadout. Said once for
//! each line that has to be filled in, it is a list of what to measure.

use std::collections::BTreeMap;

use trimsheet_source::{CannotSay, FileId, Span};

use crate::{clean, counted, ruler::Ruler};

/// The rules that one unknown value keeps from judging.
pub(crate) struct Group<'a> {
    /// The file and line of the value, and the words for it.
    cause: (FileId, usize, &'a str),
    first: &'a CannotSay,
    /// Other things that the first rule was asked about.
    more_subjects: usize,
    /// Other rules, each once.
    more_rules: Vec<&'a str>,
}

/// One sentence for each unknown value, in the order in which they were met.
pub(crate) fn sentences(ruler: &Ruler<'_>, cannot_say: &[CannotSay]) -> Vec<String> {
    let groups = groups(ruler, cannot_say);
    groups.iter().map(|group| group.sentence(ruler)).collect()
}

/// One group for each unknown value, in the order in which they were met.
pub(crate) fn groups<'a>(
    ruler: &Ruler<'_>,
    cannot_say: &'a [CannotSay],
) -> Vec<Group<'a>> {
    let mut groups: Vec<Group<'_>> = Vec::new();
    let mut known = BTreeMap::new();
    for unsaid in cannot_say {
        let because = &unsaid.because;
        let line = ruler.start(because.span).line;
        let cause = (because.span.file, line, because.text.as_str());
        let at = *known.entry(cause).or_insert(groups.len());
        match groups.get_mut(at) {
            Some(group) => group.add(unsaid),
            None => groups.push(Group::new(cause, unsaid)),
        }
    }
    groups
}

impl<'a> Group<'a> {
    fn new(cause: (FileId, usize, &'a str), first: &'a CannotSay) -> Group<'a> {
        Group { cause, first, more_subjects: 0, more_rules: Vec::new() }
    }

    fn add(&mut self, unsaid: &'a CannotSay) {
        let rule = unsaid.rule.0.as_str();
        if rule == self.first.rule.0 {
            self.more_subjects += 1;
        } else if !self.more_rules.contains(&rule) {
            self.more_rules.push(rule);
        }
    }

    fn sentence(&self, ruler: &Ruler<'_>) -> String {
        let (file, line, _) = self.cause;
        let path = clean::visible(ruler.path(file));
        format!("{} ({path}:{line})", self.says())
    }

    /// Where the value would stand.
    pub(crate) fn span(&self) -> Span {
        self.first.because.span
    }

    /// Which rules say nothing of what, and why.
    pub(crate) fn says(&self) -> String {
        let (_, _, because) = self.cause;
        let mut who = clean::visible(&self.first.rule.0);
        if !self.first.about.text.is_empty() {
            who.push_str(" about ");
            who.push_str(&clean::visible(&self.first.about.text));
        }
        if 0 < self.more_subjects {
            who.push_str(&format!(" and {} more", self.more_subjects));
        }
        if !self.more_rules.is_empty() {
            let rules = counted(self.more_rules.len(), "more rule", "more rules");
            let comma = if 0 < self.more_subjects { "," } else { "" };
            who.push_str(&format!("{comma} and {rules}"));
        }
        format!("{who}: {}", clean::visible(because))
    }
}

#[cfg(test)]
mod tests {
    use trimsheet_source::{Label, RuleId, Sources, Span};

    use super::*;

    fn said(entries: &[(&str, &str, usize, &str)]) -> Vec<String> {
        let mut sources = Sources::default();
        let file = sources.add("linnet.trim", "part wing\npart camera\n");
        let unsaid: Vec<CannotSay> = entries
            .iter()
            .map(|(rule, about, start, because)| CannotSay {
                rule: RuleId::new(*rule),
                about: Label::new(Span { file, start: 0, end: 0 }, *about),
                because: Label::new(Span { file, start: *start, end: 20 }, *because),
            })
            .collect();
        sentences(&Ruler::new(&sources), &unsaid)
    }

    #[test]
    fn a_rule_that_cannot_say_is_named_with_the_line_that_is_not_known() {
        let mass = "the mass of camera is not known";
        assert_eq!(
            said(&[("balance/outside-band", "loadout ferry", 10, mass)]),
            [
                "balance/outside-band about loadout ferry: the mass of camera is not known \
              (linnet.trim:2)"
            ]
        );
    }

    #[test]
    fn rules_that_miss_the_same_value_are_named_once() {
        let entries = [
            ("a/one", "loadout ferry", 10, "no mass"),
            ("a/two", "loadout ferry", 10, "no mass"),
            ("a/one", "loadout survey", 10, "no mass"),
            ("a/two", "loadout survey", 10, "no mass"),
            ("a/two", "", 0, "no mass"),
            ("a/six", "", 10, "no mass"),
        ];
        assert_eq!(
            said(&entries),
            [
                "a/one about loadout ferry and 1 more, and 2 more rules: no mass \
                 (linnet.trim:2)",
                "a/two: no mass (linnet.trim:1)",
            ]
        );
    }

    #[test]
    fn two_values_missing_on_one_line_are_two_causes() {
        let entries = [("a/one", "", 10, "no mass"), ("a/one", "", 10, "no place")];
        assert_eq!(said(&entries).len(), 2);
    }
}
