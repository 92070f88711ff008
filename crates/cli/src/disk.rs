//! The files of this machine, as the chain asks for them.
#![expect(
    clippy::disallowed_methods,
    reason = "this is the one place that touches files"
)]

use std::fs;
use std::io::ErrorKind;
use std::path::Path;

use trimsheet_project::{Host, Trouble};

/// The files of this machine.
pub(crate) struct Disk;

/// The largest file that is read, in mebibytes.
const LIMIT: u64 = 64;

impl Host for Disk {
    fn read(&self, path: &str) -> Result<Vec<u8>, Trouble> {
        let size = fs::metadata(path).map_err(|error| trouble(&error))?.len();
        if size > LIMIT << 20 {
            return Err(Trouble::TooLarge { limit: LIMIT });
        }
        fs::read(path).map_err(|error| trouble(&error))
    }

    fn list(&self, folder: &str) -> Result<Vec<String>, Trouble> {
        let entries = fs::read_dir(folder).map_err(|error| trouble(&error))?;
        let mut found = Vec::new();
        for entry in entries {
            let entry = entry.map_err(|error| trouble(&error))?;
            let name = entry.file_name().to_string_lossy().into_owned();
            // A link to a folder may lead in a circle; a link to a file may not.
            let is_link = entry.file_type().is_ok_and(|kind| kind.is_symlink());
            if is_link && entry.path().is_dir() {
                continue;
            }
            let slash = if folder.ends_with('/') { "" } else { "/" };
            found.push(if folder == "." {
                name
            } else {
                format!("{folder}{slash}{name}")
            });
        }
        Ok(found)
    }

    fn is_folder(&self, path: &str) -> bool {
        Path::new(path).is_dir()
    }

    fn real(&self, path: &str) -> Result<String, Trouble> {
        let real = fs::canonicalize(path).map_err(|error| trouble(&error))?;
        Ok(real.to_string_lossy().replace('\\', "/"))
    }
}

fn trouble(error: &std::io::Error) -> Trouble {
    if error.kind() == ErrorKind::NotFound {
        Trouble::Missing
    } else {
        Trouble::NotReadable(error.to_string())
    }
}
