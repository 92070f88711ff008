//! Many files as one: a zip that only stores.
//!
//! Photographs are packed already and specs are short, so nothing is won by packing them
//! again, and what is only stored is the same bytes whatever packs it. For the same
//! reason every file is of one day, the first that the form knows.
//!
//! Source: PKWARE APPNOTE 6.3.3, 4.3.7, 4.3.12 and 4.3.16; from memory. Held against
//! another reader in a test.

use std::collections::BTreeMap;

/// The first day that the form knows, 1980-01-01: seven bits of years, four of months,
/// five of days.
const DAY: u16 = (1 << 5) | 1;
/// The version that is needed for reading: the first.
const VERSION: u16 = 10;
/// Made on a system whose names have `/`, which is where the form of rights comes from.
const MADE_BY: u16 = (3 << 8) | VERSION;
/// A plain file that everybody may read.
const RIGHTS: u32 = 0o100_644 << 16;
/// Names are UTF-8.
const FLAGS: u16 = 1 << 11;

/// The files as one zip, in the order of their paths; nothing where they are more than
/// its numbers can say.
pub(super) fn zipped(files: &BTreeMap<String, Vec<u8>>) -> Option<Vec<u8>> {
    let (mut out, mut index) = (Vec::new(), Vec::new());
    for (path, bytes) in files {
        let at = u32::try_from(out.len()).ok()?;
        let about = about(path, bytes)?;
        out.extend(b"PK\x03\x04");
        out.extend(VERSION.to_le_bytes());
        out.extend(&about);
        out.extend(path.as_bytes());
        out.extend(bytes);
        index.extend(b"PK\x01\x02");
        index.extend(MADE_BY.to_le_bytes());
        index.extend(VERSION.to_le_bytes());
        index.extend(about);
        // No remark, on the first disk, of no sort that is known.
        index.extend([0; 6]);
        index.extend(RIGHTS.to_le_bytes());
        index.extend(at.to_le_bytes());
        index.extend(path.as_bytes());
    }
    let count = u16::try_from(files.len()).ok()?.to_le_bytes();
    let at = u32::try_from(out.len()).ok()?.to_le_bytes();
    let length = u32::try_from(index.len()).ok()?.to_le_bytes();
    out.extend(index);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend(count);
    out.extend(count);
    out.extend(length);
    out.extend(at);
    out.extend([0; 2]);
    Some(out)
}

/// What stands of a file both before it and in the index.
fn about(path: &str, bytes: &[u8]) -> Option<Vec<u8>> {
    let size = u32::try_from(bytes.len()).ok()?.to_le_bytes();
    let mut out = FLAGS.to_le_bytes().to_vec();
    // Stored, at midnight.
    out.extend([0; 4]);
    out.extend(DAY.to_le_bytes());
    out.extend(crc32fast::hash(bytes).to_le_bytes());
    out.extend(size);
    out.extend(size);
    out.extend(u16::try_from(path.len()).ok()?.to_le_bytes());
    out.extend([0; 2]);
    Some(out)
}

#[cfg(test)]
mod tests {
    use std::io::{Cursor, Read as _};

    use super::*;

    #[test]
    fn another_reader_finds_every_file_as_it_was() {
        let long = vec![7; 100_000];
        let files = BTreeMap::from([
            ("heron.trim".to_owned(), b"model heron\n".to_vec()),
            ("photos/bläss.jpg".to_owned(), long),
            ("empty".to_owned(), Vec::new()),
        ]);
        let mut read =
            zip::ZipArchive::new(Cursor::new(zipped(&files).unwrap())).unwrap();
        let mut found = BTreeMap::new();
        for index in 0..read.len() {
            let mut file = read.by_index(index).unwrap();
            let mut bytes = Vec::new();
            file.read_to_end(&mut bytes).unwrap();
            let name = file.enclosed_name().unwrap().to_str().unwrap().to_owned();
            assert_eq!(file.unix_mode(), Some(0o100_644), "{name}");
            assert_eq!(file.last_modified().unwrap().year(), 1980);
            found.insert(name, bytes);
        }
        assert_eq!(found, files);
    }
}
