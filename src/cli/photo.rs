//! Photos with the solved roof over them, for `draw`.

use super::load::Loaded;
use crate::drawing::overlay::overlay;
use crate::drawing::photo_page::Shown;
use crate::drawing::{Context, Drawing, photo_page};
use crate::input::picture::upright;
use crate::input::{Beside, Files};
use crate::job::answer::Answer;
use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use std::io::ErrorKind;

/// Pixels of a photo's long side on a page: more than a print of it shows.
const MOST_PIXELS: u32 = 2000;
const QUALITY: u8 = 85;

/// A page for every photo that was placed and whose file is there; and why others have none, a line each.
#[must_use]
pub fn pages(loaded: &Loaded, answer: &Answer, context: &Context) -> (Vec<Drawing>, Vec<String>) {
    let survey = &loaded.job.survey;
    let files = Beside::of(&loaded.source.path);
    let (mut pages, mut without) = (Vec::new(), Vec::new());
    let length = |edge: crate::base::ids::EdgeId| {
        let metres = answer.roof.length(&answer.roof.edges[edge.index()]).0;
        context.words.length_pm(metres, answer.spread.length_of(edge))
    };
    for (index, photo) in survey.photos.iter().enumerate() {
        let Some(file) = &photo.file else { continue };
        let Some(overlay) = overlay(&answer.roof, survey, &answer.survey, index) else {
            without.push(format!("{file}: no page, it was not placed"));
            continue;
        };
        match jpeg(&files, file) {
            Ok(jpeg) => {
                let shown = Shown { file: file.clone(), jpeg: jpeg.into() };
                pages.push(photo_page::page(&overlay, &shown, context, &length));
            }
            Err(reason) => without.push(format!("{file}: no page, {reason}")),
        }
    }
    (pages, without)
}

/// The photo as it is laid on a page.
fn jpeg(files: &Beside, file: &str) -> Result<Vec<u8>, String> {
    let bytes = files.read(file).map_err(|error| match error.kind() {
        ErrorKind::NotFound => "the file is not there".to_owned(),
        _ => error.to_string(),
    })?;
    let picture = upright(&bytes).map_err(|error| error.to_string())?;
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
