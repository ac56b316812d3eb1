//! One feature a line: newline-delimited `GeoJSON`, with or without the separators of RFC 8142.

use super::crs::System;
use super::{Content, Piece, Pieces};
use std::io::{self, BufRead};

/// About how many bytes a piece has.
pub(super) const PIECE: usize = 1 << 18;

/// Longest line, bytes: of a hundred thousand places.
pub(super) const LONGEST: usize = 64 << 20;

/// A text with one feature a line.
pub struct Lines<R> {
    input: R,
    size: Option<u64>,
    read: u64,
    line: u64,
}

impl<R: BufRead + Send> Lines<R> {
    /// Over an input of a size, where that is known. `read` bytes with `line` lines have been left out before it.
    pub fn new(input: R, size: Option<u64>, (read, line): (u64, u64)) -> Self {
        Self { input, size, read, line }
    }
}

impl<R: BufRead + Send> Pieces for Lines<R> {
    fn next_piece(&mut self) -> io::Result<Option<Piece>> {
        let mut text = Vec::with_capacity(PIECE + (PIECE >> 3));
        let mut features = Vec::new();
        let before = self.line;
        while text.len() < PIECE {
            let from = text.len();
            let read = io::Read::take(&mut self.input, LONGEST as u64).read_until(b'\n', &mut text)?;
            if read == 0 {
                break;
            }
            if read == LONGEST && text.last() != Some(&b'\n') {
                return Err(too_long(self.line + 1));
            }
            self.line += 1;
            self.read += read as u64;
            features.push((self.line, from, text.len()));
        }
        let count = features.len() as u64;
        let content = Content::Texts { text, features };
        Ok((count > 0).then_some(Piece { content, end: self.read, before, count }))
    }

    fn size(&self) -> Option<u64> {
        self.size
    }

    fn system(&self) -> System {
        System::Unsaid
    }
}

pub(super) fn too_long(line: u64) -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, crate::wording::batch::too_long(line, LONGEST >> 20))
}
