//! The sheet for a person at the bench, within the columns of a terminal.
//!
//! Columns give way in a fixed order where there is little room: first the words for
//! sources become letters, then the spreads of places go, then names are cut into rows.

mod aboard;
mod result;

use trimsheet_output::clean::{visible, width};
use trimsheet_output::wrap::rows;

use crate::aligned::Grid;
use crate::sheet::{Line, Loadout, Sheet, Source};

/// The fewest columns that a sheet is laid out for.
const NARROWEST: usize = 50;

/// Beyond this, lines are harder to follow than to break.
const WIDEST: usize = 100;

/// Writes the sheet within so many columns; fewer than 50 are taken as 50.
///
/// Control characters from the spec are shown as visible signs.
pub fn text(sheet: &Sheet, width: usize) -> String {
    let width = width.clamp(NARROWEST, WIDEST);
    let mut page =
        Page { width, file: &sheet.file, letters: Vec::new(), out: String::new() };
    head(&mut page, sheet);
    for loadout in &sheet.loadouts {
        page.gap();
        page.rule(&loadout.name);
        one(&mut page, sheet, loadout);
    }
    page.gap();
    page.rule("how the numbers came");
    ways(&mut page);
    page.out
}

/// A page that is being written.
struct Page<'a> {
    width: usize,
    /// The spec itself, whose lines need no path.
    file: &'a str,
    /// The sources whose letters need to be explained.
    letters: Vec<Source>,
    out: String,
}

/// The column at which what stands behind a label begins.
const LABEL: usize = 15;

impl Page<'_> {
    fn line(&mut self, text: &str) {
        self.out.push_str(text.trim_end());
        self.out.push('\n');
    }

    fn gap(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    /// A name with a rule behind it.
    fn rule(&mut self, name: &str) {
        let name = rows(&visible(name), self.width - 6, self.width - 6);
        let name = name.first().cloned().unwrap_or_default();
        let rest = self.width.saturating_sub(width(&name) + 4);
        self.line(&format!("── {name} {}", "─".repeat(rest)));
    }

    /// Sentences over the whole width.
    fn sentences(&mut self, text: &str) {
        for row in rows(&visible(text), self.width, self.width) {
            self.line(&row);
        }
    }

    /// A label, and what stands behind it.
    fn entry(&mut self, label: &str, text: &str) {
        let room = self.width - LABEL;
        for (at, row) in rows(&visible(text), room, room).iter().enumerate() {
            let label = if at == 0 { label } else { "" };
            let pad = " ".repeat(LABEL.saturating_sub(width(label)));
            self.line(&format!("{label}{pad}{row}"));
        }
    }

    /// A table, with a rule before its last row if that is a sum.
    fn grid(&mut self, mut grid: Grid, foot: Foot) {
        for piece in grid.rows.iter_mut().flatten().flatten() {
            *piece = visible(piece);
        }
        let rows = grid.lines(self.width);
        let widest = rows.iter().flatten().map(|line| width(line)).max().unwrap_or(0);
        let last = rows.len().saturating_sub(1);
        for (at, lines) in rows.iter().enumerate() {
            if foot == Foot::Sum && at == last {
                self.line(&"─".repeat(widest));
            }
            lines.iter().for_each(|line| self.line(line));
        }
    }

    /// Where something stands: `line 12`, or `shelf.trim:12`.
    fn place(&self, line: &Line) -> String {
        if line.file == self.file {
            format!("line {}", line.line)
        } else {
            format!("{}:{}", line.file, line.line)
        }
    }
}

/// Whether the last row of a table is a sum.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Foot {
    Sum,
    None,
}

fn head(page: &mut Page<'_>, sheet: &Sheet) {
    let revision = sheet.revision.as_ref().map(|says| format!(", revision {says}"));
    let title =
        if sheet.title.is_empty() { "aircraft without a name" } else { &sheet.title };
    page.sentences(&format!("{title}{}: mass and balance", revision.unwrap_or_default()));
    page.sentences(&format!("{}, judged for the stage {}", sheet.file, sheet.stage));
    let datum = match (&sheet.datum, &sheet.level) {
        (Some(datum), Some(level)) => format!("places from: {datum}, {level} level"),
        (Some(datum), None) => format!("places from: {datum}"),
        (None, _) => "places from: the spec does not say; write `datum`".to_owned(),
    };
    page.sentences(&datum);
}

fn one(page: &mut Page<'_>, sheet: &Sheet, loadout: &Loadout) {
    let place = loadout.line.as_ref().map(|line| format!(" ({})", page.place(line)));
    let is = match loadout.is.as_slice() {
        [] if loadout.line.is_none() => {
            "the spec names no loadout: flown as it is listed".to_owned()
        }
        [] => "as it is listed".to_owned(),
        phrases => phrases.join("; "),
    };
    page.sentences(&format!("{is}{}", place.unwrap_or_default()));
    page.gap();
    aboard::items(page, sheet, loadout);
    aboard::off_centre(page, sheet, loadout);
    page.gap();
    result::figures(page, loadout);
    result::limits(page, loadout);
    result::remedies(page, loadout);
    result::flight(page, loadout);
    result::drive(page, loadout);
    result::as_weighed(page, sheet, loadout);
    result::contributors(page, sheet, loadout);
    result::not_said(page, loadout);
}

fn ways(page: &mut Page<'_>) {
    page.sentences(
        "A moment is a mass times its place from the datum; the balance point is the sum \
         of the moments over the sum of the masses. Sums are of the numbers before \
         rounding.",
    );
    page.sentences(
        "± is the expanded spread, coverage factor 2: the bounds to bet on, 95 times in \
         a hundred. It is carried through by JCGM 100:2008, equation 10; a number that \
         was written once is unsure once, however often it counts. Where a line states \
         no spread, one is assumed from its source.",
    );
    let letters: Vec<String> = (Source::ALL.iter())
        .filter(|source| page.letters.contains(source))
        .map(|source| format!("{} {}", source.letter(), source.word()))
        .collect();
    if !letters.is_empty() {
        page.sentences(&format!("from: {}.", letters.join(", ")));
    }
    page.sentences(
        "No release to fly: the sheet shows what is written, not the aircraft. Weigh and \
         balance it as flown, inspect it, and follow your local rules.",
    );
}
