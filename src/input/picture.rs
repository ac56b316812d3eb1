//! A photo's pixels, the right way up.

use super::image_facts::{image_facts, orientation};
pub use crate::job::reading::PictureError;
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
    let mut picture = reader.decode().map_err(|error| unreadable(&error))?;
    picture.apply_orientation(orientation(bytes).and_then(Orientation::from_exif).unwrap_or(Orientation::NoTransforms));
    Ok(picture)
}
