//! Photos with the solved roof over them, for `draw`, `sheet` and the window.

use crate::drawing::views::overlay::overlay;
use crate::drawing::views::photo_page::{Shown, Taken};
use crate::input::picture::upright;
use crate::input::{Beside, Files, unread};
use crate::job::Job;
use crate::job::answer::Answer;
use crate::wording;
use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use std::path::Path;

/// Pixels of a photo's long side on a page: more than a print of it shows.
const MOST_PIXELS: u32 = 2000;
const QUALITY: u8 = 85;

/// Every photo that was placed and whose file is there beside the roof file; and why others are not shown, a line each.
#[must_use]
pub fn taken(job: &Job, path: &Path, answer: &Answer) -> (Vec<Taken>, Vec<String>) {
    let survey = &job.survey;
    let files = Beside::of(path);
    let (mut photos, mut without) = (Vec::new(), Vec::new());
    for (index, photo) in survey.photos.iter().enumerate() {
        let Some(file) = &photo.file else { continue };
        let Some(overlay) = overlay(&answer.roof, survey, &answer.survey, index) else {
            without.push(format!("{file}: not shown, it was not placed"));
            continue;
        };
        match jpeg(&files, file) {
            Ok(jpeg) => photos.push(Taken { overlay, shown: Shown { file: file.clone(), jpeg: jpeg.into() } }),
            Err(reason) => without.push(format!("{file}: not shown, {reason}")),
        }
    }
    (photos, without)
}

/// The photo as it is laid on a page.
fn jpeg(files: &Beside, file: &str) -> Result<Vec<u8>, String> {
    let bytes = files.read(file).map_err(|error| format!("the file {}", wording::reading::unread(&unread(&error))))?;
    let picture = upright(&bytes).map_err(|error| wording::reading::picture(&error))?;
    let picture = if picture.width().max(picture.height()) > MOST_PIXELS {
        picture.resize(MOST_PIXELS, MOST_PIXELS, FilterType::Triangle)
    } else {
        picture
    };
    let mut out = Vec::new();
    JpegEncoder::new_with_quality(&mut out, QUALITY)
        .encode_image(&picture.to_rgb8())
        .map_err(|error| error.to_string())?;
    Ok(out)
}
