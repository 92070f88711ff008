//! Which lines of a card stand on which page.
//!
//! Nobody knows which font comes, so heights are reckoned with a wide one: a page that a
//! browser prints holds what is put on it here, with some room to spare. A step stands on
//! one page, unless it is longer than that; then it goes on under its title and its
//! caution.

use trimsheet_output::clean::visible;
use trimsheet_output::wrap::rows;

use super::{Card, Line, State, Step};

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
const ROOM: f64 = 164.0;
/// How many letters of a wide font stand in a row of text, and in one of a title.
const LETTERS: usize = 56;
const LETTERS_OF_TITLE: usize = 46;
/// How high a row is, in millimetres.
const ROW: f64 = 4.9;

impl Block {
    /// How high it is at most, in millimetres.
    fn height(&self) -> f64 {
        let high = |text: &str, letters: usize| {
            let text = visible(text).replace("____", "__________");
            // A page has few rows, and a longer text does not fit one anyway.
            f64::from(
                u16::try_from(rows(&text, letters, letters).len()).unwrap_or(u16::MAX),
            ) * ROW
        };
        match self {
            Block::Title { text, .. } => high(text, LETTERS_OF_TITLE) * 1.15 + 4.2,
            Block::State(text) => high(text, LETTERS) + 0.6,
            Block::Caution(text) => high(text, LETTERS - 4) + 4.2,
            Block::Tick(text) | Block::Silent(text) => high(text, LETTERS - 2) + 1.4,
            Block::Sign(text) => high(text, LETTERS) + 3.2,
        }
    }
}

/// The pages of a card, each with the blocks that stand on it.
pub(super) fn pages(card: &Card) -> Vec<Vec<Block>> {
    let mut pages = Pages { all: Vec::new(), page: Vec::new(), used: 0.0 };
    for step in &card.steps {
        let (head, body) = blocks(step);
        let whole: f64 = head.iter().chain(&body).map(Block::height).sum();
        if ROOM < pages.used + whole {
            pages.end();
        }
        pages.put(head.clone());
        for block in body {
            if ROOM < pages.used + block.height() {
                pages.end();
                pages.put(again(&head));
            }
            pages.put(vec![block]);
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
