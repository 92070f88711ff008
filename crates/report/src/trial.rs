//! What if: the numbers of two sheets that differ, and the findings that came and went.
//!
//! A [`Trial`] is plain data; [`text()`] writes it for a person, [`json()`] for a program
//! as the form `trimsheet-trial`, version 1: `form`, `version`, and then the keys of a
//! [`Trial`] in the order of its fields.

use serde::Serialize;
use trimsheet_output::clean::{visible, width};
use trimsheet_output::wrap::rows;

use crate::number::Number;
use crate::sheet::{Band, Loadout, Sheet};

/// A spec with something changed, beside itself.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Trial {
    /// The spec, as its path is shown.
    pub file: String,
    /// The stage that it is judged for.
    pub stage: String,
    /// What is changed, in order.
    pub changes: Vec<Changed>,
    /// The numbers that moved, of each loadout in which any did.
    pub loadouts: Vec<Moved>,
    /// Findings that were not there before.
    pub came: Vec<Told>,
    /// Findings that are gone.
    pub went: Vec<Told>,
    /// Findings that are still there with other numbers.
    pub reworded: Vec<Told>,
    /// How many findings stay as they are.
    pub stay: usize,
}

/// A change as it was understood.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Changed {
    /// The phrase.
    pub phrase: String,
    /// What it does to lines of the spec, a sentence each.
    pub lines: Vec<String>,
    /// What is worth knowing about it, a sentence each.
    pub notes: Vec<String>,
}

/// The numbers of a loadout that moved.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Moved {
    /// Its name.
    pub name: String,
    /// One for each number.
    pub numbers: Vec<Shift>,
}

/// A number before and after.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Shift {
    /// What it is of: `balance point`.
    pub of: String,
    /// What it was; `None` where it could not be said.
    pub before: Option<Number>,
    /// What it is then.
    pub after: Option<Number>,
    /// How much it rises, or goes aft; `None` where one of them is missing.
    pub difference: Option<Number>,
}

/// A finding in one line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Told {
    /// `stop`, `error`, `warning` or `note`.
    pub level: String,
    /// The rule.
    pub rule: String,
    /// What it says.
    pub says: String,
    /// The line of the spec, from 1: as it stands for what went, as it would be else.
    pub line: usize,
}

impl Moved {
    /// The loadouts of two sheets in which a number moved; a loadout that only one of them
    /// has moved from nothing, or to it.
    pub fn between(before: &Sheet, after: &Sheet) -> Vec<Moved> {
        let find = |sheet: &Sheet, name: &str| -> Vec<(String, Number)> {
            let found = sheet.loadouts.iter().find(|one| one.name == name);
            found.map_or(Vec::new(), numbers)
        };
        let fresh = after.loadouts.iter().map(|one| &one.name);
        let fresh: Vec<&String> = fresh
            .filter(|name| !before.loadouts.iter().any(|one| one.name == **name))
            .collect();
        let names = before.loadouts.iter().map(|one| &one.name).chain(fresh);
        let moved = names.map(|name| Moved {
            name: name.clone(),
            numbers: shifts(&find(before, name), &find(after, name)),
        });
        moved.filter(|moved| !moved.numbers.is_empty()).collect()
    }
}

/// The numbers of a loadout that are worth comparing, each with what it is.
fn numbers(loadout: &Loadout) -> Vec<(String, Number)> {
    let mut all = Vec::new();
    let mut put = |of: &str, number: Option<&Number>| {
        all.extend(number.map(|number| (of.to_owned(), number.clone())));
    };
    if let Some(total) = &loadout.total {
        put("mass", Some(&total.mass));
        put("balance point", Some(&total.x));
        put("to the side", total.y.as_ref());
    }
    for (of, corner) in ["foremost", "aftmost"].into_iter().zip(&loadout.corners) {
        put(of, Some(&corner.total.x));
    }
    put("on the chord", loadout.chord_share.as_ref());
    put("wing loading", loadout.wing_loading.as_ref());
    if let (Some(band), true) = (&loadout.band, loadout.corners.is_empty()) {
        put(INSIDE, inside(band).as_ref());
    }
    for estimate in &loadout.flight {
        let of = format!("{} (est.)", estimate.of);
        put(&of, Some(&estimate.value));
    }
    all
}

/// What the distance to the nearer limit is called; below nought it is outside.
const INSIDE: &str = "inside by";

/// How far inside its band a loadout balances, by the nearer limit; below nought outside.
fn inside(band: &Band) -> Option<Number> {
    let forward = band.forward.distances.first()?.by.clone();
    let aft = Number(band.aft.distances.first()?.by.0.negated());
    Some(if aft.0.si() < forward.0.si() { aft } else { forward })
}

/// Those of two lists that read otherwise.
fn shifts(before: &[(String, Number)], after: &[(String, Number)]) -> Vec<Shift> {
    let find = |list: &[(String, Number)], of: &str| {
        list.iter().find(|(own, _)| own == of).map(|(_, number)| number.clone())
    };
    let fresh = after.iter().filter(|(of, _)| find(before, of).is_none());
    let names = before.iter().chain(fresh).map(|(of, _)| of);
    let shift = |of: &String| {
        let (old, new) = (find(before, of), find(after, of));
        let difference = old.as_ref().zip(new.as_ref()).and_then(|(old, new)| {
            let less = new.0.minus(&old.0).ok()?.in_unit(new.0.unit())?;
            Some(Number(less.without_spread().with_axis(new.0.axis())))
        });
        Shift { of: of.clone(), before: old, after: new, difference }
    };
    let reads = |number: &Option<Number>| number.as_ref().map(ToString::to_string);
    names.map(shift).filter(|one| reads(&one.before) != reads(&one.after)).collect()
}

/// Writes a trial within so many columns; fewer than 50 are taken as 50.
pub fn text(trial: &Trial, columns: usize) -> String {
    let mut page = Page { columns: columns.clamp(50, 100), out: String::new() };
    for change in &trial.changes {
        page.say("what if", &change.phrase);
        for line in &change.lines {
            page.say("", line);
        }
        if change.lines.is_empty() {
            page.say("", "this is so already: nothing changes");
        }
        for note in &change.notes {
            page.say("note", note);
        }
    }
    page.say("tried", "as [plan], with the spread of a plan; nothing is written");
    for moved in &trial.loadouts {
        page.rule(&moved.name);
        page.out.push_str(&table(moved));
    }
    page.rule("findings");
    let lists =
        [("came", &trial.came), ("went", &trial.went), ("now reads", &trial.reworded)];
    for (label, list) in lists {
        for Told { level, rule, says, line } in list {
            page.say(label, &format!("{level}[{rule}], line {line}: {says}"));
        }
    }
    let others = lists.iter().map(|(_, list)| list.len()).sum();
    page.say("besides", &besides(trial.stay, others));
    page.out.push('\n');
    page.out.push_str("No release to fly: tried on paper. Local rules decide.\n");
    page.out
}

/// How many findings stay as they are.
fn besides(stay: usize, others: usize) -> String {
    match (stay, others) {
        (0, 0) => "there are none, before and after".to_owned(),
        (0, _) => "there is no other".to_owned(),
        (1, _) => "1 stays as it is".to_owned(),
        (count, 0) => format!("all {count} stay as they are"),
        (count, _) => format!("{count} stay as they are"),
    }
}

/// A page that is being written.
struct Page {
    columns: usize,
    out: String,
}

/// The column at which what stands behind a label begins.
const LABEL: usize = 11;

impl Page {
    /// A label, and what stands behind it.
    fn say(&mut self, label: &str, text: &str) {
        let room = self.columns - LABEL;
        for (at, row) in rows(&visible(text), room, room).iter().enumerate() {
            let label = if at == 0 { label } else { "" };
            let line = format!("{label:<LABEL$}{row}");
            self.out.push_str(line.trim_end());
            self.out.push('\n');
        }
    }

    /// A name with a rule behind it.
    fn rule(&mut self, name: &str) {
        let name = visible(name);
        let rest = self.columns.saturating_sub(width(&name) + 4);
        self.out.push_str(&format!("\n── {name} {}\n", "─".repeat(rest)));
    }
}

/// The numbers of one loadout, in columns.
fn table(moved: &Moved) -> String {
    let number = |of: &str, number: &Option<Number>| match number {
        None => "cannot say".to_owned(),
        Some(number) if of == INSIDE && number.0.si() < 0.0 => {
            let size = number.0.spread_si().unwrap_or(0.0);
            let past = Number(number.0.magnitude().with_spread_si(size));
            format!("{past} outside")
        }
        Some(number) => number.to_string(),
    };
    let heads = ["", "before", "after", "difference"].map(str::to_owned);
    let lines = moved.numbers.iter().map(|shift| {
        let difference = shift.difference.as_ref().map_or(String::new(), by);
        let (before, after) =
            (number(&shift.of, &shift.before), number(&shift.of, &shift.after));
        [shift.of.clone(), before, after, difference]
    });
    let lines: Vec<[String; 4]> = std::iter::once(heads).chain(lines).collect();
    let widest = |at: usize| {
        let cells = lines.iter().filter_map(|line| line.get(at));
        cells.map(|cell| width(cell)).max().unwrap_or(0)
    };
    let widths = [widest(0), widest(1), widest(2), 0];
    let mut out = String::new();
    for line in &lines {
        let mut row = String::new();
        for (cell, wide) in line.iter().zip(widths) {
            row.push_str(cell);
            row.push_str(&" ".repeat((wide + 2).saturating_sub(width(cell))));
        }
        out.push_str(row.trim_end());
        out.push('\n');
    }
    out
}

/// A difference in words: `12 mm ahead`, `30 g more`.
fn by(difference: &Number) -> String {
    let size = difference.0.magnitude().rough();
    let side = difference.side();
    let way = match (side.is_empty(), difference.0.si() < 0.0) {
        (false, _) => side,
        (true, true) => "less".to_owned(),
        (true, false) => "more".to_owned(),
    };
    format!("{size} {way}")
}

/// The name of the form, in the key `form`.
pub const FORM: &str = "trimsheet-trial";

/// The version of the form, in the key `version`.
pub const VERSION: u32 = 1;

/// Writes a trial as JSON.
pub fn json(trial: &Trial) -> String {
    crate::json::document(FORM, VERSION, trial)
}
