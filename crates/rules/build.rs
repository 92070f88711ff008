//! Embeds the core pack: every file below `rules/core`, so that a rule is two files and
//! no registration.
#![expect(
    clippy::disallowed_methods,
    reason = "a build script reads files and environment"
)]

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    let core = Path::new(&var("CARGO_MANIFEST_DIR")?).join("../../rules/core");
    let mut files = Vec::new();
    walk(&core, &mut files)?;
    files.sort();
    let mut list = String::from("pub(crate) const FILES: &[(&str, &str)] = &[\n");
    for file in files {
        let inside = file.strip_prefix(&core).unwrap_or(&file).display().to_string();
        let inside = inside.replace('\\', "/");
        let full = fs::canonicalize(&file)?;
        let _ = writeln!(
            list,
            "    ({inside:?}, include_str!({:?})),",
            full.display().to_string()
        );
    }
    list.push_str("];\n");
    fs::write(Path::new(&var("OUT_DIR")?).join("core_files.rs"), list)
}

fn var(name: &str) -> io::Result<String> {
    env::var(name).map_err(io::Error::other)
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
