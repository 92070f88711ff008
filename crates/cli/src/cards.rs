//! `trimsheet cards`

use trimsheet_project::drawn;
use trimsheet_project::facts::Card;
use trimsheet_report::cards::{Cards as Sheet, Drawn, html, text};

use crate::arguments::{Cards, CardsFormat, Paper, Under};
use crate::opened::opened;
use crate::{End, screen};

/// Prints the cards of a spec: what a person does with it, and how far that is.
pub(crate) fn cards(wanted: &Cards) -> End {
    let under = Under { rules: wanted.rules.clone(), date: wanted.date, stage: None };
    let (opened, is_damaged) = match opened(&wanted.file, &under, "card") {
        Ok(opened) => opened,
        Err(end) => return end,
    };
    let steps = match drawn(&opened) {
        Ok(steps) => steps,
        Err(why) => {
            screen::complain(&format!(
                "no card is made of {}: {}",
                wanted.file, why.says
            ));
            return End::Found;
        }
    };
    let steps: Vec<Drawn<'_>> = steps
        .iter()
        .map(|step| Drawn {
            done: &step.done,
            title: &step.title,
            lines: &step.lines,
            silent: step.silent.as_deref(),
        })
        .collect();
    let day = wanted.date.unwrap_or_else(screen::today);
    let mut sheet = Sheet::new(&opened.facts, &opened.sources, &steps, Some(day));
    if let Some(paper) = wanted.card {
        sheet = sheet.only(word(paper));
    }
    if wanted.open {
        sheet = sheet.open();
    }
    screen::print(&match wanted.format {
        CardsFormat::Text => text(&sheet, screen::look().width),
        CardsFormat::Html => html(&sheet),
    });
    if is_damaged { End::Found } else { End::Clear }
}

fn word(paper: Paper) -> Card {
    match paper {
        Paper::Build => Card::Build,
        Paper::Bench => Card::Bench,
        Paper::Home => Card::Home,
        Paper::Field => Card::Field,
        Paper::FirstFlight => Card::FirstFlight,
        Paper::After => Card::After,
    }
}
