//! Files as they are, but for one that reads otherwise.

use crate::host::{Host, Trouble};

/// A host that shows a text in the place of one file; nothing is written.
pub struct Overlay<'a> {
    under: &'a dyn Host,
    path: String,
    text: String,
}

impl<'a> Overlay<'a> {
    /// The same files, with this text where `path` is read.
    pub fn new(under: &'a dyn Host, path: &str, text: String) -> Overlay<'a> {
        Overlay { under, path: path.to_owned(), text }
    }
}

impl Host for Overlay<'_> {
    fn read(&self, path: &str) -> Result<Vec<u8>, Trouble> {
        if path == self.path {
            return Ok(self.text.clone().into_bytes());
        }
        self.under.read(path)
    }

    fn list(&self, folder: &str) -> Result<Vec<String>, Trouble> {
        self.under.list(folder)
    }

    fn is_folder(&self, path: &str) -> bool {
        self.under.is_folder(path)
    }

    fn real(&self, path: &str) -> Result<String, Trouble> {
        self.under.real(path)
    }
}
