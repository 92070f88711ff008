//! `trimsheet manual` and `trimsheet completions`: both from the one definition.

use clap_complete::{Shell, generate};
use clap_mangen::Man;

use crate::disk::write_over;
use crate::{End, command, screen};

/// The name under which the program is called.
const NAME: &str = "trimsheet";

/// Prints a script with which a shell completes the words of the program.
pub(crate) fn completions(shell: Shell) -> End {
    let mut script = Vec::new();
    generate(shell, &mut command(), NAME, &mut script);
    screen::print(&String::from_utf8_lossy(&script));
    End::Clear
}

/// Prints the page of the program, or writes the pages of all commands into a folder.
pub(crate) fn manual(into: Option<&str>) -> End {
    let pages = pages();
    let Some(folder) = into else {
        let main = pages.first().map_or("", |(_, page)| page);
        screen::print(main);
        return End::Clear;
    };
    for (name, page) in &pages {
        let path = format!("{}/{name}.1", folder.trim_end_matches('/'));
        if let Err(error) = write_over(folder, &path, page) {
            screen::complain(&format!("cannot write {path}: {error}"));
            return End::CouldNotRun;
        }
        screen::print(&format!("wrote {path}\n"));
    }
    End::Clear
}

/// The pages: the program's own, then one for each command and those below it, each by
/// its name.
fn pages() -> Vec<(String, String)> {
    let program = command().disable_help_subcommand(true);
    let mut pages = vec![(NAME.to_owned(), page(program.clone()))];
    pages_below(&program, NAME, &mut pages);
    pages
}

fn pages_below(above: &clap::Command, words: &str, pages: &mut Vec<(String, String)>) {
    for command in above.get_subcommands().filter(|command| !command.is_hide_set()) {
        let shown = format!("{words} {}", command.get_name());
        let name = shown.replace(' ', "-");
        let own =
            command.clone().disable_help_subcommand(true).disable_version_flag(true);
        let own = own.display_name(name.clone()).bin_name(shown.clone());
        pages.push((name, page(own)));
        pages_below(command, &shown, pages);
    }
}

fn page(command: clap::Command) -> String {
    let mut page = Vec::new();
    let source = concat!("trimsheet ", env!("CARGO_PKG_VERSION"));
    let has_version = command.get_version().is_some();
    // Writing to memory does not fail.
    let _ = Man::new(command).source(source).render(&mut page);
    let page = String::from_utf8_lossy(&page);
    // What stands behind the options are examples, or a caution on the program's page.
    let heading = if has_version { ".SH CAUTION" } else { ".SH EXAMPLES" };
    page.replace(".SH EXTRA", heading)
}
