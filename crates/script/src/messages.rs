//! What a message of a rule may hold: plain text, on one line, in the rule's own name.
//!
//! Messages are shown in terminals, editors and pages. Whoever shows them makes them safe
//! there; a pack that tries to write more than text has a finding all the same, since
//! nobody does so by accident. What a builder has written into a spec, and a message
//! quotes, is not the rule's doing.

use rhai::{AST, ASTNode, Expr};
use trimsheet_rules::Draft;
use trimsheet_rules::source::{FileId, Finding, Level, RuleId, Sources, is_hidden};

use crate::{faults, first_line};

/// Something in a text that is more than text.
struct Unclean {
    says: &'static str,
    /// The letter that it begins with.
    letter: char,
}

fn unclean(text: &str) -> Option<Unclean> {
    let hidden = text.chars().find(|letter| is_hidden(*letter));
    if let Some(letter) = hidden {
        let says = if letter == '\n' { "a line break" } else { "a hidden character" };
        return Some(Unclean { says, letter });
    }
    let opens_tag = |at: usize| {
        let next = text.get(at + 1..).and_then(|rest| rest.chars().next());
        next.is_some_and(|next| next.is_ascii_alphabetic() || matches!(next, '/' | '!'))
    };
    if text.match_indices('<').any(|(at, _)| opens_tag(at)) {
        return Some(Unclean { says: "markup", letter: '<' });
    }
    let is_head = |level: Level| text.contains(&format!("{level}["));
    let forged = text.contains('[') && Level::ALL.into_iter().any(is_head);
    forged.then_some(Unclean { says: "the head of another finding", letter: '[' })
}

fn says(what: &str) -> String {
    format!("it writes {what} into a message, which is plain text on one line")
}

const ADVICE: &str =
    "take it out of the script, or leave the pack out and ask where it came from";

/// What is more than text in a rule's title, the first line of its script, if anything is.
pub(crate) fn in_title(id: &RuleId, file: FileId, text: &str) -> Option<Finding> {
    let first = text.lines().next().unwrap_or("");
    let what = unclean(first)?.says;
    let says = format!(
        "the rule {id} could not be loaded: it writes {what} into its title, which is plain text on one line"
    );
    let span = first_line(file, text);
    Some(Finding::new("rules/message-unclean", Level::Error, span, says).advised(ADVICE))
}

/// What acts on a terminal in the page of a rule, if anything does.
pub(crate) fn in_page(page: Option<&str>, name: &str) -> Option<String> {
    let lines = || page.into_iter().flat_map(str::lines);
    // Some editors put a mark before the first letter, which means nothing.
    let line = lines().position(|line| {
        line.chars()
            .any(|letter| is_hidden(letter) && !matches!(letter, '\t' | '\u{feff}'))
    })?;
    Some(format!("its page {name}.md holds a hidden character in line {}", line + 1))
}

/// Texts of a script that could not stand in a message.
pub(crate) fn in_script(
    id: &RuleId,
    ast: &AST,
    file: FileId,
    text: &str,
) -> Option<Finding> {
    let mut found = None;
    ast.walk(&mut |path: &[ASTNode<'_>]| {
        if let Some(ASTNode::Expr(Expr::StringConstant(constant, at))) = path.last()
            && let Some(unclean) = unclean(constant)
        {
            let span = faults::span(*at, file, text);
            let says =
                format!("the rule {id} could not be loaded: {}", says(unclean.says));
            found = Some(
                Finding::new("rules/message-unclean", Level::Error, span, says)
                    .advised(ADVICE),
            );
        }
        found.is_none()
    });
    found
}

/// What a rule put together into a message that is no plain text, if it did.
pub(crate) fn in_drafts(
    drafts: &[Draft],
    script: FileId,
    sources: &Sources,
) -> Option<String> {
    let spec_has = |letter: char| {
        let files = sources.iter().filter(|(file, one)| {
            *file != script
                && !one.path.ends_with(".rhai")
                && !one.path.ends_with(".toml")
        });
        let mut texts = files.map(|(_, file)| &*file.text);
        letter != '\n' && texts.any(|text| text.contains(letter))
    };
    let mut texts = drafts.iter().flat_map(texts);
    let found = texts.find_map(unclean).filter(|unclean| !spec_has(unclean.letter));
    found.map(|unclean| says(unclean.says))
}

fn texts(draft: &Draft) -> impl Iterator<Item = &str> {
    let labels = draft.places.iter().chain(&draft.because);
    let remedies = draft.remedies.iter().map(|remedy| remedy.says.as_str());
    std::iter::once(draft.headline.as_str())
        .chain(labels.map(|label| label.text.as_str()))
        .chain(remedies)
        .chain(draft.likely.as_deref())
}
