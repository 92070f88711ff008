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

/// The names that shipped scripts ask for behind a point, in order.
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

/// One script: a shipped one is read when it is first called, any other is compiled when
/// it is loaded.
pub(crate) struct Script {
    pub(crate) file: FileId,
    shipped: Option<&'static Shipped>,
    program: OnceCell<Option<Program<'static>>>,
    ast: OnceCell<AST>,
}

impl Script {
    pub(crate) fn shipped(file: FileId, shipped: &'static Shipped) -> Script {
        let (program, ast) = (OnceCell::new(), OnceCell::new());
        Script { file, shipped: Some(shipped), program, ast }
    }

    pub(crate) fn of(file: FileId, ast: AST) -> Script {
        let (program, ast) = (OnceCell::new(), OnceCell::from(ast));
        Script { file, shipped: None, program, ast }
    }

    pub(crate) fn is_shipped(&self) -> bool {
        self.shipped.is_some()
    }

    /// Calls a function of a shipped script; nothing where it ends in a fault, or where
    /// the script was not shipped.
    pub(crate) fn call_shipped<T: Clone + 'static>(
        &self,
        machine: &mut Vm<'_>,
        name: &str,
        given: impl FuncArgs,
    ) -> Option<Result<T, Box<EvalAltResult>>> {
        let read = || Program::read(self.shipped?.program).ok();
        let program = self.program.get_or_init(read).as_ref()?;
        let (options, mut scope) = (options(), Scope::new());
        let called =
            machine.call_fn_with_options(options, &mut scope, program, name, given);
        match called {
            Err(error) if !faults::is_not_known(&error) => None,
            ended => Some(ended),
        }
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

    fn script(text: &str, program: Vec<u8>) -> Script {
        let shipped = Shipped { name: "a/b", constants: &[], program: program.leak() };
        let file = Sources::default().add("a/b.rhai", text);
        Script::shipped(file, Box::leak(Box::new(shipped)))
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
        }
    }

    #[test]
    fn a_shipped_script_runs_as_it_was_compiled() {
        let engine = crate::bounds::engine();
        let script = script("fn check() { 8 }", written(&engine, "fn check() { 7 }"));
        let called = script.call_shipped::<i64>(&mut Vm::new(&engine), "check", ());
        assert_eq!(called.unwrap().unwrap(), 7);
    }

    #[test]
    fn a_fault_in_a_shipped_script_has_its_place_in_the_text() {
        let engine = crate::bounds::engine();
        let text = "const A = 1;\n\nfn check() {\n    throw \"worn out\";\n}\n";
        let script = script(text, written(&engine, text));
        assert!(
            script.call_shipped::<Dynamic>(&mut Vm::new(&engine), "check", ()).is_none()
        );
        let error = script.call::<Dynamic>(&engine, text, "check", ()).unwrap_err();
        assert_eq!(error.unwrap_inner().position().line(), Some(4), "{error}");
    }

    #[test]
    fn a_program_that_does_not_read_is_left_to_its_text() {
        let engine = crate::bounds::engine();
        let text = "fn check() { 7 }";
        let script = script(text, b"worn".to_vec());
        assert!(script.call_shipped::<i64>(&mut Vm::new(&engine), "check", ()).is_none());
        assert_eq!(script.call::<i64>(&engine, text, "check", ()).unwrap(), 7);
    }
}
