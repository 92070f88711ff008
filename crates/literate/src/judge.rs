//! The one place that knows how a check is run.

use trimsheet_project::model::{Date, NoDate, Stage};
use trimsheet_project::rules::{Pack, PackFile, is_part};
use trimsheet_project::source::{CannotSay, Finding, Sources, Waived};
use trimsheet_project::{self as project, Checked, Memory};

use crate::Settings;

/// What a check found.
#[derive(Debug, Default)]
pub(crate) struct Judged {
    pub(crate) sources: Sources,
    pub(crate) findings: Vec<Finding>,
    pub(crate) waived: Vec<Waived>,
    pub(crate) cannot_say: Vec<CannotSay>,
}

/// Checks the first of some files, each a name and a text, or says why it cannot.
pub(crate) type Judge<'a> =
    dyn Fn(&[(String, String)], &Settings) -> Result<Judged, String> + 'a;

/// The check of the project itself, under the rules of some packs.
pub(crate) fn judge(
    packs: &[Pack],
    files: &[(String, String)],
    settings: &Settings,
) -> Result<Judged, String> {
    let today = settings.date.as_deref().map(day).transpose()?;
    let stage = settings.stage.as_deref().map(stage).transpose()?;
    let packs = chosen(packs, settings)?.into_iter().chain(packs_of(files)).collect();
    let settings =
        project::Settings { stage, today, packs, ..project::Settings::default() };
    let first: Vec<String> = files.iter().take(1).map(|(name, _)| name.clone()).collect();
    let host = files
        .iter()
        .fold(Memory::new(), |host, (name, text)| host.with(name, text.as_bytes()));
    let checked = project::check(&host, &first, &settings);
    let Checked { sources, findings, waived, cannot_say, troubles, .. } = checked;
    match troubles.first() {
        Some((path, trouble)) => Err(format!("{path} could not be checked: {trouble}")),
        None => Ok(Judged { sources, findings, waived, cannot_say }),
    }
}

/// The packs that a test brings: its files below `rules/PACK/`.
fn packs_of(files: &[(String, String)]) -> Vec<Pack> {
    let mut packs: Vec<(&str, Vec<PackFile>)> = Vec::new();
    for (name, text) in files {
        let inside = name.strip_prefix("rules/").and_then(|name| name.split_once('/'));
        let Some((pack, path)) = inside.filter(|(_, path)| is_part(path)) else {
            continue;
        };
        let file = PackFile { path: path.into(), text: text.clone().into() };
        match packs.iter_mut().find(|(known, _)| *known == pack) {
            Some((_, files)) => files.push(file),
            None => packs.push((pack, vec![file])),
        }
    }
    packs.into_iter().map(|(name, files)| Pack::on_trial(name, files)).collect()
}

fn day(text: &str) -> Result<Date, String> {
    text.parse().map_err(|why: NoDate| format!("{why}; found `{text}`"))
}

fn stage(word: &str) -> Result<Stage, String> {
    let known = Stage::WORDS.join(", ");
    Stage::from_word(word)
        .ok_or_else(|| format!("expected a stage, one of {known}; found `{word}`"))
}

/// The packs that a test names, or all where it names none.
fn chosen(packs: &[Pack], settings: &Settings) -> Result<Vec<Pack>, String> {
    if settings.packs.is_empty() {
        return Ok(packs.to_vec());
    }
    let named = |name: &String| {
        let pack = packs.iter().find(|pack| pack.name == *name);
        pack.cloned().ok_or_else(|| format!("there is no pack `{name}` to check with"))
    };
    settings.packs.iter().map(named).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(settings: &Settings) -> String {
        let files = [("a.trim".to_owned(), "part a\n".to_owned())];
        judge(&[], &files, settings).map(|judged| judged.findings).unwrap_err()
    }

    #[test]
    fn a_stage_or_a_pack_that_is_not_known_is_named() {
        let stage = Settings { stage: Some("benched".into()), ..Settings::default() };
        assert!(refused(&stage).contains("bench, installed"));
        let packs = Settings { packs: vec!["fenside".into()], ..Settings::default() };
        assert!(refused(&packs).contains("no pack `fenside`"));
    }

    #[test]
    fn a_file_is_read_by_the_check_of_the_project() {
        let files = [("a.trim".to_owned(), "part motor: mass 86 gr\n".to_owned())];
        let judged = judge(&[], &files, &Settings::default()).unwrap();
        let [finding] = judged.findings.as_slice() else { panic!("{judged:?}") };
        assert_eq!(judged.sources.path(finding.primary.span.file), "a.trim");
    }

    #[test]
    fn a_test_may_bring_rules_of_its_own() {
        let rule = "//! Always.\nconst ABOUT = \"part\";\nconst LEVEL = #{ planned: \
                    \"note\" };\nconst WAIVABLE = true;\nfn check(part, build, set) {\n    \
                    finding(part, \"seen\")\n}\n";
        let files = [
            ("a.trim".to_owned(), "part motor: mass 86 g\n".to_owned()),
            ("rules/club/weight/seen.rhai".to_owned(), rule.to_owned()),
        ];
        let judged = judge(&[], &files, &Settings::default()).unwrap();
        let found = judged.findings.iter().find(|it| it.rule.0 == "club/weight/seen");
        assert_eq!(found.unwrap().headline, "seen", "{:?}", judged.findings);
    }
}
