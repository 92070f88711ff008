//! How long a lattice takes, and how near it comes: `cargo bench -p trimsheet-physics`.
//!
//! Times are the shortest of many runs on the machine at hand, for orientation. The
//! errors beside them are the largest over the planforms of the reference tests, against
//! values that two finer codes agree on.

#![expect(clippy::disallowed_methods, reason = "the clock is what a benchmark is about")]
#![expect(clippy::print_stdout, reason = "its results are for a person to read")]
#![expect(clippy::unwrap_used, reason = "a benchmark that cannot run should stop")]

use std::hint::black_box;
use std::time::Instant;

use trimsheet_physics::lattice::{
    Flap, Grid, Lattice, NoLattice, Reference, Rib, Surface,
};
use trimsheet_physics::planform::{self, planform};

const PLANFORMS: &str = include_str!("../../../tests/reference/vlm_planforms.csv");

fn main() {
    let rows = rows();
    let (wing, reference) = rows.first().unwrap().wing();
    let cut = |spanwise, chordwise| Grid { spanwise, chordwise, ..Grid::WING };

    println!("strips x panels   panels   alike   both ways   largest error of");
    println!(
        "                              ms          ms   lift  neutral  flap  moment"
    );
    for grid in [cut(10, 8), Grid::WING, cut(40, 20), cut(60, 20)] {
        let wing = Surface { grid, ..wing.clone() };
        let lattice = Lattice::new(&[wing], reference).unwrap();
        let [lift, neutral, flap, moment] = largest_errors(&rows, grid);
        println!(
            "{:>6} x {:<8} {:>6} {:>7.2} {:>11.2}   {lift:.2} %  {neutral:.2} %  {flap:.2} %  {moment:.2} %",
            grid.spanwise,
            grid.chordwise,
            lattice.panels(),
            shortest(|| lattice.symmetric()),
            shortest(|| lattice.both()),
        );
    }

    let lattice = Lattice::new(&[wing, tail()], reference).unwrap();
    println!(
        "default with tail {:>5} {:>7.2} {:>11.2}",
        lattice.panels(),
        shortest(|| lattice.symmetric()),
        shortest(|| lattice.both()),
    );
}

/// The shortest of runs that take half a second together, in ms.
fn shortest<T>(run: impl Fn() -> Result<T, NoLattice>) -> f64 {
    let begin = Instant::now();
    let mut least = f64::INFINITY;
    while begin.elapsed().as_secs_f64() < 0.5 {
        let start = Instant::now();
        black_box(run()).unwrap();
        least = least.min(start.elapsed().as_secs_f64());
    }
    1e3 * least
}

fn tail() -> Surface {
    let rib = |out, leading_edge, chord| Rib {
        out,
        up: 0.03,
        leading_edge,
        chord,
        incidence: 0.0,
    };
    let flap = Some(Flap { inner: 0.02, outer: 0.24, chord_share: 0.35 });
    let ribs = vec![rib(0.0, 0.8, 0.15), rib(0.25, 0.82, 0.12)];
    Surface { ribs, flap, grid: Grid::TAIL }
}

/// Per cent of lift slope, mean chord, flap lift, and flap moment about the neutral point.
fn largest_errors(rows: &[Row<'_>], grid: Grid) -> [f64; 4] {
    let mut largest = [0.0_f64; 4];
    for row in rows {
        let (wing, reference) = row.wing();
        let lattice = Lattice::new(&[Surface { grid, ..wing }], reference).unwrap();
        let found = lattice.symmetric().unwrap();
        let neutral = found.neutral_point().unwrap();
        let flap = found.flaps.first().unwrap().streamwise;
        let off = |found: f64, column| 100.0 * (found / row.number(column) - 1.0);
        let share = (neutral - reference.station) / reference.chord + 0.25;
        let errors = [
            off(found.angle_of_attack.lift, "CLa_per_rad"),
            100.0 * (share - row.number("xnp_frac_mac")),
            off(flap.lift, "CLd_stream_per_rad"),
            off(flap.moment_about(neutral, &reference), "Cmd_np_stream_per_rad"),
        ];
        for (most, error) in largest.iter_mut().zip(errors) {
            *most = most.max(error.abs());
        }
    }
    largest
}

/// One planform: what stands under each column.
struct Row<'a>(Vec<(&'a str, &'a str)>);

fn rows() -> Vec<Row<'static>> {
    let mut lines = PLANFORMS.lines();
    let columns: Vec<&str> = lines.next().unwrap().split(',').collect();
    lines
        .map(|line| Row(columns.iter().copied().zip(line.split(',')).collect()))
        .collect()
}

impl Row<'_> {
    fn numbers(&self, column: &str) -> Vec<f64> {
        let (_, cell) = self.0.iter().find(|(name, _)| *name == column).unwrap();
        cell.split('/').map(|number| number.parse().unwrap()).collect()
    }

    fn number(&self, column: &str) -> f64 {
        *self.numbers(column).first().unwrap()
    }

    fn wing(&self) -> (Surface, Reference) {
        let places = self.numbers("stations_mm").into_iter().zip(self.numbers("z_mm"));
        let edges = self.numbers("x_le_mm").into_iter().zip(self.numbers("chords_mm"));
        let all = places.zip(edges).zip(self.numbers("twist_deg"));
        let ribs = all.map(|(((out, up), (edge, chord)), twist)| Rib {
            out: out / 1e3,
            up: up / 1e3,
            leading_edge: edge / 1e3,
            chord: chord / 1e3,
            incidence: twist.to_radians(),
        });
        let ribs: Vec<Rib> = ribs.collect();
        let flat = ribs.iter().map(|rib| planform::Rib {
            out: rib.out,
            chord: rib.chord,
            leading_edge: rib.leading_edge,
        });
        let plan = planform(&flat.collect::<Vec<_>>()).unwrap();
        let half = self.number("span_mm") / 2e3;
        let flap = Some(Flap {
            inner: half * self.number("elevon_y0_frac"),
            outer: half * self.number("elevon_y1_frac"),
            chord_share: self.number("elevon_cf"),
        });
        let reference = Reference {
            area: plan.area,
            chord: plan.mean_chord,
            span: plan.span,
            station: plan.station(0.25),
        };
        (Surface { ribs, flap, grid: Grid::WING }, reference)
    }
}
