//! What can be asked for: one definition feeds the reading, the help and the manual.

use std::num::NonZero;

use clap::{Args, Parser, Subcommand, ValueEnum};
use trimsheet_project::model::{Date, Stage};
use trimsheet_project::source::Level;

/// Checks the build specs of small model aircraft.
///
/// A spec is a text file, NAME.trim: what the aircraft is made of, where everything is,
/// and how it is meant to be set up. trimsheet reads it, works out what follows, and
/// says on which line something is wrong, by how much, because of what, and what to do.
#[derive(Parser)]
#[command(name = "trimsheet", version, max_term_width = 92, after_help = CAUTION)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

const CAUTION: &str = "A check is no release to fly. It sees what is written, not the aircraft: \
inspect it, and follow your local rules.";

#[derive(Subcommand)]
pub(crate) enum Command {
    /// Checks specs, and every spec in folders
    #[command(after_help = CHECK_EXAMPLES)]
    Check(Check),
    /// Prints the page of a rule: what it checks, why, and what to do
    #[command(after_help = EXPLAIN_EXAMPLES)]
    Explain {
        /// The name of the rule, as it stands in a finding
        #[arg(value_name = "RULE")]
        rule: String,
        /// Shows what is set for this spec
        #[arg(long = "for", value_name = "FILE")]
        file: Option<String>,
        #[command(flatten)]
        under: Under,
    },
    /// Lists rules, begins one, tests a pack of them, keeps the lock
    #[command(subcommand, after_help = RULES_EXAMPLES)]
    Rules(RulesCommand),
    /// Prints the mass and balance sheet of a spec: everything aboard, and where it
    /// balances
    #[command(after_help = BALANCE_EXAMPLES)]
    Balance(Balance),
    /// Prints how far the control surfaces of a spec go, and what their servos do for it
    #[command(after_help = THROWS_EXAMPLES)]
    Throws(Throws),
    /// Prints how a spec is wired: who is joined to whom by which leads, which ports are
    /// free, who feeds whom
    #[command(after_help = WIRING_EXAMPLES)]
    Wiring(Wiring),
    /// Prints the cards of a spec: what a person does with it step by step, from the build
    /// to the landing, and which steps are done
    #[command(after_help = CARDS_EXAMPLES)]
    Cards(Cards),
    /// Reads a flight log by the spec's `log`, and prints what was flown beside the plan
    #[command(after_help = DEBRIEF_EXAMPLES)]
    Debrief(Debrief),
    /// Signs that a step was done: the record, with all that it rests on, joins NAME.proof
    #[command(after_help = SIGNOFF_EXAMPLES)]
    Signoff(Signoff),
    /// Prints where a model departs from the reference spec that it follows
    #[command(after_help = AS_BUILT_EXAMPLES)]
    AsBuilt(AsBuilt),
    /// Lets the findings of an old model pass until a day, while what they read is as it is
    #[command(after_help = BASELINE_EXAMPLES)]
    Baseline(Baseline),
    /// Copies a spec with all that it hangs on, to give away: without what is private, and
    /// photographs without where they were taken
    #[command(after_help = BUNDLE_EXAMPLES)]
    Bundle(Bundle),
    /// Tries changes of a spec without writing them: what moves, what comes and goes
    #[command(after_help = TRY_EXAMPLES)]
    Try(Try),
    /// Begins a spec: writes NAME.trim in the working folder, to be filled in at the bench
    #[command(after_help = NEW_EXAMPLES)]
    New(New),
    /// Prints a script with which a shell completes the words of this program
    #[command(after_help = COMPLETIONS_EXAMPLES)]
    Completions {
        /// The shell that is to complete
        #[arg(value_name = "SHELL")]
        shell: clap_complete::Shell,
    },
    /// Prints the manual page of this program, or writes those of all its commands
    #[command(after_help = MANUAL_EXAMPLES)]
    Manual {
        /// Writes a page for the program and for each command into this folder, which is
        /// made if it is not there
        #[arg(long, value_name = "FOLDER")]
        into: Option<String>,
    },
}

const BALANCE_EXAMPLES: &str = "Examples:
  trimsheet balance whinchat.trim
  trimsheet balance whinchat.trim --loadout ferry
  trimsheet balance whinchat.trim --format csv > whinchat.csv    for a spreadsheet
  trimsheet balance whinchat.trim --sweep \"grey at 30..130 mm aft\"
  trimsheet balance whinchat.trim --sweep \"ballast nose 0..45 g\" --loadout ferry

Exit status: 0 the sheet was made, 1 lines of the spec could not be read and the sheet is
of the rest, 2 could not run.";

const THROWS_EXAMPLES: &str = "Examples:
  trimsheet throws whinchat.trim
  trimsheet throws whinchat.trim --surface elevons
  trimsheet throws whinchat.trim --gauge gauge.svg    to print and hold to the edge

Print a gauge at 100 %, not fitted to the page, and measure its bar: 50 mm.
Set throws with the propeller off.
Nothing is overwritten. Exit status: 0 it was made, 1 lines of the spec could not be read
and it is of the rest, or a gauge was left out, 2 could not run.";

const WIRING_EXAMPLES: &str = "Examples:
  trimsheet wiring whinchat.trim
  trimsheet wiring whinchat.trim --format csv > wiring.csv    for a spreadsheet
  trimsheet wiring whinchat.trim --draw wiring.svg            to print and hang up

Take the propeller off, and check polarity with a meter, before a pack is connected.
Nothing is overwritten. Exit status: 0 it was made, 1 lines of the spec could not be read
and it is of the rest, 2 could not run.";

const CARDS_EXAMPLES: &str = "Examples:
  trimsheet cards whinchat.trim
  trimsheet cards whinchat.trim home --open              only what is not done yet
  trimsheet cards whinchat.trim field --format html > field.html    to print on A5
  trimsheet cards whinchat.trim label --format html > label.html    to glue in, A7
  trimsheet cards whinchat.trim bill --format csv > bill.csv        for a spreadsheet

A card is a reminder, no release to fly: inspect the aircraft, and follow your local rules.
Nothing is written. Exit status: 0 it was made, 1 lines of the spec could not be read and
it is of the rest, 2 could not run.";

const DEBRIEF_EXAMPLES: &str = "Examples:
  trimsheet debrief whinchat.trim logs/whinchat.csv --loadout survey
  trimsheet debrief whinchat.trim - --loadout survey < flight.csv    what is piped in
  trimsheet debrief whinchat.trim logs/whinchat.csv --format csv > debrief.csv

The log is any table with a header, of any length; rows that cannot be used are counted
and named. Nothing is written. Exit status: 0 it was made, 1 lines of the spec could not be
read and it is of the rest, 2 could not run.";

const SIGNOFF_EXAMPLES: &str = "Examples:
  trimsheet signoff whinchat.trim rotation --by RT --reading \"propeller off\"
  trimsheet signoff whinchat.trim weighed --loadout ferry --by RT --date 2026-11-20
      --reading \"mass 1352 g [weighed on bench-scale]\" --note \"with the wet covering\"

Only who saw it signs, and a reading is what an instrument showed: nothing is made up here.
A later change of anything that the record rests on opens it again.
Put `*.proof merge=union` into .gitattributes, and two people's records merge by themselves.
Exit status: 0 it was signed, 2 it was not, and the proof is as it was.";

const AS_BUILT_EXAMPLES: &str = "Examples:
  trimsheet as-built linnet.trim
  trimsheet as-built linnet.trim --format csv > linnet.csv    for a spreadsheet

The model names its reference: follows \"linnet-drawings.trim\".
Nothing is written. Exit status: 0 it was made, 1 lines of the spec could not be read and it
is of the rest, 2 could not run.";

const BASELINE_EXAMPLES: &str = "Examples:
  trimsheet baseline whinchat.trim --by RT --until 2027-03-31
  trimsheet baseline whinchat.trim --prune      takes out what hides nothing any more

For a model that flew before it had a spec: what is found today is written into NAME.proof,
by rule, entry and facts, and counts again when a fact changes or the day has passed.
What no waiver may let pass is not let pass here either.
Exit status: 0 it was written or nothing was to do, 2 could not run, and all is as it was.";

const BUNDLE_EXAMPLES: &str = "Examples:
  trimsheet bundle whinchat.trim --into whinchat.zip
  trimsheet bundle whinchat.trim --into for-robin          a folder
  trimsheet bundle whinchat.trim --into whinchat.zip --with-proof --without-photos

Copied are the spec, what it includes, the packs that it names, rules.lock and its photos;
left out are private facts, settings that were saved, flight logs, and what cameras write
beside the pixels. Remarks, notes and what a photo shows nobody looks through but you.
Originals are only read, and nothing is overwritten.
Exit status: 0 it was written, 2 it was not, and nothing was.";

const TRY_EXAMPLES: &str = "Examples:
  trimsheet try whinchat.trim \"grey at 60 mm aft\"              in every loadout that fits it
  trimsheet try whinchat.trim \"grey at 60 mm aft\" --loadout ferry
  trimsheet try whinchat.trim \"servos 20 mm further ahead\" \"without camera\"
  trimsheet try whinchat.trim \"ballast nose 30 g\"              0 g takes it out
  trimsheet try whinchat.trim \"motor mass 64 g\"                any fact of any entry

Each change is a line of the language, and nothing is written.
Exit status: 0 no finding at or above error came, 1 some came, 2 could not run.";

const NEW_EXAMPLES: &str = "Examples:
  trimsheet new linnet                           a tailless pusher
  trimsheet new linnet --layout conventional     a wing and a tail behind it

Nothing is overwritten. Exit status: 0 it was written, 2 it was not.";

const COMPLETIONS_EXAMPLES: &str = "Example:
  trimsheet completions bash > ~/.local/share/bash-completion/completions/trimsheet";

const MANUAL_EXAMPLES: &str = "Examples:
  trimsheet manual | man -l -
  trimsheet manual --into ~/.local/share/man/man1";

const CHECK_EXAMPLES: &str = "Examples:
  trimsheet check whinchat.trim
  trimsheet check whinchat.trim --stage ready    what if it were ready for the field?
  trimsheet check examples --fail-at warning     every spec in a folder, strictly
  trimsheet check examples --format json         for another program
  trimsheet check examples --format sarif > trimsheet.sarif

Exit status, in every format: 0 nothing at or above the level, 1 findings, 2 could not
run, or not for every file.";

const EXPLAIN_EXAMPLES: &str = "Example:
  trimsheet explain balance/outside-band
  trimsheet explain balance/outside-band --for whinchat.trim    with what is set there";

#[derive(Args)]
pub(crate) struct Check {
    /// Spec files, or folders that hold some
    #[arg(required = true, value_name = "PATH")]
    pub(crate) paths: Vec<String>,
    /// The least serious finding that makes the check fail: note, warning, error or stop
    #[arg(long, value_name = "LEVEL", default_value = "error", value_parser = level)]
    pub(crate) fail_at: Level,
    #[command(flatten)]
    pub(crate) under: Under,
    /// How many files are looked at at once; the answer does not depend on it
    #[arg(long, value_name = "COUNT")]
    pub(crate) threads: Option<NonZero<usize>>,
    /// How to show what was found
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: CheckFormat,
}

/// The forms in which findings go out.
#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum CheckFormat {
    /// For people
    Text,
    /// For editors: a line for each finding, path:line:column first
    Lines,
    /// For programs, in a form of our own
    Json,
    /// For programs, in the OASIS standard SARIF 2.1.0
    Sarif,
    /// For servers that run checks: a suite for each spec, a case for each rule that ran
    Junit,
    /// For a code host: workflow commands that mark the lines of a change
    Annotations,
}

impl CheckFormat {
    /// Whether it has a place for files that could not be checked.
    pub(crate) fn names_troubles(self) -> bool {
        match self {
            CheckFormat::Text | CheckFormat::Lines | CheckFormat::Json => false,
            CheckFormat::Sarif | CheckFormat::Junit | CheckFormat::Annotations => true,
        }
    }
}

/// What is signed, and by whom.
#[derive(Args)]
pub(crate) struct Signoff {
    /// The spec, NAME.trim
    #[arg(value_name = "FILE")]
    pub(crate) file: String,
    /// The step that was done, as `trimsheet cards` names it
    #[arg(value_name = "STEP")]
    pub(crate) step: String,
    /// Who did it
    #[arg(long, value_name = "WHO")]
    pub(crate) by: String,
    /// The loadout, for a step that is asked of each
    #[arg(long, value_name = "LOADOUT")]
    pub(crate) loadout: Option<String>,
    /// A fact of the record, as a spec writes it; may be said again
    #[arg(long, value_name = "FACT")]
    pub(crate) reading: Vec<String>,
    /// A remark for people
    #[arg(long, value_name = "TEXT")]
    pub(crate) note: Option<String>,
    /// The day on which it was done, if not today in UTC
    #[arg(long, value_name = "DAY", value_parser = crate::rules::day)]
    pub(crate) date: Option<Date>,
    /// Adds a pack of rules: its folder, or its name among your own; may be said again
    #[arg(long, value_name = "PACK")]
    pub(crate) rules: Vec<String>,
}

/// Which model is compared with its reference.
#[derive(Args)]
pub(crate) struct AsBuilt {
    /// The spec, NAME.trim
    #[arg(value_name = "FILE")]
    pub(crate) file: String,
    /// How to show it
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: TableFormat,
    #[command(flatten)]
    pub(crate) under: Under,
}

/// How a page is shown that has no need of more.
#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum TableFormat {
    /// For people
    Text,
    /// For a spreadsheet
    Csv,
}

/// What is copied, and where to.
#[derive(Args)]
pub(crate) struct Bundle {
    /// The spec file
    #[arg(value_name = "FILE")]
    pub(crate) file: String,
    /// The folder to make, or the zip to write; it must not be there yet
    #[arg(long, value_name = "FOLDER|NAME.zip")]
    pub(crate) into: String,
    /// Takes the records of what was done along, NAME.proof
    #[arg(long)]
    pub(crate) with_proof: bool,
    /// Leaves all photographs out
    #[arg(long)]
    pub(crate) without_photos: bool,
    /// The day that stands in the bundle, if not today in UTC
    #[arg(long, value_name = "DAY", value_parser = crate::rules::day)]
    pub(crate) date: Option<Date>,
}

/// Which findings are let pass, by whom and until when.
#[derive(Args)]
pub(crate) struct Baseline {
    /// The spec, NAME.trim
    #[arg(value_name = "FILE")]
    pub(crate) file: String,
    /// Who answers for it
    #[arg(long, value_name = "WHO", requires = "until")]
    pub(crate) by: Option<String>,
    /// The last day on which they pass
    #[arg(long, value_name = "DAY", requires = "by", value_parser = crate::rules::day)]
    pub(crate) until: Option<Date>,
    /// Only takes out the lines that hide nothing any more
    #[arg(long, conflicts_with_all = ["by", "until"], required_unless_present_any = ["by", "until"])]
    pub(crate) prune: bool,
    #[command(flatten)]
    pub(crate) under: Under,
}

/// Under which rules, and as if when.
#[derive(Args, Clone, Default)]
pub(crate) struct Under {
    /// Adds a pack of rules: its folder, or its name among your own; may be said again
    #[arg(long, value_name = "PACK")]
    pub(crate) rules: Vec<String>,
    /// Judges as if the build had reached this stage: planned, bench, installed, balanced,
    /// ready or flown
    #[arg(long, value_name = "STAGE", value_parser = stage)]
    pub(crate) stage: Option<Stage>,
    /// Judges as if it were this day, and not today in UTC
    #[arg(long, value_name = "DAY", value_parser = crate::rules::day)]
    pub(crate) date: Option<Date>,
}

/// What can be asked of the rules.
#[derive(Subcommand)]
pub(crate) enum RulesCommand {
    /// Lists the rules that apply: levels by stage, layer, parameters and who set them
    #[command(after_help = LIST_EXAMPLES)]
    List(List),
    /// Begins a rule: a script and its page, and the pack if there is none yet
    #[command(after_help = NEW_RULE_EXAMPLES)]
    New {
        /// The group of the rule and the fault that it finds, as in wing/no-lock
        #[arg(value_name = "GROUP/FAULT")]
        rule: String,
        /// The folder of the pack; the pack goes by its name
        #[arg(long, value_name = "FOLDER", default_value = ".")]
        pack: String,
    },
    /// Runs the examples of a pack, and shows what was expected against what was found
    #[command(after_help = TEST_EXAMPLES)]
    Test {
        /// The folder of the pack
        #[arg(value_name = "PACK")]
        pack: String,
        /// Runs only pages whose path holds this text
        #[arg(long, value_name = "TEXT")]
        only: Option<String>,
        /// Writes what was found into the pages, where blocks show whole texts; marks are
        /// never rewritten
        #[arg(long)]
        accept: bool,
    },
    /// Shows what a rule reads of a spec, value by value, and where each stands
    #[command(after_help = TRACE_EXAMPLES)]
    Trace {
        /// The spec file
        #[arg(value_name = "FILE")]
        file: String,
        /// The name of the rule, as it stands in a finding
        #[arg(value_name = "RULE")]
        rule: String,
        #[command(flatten)]
        under: Under,
    },
    /// Shows which findings the packs as they are now would bring and take; writes the lock
    /// only with --write
    #[command(after_help = UPDATE_EXAMPLES)]
    Update {
        /// A spec, or the folder whose specs share a lock
        #[arg(value_name = "PATH")]
        path: String,
        /// Writes rules.lock beside the specs
        #[arg(long)]
        write: bool,
    },
}

const RULES_EXAMPLES: &str = "Examples:
  trimsheet rules list whinchat.trim
  trimsheet rules new wing/no-lock --pack rules/elm-hill

rules/FIRST-RULE.md goes from an empty folder to a rule that a club shares.";

const LIST_EXAMPLES: &str = "Examples:
  trimsheet rules list                              the built-in rules
  trimsheet rules list whinchat.trim                all that apply to a spec, as set there
  trimsheet rules list --rules rules/elm-hill --format json";

const NEW_RULE_EXAMPLES: &str = "Example:
  trimsheet rules new wing/no-lock --pack rules/elm-hill

Writes rules/elm-hill/wing/no-lock.rhai and .md, and pack.toml if the folder has none yet.
Nothing is overwritten.";

const TEST_EXAMPLES: &str = "Examples:
  trimsheet rules test rules/elm-hill
  trimsheet rules test rules/elm-hill --only wing/no-lock --accept

Exit status: 0 all is as expected, 1 something is not, 2 could not run.";

const TRACE_EXAMPLES: &str = "Example:
  trimsheet rules trace whinchat.trim balance/outside-band";

const UPDATE_EXAMPLES: &str = "Examples:
  trimsheet rules update examples            what would change?
  trimsheet rules update examples --write    and pin it";

#[derive(Args)]
pub(crate) struct List {
    /// Lists what applies to this spec, as it is set there
    #[arg(value_name = "FILE")]
    pub(crate) file: Option<String>,
    #[command(flatten)]
    pub(crate) under: Under,
    /// How to show the list
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: Format,
}

/// What is to be tried.
#[derive(Args)]
pub(crate) struct Try {
    /// The spec file
    #[arg(value_name = "FILE")]
    pub(crate) file: String,
    /// What to change, a phrase of the language each, in quotes; one upon the other
    #[arg(required = true, value_name = "CHANGE")]
    pub(crate) changes: Vec<String>,
    /// Changes this loadout only, where the phrase is about loadouts
    #[arg(long, value_name = "NAME")]
    pub(crate) loadout: Option<String>,
    #[command(flatten)]
    pub(crate) under: Under,
    /// How to show what moves
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: Format,
}

#[derive(Args)]
pub(crate) struct Balance {
    /// The spec file
    #[arg(value_name = "FILE")]
    pub(crate) file: String,
    /// Shows this loadout only; without it, every loadout of the spec
    #[arg(long, value_name = "NAME")]
    pub(crate) loadout: Option<String>,
    /// Tries a change at many values, and shows a table and a chart: a phrase of the
    /// language with a range in it, such as "main at 30..75 mm aft"
    #[arg(long, value_name = "CHANGE")]
    pub(crate) sweep: Option<String>,
    #[command(flatten)]
    pub(crate) under: Under,
    /// How to show the sheet
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: SheetFormat,
}

#[derive(Args)]
pub(crate) struct Throws {
    /// The spec file
    #[arg(value_name = "FILE")]
    pub(crate) file: String,
    /// Shows this surface only; without it, every surface of the spec
    #[arg(long, value_name = "NAME")]
    pub(crate) surface: Option<String>,
    /// Writes gauges into this file, which must not be there yet: a drawing to print at its
    /// true size, FILE.svg; what one sheet cannot hold goes to FILE-2.svg and so on
    #[arg(long, value_name = "FILE.svg", conflicts_with = "format")]
    pub(crate) gauge: Option<String>,
    #[command(flatten)]
    pub(crate) under: Under,
    /// How to show them
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: SheetFormat,
}

#[derive(Args)]
pub(crate) struct Wiring {
    /// The spec file
    #[arg(value_name = "FILE")]
    pub(crate) file: String,
    /// Draws the wiring into this file, which must not be there yet: FILE.svg, one sheet of
    /// A4, or of the next larger paper on which it can be read
    #[arg(long, value_name = "FILE.svg", conflicts_with = "format")]
    pub(crate) draw: Option<String>,
    #[command(flatten)]
    pub(crate) under: Under,
    /// How to show the sheet
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: SheetFormat,
}

#[derive(Args)]
pub(crate) struct Cards {
    /// The spec file
    #[arg(value_name = "FILE")]
    pub(crate) file: String,
    /// Prints this card only, or a paper that goes along; without it, all cards in the order
    /// of a build
    #[arg(value_name = "CARD")]
    pub(crate) card: Option<Paper>,
    /// Leaves out the steps that a signed record proves
    #[arg(long)]
    pub(crate) open: bool,
    /// How to show them
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: CardsFormat,
    /// Prints them as if it were this day, and not today in UTC
    #[arg(long, value_name = "DAY", value_parser = crate::rules::day)]
    pub(crate) date: Option<Date>,
    /// Adds a pack of rules: its folder, or its name among your own; may be said again
    #[arg(long, value_name = "PACK")]
    pub(crate) rules: Vec<String>,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Paper {
    /// What is marked, cut and proved before the glue
    Build,
    /// First power and set-up, on the bench
    Bench,
    /// What is looked at before leaving for the field
    Home,
    /// What is done at the field before flying
    Field,
    /// What belongs to the first flight
    FirstFlight,
    /// What is done after landing
    After,
    /// A label for the hatch: loadouts, throws and alarms, on strips of A7
    Label,
    /// What goes to the field
    Packing,
    /// The bill of materials: every part and every pack
    Bill,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum CardsFormat {
    /// For people, in a terminal
    Text,
    /// A document to print
    Html,
    /// For a spreadsheet: the bill alone
    Csv,
}

#[derive(Args)]
pub(crate) struct Debrief {
    /// The spec file
    #[arg(value_name = "FILE")]
    pub(crate) file: String,
    /// The flight log: a table with a header; - reads what is piped in
    #[arg(value_name = "LOG")]
    pub(crate) log: String,
    /// Reads the log as this `log` of the spec says; without it, as the only one
    #[arg(long = "log", value_name = "NAME")]
    pub(crate) named: Option<String>,
    /// The loadout that was flown; without it, the only one of the spec
    #[arg(long, value_name = "NAME")]
    pub(crate) loadout: Option<String>,
    #[command(flatten)]
    pub(crate) under: Under,
    /// How to show it
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub(crate) format: SheetFormat,
}

#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum SheetFormat {
    /// For people, at the bench
    Text,
    /// For programs
    Json,
    /// For a spreadsheet
    Csv,
}

#[derive(Args)]
pub(crate) struct New {
    /// What the aircraft is called: small letters, digits and hyphens, a letter first
    #[arg(value_name = "NAME")]
    pub(crate) name: String,
    /// Where the tail is
    #[arg(long, value_name = "LAYOUT", default_value = "tailless")]
    pub(crate) layout: Layout,
}

#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum Layout {
    /// No tail: the wing itself is reflexed
    Tailless,
    /// A tail behind the wing
    Conventional,
    /// A small plane ahead of the wing
    Canard,
}

#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum Format {
    /// For people
    Text,
    /// For programs
    Json,
}

fn level(text: &str) -> Result<Level, String> {
    let all = Level::ALL.map(Level::word).join(", ");
    Level::from_word(text).ok_or_else(|| format!("expected one of {all}"))
}

fn stage(text: &str) -> Result<Stage, String> {
    let all = Stage::WORDS.join(", ");
    Stage::from_word(text).ok_or_else(|| format!("expected one of {all}"))
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_arguments_agree_with_each_other() {
        super::Arguments::command().debug_assert();
    }
}
