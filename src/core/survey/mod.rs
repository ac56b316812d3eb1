//! From observations to places with their uncertainty: one least squares for walked outlines, tapes, pitches, levels
//! and photos.
//!
//! ```text
//! model ─► network ─► start ─► solver ─► covariance, reliability ─► report
//!          (equation, state)
//! ```

pub mod chi_square;
pub mod covariance;
pub mod equation;
pub mod error;
pub mod finding;
pub mod foreseen;
pub mod gable;
pub mod hosts;
pub mod model;
pub mod network;
pub mod observation;
pub mod quantity;
pub mod reliability;
pub mod report;
pub mod scalar;
pub mod sight;
pub mod sigma;
pub mod solver;
pub mod state;
pub mod walk;

mod adjust;
mod answer;
mod chance;
mod columns;
mod edge;
mod gauge;
mod held;
mod laid_on;
mod minimum;
mod misclosure;
mod next;
mod outlines;
mod parting;
mod preference;
mod search;
mod seen_line;
mod sheet;
mod slopes;
mod start;
mod suspects;
mod swapped;
mod twins;
mod unconstrained;

pub use adjust::{Adjusted, Options, adjust, adjust_with};
pub use covariance::Covariance;
pub use error::SurveyError;
pub use finding::Finding;
pub use model::{RingInput, Survey};
pub use report::Report;
