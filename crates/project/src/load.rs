//! A spec with all that it includes.

use std::collections::BTreeMap;

use trimsheet_model::{Document, Include, includes};
use trimsheet_source::{FileId, Finding, Level, Sources, Span};
use trimsheet_syntax::parse;

use crate::host::{Host, Trouble};

/// A file and the shelves it includes, read; the spec itself is the first.
pub(crate) struct Loaded {
    pub(crate) spec: FileId,
    pub(crate) documents: Vec<Document>,
    pub(crate) findings: Vec<Finding>,
}

/// Reads a spec and what it includes, each file once.
pub(crate) fn load(
    host: &dyn Host,
    path: &str,
    text: &str,
    sources: &mut Sources,
) -> Loaded {
    let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
    let spec = sources.add(path, text);
    let mut loader = Loader {
        host,
        folder,
        sources,
        out: Loaded { spec, documents: Vec::new(), findings: Vec::new() },
        known: BTreeMap::new(),
    };
    loader.document(spec, path, text);
    loader.proof(path);
    // Documents are followed in the order in which they are found, so nothing recurses.
    let mut at = 0;
    while let Some(document) = loader.out.documents.get(at) {
        let wanted = includes(&document.tree, loader.sources);
        let file = document.file;
        for include in wanted {
            loader.include(at, file, &include);
        }
        at += 1;
    }
    loader.cycles();
    loader.out
}

/// Where the proof of a spec stands: beside it, `NAME.proof`.
pub fn proof_of(spec: &str) -> Option<String> {
    Some(format!("{}.proof", spec.strip_suffix(".trim")?))
}

/// A file that a spec names, where it lies in the folder of that spec.
pub(crate) fn beside(spec: &str, name: &str) -> Option<String> {
    let folder = spec.rsplit_once('/').map_or("", |(folder, _)| folder);
    join(folder, name).filter(|path| is_inside(folder, path))
}

/// The text of a file.
pub(crate) fn text(host: &dyn Host, path: &str) -> Result<String, Trouble> {
    host.read(path).map(whole)
}

/// The text that some bytes are: those that are not UTF-8 become U+FFFD, and reading says
/// where.
pub(crate) fn whole(bytes: Vec<u8>) -> String {
    String::from_utf8(bytes)
        .unwrap_or_else(|error| String::from_utf8_lossy(error.as_bytes()).into_owned())
}

struct Loader<'a> {
    host: &'a dyn Host,
    /// The folder of the spec, which no include may leave.
    folder: &'a str,
    sources: &'a mut Sources,
    out: Loaded,
    /// The documents by their path.
    known: BTreeMap<String, usize>,
}

impl Loader<'_> {
    fn document(&mut self, file: FileId, path: &str, text: &str) -> usize {
        let index = self.out.documents.len();
        self.out.documents.push(Document {
            file,
            tree: parse(file, text),
            shelves: Vec::new(),
        });
        self.known.insert(path.to_owned(), index);
        index
    }

    /// The proof beside the spec, where there is one.
    fn proof(&mut self, spec: &str) {
        let Some(path) = proof_of(spec) else { return };
        match text(self.host, &path) {
            Ok(text) => {
                let file = self.sources.add(&*path, &*text);
                self.document(file, &path, &text);
            }
            Err(Trouble::Missing) => {}
            Err(trouble) => {
                let file = self.sources.add(path.as_str(), "");
                let top = Span { file, start: 0, end: 0 };
                let says = format!("cannot read {path}: {trouble}");
                let finding = Finding::new("read/proof-form", Level::Error, top, says);
                self.out.findings.push(
                    finding
                        .advised("until it can be read, nothing that was signed counts"),
                );
            }
        }
    }

    fn include(&mut self, from: usize, file: FileId, include: &Include) {
        match self.find(file, include) {
            Ok(index) => {
                if let Some(document) = self.out.documents.get_mut(from) {
                    document.shelves.push((include.name.clone(), index));
                }
            }
            Err(finding) => self.out.findings.push(*finding),
        }
    }

    fn find(&mut self, file: FileId, include: &Include) -> Result<usize, Box<Finding>> {
        let say = |rule: &str, headline: String| {
            Box::new(Finding::new(rule, Level::Error, include.span, headline))
        };
        let leaves = || {
            let says =
                format!("\"{}\" lies outside the folder of the spec", include.path);
            let finding = *say("read/include-outside", says);
            Box::new(
                finding.advised("copy the file into the folder, and include the copy"),
            )
        };
        let near = self.sources.path(file);
        let near = near.rsplit_once('/').map_or("", |(folder, _)| folder);
        let path = join(near, &include.path).ok_or_else(leaves)?;
        if !is_inside(self.folder, &path) {
            return Err(leaves());
        }
        if let Some(known) = self.known.get(&path) {
            return Ok(*known);
        }
        let real = self.host.real(&path).and_then(|real| {
            let home = if self.folder.is_empty() { "." } else { self.folder };
            Ok((real, self.host.real(home)?))
        });
        if let Ok((real, home)) = real
            && home != "."
            && !is_inside(&home, &real)
        {
            return Err(leaves());
        }
        if self.host.is_folder(&path) {
            let says = format!("\"{}\" is a folder, and a file is wanted", include.path);
            return Err(say("read/include-missing", says));
        }
        let text = text(self.host, &path).map_err(|trouble| {
            let says = format!("cannot read \"{}\": {trouble}", include.path);
            let finding = *say("read/include-missing", says);
            Box::new(finding.advised(format!("it was looked for as {path}")))
        })?;
        let file = self.sources.add(&*path, &*text);
        Ok(self.document(file, &path, &text))
    }

    /// Says of each ring of includes, once, where it closes.
    fn cycles(&mut self) {
        let edges: Vec<Vec<usize>> = self
            .out
            .documents
            .iter()
            .map(|document| document.shelves.iter().map(|(_, index)| *index).collect())
            .collect();
        for index in 0..edges.len() {
            if let Some(back) = closes(&edges, index) {
                self.say_cycle(index, back);
            }
        }
    }

    fn say_cycle(&mut self, index: usize, back: usize) {
        let Some(document) = self.out.documents.get(index) else { return };
        let shelf = document.shelves.iter().position(|(_, to)| *to == back);
        let wanted = includes(&document.tree, self.sources);
        let (Some(shelf), Some(target)) = (shelf, self.out.documents.get(back)) else {
            return;
        };
        let path = self.sources.path(target.file);
        let name = document.shelves.get(shelf).map(|(name, _)| name.as_str());
        let Some(include) = wanted.iter().find(|one| Some(one.name.as_str()) == name)
        else {
            return;
        };
        let says = format!("including {path} here leads back to this file");
        self.out.findings.push(
            Finding::new("read/include-cycle", Level::Error, include.span, says)
                .advised("take out one of the include lines; each file was read once"),
        );
    }
}

/// The earliest document that `index` includes and that leads back to `index`; a ring is
/// reported by its last document only.
fn closes(edges: &[Vec<usize>], index: usize) -> Option<usize> {
    edges.get(index)?.iter().copied().filter(|to| *to <= index).find(|to| {
        let mut seen = vec![false; edges.len()];
        let mut open = vec![*to];
        while let Some(at) = open.pop() {
            if at == index {
                return true;
            }
            if let Some(seen) = seen.get_mut(at)
                && !std::mem::replace(seen, true)
            {
                open.extend(edges.get(at).into_iter().flatten());
            }
        }
        false
    })
}

/// A path inside a folder, with `.` and `..` taken out; none where it climbs too high.
fn join(folder: &str, path: &str) -> Option<String> {
    if path.starts_with('/') || path.contains('\\') || path.contains(':') {
        return None;
    }
    let mut parts: Vec<&str> =
        folder.split('/').filter(|part| !matches!(*part, "" | ".")).collect();
    let absolute = folder.starts_with('/');
    for part in path.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop().filter(|part| *part != "..")?;
            }
            part => parts.push(part),
        }
    }
    let joined = parts.join("/");
    Some(if absolute { format!("/{joined}") } else { joined })
}

fn is_inside(folder: &str, path: &str) -> bool {
    let folder = folder.trim_start_matches("./").trim_end_matches('/');
    folder.is_empty()
        || folder == "."
        || path.strip_prefix(folder).is_some_and(|rest| rest.starts_with('/'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_joined_without_leaving_the_top() {
        assert_eq!(join("a/b", "../c.trim").as_deref(), Some("a/c.trim"));
        assert_eq!(join("a", "./x//y.trim").as_deref(), Some("a/x/y.trim"));
        assert_eq!(join("", "../c.trim"), None);
        assert_eq!(join("a", "/etc/x"), None);
        assert_eq!(join("/home/a", "x.trim").as_deref(), Some("/home/a/x.trim"));
        assert!(is_inside("a", "a/c.trim") && !is_inside("a", "ab/c.trim"));
    }
}
