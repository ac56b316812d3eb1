//! What was done to outlines on the user's behalf, and what follows from it at work, as data. Metres and radians.

use crate::base::finding::{self, Severity};
use crate::base::name::{Name, SideName};

/// A finding about an outline.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// Turns made right and opposite sides even.
    SquaredUp {
        /// The block's name.
        block: Name,
        /// The corners whose turn was made right, with the turn as it was.
        turns: Vec<(SideName, f64)>,
        /// The sides whose length changed, with the length before and after.
        lengths: Vec<(SideName, [f64; 2])>,
    },
    /// A length of a walk that was left open, as it follows from the others.
    LengthWorkedOut {
        /// The side, by its block's name and its own.
        side: SideName,
        /// Its length, metres.
        length: f64,
    },
    /// An outline that was not measured at the drip edge, brought there.
    BroughtToDripEdge {
        /// The block's name.
        block: Name,
        /// How far, positive outwards.
        by: f64,
    },
    /// One fascia level: steeper sides overhang less.
    OverhangsDiffer {
        /// Every eave with its overhang.
        sides: Vec<(SideName, f64)>,
    },
    /// One overhang: fascia levels differ.
    FasciaLevelsDiffer {
        /// The overhang, level, metres.
        overhang: f64,
        /// Every eave with the height of its drip edge above datum.
        sides: Vec<(SideName, f64)>,
    },
    /// One overhang and one fascia level: the roof stands higher over the plates of steeper sides.
    PlatesRaised {
        /// Every eave with how far its plane lies above the plate's outer edge.
        sides: Vec<(SideName, f64)>,
    },
    /// A recess whose back no drip edge is left of, since the overhangs of its flanks meet: the roof runs on over it.
    RecessBridged {
        /// The sides that have no drip edge.
        sides: Vec<SideName>,
        /// Between the flanks at the back.
        width: f64,
        /// What the overhangs of both take of it.
        overhangs: f64,
    },
    /// A hip or valley that passes neither over the wall corner nor from the drip edge's corner, or only one of them.
    HipOffCorner {
        /// The corner, by the side that starts from it.
        corner: SideName,
        /// The side that ends there.
        before: SideName,
        /// What runs from the corner.
        fold: FoldKind,
        /// Where it crosses the wall line, where that is not at the corner.
        wall: Option<Crossing>,
        /// Where it crosses the drip edge, where that is not at the corner.
        drip: Option<Crossing>,
    },
    /// A pitch that was not measured, found from what was.
    PitchFound {
        /// The block's name.
        block: Name,
        /// Its sides of that pitch.
        sides: Vec<SideName>,
        /// The pitch, radians from level.
        pitch: f64,
        /// From its ridge height above datum.
        ridge_height: Option<Held>,
        /// From a rafter taped along the slope.
        rafter: Option<Held>,
    },
}

/// A convex fold from a corner, or a concave one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FoldKind {
    /// Convex.
    Hip,
    /// Concave.
    Valley,
}

/// Where a fold crosses the line of a side.
#[derive(Clone, Debug, PartialEq)]
pub struct Crossing {
    /// The side, by its block's name and its own.
    pub side: SideName,
    /// From the corner along it.
    pub at: f64,
}

/// A reading that a pitch was found from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// As read.
    pub read: f64,
    /// What the solved roof has more than that.
    pub over: f64,
}

/// Standard deviation of a ridge height and of a taped rafter, metres: a slope taped by two from a ladder (common
/// practice, no source). It weighs them where both are there, and is carried to areas and lengths.
pub const TAPED: f64 = 0.015;

/// Two readings that are off by more than this many of their standard deviations do not agree: once in a thousand by
/// chance.
const BY_CHANCE: f64 = 3.29;

impl Finding {
    /// Whether a pitch was found from two readings that do not agree.
    #[must_use]
    pub fn readings_disagree(&self) -> bool {
        match self {
            Self::PitchFound { ridge_height: Some(height), rafter: Some(rafter), .. } => {
                height.over.abs().max(rafter.over.abs()) > BY_CHANCE * TAPED
            }
            _ => false,
        }
    }
}

impl finding::Finding for Finding {
    fn code(&self) -> &'static str {
        match self {
            Self::SquaredUp { .. } => "squared-up",
            Self::LengthWorkedOut { .. } => "length-worked-out",
            Self::BroughtToDripEdge { .. } => "brought-to-drip-edge",
            Self::OverhangsDiffer { .. } => "overhangs-differ",
            Self::FasciaLevelsDiffer { .. } => "fascia-levels-differ",
            Self::PlatesRaised { .. } => "plates-raised",
            Self::RecessBridged { .. } => "recess-bridged",
            Self::HipOffCorner { .. } => "hip-off-corner",
            Self::PitchFound { .. } if self.readings_disagree() => "pitch-measurements-disagree",
            Self::PitchFound { .. } => "pitch-found",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            Self::PitchFound { .. } if self.readings_disagree() => Severity::Doubt,
            Self::SquaredUp { .. }
            | Self::LengthWorkedOut { .. }
            | Self::BroughtToDripEdge { .. }
            | Self::PitchFound { .. } => Severity::Note,
            Self::OverhangsDiffer { .. }
            | Self::FasciaLevelsDiffer { .. }
            | Self::PlatesRaised { .. }
            | Self::RecessBridged { .. }
            | Self::HipOffCorner { .. } => Severity::Mind,
        }
    }

    fn sides(&self) -> Vec<SideName> {
        match self {
            Self::SquaredUp { .. } | Self::BroughtToDripEdge { .. } => Vec::new(),
            Self::LengthWorkedOut { side, .. } => vec![side.clone()],
            Self::OverhangsDiffer { sides } | Self::FasciaLevelsDiffer { sides, .. } | Self::PlatesRaised { sides } => {
                sides.iter().map(|(side, _)| side.clone()).collect()
            }
            Self::HipOffCorner { corner, before, .. } => vec![before.clone(), corner.clone()],
            Self::RecessBridged { sides, .. } | Self::PitchFound { sides, .. } => sides.clone(),
        }
    }

    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::SquaredUp { turns, lengths, .. } => {
                let turns = turns.iter().flat_map(|(_, turn)| [("turn", turn.to_degrees()), ("right_angle", 90.0)]);
                let lengths = lengths.iter().flat_map(|(_, [from, to])| [("length_before", *from), ("length", *to)]);
                turns.chain(lengths).collect()
            }
            Self::LengthWorkedOut { length, .. } => vec![("length", *length)],
            Self::BroughtToDripEdge { by, .. } => vec![("by", by.abs())],
            Self::OverhangsDiffer { sides } => sides.iter().map(|(_, value)| ("overhang", *value)).collect(),
            Self::FasciaLevelsDiffer { overhang, sides } => {
                let heights = sides.iter().map(|(_, value)| ("height", *value));
                std::iter::once(("overhang", *overhang)).chain(heights).collect()
            }
            Self::PlatesRaised { sides } => sides.iter().map(|(_, value)| ("above_plate", *value)).collect(),
            Self::RecessBridged { width, overhangs, .. } => vec![("width", *width), ("overhangs", *overhangs)],
            Self::HipOffCorner { wall, drip, .. } => {
                let wall = wall.iter().map(|crossing| ("at_wall_line", crossing.at));
                wall.chain(drip.iter().map(|crossing| ("at_drip_edge", crossing.at))).collect()
            }
            Self::PitchFound { pitch, ridge_height, rafter, .. } => {
                let mut values = vec![("pitch", pitch.to_degrees())];
                values.extend(ridge_height.map(|height| ("ridge_height", height.read)));
                values.extend(rafter.map(|rafter| ("rafter", rafter.read)));
                // One reading alone is met.
                if let (Some(height), Some(rafter)) = (ridge_height, rafter) {
                    values.extend([("ridge_height_over", height.over), ("rafter_over", rafter.over)]);
                }
                values
            }
        }
    }
}
