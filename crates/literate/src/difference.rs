//! How two texts differ, line by line, for a person.

/// The lines of two texts that differ, `-` for what was expected and `+` for what was
/// found, with one equal line around them; empty where the texts are equal.
///
/// Equal beginnings and endings are left out; what lies between is shown whole.
pub(crate) fn difference(expected: &str, found: &str) -> String {
    let expected: Vec<&str> = expected.trim_end().lines().collect();
    let found: Vec<&str> = found.trim_end().lines().collect();
    if expected == found {
        return String::new();
    }
    let start = equal(expected.iter(), found.iter());
    let rest = |lines: &[&str]| lines.len() - start;
    let end = equal(expected.iter().rev(), found.iter().rev())
        .min(rest(&expected))
        .min(rest(&found));
    let mut out = Vec::new();
    out.extend(start.checked_sub(1).and_then(|at| shown(" ", expected.get(at))));
    let changed = |lines: &[&str]| start..lines.len() - end;
    out.extend(changed(&expected).filter_map(|at| shown("-", expected.get(at))));
    out.extend(changed(&found).filter_map(|at| shown("+", found.get(at))));
    out.extend(shown(" ", expected.get(expected.len() - end)));
    out.join("\n")
}

fn equal<'a>(
    one: impl Iterator<Item = &'a &'a str>,
    other: impl Iterator<Item = &'a &'a str>,
) -> usize {
    one.zip(other).take_while(|(one, other)| one == other).count()
}

fn shown(sign: &str, line: Option<&&str>) -> Option<String> {
    line.map(|line| format!("    {sign} {line}").trim_end().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_differs_is_shown_with_a_line_around_it() {
        let found = difference("a\nb\nc\nd\ne\n", "a\nb\nx\ny\nd\ne");
        assert_eq!(found, "      b\n    - c\n    + x\n    + y\n      d");
    }

    #[test]
    fn a_line_that_is_twice_as_often_is_one_line_too_many() {
        assert_eq!(difference("a\na\n", "a\na\na\n"), "      a\n    + a");
        assert_eq!(difference("", "a\n"), "    + a");
    }

    #[test]
    fn equal_texts_do_not_differ_whatever_empty_lines_they_end_in() {
        assert_eq!(difference("a\n\n", "a"), "");
    }
}
