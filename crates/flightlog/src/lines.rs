//! Lines of a stream, in a buffer whose size never changes.

use std::io::{ErrorKind, Read, Result};

use memchr::memchr;

/// Longer than any row of a log.
pub(crate) const LONGEST: usize = 1 << 16;

const BUFFER: usize = 1 << 18;

/// Gives one line after the other, without its end.
pub(crate) struct Lines<R> {
    from: R,
    buffer: Box<[u8]>,
    /// What is not given yet: `begin <= end <= BUFFER`.
    begin: usize,
    end: usize,
    is_over: bool,
    number: u64,
}

/// A line, if it has a length that can be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Line<'a> {
    Whole(&'a [u8]),
    TooLong,
}

impl<R: Read> Lines<R> {
    /// Reads the beginning, and steps over a byte order mark.
    pub(crate) fn new(from: R) -> Result<Lines<R>> {
        let buffer = vec![0; BUFFER].into_boxed_slice();
        let mut lines =
            Lines { from, buffer, begin: 0, end: 0, is_over: false, number: 0 };
        lines.fill()?;
        if lines.waiting().starts_with(b"\xEF\xBB\xBF") {
            lines.begin += 3;
        }
        Ok(lines)
    }

    /// What was read and not given yet, to look at before it is given.
    pub(crate) fn waiting(&self) -> &[u8] {
        self.buffer.get(self.begin..self.end).unwrap_or_default()
    }

    /// The next line with its number, counted from 1.
    pub(crate) fn next(&mut self) -> Result<Option<(u64, Line<'_>)>> {
        if self.end - self.begin <= LONGEST && !self.is_over {
            self.fill_if_cut()?;
        }
        if self.begin == self.end {
            return Ok(None);
        }
        self.number += 1;
        let found = memchr(b'\n', self.waiting());
        let length = found.unwrap_or(self.end - self.begin);
        if LONGEST < length {
            self.step_over()?;
            return Ok(Some((self.number, Line::TooLong)));
        }
        let begin = self.begin;
        self.begin += length + usize::from(found.is_some());
        let line = self.buffer.get(begin..begin + length).unwrap_or_default();
        Ok(Some((self.number, Line::Whole(line.strip_suffix(b"\r").unwrap_or(line)))))
    }

    fn fill_if_cut(&mut self) -> Result<()> {
        match memchr(b'\n', self.waiting()) {
            Some(_) => Ok(()),
            None => self.fill(),
        }
    }

    /// Moves what is left to the front and reads until the buffer is full.
    fn fill(&mut self) -> Result<()> {
        self.buffer.copy_within(self.begin..self.end, 0);
        self.end -= self.begin;
        self.begin = 0;
        while let Some(room) = self.buffer.get_mut(self.end..)
            && !room.is_empty()
        {
            match self.from.read(room) {
                Ok(0) => {
                    self.is_over = true;
                    break;
                }
                Ok(count) => self.end = BUFFER.min(self.end + count),
                Err(error) if error.kind() == ErrorKind::Interrupted => {}
                Err(error) => return Err(error),
            }
        }
        Ok(())
    }

    /// Leaves out the rest of a line that is too long.
    fn step_over(&mut self) -> Result<()> {
        loop {
            if let Some(length) = memchr(b'\n', self.waiting()) {
                self.begin += length + 1;
                return Ok(());
            }
            self.begin = self.end;
            if self.is_over {
                return Ok(());
            }
            self.fill()?;
        }
    }
}
