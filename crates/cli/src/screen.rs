//! The terminal: how wide it is, whether it takes colour, and printing to it.
#![expect(
    clippy::disallowed_methods,
    clippy::print_stderr,
    reason = "this is the one place that prints and asks the environment"
)]

use std::io::{IsTerminal, Write, stderr, stdout};

use trimsheet_output::clean::{visible, visible_lines};
use trimsheet_output::{Colour, Look};
use trimsheet_project::model::Date;

/// How findings should look where they go.
pub(crate) fn look() -> Look {
    let wants_none = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    let is_dumb = std::env::var("TERM").is_ok_and(|term| term == "dumb");
    let colour = if stdout().is_terminal() && !wants_none && !is_dumb {
        Colour::Ansi
    } else {
        Colour::Plain
    };
    Look { colour, width: width() }
}

/// The width in columns: what the environment says, or the usual.
fn width() -> usize {
    let columns = std::env::var("COLUMNS").ok().and_then(|text| text.parse().ok());
    columns.or_else(terminal_width).unwrap_or(100).clamp(50, 200)
}

/// The width of the terminal, if there is one.
fn terminal_width() -> Option<usize> {
    let (width, _) = terminal_size::terminal_size()?;
    Some(usize::from(width.0))
}

/// The day of today in UTC, which is the same day everywhere.
pub(crate) fn today() -> Date {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    let days = since.map_or(0, |since| since.as_secs() / (24 * 60 * 60));
    Date::after_1970(u32::try_from(days).unwrap_or(0))
}

/// The folders of the user's own packs: what the environment says, or the usual place for
/// settings.
pub(crate) fn shelves() -> Vec<String> {
    let said = |name: &str| std::env::var(name).ok().filter(|text| !text.is_empty());
    let own = said("TRIMSHEET_RULES").or_else(|| {
        let settings = said("XDG_CONFIG_HOME")
            .or_else(|| said("APPDATA"))
            .or_else(|| said("HOME").map(|home| format!("{home}/.config")))?;
        Some(format!("{settings}/trimsheet/rules"))
    });
    own.map(|own| own.replace('\\', "/")).into_iter().collect()
}

/// Prints what was asked for; a reader that has gone away is no fault of ours.
pub(crate) fn print(text: &str) {
    let _ = stdout().lock().write_all(text.as_bytes()).and_then(|()| stdout().flush());
}

/// Prints lines that hold words of specs and packs, which may hold anything.
pub(crate) fn show(text: &str) {
    print(&visible_lines(text));
}

/// Says why something could not be done.
pub(crate) fn complain(text: &str) {
    eprintln!("trimsheet: {}", visible(text));
}

/// Shows findings beside what was asked for, which another program may be reading.
pub(crate) fn warn(text: &str) {
    let _ = stderr().lock().write_all(text.as_bytes()).and_then(|()| stderr().flush());
}

/// Shows how far a long check is, on a line that the next one overwrites.
pub(crate) fn progress(done: usize, total: usize) {
    if total < LONG || !stderr().is_terminal() {
        return;
    }
    if done == total {
        eprint!("\r\x1b[K");
    } else {
        eprint!("\rchecked {done} of {total} files");
    }
    let _ = stderr().flush();
}

/// From how many files on a check is long enough to show how far it is.
const LONG: usize = 20;
