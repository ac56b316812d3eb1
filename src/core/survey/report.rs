//! What the adjustment found, beside the places themselves.

use super::observation::{Listed, ObservationId, Proposal, Unit};
use super::reliability::DETECTABLE;
use super::sight::Sight;
use crate::base::estimate::NINETY_FIVE;
use crate::base::ids::{PlaneId, PointId};
use crate::base::place::Place;
use nalgebra::Point3;

/// A number whose standard deviation is more than this part of it is not answered: it was not determined.
pub const LARGEST_SD: f64 = 0.2;

/// Most measurements that are proposed.
pub const MOST_PROPOSED: usize = 3;

/// A measurement that takes less than this part off the standard deviation is not worth the climb.
pub const SMALLEST_GAIN: f64 = 0.05;

/// An adjusted point.
#[derive(Clone, Debug, PartialEq)]
pub struct AdjustedPoint {
    /// The name it was given.
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
    /// The name it was given.
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
    /// Which.
    pub observation: ObservationId,
    /// Where it stands in the job.
    pub place: Place,
    /// Standardised residual (Baarda's w).
    pub w: f64,
    /// Redundancy number in 0..=1.
    pub redundancy: f64,
    /// Smallest error the network would show, in `unit`.
    pub smallest_detectable: f64,
    /// What it is read in: metres, radians, pixels.
    pub unit: Unit,
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
    /// Which.
    pub observation: ObservationId,
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
    /// What it is read in: metres, radians, pixels, or a plain number.
    pub unit: Unit,
}

/// A measurement that would help.
#[derive(Clone, Debug, PartialEq)]
pub struct BestNext {
    /// Which.
    pub observation: Proposal,
    /// Standard deviation of the total area after it, square metres; `None` where it settles a part of what is open and the
    /// total is not yet determined.
    pub area_sd_after: Option<f64>,
    /// Where two observations are equally to blame and this one tells which.
    pub parts: Option<Parting>,
}

/// Two observations of which either may be wrong, and what a third would read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parting {
    /// The two.
    pub between: [ObservationId; 2],
    /// What it would read where the first is wrong and where the second is, metres or radians.
    pub expected: [f64; 2],
    /// Whether it is one of the two, taken again.
    pub again: bool,
}

/// Something that the measurements do not fix.
#[derive(Clone, Debug, PartialEq)]
pub enum Undetermined {
    /// How large it all is: no length was taken.
    Size,
    /// A point's place.
    Point {
        /// The point, by its number in the survey.
        point: PointId,
        /// Which of x, y and the height are open.
        open: [bool; 3],
        /// In how many photos it is marked; `None` in a job without photos.
        marked: Option<usize>,
    },
    /// The area of a face given by points.
    Area {
        /// The face, by its number in the survey.
        face: PlaneId,
        /// Why.
        why: WhyOpen,
        /// What would settle it by itself: the best tape between its corners, the best pitch reading.
        fixes: Vec<Proposal>,
    },
    /// The pitch of a face given by points.
    Pitch {
        /// The face, by its number in the survey.
        face: PlaneId,
    },
    /// How a photo was taken: it is not used.
    Photo {
        /// An index into [`super::model::Survey::photos`].
        photo: usize,
        /// How many marks it has.
        marks: usize,
        /// How many would do: fewer of a plan.
        wanted: usize,
    },
}

/// Why an area is not answered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WhyOpen {
    /// Its shape is known, its size is not.
    NoSize,
    /// The measurements do not fix it.
    NotFixed,
    /// Its standard deviation is more than [`LARGEST_SD`] of it.
    TooUncertain {
        /// What the measurements give, square metres.
        area: f64,
        /// Its standard deviation.
        sd: f64,
    },
    /// A corner of it may lie elsewhere, by more than [`LARGEST_SD`] of the face's extent.
    LooseCorner {
        /// The corner.
        point: PointId,
        /// How far, metres: a standard deviation, or the distance of another place that fits as well.
        sd: f64,
    },
}

/// What told a state from its twin, upside down or mirrored, where the measurements fit both alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ChosenBy {
    /// Directions that the file states.
    Axes,
    /// Rough places that the file gives.
    RoughPlaces,
    /// Feet lie below what stands on them.
    Feet,
    /// Cameras stand above the ground.
    Cameras,
    /// Ridges lie higher than eaves.
    Ridges,
    /// The points of a face are named anticlockwise as seen from above.
    OrderOfPoints,
}

/// The measurements fit another state as well, and one was chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    /// What the choice rests on.
    pub by: ChosenBy,
    /// The point that would lie elsewhere by most in the other state: a rough place of it settles the matter.
    pub point: PointId,
    /// How far from here, metres.
    pub apart: f64,
    /// Whether the other state differs in heights; else it is a mirror image in plan.
    pub upside_down: bool,
}

/// Two marks of a photo with which the measurements agree when each takes the other's name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Swapped {
    /// An index into [`super::model::Survey::photos`].
    pub photo: usize,
    /// The points as they are marked.
    pub points: [PointId; 2],
}

/// Two photos that are one picture: it counts twice, and makes everything look surer than it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RepeatedPhoto {
    /// An index into [`super::model::Survey::photos`].
    pub first: usize,
    /// The later one.
    pub second: usize,
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
    pub undetermined: Vec<Undetermined>,
    /// Where the measurements fit another state as well and what was chosen rests on an assumption.
    pub choices: Vec<Choice>,
    /// Two marks whose names seem to be changed over.
    pub swapped: Option<Swapped>,
    /// Photos that are one picture.
    pub repeated_photos: Vec<RepeatedPhoto>,
}

impl Report {
    /// Readings of tapes and of pitches that no other measurement checks.
    #[must_use]
    pub fn unchecked(&self) -> Vec<ObservationId> {
        let is_read = |check: &&ObservationCheck| {
            check.w.is_none()
                && matches!(
                    check.observation,
                    ObservationId::Listed { what: Listed::Tape | Listed::Known | Listed::PitchReading, .. }
                )
        };
        self.checks.iter().filter(is_read).map(|check| check.observation).collect()
    }

    /// How far the total area may be off now, square metres: half the width of the interval that holds 95 of 100 cases.
    #[must_use]
    pub fn area_95(&self) -> Option<f64> {
        self.area_sd.map(|sd| NINETY_FIVE * sd * self.widening())
    }

    /// The same after a measurement that would help; `None` where the area is then not yet determined.
    #[must_use]
    pub fn area_95_after(&self, next: &BestNext) -> Option<f64> {
        next.area_sd_after.map(|sd| NINETY_FIVE * sd * self.widening())
    }

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
