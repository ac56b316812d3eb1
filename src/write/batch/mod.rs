//! Answers about many outlines: a line each, a city model's line each, and a report page of a whole run.

pub mod city;
pub mod line;
pub mod report;
#[cfg(feature = "geoparquet")]
pub mod table;

use crate::job::features::FeatureFault;
use crate::job::outlines::{LocalFrame, RoofSums};
use crate::roof::Roof;

/// A feature's answer.
#[derive(Clone, Debug)]
pub struct Answered {
    /// Its line or number in the input, from 1.
    pub line: u64,
    /// What the file calls it, as JSON; empty where it has none.
    pub id: String,
    /// Where it stands, in the file's places; `None` where it has no outline.
    pub at: Option<[f64; 2]>,
    /// Its roof, or why it has none.
    pub roof: Result<SolvedOutline, FeatureFault>,
}

/// A roof over an outline.
#[derive(Clone, Debug)]
pub struct SolvedOutline {
    /// What is told of it.
    pub sums: RoofSums,
    /// Packs of the covering, and the cost of the order; `None` where nothing was laid out or priced.
    pub laid: Option<(Option<u32>, Option<f64>)>,
    /// The roof, in metres of its frame.
    pub roof: Roof,
    /// The outline, in metres of its frame.
    pub polygons: Vec<Vec<Vec<nalgebra::Point2<f64>>>>,
    /// Where it stands.
    pub frame: LocalFrame,
    /// Whether places of the file are degrees.
    pub is_degrees: bool,
}

/// What the file calls a feature, as JSON.
fn id(answered: &Answered) -> &str {
    if answered.id.is_empty() { "null" } else { &answered.id }
}
