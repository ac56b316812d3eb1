//! A photo's pixels, the right way up.

use super::image_facts::{image_facts, orientation};
pub use crate::job::reading::PictureError;
use crate::picture::Grey;
use image::metadata::Orientation;
use image::{DynamicImage, ImageReader, Limits};
use std::io::Cursor;

/// Most pixels of a picture, millions: what the largest phone cameras give. A small file may claim any number.
const MOST_MEGAPIXELS: u32 = 110;

/// Most memory that decoding may take, bytes: that many pixels at four bytes.
const MOST_MEMORY: u64 = 4 * 1_000_000 * MOST_MEGAPIXELS as u64;

/// Decodes a JPEG or PNG file and turns it as its EXIF orientation says: pixels as marks count them. O(pixels).
///
/// # Errors
/// [`PictureError`]: not a picture, or one whose format is not decoded.
pub fn upright(bytes: &[u8]) -> Result<DynamicImage, PictureError> {
    if image_facts(bytes).is_heif {
        return Err(PictureError::Heif);
    }
    let unreadable = |error: &dyn std::fmt::Display| PictureError::Unreadable(error.to_string());
    let open = || ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|error| unreadable(&error));
    let (width, height) = open()?.into_dimensions().map_err(|error| unreadable(&error))?;
    let megapixels = f64::from(width) * f64::from(height) / 1e6;
    if megapixels > f64::from(MOST_MEGAPIXELS) {
        return Err(PictureError::TooLarge { megapixels, most: MOST_MEGAPIXELS });
    }
    let mut reader = open()?;
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    if is_cut_off(bytes) {
        return Err(PictureError::CutOff);
    }
    let mut picture = reader.decode().map_err(|error| unreadable(&error))?;
    picture.apply_orientation(orientation(bytes).and_then(Orientation::from_exif).unwrap_or(Orientation::NoTransforms));
    Ok(picture)
}

/// The picture as brightness alone, as [`upright`] gives it. O(pixels).
///
/// # Errors
/// As [`upright`].
pub fn grey(bytes: &[u8]) -> Result<Grey, PictureError> {
    let picture = upright(bytes)?.into_luma8();
    let size = [picture.width(), picture.height()].map(|side| side as usize);
    Grey::new(size, picture.into_raw()).ok_or_else(|| PictureError::Unreadable("no pixels".to_owned()))
}

/// Whether a JPEG file has no end-of-image marker after its first scan (ITU-T T.81, B.1.1.3): decoders fill in the rest in
/// silence. Segments before the scan are stepped over: a thumbnail within them has an end of its own.
pub(super) fn is_cut_off(bytes: &[u8]) -> bool {
    if !bytes.starts_with(&[0xff, 0xd8]) {
        return false;
    }
    let mut at = 2;
    while let Some(&[0xff, marker, high, low]) = bytes.get(at..at + 4) {
        if marker == 0xff {
            at += 1;
        } else if marker == 0xda {
            return !bytes[at..].windows(2).any(|pair| pair == [0xff, 0xd9]);
        } else {
            at += 2 + usize::from(u16::from_be_bytes([high, low]));
        }
    }
    // It ends before its first scan.
    true
}
