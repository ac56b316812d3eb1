//! A `[[dormer]]` as a block: its front, cheeks and back stand plumb in a face that is solved already.

use super::frame::FaceFrame;
use super::model::Roof;
use crate::base::polygon::contains;
use crate::outline::block::{Dormer, DormerKind};
use crate::outline::footprint::{Footprint, Ring, Role, Side};
use nalgebra::{Point2, Point3, Vector2};

/// Why a dormer cannot stand where it is put. Lengths in metres, pitches in degrees.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DormerError {
    /// The roof has no such face.
    #[error("dormer {dormer} stands in {face}, which is no face of the roof")]
    NoFace {
        /// The dormer.
        dormer: String,
        /// The face it names.
        face: String,
    },
    /// The face is level or plumb.
    #[error("dormer {dormer} stands in {face}, which does not slope")]
    NoSlope {
        /// The dormer.
        dormer: String,
        /// The face it names.
        face: String,
    },
    /// Its front is not all within the face.
    #[error("the front of dormer {dormer} reaches {corner} end of {face}, expected both its corners within the face")]
    FrontOutside {
        /// The dormer.
        dormer: String,
        /// The face it names.
        face: String,
        /// Which way: "past the left", "past the right".
        corner: &'static str,
    },
    /// Its roof leaves the face at the top, or never meets it.
    #[error(
        "the roof of dormer {dormer} would meet the plane of {face} {found} in from its front, \
         outside the face: expected it lower or nearer the eave"
    )]
    TooHigh {
        /// The dormer.
        dormer: String,
        /// The face it names.
        face: String,
        /// How far in, in words: "3.20 m", "nowhere".
        found: String,
    },
}

impl DormerError {
    /// Where in the job the trouble lies.
    #[must_use]
    pub fn places(&self) -> Vec<crate::base::place::Place> {
        let (Self::NoFace { dormer, .. }
        | Self::NoSlope { dormer, .. }
        | Self::FrontOutside { dormer, .. }
        | Self::TooHigh { dormer, .. }) = self;
        vec![crate::base::place::Place::Dormer(dormer.clone())]
    }
}

/// The dormer as a block, to be joined with the roof it stands in. `face` names its host. Its sides are called front,
/// right, back and left as seen from outside; it reaches back to where its highest line meets the host's plane. O(corners
/// of the host).
///
/// # Errors
/// When it does not stand within the face, or its roof does not come down within it.
pub fn footprint(roof: &Roof, face: &str, dormer: &Dormer) -> Result<Footprint, DormerError> {
    let named = || (dormer.name.clone(), face.to_owned());
    let host = roof.face_named(face).map(|id| &roof.faces[id.index()]);
    let host = host.ok_or_else(|| DormerError::NoFace { dormer: named().0, face: named().1 })?;
    let no_slope = || DormerError::NoSlope { dormer: named().0, face: named().1 };
    let frame = FaceFrame::of(roof, host).ok_or_else(no_slope)?;
    let inward = frame.up.xy().try_normalize(f64::EPSILON).ok_or_else(no_slope)?;
    let along = frame.along.xy();
    let slope = frame.up.z / frame.up.xy().norm();

    let left = frame.origin.xy() + along * dormer.at[0] + inward * dormer.at[1];
    let right = left + along * dormer.width;
    let ring: Vec<Point2<f64>> = roof.ring(host).iter().map(Point3::xy).collect();
    for (corner, end) in [("past the left", left), ("past the right", right)] {
        if !contains(&ring, &end) {
            let (dormer, face) = named();
            return Err(DormerError::FrontOutside { dormer, face, corner });
        }
    }
    let (depth, across) = depth(dormer, slope);
    let back = left + along * across + inward * depth;
    let reaches = depth.is_finite() && {
        // On the face's upper edge is well; a shade below it must be within.
        let below = back - inward * (depth * f64::EPSILON.sqrt());
        contains(&ring, &below)
    };
    if !reaches {
        let (dormer, face) = named();
        let found = if depth.is_finite() { format!("{depth:.2} m") } else { "nowhere".into() };
        return Err(DormerError::TooHigh { dormer, face, found });
    }
    let height = frame.origin.z + dormer.at[1] * slope + dormer.front_height;
    let eave = || Role::Eave { pitch: dormer.pitch, breaks: Vec::new() };
    let (front, sides) = match dormer.kind {
        DormerKind::Gable => (Role::Verge, eave()),
        DormerKind::Hip => (eave(), eave()),
        DormerKind::Shed => (eave(), Role::Verge),
    };
    let deep: Vector2<f64> = inward * depth;
    let side = |name: &str, start: Point2<f64>, role: Role| Side { name: name.into(), start, height, role };
    let sides = vec![
        side("front", left, front),
        side("right", right, sides.clone()),
        side("back", right + deep, Role::Verge),
        side("left", left + deep, sides),
    ];
    Ok(Footprint { name: dormer.name.clone(), height, rings: vec![Ring { sides }], walls: None })
}

/// How far in from the front the dormer's highest line meets the host's plane, and how far along the front that is.
fn depth(dormer: &Dormer, slope: f64) -> (f64, f64) {
    let (tangent, middle) = (dormer.pitch.tangent(), dormer.width / 2.0);
    let ridge = (dormer.front_height + middle * tangent) / slope;
    let single = if slope > tangent { dormer.front_height / (slope - tangent) } else { f64::INFINITY };
    let depth = match dormer.kind {
        DormerKind::Gable => ridge,
        DormerKind::Hip if ridge >= middle => ridge,
        DormerKind::Hip | DormerKind::Shed => single,
    };
    (depth, middle)
}
