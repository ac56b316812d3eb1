//! What the adjustment found, beside the places themselves.

use super::reliability::DETECTABLE;
use super::sight::Sight;
use crate::base::place::Place;
use nalgebra::Point3;

/// A number whose standard deviation is more than this part of it is not answered: it was not determined.
pub const LARGEST_SD: f64 = 0.2;

/// An adjusted point.
#[derive(Clone, Debug, PartialEq)]
pub struct AdjustedPoint {
    /// Its name.
    pub name: String,
    /// Metres.
    pub at: Point3<f64>,
    /// Standard deviations of x, y, z, metres; `None` where not determined.
    pub sd: Option<[f64; 3]>,
    /// Whether the observations fix it.
    pub located: bool,
}

/// A face of the adjusted points' own polygon, before planes are intersected.
#[derive(Clone, Debug, PartialEq)]
pub struct AdjustedFace {
    /// Its name.
    pub name: String,
    /// Newell area, square metres; `None` where not determined.
    pub area: Option<f64>,
    /// Its standard deviation.
    pub area_sd: Option<f64>,
    /// Pitch, radians.
    pub pitch: Option<f64>,
    /// Its standard deviation, radians.
    pub pitch_sd: Option<f64>,
}

/// An observation to doubt.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspect {
    /// In words: "tape A-C".
    pub observation: String,
    /// Where it stands in the job.
    pub place: Place,
    /// Standardised residual (Baarda's w).
    pub w: f64,
    /// Redundancy number in 0..=1.
    pub redundancy: f64,
    /// Smallest error the network would show, in `unit`.
    pub smallest_detectable: f64,
    /// "m", "degrees" or "px".
    pub unit: &'static str,
}

impl Suspect {
    /// The error that would explain it alone, in `unit`: positive where too much was read.
    #[must_use]
    pub fn error(&self) -> f64 {
        -self.w * self.smallest_detectable / DETECTABLE
    }
}

/// How well one observation is checked by the others.
#[derive(Clone, Debug, PartialEq)]
pub struct ObservationCheck {
    /// In words: "tape A-C".
    pub observation: String,
    /// Where it stands in the job.
    pub place: Place,
    /// Adjusted minus observed, in `unit`.
    pub residual: f64,
    /// Standardised residual (Baarda's w); `None` where no other observation checks it.
    pub w: Option<f64>,
    /// Redundancy number in 0..=1.
    pub redundancy: f64,
    /// Smallest error the network would show, in `unit`; `None` where no other observation checks it.
    pub smallest_detectable: Option<f64>,
    /// "m", "degrees", "px" or "1".
    pub unit: &'static str,
}

/// A measurement that would help.
#[derive(Clone, Debug, PartialEq)]
pub struct BestNext {
    /// In words.
    pub observation: String,
    /// Standard deviation of the total area after it, square metres.
    pub area_sd_after: f64,
}

/// The adjustment's account of itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Report {
    /// Every named point.
    pub points: Vec<AdjustedPoint>,
    /// Every face by points.
    pub faces: Vec<AdjustedFace>,
    /// Plan gap of each walked block with lengths and turns as written, metres, by block name.
    pub misclosures: Vec<(String, f64)>,
    /// Weighted sum of squared residuals; `None` when nothing was adjusted.
    pub chi2: Option<f64>,
    /// 95 % bounds of it.
    pub chi2_bounds: Option<[f64; 2]>,
    /// Degrees of freedom.
    pub dof: usize,
    /// Every observation in the order of the file's kinds: sides, readings, marks.
    pub checks: Vec<ObservationCheck>,
    /// Worst first.
    pub suspects: Vec<Suspect>,
    /// Best first.
    pub best_next: Vec<BestNext>,
    /// Standard deviation of the total area now, square metres: what [`Report::best_next`] is held against.
    pub area_sd: Option<f64>,
    /// How each photo was taken; `None` for one that was not placed.
    pub photos: Vec<Option<Sight>>,
    /// What was not determined, with the reason.
    pub undetermined: Vec<String>,
}

impl Report {
    /// What standard deviations are multiplied by before they are told: 1 where the measurements agree as their sigmas
    /// promise; where the chi-square test says that they do not, the root of chi-square over the degrees of freedom.
    #[must_use]
    pub fn widening(&self) -> f64 {
        match (self.chi2, self.chi2_bounds) {
            (Some(chi2), Some([_, high])) if chi2 > high => (chi2 / self.dof as f64).sqrt(),
            _ => 1.0,
        }
    }
}
