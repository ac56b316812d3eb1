//! What is to be decided before a file is written over.

use crate::viewer::background_task::BackgroundTask;
use std::path::PathBuf;

/// What the user is asked before anything is written over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Overwrite {
    /// Another program changed the file since it was read or saved here.
    Changed {
        /// The file.
        path: PathBuf,
        /// Its text now.
        theirs: String,
        /// Whether it was to be saved when that was found.
        was_saving: bool,
    },
    /// A new name is that of a file that is there.
    Exists(PathBuf),
}

/// What is kept between passes to see whether the file was changed by another program.
#[derive(Default)]
pub(super) struct OnDisk {
    /// Whether the window had the focus; nothing before the first pass, when the file has just been read.
    pub(super) had_focus: Option<bool>,
    pub(super) look: Option<BackgroundTask<Option<String>>>,
}
