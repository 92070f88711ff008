//! Runs Markdown tests: the project's own, and a club's.
//!
//! A page reads as prose; its headings name tests; its blocks are specs, with what is
//! expected written where it is expected.
//! [`read`](fn@read) makes a [`Page`] of such a text, [`run`](fn@run) checks one [`Case`] of it, and
//! [`kinds`] says which kinds of example a rule's page has.
//!
//! # Headings
//! A heading with blocks is a test, a heading with tests below it is a group, and none
//! is both. A test is named by its headings, outermost first, joined by ` / `.
//!
//! # Blocks
//! The blocks under one heading belong to one test:
//!
//! - `trim` is spec text. All such blocks join into one file, named after the page;
//!   `trim shelf.trim` is another file of the test, and so is a block in any other
//!   language that has a file name behind it. The spec named after the page, or else
//!   the first, is checked; scripts `rules/PACK/GROUP/FAULT.rhai` judge it too.
//! - `toml` without a file name holds [`Settings`], for its heading and those below.
//! - `snapshot` holds the findings as a terminal of [`WIDTH`] columns shows them,
//!   without the closing lines, and with what could not be said only where the
//!   settings are strict. The marks of the runner are not shown.
//! - `fixed` holds the spec after its safe edits, `remedied 1` or `remedied slide the
//!   pack` after the remedy with that number, counted over all findings, or with those
//!   words in its sentence. Of a base, only entries that changed are shown; other files
//!   that changed follow under a comment with their name.
//! - `console` holds commands behind `$` and what they print. They are read and not
//!   run: running the program is for whoever has it.
//!
//! # Marks
//! `#~ stop: [rule] "part of the message"` stands at the end of a line that the
//! finding's primary label touches, or alone on the line above. The message is the
//! headline and the words under the primary label.
//! `#~ because: "…"` stands likewise at a secondary label and holds part of its words;
//! `#~ remedy: "…"` and `#~ likely: "…"` stand at the primary label.
//! `#~ cannot say: [rule]` stands at the line whose unknown value kept the rule from
//! judging, and `#~ waived: [rule]` at the line of a finding that a waiver lets pass.
//! Several marks may stand on one line. In a rule script the mark is `//~`.
//! Marks are taken out before a spec is checked.
//!
//! Every finding must be marked and every mark met. Besides, each remedy with an edit
//! is carried out: one finding of its rule must be gone, and none that is worse come.
//!
//! # Bases
//! `base = "plain.trim"` names a spec that stands before the test's own, so that an
//! example shows only what matters. An entry of the example replaces the whole entry of
//! the base that has the same word and name: `wing` replaces `wing [plan]`, and `part
//! motor: mass 90 g` replaces all of `part motor`. `model` replaces the base's whatever
//! its name. What only the base has stays.

mod asserted;
mod base;
mod case;
mod difference;
mod examples;
mod judge;
mod mark;
mod markdown;
mod page;
mod read;
mod remedies;
mod run;
mod settings;
mod subject;

pub use case::{Block, Case, Console, Name, Shown, Spec, SpecLine, Step};
pub use examples::{Examples, kinds};
pub use mark::{Claim, Mark};
pub use page::{Page, Problem};
pub use read::read;
pub use run::{Outcome, WIDTH, promises_at, run, run_under};
pub use settings::Settings;
