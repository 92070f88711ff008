//! `trimsheet cards`: the cards, and the papers that go along.

use trimsheet_project::facts::Card;
use trimsheet_project::model::Date;
use trimsheet_project::{Opened, drawn};
use trimsheet_report::cards::{Cards as Sheet, html, text};
use trimsheet_report::papers::{self, bill};

use crate::arguments::{Cards, CardsFormat, Paper, Under};
use crate::opened::opened;
use crate::{End, screen};

/// Prints the cards of a spec, what a person does with it and how far that is, or a paper
/// that goes along.
pub(crate) fn cards(wanted: &Cards) -> End {
    if wanted.format == CardsFormat::Csv && wanted.card != Some(Paper::Bill) {
        screen::complain(
            "only the bill comes as csv: trimsheet cards FILE bill --format csv",
        );
        return End::CouldNotRun;
    }
    let under = Under { rules: wanted.rules.clone(), date: wanted.date, stage: None };
    let (opened, is_damaged) = match opened(&wanted.file, &under, "card") {
        Ok(opened) => opened,
        Err(end) => return end,
    };
    let day = Some(wanted.date.unwrap_or_else(screen::today));
    let made = match wanted.card {
        Some(Paper::Build) => steps(&opened, wanted, day, Some(Card::Build)),
        Some(Paper::Bench) => steps(&opened, wanted, day, Some(Card::Bench)),
        Some(Paper::Home) => steps(&opened, wanted, day, Some(Card::Home)),
        Some(Paper::Field) => steps(&opened, wanted, day, Some(Card::Field)),
        Some(Paper::FirstFlight) => steps(&opened, wanted, day, Some(Card::FirstFlight)),
        Some(Paper::After) => steps(&opened, wanted, day, Some(Card::After)),
        Some(Paper::Label) => {
            Ok(paper(wanted, &papers::label(&opened.facts, &opened.sources, day)))
        }
        Some(Paper::Packing) => {
            Ok(paper(wanted, &papers::packing(&opened.facts, &opened.sources, day)))
        }
        Some(Paper::Bill) => {
            let bill = bill::bill(&opened.facts, &opened.sources, day);
            Ok(match wanted.format {
                CardsFormat::Text => bill::text(&bill, screen::look().width),
                CardsFormat::Html => bill::html(&bill),
                CardsFormat::Csv => bill::csv(&bill),
            })
        }
        None => steps(&opened, wanted, day, None),
    };
    match made {
        Ok(page) => screen::print(&page),
        Err(why) => {
            screen::complain(&format!("no card is made of {}: {why}", wanted.file));
            return End::Found;
        }
    }
    if is_damaged { End::Found } else { End::Clear }
}

/// The cards, or one of them.
fn steps(
    opened: &Opened,
    wanted: &Cards,
    day: Option<Date>,
    card: Option<Card>,
) -> Result<String, String> {
    let mut sheet = sheet(opened, day)?;
    if let Some(card) = card {
        sheet = sheet.only(card);
    }
    if wanted.open {
        sheet = sheet.open();
    }
    Ok(match wanted.format {
        CardsFormat::Html => html(&sheet),
        CardsFormat::Text | CardsFormat::Csv => text(&sheet, screen::look().width),
    })
}

/// Every card of a spec, as on a day.
pub(crate) fn sheet(opened: &Opened, day: Option<Date>) -> Result<Sheet, String> {
    let steps = drawn(opened).map_err(|why| why.says)?;
    Ok(Sheet::new(&opened.facts, &opened.sources, &steps, day))
}

fn paper(wanted: &Cards, paper: &papers::Paper) -> String {
    match wanted.format {
        CardsFormat::Html => papers::html(paper),
        CardsFormat::Text | CardsFormat::Csv => papers::text(paper, screen::look().width),
    }
}
