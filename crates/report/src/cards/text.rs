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
            step(&mut page, cards, one);
        }
    }
    page.gap();
    page.say(FOOT);
    page.out
}

fn step(page: &mut Page, cards: &Cards, step: &Step) {
    page.gap();
    page.say(&step.title);
    for (at, says) in step.state.says(&step.before).iter().enumerate() {
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
        page.entry("sign", &sign(cards, step));
    }
}

/// The command that signs a step; what is seen is for whoever saw it to write.
fn sign(cards: &Cards, step: &Step) -> String {
    let mut command = format!("trimsheet signoff {} {}", cards.file, step.name);
    if let Some(loadout) = &step.loadout {
        command += &format!(" --loadout {loadout}");
    }
    command += " --by ____";
    for says in &step.says {
        command += &format!(" --reading \"{says}\"");
    }
    command
}
