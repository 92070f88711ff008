//! The files of this machine, as the chain asks for them.
#![expect(
    clippy::disallowed_methods,
    reason = "this is the one place that touches files"
)]

use std::collections::BTreeMap;
use std::fs;
use std::io::{ErrorKind, Read as _};
use std::path::Path;

use trimsheet_project::{Host, Trouble};

/// The files of this machine.
pub(crate) struct Disk;

/// The largest file that is read, in mebibytes.
const LIMIT: u64 = 64;

/// Opens a file that may be larger than memory, to be read as it comes.
pub(crate) fn stream(path: &str) -> std::io::Result<fs::File> {
    fs::File::open(path)
}

impl Host for Disk {
    fn read(&self, path: &str) -> Result<Vec<u8>, Trouble> {
        let about = fs::metadata(path).map_err(|error| trouble(path, &error))?;
        // A pipe or a device may give nothing for ever; only who names one waits for it.
        if !about.is_file() && !about.is_dir() && !path.starts_with("/dev/") {
            return Err(Trouble::NotReadable("it is no file".into()));
        }
        // One byte more than it has, so that its end is seen at once.
        let size = usize::try_from(about.len().min(LIMIT << 20)).unwrap_or(0);
        let mut bytes = Vec::with_capacity(size + 1);
        fs::File::open(path)
            .and_then(|file| file.take((LIMIT << 20) + 1).read_to_end(&mut bytes))
            .map_err(|error| trouble(path, &error))?;
        if bytes.len() as u64 > LIMIT << 20 {
            return Err(Trouble::TooLarge { limit: LIMIT });
        }
        Ok(bytes)
    }

    fn list(&self, folder: &str) -> Result<Vec<String>, Trouble> {
        let entries = fs::read_dir(folder).map_err(|error| trouble(folder, &error))?;
        let mut found = Vec::new();
        for entry in entries {
            let entry = entry.map_err(|error| trouble(folder, &error))?;
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
        let real = fs::canonicalize(path).map_err(|error| trouble(path, &error))?;
        Ok(real.to_string_lossy().replace('\\', "/"))
    }
}

/// Why a file was not written.
#[derive(Debug, thiserror::Error)]
pub(crate) enum NotWritten {
    /// Something of this name is there already.
    #[error("it is there already, or was changed meanwhile")]
    Taken,
    /// The system would not have it.
    #[error("{}", refusal(.0))]
    Refused(#[from] std::io::Error),
}

/// Why the system would not write: what it calls missing is the folder.
fn refusal(error: &std::io::Error) -> String {
    if error.kind() == ErrorKind::NotFound {
        return "the folder that it is to stand in is not there; make it first".into();
    }
    error.to_string()
}

/// Makes the folder that a file is to stand in.
pub(crate) fn make_folder_of(path: &str) -> Result<(), NotWritten> {
    let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
    if folder.is_empty() { Ok(()) } else { Ok(fs::create_dir_all(folder)?) }
}

/// Writes a file that must not be there yet, whole or not at all.
///
/// It is written beside it and then linked to its name, which fails if anything,
/// a link to nowhere included, has that name by then.
pub(crate) fn write_new(path: &str, content: impl AsRef<[u8]>) -> Result<(), NotWritten> {
    let beside = beside(path);
    let written = write_beside(&beside, content.as_ref());
    let linked = written.and_then(|()| link(&beside, path));
    let _ = fs::remove_file(&beside);
    linked.map_err(|error| {
        let is_taken = error.kind() == ErrorKind::AlreadyExists;
        if is_taken { NotWritten::Taken } else { NotWritten::Refused(error) }
    })
}

/// Gives a file its name. Where the disk knows no hard links, the name is taken first, so
/// that nothing that came in between is lost.
fn link(beside: &str, path: &str) -> std::io::Result<()> {
    match fs::hard_link(beside, path) {
        Err(error) if error.kind() != ErrorKind::AlreadyExists => {
            fs::OpenOptions::new().write(true).create_new(true).open(path)?;
            fs::rename(beside, path).inspect_err(|_| {
                let _ = fs::remove_file(path);
            })
        }
        done => done,
    }
}

/// Writes a folder that must not be there yet, with all its files or not at all.
///
/// It is filled beside its name and then given it.
pub(crate) fn write_folder(
    path: &str,
    files: &BTreeMap<String, Vec<u8>>,
) -> Result<(), NotWritten> {
    if is_taken(path) {
        return Err(NotWritten::Taken);
    }
    let beside = beside(path);
    fs::create_dir(&beside)?;
    let fill = || {
        for (inside, bytes) in files {
            let file = format!("{beside}/{inside}");
            make_folder_of(&file)?;
            write_beside(&file, bytes)?;
        }
        // A folder gives its name to another only where that is empty, and so loses nothing.
        if is_taken(path) {
            Err(NotWritten::Taken)
        } else {
            Ok(fs::rename(&beside, path)?)
        }
    };
    fill().inspect_err(|_| {
        let _ = fs::remove_dir_all(&beside);
    })
}

/// Whether anything, a link to nowhere included, has this name.
pub(crate) fn is_taken(path: &str) -> bool {
    fs::symlink_metadata(path).is_ok()
}

/// Writes a file into a folder, over one that is there, whole or not at all.
pub(crate) fn write_over(folder: &str, path: &str, text: &str) -> Result<(), NotWritten> {
    fs::create_dir_all(folder)?;
    // A link stays one: what it leads to is written over.
    let real = fs::canonicalize(path).map_or(path.into(), |real| real);
    let path = real.to_string_lossy();
    let (path, beside) = (&*path, beside(&path));
    let written =
        write_beside(&beside, text.as_bytes()).and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        let _ = fs::remove_file(&beside);
    }
    Ok(written?)
}

/// Writes a file in the place of what was read from it, whole or not at all; `before` is
/// what was read, or nothing if it was not there.
pub(crate) fn replace(
    path: &str,
    before: Option<&str>,
    text: &str,
) -> Result<(), NotWritten> {
    let Some(before) = before else { return write_new(path, text) };
    // A link stays one: what it leads to is written over.
    let real = fs::canonicalize(path)?;
    let path = real.to_string_lossy();
    let allowed = fs::metadata(&*path)?.permissions();
    if allowed.readonly() {
        let says = "it is protected from being written to";
        return Err(std::io::Error::new(ErrorKind::PermissionDenied, says).into());
    }
    let beside = beside(&path);
    let written = write_beside(&beside, text.as_bytes()).and_then(|()| {
        fs::set_permissions(&beside, allowed)?;
        // What somebody else wrote meanwhile is not lost.
        let is_same = fs::read(&*path)? == before.as_bytes();
        if is_same { fs::rename(&beside, &*path).map(|()| true) } else { Ok(false) }
    });
    if !matches!(written, Ok(true)) {
        let _ = fs::remove_file(&beside);
    }
    if written? { Ok(()) } else { Err(NotWritten::Taken) }
}

/// A name in the same folder that nothing else is likely to have.
fn beside(path: &str) -> String {
    format!("{path}.{}.part", std::process::id())
}

fn write_beside(beside: &str, content: &[u8]) -> std::io::Result<()> {
    use std::io::Write as _;
    let mut file = fs::OpenOptions::new().write(true).create_new(true).open(beside)?;
    file.write_all(content)?;
    file.sync_all()
}

fn trouble(path: &str, error: &std::io::Error) -> Trouble {
    if error.kind() == ErrorKind::NotFound {
        if fs::symlink_metadata(path).is_ok() {
            return Trouble::NotReadable("it is a link that leads nowhere".into());
        }
        Trouble::Missing
    } else {
        Trouble::NotReadable(error.to_string())
    }
}
