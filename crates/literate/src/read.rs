//! A text to a page of tests.

use crate::case::{Block, Case, Console, Name, Shown, Spec, SpecLine, Step};
use crate::markdown::{Fence, Section, sections};
use crate::page::{Page, Problem, rule_of, stem};
use crate::{Mark, Settings, mark};

/// Languages of blocks that are only shown.
const ILLUSTRATIONS: [&str; 7] = ["", "text", "rhai", "json", "sh", "rust", "markdown"];

/// Reads a page of tests.
///
/// # Errors
/// Everything that keeps the page from meaning one thing, in the order of its lines: a
/// heading that is both a test and a group, two tests of one name, a block or a mark
/// that is not known, settings that cannot be read.
pub fn read(path: &str, text: &str) -> Result<Page, Vec<Problem>> {
    let (sections, problems) = sections(text);
    let mut reading = Reading { path, problems, above: Vec::new(), cases: Vec::new() };
    for section in &sections {
        reading.section(section);
    }
    let Reading { mut problems, mut cases, .. } = reading;
    let rule = rule_of(path);
    if let Some(rule) = &rule {
        for case in &mut cases {
            case.settings.only.get_or_insert_with(|| vec![rule.0.clone()]);
        }
    }
    problems.sort();
    if !problems.is_empty() {
        return Err(problems);
    }
    Ok(Page { path: path.into(), rule, cases, text: text.into() })
}

/// A heading that the one being read stands below.
struct Above {
    depth: usize,
    title: String,
    settings: Settings,
    /// The line of the heading, if it has blocks of its own.
    test: Option<usize>,
}

struct Reading<'a> {
    path: &'a str,
    problems: Vec<Problem>,
    above: Vec<Above>,
    cases: Vec<Case>,
}

impl Reading<'_> {
    fn problem(&mut self, line: usize, says: impl Into<String>) {
        self.problems.push(Problem::new(line, says));
    }

    fn section(&mut self, section: &Section) {
        self.above.retain(|above| above.depth < section.depth);
        let mut settings =
            self.above.last().map(|above| above.settings.clone()).unwrap_or_default();
        let mut case = Case { line: section.line, ..Case::default() };
        for fence in &section.fences {
            if fence.info == "toml" {
                match settings.with(&fence.text()) {
                    Ok(with) => settings = with,
                    Err((line, says)) => self.problem(fence.line + line, says),
                }
            } else {
                self.fence(&mut case, fence);
            }
        }
        let is_test = case.is_test();
        if is_test {
            self.test(case, section, &settings);
        }
        self.above.push(Above {
            depth: section.depth,
            title: section.title.clone(),
            settings,
            test: (is_test && 0 < section.depth).then_some(section.line),
        });
    }

    /// Takes a test in, under the names of the headings that it stands below.
    fn test(&mut self, mut case: Case, section: &Section, settings: &Settings) {
        let titles = self.above.iter().map(|above| above.title.as_str());
        let titles: Vec<&str> = titles.chain([section.title.as_str()]).collect();
        let titles: Vec<&str> =
            titles.into_iter().filter(|title| !title.is_empty()).collect();
        case.name = titles.join(" / ");
        case.settings = settings.clone();
        if let Some(line) = self.above.iter().find_map(|above| above.test) {
            self.problem(
                line,
                format!(
                    "this heading has blocks of its own and a test below it, at line {}; \
                     put its blocks under a heading of their own",
                    section.line
                ),
            );
        }
        if let Some(twin) = self.cases.iter().find(|other| other.name == case.name) {
            let says =
                format!("a test of this name stands at line {} already", twin.line);
            self.problem(case.line, says);
        }
        if section.depth == 0 {
            let line = section.fences.first().map_or(1, |fence| fence.line);
            self.problem(line, "this block has no heading above it to name its test");
        }
        let has_spec =
            case.files.first().is_some_and(|file| file.name.ends_with(".trim"));
        let is_console = case.blocks.is_empty() && case.files.is_empty();
        if !has_spec && !is_console {
            self.problem(case.line, "there is no `trim` block under this heading");
        }
        self.cases.push(case);
    }

    fn fence(&mut self, case: &mut Case, fence: &Fence) {
        let (kind, rest) = fence.info.split_once(' ').unwrap_or((&fence.info, ""));
        let rest = rest.trim();
        let block = |shown| Block {
            shown,
            line: fence.line,
            end_line: fence.end_line,
            text: fence.text(),
        };
        let is_name = rest.contains('.') && !rest.contains(char::is_whitespace);
        match kind {
            "trim" if rest.is_empty() => {
                let name = format!("{}.trim", stem(self.path));
                self.spec(case, &name, fence);
            }
            "snapshot" if rest.is_empty() => case.blocks.push(block(Shown::Snapshot)),
            "fixed" if rest.is_empty() => case.blocks.push(block(Shown::Fixed)),
            "remedied" if !rest.is_empty() => {
                case.blocks.push(block(Shown::Remedied(remedy_name(rest))));
            }
            "console" if rest.is_empty() => match console(fence) {
                Ok(console) => case.consoles.push(console),
                Err(problem) => self.problems.push(problem),
            },
            "remedied" | "snapshot" | "fixed" | "console" => {
                self.problem(fence.line, not_known(&fence.info));
            }
            // What another program reads is only shown here.
            "yaml" => {}
            _ if is_name => self.spec(case, rest, fence),
            _ if rest.is_empty() && ILLUSTRATIONS.contains(&kind) => {}
            _ => self.problem(fence.line, not_known(&fence.info)),
        }
    }

    /// Adds a block to the file of this name.
    ///
    /// The first file is the one that is checked: the one named after the page, or else
    /// the first spec.
    fn spec(&mut self, case: &mut Case, name: &str, fence: &Fence) {
        let own = name.strip_suffix(".trim") == Some(stem(self.path));
        let at = case.files.iter().position(|file| file.name == name);
        let at = at.unwrap_or_else(|| {
            let is_spec = |file: &Spec| file.name.ends_with(".trim");
            let first = own || name.ends_with(".trim") && !case.files.iter().any(is_spec);
            let at = if first { 0 } else { case.files.len() };
            case.files.insert(at, Spec { name: name.into(), ..Spec::default() });
            at
        });
        let Some(spec) = case.files.get_mut(at) else {
            return;
        };
        for (line, text) in (fence.line + 1..).zip(&fence.lines) {
            let (text, claims) = mark::split(text, mark::opener(name));
            let at = spec.lines.len();
            for claim in claims {
                match claim {
                    Ok(claim) => spec.marks.push(Mark { at, line, claim }),
                    Err(says) => self.problems.push(Problem::new(line, says)),
                }
            }
            // A line with nothing but marks speaks of the next, and is no line itself.
            let only_marks = text.trim().is_empty()
                && spec.marks.last().is_some_and(|mark| mark.line == line);
            if !only_marks {
                spec.lines.push(SpecLine { text: text.into(), line });
            }
        }
    }
}

impl Case {
    fn is_test(&self) -> bool {
        !(self.files.is_empty() && self.blocks.is_empty() && self.consoles.is_empty())
    }
}

fn not_known(info: &str) -> String {
    format!(
        "a block `{info}` is not known here; found are `trim` and `trim NAME.trim`, \
         `toml`, `snapshot`, `fixed`, `remedied WHICH`, `console`, and to be shown only \
         `text`, `rhai`, `json`, `sh`, `rust`, `markdown`"
    )
}

fn remedy_name(text: &str) -> Name {
    text.parse()
        .map_or_else(|_| Name::Part(text.trim_matches('"').to_owned()), Name::Number)
}

fn console(fence: &Fence) -> Result<Console, Problem> {
    let mut steps: Vec<Step> = Vec::new();
    for (line, text) in (fence.line + 1..).zip(&fence.lines) {
        match (text.strip_prefix("$ "), steps.last_mut()) {
            (Some(command), _) => {
                let command = command.trim().to_owned();
                steps.push(Step { line, command, expected: String::new() });
            }
            (None, Some(step)) => {
                step.expected.push_str(text);
                step.expected.push('\n');
            }
            (None, None) => {
                return Err(Problem::new(
                    line,
                    "a `console` block begins with `$ ` and a command",
                ));
            }
        }
    }
    Ok(Console { line: fence.line, steps })
}

#[cfg(test)]
mod tests;
