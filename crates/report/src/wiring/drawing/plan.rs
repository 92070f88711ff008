//! Where boxes and lines lie, in mm, before the paper is chosen.
//!
//! ```text
//!   column 0      channel       column 1
//!  ┌────────┐                  ┌──────────┐
//!  │ grey   ├─[P1]─╮    ╭─[P1]>│controller│
//!  │        │       ╰──╯       │          │
//!  └────────┘ stub         stub└──────────┘
//! ```
//!
//! Every line has a row of its own at each of its boxes, and its tag stands in the stub
//! beside that row: rows are further apart than tags are high, and lines bend only
//! between the stubs. So no tag meets another, whatever the spec says.

use std::collections::BTreeSet;

use trimsheet_output::clean::{visible, width};
use trimsheet_output::wrap::rows;

use super::super::{Socket, Thing};
use super::graph::{Graph, Line};
use super::order::order;
use super::{NAME, TEXT, breadth, count};

/// From row to row.
const PITCH: f64 = 4.6;
/// Above the first row and below the last one.
const PAD: f64 = 1.4;
/// From line to line of a name, and of what stands below it.
const NAME_LINE: f64 = 3.7;
const SAYS_LINE: f64 = 3.3;
/// The most letters of a line in a box, the more the better.
pub(super) const LETTERS: [usize; 2] = [17, 12];
/// Between two boxes of a column, and beside a line that passes between them.
const APART: f64 = 4.5;
const BESIDE: f64 = 2.0;
/// The room for an arrow at the edge of a box.
pub(super) const ARROW: f64 = 2.4;
/// From the edge of a tag to its text.
pub(super) const TAG_PAD: f64 = 0.6;
/// How high a tag is.
pub(super) const TAG_HIGH: f64 = 3.8;
/// The most letters of a row.
const ROW: usize = 16;
/// The most free sockets that a box lists.
const MOST_FREE: usize = 8;

/// A box: a part or a pack.
pub(super) struct Boxed {
    /// Its name, in lines.
    pub(super) name: Vec<String>,
    /// What it is, in lines.
    pub(super) says: Vec<String>,
    /// Its rows on either side.
    pub(super) sides: [Vec<Row>; 2],
    /// Its upper left corner.
    pub(super) at: [f64; 2],
    /// How wide and how high it is.
    pub(super) size: [f64; 2],
}

/// A row of a box.
pub(super) struct Row {
    /// The socket, if one is named.
    pub(super) label: String,
    /// The line that ends there; none at a socket that is free.
    line: Option<usize>,
}

/// A line as it is drawn.
pub(super) struct Cable {
    /// The tag at either end.
    pub(super) tag: String,
    pub(super) is_power: bool,
    pub(super) is_lifted: bool,
    /// From where to where it goes straight, piece by piece; it bends in between.
    pub(super) straights: Vec<[[f64; 2]; 2]>,
    /// Where its tags stand: the middle of each.
    pub(super) tags: [[f64; 2]; 2],
    /// Where its arrow points, and whether to the right.
    pub(super) arrow: ([f64; 2], bool),
}

/// Boxes and lines in their places.
pub(super) struct Plan {
    pub(super) boxes: Vec<Boxed>,
    pub(super) cables: Vec<Cable>,
    pub(super) size: [f64; 2],
}

impl Boxed {
    fn head(&self) -> f64 {
        PAD + NAME_LINE * count(self.name.len())
            + SAYS_LINE * count(self.says.len())
            + 0.6
    }

    /// Whether a row has words, so that it must stand below the name.
    fn has_words(&self) -> bool {
        self.sides.iter().flatten().any(|row| !row.label.is_empty())
    }

    /// How far below its top the middle of a row lies.
    pub(super) fn row_at(&self, side: usize, row: usize) -> f64 {
        let rows = self.sides.get(side).map_or(0, Vec::len);
        let first = if self.has_words() {
            self.head()
        } else {
            (self.size[1] - PITCH * count(rows)) / 2.0
        };
        first + PITCH * (count(row) + 0.5)
    }

    /// Where the first lines of its name and of what it is stand, from its top.
    pub(super) fn lines_at(&self) -> (f64, f64) {
        let name = PAD + 2.7;
        (name, name + NAME_LINE * count(self.name.len()) - 0.2)
    }

    pub(super) fn name_line(line: usize) -> f64 {
        NAME_LINE * count(line)
    }

    pub(super) fn says_line(line: usize) -> f64 {
        SAYS_LINE * count(line)
    }

    fn measure(&mut self) {
        let widest = |lines: &[String], size: f64| {
            lines.iter().map(|line| breadth(line, size)).fold(0.0, f64::max)
        };
        let [left, right] = &self.sides;
        let rows = |rows: &[Row]| {
            rows.iter().map(|row| breadth(&row.label, TEXT)).fold(0.0, f64::max)
        };
        let gap = if rows(left) * rows(right) == 0.0 { 0.0 } else { 3.0 };
        let wide = widest(&self.name, NAME).max(widest(&self.says, TEXT));
        let wide = wide.max(rows(left) + gap + rows(right)) + 2.0 * PAD + 0.6;
        let rows = PITCH * count(left.len().max(right.len()));
        let head = self.head();
        let high = if self.has_words() { head + rows } else { head.max(rows + PAD) };
        self.size = [wide, high + PAD];
    }

    fn row_of(&self, side: usize, line: usize) -> usize {
        let rows = self.sides.get(side).map_or([].as_slice(), Vec::as_slice);
        rows.iter().position(|row| row.line == Some(line)).unwrap_or(0)
    }
}

/// What stands in a column: a box, or a line that passes through.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stand {
    Box(usize),
    Pass(usize),
}

/// Something in a column, and where.
struct Vertex {
    stand: Stand,
    column: usize,
    top: f64,
}

/// A stretch of a line from one column to the next, by the vertices at its ends.
struct Stretch {
    line: usize,
    left: usize,
    right: usize,
}

/// What it takes to find the places.
struct Maker<'a> {
    graph: &'a Graph<'a>,
    boxes: Vec<Boxed>,
    vertices: Vec<Vertex>,
    stretches: Vec<Stretch>,
    /// The vertices of each column, from the top.
    columns: Vec<Vec<usize>>,
}

/// Finds the places.
pub(super) fn plan(graph: &Graph<'_>, letters: usize) -> Plan {
    let boxes = graph.things.iter().map(|thing| boxed(thing, letters)).collect();
    let mut maker = Maker {
        graph,
        boxes,
        vertices: Vec::new(),
        stretches: Vec::new(),
        columns: Vec::new(),
    };
    maker.stand();
    maker.fill_rows();
    maker.sort_columns();
    for _ in 0..3 {
        maker.sort_rows();
        (0..12).for_each(|_| maker.settle());
    }
    maker.finish()
}

fn boxed(thing: &Thing, letters: usize) -> Boxed {
    let says = match (thing.kind.as_deref(), thing.says.as_str()) {
        (Some("pack"), "") => "pack",
        (Some("pack"), says) => says,
        (kind, _) => kind.unwrap_or_default(),
    };
    let is_said = says.is_empty() || thing.name.contains(says);
    Boxed {
        name: broken(&thing.name, letters),
        says: if is_said { Vec::new() } else { broken(says, letters) },
        sides: [Vec::new(), Vec::new()],
        at: [0.0, 0.0],
        size: [0.0, 0.0],
    }
}

/// A name in lines that break behind a hyphen or a space and before a point.
fn broken(name: &str, letters: usize) -> Vec<String> {
    let name = visible(name);
    let mut pieces: Vec<String> = vec![String::new()];
    for letter in name.chars() {
        let is_full = pieces.last().is_some_and(|piece| letters <= width(piece));
        let begins = letter == '.' || is_full;
        if begins {
            pieces.push(String::new());
        }
        if let Some(piece) = pieces.last_mut() {
            piece.push(letter);
        }
        if letter == '-' || letter == ' ' {
            pieces.push(String::new());
        }
    }
    let mut lines: Vec<String> = Vec::new();
    for piece in pieces.into_iter().filter(|piece| !piece.is_empty()) {
        let fits = |line: &&mut String| width(line) + width(piece.trim_end()) <= letters;
        match lines.last_mut().filter(fits) {
            Some(line) => line.push_str(&piece),
            None => lines.push(piece),
        }
    }
    lines.into_iter().map(|line| line.trim_end().to_owned()).collect()
}

/// What stands beside the row of a socket.
fn label(thing: &Thing, name: Option<&String>) -> String {
    let Some(name) = name else { return String::new() };
    let says = thing.sockets.iter().find(|socket| socket.name == *name);
    let says =
        says.map_or("", |socket| socket.says.split(',').next().unwrap_or_default());
    short(format!("{name} {says}").trim_end(), ROW)
}

/// The first words of a text, with a sign that there are more.
pub(super) fn short(text: &str, most: usize) -> String {
    let text = visible(text);
    let mut rows = rows(&text, most, most).into_iter();
    let first = rows.next().unwrap_or_default();
    if rows.next().is_none() { first } else { format!("{first}…") }
}

impl Maker<'_> {
    /// Gives each thing a vertex, and each line one in every column that it passes.
    fn stand(&mut self) {
        let graph = self.graph;
        let last = graph.columns.iter().copied().max().unwrap_or(0);
        for column in 0..=last {
            let things = 0..graph.things.len();
            for thing in things.filter(|thing| graph.column(*thing) == column) {
                self.vertices.push(Vertex { stand: Stand::Box(thing), column, top: 0.0 });
            }
            for (at, line) in graph.lines.iter().enumerate() {
                let (left, right) = graph.ends(line);
                if graph.column(left) < column && column < graph.column(right) {
                    self.vertices.push(Vertex {
                        stand: Stand::Pass(at),
                        column,
                        top: 0.0,
                    });
                }
            }
        }
        for (at, line) in graph.lines.iter().enumerate() {
            let (left, right) = graph.ends(line);
            let (first, last) = (graph.column(left), graph.column(right));
            let vertex = |column: usize| {
                let stand = match column {
                    _ if column == first => Stand::Box(left),
                    _ if column == last => Stand::Box(right),
                    _ => Stand::Pass(at),
                };
                let is_it = |one: &Vertex| one.stand == stand && one.column == column;
                self.vertices.iter().position(is_it).unwrap_or(0)
            };
            for column in first..last {
                let (left, right) = (vertex(column), vertex(column + 1));
                self.stretches.push(Stretch { line: at, left, right });
            }
        }
    }

    /// On which side of a box a line ends: 0 left, 1 right; a line back into its own box
    /// leaves and enters on the right.
    fn sides(&self, line: &Line<'_>) -> [(usize, usize); 2] {
        let (left, right) = self.graph.ends(line);
        if left == right { [(left, 1), (right, 1)] } else { [(left, 1), (right, 0)] }
    }

    fn fill_rows(&mut self) {
        for (at, line) in self.graph.lines.iter().enumerate() {
            for (end, (thing, side)) in self.sides(line).into_iter().enumerate() {
                let is_from = thing == line.from && (line.from != line.to || end == 0);
                let end = if is_from { &line.way.from } else { &line.way.to };
                let own = self.graph.things.get(thing);
                let label =
                    own.map_or(String::new(), |own| label(own, end.socket.as_ref()));
                let rows =
                    self.boxes.get_mut(thing).and_then(|one| one.sides.get_mut(side));
                if let Some(rows) = rows {
                    rows.push(Row { label, line: Some(at) });
                }
            }
        }
        let free = if self.graph.is_whole { "free" } else { "free?" };
        for (thing, boxed) in self.graph.things.iter().zip(&mut self.boxes) {
            let idle: Vec<&Socket> =
                thing.sockets.iter().filter(|socket| socket.is_free()).collect();
            let labels = idle.iter().take(MOST_FREE);
            let mut labels: Vec<String> = labels
                .map(|socket| short(&format!("{} {free}", socket.name), ROW))
                .collect();
            if let Some(more) = idle.len().checked_sub(MOST_FREE).filter(|more| 0 < *more)
            {
                labels.push(format!("{more} more {free}"));
            }
            let [left, right] = &mut boxed.sides;
            let side = if left.len() < right.len() { left } else { right };
            side.extend(labels.into_iter().map(|label| Row { label, line: None }));
            boxed.measure();
        }
    }

    fn height(&self, vertex: usize) -> f64 {
        match self.vertices.get(vertex).map(|vertex| vertex.stand) {
            Some(Stand::Box(thing)) => {
                self.boxes.get(thing).map_or(0.0, |one| one.size[1])
            }
            Some(Stand::Pass(_)) | None => PITCH,
        }
    }

    fn sort_columns(&mut self) {
        let number = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
        let edges: BTreeSet<(u32, u32)> = self
            .stretches
            .iter()
            .map(|one| (number(one.left), number(one.right)))
            .collect();
        let edges: Vec<(u32, u32)> = edges.into_iter().collect();
        let heights: Vec<f64> =
            (0..self.vertices.len()).map(|vertex| self.height(vertex)).collect();
        let places = order(&heights, &edges);
        let places = as_listed(places, &self.vertices);
        let last = self.vertices.iter().map(|vertex| vertex.column).max().unwrap_or(0);
        for column in 0..=last {
            let own = (0..self.vertices.len()).filter(|at| {
                self.vertices.get(*at).is_some_and(|one| one.column == column)
            });
            let mut own: Vec<usize> = own.collect();
            let place = |at: usize| places.get(at).copied().unwrap_or_default();
            own.sort_by(|one, other| {
                let (one, other) = (place(*one), place(*other));
                one.0.cmp(&other.0).then(one.1.total_cmp(&other.1))
            });
            let mut top = 0.0;
            for (at, vertex) in own.iter().enumerate() {
                if let Some(one) = self.vertices.get_mut(*vertex) {
                    one.top = top;
                }
                top += self.height(*vertex) + self.gap(&own, at);
            }
            self.columns.push(own);
        }
    }

    /// The room below one of a column.
    fn gap(&self, column: &[usize], at: usize) -> f64 {
        let is_box = |at: usize| {
            let vertex = column.get(at).and_then(|vertex| self.vertices.get(*vertex));
            vertex.is_some_and(|vertex| matches!(vertex.stand, Stand::Box(_)))
        };
        match (is_box(at), is_box(at + 1)) {
            (true, true) => APART,
            (true, false) | (false, true) => BESIDE,
            (false, false) => 0.0,
        }
    }

    /// How far below the top of a vertex a line meets it, on a side.
    fn meets(&self, vertex: usize, line: usize, side: usize) -> f64 {
        match self.vertices.get(vertex).map(|vertex| vertex.stand) {
            Some(Stand::Box(thing)) => self
                .boxes
                .get(thing)
                .map_or(0.0, |one| one.row_at(side, one.row_of(side, line))),
            Some(Stand::Pass(_)) | None => PITCH / 2.0,
        }
    }

    fn top(&self, vertex: usize) -> f64 {
        self.vertices.get(vertex).map_or(0.0, |vertex| vertex.top)
    }

    /// Puts the rows of each box into the order of what they lead to.
    fn sort_rows(&mut self) {
        let middle = |vertex: usize| self.top(vertex) + self.height(vertex) / 2.0;
        let mut keys: Vec<[f64; 2]> = vec![[f64::INFINITY; 2]; self.graph.lines.len()];
        for stretch in &self.stretches {
            let is_box = |at: usize| {
                self.vertices
                    .get(at)
                    .is_some_and(|one| matches!(one.stand, Stand::Box(_)))
            };
            let Some([left, right]) = keys.get_mut(stretch.line) else { continue };
            if is_box(stretch.left) {
                *left = middle(stretch.right);
            }
            if is_box(stretch.right) {
                *right = middle(stretch.left);
            }
        }
        for boxed in &mut self.boxes {
            for (side, rows) in boxed.sides.iter_mut().enumerate() {
                // The right side of a box is the left end of its lines.
                let key = |row: &Row| {
                    let [left, right] =
                        row.line.and_then(|line| keys.get(line).copied())?;
                    Some(if side == 1 { left } else { right })
                };
                rows.sort_by(|one, other| {
                    let free = f64::MAX;
                    key(one).unwrap_or(free).total_cmp(&key(other).unwrap_or(free))
                });
            }
        }
    }

    /// Moves everything to where its lines run straight, as far as its neighbours in the
    /// column let it.
    fn settle(&mut self) {
        let forth = 0..self.columns.len();
        let back = (0..self.columns.len()).rev();
        for column in forth.chain(back) {
            let own = self.columns.get(column).cloned().unwrap_or_default();
            let mut steps = Vec::new();
            let mut below = 0.0;
            for (at, vertex) in own.iter().enumerate() {
                steps.push((self.wanted(*vertex) - below, below));
                below += self.height(*vertex) + self.gap(&own, at);
            }
            let wanted: Vec<f64> = steps.iter().map(|(wanted, _)| *wanted).collect();
            for ((vertex, (_, below)), top) in own.iter().zip(&steps).zip(rising(&wanted))
            {
                if let Some(vertex) = self.vertices.get_mut(*vertex) {
                    vertex.top = top + below;
                }
            }
        }
    }

    /// The top at which the lines of a vertex run straight, on the average.
    fn wanted(&self, vertex: usize) -> f64 {
        let mut all = Vec::new();
        for stretch in &self.stretches {
            let left = self.meets(stretch.left, stretch.line, 1);
            let right = self.meets(stretch.right, stretch.line, 0);
            if stretch.left == vertex {
                all.push(self.top(stretch.right) + right - left);
            }
            if stretch.right == vertex {
                all.push(self.top(stretch.left) + left - right);
            }
        }
        let own = self.top(vertex);
        if all.is_empty() { own } else { all.iter().sum::<f64>() / count(all.len()) }
    }

    fn finish(mut self) -> Plan {
        let tags = self.graph.lines.iter().map(|line| tag_width(&line.tag()));
        let stub = ARROW + tags.fold(0.0, f64::max) + 1.0;
        let highest =
            (0..self.vertices.len()).map(|at| self.top(at)).fold(f64::INFINITY, f64::min);
        let mut edges = Vec::new();
        let mut x = 0.0;
        for column in 0..self.columns.len() {
            let wide = self.width(column);
            edges.push([x, x + wide]);
            x += wide + self.channel(column, stub);
        }
        for vertex in &mut self.vertices {
            vertex.top -= highest;
            let [left, right] = edges.get(vertex.column).copied().unwrap_or_default();
            if let Stand::Box(thing) = vertex.stand
                && let Some(one) = self.boxes.get_mut(thing)
            {
                one.at = [left, vertex.top];
                one.size = [right - left, one.size[1]];
            }
        }
        let lowest = (0..self.vertices.len()).map(|at| self.top(at) + self.height(at));
        let lines = self.graph.lines.iter().enumerate();
        let cables: Vec<Cable> =
            lines.map(|(at, line)| self.cable(at, line, &edges, stub)).collect();
        let loops = self.graph.lines.iter().filter(|line| line.from == line.to).count();
        let right = edges.last().map_or(0.0, |[_, right]| *right);
        let right = if loops == 0 { right } else { right + stub + LOOP };
        let size = [right, lowest.fold(0.0, f64::max)];
        Plan { boxes: self.boxes, cables, size }
    }

    fn width(&self, column: usize) -> f64 {
        let own = self.columns.get(column).into_iter().flatten();
        let wide = |vertex: &usize| match self.vertices.get(*vertex)?.stand {
            Stand::Box(thing) => self.boxes.get(thing).map(|one| one.size[0]),
            Stand::Pass(_) => None,
        };
        own.filter_map(wide).fold(0.0, f64::max)
    }

    /// How wide the channel behind a column is: both stubs, and room for its lines to bend.
    fn channel(&self, column: usize, stub: f64) -> f64 {
        let is_here = |one: &&Stretch| {
            self.vertices.get(one.left).is_some_and(|left| left.column == column)
        };
        let lines = count(self.stretches.iter().filter(is_here).count());
        2.0 * stub + (5.0 + 0.5 * lines).min(14.0)
    }

    fn cable(&self, at: usize, line: &Line<'_>, edges: &[[f64; 2]], stub: f64) -> Cable {
        let [(left, left_side), (right, right_side)] = self.sides(line);
        let edge = |thing: usize| {
            edges.get(self.graph.column(thing)).copied().unwrap_or_default()
        };
        let box_y = |thing: usize, side: usize, row: usize| {
            self.boxes.get(thing).map_or(0.0, |one| one.at[1] + one.row_at(side, row))
        };
        let row = |thing: usize, side: usize| {
            self.boxes.get(thing).map_or(0, |one| one.row_of(side, at))
        };
        let is_loop = left == right;
        let first_row = row(left, left_side);
        // Its two rows stand in the order in which they were put there.
        let other_row =
            if is_loop { self.second_row(left, at) } else { row(right, right_side) };
        let y = box_y(left, left_side, first_row);
        let other_y = box_y(right, right_side, other_row);
        let (x, other_x, turn) = if is_loop {
            (edge(left)[1], edge(right)[1], -1.0)
        } else {
            (edge(left)[1], edge(right)[0], 1.0)
        };
        let mut straights = vec![[[x, y], [x + stub, y]]];
        let passes = self.vertices.iter().filter(|one| one.stand == Stand::Pass(at));
        for pass in passes {
            let [from, to] = edges.get(pass.column).copied().unwrap_or_default();
            let y = pass.top + PITCH / 2.0;
            straights.push([[from - stub, y], [to + stub, y]]);
        }
        let end_stub = other_x - turn * stub;
        straights.push([[end_stub, other_y], [other_x, other_y]]);
        let half = ARROW + tag_width(&line.tag()) / 2.0;
        let goes_right = self.graph.ends(line).1 == line.to;
        Cable {
            tag: line.tag(),
            is_power: line.is_power(),
            is_lifted: line.way.is_lifted,
            straights,
            tags: [[x + half, y], [other_x - turn * half, other_y]],
            arrow: match (is_loop, goes_right) {
                (true, _) => ([other_x, other_y], false),
                (false, true) => ([other_x, other_y], true),
                (false, false) => ([x, y], false),
            },
        }
    }

    fn second_row(&self, thing: usize, line: usize) -> usize {
        let rows =
            self.boxes.get(thing).map_or([].as_slice(), |one| one.sides[1].as_slice());
        rows.iter().rposition(|row| row.line == Some(line)).unwrap_or(0)
    }
}

/// The same places, or all upside down if boxes then stand more as the spec lists them.
fn as_listed(mut places: Vec<(usize, f64)>, vertices: &[Vertex]) -> Vec<(usize, f64)> {
    let boxes: Vec<(usize, (usize, f64))> = vertices
        .iter()
        .zip(&places)
        .filter(|(vertex, _)| matches!(vertex.stand, Stand::Box(_)))
        .map(|(vertex, place)| (vertex.column, *place))
        .collect();
    let mut turned = (0_usize, 0_usize);
    for (at, (column, (component, x))) in boxes.iter().enumerate() {
        let is_beside =
            |one: &&(usize, (usize, f64))| one.0 == *column && one.1.0 == *component;
        for (_, (_, other)) in boxes.iter().skip(at + 1).filter(is_beside) {
            if other < x { turned.0 += 1 } else { turned.1 += 1 }
        }
    }
    if turned.1 < turned.0 {
        places.iter_mut().for_each(|(_, x)| *x = -*x);
    }
    places
}

/// How far a line back into its own box reaches beyond its stubs.
pub(super) const LOOP: f64 = 5.0;

/// How wide a tag is.
pub(super) fn tag_width(tag: &str) -> f64 {
    breadth(tag, TEXT) + 2.0 * TAG_PAD
}

/// The rising sequence that lies nearest to some numbers: where they fall, their mean.
fn rising(wanted: &[f64]) -> Vec<f64> {
    let mut blocks: Vec<(f64, usize)> = Vec::new();
    for one in wanted {
        let mut block = (*one, 1);
        while let Some(above) = blocks.pop_if(|above| block.0 < above.0) {
            let (own, other) = (count(block.1), count(above.1));
            block =
                ((block.0 * own + above.0 * other) / (own + other), block.1 + above.1);
        }
        blocks.push(block);
    }
    blocks.into_iter().flat_map(|(mean, many)| std::iter::repeat_n(mean, many)).collect()
}
