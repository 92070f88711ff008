//! The reference spec that a model follows: read beside it, and never judged.

use trimsheet_facts::Facts;
use trimsheet_model::vocabulary::Vocabulary;
use trimsheet_model::{Build, Stage, Value, resolve_with};
use trimsheet_source::{Finding, Level, Sources};

use crate::host::Host;
use crate::load::{beside, load, text};

/// Reads what `follows` names, where that is a spec (its name ends in `.trim`), and says
/// what keeps it from being read.
pub(crate) fn reference(
    host: &dyn Host,
    spec: &str,
    build: &Build,
    sources: &mut Sources,
    vocabulary: &Vocabulary,
) -> (Option<Facts>, Option<Finding>) {
    let Some((value, name)) = followed(build) else { return (None, None) };
    let not_read =
        |why: String| {
            let says = format!("cannot read the reference \"{name}\": {why}");
            let finding =
                Finding::new("read/follows-missing", Level::Error, value.span, says);
            (None, Some(finding.advised(
            "put the reference beside the spec, or write which drawings it follows",
        )))
        };
    let Some(path) = beside(spec, name) else {
        return not_read("it lies outside the folder of the spec".into());
    };
    if path == spec {
        return not_read("it is this spec itself".into());
    }
    let read = match text(host, &path) {
        Ok(text) => text,
        Err(trouble) => return not_read(trouble.to_string()),
    };
    let loaded = load(host, &path, &read, sources);
    let (build, findings) = resolve_with(&loaded.documents, sources, vocabulary);
    let damaged = findings.iter().chain(&loaded.findings);
    let damaged = damaged.filter(|one| one.level >= Level::Error).count();
    let facts = Facts::new(build, Stage::Planned).from_texts(sources.clone());
    if damaged == 0 {
        return (Some(facts), None);
    }
    let says =
        format!("{} of the reference \"{name}\" could not be read", lines(damaged));
    let finding = Finding::new("read/follows-missing", Level::Warning, value.span, says);
    let advice = format!("check it by itself: trimsheet check {path}");
    (Some(facts), Some(finding.advised(advice)))
}

/// The spec that a model follows, where it is one.
pub(crate) fn followed(build: &Build) -> Option<(&Value, &str)> {
    let followed =
        build.of_word("model").find_map(|(_, model)| model.fact("follows")?.first())?;
    let name = followed.text().filter(|name| name.ends_with(".trim"))?;
    Some((followed, name))
}

fn lines(count: usize) -> String {
    if count == 1 { "1 line".into() } else { format!("{count} lines") }
}

#[cfg(test)]
mod tests {
    use crate::{Memory, Settings, open};

    #[test]
    fn a_reference_that_is_not_there_is_named_at_its_line() {
        for (name, says) in [
            ("gone.trim", "there is no such file"),
            ("../up.trim", "outside the folder"),
            ("a.trim", "this spec itself"),
        ] {
            let spec = format!("model a: follows \"{name}\"\n");
            let host = Memory::new().with("b/a.trim", spec);
            let opened = open(&host, "b/a.trim", &Settings::default()).unwrap();
            let found = |one: &&trimsheet_source::Finding| one.headline.contains(says);
            assert!(opened.findings.iter().any(|one| found(&one)), "{name}");
        }
    }
}
