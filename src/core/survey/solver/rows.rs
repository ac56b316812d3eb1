//! Linearised equations, row by row: few of many unknowns stand in each.

/// Residuals and their derivatives in compressed rows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rows {
    ends: Vec<usize>,
    columns: Vec<usize>,
    slopes: Vec<f64>,
    /// One a row.
    pub residuals: Vec<f64>,
    /// Number of columns.
    pub unknowns: usize,
}

impl Rows {
    /// No rows over this many unknowns.
    #[must_use]
    pub fn new(unknowns: usize) -> Self {
        Self { unknowns, ..Self::default() }
    }

    /// Adds a row; entries of one column add up. O(k log k) for k entries.
    pub fn push(&mut self, residual: f64, entries: &mut [(usize, f64)]) {
        entries.sort_unstable_by_key(|entry| entry.0);
        let first = self.columns.len();
        for &(column, slope) in entries.iter() {
            if self.columns.len() > first && self.columns.last() == Some(&column) {
                if let Some(last) = self.slopes.last_mut() {
                    *last += slope;
                }
            } else {
                self.columns.push(column);
                self.slopes.push(slope);
            }
        }
        self.ends.push(self.columns.len());
        self.residuals.push(residual);
    }

    /// Where rows end and which columns stand in them: rows of the same shape give normal matrices of the same pattern.
    #[must_use]
    pub fn shape(&self) -> (&[usize], &[usize]) {
        (&self.ends, &self.columns)
    }

    /// Number of rows.
    #[must_use]
    pub fn len(&self) -> usize {
        self.residuals.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.residuals.is_empty()
    }

    /// Columns, ascending, and derivatives of a row.
    #[must_use]
    pub fn row(&self, index: usize) -> (&[usize], &[f64]) {
        let start = if index == 0 { 0 } else { self.ends[index - 1] };
        let range = start..self.ends[index];
        (&self.columns[range.clone()], &self.slopes[range])
    }

    /// Columns and derivatives of each row.
    pub fn iter(&self) -> impl Iterator<Item = (&[usize], &[f64])> {
        (0..self.len()).map(|index| self.row(index))
    }

    /// Sum of squared residuals.
    #[must_use]
    pub fn cost(&self) -> f64 {
        self.residuals.iter().map(|r| r * r).sum()
    }

    /// Half the gradient of the cost.
    #[must_use]
    pub fn gradient(&self) -> Vec<f64> {
        self.against(&self.residuals)
    }

    /// The transposed derivatives times one value a row.
    #[must_use]
    pub fn against(&self, values: &[f64]) -> Vec<f64> {
        let mut sums = vec![0.0; self.unknowns];
        for ((columns, slopes), value) in self.iter().zip(values) {
            for (&column, slope) in columns.iter().zip(slopes) {
                sums[column] += slope * value;
            }
        }
        sums
    }

    /// The derivative of each row along a step.
    #[must_use]
    pub fn along(&self, step: &[f64]) -> Vec<f64> {
        self.iter()
            .map(|(columns, slopes)| columns.iter().zip(slopes).map(|(&c, slope)| slope * step[c]).sum())
            .collect()
    }

    /// Length of each column.
    #[must_use]
    pub(crate) fn column_lengths(&self) -> Vec<f64> {
        let mut squares = vec![0.0; self.unknowns];
        for (columns, slopes) in self.iter() {
            for (&column, slope) in columns.iter().zip(slopes) {
                squares[column] += slope * slope;
            }
        }
        squares.iter().map(|square| square.sqrt()).collect()
    }
}
