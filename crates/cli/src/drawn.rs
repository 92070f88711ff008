//! Drawings that are written into files of their own.

use crate::disk::{NotWritten, write_new};
use crate::screen;

/// The name of a drawing without its ending; where it has another, that is said.
pub(crate) fn stem<'a>(path: &'a str, what: &str) -> Option<&'a str> {
    let stem = path.strip_suffix(".svg").filter(|stem| !stem.is_empty());
    if stem.is_none() {
        screen::complain(&format!(
            "expected a name that ends in .svg for {what}, found `{path}`"
        ));
    }
    stem
}

/// Writes a drawing into a file that is not there yet, and says so, or why not.
pub(crate) fn write(path: &str, drawing: &str) -> bool {
    let Err(why) = write_new(path, drawing) else {
        screen::show(&format!("wrote {path}\n"));
        return true;
    };
    screen::complain(&match why {
        NotWritten::Taken => format!(
            "{path} is there already and was left as it is; choose another name, or move \
             it away first"
        ),
        NotWritten::Refused(_) => format!("cannot write {path}: {why}"),
    });
    false
}
