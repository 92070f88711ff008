//! What is said about a spec as it is read, and what counts as not known.
#![expect(clippy::unwrap_used, reason = "helpers of tests")]

use trimsheet_model::source::{Finding, Sources};
use trimsheet_model::{Build, Document, Kind, Unknown, resolve};

fn read(text: &str) -> (Build, Vec<Finding>, Sources) {
    let mut sources = Sources::default();
    let file = sources.add("test.trim", text);
    let tree = trimsheet_model::syntax::parse(file, text);
    let (build, findings) =
        resolve(&[Document { file, tree, shelves: Vec::new() }], &sources);
    (build, findings, sources)
}

/// Each finding as `line: rule: headline`.
fn said(text: &str) -> Vec<String> {
    let (_, findings, sources) = read(text);
    findings
        .iter()
        .map(|finding| {
            let line = sources.place(finding.primary.span).line;
            format!("{line}: {}: {}", finding.rule, finding.headline)
        })
        .collect()
}

#[test]
fn every_example_of_the_vocabulary_reads_without_a_finding() {
    for row in trimsheet_model::vocabulary::table::ROWS {
        let text = match row.within.first() {
            None => row.example.to_owned(),
            Some(&"[]") => format!("part x: mass 3 g {}", row.example),
            Some(within) => {
                let mut words = within.split(' ');
                let entry = words.next().unwrap();
                let kind =
                    words.next().map_or(String::new(), |kind| format!("kind {kind}; "));
                format!("{entry} x\n    {kind}{}", row.example)
            }
        };
        let found: Vec<String> = said(&text)
            .into_iter()
            .filter(|finding| !finding.contains("read/unknown-name"))
            .filter(|finding| !finding.contains("expected `:`"))
            .collect();
        let headless = matches!(row.within.first(), Some(&"datum"));
        assert!(headless || found.is_empty(), "{text}\n{found:#?}");
    }
}

#[test]
fn show() {
    for text in [
        "part motor: mass 86 g at 330 mm aft\n",
        "part motor: mass 300 mm; at 95 aft; kind moter\n",
        "prt motor: mass 36 gr\n    at 3 mm left\nzzz: a\n   mass 30 g\n",
        "wing\n   rib 0 mm out chord 300 g leading-edge 0 mm aft\n   band 142..158 mm aft best @@ 3\n  bnd 3 mm\n",
        "part a: mass \"540 g; at 196 mm aft\n",
        "part a like b: mass 3 g\npart b like a\n",
        "part a like c: mass 3,5 g [weighted]\nmass 3 g\n",
        "part a: mass -3 g; count 3 x; revision C\n x 3",
        "  x 3\n: foo",
        "",
        "loadout x: fits main at 3 mm aft; with camra\npart camera: draws 3 A; draws 3 A for 3 g\n",
    ] {
        println!("{text}");
        for line in said(text) {
            println!("   {line}");
        }
    }
    let (build, _, _) = read("part a: mass ?; size 3 x 3 mm\n");
    let mass = build.entries[0].fact("mass").unwrap().first().unwrap();
    assert!(matches!(mass.kind, Kind::Unknown(Unknown::Written)));
}
