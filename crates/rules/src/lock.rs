//! `rules.lock`: the packs that a model is checked under, pinned by their content.
//!
//! The lock stands beside the spec and carries each pack whole, with its content hash,
//! so that a finished model stays checkable under the rules that it was signed off under
//! however its packs move on elsewhere. It is written when somebody asks for it, never by
//! a check. The core pack comes with the program: of it the lock keeps the issue alone.
//!
//! The form is TOML, its version in the first line:
//!
//! ```toml
//! # Written by `trimsheet rules update`: …
//! form = 1
//!
//! [[pack]]
//! name = "elm-hill"
//! issue = "2026"
//! hash = "…"          # SHA-256 over its files
//!
//! [[pack.file]]
//! path = "pack.toml"
//! text = '''…'''
//! ```

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use trimsheet_source::{FileId, Finding, Level, Span};

use crate::pack::{self, Pack, PackFile, is_part};

/// What the file is called.
pub const NAME: &str = "rules.lock";

/// The form that this program writes and reads.
const FORM: u32 = 1;

const NOTICE: &str = "# Written by `trimsheet rules update`: the packs of rules that the specs in this folder\n# are checked under. Keep it beside them; a changed pack counts when it is written anew.\n";

/// The packs that are pinned.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lock {
    form: u32,
    #[serde(default, rename = "pack")]
    packs: Vec<Locked>,
}

/// One pinned pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Locked {
    /// Its name.
    pub name: String,
    /// Its issue, for people.
    pub issue: String,
    /// Its content hash; the core pack goes by its issue.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub hash: String,
    #[serde(default, rename = "file", skip_serializing_if = "Vec::is_empty")]
    files: Vec<LockedFile>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct LockedFile {
    path: String,
    text: Cow<'static, str>,
}

impl Lock {
    /// Pins packs, each with its issue.
    pub fn new<'a>(packs: impl IntoIterator<Item = (&'a Pack, &'a str)>) -> Lock {
        let locked = packs.into_iter().map(|(pack, issue)| {
            let (name, issue) = (pack.name.clone(), issue.to_owned());
            if pack.name == "core" {
                return Locked { name, issue, hash: String::new(), files: Vec::new() };
            }
            Locked { name, issue, hash: pack.hash(), files: files(pack) }
        });
        Lock { form: FORM, packs: locked.collect() }
    }

    /// The pin of a pack.
    pub fn of(&self, name: &str) -> Option<&Locked> {
        self.packs.iter().find(|locked| locked.name == name)
    }

    /// Every pin, in the order in which they were written.
    pub fn packs(&self) -> &[Locked] {
        &self.packs
    }

    /// The text of the file.
    ///
    /// # Errors
    /// A pack holds what TOML cannot write down.
    pub fn text(&self) -> Result<String, toml::ser::Error> {
        Ok(format!("{NOTICE}{}", toml::to_string_pretty(self)?))
    }

    /// Reads the pin of the built-in rules alone, which is all that a spec rests on that
    /// names no pack: it stands first, before the files of any.
    pub fn read_core(text: &str, file: FileId) -> (Lock, Vec<Finding>) {
        let start = text.split_once("\n[[pack.file]]").map_or(text, |(start, _)| start);
        match toml::from_str::<Lock>(start) {
            Ok(mut lock) if lock.form == FORM && lock.of("core").is_some() => {
                lock.packs.retain(|locked| locked.name == "core");
                (lock, Vec::new())
            }
            Ok(_) | Err(_) => Lock::read(text, file),
        }
    }

    /// Reads the text of a file; what cannot be used is a finding in it.
    pub fn read(text: &str, file: FileId) -> (Lock, Vec<Finding>) {
        let all = Span { file, start: 0, end: text.lines().next().map_or(0, str::len) };
        let mut lock: Lock = match toml::from_str(text) {
            Ok(lock) => lock,
            Err(error) => {
                let span = error.span().map_or(all, |range| Span {
                    file,
                    start: range.start,
                    end: range.end.min(text.len()),
                });
                let says = format!("the lock does not read: {}", error.message());
                return (Lock::default(), vec![unreadable(span, says)]);
            }
        };
        if lock.form != FORM {
            let says = format!("expected a lock of the form {FORM}, found {}", lock.form);
            return (Lock::default(), vec![unreadable(all, says)]);
        }
        let mut findings = Vec::new();
        let mut names: Vec<String> = Vec::new();
        lock.packs.retain(|locked| {
            let name = &locked.name;
            let fault = if names.contains(name) {
                format!("the pack {name} stands in the lock a second time")
            } else if name != "core" && locked.is_changed() {
                format!(
                    "what the lock holds of the pack {name} is not what its hash says"
                )
            } else {
                names.push(name.clone());
                return true;
            };
            findings.push(unreadable(locked.place(text, file), fault));
            false
        });
        (lock, findings)
    }
}

/// That a lock cannot be used.
pub fn unreadable(span: Span, says: String) -> Finding {
    Finding::new("rules/lock-unclear", Level::Error, span, says).advised(
        "take the file back from version control, or write it anew with `trimsheet rules update`",
    )
}

fn files(pack: &Pack) -> Vec<LockedFile> {
    let mut files: Vec<LockedFile> = pack
        .files
        .iter()
        .filter(|file| is_part(&file.path))
        .map(|file| LockedFile { path: file.path.clone(), text: file.text.clone() })
        .collect();
    files.sort_by(|a, b| a.path.cmp(&b.path));
    files
}

impl Locked {
    /// Where its hash stands in the text of the lock, or the first line of that.
    pub fn place(&self, text: &str, file: FileId) -> Span {
        let first = text.lines().next().map_or(0, str::len);
        let said = if self.hash.is_empty() { &self.issue } else { &self.hash };
        let start = text.rfind(&format!("\"{said}\"")).map(|start| start + 1);
        let (start, end) = start.map_or((0, first), |at| (at, at + said.len()));
        Span { file, start, end }
    }

    /// Whether its files are not those that its hash was made of.
    fn is_changed(&self) -> bool {
        let files = self.files.iter().map(|file| (&*file.path, &*file.text));
        pack::hash(files) != self.hash
    }

    /// Whether a pack holds what was pinned.
    pub fn holds(&self, pack: &Pack) -> bool {
        let parts = pack.files.iter().filter(|file| is_part(&file.path));
        let parts = parts.map(|file| (&file.path, &file.text));
        // Only where letters differ can it be no more than how lines end.
        self.files.iter().map(|file| (&file.path, &file.text)).eq(parts)
            || pack.hash() == self.hash
    }

    /// The pack as it was when it was pinned.
    pub fn pack(&self) -> Pack {
        let files = self
            .files
            .iter()
            .map(|file| PackFile { path: file.path.clone(), text: file.text.clone() });
        Pack {
            name: self.name.clone(),
            place: format!("{NAME}/{}", self.name),
            files: files.collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pack() -> Pack {
        let file = |path: &str, text: &'static str| PackFile {
            path: path.into(),
            text: text.into(),
        };
        let files = vec![
            file("pack.toml", "name = \"elm-hill\"\n"),
            file("a/b.rhai", "//! x '''\r\n\"\\u{1b}\"\n"),
        ];
        Pack { name: "elm-hill".into(), place: "elm-hill".into(), files }
    }

    #[test]
    fn a_pack_comes_back_from_the_lock_as_it_was() {
        let lock = Lock::new([(&pack(), "2026")]);
        let text = lock.text().unwrap();
        let (read, findings) = Lock::read(&text, FileId(0));
        assert_eq!((read, findings), (lock.clone(), Vec::new()));
        assert_eq!(lock.of("elm-hill").unwrap().pack().hash(), pack().hash());
    }

    #[test]
    fn without_packs_only_the_pin_of_the_built_in_rules_counts() {
        let core = Pack { name: "core".into(), place: "core".into(), files: Vec::new() };
        let text = Lock::new([(&core, "2025"), (&pack(), "2026")]).text().unwrap();
        let changed = text.replace("//! x", "//! y");
        let (lock, findings) = Lock::read_core(&changed, FileId(0));
        assert_eq!(
            (lock.of("core").unwrap().issue.as_str(), findings),
            ("2025", Vec::new())
        );
        assert!(lock.of("elm-hill").is_none());
        // Where it stands further down, all of it is read.
        let text = Lock::new([(&pack(), "2026"), (&core, "2025")]).text().unwrap();
        let (lock, _) = Lock::read_core(&text, FileId(0));
        assert_eq!(lock.of("core").unwrap().issue, "2025");
        for broken in ["form = 9", "form = [", ""] {
            let read = Lock::read(broken, FileId(0));
            assert_eq!(Lock::read_core(broken, FileId(0)), read, "{broken}");
        }
    }

    #[test]
    fn a_lock_that_was_changed_by_hand_is_named() {
        let text = Lock::new([(&pack(), "2026")]).text().unwrap();
        let (lock, findings) = Lock::read(&text.replace("//! x", "//! y"), FileId(0));
        assert!(lock.of("elm-hill").is_none());
        assert!(findings[0].headline.contains("elm-hill is not what its hash says"));
        let (start, _) = text.split_once("[[pack.file]]").unwrap();
        let (lock, findings) = Lock::read(start, FileId(0));
        assert!(lock.of("elm-hill").is_none());
        assert!(findings[0].headline.contains("elm-hill is not what its hash says"));
        let (_, pin) = text.split_once("[[pack]]").unwrap();
        let (lock, findings) = Lock::read(&format!("{text}\n[[pack]]{pin}"), FileId(0));
        assert_eq!(lock.packs().len(), 1);
        assert!(findings[0].headline.contains("elm-hill stands in the lock a second"));
        let (_, findings) = Lock::read("form = 9", FileId(0));
        assert!(findings[0].headline.contains("expected a lock of the form 1, found 9"));
        let (_, findings) = Lock::read("form = [", FileId(0));
        assert_eq!(findings[0].rule.0, "rules/lock-unclear");
    }
}
