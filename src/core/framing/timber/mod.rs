//! Every timber of a roof as a solid piece: where it lies, between which planes, what it bears on.
//!
//! | file | what |
//! |---|---|
//! | `body` | a convex body by its planes |
//! | `cut` | the planes that end a timber, from the edges of faces |
//! | `node` | which of the timbers that meet at a corner runs through, and how the others are cut against it |
//! | `ridge`, `fold`, `rafter`, `board` | ridge boards; hips and valleys; rafters, jacks and trimmers; plates and fascias |
//! | `grid` | where the rafters of a face stand |
//! | `piece` | timbers cut alike, with a mark, lengths and cuts |
//! | `seat` | how rafters sit on the plate |
//! | `setting_out` | where rafters are marked along the plate; a piece as it is drawn |
//! | `clear` | whether every timber clears all others |
//! | `stock` | which length each is cut from |
//!
//! At a corner the longest ridge runs through, far enough that hips and valleys bear on its sides with a single cheek cut;
//! hips without a ridge are mitred. Rafters and jacks stand plumb, their tops in the face; ridges and, unless planed, hips
//! are lowered so that both slopes clear them. Tops are the faces of the solved roof: deck and covering lie on them.

mod board;
pub mod body;
mod clear;
mod cut;
mod fold;
mod grid;
mod node;
pub mod piece;
mod rafter;
mod ridge;
mod seat;
mod setting_out;
pub mod stock;

pub use clear::Clash;
pub use cut::{Against, EndCut};
pub use piece::{Hand, Piece};
pub use seat::Seat;
pub use setting_out::SettingOut;
pub(super) use setting_out::setting_out;

use super::spec::{FramingSpec, Section};
use crate::base::ids::{EdgeId, FaceId};
use crate::base::name::SideName;
use crate::roof::Roof;
use crate::roof::analysis::chord::Chords;
use crate::roof::analysis::opening::CutOpening;
use body::Body;
use nalgebra::{Point2, Point3, Vector2, Vector3};

/// A shorter piece is not cut, metres: too short to nail (common practice, no source).
pub const SHORTEST: f64 = 0.150;

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

/// Works out every timber. Near O(corners log corners + timbers · corners of their faces).
#[must_use]
pub fn timbers(carcass: &Carcass<'_>) -> Timbers {
    let roof = carcass.roof;
    let chords: Vec<Option<Chords>> = roof
        .faces
        .iter()
        .map(|face| (face.kind == crate::roof::FaceKind::Roof).then(|| Chords::of(roof, face)).flatten())
        .collect();
    let heel = seat::heel(carcass);
    let meetings = node::Meetings::of(carcass);
    let mut timbers = Timbers { heel, ..Timbers::default() };
    fold::folds(carcass, &meetings, &mut timbers);
    ridge::boards(carcass, &meetings, &mut timbers);
    rafter::rafters(carcass, &chords, &meetings, &mut timbers);
    board::plates(carcass, &mut timbers);
    board::fascias(carcass, &mut timbers);
    seat::seats(carcass, &mut timbers);
    timbers.all.sort_by_key(|timber| timber.kind);
    timbers.clashes = clear::clashes(&timbers);
    timbers
}

/// Level, to the left of a direction in plan.
fn left_of(direction: Vector2<f64>) -> Vector2<f64> {
    Vector2::new(-direction.y, direction.x)
}

fn cross(a: Vector2<f64>, b: Vector2<f64>) -> f64 {
    a.x * b.y - a.y * b.x
}

/// A vector in plan as one in space.
fn level(direction: Vector2<f64>) -> Vector3<f64> {
    Vector3::new(direction.x, direction.y, 0.0)
}
