//! `trimsheet new`: a spec to begin with.
//!
//! The templates stand beside this file. They are whole specs, so that the checker can be
//! tried on them as they are; only the name of the aircraft is put in.

use trimsheet_project::source::Level;
use trimsheet_project::{Memory, Settings, open};

use crate::arguments::{Layout, New};
use crate::disk::{NotWritten, write_new};
use crate::{End, screen};

const TAILLESS: &str = include_str!("new/tailless.trim");
const CONVENTIONAL: &str = include_str!("new/conventional.trim");
const CANARD: &str = include_str!("new/canard.trim");

/// The name that stands for the aircraft in the templates.
const PLACEHOLDER: &str = "unnamed";

/// The longest name that is taken: long enough for people, short enough for any disk.
const LONGEST: usize = 60;

/// Writes a new spec into the working folder.
pub(crate) fn new(wanted: &New) -> End {
    let name = &wanted.name;
    if let Err(says) = plain(name) {
        screen::complain(&says);
        return End::CouldNotRun;
    }
    let (path, text) = (format!("{name}.trim"), spec(name, wanted.layout));
    if let Some(says) = trouble(&path, &text) {
        screen::complain(&format!("no model can be called {name}: {says}"));
        return End::CouldNotRun;
    }
    match write_new(&path, &text) {
        Ok(()) => {
            screen::print(&next(&path));
            End::Clear
        }
        Err(NotWritten::Taken) => {
            screen::complain(&format!(
                "{path} is there already and was left as it is; choose another name, or \
                 move it away first"
            ));
            End::CouldNotRun
        }
        Err(NotWritten::Refused(error)) => {
            screen::complain(&format!("cannot write {path}: {error}"));
            End::CouldNotRun
        }
    }
}

/// The spec that a new aircraft begins with.
fn spec(name: &str, layout: Layout) -> String {
    let template = match layout {
        Layout::Tailless => TAILLESS,
        Layout::Conventional => CONVENTIONAL,
        Layout::Canard => CANARD,
    };
    template.replace(PLACEHOLDER, name)
}

/// What is wrong with a new spec: its name may be that of one of its parts.
fn trouble(path: &str, text: &str) -> Option<String> {
    let host = Memory::new().with(path, text);
    let opened = open(&host, path, &Settings::default()).ok()?;
    let found = opened.findings.into_iter().find(|one| one.level >= Level::Error);
    found.map(|finding| finding.headline)
}

/// Whether a name can be that of a model and of a file on any disk.
fn plain(name: &str) -> Result<(), String> {
    let is_letter = |letter: char| letter.is_ascii_lowercase();
    let fits =
        |letter: char| is_letter(letter) || letter.is_ascii_digit() || letter == '-';
    let bare = name.strip_suffix(".trim");
    let found = format!("found `{}`", trimsheet_output::clean::visible(name));
    if let Some(bare) = bare.filter(|bare| plain(bare).is_ok()) {
        return Err(format!(
            "expected a name without its ending, such as {bare}, {found}"
        ));
    }
    let is_plain =
        name.starts_with(is_letter) && !name.ends_with('-') && name.chars().all(fits);
    if !is_plain {
        return Err(format!(
            "expected a plain name, such as linnet or linnet-2: small letters, digits and \
             hyphens, a letter first and no hyphen last, {found}"
        ));
    }
    if LONGEST < name.len() {
        return Err(format!(
            "expected a name of at most {LONGEST} letters, found one of {}",
            name.len()
        ));
    }
    if is_device(name) {
        return Err(format!("{name} is a device on some systems; choose another name"));
    }
    Ok(())
}

/// Whether some system takes a file of this name for a device, whatever its ending.
fn is_device(name: &str) -> bool {
    let numbered = name.strip_prefix("com").or_else(|| name.strip_prefix("lpt"));
    let is_port = numbered.is_some_and(|rest| {
        rest.len() == 1 && rest.chars().all(|digit| digit.is_ascii_digit())
    });
    is_port || matches!(name, "con" | "prn" | "aux" | "nul")
}

fn next(path: &str) -> String {
    format!(
        "wrote {path}

Every ? in it is a number to measure. To see where it balances, fill first
  1  the wing's ribs: root and tip chord, and how far aft the tip begins
  2  the band: where the drawings want the balance point
  3  each part under WEIGH AND PLACE: what it weighs and where it lies;
     take out the parts that you do not have
  4  the pack, its slide, and where it lies in it
and then see what it comes to, how sure that is, and what to measure next:

  trimsheet balance {path}
  trimsheet check {path}
"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plain_name_is_taken_and_any_other_is_told_what_is_expected() {
        for name in ["linnet", "a", "linnet-2", "x9"] {
            assert_eq!(plain(name), Ok(()), "{name}");
        }
        for name in [
            "",
            "Linnet",
            "2linnet",
            "-linnet",
            "linnet-",
            "my linnet",
            "../linnet",
            "a/b",
            "a\\b",
            "linnet.trim",
            "a.b",
            "ünnet",
            "nul",
            "com1",
            "a\u{1b}[31m",
            ".hidden",
        ] {
            let says = plain(name).unwrap_err();
            assert!(!says.contains('\u{1b}'), "{says:?}");
            assert!(says.contains("expected") || says.contains("another name"), "{says}");
        }
        assert!(plain(&"x".repeat(60)).is_ok() && plain(&"x".repeat(61)).is_err());
        assert!(plain("linnet.trim").unwrap_err().contains("such as linnet,"));
    }
}
