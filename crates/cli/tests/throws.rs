//! `trimsheet throws` as a builder uses it; a gauge is drawn as a printer would, and
//! measured.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "these tests read files and drive a process"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};

/// 30 of 50 mm is a triangle of 30, 40 and 50, 14 of 50 mm one of 14, 48 and 50.
const SPEC: &str = "model teal
    title   \"Teal, wet meadows\"
wing [plan]
    layout  tailless pusher
    rib     0 mm out    chord 260 mm  leading-edge 0 mm aft
    rib     560 mm out  chord 190 mm  leading-edge 180 mm aft
part servos: kind servo; pair; mass 11 g each [weighed]; at 150 mm aft 200 mm out [measured]
    turns   45 deg per 450 us
surface elevons: pair; on wing; driven by servos
    hinge-to-edge  root 50 mm  tip 34 mm
    throw          full 30 mm up 14 mm down at root from flat
    linkage        arm 10 mm horn 10 mm
";

/// A folder of its own, with the spec in it.
fn folder(name: &str, spec: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("throws").join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("teal.trim"), spec).unwrap();
    folder
}

fn throws(folder: &Path, words: &[&str]) -> Output {
    throws_of("teal.trim", folder, words)
}

fn throws_of(spec: &str, folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trimsheet"))
        .args(["throws", spec])
        .args(words)
        .current_dir(folder)
        .env("COLUMNS", "80")
        .output()
        .unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn complained(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn the_card_says_readings_servo_and_pulse() {
    let output = throws(&folder("card", SPEC), &[]);
    assert_eq!(output.status.code(), Some(0), "{}", complained(&output));
    let page = said(&output);
    for part in ["37.5 mm", "36.9 deg", "82 %", "45 deg each way", "an estimate"] {
        assert!(page.contains(part), "{part}\n{page}");
    }
    assert!(page.contains("Set throws with the propeller off."), "{page}");
    assert!(page.lines().all(|line| line.chars().count() <= 80), "{page}");
}

#[test]
fn the_card_that_the_readme_shows_is_what_its_command_prints() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let output = throws_of("examples/whinchat.trim", &root, &[]);
    let readme = std::fs::read_to_string(root.join("README.md")).unwrap();
    let (_, rest) = readme.split_once("── elevons").unwrap();
    let (block, _) = rest.split_once("```").unwrap();
    let page = said(&output);
    assert!(page.contains(&format!("── elevons{block}")), "{page}");
}

#[test]
fn programs_and_spreadsheets_get_all_digits() {
    let folder = folder("forms", SPEC);
    let json = said(&throws(&folder, &["--format", "json"]));
    let read: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(read["form"], "trimsheet-throws");
    let up = &read["surfaces"][0]["rates"][0]["ways"][0];
    assert_eq!(up["upright_rule"]["value"], 37.5);
    let table = said(&throws(&folder, &["--format", "csv"]));
    assert_eq!(table.lines().count(), 3, "{table}");
    assert!(table.lines().nth(1).unwrap().starts_with("elevons,full,up,root,flat,"));
}

#[test]
fn a_surface_that_is_not_there_is_named_with_the_nearest() {
    let output = throws(&folder("names", SPEC), &["--surface", "elevon"]);
    assert_eq!(output.status.code(), Some(2));
    let words = complained(&output);
    assert!(words.contains("no surface of teal.trim is called elevon"), "{words}");
    assert!(words.contains("the nearest is elevons"), "{words}");
}

#[test]
fn a_gauge_is_written_once_and_never_over_another() {
    let folder = folder("once", SPEC);
    let output = throws(&folder, &["--gauge", "gauge.svg"]);
    assert_eq!(output.status.code(), Some(0), "{}", complained(&output));
    assert!(said(&output).contains("wrote gauge.svg"));
    std::fs::write(folder.join("gauge.svg"), "mine").unwrap();
    let output = throws(&folder, &["--gauge", "gauge.svg"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(complained(&output).contains("is there already"));
    assert_eq!(std::fs::read_to_string(folder.join("gauge.svg")).unwrap(), "mine");
    let output = throws(&folder, &["--gauge", "teal.trim"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(complained(&output).contains("ends in .svg"));
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 2, "nothing else is left");
}

#[test]
fn what_one_sheet_cannot_hold_goes_to_the_next() {
    let surface = SPEC.split("surface elevons").nth(1).unwrap();
    let more = ["b", "c", "d", "e"].map(|name| format!("surface {name}{surface}"));
    let folder = folder("many", &format!("{SPEC}{}", more.concat()));
    let output = throws(&folder, &["--gauge", "gauge.svg"]);
    assert_eq!(output.status.code(), Some(0), "{}", complained(&output));
    assert!(said(&output).contains("wrote gauge-2.svg"), "{}", said(&output));
    let second = std::fs::read_to_string(folder.join("gauge-2.svg")).unwrap();
    assert!(second.contains("sheet 2 of"), "{second}");
}

#[test]
fn a_gauge_of_nothing_says_why() {
    let spec = SPEC.replace("    hinge-to-edge  root 50 mm  tip 34 mm\n", "");
    let folder = folder("nothing", &spec);
    let output = throws(&folder, &["--gauge", "gauge.svg"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(complained(&output).contains("says no hinge-to-edge"));
    assert!(!folder.join("gauge.svg").exists());
}

/// A gauge as it is printed at 600 dots per inch. Words are left out: no font is needed.
struct Print {
    pixels: Pixmap,
}

const DOTS_PER_MM: f64 = 600.0 / 25.4;

/// How far a line of a print may lie from where it should, in mm.
const TRUE_TO: f64 = 0.2;

impl Print {
    fn of(path: &Path) -> Print {
        let bytes = std::fs::read(path).unwrap();
        let tree = Tree::from_data(&bytes, &Options::default()).unwrap();
        // A length of an SVG in mm is taken at 96 units to the inch.
        let scale = 600.0 / 96.0;
        let size = tree.size().to_int_size().scale_by(scale).unwrap();
        let mut pixels = Pixmap::new(size.width(), size.height()).unwrap();
        let turn = Transform::from_scale(scale, scale);
        resvg::render(&tree, turn, &mut pixels.as_mut());
        Print { pixels }
    }

    fn is_dark(&self, x: u32, y: u32) -> bool {
        self.pixels.pixel(x, y).is_some_and(|pixel| pixel.red() < 128)
    }

    /// The dark stretches among some pixels: the middle and the thickness of each, in mm.
    fn stretches(pixels: impl Iterator<Item = (u32, bool)>) -> Vec<(f64, f64)> {
        let mut all: Vec<(u32, u32)> = Vec::new();
        for (at, _) in pixels.filter(|(_, is_dark)| *is_dark) {
            match all.last_mut().filter(|(_, end)| *end == at) {
                Some((_, end)) => *end = at + 1,
                None => all.push((at, at + 1)),
            }
        }
        let mm = |dots: f64| dots / DOTS_PER_MM;
        let stretch = |(from, to): (u32, u32)| {
            let (from, to) = (f64::from(from), f64::from(to));
            (mm((from + to) / 2.0), mm(to - from))
        };
        all.into_iter().map(stretch).collect()
    }

    /// Down a column at `x`, between two heights.
    fn column(&self, x: f64, from: f64, to: f64) -> Vec<(f64, f64)> {
        let [x, from, to] = [x, from, to].map(dots);
        Self::stretches((from..to).map(|y| (y, self.is_dark(x, y))))
    }

    /// Along a row at `y`, between two places.
    fn row(&self, y: f64, from: f64, to: f64) -> Vec<(f64, f64)> {
        let [y, from, to] = [y, from, to].map(dots);
        Self::stretches((from..to).map(|x| (x, self.is_dark(x, y))))
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "places on a sheet are small and positive"
)]
fn dots(mm: f64) -> u32 {
    (mm * DOTS_PER_MM).round() as u32
}

/// How far each line lies above the thickest, which is flat, in mm: the highest first.
fn above_flat(lines: &[(f64, f64)]) -> Vec<f64> {
    let thickest = lines.iter().max_by(|one, two| one.1.total_cmp(&two.1)).unwrap();
    lines.iter().map(|(at, _)| thickest.0 - at).collect()
}

#[track_caller]
fn measures(found: &[f64], expected: &[f64]) {
    assert_eq!(found.len(), expected.len(), "{found:?}, expected {expected:?}");
    for (found, expected) in found.iter().zip(expected) {
        assert!((found - expected).abs() < TRUE_TO, "{found} mm, expected {expected} mm");
    }
}

fn printed(name: &str, spec: &str) -> Print {
    let folder = folder(name, spec);
    let output = throws(&folder, &["--gauge", "gauge.svg"]);
    assert_eq!(output.status.code(), Some(0), "{}", complained(&output));
    Print::of(&folder.join("gauge.svg"))
}

/// Where things lie on the sheet, in mm: the bar's ticks, the hinge, the strip's lines,
/// and between which heights the lines of the first gauge are.
const BAR: f64 = 20.2;
const HINGE: f64 = 12.5;
const STRIP: f64 = HINGE + 50.0 + 5.0;
const GAUGE: (f64, f64) = (60.0, 115.0);

#[test]
fn a_printed_gauge_measures_right_to_two_tenths_of_a_millimetre() {
    let print = printed("print", SPEC);
    // The bar by which a builder sees whether the printer kept to the size.
    let ticks = print.row(BAR, 1.0, 100.0);
    assert_eq!(ticks.len(), 2, "{ticks:?}");
    measures(&[ticks[1].0 - ticks[0].0], &[50.0]);
    // The strip, at the height of the edge.
    let lines = print.column(STRIP + 7.0, GAUGE.0, GAUGE.1);
    measures(&above_flat(&lines), &[30.0, 0.0, -14.0]);
    // The fan, 25 mm behind the hinge: 25 x 30/40 up and 25 x 14/48 down.
    let fan = print.column(HINGE + 25.0, GAUGE.0, GAUGE.1);
    let sizes: Vec<f64> = fan.iter().map(|(at, _)| *at).collect();
    assert_eq!(sizes.len(), 3, "{fan:?}");
    measures(&[sizes[1] - sizes[0], sizes[2] - sizes[1]], &[18.75, 25.0 * 14.0 / 48.0]);
}

#[test]
fn a_printed_gauge_shows_the_reflex_and_throws_from_it() {
    let spec = SPEC
        .replace("from flat", "from reflex")
        .replace("    linkage", "    reflex         7 mm up at tip by rod\n    linkage");
    let print = printed("reflex", &spec);
    // 7 of 34 mm at the tip are 10.294 of 50 mm at the root; 30 up and 14 down of that.
    let lines = print.column(STRIP + 0.5, GAUGE.0, GAUGE.1);
    measures(&above_flat(&lines), &[40.294, 10.294, 0.0, -3.706]);
}
