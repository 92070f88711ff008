//! Scripts made ready to run: those that are shipped were compiled when this was built.
//!
//! What anybody else wrote is walked as its text reads, under every bound of the sandbox:
//! the machine that runs compiled programs counts their steps, but does not hold a text or
//! a list to its length while it grows. What is shipped was tried out by a test, and runs
//! on that machine. Its program leaves out, for the sake of reading it fast, where in its
//! text each step stands; one that ends in a fault is run again from its text, which the
//! fault then points into.

use std::cell::OnceCell;

use rhai::grain::{Program, Vm};
use rhai::{
    AST, CallFnOptions, Dynamic, Engine, EvalAltResult, FuncArgs, ParseError, Scope,
};
use trimsheet_rules::source::FileId;

use crate::faults;

include!(concat!(env!("OUT_DIR"), "/shipped.rs"));

/// A shipped script, as the build script of this crate compiled it.
pub(crate) struct Shipped {
    /// Its path in the core pack, without its ending.
    name: &'static str,
    /// What it states before its functions, in the order of its text.
    constants: &'static [(&'static str, Plain)],
    program: &'static [u8],
}

/// The value of a constant.
enum Plain {
    Flag(bool),
    Number(i64),
    Text(&'static str),
    List(&'static [Plain]),
    Map(&'static [(&'static str, Plain)]),
}

impl From<&Plain> for Dynamic {
    fn from(value: &Plain) -> Dynamic {
        match value {
            Plain::Flag(flag) => Dynamic::from(*flag),
            Plain::Number(number) => Dynamic::from(*number),
            Plain::Text(text) => (*text).into(),
            Plain::List(list) => {
                Dynamic::from_array(list.iter().map(Into::into).collect())
            }
            Plain::Map(map) => {
                let map = map.iter().map(|(name, value)| ((*name).into(), value.into()));
                Dynamic::from_map(map.collect())
            }
        }
    }
}

/// The names that shipped scripts ask for most behind a point, in order.
pub(crate) fn asked() -> &'static [&'static str] {
    ASKED
}

/// The shipped script of this name.
pub(crate) fn shipped(name: &str) -> Option<&'static Shipped> {
    let at = SHIPPED.binary_search_by(|one| one.name.cmp(name)).ok()?;
    SHIPPED.get(at)
}

impl Shipped {
    /// The constants that it states, by their names, in the order of its text.
    pub(crate) fn constants(&self) -> Vec<(String, Dynamic)> {
        let all = self.constants.iter();
        all.map(|(name, value)| ((*name).to_owned(), value.into())).collect()
    }
}

/// The constants that a script states, by their names, in the order of its text.
pub(crate) fn constants(ast: &AST) -> Vec<(String, Dynamic)> {
    let constants = ast.iter_literal_variables(true, false);
    constants.map(|(name, _, value)| (name.to_owned(), value)).collect()
}

/// What runs shipped scripts. What one call has looked up is there for the next one, and
/// so is the script: a rule is called for one thing after the other.
pub(crate) struct Runner<'a> {
    engine: &'a Engine,
    machine: Vm<'a>,
    last: Option<(&'static Shipped, Program<'static>)>,
}

impl<'a> Runner<'a> {
    pub(crate) fn new(engine: &'a Engine) -> Runner<'a> {
        Runner { engine, machine: Vm::new(engine), last: None }
    }

    /// Calls a function of a shipped script; nothing where it ends in a fault.
    pub(crate) fn call<T: Clone + 'static>(
        &mut self,
        shipped: &'static Shipped,
        name: &str,
        given: impl FuncArgs,
    ) -> Option<Result<T, Box<EvalAltResult>>> {
        if !matches!(self.last, Some((last, _)) if std::ptr::eq(last, shipped)) {
            // The one before goes first, so that its room can be had again.
            self.last = None;
            let program = Program::read(shipped.program).ok()?;
            self.last = Some((shipped, program));
        }
        let (_, program) = self.last.as_ref()?;
        let (options, mut scope) = (options(), Scope::new());
        let called =
            self.machine.call_fn_with_options(options, &mut scope, program, name, given);
        // A call that did not come to its end may have left something behind.
        if called.is_err() {
            self.machine = Vm::new(self.engine);
        }
        match called {
            Err(error) if !faults::is_not_known(&error) => None,
            ended => Some(ended),
        }
    }
}

/// One script: of a shipped one the text is read only where it ends in a fault, any other
/// is compiled when it is loaded.
pub(crate) struct Script {
    pub(crate) file: FileId,
    pub(crate) shipped: Option<&'static Shipped>,
    ast: OnceCell<AST>,
}

impl Script {
    pub(crate) fn shipped(file: FileId, shipped: &'static Shipped) -> Script {
        Script { file, shipped: Some(shipped), ast: OnceCell::new() }
    }

    pub(crate) fn of(file: FileId, ast: AST) -> Script {
        Script { file, shipped: None, ast: OnceCell::from(ast) }
    }

    /// Calls a function of the script as its text reads.
    ///
    /// # Errors
    /// How it ended where it did not come to its end, with its place in the text.
    pub(crate) fn call<T: Clone + 'static>(
        &self,
        engine: &Engine,
        text: &str,
        name: &str,
        given: impl FuncArgs,
    ) -> Result<T, Box<EvalAltResult>> {
        let ast = self.ast(engine, text)?;
        engine.call_fn_with_options(options(), &mut Scope::new(), ast, name, given)
    }

    fn ast(&self, engine: &Engine, text: &str) -> Result<&AST, ParseError> {
        if let Some(ast) = self.ast.get() {
            return Ok(ast);
        }
        let ast = engine.compile(text)?;
        Ok(self.ast.get_or_init(|| ast))
    }
}

/// The constants of a script were read before, and are not worked out again.
fn options() -> CallFnOptions<'static> {
    CallFnOptions::new().eval_ast(false).rewind_scope(true)
}

#[cfg(test)]
mod tests {
    use rhai::grain::Compiler;
    use trimsheet_rules::source::Sources;

    use super::*;

    fn compiled(engine: &Engine, text: &str) -> Program<'static> {
        Compiler::new().compile(&engine.compile(text).unwrap())
    }

    fn written(engine: &Engine, text: &str) -> Vec<u8> {
        compiled(engine, text).write_stripped().unwrap().artifact
    }

    /// The functions of a program, whose order in it is left to chance.
    fn functions(program: &Program<'_>) -> Vec<String> {
        let functions = program.functions().iter();
        let mut named: Vec<String> =
            functions.map(|one| one.disassemble(program)).collect();
        named.sort();
        named
    }

    fn shipped_as(program: Vec<u8>) -> &'static Shipped {
        let shipped = Shipped { name: "a/b", constants: &[], program: program.leak() };
        Box::leak(Box::new(shipped))
    }

    fn script(text: &str, program: Vec<u8>) -> (Script, &'static Shipped) {
        let file = Sources::default().add("a/b.rhai", text);
        let shipped = shipped_as(program);
        (Script::shipped(file, shipped), shipped)
    }

    #[test]
    fn every_shipped_program_has_the_functions_and_constants_of_its_text() {
        let engine = crate::bounds::engine();
        let core = trimsheet_rules::core();
        let scripts = core.files.iter().filter(|file| file.path.ends_with(".rhai"));
        assert_eq!(scripts.clone().count(), SHIPPED.len());
        for script in scripts {
            let name = script.path.strip_suffix(".rhai").unwrap();
            let shipped = shipped(name).unwrap();
            let program = Program::read(shipped.program).unwrap();
            let own = compiled(&engine, &script.text);
            assert_eq!(functions(&program), functions(&own), "{name}");
            let stated = constants(&engine.compile(&*script.text).unwrap());
            let shipped = shipped.constants();
            assert_eq!(format!("{shipped:?}"), format!("{stated:?}"), "{name}");
            let kinds = |all: &[(String, Dynamic)]| -> Vec<&'static str> {
                all.iter().map(|(_, value)| value.type_name()).collect()
            };
            assert_eq!(kinds(&shipped), kinds(&stated), "{name}");
        }
    }

    #[test]
    fn a_shipped_script_runs_as_it_was_compiled() {
        let engine = crate::bounds::engine();
        let shipped = shipped_as(written(&engine, "fn check() { 7 }"));
        let mut runner = Runner::new(&engine);
        for _ in 0..2 {
            let called = runner.call::<i64>(shipped, "check", ());
            assert_eq!(called.unwrap().unwrap(), 7);
        }
        let other = shipped_as(written(&engine, "fn check() { 9 }"));
        assert_eq!(runner.call::<i64>(other, "check", ()).unwrap().unwrap(), 9);
    }

    #[test]
    fn a_fault_in_a_shipped_script_has_its_place_in_the_text() {
        let engine = crate::bounds::engine();
        let text = "const A = 1;\n\nfn check() {\n    throw \"worn out\";\n}\n";
        let (script, shipped) = script(text, written(&engine, text));
        assert!(Runner::new(&engine).call::<Dynamic>(shipped, "check", ()).is_none());
        let error = script.call::<Dynamic>(&engine, text, "check", ()).unwrap_err();
        assert_eq!(error.unwrap_inner().position().line(), Some(4), "{error}");
    }

    #[test]
    fn a_program_that_does_not_read_is_left_to_its_text() {
        let engine = crate::bounds::engine();
        let text = "fn check() { 7 }";
        let (script, shipped) = script(text, b"worn".to_vec());
        assert!(Runner::new(&engine).call::<i64>(shipped, "check", ()).is_none());
        assert_eq!(script.call::<i64>(&engine, text, "check", ()).unwrap(), 7);
    }
}
