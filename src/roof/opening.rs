//! Chimneys, roof windows, vents: cut from the faces they stand in.

use nalgebra::Point2;

/// An opening as the file states it.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// What it is, in the user's words: "roof window".
    pub kind: String,
    /// Where.
    pub shape: OpeningShape,
}

/// Where an opening lies.
#[derive(Clone, Debug, PartialEq)]
pub enum OpeningShape {
    /// A rectangle in a face's own frame ([`crate::roof::frame::FaceFrame`]).
    InFace {
        /// The face's name.
        face: String,
        /// Lower left corner: along the eave, up the slope, metres.
        at: [f64; 2],
        /// Along the eave, up the slope, metres.
        size: [f64; 2],
    },
    /// A plumb prism through every face it meets.
    Plan(Vec<Point2<f64>>),
}

/// An opening as cut from one face.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOpening {
    /// The face it is cut from.
    pub face: crate::base::ids::FaceId,
    /// Its outline in the face's frame, anticlockwise, metres.
    pub ring: Vec<Point2<f64>>,
    /// Area cut from the face, square metres.
    pub area: f64,
    /// What it is, in the user's words.
    pub kind: String,
}
