//! Packs: folders of rules that travel together.

use serde::Deserialize;

include!(concat!(env!("OUT_DIR"), "/core_files.rs"));

/// A folder of rules, as texts.
#[derive(Clone, Debug)]
pub struct Pack {
    /// What `pack.toml` says.
    pub about: About,
    /// The scripts and their pages.
    pub files: Vec<PackFile>,
}

/// One file of a pack.
#[derive(Clone, Debug)]
pub struct PackFile {
    /// Its path inside the pack, with `/`.
    pub path: String,
    /// What it holds.
    pub text: String,
}

/// What a pack says of itself.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct About {
    /// The name that its rules go by; the core pack's rules go by their own.
    pub name: String,
    /// Which issue of the pack this is.
    pub issue: String,
    /// What the pack is for.
    pub title: String,
    /// Under which licence it may be shared.
    pub licence: String,
    /// The version of trimsheet that it needs.
    pub needs: String,
}

/// The pack that is built into the program.
pub fn core() -> Pack {
    let files: Vec<PackFile> = FILES
        .iter()
        .filter(|(path, _)| *path != "pack.toml")
        .map(|(path, text)| PackFile {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        })
        .collect();
    let about = FILES.iter().find(|(path, _)| *path == "pack.toml");
    // A test reads the embedded file, so what is shipped can be read.
    let about = about.and_then(|(_, text)| toml::from_str(text).ok()).unwrap_or_default();
    Pack { about, files }
}

impl Pack {
    /// The page of a rule: the text beside its script.
    pub fn page(&self, rule: &str) -> Option<&str> {
        let path = format!("{rule}.md");
        self.files.iter().find(|file| file.path == path).map(|file| file.text.as_str())
    }

    /// The scripts, each with the id of its rule, in the order of their ids.
    pub fn scripts(&self) -> impl Iterator<Item = (&str, &PackFile)> {
        let scripts = self
            .files
            .iter()
            .filter_map(|file| file.path.strip_suffix(".rhai").map(|rule| (rule, file)));
        let mut scripts: Vec<_> = scripts.collect();
        scripts.sort_by_key(|(rule, _)| *rule);
        scripts.into_iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_core_pack_says_what_it_is_and_every_script_has_a_page() {
        let core = core();
        assert_eq!(core.about.name, "core");
        assert!(!core.about.issue.is_empty());
        for (rule, _) in core.scripts() {
            assert!(core.page(rule).is_some(), "{rule} has no page");
        }
    }
}
