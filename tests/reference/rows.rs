//! Reading rows of reference numbers, and comparing with them.

use std::fmt::Write;

/// The published checks.
const CHECKS: &str = include_str!("checks.csv");

/// One row: its values, by the names of the columns.
pub(crate) struct Row(Vec<(String, String)>);

impl Row {
    /// What stands in a column.
    pub(crate) fn text(&self, column: &str) -> &str {
        let cell = self.0.iter().find(|(name, _)| name == column);
        &cell.unwrap_or_else(|| panic!("no column is called {column}")).1
    }

    /// The numbers of a column, in order.
    pub(crate) fn numbers(&self, column: &str) -> Vec<f64> {
        numbers(self.text(column))
    }

    /// Mass and station of each `mass @ station` among the inputs.
    pub(crate) fn masses_at_stations(&self) -> Vec<(f64, f64)> {
        let parts = self.text("inputs").split([',', ';', ':']);
        parts.filter_map(mass_at_station).collect()
    }

    /// The first number of the tolerance.
    pub(crate) fn tolerance(&self) -> f64 {
        self.numbers("tolerance")[0]
    }

    /// Fails with the source and the difference if `found` is not `expected`.
    pub(crate) fn assert(&self, what: &str, found: f64, expected: f64, tolerance: f64) {
        let difference = found - expected;
        if difference.abs() <= tolerance {
            return;
        }
        let mut text = format!("{what}: found {found}, expected {expected}\n");
        let _ = writeln!(text, "differs by {difference}, allowed is {tolerance}");
        for (column, value) in &self.0 {
            let _ = writeln!(text, "{column}: {value}");
        }
        panic!("{text}");
    }
}

/// The row of `checks.csv` with this id.
pub(crate) fn row(id: &str) -> Row {
    let found = read(CHECKS).into_iter().find(|row| row.text("id") == id);
    found.unwrap_or_else(|| panic!("checks.csv has no row {id}"))
}

/// Every row of a numeric table: our own, then those of the folder that
/// `TRIMSHEET_MORE_REFERENCES` names.
#[expect(
    clippy::disallowed_methods,
    reason = "references kept elsewhere are tests' input, and reach no result of ours"
)]
pub(crate) fn table(name: &str, own: &str) -> Vec<Row> {
    let mut rows = read(own);
    if let Some(folder) = std::env::var_os("TRIMSHEET_MORE_REFERENCES") {
        let path = std::path::Path::new(&folder).join(name);
        if path.exists() {
            let text = std::fs::read_to_string(&path);
            let text = text.unwrap_or_else(|error| panic!("cannot read {name}: {error}"));
            rows.extend(read(&text));
        }
    }
    rows
}

/// Rows of comma-separated values whose first line names the columns.
pub(crate) fn read(text: &str) -> Vec<Row> {
    let mut lines = text.lines().filter(|line| !line.trim().is_empty()).map(cells);
    let columns = lines.next().unwrap_or_default();
    let row = |cells: Vec<String>| {
        assert_eq!(cells.len(), columns.len(), "a row has other columns: {cells:?}");
        Row(columns.iter().cloned().zip(cells).collect())
    };
    lines.map(row).collect()
}

/// The cells of one line; within quotes a comma is one, and two quotes are a quote.
fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    let mut marks = line.chars().peekable();
    while let Some(mark) = marks.next() {
        match mark {
            '"' if quoted && marks.peek() == Some(&'"') => {
                marks.next();
                cells.last_mut().unwrap().push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            _ => cells.last_mut().unwrap().push(mark),
        }
    }
    cells
}

/// The numbers in a text; digits that belong to a name or a unit (`m2`) are none.
pub(crate) fn numbers(text: &str) -> Vec<f64> {
    let is_inner = |mark: char| mark.is_alphanumeric() || "._+-^".contains(mark);
    let words = text.split(|mark: char| !is_inner(mark));
    words.filter_map(|word| word.parse::<f64>().ok()).collect()
}

/// Half of the last digit of a value that is printed with so many figures.
///
/// A hundredth more, because both the print and what is compared were rounded.
pub(crate) fn half_of_last_digit(value: f64, figures: f64) -> f64 {
    let first = libm::floor(libm::log10(value.abs()));
    if value.abs() <= 0.0 {
        1e-12
    } else {
        0.505 * libm::pow(10.0, first + 1.0 - figures)
    }
}

/// `170@+16`, `nose 6488 kg @161 in`, or `-2x15@71` for two of 15 taken away.
fn mass_at_station(text: &str) -> Option<(f64, f64)> {
    let (mass, station) = text.split_once('@')?;
    let station = *numbers(station).first()?;
    if let Some((count, each)) = mass.trim().split_once('x') {
        let (count, each) = (count.parse::<f64>().ok()?, each.parse::<f64>().ok()?);
        return Some((count * each, station));
    }
    Some((*numbers(mass).last()?, station))
}

#[test]
fn every_reference_number_has_a_source_and_says_how_it_was_verified() {
    let mut ids: Vec<String> = Vec::new();
    for row in read(CHECKS) {
        for column in ["id", "expected", "source", "verified"] {
            assert!(!row.text(column).trim().is_empty(), "{}: {column}", row.text("id"));
        }
        ids.push(row.text("id").to_owned());
    }
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "two rows have one id");
}

#[test]
fn reference_rows_are_read_with_their_quotes_and_numbers() {
    assert_eq!(cells(r#"a,"b, ""c""",,d"#), ["a", r#"b, "c""#, "", "d"]);
    assert_eq!(numbers("W=7800 lb, S 0.5 m2, CG +81.5 -> -3"), [7800.0, 0.5, 81.5, -3.0]);
    assert_eq!(mass_at_station(" -2x15@71"), Some((-30.0, 71.0)));
    assert_eq!(mass_at_station("nose 6488 kg @161 in"), Some((6488.0, 161.0)));
}

#[test]
#[should_panic(expected = "differs by 1, allowed is 0.05")]
fn a_reference_that_is_missed_says_by_how_much() {
    row("WB-05").assert("a number", 2.0, 1.0, 0.05);
}
