//! Chimneys, roof windows, vents: cut from the faces they stand in.

use crate::base::finding::{Finding, Severity, plainly_shown};
use crate::base::ids::FaceId;
use crate::base::multi_error::{MultiError as _, multi_error};
use crate::base::place::Place;
use crate::base::polygon::{contains, extent, signed_area};
use crate::base::polygon_boolean::{self, Region};
use crate::base::tolerance;
use crate::roof::model::frame::FaceFrame;
use crate::roof::model::names::FaceName;
use crate::roof::model::{Face, FaceKind, Roof};
use nalgebra::{Point2, Point3};

/// An opening as the file states it.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// What it is, in the user's words: "roof window".
    pub kind: String,
    /// Where.
    pub shape: OpeningShape,
    /// Plumb, from the roof at its highest corner up to the top of what stands there, metres; `None`: not stated.
    pub height: Option<f64>,
}

/// Where an opening lies.
#[derive(Clone, Debug, PartialEq)]
pub enum OpeningShape {
    /// A rectangle in a face's own frame ([`crate::roof::model::frame::FaceFrame`]).
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

/// What an opening takes from one face. A prism astride a ridge gives two or more.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOpening {
    /// The face it is cut from.
    pub face: FaceId,
    /// Its outline in the face's frame, anticlockwise seen from outside, metres.
    pub ring: Vec<Point2<f64>>,
    /// What it takes from the face, square metres in the slope.
    pub area: f64,
    /// What it is, in the user's words.
    pub kind: String,
}

impl CutOpening {
    /// Whether the user calls it a chimney: water gathers behind it.
    #[must_use]
    pub fn is_chimney(&self) -> bool {
        self.is_called("chimney")
    }

    /// Whether the user calls it a window or a light: what does not bear a foot.
    #[must_use]
    pub(crate) fn is_glass(&self) -> bool {
        self.is_called("window") || self.is_called("light")
    }

    fn is_called(&self, word: &str) -> bool {
        self.kind.to_lowercase().contains(word)
    }
}

/// Why an opening cannot be cut. Metres and square metres.
#[derive(Clone, Debug, PartialEq)]
pub enum OpeningError {
    /// No such face.
    UnknownFace {
        /// Index of the opening.
        opening: usize,
        /// The name given.
        face: String,
    },
    /// A wall, or a level face, which has no eave to measure from.
    NotASlope {
        /// Index of the opening.
        opening: usize,
        /// The face, by its identity.
        face: FaceName,
        /// What it is instead.
        found: NotASlope,
    },
    /// Without size.
    NoSize {
        /// Index of the opening.
        opening: usize,
        /// As given, metres.
        size: [f64; 2],
    },
    /// A plan outline that is none.
    NotAnOutline {
        /// Index of the opening.
        opening: usize,
        /// Corners given.
        corners: usize,
    },
    /// It reaches beyond its face.
    Outside {
        /// Index of the opening.
        opening: usize,
        /// The face, by its identity.
        face: FaceName,
        /// The farthest of it from the face, metres.
        by: f64,
        /// How much of it lies outside, square metres.
        area: f64,
    },
    /// A prism beside the roof.
    MeetsNothing {
        /// Index of the opening.
        opening: usize,
        /// Level distance to the nearest face; `None` where the roof has none.
        by: Option<f64>,
    },
    /// Two openings in one place.
    Overlap {
        /// Indices of the openings.
        openings: [usize; 2],
        /// The face, by its identity.
        face: FaceName,
        /// In the slope, square metres.
        area: f64,
    },
    /// Several of the above.
    Multiple(Vec<OpeningError>),
}

/// What a face is that openings cannot be measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotASlope {
    /// Plumb.
    Wall,
    /// Without an eave.
    Level,
}

plainly_shown!(OpeningError);

impl Finding for OpeningError {
    fn code(&self) -> &'static str {
        "opening-misplaced"
    }

    fn severity(&self) -> Severity {
        Severity::Stop
    }

    #[allow(clippy::cast_precision_loss)]
    fn values(&self) -> Vec<(&'static str, f64)> {
        let number = |opening: usize| ("opening", opening as f64 + 1.0);
        match self {
            Self::UnknownFace { opening, .. } | Self::NotASlope { opening, .. } => vec![number(*opening)],
            Self::NoSize { opening, size } => {
                let size = size.iter().filter(|size| size.is_finite()).map(|size| ("size", *size));
                std::iter::once(number(*opening)).chain(size).collect()
            }
            Self::NotAnOutline { opening, corners } => {
                vec![number(*opening), ("corners", *corners as f64), ("least", 3.0)]
            }
            Self::Outside { opening, by, area, .. } => vec![number(*opening), ("by", *by), ("area", *area)],
            Self::MeetsNothing { opening, by } => {
                std::iter::once(number(*opening)).chain(by.map(|by| ("by", by))).collect()
            }
            Self::Overlap { openings, area, .. } => {
                vec![number(openings[0]), number(openings[1]), ("area", *area)]
            }
            Self::Multiple(errors) => errors.iter().flat_map(Self::values).collect(),
        }
    }
}

multi_error!(OpeningError);

impl OpeningError {
    /// Where in the job the error stands.
    #[must_use]
    pub fn places(&self) -> Vec<Place> {
        match self {
            Self::UnknownFace { opening, .. }
            | Self::NotASlope { opening, .. }
            | Self::NoSize { opening, .. }
            | Self::NotAnOutline { opening, .. }
            | Self::Outside { opening, .. }
            | Self::MeetsNothing { opening, .. } => vec![Place::Opening(*opening)],
            Self::Overlap { openings, .. } => openings.iter().map(|&opening| Place::Opening(opening)).collect(),
            Self::Multiple(errors) => errors.iter().flat_map(Self::places).collect(),
        }
    }
}

/// Cuts the openings from the roof's faces, in order. A rectangle must lie inside its face; a prism takes from every
/// roof face it meets, and what of it stands beside the roof takes nothing. O(openings · corners of the faces met).
///
/// # Errors
/// Every opening that cannot be cut, at once ([`OpeningError::Multiple`]); also openings that overlap, whose area would count
/// twice.
pub fn cut(roof: &Roof, openings: &[Opening]) -> Result<Vec<CutOpening>, OpeningError> {
    let mut pieces: Vec<OpeningPart> = Vec::new();
    let mut errors = Vec::new();
    for (opening, stated) in openings.iter().enumerate() {
        let found = match &stated.shape {
            OpeningShape::InFace { face, at, size } => in_face(roof, opening, face, *at, *size),
            OpeningShape::Plan(outline) => prism(roof, opening, outline),
        };
        match found {
            Ok(found) => pieces.extend(found.into_iter().map(|(face, region)| OpeningPart { opening, face, region })),
            Err(error) => errors.push(error),
        }
    }
    errors.extend(overlaps(roof, &pieces));
    match OpeningError::all_of(errors) {
        None => Ok(pieces.into_iter().flat_map(|piece| cuts_of(openings, piece)).collect()),
        Some(error) => Err(error),
    }
}

/// What an opening takes from a face, on its way.
struct OpeningPart {
    opening: usize,
    face: FaceId,
    region: Region,
}

fn cuts_of(openings: &[Opening], piece: OpeningPart) -> Vec<CutOpening> {
    let kind = &openings[piece.opening].kind;
    without_holes(piece.region)
        .into_iter()
        .filter_map(|region| {
            let area = region.area();
            let ring = region.rings.into_iter().next()?;
            Some(CutOpening { face: piece.face, ring, area, kind: kind.clone() })
        })
        .collect()
}

/// A prism round a hole of a face leaves a ring: it is parted up the slope through the middle of each hole.
fn without_holes(region: Region) -> Vec<Region> {
    let Some(hole) = region.rings.get(1) else { return vec![region] };
    let middle = hole.iter().map(|corner| corner.x).sum::<f64>() / hole.len() as f64;
    let corners = || region.rings.iter().flatten();
    let low = corners().fold(Point2::new(f64::INFINITY, f64::INFINITY), |low, corner| low.inf(corner));
    let high = corners().fold(Point2::new(f64::NEG_INFINITY, f64::NEG_INFINITY), |high, corner| high.sup(corner));
    let half = |left: f64, right: f64| {
        vec![[(left, low.y), (right, low.y), (right, high.y), (left, high.y)].map(|(u, v)| Point2::new(u, v)).to_vec()]
    };
    [half(low.x, middle), half(middle, high.x)]
        .iter()
        .flat_map(|half| polygon_boolean::common(&region.rings, half))
        .flat_map(without_holes)
        .collect()
}

/// The face of a name, or the one that a side of that name lies in.
fn face_of(roof: &Roof, name: &str) -> Option<FaceId> {
    roof.face_named(name).or_else(|| {
        let holds = |face: &&Face| face.sides.iter().any(|side| side.is(name));
        roof.roof_faces().find(|(_, face)| holds(face)).map(|(id, _)| id)
    })
}

fn in_face(
    roof: &Roof,
    opening: usize,
    name: &str,
    at: [f64; 2],
    size: [f64; 2],
) -> Result<Vec<(FaceId, Region)>, OpeningError> {
    let unknown = || OpeningError::UnknownFace { opening, face: name.to_owned() };
    let id = face_of(roof, name).ok_or_else(unknown)?;
    let face = &roof.faces[id.index()];
    let not_a_slope = |found| OpeningError::NotASlope { opening, face: face.id.clone(), found };
    if face.kind == FaceKind::Wall {
        return Err(not_a_slope(NotASlope::Wall));
    }
    let frame = FaceFrame::of(roof, face).ok_or_else(|| not_a_slope(NotASlope::Level))?;
    if !(size[0] > 0.0 && size[1] > 0.0 && at.iter().chain(&size).all(|number| number.is_finite())) {
        return Err(OpeningError::NoSize { opening, size });
    }
    let (left, low, right, high) = (at[0], at[1], at[0] + size[0], at[1] + size[1]);
    let rectangle = [(left, low), (right, low), (right, high), (left, high)].map(|(u, v)| Point2::new(u, v)).to_vec();
    let rings = rings_in(roof, face, |corner| frame.to_face(&corner));
    let least = tolerance::default_for(extent(rings.iter().flatten()));
    let outside = polygon_boolean::beyond(std::slice::from_ref(&rectangle), &rings);
    let by = outside.iter().flat_map(|region| region.rings.iter().flatten()).map(|corner| from_area(&rings, corner));
    let by = by.fold(0.0, f64::max);
    let area: f64 = outside.iter().map(Region::area).sum();
    if by > least || area > least * (size[0] + size[1]) {
        return Err(OpeningError::Outside { opening, face: face.id.clone(), by, area });
    }
    Ok(vec![(id, Region { rings: vec![rectangle] })])
}

fn prism(roof: &Roof, opening: usize, outline: &[Point2<f64>]) -> Result<Vec<(FaceId, Region)>, OpeningError> {
    let finite = outline.iter().all(|corner| corner.coords.iter().all(|number| number.is_finite()));
    let size = if finite { extent(outline) } else { 0.0 };
    let least = tolerance::default_for(size);
    if outline.len() < 3 || signed_area(outline).abs() <= least * size {
        return Err(OpeningError::NotAnOutline { opening, corners: outline.len() });
    }
    let outline = vec![outline.to_vec()];
    let mut found = Vec::new();
    let mut nearest = f64::INFINITY;
    for (id, face) in roof.roof_faces() {
        let plan = rings_in(roof, face, |corner| corner.xy());
        for region in polygon_boolean::common(&plan, &outline) {
            // A sliver along a shared edge is rounding, not a cut.
            if region.area() <= least * size {
                continue;
            }
            found.push((id, lifted(roof, face, region)));
        }
        let reach = outline[0].iter().map(|corner| from_area(&plan, corner));
        nearest = reach.fold(nearest, f64::min);
    }
    if found.is_empty() {
        return Err(OpeningError::MeetsNothing { opening, by: Some(nearest).filter(|by| by.is_finite()) });
    }
    Ok(found)
}

/// A region in plan brought up to its face, in the face's frame. A level face's frame is the plan itself, about its
/// first corner.
fn lifted(roof: &Roof, face: &Face, region: Region) -> Region {
    let frame = FaceFrame::of(roof, face);
    let first = face.ring.first().map_or_else(Point3::origin, |corner| roof.at(*corner));
    let lift = |place: Point2<f64>| match frame {
        Some(frame) => {
            let height = face.plane.height_at(&place).unwrap_or(first.z);
            frame.to_face(&Point3::new(place.x, place.y, height))
        }
        None => place - first.xy().coords,
    };
    Region { rings: region.rings.into_iter().map(|ring| ring.into_iter().map(lift).collect()).collect() }
}

fn rings_in(roof: &Roof, face: &Face, to: impl Fn(Point3<f64>) -> Point2<f64>) -> Vec<Vec<Point2<f64>>> {
    std::iter::once(roof.ring(face)).chain(roof.holes(face)).map(|ring| ring.into_iter().map(&to).collect()).collect()
}

/// Distance of a place from an area: 0 inside.
fn from_area(rings: &[Vec<Point2<f64>>], place: &Point2<f64>) -> f64 {
    let inside = rings.iter().filter(|ring| contains(ring, place)).count() % 2 == 1;
    if inside {
        return 0.0;
    }
    let segments = rings.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
    let distances = segments.map(|(from, to)| {
        let along = to - from;
        let share = ((place - from).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
        (from + along * share - place).norm()
    });
    distances.fold(f64::INFINITY, f64::min)
}

/// Pairs of openings that overlap in one face.
fn overlaps(roof: &Roof, pieces: &[OpeningPart]) -> Vec<OpeningError> {
    let mut errors = Vec::new();
    for (index, two) in pieces.iter().enumerate() {
        for one in pieces[..index].iter().filter(|one| one.face == two.face && one.opening != two.opening) {
            let (a, b) = (&one.region.rings, &two.region.rings);
            let size = extent(a.iter().chain(b).flatten());
            let area: f64 = polygon_boolean::common(a, b).iter().map(Region::area).sum();
            if area > tolerance::default_for(size) * size {
                let face = roof.faces[two.face.index()].id.clone();
                errors.push(OpeningError::Overlap { openings: [one.opening, two.opening], face, area });
            }
        }
    }
    errors
}
