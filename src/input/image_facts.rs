//! What an image file says of itself: size, orientation, focal length.

use crate::survey::model::Compass;
use exif::{In, Tag, Value};
use std::io::Cursor;

/// Diagonal of the 36 x 24 mm frame that equivalent focal lengths refer to, millimetres.
const FULL_FRAME_DIAGONAL: f64 = 43.266_615_305_567_87;

/// What an image says of itself.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct ImageFacts {
    /// Width and height in pixels as a viewer shows it, after EXIF orientation.
    pub size: Option<[f64; 2]>,
    /// Focal length in pixels.
    pub focal: Option<f64>,
    /// A digital zoom or a crop shows, so that the focal length is less sure.
    pub is_cropped: bool,
    /// Which way it was taken.
    pub compass: Option<Compass>,
    /// A format marks can't be set in: its EXIF is read, its picture is not.
    pub is_heif: bool,
    /// Not a picture that is known.
    pub is_unknown: bool,
}

/// What can be read of a file's EXIF data: some programs leave off the four bytes that end a list.
fn exif_of(bytes: &[u8]) -> Option<exif::Exif> {
    let mut reader = exif::Reader::new();
    let read = reader.continue_on_error(true).read_from_container(&mut Cursor::new(bytes));
    read.or_else(|error| error.distill_partial_result(|_| {})).ok()
}

/// The orientation EXIF states: 1 to 8, of which 1 is upright.
pub(super) fn orientation(bytes: &[u8]) -> Option<u8> {
    let value = exif_of(bytes)?.get_field(Tag::Orientation, In::PRIMARY)?.value.get_uint(0)?;
    u8::try_from(value).ok()
}

/// Reads the facts from a file's bytes; never fails, what is not there is absent.
pub(super) fn image_facts(bytes: &[u8]) -> ImageFacts {
    let exif = exif_of(bytes);
    let number = |tag: Tag| -> Option<f64> {
        let field = exif.as_ref()?.get_field(tag, In::PRIMARY)?;
        let value = match &field.value {
            Value::Rational(values) => values.first().map(exif::Rational::to_f64),
            Value::Float(values) => values.first().map(|value| f64::from(*value)),
            Value::Double(values) => values.first().copied(),
            _ => field.value.get_uint(0).map(f64::from),
        };
        value.filter(|value| value.is_finite() && *value > 0.0)
    };
    let is_heif = bytes.get(4..8) == Some(b"ftyp");
    let in_header = image::ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .ok()
        .and_then(|reader| reader.into_dimensions().ok())
        .map(|(width, height)| [f64::from(width), f64::from(height)]);
    let in_exif = number(Tag::PixelXDimension).zip(number(Tag::PixelYDimension)).map(|(w, h)| [w, h]);
    let stored = in_header.or(if is_heif { in_exif } else { None });
    let quarter_turned = number(Tag::Orientation).is_some_and(|orientation| (5.0..=8.0).contains(&orientation));
    let size = stored.map(|[w, h]| if quarter_turned { [h, w] } else { [w, h] });
    let same_shape = |a: [f64; 2], b: [f64; 2]| {
        let (a, b) = ([a[0].max(a[1]), a[0].min(a[1])], [b[0].max(b[1]), b[0].min(b[1])]);
        // Within a pixel of rounding of the smaller picture.
        (a[0] * b[1] - a[1] * b[0]).abs() <= a[0].max(b[0])
    };
    let was_cut = in_exif.zip(in_header).is_some_and(|(taken, now)| !same_shape(taken, now));
    let zoomed = number(Tag::DigitalZoomRatio).is_some_and(|ratio| ratio > 1.0);
    ImageFacts {
        size,
        focal: size.and_then(|size| focal_pixels(&number, size, in_exif)),
        is_cropped: was_cut || zoomed,
        compass: exif.as_ref().and_then(compass),
        is_heif,
        is_unknown: in_header.is_none() && !is_heif,
    }
}

/// Which way the camera looked (Exif 2.3, `GPSImgDirection` in degrees, `GPSImgDirectionRef` T or M): without a word of which
/// north it is from, phones mean the magnetic one.
fn compass(exif: &exif::Exif) -> Option<Compass> {
    let field = |tag: Tag| exif.get_field(tag, In::PRIMARY).map(|field| &field.value);
    let Value::Rational(values) = field(Tag::GPSImgDirection)? else { return None };
    let degrees = values.first()?.to_f64();
    let is_true = matches!(field(Tag::GPSImgDirectionRef), Some(Value::Ascii(text)) if text.first().is_some_and(|t| t.first() == Some(&b'T')));
    (0.0..=360.0)
        .contains(&degrees)
        .then(|| Compass { bearing: degrees.to_radians() % std::f64::consts::TAU, is_magnetic: !is_true })
}

/// The equivalent focal length by the diagonal form, `f = f35 · diagonal in pixels / 43.27 mm`; else the true one by the
/// sensor's pixels a unit, scaled to the size the picture has now.
fn focal_pixels(number: &impl Fn(Tag) -> Option<f64>, size: [f64; 2], taken: Option<[f64; 2]>) -> Option<f64> {
    let diagonal = size[0].hypot(size[1]);
    if let Some(equivalent) = number(Tag::FocalLengthIn35mmFilm) {
        return Some(equivalent * diagonal / FULL_FRAME_DIAGONAL);
    }
    let focal = number(Tag::FocalLength)?;
    let per_unit = number(Tag::FocalPlaneXResolution)?;
    // 2: inch, 3: centimetre (Exif 2.3, FocalPlaneResolutionUnit).
    let millimetres = match number(Tag::FocalPlaneResolutionUnit) {
        Some(3.0) => 10.0,
        _ => 25.4,
    };
    let scale = taken.map_or(1.0, |taken| diagonal / taken[0].hypot(taken[1]));
    Some(focal * per_unit / millimetres * scale)
}
