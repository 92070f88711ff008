//! Where files come from: the one door to the outside.

use std::collections::BTreeMap;

/// Why something could not be read.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, thiserror::Error)]
pub enum Trouble {
    /// There is no such file or folder.
    #[error("there is no such file or folder")]
    Missing,
    /// It is larger than a spec can be.
    #[error("it is larger than {limit} MiB, which no spec is")]
    TooLarge {
        /// The limit, in mebibytes.
        limit: u64,
    },
    /// The system would not let it be read.
    #[error("it could not be read: {0}")]
    NotReadable(String),
}

/// What the chain asks of the outside. Paths have `/` between their parts.
pub trait Host: Sync {
    /// The bytes of a file.
    ///
    /// # Errors
    /// That it is missing, too large, or cannot be read.
    fn read(&self, path: &str) -> Result<Vec<u8>, Trouble>;

    /// What stands in a folder, each with the folder's path before it.
    ///
    /// # Errors
    /// That it is missing or cannot be read.
    fn list(&self, folder: &str) -> Result<Vec<String>, Trouble>;

    /// Whether a path is a folder.
    fn is_folder(&self, path: &str) -> bool;

    /// The file that a path leads to, links followed, for seeing whether it leaves a folder.
    ///
    /// # Errors
    /// That it is missing or cannot be read.
    fn real(&self, path: &str) -> Result<String, Trouble>;
}

/// A host of texts kept in memory, for tests.
#[derive(Clone, Debug, Default)]
pub struct Memory {
    files: BTreeMap<String, Vec<u8>>,
}

impl Memory {
    /// A host with no file yet.
    pub fn new() -> Memory {
        Memory::default()
    }

    /// The same, with one more file.
    #[must_use]
    pub fn with(mut self, path: &str, text: impl Into<Vec<u8>>) -> Memory {
        self.files.insert(path.to_owned(), text.into());
        self
    }
}

impl Host for Memory {
    fn read(&self, path: &str) -> Result<Vec<u8>, Trouble> {
        self.files.get(path).cloned().ok_or(Trouble::Missing)
    }

    fn list(&self, folder: &str) -> Result<Vec<String>, Trouble> {
        let before = if folder.is_empty() { String::new() } else { format!("{folder}/") };
        let mut found: Vec<String> = Vec::new();
        for path in self.files.keys() {
            let Some(inside) = path.strip_prefix(&before) else { continue };
            let child = inside.split('/').next().unwrap_or(inside);
            found.push(format!("{before}{child}"));
        }
        found.dedup();
        if found.is_empty() { Err(Trouble::Missing) } else { Ok(found) }
    }

    fn is_folder(&self, path: &str) -> bool {
        !self.files.contains_key(path) && self.list(path).is_ok()
    }

    fn real(&self, path: &str) -> Result<String, Trouble> {
        let is_there = self.files.contains_key(path) || self.is_folder(path);
        if is_there || path == "." { Ok(path.to_owned()) } else { Err(Trouble::Missing) }
    }
}
