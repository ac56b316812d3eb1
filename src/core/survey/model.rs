//! What was measured, as the roof file states it and before any adjustment. Metres, radians, pixels.

use crate::base::ids::{PlaneId, PointId, SideId};
use nalgebra::{Point2, Point3};

/// A measured number with its standard deviation; `sigma` 0 means exact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// The value as read.
    pub value: f64,
    /// One standard deviation in the value's own unit.
    pub sigma: f64,
}

/// A ring of an outline as it was measured.
#[derive(Clone, Debug, PartialEq)]
pub enum MeasuredRing {
    /// Walked: a length and a turn a side, first corner and first heading fixed.
    Walk(Vec<Leg>),
    /// The place of every corner in the block's own frame.
    Places(Vec<Point2<f64>>),
}

/// One side of a walk.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// Level length, metres; of infinite sigma where it was left open and worked out from the others.
    pub length: Measured,
    /// Change of direction at the end of the side, radians, left positive; `None` where the file leaves out the last.
    pub turn: Option<Measured>,
}

/// What is known of a point before adjustment.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Unique name: a key of `[points]`, or `block.corner` for a corner of a block.
    pub name: String,
    /// Where it stands.
    pub known: Known,
}

/// How much is known of a point's place. Coordinates are metres on the site plan and above datum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Known {
    /// Given by all three coordinates.
    At(Point3<f64>),
    /// Unknown, with a rough place to start from.
    Near(Point3<f64>),
    /// Unknown.
    Unknown,
    /// A corner of a block: found with its outline.
    Corner(SideId),
}

/// A roof plane by its points, in order round it.
#[derive(Clone, Debug, PartialEq)]
pub struct FaceByPoints {
    /// Unique name.
    pub name: String,
    /// Three or more points.
    pub points: Vec<PointId>,
    /// Standard deviation of a point's distance from the plane, metres.
    pub sigma: f64,
}

/// One observation; its residual is stated at each kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Observation {
    /// What was observed.
    pub kind: ObservationKind,
    /// Standard deviation in the observation's own unit (metres or radians).
    pub sigma: f64,
}

/// The kinds of observation, apart from photo marks and walked rings.
#[derive(Clone, Debug, PartialEq)]
pub enum ObservationKind {
    /// Distance between two points, metres: in space, or level when `plan`.
    Tape {
        /// One end.
        from: PointId,
        /// The other end.
        to: PointId,
        /// As read.
        length: f64,
        /// Taken level.
        plan: bool,
    },
    /// Distance between two points in space that is known without a tape, metres.
    Known {
        /// One end.
        from: PointId,
        /// The other end.
        to: PointId,
        /// Metres, of all pieces together.
        length: f64,
        /// What it is the size of.
        what: KnownThing,
        /// How many of it lie between the two.
        count: u32,
    },
    /// Level distance of points from a line through two, metres, to the right of the way from its first point to its second:
    /// each point's minus the stated one.
    Offset {
        /// The points.
        points: Vec<PointId>,
        /// The line.
        line: [PointId; 2],
        /// As measured.
        distance: f64,
    },
    /// Pitch of a face, radians.
    PitchReading {
        /// The face, by its number in the survey.
        face: PlaneId,
        /// As read.
        pitch: f64,
    },
    /// Points at one height: each point's height minus the group's own free height.
    Level {
        /// Two or more points.
        points: Vec<PointId>,
    },
    /// One point straight above another: dx and dy, each.
    Plumb {
        /// One point.
        a: PointId,
        /// The other.
        b: PointId,
    },
    /// The plan angle of two arms minus a right angle.
    Square {
        /// The corner.
        at: PointId,
        /// The ends of its arms.
        arms: [PointId; 2],
    },
    /// Faces of one pitch: each pitch minus the first's.
    EqualPitch {
        /// Two or more faces.
        faces: Vec<PlaneId>,
    },
    /// The point's level distance from the plumb plane over a line.
    Upright {
        /// The point, by its number in the survey.
        point: PointId,
        /// The line.
        over: [PointId; 2],
    },
}

/// A thing whose size is known without measuring it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum KnownThing {
    /// A door.
    Door,
    /// A window.
    Window,
    /// A board panel as delivered.
    BoardPanel,
    /// A course of brick with its joint.
    BrickCourse,
    /// A course of block with its joint.
    BlockCourse,
    /// A cladding board as it covers.
    CladdingBoard,
    /// Anything else.
    Other,
}

/// Which way an edge runs; serves start values and telling twins apart, never adjusted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AxisHint {
    /// From this point
    pub from: PointId,
    /// to this one
    pub to: PointId,
    /// along this unit vector of the site.
    pub along: nalgebra::Vector3<f64>,
}

/// A camera shared by photos. `u = cx + f (1 + k1 r² + k2 r⁴) X/Z`, `r² = (X/Z)² + (Y/Z)²`, x right, y down, z ahead.
#[derive(Clone, Debug, PartialEq)]
pub struct Camera {
    /// Unique name.
    pub name: String,
    /// Focal length in pixels and its relative sigma.
    pub focal: Measured,
    /// Principal point, pixels, with one sigma for both.
    pub centre: [f64; 2],
    /// Sigma of each coordinate of the principal point, pixels.
    pub centre_sigma: f64,
    /// First radial distortion coefficient.
    pub k1: Measured,
    /// Second radial distortion coefficient.
    pub k2: Measured,
}

/// What is known of a plan, or of any picture straight down in which a pixel is one size all over: an orthographic picture.
/// It shows where things lie in plan and nothing of their heights.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sheet {
    /// Metres a pixel, with a relative sigma; `None` where what is measured must tell.
    pub scale: Option<Measured>,
    /// The direction on the site that is up in the picture, radians anticlockwise from +x. Turns a job that hangs on no given
    /// place; never adjusted.
    pub up: Option<f64>,
}

/// Which way a camera looked by its own compass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compass {
    /// Radians clockwise from north.
    pub bearing: f64,
    /// From magnetic north, not from true.
    pub is_magnetic: bool,
}

/// One photo with its marks.
#[derive(Clone, Debug, PartialEq)]
pub struct Photo {
    /// Index into [`Survey::cameras`]; that of a sheet has no lens, and nothing is found out about it.
    pub camera: usize,
    /// Where it is no photo but a plan.
    pub sheet: Option<Sheet>,
    /// What its own data say of the direction it was taken in: never adjusted.
    pub compass: Option<Compass>,
    /// File as named in the roof file.
    pub file: Option<String>,
    /// Width and height in pixels after EXIF orientation.
    pub size: [f64; 2],
    /// Marked points: pixels, origin top-left, x right, y down.
    pub marks: Vec<Mark>,
    /// Straight edges of which parts are seen.
    pub lines: Vec<SeenLine>,
    /// Plumb edges that need no point, each by two places, pixels.
    pub plumb: Vec<[[f64; 2]; 2]>,
    /// Sigma of a place's distance from its plumb edge, pixels.
    pub plumb_sigma: f64,
}

/// Places along a straight edge as a photo shows it: between the two points or beyond them.
#[derive(Clone, Debug, PartialEq)]
pub struct SeenLine {
    /// The points through which the edge runs.
    pub ends: [PointId; 2],
    /// Pixels.
    pub at: Vec<[f64; 2]>,
    /// Sigma of each place's distance from the edge, pixels: as many as places.
    pub sigmas: Vec<f64>,
    /// Found by the program in the picture, not set by a person.
    pub is_measured: bool,
}

/// A point marked in a photo.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// Which point.
    pub point: PointId,
    /// Where, pixels.
    pub at: [f64; 2],
    /// Sigma of each coordinate, pixels.
    pub sigma: f64,
}

/// Everything measured of a job beside its outlines.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Survey {
    /// Named points: those of `[points]` first, then the corners of blocks that an observation names.
    pub points: Vec<Point>,
    /// Faces by points.
    pub faces: Vec<FaceByPoints>,
    /// Observations in file order of their kind.
    pub observations: Vec<Observation>,
    /// Direction hints.
    pub axes: Vec<AxisHint>,
    /// Cameras.
    pub cameras: Vec<Camera>,
    /// Photos.
    pub photos: Vec<Photo>,
}

/// A ring of a block, as the adjustment sees it: all rings of all blocks, in file order.
#[derive(Clone, Debug, PartialEq)]
pub struct RingInput<'a> {
    /// The block's name.
    pub block: &'a str,
    /// 0 for the outer ring.
    pub ring: usize,
    /// Names of its sides (of the corners they start from), in file order.
    pub sides: Vec<&'a str>,
    /// How it was measured.
    pub measured: &'a MeasuredRing,
    /// Where its first corner stands and which way it heads.
    pub frame: RingFrame,
    /// Height of each corner above datum, metres: exact, it serves tapes taken on the slope.
    pub heights: Vec<f64>,
}

impl RingInput<'_> {
    /// Number of its corners.
    #[must_use]
    pub fn corners(&self) -> usize {
        match self.measured {
            MeasuredRing::Walk(legs) => legs.len(),
            MeasuredRing::Places(places) => places.len(),
        }
    }
}

/// Where a ring's first corner stands and which way its first side runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RingFrame {
    /// On the site plan; both are fixed, they are the datum of the network.
    At {
        /// Place of the first corner, metres.
        start: Point2<f64>,
        /// Direction of the first side, radians anticlockwise from +x.
        heading: f64,
    },
    /// On a side of another ring, before or after it in the list, in that side's own frame: its origin is the side's
    /// start, x runs along it and y to its left.
    OnSide {
        /// Index of the other ring in the list of inputs.
        ring: usize,
        /// Index of its side, in file order.
        side: usize,
        /// Place of the first corner in the side's frame, metres.
        at: Point2<f64>,
        /// Direction of the first side in it, radians anticlockwise.
        heading: f64,
    },
}
