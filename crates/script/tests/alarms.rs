//! What loading calls a mistake does fail when it runs: there is no false alarm.
#![expect(clippy::indexing_slicing, reason = "helpers of tests")]

#[path = "helpers/running.rs"]
mod running;

use std::collections::BTreeSet;

use trimsheet_script::rules::judge;

use self::running::{SPEC, facts, loaded, rule};

/// The same row of numbers on every machine.
struct Dice(u64);

impl Dice {
    fn below(&mut self, count: usize) -> usize {
        // The multiplier and the increment of Knuth's MMIX, from memory.
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap_or(0) % count
    }

    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[self.below(of.len())]
    }

    fn expression(&mut self, deep: usize) -> String {
        if deep == 0 {
            return self.one(THINGS).to_owned();
        }
        let a = self.expression(deep - 1);
        match self.below(7) {
            0 | 1 => format!("{a}.{}", self.one(NAMES)),
            2 => format!("({a} {} {})", self.one(SIGNS), self.expression(deep - 1)),
            3 => format!("{a}.{}({})", self.one(CALLS), self.expression(deep - 1)),
            4 => format!("{}({a})", self.one(ALONE)),
            5 => format!("{a}.has(\"{}\")", self.one(NAMES)),
            _ => format!("[{a}, {}][0]", self.expression(deep - 1)),
        }
    }
}

const THINGS: &[&str] = &[
    "loadout",
    "build",
    "build.wing",
    "build.parts[0]",
    "loadout.mass",
    "loadout.balance",
    "loadout.balance.x",
    "build.wing.band",
    "build.wing.ribs[0]",
    "build.values[0]",
    "4",
    "2.5",
    "3.mm",
    "2.kg",
    "true",
    "\"plan\"",
    "\"motor\"",
    "set",
    "set.spare",
    "[]",
    "loadout.corners",
    "build.wing.planform",
    "build.parts[0].kind",
    "build.parts[0].at",
];
const NAMES: &[&str] = &[
    "mass",
    "x",
    "band",
    "aft",
    "best",
    "source",
    "kind",
    "name",
    "title",
    "word",
    "spread",
    "exact",
    "rough",
    "magnitude",
    "with_spread",
    "area",
    "mean_chord",
    "chord",
    "at",
    "len",
    "spare",
    "mm",
    "g",
    "low",
    "forward",
    "is_known",
    "says",
    "corners",
    "balance",
    "wing",
    "optional",
    "contributors",
    "planform",
    "layout",
    "entry",
    "fact",
    "inside",
    "side",
];
/// Without `&&` and `||`, behind which a mistake need not be come to.
const SIGNS: &[&str] = &["+", "-", "*", "/", "==", "!=", "<", ">="];
const CALLS: &[&str] = &[
    "surely_above",
    "possibly_below",
    "narrowed",
    "crowding",
    "of_kind",
    "has_most",
    "share_of_chord",
    "stall_speed",
    "ways_into",
    "push",
    "contains",
    "label",
    "lable",
];
const ALONE: &[&str] = &["quantity", "-", "!", "finding", "len", "help", "hlep"];

#[test]
fn what_loading_calls_a_mistake_does_fail_when_it_runs() {
    let mut dice = Dice(20_260_301);
    let bodies: Vec<String> = (0..6_000)
        .map(|_| {
            let deep = 1 + dice.below(3);
            dice.expression(deep)
        })
        .collect();
    // What a script catches is its own business: loading says nothing of it.
    let end = "}\nfn help(it) { it";
    let caught = |body: &String| {
        rule(&format!(
            "try {{ let it = {body}; finding(loadout, \"ran\"); }} catch {{ }}\n{end}"
        ))
    };
    let plain = |body: &String| rule(&format!("let it = {body};\n{end}"));
    let named = |texts: Vec<String>| -> Vec<(String, String)> {
        let names = (0..texts.len()).map(|n| format!("a/n{n}"));
        names.zip(texts).collect()
    };
    let borrowed = |all: &[(String, String)]| -> Vec<(String, String)> { all.to_vec() };
    let (plain, caught) = (
        borrowed(&named(bodies.iter().map(plain).collect())),
        borrowed(&named(bodies.iter().map(caught).collect())),
    );
    let by_text = |all: &[(String, String)]| {
        let all: Vec<(&str, &str)> =
            all.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
        loaded(&all)
    };
    let (first, _) = by_text(&plain);
    // A word that something never is fails no run: the rule only never fires.
    let silent = first.findings.iter().filter(|one| one.headline.contains("it is never"));
    let silent = silent.filter_map(|one| one.headline.split(' ').nth(2));
    let silent: BTreeSet<String> = silent.map(str::to_owned).collect();
    let good: BTreeSet<String> =
        first.rules.iter().map(|rule| rule.id.to_string()).collect();
    let (second, mut sources) = by_text(&caught);
    let facts = facts(SPEC, &mut sources);
    let ran = judge(&second.rules, &second.packs, &facts, |rule, about, settings| {
        second.scripts.machine().call(rule, about, &facts, settings, &sources)
    });
    let ran: BTreeSet<String> =
        ran.findings.iter().map(|finding| finding.rule.to_string()).collect();
    let mut refused = 0;
    for (index, body) in bodies.iter().enumerate() {
        let id = format!("club/a/n{index}");
        if silent.contains(&id) {
            continue;
        }
        refused += usize::from(!good.contains(&id));
        assert!(good.contains(&id) || !ran.contains(&id), "a false alarm: {body}");
    }
    // That it is no empty promise: there is plenty of both.
    assert!(refused > 1_500, "{refused} refused");
    assert!(ran.len() > 400, "{} ran", ran.len());
}
