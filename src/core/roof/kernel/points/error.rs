//! What can be wrong with faces by points.

use crate::base::finding::{Finding, Severity, plainly_shown};
use crate::base::multi_error::multi_error;
use crate::base::place::Place;
use crate::roof::model::finding::LeftOut;

/// Why faces by points give no roof. Metres.
#[derive(Clone, Debug, PartialEq)]
pub enum PointsError {
    /// No face could be made.
    NoFaces {
        /// The faces with the reason; empty where none is given.
        left_out: Vec<LeftOut>,
    },
    /// Too few points.
    TooFewPoints {
        /// The face's name.
        face: String,
        /// Points found.
        found: usize,
    },
    /// A point named twice in one face, or two of its points at one place.
    SamePlace {
        /// The face's name.
        face: String,
        /// One point.
        first: String,
        /// The other (the same name when a point is named twice).
        second: String,
    },
    /// All points on one line.
    OnOneLine {
        /// The face's name.
        face: String,
        /// Root mean square distance from the line, metres.
        within: f64,
    },
    /// The ring crosses itself.
    NotInOrder {
        /// The face's name.
        face: String,
        /// Where one side starts.
        first: String,
        /// Where the other starts.
        second: String,
    },
    /// An edge of more than two faces.
    SharedByMany {
        /// The faces' names.
        faces: Vec<String>,
        /// One end.
        from: String,
        /// The other.
        to: String,
    },
    /// A face that is not flat.
    NotFlat {
        /// The face's name.
        face: String,
        /// The point's name.
        point: String,
        /// How far it would have to move, metres.
        by: f64,
        /// The farthest that leaves the face whole, metres: half its shortest edge, or what chance allows.
        most: f64,
    },
    /// Planes that cannot meet near their common point.
    CannotMeet {
        /// The faces' names.
        faces: Vec<String>,
        /// The point where they should meet.
        point: String,
        /// The point that would have to move, itself or another of these faces.
        moved: String,
        /// How far, metres.
        by: f64,
        /// The farthest that leaves the faces whole, metres: half its shortest edge, or what chance allows.
        most: f64,
    },
    /// Planes that no turning brings together.
    StayApart {
        /// The faces' names.
        faces: Vec<String>,
        /// The point's name.
        point: String,
        /// The distance left, metres.
        gap: f64,
    },
    /// At the pitch asked for an edge shrinks to nothing: the faces meet in another shape.
    Vanishes {
        /// The faces at the edge.
        faces: Vec<String>,
        /// One end.
        from: String,
        /// The other.
        to: String,
    },
    /// Several of the above.
    Multiple(Vec<PointsError>),
}

multi_error!(PointsError);

plainly_shown!(PointsError);

impl Finding for PointsError {
    fn code(&self) -> &'static str {
        match self {
            Self::NoFaces { .. } => "no-face-located",
            _ => "faces-do-not-meet",
        }
    }

    fn severity(&self) -> Severity {
        Severity::Stop
    }

    #[allow(clippy::cast_precision_loss)]
    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::TooFewPoints { found, .. } => vec![("found", *found as f64), ("least", 3.0)],
            Self::OnOneLine { within, .. } => vec![("within", *within)],
            Self::SharedByMany { faces, .. } => vec![("found", faces.len() as f64), ("most", 2.0)],
            Self::NotFlat { by, most, .. } | Self::CannotMeet { by, most, .. } => vec![("by", *by), ("most", *most)],
            Self::StayApart { gap, .. } => vec![("gap", *gap)],
            Self::NoFaces { .. } | Self::SamePlace { .. } | Self::NotInOrder { .. } | Self::Vanishes { .. } => {
                Vec::new()
            }
            Self::Multiple(errors) => errors.iter().flat_map(Self::values).collect(),
        }
    }
}

impl PointsError {
    /// Where in the job the error stands.
    #[must_use]
    pub fn places(&self) -> Vec<Place> {
        let face = |name: &String| Place::Face(name.clone());
        match self {
            Self::NoFaces { .. } => vec![Place::Job],
            Self::TooFewPoints { face: name, .. }
            | Self::SamePlace { face: name, .. }
            | Self::OnOneLine { face: name, .. }
            | Self::NotInOrder { face: name, .. } => vec![face(name)],
            Self::NotFlat { face: name, point, .. } => vec![face(name), Place::Point(point.clone())],
            Self::SharedByMany { faces, .. } | Self::Vanishes { faces, .. } => faces.iter().map(face).collect(),
            Self::CannotMeet { faces, point, .. } | Self::StayApart { faces, point, .. } => {
                faces.iter().map(face).chain(std::iter::once(Place::Point(point.clone()))).collect()
            }
            Self::Multiple(errors) => errors.iter().flat_map(Self::places).collect(),
        }
    }
}
