//! Exact constraints: as many unknowns as there are independent constraints are expressed by the others
//! (Gauss-Jordan elimination with full pivoting), so that what is exact stays exact and the rest stays sparse.

use super::rows::Rows;

/// How an unknown follows from the free ones.
#[derive(Clone, Debug, PartialEq)]
pub enum Role {
    /// It is this free unknown.
    Free(usize),
    /// It is bound by a constraint.
    Bound {
        /// What it moves by when the free unknowns stand still.
        shift: f64,
        /// What it moves by with each free unknown.
        terms: Vec<(usize, f64)>,
    },
}

/// The linearised constraints, solved for as many unknowns.
#[derive(Clone, Debug, PartialEq)]
pub struct Elimination {
    /// One an unknown.
    pub roles: Vec<Role>,
    /// How many unknowns are free.
    pub free: usize,
    /// Constraints that follow from the others, by index.
    pub redundant: Vec<usize>,
}

/// A pivot below this, in rows scaled to a largest entry of 1, is rounding: half the digits of a double.
const SMALLEST_PIVOT: f64 = 1.5e-8;

impl Elimination {
    /// Solves the constraints. O(k² n) for k constraints on n unknowns.
    #[must_use]
    pub fn new(constraints: &Rows) -> Self {
        let unknowns = constraints.unknowns;
        if constraints.is_empty() {
            return Self { roles: (0..unknowns).map(Role::Free).collect(), free: unknowns, redundant: Vec::new() };
        }
        // Only the columns that occur take part.
        let mut used: Vec<usize> = constraints.iter().flat_map(|(columns, _)| columns.iter().copied()).collect();
        used.sort_unstable();
        used.dedup();
        let place = |column: usize| used.partition_point(|&c| c < column);
        let width = used.len() + 1;
        let mut table: Vec<Vec<f64>> = constraints
            .iter()
            .zip(&constraints.residuals)
            .map(|((columns, slopes), residual)| {
                let mut line = vec![0.0; width];
                for (&column, slope) in columns.iter().zip(slopes) {
                    line[place(column)] = *slope;
                }
                line[width - 1] = -residual;
                let largest = line[..width - 1].iter().fold(0.0_f64, |m, v| m.max(v.abs()));
                if largest > 0.0 {
                    for value in &mut line {
                        *value /= largest;
                    }
                }
                line
            })
            .collect();
        let mut open: Vec<usize> = (0..table.len()).collect();
        let mut pivots: Vec<(usize, usize)> = Vec::new();
        while let Some((position, column)) = largest_entry(&table, &open, width - 1) {
            let line = open.swap_remove(position);
            let pivot = table[line][column];
            for value in &mut table[line] {
                *value /= pivot;
            }
            let source = table[line].clone();
            for (other, target) in table.iter_mut().enumerate() {
                let factor = target[column];
                if other != line && factor != 0.0 {
                    for (value, subtrahend) in target.iter_mut().zip(&source) {
                        *value -= factor * subtrahend;
                    }
                    target[column] = 0.0;
                }
            }
            pivots.push((line, column));
        }
        let mut bound = vec![None; used.len()];
        for &(line, column) in &pivots {
            bound[column] = Some(line);
        }
        let mut number = vec![usize::MAX; unknowns];
        let mut free = 0;
        for (unknown, number) in number.iter_mut().enumerate() {
            let column = place(unknown);
            let is_bound = used.get(column) == Some(&unknown) && bound[column].is_some();
            if !is_bound {
                *number = free;
                free += 1;
            }
        }
        let roles = (0..unknowns)
            .map(|unknown| {
                if number[unknown] != usize::MAX {
                    return Role::Free(number[unknown]);
                }
                let line = bound[place(unknown)].map_or(&[][..], |line| &table[line]);
                let terms = used
                    .iter()
                    .zip(line)
                    .filter(|(column, value)| number[**column] != usize::MAX && **value != 0.0)
                    .map(|(column, value)| (number[*column], -value))
                    .collect();
                Role::Bound { shift: line.last().copied().unwrap_or(0.0), terms }
            })
            .collect();
        open.sort_unstable();
        Self { roles, free, redundant: open }
    }

    /// Whether nothing is bound.
    #[must_use]
    pub(crate) fn is_trivial(&self) -> bool {
        self.free == self.roles.len()
    }

    /// The rows over the free unknowns alone, residuals as they are before any shift.
    #[must_use]
    pub fn reduce(&self, rows: &Rows) -> Rows {
        let mut reduced = Rows::new(self.free);
        let mut entries = Vec::new();
        for ((columns, slopes), residual) in rows.iter().zip(&rows.residuals) {
            entries.clear();
            for (&column, slope) in columns.iter().zip(slopes) {
                match &self.roles[column] {
                    Role::Free(number) => entries.push((*number, *slope)),
                    Role::Bound { terms, .. } => entries.extend(terms.iter().map(|(n, t)| (*n, t * slope))),
                }
            }
            reduced.push(*residual, &mut entries);
        }
        reduced
    }

    /// The step of every unknown for a step of the free ones.
    #[must_use]
    pub fn expand(&self, step: &[f64]) -> Vec<f64> {
        self.roles
            .iter()
            .map(|role| match role {
                Role::Free(number) => step[*number],
                Role::Bound { shift, terms } => shift + terms.iter().map(|(n, t)| t * step[*n]).sum::<f64>(),
            })
            .collect()
    }
}

/// The position in `open` and the column of the largest entry that is not rounding.
fn largest_entry(table: &[Vec<f64>], open: &[usize], columns: usize) -> Option<(usize, usize)> {
    let mut best = None;
    let mut size = SMALLEST_PIVOT;
    for (position, &line) in open.iter().enumerate() {
        for (column, value) in table[line][..columns].iter().enumerate() {
            if value.abs() > size {
                size = value.abs();
                best = Some((position, column));
            }
        }
    }
    best
}
