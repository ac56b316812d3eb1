//! `view`: the window, and pictures without one. Joins reading, solving, laying out and writing for the window, which
//! knows none of them.

use super::load::{Loaded, Stop};
use super::picture::{SIZE, answered, describe, png};
use super::{diagnostics, new, output, view_files, view_out};
use crate::base::diagnostic::Diagnostic;
use crate::base::file_tree::{Edit, FileTable};
use crate::base::schema::Table;
use crate::base::units::Pitch;
use crate::input::picture::upright;
use crate::input::{self, Files};
use crate::job::marking::{Marking, marking};
use crate::job::order::Row;
use crate::job::{self, Job, Options, order};
use crate::viewer::app::window;
use crate::viewer::backend::{Answered, Backend, Pixels, Slot, Source, Writing};
use crate::viewer::render::camera::View;
use crate::viewer::render::courses;
use crate::viewer::render::labels::Labels;
use crate::viewer::render::scene::{Scene, Shade};
use crate::viewer::render::shot;
use crate::viewer::render::shot::Shot;
use crate::viewer::render::theme::Theme;
use crate::wording;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What `view` was asked for beside the file.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// Where to write a picture.
    pub shot: Option<&'a Path>,
    /// A view's name.
    pub camera: Option<&'a str>,
    /// A shade's name.
    pub shade: Option<&'a str>,
    /// A theme's name.
    pub theme: Option<&'a str>,
    /// Width and height, as `WxH`.
    pub size: Option<&'a str>,
}

/// Opens the window on a file, or writes a picture of it; what was written, in words.
///
/// # Errors
/// [`Stop`]: unusable arguments, a file with errors, no OpenGL.
pub fn run(file: Option<&Path>, asked: &Asked) -> Result<String, Stop> {
    let theme = named(asked.theme, "theme", &Theme::ALL, Theme::word)?;
    let Some(path) = asked.shot else {
        let text = file.map(super::load::source).transpose()?.map_or_else(String::new, |source| source.text);
        let path = file.filter(|path| *path != Path::new("-")).map(Path::to_path_buf);
        let theme = asked.theme.map(|_| theme);
        return window::open(Arc::new(Tool), text, path, theme).map(|()| String::new()).map_err(Stop::System);
    };
    let view = named(asked.camera, "camera", &View::ALL, View::word)?;
    let shade = named(asked.shade, "shade", &Shade::ALL, Shade::word)?;
    let size = asked.size.map_or(Ok(SIZE), size_of)?;
    if !path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("png")) {
        return Err(Stop::System(format!("{}: a picture is written as .png", path.display())));
    }
    let Some(file) = file else { return Err(Stop::System("a picture needs a roof file".to_owned())) };
    let loaded = super::load::load(file)?;
    let answer = match job::solve(&loaded.job, &Options { steps: false, spread: shade == Shade::Certainty }) {
        Ok(answer) => answer,
        Err(failure) => return Err(loaded.stopped(&failure)),
    };
    let Loaded { job, .. } = loaded;
    let answered = answered(job, answer, Vec::new());
    let scene = Scene::new(&answered.answer.roof, &answered.with_raised(), |face| courses::of(&answered, face));
    let shot =
        Shot { view, shade, theme, size, labels: Labels { edges: true, faces: true }, units: answered.job.units };
    let image = shot::take(&answered.answer, &scene, &answered.unsure(), &shot);
    let image = image.map_err(|error| Stop::System(describe(&error)))?;
    output::write_file(path, &png(&image)?)?;
    Ok(format!("wrote {}\n", path.display()))
}

/// What a word names; the first of all where there is no word.
fn named<T: Copy>(word: Option<&str>, what: &str, all: &[T], word_of: fn(T) -> &'static str) -> Result<T, Stop> {
    let found = match word {
        None => all.first(),
        Some(word) => all.iter().find(|item| word_of(**item).replace(' ', "-") == word.trim().replace(' ', "-")),
    };
    found.copied().ok_or_else(|| {
        let words: Vec<String> = all.iter().map(|item| word_of(*item).replace(' ', "-")).collect();
        Stop::System(format!("there is no {what} {:?}, expected one of {}", word.unwrap_or_default(), words.join(", ")))
    })
}

fn size_of(text: &str) -> Result<[u32; 2], Stop> {
    let sides = text.split_once(['x', 'X']).map(|(width, height)| (width.trim().parse(), height.trim().parse()));
    match sides {
        Some((Ok(width), Ok(height))) => Ok([width, height]),
        _ => Err(Stop::System(format!("size is {text:?}, expected width and height in pixels such as 1280x800"))),
    }
}

/// The program around the window.
pub struct Tool;

impl Backend for Tool {
    fn answer(&self, source: Source, sure: bool) -> Result<Answered, Vec<Diagnostic>> {
        let (job, map, warnings) = view_out::read(source)?;
        match job::solve(&job, &Options { steps: false, spread: sure }) {
            Ok(answer) => Ok(answered(job, answer, warnings)),
            Err(failure) => Err(warnings.into_iter().chain(diagnostics::of_failure(&failure, &job, &map)).collect()),
        }
    }

    fn marking(&self, source: Source) -> Result<(Job, Marking), Vec<Diagnostic>> {
        let (job, map, _) = view_out::read_measurements(source)?;
        match marking(&job) {
            Ok(marking) => Ok((job, marking)),
            Err(failure) => Err(diagnostics::of_failure(&failure, &job, &map)),
        }
    }

    fn written(&self, text: &str) -> Option<FileTable> {
        input::edit::outline(text)
    }

    fn schema(&self) -> &'static Table {
        input::schema::roof_file()
    }

    fn edit(&self, text: &str, edit: &Edit) -> Result<String, String> {
        input::edit::apply(text, edit).map_err(|error| wording::reading::edit(&error))
    }

    fn read(&self, path: &Path) -> Result<String, String> {
        std::fs::read_to_string(path).map_err(|error| format!("{}: {error}", path.display()))
    }

    fn write(&self, path: &Path, text: &str) -> Result<(), String> {
        output::write_file(path, text.as_bytes()).map_err(|error| error.to_string())
    }

    fn write_out(&self, writing: &Writing) -> Result<String, String> {
        view_out::write(writing)
    }

    fn recent(&self) -> Vec<PathBuf> {
        view_files::recent()
    }

    fn used(&self, path: &Path) {
        view_files::used(path);
    }

    fn open_written(&self, path: &Path) -> Result<(), String> {
        view_out::open_written(path)
    }

    fn setting(&self, name: &str) -> Option<String> {
        view_files::setting(name)
    }

    fn set(&self, name: &str, value: Option<&str>) {
        view_files::set(name, value);
    }

    fn shapes(&self) -> Vec<(String, String)> {
        new::templates().into_iter().map(|template| (template.about.to_owned(), template.text)).collect()
    }

    fn examples(&self) -> Vec<(String, String)> {
        let own = |(about, text): &(&str, &str)| ((*about).to_owned(), (*text).to_owned());
        EXAMPLES.iter().map(own).collect()
    }

    fn keep(&self, slot: &Slot, text: Option<&str>) -> Result<(), String> {
        view_files::keep(slot, text).map_err(|error| error.to_string())
    }

    fn kept(&self, path: Option<&Path>) -> Vec<(Slot, String)> {
        view_files::kept(path)
    }

    fn time_of_day(&self) -> String {
        chrono::Local::now().format("%H:%M").to_string()
    }

    fn compare(&self, source: Source, degrees: &[f64]) -> Result<Vec<Row>, String> {
        let (job, ..) = view_out::read(source).map_err(|_| "the file has errors".to_owned())?;
        let pitches: Vec<Pitch> = degrees.iter().filter_map(|degrees| Pitch::from_degrees(*degrees).ok()).collect();
        order::compare(&job, &[], &pitches).map_err(|error| wording::fault::not_comparable(&error, &job))
    }

    fn photo(&self, path: Option<&Path>, file: &str) -> Result<Pixels, String> {
        let bytes = input::Beside::of(path.unwrap_or(Path::new("")))
            .read(file)
            .map_err(|error| format!("the file {}", wording::reading::unread(&input::unread(&error))))?;
        let picture = upright(&bytes).map_err(|error| wording::reading::picture(&error))?.into_rgb8();
        let size = [picture.width(), picture.height()].map(|side| side as usize);
        Ok(Pixels { size, rgb: picture.into_raw() })
    }
}

/// The examples that need no file beside them, by what they are.
const EXAMPLES: [(&str, &str); 5] = [
    ("a boat store: a hip with its diagonal taped", include_str!("../../examples/boat_store.toml")),
    ("a stable: an L with three hips, a valley and a gable", include_str!("../../examples/stable_l.toml")),
    ("a store with its timbers worked out", include_str!("../../examples/hipped_store.toml")),
    ("a lean-to against a wall", include_str!("../../examples/lean_to.toml")),
    ("a field shed measured by points", include_str!("../../examples/field_shed.toml")),
];
