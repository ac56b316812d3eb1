//! The input of a run: which reader by its ending, and where a stopped run goes on.

use super::asked::{Asked, degrees_of};
use super::journal::Journal;
use crate::cli::load::Stop;
use crate::cli::output::named;
use crate::input::outlines::crs::System;
use crate::input::outlines::geojson::Collection;
use crate::input::outlines::lines::Lines;
use crate::input::outlines::{Content, Piece, Pieces};
use crate::wording::batch as words;
use std::fs::File;
use std::io::{BufReader, Seek, SeekFrom};
use std::path::Path;

/// Endings of inputs.
const KINDS: [&str; 4] = [".geojson", ".geojsonl", ".fgb", ".parquet"];

/// Whether a path ends so, in whatever letters.
#[must_use]
pub fn ends_with(path: &Path, ending: &str) -> bool {
    path.to_string_lossy().to_lowercase().ends_with(ending)
}

/// What a run is of: where any of it differs, another run is meant.
pub fn fingerprint(asked: &Asked) -> Result<String, Stop> {
    let about = if asked.input == Path::new("-") {
        String::new()
    } else {
        let about = std::fs::metadata(asked.input).map_err(|error| named(asked.input, &error))?;
        format!("{} {:?}", about.len(), about.modified().ok())
    };
    Ok(format!(
        "{} {} {about} {:?} {:?} {} {:?} {:?} {} {}",
        env!("CARGO_PKG_VERSION"),
        asked.input.display(),
        asked.is_degrees,
        asked.pitch,
        asked.height,
        asked.covering,
        asked.prices,
        asked.faces,
        asked.report.is_some()
    ))
}

/// Opens the input where a run that stopped goes on, and reads its first piece, as only then it may be known what places
/// are.
///
/// # Errors
/// [`Stop::System`] for a file that cannot be read, or an ending that is no input.
pub fn open(input: &Path, journal: &Journal) -> Result<(Box<dyn Pieces>, Option<Piece>), Stop> {
    let mut pieces = reader(input, journal)?;
    let mut first = pieces.next_piece().map_err(|error| named(input, &error))?;
    // A reader that begins at the beginning passes over what is done.
    while let Some(piece) = first.take() {
        if piece.before + piece.count > journal.done {
            first = Some(without(piece, journal.done));
            break;
        }
        first = pieces.next_piece().map_err(|error| named(input, &error))?;
    }
    Ok((pieces, first))
}

/// A piece without the features before a number.
fn without(mut piece: Piece, done: u64) -> Piece {
    let over = usize::try_from(done.saturating_sub(piece.before)).unwrap_or(0);
    match &mut piece.content {
        Content::Texts { features, .. } => drop(features.drain(..over)),
        Content::Rows(rows) => drop(rows.drain(..over)),
    }
    piece.before += over as u64;
    piece.count -= over as u64;
    piece
}

/// The reader of an input by its ending, where a run goes on.
pub fn reader(input: &Path, journal: &Journal) -> Result<Box<dyn Pieces>, Stop> {
    if input == Path::new("-") {
        return Ok(Box::new(Lines::new(BufReader::new(std::io::stdin()), None, (0, 0))));
    }
    let open = || -> Result<(File, u64), Stop> {
        let file = File::open(input).map_err(|error| named(input, &error))?;
        let size = file.metadata().map_err(|error| named(input, &error))?.len();
        Ok((file, size))
    };
    if ends_with(input, ".geojsonl") {
        let (mut file, size) = open()?;
        file.seek(SeekFrom::Start(journal.read)).map_err(|error| named(input, &error))?;
        let reader = BufReader::with_capacity(1 << 18, file);
        return Ok(Box::new(Lines::new(reader, Some(size), (journal.read, journal.done))));
    }
    if ends_with(input, ".geojson") {
        let (file, size) = open()?;
        return Ok(Box::new(Collection::new(BufReader::with_capacity(1 << 16, file), Some(size))));
    }
    #[cfg(feature = "flatgeobuf")]
    if ends_with(input, ".fgb") {
        let (file, size) = open()?;
        let reader = crate::input::outlines::flatgeobuf::Table::open(BufReader::with_capacity(1 << 18, file), size);
        return Ok(Box::new(reader.map_err(|error| named(input, &error))?));
    }
    #[cfg(feature = "geoparquet")]
    if ends_with(input, ".parquet") {
        let (file, _) = open()?;
        let reader = crate::input::outlines::parquet::Table::open(file);
        return Ok(Box::new(reader.map_err(|error| named(input, &error))?));
    }
    if let Some(kind) = KINDS.iter().find(|kind| ends_with(input, kind)) {
        return Err(Stop::System(words::built_without(&input.display().to_string(), kind)));
    }
    Err(Stop::System(words::no_input_kind(&input.display().to_string(), &KINDS)))
}

/// Whether places are degrees: as the command says, else as the file does.
///
/// # Errors
/// [`Stop::System`] where the file says that they are neither.
pub fn is_degrees(asked: &Asked, system: &System) -> Result<bool, Stop> {
    asked.is_degrees.map_or_else(|| degrees_of(system, asked.input), Ok)
}
