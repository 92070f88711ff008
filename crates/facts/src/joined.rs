//! What a join connects: which parts, and by which of their sockets.

use std::rc::Rc;

use trimsheet_model::{EntryId, Kind};

use crate::facts::Facts;
use crate::known::{Known, NotKnown, What};

/// One end of a way: an entry, and the socket of it that is named.
struct End<'a> {
    entry: EntryId,
    socket: &'a str,
}

impl Facts {
    /// Each signal and each supply of a join, from one part to another.
    pub(crate) fn ways(&self, join: EntryId) -> Result<Vec<Known>, NotKnown> {
        let mut all = Vec::new();
        for word in ["signal", "supply"] {
            self.fact(join, word)?;
            let entry = self.entry(join)?;
            for fact in entry.all(word) {
                let Some(value) = self.slot(entry, fact, "way")? else { continue };
                let Kind::Way(from, to) = &value.kind else { continue };
                for (from, to) in paired(self.ends(from), self.ends(to)) {
                    let fields = vec![
                        ("carries", text(word, fact.span)),
                        ("from", self.known_entry(from.entry)),
                        ("out_of", text(from.socket, value.span)),
                        ("to", self.known_entry(to.entry)),
                        ("into", text(to.socket, value.span)),
                    ];
                    let what = What::Record(Rc::new(fields));
                    let name = format!("{}.{word}", entry.name);
                    all.push(Known::computed(what, name, Some(value.span)));
                }
            }
        }
        Ok(all)
    }

    /// What a name in a way means: a thing, both halves of a pair, whichever pack is
    /// fitted, or a socket of one of these.
    fn ends<'a>(&self, name: &'a str) -> Vec<End<'a>> {
        let whole = self.called_so(name);
        if !whole.is_empty() {
            return whole.into_iter().map(|entry| End { entry, socket: "" }).collect();
        }
        let Some((owner, socket)) = name.rsplit_once('.') else { return Vec::new() };
        self.called_so(owner).into_iter().map(|entry| End { entry, socket }).collect()
    }

    fn called_so(&self, name: &str) -> Vec<EntryId> {
        let things = self.of_word("part").chain(self.of_word("pack"));
        let is_meant = |own: &str, word: &str| {
            let half = own.rsplit_once('.').map(|(pair, _)| pair);
            own == name || half == Some(name) || (name == "pack" && word == "pack")
        };
        let meant = things.filter(|(_, entry)| is_meant(&entry.name, entry.row.word));
        meant.map(|(id, _)| id).collect()
    }
}

/// Every combination of two ends; the halves of two pairs meet on their own side.
fn paired<'a>(from: Vec<End<'a>>, to: Vec<End<'a>>) -> Vec<(End<'a>, End<'a>)> {
    if from.len() == to.len() {
        return from.into_iter().zip(to).collect();
    }
    let mut all = Vec::new();
    for one in &from {
        for other in &to {
            let copy = |end: &End<'a>| End { entry: end.entry, socket: end.socket };
            all.push((copy(one), copy(other)));
        }
    }
    all
}

fn text(words: &str, span: trimsheet_model::source::Span) -> Known {
    Known::computed(What::Words(words.to_owned()), words, Some(span))
}
