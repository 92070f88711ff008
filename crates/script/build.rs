//! Compiles the scripts of the core pack, so that a check need not: reading their text took
//! a third of its time.
#![expect(
    clippy::disallowed_methods,
    reason = "a build script reads files and environment"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

use rhai::grain::Compiler;
use rhai::{AST, ASTNode, Dynamic, Expr};

#[path = "src/bounds.rs"]
mod bounds;
#[path = "../rules/walk.rs"]
mod walk;

/// How many scripts have to ask for a name so that the engine is told of it beforehand.
const FEW: usize = 3;

fn main() -> Result<(), Box<dyn Error>> {
    let core = Path::new(&env::var("CARGO_MANIFEST_DIR")?).join("../../rules/core");
    let out = PathBuf::from(env::var("OUT_DIR")?);
    let files = walk::files(&core)?.into_iter();
    let mut named = Vec::new();
    for script in files.filter(|file| file.extension().is_some_and(|end| end == "rhai")) {
        let inside = script.strip_prefix(&core)?.with_extension("");
        named.push((inside.display().to_string().replace('\\', "/"), script));
    }
    named.sort();
    let engine = bounds::engine();
    let mut asked: BTreeMap<String, BTreeSet<usize>> = BTreeMap::new();
    let mut list = String::from("static SHIPPED: &[Shipped] = &[\n");
    for (at, (name, script)) in named.iter().enumerate() {
        let text = fs::read_to_string(script)?;
        let at_fault = |error| format!("{}: {error}", script.display());
        let ast = engine.compile(&text).map_err(|error| at_fault(error.into()))?;
        let file = out.join(at.to_string());
        fs::write(&file, compiled(&ast).map_err(at_fault)?)?;
        let constants = stated(&ast).map_err(at_fault)?;
        ast.walk(&mut |path| {
            if let Some(ASTNode::Expr(Expr::Property(name, _))) = path.last() {
                asked.entry(name.2.to_string()).or_default().insert(at);
            }
            true
        });
        let file = file.display().to_string();
        writeln!(
            list,
            "    Shipped {{ name: {name:?}, constants: &[{constants}], program: include_bytes!({file:?}) }},"
        )?;
    }
    list.push_str("];\n");
    // A name has to be asked for by a few to be worth its place.
    asked.retain(|_, scripts| FEW <= scripts.len());
    let asked: Vec<String> = asked.into_keys().collect();
    writeln!(list, "static ASKED: &[&str] = &{asked:?};")?;
    Ok(fs::write(out.join("shipped.rs"), list)?)
}

/// The constants of a script, in the order of its text, as Rust writes them.
fn stated(ast: &AST) -> Result<String, Box<dyn Error>> {
    let mut list = String::new();
    for (name, _, value) in ast.iter_literal_variables(true, false) {
        write!(list, "({name:?}, {}), ", plain(&value)?)?;
    }
    Ok(list)
}

/// One value of a constant, as Rust writes it.
fn plain(value: &Dynamic) -> Result<String, Box<dyn Error>> {
    if let Ok(flag) = value.as_bool() {
        return Ok(format!("Plain::Flag({flag})"));
    }
    if let Ok(number) = value.as_int() {
        return Ok(format!("Plain::Number({number})"));
    }
    if let Ok(text) = value.as_immutable_string_ref() {
        return Ok(format!("Plain::Text({:?})", text.as_str()));
    }
    if let Ok(list) = value.as_array_ref() {
        let list: Result<Vec<String>, _> = list.iter().map(plain).collect();
        return Ok(format!("Plain::List(&[{}])", list?.join(", ")));
    }
    let map = value.as_map_ref().map_err(|kind| format!("a constant is of {kind}"))?;
    let map = map.iter().map(|(name, value)| {
        plain(value).map(|value| format!("({:?}, {value})", name.as_str()))
    });
    let map: Result<Vec<String>, _> = map.collect();
    Ok(format!("Plain::Map(&[{}])", map?.join(", ")))
}

/// The program that a script makes, without where in its text each step of it stands.
fn compiled(ast: &AST) -> Result<Vec<u8>, Box<dyn Error>> {
    let program = Compiler::new().compile(ast);
    if let Some((what, place)) = program.first_unsupported() {
        return Err(format!("{what} cannot be compiled, at {place}").into());
    }
    let stripped = program.write_stripped().map_err(|error| format!("{error:?}"))?;
    Ok(stripped.artifact)
}
