//! Pieces of underlay and deck where they come to lie, so that a drawing of them shows what was counted.

use super::card::Direction;
use super::outline::CoveredFace;
use super::region::{Cell, Region};
use crate::base::ids::FaceId;
use crate::base::order::SortByNumber as _;
use crate::base::tolerance;
use crate::roof::model::frame::FaceFrame;

/// A piece in the frame of its face. Its ends follow the region it lies in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlanPiece {
    /// Which row, counted from the eave (of strips up the slope from the left), the first 0.
    pub row: usize,
    /// From where to where along the eave, metres.
    pub u: [f64; 2],
    /// Lower and upper edge up the slope, metres.
    pub v: [f64; 2],
    /// Which roll it is cut from, counted from 1; `None` where rolls are not told apart.
    pub roll: Option<u32>,
}

/// The pieces of a face, row by row from the eave up.
#[derive(Clone, Debug, PartialEq)]
pub struct PiecePlan {
    /// The face, by its number in the roof.
    pub face: FaceId,
    /// Its frame, in which pieces and region lie.
    pub frame: FaceFrame,
    /// What is covered: the face with what is laid over its edges, large openings cut out.
    pub region: Region,
    /// In the order they are laid.
    pub pieces: Vec<PlanPiece>,
    /// Which way they run.
    pub direction: Direction,
    /// How they lap.
    pub laps: Laps,
    /// What they are cut from.
    pub stock: Stock,
}

/// What pieces are cut from, metres; `None` where that is not told of it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stock {
    /// Width of a roll or a board; of a sheet up the slope.
    pub width: f64,
    /// Length of a board or sheet along the eave.
    pub length: Option<f64>,
    /// Thickness of a board or sheet.
    pub thickness: Option<f64>,
    /// Distance of the bearers that its ends lie on.
    pub spacing: Option<f64>,
}

/// How pieces lap each other, metres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Laps {
    /// Of a row over the one below.
    pub head: f64,
    /// Of a piece's end over the one before in its row.
    pub end: f64,
    /// Whether every place lies under two layers, a narrow row first.
    pub double: bool,
}

impl PiecePlan {
    /// A face with nothing on it yet.
    #[must_use]
    pub fn new(face: &CoveredFace, region: Region) -> Self {
        Self {
            face: face.id,
            frame: face.frame,
            region,
            pieces: Vec::new(),
            direction: Direction::default(),
            laps: Laps::default(),
            stock: Stock::default(),
        }
    }

    /// Where the rows begin: lower edges up the slope, of strips up it left edges along the eave; metres, by row.
    #[must_use]
    pub fn rows(&self) -> Vec<f64> {
        let mut rows: Vec<f64> = Vec::new();
        for piece in &self.pieces {
            if piece.row == rows.len() {
                rows.push(match self.direction {
                    Direction::Across => piece.v[0],
                    Direction::Up => piece.u[0],
                });
            }
        }
        rows
    }
}

/// Where a level line runs through a region: from-to along the eave, in order. O(cells log cells).
#[must_use]
pub fn level_runs(region: &Region, v: f64) -> Vec<[f64; 2]> {
    let here = |cell: &&Cell| cell.v[0] <= v && v < cell.v[1];
    let run = |cell: &Cell| {
        let share = (v - cell.v[0]) / (cell.v[1] - cell.v[0]);
        [cell.left, cell.right].map(|side| side[0] + (side[1] - side[0]) * share)
    };
    joined(region.cells().iter().filter(here).map(run).collect())
}

/// Where a line up the slope runs through a region between two heights: from-to up the slope, in order.
/// O(cells log cells).
#[must_use]
pub fn upright_runs(region: &Region, u: f64, [low, high]: [f64; 2]) -> Vec<[f64; 2]> {
    let run = |cell: Cell| {
        // Shares of the cell's height between which the line is right of its left side and left of its right side.
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (start, end) in [(u - cell.left[0], u - cell.left[1]), (cell.right[0] - u, cell.right[1] - u)] {
            match (start < 0.0, end < 0.0) {
                (true, true) => return None,
                (true, false) => from = from.max(start / (start - end)),
                (false, true) => to = to.min(start / (start - end)),
                (false, false) => {}
            }
        }
        let at = |share: f64| cell.v[0] + (cell.v[1] - cell.v[0]) * share;
        (to > from).then(|| [at(from), at(to)])
    };
    joined(region.between(low, high).filter_map(run).collect())
}

/// Runs in order, those that touch made one.
fn joined(mut runs: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    runs.sort_by_number(|a| a[0]);
    let mut joined: Vec<[f64; 2]> = Vec::new();
    for run in runs {
        match joined.last_mut() {
            Some(last) if run[0] <= last[1] + tolerance::SMALLEST => last[1] = last[1].max(run[1]),
            _ => joined.push(run),
        }
    }
    joined
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Point2;

    #[test]
    fn lines_are_cut_to_the_region() {
        let ring = [(0.0, 0.0), (4.0, 0.0), (0.0, 4.0)].map(|(u, v)| Point2::new(u, v)).to_vec();
        let hole = [(0.5, 0.5), (1.0, 0.5), (1.0, 1.0), (0.5, 1.0)].map(|(u, v)| Point2::new(u, v)).to_vec();
        let region = Region::new(&[ring], &[hole]);
        assert_eq!(level_runs(&region, 0.75), vec![[0.0, 0.5], [1.0, 3.25]]);
        assert_eq!(upright_runs(&region, 0.75, [0.0, 9.0]), vec![[0.0, 0.5], [1.0, 3.25]]);
        assert_eq!(upright_runs(&region, 3.0, [0.25, 9.0]), vec![[0.25, 1.0]]);
        assert!(upright_runs(&region, 4.5, [0.0, 9.0]).is_empty());
    }
}
