//! What can be wrong with faces by points.

use crate::base::place::Place;
use crate::base::several::{Several, joined};

/// Why faces by points give no roof.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PointsError {
    /// No face could be made.
    #[error("no face of the roof is located: {}", if .notes.is_empty() { "none is given".to_owned() } else { .notes.join("; ") })]
    NoFaces {
        /// Why each was left out.
        notes: Vec<String>,
    },
    /// Too few points.
    #[error("face {face} has {found} points, expected 3 or more")]
    TooFewPoints {
        /// The face.
        face: String,
        /// Points found.
        found: usize,
    },
    /// A point named twice in one face, or two of its points at one place.
    #[error("points {first} and {second} of face {face} lie at one place, expected different corners")]
    SamePlace {
        /// The face.
        face: String,
        /// One point.
        first: String,
        /// The other (the same name when a point is named twice).
        second: String,
    },
    /// All points on one line.
    #[error("the points of face {face} lie on one line (within {within:.4} m), expected a plane")]
    OnOneLine {
        /// The face.
        face: String,
        /// Root mean square distance from the line, metres.
        within: f64,
    },
    /// The ring crosses itself.
    #[error("the points of face {face} are not in order round it: its sides from {first} and from {second} cross")]
    NotInOrder {
        /// The face.
        face: String,
        /// Where one side starts.
        first: String,
        /// Where the other starts.
        second: String,
    },
    /// An edge of more than two faces.
    #[error("faces {} share the edge {from}-{to}, expected two at most", .faces.join(", "))]
    SharedByMany {
        /// The faces.
        faces: Vec<String>,
        /// One end.
        from: String,
        /// The other.
        to: String,
    },
    /// A face that is not flat.
    #[error("face {face} is not flat: {point} lies {by:.3} m from its plane, expected at most {most:.3} m")]
    NotFlat {
        /// The face.
        face: String,
        /// The point.
        point: String,
        /// How far it would have to move, metres.
        by: f64,
        /// The farthest that leaves the face whole, metres: half its shortest edge, or what chance allows.
        most: f64,
    },
    /// Planes that cannot meet near their common point.
    #[error(
        "the planes of faces {} cannot meet at {point}: {moved} would have to move {by:.3} m, expected at most {most:.3} m",
        .faces.join(", ")
    )]
    CannotMeet {
        /// The faces.
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
    #[error("the planes of faces {} stay {gap:.4} m apart at {point}", .faces.join(", "))]
    StayApart {
        /// The faces.
        faces: Vec<String>,
        /// The point.
        point: String,
        /// The distance left, metres.
        gap: f64,
    },
    /// Several of the above.
    #[error("{}", joined(.0))]
    Several(Vec<PointsError>),
}

impl Several for PointsError {
    fn several(errors: Vec<Self>) -> Self {
        Self::Several(errors)
    }

    fn list(&self) -> Option<&[Self]> {
        match self {
            Self::Several(errors) => Some(errors),
            _ => None,
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
            Self::SharedByMany { faces, .. } => faces.iter().map(face).collect(),
            Self::CannotMeet { faces, point, .. } | Self::StayApart { faces, point, .. } => {
                faces.iter().map(face).chain(std::iter::once(Place::Point(point.clone()))).collect()
            }
            Self::Several(errors) => errors.iter().flat_map(Self::places).collect(),
        }
    }
}
