//! What the comparison keeps between passes.

use crate::base::tolerance::ROUNDING;
use crate::job::order::Row;
use crate::viewer::background_task::BackgroundTask;

/// Most pitches in one comparison.
const MOST: usize = 40;

/// What the comparison keeps between passes.
pub struct Compare {
    /// From, to, step: degrees.
    pub(super) range: [f64; 3],
    /// The text and range that were compared or are being.
    pub(super) asked: Option<(String, [f64; 3])>,
    pub(super) task: Option<BackgroundTask<Result<Vec<Row>, String>>>,
    pub(super) rows: Result<Vec<Row>, String>,
    /// The pitch under the pointer or in focus, by its row.
    pub(super) lit: Option<usize>,
}

impl Default for Compare {
    fn default() -> Self {
        Self { range: [15.0, 55.0, 5.0], asked: None, task: None, rows: Ok(Vec::new()), lit: None }
    }
}

impl Compare {
    /// Whether a comparison is under way.
    #[must_use]
    pub(crate) fn is_busy(&self) -> bool {
        self.task.is_some()
    }

    pub(super) fn pitches(&self) -> Vec<f64> {
        let [from, to, step] = self.range;
        let pitches = (0..MOST).map(|number| from + number as f64 * step);
        pitches.take_while(|pitch| *pitch <= to + ROUNDING).collect()
    }
}
