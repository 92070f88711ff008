//! `trimsheet as-built`

use trimsheet_report::as_built::{AsBuilt as Page, csv, text};

use crate::arguments::{AsBuilt, TableFormat};
use crate::opened::opened;
use crate::{End, screen};

/// Prints where a model departs from the reference that it follows.
pub(crate) fn as_built(wanted: &AsBuilt) -> End {
    let (opened, is_damaged) = match opened(&wanted.file, &wanted.under, "page") {
        Ok(opened) => opened,
        Err(end) => return end,
    };
    let Some(page) = Page::new(&opened.facts, &opened.sources) else {
        screen::complain(&format!(
            "{} follows no spec that can be read: name one in its model, follows \"REFERENCE.trim\"",
            wanted.file
        ));
        return End::CouldNotRun;
    };
    screen::print(&match wanted.format {
        TableFormat::Text => text(&page, screen::look().width),
        TableFormat::Csv => csv(&page),
    });
    if is_damaged { End::Found } else { End::Clear }
}
