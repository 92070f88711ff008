//! The files of the core pack, for the build scripts that embed and compile them.

use std::path::{Path, PathBuf};
use std::{fs, io};

/// Every file below a folder, in order; a build is made again when one changes.
pub(crate) fn files(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    walk(folder, &mut files)?;
    files.sort();
    Ok(files)
}

fn walk(folder: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    // A folder's own time changes when a file in it comes or goes.
    println!("cargo:rerun-if-changed={}", folder.display());
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            walk(&path, files)?;
        } else {
            files.push(path);
        }
    }
    Ok(())
}
