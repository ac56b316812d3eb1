//! A symmetric positive definite matrix stored by rows from the first entry to the diagonal, and its Cholesky
//! factor. With the reverse Cuthill-Mckee order (1969) a network of n places with local measurements costs
//! about n^2, not n^3; a full matrix costs no more than a dense factor. Unknowns that stand in very many equations (a
//! level's height, a camera's pose) come last, where they fill their own lines alone.

use super::rows::Rows;
use nalgebra::DMatrix;
use std::borrow::Cow;

/// Order and envelope of the normal matrix of some rows.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// Position in the matrix, by unknown.
    position: Vec<usize>,
    /// Unknown, by position.
    unknown: Vec<usize>,
    /// First stored column of each line, by position.
    first: Vec<usize>,
    /// Where each line's diagonal is stored.
    diagonal: Vec<usize>,
    /// Where the rows it was made for end, and their columns.
    shape: (Vec<usize>, Vec<usize>),
}

/// An unknown with more neighbours than this many times the mean may be put last; each is tried.
const HUBS: [f64; 4] = [f64::INFINITY, 4.0, 2.0, 1.3];

impl Pattern {
    /// Finds a good order. O(entries of the normal matrix), times the logarithm of the largest degree.
    #[must_use]
    pub fn new(rows: &Rows) -> Self {
        let count = rows.unknowns;
        let mut neighbours: Vec<Vec<usize>> = vec![Vec::new(); count];
        for (columns, _) in rows.iter() {
            for &a in columns {
                neighbours[a].extend(columns.iter().copied().filter(|&b| b != a));
            }
        }
        for list in &mut neighbours {
            list.sort_unstable();
            list.dedup();
        }
        let mean = neighbours.iter().map(Vec::len).sum::<usize>() as f64 / count.max(1) as f64;
        let orders = HUBS.iter().map(|times| order(&neighbours, |degree| degree as f64 > times * mean));
        let envelope = |unknown: Vec<usize>| {
            let mut position = vec![0; count];
            for (place, &u) in unknown.iter().enumerate() {
                position[u] = place;
            }
            let start = |(line, &u): (usize, &usize)| {
                neighbours[u].iter().map(|&v| position[v]).min().unwrap_or(line).min(line)
            };
            let first: Vec<usize> = unknown.iter().enumerate().map(start).collect();
            // A factor takes the square of each line's length.
            let work: usize = first.iter().enumerate().map(|(line, start)| (line - start).pow(2)).sum();
            (work, position, unknown, first)
        };
        let (_, position, unknown, first) = orders.map(envelope).min_by_key(|envelope| envelope.0).unwrap_or_default();
        let mut diagonal = Vec::with_capacity(count);
        let mut stored = 0;
        for (line, start) in first.iter().enumerate() {
            stored += line - start + 1;
            diagonal.push(stored - 1);
        }
        let (ends, columns) = rows.shape();
        Self { position, unknown, first, diagonal, shape: (ends.to_vec(), columns.to_vec()) }
    }

    /// Whether it is the pattern of these rows too.
    #[must_use]
    pub fn fits(&self, rows: &Rows) -> bool {
        self.unknown.len() == rows.unknowns && (&self.shape.0[..], &self.shape.1[..]) == rows.shape()
    }

    pub(super) fn count(&self) -> usize {
        self.unknown.len()
    }

    /// Lines below the diagonal whose envelope reaches each column, ascending.
    fn below(&self) -> Vec<Vec<usize>> {
        let mut below: Vec<Vec<usize>> = vec![Vec::new(); self.count()];
        for (line, &first) in self.first.iter().enumerate() {
            for column in &mut below[first..line] {
                column.push(line);
            }
        }
        below
    }

    /// Where the entry of two unknowns is stored; `None` outside the envelope.
    fn place(&self, a: usize, b: usize) -> Option<usize> {
        let (line, column) = (self.position[a].max(self.position[b]), self.position[a].min(self.position[b]));
        (column >= self.first[line]).then(|| self.diagonal[line] - (line - column))
    }
}

/// Breadth-first from a far end of each component, small degrees first, the whole then reversed; hubs, by their number
/// of neighbours, last of all.
fn order(neighbours: &[Vec<usize>], is_hub: impl Fn(usize) -> bool) -> Vec<usize> {
    let degree = |v: usize| neighbours[v].len();
    let mut order: Vec<usize> = Vec::with_capacity(neighbours.len());
    let mut taken: Vec<bool> = (0..neighbours.len()).map(|v| is_hub(degree(v))).collect();
    let mut hubs: Vec<usize> = (0..neighbours.len()).filter(|&v| taken[v]).collect();
    hubs.sort_by_key(|&v| degree(v));
    // Turns of a walk are told apart by their number, so that trying costs no copy.
    let mut seen = vec![0_usize; neighbours.len()];
    let mut turn = 0;
    let mut walk = |start: usize, taken: &[bool]| {
        turn += 1;
        let mut list = vec![start];
        seen[start] = turn;
        let mut next = 0;
        while next < list.len() {
            let from = list.len();
            for &v in &neighbours[list[next]] {
                if !taken[v] && seen[v] != turn {
                    seen[v] = turn;
                    list.push(v);
                }
            }
            list[from..].sort_by_key(|&v| degree(v));
            next += 1;
        }
        list
    };
    for start in 0..neighbours.len() {
        if taken[start] {
            continue;
        }
        // Two walks lead to a far end; from there the third is kept.
        let mut end = start;
        for _ in 0..2 {
            end = walk(end, &taken).last().copied().unwrap_or(end);
        }
        let component = walk(end, &taken);
        for &v in &component {
            taken[v] = true;
        }
        order.extend(component);
    }
    order.reverse();
    order.extend(hubs);
    order
}

/// A matrix, or its factor, in a pattern.
#[derive(Clone, Debug)]
pub struct Skyline<'a> {
    pattern: &'a Pattern,
    values: Cow<'a, [f64]>,
}

/// Sum of products in four lanes, which the processor does at once.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut lanes = [0.0; 4];
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = a4.remainder().iter().zip(b4.remainder()).map(|(x, y)| x * y).sum();
    for (x, y) in a4.zip(b4) {
        for k in 0..4 {
            lanes[k] += x[k] * y[k];
        }
    }
    (lanes[0] + lanes[1]) + (lanes[2] + lanes[3]) + rest
}

impl<'a> Skyline<'a> {
    /// The normal matrix of the rows, each column divided by its scale.
    #[must_use]
    pub fn normal(pattern: &'a Pattern, rows: &Rows, scale: &[f64]) -> Self {
        let stored = pattern.diagonal.last().map_or(0, |last| last + 1);
        let mut values = vec![0.0; stored];
        for (columns, slopes) in rows.iter() {
            for (i, &a) in columns.iter().enumerate() {
                for (j, &b) in columns[..=i].iter().enumerate() {
                    let (line, column) = {
                        let (p, q) = (pattern.position[a], pattern.position[b]);
                        (p.max(q), p.min(q))
                    };
                    values[pattern.diagonal[line] - (line - column)] += slopes[i] / scale[a] * (slopes[j] / scale[b]);
                }
            }
        }
        Self { pattern, values: values.into() }
    }

    /// The factor of the matrix with `damping` added to its diagonal; `None` where it is not positive definite.
    /// O(n b²) for a mean bandwidth b.
    #[must_use]
    pub fn factor(&self, damping: f64) -> Option<Self> {
        self.factor_or(damping, |_, pivot, diagonal| (pivot > f64::EPSILON * diagonal.abs()).then_some(pivot))
    }

    /// The factor by Givens rotations of the rows themselves, each column divided by its scale (A. George and M. T. Heath,
    /// "Solution of sparse linear least squares problems using Givens rotations", 1980): its error grows with the ratio of
    /// the rows' singular values, not with the square of that, as the error of [`Skyline::factor`] does. A column on which
    /// the rows do not depend leaves a pivot of about 0. O(m b²) for m rows.
    #[must_use]
    pub(crate) fn orthogonal(pattern: &'a Pattern, rows: &Rows, scale: &[f64]) -> Self {
        let Pattern { position, diagonal, .. } = pattern;
        let count = pattern.count();
        let mut values = vec![0.0; diagonal.last().map_or(0, |last| last + 1)];
        let below = pattern.below();
        // Rows whose last column comes first go first: a row then ends at the latest where no row has come yet.
        let last = |row: usize| rows.row(row).0.iter().map(|&column| position[column]).max().unwrap_or(0);
        let mut order: Vec<usize> = (0..rows.len()).collect();
        order.sort_by_cached_key(|&row| last(row));
        let mut work = vec![0.0; count];
        for row in order {
            let (columns, slopes) = rows.row(row);
            for (&column, slope) in columns.iter().zip(slopes) {
                work[position[column]] = slope / scale[column];
            }
            let start = columns.iter().map(|&column| position[column]).min().unwrap_or(count);
            let mut end = columns.iter().map(|&column| position[column] + 1).max().unwrap_or(0);
            let mut column = start;
            while column < end {
                let entry = work[column];
                if entry != 0.0 {
                    let old: f64 = values[diagonal[column]];
                    let pivot = old.hypot(entry);
                    let (cosine, sine) = (old / pivot, entry / pivot);
                    values[diagonal[column]] = pivot;
                    for &line in &below[column] {
                        let stored = &mut values[diagonal[line] - (line - column)];
                        let (above, own) = (*stored, work[line]);
                        *stored = cosine * above + sine * own;
                        work[line] = cosine * own - sine * above;
                    }
                    work[column] = 0.0;
                    end = end.max(below[column].last().map_or(end, |line| line + 1));
                }
                column += 1;
            }
        }
        Self { pattern, values: values.into() }
    }

    /// Of a factor L: L⁻¹ times a vector given by its entries, by position. O(n b), less where the entries stand last.
    #[must_use]
    pub fn half(&self, vector: &[(usize, f64)]) -> Vec<f64> {
        let Pattern { position, first, diagonal, .. } = self.pattern;
        let mut x = vec![0.0; position.len()];
        let start = vector.iter().map(|&(unknown, _)| position[unknown]).min().unwrap_or(x.len());
        for &(unknown, value) in vector {
            x[position[unknown]] += value;
        }
        for line in start..x.len() {
            let from = first[line].max(start);
            let own = &self.values[diagonal[line] - (line - from)..diagonal[line]];
            x[line] = (x[line] - dot(own, &x[from..line])) / self.values[diagonal[line]];
        }
        x
    }

    /// The factor with every unknown held whose pivot, in a matrix with a diagonal of 1, is below `smallest`, and
    /// those unknowns.
    #[must_use]
    pub(crate) fn factor_holding(&self, smallest: f64) -> (Self, Vec<usize>) {
        let mut held = Vec::new();
        // A pivot of infinity makes all that depends on it vanish.
        let factor = self.factor_or(0.0, |line, pivot, _| {
            if pivot > smallest {
                Some(pivot)
            } else {
                held.push(self.pattern.unknown[line]);
                Some(f64::INFINITY)
            }
        });
        (factor.unwrap_or_else(|| self.clone()), held)
    }

    fn factor_or(&self, damping: f64, mut judge: impl FnMut(usize, f64, f64) -> Option<f64>) -> Option<Self> {
        let mut values = self.values.to_vec();
        let Pattern { first, diagonal, .. } = self.pattern;
        for line in 0..self.pattern.count() {
            let (head, own) = values.split_at_mut(diagonal[line] - (line - first[line]));
            for column in first[line]..line {
                let from = first[line].max(first[column]);
                let at = |k: usize| diagonal[column] - (column - k);
                let sum = dot(&own[from - first[line]..column - first[line]], &head[at(from)..at(column)]);
                own[column - first[line]] = (own[column - first[line]] - sum) / head[diagonal[column]];
            }
            let length = line - first[line];
            let pivot = own[length] + damping - dot(&own[..length], &own[..length]);
            own[length] = judge(line, pivot, own[length])?.sqrt();
        }
        Some(Self { pattern: self.pattern, values: values.into() })
    }

    /// Solves with the factor. O(n b).
    #[must_use]
    pub fn solve(&self, right: &[f64]) -> Vec<f64> {
        let Pattern { first, diagonal, unknown, .. } = self.pattern;
        let values: &[f64] = &self.values;
        let mut x: Vec<f64> = unknown.iter().map(|&u| right[u]).collect();
        for line in 0..x.len() {
            let own = &values[diagonal[line] - (line - first[line])..diagonal[line]];
            x[line] = (x[line] - dot(own, &x[first[line]..line])) / values[diagonal[line]];
        }
        for line in (0..x.len()).rev() {
            x[line] /= values[diagonal[line]];
            let value = x[line];
            let own = &values[diagonal[line] - (line - first[line])..diagonal[line]];
            for (target, factor) in x[first[line]..line].iter_mut().zip(own) {
                *target -= factor * value;
            }
        }
        let mut solution = vec![0.0; x.len()];
        for (value, &u) in x.iter().zip(unknown) {
            solution[u] = *value;
        }
        solution
    }

    /// Of a factor: its smallest pivot.
    #[must_use]
    pub(crate) fn smallest_pivot(&self) -> f64 {
        self.pattern.diagonal.iter().map(|&d| self.values[d] * self.values[d]).fold(f64::INFINITY, f64::min)
    }

    /// A column of the matrix.
    #[must_use]
    pub fn column(&self, unknown: usize) -> Vec<f64> {
        let Pattern { position, first, diagonal, .. } = self.pattern;
        let own = position[unknown];
        (0..position.len())
            .map(|other| {
                let (line, column) = (position[other].max(own), position[other].min(own));
                if column < first[line] { 0.0 } else { self.values[diagonal[line] - (line - column)] }
            })
            .collect()
    }

    /// Of a factor: the entries of the inverse within the envelope, in the same order as they are stored (K. Takahashi, J.
    /// Fagan, M. Chen, "Formation of a sparse bus impedance matrix", 1973). O(n b²), where all of the inverse takes O(n² b)
    /// and a square of n numbers.
    #[must_use]
    pub(crate) fn inverse_within(&self) -> Self {
        let diagonal = &self.pattern.diagonal;
        let count = self.pattern.count();
        let mut inverse = vec![0.0; self.values.len()];
        let below = self.pattern.below();
        let at = |line: usize, column: usize| diagonal[line] - (line - column);
        let mut sums = Vec::new();
        for column in (0..count).rev() {
            let lines = &below[column];
            let own: Vec<f64> = lines.iter().map(|&line| self.values[at(line, column)]).collect();
            sums.clear();
            sums.resize(lines.len(), 0.0);
            for (k, &line) in lines.iter().enumerate() {
                let (mut sum, factor) = (0.0, own[k]);
                for (i, &other) in lines[..k].iter().enumerate() {
                    let entry = inverse[at(line, other)];
                    sum += own[i] * entry;
                    sums[i] += factor * entry;
                }
                sums[k] += sum + factor * inverse[diagonal[line]];
            }
            let pivot = self.values[diagonal[column]];
            let mut square = 0.0;
            for (k, &line) in lines.iter().enumerate() {
                let entry = -sums[k] / pivot;
                inverse[at(line, column)] = entry;
                square += own[k] * entry;
            }
            inverse[diagonal[column]] = (1.0 / pivot - square) / pivot;
        }
        Self { pattern: self.pattern, values: inverse.into() }
    }

    /// An entry by the numbers of two unknowns; `None` outside the envelope.
    #[must_use]
    pub fn entry(&self, a: usize, b: usize) -> Option<f64> {
        self.pattern.place(a, b).map(|place| self.values[place])
    }

    /// The stored values, to be kept with the pattern.
    #[must_use]
    pub fn into_values(self) -> Vec<f64> {
        self.values.into_owned()
    }

    /// Values stored before, with the pattern they were stored in.
    #[must_use]
    pub fn view(pattern: &'a Pattern, values: &'a [f64]) -> Self {
        Self { pattern, values: Cow::Borrowed(values) }
    }

    /// Of a factor: the inverse of the matrix. O(n² b).
    #[must_use]
    pub fn inverse(&self) -> DMatrix<f64> {
        let Pattern { first, diagonal, unknown, .. } = self.pattern;
        let count = self.pattern.count();
        let mut inverse = DMatrix::zeros(count, count);
        let mut x = vec![0.0; count];
        for target in 0..count {
            // The unit vector's zeros above `target` stay zero on the way forward, and symmetry gives what lies
            // above it on the way back.
            x[target..].fill(0.0);
            x[target] = 1.0;
            for line in target..count {
                let from = first[line].max(target);
                let own = &self.values[diagonal[line] - (line - from)..diagonal[line]];
                x[line] = (x[line] - dot(own, &x[from..line])) / self.values[diagonal[line]];
            }
            for line in (target..count).rev() {
                x[line] /= self.values[diagonal[line]];
                let value = x[line];
                let from = first[line].max(target);
                let own = &self.values[diagonal[line] - (line - from)..diagonal[line]];
                for (target, factor) in x[from..line].iter_mut().zip(own) {
                    *target -= factor * value;
                }
            }
            for line in target..count {
                inverse[(unknown[line], unknown[target])] = x[line];
                inverse[(unknown[target], unknown[line])] = x[line];
            }
        }
        inverse
    }
}
