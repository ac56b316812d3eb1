//! One course: the positions of a grid of uncut pieces, each clipped to the region.

use super::region::Cell;
use crate::base::tolerance;

/// What a position of the grid keeps of its piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClippedSpan {
    /// Left end of the position.
    pub at: f64,
    /// Leftmost place kept, from `at`.
    pub from: f64,
    /// Rightmost place kept, from `at`.
    pub to: f64,
    /// Lowest and highest place kept.
    pub v: [f64; 2],
    /// Area kept.
    pub area: f64,
}

impl ClippedSpan {
    /// Whether the left end of the piece stays.
    #[must_use]
    pub fn keeps_left(&self) -> bool {
        self.from < tolerance::SMALLEST
    }

    /// Whether the right end of a piece of this width stays.
    #[must_use]
    pub fn keeps_right(&self, width: f64) -> bool {
        self.to > width - tolerance::SMALLEST
    }

    /// Whether nothing at all is cut from a piece of this width and height.
    #[must_use]
    pub fn is_whole(&self, width: f64, height: f64) -> bool {
        width * height - self.area < tolerance::SMALLEST * (width + height)
    }

    /// Whether it ends upright, so that its width shows as such: what is kept fills its own box.
    #[must_use]
    pub(crate) fn is_upright(&self) -> bool {
        let (width, height) = (self.to - self.from, self.v[1] - self.v[0]);
        width * height - self.area < tolerance::SMALLEST * (width + height)
    }
}

/// Clips the positions `origin + i width` of one course to the cells of its band; those of which nothing is kept are
/// left out. Left to right. O(cells × positions a cell).
pub fn clip(cells: &[Cell], origin: f64, width: f64, bits: &mut Vec<ClippedSpan>) {
    let left = cells.iter().map(Cell::min_u).fold(f64::INFINITY, f64::min);
    let right = cells.iter().map(Cell::max_u).fold(f64::NEG_INFINITY, f64::max);
    if left >= right {
        return;
    }
    // A place within the smallest tolerance of a joint lies on it.
    let first = ((left - origin + tolerance::SMALLEST) / width).floor();
    let at = |index: usize| origin + (first + index as f64) * width;
    let start = bits.len();
    let mut count = 0;
    while at(count) < right - tolerance::SMALLEST {
        let nothing = [f64::INFINITY, f64::NEG_INFINITY];
        bits.push(ClippedSpan { at: at(count), from: nothing[0], to: nothing[1], v: nothing, area: 0.0 });
        count += 1;
    }
    for cell in cells {
        let (cell_left, cell_right) = (cell.min_u(), cell.max_u());
        // Inside these the cell is a full-height rectangle.
        let (inner_left, inner_right) = (cell.left[0].max(cell.left[1]), cell.right[0].min(cell.right[1]));
        for bit in &mut bits[start..] {
            let (from, to) = (bit.at, bit.at + width);
            if to <= cell_left + tolerance::SMALLEST {
                continue;
            }
            if from >= cell_right - tolerance::SMALLEST {
                break;
            }
            let inside = from >= inner_left && to <= inner_right;
            bit.area += if inside { width * (cell.v[1] - cell.v[0]) } else { cell.area_between(from, to) };
            bit.from = bit.from.min(cell_left.max(from) - bit.at);
            bit.to = bit.to.max(cell_right.min(to) - bit.at);
            bit.v = [bit.v[0].min(cell.v[0]), bit.v[1].max(cell.v[1])];
        }
    }
    let mut kept = start;
    for index in start..bits.len() {
        if bits[index].area > tolerance::SMALLEST * width {
            bits[kept] = bits[index];
            kept += 1;
        }
    }
    bits.truncate(kept);
}

/// Where two pieces of a course, from left to right, meet. O(pieces).
#[must_use]
pub fn joints(bits: &[ClippedSpan]) -> Vec<f64> {
    let meet = |pair: &[ClippedSpan]| {
        let next = pair[1].at + pair[1].from;
        ((pair[0].at + pair[0].to - next).abs() < tolerance::SMALLEST).then_some(next)
    };
    bits.windows(2).filter_map(meet).collect()
}
