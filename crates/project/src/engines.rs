//! The rules of packs, loaded once for all files that are under the same packs.

use std::rc::Rc;

use trimsheet_model::vocabulary::Vocabulary;
use trimsheet_rules::Pack;
use trimsheet_script::{Gathered, Loaded, gather};
use trimsheet_source::Sources;

/// Rules that were loaded, by the packs that they come from.
#[derive(Default)]
pub(crate) struct Engines(Vec<(Vec<Pack>, Sources, Rc<Loaded>)>);

impl Engines {
    /// The rules of some packs, their scripts among the sources.
    pub(crate) fn of<'a>(&self, packs: &'a [Pack]) -> (Sources, Rules<'a>) {
        if let Some((_, sources, loaded)) =
            self.0.iter().find(|(known, ..)| known == packs)
        {
            return (sources.clone(), Rules::Loaded(Rc::clone(loaded)));
        }
        let mut sources = Sources::default();
        let gathered = gather(packs, &mut sources);
        let scripts = sources.clone();
        (sources, Rules::Gathered(gathered, scripts))
    }

    /// Loads the rules of some packs, and keeps them for the next file.
    pub(crate) fn load(&mut self, packs: &[Pack], rules: Rules<'_>) -> Rc<Loaded> {
        match rules {
            Rules::Loaded(loaded) => loaded,
            Rules::Gathered(gathered, scripts) => {
                let loaded = Rc::new(gathered.load());
                self.0.push((packs.to_vec(), scripts, Rc::clone(&loaded)));
                loaded
            }
        }
    }
}

/// Rules that were loaded for another file, or are to be.
pub(crate) enum Rules<'a> {
    Loaded(Rc<Loaded>),
    Gathered(Gathered<'a>, Sources),
}

impl Rules<'_> {
    /// The words that a spec may use under these packs.
    pub(crate) fn vocabulary(&self) -> &Vocabulary {
        match self {
            Rules::Loaded(loaded) => &loaded.vocabulary,
            Rules::Gathered(gathered, _) => &gathered.vocabulary,
        }
    }
}
