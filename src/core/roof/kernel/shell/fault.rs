//! What can be wrong with a solid.

use nalgebra::Point3;

/// Why a solid does not leave.
#[derive(Clone, Debug, PartialEq)]
pub enum SolidFault {
    /// An edge that is not run once each way.
    Edge {
        /// One end.
        from: Point3<f64>,
        /// The other.
        to: Point3<f64>,
        /// How often it is run, forth and back.
        runs: [usize; 2],
    },
    /// It holds another volume than the roof and the sheets of its overhangs, cubic metres.
    Volume {
        /// Of the roof and its overhangs.
        expected: f64,
        /// Of the triangles.
        found: f64,
    },
}
