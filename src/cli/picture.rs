//! Pictures of a roof without a window, as PNG.

use super::export;
use super::load::Stop;
use crate::base::diagnostic::Diagnostic;
use crate::job::answer::Answer;
use crate::job::{Job, building, order};
use crate::roof::model::solid;
use crate::viewer::backend::Answered;
use crate::viewer::render::camera::View;
use crate::viewer::render::courses;
use crate::viewer::render::labels::Labels;
use crate::viewer::render::scene::{Scene, Shade};
use crate::viewer::render::shot;
use crate::viewer::render::shot::Shot;
use crate::viewer::render::theme::Theme;
use std::io::Cursor;
use std::path::Path;

/// The size of a picture that names none, pixels.
pub(super) const SIZE: [u32; 2] = [1280, 800];

/// A picture of a roof from its corner, as PNG.
///
/// # Errors
/// Why not, in words.
pub(super) fn picture(job: Job, answer: Answer, to: &Path) -> Result<Vec<u8>, String> {
    if !to.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("png")) {
        return Err(format!("{}: expected a name that ends in .png", to.display()));
    }
    let answered = answered(job, answer, Vec::new());
    let scene = Scene::new(&answered.answer.roof, &answered.with_raised(), |face| courses::of(&answered, face));
    let labels = Labels { edges: true, faces: true };
    let units = answered.job.units;
    let shot = Shot { view: View::Corner, shade: Shade::Covering, theme: Theme::Light, size: SIZE, labels, units };
    let image = shot::take(&answered.answer, &scene, &answered.unsure(), &shot).map_err(|error| describe(&error))?;
    png(&image).map_err(|stop| match stop {
        Stop::System(message) | Stop::NoAnswer { message, .. } => message,
        other @ Stop::File { .. } => format!("{other:?}"),
    })
}

/// A shot's error with what to do about it.
pub(super) fn describe(error: &shot::ShotError) -> String {
    match error {
        shot::ShotError::NoContext(_) => {
            format!("{error}; on Debian and its kin: apt-get install libegl1 libegl-mesa0 libgl1-mesa-dri")
        }
        _ => error.to_string(),
    }
}

/// A picture as PNG.
///
/// # Errors
/// What the encoder says.
pub(super) fn png(image: &shot::Image) -> Result<Vec<u8>, Stop> {
    let mut bytes = Cursor::new(Vec::new());
    let [width, height] = image.size;
    image::write_buffer_with_format(
        &mut bytes,
        &image.pixels,
        width,
        height,
        image::ExtendedColorType::Rgb8,
        image::ImageFormat::Png,
    )
    .map_err(|error| Stop::System(error.to_string()))?;
    Ok(bytes.into_inner())
}

/// Everything the window shows of an answer.
pub(super) fn answered(job: Job, answer: Answer, warnings: Vec<Diagnostic>) -> Answered {
    Answered {
        solid: solid::build(&answer.roof, export::DATUM),
        building: building::solid(&answer.roof, &answer.building, export::DATUM),
        take_off: order::take_off(&job, &answer),
        answer,
        warnings,
        job,
    }
}
