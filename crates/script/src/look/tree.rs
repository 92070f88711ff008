//! The pieces of a script that are looked through: its functions, and chains of points.

use rhai::{AST, ASTFlags, ASTNode, Expr, FnCallExpr, Position, Stmt};

use super::kind::Kind;

/// A function of the script.
pub(super) struct Function {
    pub(super) name: String,
    pub(super) parameters: Vec<String>,
    pub(super) body: Vec<Stmt>,
    /// What it comes to, as far as its calls have been followed.
    pub(super) gives: Kind,
    pub(super) is_called: bool,
}

/// The functions of a script, in the order in which they stand there.
pub(super) fn functions(ast: &AST) -> Vec<Function> {
    let mut found: Vec<(Position, Position, Function)> = Vec::new();
    for one in ast.iter_fn_def() {
        let function = Function {
            name: one.name.to_string(),
            parameters: one.params.iter().map(ToString::to_string).collect(),
            body: Vec::new(),
            gives: Kind::Never,
            is_called: false,
        };
        found.push((one.body.start_position(), one.body.end_position(), function));
    }
    found.sort_by_key(|(start, ..)| order(*start));
    // The statements of functions are reached by walking only; each lies between the
    // brackets of one function, and functions do not nest.
    ast.walk(&mut |path: &[ASTNode<'_>]| {
        if let [ASTNode::Stmt(statement)] = path {
            let at = order(first(statement));
            let own = found
                .iter_mut()
                .find(|(start, end, _)| order(*start) <= at && at <= order(*end));
            if let Some((.., function)) = own {
                function.body.push((*statement).clone());
            }
        }
        true
    });
    found.into_iter().map(|(.., function)| function).collect()
}

fn order(position: Position) -> (usize, usize) {
    (position.line().unwrap_or(0), position.position().unwrap_or(0))
}

/// Where a statement begins, or at least a place inside it.
fn first(statement: &Stmt) -> Position {
    if let Stmt::Expr(expression) = statement {
        expression.start_position()
    } else {
        statement.position()
    }
}

/// One step of a chain such as `build.parts[0].has("mass")`.
pub(super) enum Step<'a> {
    Name(&'a str, Position),
    Call(&'a FnCallExpr, Position),
    Index(&'a Expr),
}

/// The beginning of a chain and its steps, which the script language nests to the right.
#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "the script language's own enum, which grows without us"
)]
pub(super) fn chain(whole: &Expr) -> Option<(&Expr, Vec<Step<'_>>)> {
    let mut steps = Vec::new();
    let (base, mut rest, mut is_dot, mut flags) = match whole {
        Expr::Dot(pair, flags, _) => (&pair.lhs, &pair.rhs, true, *flags),
        Expr::Index(pair, flags, _) => (&pair.lhs, &pair.rhs, false, *flags),
        _ => return None,
    };
    loop {
        let ends = !is_dot && flags.contains(ASTFlags::BREAK);
        match rest {
            Expr::Dot(pair, next, _) if !ends => {
                step(&pair.lhs, is_dot, &mut steps);
                (rest, is_dot, flags) = (&pair.rhs, true, *next);
            }
            Expr::Index(pair, next, _) if !ends => {
                step(&pair.lhs, is_dot, &mut steps);
                (rest, is_dot, flags) = (&pair.rhs, false, *next);
            }
            last => {
                step(last, is_dot, &mut steps);
                return Some((base, steps));
            }
        }
    }
}

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "the script language's own enum, which grows without us"
)]
fn step<'a>(one: &'a Expr, is_dot: bool, steps: &mut Vec<Step<'a>>) {
    steps.push(match one {
        Expr::Property(name, position) if is_dot => {
            Step::Name(name.2.as_str(), *position)
        }
        Expr::MethodCall(call, position) if is_dot => Step::Call(call, *position),
        index => Step::Index(index),
    });
}
