//! The cards in a terminal.

use super::{Cards, FOOT, Line, State, Step, title};
use crate::page::Page;

/// Writes the cards within so many columns; fewer than 60 are taken as 60, more than 100
/// as 100.
pub fn text(cards: &Cards, columns: usize) -> String {
    let mut page = Page::new(columns);
    page.say(&format!("{}: cards", cards.head()));
    page.say(&format!("{}, {}", cards.file, cards.made()));
    if cards.cards.is_empty() {
        page.gap();
        page.say("No step is open.");
    }
    for card in &cards.cards {
        page.rule(title(card.word));
        for one in &card.steps {
            step(&mut page, one);
        }
    }
    page.rule("when it is done");
    page.say(&format!(
        "Whoever saw it signs: trimsheet signoff {} STEP --by WHO, with what the record \
         must say behind --reading.",
        cards.file
    ));
    page.say(FOOT);
    page.out
}

fn step(page: &mut Page, step: &Step) {
    page.gap();
    page.say(&format!("{} ({}{})", step.title, step.name, step.asked));
    for (at, says) in step.state.says().iter().enumerate() {
        page.entry(if at == 0 { "state" } else { "" }, says);
    }
    if let Some(caution) = &step.caution {
        page.entry("CAUTION", caution);
    }
    for line in &step.lines {
        match line {
            Line::Tick(text) => page.entry("[ ]", text),
            Line::Caution(text) => page.entry("CAUTION", text),
        }
    }
    if let Some(why) = &step.silent {
        page.entry("cannot say", why);
    }
    if !matches!(step.state, State::Proved(_)) {
        page.entry("record", &step.record());
    }
}
