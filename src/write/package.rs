//! A ZIP package of parts, as workbooks are: PKWARE's APPNOTE 6.3, no more of it than ECMA-376 part 2 and `OpenDocument` part 2
//! ask for. Names are ASCII, packages far below 4 GiB.

use flate2::write::DeflateEncoder;
use flate2::{Compression, Crc};
use std::io::{self, Write};

/// A part under its name.
struct Part {
    name: &'static str,
    check: u32,
    plain: usize,
    packed: usize,
    is_deflated: bool,
    at: usize,
}

/// A package under construction. Deterministic: parts bear no day of their own.
#[derive(Default)]
pub struct Package {
    bytes: Vec<u8>,
    parts: Vec<Part>,
}

/// The first of January 1980, the earliest day the format knows.
const DAY: u16 = 0x21;

impl Package {
    /// Adds a part, packed unless it must be read without unpacking. O(bytes).
    ///
    /// # Errors
    /// What the compressor says.
    pub fn add(&mut self, name: &'static str, content: &[u8], is_deflated: bool) -> io::Result<()> {
        let mut crc = Crc::new();
        crc.update(content);
        let packed = if is_deflated {
            let mut encoder = DeflateEncoder::new(Vec::new(), Compression::default());
            encoder.write_all(content)?;
            encoder.finish()?
        } else {
            content.to_vec()
        };
        let part = Part {
            name,
            check: crc.sum(),
            plain: content.len(),
            packed: packed.len(),
            is_deflated,
            at: self.bytes.len(),
        };
        self.bytes.extend(0x0403_4b50_u32.to_le_bytes());
        part.describe(&mut self.bytes);
        self.bytes.extend(0_u16.to_le_bytes());
        self.bytes.extend(name.as_bytes());
        self.bytes.extend(packed);
        self.parts.push(part);
        Ok(())
    }

    /// The whole package.
    #[must_use]
    pub fn finish(mut self) -> Vec<u8> {
        let start = self.bytes.len();
        for part in &self.parts {
            self.bytes.extend(0x0201_4b50_u32.to_le_bytes());
            self.bytes.extend(20_u16.to_le_bytes());
            part.describe(&mut self.bytes);
            // No further fields, no comment, first disk, no attributes.
            self.bytes.extend([0; 12]);
            self.bytes.extend(small(part.at).to_le_bytes());
            self.bytes.extend(part.name.as_bytes());
        }
        let directory = self.bytes.len() - start;
        let count = u16::try_from(self.parts.len()).unwrap_or(u16::MAX);
        self.bytes.extend(0x0605_4b50_u32.to_le_bytes());
        self.bytes.extend([0; 4]);
        self.bytes.extend(count.to_le_bytes());
        self.bytes.extend(count.to_le_bytes());
        self.bytes.extend(small(directory).to_le_bytes());
        self.bytes.extend(small(start).to_le_bytes());
        self.bytes.extend([0; 2]);
        self.bytes
    }
}

fn small(size: usize) -> u32 {
    u32::try_from(size).unwrap_or(u32::MAX)
}

impl Part {
    /// What both headers of a part say alike: version, flags, method, day, check sum, sizes, length of its name.
    fn describe(&self, bytes: &mut Vec<u8>) {
        let method: u16 = if self.is_deflated { 8 } else { 0 };
        for number in [20, 0, method, 0, DAY] {
            bytes.extend(number.to_le_bytes());
        }
        bytes.extend(self.check.to_le_bytes());
        bytes.extend(small(self.packed).to_le_bytes());
        bytes.extend(small(self.plain).to_le_bytes());
        bytes.extend(u16::try_from(self.name.len()).unwrap_or(u16::MAX).to_le_bytes());
    }
}
