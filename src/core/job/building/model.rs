//! The building as data. Metres; heights above datum.

use crate::base::ids::EdgeId;
use crate::framing::timber::Wall;
use crate::roof::EdgeKind;
use nalgebra::Point3;

/// The building under its roof.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Building {
    /// Walls with their plates where the outline was measured there; none where it was measured at the eaves, so that it is not
    /// known where they stand.
    pub walls: Vec<Wall>,
    /// How far eaves and verges reach out over the walls below them.
    pub overhangs: Vec<Overhang>,
    /// Heights by name, lowest first.
    pub levels: Vec<Level>,
    /// Plumb, from the roof's surface at its edges down to the lower edge of what closes them: the fascia, else the rafters'
    /// feet, else the deck; 0 where none of them is stated.
    pub edge_depth: f64,
    /// What stands out of the roof, as far up as the file says.
    pub raised: Vec<Raised>,
    /// Details of its eaves, verges, ridges and valleys.
    pub details: Vec<Detail>,
}

/// How far an edge reaches out over the wall below it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overhang {
    /// The eave or verge.
    pub edge: EdgeId,
    /// Level, from the wall's outer face to the drip edge.
    pub reach: f64,
}

/// A height by name.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// Of what.
    pub of: LevelOf,
    /// Above datum.
    pub at: f64,
}

/// What a height is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LevelOf {
    /// The ground, which is the datum where walls stand on it.
    Ground,
    /// The drip edge of an eave.
    DripEdge,
    /// The outer upper edge of a wall plate.
    Plate,
    /// The top of a ridge, or the roof's highest point where it has none.
    Ridge,
    /// The top of what stands out of the roof.
    Top,
}

impl Building {
    /// How far an edge reaches out over its wall; `None` where that is not known.
    #[must_use]
    pub fn overhang(&self, edge: EdgeId) -> Option<f64> {
        self.overhangs.iter().find(|of| of.edge == edge).map(|of| of.reach)
    }
}

impl LevelOf {
    /// The word used in answers.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Ground => "ground",
            Self::DripEdge => "drip-edge",
            Self::Plate => "plate",
            Self::Ridge => "ridge",
            Self::Top => "top",
        }
    }
}

/// A chimney or the like: a plumb prism from the roof up to a level top.
#[derive(Clone, Debug, PartialEq)]
pub struct Raised {
    /// What it is, in the user's words.
    pub kind: String,
    /// Side by side, anticlockwise seen from above: where it stands on the roof, from corner to corner. Each ends where the next
    /// begins, level distances apart; where a side crosses a ridge or a valley there is a place between.
    pub feet: Vec<Vec<Point3<f64>>>,
    /// Height of its top.
    pub top: f64,
}

/// A detail of an edge and of those alike: cut plumb and square to the edge in plan, a verge along its eave.
#[derive(Clone, Debug, PartialEq)]
pub struct Detail {
    /// An eave, verge, ridge or valley.
    pub of: EdgeKind,
    /// The edges it holds for.
    pub edges: Vec<EdgeId>,
    /// Pitches of the slopes beside it, the flatter first, radians.
    pub pitches: Vec<f64>,
    /// The same slopes as the cut shows them, radians.
    pub slopes: Vec<f64>,
    /// What lies there, from the covering down.
    pub layers: Vec<Layer>,
    /// How far what reaches, each over 0.
    pub lengths: Vec<(Measure, f64)>,
}

impl Detail {
    /// A length; `None` where it is not stated.
    #[must_use]
    pub fn length(&self, measure: Measure) -> Option<f64> {
        self.lengths.iter().find(|(of, _)| *of == measure).map(|(_, length)| *length)
    }
}

/// A layer of the roof.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// What it is.
    pub of: LayerOf,
    /// Square to the slope; `None`: not stated.
    pub thickness: Option<f64>,
    /// Of a rafter, along the eave.
    pub width: Option<f64>,
}

/// What a layer is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LayerOf {
    /// Over a ridge.
    Caps,
    /// Strip shingles.
    Shingles,
    /// Slates, tiles, single tabs.
    Units,
    /// Profiled sheets.
    Sheets,
    /// The upper layer of felt.
    CapSheet,
    /// The lower layer of felt.
    BaseLayer,
    /// Metal in an open valley.
    ValleyLining,
    /// What the covering hangs on.
    Battens,
    /// Up the slope under the battens: air between them.
    CounterBattens,
    /// Underlay.
    Underlay,
    /// Boards or sheets.
    Deck,
    /// The rafter.
    Rafter,
}

impl LayerOf {
    /// Whether it is of the covering, which goes on past the deck at eaves and verges.
    #[must_use]
    pub fn is_covering(self) -> bool {
        matches!(self, Self::Shingles | Self::Units | Self::Sheets | Self::CapSheet | Self::BaseLayer)
    }

    /// The word used in answers.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Caps => "caps",
            Self::Shingles => "shingles",
            Self::Units => "units",
            Self::Sheets => "sheets",
            Self::CapSheet => "cap-sheet",
            Self::BaseLayer => "base-layer",
            Self::ValleyLining => "valley-lining",
            Self::Battens => "battens",
            Self::CounterBattens => "counter-battens",
            Self::Underlay => "underlay",
            Self::Deck => "deck",
            Self::Rafter => "rafter",
        }
    }
}

/// What a length of a detail is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// Level, from the wall's outer face to the drip edge.
    Overhang,
    /// Level, from the fascia's front to the drip edge.
    PastFascia,
    /// Of the fascia, level.
    FasciaThickness,
    /// Of the fascia; plumb at an eave, square to the rake at a verge.
    FasciaDepth,
    /// Thickness of the soffit.
    Soffit,
    /// Of the covering past the deck's edge.
    CoveringPast,
    /// Of the wall plate, across the wall.
    PlateWidth,
    /// Of the wall plate, plumb.
    PlateDepth,
    /// Thickness of the wall.
    Wall,
    /// Plumb, from the rafter's top to the plate's outer upper edge.
    Heel,
    /// Level, of the seat on the plate.
    Seat,
    /// Plumb, of the notch over the plate.
    Notch,
    /// How far caps cover each slope.
    CapCover,
    /// How far underlay runs over the ridge.
    UnderlayOver,
    /// Thickness of the timber under a ridge or valley.
    FoldThickness,
    /// Its depth.
    FoldDepth,
    /// How far its top lies under the fold, plumb.
    Lowered,
    /// Width of the lining of an open valley.
    LiningWidth,
    /// Half the clear width of an open valley at its head.
    ValleyClear,
    /// How much of a metre square to the valley in its slope the cut shows level.
    ReachAcross,
}

impl Measure {
    /// The word used in answers.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Overhang => "overhang",
            Self::PastFascia => "past-fascia",
            Self::FasciaThickness => "fascia-thickness",
            Self::FasciaDepth => "fascia-depth",
            Self::Soffit => "soffit",
            Self::CoveringPast => "covering-past",
            Self::PlateWidth => "plate-width",
            Self::PlateDepth => "plate-depth",
            Self::Wall => "wall",
            Self::Heel => "heel",
            Self::Seat => "seat",
            Self::Notch => "notch",
            Self::CapCover => "cap-cover",
            Self::UnderlayOver => "underlay-over",
            Self::FoldThickness => "fold-thickness",
            Self::FoldDepth => "fold-depth",
            Self::Lowered => "lowered",
            Self::LiningWidth => "lining-width",
            Self::ValleyClear => "valley-clear",
            Self::ReachAcross => "reach-across",
        }
    }
}
