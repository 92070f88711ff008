//! What if: a spec with something changed in memory, and nothing written.
//!
//! A change is a phrase of the language itself, and becomes edits of the spec's text, as
//! a remedy does. The edited text then goes the one and only way: it is read, understood
//! and judged like any spec, through a [`Host`] that shows it in the place of the file.
//! So a change can mean nothing that a line of a spec could not say.
//!
//! ```text
//! ENTRY FACT …                    main at 50 mm aft;  main mass 310 g;  main like club.grey
//! ENTRY LENGTH further SIDE       servos 20 mm further ahead
//! FACT …    of a loadout          without camera;  ballast nose 30 g;  fits grey
//! ```
//!
//! Reading a phrase stands in `phrase`, what it does to the text in `edits`.

mod edits;
mod loadouts;
mod overlay;
mod phrase;
mod sweep;

use trimsheet_model::Stage;
use trimsheet_source::{Finding, Level, Sources, Span, apply, nearest};

pub use self::overlay::Overlay;
pub use self::sweep::{NoSweep, Sweep};

use self::edits::Editor;
use crate::check::{Checked, Opened, Settings, check, open_with, tidy};
use crate::engines::Engines;
use crate::host::{Host, Trouble};

/// A change as it was understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Done {
    /// The phrase.
    pub phrase: String,
    /// What it does to the spec, in the order of its lines; empty where it does nothing.
    pub lines: Vec<Rewritten>,
    /// What is worth knowing about it, a sentence each.
    pub notes: Vec<String>,
}

/// A fact of the spec that reads otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rewritten {
    /// What it is a fact of: `loadout ferry`.
    pub of: String,
    /// The line of the spec, from 1.
    pub line: usize,
    /// What stands there; empty where something is only put in.
    pub before: String,
    /// What stands there then; empty where something is only taken out.
    pub after: String,
}

/// Why nothing was changed.
#[derive(Debug)]
pub enum NotChanged {
    /// The spec cannot be read.
    Trouble(Trouble),
    /// No loadout has the name; what can be said about that.
    NoLoadout(String),
    /// A phrase was not understood; the findings point into it, under its number.
    NotUnderstood(Box<Sources>, Vec<Finding>),
}

/// A spec as it stands and as it would be.
pub struct Trial {
    /// The changes, in the order in which they were given.
    pub done: Vec<Done>,
    /// The spec as it stands.
    pub before: Seen,
    /// The spec as it would be.
    pub after: Seen,
}

/// A spec, understood and judged.
pub struct Seen {
    /// What it says, and what follows.
    pub opened: Opened,
    /// What was found, in order.
    pub checked: Checked,
}

/// Tries changes of a spec, in all loadouts or in one, each on what the ones before made.
///
/// # Errors
/// The spec cannot be read, the loadout is not there, or a phrase is not understood.
pub fn try_changes(
    host: &dyn Host,
    path: &str,
    phrases: &[String],
    loadout: Option<&str>,
    settings: &Settings,
) -> Result<Trial, NotChanged> {
    let mut engines = Engines::default();
    let path = tidy(path);
    let opened =
        open_with(host, &path, &mut engines, settings).map_err(NotChanged::Trouble)?;
    let mut workshop = Workshop { host, path: &path, loadout, settings, engines };
    workshop.knows_loadout(&opened)?;
    let (done, text) = workshop.all(phrases)?;
    let overlay = Overlay::new(host, &path, text);
    let after = open_with(&overlay, &path, &mut workshop.engines, settings)
        .map_err(NotChanged::Trouble)?;
    let paths = [path.clone()];
    let before = Seen { opened, checked: check(host, &paths, settings) };
    let after = Seen { opened: after, checked: check(&overlay, &paths, settings) };
    Ok(Trial { done, before, after })
}

/// Where changes are made.
struct Workshop<'a> {
    host: &'a dyn Host,
    path: &'a str,
    loadout: Option<&'a str>,
    settings: &'a Settings,
    engines: Engines,
}

impl Workshop<'_> {
    fn knows_loadout(&self, opened: &Opened) -> Result<(), NotChanged> {
        let Some(wanted) = self.loadout else { return Ok(()) };
        let all = opened.facts.of_word("loadout");
        let names: Vec<&str> = all.map(|(_, entry)| entry.name.as_str()).collect();
        if names.contains(&wanted) {
            return Ok(());
        }
        let near = nearest(wanted, names.iter().copied());
        let near = near.map_or(String::new(), |near| format!("; the nearest is {near}"));
        let names = if names.is_empty() { "none".to_owned() } else { names.join(", ") };
        Err(NotChanged::NoLoadout(format!(
            "no loadout of {} is called {wanted}{near} (it has {names})",
            self.path
        )))
    }

    /// Makes all changes, one upon the other, and gives the text that comes of it.
    fn all(&mut self, phrases: &[String]) -> Result<(Vec<Done>, String), NotChanged> {
        let mut text =
            crate::load::text(self.host, self.path).map_err(NotChanged::Trouble)?;
        let mut done = Vec::new();
        for (at, phrase) in phrases.iter().enumerate() {
            let (one, next) = self.one(&text, phrase, at + 1)?;
            done.push(one);
            text = next;
        }
        Ok((done, text))
    }

    fn open(&mut self, text: &str) -> Result<Opened, NotChanged> {
        let overlay = Overlay::new(self.host, self.path, text.to_owned());
        open_with(&overlay, self.path, &mut self.engines, self.settings)
            .map_err(NotChanged::Trouble)
    }

    /// Makes one change, and sees to it that its words can be read where they then stand.
    fn one(
        &mut self,
        text: &str,
        phrase: &str,
        number: usize,
    ) -> Result<(Done, String), NotChanged> {
        let mut opened = self.open(text)?;
        let phrase = phrase.trim();
        let file = opened.sources.add(format!("CHANGE {number}"), phrase);
        let refused = |finding: Finding, opened: Opened| {
            NotChanged::NotUnderstood(Box::new(opened.sources), vec![finding])
        };
        let wish = match phrase::read(&opened, file) {
            Ok(wish) => wish,
            Err(finding) => return Err(refused(*finding, opened)),
        };
        let edits = match Editor::new(&opened, self.path, self.loadout).edits(&wish) {
            Ok(edits) => edits,
            Err(finding) => return Err(refused(*finding, opened)),
        };
        let next = apply(text, &edits.edits).unwrap_or_else(|_| text.to_owned());
        let whole = Span { file, start: 0, end: phrase.len() };
        if let Some(finding) = self.misread(&opened, &next, whole)? {
            return Err(refused(finding, opened));
        }
        let done =
            Done { phrase: phrase.to_owned(), lines: edits.lines, notes: edits.notes };
        Ok((done, next))
    }

    /// The first thing that can no longer be read, said of the phrase that did it.
    fn misread(
        &mut self,
        before: &Opened,
        text: &str,
        phrase: Span,
    ) -> Result<Option<Finding>, NotChanged> {
        let after = self.open(text)?;
        let is_read =
            |one: &&Finding| one.rule.0.starts_with("read/") && one.level >= Level::Error;
        let told = |one: &Finding| (one.rule.clone(), one.headline.clone());
        let known: Vec<_> = before.findings.iter().filter(is_read).map(told).collect();
        let fresh = after.findings.iter().filter(is_read);
        let fresh = fresh.filter(|one| !known.contains(&told(one)));
        Ok(fresh.map(|one| said_of(one, phrase)).next())
    }
}

/// A finding about a line that only stands in memory, at the phrase that made the line.
fn said_of(one: &Finding, phrase: Span) -> Finding {
    let finding = Finding::new(&*one.rule.0, one.level, phrase, &*one.headline);
    let advice = one.remedies.iter().map(|remedy| remedy.says.clone());
    advice.fold(finding.labelled(&*one.primary.text), Finding::advised)
}

/// What a change does to the findings of a spec.
#[derive(Debug, Default)]
pub struct Shifted<'a> {
    /// Those that were not there before.
    pub came: Vec<&'a Finding>,
    /// Those that are gone.
    pub went: Vec<&'a Finding>,
    /// Those that are still there with other numbers, as they read then.
    pub reworded: Vec<&'a Finding>,
    /// How many stay as they are.
    pub stay: usize,
}

impl Trial {
    /// The stage that the spec is judged for.
    pub fn stage(&self) -> Stage {
        self.after.opened.facts.stage
    }

    /// What came and what went. A finding is the same if its rule says the same; one of a
    /// rule that says something else as seriously, where one has gone, reads otherwise.
    pub fn shifted(&self) -> Shifted<'_> {
        let same = |one: &Finding, other: &Finding| {
            one.rule == other.rule && one.headline == other.headline
        };
        let mut went: Vec<&Finding> = self.before.checked.findings.iter().collect();
        let (mut fresh, mut shifted) = (Vec::new(), Shifted::default());
        for one in &self.after.checked.findings {
            match went.iter().position(|old| same(old, one)) {
                Some(at) => {
                    went.remove(at);
                    shifted.stay += 1;
                }
                None => fresh.push(one),
            }
        }
        for one in fresh {
            let is_alike =
                |old: &&Finding| old.rule == one.rule && old.level == one.level;
            match went.iter().position(is_alike) {
                Some(at) => {
                    went.remove(at);
                    shifted.reworded.push(one);
                }
                None => shifted.came.push(one),
            }
        }
        Shifted { went, ..shifted }
    }
}
