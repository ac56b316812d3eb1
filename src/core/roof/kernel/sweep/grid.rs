//! A square grid over the plan: what may be found in a cell is kept in linked lists, so that starting afresh is cheap.

use crate::base::tolerance::ONE_PLACE;

/// A line that leans less than this, as the level part of its normal, crosses every column of a row.
const LEVEL_ENOUGH: f64 = 1e-3;

/// No entry.
const END: u32 = u32::MAX;

/// A part of the plan swept in a step: a box, and the slab between two parallel lines that holds it.
#[derive(Clone, Copy, Debug)]
pub struct Region {
    /// Least x and y.
    pub low: [f64; 2],
    /// Largest x and y.
    pub high: [f64; 2],
    /// Normal of the lines.
    pub normal: [f64; 2],
    /// Least and largest value along the normal.
    pub slab: [f64; 2],
}

impl Region {
    /// Whether this lies within another.
    #[must_use]
    pub fn within(&self, other: &Self) -> bool {
        (0..2).all(|axis| self.low[axis] >= other.low[axis] && self.high[axis] <= other.high[axis])
            && self.normal == other.normal
            && self.slab[0] >= other.slab[0]
            && self.slab[1] <= other.slab[1]
    }
}

/// The cells and one kind of thing in them.
#[derive(Clone, Debug, Default)]
pub struct Grid {
    low: [f64; 2],
    cell: f64,
    columns: usize,
    rows: usize,
    heads: Vec<u32>,
    entries: Vec<(u32, u32)>,
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn index(value: f64, count: usize) -> usize {
    (value.max(0.0) as usize).min(count - 1)
}

impl Grid {
    /// Empties it and spreads it anew over a box in square cells.
    pub(crate) fn reset(&mut self, low: [f64; 2], high: [f64; 2], cell: f64) {
        self.low = low;
        self.cell = cell;
        self.columns = index((high[0] - low[0]) / cell, 1 << 20) + 1;
        self.rows = index((high[1] - low[1]) / cell, 1 << 20) + 1;
        self.heads.clear();
        self.heads.resize(self.columns * self.rows, END);
        self.entries.clear();
    }

    /// Calls back with every cell that a region may touch.
    pub fn cells(&self, region: &Region, mut each: impl FnMut(usize)) {
        let row_of = |y: f64| index((y - self.low[1]) / self.cell, self.rows);
        let column_of = |x: f64| index((x - self.low[0]) / self.cell, self.columns);
        let [nx, ny] = region.normal;
        for row in row_of(region.low[1])..=row_of(region.high[1]) {
            let bottom = self.low[1] + row as f64 * self.cell;
            let (near, far) = (ny * bottom, ny * (bottom + self.cell));
            let (mut from, mut to) = (region.low[0], region.high[0]);
            // Rows at the rim stand for all beyond them.
            if nx.abs() > LEVEL_ENOUGH && row > 0 && row + 1 < self.rows {
                let a = (region.slab[0] - near.max(far)) / nx;
                let b = (region.slab[1] - near.min(far)) / nx;
                let slack = ONE_PLACE * self.cell;
                from = from.max(a.min(b) - slack);
                to = to.min(a.max(b) + slack);
                if from > to {
                    continue;
                }
            }
            for column in column_of(from)..=column_of(to) {
                each(row * self.columns + column);
            }
        }
    }

    /// Puts a thing into a cell.
    pub fn put(&mut self, cell: usize, thing: u32) {
        let head = self.heads[cell];
        #[allow(clippy::cast_possible_truncation)]
        let entry = self.entries.len() as u32;
        self.entries.push((thing, head));
        self.heads[cell] = entry;
    }

    /// The things in a cell, the last put first; some may be there twice.
    pub fn at(&self, cell: usize) -> impl Iterator<Item = u32> {
        let mut entry = self.heads[cell];
        std::iter::from_fn(move || {
            let &(thing, next) = self.entries.get(entry as usize)?;
            entry = next;
            Some(thing)
        })
    }
}
