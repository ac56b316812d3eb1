//! What is dimensioned on drawings of a roof: the runs of its outline, heights, the true shape of each face, the lengths
//! where a plumb plane cuts it, the levels it is built up in. Drawings set these numbers, answers list them.

use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::order::SortByNumber as _;
use crate::base::polygon;
use crate::base::tolerance::{LAST_PLACES, ONE_LEVEL, ONE_MARK, ONE_PLACE, RELATIVE};
use crate::roof::model::frame::FaceFrame;
use crate::roof::model::{EdgeKind, Face, FaceKind, Roof};
use nalgebra::{Point2, Point3, Vector2, Vector3};
use std::collections::BTreeMap;
use std::f64::consts::{PI, TAU};

/// A straight run of free edges in plan, the roof to its left: what the tape would measure from the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanRun {
    /// Its first end in plan, metres.
    pub from: Point2<f64>,
    /// Its last end.
    pub to: Point2<f64>,
    /// The edges it is made of, in order.
    pub edges: Vec<EdgeId>,
}

impl PlanRun {
    /// Level length, metres.
    #[must_use]
    pub fn length(&self) -> f64 {
        (self.to - self.from).norm()
    }
}

/// The runs of a roof, in the order of its faces. O(n log n) in the edges.
#[must_use]
pub fn runs(roof: &Roof) -> Vec<PlanRun> {
    let mut pieces: Vec<Piece> = Vec::new();
    for (_, face) in roof.roof_faces() {
        let rings = std::iter::once(&face.ring).chain(&face.holes);
        let corners = rings.flat_map(|ring| (0..ring.len()).map(move |i| (ring[i], ring[(i + 1) % ring.len()])));
        for ((from, to), &id) in corners.zip(&face.edges) {
            let edge = &roof.edges[id.index()];
            let alone = edge.faces.iter().filter(|f| roof.faces[f.index()].kind == FaceKind::Roof).count() < 2;
            let level = (roof.at(to) - roof.at(from)).xy().norm() > 0.0;
            if alone && level && edge.kind != EdgeKind::Corner {
                pieces.push((from, to, id));
            }
        }
    }
    let next_of: BTreeMap<CornerId, usize> = pieces.iter().enumerate().map(|(i, piece)| (piece.0, i)).collect();
    let mut has_before = vec![false; pieces.len()];
    for piece in &pieces {
        if let Some(&next) = next_of.get(&piece.1) {
            has_before[next] = joins(roof, piece, &pieces[next]);
        }
    }
    let mut runs = Vec::new();
    for (index, piece) in pieces.iter().enumerate().filter(|(index, _)| !has_before[*index]) {
        let mut run = PlanRun { from: roof.at(piece.0).xy(), to: roof.at(piece.1).xy(), edges: vec![piece.2] };
        let mut last = pieces[index];
        while let Some(&next) = next_of.get(&last.1) {
            if !joins(roof, &last, &pieces[next]) || run.edges.contains(&pieces[next].2) {
                break;
            }
            last = pieces[next];
            run.edges.push(last.2);
            run.to = roof.at(last.1).xy();
        }
        runs.push(run);
    }
    runs
}

type Piece = (CornerId, CornerId, EdgeId);

/// Whether a piece goes straight on in the next.
fn joins(roof: &Roof, piece: &Piece, next: &Piece) -> bool {
    let direction = |piece: &Piece| (roof.at(piece.1) - roof.at(piece.0)).xy().normalize();
    let (a, b) = (direction(piece), direction(next));
    a.dot(&b) > 0.0 && a.perp(&b).abs() < RELATIVE
}

/// The box about the roof faces in plan, metres; `None` without one. O(corners).
#[must_use]
pub fn extent(roof: &Roof) -> Option<(Point2<f64>, Point2<f64>)> {
    let places = || roof.roof_faces().flat_map(|(_, face)| roof.ring(face)).map(|place| place.xy());
    Some((places().reduce(|a, b| a.inf(&b))?, places().reduce(|a, b| a.sup(&b))?))
}

/// The direction in plan most of the outline runs along, within 45 degrees of +x. O(n log n) in the edges.
#[must_use]
pub fn main_axis(roof: &Roof) -> Vector2<f64> {
    let longest = runs(roof).into_iter().max_by(|a, b| a.length().total_cmp(&b.length()));
    let Some(run) = longest else { return Vector2::x() };
    let mut axis = (run.to - run.from).normalize();
    while axis.x < axis.y.abs() - LAST_PLACES {
        axis = Vector2::new(axis.y, -axis.x);
    }
    axis
}

/// How far the whole roof reaches along a direction in plan, walls and all, metres. O(corners).
#[must_use]
pub fn width_along(roof: &Roof, axis: &Vector2<f64>) -> f64 {
    let feet = roof.feet.iter().flatten().map(|place| place.coords.dot(axis));
    let along = || roof.corners.iter().map(|corner| corner.xy().coords.dot(axis)).chain(feet.clone());
    along().fold(f64::NEG_INFINITY, f64::max) - along().fold(f64::INFINITY, f64::min)
}

/// How far the whole roof reaches along its longest run and across it, metres. O(n log n).
#[must_use]
pub fn elevation_widths(roof: &Roof) -> [f64; 2] {
    let axis = main_axis(roof);
    [axis, Vector2::new(-axis.y, axis.x)].map(|axis| width_along(roof, &axis))
}

/// The lower left corner of the box about a ring, and its size; 0 without corners.
#[must_use]
pub fn box_about(ring: &[Point2<f64>]) -> (Point2<f64>, Vector2<f64>) {
    let low = ring.iter().copied().reduce(|a, b| a.inf(&b)).unwrap_or_else(Point2::origin);
    let high = ring.iter().copied().reduce(|a, b| a.sup(&b)).unwrap_or_else(Point2::origin);
    (low, high - low)
}

/// The heights dimensioned beside a view, lowest first: the lowest eave, that at which most of them lie, the highest point,
/// and the datum where walls stand on it. More would hide what matters. O(edges).
#[must_use]
pub fn heights(roof: &Roof, datum: f64) -> Vec<f64> {
    let mut eaves: Vec<(f64, f64)> = Vec::new();
    for edge in roof.edges.iter().filter(|edge| edge.kind == EdgeKind::Eave) {
        let (height, length) = (roof.at(edge.from).z, roof.plan_length(edge).0);
        match eaves.iter_mut().find(|(known, _)| (*known - height).abs() < ONE_LEVEL) {
            Some((_, known)) => *known += length,
            None => eaves.push((height, length)),
        }
    }
    let lowest = eaves.iter().map(|eave| eave.0).reduce(f64::min);
    let main = eaves.iter().max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.total_cmp(&a.0))).map(|eave| eave.0);
    let mut levels: Vec<f64> = lowest.into_iter().chain(main).chain(roof.ridge_height()).collect();
    if !roof.feet.is_empty() {
        levels.push(datum);
    }
    apart(levels)
}

/// Heights in order, those left out that lie within a fiftieth of the whole above another.
fn apart(mut levels: Vec<f64>) -> Vec<f64> {
    levels.sort_by(f64::total_cmp);
    let whole = levels.first().zip(levels.last()).map_or(0.0, |(first, last)| last - first);
    levels.dedup_by(|a, b| (*a - *b).abs() < whole * 0.02);
    levels
}

/// From each height to the next, metres.
#[must_use]
pub fn steps(levels: &[f64]) -> Vec<f64> {
    levels.windows(2).map(|pair| pair[1] - pair[0]).collect()
}

/// The true shape of a face, its outer ring.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// Along the eave, metres.
    pub width: f64,
    /// Up the slope, metres.
    pub height: f64,
    /// Places of its corners along the eave, from the left, metres: what is needed to mark it out square.
    pub stations: Vec<f64>,
    /// The angle at each corner in the order of the ring, radians; π where it goes straight on.
    pub angles: Vec<f64>,
}

/// The true shape of a face; `None` for a level one, whose plan is its true shape. O(corners log corners).
#[must_use]
pub fn shape(roof: &Roof, face: &Face) -> Option<Shape> {
    let frame = FaceFrame::of(roof, face)?;
    let ring: Vec<Point2<f64>> = roof.ring(face).iter().map(|place| frame.to_face(place)).collect();
    let low = ring.iter().copied().reduce(|a, b| a.inf(&b))?;
    let high = ring.iter().copied().reduce(|a, b| a.sup(&b))?;
    Some(Shape { width: high.x - low.x, height: high.y - low.y, stations: stations(&ring), angles: angles(&ring) })
}

/// Places of the corners of a ring along x, from the left. Corners nearly above one another, out of square by a hair's
/// breadth, are one place to mark. O(n log n).
#[must_use]
pub fn stations(ring: &[Point2<f64>]) -> Vec<f64> {
    let mut stations: Vec<f64> = ring.iter().map(|place| place.x).collect();
    stations.sort_by(f64::total_cmp);
    let one_mark = ONE_MARK.max(polygon::extent(ring) * ONE_PLACE);
    stations.dedup_by(|a, b| (*a - *b).abs() < one_mark);
    stations
}

/// The angle inside an anticlockwise ring at each of its corners, radians; π where it goes straight on or a side has no
/// length. O(n).
#[must_use]
pub fn angles(ring: &[Point2<f64>]) -> Vec<f64> {
    let at = |index: usize| {
        let corner = ring[index];
        let before = ring[(index + ring.len() - 1) % ring.len()];
        let after = ring[(index + 1) % ring.len()];
        let towards = |other: Point2<f64>| (other - corner).try_normalize(f64::EPSILON);
        match (towards(after), towards(before)) {
            (Some(a), Some(b)) => a.perp(&b).atan2(a.dot(&b)).rem_euclid(TAU),
            _ => PI,
        }
    };
    (0..ring.len()).map(at).collect()
}

/// A plumb plane through a roof.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// A place in it.
    pub point: Point3<f64>,
    /// Level unit vector square to it, away from the eye.
    pub towards: Vector2<f64>,
    /// Whether it goes across a ridge.
    pub across_ridge: bool,
}

/// What of a roof face lies in a plumb plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slope {
    /// The face, by its number in the roof.
    pub face: FaceId,
    /// From its left end to its right, seen along the plane's normal.
    pub ends: [Point3<f64>; 2],
}

impl Slope {
    /// Along the face, metres.
    #[must_use]
    pub fn length(&self) -> f64 {
        (self.ends[1] - self.ends[0]).norm()
    }

    /// Level, metres.
    #[must_use]
    pub fn run(&self) -> f64 {
        (self.ends[1] - self.ends[0]).xy().norm()
    }
}

/// The plane across the longest ridge, or through the highest point up the largest face where there is none; a hair off the
/// middle, so that it misses corners that lie exactly in it. O(edges + corners).
#[must_use]
pub fn cut_across(roof: &Roof) -> Option<Cut> {
    let (low, high) = extent(roof)?;
    let ridges = roof.edges.iter().filter(|edge| edge.kind == EdgeKind::Ridge);
    let longest = ridges.max_by(|a, b| roof.plan_length(a).0.total_cmp(&roof.plan_length(b).0));
    let (point, towards) = match longest {
        Some(edge) => {
            let (from, to) = (roof.at(edge.from), roof.at(edge.to));
            let mut along = (to - from).xy().normalize();
            if along.x < along.y.abs() - LAST_PLACES && along.y < 0.0 || along.x < -along.y.abs() {
                along = -along;
            }
            (nalgebra::center(&from, &to), along)
        }
        None => {
            let highest = roof.corners.iter().max_by(|a, b| a.z.total_cmp(&b.z))?;
            let middle = roof.corners.iter().map(|p| p.coords).sum::<Vector3<f64>>() / roof.corners.len() as f64;
            (Point3::new(middle.x, middle.y, highest.z), along_largest(roof))
        }
    };
    let epsilon = (high - low).norm() * OFF_THE_RIDGE;
    let point = point + Vector3::new(towards.x, towards.y, 0.0) * epsilon;
    Some(Cut { point, towards, across_ridge: longest.is_some() })
}

/// A section through the middle of the longest ridge stands off it by this part of the roof's size, so that it meets no
/// corner.
const OFF_THE_RIDGE: f64 = 1.37e-7;

/// Along the eave of the largest face.
fn along_largest(roof: &Roof) -> Vector2<f64> {
    let largest = roof.roof_faces().max_by(|a, b| roof.area(a.1).0.total_cmp(&roof.area(b.1).0));
    largest.and_then(|(_, face)| face.plane.downslope()).map_or_else(Vector2::x, |down| Vector2::new(-down.y, down.x))
}

/// What of each roof face lies in the plane. O(corners).
#[must_use]
pub fn slopes(roof: &Roof, cut: &Cut) -> Vec<Slope> {
    let right = Vector2::new(-cut.towards.y, cut.towards.x);
    let height = |place: &Point3<f64>| (place - cut.point).xy().dot(&cut.towards);
    let mut slopes = Vec::new();
    for (id, face) in roof.roof_faces() {
        let mut found: Vec<Point3<f64>> = Vec::new();
        for ring in std::iter::once(roof.ring(face)).chain(roof.holes(face)) {
            for (index, from) in ring.iter().enumerate() {
                let to = &ring[(index + 1) % ring.len()];
                let (a, b) = (height(from), height(to));
                if (a < 0.0) != (b < 0.0) {
                    found.push(from + (to - from) * (a / (a - b)));
                }
            }
        }
        found.sort_by_number(|a| a.xy().coords.dot(&right));
        slopes.extend(found.chunks_exact(2).map(|pair| Slope { face: id, ends: [pair[0], pair[1]] }));
    }
    slopes
}

/// The heights dimensioned beside a section: ends of the slopes, and the datum where walls stand on it. O(n log n).
#[must_use]
pub fn section_heights(roof: &Roof, slopes: &[Slope], datum: f64) -> Vec<f64> {
    let foot = (!roof.feet.is_empty()).then_some(datum);
    apart(slopes.iter().flat_map(|slope| slope.ends.map(|end| end.z)).chain(foot).collect())
}

/// What happens within this part of the rise above the outline is the outline's own.
const FIRST_EVENT: f64 = 1e-3;

/// Heights within this part of the rise are shown as one.
const ONE_EVENT: f64 = 0.02;

/// The levels a roof is shown in as it is built up, above datum: its outline, then one level before each height at which the
/// outline changes its shape (two where there is only one such height), then the whole roof; at most nine. Empty for a
/// roof without height. O(n log n).
#[must_use]
pub fn construction_levels(roof: &Roof) -> Vec<f64> {
    let heights: Vec<f64> = roof.roof_faces().flat_map(|(_, face)| roof.ring(face)).map(|p| p.z).collect();
    let ends = heights.iter().copied().reduce(f64::min).zip(heights.iter().copied().reduce(f64::max));
    let Some((start, top)) = ends.filter(|(start, top)| top > start) else { return Vec::new() };
    let rise = top - start;
    let mut events: Vec<f64> = heights.into_iter().filter(|height| *height > start + rise * FIRST_EVENT).collect();
    events.sort_by(f64::total_cmp);
    events.dedup_by(|a, b| (*a - *b).abs() < rise * ONE_EVENT);
    let mut levels = vec![start];
    if events.len() == 1 {
        levels.extend([0.33, 0.67].map(|share| start + rise * share));
    } else {
        let mut before = start;
        for event in events {
            levels.push(before + (event - before) * 0.6);
            before = event;
        }
    }
    // Of many, an even choice.
    let most = 8;
    if levels.len() > most {
        let count = levels.len();
        levels = (0..most).map(|index| levels[index * (count - 1) / (most - 1)]).collect();
    }
    levels.push(top);
    levels
}
