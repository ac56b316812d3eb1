//! The geometric tolerance of a job: remnants of edges shorter than it are contracted.
//!
//! Three numbers are never confused: the float error (computed from the size of operands where it is needed), this
//! geometric tolerance, and the sigma of a measurement. Solvers have limits of their own, constants that stand with their
//! reason where they are used; no other epsilon stands in the code.

/// Smallest tolerance of any job, metres: a micrometre is far below what a saw or a tape can tell.
pub const SMALLEST: f64 = 1e-6;

/// Default tolerance as a fraction of the outline's largest extent.
pub const RELATIVE: f64 = 1e-7;

/// Pitches nearer than this, radians, count as one: a thousandth of a degree is far below any reading.
pub const SAME_PITCH: f64 = 1e-3 * std::f64::consts::PI / 180.0;

/// A slope flatter than this, radians, is told as level: it would be printed as 0.0 degrees.
pub const TOLD_LEVEL: f64 = 0.05 * std::f64::consts::PI / 180.0;

/// Eaves within a centimetre lie at one height for a drawing, metres.
pub const ONE_LEVEL: f64 = 0.01;

/// Places nearer than this along an eave are one mark, metres.
pub const ONE_MARK: f64 = 0.005;

/// A corner that is nearer to straight on than this, radians, is none.
pub const STRAIGHT: f64 = 1e-6;

/// What rounding may leave of lengths in metres or millimetres, of shares and of unit vectors that are worked out the same
/// way twice.
pub const ROUNDING: f64 = 1e-9;

/// What rounding may leave of unit vectors and of shares of a length that meet at one end: some thousand units in the last
/// place.
pub const LAST_PLACES: f64 = 1e-12;

/// Part of the square over its longest side that a triangle's doubled area may be and count as none.
pub const FLAT: f64 = 1e-12;

/// Part of its length that a triangle may be wide and count as a needle.
pub const NEEDLE: f64 = 1e-7;

/// Places nearer than this part of the size of what is drawn are one place.
pub const ONE_PLACE: f64 = 1e-6;

/// How far off an edge one looks to see what lies beyond it, as a part of the edge's length.
pub const BESIDE: f64 = 1e-3;

/// Pieces whose lengths differ by less than this are cut alike, metres: a tenth of a millimetre.
pub const CUT_ALIKE: f64 = 1e-4;

/// Pieces whose places differ by less than this are laid alike, metres: a hundredth of a millimetre.
pub const LAID_ALIKE: f64 = 1e-5;

/// The default for an outline of the given largest extent, metres.
#[must_use]
pub fn default_for(extent: f64) -> f64 {
    (extent * RELATIVE).max(SMALLEST)
}
