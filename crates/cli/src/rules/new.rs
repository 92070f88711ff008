//! `trimsheet rules new`

use trimsheet_project::Host;
use trimsheet_project::rules::MANIFEST;
use trimsheet_project::rules::manifest::no_pack_name;
use trimsheet_project::script::scaffold;

use crate::disk::{self, Disk};
use crate::{End, screen};

/// Writes a new rule into the folder of a pack, and the pack's own file if it has none.
pub(crate) fn new(rule: &str, folder: &str) -> End {
    let folder = match folder.trim_end_matches('/') {
        "" if folder.is_empty() => ".",
        "" => "/",
        folder => folder,
    };
    match files(rule, folder).and_then(|files| write(folder, &files)) {
        Ok(()) => End::Clear,
        Err(says) => {
            screen::complain(&says);
            End::CouldNotRun
        }
    }
}

/// What is to be written: each its path inside the pack and its text.
fn files(rule: &str, folder: &str) -> Result<Vec<(String, String)>, String> {
    let pack = name(folder)?;
    let mut files = Vec::new();
    if Disk.read(&format!("{folder}/{MANIFEST}")).is_err() {
        let text = scaffold::manifest(&pack, screen::today().year);
        files.push((MANIFEST.to_owned(), text));
    }
    files.extend(scaffold::rule(&pack, rule)?);
    Ok(files)
}

/// The name of a folder, which its pack goes by.
fn name(folder: &str) -> Result<String, String> {
    let last = |path: &str| path.rsplit('/').next().unwrap_or(path).to_owned();
    let mut name = last(folder);
    if matches!(name.as_str(), "." | "..") {
        let real = Disk.real(folder);
        name = last(
            &real.map_err(|trouble| format!("cannot look into {folder}: {trouble}"))?,
        );
    }
    match no_pack_name(&name) {
        None => Ok(name),
        Some(why) => Err(format!(
            "a pack goes by the name of its folder, and {why}; take a folder such as rules/elm-hill"
        )),
    }
}

fn write(folder: &str, files: &[(String, String)]) -> Result<(), String> {
    let whole = |path: &str| format!("{folder}/{path}");
    // Nothing is written if anything is there already.
    for (path, _) in files {
        if Disk.read(&whole(path)).is_ok() {
            return Err(format!("{} is there already; nothing was written", whole(path)));
        }
    }
    for (path, text) in files {
        let path = whole(path);
        disk::make_folder_of(&path)
            .and_then(|()| disk::write_new(&path, text))
            .map_err(|why| format!("cannot write {path}: {why}"))?;
        screen::print(&format!("wrote {path}\n"));
    }
    screen::print(&format!(
        "Its examples run already: trimsheet rules test {folder}\nNow make it your own; rules/REFERENCE.md says what a rule can read and do.\n"
    ));
    Ok(())
}
