//! What is wrong with a file as it was read, as data: what, where, what was found and what would have been right.
//! `wording::reading` makes sentences of it.

mod codes;
mod fault;
mod files;
mod kinds;

pub use fault::Fault;
pub use files::{EditError, PictureError, Unread};
pub use kinds::{AfterValue, Bearers, Conflict, Counted, Expected, Measured, Named, Roles, ValueKind};

use crate::base::diagnostic::{OtherFile, Severity};
use std::ops::Range;
use std::sync::Arc;

/// A mistake in a file, or something that is worth a look, with its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// What it is.
    pub fault: Fault,
    /// How bad.
    pub severity: Severity,
    /// Byte range in the file.
    pub span: Range<usize>,
    /// What stands there, as written, where that is shown.
    pub written: Option<String>,
    /// Other places that explain it.
    pub beside: Vec<(Range<usize>, Beside)>,
    /// The file the spans are of, where it is not the roof file.
    pub file: Option<Arc<OtherFile>>,
}

impl Problem {
    /// An error at a place.
    #[must_use]
    pub fn error(span: Range<usize>, fault: Fault) -> Self {
        Self { fault, severity: Severity::Error, span, written: None, beside: Vec::new(), file: None }
    }

    /// The same, as a warning.
    #[must_use]
    pub fn warning(span: Range<usize>, fault: Fault) -> Self {
        Self { severity: Severity::Warning, ..Self::error(span, fault) }
    }

    /// States what is written there.
    #[must_use]
    pub fn written(mut self, written: impl Into<String>) -> Self {
        self.written = Some(written.into());
        self
    }

    /// Adds a second place.
    #[must_use]
    pub fn beside(mut self, span: Range<usize>, what: Beside) -> Self {
        self.beside.push((span, what));
        self
    }
}

/// What stands at a second place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Beside {
    /// What no longer fits after a bracket that is not closed.
    NoLongerFits,
    /// The same key, given before.
    FirstGiven,
    /// The same name, used before.
    FirstUsed,
    /// The same point, named before.
    FirstHere,
    /// A key that does not go with the first.
    Key(String),
    /// The other role of a side.
    OtherRole,
    /// The other side whose length is left open.
    OtherOpen,
    /// The other side that an outline meets itself with.
    OtherSide,
    /// The block that stands here.
    StandsHere,
    /// The first side of an outline.
    FirstOfSides,
}
