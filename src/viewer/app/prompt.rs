//! The path that is asked for, and what files keep between passes.

use crate::viewer::backend::Output;
use crate::viewer::background_task::BackgroundTask;
use std::path::PathBuf;

/// What the line above the roof asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// A roof file to open.
    Open,
    /// Where to save.
    SaveAs,
    /// Where to write a model, drawings or a sheet.
    Write(Output),
}

/// A path being asked for: by the system's dialog and by a line to type it in.
pub struct Prompt {
    /// What for.
    pub what: What,
    /// As typed so far.
    pub path: String,
    pub(super) dialog: Option<BackgroundTask<Option<PathBuf>>>,
    /// Whether the window had the focus before, and has lost it since: to a dialog.
    pub(super) had_focus: bool,
    pub(super) lost_focus: bool,
}

/// What files keep between passes.
#[derive(Default)]
pub struct Files {
    /// The path asked for now.
    pub prompt: Option<Prompt>,
    /// Files used lately, newest first.
    pub recent: Vec<PathBuf>,
    /// What was written last, while nothing else has happened since.
    pub written: Option<PathBuf>,
    pub(super) writing: Option<(PathBuf, BackgroundTask<Result<String, String>>)>,
}

impl Files {
    /// Whether something is being written.
    #[must_use]
    pub(crate) fn is_busy(&self) -> bool {
        self.writing.is_some()
    }
}
