//! Mistakes of a script that can be known without running it.
//!
//! Every expression of `check` and of the functions that it calls is followed with what
//! is known of it: what a name asked of a loadout comes to, which unit a number has,
//! which words a word can be. What cannot be right whatever a spec says is a finding.
//! Where nothing is known nothing is said, so that a script that can run does run.
//!
//! What a function is given is what all its calls give it together; what a variable
//! holds is all that is ever put into it. Both are found by going through the script
//! until nothing new comes to light. [`kind`] says what can be known of a thing,
//! [`names`] what it has, [`operators`] and [`calls`] what can be done with it.

mod calls;
mod kind;
mod names;
pub(crate) mod natives;
mod operators;
pub(crate) mod page;
mod tree;
mod walk;

use std::collections::{BTreeMap, BTreeSet};

use rhai::{AST, ASTNode, Expr, Position};
use trimsheet_rules::Rule;
use trimsheet_rules::facts::model::vocabulary::rule_name;
use trimsheet_rules::source::nearest;

use self::kind::{Kind, Line, Of};
use self::natives::Natives;
use self::tree::{Function, functions};

/// A mistake, and where in the script it is.
pub(crate) type Mistake = (Position, String);

/// How often a script is gone through before it is left alone.
const ROUNDS: usize = 12;

/// Looks through a script for what cannot be right.
pub(crate) fn look(ast: &AST, rule: &Rule, natives: &Natives) -> Vec<Mistake> {
    let mut look = Look {
        rule,
        natives,
        functions: functions(ast),
        variables: BTreeMap::new(),
        names: Vec::new(),
        mistakes: BTreeMap::new(),
        at: 0,
        has_news: false,
        speaks: false,
        tries: 0,
        reads_all: false,
    };
    if !look.follow() {
        return Vec::new();
    }
    look.speaks = true;
    look.round();
    look.unread(ast);
    look.mistakes.into_iter().map(|((_, _), mistake)| mistake).collect()
}

/// Why nothing that a rule is about can say what `SAID` asks for.
pub(crate) fn unsaid(rule: &Rule, natives: &Natives) -> Option<String> {
    let said = rule.said.as_deref()?;
    let vocabulary = &natives.vocabulary;
    let can_say = |word: &&String| vocabulary.fact_called(word, said).is_some();
    let other = rule.about.iter().find(|word| !can_say(word))?;
    let facts = || vocabulary.facts(other).map(rule_name);
    let all: Vec<String> = facts().collect();
    let near = nearest(said, all.iter().map(String::as_str));
    let hint = near.map_or(String::new(), |near| format!("; the nearest is `{near}`"));
    Some(format!("`{other}` says no fact called `{said}`{hint}"))
}

/// A script that is being looked through.
struct Look<'a> {
    rule: &'a Rule,
    natives: &'a Natives,
    functions: Vec<Function>,
    /// What each variable holds, by its function and the place where it is made.
    variables: BTreeMap<Place, Kind>,
    /// The variables that have a name at this place, the innermost last.
    names: Vec<(String, Place)>,
    mistakes: BTreeMap<(usize, usize), Mistake>,
    /// Which function is looked at.
    at: usize,
    has_news: bool,
    /// Whether mistakes are kept: only once everything is known.
    speaks: bool,
    /// How many `try` lie around; what they catch is the script's own business.
    tries: usize,
    /// Whether the script reads parameters by names that it makes up.
    reads_all: bool,
}

/// A variable: its function, then its line and column, or nought and which parameter.
type Place = (usize, usize, usize);

impl Look<'_> {
    /// Goes through the script until all is known; false if that does not come to an end.
    fn follow(&mut self) -> bool {
        let Some(check) =
            self.functions.iter().position(|one| matches!(&*one.name, "check" | "card"))
        else {
            return false;
        };
        let set = Kind::Set;
        self.calls(check, &[self.about(), Kind::of_build(), set]);
        if !self.settle() {
            return false;
        }
        // What nobody calls can still hold a name that does not exist.
        for at in 0..self.functions.len() {
            let Some(function) = self.functions.get(at).filter(|one| !one.is_called)
            else {
                continue;
            };
            let open = vec![Kind::Any; function.parameters.len()];
            self.calls(at, &open);
        }
        self.settle()
    }

    fn settle(&mut self) -> bool {
        for _ in 0..ROUNDS {
            self.has_news = false;
            self.round();
            if !self.has_news {
                return true;
            }
        }
        false
    }

    /// Goes through every function that is called.
    fn round(&mut self) {
        for at in 0..self.functions.len() {
            let Some(function) = self.functions.get_mut(at).filter(|one| one.is_called)
            else {
                continue;
            };
            let body = std::mem::take(&mut function.body);
            let parameters = function.parameters.clone();
            self.at = at;
            self.names = parameters
                .into_iter()
                .enumerate()
                .map(|(index, name)| (name, (at, 0, index)))
                .collect();
            let last = self.block(&body);
            self.returns(last);
            if let Some(function) = self.functions.get_mut(at) {
                function.body = body;
            }
        }
    }

    /// What the first value of `check` is.
    fn about(&self) -> Kind {
        let kinds = self.rule.about.iter().map(|word| match word.as_str() {
            "build" => Kind::of_build(),
            "value" => Kind::Value(Of::Stated, Line::Unsure),
            word => {
                let row = trimsheet_rules::facts::model::vocabulary::entry(word);
                row.map_or(Kind::Any, |row| Kind::entry(vec![row.word]))
            }
        });
        kinds.reduce(Kind::join).unwrap_or(Kind::Any)
    }

    /// Takes note of what a function is called with.
    fn calls(&mut self, function: usize, given: &[Kind]) {
        for (index, kind) in given.iter().enumerate() {
            self.puts((function, 0, index), kind.clone());
        }
        if let Some(function) = self.functions.get_mut(function).filter(|f| !f.is_called)
        {
            function.is_called = true;
            self.has_news = true;
        }
    }

    /// Takes note of what is put into a variable.
    fn puts(&mut self, place: Place, kind: Kind) {
        let known = self.variables.get(&place).cloned().unwrap_or(Kind::Never);
        let joined = known.clone().join(kind);
        if joined != known {
            self.has_news = true;
        }
        self.variables.insert(place, joined);
    }

    /// Takes note of what the function that is looked at comes to.
    fn returns(&mut self, kind: Kind) {
        if let Some(function) = self.functions.get_mut(self.at) {
            let joined = function.gives.clone().join(kind);
            if joined != function.gives {
                self.has_news = true;
            }
            function.gives = joined;
        }
    }

    /// Keeps a mistake, one for each place.
    fn mistake(&mut self, position: Position, says: String) {
        if self.speaks && self.tries == 0 {
            let at = (position.line().unwrap_or(0), position.position().unwrap_or(0));
            self.mistakes.entry(at).or_insert((position, says));
        }
    }

    /// Keeps the mistake of a result, and goes on with anything.
    fn or_mistake(&mut self, result: Result<Kind, String>, position: Position) -> Kind {
        result.unwrap_or_else(|says| {
            self.mistake(position, says);
            Kind::Any
        })
    }

    /// Parameters that nothing in the script reads.
    fn unread(&mut self, ast: &AST) {
        if self.reads_all {
            return;
        }
        let mut read: BTreeSet<String> = BTreeSet::new();
        ast.walk(&mut |path: &[ASTNode<'_>]| {
            if let Some(ASTNode::Expr(one)) = path.last() {
                if let Expr::Property(name, _) = one {
                    read.insert(name.2.to_string());
                } else if let Expr::StringConstant(text, _) = one {
                    read.insert(text.to_string());
                }
            }
            true
        });
        for parameter in &self.rule.parameters {
            if !read.contains(&parameter.name) {
                let says = format!(
                    "the script never reads the parameter `{}`, so setting it changes nothing",
                    parameter.name
                );
                self.mistakes
                    .entry((0, self.mistakes.len()))
                    .or_insert((Position::NONE, says));
            }
        }
    }
}

impl Kind {
    fn of_build() -> Kind {
        Kind::Value(Of::Build, Line::Nowhere)
    }
}
