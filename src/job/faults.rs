//! Each stage's typed error told as faults: a code, a message, places.

use super::answer::Failure;
use crate::base::fault::Fault;
use crate::base::place::Place;
use crate::base::several::Several;
use crate::outline::OutlineError;
use crate::outline::pitch::PitchError;
use crate::roof::SolveError;
use crate::roof::dormer::DormerError;
use crate::roof::opening::OpeningError;
use crate::roof::points::PointsError;
use crate::survey::SurveyError;

/// The code of a failure for want of measurements alone.
pub(super) const NO_FACE_LOCATED: &str = "no-face-located";

/// A stage's error, as one or more faults.
pub(super) trait StageError {
    /// The faults, in the order of the file.
    fn faults(&self) -> Vec<Fault>;
}

/// A stage's error as the job's failure.
pub(super) fn of(error: &impl StageError) -> Failure {
    Failure { faults: error.faults() }
}

/// One fault from a code, the error's own words and its places.
fn one(code: &'static str, error: &impl std::error::Error, places: Vec<Place>) -> Fault {
    Fault { code, message: error.to_string(), places, hint: None }
}

impl StageError for SurveyError {
    fn faults(&self) -> Vec<Fault> {
        let code = match self {
            Self::TurnsDoNotClose { .. } => "turns-do-not-close",
            Self::ExactContradiction { .. } => "exact-contradiction",
            Self::TooFewSides { .. } => "too-few-sides",
            Self::PlacedByNothing { .. } => "placed-by-nothing",
            Self::PhotoNotPlaced { .. } => "photo-not-placed",
            Self::NotConverged { .. } => "not-brought-together",
        };
        vec![one(code, self, self.places())]
    }
}

impl StageError for OutlineError {
    fn faults(&self) -> Vec<Fault> {
        self.each().into_iter().map(|error| one(error.code(), error, error.places())).collect()
    }
}

impl StageError for SolveError {
    fn faults(&self) -> Vec<Fault> {
        vec![one("roof-not-solved", self, self.places())]
    }
}

impl StageError for PointsError {
    fn faults(&self) -> Vec<Fault> {
        match self {
            Self::NoFaces { .. } => {
                let hint = "`solve` says what is not determined, why, and which measurement would help most";
                vec![Fault { hint: Some(hint.to_owned()), ..one(NO_FACE_LOCATED, self, self.places()) }]
            }
            _ => vec![one("faces-do-not-meet", self, self.places())],
        }
    }
}

impl StageError for DormerError {
    fn faults(&self) -> Vec<Fault> {
        let hint = match self {
            Self::NoFace { .. } => {
                "a side whose face is in several pieces names them from below: block/side, block/side:2 …; faces in one plane \
                 that touch go by the first of their sides in the file"
            }
            Self::FrontOutside { .. } | Self::FrontBeyond { .. } => {
                "`at` counts from the left end of the face's eave, seen from outside, and level in from it"
            }
            Self::TooHigh { .. } => "a smaller `front_height` or a flatter `pitch` brings its roof down sooner",
            Self::NoSlope { .. } => "name a side whose roof slopes",
        };
        vec![Fault { hint: Some(hint.to_owned()), ..one("dormer-misplaced", self, self.places()) }]
    }
}

impl StageError for OpeningError {
    fn faults(&self) -> Vec<Fault> {
        self.each().into_iter().map(|error| one("opening-misplaced", error, error.places())).collect()
    }
}

/// Why a pitch that was not measured was not found.
pub(super) fn of_pitch(error: PitchError<Failure>) -> Vec<Fault> {
    match error {
        // What stands in the way of every trial stands in the way of the roof: say that, at its own place.
        PitchError::Trial { error, .. } => error.faults,
        error => {
            let places = error.places();
            let hint = "give ridge_height, or rafter = { side = …, length = … }, on the block";
            vec![Fault { code: "pitch-not-found", message: error.to_string(), places, hint: Some(hint.to_owned()) }]
        }
    }
}
