//! How fast a log is read, and in how much memory: `cargo bench -p trimsheet-flightlog`.
//!
//! The memory is by how much the most that the process ever held has grown, where the
//! system tells: by a log of 20 thousand rows, then by one of 2 million, both made as
//! they are read, so that they take no memory themselves. The time is the shortest of
//! some runs over 2 million rows in memory, on one core. 100 MB/s are what is aimed at,
//! and no growth by the longer log.

#![expect(clippy::disallowed_methods, reason = "the clock is what a benchmark is about")]
#![expect(clippy::print_stdout, reason = "its results are for a person to read")]
#![expect(clippy::unwrap_used, reason = "a benchmark that cannot run should stop")]

use std::hint::black_box;
use std::io::{Read, Result};
use std::time::Instant;

use trimsheet_flightlog::{Channel, Column, Mapping, read};
use trimsheet_quantity::Unit;

const ROWS: u64 = 2_000_000;
const RUNS: usize = 10;

/// What a log is made of: rows that repeat but for their time.
struct Made<'a> {
    kinds: &'a [String],
    row: u64,
    rows: u64,
    line: Vec<u8>,
    given: usize,
}

impl Read for Made<'_> {
    fn read(&mut self, to: &mut [u8]) -> Result<usize> {
        if self.given == self.line.len() && self.row < self.rows {
            self.next();
        }
        let (_, mut left) = self.line.split_at(self.given);
        let count = left.read(to)?;
        self.given += count;
        Ok(count)
    }
}

impl Made<'_> {
    fn next(&mut self) {
        use std::io::Write;
        self.line.clear();
        self.given = 0;
        let at = usize::try_from(self.row).unwrap() % self.kinds.len();
        let (whole, part) = (self.row / 20, self.row % 20 * 50);
        write!(self.line, "{whole}.{part:03}").unwrap();
        self.line.extend(self.kinds.get(at).into_iter().flat_map(|kind| kind.bytes()));
        self.row += 1;
    }
}

const HEADER: &str =
    "time,pack,current,taken,speed,height,warmth,link,stick,roll,pitch\n";

fn main() {
    let mapping = mapping();
    let kinds: Vec<String> = (0..4000_u32).map(kind).collect();
    for rows in [ROWS / 100, ROWS] {
        let before = most_held();
        let log = HEADER.as_bytes().chain(made(&kinds, rows));
        black_box(read(log, &mapping)).unwrap();
        match before.zip(most_held()) {
            Some((before, after)) => {
                println!("{rows:>8} rows: {} kB more", after - before);
            }
            None => println!("{rows:>8} rows: the system does not tell what is held"),
        }
    }
    // All rows at once for the speed, so that making them is not timed.
    let mut text = HEADER.as_bytes().to_vec();
    made(&kinds, ROWS).read_to_end(&mut text).unwrap();
    let megabytes = 1e-6 * f64::from(u32::try_from(text.len()).unwrap());
    let mut least = f64::INFINITY;
    for _ in 0..RUNS {
        let start = Instant::now();
        let reading = black_box(read(black_box(text.as_slice()), &mapping)).unwrap();
        least = least.min(start.elapsed().as_secs_f64());
        assert_eq!(reading.rows.good, ROWS);
    }
    println!(
        "{ROWS:>8} rows: {megabytes:.0} MB in {least:.2} s, {:.0} MB/s",
        megabytes / least
    );
}

/// The most memory that this process ever held, in kB.
fn most_held() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().trim_end_matches("kB").trim().parse().ok()
}

fn made(kinds: &[String], rows: u64) -> Made<'_> {
    Made { kinds, row: 0, rows, line: Vec::new(), given: 0 }
}

/// All of a row but its time: a current that swings, and what follows from it.
fn kind(place: u32) -> String {
    let swing = f64::from(place % 400) / 400.0;
    let amps = 4.0 + 12.0 * swing * (1.0 - swing);
    let volts = 16.1 - 0.04 * amps;
    let (speed, height) = (14.0 + swing, 40.0 + 10.0 * swing);
    format!(
        ",{volts:.2},{amps:.2},{:.0},{speed:.1},{height:.1},{:.1},{},{:.0},{:.2},{:.2}\n",
        1500.0 * swing,
        31.0 + swing,
        60 + place % 40,
        100.0 * swing,
        swing - 0.5,
        0.5 - swing,
    )
}

fn mapping() -> Mapping {
    let column = |header: &str, unit| Column::plain(header, Unit::read(unit));
    Mapping::new(column("time", "s"))
        .with(Channel::Volts, column("pack", "V"))
        .with(Channel::Amps, column("current", "A"))
        .with(Channel::Used, column("taken", "mAh"))
        .with(Channel::Speed, column("speed", "m/s"))
        .with(Channel::Height, column("height", "m"))
        .with(Channel::Temperature, column("warmth", "°C"))
        .with(Channel::Quality, column("link", "%"))
        .with(Channel::Throttle, column("stick", "%"))
}
