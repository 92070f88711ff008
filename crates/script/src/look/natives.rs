//! Which functions the engine knows, by name and number of values.

use std::collections::BTreeSet;

use rhai::Engine;
use trimsheet_rules::facts::model::vocabulary::Vocabulary;
use trimsheet_rules::source::nearest;

/// What is known before any script: functions of the engine, and words of specs.
pub(crate) struct Natives {
    /// The words that a spec may use.
    pub(crate) vocabulary: Vocabulary,
    /// Each with how many values it takes, the one before the point included.
    functions: BTreeSet<(String, usize)>,
    getters: BTreeSet<String>,
}

/// What the engine puts before the name of what can be asked for without brackets.
const GETTER: &str = "get$";

impl Natives {
    pub(crate) fn of(engine: &Engine, vocabulary: Vocabulary) -> Natives {
        let all = engine.collect_fn_metadata(
            None,
            |info| Some((info.metadata.name.to_string(), info.metadata.num_params)),
            true,
        );
        let (mut functions, mut getters) = (BTreeSet::new(), BTreeSet::new());
        for (name, takes) in all {
            match name.strip_prefix(GETTER) {
                Some(name) => drop(getters.insert(name.to_owned())),
                None => drop(functions.insert((name, takes))),
            }
        }
        Natives { vocabulary, functions, getters }
    }

    pub(crate) fn has(&self, name: &str, takes: usize) -> bool {
        self.functions.contains(&(name.to_owned(), takes))
    }

    pub(crate) fn has_getter(&self, name: &str) -> bool {
        self.getters.contains(name)
    }

    /// With how many values a function of this name can be called.
    pub(crate) fn takes(&self, name: &str) -> Vec<usize> {
        let of_name = self.functions.iter().filter(|(own, _)| own == name);
        of_name.map(|(_, takes)| *takes).collect()
    }

    /// The nearest name of a function, of the engine or of the script.
    pub(crate) fn nearest<'a>(
        &'a self,
        name: &str,
        own: impl Iterator<Item = &'a str>,
    ) -> Option<&'a str> {
        nearest(name, own.chain(self.functions.iter().map(|(name, _)| name.as_str())))
    }
}
