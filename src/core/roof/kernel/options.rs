//! How roofs over footprints are solved.

/// How to solve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Options {
    /// Remnants of edges shorter than this are contracted, metres; `None`: by the outline's size.
    pub tolerance: Option<f64>,
    /// Sides of different blocks nearer than this are brought together, metres.
    pub join_gap: f64,
    /// Whether to keep the events of the sweep.
    pub steps: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self { tolerance: None, join_gap: 0.02, steps: false }
    }
}
