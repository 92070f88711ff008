//! Steps: scripts of a pack that say what a person does, and from what it is drawn.
//!
//! ```rhai
//! //! Failsafe: the transmitter off, the propeller off.
//!
//! const CARD = "home";            // build, bench, home, field, first-flight or after
//! const BEFORE = "ready";         // the stage that is not reached without it
//! const ORDER = 40;               // its place among the steps of its card
//! const OF = "build";             // once, or once of each `loadout`
//! const WHERE = ["motor"];        // asked only where there is one of these: motor, join, spar.socket
//! const RECORD = "done";          // the word of the record that proves it
//! const SAYS = ["propeller off"]; // what its record must say; "mass or reading": one of two
//! const HOLDS = 3;                // for how many days; without it, until something changes
//! const AFTER = "range-check";    // the step after which it has to be done
//! const RESTS = ["receiver.like"];            // facts that it rests on besides what it reads
//! const RULES = ["setup/failsafe-throttle"];  // rules on whose facts it rests as well
//! const CAUTION = "The propeller is off.";
//!
//! fn card(build, about) { ["Switch the transmitter off: the motor ____"] }
//! ```
//!
//! Of these `CARD` must be there; without `BEFORE` nobody asks for it, and it is signed when
//! it happened. What `card` gives are lines; `____` in one
//! is a box that a hand fills in, and a line that begins with `!` is a caution.

use rhai::{AST, Dynamic, Engine, Stmt};
use sha2::{Digest, Sha256};
use trimsheet_rules::facts::model::{Stage, vocabulary};
use trimsheet_rules::facts::{Card, LIKE, OfStep, Step};
use trimsheet_rules::source::{Finding, Span, nearest};
use trimsheet_rules::{Layer, Levels, Rule};

use crate::loading::{Unread, constant};
use crate::look::natives::Natives;
use crate::program::{self, Script};
use crate::{faults, first_line, look, messages};

/// The constants that a step may state.
const KNOWN: [&str; 12] = [
    "CARD", "BEFORE", "ORDER", "OF", "WHERE", "RECORD", "SAYS", "RESTS", "RULES",
    "CAUTION", "HOLDS", "AFTER",
];

/// Reads what a shipped step states of itself; the rest was looked through by a test.
pub(crate) fn shipped(
    name: &str,
    one: &Unread<'_>,
    constants: &[(String, Dynamic)],
) -> Result<Step, Vec<Finding>> {
    let mut reader = Reader { one, findings: Vec::new() };
    let step = reader.step(name, constants);
    if reader.findings.is_empty() { Ok(step) } else { Err(reader.findings) }
}

/// Reads one step, or says all that is wrong with it.
pub(crate) fn read(
    engine: &Engine,
    name: &str,
    one: &Unread<'_>,
    natives: &Natives,
) -> Result<(Step, Script), Vec<Finding>> {
    let ast = engine
        .compile(one.text)
        .map_err(|error| vec![faults::no_parse(&one.id, &error, one.file, one.text)])?;
    let mut reader = Reader { one, findings: Vec::new() };
    let step = reader.step(name, &program::constants(&ast));
    reader.strays(&ast);
    reader.look(&step, &ast, natives);
    if reader.findings.is_empty() {
        Ok((step, Script::of(one.file, ast)))
    } else {
        Err(reader.findings)
    }
}

fn is_entry(word: &str) -> bool {
    vocabulary::entry(word).is_some()
}

/// Whether a spec can have what a step is for: `motor`, `join`, `spar.socket`.
fn may_be_there(word: &str) -> bool {
    match word.split_once('.') {
        Some((entry, fact)) => vocabulary::fact(entry, fact).is_some(),
        None => is_entry(word) || vocabulary::part_kind(word).is_some(),
    }
}

/// The records that can prove a step: those of a step itself, and those of a loadout.
fn records() -> impl Iterator<Item = &'static str> {
    let proves = |word: &&str| {
        let slots = vocabulary::entry(word).map_or(&[][..], |row| row.slots);
        slots.iter().any(|slot| matches!(slot.name, "step" | "loadout"))
    };
    vocabulary::RECORDS.iter().copied().filter(proves)
}

/// The check sum of a script, to tell whether a step asks for something else by now.
fn sum(text: &str) -> String {
    let lines: Vec<&str> = text.lines().map(str::trim_end).collect();
    let sum = Sha256::digest(lines.join("\n"));
    sum.iter().take(4).map(|byte| format!("{byte:02x}")).collect()
}

struct Reader<'a> {
    one: &'a Unread<'a>,
    findings: Vec<Finding>,
}

impl Reader<'_> {
    fn step(&mut self, name: &str, constants: &[(String, Dynamic)]) -> Step {
        let title = self.one.text.lines().find_map(|line| line.strip_prefix("//!"));
        let title = title.map_or("", |line| line.trim().trim_end_matches('.')).to_owned();
        if title.is_empty() {
            self.say("//!", "expected a first line `//! What is done.`");
        }
        let mut step = Step {
            name: name.to_owned(),
            title,
            pack: String::new(),
            card: Card::Build,
            before: None,
            order: 0,
            of: OfStep::Build,
            only: Vec::new(),
            record: "done",
            says: Vec::new(),
            holds: None,
            after: None,
            script: sum(self.one.text),
            rests: Vec::new(),
            rules: Vec::new(),
            caution: None,
        };
        for (constant, value) in constants {
            self.constant(constant, value, &mut step);
        }
        if !constants.iter().any(|(constant, _)| constant == "CARD") {
            self.say("CARD", "expected `const CARD`: the card that it stands on");
        }
        step
    }

    fn constant(&mut self, name: &str, value: &Dynamic, step: &mut Step) {
        match name {
            "CARD" => {
                let words = Card::ALL.map(Card::word);
                let card =
                    self.word(name, value, &words).and_then(|w| Card::from_word(&w));
                step.card = card.unwrap_or(step.card);
            }
            "BEFORE" => {
                let stage = self.word(name, value, Stage::WORDS);
                let stage = stage.and_then(|word| Stage::from_word(&word));
                step.before = stage;
            }
            "OF" => {
                let of = self.word(name, value, &["build", "loadout"]);
                if of.as_deref() == Some("loadout") {
                    step.of = OfStep::Loadout;
                }
            }
            "RECORD" => {
                let known: Vec<&str> = records().collect();
                let word = self.word(name, value, &known);
                let record = records().find(|known| Some(*known) == word.as_deref());
                step.record = record.unwrap_or(step.record);
            }
            "ORDER" => step.order = self.number(name, value).unwrap_or(step.order),
            "WHERE" => {
                step.only = self.words(name, value);
                for word in &step.only {
                    if !may_be_there(word) {
                        let says = format!(
                            "expected a kind of part, an entry, or an entry and a fact that it may say, such as motor, join or spar.socket, found `{word}`"
                        );
                        self.say(name, &says);
                    }
                }
            }
            "HOLDS" => step.holds = self.number(name, value),
            "AFTER" => step.after = self.text(name, value),
            "SAYS" => step.says = self.words(name, value),
            "RULES" => step.rules = self.words(name, value),
            "RESTS" => {
                for word in self.words(name, value) {
                    step.rests.extend(self.fact(&word));
                }
            }
            "CAUTION" => step.caution = self.text(name, value),
            _ => {}
        }
    }

    fn number(&mut self, at: &str, value: &Dynamic) -> Option<u32> {
        let number = value.as_int().ok().and_then(|number| u32::try_from(number).ok());
        if number.is_none() {
            self.say(at, "expected a whole number");
        }
        number
    }

    fn text(&mut self, at: &str, value: &Dynamic) -> Option<String> {
        let text = value.clone().into_string();
        text.map_err(|found| self.say(at, &format!("expected a text, found {found}")))
            .ok()
    }

    fn word(&mut self, at: &str, value: &Dynamic, known: &[&str]) -> Option<String> {
        let word = value.clone().into_string().unwrap_or_default();
        if known.contains(&word.as_str()) {
            return Some(word);
        }
        let all = known.join(", ");
        self.say(at, &format!("expected one of {all}, found `{word}`"));
        None
    }

    fn words(&mut self, at: &str, value: &Dynamic) -> Vec<String> {
        let list = value.clone().try_cast::<rhai::Array>().unwrap_or_default();
        let words = list.iter().filter_map(|word| word.clone().into_string().ok());
        let words: Vec<String> = words.collect();
        if words.len() != list.len() || words.is_empty() {
            self.say(at, "expected a list of words");
        }
        words
    }

    /// `surface.reflex`, `receiver.like`: the word of an entry or a kind of part, and of a
    /// fact that it may say.
    fn fact(&mut self, text: &str) -> Option<(String, String)> {
        let known = text.split_once('.').filter(|(of, fact)| {
            let entry = if is_entry(of) { of } else { "part" };
            let is_known = is_entry(of) || vocabulary::part_kind(of).is_some();
            is_known && (*fact == LIKE || vocabulary::fact(entry, fact).is_some())
        });
        if known.is_none() {
            let says = format!(
                "expected an entry or a kind of part, and a fact that it may say, such as surface.reflex, found `{text}`"
            );
            self.say("RESTS", &says);
        }
        known.map(|(entry, fact)| (entry.to_owned(), fact.to_owned()))
    }

    fn strays(&mut self, ast: &AST) {
        for statement in ast.statements() {
            let name = if let Stmt::Var(one, ..) = statement { &*one.0.name } else { "" };
            if matches!(statement, Stmt::Noop(_)) || KNOWN.contains(&name) {
                continue;
            }
            let near = nearest(name, KNOWN);
            let hint =
                near.map_or(String::new(), |near| format!("; the nearest is {near}"));
            let says = format!("`{name}` is no constant of a step{hint}");
            let span = faults::span(statement.position(), self.one.file, self.one.text);
            self.push(span, &says);
        }
    }

    /// Looks for mistakes that can be known without running it.
    fn look(&mut self, step: &Step, ast: &AST, natives: &Natives) {
        let has_card =
            ast.iter_functions().any(|f| f.name == "card" && f.params.len() == 2);
        if !has_card {
            self.say("card", "expected `fn card(about, build)`");
            return;
        }
        let (id, file, text) = (&self.one.id, self.one.file, self.one.text);
        self.findings.extend(messages::in_script(id, ast, file, text));
        let about = match step.of {
            OfStep::Build => "build",
            OfStep::Loadout => "loadout",
        };
        let rule = Rule {
            id: id.clone(),
            pack: String::new(),
            layer: Layer::default(),
            title: step.title.clone(),
            about: vec![about.to_owned()],
            said: None,
            levels: Levels::default(),
            waivable: false,
            parameters: Vec::new(),
            script: first_line(file, text),
            page: "".into(),
        };
        for (position, says) in look::look(ast, &rule, natives) {
            self.push(faults::span(position, file, text), &says);
        }
    }

    /// A fault at the constant of this name, or at the top where there is none.
    fn say(&mut self, at: &str, says: &str) {
        self.push(constant(self.one.file, self.one.text, at), says);
    }

    fn push(&mut self, span: Span, says: &str) {
        let finding = faults::not_loaded("rules/fault", &self.one.id, span, says);
        self.findings.push(finding);
    }
}
