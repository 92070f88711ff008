//! One line to its fields.

use csv_core::{ReadRecordResult, Reader, ReaderBuilder};
use memchr::{memchr, memchr_iter};

use crate::lines::LONGEST;

/// More columns than any log has.
pub(crate) const MOST: usize = 4096;

/// Splits lines; a line without quotes is split where it lies, others by the library.
pub(crate) struct Splitter {
    delimiter: u8,
    reader: Reader,
    text: Box<[u8]>,
    ends: Box<[usize]>,
}

/// A line whose quote is not closed, or with more fields than can be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Unsplit {
    Open,
    TooMany,
}

impl Splitter {
    pub(crate) fn new(delimiter: u8) -> Splitter {
        Splitter {
            delimiter,
            reader: ReaderBuilder::new().delimiter(delimiter).build(),
            text: vec![0; LONGEST + 2].into_boxed_slice(),
            ends: vec![0; MOST].into_boxed_slice(),
        }
    }

    /// Gives each field with its place to `take`, without blanks around it.
    pub(crate) fn split<'a>(
        &'a mut self,
        line: &'a [u8],
        mut take: impl FnMut(usize, &'a [u8]),
    ) -> Result<usize, Unsplit> {
        if memchr(b'"', line).is_some() {
            return self.split_quoted(line, take);
        }
        let mut begin = 0;
        let mut count = 0;
        for end in memchr_iter(self.delimiter, line) {
            take(count, line.get(begin..end).unwrap_or_default().trim_ascii());
            begin = end + 1;
            count += 1;
        }
        take(count, line.get(begin..).unwrap_or_default().trim_ascii());
        Ok(count + 1)
    }

    fn split_quoted<'a>(
        &'a mut self,
        line: &'a [u8],
        mut take: impl FnMut(usize, &'a [u8]),
    ) -> Result<usize, Unsplit> {
        self.reader.reset();
        let (result, _, written, ended) =
            self.reader.read_record(line, &mut self.text, &mut self.ends);
        let count = match result {
            ReadRecordResult::InputEmpty => {
                // The end of the line ends the row, unless a quote is open.
                let text = self.text.get_mut(written..).unwrap_or_default();
                let ends = self.ends.get_mut(ended..).unwrap_or_default();
                let (result, _, _, more) = self.reader.read_record(b"\n", text, ends);
                match result {
                    ReadRecordResult::Record => ended + more,
                    ReadRecordResult::InputEmpty | ReadRecordResult::End => {
                        return Err(Unsplit::Open);
                    }
                    ReadRecordResult::OutputFull | ReadRecordResult::OutputEndsFull => {
                        return Err(Unsplit::TooMany);
                    }
                }
            }
            ReadRecordResult::Record | ReadRecordResult::End => ended,
            ReadRecordResult::OutputFull | ReadRecordResult::OutputEndsFull => {
                return Err(Unsplit::TooMany);
            }
        };
        let mut begin = 0;
        for (place, end) in self.ends.iter().take(count).enumerate() {
            take(place, self.text.get(begin..*end).unwrap_or_default().trim_ascii());
            begin = *end;
        }
        Ok(count)
    }
}
