//! What the search for splits keeps from stride to stride.

use super::grid::{Grid, Region};

/// How pairs are found at present.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Mode {
    /// Not begun, or nothing reflex.
    #[default]
    Idle,
    /// All pairs.
    All,
    /// Those that share a cell.
    Cells,
}

/// Candidates for splits.
#[derive(Clone, Debug, Default)]
pub struct Search {
    pub(super) mode: Mode,
    /// Splits above this height are not scheduled yet.
    pub horizon: f64,
    /// Live pieces and reflex vertices when last counted, and later ones.
    pub(super) live: Vec<u32>,
    pub(super) reflex: Vec<u32>,
    /// Pieces made before this one are in `live`.
    pub(super) known: usize,
    pub(super) pieces: Grid,
    pub(super) vertices: Grid,
    /// By piece: the region it was put in with, in which stride.
    pub(super) regions: Vec<(u32, Region)>,
    pub(super) stride: u32,
    /// Length of a stride in cells, and how many events the last one had begun with.
    pub(super) length: f64,
    pub(super) events: usize,
    /// By piece and by vertex: the last partner tried, so that shared cells try a pair once.
    pub(super) tried_piece: Vec<u32>,
    pub(super) tried_vertex: Vec<u32>,
    /// Cells of the region being put in.
    pub(super) cells: Vec<usize>,
    /// Box of the outline.
    pub(super) low: [f64; 2],
    pub(super) high: [f64; 2],
}

/// A region that holds no place.
pub(super) const NOWHERE: Region = Region { low: [0.0; 2], high: [0.0; 2], normal: [0.0; 2], slab: [0.0; 2] };

impl Search {
    /// Nothing found yet, nothing held back.
    #[must_use]
    pub fn new() -> Self {
        Self { horizon: f64::INFINITY, ..Self::default() }
    }

    /// Whether a place lies within the outline's box, which the wavefront never leaves.
    #[must_use]
    pub(crate) fn can_reach(&self, place: &[f64; 3]) -> bool {
        (0..2).all(|axis| place[axis] >= self.low[axis] && place[axis] <= self.high[axis])
    }
}
