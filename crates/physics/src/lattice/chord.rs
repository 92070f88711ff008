//! A chord cut into rows of panels, and what the row ahead of a hinge does.

use nalgebra::DMatrix;

use super::{Flap, Grid, Hinge};
use crate::flap::section_flap;

/// A row of panels: from where to where along the chord, and its part in the flap.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    from: f64,
    length: f64,
    pub(super) flap_share: f64,
}

impl Row {
    /// Where the bound vortex lies, as a share of the chord.
    pub(super) fn vortex(&self) -> f64 {
        self.from + 0.25 * self.length
    }

    /// Where no air may pass, as a share of the chord.
    pub(super) fn control(&self) -> f64 {
        self.from + 0.75 * self.length
    }
}

/// Cuts a chord: evenly ahead of the hinge, and evenly behind it.
pub(super) fn rows(grid: Grid, flap: Option<&Flap>) -> Vec<Row> {
    let Some(flap) = flap else { return even(0.0, 1.0, grid.chordwise, 0.0) };
    let share = flap.chord_share;
    if 1.0 <= share {
        return even(0.0, 1.0, grid.chordwise, 1.0);
    }
    let all = grid.chordwise;
    let most = all.saturating_sub(1).max(1);
    // A single row makes a plain hinge weaker still: by 3 % at 0.15 of ten rows.
    let behind = nearest(share * f64::from(all), most.min(2), most);
    let ahead = all.saturating_sub(behind).max(1);
    let mut rows = even(0.0, 1.0 - share, ahead, 0.0);
    let last_ahead = rows.len().saturating_sub(1);
    rows.extend(even(1.0 - share, share, behind, 1.0));
    let kink = match grid.hinge {
        Hinge::Shared => kink_share(&rows, last_ahead, share),
        Hinge::Plain => 0.0,
    };
    if let Some(row) = rows.get_mut(last_ahead) {
        row.flap_share = kink;
    }
    rows
}

fn even(from: f64, whole: f64, count: u16, flap_share: f64) -> Vec<Row> {
    let length = whole / f64::from(count);
    let row = |row: u16| Row { from: from + length * f64::from(row), length, flap_share };
    (0..count).map(row).collect()
}

/// How much of the deflection the row ahead of the hinge takes: about a quarter.
///
/// It is the share with which these rows, as an endless wing, have the flap lift of
/// thin-aerofoil theory. Nothing if that has no answer.
fn kink_share(rows: &[Row], last_ahead: usize, chord_share: f64) -> f64 {
    let mut entries = Vec::with_capacity(rows.len() * rows.len());
    for vortex in rows {
        entries.extend(rows.iter().map(|row| {
            1.0 / (2.0 * std::f64::consts::PI * (row.control() - vortex.vortex()))
        }));
    }
    let flap = rows.iter().map(|row| row.flap_share);
    let ahead = (0..rows.len()).map(|row| if row == last_ahead { 1.0 } else { 0.0 });
    let causes = DMatrix::from_vec(rows.len(), 2, flap.chain(ahead).collect());
    let matrix = DMatrix::from_vec(rows.len(), rows.len(), entries);
    let Some(strengths) = matrix.lu().solve(&causes) else { return 0.0 };
    let mut lifts = strengths.column_iter().map(|column| 2.0 * column.sum());
    let (Some(plain), Some(by_row)) = (lifts.next(), lifts.next()) else { return 0.0 };
    let Some(wanted) = section_flap(chord_share) else { return 0.0 };
    let share = (wanted.lift - plain) / by_row;
    if share.is_finite() { share } else { 0.0 }
}

/// The whole number nearest to `wanted`, between two others; midway the even one.
///
/// What is midway but for rounding counts as midway, so that a wing is cut alike in
/// every unit and at every size.
pub(super) fn nearest(wanted: f64, least: u16, most: u16) -> u16 {
    let wanted = (wanted * 1e6).round() / 1e6;
    let away = |number: u16| (f64::from(number) - wanted).abs();
    let found = (least..=most).min_by(|one, two| {
        away(*one).total_cmp(&away(*two)).then((one % 2).cmp(&(two % 2)))
    });
    found.unwrap_or(least)
}
