//! Which reflex vertices may run into which pieces.

use super::wavefront::Sweep;

/// Candidates for splits.
#[derive(Clone, Debug)]
pub struct Search {
    /// Reflex vertices, dead ones among them.
    reflex: Vec<u32>,
    /// Splits above this height are not scheduled yet.
    pub horizon: f64,
}

impl Default for Search {
    fn default() -> Self {
        Self { reflex: Vec::new(), horizon: f64::INFINITY }
    }
}

impl Sweep<'_> {
    /// Schedules splits for new vertices against all pieces, and for touched pieces against all vertices.
    #[allow(clippy::cast_possible_truncation)]
    pub(super) fn schedule_splits(&mut self, touched: &[u32], made: &[u32]) {
        let new: Vec<u32> = made
            .iter()
            .copied()
            .filter(|&v| {
                let v = &self.vertices[v as usize];
                v.alive && v.turn < 0
            })
            .collect();
        let alive: Vec<u32> =
            (0..self.pieces.len() as u32).filter(|&piece| self.pieces[piece as usize].alive).collect();
        let old = std::mem::take(&mut self.search.reflex);
        for &vertex in &new {
            for &piece in &alive {
                self.schedule_split(vertex, piece);
            }
        }
        for &piece in touched {
            for &vertex in &old {
                if self.vertices[vertex as usize].alive {
                    self.schedule_split(vertex, piece);
                }
            }
        }
        self.search.reflex = old;
        self.search.reflex.extend(new);
    }
}
