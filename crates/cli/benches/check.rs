//! How long a whole check of each example takes, from the start of the program to its end.
//!
//! `cargo bench -p trimsheet-cli` runs the built program 40 times on each example, and
//! prints the least and the median of the wall time. 15 ms each is what is asked for on
//! two cores; how near the lattice in it comes stands beside its own benchmark.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "a benchmark drives a process, asks the clock, and is read on a terminal"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const RUNS: usize = 40;

fn main() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut specs: Vec<PathBuf> = std::fs::read_dir(root.join("examples"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "trim"))
        .collect();
    specs.sort();
    println!("{:<24}{:>10}{:>10}", "whole process, ms", "least", "median");
    let (least, median) = times(&root, &["--version".as_ref()]);
    show("--version", least, median);
    for spec in &specs {
        let (least, median) = times(&root, &["check".as_ref(), spec.as_path()]);
        show(&spec.file_stem().unwrap().to_string_lossy(), least, median);
    }
}

fn times(root: &Path, words: &[&Path]) -> (Duration, Duration) {
    let mut all: Vec<Duration> = (0..RUNS).map(|_| once(root, words)).collect();
    all.sort();
    let (below, above) = all.split_at(RUNS / 2);
    (*below.first().unwrap(), *above.first().unwrap())
}

fn once(root: &Path, words: &[&Path]) -> Duration {
    let mut program = Command::new(env!("CARGO_BIN_EXE_trimsheet"));
    program.args(words).current_dir(root).stdout(Stdio::null()).stderr(Stdio::null());
    let start = Instant::now();
    program.status().unwrap();
    start.elapsed()
}

fn show(of: &str, least: Duration, median: Duration) {
    let ms = |time: Duration| time.as_secs_f64() * 1e3;
    println!("{of:<24}{:>10.1}{:>10.1}", ms(least), ms(median));
}
