//! Timbers as data: what each is, where it lies, between which planes.

use super::body::Body;
use super::plan::{left_of, level};
use crate::base::ids::{EdgeId, FaceId};
use crate::base::name::SideName;
use crate::base::plane::Plane;
use crate::framing::spec::{FramingSpec, Section};
use crate::roof::Roof;
use crate::roof::analysis::opening::CutOpening;
use nalgebra::{Point2, Point3, Vector2, Vector3};

/// A shorter piece is not cut, metres: too short to nail (common practice, no source).
pub const SHORTEST: f64 = 0.150;

/// A notch no deeper than this share of the rafter is the default (common practice, no source).
pub const NOTCH: f64 = 1.0 / 3.0;

/// What a timber is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TimberKind {
    /// A rafter from eave to ridge, or to whatever ends the face at its head.
    Rafter,
    /// A rafter that ends at a hip, starts at a valley, or both.
    Jack,
    /// A hip rafter.
    Hip,
    /// A valley rafter.
    Valley,
    /// The board at the ridge.
    Ridge,
    /// Between trimming rafters, below and above an opening.
    Trimmer,
    /// The wall plate.
    Plate,
    /// The board over rafters' feet, and along verges.
    Fascia,
}

impl TimberKind {
    /// All, in the order in which they are listed.
    pub const ALL: [Self; 8] =
        [Self::Rafter, Self::Jack, Self::Hip, Self::Valley, Self::Ridge, Self::Trimmer, Self::Plate, Self::Fascia];

    /// The word used in answers.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Rafter => "rafter",
            Self::Jack => "jack",
            Self::Hip => "hip",
            Self::Valley => "valley",
            Self::Ridge => "ridge",
            Self::Trimmer => "trimmer",
            Self::Plate => "plate",
            Self::Fascia => "fascia",
        }
    }

    /// What its marks begin with.
    #[must_use]
    pub fn letter(self) -> &'static str {
        match self {
            Self::Rafter => "R",
            Self::Jack => "J",
            Self::Hip => "H",
            Self::Valley => "V",
            Self::Ridge => "RB",
            Self::Trimmer => "T",
            Self::Plate => "P",
            Self::Fascia => "F",
        }
    }
}

/// What a timber belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Home {
    /// A face.
    Face(FaceId),
    /// An edge.
    Edge(EdgeId),
    /// A wall, by its number among the walls given.
    Wall(usize),
}

/// One timber.
#[derive(Clone, Debug, PartialEq)]
pub struct Timber {
    /// What it is.
    pub kind: TimberKind,
    /// What it belongs to.
    pub home: Home,
    /// Its theoretical line on the roof, lower end first.
    pub line: [Point3<f64>; 2],
    /// Unit vector from the lower end to the upper.
    pub along: Vector3<f64>,
    /// Its section.
    pub section: Section,
    /// How far its top lies below the theoretical line, plumb, metres; 0 where it lies in the line.
    pub lowered: f64,
    /// How far the planes of its planed top lean from square across it, left and right seen along it, radians; 0: flat.
    pub backing: [f64; 2],
    /// What it is sawn from: its planes, the notch over the plate not taken off.
    pub body: Body,
    /// Cuts at its lower and its upper end.
    pub ends: [Vec<EndCut>; 2],
    /// How it sits on the plate.
    pub seat: Option<Seat>,
}

impl Timber {
    /// A timber between planes and the cuts of its ends, its top flat in its line; not yet seated. Precondition: its line has
    /// length.
    pub(super) fn new(
        kind: TimberKind,
        home: Home,
        line: [Point3<f64>; 2],
        section: Section,
        mut planes: Vec<Plane>,
        ends: [Vec<EndCut>; 2],
    ) -> Self {
        planes.extend(ends.iter().flatten().map(|cut| cut.plane));
        let along = (line[1] - line[0]).normalize();
        let body = Body { planes };
        Self { kind, home, line, along, section, lowered: 0.0, backing: [0.0; 2], body, ends, seat: None }
    }
}

/// A wall with its plate, in plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Wall {
    /// The side over it.
    pub side: SideName,
    /// From where to where, metres.
    pub ends: [Point2<f64>; 2],
    /// Plumb height of the roof plane above the plate's outer upper edge, metres.
    pub above_plate: f64,
}

/// What timbers are worked out from.
#[derive(Clone, Copy, Debug)]
pub struct Carcass<'a> {
    /// The roof.
    pub roof: &'a Roof,
    /// Openings cut from it.
    pub openings: &'a [CutOpening],
    /// Its walls where they are known; none where the outline was measured at the eaves.
    pub walls: &'a [Wall],
    /// What the carpenter decides.
    pub spec: &'a FramingSpec,
}

/// All timbers of a roof.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Timbers {
    /// Each, kind by kind.
    pub all: Vec<Timber>,
    /// Pieces of a few centimetres left out, too short to nail.
    pub too_short: usize,
    /// Hips and valleys that an opening cuts through: no timber is given for them.
    pub cut_through: Vec<EdgeId>,
    /// Plumb height of the rafters' tops over the plates' outer edges, metres.
    pub heel: f64,
    /// Those that reach into one another, where ridges, hips and valleys meet too near to each other.
    pub clashes: Vec<Clash>,
}

/// What an end bears on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Against {
    /// Nothing: the cut at the foot, where the fascia stands.
    Foot,
    /// Nothing: where a ridge that hips or valleys bear on runs out.
    Free,
    /// The board at the ridge, or the slope opposite where there is none.
    Ridge,
    /// A hip rafter.
    Hip,
    /// A valley rafter.
    Valley,
    /// A trimmer, square to the slope.
    Trimmer,
    /// A wall, or the free edge at the head of a single slope.
    Wall,
    /// The rafters of the slope beyond a pitch break.
    Break,
    /// A piece of its own kind.
    Mitre,
    /// The board along the verge.
    Verge,
}

impl Against {
    /// The word used in answers.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Foot => "foot",
            Self::Free => "free",
            Self::Ridge => "ridge",
            Self::Hip => "hip",
            Self::Valley => "valley",
            Self::Trimmer => "trimmer",
            Self::Wall => "wall",
            Self::Break => "pitch-break",
            Self::Mitre => "mitre",
            Self::Verge => "verge",
        }
    }
}

/// A cut at a timber's end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EndCut {
    /// Its plane, the timber behind it.
    pub plane: Plane,
    /// What bears there.
    pub against: Against,
}

impl EndCut {
    /// A plumb cut through a place, the timber on the side that `keep` points to.
    pub(super) fn plumb(at: &Point3<f64>, keep: Vector2<f64>, against: Against) -> Self {
        let normal = -level(keep.normalize());
        Self { plane: Plane { normal, offset: normal.dot(&at.coords) }, against }
    }

    /// How far the cut leans in plan from square across a timber that runs along `along`, radians, positive where the right
    /// side seen along it is the longer at the upper end; `None` where it is not plumb.
    #[must_use]
    pub fn tilt(&self, along: &Vector3<f64>) -> Option<f64> {
        let direction = along.xy().try_normalize(f64::MIN_POSITIVE)?;
        let normal = self.plane.normal.xy();
        if self.plane.normal.z.abs() > 1e-9 {
            return None;
        }
        let ahead = normal.dot(&direction);
        let across = normal.dot(&left_of(direction));
        Some((across * ahead.signum()).atan2(ahead.abs()))
    }
}

/// How a timber sits on the plate, metres. Lengths along the timber are measured on its top, from the middle of the cut at its
/// foot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seat {
    /// Along the top, from the foot to straight over the plate's outer edge.
    pub tail: f64,
    /// Plumb, from the timber's top to the plate's outer upper edge.
    pub heel: f64,
    /// Level, how far the seat is cut in from the plate's outer edge; 0 where nothing is notched.
    pub seat: f64,
    /// Plumb, how high the notch is at the plate's outer edge; 0 where nothing is notched.
    pub notch: f64,
    /// Plumb, what must be packed between plate and timber where it does not reach the plate.
    pub packing: f64,
}

/// Two timbers that reach into one another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clash {
    /// Which, by their place in [`Timbers::all`].
    pub timbers: [usize; 2],
    /// How deep, metres.
    pub by: f64,
}
