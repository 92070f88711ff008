//! The wiring drawn on one sheet of paper.
//!
//! A box is a part or a pack, with a row for each line that ends at it and for each
//! socket that is free; power goes from left to right. A thick line is power, a thin one
//! a signal, a broken one a ground alone, and the tag at both ends of a line says the
//! same in letters: `P3` is the power of join 3, `S3` its signal. The key below says what
//! the joins are called, and their gauge, length and leads.
//!
//! Everything is in mm. The paper is A4, or the next larger one on which nothing needs to
//! be smaller than print in a book; words are measured as if each letter were as wide as
//! the widest of a typewriter.

mod graph;
mod order;
mod plan;

use trimsheet_output::clean::{visible, width};
use trimsheet_output::wrap::rows;

use self::graph::Graph;
use self::plan::{
    ARROW, Boxed, Cable, LETTERS, LOOP, Plan, TAG_HIGH, plan, short, tag_width,
};
use super::text::{CAUTIONS, known};
use super::{Join, Wiring};
use crate::drawing::{Drawing, Font, Ink, Stroke};

/// A drawing, and the paper that it is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawn {
    /// A whole SVG file.
    pub svg: String,
    /// `A4, landscape`
    pub paper: String,
}

/// How high the letters of names and of everything else are, in mm: 2.65 mm are 7.5
/// points.
const NAME: f64 = 2.9;
const TEXT: f64 = 2.7;
const TITLE: f64 = 4.6;

/// How wide a letter of a typewriter face is, of its height.
pub const LETTER: f64 = 0.61;

/// What stays white around everything, and what stands above and between.
const MARGIN: f64 = 10.0;
const HEAD: f64 = 19.0;
const GAP: f64 = 6.0;

/// From line to line of the key and of the cautions.
const LINE: f64 = 4.0;

/// What stands above the key.
const KEY_SAYS: &str =
    "The joins: gauge, length one way, colours in the order of the pins; ? is not said";

/// The most letters of a line of the key.
const KEY: usize = 58;

/// The most that is drawn: a sheet with more lines is no help to anybody.
const MOST: usize = 160;

/// How much larger than it must be the plan is drawn where there is room.
const LARGEST: f64 = 1.25;

/// Papers by name, the shorter side and the longer one.
const PAPERS: [(&str, f64, f64); 4] = [
    ("A4", 210.0, 297.0),
    ("A3", 297.0, 420.0),
    ("A2", 420.0, 594.0),
    ("A1", 594.0, 841.0),
];

/// How wide a text is at most.
fn breadth(text: &str, size: f64) -> f64 {
    LETTER * size * count(width(text))
}

/// How many letters stand side by side in so much room.
fn letters(room: f64, size: f64) -> usize {
    let mut many = 0;
    while LETTER * size * count(many + 1) <= room {
        many += 1;
    }
    many
}

fn count(many: usize) -> f64 {
    f64::from(u32::try_from(many).unwrap_or(u32::MAX))
}

/// Draws the wiring of a sheet.
///
/// # Errors
/// Why there is nothing to draw, or that it is too much for the largest paper.
pub fn drawing(wiring: &Wiring) -> Result<Drawn, String> {
    let graph = Graph::new(wiring);
    if graph.lines.is_empty() {
        return Err(
            "the spec joins nothing to anything (an entry `join` does)".to_owned()
        );
    }
    if MOST < graph.lines.len() {
        let many = graph.lines.len();
        return Err(format!(
            "it has {many} signals and supplies, and a sheet has room for {MOST}"
        ));
    }
    let plans = LETTERS.map(|letters| plan(&graph, letters));
    for (name, short, long) in PAPERS {
        for plan in &plans {
            let both = [("landscape", long, short), ("portrait", short, long)];
            let [first, second] = both;
            let is_wide = plan.size[1] <= plan.size[0];
            let ways = if is_wide { [first, second] } else { [second, first] };
            for (turned, width, height) in ways {
                let sheet = Sheet::new(wiring, plan, [width, height]);
                if sheet.fits() {
                    let paper = format!("{name}, {turned}");
                    return Ok(Drawn { svg: sheet.draw(), paper });
                }
            }
        }
    }
    let [.., Plan { size: [wide, high], .. }] = plans;
    Err(format!(
        "it needs {wide:.0} x {high:.0} mm besides its key, more than the largest paper has"
    ))
}

/// A paper with all that is to stand on it.
struct Sheet<'a> {
    wiring: &'a Wiring,
    plan: &'a Plan,
    size: [f64; 2],
    /// The key, in columns of lines.
    key: Vec<Vec<String>>,
    /// How wide a column of the key is.
    key_wide: f64,
    cautions: Vec<String>,
    /// How much larger than it must be the plan is drawn.
    scale: f64,
}

impl<'a> Sheet<'a> {
    fn new(wiring: &'a Wiring, plan: &'a Plan, size: [f64; 2]) -> Sheet<'a> {
        let room = size[0] - 2.0 * MARGIN;
        let lines: Vec<Vec<String>> = numbered(&wiring.joins);
        let widest =
            lines.iter().flatten().map(|line| breadth(line, TEXT)).fold(0.0, f64::max);
        let key_wide = widest + 5.0;
        let many = (1..=6).rev().find(|many| key_wide * count(*many) - 5.0 <= room);
        let letters = letters(room, TEXT);
        let cautions = CAUTIONS.iter().flat_map(|says| rows(says, letters, letters));
        let mut sheet = Sheet {
            wiring,
            plan,
            size,
            key: columns(lines, many.unwrap_or(1)),
            key_wide,
            cautions: cautions.collect(),
            scale: 1.0,
        };
        let [wide, high] = sheet.room();
        sheet.scale = (wide / plan.size[0]).min(high / plan.size[1]).min(LARGEST);
        sheet
    }

    /// The room for the plan.
    fn room(&self) -> [f64; 2] {
        let [wide, high] = self.size;
        let below = self.below();
        [wide - 2.0 * MARGIN, high - 2.0 * MARGIN - HEAD - GAP - below]
    }

    /// How high key and cautions are.
    fn below(&self) -> f64 {
        let lines = self.key.iter().map(Vec::len).max().unwrap_or(0);
        LINE * count(1 + lines + self.cautions.len()) + GAP
    }

    fn fits(&self) -> bool {
        let is_key_narrow = self.key_wide - 5.0 <= self.size[0] - 2.0 * MARGIN;
        is_key_narrow && 1.0 <= self.scale
    }

    fn draw(&self) -> String {
        let [wide, high] = self.size;
        let mut drawing = Drawing::new(wide, high, Font::Typewriter);
        self.head(&mut drawing);
        let [room, room_high] = self.room();
        let [plan, plan_high] = self.plan.size.map(|size| size * self.scale);
        let left = MARGIN + (room - plan) / 2.0;
        // A little nearer to the title than to the key.
        let top = MARGIN + HEAD + ((room_high - plan_high) * 0.4).min(20.0);
        let place = Place { left, top, scale: self.scale };
        for is_power in [true, false] {
            let some = self.plan.cables.iter().filter(|one| one.is_power == is_power);
            some.for_each(|cable| line(&mut drawing, &place, cable));
        }
        self.plan.boxes.iter().for_each(|one| boxed(&mut drawing, &place, one));
        self.plan.cables.iter().for_each(|cable| tags(&mut drawing, &place, cable));
        self.foot(&mut drawing);
        drawing.finish()
    }

    /// The names, and how lines are to be read.
    fn head(&self, drawing: &mut Drawing) {
        let room = self.size[0] - 2.0 * MARGIN;
        let wiring = self.wiring;
        let revision = wiring.revision.as_ref().map(|says| format!(", revision {says}"));
        let title = format!("{}{}: wiring", wiring.title, revision.unwrap_or_default());
        let title = short(&title, letters(room, TITLE) - 1);
        drawing.words([MARGIN, MARGIN + 4.0], TITLE, Ink::Plain, &title);
        let file = format!("{}, judged for the stage {}", wiring.file, wiring.stage);
        let file = short(&file, letters(room, TEXT) - 1);
        drawing.words([MARGIN, MARGIN + 9.0], TEXT, Ink::Plain, &file);
        let samples = [
            (Stroke::Power, "power: P and the number of the join"),
            (Stroke::Signal, "signal: S and its number"),
            (Stroke::Ground, "ground only, plus lifted"),
        ];
        let mut x = MARGIN;
        let y = MARGIN + 14.0;
        let has_ground = self.plan.cables.iter().any(|cable| cable.is_lifted);
        let shown =
            samples.into_iter().filter(|(one, _)| *one != Stroke::Ground || has_ground);
        for (stroke, says) in shown {
            drawing.cable(&[[[x, y], [x + 12.0, y]]], [0.0, 0.0], stroke);
            drawing.words([x + 14.0, y + 0.95], TEXT, Ink::Plain, says);
            x += 14.0 + breadth(says, TEXT) + 6.0;
        }
    }

    fn foot(&self, drawing: &mut Drawing) {
        let mut y = self.size[1] - MARGIN - LINE * count(self.cautions.len()) + 3.0;
        for line in &self.cautions {
            drawing.words([MARGIN, y], TEXT, Ink::Plain, line);
            y += LINE;
        }
        let top = self.size[1] - MARGIN - self.below();
        drawing.line([MARGIN, top], [self.size[0] - MARGIN, top], Stroke::Hair);
        drawing.words([MARGIN, top + 4.4], TEXT, Ink::Bold, KEY_SAYS);
        for (at, column) in self.key.iter().enumerate() {
            let x = MARGIN + self.key_wide * count(at);
            for (row, line) in column.iter().enumerate() {
                let y = top + 4.4 + LINE * count(row + 1);
                let bare = line.trim_start();
                let indent = LETTER * TEXT * count(line.len() - bare.len());
                drawing.words([x + indent, y], TEXT, Ink::Plain, bare);
            }
        }
    }
}

/// The key: each join with its number, and its leads, in lines.
fn numbered(joins: &[Join]) -> Vec<Vec<String>> {
    let entry = |(at, join): (usize, &Join)| {
        let wire = match (&join.gauge, &join.length) {
            (None, None) => "?".to_owned(),
            (gauge, length) => {
                format!("{}, {}", known(gauge.as_ref()), known(length.as_ref()))
            }
        };
        let leads = join.leads.iter().map(|lead| lead.colour.as_deref().unwrap_or("?"));
        let leads = leads.collect::<Vec<_>>().join(" ");
        let leads = if leads.is_empty() { leads } else { format!(", {leads}") };
        let text = visible(&format!("{}: {wire}{leads}", join.name));
        let number = format!("{:>2} ", at + 1);
        let room = KEY - number.len();
        let lines = rows(&text, room, room).into_iter().enumerate();
        let blank = " ".repeat(number.len());
        lines
            .map(|(at, line)| format!("{}{line}", if at == 0 { &number } else { &blank }))
            .collect()
    };
    joins.iter().enumerate().map(entry).collect()
}

/// Entries of lines in so many columns that are about as high as each other.
fn columns(entries: Vec<Vec<String>>, many: usize) -> Vec<Vec<String>> {
    let lines: usize = entries.iter().map(Vec::len).sum();
    let least = lines.div_ceil(many.max(1));
    let mut columns: Vec<Vec<String>> = vec![Vec::new()];
    for entry in entries {
        if columns.last().is_some_and(|column| least <= column.len()) {
            columns.push(Vec::new());
        }
        if let Some(column) = columns.last_mut() {
            column.extend(entry);
        }
    }
    columns
}

/// Where the plan lies on the paper, and how large.
struct Place {
    left: f64,
    top: f64,
    scale: f64,
}

impl Place {
    fn of(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [self.left + x * self.scale, self.top + y * self.scale]
    }
}

fn line(drawing: &mut Drawing, place: &Place, cable: &Cable) {
    let stroke = match (cable.is_power, cable.is_lifted) {
        (true, true) => Stroke::Ground,
        (true, false) => Stroke::Power,
        (false, _) => Stroke::Signal,
    };
    let straights: Vec<[[f64; 2]; 2]> =
        cable.straights.iter().map(|ends| ends.map(|end| place.of(end))).collect();
    let bulge = [LOOP * place.scale, 0.0];
    drawing.cable(&straights, bulge, stroke);
}

fn boxed(drawing: &mut Drawing, place: &Place, one: &Boxed) {
    let [x, y] = one.at;
    let size = one.size.map(|size| size * place.scale);
    drawing.plate(place.of(one.at), size, Stroke::Bold);
    let (name, says) = one.lines_at();
    let scale = place.scale;
    for (at, line) in one.name.iter().enumerate() {
        let at = place.of([x + 1.6, y + name + Boxed::name_line(at)]);
        drawing.words(at, NAME * scale, Ink::Bold, line);
    }
    for (at, line) in one.says.iter().enumerate() {
        let at = place.of([x + 1.6, y + says + Boxed::says_line(at)]);
        drawing.words(at, TEXT * scale, Ink::Plain, line);
    }
    let [left, right] = &one.sides;
    let rights = x + one.size[0] - 1.2;
    for (side, rows, ink, x) in
        [(0, left, Ink::Plain, x + 1.2), (1, right, Ink::ToTheRight, rights)]
    {
        for (at, row) in rows.iter().enumerate().filter(|(_, row)| !row.label.is_empty())
        {
            let at = place.of([x, y + one.row_at(side, at) + 0.95]);
            drawing.words(at, TEXT * scale, ink, &row.label);
        }
    }
}

fn tags(drawing: &mut Drawing, place: &Place, cable: &Cable) {
    let wide = tag_width(&cable.tag);
    for [x, y] in cable.tags {
        let corner = place.of([x - wide / 2.0, y - TAG_HIGH / 2.0]);
        drawing.plate(
            corner,
            [wide, TAG_HIGH].map(|size| size * place.scale),
            Stroke::Hair,
        );
        let at = place.of([x, y + 0.95]);
        drawing.words(at, TEXT * place.scale, Ink::Middle, &cable.tag);
    }
    let (at, is_right) = cable.arrow;
    let back = if is_right { -ARROW } else { ARROW };
    drawing.arrow(place.of(at), back * place.scale);
}
