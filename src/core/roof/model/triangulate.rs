//! Faces and floors cut into triangles: a fan from a corner that sees all the others where there is one, else ears.

use super::ears;
use super::{Face, Roof};
use crate::base::ids::CornerId;
use crate::base::polygon;
use earcut::Earcut;
use nalgebra::{Point2, Point3, Vector3};
use std::cmp::Ordering;

/// Faces with no more corners are tried for one that sees all the others.
const FEW: usize = 12;

/// Cuts faces into triangles, reusing its buffers.
#[derive(Default)]
pub struct Triangulator {
    earcut: Option<Earcut<f64>>,
    places: Vec<[f64; 2]>,
    holes: Vec<u32>,
    triangles: Vec<u32>,
    corners: Vec<u32>,
    whole: bool,
    fan: bool,
}

/// A corner's number in a triangle.
#[allow(clippy::cast_possible_truncation)]
pub(super) fn index(corner: CornerId) -> u32 {
    corner.index() as u32
}

impl Triangulator {
    /// With room for polygons of so many corners.
    #[must_use]
    pub(crate) fn with_room(corners: usize) -> Self {
        Self {
            places: Vec::with_capacity(corners),
            corners: Vec::with_capacity(corners),
            triangles: Vec::with_capacity(3 * corners),
            ..Self::default()
        }
    }

    /// Triangles of a face, as indices of corners, anticlockwise seen from outside. O(corners) for most faces.
    pub fn cut(&mut self, roof: &Roof, face: &Face) -> impl Iterator<Item = [u32; 3]> {
        let (right, up) = axes(&face.plane.normal);
        let origin = face.ring.first().map_or(Point3::origin(), |&corner| roof.at(corner));
        self.corners.clear();
        self.places.clear();
        self.holes.clear();
        self.corners.reserve(face.edges.len());
        self.places.reserve(face.edges.len());
        for ring in std::iter::once(&face.ring).chain(&face.holes) {
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
        let corner = |at: u32| self.corners[at as usize];
        let triangles = self.triangles.chunks_exact(3).map(move |t| [corner(t[0]), corner(t[1]), corner(t[2])]);
        // Where a hole touches its ring in a corner, two of a triangle's may be that one: it covers nothing.
        triangles.filter(|[a, b, c]| a != b && b != c && c != a)
    }

    /// Whether one corner saw all the others of what was cut last, so that its triangles turn one way and do not overlap.
    #[must_use]
    pub(crate) fn is_fan(&self) -> bool {
        self.fan
    }

    /// Triangles of a floor, anticlockwise seen from above, between rings of numbered places: outer ones anticlockwise,
    /// holes clockwise; and whether the rings are what bounds them. O(n log n), and holes times outer rings.
    pub(crate) fn cut_floor(
        &mut self,
        rings: &[Vec<u32>],
        place: impl Fn(u32) -> Point2<f64>,
    ) -> (Vec<[u32; 3]>, bool) {
        let area = |ring: &Vec<u32>| -> f64 {
            let spoke = |at: u32| place(at) - place(ring[0]);
            ring.windows(2).map(|pair| spoke(pair[0]).perp(&spoke(pair[1]))).sum()
        };
        let mut triangles = Vec::new();
        let mut whole = true;
        for outer in rings.iter().filter(|ring| area(ring) > 0.0) {
            self.corners.clear();
            self.holes.clear();
            self.corners.extend_from_slice(outer);
            if rings.len() > 1 {
                let round: Vec<Point2<f64>> = outer.iter().map(|&at| place(at)).collect();
                // A hole may touch its ring, so that only a place of it that is not the ring's tells.
                let own = |hole: &Vec<u32>| hole.iter().copied().find(|at| !outer.contains(at)).map(&place);
                let edge = |hole: &Vec<u32>| nalgebra::center(&place(hole[0]), &place(hole[1]));
                let inside = |hole: &&Vec<u32>| {
                    area(hole) < 0.0 && polygon::contains(&round, &own(hole).unwrap_or_else(|| edge(hole)))
                };
                for hole in rings.iter().filter(inside) {
                    #[allow(clippy::cast_possible_truncation)]
                    self.holes.push(self.corners.len() as u32);
                    self.corners.extend_from_slice(hole);
                }
            }
            let origin = place(outer[0]);
            self.places.clear();
            self.places.extend(self.corners.iter().map(|&at| <[f64; 2]>::from(place(at) - origin)));
            self.run();
            whole &= self.whole;
            triangles.reserve_exact(self.triangles.len() / 3);
            let corner = |&at: &u32| self.corners[at as usize];
            triangles.extend(self.triangles.chunks_exact(3).map(|t| [corner(&t[0]), corner(&t[1]), corner(&t[2])]));
        }
        (triangles, whole)
    }

    /// Whether what bounds the triangles last cut is the rings they were cut from, each edge run as the rings run it.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.whole
    }

    /// The sizes of the triangles last cut, whichever way they turn, and of those that turn the wrong way, square metres.
    /// O(triangles).
    #[must_use]
    pub fn areas(&self) -> (f64, f64) {
        self.triangles.chunks_exact(3).fold((0.0, 0.0), |(sum, turned), t| {
            let [a, b, c] = [t[0], t[1], t[2]].map(|at| self.places[at as usize]);
            let area = ears::doubled(a, b, c) / 2.0;
            (sum + area.abs(), turned + (-area).max(0.0))
        })
    }

    /// Triangulates `places`; what one corner sees whole needs no algorithm.
    fn run(&mut self) {
        self.triangles.clear();
        self.fan = false;
        if self.holes.is_empty() && self.places.len() <= 3 {
            self.whole = self.places.len() == 3;
            self.triangles.extend(if self.whole { &[0, 1, 2][..] } else { &[] });
            return;
        }
        let least = self.rounding();
        if self.holes.is_empty()
            && let Some(hub) = self.hub(least)
        {
            let count = self.places.len();
            self.triangles.reserve(3 * count);
            let mut at = hub;
            #[allow(clippy::cast_possible_truncation)]
            let mut next = || {
                at = if at + 1 == count { 0 } else { at + 1 };
                at as u32
            };
            let mut second = next();
            for _ in 2..count {
                let third = next();
                #[allow(clippy::cast_possible_truncation)]
                self.triangles.extend([hub as u32, second, third]);
                second = third;
            }
            (self.whole, self.fan) = (true, true);
            return;
        }
        self.triangles.reserve(3 * (self.places.len() + 2 * self.holes.len()));
        self.earcut.get_or_insert_with(Earcut::new).earcut_slice(&self.places, &self.holes, &mut self.triangles);
        // The library leaves out corners in the middle of a straight edge; a closed solid needs them.
        let whole = 3 * (self.places.len() + 2 * self.holes.len() - 2);
        if self.triangles.len() < whole {
            self.restore_left_out();
        }
        self.whole = self.rings_bound_triangles();
        let turned = self.areas().1;
        if self.triangles.len() == whole && 2.0 * turned <= least && self.whole {
            return;
        }
        let (quick, quick_is_whole) = (std::mem::take(&mut self.triangles), self.whole);
        ears::clip(&self.places, &self.holes, &mut self.triangles);
        self.whole = self.rings_bound_triangles();
        // What crosses itself is cut rightly by neither.
        if quick.len() == whole && quick_is_whole && turned < self.areas().1 {
            (self.triangles, self.whole) = (quick, true);
        }
    }

    /// What rounding may turn over where corners lie in one line, twice an area.
    fn rounding(&self) -> f64 {
        let reach = self.places.iter().flatten().fold(0.0, |most: f64, value| most.max(value.abs()));
        self.places.len() as f64 * 16.0 * f64::EPSILON * reach * reach
    }

    /// A corner from which the others follow each other by angle within less than half a turn, each two of them bounding a
    /// triangle of more than `least`, twice its area. Only the first is tried where corners are not few. O(corners²) then.
    fn hub(&self, least: f64) -> Option<usize> {
        let count = self.places.len();
        let tried = if count <= FEW { count } else { 1 };
        (0..tried).find(|&hub| {
            let (before, after) = self.places.split_at(hub);
            let (at, after) = (after[0], &after[1..]);
            let mut spokes = after.iter().chain(before).map(|place| [place[0] - at[0], place[1] - at[1]]);
            let turn = |u: [f64; 2], v: [f64; 2]| u[0] * v[1] - u[1] * v[0];
            let Some(first) = spokes.next() else { return false };
            let mut last = first;
            spokes.all(|spoke| turn(std::mem::replace(&mut last, spoke), spoke) > least) && turn(first, last) > 0.0
        })
    }

    /// Whether what bounds the triangles last cut is the rings they were cut from, each edge run as the rings run it.
    ///
    /// Edges are weighed by numbers of 64 bits that look random, less where they run downwards in number; what does not
    /// cancel leaves a sum, but once in 2⁶⁴.
    fn rings_bound_triangles(&self) -> bool {
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
pub(super) fn weight(from: u32, to: u32) -> u64 {
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
pub(in crate::roof) fn axes(normal: &Vector3<f64>) -> (Vector3<f64>, Vector3<f64>) {
    let right = Vector3::z().cross(normal).try_normalize(f64::EPSILON).unwrap_or_else(Vector3::x);
    (right, normal.cross(&right))
}
