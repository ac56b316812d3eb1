//! A flat region as slabs of trapezoids: what course after course is clipped against.
//!
//! The plane is cut at the height of every corner and every crossing of outlines; between two cuts no lines cross, so
//! the region is a row of trapezoids (the trapezoidal decomposition; de Berg, Cheong, van Kreveld, Overmars,
//! Computational Geometry, ch. 6, here by brute force over the few lines of a face). A place belongs to the region when the
//! face winds round it at least once and no opening does, so outlines moved inwards past each other do no harm.

use crate::base::order::SortByNumber as _;
use crate::base::tolerance;
use nalgebra::Point2;

/// A trapezoid with level top and bottom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// Lower and upper edge.
    pub v: [f64; 2],
    /// Left side at the lower and at the upper edge.
    pub left: [f64; 2],
    /// Right side at the lower and at the upper edge.
    pub right: [f64; 2],
}

impl Cell {
    /// The part of it between two heights; `None` when it does not reach between them. O(1).
    #[must_use]
    pub fn between(&self, low: f64, high: f64) -> Option<Self> {
        let (v0, v1) = (self.v[0].max(low), self.v[1].min(high));
        if v1 <= v0 {
            return None;
        }
        let at = |side: &[f64; 2], v: f64| {
            if v == self.v[0] {
                side[0]
            } else if v == self.v[1] {
                side[1]
            } else {
                side[0] + (side[1] - side[0]) * (v - self.v[0]) / (self.v[1] - self.v[0])
            }
        };
        let ends = |side: &[f64; 2]| [at(side, v0), at(side, v1)];
        Some(Self { v: [v0, v1], left: ends(&self.left), right: ends(&self.right) })
    }

    /// Leftmost place.
    #[must_use]
    pub(crate) fn min_u(&self) -> f64 {
        self.left[0].min(self.left[1])
    }

    /// Rightmost place.
    #[must_use]
    pub(crate) fn max_u(&self) -> f64 {
        self.right[0].max(self.right[1])
    }

    /// Area.
    #[must_use]
    pub fn area(&self) -> f64 {
        (self.right[0] - self.left[0] + self.right[1] - self.left[1]) / 2.0 * (self.v[1] - self.v[0])
    }

    /// Its corners, anticlockwise.
    #[must_use]
    pub fn corners(&self) -> [Point2<f64>; 4] {
        [
            Point2::new(self.left[0], self.v[0]),
            Point2::new(self.right[0], self.v[0]),
            Point2::new(self.right[1], self.v[1]),
            Point2::new(self.left[1], self.v[1]),
        ]
    }

    /// Area between two upright lines, without allocating. O(1).
    #[must_use]
    pub fn area_between(&self, from_u: f64, to_u: f64) -> f64 {
        self.area_right_of(from_u) - self.area_right_of(to_u)
    }

    /// Area to the right of an upright line: the mean over the height of how far the right side lies beyond the line,
    /// less the same for the left side.
    fn area_right_of(&self, u: f64) -> f64 {
        let height = self.v[1] - self.v[0];
        (mean_excess(self.right[0] - u, self.right[1] - u) - mean_excess(self.left[0] - u, self.left[1] - u)) * height
    }

    /// The convex part between two upright lines; empty when it does not reach between them. O(1).
    #[must_use]
    pub fn part(&self, from_u: f64, to_u: f64) -> Vec<Point2<f64>> {
        let left = cut_upright(&self.corners(), from_u, 1.0);
        let both = cut_upright(&left, to_u, -1.0);
        if both.len() < 3 { Vec::new() } else { both }
    }
}

/// Mean of max(0, x) for x running evenly from `a` to `b`.
fn mean_excess(a: f64, b: f64) -> f64 {
    let (low, high) = (a.min(b), a.max(b));
    if low >= 0.0 {
        f64::midpoint(low, high)
    } else if high <= 0.0 {
        0.0
    } else {
        high * high / (2.0 * (high - low))
    }
}

/// Keeps what lies on the side of an upright line that `sign` points to.
fn cut_upright(ring: &[Point2<f64>], u: f64, sign: f64) -> Vec<Point2<f64>> {
    let mut kept = Vec::with_capacity(ring.len() + 2);
    let Some(mut previous) = ring.last().copied() else { return kept };
    for &corner in ring {
        let (before, here) = ((previous.x - u) * sign, (corner.x - u) * sign);
        if (before < 0.0) != (here < 0.0) {
            let along = before / (before - here);
            kept.push(Point2::new(u, previous.y + along * (corner.y - previous.y)));
        }
        if here >= 0.0 {
            kept.push(corner);
        }
        previous = corner;
    }
    kept.dedup();
    kept
}

/// A region of a face.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Region {
    /// Trapezoids from the bottom up, left to right within a slab.
    cells: Vec<Cell>,
}

/// A line of an outline, upwards.
struct LevelLine {
    low: Point2<f64>,
    high: Point2<f64>,
    /// +1 when the outline runs down along it, so that the region begins to its right.
    winding: i32,
    /// Of the face, or of an opening.
    is_face: bool,
}

impl LevelLine {
    fn u_at(&self, v: f64) -> f64 {
        let along = ((v - self.low.y) / (self.high.y - self.low.y)).clamp(0.0, 1.0);
        self.low.x + (self.high.x - self.low.x) * along
    }
}

impl Region {
    /// The region inside `outlines` (outer rings anticlockwise, holes clockwise) and outside `openings`
    /// (anticlockwise). Slabs thinner than [`tolerance::SMALLEST`] are left out. O(n² + n k) for n lines, k slabs.
    #[must_use]
    pub fn new(outlines: &[Vec<Point2<f64>>], openings: &[Vec<Point2<f64>>]) -> Self {
        let mut lines = Vec::new();
        for (rings, is_face) in [(outlines, true), (openings, false)] {
            for ring in rings {
                add_lines(ring, is_face, &mut lines);
            }
        }
        let heights = break_heights(&lines);
        let mut cells = Vec::new();
        for slab in heights.windows(2) {
            add_slab(&lines, slab[0], slab[1], &mut cells);
        }
        Self { cells }
    }

    /// Trapezoids from the bottom up.
    #[must_use]
    pub fn cells(&self) -> &[Cell] {
        &self.cells
    }

    /// What lies between two heights. O(cells).
    pub fn between(&self, low: f64, high: f64) -> impl Iterator<Item = Cell> {
        self.cells.iter().filter_map(move |cell| cell.between(low, high))
    }

    /// Area. O(cells).
    #[must_use]
    pub fn area(&self) -> f64 {
        self.cells.iter().map(Cell::area).sum()
    }

    /// Lowest and highest place; `None` for an empty region. O(cells).
    #[must_use]
    pub fn span_v(&self) -> Option<[f64; 2]> {
        Some([self.cells.first()?.v[0], self.cells.last()?.v[1]])
    }

    /// Leftmost and rightmost place; `None` for an empty region. O(cells).
    #[must_use]
    pub fn span_u(&self) -> Option<[f64; 2]> {
        let left = self.cells.iter().map(Cell::min_u).reduce(f64::min)?;
        let right = self.cells.iter().map(Cell::max_u).reduce(f64::max)?;
        Some([left, right])
    }

    /// Runs of a band along u: the shadows of its trapezoids on the eave, joined where they touch. O(k log k).
    #[must_use]
    pub fn runs(&self, low: f64, high: f64) -> Vec<[f64; 2]> {
        let mut shadows: Vec<[f64; 2]> = self.between(low, high).map(|cell| [cell.min_u(), cell.max_u()]).collect();
        shadows.sort_by_number(|a| a[0]);
        let mut runs: Vec<[f64; 2]> = Vec::new();
        for shadow in shadows {
            match runs.last_mut() {
                Some(run) if shadow[0] <= run[1] + tolerance::SMALLEST => run[1] = run[1].max(shadow[1]),
                _ => runs.push(shadow),
            }
        }
        runs
    }
}

fn add_lines(ring: &[Point2<f64>], is_face: bool, lines: &mut Vec<LevelLine>) {
    let Some(mut previous) = ring.last().copied() else { return };
    for &corner in ring {
        if corner.y > previous.y {
            lines.push(LevelLine { low: previous, high: corner, winding: -1, is_face });
        } else if corner.y < previous.y {
            lines.push(LevelLine { low: corner, high: previous, winding: 1, is_face });
        }
        previous = corner;
    }
}

/// Heights of corners and of crossings, ascending, none twice.
fn break_heights(lines: &[LevelLine]) -> Vec<f64> {
    let mut heights: Vec<f64> = lines.iter().flat_map(|line| [line.low.y, line.high.y]).collect();
    for (index, a) in lines.iter().enumerate() {
        for b in &lines[index + 1..] {
            let (low, high) = (a.low.y.max(b.low.y), a.high.y.min(b.high.y));
            if low >= high {
                continue;
            }
            let (below, above) = (a.u_at(low) - b.u_at(low), a.u_at(high) - b.u_at(high));
            if below * above < 0.0 {
                heights.push(low + (high - low) * below / (below - above));
            }
        }
    }
    heights.sort_by(f64::total_cmp);
    heights.dedup();
    heights
}

fn add_slab(lines: &[LevelLine], low: f64, high: f64, cells: &mut Vec<Cell>) {
    if high - low < tolerance::SMALLEST {
        return;
    }
    let middle = f64::midpoint(low, high);
    let mut crossed: Vec<(f64, &LevelLine)> = lines
        .iter()
        .filter(|line| line.low.y < middle && line.high.y > middle)
        .map(|line| (line.u_at(middle), line))
        .collect();
    crossed.sort_by_number(|a| a.0);
    let (mut face, mut opening) = (0, 0);
    let mut left: Option<&LevelLine> = None;
    for (_, line) in crossed {
        if line.is_face {
            face += line.winding;
        } else {
            opening += line.winding;
        }
        let inside = face > 0 && opening <= 0;
        match (left, inside) {
            (None, true) => left = Some(line),
            (Some(from), false) => {
                let cell = Cell {
                    v: [low, high],
                    left: [from.u_at(low), from.u_at(high)],
                    right: [line.u_at(low), line.u_at(high)],
                };
                if cell.area() > 0.0 {
                    cells.push(cell);
                }
                left = None;
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::*;

    fn ring(places: &[(f64, f64)]) -> Vec<Point2<f64>> {
        places.iter().map(|&(u, v)| Point2::new(u, v)).collect()
    }

    #[test]
    fn a_rectangle_with_an_opening_over_its_edge_keeps_what_is_left() {
        let face = ring(&[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)]);
        let opening = ring(&[(1.0, 2.0), (2.0, 2.0), (2.0, 3.5), (1.0, 3.5)]);
        let region = Region::new(&[face], &[opening]);
        assert!((region.area() - 11.0).abs() < 1e-12);
        assert_eq!(region.runs(2.5, 2.8), vec![[0.0, 1.0], [2.0, 4.0]]);
        assert_eq!(region.span_v(), Some([0.0, 3.0]));
    }

    #[test]
    fn crossing_outlines_of_two_openings_are_counted_once() {
        let face = ring(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]);
        let a = ring(&[(1.0, 1.0), (3.0, 1.0), (3.0, 2.0), (1.0, 2.0)]);
        let b = ring(&[(2.0, 0.5), (2.5, 0.5), (2.5, 3.0), (2.0, 3.0)]);
        // 16 - 2 - 1.25 + 0.5 of both
        assert!((Region::new(&[face], &[a, b]).area() - 13.25).abs() < 1e-12);
    }

    #[test]
    fn a_slanted_cell_is_cut_upright_to_its_true_part() {
        let face = ring(&[(0.0, 0.0), (4.0, 0.0), (0.0, 4.0)]);
        let region = Region::new(&[face], &[]);
        let part = region.cells()[0].part(1.0, 2.0);
        // between u = 1 and 2 under the line u + v = 4: mean height 2.5
        assert!((crate::base::polygon::signed_area(&part) - 2.5).abs() < 1e-12);
        assert!((region.cells()[0].area_between(1.0, 2.0) - 2.5).abs() < 1e-12);
    }
}
