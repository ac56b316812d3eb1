//! The geometric tolerance of a job: remnants of edges shorter than it are contracted.
//!
//! Three numbers are never confused: the float error (computed from the size of operands where it is needed), this
//! geometric tolerance, and the sigma of a measurement. No other epsilon stands in the code.

/// Smallest tolerance of any job, metres: a micrometre is far below what a saw or a tape can tell.
pub const SMALLEST: f64 = 1e-6;

/// Default tolerance as a fraction of the outline's largest extent.
pub const RELATIVE: f64 = 1e-7;

/// Pitches nearer than this, radians, count as one: a thousandth of a degree is far below any reading.
pub const SAME_PITCH: f64 = 1e-3 * std::f64::consts::PI / 180.0;

/// The default for an outline of the given largest extent, metres.
#[must_use]
pub fn default_for(extent: f64) -> f64 {
    (extent * RELATIVE).max(SMALLEST)
}
