//! Models, drawings and sheets written from the window, step by step.

use super::{draw, export, output, output_set, photo, sheet};
use crate::base::diagnostic::Diagnostic;
use crate::drawing::Context;
use crate::drawing::job_sheet::{Audience, Shape, SheetInput};
use crate::input::{self, Read};
use crate::job::{self, Answer, Job, Options, order};
use crate::roof::EdgeKind;
use crate::viewer::backend::{Output, Source, Writing};
use crate::wording::units::Format;
use crate::write::dxf;
use crate::write::pdf;
use crate::write::spreadsheet;
use std::path::Path;

/// The field sheet a roof is best measured on.
fn shape_of(job: &Job, answer: &Answer) -> Shape {
    let has = |kind: EdgeKind| answer.roof.edges.iter().any(|edge| edge.kind == kind);
    match () {
        () if job.blocks.is_empty() => Shape::Points,
        () if has(EdgeKind::Valley) => Shape::Wings,
        () if has(EdgeKind::Hip) => Shape::Hip,
        () if has(EdgeKind::Ridge) => Shape::Gable,
        () => Shape::LeanTo,
    }
}

/// Opens a file in whatever the system opens it with.
///
/// # Errors
/// Why not, in words.
pub fn open_written(path: &Path) -> Result<(), String> {
    let path = std::path::absolute(path).map_err(|error| error.to_string())?;
    let opener = if cfg!(target_os = "macos") {
        "open"
    } else if cfg!(windows) {
        "explorer"
    } else {
        "xdg-open"
    };
    let mut child = std::process::Command::new(opener)
        .arg(&path)
        .stdin(std::process::Stdio::null())
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::null())
        .spawn()
        .map_err(|error| format!("{} can't be opened from here ({opener}: {error})", path.display()))?;
    // Waited for beside the window, so that it leaves no dead process behind.
    std::thread::spawn(move || child.wait());
    Ok(())
}

const CALLED_OFF: &str = "called off: nothing was written";

/// Reads the job of a text, files it names beside it.
///
/// # Errors
/// Everything that is wrong with it.
pub fn read(source: Source) -> Result<Read, Vec<Diagnostic>> {
    input::read("roof", source.text, &input::Beside::of(source.path.unwrap_or(Path::new(""))))
}

/// Reads a job whose file need not describe a roof yet.
///
/// # Errors
/// Everything that is wrong with it.
pub fn read_measurements(source: Source) -> Result<Read, Vec<Diagnostic>> {
    input::read_measurements("roof", source.text, &input::Beside::of(source.path.unwrap_or(Path::new(""))))
}

/// Writes a job's model, drawings or sheet; what was written, in words.
///
/// # Errors
/// Why not, in words.
pub fn write(writing: &Writing) -> Result<String, String> {
    let &Writing { source, output, to, progress } = writing;
    let go = |done, of, what| if progress.step(done, of, what) { Ok(()) } else { Err(CALLED_OFF.to_owned()) };
    go(0, 4, "solving")?;
    let (job, ..) = read(source).map_err(|_| "the file has errors".to_owned())?;
    let format = match output {
        Output::Sheet | Output::Offer | Output::Handover | Output::Client | Output::Field => {
            Some(sheet::FileFormat::of(to)?)
        }
        Output::Model | Output::Drawings | Output::Order | Output::Table | Output::Picture => None,
    };
    let kind = spreadsheet::Kind::of(to);
    let is_order = matches!(output, Output::Order | Output::Table);
    if is_order && kind.is_none() {
        return Err(format!("{}: expected a name that ends in .xlsx, .ods or .csv", to.display()));
    }
    let answer = job::solve(&job, &Options { steps: true, spread: true }).map_err(|failure| failure.to_string())?;
    if output == Output::Model {
        go(2, 4, "making the model")?;
        let files = export::model(&job, &answer, to, &export::Print::default()).map_err(|stop| match stop {
            super::load::Stop::System(message) | super::load::Stop::NoAnswer { message, .. } => message,
            other @ super::load::Stop::File { .. } => format!("{other:?}"),
        })?;
        go(3, 4, "writing")?;
        for (path, bytes) in &files {
            output::write_file(path, bytes).map_err(|error| error.to_string())?;
        }
        return Ok(format!("wrote {}", to.display()));
    }
    go(1, 4, "laying out")?;
    let take_off = order::take_off(&job, &answer);
    if let Some(kind) = kind.filter(|_| is_order) {
        go(3, 4, "writing")?;
        let rows = spreadsheet::rows(&job.title, &take_off, Format::of(job.units));
        let bytes = spreadsheet::write(&rows, kind).map_err(|error| error.to_string())?;
        output::write_file(to, &bytes).map_err(|error| error.to_string())?;
        return Ok(format!("wrote {}", to.display()));
    }
    if output == Output::Picture {
        go(2, 4, "drawing the picture")?;
        let bytes = super::picture::picture(job, answer, to)?;
        go(3, 4, "writing")?;
        output::write_file(to, &bytes).map_err(|error| error.to_string())?;
        return Ok(format!("wrote {}", to.display()));
    }
    let context = Context::of(&job);
    let (photos, _) = photo::taken(&job, source.path.unwrap_or(Path::new("")), &answer);
    if let Some(format) = format {
        go(2, 4, "drawing the sheet")?;
        let audience = if output == Output::Sheet { Audience::Own } else { Audience::Client };
        let shape = shape_of(&job, &answer);
        let input =
            SheetInput { job: &job, answer: &answer, take_off: &take_off, context: &context, audience, full: false };
        let bytes = match output {
            Output::Offer => sheet::offer(&input, format),
            Output::Handover => sheet::handover(&input, format),
            Output::Field => sheet::field(shape, &context, format),
            _ => sheet::sheet_with_photos(&input, &photos, format),
        };
        let bytes = bytes.map_err(|error| error.to_string())?;
        go(3, 4, "writing")?;
        output::write_file(to, &bytes).map_err(|error| error.to_string())?;
        return Ok(format!("wrote {}", to.display()));
    }
    go(2, 4, "drawing")?;
    let drawings = draw::drawings_with_photos(&answer, Some(&take_off), &job, &context, &photos);
    let count = drawings.len() + 3;
    let mut files = Vec::new();
    for (index, drawing) in drawings.iter().enumerate() {
        go(index + 1, count, &drawing.title)?;
        files.extend(draw::draw_one(drawing, dxf::unit_for(job.units)));
    }
    go(drawings.len() + 1, count, "all in one PDF")?;
    files.push(("drawings.pdf".to_owned(), pdf::pdf(&drawings, &job.title).map_err(|error| error.to_string())?));
    go(drawings.len() + 2, count, "writing")?;
    output_set::write_set(to, &files).map_err(|error| error.to_string())?;
    Ok(format!("wrote {} files into {}", files.len(), to.display()))
}
