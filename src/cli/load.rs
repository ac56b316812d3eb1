//! From a path on the command line to a job, and from what goes wrong to what a person reads.

use super::diagnostics;
use crate::base::diagnostic::Diagnostic;
use crate::input::{self, SourceMap};
use crate::job::Job;
use crate::job::fault::Failure;
use std::io;
use std::path::{Path, PathBuf};

/// A roof file's text and what to call it.
#[derive(Clone, Debug)]
pub struct Source {
    /// As on the command line; `<stdin>` for standard input.
    pub name: String,
    /// Where it stands; empty for standard input.
    pub path: PathBuf,
    /// Its text.
    pub text: String,
}

impl Source {
    /// What it is called, and its text.
    #[must_use]
    pub(crate) fn named_text(&self) -> [&str; 2] {
        [&self.name, &self.text]
    }
}

/// Largest roof file that is read, bytes: a hundred thousand sides have a third of it.
const LARGEST: u64 = 32 << 20;

/// Why a command gives no answer.
#[derive(Debug)]
pub enum Stop {
    /// The roof file has errors, or nothing can be answered: exit status 1.
    File {
        /// Whose text the spans point into.
        source: Source,
        /// Everything found.
        diagnostics: Vec<Diagnostic>,
    },
    /// Nothing can be answered for a reason that stands in no line of the file: exit status 1.
    NoAnswer {
        /// Stable, kebab-case.
        code: &'static str,
        /// The reason.
        message: String,
    },
    /// Wrong usage, or a file that cannot be read or written: exit status 2.
    System(String),
}

impl From<io::Error> for Stop {
    fn from(error: io::Error) -> Self {
        Self::System(error.to_string())
    }
}

/// A job with where it came from.
#[derive(Debug)]
pub struct Loaded {
    /// The roof file.
    pub source: Source,
    /// What it says.
    pub job: Job,
    /// Where in it each place stands.
    pub map: SourceMap,
    /// Warnings; errors never come this far.
    pub warnings: Vec<Diagnostic>,
}

/// Reads a roof file's text; `-` is standard input.
///
/// # Errors
/// [`Stop::System`] when it cannot be read, [`Stop::File`] when it is not UTF-8.
pub fn source(path: &Path) -> Result<Source, Stop> {
    let (name, bytes) = if path == Path::new("-") {
        let bytes = input::whole(io::stdin().lock(), LARGEST);
        ("<stdin>".to_owned(), bytes)
    } else {
        let name = path.display().to_string();
        (name, std::fs::File::open(path).and_then(|file| input::whole(file, LARGEST)))
    };
    let bytes = bytes.map_err(|error| Stop::System(format!("{name}: {error}")))?.ok_or_else(|| {
        Stop::System(format!("{name}: found more than 32 MiB, expected a roof file: some kilobytes of text"))
    })?;
    let path = if name == "<stdin>" { PathBuf::new() } else { path.to_path_buf() };
    match String::from_utf8(bytes) {
        Ok(text) => Ok(Source { name, path, text }),
        Err(error) => {
            let good = error.utf8_error().valid_up_to();
            let bytes = error.into_bytes();
            let found = bytes.get(good).map_or_else(String::new, |byte| format!("byte 0x{byte:02X}"));
            let text = String::from_utf8_lossy(&bytes).into_owned();
            let diagnostic = Diagnostic::error("not-utf-8", good..good + 1, "the file is not UTF-8 text from here on")
                .found(found)
                .expected("UTF-8 text, as TOML asks")
                .hint("save the file again as UTF-8");
            Err(Stop::File { source: Source { name, path, text }, diagnostics: vec![diagnostic] })
        }
    }
}

/// Reads a roof file to a job.
///
/// # Errors
/// As [`source`], and [`Stop::File`] with every error of the file.
pub fn load(path: &Path) -> Result<Loaded, Stop> {
    let source = source(path)?;
    match input::read(&source.name, &source.text, &input::Beside::of(&source.path)) {
        Ok((job, map, warnings)) => Ok(Loaded { source, job, map, warnings }),
        Err(diagnostics) => Err(Stop::File { source, diagnostics }),
    }
}

impl Loaded {
    /// The files the answer is made from, where they are files.
    #[must_use]
    pub fn inputs(&self) -> Vec<PathBuf> {
        if self.source.path.as_os_str().is_empty() {
            return Vec::new();
        }
        let beside = super::output::folder_of(&self.source.path);
        let photos = self.job.survey.photos.iter().filter_map(|photo| photo.file.as_ref());
        std::iter::once(self.source.path.clone()).chain(photos.map(|photo| beside.join(photo))).collect()
    }

    /// A stage's failure as diagnostics with places in this file.
    #[must_use]
    pub fn stopped(self, failure: &Failure) -> Stop {
        let diagnostics = diagnostics::of_failure(failure, &self.job, &self.map);
        Stop::File { source: self.source, diagnostics }
    }
}
