//! Why there is no answer: a stage's typed error with the places of the job it is about.

use super::model::Job;
use crate::base::finding::{Finding, Severity, plainly_shown};
use crate::base::multi_error::MultiError;
use crate::base::multi_error::joined;
use crate::base::name::SideName;
use crate::base::place::Place;
use crate::outline::OutlineError;
use crate::outline::pitch::{PitchError, Unresolved};
use crate::roof::SolveError;
use crate::roof::analysis::opening::OpeningError;
use crate::roof::kernel::dormer::DormerError;
use crate::roof::kernel::points::PointsError;
use crate::survey::{self, SurveyError};

/// One reason why there is no answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// What is wrong.
    pub error: StageError,
    /// Where in the job; the first is where to look. Never empty.
    pub places: Vec<Place>,
}

/// The error of a stage.
#[derive(Clone, Debug, PartialEq)]
pub enum StageError {
    /// Of the adjustment.
    Survey(SurveyError),
    /// Of an outline.
    Outline(OutlineError),
    /// Of a pitch that was not measured.
    Pitch(PitchError),
    /// Of a roof from outlines.
    Roof(SolveError),
    /// Of a roof from points.
    Points(PointsError),
    /// Of a dormer.
    Dormer(DormerError),
    /// Of an opening.
    Opening(OpeningError),
}

/// Why there is no answer: every reason found.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{}", joined(&self.faults))]
pub struct Failure {
    /// One or more.
    pub faults: Vec<Fault>,
    /// What the measurements had to say that casts doubt, where they were brought together: it may be what is to blame.
    pub findings: Vec<survey::Finding>,
}

impl From<Vec<Fault>> for Failure {
    fn from(faults: Vec<Fault>) -> Self {
        Self { faults, findings: Vec::new() }
    }
}

impl Failure {
    /// Whether nothing is wrong with the job but that its measurements place no face: what they do tell is answered by
    /// [`super::measured`].
    #[must_use]
    pub fn is_for_want_of_measurements(&self) -> bool {
        !self.faults.is_empty()
            && self.faults.iter().all(|fault| matches!(fault.error, StageError::Points(PointsError::NoFaces { .. })))
    }
}

plainly_shown!(Fault);

impl StageError {
    fn inner(&self) -> &dyn Finding {
        match self {
            Self::Survey(error) => error,
            Self::Outline(error) => error,
            Self::Pitch(error) => error,
            Self::Roof(error) => error,
            Self::Points(error) => error,
            Self::Dormer(error) => error,
            Self::Opening(error) => error,
        }
    }

    fn places(&self) -> Vec<Place> {
        match self {
            Self::Survey(error) => error.places(),
            Self::Outline(error) => error.places(),
            Self::Pitch(error) => error.places(),
            Self::Roof(error) => error.places(),
            Self::Points(error) => error.places(),
            Self::Dormer(error) => error.places(),
            Self::Opening(error) => error.places(),
        }
    }
}

impl Finding for Fault {
    fn code(&self) -> &'static str {
        self.error.inner().code()
    }

    fn severity(&self) -> Severity {
        Severity::Stop
    }

    fn sides(&self) -> Vec<SideName> {
        let side = |place: &Place| match place {
            Place::Side { block, side } => Some(SideName::new(block, side)),
            _ => None,
        };
        self.places.iter().filter_map(side).collect()
    }

    fn values(&self) -> Vec<(&'static str, f64)> {
        self.error.inner().values()
    }
}

/// A stage's error as the failure of a job, each of several faults by itself and at its places in the job.
pub(super) fn of(job: &Job, error: impl Into<StageErrors>) -> Failure {
    let StageErrors(errors) = error.into();
    errors.into_iter().map(|error| placed(job, error)).collect::<Vec<Fault>>().into()
}

/// Why a pitch that was not measured was not found. What stands in the way of every trial stands in the way of the roof:
/// that is said, at its own place.
pub(super) fn of_pitch(job: &Job, error: Unresolved<Failure>) -> Vec<Fault> {
    match error {
        Unresolved::Trial(failure) => failure.faults,
        Unresolved::Pitch(error) => vec![placed(job, StageError::Pitch(error))],
    }
}

fn placed(job: &Job, error: StageError) -> Fault {
    let mut places: Vec<Place> = match &error {
        StageError::Points(PointsError::NoFaces { left_out }) => {
            let name = |face: usize| job.survey.faces.get(face).map(|face| Place::Face(face.name.clone()));
            left_out.iter().filter_map(|left_out| name(left_out.face.index())).collect()
        }
        other => other.places(),
    };
    for place in &mut places {
        // A dormer is solved as a block.
        if let Place::Block(name) | Place::Side { block: name, .. } = place
            && job.dormers.iter().any(|dormer| dormer.name == *name)
        {
            *place = Place::Dormer(name.clone());
        }
    }
    let mut known: Vec<Place> = Vec::with_capacity(places.len());
    for place in places {
        if !known.contains(&place) {
            known.push(place);
        }
    }
    if known.is_empty() {
        known.push(Place::Job);
    }
    Fault { error, places: known }
}

/// The errors of a stage, one by one.
pub(super) struct StageErrors(Vec<StageError>);

macro_rules! single {
    ($($error:ident => $variant:ident),+) => {
        $(
            impl From<$error> for StageErrors {
                fn from(error: $error) -> Self {
                    Self(vec![StageError::$variant(error)])
                }
            }
        )+
    };
}

macro_rules! several {
    ($($error:ident => $variant:ident),+) => {
        $(
            impl From<$error> for StageErrors {
                fn from(error: $error) -> Self {
                    Self(error.each().into_iter().cloned().map(StageError::$variant).collect())
                }
            }
        )+
    };
}

single!(SurveyError => Survey, SolveError => Roof, DormerError => Dormer);
several!(OutlineError => Outline, PointsError => Points, OpeningError => Opening);
