//! The rules of one spec, shared out between two threads.
//!
//! A script runs where its engine is, and what facts remember stays on its thread. So a
//! mate reads the same packs for itself while the spec is read, and works facts out for
//! itself from the same build. It begins with the last rule, and meets whoever began with
//! the first: rules of one group ask for the same facts, and only where the two meet is a
//! group in both hands. Who judged a rule shows in nothing that is said.

use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex};
use std::thread::Builder;

use trimsheet_facts::Facts;
use trimsheet_rules::{Judgement, Outcome, Pack, Rule, ask, conclude, settings};
use trimsheet_script::{Loaded, gather};
use trimsheet_source::{RuleId, Sources};

use crate::check::STACK;

/// Who helps to judge a spec, on a thread of its own; without a spec, it goes home.
pub(crate) struct Mate {
    work: Sender<Work>,
    done: Receiver<()>,
    tally: Arc<Tally>,
}

/// A spec, as it goes to another thread.
struct Work {
    facts: Box<dyn FnOnce() -> Facts + Send>,
    sources: Sources,
}

/// What the rules came to.
#[derive(Default)]
struct Tally {
    /// How many rules somebody has taken on.
    taken: AtomicUsize,
    came_to: Mutex<BTreeMap<RuleId, Vec<Outcome>>>,
}

impl Tally {
    /// Takes one rule after the other, until all are taken by somebody.
    fn work<'a>(
        &self,
        order: impl Iterator<Item = &'a Rule>,
        rules: &Loaded,
        facts: &Rc<Facts>,
        sources: &Sources,
    ) {
        let (settings, _) =
            settings(&facts.build, &rules.rules, &rules.packs, facts.today);
        let mut machine = rules.scripts.machine();
        let total = rules.rules.len();
        for rule in order {
            if self.taken.fetch_add(1, Ordering::Relaxed) >= total {
                return;
            }
            let came_to = ask(rule, facts, &settings, |rule, about, settings| {
                machine.call(rule, about, facts, settings, sources)
            });
            if let Ok(mut all) = self.came_to.lock() {
                all.insert(rule.id.clone(), came_to);
            }
        }
    }

    /// What a rule came to, for whoever asks first; none where nobody took it on.
    fn of(&self, rule: &Rule) -> Option<Vec<Outcome>> {
        self.came_to.lock().ok()?.remove(&rule.id)
    }
}

/// Rules in the order in which they are shared out: what flows where takes long to work
/// out, and those groups that ask for it stand at one end.
fn in_order(rules: &[Rule]) -> Vec<&Rule> {
    let is_of_power = |rule: &&Rule| {
        let group = rule.id.0.split('/').next();
        matches!(group, Some("battery" | "power" | "rail" | "wire"))
    };
    let mut order: Vec<&Rule> = rules.iter().collect();
    order.sort_by_key(is_of_power);
    order
}

impl Mate {
    /// Has a mate read packs; none where the system gives no thread.
    pub(crate) fn start(packs: Vec<Pack>) -> Option<Mate> {
        let (work, given) = channel::<Work>();
        let (finished, done) = channel();
        let tally = Arc::new(Tally::default());
        let shared = Arc::clone(&tally);
        let help = move || {
            let rules = gather(&packs, &mut Sources::default()).load_again();
            let Ok(Work { facts, sources }) = given.recv() else { return };
            let facts = Rc::new(facts().asked_for(Arc::clone(&rules.steps)));
            let backwards = in_order(&rules.rules).into_iter().rev();
            shared.work(backwards, &rules, &facts, &sources);
            // Nobody waits any more once the other has gone.
            let _ = finished.send(());
        };
        // Nobody waits until it has put away what it had.
        Builder::new().stack_size(STACK).spawn(help).ok()?;
        Some(Mate { work, done, tally })
    }

    /// Has the mate begin with a spec.
    pub(crate) fn begin(&self, facts: &Facts, sources: &Sources) {
        let (facts, sources) = (facts.afresh(), sources.clone());
        // Where it has gone, all the work is done by whoever began with the first rule.
        let _ = self.work.send(Work { facts, sources });
    }
}

/// Judges a spec by its rules, with a mate who has begun where there is one.
pub(crate) fn judge(
    rules: &Loaded,
    facts: &Rc<Facts>,
    sources: &Sources,
    mate: Option<Mate>,
) -> Judgement {
    let tally = mate.as_ref().map(|mate| Arc::clone(&mate.tally)).unwrap_or_default();
    tally.work(in_order(&rules.rules).into_iter(), rules, facts, sources);
    if let Some(mate) = mate {
        // What a mate that fell over has left is asked below.
        let _ = mate.done.recv();
    }
    let mut machine = rules.scripts.machine();
    conclude(&rules.rules, &rules.packs, facts, |rule, settings| {
        // A mate may have more rules, and then somebody stops a few too early.
        let ask = || {
            ask(rule, facts, settings, |rule, about, settings| {
                machine.call(rule, about, facts, settings, sources)
            })
        };
        tally.of(rule).unwrap_or_else(ask)
    })
}
