//! What of a face is covered: its outline with the projections past the deck, the trims at valleys and the clearance
//! round openings, in the face's frame.

use super::model::HipMethod;
use super::region::Region;
use super::valleys::{ValleyConstruction, Valleys};
use crate::base::ids::{EdgeId, FaceId};
use crate::base::order::SortByNumber as _;
use crate::base::polygon;
use crate::base::tolerance;
use crate::roof::analysis::opening::CutOpening;
use crate::roof::model::frame::FaceFrame;
use crate::roof::{EdgeKind, Face, Roof};
use crate::takeoff::margins::Margins;
use crate::takeoff::margins::goes_first;
use nalgebra::Point2;

/// An edge of a face in its frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaceEdge {
    /// Which edge of the roof; `None` for one that the roof does not list.
    pub id: Option<EdgeId>,
    /// Its kind as this face sees it.
    pub kind: EdgeKind,
    /// Where it starts, going round the face anticlockwise (holes clockwise).
    pub from: Point2<f64>,
    /// Where it ends.
    pub to: Point2<f64>,
    /// Whether water leaves the face over it.
    pub is_low: bool,
    /// Whether it is level within the face.
    pub is_level: bool,
    /// Whether the covering begins anew over it, with a starter: an eave, the top of a step, a level edge at a wall or a
    /// valley below, a break; not a break below which the slope is flatter where the courses bend: they run on.
    pub begins_anew: bool,
    /// How far the covering goes past it at its start and at its end, square to it; negative: so far it stops short.
    pub reach: [f64; 2],
    /// How it is made, of a valley.
    pub made: Option<ValleyConstruction>,
    /// Its two ends on the outline of what is covered.
    pub covered: [Point2<f64>; 2],
}

impl FaceEdge {
    /// Length, metres.
    #[must_use]
    pub fn length(&self) -> f64 {
        (self.to - self.from).norm()
    }
}

/// A face as covered.
#[derive(Clone, Debug, PartialEq)]
pub struct CoveredFace {
    /// The face, by its number in the roof.
    pub id: FaceId,
    /// Its frame.
    pub frame: FaceFrame,
    /// Pitch, radians.
    pub pitch: f64,
    /// Its edges in ring order, holes after.
    pub edges: Vec<FaceEdge>,
    /// Where each ring ends in `edges`.
    pub ring_ends: Vec<usize>,
    /// Outlines of what is covered, projections and trims applied; openings not yet cut.
    pub outline: Vec<Vec<Point2<f64>>>,
    /// Openings grown by their clearance, anticlockwise.
    pub openings: Vec<Vec<Point2<f64>>>,
    /// What is covered.
    pub region: Region,
    /// Highest place of the face itself.
    pub top: f64,
}

/// How the covering of one face goes on at its folds.
#[derive(Clone, Copy, Debug)]
pub struct Folds<'a> {
    /// How far past each kind of edge.
    pub margins: &'a Margins,
    /// How hips are made.
    pub hip: HipMethod,
    /// How valleys are made.
    pub valleys: &'a Valleys,
}

/// Reads a face into its frame. `None` for a level face. O(corners).
#[must_use]
pub fn cover(roof: &Roof, id: FaceId, openings: &[CutOpening], folds: &Folds) -> Option<CoveredFace> {
    let face = &roof.faces[id.index()];
    let frame = FaceFrame::of(roof, face)?;
    let margins = folds.margins;
    let mut rings = edges_of(roof, face, &frame, margins.runs_on > 0.0);
    for ring in &mut rings {
        *ring = ring.drain(..).flat_map(|edge| valley_parts(id, edge, &frame, folds.valleys)).collect();
        for edge in ring {
            edge.made = (edge.kind == EdgeKind::Valley).then(|| made(edge, &frame, folds.valleys));
            edge.reach = reach(roof, id, edge, &frame, folds);
        }
    }
    level_eaves(&mut rings, margins.eave);
    let outline: Vec<_> = rings.iter_mut().map(|ring| grow(ring, |edge| edge.reach)).collect();
    let openings: Vec<_> = openings
        .iter()
        .filter(|opening| opening.face == id)
        .map(|opening| grow_ring(&opening.ring, margins.opening))
        .collect();
    let region = Region::new(&outline, &openings);
    let top = rings.iter().flatten().map(|edge| edge.from.y).reduce(f64::max)?;
    let ring_ends = rings
        .iter()
        .scan(0, |end, ring| {
            *end += ring.len();
            Some(*end)
        })
        .collect();
    let edges = rings.into_iter().flatten().collect();
    Some(CoveredFace { id, frame, pitch: face.plane.pitch(), edges, ring_ends, outline, openings, region, top })
}

/// The face with its edges moved outwards by `reach` and `openings` cut out: for underlay and deck. O(corners²).
#[must_use]
pub(crate) fn grown_region(
    face: &CoveredFace,
    openings: &[Vec<Point2<f64>>],
    reach: impl Fn(&FaceEdge) -> f64 + Copy,
) -> Region {
    Region::new(&grown_rings(face, reach), openings)
}

/// The outline of the face with its edges moved outwards by `reach`. O(corners²).
#[must_use]
pub(crate) fn grown_rings(face: &CoveredFace, reach: impl Fn(&FaceEdge) -> f64 + Copy) -> Vec<Vec<Point2<f64>>> {
    rings_with(face, |edge| [reach(edge); 2])
}

fn rings_with(face: &CoveredFace, reach: impl Fn(&FaceEdge) -> [f64; 2] + Copy) -> Vec<Vec<Point2<f64>>> {
    let mut start = 0;
    let ring = |&end: &usize| {
        let mut ring = face.edges[start..end].to_vec();
        start = end;
        grow(&mut ring, reach)
    };
    face.ring_ends.iter().map(ring).collect()
}

fn edges_of(roof: &Roof, face: &Face, frame: &FaceFrame, bends: bool) -> Vec<Vec<FaceEdge>> {
    let mut next = face.edges.iter();
    let rings = std::iter::once(&face.ring).chain(&face.holes);
    rings
        .map(|ring| {
            let places: Vec<_> = ring.iter().map(|&corner| frame.to_face(&roof.at(corner))).collect();
            let count = places.len();
            (0..count)
                .map(|index| {
                    let (from, to) = (places[index], places[(index + 1) % count]);
                    let id = next.next().copied();
                    let along = to - from;
                    // Level: both ends at one height to within the smallest tolerance, or half a degree of a metre of it.
                    let is_level = along.y.abs() <= tolerance::SMALLEST.max(along.norm() * LEVEL);
                    let kind = id.map_or(EdgeKind::Top, |id| roof.edges[id.index()].kind);
                    let is_low = along.x > along.y.abs();
                    let dihedral = id.and_then(|id| roof.edges[id.index()].dihedral);
                    let begins_anew = match kind {
                        EdgeKind::Eave | EdgeKind::Step => is_low,
                        // Over a break below which the slope is flatter the courses run on up, where they bend.
                        EdgeKind::PitchBreak => is_low && !(bends && is_concave(dihedral)),
                        // Where a slope runs down against a wall, or into a level valley.
                        EdgeKind::Abutment | EdgeKind::Valley => is_low && is_level,
                        _ => false,
                    };
                    let covered = [from, to];
                    FaceEdge { id, kind, from, to, is_low, is_level, begins_anew, reach: [0.0; 2], made: None, covered }
                })
                .collect()
        })
        .collect()
}

/// Eaves that leave the level by no more than this are laid as one level line (common practice, no source): a few
/// millimetres of one corner buy no course of their own.
pub const NEARLY_LEVEL: f64 = 0.010;

/// Draws eaves that are level but for a few millimetres, each alone or those of one line together, out to one level line:
/// `by` past the middle of their heights, or past the left end of the lowest one where that is nearer.
fn level_eaves(rings: &mut [Vec<FaceEdge>], by: f64) {
    let is_eave = |edge: &FaceEdge| edge.kind == EdgeKind::Eave && edge.begins_anew;
    let mut heights: Vec<[f64; 2]> = rings
        .iter()
        .flatten()
        .filter(|edge| is_eave(edge))
        .map(|edge| [edge.from.y.min(edge.to.y), edge.from.y.max(edge.to.y)])
        .collect();
    heights.sort_by_number(|a| a[0]);
    let mut lines: Vec<[f64; 2]> = Vec::new();
    for [low, high] in heights {
        match lines.last_mut() {
            Some(line) if line[1].max(high) - line[0] <= NEARLY_LEVEL => line[1] = line[1].max(high),
            _ => lines.push([low, high]),
        }
    }
    for [low, high] in
        lines.into_iter().filter(|[low, high]| (tolerance::SMALLEST..=NEARLY_LEVEL).contains(&(high - low)))
    {
        let middle = f64::midpoint(low, high);
        let line = if low <= 0.0 && high >= 0.0 { middle.min(0.0) } else { middle };
        let within = |edge: &FaceEdge| edge.from.y.min(edge.to.y) >= low && edge.from.y.max(edge.to.y) <= high;
        for edge in rings.iter_mut().flatten().filter(|edge| is_eave(edge) && within(edge)) {
            edge.reach = [edge.from.y - line + by, edge.to.y - line + by];
        }
    }
}

fn is_concave(dihedral: Option<f64>) -> bool {
    dihedral.is_some_and(|angle| angle > std::f64::consts::PI)
}

/// Slope within the face up to which an edge is laid as a level one: half a degree, as ridges are told from hips.
const LEVEL: f64 = 0.00873;

/// How far the covering reaches past an edge, at its start and at its end, metres; negative stops short.
fn reach(roof: &Roof, face: FaceId, edge: &FaceEdge, frame: &FaceFrame, folds: &Folds) -> [f64; 2] {
    let margins = folds.margins;
    let both = |reach: f64| [reach, reach];
    match edge.kind {
        EdgeKind::Eave => both(margins.eave),
        EdgeKind::Verge => both(margins.verge),
        // The upper face laps the lower one; the top of a step's wall is an eave or a verge of the face above it.
        EdgeKind::PitchBreak | EdgeKind::Step if edge.is_low => both(margins.eave),
        EdgeKind::PitchBreak if edge.id.is_some_and(|id| is_concave(roof.edges[id.index()].dihedral)) => {
            both(margins.runs_on)
        }
        EdgeKind::Step if !edge.is_level => both(margins.verge),
        EdgeKind::Valley => match edge.made.unwrap_or(ValleyConstruction::Open) {
            ValleyConstruction::Open => {
                // Down the valley from its upper end.
                let top = edge.id.map_or(edge.from.y.max(edge.to.y), |id| top_of(roof, id, frame));
                let slant = edge.length() / (edge.to.y - edge.from.y).abs().max(f64::MIN_POSITIVE);
                let clear = |place: &Point2<f64>| {
                    let down = if edge.is_level { 0.0 } else { (top - place.y).max(0.0) * slant };
                    -(margins.valley_clear + margins.valley_widen * down)
                };
                [clear(&edge.from), clear(&edge.to)]
            }
            ValleyConstruction::Closed { first } if first == face => both(margins.valley_through),
            ValleyConstruction::Closed { .. } => both(-margins.valley_cut),
            ValleyConstruction::Woven => both(margins.valley_through),
        },
        EdgeKind::Hip if folds.hip == HipMethod::Over && goes_first(roof, face, edge.id) => both(margins.hip_over),
        _ => both(0.0),
    }
}

fn made(edge: &FaceEdge, frame: &FaceFrame, valleys: &Valleys) -> ValleyConstruction {
    let middle = frame.to_space(&nalgebra::center(&edge.from, &edge.to));
    edge.id.map_or(ValleyConstruction::Open, |id| valleys.at(id, middle.z))
}

/// The upper end of an edge of the roof, up the slope of a face.
fn top_of(roof: &Roof, id: EdgeId, frame: &FaceFrame) -> f64 {
    let edge = &roof.edges[id.index()];
    let [a, b] = [edge.from, edge.to].map(|corner| frame.to_face(&roof.at(corner)).y);
    a.max(b)
}

/// An edge of a face, a valley in as many pieces as its courses go on at it in ways.
fn valley_parts(face: FaceId, edge: FaceEdge, frame: &FaceFrame, valleys: &Valleys) -> Vec<FaceEdge> {
    let mut parts =
        edge.id.filter(|_| edge.kind == EdgeKind::Valley).map_or_else(Vec::new, |id| valleys.parts(id).to_vec());
    // Woven, or closed with this side running through: all one to the courses of this side.
    let way = |made: ValleyConstruction| match made {
        ValleyConstruction::Closed { first } if first == face => ValleyConstruction::Woven,
        other => other,
    };
    parts.dedup_by(|part, before| way(part.made) == way(before.made));
    if parts.len() < 2 {
        return vec![edge];
    }
    let height = |place: &Point2<f64>| frame.to_space(place).z;
    let (start, end) = (height(&edge.from), height(&edge.to));
    let mut borders: Vec<Point2<f64>> = parts[1..]
        .iter()
        .map(|part| edge.from + (edge.to - edge.from) * ((part.z[0] - start) / (end - start)))
        .collect();
    if end < start {
        borders.reverse();
    }
    let places: Vec<Point2<f64>> = [edge.from].into_iter().chain(borders).chain([edge.to]).collect();
    let piece = |pair: &[Point2<f64>]| FaceEdge { from: pair[0], to: pair[1], covered: [pair[0], pair[1]], ..edge };
    places.windows(2).map(piece).collect()
}

/// Moves each edge outwards by its reach and meets neighbours again. Where they run almost together, both ends stay and
/// a short jog joins them. Notes in each edge where it came to lie. O(n).
fn grow(ring: &mut [FaceEdge], reach: impl Fn(&FaceEdge) -> [f64; 2]) -> Vec<Point2<f64>> {
    let moved: Vec<[Point2<f64>; 2]> = ring
        .iter()
        .map(|edge| {
            let along = edge.to - edge.from;
            let Some(unit) = along.try_normalize(f64::MIN_POSITIVE) else { return [edge.from, edge.to] };
            // Outwards of an anticlockwise ring is to the right of the way round.
            let out = nalgebra::Vector2::new(unit.y, -unit.x);
            let [at_start, at_end] = reach(edge);
            [edge.from + out * at_start, edge.to + out * at_end]
        })
        .collect();
    let mut grown = Vec::with_capacity(ring.len() + 4);
    for index in 0..moved.len() {
        let previous = (index + moved.len() - 1) % moved.len();
        let before = moved[previous];
        let here = moved[index];
        let corner = ring[index].from;
        let shift = (before[1] - corner).norm().max((here[0] - corner).norm());
        let [end, start] = match meet(&before, &here) {
            Some(place) if (place - corner).norm() <= LONGEST_MITRE * shift => [place, place],
            _ if shift == 0.0 => [corner, corner],
            _ => [before[1], here[0]],
        };
        ring[previous].covered[1] = end;
        ring[index].covered[0] = start;
        grown.push(end);
        if start != end {
            grown.push(start);
        }
    }
    grown
}

/// Beyond this many times the shift a corner is cut off instead of running to a point: edges within 6 degrees of one
/// another.
const LONGEST_MITRE: f64 = 20.0;

fn meet(a: &[Point2<f64>; 2], b: &[Point2<f64>; 2]) -> Option<Point2<f64>> {
    let (da, db) = (a[1] - a[0], b[1] - b[0]);
    let cross = da.perp(&db);
    // Sine of the angle between them below rounding: parallel.
    if cross.abs() <= f64::EPSILON.sqrt() * da.norm() * db.norm() {
        return None;
    }
    Some(a[0] + da * ((b[0] - a[0]).perp(&db) / cross))
}

fn grow_ring(ring: &[Point2<f64>], by: f64) -> Vec<Point2<f64>> {
    let turned = polygon::signed_area(ring) < 0.0;
    let places: Vec<_> = if turned { ring.iter().rev().copied().collect() } else { ring.to_vec() };
    let count = places.len();
    let mut edges: Vec<FaceEdge> = (0..count)
        .map(|index| {
            let (from, to) = (places[index], places[(index + 1) % count]);
            let covered = [from, to];
            let kind = EdgeKind::Abutment;
            let reach = [by; 2];
            FaceEdge {
                id: None,
                kind,
                from,
                to,
                is_low: false,
                is_level: false,
                begins_anew: false,
                reach,
                made: None,
                covered,
            }
        })
        .collect();
    grow(&mut edges, |edge| edge.reach)
}
