//! Throws drawn to scale, to be printed at their true size and held to the edge.
//!
//! For each surface, and for each depth at which its throws are measured, a side view:
//!
//! ```text
//!                        ╱───· · · ┃─────── full up
//!   hinge ⊕──────────────────· · · ┃═══════ flat
//!                        ╲───· · · ┃─────── full down
//!                                  ┃ the strip, to be cut off and held upright
//! ```
//!
//! Every line of the strip lies as high above flat as the edge stands: depth times the
//! sine of the angle. A bar that should measure 50 mm shows whether the printer kept to
//! the size. Everything is in mm, black on white, and no colour or shade says anything.
//! An upright surface is seen from above, nose to the left, so right is up on the sheet.

use trimsheet_facts::model::quantity::{Axis, Unit};

use super::text::measure;
use super::{Rate, Surface, Throws, Way};
use crate::drawing::{Drawing, Font, Stroke};
use crate::number::Number;

/// What was drawn, and what could not be.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Gauges {
    /// Sheets, each a whole SVG file.
    pub sheets: Vec<String>,
    /// What was left out and why, a sentence each.
    pub left_out: Vec<String>,
}

/// The sheets fit on A4 and on letter paper with room for what a printer cannot reach.
const WIDTH: f64 = 190.0;
const HEIGHT: f64 = 254.0;

/// What stands above the first gauge.
const HEAD: f64 = 38.0;

/// Between two gauges.
const GAP: f64 = 6.0;

/// From the frame of a gauge to its hinge, and from the edge lying flat to the strip.
const BEFORE: f64 = 12.0;
const BEHIND: f64 = 5.0;

/// How wide a strip is: the scale, its lines and their labels.
const STRIP: f64 = 78.0;

/// How far the lines of a strip go from its cut edge, and where their labels begin.
const LINES: f64 = 14.0;
const LABELS: f64 = 21.0;

/// What stands above the lines of a gauge, and below them.
const ABOVE: f64 = 21.0;
const BELOW: f64 = 6.0;

/// The least from one label to the next.
const APART: f64 = 4.0;

/// Draws the gauges of a card, as many on a sheet as it takes.
pub fn gauges(throws: &Throws) -> Gauges {
    let mut all = Vec::new();
    let mut left_out = Vec::new();
    for surface in &throws.surfaces {
        let own = of_surface(surface);
        if own.is_empty() {
            let why = surface.not_said.first().map(|one| format!(": {}", one.why));
            let why = why.unwrap_or_else(|| ": the spec says no throw of it".to_owned());
            left_out.push(format!("no gauge of {}{why}", surface.name));
        }
        for gauge in own {
            match gauge.too_large() {
                Some(says) => left_out.push(says),
                None => all.push(gauge),
            }
        }
    }
    Gauges { sheets: sheets(throws, &all), left_out }
}

fn sheets(throws: &Throws, all: &[Gauge]) -> Vec<String> {
    let mut pages: Vec<Vec<&Gauge>> = Vec::new();
    let mut room = 0.0;
    for gauge in all {
        let needs = gauge.height() + GAP;
        if room < needs || pages.is_empty() {
            pages.push(Vec::new());
            room = HEIGHT - HEAD;
        }
        room -= needs;
        if let Some(page) = pages.last_mut() {
            page.push(gauge);
        }
    }
    let count = pages.len();
    let pages = pages.iter().enumerate();
    pages.map(|(at, page)| sheet(throws, page, at + 1, count)).collect()
}

fn sheet(throws: &Throws, gauges: &[&Gauge], number: usize, count: usize) -> String {
    let heights: f64 = gauges.iter().map(|gauge| gauge.height() + GAP).sum();
    let mut drawing = Drawing::new(WIDTH, HEAD + heights, Font::Plain);
    head(&mut drawing, throws, number, count);
    let mut top = HEAD;
    for gauge in gauges {
        gauge.draw(&mut drawing, top);
        top += gauge.height() + GAP;
    }
    drawing.finish()
}

/// The names, the caution and the bar that shows whether the size was kept.
fn head(drawing: &mut Drawing, throws: &Throws, number: usize, count: usize) {
    let revision = throws.revision.as_ref().map(|says| format!(", revision {says}"));
    let of =
        if count < 2 { String::new() } else { format!(", sheet {number} of {count}") };
    let title =
        format!("{}{}: throw gauges{of}", throws.title, revision.unwrap_or_default());
    drawing.text([4.0, 8.0], 4.5, WIDTH - 8.0, &title);
    drawing.text(
        [4.0, 13.5],
        3.0,
        WIDTH - 62.0,
        &format!("{}. Set throws with the propeller off.", throws.file),
    );
    let bar = [4.0, 22.0];
    drawing.measured(bar, 50.0);
    drawing.text([58.0, 21.5], 3.0, WIDTH - 62.0, "measure this: 50 mm");
    drawing.text(
        [58.0, 25.5],
        3.0,
        WIDTH - 62.0,
        "If it is not, print again at 100 %, not fitted to the page.",
    );
    for (at, says) in [30.5, 34.5].into_iter().zip(HOW) {
        drawing.text([4.0, at], 2.6, WIDTH - 8.0, says);
    }
}

const HOW: [&str; 2] = [
    "Lay the hinge mark on the hinge and flat along the fixed part; or cut off the strip and \
     hold it upright behind the edge.",
    "A line of the strip lies as far from flat as the edge then stands.",
];

/// A line of a strip: how high above flat it lies, in mm, and what it is.
struct Mark {
    height: f64,
    /// The angle from flat, up positive.
    angle: f64,
    label: String,
    stroke: Stroke,
}

/// The gauge of one surface at one depth.
struct Gauge {
    name: String,
    title: String,
    /// How it is seen.
    view: String,
    /// How the throws of each rate count.
    counts: Vec<String>,
    /// From hinge to edge, in mm.
    depth: f64,
    is_upright: bool,
    marks: Vec<Mark>,
}

/// The gauges of a surface: one for each depth at which throws of it are measured.
fn of_surface(surface: &Surface) -> Vec<Gauge> {
    let mut all: Vec<Gauge> = Vec::new();
    for rate in &surface.rates {
        let depth = in_mm(&rate.depth);
        let own = all.iter().position(|gauge| (gauge.depth - depth).abs() < 0.1);
        let mut gauge = match own {
            Some(at) => all.remove(at),
            None => begin(surface, rate.at.as_deref(), &rate.depth),
        };
        let read = rate.read.replace('-', " ");
        gauge.counts.push(format!("{}: from {}, read {read}", rate.name, rate.from));
        gauge.marks.extend(rate.ways.iter().map(|way| Mark {
            height: in_mm(&way.height),
            angle: way.stands.0.si(),
            label: label(rate, way),
            stroke: Stroke::Thin,
        }));
        all.push(gauge);
    }
    all
}

/// `full up: 12.0 mm, 15.8 deg`
fn label(rate: &Rate, way: &Way) -> String {
    let size = match rate.read.as_str() {
        "edge-to-edge" => &way.edge_to_edge,
        "upright-rule" => &way.upright_rule,
        _ => &way.straight_up,
    };
    let (size, angle) = (measure(size), measure(&way.angle));
    format!("{} {}: {size}, {angle}", rate.name, way.way)
}

/// A gauge with what does not depend on a rate: flat, and the reflex.
fn begin(surface: &Surface, at: Option<&str>, depth: &Number) -> Gauge {
    let at = at.map_or(String::new(), |at| format!(" at the {at}"));
    let both = if surface.is_pair { ", both halves" } else { "" };
    let flat =
        Mark { height: 0.0, angle: 0.0, label: "flat".to_owned(), stroke: Stroke::Bold };
    let mut marks = vec![flat];
    marks.extend(surface.reflex.as_ref().map(|reflex| {
        let angle = reflex.turned.0.si();
        Mark {
            height: in_mm(depth) * libm::sin(angle),
            angle,
            label: format!("reflex: {}, {}", reflex.stated.0, measure(&reflex.turned)),
            stroke: Stroke::Dashed,
        }
    }));
    let ways = surface.rates.iter().flat_map(|rate| &rate.ways);
    let is_upright =
        ways.map(|way| way.stands.0.axis()).any(|axis| axis == Some(Axis::Side));
    let side = if is_upright { "above" } else { "the left" };
    Gauge {
        name: surface.name.clone(),
        title: format!("{}{at}{both}", surface.name),
        view: format!(
            "{} from hinge to edge; seen from {side}, nose to the left.",
            depth.0
        ),
        counts: Vec::new(),
        depth: in_mm(depth),
        is_upright,
        marks,
    }
}

fn in_mm(number: &Number) -> f64 {
    let mm = Unit::read("mm").and_then(|mm| number.0.value_in(&mm));
    mm.unwrap_or(number.0.si() * 1000.0)
}

impl Gauge {
    /// How far the lines and the labels reach above flat, and below it.
    fn reach(&self) -> [f64; 2] {
        let labels = self.label_heights();
        let all = self.marks.iter().map(|mark| mark.height);
        let all: Vec<f64> = all.chain(labels).collect();
        let high = all.iter().copied().fold(0.0, f64::max);
        let low = all.iter().copied().fold(0.0, f64::min);
        [high + 4.0, 4.0 - low]
    }

    fn height(&self) -> f64 {
        let [above, below] = self.reach();
        ABOVE + above + below + BELOW
    }

    fn width(&self) -> f64 {
        BEFORE + self.depth + BEHIND + STRIP
    }

    fn too_large(&self) -> Option<String> {
        let (wide, high) = (self.width(), self.height() + HEAD + GAP);
        let is_large = WIDTH - 1.0 < wide || HEIGHT < high;
        is_large.then(|| {
            format!(
                "no gauge of {}: it needs {wide:.0} x {high:.0} mm, and a sheet has \
                 {WIDTH:.0} x {HEIGHT:.0} mm",
                self.name
            )
        })
    }

    /// Where the labels stand, in the order of the marks: beside their lines, but so far
    /// from each other that they can be read.
    fn label_heights(&self) -> Vec<f64> {
        let mut order: Vec<(usize, f64)> =
            self.marks.iter().map(|mark| mark.height).enumerate().collect();
        order.sort_by(|(_, one), (_, two)| one.total_cmp(two));
        let mut heights: Vec<f64> = order.iter().map(|(_, height)| *height).collect();
        // Each pass moves neighbours that are too near apart by equal parts.
        for _ in 0..200 {
            for at in 1..heights.len() {
                let Some([low, high]) = heights.get_mut(at - 1..=at) else { continue };
                let lacks = APART - (*high - *low);
                if 0.0 < lacks {
                    *low -= lacks / 2.0;
                    *high += lacks / 2.0;
                }
            }
        }
        let mut placed: Vec<(usize, f64)> =
            order.iter().map(|(at, _)| *at).zip(heights).collect();
        placed.sort_by_key(|(at, _)| *at);
        placed.into_iter().map(|(_, height)| height).collect()
    }

    fn draw(&self, drawing: &mut Drawing, top: f64) {
        let [above, below] = self.reach();
        let (hinge, flat) = (0.5 + BEFORE, top + ABOVE + above);
        let strip = hinge + self.depth + BEHIND;
        drawing.frame([0.5, top], [self.width(), self.height()]);
        let room = self.width() - 8.0;
        drawing.text([4.0, top + 6.0], 3.8, room, &self.title);
        drawing.text([4.0, top + 11.0], 2.6, room, &self.view);
        drawing.text([4.0, top + 15.0], 2.6, room, &self.counts.join("; "));
        self.fan(drawing, [hinge, flat], strip);
        drawing.line(
            [strip, top + ABOVE - 2.0],
            [strip, flat + below + BELOW],
            Stroke::Cut,
        );
        self.scale(drawing, [strip, flat]);
        for (mark, label) in self.marks.iter().zip(self.label_heights()) {
            let at = flat - mark.height;
            drawing.line([strip, at], [strip + LINES, at], mark.stroke);
            let end = [strip + LABELS - 1.0, flat - label];
            drawing.line([strip + LINES, at], end, Stroke::Hair);
            let place = [strip + LABELS, flat - label + 1.0];
            drawing.text(place, 2.8, self.scale_at() - LABELS - 1.0, &mark.label);
        }
    }

    /// The hinge, and the edge wherever it goes.
    fn fan(&self, drawing: &mut Drawing, [x, flat]: [f64; 2], strip: f64) {
        drawing.line([x - BEFORE + 2.0, flat], [x, flat], Stroke::Bold);
        for mark in &self.marks {
            let (sine, cosine) = (libm::sin(mark.angle), libm::cos(mark.angle));
            let edge = [x + self.depth * cosine, flat - self.depth * sine];
            drawing.line([x, flat], edge, mark.stroke);
            drawing.line(edge, [strip, edge[1]], Stroke::Dots);
        }
        drawing.hinge([x, flat]);
        drawing.text([x - 3.6, flat + 6.0], 2.6, 20.0, "hinge");
        let (high, low) =
            if self.is_upright { ("right", "left") } else { ("up", "down") };
        drawing.text([4.0, flat - 5.0], 2.6, 10.0, high);
        drawing.text([4.0, flat + 10.0], 2.6, 10.0, low);
    }

    /// Whole millimetres from flat, along the strip behind its lines.
    fn scale(&self, drawing: &mut Drawing, [strip, flat]: [f64; 2]) {
        let [above, below] = self.reach();
        let mut at = -((below - 2.0).floor());
        while at <= above - 2.0 {
            let is_fifth = (at / 5.0 - (at / 5.0).round()).abs() < 1e-9;
            let long = if is_fifth { 3.0 } else { 1.5 };
            let x = strip + self.scale_at();
            drawing.line([x, flat - at], [x + long, flat - at], Stroke::Hair);
            if is_fifth {
                let text = format!("{:.0}", at.abs());
                drawing.text([x + 4.0, flat - at + 0.8], 2.2, 5.0, &text);
            }
            at += 1.0;
        }
        let x = strip + self.scale_at();
        drawing.text([x, flat - above + 0.5], 2.2, 5.0, "mm");
    }

    /// How far the scale lies behind the cut edge.
    fn scale_at(&self) -> f64 {
        STRIP - 9.0
    }
}
