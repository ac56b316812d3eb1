//! The closed solid of a roof and its walls down to the datum, as triangles: for volumes, pictures and export.

use super::triangulate::{Triangulator, index, weight};
use super::{Roof, Triangles};
use crate::base::ids::{CornerId, FaceId};
use crate::base::polygon_boolean;
use nalgebra::{Point2, Point3};

/// A closed, outward-facing triangle mesh. Every edge is shared by two triangles that run along it in opposite
/// directions; where two parts of a roof touch along a line, by two such pairs (for a roof without volume, the roof faces alone, open).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Solid {
    /// Places, metres.
    pub positions: Vec<Point3<f64>>,
    /// Anticlockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
    /// The face each triangle belongs to; `None` for walls below the outline and the floor.
    pub face_of: Vec<Option<FaceId>>,
}

impl Solid {
    /// Whether every edge is run as often one way as the other, told as [`Triangulator::is_whole`] does. O(triangles).
    #[must_use]
    pub fn is_closed(&self) -> bool {
        let around = |&[a, b, c]: &[u32; 3]| weight(a, b).wrapping_add(weight(b, c)).wrapping_add(weight(c, a));
        self.triangles.iter().map(around).fold(0u64, u64::wrapping_add) == 0
    }

    /// What it holds, cubic metres, summed about its first corner. O(triangles).
    #[must_use]
    pub fn volume(&self) -> f64 {
        let Some(&origin) = self.positions.first() else { return 0.0 };
        let spoke = |at: u32| self.positions[at as usize] - origin;
        self.triangles.iter().map(|&[a, b, c]| spoke(a).dot(&spoke(b).cross(&spoke(c))) / 6.0).sum()
    }
}

/// Volume between a roof and a level over what lies within the wall lines, cubic metres: each roof face's plan is cut
/// to the walls, and the prism under what is left has the height of the face's plane over its middle. Where the roof ends
/// at the walls this is [`volume`]. O(n log n) but for crossings.
#[must_use]
pub(crate) fn volume_within(roof: &Roof, walls: &[Vec<Point2<f64>>], datum: f64) -> f64 {
    let plan = |ring: &[CornerId]| ring.iter().map(|&corner| roof.at(corner).xy()).collect::<Vec<_>>();
    let mut sum = 0.0;
    for (_, face) in roof.roof_faces() {
        let mut rings = vec![plan(&face.ring)];
        rings.extend(face.holes.iter().map(|hole| plan(hole)));
        for ring in polygon_boolean::common(&rings, walls).iter().flat_map(|region| &region.rings) {
            let Some(apex) = ring.first() else { continue };
            for pair in ring.windows(2) {
                let area = (pair[0] - apex).perp(&(pair[1] - apex)) / 2.0;
                let middle = Point2::from((apex.coords + pair[0].coords + pair[1].coords) / 3.0);
                sum += face.plane.height_at(&middle).map_or(0.0, |height| area * (height - datum));
            }
        }
    }
    sum
}

/// Volume between a roof and a level, cubic metres: over every face its plan area, with its sign, times its mean height;
/// of walls that is what little they lean. O(n).
#[must_use]
pub fn volume(roof: &Roof, datum: f64) -> f64 {
    let ring_volume = |ring: &[CornerId]| -> f64 {
        let Some(&first) = ring.first() else { return 0.0 };
        let apex = roof.at(first);
        ring.windows(2)
            .map(|pair| {
                let (a, b) = (roof.at(pair[0]), roof.at(pair[1]));
                let doubled = (a - apex).xy().perp(&(b - apex).xy());
                doubled / 6.0 * ((apex.z - datum) + (a.z - datum) + (b.z - datum))
            })
            .sum()
    };
    roof.faces
        .iter()
        .flat_map(|face| std::iter::once(&face.ring).chain(&face.holes))
        .map(|ring| ring_volume(ring))
        .sum()
}

/// The solid of a roof: its faces, the walls below its outline and a floor at the datum. Closed when the roof has
/// feet; without them the faces alone. O(n log n).
#[must_use]
pub fn build(roof: &Roof, datum: f64) -> Solid {
    let closed = !roof.feet.is_empty();
    let outline = if closed { roof.edges.iter().filter(|edge| edge.faces.len() == 1).count() } else { 0 };
    // Two triangles less than corners to a face, two to a wall below an edge, and the floor.
    let triangles = roof.faces.iter().map(|face| face.edges.len()).sum::<usize>() + 3 * outline;
    let mut solid = Solid {
        positions: Vec::with_capacity(roof.corners.len() + outline),
        triangles: Vec::with_capacity(triangles),
        face_of: Vec::with_capacity(triangles),
    };
    solid.positions.extend_from_slice(&roof.corners);
    let known = roof.triangles.as_ref();
    match known {
        Some(known) => {
            solid.triangles.extend_from_slice(&known.faces);
            for (position, &end) in known.ends.iter().enumerate() {
                solid.face_of.resize(end as usize, Some(FaceId::new(position)));
            }
        }
        None => {
            let mut triangulator = Triangulator::default();
            for (position, face) in roof.faces.iter().enumerate() {
                solid.triangles.extend(triangulator.cut(roof, face));
                solid.face_of.resize(solid.triangles.len(), Some(FaceId::new(position)));
            }
        }
    }
    if closed {
        close(roof, datum, known, &mut solid);
    }
    solid
}

/// Adds the walls below the outline and the floor.
fn close(roof: &Roof, datum: f64, known: Option<&Triangles>, solid: &mut Solid) {
    // Edges with one face are the outline, run with the face to their left.
    let mut outline: Vec<(CornerId, CornerId)> = Vec::with_capacity(solid.positions.capacity() - roof.corners.len());
    outline.extend(roof.edges.iter().filter(|edge| edge.faces.len() == 1).map(|edge| (edge.from, edge.to)));
    // Corners over one place share a foot; adding zero makes one of both zeros.
    let plan = |corner: CornerId| {
        let place = roof.at(corner);
        ((place.x + 0.0).to_bits(), (place.y + 0.0).to_bits())
    };
    let mut by_place: Vec<((u64, u64), bool, u32)> =
        outline.iter().map(|&(from, _)| (plan(from), roof.at(from).z != datum, index(from))).collect();
    by_place.sort_unstable();
    let mut foot = vec![u32::MAX; roof.corners.len()];
    for over in by_place.chunk_by(|a, b| a.0 == b.0) {
        // One that stands on the datum is its own foot, and comes first.
        let (_, above, first) = over[0];
        let shared = if above {
            let place = solid.positions[first as usize];
            solid.positions.push(Point3::new(place.x, place.y, datum));
            #[allow(clippy::cast_possible_truncation)]
            {
                solid.positions.len() as u32 - 1
            }
        } else {
            first
        };
        for &(.., corner) in over {
            foot[corner as usize] = shared;
        }
    }
    for &(from, to) in &outline {
        let (a, b) = (index(from), index(to));
        let (c, d) = (foot[to.index()], foot[from.index()]);
        if c == u32::MAX || d == u32::MAX {
            continue;
        }
        solid.triangles.extend([[d, c, b], [d, b, a]].into_iter().filter(has_extent));
    }
    // Seen from below.
    match known {
        Some(known) => {
            let below = |&[a, b, c]: &[u32; 3]| [a, c, b].map(|corner| foot[corner as usize]);
            solid.triangles.extend(known.floor.iter().map(below).filter(has_extent));
        }
        None => {
            let floor = floor(roof, &outline, &foot, solid);
            solid.triangles.extend(floor.into_iter().map(|[a, b, c]| [a, c, b]));
        }
    }
    solid.face_of.resize(solid.triangles.len(), None);
}

/// The outline's edges in rings. Where several pass one corner, each goes on along the edge that bounds the same roof.
fn outline_rings(roof: &Roof, outline: &[(CornerId, CornerId)]) -> Vec<Vec<CornerId>> {
    let mut from_corner: Vec<Vec<usize>> = vec![Vec::new(); roof.corners.len()];
    for (position, (from, _)) in outline.iter().enumerate() {
        from_corner[from.index()].push(position);
    }
    let direction = |from: CornerId, to: CornerId| (roof.at(to) - roof.at(from)).xy();
    let next = |position: usize| {
        let (from, at) = outline[position];
        let back = direction(at, from);
        // The roof lies to the left of the way in: from the way back, clockwise.
        let turn = |&candidate: &usize| {
            let on = direction(at, outline[candidate].1);
            on.perp(&back).atan2(on.dot(&back)).rem_euclid(std::f64::consts::TAU)
        };
        from_corner[at.index()].iter().copied().min_by(|a, b| turn(a).total_cmp(&turn(b)))
    };
    let mut seen = vec![false; outline.len()];
    let mut rings = Vec::new();
    for start in 0..outline.len() {
        let mut ring = Vec::new();
        let mut at = Some(start);
        while let Some(position) = at.filter(|&position| !seen[position]) {
            seen[position] = true;
            ring.push(outline[position].0);
            at = if from_corner[outline[position].1.index()].len() == 1 {
                Some(from_corner[outline[position].1.index()][0])
            } else {
                next(position)
            };
        }
        if ring.len() >= 3 {
            rings.push(ring);
        }
    }
    rings
}

/// Whether a triangle's corners are three.
fn has_extent(&[a, b, c]: &[u32; 3]) -> bool {
    a != b && b != c && c != a
}

fn floor(roof: &Roof, outline: &[(CornerId, CornerId)], foot: &[u32], solid: &Solid) -> Vec<[u32; 3]> {
    let rings = outline_rings(roof, outline).into_iter();
    let at_foot = |ring: Vec<CornerId>| {
        let mut feet: Vec<u32> = ring.iter().map(|corner| foot[corner.index()]).collect();
        feet.dedup();
        while feet.len() > 1 && feet.first() == feet.last() {
            feet.pop();
        }
        feet
    };
    let rings: Vec<Vec<u32>> = rings.map(at_foot).filter(|ring| ring.len() >= 3).collect();
    let place = |at: u32| solid.positions[at as usize].xy();
    Triangulator::default().cut_floor(&rings, place).0
}
