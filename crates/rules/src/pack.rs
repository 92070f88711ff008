//! Packs: folders of rules that travel together, as texts.
//!
//! What a pack says of itself is read by [`crate::manifest`]; what its scripts do is the
//! business of the `script` crate. Here it is a list of files with a content hash.

use std::borrow::Cow;

use sha2::{Digest, Sha256};

include!(concat!(env!("OUT_DIR"), "/core_files.rs"));

/// What the file is called in which a pack says what it is.
pub const MANIFEST: &str = "pack.toml";

/// The folder of a pack in which its steps stand, which need no page.
pub const STEPS: &str = "steps/";

/// What a pack says of itself that is not shared yet.
const ON_TRIAL: &str = r#"issue = "1"
title = "On trial"
licence = "MIT"
needs = "0.1"
layer = "club"
"#;

/// The page of a rule on trial: the headings of every page, with nothing under them.
const PAGE_ON_TRIAL: &str = "## What it checks
## Why it matters
## What to do
## Source
## Examples
```trim
```
";

/// A folder of rules, as texts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pack {
    /// The name of the folder, which the pack must go by.
    pub name: String,
    /// Where the folder stands, as people are shown it: `rules/core`.
    pub place: String,
    /// `pack.toml`, the scripts and their pages.
    pub files: Vec<PackFile>,
}

/// One file of a pack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PackFile {
    /// Its path inside the pack, with `/`.
    pub path: String,
    /// What it holds.
    pub text: Cow<'static, str>,
}

/// The pack that is built into the program.
pub fn core() -> Pack {
    let files = FILES.iter().map(|(path, text)| PackFile {
        path: (*path).to_owned(),
        text: Cow::Borrowed(*text),
    });
    let files = files.filter(|file| is_part(&file.path)).collect();
    Pack { name: "core".into(), place: "rules/core".into(), files }
}

impl Pack {
    /// Whether this is the pack that is built into the program, wherever it stands.
    pub fn is_core(&self) -> bool {
        let built_in = FILES.iter().filter(|(path, _)| is_part(path));
        // What was never read from a file is the same text, and need not be compared.
        let is_same = |file: &PackFile, text: &'static str| match &file.text {
            Cow::Borrowed(own) => std::ptr::eq(*own, text) || *own == text,
            Cow::Owned(own) => own == text,
        };
        self.name == "core"
            && self.files.len() == built_in.clone().count()
            && self
                .files
                .iter()
                .zip(built_in)
                .all(|(file, (path, text))| file.path == **path && is_same(file, text))
    }
}

/// Whether a file belongs to what a pack is: what it says of itself, scripts, pages.
///
/// The specs in `bases`, which only its examples stand on, do not.
pub fn is_part(path: &str) -> bool {
    path == MANIFEST || path.ends_with(".rhai") || path.ends_with(".md")
}

impl Pack {
    /// A club's pack of some files, below `rules/`; one that does not say what it is says
    /// the least that it must, and a rule without a page has one that says nothing. For
    /// trying rules out.
    pub fn on_trial(name: &str, files: impl IntoIterator<Item = PackFile>) -> Pack {
        let mut files: Vec<PackFile> = files.into_iter().collect();
        if !files.iter().any(|file| file.path == MANIFEST) {
            let text = format!("name = \"{name}\"\n{ON_TRIAL}");
            files.push(PackFile { path: MANIFEST.into(), text: text.into() });
        }
        let rules = files.iter().filter(|file| !file.path.starts_with(STEPS));
        let bare = rules.filter_map(|file| {
            let page = format!("{}.md", file.path.strip_suffix(".rhai")?);
            let is_there = files.iter().any(|other| other.path == page);
            (!is_there).then(|| PackFile { path: page, text: PAGE_ON_TRIAL.into() })
        });
        let bare: Vec<PackFile> = bare.collect();
        files.extend(bare);
        Pack { name: name.into(), place: format!("rules/{name}"), files }
    }

    /// What the pack says of itself, as text.
    pub fn manifest(&self) -> Option<&str> {
        self.text(MANIFEST).map(AsRef::as_ref)
    }

    /// The page of a rule: the text beside its script.
    pub fn page(&self, rule: &str) -> Option<&Cow<'static, str>> {
        self.text(&format!("{rule}.md"))
    }

    /// The scripts of rules, each with its id inside the pack, in the order of ids.
    pub fn scripts(&self) -> impl Iterator<Item = (&str, &PackFile)> {
        self.named().filter(|(name, _)| !name.starts_with(STEPS))
    }

    /// The scripts of steps, each with its name, in the order of names.
    pub fn steps(&self) -> impl Iterator<Item = (&str, &PackFile)> {
        self.named().filter_map(|(name, file)| Some((name.strip_prefix(STEPS)?, file)))
    }

    fn named(&self) -> impl Iterator<Item = (&str, &PackFile)> {
        let scripts = self
            .files
            .iter()
            .filter_map(|file| file.path.strip_suffix(".rhai").map(|name| (name, file)));
        let mut scripts: Vec<_> = scripts.collect();
        scripts.sort_by_key(|(name, _)| *name);
        scripts.into_iter()
    }

    /// The content hash: SHA-256 over the paths and texts of its files, in order.
    ///
    /// Neither where the pack stands nor in which order its files were found matters, nor
    /// how a line ends: version control changes that between machines.
    pub fn hash(&self) -> String {
        hash(self.files.iter().map(|file| (&*file.path, &*file.text)))
    }

    fn text(&self, path: &str) -> Option<&Cow<'static, str>> {
        self.files.iter().find(|file| file.path == path).map(|file| &file.text)
    }
}

/// The content hash of a pack of these paths and texts: see [`Pack::hash`].
pub(crate) fn hash<'a>(files: impl Iterator<Item = (&'a str, &'a str)>) -> String {
    let mut files: Vec<(&str, &str)> = files.filter(|(path, _)| is_part(path)).collect();
    files.sort_by_key(|(path, _)| *path);
    let mut hash = Sha256::new();
    for (path, text) in files {
        let text = one_ending(text);
        // The lengths stand before the texts, so that no two packs read alike.
        hash.update(format!("{} {} ", path.len(), text.len()));
        hash.update(path);
        hash.update(&*text);
    }
    hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The text with all its lines ended alike.
fn one_ending(text: &str) -> Cow<'_, str> {
    if text.contains('\r') { text.replace("\r\n", "\n").into() } else { text.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pack(files: &[(&str, &str)]) -> Pack {
        let file = |(path, text): &(&str, &str)| PackFile {
            path: (*path).into(),
            text: (*text).to_owned().into(),
        };
        let files = files.iter().map(file).collect();
        Pack { name: "a".into(), place: "a".into(), files }
    }

    #[test]
    fn the_core_pack_says_what_it_is_and_every_script_has_a_page() {
        let core = core();
        assert!(core.manifest().is_some());
        for (rule, _) in core.scripts() {
            assert!(core.page(rule).is_some(), "{rule} has no page");
        }
    }

    #[test]
    fn the_hash_depends_on_what_a_pack_holds_and_on_nothing_else() {
        let one = pack(&[("pack.toml", "x"), ("a/b.rhai", "y")]);
        let other_order = pack(&[("a/b.rhai", "y"), ("pack.toml", "x")]);
        let with_base =
            pack(&[("pack.toml", "x"), ("a/b.rhai", "y"), ("bases/z.trim", "")]);
        assert_eq!(one.hash(), other_order.hash());
        assert_eq!(one.hash(), with_base.hash());
        let (unix, other) = (pack(&[("a/b.rhai", "y\nz\n")]), "y\r\nz\r\n");
        assert_eq!(unix.hash(), pack(&[("a/b.rhai", other)]).hash());
        assert_ne!(one.hash(), pack(&[("pack.toml", "x"), ("a/b.rhai", "Y")]).hash());
        assert_ne!(one.hash(), pack(&[("pack.toml", "xa/b.rhai"), ("", "y")]).hash());
        assert_eq!(one.hash().len(), 64);
    }
}
