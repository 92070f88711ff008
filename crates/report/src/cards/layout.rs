//! Which lines of a card stand on which page.
//!
//! Nobody knows which font comes, so heights are reckoned with letters that are wider than
//! the usual ones: a page that a browser prints holds what is put on it here. A step stands on
//! one page where it is short; else it may go on under its title and its caution.

use trimsheet_output::clean::visible;

use super::{Card, FILL, Line, State, Step};

/// Something that stands on a page, whole.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Block {
    /// The title of a step; whether it is done; whether it began on the page before.
    Title { text: String, is_done: bool, goes_on: bool },
    /// How far the step is.
    State(String),
    /// What can hurt.
    Caution(String),
    /// A box, and what to do.
    Tick(String),
    /// Why the script says no more.
    Silent(String),
    /// Where whoever saw it signs, and what the record must say.
    Sign(String),
}

/// The room on a page between head and foot, in millimetres.
const ROOM: f64 = 165.0;
/// How wide the text of a page is, in ems of its letters: 130 mm at 10.5 pt.
const WIDE: f64 = 35.0;
/// How high a row is, in millimetres.
const ROW: f64 = 4.83;
/// How much wider than the usual ones the letters of a font may be.
const SPARE: f64 = 1.1;

impl Block {
    /// How high it is at most, in millimetres.
    fn height(&self) -> f64 {
        match self {
            Block::Title { text, .. } => high(text, WIDE / 1.25) * 1.1 + 3.6,
            Block::State(text) => high(text, WIDE - 2.0) + 0.5,
            // Bold letters are wider.
            Block::Caution(text) => high(text, (WIDE - 8.0) / 1.08) + 5.2,
            Block::Tick(text) | Block::Silent(text) => high(text, WIDE - 2.0) + 1.3,
            Block::Sign(text) => high(text, WIDE - 2.0) + 2.7,
        }
    }
}

/// How high the rows of a text are, each so many ems wide.
fn high(text: &str, room: f64) -> f64 {
    rows(text, room) * ROW
}

/// In how many rows a text stands, each so many ems wide.
pub(crate) fn rows(text: &str, room: f64) -> f64 {
    let (mut rows, mut used) = (1.0, 0.0);
    for word in visible(text).split(' ') {
        let wide = SPARE
            * word
                .replace(FILL, "\u{2014}\u{2014}\u{2014}\u{2014}\u{2014}")
                .chars()
                .map(ems)
                .sum::<f64>();
        if 0.0 < used && room < used + wide {
            rows += 1.0;
            used = 0.0;
        }
        // A word that is wider than a row is cut by nobody, and counts as the rows it covers.
        rows += (wide / room).floor();
        used += wide + SPARE * ems(' ');
    }
    rows
}

/// How wide a letter is, in ems of a usual font without serifs.
fn ems(letter: char) -> f64 {
    match letter {
        'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | ' ' => 0.28,
        'f' | 't' | 'r' | '-' | '(' | ')' | '/' | '[' | ']' | '`' | '"' => 0.35,
        'm' | 'M' | 'w' | 'W' | '@' | '%' => 0.88,
        '\u{2014}' => 1.05,
        other if other.is_ascii_uppercase() => 0.7,
        other if other.is_ascii() => 0.56,
        _ => 1.05,
    }
}

/// The fewest lines of a step that stand on a page where it begins or ends.
const TOGETHER: usize = 3;

/// The pages of a card, each with the blocks that stand on it.
pub(super) fn pages(card: &Card) -> Vec<Vec<Block>> {
    let mut pages = Pages { all: Vec::new(), page: Vec::new(), used: 0.0 };
    for step in &card.steps {
        let (head, body) = blocks(step);
        let fit = pages.fitting(&head, &body);
        let is_short = body.len() < 2 * TOGETHER;
        if fit < body.len() && (is_short || fit < TOGETHER) {
            pages.end();
        }
        let mut rest = body.as_slice();
        let mut above = head.clone();
        loop {
            let fit = pages.fitting(&above, rest);
            let now = if fit < rest.len() {
                fit.min(rest.len().saturating_sub(TOGETHER)).max(1)
            } else {
                fit
            };
            let (first, later) = rest.split_at(now.min(rest.len()));
            pages.put(above);
            pages.put(first.to_vec());
            if later.is_empty() {
                break;
            }
            pages.end();
            (rest, above) = (later, again(&head));
        }
    }
    pages.end();
    pages.all
}

struct Pages {
    all: Vec<Vec<Block>>,
    page: Vec<Block>,
    used: f64,
}

impl Pages {
    /// How many blocks find room below what stands above them.
    fn fitting(&self, above: &[Block], blocks: &[Block]) -> usize {
        let mut used = self.used + above.iter().map(Block::height).sum::<f64>();
        let fits = |block: &&Block| {
            used += block.height();
            used <= ROOM
        };
        blocks.iter().take_while(fits).count()
    }

    fn put(&mut self, blocks: Vec<Block>) {
        self.used += blocks.iter().map(Block::height).sum::<f64>();
        self.page.extend(blocks);
    }

    fn end(&mut self) {
        self.used = 0.0;
        if !self.page.is_empty() {
            self.all.push(std::mem::take(&mut self.page));
        }
    }
}

/// What stands above the lines of a step, and the lines.
fn blocks(step: &Step) -> (Vec<Block>, Vec<Block>) {
    let is_done = matches!(step.state, State::Proved(_));
    let mut head =
        vec![Block::Title { text: step.title.clone(), is_done, goes_on: false }];
    head.extend(step.state.says().into_iter().map(Block::State));
    head.extend(step.caution.clone().map(Block::Caution));
    let line = |line: &Line| match line {
        Line::Tick(text) => Block::Tick(text.clone()),
        Line::Caution(text) => Block::Caution(text.clone()),
    };
    let mut body: Vec<Block> = step.lines.iter().map(line).collect();
    body.extend(step.silent.clone().map(Block::Silent));
    body.push(Block::Sign(step.record()));
    (head, body)
}

/// What stands above the lines where they go on: what can hurt is said again.
fn again(head: &[Block]) -> Vec<Block> {
    let mut again = Vec::new();
    for block in head {
        match block {
            Block::Title { text, is_done, .. } => again.push(Block::Title {
                text: text.clone(),
                is_done: *is_done,
                goes_on: true,
            }),
            Block::Caution(_) => again.push(block.clone()),
            Block::State(_) | Block::Tick(_) | Block::Silent(_) | Block::Sign(_) => {}
        }
    }
    again
}
