//! The faces of a solid as whole polygons: triangles of one face, or of one plane of the body, without the edges between
//! them. Every corner on a polygon's rim stays, so that neighbours share them.

use crate::base::ids::FaceId;
use crate::base::order::SortByNumber as _;
use crate::base::union_find::UnionFind;
use crate::roof::model::solid::Solid;
use nalgebra::Vector3;
use std::collections::{HashMap, HashSet};

/// Sine of the angle up to which two triangles of the body count as one plane.
const LEVEL: f64 = 1e-7;

/// A flat part of a solid's surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Polygon {
    /// The face it belongs to; `None` for walls below the outline, the floor and undersides of overhangs.
    pub face: Option<FaceId>,
    /// Its outer ring, anticlockwise seen from outside, then holes: numbers of places.
    pub rings: Vec<Vec<u32>>,
    /// Unit normal, outwards.
    pub normal: Vector3<f64>,
}

/// The polygons that bound a solid, in the order of their first triangles. What is no simple polygon, as where it touches
/// itself, stays in triangles. Expected O(triangles).
#[must_use]
pub fn polygons(solid: &Solid) -> Vec<Polygon> {
    let normals: Vec<Vector3<f64>> = solid.triangles.iter().map(|triangle| normal(solid, triangle)).collect();
    let mut sides: HashMap<(u32, u32), usize> = HashMap::with_capacity(3 * solid.triangles.len());
    for (index, t) in solid.triangles.iter().enumerate() {
        for side in 0..3 {
            sides.insert((t[side], t[(side + 1) % 3]), index);
        }
    }
    let mut groups = UnionFind::new(solid.triangles.len());
    for (&(from, to), &one) in &sides {
        let Some(&other) = sides.get(&(to, from)).filter(|_| from < to) else { continue };
        let flat = || normals[one].cross(&normals[other]).norm() <= LEVEL && normals[one].dot(&normals[other]) > 0.0;
        if solid.face_of[one] == solid.face_of[other] && (solid.face_of[one].is_some() || flat()) {
            groups.join(number(one), number(other));
        }
    }
    let mut members: HashMap<u32, Vec<usize>> = HashMap::new();
    let mut order = Vec::new();
    for triangle in 0..solid.triangles.len() {
        let root = groups.root(number(triangle));
        let of = members.entry(root).or_default();
        if of.is_empty() {
            order.push(root);
        }
        of.push(triangle);
    }
    let mut found = Vec::new();
    for root in order {
        let of = &members[&root];
        let face = solid.face_of[of[0]];
        let largest = of.iter().map(|&at| normals[at]).sum::<Vector3<f64>>();
        let normal = largest.try_normalize(0.0).unwrap_or_else(Vector3::z);
        match rings(solid, of, &normal) {
            Some(rings) => found.push(Polygon { face, rings, normal }),
            None => {
                found.extend(of.iter().map(|&at| Polygon { face, rings: vec![solid.triangles[at].to_vec()], normal }));
            }
        }
    }
    found
}

#[allow(clippy::cast_possible_truncation)]
fn number(index: usize) -> u32 {
    index as u32
}

fn normal(solid: &Solid, triangle: &[u32; 3]) -> Vector3<f64> {
    let [a, b, c] = triangle.map(|corner| solid.positions[corner as usize]);
    (b - a).cross(&(c - a)).try_normalize(0.0).unwrap_or_default()
}

/// The rings that bound some triangles, the outer one first; `None` where they are not one outer ring and holes.
fn rings(solid: &Solid, of: &[usize], normal: &Vector3<f64>) -> Option<Vec<Vec<u32>>> {
    let mut run: HashSet<(u32, u32)> = HashSet::new();
    for &at in of {
        let t = solid.triangles[at];
        for side in 0..3 {
            let (from, to) = (t[side], t[(side + 1) % 3]);
            if !run.remove(&(to, from)) {
                run.insert((from, to));
            }
        }
    }
    let mut next: HashMap<u32, u32> = HashMap::with_capacity(run.len());
    for &(from, to) in &run {
        if next.insert(from, to).is_some() {
            return None;
        }
    }
    let mut starts: Vec<u32> = next.keys().copied().collect();
    starts.sort_unstable();
    let mut found: Vec<Vec<u32>> = Vec::new();
    for start in starts {
        let mut ring = Vec::new();
        let mut at = start;
        while let Some(to) = next.remove(&at) {
            ring.push(at);
            at = to;
        }
        if !ring.is_empty() {
            if at != start || ring.len() < 3 {
                return None;
            }
            found.push(ring);
        }
    }
    let area = |ring: &Vec<u32>| -> f64 {
        let place = |at: u32| solid.positions[at as usize];
        let origin = place(ring[0]);
        ring.windows(2).map(|pair| (place(pair[0]) - origin).cross(&(place(pair[1]) - origin)).dot(normal)).sum()
    };
    found.sort_by_largest(|a| area(a));
    let outer = found.iter().filter(|ring| area(ring) > 0.0).count();
    (outer == 1).then_some(found)
}

/// Whether a polygon of the body faces down.
#[must_use]
pub fn faces_down(polygon: &Polygon) -> bool {
    polygon.face.is_none() && polygon.normal.z < -0.5
}

/// Whether a polygon that faces down is the floor: its corners lie on the solid's lowest level.
#[must_use]
pub fn is_floor(solid: &Solid, polygon: &Polygon, lowest: f64) -> bool {
    let height = |&at: &u32| solid.positions[at as usize].z;
    faces_down(polygon) && polygon.rings.iter().flatten().map(height).fold(f64::MIN, f64::max) - lowest < 1e-6
}
