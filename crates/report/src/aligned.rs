//! Columns that line up: numbers by their decimal point, words by their first letter.

use trimsheet_output::clean::width;
use trimsheet_output::wrap::rows;

/// How the pieces of a column line up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Align {
    /// By the first letter.
    Left,
    /// By the decimal point, the last digit of whole numbers standing before it.
    Point,
}

/// One column: its cells have a piece for each of `pieces`.
#[derive(Clone, Debug)]
pub(crate) struct Column {
    pub(crate) head: String,
    pub(crate) pieces: &'static [Align],
}

/// A word, or a sentence.
pub(crate) const WORDS: &[Align] = &[Align::Left];

/// A table whose columns line up.
#[derive(Clone, Debug)]
pub(crate) struct Grid {
    pub(crate) columns: Vec<Column>,
    /// Rows of cells of pieces.
    pub(crate) rows: Vec<Vec<Vec<String>>>,
    /// Which column gives way where there is too little room, cut into rows.
    pub(crate) gives_way: usize,
}

/// The columns between two columns.
const GAP: usize = 2;

/// The least that the column which gives way keeps.
const LEAST: usize = 8;

impl Grid {
    /// How wide it is as it stands.
    pub(crate) fn width(&self) -> usize {
        let widths: Vec<usize> =
            self.measures().iter().map(|column| column.width).collect();
        let gaps = GAP * widths.len().saturating_sub(1);
        widths.iter().sum::<usize>() + gaps
    }

    /// The head and the rows within a width; each row may take several lines.
    pub(crate) fn lines(mut self, room: usize) -> Vec<Vec<String>> {
        let heads = self.columns.iter().map(|column| vec![column.head.clone()]);
        let heads: Vec<Vec<String>> = heads.collect();
        let too_wide = self.width().saturating_sub(room);
        let measured = self.measures();
        let own = measured.get(self.gives_way).map_or(0, |column| column.width);
        let keeps = own.saturating_sub(too_wide).max(LEAST);
        let mut cut: Vec<Vec<Vec<Vec<String>>>> = Vec::new();
        for row in std::mem::take(&mut self.rows) {
            cut.push(self.cut(row, keeps));
        }
        self.rows = cut.iter().flatten().cloned().collect();
        let measured = self.measures();
        let head = self.columns.iter().any(|column| !column.head.is_empty());
        let head = head.then(|| vec![line(&measured, &heads, Part::Head)]);
        let body = cut
            .iter()
            .map(|row| row.iter().map(|row| line(&measured, row, Part::Body)).collect());
        head.into_iter().chain(body).collect()
    }

    /// One row as several, so that the column that gives way keeps within `room`.
    fn cut(&self, row: Vec<Vec<String>>, room: usize) -> Vec<Vec<Vec<String>>> {
        let text = row.get(self.gives_way).and_then(|cell| cell.first());
        let pieces = rows(text.map_or("", String::as_str), room, room);
        let first = pieces.first().cloned().unwrap_or_default();
        let mut all = vec![row];
        if let Some(cell) = all.first_mut().and_then(|row| row.get_mut(self.gives_way)) {
            *cell = vec![first];
        }
        all.extend(pieces.into_iter().skip(1).map(|piece| {
            let mut row: Vec<Vec<String>> = vec![Vec::new(); self.gives_way];
            row.push(vec![piece]);
            row
        }));
        all
    }

    fn measures(&self) -> Vec<Measured> {
        let columns = self.columns.iter().enumerate();
        columns
            .map(|(at, column)| {
                let cells = self.rows.iter().filter_map(|row| row.get(at));
                Measured::new(column, cells)
            })
            .collect()
    }
}

/// How wide a column and its pieces are.
struct Measured {
    pieces: Vec<(Align, usize, usize)>,
    width: usize,
}

impl Measured {
    fn new<'a>(
        column: &Column,
        cells: impl Iterator<Item = &'a Vec<String>>,
    ) -> Measured {
        let mut pieces: Vec<(Align, usize, usize)> =
            column.pieces.iter().map(|align| (*align, 0, 0)).collect();
        for cell in cells {
            for ((align, before, behind), text) in pieces.iter_mut().zip(cell) {
                let (whole, part) = split(*align, text);
                *before = width(whole).max(*before);
                *behind = width(part).max(*behind);
            }
        }
        let used: Vec<usize> = pieces
            .iter()
            .map(|(_, before, behind)| before + behind)
            .filter(|width| 0 < *width)
            .collect();
        let own = used.iter().sum::<usize>() + used.len().saturating_sub(1);
        Measured { pieces, width: own.max(width(&column.head)) }
    }

    fn is_numeric(&self) -> bool {
        self.pieces.first().is_some_and(|(align, ..)| *align == Align::Point)
    }

    fn cell(&self, cell: &[String]) -> String {
        let mut out = String::new();
        let empty = String::new();
        let texts = cell.iter().chain(std::iter::repeat(&empty));
        for ((align, before, behind), text) in self.pieces.iter().zip(texts) {
            if before + behind == 0 {
                continue;
            }
            if !out.is_empty() {
                out.push(' ');
            }
            let (whole, part) = split(*align, text);
            let pad = " ".repeat(before.saturating_sub(width(whole)));
            let behind = " ".repeat(behind.saturating_sub(width(part)));
            match align {
                Align::Left => out.extend([whole, &pad, part, &behind]),
                Align::Point => out.extend([&pad, whole, part, &behind]),
            }
        }
        out
    }
}

#[derive(Clone, Copy)]
enum Part {
    Head,
    Body,
}

fn line(columns: &[Measured], cells: &[Vec<String>], part: Part) -> String {
    let mut out = String::new();
    let empty = Vec::new();
    let cells = cells.iter().chain(std::iter::repeat(&empty));
    for (at, (column, cell)) in columns.iter().zip(cells).enumerate() {
        if 0 < at {
            out.push_str(&" ".repeat(GAP));
        }
        let text = match part {
            Part::Head => cell.concat(),
            Part::Body => column.cell(cell),
        };
        let pad = " ".repeat(column.width.saturating_sub(width(&text)));
        if column.is_numeric() {
            out.extend([pad, text]);
        } else {
            out.extend([text, pad]);
        }
    }
    out.trim_end().to_owned()
}

/// What stands before the decimal point, and the rest.
fn split(align: Align, text: &str) -> (&str, &str) {
    match (align, text.find('.')) {
        (Align::Point, Some(at)) => text.split_at(at),
        (Align::Point | Align::Left, _) => (text, ""),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(rows: &[(&str, &str, &str)]) -> Grid {
        let column = |head: &str, pieces| Column { head: head.to_owned(), pieces };
        let rows = rows.iter().map(|(name, number, side)| {
            vec![vec![(*name).to_owned()], vec![(*number).to_owned(), (*side).to_owned()]]
        });
        Grid {
            columns: vec![
                column("name", WORDS),
                column("place", &[Align::Point, Align::Left]),
            ],
            rows: rows.collect(),
            gives_way: 0,
        }
    }

    fn drawn(grid: Grid, room: usize) -> String {
        grid.lines(room).concat().join("\n")
    }

    #[test]
    fn numbers_line_up_by_their_decimal_point() {
        let grid =
            grid(&[("a", "7", "aft"), ("bb", "163.95", "ahead"), ("c", ".5", "aft")]);
        let expected = "name         place\n\
                        a       7    aft\n\
                        bb    163.95 ahead\n\
                        c        .5  aft";
        assert_eq!(drawn(grid, 80), expected);
    }

    #[test]
    fn a_name_that_is_too_long_goes_on_below() {
        let long = grid(&[("a-very-long-name-indeed", "7", "aft"), ("b", "12", "aft")]);
        let expected = "name         place\n\
                        a-very-lon   7 aft\n\
                        g-name-ind\n\
                        eed\n\
                        b           12 aft";
        assert_eq!(drawn(long, 18), expected);
    }
}
