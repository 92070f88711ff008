//! Embeds the core pack: every file below `rules/core`, so that a rule is two files and
//! no registration.
#![expect(
    clippy::disallowed_methods,
    reason = "a build script reads files and environment"
)]

use std::fmt::Write as _;
use std::path::Path;
use std::{env, fs, io};

mod walk;

fn main() -> io::Result<()> {
    let core = Path::new(&var("CARGO_MANIFEST_DIR")?).join("../../rules/core");
    let mut list = String::from("pub(crate) const FILES: &[(&str, &str)] = &[\n");
    for file in walk::files(&core)? {
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
