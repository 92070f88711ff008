//! From what a phrase asks for to edits of the spec's text.
//!
//! What the phrase does not say of a fact stays as it was: the side of a part whose place
//! along the length is changed, the way in which lead is fixed. New values are marked as
//! planned, unless the phrase says where they come from. What was weighed is written over
//! too: nothing here reaches the file.
//!
//! No line is put in between lines, so every other line keeps its number.

use trimsheet_model::quantity::{Axis, Quantity, Side};
use trimsheet_model::vocabulary::{Need, Row, Slot};
use trimsheet_model::{Entry, EntryId, Fact, Kind, Value};
use trimsheet_source::{Edit, FileId, Finding, Span};
use trimsheet_syntax::{AtomKind, Tree, parse};

use super::Rewritten;
use super::phrase::{Wish, expected};
use crate::check::Opened;

/// What a change does to the text.
#[derive(Debug, Default)]
pub(super) struct Edits {
    pub(super) edits: Vec<Edit>,
    pub(super) lines: Vec<Rewritten>,
    pub(super) notes: Vec<String>,
}

pub(super) type Written<T> = Result<T, Box<Finding>>;

/// Turns a wish into edits of the spec.
pub(super) struct Editor<'a> {
    pub(super) opened: &'a Opened,
    file: FileId,
    tree: Tree,
    /// The loadout that alone is meant, if one is.
    pub(super) loadout: Option<&'a str>,
    out: Edits,
}

/// A value that is to stand in a slot.
#[derive(Clone)]
pub(super) struct New {
    pub(super) slot: &'static str,
    pub(super) text: String,
    /// Where the phrase says that it comes from.
    pub(super) source: Option<String>,
}

/// Whom an edit is made for.
#[derive(Clone, Copy)]
pub(super) struct Whose<'a> {
    pub(super) entry: &'a Entry,
    /// Whether it is one half of a pair, and the other is to stay as it is.
    alone: bool,
}

impl<'a> Editor<'a> {
    pub(super) fn new(
        opened: &'a Opened,
        path: &str,
        loadout: Option<&'a str>,
    ) -> Editor<'a> {
        let named = || opened.sources.iter().filter(|(_, file)| file.path == path).last();
        let whole = opened.facts.build.whole.map(|whole| whole.file);
        let file = whole.or_else(|| named().map(|(id, _)| id)).unwrap_or(FileId(0));
        let text = opened.sources.file(file).map_or("", |file| &*file.text);
        let tree = parse(file, text);
        Editor { opened, file, tree, loadout, out: Edits::default() }
    }

    pub(super) fn edits(mut self, wish: &Wish) -> Written<Edits> {
        match wish {
            Wish::Says(ids, fact) => self.says(ids, fact)?,
            Wish::Like(ids, name) => self.like(ids, name),
            Wish::Further(ids, by, span) => self.further(ids, by, *span)?,
            Wish::OfLoadouts(fact) => self.of_loadouts(fact)?,
        }
        self.out.lines.sort_by_key(|line| line.line);
        Ok(self.out)
    }

    pub(super) fn entry(&self, id: EntryId) -> Option<&'a Entry> {
        self.opened.facts.build.entry(id)
    }

    pub(super) fn whose(&self, id: EntryId, ids: &[EntryId]) -> Option<Whose<'a>> {
        let entry = self.entry(id)?;
        Some(Whose { entry, alone: entry.half.is_some() && ids.len() == 1 })
    }

    /// A fact of an entry, or of both halves of a pair.
    fn says(&mut self, ids: &[EntryId], fact: &Fact) -> Written<()> {
        let news = self.news(fact);
        let place = fact.slot("place").filter(|_| fact.row.word == "at");
        for id in ids {
            let Some(whose) = self.whose(*id, ids) else { continue };
            match (whose.entry.row.word, place) {
                ("pack", Some(place)) => self.pack_at(*id, fact, place)?,
                ("part" | "assembly", Some(place)) => {
                    self.part_at(*id, whose, fact, place)?;
                }
                ("loadout", _) => self.of_loadout(*id, fact)?,
                (..) => {
                    let old = kept(whose.entry, fact, &self.opened.sources);
                    self.write(whose, fact.row, old, &news);
                }
            }
        }
        Ok(())
    }

    fn like(&mut self, ids: &[EntryId], name: &str) {
        for id in ids {
            let Some(entry) = self.entry(*id) else { continue };
            let head = &entry.head;
            match (head.slot("like"), head.first()) {
                (Some(like), _) => self.put(&entry.title(), like.span, name),
                (None, Some(own)) => {
                    self.put(&entry.title(), own.span.after(), &format!(" like {name}"));
                }
                (None, None) => {}
            }
        }
    }

    /// What the phrase says in each slot.
    pub(super) fn news(&self, fact: &Fact) -> Vec<New> {
        let values = fact.values.iter();
        let new = values.map(|(slot, value)| New {
            slot,
            text: self.opened.text(value.span).to_owned(),
            source: value
                .source
                .as_ref()
                .map(|source| self.opened.text(source.span).to_owned()),
        });
        new.collect()
    }

    /// Writes a fact anew with what is new in it, or puts it in where it is not said.
    pub(super) fn write(
        &mut self,
        whose: Whose<'a>,
        row: &'static Row,
        old: Option<&Fact>,
        news: &[New],
    ) {
        let own = old.filter(|old| self.is_own(whose, old));
        let text = self.merged(row, own, news);
        match own {
            Some(own) => self.put(&whose.title(), own.span, &text),
            None => self.add(whose, &text),
        }
    }

    /// Whether a fact stands in this spec, and speaks of nobody else.
    fn is_own(&self, whose: Whose<'_>, fact: &Fact) -> bool {
        let stands = self.tree.lines.iter().flat_map(|line| &line.facts);
        let is_there = fact.span.file == self.file
            && stands.into_iter().any(|one| one.span == fact.span);
        let other = || {
            let pair = whose.entry.name.rsplit_once('.').map_or("", |(pair, _)| pair);
            let halves = self.opened.called(pair).into_iter();
            let mut others = halves.filter_map(|id| self.entry(id));
            others.any(|half| {
                half.name != whose.entry.name
                    && half.facts.iter().any(|one| one.span == fact.span)
            })
        };
        is_there && fact.via.is_none() && !(whose.alone && other())
    }

    /// The text of a fact with new values in the place of old ones.
    pub(super) fn merged(&self, row: &Row, old: Option<&Fact>, news: &[New]) -> String {
        let mut pieces: Vec<Piece> = Vec::new();
        let mut done: Vec<&str> = Vec::new();
        for (slot, value) in old.iter().flat_map(|old| &old.values) {
            if !news.iter().any(|new| new.slot == *slot) {
                pieces.push(self.old_piece(row, slot, value, old.map(|old| old.span)));
            } else if !done.contains(slot) {
                done.push(slot);
                pieces.extend(of_slot(row, news, slot));
            }
        }
        for new in news.iter().filter(|new| !done.contains(&new.slot)) {
            pieces.push(Piece::new(row, new));
        }
        written(row.word, &pieces)
    }

    fn old_piece(
        &self,
        row: &Row,
        slot: &str,
        value: &Value,
        fact: Option<Span>,
    ) -> Piece {
        let source = value.source.as_ref().map(|source| source.span);
        let within = source.zip(fact).is_some_and(|(source, fact)| {
            source.file == fact.file
                && fact.start <= source.start
                && source.end <= fact.end
        });
        let measured = slot_of(row, slot).is_some_and(|slot| slot.takes.is_measured());
        Piece {
            text: led(row, slot, self.opened.text(value.span)),
            source: source.map(|source| self.opened.text(source).to_owned()),
            is_said: within,
            measured,
        }
    }

    /// Replaces a stretch of the spec, once however often it is asked for.
    pub(super) fn put(&mut self, of: &str, span: Span, text: &str) {
        let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let before = words(self.opened.text(span));
        let edit = Edit { span, text: text.to_owned() };
        if before == words(text) || self.out.edits.contains(&edit) {
            return;
        }
        let line = self.opened.sources.place(span).line;
        self.out.edits.push(edit);
        let (of, after) = (of.to_owned(), words(text));
        self.out.lines.push(Rewritten { of, line, before, after });
    }

    /// Takes a fact out.
    pub(super) fn take_out(&mut self, entry: &Entry, fact: &Fact) {
        self.put(&entry.title(), fact.span, "");
    }

    /// Puts a fact in behind the head of an entry.
    fn add(&mut self, whose: Whose<'a>, fact: &str) {
        let entry = whose.entry;
        let is_listed = entry.row.word == "loadout" && entry.head.values.is_empty();
        if is_listed {
            return self.add_entry(&entry.title(), &format!("loadout {LISTED}: {fact}"));
        }
        let head =
            if whose.alone { self.own_head(&entry.name) } else { Some(entry.span()) };
        match head {
            Some(head) => self.add_behind(&entry.title(), head, fact),
            None => {
                let line = format!("{} {}: {fact}", entry.row.word, entry.name);
                self.add_entry(&entry.title(), &line);
            }
        }
    }

    /// The head of the entry that one half of a pair has of its own.
    fn own_head(&self, name: &str) -> Option<Span> {
        let heads = self.tree.lines.iter().filter_map(|line| line.head.as_ref());
        let named = |head: &&trimsheet_syntax::Fact| {
            let second = head.atoms.get(1);
            second.is_some_and(|atom| self.opened.text(atom.span) == name)
        };
        heads.into_iter().find(named).map(|head| head.span)
    }

    fn add_behind(&mut self, of: &str, head: Span, fact: &str) {
        let text = self.opened.sources.file(head.file).map_or("", |file| &*file.text);
        let behind = text.get(head.end..).unwrap_or("");
        let blank = behind.len() - behind.trim_start_matches([' ', '\t']).len();
        let has_mark =
            behind.get(blank..).is_some_and(|rest| rest.starts_with([':', ';']));
        // The first fact behind a bare head opens its line, and the next go on with it.
        let is_opened = self
            .out
            .edits
            .iter()
            .any(|edit| edit.span.start == head.end && edit.span.file == head.file);
        let (at, text) = if has_mark {
            (head.end + blank + 1, format!(" {fact};"))
        } else if is_opened {
            (head.end, format!("; {fact}"))
        } else {
            (head.end, format!(": {fact}"))
        };
        let span = Span { file: head.file, start: at, end: at };
        let edit = Edit { span, text };
        if self.out.edits.contains(&edit) {
            return;
        }
        let line = self.opened.sources.place(head).line;
        self.out.edits.push(edit);
        let (of, before, after) = (of.to_owned(), String::new(), fact.to_owned());
        self.out.lines.push(Rewritten { of, line, before, after });
    }

    /// Puts an entry in at the end of the spec.
    fn add_entry(&mut self, of: &str, text: &str) {
        let file = self.opened.sources.file(self.file);
        let end = file.map_or(0, |file| file.text.len());
        let line = file.map_or(1, trimsheet_source::File::line_count) + 1;
        let span = Span { file: self.file, start: end, end };
        let edit = Edit { span, text: format!("\n{text}\n") };
        if self.out.edits.contains(&edit) {
            return;
        }
        self.out.edits.push(edit);
        let (of, before, after) = (of.to_owned(), String::new(), text.to_owned());
        self.out.lines.push(Rewritten { of, line, before, after });
    }

    /// Says something about the change, once.
    pub(super) fn note(&mut self, says: String) {
        if !self.out.notes.contains(&says) {
            self.out.notes.push(says);
        }
    }

    /// Says how far a place lies outside the slide of what is to lie there.
    pub(super) fn note_slide(&mut self, id: EntryId, along: f64) {
        let Some(entry) = self.entry(id) else { return };
        let slide = entry.fact("slides").and_then(Fact::first);
        let Some((slide, (low, high))) = slide.and_then(|one| Some((one, one.range()?)))
        else {
            return;
        };
        let (past, way) = if along < low.si() - TINY {
            (low.si() - along, "ahead of")
        } else if high.si() + TINY < along {
            (along - high.si(), "behind")
        } else {
            return;
        };
        let at = Quantity::from_si(along, low.unit()).with_axis(Some(Axis::Length));
        let past = Quantity::from_si(past, low.unit());
        let text = self.opened.text(slide.span);
        let line = self.opened.sources.place(slide.span).line;
        let name = entry.half.and_then(|_| entry.name.rsplit_once('.'));
        let name = name.map_or(entry.name.as_str(), |(pair, _)| pair);
        self.note(format!(
            "{at} is {past} {way} the slide of {name} ({text}, line {line}): it would have to be made longer"
        ));
    }

    /// A place with what the phrase does not say of it taken from where the thing is now.
    pub(super) fn place_text(&self, new: &Value, old: Option<&Value>) -> String {
        let mut pieces = axes(self.opened.text(new.span));
        let old = old.map_or(Vec::new(), |old| axes(self.opened.text(old.span)));
        let missing: Vec<_> = old
            .into_iter()
            .filter(|(axis, _)| !pieces.iter().any(|(own, _)| own == axis))
            .collect();
        pieces.extend(missing);
        pieces.sort_by_key(|(axis, _)| *axis);
        let texts: Vec<String> = pieces.into_iter().map(|(_, text)| text).collect();
        texts.join(" ")
    }
}

/// What a spec without a loadout is called once it has one.
const LISTED: &str = "as-listed";

/// Two places nearer than this, in metres, are one.
const TINY: f64 = 1e-9;

/// The fact that a phrase speaks of: the only one, or that about the same thing.
pub(super) fn kept<'e>(
    entry: &'e Entry,
    fact: &Fact,
    sources: &trimsheet_source::Sources,
) -> Option<&'e Fact> {
    if !fact.row.often {
        return entry.fact(fact.row.word);
    }
    let key = |fact: &Fact| {
        let first = fact.first().map_or("", |value| sources.text(value.span));
        first.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    entry.all(fact.row.word).find(|one| key(one) == key(fact))
}

/// A value as it is written, with its leading word.
struct Piece {
    text: String,
    source: Option<String>,
    /// Whether its source stands in the fact, rather than somewhere for many.
    is_said: bool,
    measured: bool,
}

impl Piece {
    fn new(row: &Row, new: &New) -> Piece {
        let measured =
            slot_of(row, new.slot).is_some_and(|slot| slot.takes.is_measured());
        let planned = measured.then(|| "[plan]".to_owned());
        let source = new.source.clone().or(planned);
        Piece {
            text: led(row, new.slot, &new.text),
            is_said: source.is_some(),
            source,
            measured,
        }
    }
}

fn of_slot<'n>(
    row: &'n Row,
    news: &'n [New],
    slot: &'n str,
) -> impl Iterator<Item = Piece> + 'n {
    let is_many = slot_of(row, slot).is_some_and(|slot| slot.need == Need::Many);
    let most = if is_many { news.len() } else { 1 };
    news.iter()
        .filter(move |new| new.slot == slot)
        .take(most)
        .map(|new| Piece::new(row, new))
}

fn slot_of(row: &Row, name: &str) -> Option<&'static Slot> {
    row.slots.iter().find(|slot| slot.name == name)
}

fn led(row: &Row, slot: &str, text: &str) -> String {
    let is_led = slot_of(row, slot).is_some_and(|slot| slot.led);
    if is_led { format!("{slot} {text}") } else { text.to_owned() }
}

/// A fact as text. A source covers what stands before it, so a value whose source is said
/// elsewhere says it here where one of another source follows.
fn written(word: &str, pieces: &[Piece]) -> String {
    let mut out = word.to_owned();
    for (at, piece) in pieces.iter().enumerate() {
        out.push(' ');
        out.push_str(&piece.text);
        let behind = pieces.get(at + 1..).unwrap_or(&[]);
        let next = behind.iter().find(|next| next.measured || next.is_said);
        let is_covered = next.is_some_and(|next| next.source == piece.source);
        let is_needed =
            piece.is_said || (piece.measured && behind.iter().any(|next| next.is_said));
        if let Some(source) = piece.source.as_ref().filter(|_| is_needed && !is_covered) {
            out.push(' ');
            out.push_str(source);
        }
    }
    out
}

/// The ways of a place, along before across before upward, each as it is written.
pub(super) fn axes(text: &str) -> Vec<(u8, String)> {
    let line = format!(" x {text}");
    let tree = parse(FileId(0), &line);
    let atoms =
        tree.lines.iter().flat_map(|line| &line.facts).flat_map(|fact| &fact.atoms);
    let way = |atom: &trimsheet_syntax::Atom| {
        let AtomKind::Measure(measure) = &atom.kind else { return None };
        let side = measure.first.side?;
        let side = Side::from_word(line.get(side.start..side.end)?)?;
        Some((order(side.axis()), line.get(atom.span.start..atom.span.end)?.to_owned()))
    };
    atoms.filter_map(way).collect()
}

/// Where in a place an axis is written.
pub(super) fn order(axis: Axis) -> u8 {
    match axis {
        Axis::Length => 0,
        Axis::Side | Axis::Out => 1,
        Axis::Height => 2,
    }
}

/// That something cannot be carried out, said of the phrase.
pub(super) fn cannot(span: Span, says: String, do_this: &str) -> Box<Finding> {
    Box::new(expected(span, says).advised(do_this))
}

/// A place, if it is known.
pub(super) fn known_place(
    value: Option<&Value>,
) -> Option<(&Value, &trimsheet_model::Place)> {
    let value = value?;
    let Kind::Place(place) = &value.kind else { return None };
    Some((value, place))
}

impl<'a> Whose<'a> {
    /// An entry that is meant whole.
    pub(super) fn whole(entry: &'a Entry) -> Whose<'a> {
        Whose { entry, alone: false }
    }

    /// What it is called; both halves of a pair go by the pair's name.
    fn title(&self) -> String {
        let title = self.entry.title();
        let pair = self.entry.half.and_then(|_| title.rsplit_once('.'));
        let pair = pair.filter(|_| !self.alone).map(|(pair, _)| pair.to_owned());
        pair.unwrap_or(title)
    }
}
