//! A `[[dormer]]` as a block: its front, cheeks and back stand plumb in a face that is solved already.

use crate::base::finding::{Finding, Severity, plainly_shown};
use crate::base::ids::CornerId;
use crate::base::name::SideName;
use crate::base::place::Place;
use crate::base::polygon::extent;
use crate::base::tolerance;
use crate::outline::block::{Dormer, DormerKind};
use crate::outline::footprint::{Footprint, Ring, Role, Side, TakesOver};
use crate::roof::model::frame::FaceFrame;
use crate::roof::model::{Face, Roof};
use nalgebra::{Point2, Vector2};

/// Why a dormer cannot stand where it is put. Metres.
#[derive(Clone, Debug, PartialEq)]
pub enum DormerError {
    /// The roof has no such face.
    NoFace {
        /// The dormer's name.
        dormer: String,
        /// The face it names.
        face: String,
        /// Faces it may mean: the other pieces of that side, or those its side is a part of, or all.
        faces: Vec<String>,
    },
    /// The face is level or plumb.
    NoSlope {
        /// The dormer's name.
        dormer: String,
        /// The face it names.
        face: String,
    },
    /// Its front is not all within the face.
    FrontOutside {
        /// The dormer's name.
        dormer: String,
        /// The face it names.
        face: String,
        /// Level distance in from the eave.
        depth: f64,
        /// Where its front begins and ends along the eave.
        front: [f64; 2],
        /// What the face has there.
        spans: Vec<[f64; 2]>,
    },
    /// Its front lies beyond the top of the face.
    FrontBeyond {
        /// The dormer's name.
        dormer: String,
        /// The face it names.
        face: String,
        /// Level distance in from the eave.
        depth: f64,
        /// That of the face's farthest corner.
        deepest: f64,
    },
    /// Its roof leaves the face at the top, or never meets it.
    TooHigh {
        /// The dormer's name.
        dormer: String,
        /// The face it names.
        face: String,
        /// How far in from its front they meet; `None` where they never do.
        depth: Option<f64>,
    },
}

plainly_shown!(DormerError);

impl Finding for DormerError {
    fn code(&self) -> &'static str {
        "dormer-misplaced"
    }

    fn severity(&self) -> Severity {
        Severity::Stop
    }

    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::NoFace { .. } | Self::NoSlope { .. } => Vec::new(),
            Self::FrontOutside { depth, front, spans, .. } => {
                let mut values = vec![("front", front[0]), ("front", front[1]), ("depth", *depth)];
                values.extend(spans.iter().flatten().map(|end| ("face", *end)));
                values.extend(self.past_ends().into_iter().flatten().map(|by| ("past", by)));
                values
            }
            Self::FrontBeyond { depth, deepest, .. } => vec![("depth", *depth), ("deepest", *deepest)],
            Self::TooHigh { depth, .. } => depth.iter().map(|depth| ("depth", *depth)).collect(),
        }
    }
}

impl DormerError {
    /// Where in the job the trouble lies.
    #[must_use]
    pub fn places(&self) -> Vec<Place> {
        let (Self::NoFace { dormer, .. }
        | Self::NoSlope { dormer, .. }
        | Self::FrontOutside { dormer, .. }
        | Self::FrontBeyond { dormer, .. }
        | Self::TooHigh { dormer, .. }) = self;
        vec![Place::Dormer(dormer.clone())]
    }

    /// By how much a front is past the left and the right end of a face of one part.
    #[must_use]
    pub fn past_ends(&self) -> [Option<f64>; 2] {
        match self {
            Self::FrontOutside { front: [from, to], spans, .. } => match spans.as_slice() {
                [[left, right]] => [left - from, to - right].map(|by| Some(by).filter(|by| *by > tolerance::SMALLEST)),
                _ => [None; 2],
            },
            _ => [None; 2],
        }
    }
}

/// The dormer as a block, to be joined with the roof it stands in. `face` names its host in that roof. Its sides are called
/// front, right, back and left as seen from outside; it reaches back to where its highest line meets the host's plane.
/// O(corners of the host).
///
/// # Errors
/// When it does not stand within the face, or its roof does not come down within it.
pub fn footprint(roof: &Roof, face: &str, dormer: &Dormer) -> Result<Footprint, DormerError> {
    let named = || (dormer.name.clone(), face.to_owned());
    let host = roof.face_named(face).map(|id| &roof.faces[id.index()]);
    let host = host.ok_or_else(|| {
        let (dormer, face) = named();
        DormerError::NoFace { dormer, faces: meant(roof, &face), face }
    })?;
    let no_slope = || DormerError::NoSlope { dormer: named().0, face: named().1 };
    let frame = FaceFrame::of(roof, host).ok_or_else(no_slope)?;
    let inward = frame.up.xy().try_normalize(f64::EPSILON).ok_or_else(no_slope)?;
    let along = frame.along.xy();
    let slope = frame.up.z / frame.up.xy().norm();
    let level = Level::of(roof, host, &frame, &inward);

    let [start, inside] = dormer.at;
    let front = [start, start + dormer.width];
    let (dormer_name, face_name) = named();
    let spans = level.spans(inside + level.slack);
    if spans.is_empty() {
        let deepest = level.deepest();
        return Err(DormerError::FrontBeyond { dormer: dormer_name, face: face_name, depth: inside, deepest });
    }
    // A cheek may stand flush with the face's end.
    let holds = |[from, to]: &[f64; 2]| front[0] >= from - 2.0 * level.slack && front[1] <= to + 2.0 * level.slack;
    if !spans.iter().any(holds) {
        return Err(DormerError::FrontOutside { dormer: dormer_name, face: face_name, depth: inside, front, spans });
    }
    let left = frame.origin.xy() + along * start + inward * inside;
    let right = left + along * dormer.width;
    let (depth, across) = depth(dormer, slope);
    let reaches = depth.is_finite() && {
        // On the face's upper edge is well; a shade below it must be within.
        let below = inside + depth * (1.0 - f64::EPSILON.sqrt());
        level.spans(below).iter().any(|&[from, to]| (from..=to).contains(&(start + across)))
    };
    if !reaches {
        let depth = Some(depth).filter(|depth| depth.is_finite());
        return Err(DormerError::TooHigh { dormer: dormer_name, face: face_name, depth });
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
    Ok(Footprint {
        name: dormer.name.as_str().into(),
        height,
        rings: vec![Ring { sides }],
        walls: None,
        take_over: TakesOver::Flatter,
    })
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

/// Faces that a name which is none may mean: pieces of its side, or faces its side is a part of, or all that slope.
fn meant(roof: &Roof, face_name: &str) -> Vec<String> {
    let of = |fits: &dyn Fn(&Face) -> bool| -> Vec<String> {
        roof.roof_faces().filter(|(_, face)| fits(face)).map(|(_, face)| face.name()).collect()
    };
    let pieces = of(&|face| face.id.is_meant_by(face_name));
    if !pieces.is_empty() {
        return pieces;
    }
    let begins = |side: &SideName| side.rest_of(face_name).is_some_and(|rest| rest.is_empty() || rest.starts_with(':'));
    let parts = of(&|face| face.sides.len() > 1 && face.sides.iter().any(begins));
    if parts.is_empty() { of(&|_| true) } else { parts }
}

/// A face in plan by its own frame: x along the eave, y level in from it.
struct Level {
    rings: Vec<Vec<Point2<f64>>>,
    slack: f64,
}

impl Level {
    fn of(roof: &Roof, face: &Face, frame: &FaceFrame, inward: &Vector2<f64>) -> Self {
        let place = |corner: &CornerId| {
            let way = roof.at(*corner) - frame.origin;
            Point2::new(way.dot(&frame.along), way.xy().dot(inward))
        };
        let rings: Vec<Vec<_>> =
            std::iter::once(&face.ring).chain(&face.holes).map(|ring| ring.iter().map(place).collect()).collect();
        let slack = tolerance::default_for(extent(rings.iter().flatten()));
        Self { rings, slack }
    }

    /// The parts of a line along the eave, so far in from it, that lie in the face, from left to right.
    fn spans(&self, inside: f64) -> Vec<[f64; 2]> {
        let mut crossed: Vec<f64> = Vec::new();
        for ring in &self.rings {
            for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
                if (a.y > inside) != (b.y > inside) {
                    crossed.push(a.x + (b.x - a.x) * ((inside - a.y) / (b.y - a.y)));
                }
            }
        }
        crossed.sort_by(f64::total_cmp);
        crossed.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect()
    }

    fn deepest(&self) -> f64 {
        self.rings.iter().flatten().map(|corner| corner.y).fold(0.0, f64::max)
    }
}
