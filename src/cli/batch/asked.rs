//! What a run is asked for.

use crate::cli::load::Stop;
use crate::input::outlines::crs::System;
use crate::wording::batch as words;
use std::path::Path;

/// What a run is asked for.
#[derive(Clone, Debug)]
pub struct Asked<'a> {
    /// The outlines; `-` reads features by the line from standard input.
    pub input: &'a Path,
    /// The answers; `-` prints lines of JSON.
    pub out: &'a Path,
    /// Whether places are degrees; `None`: as the file says.
    pub is_degrees: Option<bool>,
    /// The pitch where a feature says none, degrees.
    pub pitch: Option<f64>,
    /// The height of the eaves where a feature says none, metres.
    pub height: f64,
    /// The card where a feature names none.
    pub covering: Option<&'a str>,
    /// Prices for costs.
    pub prices: Option<&'a Path>,
    /// Whether answers list their faces.
    pub faces: bool,
    /// Where the page about the run goes.
    pub report: Option<&'a Path>,
    /// How many processors; `None`: all.
    pub jobs: Option<usize>,
}

/// What places are, where the command does not say.
///
/// # Errors
/// [`Stop::System`] where the file says that they are neither degrees nor metres.
pub fn degrees_of(system: &System, input: &Path) -> Result<bool, Stop> {
    match system {
        System::Unsaid | System::Degrees => Ok(true),
        System::Metres => Ok(false),
        System::Other(name) => Err(Stop::System(words::other_system(&input.display().to_string(), name))),
    }
}
