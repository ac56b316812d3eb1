//! The closed solid of a roof and its walls down to the datum, as triangles: for volumes, pictures and export.

use super::ears;
use super::model::{Face, Roof};
use crate::base::ids::{CornerId, FaceId};
use crate::base::overlay;
use earcut::Earcut;
use nalgebra::{Point2, Point3, Vector3};
use std::cmp::Ordering;

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

/// Cuts faces into triangles, reusing its buffers.
#[derive(Default)]
pub struct Triangulator {
    earcut: Option<Earcut<f64>>,
    places: Vec<[f64; 2]>,
    holes: Vec<u32>,
    triangles: Vec<u32>,
    corners: Vec<u32>,
}

#[allow(clippy::cast_possible_truncation)]
fn index(corner: CornerId) -> u32 {
    corner.index() as u32
}

impl Triangulator {
    /// Triangles of a face, as indices of corners, anticlockwise seen from outside. O(corners) for most faces.
    pub fn cut(&mut self, roof: &Roof, face: &Face) -> impl Iterator<Item = [u32; 3]> {
        let rings = || std::iter::once(&face.ring).chain(&face.holes);
        let (right, up) = axes(&face.plane.normal);
        let origin = face.ring.first().map_or(Point3::origin(), |&corner| roof.at(corner));
        self.corners.clear();
        self.places.clear();
        self.holes.clear();
        for ring in rings() {
            if !self.corners.is_empty() {
                #[allow(clippy::cast_possible_truncation)]
                self.holes.push(self.corners.len() as u32);
            }
            for &corner in ring {
                let spoke = roof.at(corner) - origin;
                self.places.push([spoke.dot(&right), spoke.dot(&up)]);
                self.corners.push(index(corner));
            }
        }
        self.run();
        self.triangles.chunks_exact(3).map(|t| [t[0], t[1], t[2]].map(|at| self.corners[at as usize]))
    }

    /// Triangulates `places`; what its first corner sees whole needs no algorithm.
    fn run(&mut self) {
        self.triangles.clear();
        if self.holes.is_empty() && self.first_sees_all() {
            #[allow(clippy::cast_possible_truncation)]
            self.triangles.extend((1..self.places.len() as u32 - 1).flat_map(|at| [0, at, at + 1]));
            return;
        }
        self.earcut.get_or_insert_with(Earcut::new).earcut_slice(&self.places, &self.holes, &mut self.triangles);
        // The library leaves out corners in the middle of a straight edge; a closed solid needs them.
        let whole = 3 * (self.places.len() + 2 * self.holes.len() - 2);
        if self.triangles.len() < whole {
            self.restore_left_out();
        }
        let turned = self.turned_over();
        if self.triangles.len() == whole && turned <= self.rounding() && self.is_whole() {
            return;
        }
        let quick = std::mem::take(&mut self.triangles);
        ears::clip(&self.places, &self.holes, &mut self.triangles);
        // What crosses itself is cut rightly by neither.
        if quick.len() == whole && turned < self.turned_over() {
            let careful = std::mem::replace(&mut self.triangles, quick);
            if !self.is_whole() {
                self.triangles = careful;
            }
        }
    }

    /// Twice the area of the triangles that turn the wrong way.
    fn turned_over(&self) -> f64 {
        let doubled = |t: &[u32]| {
            let [a, b, c] = [t[0], t[1], t[2]].map(|at| self.places[at as usize]);
            (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
        };
        self.triangles.chunks_exact(3).map(|t| (-doubled(t)).max(0.0)).sum()
    }

    /// What rounding may turn over where corners lie in one line.
    fn rounding(&self) -> f64 {
        let reach = self.places.iter().flatten().fold(0.0, |most: f64, value| most.max(value.abs()));
        self.places.len() as f64 * 16.0 * f64::EPSILON * reach * reach
    }

    /// Whether what bounds the triangles last cut is the rings they were cut from, each edge run as the rings run it.
    ///
    /// Edges are weighed by numbers of 64 bits that look random, less where they run downwards in number; what does not
    /// cancel leaves a sum, but once in 2⁶⁴.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        #[allow(clippy::cast_possible_truncation)]
        let count = self.places.len() as u32;
        let mut sum = 0u64;
        for t in self.triangles.chunks_exact(3) {
            let [a, b, c] = [t[0], t[1], t[2]];
            sum = sum.wrapping_add(weight(a, b)).wrapping_add(weight(b, c)).wrapping_add(weight(c, a));
        }
        let mut start = 0;
        for &end in self.holes.iter().chain(std::iter::once(&count)) {
            for at in start..end {
                let next = if at + 1 == end { start } else { at + 1 };
                sum = sum.wrapping_sub(weight(at, next));
            }
            start = end;
        }
        sum == 0
    }

    /// Whether the corners follow each other by angle as seen from the first, within less than half a turn.
    fn first_sees_all(&self) -> bool {
        let [first, .., last] = self.places.as_slice() else { return false };
        let turn = |a: &[f64; 2], b: &[f64; 2]| {
            let (u, v) = ([a[0] - first[0], a[1] - first[1]], [b[0] - first[0], b[1] - first[1]]);
            u[0] * v[1] - u[1] * v[0]
        };
        self.places.len() == 3
            || (self.places[1..].windows(2).all(|pair| turn(&pair[0], &pair[1]) > 0.0)
                && turn(&self.places[1], last) > 0.0)
    }

    fn restore_left_out(&mut self) {
        let count = self.places.len();
        let mut used = vec![false; count];
        self.triangles.iter().for_each(|&at| used[at as usize] = true);
        let mut starts: Vec<usize> = vec![0];
        starts.extend(self.holes.iter().map(|&at| at as usize));
        for (ring, &start) in starts.iter().enumerate() {
            let end = starts.get(ring + 1).copied().unwrap_or(count);
            let size = end - start;
            let Some(first) = (start..end).find(|&at| used[at]) else { continue };
            let at = |step: usize| start + (first - start + step) % size;
            let mut from = 0;
            for to in 1..=size {
                if !used[at(to)] {
                    continue;
                }
                #[allow(clippy::cast_possible_truncation)]
                let chain: Vec<u32> = (from..=to).map(|step| at(step) as u32).collect();
                if chain.len() > 2 {
                    self.split_edge(&chain);
                }
                from = to;
            }
        }
    }

    /// Splits the triangle on the edge from the first to the last of a chain at the places between.
    fn split_edge(&mut self, chain: &[u32]) {
        let (from, to) = (chain[0], chain[chain.len() - 1]);
        for triangle in 0..self.triangles.len() / 3 {
            let t = [0, 1, 2].map(|corner| self.triangles[3 * triangle + corner]);
            let Some(side) = (0..3).find(|&side| t[side] == from && t[(side + 1) % 3] == to) else { continue };
            let apex = t[(side + 2) % 3];
            self.triangles.splice(3 * triangle..3 * triangle + 3, [from, chain[1], apex]);
            for pair in chain[1..].windows(2) {
                self.triangles.extend([pair[0], pair[1], apex]);
            }
            return;
        }
    }
}

/// A number for an edge, the same less than nothing for the edge run back (the finaliser of `SplitMix64`, Steele, Lea and
/// Flood 2014).
fn weight(from: u32, to: u32) -> u64 {
    let mut bits = (u64::from(from.min(to)) << 32 | u64::from(from.max(to))).wrapping_add(0x9e37_79b9_7f4a_7c15);
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    bits ^= bits >> 31;
    match from.cmp(&to) {
        Ordering::Less => bits,
        Ordering::Equal => 0,
        Ordering::Greater => bits.wrapping_neg(),
    }
}

/// Two level-and-up axes of a plane, right-handed with its normal.
pub(super) fn axes(normal: &Vector3<f64>) -> (Vector3<f64>, Vector3<f64>) {
    let right = Vector3::z().cross(normal).try_normalize(f64::EPSILON).unwrap_or_else(Vector3::x);
    (right, normal.cross(&right))
}

/// Volume between a roof and a level over what lies within the wall lines, cubic metres: each roof face's plan is cut
/// to the walls, and the prism under what is left has the height of the face's plane over its middle. Where the roof ends
/// at the walls this is [`volume`]. O(n log n) but for crossings.
#[must_use]
pub fn volume_within(roof: &Roof, walls: &[Vec<Point2<f64>>], datum: f64) -> f64 {
    let plan = |ring: &[CornerId]| ring.iter().map(|&corner| roof.at(corner).xy()).collect::<Vec<_>>();
    let mut sum = 0.0;
    for (_, face) in roof.roof_faces() {
        let mut rings = vec![plan(&face.ring)];
        rings.extend(face.holes.iter().map(|hole| plan(hole)));
        for ring in overlay::common(&rings, walls).iter().flat_map(|region| &region.rings) {
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
    let mut triangulator = Triangulator::default();
    for (position, face) in roof.faces.iter().enumerate() {
        let before = solid.triangles.len();
        solid.triangles.extend(triangulator.cut(roof, face));
        solid.face_of.resize(solid.triangles.len(), Some(FaceId::new(position)));
        debug_assert!(solid.triangles.len() > before || face.ring.len() < 3);
    }
    if closed {
        close(roof, datum, &mut solid, &mut triangulator);
    }
    solid
}

/// Adds the walls below the outline and the floor.
fn close(roof: &Roof, datum: f64, solid: &mut Solid, triangulator: &mut Triangulator) {
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
        solid
            .triangles
            .extend([[d, c, b], [d, b, a]].into_iter().filter(|t| t[0] != t[1] && t[1] != t[2] && t[0] != t[2]));
    }
    floor(roof, &outline, &foot, solid, triangulator);
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

fn floor(
    roof: &Roof,
    outline: &[(CornerId, CornerId)],
    foot: &[u32],
    solid: &mut Solid,
    triangulator: &mut Triangulator,
) {
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
    let (triangles, _) = floor_triangles(&rings, place, triangulator);
    solid.triangles.extend(triangles);
}

/// Triangles of a floor, clockwise seen from above, between rings of numbered places: outer ones anticlockwise, holes
/// clockwise; and whether the rings are what bounds them. O(n log n), and holes times outer rings.
pub(super) fn floor_triangles(
    rings: &[Vec<u32>],
    place: impl Fn(u32) -> Point2<f64>,
    triangulator: &mut Triangulator,
) -> (Vec<[u32; 3]>, bool) {
    let plan = |ring: &Vec<u32>| -> Vec<Point2<f64>> { ring.iter().map(|&at| place(at)).collect() };
    let areas: Vec<f64> = rings.iter().map(|ring| crate::base::polygon::signed_area(&plan(ring))).collect();
    let mut triangles = Vec::new();
    let mut whole = true;
    for (outer, _) in rings.iter().zip(&areas).filter(|(_, area)| **area > 0.0) {
        let round = plan(outer);
        triangulator.corners.clear();
        triangulator.holes.clear();
        triangulator.corners.extend(outer);
        for (hole, _) in rings.iter().zip(&areas).filter(|(_, area)| **area < 0.0) {
            if crate::base::polygon::contains(&round, &place(hole[0])) {
                #[allow(clippy::cast_possible_truncation)]
                triangulator.holes.push(triangulator.corners.len() as u32);
                triangulator.corners.extend(hole);
            }
        }
        let origin = place(outer[0]);
        let corners = std::mem::take(&mut triangulator.corners);
        triangulator.places.clear();
        triangulator.places.extend(corners.iter().map(|&at| <[f64; 2]>::from(place(at) - origin)));
        triangulator.run();
        whole &= triangulator.is_whole();
        // Seen from below.
        triangles
            .extend(triangulator.triangles.chunks_exact(3).map(|t| [t[0], t[2], t[1]].map(|at| corners[at as usize])));
        triangulator.corners = corners;
    }
    (triangles, whole)
}
