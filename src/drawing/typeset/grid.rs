//! A grid over the drawing area: what lies near a place is found without looking at everything.

use super::board::Around;
use nalgebra::Point2;

/// Rounding of places on paper, millimetres.
const HAIR: f64 = 1e-6;

/// Cells a side at most.
const MOST: usize = 48;
/// Smallest side of a cell, millimetres.
const LEAST: f64 = 6.0;

/// Numbers of things by the cells they lie in. What lies beyond the area counts to the cells at its rim, so that nothing
/// is ever missed.
#[derive(Clone, Debug)]
pub struct Grid {
    low: Point2<f64>,
    step: [f64; 2],
    count: [usize; 2],
    cells: Vec<Vec<u32>>,
}

impl Grid {
    /// An empty grid over an area.
    #[must_use]
    pub fn new(low: Point2<f64>, high: Point2<f64>) -> Self {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let along = |axis: usize| {
            let size = (high[axis] - low[axis]).max(0.0);
            let count = ((size / LEAST) as usize).clamp(1, MOST);
            (count, (size / count as f64).max(LEAST))
        };
        let ((columns, width), (rows, height)) = (along(0), along(1));
        Self { low, step: [width, height], count: [columns, rows], cells: vec![Vec::new(); columns * rows] }
    }

    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    fn cell(&self, axis: usize, place: f64) -> usize {
        // A negative number becomes 0, a large one the last cell.
        (((place - self.low[axis]) / self.step[axis]).max(0.0) as usize).min(self.count[axis] - 1)
    }

    /// Notes a thing in every cell its box touches.
    pub(crate) fn add_box(&mut self, number: u32, around: &Around) {
        let (low, high) = around.corners();
        for row in self.cell(1, low.y)..=self.cell(1, high.y) {
            for column in self.cell(0, low.x)..=self.cell(0, high.x) {
                self.cells[row * self.count[0] + column].push(number);
            }
        }
    }

    /// Notes a straight line in the cells it runs through.
    pub(crate) fn add_line(&mut self, number: u32, from: &Point2<f64>, to: &Point2<f64>) {
        let (left, right) = if from.x <= to.x { (from, to) } else { (to, from) };
        let (first, last) = (self.cell(0, left.x), self.cell(0, right.x));
        let height = |x: f64| {
            let share = ((x - left.x) / (right.x - left.x)).clamp(0.0, 1.0);
            if share.is_finite() { left.y + (right.y - left.y) * share } else { left.y }
        };
        for column in first..=last {
            // Within its column; at the rim, and where it begins and ends, to its own ends.
            let edge = |count: usize| self.low.x + count as f64 * self.step[0];
            let enter = if column == first { left.y } else { height(edge(column)) };
            let leave = if column == last { right.y } else { height(edge(column + 1)) };
            // A hair on both sides takes the rounding of where it crosses.
            let (low, high) = (enter.min(leave) - HAIR, enter.max(leave) + HAIR);
            for row in self.cell(1, low)..=self.cell(1, high) {
                self.cells[row * self.count[0] + column].push(number);
            }
        }
    }

    /// What may lie near a box, some perhaps more than once.
    pub fn near(&self, around: &Around) -> impl Iterator<Item = usize> {
        let (low, high) = around.corners();
        let columns = self.cell(0, low.x)..=self.cell(0, high.x);
        (self.cell(1, low.y)..=self.cell(1, high.y)).flat_map(move |row| {
            let start = row * self.count[0];
            columns.clone().flat_map(move |column| self.cells[start + column].iter().map(|&number| number as usize))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_near_is_missed() {
        let mut grid = Grid::new(Point2::new(0.0, 0.0), Point2::new(200.0, 100.0));
        // Lines of every slope, some beyond the area, by a fixed rule.
        let lines: Vec<[Point2<f64>; 2]> = (0..200_u32)
            .map(|k| {
                let at = |n: u32| f64::from((k * n + n) % 997) / 997.0;
                let place = |a: f64, b: f64| Point2::new(a * 260.0 - 30.0, b * 160.0 - 30.0);
                [place(at(7919), at(104_729)), place(at(1_299_709), at(15_485_863))]
            })
            .collect();
        for (number, [from, to]) in (0..).zip(&lines) {
            grid.add_line(number, from, to);
        }
        for (k, [a, _]) in lines.iter().enumerate() {
            let around = Around::of(&[*a, a + nalgebra::Vector2::new(9.0, 4.0)]);
            let near: std::collections::BTreeSet<usize> = grid.near(&around).collect();
            let (low, high) = around.corners();
            for (number, [from, to]) in lines.iter().enumerate() {
                let meets = (0..=400).any(|step| {
                    let place = from + (to - from) * (f64::from(step) / 400.0);
                    low.x <= place.x && place.x <= high.x && low.y <= place.y && place.y <= high.y
                });
                assert!(!meets || near.contains(&number), "line {number} near box {k}");
            }
        }
    }
}
