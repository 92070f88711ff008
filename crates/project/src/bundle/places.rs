//! Where files may stand in a bundle: inside it, under names that every system can have.
//!
//! What Windows refuses in a name is what Microsoft's "Naming Files, Paths, and
//! Namespaces" lists; from memory.

use trimsheet_source::is_hidden;

/// Names that stand for devices there, whatever ending they have.
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];
/// The longest name and the longest path that any disk takes, in bytes. Common practice,
/// no source: 255 for a name, and 260 for a whole path with the folder that it goes into.
const LONGEST_NAME: usize = 200;
const LONGEST_PATH: usize = 220;

/// A path that a spec states, without `.` and doubled `/`.
///
/// # Errors
/// Why it cannot stand in a bundle, as a half sentence about it.
pub(super) fn inside(path: &str) -> Result<String, String> {
    if path.starts_with('/') {
        return Err(
            "begins at the top of the disk, and not in the folder of the spec".into()
        );
    }
    if path.contains('\\') {
        return Err("holds a \\; between folders stands a / everywhere".into());
    }
    let mut letters = path.chars();
    let drive = letters.next().filter(char::is_ascii_alphabetic);
    if drive.is_some() && letters.next() == Some(':') {
        return Err("begins with the letter of a drive, which others do not have".into());
    }
    let parts = path.split('/').filter(|part| !matches!(*part, "" | "."));
    let parts: Vec<&str> = parts.collect();
    if parts.contains(&"..") {
        return Err("goes up a folder with ..".into());
    }
    if parts.is_empty() {
        return Err("names no file".into());
    }
    let joined = parts.join("/");
    if joined.len() > LONGEST_PATH {
        return Err(format!(
            "has {} bytes, and no more than {LONGEST_PATH} are taken",
            joined.len()
        ));
    }
    match parts.into_iter().find_map(refused) {
        Some(why) => Err(why),
        None => Ok(joined),
    }
}

/// Why a name is one that another system cannot have.
fn refused(name: &str) -> Option<String> {
    let is_odd = |c: &char| is_hidden(*c) || "<>:\"|?*".contains(*c);
    if let Some(odd) = name.chars().find(is_odd) {
        let odd = odd.escape_debug();
        return Some(format!("holds `{odd}`, which no name may hold on some systems"));
    }
    if name.ends_with(['.', ' ']) {
        return Some(
            "has a name that ends in a point or a space, which some systems drop".into(),
        );
    }
    let stem = name.split('.').next().unwrap_or(name).trim_end().to_ascii_lowercase();
    let is_port = |word: &str| {
        let number = stem.strip_prefix(word).unwrap_or("");
        number.len() == 1 && number.bytes().all(|byte| byte.is_ascii_digit())
    };
    if DEVICES.contains(&stem.as_str()) || is_port("com") || is_port("lpt") {
        return Some(format!("is called {name}, which is a device on some systems"));
    }
    (name.len() > LONGEST_NAME).then(|| {
        format!(
            "has a name of {} bytes, and no more than {LONGEST_NAME} are taken",
            name.len()
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_inside_is_kept_and_tidied() {
        for (path, kept) in [
            ("photos/a b.jpg", "photos/a b.jpg"),
            ("./photos//a.jpg", "photos/a.jpg"),
            ("photos/Bläßhuhn.jpg", "photos/Bläßhuhn.jpg"),
            (".hidden/console.jpg", ".hidden/console.jpg"),
            ("com.jpg", "com.jpg"),
        ] {
            assert_eq!(inside(path).as_deref(), Ok(kept));
        }
    }

    #[test]
    fn a_path_that_leaves_or_that_others_cannot_have_is_refused() {
        for (path, says) in [
            ("/home/x.jpg", "top of the disk"),
            ("../x.jpg", "goes up a folder"),
            ("photos/../../x.jpg", "goes up a folder"),
            ("photos/../x.jpg", "goes up a folder"),
            ("C:/x.jpg", "letter of a drive"),
            ("c:x.jpg", "letter of a drive"),
            ("photos\\x.jpg", "holds a \\"),
            ("", "names no file"),
            ("./", "names no file"),
            ("photos/a?.jpg", "holds `?`"),
            ("photos/a\u{202e}.jpg", "holds `\\u{202e}`"),
            ("photos/a\u{7}.jpg", "holds `\\u{7}`"),
            ("stream.jpg:x", "holds `:`"),
            ("photos./x.jpg", "ends in a point"),
            ("photos/x.jpg ", "ends in a point or a space"),
            ("NUL", "a device"),
            ("photos/Aux.jpg", "a device"),
            ("lpt1.tar.gz", "a device"),
        ] {
            let why = inside(path).unwrap_err();
            assert!(why.contains(says), "{path}: {why}");
        }
        assert!(inside(&"x".repeat(201)).unwrap_err().contains("201 bytes"));
        assert!(inside(&"xx/".repeat(80)).unwrap_err().contains("239 bytes"));
    }
}
