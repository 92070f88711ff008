//! The page that lies on top: what the bundle is, what is in it and what is not.

use trimsheet_model::Date;

use super::Bundle;

/// What the page is called.
pub(super) const NAME: &str = "README.txt";

const CAUTION: &str = "\
A check is no release to fly. It sees what is written, not the aircraft that you build:
weigh it, balance it, inspect it, and follow your local rules. Numbers that were weighed
or measured are of the aircraft that this was written for; yours has its own.
";

/// The page as text; `made` says what each paper is that was made of the copy.
pub(super) fn page(bundle: &Bundle, made: &[(&str, &str)], day: Date) -> String {
    let spec = &bundle.spec;
    let mut page = format!("{}\n{}\n\n", spec, "=".repeat(spec.chars().count()));
    page += &format!(
        "The build spec of a model aircraft, with what it hangs on, for another builder.\n\
         Bundled on {day} by trimsheet {}, under its built-in rules of {}.\n",
        env!("CARGO_PKG_VERSION"),
        bundle.core
    );
    page += &format!("\n  trimsheet check {spec}\n\n{CAUTION}\nIn it\n");
    let mut line = |text: &str| page += &format!("  {text}\n");
    line(spec);
    bundle.texts.iter().for_each(|file| line(file));
    bundle.packs.iter().for_each(|pack| line(&format!("rules: the pack {pack}")));
    made.iter().for_each(|(name, what)| line(&format!("{name}: {what}")));
    match bundle.photos.len() {
        0 => {}
        1 => line("1 photograph, its pixels and nothing else"),
        count => line(&format!("{count} photographs, their pixels and nothing else")),
    }
    page += "\nNot in it\n";
    let mut line = |text: &str| page += &format!("  {text}\n");
    for taken in &bundle.taken {
        line(&format!("{}, which is private", taken.what));
    }
    if bundle.records > 0 {
        line("signed records that rest on that");
    }
    bundle.left.iter().for_each(|left| line(left));
    line("flight logs");
    page
}
