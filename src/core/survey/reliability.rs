//! Which observations check each other: redundancy numbers, standardised residuals, smallest detectable errors
//! (W. Baarda, "A testing procedure for use in geodetic networks", 1968).

use super::equation::{Equation, Source};
use super::solver::cofactor::Cofactor;
use super::solver::rows::Rows;

/// Standardised residuals above this are doubtful: the normal distribution's two-sided 0.1 %.
pub const CRITICAL: f64 = 3.2905;
/// Non-centrality at which that test finds an error four times out of five.
pub const DETECTABLE: f64 = 4.132;
/// An observation with less redundancy than this is not checked by any other: the others would show an error of 130 of
/// its sigmas at best, and rounding and curvature feign as much.
pub const CONTROLLED: f64 = 1e-3;

/// How well one equation is checked by the others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Check {
    /// Which observation.
    pub source: Source,
    /// Index of the equation.
    pub equation: usize,
    /// Residual over its sigma.
    pub residual: f64,
    /// Redundancy number, 0 (not checked) ..= 1 (fully checked).
    pub redundancy: f64,
    /// Standardised residual, 0 where not checked. Its sign is that of computed − observed.
    pub w: f64,
    /// Smallest error that the test would find, in sigmas; infinite where not checked.
    pub smallest_detectable: f64,
}

impl Check {
    /// The same observation, known to be checked by no other.
    pub(super) fn uncontrolled(self) -> Self {
        Self { redundancy: 0.0, w: 0.0, smallest_detectable: f64::INFINITY, ..self }
    }
}

/// Checks every equation. `rows` are the weighted equations over the free unknowns that the cofactor is of.
/// O(m k²) for k entries a row.
#[must_use]
pub fn check(equations: &[Equation], rows: &Rows, cofactor: &Cofactor) -> Vec<Check> {
    let mut checks = Vec::with_capacity(equations.len());
    for (index, equation) in equations.iter().enumerate() {
        let (columns, slopes) = rows.row(index);
        let row: Vec<(usize, f64)> = columns.iter().copied().zip(slopes.iter().copied()).collect();
        let redundancy = (1.0 - cofactor.between(&row, &row)).clamp(0.0, 1.0);
        let residual = rows.residuals[index];
        let controlled = redundancy > CONTROLLED;
        checks.push(Check {
            source: equation.source,
            equation: index,
            residual,
            redundancy,
            w: if controlled { residual / redundancy.sqrt() } else { 0.0 },
            smallest_detectable: if controlled { DETECTABLE / redundancy.sqrt() } else { f64::INFINITY },
        });
    }
    checks
}
