//! How far a run has come, kept beside its output, so that one that was stopped is taken up again.

use crate::cli::output::write_file;
use crate::wording::batch::Tally;
use crate::write::batch::report::Gathered;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

/// What is kept.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Journal {
    format: String,
    /// What the run is of: its input with size and day, its arguments, the program. Another run starts anew.
    pub of: String,
    /// Features done.
    pub done: u64,
    /// Bytes of the input read for them.
    pub read: u64,
    /// Bytes of the output that hold their answers.
    pub written: u64,
    solved: u64,
    failed: BTreeMap<String, u64>,
    area: f64,
    gathered: Gathered,
}

const FORMAT: &str = "eavewright-batch-journal/1";

/// A name with more behind its ending.
fn beside(out: &Path, more: &str) -> PathBuf {
    let mut name = out.as_os_str().to_owned();
    name.push(more);
    name.into()
}

/// Where the unfinished output of a run stands.
pub fn part_of(out: &Path) -> PathBuf {
    beside(out, ".part")
}

/// Where its journal stands.
pub fn journal_of(out: &Path) -> PathBuf {
    beside(out, ".journal")
}

impl Journal {
    /// Of a run that begins.
    pub fn new(of: String) -> Self {
        Self { format: FORMAT.to_owned(), of, ..Self::default() }
    }

    /// What a stopped run of the same kind has left; `None` where there is none, or its output is shorter than it says.
    pub fn left(out: &Path, of: &str) -> Option<Self> {
        let text = std::fs::read_to_string(journal_of(out)).ok()?;
        let journal: Self = serde_json::from_str(&text).ok()?;
        let written = std::fs::metadata(part_of(out)).ok()?.len();
        (journal.format == FORMAT && journal.of == of && written >= journal.written).then_some(journal)
    }

    /// Keeps it, whole.
    ///
    /// # Errors
    /// What the system says.
    pub fn keep(&mut self, out: &Path, tally: &Tally, gathered: &Gathered) -> io::Result<()> {
        (self.solved, self.area) = (tally.solved, tally.area);
        self.failed.clone_from(&tally.failed);
        self.gathered = gathered.clone();
        write_file(&journal_of(out), &serde_json::to_vec(self)?)
    }

    /// What was counted and gathered.
    pub fn counted(&self) -> (Tally, Gathered) {
        let tally = Tally {
            read: self.done,
            solved: self.solved,
            failed: self.failed.clone(),
            area: self.area,
            seconds: 0.0,
            before: self.done,
        };
        (tally, self.gathered.clone())
    }
}
