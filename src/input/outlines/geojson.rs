//! A `GeoJSON` document cut into its features while it is read, so that a collection of any size takes the memory of a piece. A
//! document that is one feature, or one geometry, is one feature.

use super::crs::System;
use super::lines::{LONGEST, PIECE, too_long};
use super::{Content, Piece, Pieces};
use serde_json::Value;
use std::io::{self, BufRead};

/// Where in a collection the reader is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum At {
    /// Before its features.
    Head,
    /// Among them.
    Features,
    /// After them.
    End,
}

/// A document and how far it has been read.
pub struct Collection<R> {
    input: R,
    size: Option<u64>,
    at: At,
    scan: Scan,
    /// What has been read of a feature, or of the head.
    held: Vec<u8>,
    line: u64,
    start: u64,
    read: u64,
    count: u64,
    system: System,
}

/// How deep the reader stands in brackets, and whether in a string.
#[derive(Clone, Copy, Debug, Default)]
struct Scan {
    depth: usize,
    in_string: bool,
    escaped: bool,
}

impl Scan {
    /// Takes a byte of JSON.
    fn take(&mut self, byte: u8) {
        if self.in_string {
            match (self.escaped, byte) {
                (true, _) => self.escaped = false,
                (false, b'\\') => self.escaped = true,
                (false, b'"') => self.in_string = false,
                _ => {}
            }
            return;
        }
        match byte {
            b'"' => self.in_string = true,
            b'{' | b'[' => self.depth += 1,
            b'}' | b']' => self.depth = self.depth.saturating_sub(1),
            _ => {}
        }
    }
}

impl<R: BufRead + Send> Collection<R> {
    /// Over an input of a size, where that is known.
    pub fn new(input: R, size: Option<u64>) -> Self {
        Self {
            input,
            size,
            at: At::Head,
            scan: Scan::default(),
            held: Vec::new(),
            line: 1,
            start: 1,
            read: 0,
            count: 0,
            system: System::Unsaid,
        }
    }

    /// Takes bytes up to where a feature ends, and says how many and whether one did.
    fn take(&mut self, bytes: &[u8]) -> (usize, bool) {
        for (at, &byte) in bytes.iter().enumerate() {
            self.line += u64::from(byte == b'\n');
            match self.at {
                At::Head => {
                    self.scan.take(byte);
                    self.held.push(byte);
                    if byte == b'[' && self.scan.depth == 2 && ends_with_features(&self.held) {
                        self.system = system_of(&self.held);
                        self.held.clear();
                        self.at = At::Features;
                        self.scan = Scan::default();
                    }
                }
                At::Features => {
                    let outside = self.scan.depth == 0 && !self.scan.in_string;
                    if outside && byte == b']' {
                        self.at = At::End;
                        return (at + 1, !self.held.is_empty());
                    }
                    if outside && (byte == b',' || byte.is_ascii_whitespace()) {
                        if byte == b',' && !self.held.is_empty() {
                            return (at + 1, true);
                        }
                        continue;
                    }
                    if self.held.is_empty() {
                        self.start = self.line;
                    }
                    self.scan.take(byte);
                    self.held.push(byte);
                }
                At::End => {}
            }
        }
        (bytes.len(), false)
    }
}

impl<R: BufRead + Send> Pieces for Collection<R> {
    fn next_piece(&mut self) -> io::Result<Option<Piece>> {
        let mut text = Vec::with_capacity(PIECE + (PIECE >> 3));
        let mut features = Vec::new();
        let before = self.count;
        while text.len() < PIECE {
            let bytes = self.input.fill_buf()?.to_vec();
            let (taken, ended) = self.take(&bytes);
            self.input.consume(taken);
            self.read += taken as u64;
            let is_over = bytes.is_empty();
            if self.held.len() > LONGEST {
                return Err(too_long(self.start));
            }
            if ended || is_over && self.held.iter().any(|byte| !byte.is_ascii_whitespace()) {
                // A document without features is one itself; one that is cut off ends in what is none.
                let from = text.len();
                text.append(&mut self.held);
                self.count += 1;
                features.push((self.start, from, text.len()));
            }
            if is_over {
                break;
            }
        }
        let count = features.len() as u64;
        let content = Content::Texts { text, features };
        Ok((count > 0).then_some(Piece { content, end: self.read, before, count }))
    }

    fn size(&self) -> Option<u64> {
        self.size
    }

    fn system(&self) -> System {
        self.system.clone()
    }
}

/// Whether a head ends in the key `features` and the bracket of its list.
fn ends_with_features(head: &[u8]) -> bool {
    let before = |text: &mut &[u8], byte: u8| {
        *text = text.trim_ascii_end();
        text.split_last().is_some_and(|(last, rest)| {
            *text = rest;
            *last == byte
        })
    };
    let mut text = head;
    before(&mut text, b'[') && before(&mut text, b':') && text.trim_ascii_end().ends_with(b"\"features\"")
}

/// What the members before the features say of their places: the `crs` of the format's edition of 2008, where `null` is no
/// known system.
fn system_of(head: &[u8]) -> System {
    let mut text = head.to_vec();
    text.extend_from_slice(b"]}");
    let Ok(document) = serde_json::from_slice::<Value>(&text) else { return System::Unsaid };
    match document.get("crs") {
        None => System::Unsaid,
        Some(Value::Null) => System::Metres,
        Some(crs) => crs["properties"]["name"].as_str().map_or(System::Unsaid, System::named),
    }
}
