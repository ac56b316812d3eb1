//! Everything an answer has to say, as data: what the stages found, and what the job itself found beside them.

use crate::base::estimate::NINETY_FIVE;
use crate::base::finding::{self, Severity};
use crate::base::ids::{EdgeId, FaceId, PlaneId};
use crate::base::name::SideName;
use crate::survey::report::LARGEST_SD;
use crate::survey::sigma::COMPASS;
use crate::{framing, outline, roof, survey};

/// A finding of a job.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// Of the adjustment.
    Survey(survey::Finding),
    /// Of the outlines.
    Outline(outline::Finding),
    /// Of the roof.
    Roof(roof::Finding),
    /// Of the cutting data.
    Framing(framing::Finding),
    /// Areas that are not answered, for their standard deviation is more than [`LARGEST_SD`] of them.
    AreasNotDetermined {
        /// Each of them.
        areas: Vec<OpenArea>,
    },
    /// Lengths that are not answered for the same reason.
    LengthsNotDetermined {
        /// Each of them.
        lengths: Vec<OpenLength>,
    },
    /// What the compasses of photos say of north. It is not used.
    NorthByCompass {
        /// The photos, by their numbers in the survey.
        photos: Vec<usize>,
        /// Bearing of the drawing's +y axis, radians clockwise from north.
        north: f64,
        /// From magnetic north, by one of them at least.
        is_magnetic: bool,
        /// How far the farthest of them is from their mean, radians, where that is much.
        apart: Option<f64>,
        /// The bearing that the file states.
        written: Option<f64>,
    },
    /// A pitch that is written and was read too.
    PitchRead {
        /// The side it was read over.
        side: SideName,
        /// As written, radians.
        written: f64,
        /// As read, radians; of several, the one farthest off.
        read: f64,
        /// What is taken: their mean by weights, radians.
        taken: f64,
        /// Whether they lie farther apart than they are unsure.
        is_apart: bool,
    },
}

/// A face whose area is not answered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OpenArea {
    /// The face, by its number in the roof.
    pub face: FaceId,
    /// What the measurements give, square metres.
    pub area: f64,
    /// Its standard deviation.
    pub sd: f64,
}

/// An edge whose length is not answered.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenLength {
    /// The edge, by its number in the roof.
    pub edge: EdgeId,
    /// The faces beside it.
    pub faces: Vec<FaceId>,
    /// What the measurements give, metres.
    pub length: f64,
    /// Its standard deviation.
    pub sd: f64,
}

impl From<survey::Finding> for Finding {
    fn from(finding: survey::Finding) -> Self {
        Self::Survey(finding)
    }
}

impl From<outline::Finding> for Finding {
    fn from(finding: outline::Finding) -> Self {
        Self::Outline(finding)
    }
}

impl From<roof::Finding> for Finding {
    fn from(finding: roof::Finding) -> Self {
        Self::Roof(finding)
    }
}

impl From<framing::Finding> for Finding {
    fn from(finding: framing::Finding) -> Self {
        Self::Framing(finding)
    }
}

impl Finding {
    /// The stage's own finding, where it is one.
    fn inner(&self) -> Option<&dyn finding::Finding> {
        match self {
            Self::Survey(finding) => Some(finding),
            Self::Outline(finding) => Some(finding),
            Self::Roof(finding) => Some(finding),
            Self::Framing(finding) => Some(finding),
            Self::AreasNotDetermined { .. }
            | Self::LengthsNotDetermined { .. }
            | Self::NorthByCompass { .. }
            | Self::PitchRead { .. } => None,
        }
    }
}

impl finding::Finding for Finding {
    fn code(&self) -> &'static str {
        match self {
            Self::PitchRead { is_apart: false, .. } => "pitch-mean",
            Self::NorthByCompass { written: None, .. } => "north-by-compass",
            Self::NorthByCompass { written: Some(_), .. } => "north-and-compass-disagree",
            Self::PitchRead { is_apart: true, .. } => "pitch-readings-disagree",
            _ => self.inner().map_or("not-determined", finding::Finding::code),
        }
    }

    fn severity(&self) -> Severity {
        match self {
            Self::PitchRead { is_apart: false, .. } | Self::NorthByCompass { written: None, .. } => Severity::Note,
            Self::NorthByCompass { written: Some(_), .. } => Severity::Mind,
            _ => self.inner().map_or(Severity::Doubt, finding::Finding::severity),
        }
    }

    fn faces(&self) -> Vec<FaceId> {
        match self {
            Self::AreasNotDetermined { areas } => areas.iter().map(|open| open.face).collect(),
            Self::LengthsNotDetermined { lengths } => lengths.iter().flat_map(|open| open.faces.clone()).collect(),
            _ => self.inner().map_or_else(Vec::new, finding::Finding::faces),
        }
    }

    fn sides(&self) -> Vec<SideName> {
        match self {
            Self::PitchRead { side, .. } => vec![side.clone()],
            _ => self.inner().map_or_else(Vec::new, finding::Finding::sides),
        }
    }

    fn planes(&self) -> Vec<PlaneId> {
        self.inner().map_or_else(Vec::new, finding::Finding::planes)
    }

    fn values(&self) -> Vec<(&'static str, f64)> {
        let percent = || std::iter::once(("percent", 100.0 * LARGEST_SD));
        match self {
            Self::AreasNotDetermined { areas } => {
                let of =
                    |open: &OpenArea| [("area", open.area), ("area_sd", open.sd), ("area_95", NINETY_FIVE * open.sd)];
                percent().chain(areas.iter().flat_map(of)).collect()
            }
            Self::LengthsNotDetermined { lengths } => {
                let of = |open: &OpenLength| {
                    [("length", open.length), ("length_sd", open.sd), ("length_95", NINETY_FIVE * open.sd)]
                };
                percent().chain(lengths.iter().flat_map(of)).collect()
            }
            Self::NorthByCompass { north, apart, written, .. } => {
                let told =
                    [("north", Some(*north)), ("unsure", Some(COMPASS)), ("apart", *apart), ("written", *written)];
                told.into_iter().filter_map(|(name, angle)| Some((name, angle?.to_degrees()))).collect()
            }
            Self::PitchRead { written, read, taken, .. } => {
                vec![("written", written.to_degrees()), ("read", read.to_degrees()), ("taken", taken.to_degrees())]
            }
            _ => self.inner().map_or_else(Vec::new, finding::Finding::values),
        }
    }
}
