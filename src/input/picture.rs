//! A photo's pixels, the right way up.

use super::image_facts::{image_facts, orientation};
use image::metadata::Orientation;
use image::{DynamicImage, ImageReader};
use std::io::Cursor;

/// Why a file gives no pixels.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PictureError {
    /// Its data can be read, its pixels not.
    #[error("it is a HEIF picture: export it as JPEG to see it under the solved roof")]
    Heif,
    /// Not a JPEG or PNG file, or a torn one.
    #[error("it can't be read as a picture: {0}")]
    Unreadable(String),
}

/// Decodes a JPEG or PNG file and turns it as its EXIF orientation says: pixels as marks count them. O(pixels).
///
/// # Errors
/// [`PictureError`]: not a picture, or one whose format is not decoded.
pub fn upright(bytes: &[u8]) -> Result<DynamicImage, PictureError> {
    if image_facts(bytes).is_heif {
        return Err(PictureError::Heif);
    }
    let unreadable = |error: &dyn std::fmt::Display| PictureError::Unreadable(error.to_string());
    let reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|error| unreadable(&error))?;
    let mut picture = reader.decode().map_err(|error| unreadable(&error))?;
    picture.apply_orientation(orientation(bytes).and_then(Orientation::from_exif).unwrap_or(Orientation::NoTransforms));
    Ok(picture)
}
