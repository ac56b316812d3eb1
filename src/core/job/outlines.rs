//! Roofs over plain outlines, such as a map has by the thousand: rings of places, a pitch a side, a height.

use crate::base::finding::{Finding, Severity, plainly_shown};
use crate::base::name::Name;
use crate::base::polygon::signed_area;
use crate::base::units::Pitch;
use crate::base::wkb;
use crate::outline::{Footprint, Ring, Role, Side, TakesOver};
use crate::roof::{EdgeKind, Options, Roof, SolveError};
use nalgebra::Point2;
use std::borrow::Cow;

/// The pitch of a verge among pitches side by side, degrees: plumb.
pub const PLUMB: f64 = 90.0;

/// Pitches, degrees from level.
#[derive(Clone, Debug, PartialEq)]
pub enum Slopes {
    /// One for every side.
    One(f64),
    /// One a side: ring after ring, in the order of the places; [`PLUMB`] is a verge.
    Each(Vec<f64>),
}

/// An outline: one polygon or more, each its outer ring and its holes. Rings run either way; a last place that repeats
/// the first is none, nor is one that repeats the one before.
#[derive(Clone, Debug, PartialEq)]
pub struct PlainOutline {
    /// Polygons of rings of places, metres.
    pub polygons: Vec<Vec<Vec<Point2<f64>>>>,
    /// How the roof rises from them.
    pub slopes: Slopes,
    /// Height of the eaves above datum, metres.
    pub height: f64,
}

/// Why an outline has no roof.
#[derive(Clone, Debug, PartialEq)]
pub enum OutlineFault {
    /// It encloses nothing: no polygon, or a ring of fewer than three places.
    Empty,
    /// A pitch that is none, degrees.
    Pitch(f64),
    /// Pitches side by side of another count than sides.
    PitchCount {
        /// How many.
        found: usize,
        /// How many sides there are.
        sides: usize,
    },
    /// Every side is a verge.
    NoEave,
    /// The kernel makes no verified roof of it.
    Roof(SolveError),
}

plainly_shown!(OutlineFault);

impl Finding for OutlineFault {
    fn code(&self) -> &'static str {
        match self {
            Self::Empty => "outline-empty",
            Self::Pitch(_) => "pitch-out-of-range",
            Self::PitchCount { .. } => "pitch-count",
            Self::NoEave => "no-eave",
            Self::Roof(error) => match error {
                SolveError::NotFinite { .. } => "not-finite",
                SolveError::TooFewSides { .. } => "outline-empty",
                SolveError::FoldsBack { .. } => "outline-folds-back",
                SolveError::Crosses { .. } => "outline-crosses",
                SolveError::NeverCloses { .. } => "roof-never-closes",
                SolveError::Tangled { .. } => "roof-tangled",
                SolveError::Unverified { .. } => "roof-unverified",
            },
        }
    }

    fn severity(&self) -> Severity {
        Severity::Stop
    }

    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::Pitch(pitch) => vec![("pitch", *pitch)],
            Self::PitchCount { found, sides } => vec![("found", *found as f64), ("sides", *sides as f64)],
            Self::Roof(error) => error.values(),
            Self::Empty | Self::NoEave => Vec::new(),
        }
    }
}

/// The verified roof over an outline. Sides are named by their number in the file, from 1, blocks `outline`, `outline 2` and
/// so on. Expected O(n log n).
///
/// # Errors
/// What is wrong with the outline, or why it has no roof.
pub fn solve(outline: &PlainOutline) -> Result<Roof, OutlineFault> {
    let footprints = footprints(outline)?;
    crate::roof::solve(&footprints, &Options::default()).map_err(OutlineFault::Roof)
}

/// The footprints of an outline, one a polygon. O(places).
///
/// # Errors
/// What is wrong with it.
pub fn footprints(outline: &PlainOutline) -> Result<Vec<Footprint>, OutlineFault> {
    let rings = || outline.polygons.iter().flatten();
    let sides: usize = rings().map(|ring| opened(ring).len()).sum();
    if let Slopes::Each(pitches) = &outline.slopes
        && pitches.len() != sides
    {
        return Err(OutlineFault::PitchCount { found: pitches.len(), sides });
    }
    let mut next = 0;
    let mut footprints = Vec::with_capacity(outline.polygons.len());
    for (number, polygon) in outline.polygons.iter().enumerate() {
        let mut made = Vec::with_capacity(polygon.len());
        for (place, ring) in polygon.iter().enumerate() {
            let ring = opened(ring);
            made.push(side_ring(ring, next, place == 0, outline)?);
            next += ring.len();
        }
        if made.is_empty() {
            return Err(OutlineFault::Empty);
        }
        if !made.iter().flat_map(|ring: &Ring| &ring.sides).any(|side| side.role.is_eave()) {
            return Err(OutlineFault::NoEave);
        }
        let name = if number == 0 { Name::new_static("outline") } else { format!("outline {}", number + 1).into() };
        footprints.push(Footprint {
            name,
            height: outline.height,
            rings: made,
            walls: None,
            take_over: TakesOver::default(),
        });
    }
    if footprints.is_empty() { Err(OutlineFault::Empty) } else { Ok(footprints) }
}

/// A ring without the last place where it repeats the first.
#[must_use]
pub fn opened(ring: &[Point2<f64>]) -> &[Point2<f64>] {
    match ring {
        [first, rest @ .., last] if first == last && !rest.is_empty() => &ring[..ring.len() - 1],
        _ => ring,
    }
}

/// A ring of sides, the roof to their left; `first` is the number of its first side among all.
fn side_ring(ring: &[Point2<f64>], first: usize, is_outer: bool, outline: &PlainOutline) -> Result<Ring, OutlineFault> {
    let count = ring.len();
    let mut sides: Vec<(usize, Point2<f64>)> = Vec::with_capacity(count);
    for (number, place) in ring.iter().enumerate() {
        // A side without length is none.
        if ring[(number + 1) % count] != *place {
            sides.push((number, *place));
        }
    }
    if sides.len() < 3 {
        return Err(OutlineFault::Empty);
    }
    let places: Vec<Point2<f64>> = sides.iter().map(|(_, place)| *place).collect();
    if (signed_area(&places) > 0.0) != is_outer {
        // Walked the other way, a side starts where it ended.
        let starts: Vec<Point2<f64>> = (0..sides.len()).map(|at| sides[(at + 1) % sides.len()].1).collect();
        for (side, start) in sides.iter_mut().zip(starts) {
            side.1 = start;
        }
        sides.reverse();
    }
    let side = |(number, start): (usize, Point2<f64>)| {
        let degrees = match &outline.slopes {
            Slopes::One(pitch) => *pitch,
            Slopes::Each(pitches) => pitches[first + number],
        };
        let is_verge = degrees == PLUMB && matches!(outline.slopes, Slopes::Each(_));
        let role = if is_verge {
            Role::Verge
        } else {
            Role::eave(Pitch::from_degrees(degrees).map_err(|_| OutlineFault::Pitch(degrees))?)
        };
        Ok(Side { name: name(first + number + 1), start, height: outline.height, role })
    };
    Ok(Ring { sides: sides.into_iter().map(side).collect::<Result<_, _>>()? })
}

/// A number as a name, without an allocation.
fn name(number: usize) -> Name {
    use smol_str::ToSmolStr;
    number.to_smolstr()
}

/// What a batch tells of a roof. Lengths in metres, areas in square metres.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RoofSums {
    /// Roof faces, on the slope.
    pub area: f64,
    /// In plan.
    pub plan_area: f64,
    /// From datum to roof, cubic metres.
    pub volume: Option<f64>,
    /// Highest point above datum.
    pub ridge_height: f64,
    /// Edges by kind: how many, how long together.
    pub by_kind: Vec<(EdgeKind, usize, f64)>,
}

impl RoofSums {
    /// Of a roof. O(corners).
    #[must_use]
    pub fn of(roof: &Roof) -> Self {
        let mut by_kind: [(usize, f64); 16] = [(0, 0.0); 16];
        let mut kinds: [Option<EdgeKind>; 16] = [None; 16];
        for edge in roof.edges.iter().filter(|edge| !edge.kind.is_wall_only()) {
            let at = edge.kind as usize;
            kinds[at] = Some(edge.kind);
            by_kind[at].0 += 1;
            by_kind[at].1 += roof.length(edge).0;
        }
        let (mut area, mut plan_area) = (0.0, 0.0);
        for (_, face) in roof.roof_faces() {
            area += roof.area(face).0;
            plan_area += roof.plan_area(face).0;
        }
        Self {
            area,
            plan_area,
            volume: roof.volume,
            ridge_height: roof.ridge_height().unwrap_or_default(),
            by_kind: kinds
                .iter()
                .zip(by_kind)
                .filter_map(|(kind, (count, length))| Some(((*kind)?, count, length)))
                .collect(),
        }
    }
}

/// From places of a file to metres about one of them, and back: `metres = (place - origin) * scale` along each axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LocalFrame {
    /// A place of the file.
    pub origin: [f64; 2],
    /// Metres a unit of the file, along each axis.
    pub scale: [f64; 2],
}

impl LocalFrame {
    /// For metres: about the whole metre beside a place, so that no digit of a place is lost far from a grid's origin.
    #[must_use]
    pub fn metres(place: [f64; 2]) -> Self {
        Self { origin: place.map(f64::floor), scale: [1.0; 2] }
    }

    /// For degrees of longitude and latitude: the plane that touches the ellipsoid WGS 84 at a place (a = 6,378,137 m,
    /// f = 1 / 298.257223563), true to a millionth within some kilometres. Radii of curvature: Torge and Müller, "Geodesy",
    /// 4th edition 2012, 4.1.3 (from memory).
    #[must_use]
    pub fn degrees(place: [f64; 2]) -> Self {
        const A: f64 = 6_378_137.0;
        const E2: f64 = (2.0 - 1.0 / 298.257_223_563) / 298.257_223_563;
        let latitude = place[1].to_radians();
        let w2 = 1.0 - E2 * latitude.sin().powi(2);
        let across = A / w2.sqrt() * latitude.cos();
        let along = A * (1.0 - E2) / (w2 * w2.sqrt());
        Self { origin: place, scale: [across, along].map(f64::to_radians) }
    }

    /// To metres.
    #[must_use]
    pub fn to_metres(&self, place: [f64; 2]) -> Point2<f64> {
        Point2::new((place[0] - self.origin[0]) * self.scale[0], (place[1] - self.origin[1]) * self.scale[1])
    }

    /// And back.
    #[must_use]
    pub fn to_file(&self, place: &Point2<f64>) -> [f64; 2] {
        [place.x / self.scale[0] + self.origin[0], place.y / self.scale[1] + self.origin[1]]
    }
}

/// Polygons in metres about a place of their own, from a file's places.
pub type Placed = (LocalFrame, Vec<Vec<Vec<Point2<f64>>>>);

/// Brings polygons to metres: of degrees about the middle of their box, so that the plane touches where the roof is.
/// O(places).
///
/// # Errors
/// A place that is not finite, or beyond what degrees can be.
pub fn place(polygons: &wkb::Polygons, is_degrees: bool) -> Result<Placed, [f64; 2]> {
    let places = || polygons.iter().flatten().flatten();
    let first = places().next().copied().unwrap_or_default();
    let beyond = |place: &&[f64; 2]| {
        !place.iter().all(|part| part.is_finite()) || is_degrees && (place[0].abs() > 360.0 || place[1].abs() >= 90.0)
    };
    if let Some(place) = places().find(beyond) {
        return Err(*place);
    }
    let frame = if is_degrees {
        let (mut low, mut high) = (first, first);
        for place in places() {
            for axis in 0..2 {
                low[axis] = low[axis].min(place[axis]);
                high[axis] = high[axis].max(place[axis]);
            }
        }
        LocalFrame::degrees([0, 1].map(|axis| f64::midpoint(low[axis], high[axis])))
    } else {
        LocalFrame::metres(first)
    };
    let ring = |ring: &Vec<[f64; 2]>| ring.iter().map(|place| frame.to_metres(*place)).collect();
    Ok((frame, polygons.iter().map(|polygon| polygon.iter().map(ring).collect()).collect()))
}

/// An outline with where it stands, and what it is to be covered with.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedOutline {
    /// The outline, in metres of its frame.
    pub outline: PlainOutline,
    /// Its frame.
    pub frame: LocalFrame,
    /// The card; `None` where none is named.
    pub covering: Option<Cow<'static, str>>,
}
