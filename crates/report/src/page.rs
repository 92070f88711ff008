//! A page of rules, sentences and tables, within the columns of a terminal.

use std::fmt::Write;

use trimsheet_output::clean::{visible, width};
use trimsheet_output::wrap::rows;

use crate::aligned::{Align, Column, Grid, WORDS};
use crate::sheet::Line;

/// The column at which what stands behind a label begins.
const LABEL: usize = 12;

/// The least room in which words of a table are broken.
const LEAST: usize = 24;

/// A page that is being written.
pub(crate) struct Page {
    pub(crate) columns: usize,
    pub(crate) out: String,
}

impl Page {
    /// An empty page of so many columns; fewer than 60 are taken as 60, more than 100 as 100.
    pub(crate) fn new(columns: usize) -> Page {
        Page { columns: columns.clamp(60, 100), out: String::new() }
    }

    /// An empty line, unless there is one.
    pub(crate) fn gap(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    /// A name with a rule behind it.
    pub(crate) fn rule(&mut self, name: &str) {
        self.gap();
        let name = visible(name);
        let rest = self.columns.saturating_sub(width(&name) + 4);
        let _ = writeln!(self.out, "── {name} {}", "─".repeat(rest));
    }

    /// Sentences over the whole width.
    pub(crate) fn say(&mut self, text: &str) {
        for row in rows(&visible(text), self.columns, self.columns) {
            let _ = writeln!(self.out, "{row}");
        }
    }

    /// A label and what stands behind it, its rows below each other.
    pub(crate) fn entry(&mut self, label: &str, text: &str) {
        let room = self.columns - LABEL;
        for (at, row) in rows(&visible(text), room, room).iter().enumerate() {
            let label = if at == 0 { label } else { "" };
            let _ = writeln!(self.out, "{label:LABEL$}{row}");
        }
    }

    /// A table; columns that are empty all the way down are left out, and those that find
    /// no room go on below, behind the first column again.
    pub(crate) fn table(&mut self, heads: &[&str], body: &[Vec<[String; 2]>]) {
        let is_used = |at: &usize| {
            let cells = body.iter().filter_map(|row| row.get(*at)).flatten();
            cells.into_iter().any(|one| !one.is_empty())
        };
        let used = (1..heads.len()).filter(is_used).collect();
        self.lay(used, |some| grid(heads, body, some));
    }

    /// A table of words, each cell in as many rows as it takes; a cell that begins with
    /// spaces keeps them in all its rows. Columns find their room as those of a table.
    pub(crate) fn list(&mut self, heads: &[&str], body: &[Vec<String>]) {
        let is_used = |at: &usize| {
            body.iter().any(|row| row.get(*at).is_some_and(|one| !one.is_empty()))
        };
        let used: Vec<usize> = (1..heads.len()).filter(is_used).collect();
        let wide = |at: usize| {
            let cells = body.iter().filter_map(|row| row.get(at));
            cells
                .chain(&heads.get(at).map(|head| (*head).to_owned()))
                .map(|one| width(one))
                .max()
        };
        let half = self.columns / 2 - 1;
        let last = used.last().copied().unwrap_or(0);
        let others = (0..heads.len()).filter(|at| *at != last && wide(*at).is_some());
        let others: usize = others.filter_map(wide).map(|wide| wide.min(half) + 2).sum();
        let rest = self.columns.saturating_sub(others);
        // What stands last gives way, as long as a few words still stand side by side.
        let rest = if LEAST <= rest { rest } else { half };
        let cut = |row: &Vec<String>| {
            let cells = row.iter().enumerate();
            cells
                .map(|(at, cell)| indented(cell, if at == last { rest } else { half }))
                .collect::<Vec<_>>()
        };
        let body: Vec<Vec<Vec<String>>> = body.iter().map(cut).collect();
        self.lay(used, |some| words(heads, &body, some));
    }

    /// Lays some columns beside the first, as many as fit, and the others below.
    fn lay(&mut self, mut rest: Vec<usize>, grid: impl Fn(&[usize]) -> Grid) {
        while !rest.is_empty() {
            let fits = |count: &usize| {
                grid(rest.get(..*count).unwrap_or_default()).width() <= self.columns
            };
            let count = (1..=rest.len()).rev().find(fits).unwrap_or(1);
            let later = rest.split_off(count);
            for line in grid(&rest).lines(self.columns).concat() {
                let _ = writeln!(self.out, "{line}");
            }
            rest = later;
        }
    }
}

/// A text in rows that all begin as far in as the first.
fn indented(text: &str, room: usize) -> Vec<String> {
    let text = visible(text);
    let bare = text.trim_start_matches(' ');
    let spaces = (text.len() - bare.len()).min(room / 2);
    let rows = rows(bare, room - spaces, room - spaces);
    rows.into_iter().map(|row| format!("{:spaces$}{row}", "")).collect()
}

/// Some columns of a table of words, behind its first.
fn words(heads: &[&str], body: &[Vec<Vec<String>>], some: &[usize]) -> Grid {
    let all: Vec<usize> = std::iter::once(0).chain(some.iter().copied()).collect();
    let columns = all.iter().filter_map(|at| {
        Some(Column { head: (*heads.get(*at)?).to_owned(), pieces: WORDS })
    });
    let mut rows = Vec::new();
    for row in body {
        let cells: Vec<&Vec<String>> = all.iter().filter_map(|at| row.get(*at)).collect();
        let high = cells.iter().map(|cell| cell.len()).max().unwrap_or(0);
        // Below the first columns, what has nothing more to say is left out.
        let mut others = cells.iter().skip(1).flat_map(|cell| cell.iter());
        if !some.contains(&1) && others.all(String::is_empty) {
            continue;
        }
        for at in 0..high {
            let piece = |cell: &&Vec<String>| cell.get(at).cloned().into_iter().collect();
            rows.push(cells.iter().map(piece).collect());
        }
    }
    // Every cell is in rows already, so none of them gives way.
    Grid { columns: columns.collect(), rows, gives_way: usize::MAX }
}

/// Some columns of a table, behind its first.
fn grid(heads: &[&str], body: &[Vec<[String; 2]>], some: &[usize]) -> Grid {
    let all: Vec<usize> = std::iter::once(0).chain(some.iter().copied()).collect();
    let columns = all.iter().filter_map(|at| {
        let pieces: &[Align] =
            if *at == 0 { WORDS } else { &[Align::Point, Align::Left] };
        Some(Column { head: (*heads.get(*at)?).to_owned(), pieces })
    });
    let cells = |row: &Vec<[String; 2]>| {
        let cells = all.iter().filter_map(|at| row.get(*at));
        cells.map(|cell| cell.iter().map(|one| visible(one)).collect()).collect()
    };
    Grid {
        columns: columns.collect(),
        rows: body.iter().map(cells).collect(),
        gives_way: 0,
    }
}

/// Where something stands: ` (line 12)`, or ` (shelf.trim:12)`.
pub(crate) fn place(file: &str, line: &Line) -> String {
    if line.file == file {
        format!(" (line {})", line.line)
    } else {
        format!(" ({}:{})", line.file, line.line)
    }
}
