//! Texts to read: a spec with nothing wrong, one with several things wrong, and pieces
//! that look like the language.

use proptest::prelude::*;

/// A spec of the meadow survey that reads without a finding.
pub(crate) const GOOD: &str = "\
# Counts the birds of wet meadows from a height that does not flush them.
model heron
    title      \"Heron, long nose\"
    revision   B 2026-02-11 by MT because \"longer nose\"
    stage      installed

datum
    origin     wing root leading-edge

instrument scale-b: resolution 2 g
assume mass [weighed on scale-b]

wing [plan]
    layout     tailless pusher
    rib        0 mm out    chord 240 mm  leading-edge 0 mm aft   [measured 2026-02-09]
    rib        520 mm out  chord 150 mm  leading-edge 190 mm aft
    band       88..104 mm aft  best 96 mm aft

bay works: reach 40..190 mm aft; width 46 mm; height 32 mm

part shell
    mass       395 g
    at         138 mm aft ± 4 mm
part servo: kind servo; mass 11 g
part servos like servo
    pair
    mass       11 g each
    at         96 mm aft 160 mm out
part servos.left: mass 12 g
part motor: kind motor; mass 74 g; at 260 mm aft
    draws      19 A for 15 s  13 A steady   [datasheet]
part camera: mass about 96 g ± 6 g; at ?; optional
    port       video  uart
part eye: mass 14 g; at 30 mm ahead inside works

pack main
    mass       214 g;  size 96 x 34 x 26 mm
    slides     10..50 mm aft inside works
    cells      3S lipo;  capacity 2.6 Ah

join video
    signal     camera.video -> eye
    supply     pack -> eye
loadout survey: fits main at 40 mm aft; with camera
weighed survey 2026-02-20 by MT: mass 986 g
";

/// A spec in which each of several lines has something wrong.
pub(crate) const FLAWED: &str = "\
model heron: stage bnch
wing
    rib   0 mm out    chord 240 g  leading-edge 0 mm aft
    rib   520 mm      chord 150 mm  leading-edge 190 mm aft
    bnd   88..104 mm aft
part shell: mass 395 gr; at 138 mm aft
part motor: mass -74 g; poles \"12
part servos: pair; mass 11 g
loadout all: with camra
part camera: mass 0 g; at 30 mm up
";

/// Pieces that look like the language, and some that do not.
const PIECES: &[&str] = &[
    "part",
    "wing",
    "mass",
    "at",
    "rib",
    "band",
    "best",
    "chord",
    "pair",
    "inside",
    "like",
    "draws",
    "steady",
    "for",
    "title",
    "include",
    "assume",
    "loadout",
    "with",
    "fits",
    "x",
    "about",
    "heron",
    "works",
    "servos.left",
    "a/b",
    "balance/outside-band",
    "prt",
    "mas",
    "5",
    "3.5",
    ".5",
    "3 1/2",
    "1/0",
    "-3",
    "g",
    "mm",
    "in",
    "°C",
    "%",
    "aft",
    "out",
    "up",
    "95 mm aft",
    "12 g",
    "10..50",
    "96 x 34 x 26 mm",
    "±",
    "+/-",
    "..",
    "×",
    "?",
    "->",
    "<-",
    "<->",
    "2026-02-11",
    "2026-02-30T25:00",
    "[plan]",
    "[weighed on scale-b]",
    "[",
    "]",
    "\"text\"",
    "\"",
    "\\",
    ";",
    ":",
    "#",
    " ",
    "  ",
    "\t",
    "\n",
    "\n",
    "\n    ",
    "\r\n",
    "\u{FEFF}",
    "\u{FFFD}",
    "\u{A0}",
    "µ",
    "²",
    "ß",
    "日本",
    "🛩",
    "@@",
    "3-way",
    "1,5",
    "--",
    "_",
    "\0",
    "\u{202E}",
];

/// Texts made of such pieces.
pub(crate) fn pieces() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(PIECES);
    let joined = ("[ ]?", piece).prop_map(|(space, piece)| format!("{space}{piece}"));
    prop::collection::vec(joined, 0..60).prop_map(|pieces| pieces.concat())
}

/// A spec with some of its text replaced by pieces.
pub(crate) fn mutated() -> impl Strategy<Value = String> {
    let change = (any::<prop::sample::Index>(), 0..9_usize, prop::sample::select(PIECES));
    let base = prop::sample::select(&[GOOD, FLAWED][..]);
    (base, prop::collection::vec(change, 1..8)).prop_map(|(base, changes)| {
        let mut letters: Vec<char> = base.chars().collect();
        for (at, gone, piece) in changes {
            let at = at.index(letters.len());
            let end = (at + gone).min(letters.len());
            letters.splice(at..end, piece.chars());
        }
        letters.into_iter().collect()
    })
}

/// Any text at all: letters of every script, bytes that were no text, pieces, mutations.
pub(crate) fn any_text() -> impl Strategy<Value = String> {
    let bytes = prop::collection::vec(any::<u8>(), 0..300);
    prop_oneof![
        any::<String>(),
        bytes.prop_map(|bytes| String::from_utf8_lossy(&bytes).into_owned()),
        pieces(),
        mutated(),
    ]
}

/// Fewer cases than usual: each reads whole specs.
pub(crate) fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}
