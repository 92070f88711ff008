//! Compiles the scripts of the core pack, so that a check need not: reading their text took
//! a third of its time.
#![expect(
    clippy::disallowed_methods,
    reason = "a build script reads files and environment"
)]

use std::error::Error;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

use rhai::Engine;
use rhai::grain::Compiler;

#[path = "src/bounds.rs"]
mod bounds;
#[path = "../rules/walk.rs"]
mod walk;

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
    let mut list = String::from("static SHIPPED: &[Shipped] = &[\n");
    for (at, (name, script)) in named.iter().enumerate() {
        let text = fs::read_to_string(script)?;
        let head = text.split_once("\nfn ").map_or(&*text, |(head, _)| head);
        let mut bytes = Vec::new();
        for (part, text) in [("head", head), ("whole", &text)] {
            let program = compiled(&engine, text);
            let program =
                program.map_err(|error| format!("{}: {error}", script.display()))?;
            let file = out.join(format!("{at}.{part}"));
            fs::write(&file, program)?;
            bytes.push(format!(
                "{part}: include_bytes!({:?})",
                file.display().to_string()
            ));
        }
        writeln!(list, "    Shipped {{ name: {name:?}, {} }},", bytes.join(", "))?;
    }
    list.push_str("];\n");
    Ok(fs::write(out.join("shipped.rs"), list)?)
}

/// The program that a text makes, without where in the text each step of it stands.
fn compiled(engine: &Engine, text: &str) -> Result<Vec<u8>, Box<dyn Error>> {
    let program = Compiler::new().compile(&engine.compile(text)?);
    if let Some((what, place)) = program.first_unsupported() {
        return Err(format!("{what} cannot be compiled, at {place}").into());
    }
    let stripped = program.write_stripped().map_err(|error| format!("{error:?}"))?;
    Ok(stripped.artifact)
}
