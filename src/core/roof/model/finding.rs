//! What was done or noticed while the roof was made, as data. Metres and radians.

use super::outlet::Outlet;
use crate::base::finding::{self, Severity};
use crate::base::ids::{FaceId, PlaneId, PointId};
use crate::base::name::{Name, SideName};

/// A finding about a roof.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// Two sides in one line that rise differently: a plumb step stands over their shared corner.
    Step {
        /// The sides, in the order of the file.
        sides: [SideName; 2],
        /// The flatter of them, to which the step's wall belongs.
        flatter: SideName,
    },
    /// Two roofs of one direction that come into one line: one of them takes over along a level pitch break.
    TookOver {
        /// The side whose roof goes on.
        winner: SideName,
        /// The side whose roof ends there.
        loser: SideName,
        /// Whether it is the steeper that goes on, as the block asks, not the flatter.
        steeper: bool,
        /// Above datum.
        height: f64,
    },
    /// A roof that comes into the line of a side that still stands plumb there, and ends against its wall.
    EndsAtWall {
        /// The side that stands.
        wall: SideName,
        /// The side whose roof ends there.
        slope: SideName,
        /// Above datum.
        height: f64,
    },
    /// A side that lay near another block's, moved onto its line.
    BroughtTogether {
        /// The side that was moved.
        moved: SideName,
        /// The side whose line it lies on now.
        onto: SideName,
        /// How far apart they lay.
        by: f64,
    },
    /// A wing whose roof runs on over another block until it meets that roof, as it asks.
    RunsOn {
        /// The side by which it runs in.
        wing: SideName,
        /// The other block.
        over: Name,
    },
    /// A wing that asks to run into another block's roof, but whose end no such roof covers.
    NoRoofToRunInto {
        /// The side by which it would run in.
        wing: SideName,
    },
    /// A side that stands plumb against another block's slope whose water runs towards it.
    StopsAtWall {
        /// The side, by its block's name and its own.
        side: SideName,
        /// The other block.
        over: Name,
    },
    /// A block that lies wholly under another's roof and has no face of its own.
    BlockUnderRoof {
        /// The block, or the dormer.
        block: Name,
    },
    /// A face given by points that is left out.
    FaceNotLocated(LeftOut),
    /// Two faces given by points that lie on the same side of their shared edge.
    FacesOverlap {
        /// Both faces, by their numbers in the survey.
        faces: [PlaneId; 2],
    },
    /// Two faces given by points whose shared edge is no fold.
    FacesInOnePlane {
        /// Both faces, by their numbers in the survey.
        faces: [PlaneId; 2],
    },
    /// A level fold that water runs over; it counts as a ridge.
    LevelFoldOnSlope {
        /// Both faces, by their numbers in the survey.
        faces: [PlaneId; 2],
    },
    /// Planes that were fitted together so that they meet at a point.
    PlanesRefitted {
        /// The point, by its number in the survey.
        point: PointId,
        /// The faces, by their numbers in the survey.
        faces: Vec<PlaneId>,
        /// Why they were.
        why: Refitted,
        /// By how much they were turned at most.
        turned: f64,
        /// How far they were moved at any point of these faces at most, square to themselves.
        moved: f64,
    },
    /// Points moved to lie on all their faces.
    PointsMoved {
        /// The points and how far each was moved, farthest first.
        moved: Vec<(PointId, f64)>,
        /// The faces they are of.
        faces: Vec<PlaneId>,
    },
    /// A point moved farther than chance allows.
    PointMovedFar {
        /// The point, by its number in the survey.
        point: PointId,
        /// How far.
        by: f64,
        /// The standard deviation of its place that way; 0 where it was given as exact.
        sigma: f64,
        /// The faces it was brought onto.
        faces: Vec<PlaneId>,
    },
    /// Water that has no way off the roof.
    NoWayOff {
        /// Where it gathers.
        at: Outlet,
        /// The faces beside the channel it gathers in; empty where it stays on a level face.
        beside: Vec<FaceId>,
        /// The faces it comes from.
        faces: Vec<FaceId>,
        /// Their plan area that drains there, square metres.
        area: f64,
    },
}

/// Why planes were fitted together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refitted {
    /// More than three of them meet in one point.
    ManyMeet,
    /// They lie so nearly in one plane that where they fold is not sharply determined.
    NearlyOnePlane,
}

/// A face given by points that is left out of the roof.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOut {
    /// The face, by its number in the survey.
    pub face: PlaneId,
    /// Why.
    pub why: NotLocated,
}

/// Why a face given by points is not located.
#[derive(Clone, Debug, PartialEq)]
pub enum NotLocated {
    /// These points of it are not.
    Points(Vec<PointId>),
    /// Its points have places, but its area is hardly determined.
    Area,
}

impl finding::Finding for Finding {
    fn code(&self) -> &'static str {
        match self {
            Self::Step { .. } => "step",
            Self::TookOver { .. } => "took-over",
            Self::EndsAtWall { .. } => "ends-at-wall",
            Self::BroughtTogether { .. } => "sides-brought-together",
            Self::RunsOn { .. } => "runs-on",
            Self::NoRoofToRunInto { .. } => "no-roof-to-run-into",
            Self::StopsAtWall { .. } => "stops-at-wall",
            Self::BlockUnderRoof { .. } => "block-under-roof",
            Self::FaceNotLocated(_) => "face-not-located",
            Self::FacesOverlap { .. } => "faces-overlap",
            Self::FacesInOnePlane { .. } => "faces-in-one-plane",
            Self::LevelFoldOnSlope { .. } => "level-fold-on-slope",
            Self::PlanesRefitted { .. } => "planes-refitted",
            Self::PointsMoved { .. } => "points-moved",
            Self::PointMovedFar { .. } => "point-moved-far",
            Self::NoWayOff { .. } => "no-way-off",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            Self::NoWayOff { .. } => Severity::Stop,
            Self::NoRoofToRunInto { .. }
            | Self::BlockUnderRoof { .. }
            | Self::FaceNotLocated(_)
            | Self::FacesOverlap { .. }
            | Self::PointMovedFar { .. } => Severity::Doubt,
            Self::StopsAtWall { .. } | Self::LevelFoldOnSlope { .. } => Severity::Mind,
            Self::Step { .. }
            | Self::TookOver { .. }
            | Self::EndsAtWall { .. }
            | Self::BroughtTogether { .. }
            | Self::RunsOn { .. }
            | Self::FacesInOnePlane { .. }
            | Self::PlanesRefitted { .. }
            | Self::PointsMoved { .. } => Severity::Note,
        }
    }

    fn faces(&self) -> Vec<FaceId> {
        match self {
            Self::NoWayOff { faces, .. } => faces.clone(),
            _ => Vec::new(),
        }
    }

    fn sides(&self) -> Vec<SideName> {
        match self {
            Self::Step { sides, .. } => sides.to_vec(),
            Self::TookOver { winner: one, loser: two, .. } | Self::EndsAtWall { wall: one, slope: two, .. } => {
                vec![one.clone(), two.clone()]
            }
            Self::BroughtTogether { moved, onto, .. } => vec![moved.clone(), onto.clone()],
            Self::RunsOn { wing: side, .. } | Self::NoRoofToRunInto { wing: side } | Self::StopsAtWall { side, .. } => {
                vec![side.clone()]
            }
            _ => Vec::new(),
        }
    }

    fn planes(&self) -> Vec<PlaneId> {
        match self {
            Self::FaceNotLocated(left_out) => vec![left_out.face],
            Self::FacesOverlap { faces } | Self::FacesInOnePlane { faces } | Self::LevelFoldOnSlope { faces } => {
                faces.to_vec()
            }
            Self::PlanesRefitted { faces, .. }
            | Self::PointsMoved { faces, .. }
            | Self::PointMovedFar { faces, .. } => faces.clone(),
            _ => Vec::new(),
        }
    }

    #[allow(clippy::cast_precision_loss)]
    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::TookOver { height, .. } | Self::EndsAtWall { height, .. } => vec![("height", *height)],
            Self::BroughtTogether { by, .. } => vec![("by", *by)],
            Self::PlanesRefitted { faces, turned, moved, .. } => {
                vec![("faces", faces.len() as f64), ("turned", turned.to_degrees()), ("moved", *moved)]
            }
            Self::PointsMoved { moved, .. } => moved.iter().map(|(_, by)| ("by", *by)).collect(),
            Self::PointMovedFar { by, sigma, .. } => {
                let times = (*sigma > 0.0).then(|| ("standard_deviations", by / sigma));
                std::iter::once(("by", *by)).chain(times).collect()
            }
            Self::NoWayOff { area, .. } => vec![("area", *area)],
            Self::Step { .. }
            | Self::RunsOn { .. }
            | Self::NoRoofToRunInto { .. }
            | Self::StopsAtWall { .. }
            | Self::BlockUnderRoof { .. }
            | Self::FaceNotLocated(_)
            | Self::FacesOverlap { .. }
            | Self::FacesInOnePlane { .. }
            | Self::LevelFoldOnSlope { .. } => Vec::new(),
        }
    }
}
