//! A change tried at one value after the other: a table, a small chart, a spreadsheet.
//!
//! A [`Sweep`] is plain data. The chart has a row for each value: where the balance point
//! then lies, between marks for the limits of the band and the best place.

use std::fmt::Write;

use csv::{Terminator, WriterBuilder};
use serde::Serialize;
use trimsheet_output::clean::{visible, width};
use trimsheet_output::wrap::rows;

use crate::number::Number;
use crate::sheet::Loadout;

/// What a change does to each loadout, value by value.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sweep {
    /// The spec, as its path is shown.
    pub file: String,
    /// The change, with the range in it.
    pub phrase: String,
    /// One for each loadout that it touches.
    pub loadouts: Vec<Swept>,
}

/// One loadout at all values.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Swept {
    /// Its name.
    pub name: String,
    /// The forward limit, the best place and the aft limit of its band, where stated.
    pub limits: [Option<Number>; 3],
    /// One for each value, in order.
    pub steps: Vec<Step>,
    /// Between which values its whole spread lies inside the band, if any.
    pub inside: Option<(Number, Number)>,
}

/// One value, and what it comes to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Step {
    /// The value in the range.
    pub value: Number,
    /// All that is aboard.
    pub mass: Number,
    /// The balance point.
    pub x: Number,
    /// Where that is on the mean chord.
    pub chord_share: Option<Number>,
}

impl Step {
    /// What a loadout comes to at a value; `None` where that cannot be said.
    pub fn of(value: Number, loadout: &Loadout) -> Option<Step> {
        let total = loadout.total.as_ref()?;
        let chord_share = loadout.chord_share.clone();
        Some(Step { value, mass: total.mass.clone(), x: total.x.clone(), chord_share })
    }

    /// How far the nearer end of its spread lies inside limits, in m; below nought outside.
    pub fn room(&self, limits: &[Option<Number>; 3]) -> Option<f64> {
        let [Some(forward), _, Some(aft)] = limits else { return None };
        let spread = self.x.0.spread_si().unwrap_or(0.0);
        let x = self.x.0.si();
        Some((x - spread - forward.0.si()).min(aft.0.si() - x - spread))
    }
}

impl Swept {
    /// The limits of the band of a loadout.
    pub fn limits(loadout: &Loadout) -> [Option<Number>; 3] {
        let band = loadout.band.as_ref();
        [
            band.map(|band| band.forward.at.clone()),
            band.and_then(|band| band.best.as_ref()).map(|best| best.at.clone()),
            band.map(|band| band.aft.at.clone()),
        ]
    }

    /// Where the balance lies against its band, in words.
    fn says(&self, step: &Step) -> String {
        let [Some(forward), _, Some(aft)] = &self.limits else { return String::new() };
        let x = &step.x.0;
        let by = |size: f64| {
            let unit = x.unit();
            trimsheet_facts::model::quantity::Quantity::from_si(size, unit).rough()
        };
        if x.si() < forward.0.si() {
            format!("{} ahead of forward", by(forward.0.si() - x.si()))
        } else if aft.0.si() < x.si() {
            format!("{} behind aft", by(x.si() - aft.0.si()))
        } else if step.room(&self.limits).is_some_and(|room| room < 0.0) {
            "inside, its spread is not".to_owned()
        } else {
            "inside".to_owned()
        }
    }
}

/// Writes a sweep within so many columns; fewer than 60 are taken as 60.
pub fn text(sweep: &Sweep, columns: usize) -> String {
    let columns = columns.clamp(60, 100);
    let mut out =
        format!("sweep: {}, {}\n", visible(&sweep.phrase), visible(&sweep.file));
    for swept in &sweep.loadouts {
        let name = visible(&swept.name);
        let rest = columns.saturating_sub(width(&name) + 4);
        let _ = writeln!(out, "\n── {name} {}", "─".repeat(rest));
        table(swept, &mut out);
        chart(swept, columns, &mut out);
        out.push('\n');
        for row in rows(&range(swept), columns, columns) {
            let _ = writeln!(out, "{row}");
        }
    }
    out.push_str(
        "\nTried as [plan], nothing is written. No release to fly; local rules decide.\n",
    );
    out
}

/// Between which values the whole spread lies inside.
fn range(swept: &Swept) -> String {
    match &swept.inside {
        Some((from, to)) => {
            format!("inside the band, with its whole spread, from {} to {}", from.0, to.0)
        }
        None if swept.limits.iter().all(Option::is_none) => {
            "no band is stated".to_owned()
        }
        None => "at no value is its whole spread inside the band".to_owned(),
    }
}

fn table(swept: &Swept, out: &mut String) {
    let heads = ["tried at", "mass", "balances at", "on the chord", "against the band"];
    let mut lines = vec![heads.map(str::to_owned)];
    lines.extend(swept.steps.iter().map(|step| {
        let share = step.chord_share.as_ref();
        [
            step.value.0.to_string(),
            step.mass.0.to_string(),
            step.x.to_string(),
            share.map_or(String::new(), |share| share.0.to_string()),
            swept.says(step),
        ]
    }));
    let widest = |at: usize| {
        let cells = lines.iter().filter_map(|line| line.get(at));
        cells.map(|cell| width(cell)).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..heads.len()).map(widest).collect();
    for line in &lines {
        let mut row = String::new();
        for (cell, wide) in line.iter().zip(&widths) {
            row.push_str(cell);
            row.push_str(&" ".repeat((wide + 2).saturating_sub(width(cell))));
        }
        let _ = writeln!(out, "{}", row.trim_end());
    }
}

/// A row for each value: `o` is the balance point, `-` its spread, `|` the limits, `:` the
/// best place.
fn chart(swept: &Swept, columns: usize, out: &mut String) {
    let ends = |step: &Step| {
        let spread = step.x.0.spread_si().unwrap_or(0.0);
        [step.x.0.si() - spread, step.x.0.si() + spread]
    };
    let limits = swept.limits.iter().flatten().map(|limit| limit.0.si());
    let all: Vec<f64> = swept.steps.iter().flat_map(ends).chain(limits).collect();
    let low = all.iter().copied().fold(f64::INFINITY, f64::min);
    let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let label = swept.steps.iter().map(|step| width(&step.value.0.to_string())).max();
    let label = label.unwrap_or(0) + 2;
    let room = columns.saturating_sub(label + 1);
    if high <= low || room < 10 {
        return;
    }
    let place = |x: f64| column((x - low) / (high - low), room);
    let _ = writeln!(out, "\n{:label$}ahead{:>2$}", "", "aft", room - 4);
    for step in &swept.steps {
        let mut cells = vec![' '; room + 1];
        let mut put = |at: usize, sign: char| {
            if let Some(cell) = cells.get_mut(at) {
                *cell = sign;
            }
        };
        let [from, to] = ends(step);
        (place(from)..=place(to)).for_each(|at| put(at, '-'));
        for (limit, sign) in swept.limits.iter().zip(['|', ':', '|']) {
            if let Some(limit) = limit {
                put(place(limit.0.si()), sign);
            }
        }
        put(place(step.x.0.si()), 'o');
        let row: String = cells.into_iter().collect();
        let _ = writeln!(out, "{:<label$}{}", step.value.0.to_string(), row.trim_end());
    }
    let _ = writeln!(
        out,
        "{:label$}o balances here, - its spread, | limits of the band, : best",
        ""
    );
}

/// The column of a share of the width, counted off rather than cut short by a cast.
pub(crate) fn column(share: f64, room: usize) -> usize {
    let wide = |at: usize| f64::from(u32::try_from(at).unwrap_or(u32::MAX));
    (0..room).take_while(|at| wide(*at) + 0.5 < share * wide(room)).count()
}

/// Writes a sweep as comma-separated values: one row for each loadout and value. Places
/// are positive aft.
pub fn csv(sweep: &Sweep) -> String {
    let mut writer =
        WriterBuilder::new().terminator(Terminator::Any(b'\n')).from_writer(Vec::new());
    let first = sweep.loadouts.first().and_then(|swept| swept.steps.first());
    let unit =
        |of: Option<&Number>| of.map_or("", |number| number.0.unit().text()).to_owned();
    let (value, mass, x) = (
        unit(first.map(|step| &step.value)),
        unit(first.map(|step| &step.mass)),
        unit(first.map(|step| &step.x)),
    );
    let heads = [
        "loadout".to_owned(),
        format!("tried at ({value})"),
        format!("mass ({mass})"),
        format!("balance ({x} aft)"),
        format!("balance spread ({x})"),
        "on the chord (%)".to_owned(),
        "against the band".to_owned(),
    ];
    // Writing to memory does not fail, and every row has the same columns.
    let _ = writer.write_record(&heads);
    for swept in &sweep.loadouts {
        for step in &swept.steps {
            let share = step.chord_share.as_ref();
            let _ = writer.write_record([
                crate::csv::harmless(&swept.name),
                step.value.value().to_string(),
                step.mass.value().to_string(),
                step.x.value().to_string(),
                step.x.spread().map_or(String::new(), |spread| spread.to_string()),
                share.map_or(String::new(), |share| share.value().to_string()),
                swept.says(step),
            ]);
        }
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

/// The name of the form, in the key `form`.
pub const FORM: &str = "trimsheet-sweep";

/// The version of the form, in the key `version`.
pub const VERSION: u32 = 1;

/// Writes a sweep as JSON: `form`, `version`, and then the keys of a [`Sweep`].
pub fn json(sweep: &Sweep) -> String {
    crate::json::document(FORM, VERSION, sweep)
}
