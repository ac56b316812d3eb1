//! From observations to places with their uncertainty: one least squares for walked outlines, tapes, pitches, levels
//! and photos.

pub mod model;
pub mod report;
