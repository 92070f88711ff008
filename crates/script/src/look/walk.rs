//! Going through statements and expressions.

use std::rc::Rc;

use rhai::{
    ASTFlags, Expr, FlowControl, FnCallExpr, Ident, Position, Stmt, SwitchCasesCollection,
};

use super::calls::called;
use super::kind::{Kind, Of};
use super::names::{hint, named};
use super::operators::operated;
use super::tree::{Step, chain};
use super::{Look, Place};

/// What puts something into a list other than at its end.
const PUTTING: [&str; 5] = ["append", "insert", "pad", "splice", "set"];

impl Look<'_> {
    /// What a block comes to: its last statement, behind a semicolon too.
    pub(super) fn block(&mut self, statements: &[Stmt]) -> Kind {
        let names = self.names.len();
        let mut last = Kind::Nothing;
        for statement in statements {
            last = self.statement(statement);
        }
        self.names.truncate(names);
        last
    }

    fn statement(&mut self, statement: &Stmt) -> Kind {
        match statement {
            Stmt::Noop(_) => Kind::Nothing,
            Stmt::If(flow, _) => {
                self.asks(&flow.expr);
                let body = self.block(flow.body.statements());
                let branch = self.block(flow.branch.statements());
                body.join(branch)
            }
            Stmt::While(flow, _) | Stmt::Do(flow, ..) => {
                if !matches!(flow.expr, Expr::Unit(_)) {
                    self.asks(&flow.expr);
                }
                self.block(flow.body.statements());
                Kind::Any
            }
            Stmt::For(one, _) => {
                let names = self.names.len();
                let list = self.expression(&one.2.expr);
                self.each(&one.0, &list, one.2.expr.start_position());
                if let Some(counter) = &one.1 {
                    self.makes(counter.name.as_str(), counter.pos, Kind::Number(None));
                }
                self.block(one.2.body.statements());
                self.names.truncate(names);
                Kind::Any
            }
            Stmt::Var(one, ..) => {
                let kind = self.expression(&one.1);
                self.makes(one.0.name.as_str(), one.0.pos, kind);
                Kind::Nothing
            }
            Stmt::Assignment(one) => self.assigned(&one.0, &one.1.lhs, &one.1.rhs),
            Stmt::FnCall(call, position) => self.call(call, *position),
            Stmt::Block(block) => self.block(block.statements()),
            Stmt::Expr(expression) => self.expression(expression),
            Stmt::Return(value, flags, _) => {
                let kind =
                    value.as_ref().map_or(Kind::Nothing, |one| self.expression(one));
                let is_return = !flags.contains(ASTFlags::BREAK);
                self.returns(if is_return { kind } else { Kind::Never });
                Kind::Never
            }
            Stmt::BreakLoop(value, ..) => {
                if let Some(value) = value {
                    self.expression(value);
                }
                Kind::Never
            }
            Stmt::TryCatch(flow, _) => {
                self.tried(flow);
                Kind::Any
            }
            Stmt::Switch(one, _) => {
                self.expression(&one.0);
                self.cases(&one.1);
                Kind::Any
            }
            // The script language grows without us.
            _ => Kind::Any,
        }
    }

    fn cases(&mut self, cases: &SwitchCasesCollection) {
        for case in &cases.expressions {
            self.expression(&case.lhs);
            self.expression(&case.rhs);
        }
    }

    fn tried(&mut self, flow: &FlowControl) {
        self.tries += 1;
        self.block(flow.body.statements());
        self.tries -= 1;
        let names = self.names.len();
        if let Expr::Variable(name, _, position) = &flow.expr {
            self.makes(name.1.as_str(), *position, Kind::Any);
        }
        self.block(flow.branch.statements());
        self.names.truncate(names);
    }

    /// Looks at what a decision hangs on, which must be yes or no.
    fn asks(&mut self, condition: &Expr) {
        let kind = self.expression(condition);
        if !kind.is_open() && kind != Kind::Flag {
            let says = format!("expected yes or no, found {}", kind.says());
            self.mistake(condition.start_position(), says);
        }
    }

    fn makes(&mut self, name: &str, position: Position, kind: Kind) {
        let (line, column) =
            (position.line().unwrap_or(0), position.position().unwrap_or(0));
        let place = (self.at, line, column);
        self.puts(place, kind);
        self.names.push((name.to_owned(), place));
    }

    fn each(&mut self, name: &Ident, list: &Kind, at: Position) {
        let one = if let Kind::List(of) = list { of.as_ref().clone() } else { Kind::Any };
        if let Kind::Value(of, _) = list
            && *of != Of::Stated
        {
            self.mistake(at, format!("expected a list, found {}", list.says()));
        }
        self.makes(name.name.as_str(), name.pos, one);
    }

    fn assigned(
        &mut self,
        operator: &rhai::OpAssignment,
        to: &Expr,
        value: &Expr,
    ) -> Kind {
        let value = self.expression(value);
        let Expr::Variable(name, ..) = to else {
            // What is put into a piece of something changes the whole.
            self.expression(to);
            let base = chain(to).and_then(|(base, _)| self.variable(base));
            if let Some(place) = base {
                self.puts(place, Kind::Any);
            }
            return Kind::Nothing;
        };
        let place = self.place(name.1.as_str());
        let value = match operator.get_op_assignment_info() {
            Some((.., sign)) => {
                let known = self.expression(to);
                let result = operated(sign, &known, &value);
                let is_list = matches!(known, Kind::List(_));
                let kind = self.or_mistake(result, operator.position());
                // A list takes one more thing as well as another list.
                if is_list && !matches!(value, Kind::List(_)) { Kind::Any } else { kind }
            }
            None => value,
        };
        if let Some(place) = place {
            self.puts(place, value);
        }
        Kind::Nothing
    }

    fn place(&self, name: &str) -> Option<Place> {
        self.names.iter().rev().find(|(own, _)| own == name).map(|(_, place)| *place)
    }

    /// The place of the variable that an expression is, if it is one.
    fn variable(&self, expression: &Expr) -> Option<Place> {
        let Expr::Variable(name, ..) = expression else { return None };
        self.place(name.1.as_str())
    }

    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "the script language's own enum, which grows without us"
    )]
    pub(super) fn expression(&mut self, expression: &Expr) -> Kind {
        match expression {
            Expr::BoolConstant(..) => Kind::Flag,
            Expr::IntegerConstant(number, _) => {
                Kind::Number(Some(Rc::from(number.to_string())))
            }
            Expr::FloatConstant(number, _) => {
                Kind::Number(Some(Rc::from(number.to_string())))
            }
            Expr::StringConstant(text, _) => Kind::Text(Some(Rc::from(text.as_str()))),
            Expr::InterpolatedString(pieces, _) => {
                for piece in pieces {
                    self.expression(piece);
                }
                Kind::Text(None)
            }
            Expr::Array(items, _) => {
                let kinds = items.iter().map(|item| self.expression(item));
                Kind::list(kinds.fold(Kind::Never, Kind::join))
            }
            Expr::Map(map, _) => {
                for (_, value) in &map.0 {
                    self.expression(value);
                }
                Kind::Any
            }
            Expr::Unit(_) => Kind::Nothing,
            Expr::Variable(name, ..) => {
                let place = self.place(name.1.as_str());
                let kind = place.and_then(|place| self.variables.get(&place));
                kind.cloned().unwrap_or(Kind::Any)
            }
            Expr::Stmt(block) => self.block(block.statements()),
            Expr::FnCall(call, position) => self.call(call, *position),
            Expr::Dot(..) | Expr::Index(..) => self.chain(expression),
            Expr::And(sides, _) | Expr::Or(sides, _) => {
                for side in sides.iter() {
                    self.asks(side);
                }
                Kind::Flag
            }
            Expr::Coalesce(sides, _) => {
                for side in sides.iter() {
                    self.expression(side);
                }
                Kind::Any
            }
            _ => Kind::Any,
        }
    }

    fn chain(&mut self, whole: &Expr) -> Kind {
        let Some((base, steps)) = chain(whole) else { return Kind::Any };
        let variable = self.variable(base);
        let mut kind = self.expression(base);
        for (at, step) in steps.iter().enumerate() {
            kind = match step {
                Step::Name(name, position) => {
                    let found = named(&kind, name, &self.rule.parameters, self.natives);
                    self.or_mistake(found, *position)
                }
                Step::Index(index) => self.indexed(&kind, index),
                Step::Call(call, position) => {
                    let mut given = vec![kind.clone()];
                    given.extend(call.args.iter().map(|one| self.expression(one)));
                    if let Some(place) = variable {
                        self.changes(place, at, &kind, call.name.as_str(), &given);
                    }
                    self.method(call, *position, &given)
                }
            };
        }
        kind
    }

    /// Takes note of what a call puts into a list that a variable holds.
    fn changes(
        &mut self,
        place: Place,
        at: usize,
        list: &Kind,
        name: &str,
        given: &[Kind],
    ) {
        match (name, at, list, given.get(1)) {
            ("push", 0, Kind::List(of), Some(one)) => {
                let more = Kind::list(of.as_ref().clone().join(one.clone()));
                self.puts(place, more);
            }
            ("push", ..) => self.puts(place, Kind::Any),
            (name, ..) if PUTTING.contains(&name) => self.puts(place, Kind::Any),
            _ => {}
        }
    }

    fn indexed(&mut self, of: &Kind, index: &Expr) -> Kind {
        let at = self.expression(index);
        match (of, &at) {
            (Kind::Value(..) | Kind::Set, Kind::Text(Some(name))) => {
                let found = named(of, name, &self.rule.parameters, self.natives);
                self.or_mistake(found, index.start_position())
            }
            (
                Kind::Set | Kind::Any | Kind::Never,
                Kind::Text(None) | Kind::Any | Kind::Never | Kind::Value(..),
            ) => {
                self.reads_all = true;
                Kind::Any
            }
            (Kind::List(of), _) => of.as_ref().clone(),
            _ => Kind::Any,
        }
    }

    /// An operator, or a function that is called by its name alone.
    fn call(&mut self, call: &FnCallExpr, position: Position) -> Kind {
        let given: Vec<Kind> = call.args.iter().map(|one| self.expression(one)).collect();
        if call.is_operator_call() {
            return self.operator(call.name.as_str(), &given, position);
        }
        let own = self.functions.iter().position(|one| {
            one.name == call.name.as_str() && one.parameters.len() == given.len()
        });
        if let Some(own) = own {
            self.calls(own, &given);
            return self.functions.get(own).map_or(Kind::Any, |one| one.gives.clone());
        }
        self.host(call.name.as_str(), &given, position, given.len())
    }

    fn operator(&mut self, name: &str, given: &[Kind], position: Position) -> Kind {
        match given {
            [a, b] => {
                let result = operated(name, a, b);
                self.or_mistake(result, position)
            }
            [one] if name == "!" => {
                if !one.is_open() && *one != Kind::Flag {
                    let says = format!("expected yes or no, found {}", one.says());
                    self.mistake(position, says);
                }
                Kind::Flag
            }
            [Kind::Number(_)] => Kind::Number(None),
            [one @ Kind::Value(Of::Quantity(_), _)] => {
                let zero = one.clone();
                let result = operated("+", &zero, &zero);
                self.or_mistake(result, position)
            }
            _ => Kind::Any,
        }
    }

    /// A function behind a point.
    fn method(&mut self, call: &FnCallExpr, position: Position, given: &[Kind]) -> Kind {
        let takes = call.args.len();
        let own = self.functions.iter().position(|one| {
            one.name == call.name.as_str() && one.parameters.len() == takes
        });
        // A function of the script gets what stands before the point as `this`.
        if let Some(own) = own {
            self.calls(own, given.get(1..).unwrap_or(&[]));
            return self.functions.get(own).map_or(Kind::Any, |one| one.gives.clone());
        }
        if call.name.as_str() == "has"
            && let (Some(of @ Kind::Value(..)), Some(Kind::Text(Some(name)))) =
                (given.first(), given.get(1))
        {
            let found = named(of, name, &self.rule.parameters, self.natives);
            let at = call.args.first().map_or(position, Expr::start_position);
            self.or_mistake(found, at);
            return Kind::Flag;
        }
        self.host(call.name.as_str(), given, position, takes)
    }

    /// A function of the engine; `written` is how many values stand in its brackets.
    fn host(
        &mut self,
        name: &str,
        given: &[Kind],
        position: Position,
        written: usize,
    ) -> Kind {
        if self.natives.has(name, given.len()) {
            return called(name, given, &self.natives.vocabulary).unwrap_or_else(
                |(_, says)| {
                    self.mistake(position, says);
                    Kind::Any
                },
            );
        }
        let says = self.no_function(name, given.len() - written, written);
        self.mistake(position, says);
        Kind::Any
    }

    /// That no function has this name, or none of this name takes so many values.
    fn no_function(&self, name: &str, before: usize, written: usize) -> String {
        let own = self.functions.iter().filter(|one| one.name == name);
        let own = own.map(|one| one.parameters.len());
        let natives = self.natives.takes(name).into_iter();
        let natives = natives.filter_map(|takes| takes.checked_sub(before));
        let mut takes: Vec<usize> = own.chain(natives).collect();
        takes.sort_unstable();
        takes.dedup();
        if takes.is_empty() {
            let own = self.functions.iter().map(|one| one.name.as_str());
            let near = self.natives.nearest(name, own);
            return format!("no function is called `{name}`{}", hint(near));
        }
        let takes: Vec<String> = takes.iter().map(ToString::to_string).collect();
        let takes = takes.join(" or ");
        format!("`{name}` takes {takes} values in its brackets, found {written}")
    }
}
