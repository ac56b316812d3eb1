//! From footprints, or from faces by points, to a verified roof.
//!
//! [`model`] is the solved roof and what can be read off it at once; [`checks`] what must hold of it; [`kernel`] makes it:
//! the sweep of one outline, the envelope of joined blocks, the meeting of faces by points; [`analysis`] asks it where
//! water runs, what an opening takes from a face, where a plane cuts it. Each knows those before it.

pub mod analysis;
pub mod checks;
pub mod kernel;
pub mod model;

pub use kernel::error::SolveError;
pub use kernel::options::Options;
pub use kernel::solve::{append, solve, solve_one};
pub use model::finding::Finding;
pub use model::{CornerRing, Edge, EdgeKind, Face, FaceKind, Roof, SweepEvent, Triangles};
