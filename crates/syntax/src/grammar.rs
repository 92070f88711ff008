//! From the grammar's pairs to the tree.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "the derive makes one enum of all rules, most of which never come alone"
)]

use pest::Parser;
use pest::iterators::{Pair, Pairs};
use trimsheet_source::{FileId, Span};

use crate::tree::{Amount, Arrow, Atom, AtomKind, Fact, Line, Measure, More, Tree};

/// Keeps what the derive makes, public by its nature, to this file.
mod derived {
    #[derive(pest_derive::Parser)]
    #[grammar = "../../grammar/trimsheet.pest"]
    pub(super) struct LineParser;
}
use derived::{LineParser, Rule};

/// Reads a text; whatever it holds, a tree comes back.
///
/// # Example
/// ```
/// use trimsheet_source::FileId;
/// let tree = trimsheet_syntax::parse(FileId(0), "part motor: mass 86 g\n  at 330 mm aft");
/// assert_eq!(tree.lines.len(), 2);
/// assert_eq!(tree.lines[1].facts[0].atoms.len(), 2);
/// ```
pub fn parse(file: FileId, text: &str) -> Tree {
    parse_where(file, text, |_| true)
}

/// Reads some lines of a text, as they read among all others; the rest are not in the
/// tree.
pub fn parse_where(file: FileId, text: &str, is_wanted: impl Fn(&str) -> bool) -> Tree {
    let mut lines = Vec::new();
    let mut start = 0;
    // A byte-order mark is no indentation.
    if text.starts_with('\u{FEFF}') {
        start = '\u{FEFF}'.len_utf8();
    }
    for line in text.get(start..).unwrap_or("").split('\n') {
        if is_wanted(line) {
            lines.push(read_line(Reader { file, start }, line));
        }
        start += line.len() + 1;
    }
    Tree { lines }
}

/// Where in which file the line begins that is being read.
#[derive(Clone, Copy)]
struct Reader {
    file: FileId,
    start: usize,
}

fn read_line(reader: Reader, text: &str) -> Line {
    let whole = text.strip_suffix('\r').unwrap_or(text);
    let span =
        Span { file: reader.file, start: reader.start, end: reader.start + whole.len() };
    let mut line = Line { span, head: None, facts: Vec::new(), comment: None };
    // Most lines of some files are empty, and need no grammar.
    if whole.is_empty() {
        return line;
    }
    let Ok(pairs) = LineParser::parse(Rule::line, whole) else {
        // The grammar reads every line (a property test tries to refute it); should it
        // ever not, the line is one stray, and nothing is lost.
        line.facts.push(Fact { span, atoms: vec![Atom { span, kind: AtomKind::Stray }] });
        return line;
    };
    for pair in pairs.flat_map(Pair::into_inner) {
        match pair.as_rule() {
            Rule::head => line.head = Some(reader.fact(&pair)),
            Rule::fact => line.facts.push(reader.fact(&pair)),
            Rule::comment => line.comment = Some(reader.span(&pair)),
            _ => {}
        }
    }
    line
}

impl Reader {
    fn span(self, pair: &Pair<'_, Rule>) -> Span {
        let inner = pair.as_span();
        Span {
            file: self.file,
            start: self.start + inner.start(),
            end: self.start + inner.end(),
        }
    }

    fn fact(self, pair: &Pair<'_, Rule>) -> Fact {
        let atoms: Vec<Atom> =
            pair.clone().into_inner().map(|atom| self.atom(atom)).collect();
        let whole = self.span(pair);
        // The pair may reach over white space behind the last atom; the fact does not.
        let end = atoms.last().map_or(whole.end, |last| last.span.end);
        Fact { span: Span { end, ..whole }, atoms }
    }

    fn atom(self, pair: Pair<'_, Rule>) -> Atom {
        let span = self.span(&pair);
        let kind = match pair.as_rule() {
            Rule::text => AtomKind::Text,
            Rule::date => AtomKind::Date,
            Rule::unknown => AtomKind::Unknown,
            Rule::arrow => AtomKind::Arrow(arrow(pair.as_str())),
            Rule::rule => AtomKind::Rule,
            Rule::path => AtomKind::Path,
            Rule::name => AtomKind::Name,
            Rule::left_open => AtomKind::LeftOpen,
            Rule::source => AtomKind::Source(
                pair.into_inner().map(|inner| self.atom(inner)).collect(),
            ),
            Rule::about => {
                let measure = pair.into_inner().next();
                measure.map_or(AtomKind::Stray, |inner| {
                    self.measure(inner.into_inner(), true)
                })
            }
            Rule::measure => self.measure(pair.into_inner(), false),
            _ => AtomKind::Stray,
        };
        Atom { span, kind }
    }

    fn measure(self, mut pairs: Pairs<'_, Rule>, about: bool) -> AtomKind {
        let Some(first) = pairs.next().and_then(|pair| self.amount(pair)) else {
            return AtomKind::Stray;
        };
        let mut more = More::None;
        for pair in pairs {
            let kind = pair.as_rule();
            let Some(amount) =
                pair.into_inner().next().and_then(|inner| self.amount(inner))
            else {
                // Only a tail has no amount in it: `3-way` is no number.
                return AtomKind::Stray;
            };
            more = match (kind, more) {
                (Rule::upto, _) => More::UpTo(amount),
                (Rule::spread, _) => More::Spread(amount),
                (_, More::By(mut sizes)) => {
                    sizes.push(amount);
                    More::By(sizes)
                }
                (_, _) => More::By(vec![amount]),
            };
        }
        AtomKind::Measure(Box::new(Measure { about, first, more }))
    }

    fn amount(self, pair: Pair<'_, Rule>) -> Option<Amount> {
        let mut amount = None;
        for part in pair.into_inner() {
            let span = self.span(&part);
            match (part.as_rule(), &mut amount) {
                (Rule::number, _) => {
                    amount = Some(Amount { number: span, unit: None, side: None });
                }
                (Rule::unit, Some(amount)) => amount.unit = Some(span),
                (Rule::side, Some(amount)) => amount.side = Some(span),
                _ => {}
            }
        }
        amount
    }
}

fn arrow(text: &str) -> Arrow {
    match text {
        "->" => Arrow::To,
        "<-" => Arrow::From,
        _ => Arrow::Both,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(line: &str) -> String {
        let tree = parse(FileId(0), line);
        let line_read = &tree.lines[0];
        let facts: Vec<String> = line_read
            .head
            .iter()
            .chain(&line_read.facts)
            .map(|fact| {
                fact.atoms.iter().map(|atom| show(atom, line)).collect::<Vec<_>>()
            })
            .map(|atoms| atoms.join(" "))
            .collect();
        facts.join(" | ")
    }

    fn show(atom: &Atom, line: &str) -> String {
        let text = line.get(atom.span.start..atom.span.end).unwrap();
        match &atom.kind {
            AtomKind::Measure(_) => format!("<{text}>"),
            AtomKind::Stray => format!("!{text}!"),
            AtomKind::LeftOpen => format!("!!{text}!!"),
            AtomKind::Source(inner) => {
                let inner: Vec<String> =
                    inner.iter().map(|atom| show(atom, line)).collect();
                format!("[{}]", inner.join(" "))
            }
            AtomKind::Rule => format!("rule:{text}"),
            AtomKind::Path => format!("path:{text}"),
            AtomKind::Date => format!("date:{text}"),
            AtomKind::Unknown | AtomKind::Text | AtomKind::Name | AtomKind::Arrow(_) => {
                text.into()
            }
        }
    }

    #[test]
    fn each_kind_of_value_is_read() {
        let read = kinds("part motor: kind motor; mass 86 g; at 330 mm aft 2 mm up");
        assert_eq!(
            read,
            "part motor | kind motor | mass <86 g> | at <330 mm aft> <2 mm up>"
        );
        assert_eq!(kinds("  size 9x5 in"), "size <9x5 in>");
        assert_eq!(kinds("  size 128 x 42 × 30mm"), "size <128 x 42 × 30mm>");
        assert_eq!(kinds("  mass about 36 g ± 6 g"), "mass <about 36 g ± 6 g>");
        assert_eq!(kinds("  mass 45 g +/- 12 %"), "mass <45 g +/- 12 %>");
        assert_eq!(kinds("  long 3 1/2 in .5in"), "long <3 1/2 in> <.5in>");
        assert_eq!(kinds("  band 30..75 mm aft  best ?"), "band <30..75 mm aft> best ?");
        assert_eq!(
            kinds("weighed all 2026-03-14T09:30 by KV: mass 3 g [weighed on scale-a]"),
            "weighed all date:2026-03-14T09:30 by KV | mass <3 g> [weighed on scale-a]"
        );
        assert_eq!(kinds("  signal a.b->c.d"), "signal path:a.b -> path:c.d");
        assert_eq!(
            kinds("waive balance/outside-band"),
            "waive rule:balance/outside-band"
        );
        assert_eq!(
            kinds("  draws 24 A for 20 s  17 A steady"),
            "draws <24 A> for <20 s> <17 A> steady"
        );
        assert_eq!(
            kinds("  carries 10 mohm/cell 5 oz-in"),
            "carries <10 mohm/cell> <5 oz-in>"
        );
        assert_eq!(kinds("  at 196 mm aft ± 4 mm"), "at <196 mm aft ± 4 mm>");
    }

    #[test]
    fn what_is_none_of_these_is_a_stray_up_to_the_next_space_or_mark() {
        assert_eq!(kinds("  plug 3-way, 142-158"), "plug !3-way,! !142-158!");
        assert_eq!(kinds("@@: mass 5 g"), "!@@! | mass <5 g>");
        assert_eq!(kinds("  a : b"), "a !:! b");
        assert_eq!(kinds("  mass \"540 g; at 3 mm"), "mass !!\"540 g; at 3 mm!!");
        assert_eq!(kinds("  mass 5 g [wei [x] # c"), "mass <5 g> !![wei [x] # c!!");
        assert_eq!(kinds(": x"), "x");
        assert_eq!(kinds("  mass 1,5 g"), "mass !1,5! g");
        assert_eq!(kinds("  95 aft 5 x"), "<95 aft> <5 x>");
    }
}
