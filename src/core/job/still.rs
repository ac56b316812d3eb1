//! The numbers of a roof whose standard deviations are wanted, in one list: areas, pitches, lengths, sums, and how far each
//! plane lies off; of the roof as solved and of that roof moved.

use crate::base::ids::{EdgeId, FaceId};
use crate::roof::model::names::FaceName;
use crate::roof::{Edge, EdgeKind, Face, Roof};
use nalgebra::{Point3, Vector3};
use std::collections::HashMap;

/// What identifies an edge in a roof solved again: its kind and faces, and its place among those alike.
type EdgeKey = (EdgeKind, Vec<FaceName>, usize);

fn edge_keys(roof: &Roof) -> Vec<EdgeKey> {
    let mut seen: HashMap<(EdgeKind, Vec<FaceName>), usize> = HashMap::new();
    let mut key = |edge: &Edge| {
        let mut faces: Vec<FaceName> = edge.faces.iter().map(|face| roof.faces[face.index()].id.clone()).collect();
        faces.sort();
        let place = seen.entry((edge.kind, faces.clone())).or_default();
        *place += 1;
        (edge.kind, faces, *place)
    };
    roof.edges.iter().map(&mut key).collect()
}

/// Three places of a face's plane, well apart for its size and about its middle.
fn support_points(roof: &Roof, face: &Face) -> [Point3<f64>; 3] {
    let ring = roof.ring(face);
    let middle = Point3::from(ring.iter().map(|place| place.coords).sum::<Vector3<f64>>() / ring.len().max(1) as f64);
    let middle = middle - face.plane.normal * face.plane.distance(&middle);
    let reach = ring.iter().map(|place| (place - middle).norm()).fold(0.01, f64::max);
    let normal = face.plane.normal;
    // The axis that the normal is farthest from.
    let axis = Vector3::ith(normal.iamin(), 1.0);
    let along = normal.cross(&axis).normalize() * reach;
    let across = normal.cross(&along);
    let (half, high) = (-0.5, 3_f64.sqrt() / 2.0);
    [middle + along, middle + along * half + across * high, middle + along * half - across * high]
}

/// How many sums over the whole roof are carried along.
pub(super) const TOTALS: usize = 5;

/// A roof as solved, against which moved ones are read.
pub(super) struct Still<'a> {
    roof: &'a Roof,
    keys: Vec<EdgeKey>,
    kinds: Vec<Vec<EdgeId>>,
    pitches: Vec<Vec<FaceId>>,
    support_points: Vec<[Point3<f64>; 3]>,
}

impl<'a> Still<'a> {
    pub(super) fn of(roof: &'a Roof) -> Self {
        Self {
            roof,
            keys: edge_keys(roof),
            kinds: roof.edges_by_kind().into_values().collect(),
            pitches: roof.faces_by_pitch(),
            support_points: roof.faces.iter().map(|face| support_points(roof, face)).collect(),
        }
    }

    pub(super) fn roof(&self) -> &'a Roof {
        self.roof
    }

    /// The edges of each kind.
    pub(super) fn kinds(&self) -> &[Vec<EdgeId>] {
        &self.kinds
    }

    /// The faces of each pitch.
    pub(super) fn pitches(&self) -> &[Vec<FaceId>] {
        &self.pitches
    }

    /// The places at which a face's plane is looked at.
    pub(super) fn support_points(&self, face: FaceId) -> &[Point3<f64>; 3] {
        &self.support_points[face.index()]
    }

    /// Number of the first sum over the whole roof among [`Still::values`].
    pub(super) fn totals(&self) -> usize {
        3 * (self.roof.faces.len() + self.roof.edges.len()) + self.kinds.len() + self.pitches.len()
    }

    /// Number of the first stake's.
    pub(super) fn planes(&self) -> usize {
        self.totals() + TOTALS
    }

    /// How many numbers there are.
    pub(super) fn rows(&self) -> usize {
        self.planes() + 3 * self.roof.faces.len()
    }

    /// The faces and edges of this roof in `moved`, in the order in which they stand here.
    fn found_in<'m>(&self, moved: &'m Roof) -> (Vec<Option<&'m Face>>, Vec<Option<&'m Edge>>) {
        let (here, there) = (self.roof, moved);
        // What was moved a little nearly always has the same of them in the same order, which is quickly told.
        let is_face = |(a, b): (&Face, &Face)| a.id == b.id;
        let is_edge = |(a, b): (&Edge, &Edge)| a.kind == b.kind && a.faces == b.faces;
        let alike = (here.faces.len(), here.edges.len()) == (there.faces.len(), there.edges.len())
            && here.faces.iter().zip(&there.faces).all(is_face)
            && here.edges.iter().zip(&there.edges).all(is_edge);
        if alike {
            return (there.faces.iter().map(Some).collect(), there.edges.iter().map(Some).collect());
        }
        let faces: HashMap<&FaceName, &Face> = there.faces.iter().map(|face| (&face.id, face)).collect();
        let edges: HashMap<EdgeKey, &Edge> = edge_keys(there).into_iter().zip(&there.edges).collect();
        (
            here.faces.iter().map(|face| faces.get(&face.id).copied()).collect(),
            self.keys.iter().map(|key| edges.get(key).copied()).collect(),
        )
    }

    /// Of the faces of this roof the areas, pitches and plan areas in `moved`; of its edges the lengths, plan lengths and
    /// slopes; the sums by kind and by pitch and over all; then how far each face's plane lies from this roof's, square to
    /// it, at that face's three stakes. NaN where `moved` has no such face or edge.
    pub(super) fn values(&self, moved: &Roof) -> Vec<f64> {
        let (faces, edges) = self.found_in(moved);
        let of_faces = |value: &dyn Fn(&Face) -> f64| -> Vec<f64> {
            faces.iter().map(|face| face.map_or(f64::NAN, value)).collect()
        };
        let of_edges = |value: &dyn Fn(&Edge) -> f64| -> Vec<f64> {
            edges.iter().map(|edge| edge.map_or(f64::NAN, value)).collect()
        };
        let areas = of_faces(&|face| moved.area(face).0);
        let lengths = of_edges(&|edge| moved.length(edge).0);
        let mut all = areas.clone();
        all.extend(of_faces(&|face| face.plane.pitch()));
        all.extend(of_faces(&|face| moved.plan_area(face).0));
        all.extend(&lengths);
        all.extend(of_edges(&|edge| moved.plan_length(edge).0));
        all.extend(of_edges(&|edge| moved.slope(edge)));
        all.extend(self.kinds.iter().map(|members| members.iter().map(|edge| lengths[edge.index()]).sum::<f64>()));
        all.extend(self.pitches.iter().map(|members| members.iter().map(|face| areas[face.index()]).sum::<f64>()));
        let totals: [f64; TOTALS] = [
            moved.total_area().0,
            moved.total_plan_area().0,
            moved.walls_area().0,
            moved.volume.unwrap_or(f64::NAN),
            moved.ridge_height().unwrap_or(f64::NAN),
        ];
        all.extend(totals);
        for ((face, support_points), found) in self.roof.faces.iter().zip(&self.support_points).zip(&faces) {
            let plane = found.map(|found| found.plane);
            let away = |support_point: &Point3<f64>| {
                plane.map_or(f64::NAN, |plane| -plane.distance(support_point) / plane.normal.dot(&face.plane.normal))
            };
            all.extend(support_points.iter().map(away));
        }
        all
    }
}
