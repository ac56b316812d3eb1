//! How the survey's uncertainty reaches areas, pitches and lengths: first-order propagation by central differences.
//!
//! The roof is solved again with each uncertain coordinate moved up and down by a step well inside its own standard
//! deviation; `J Σ Jᵀ` then gives the variance of every area, pitch and length. Nothing is assumed about how the
//! kernel reaches its answer, so faces by outlines and by points are treated alike. Cost: two solves a coordinate.

use super::answer::Spread;
use crate::roof::{Edge, EdgeKind, Face, Roof};
use crate::survey::Adjusted;
use nalgebra::{Point2, Point3};
use std::collections::HashMap;

/// The most uncertain coordinates that are moved one by one; a job with more gives no standard deviations and a note.
pub const MOST_COORDINATES: usize = 512;

/// The step as a fraction of the coordinate's own standard deviation: small enough that no fold changes its place in
/// the topology for any outline a tape can tell apart, large enough to stand far above rounding.
const STEP: f64 = 0.1;

/// Propagates the covariance of the adjusted places to the answer. `solve` gives the roof of given places, or `None`
/// where they have no answer; such a coordinate is differenced on the other side alone.
#[must_use]
pub fn propagate(
    roof: &Roof,
    adjusted: &Adjusted,
    solve: impl Fn(&[Vec<Point2<f64>>], &[Option<Point3<f64>>]) -> Option<Roof>,
) -> Spread {
    let faces = roof.faces.len();
    let count = 2 * faces + roof.edges.len() + 1;
    let keys = edge_keys(roof);
    let here = values(roof, roof, &keys);
    let mut gradients: Vec<Vec<(usize, f64)>> = vec![Vec::new(); count];
    for coordinate in uncertain(adjusted) {
        let variance = adjusted.covariance.matrix()[(coordinate, coordinate)];
        let step = STEP * variance.sqrt();
        let at = |offset: f64| {
            let (rings, points) = moved(adjusted, coordinate, offset);
            solve(&rings, &points).map(|moved| values(roof, &moved, &keys))
        };
        let (up, down) = (at(step), at(-step));
        for (row, gradient) in gradients.iter_mut().enumerate() {
            let slope = match (&up, &down) {
                (Some(up), Some(down)) => (up[row] - down[row]) / (2.0 * step),
                (Some(up), None) => (up[row] - here[row]) / step,
                (None, Some(down)) => (here[row] - down[row]) / step,
                (None, None) => f64::NAN,
            };
            if slope != 0.0 {
                gradient.push((coordinate, slope));
            }
        }
    }
    let sd = |row: usize| {
        let gradient = &gradients[row];
        let known = here[row].is_finite() && gradient.iter().all(|(_, slope)| slope.is_finite());
        known.then(|| adjusted.covariance.variance(gradient)).flatten().map(f64::sqrt)
    };
    Spread {
        face_area: (0..faces).map(sd).collect(),
        face_pitch: (faces..2 * faces).map(sd).collect(),
        edge_length: (2 * faces..count - 1).map(sd).collect(),
        total_area: sd(count - 1),
    }
}

/// Numbers of the coordinates that have a variance.
#[must_use]
pub fn uncertain(adjusted: &Adjusted) -> Vec<usize> {
    let matrix = adjusted.covariance.matrix();
    (0..matrix.nrows()).filter(|&k| matrix[(k, k)] > 0.0).collect()
}

/// The places with one coordinate, by its number in the covariance, moved.
fn moved(adjusted: &Adjusted, coordinate: usize, offset: f64) -> (Vec<Vec<Point2<f64>>>, Vec<Option<Point3<f64>>>) {
    let (mut rings, mut points) = (adjusted.rings.clone(), adjusted.points.clone());
    let mut rest = coordinate;
    for ring in &mut rings {
        if let Some(corner) = ring.get_mut(rest / 2) {
            corner[rest % 2] += offset;
            return (rings, points);
        }
        rest -= 2 * ring.len();
    }
    if let Some(Some(point)) = points.get_mut(rest / 3) {
        point[rest % 3] += offset;
    }
    (rings, points)
}

/// What identifies an edge in a roof solved again: its kind and faces, and its place among those alike.
type EdgeKey = (EdgeKind, Vec<String>, usize);

fn edge_keys(roof: &Roof) -> Vec<EdgeKey> {
    let mut seen: HashMap<(EdgeKind, Vec<String>), usize> = HashMap::new();
    let mut key = |edge: &Edge| {
        let mut faces: Vec<String> = edge.faces.iter().map(|face| roof.faces[face.index()].name.clone()).collect();
        faces.sort();
        let place = seen.entry((edge.kind, faces.clone())).or_default();
        *place += 1;
        (edge.kind, faces, *place)
    };
    roof.edges.iter().map(&mut key).collect()
}

/// Areas, pitches, lengths and the total of `moved`, in the order of `roof`'s faces and edges; NaN where `moved` has
/// no such face or edge.
fn values(roof: &Roof, moved: &Roof, keys: &[EdgeKey]) -> Vec<f64> {
    let faces: HashMap<&str, &Face> = moved.faces.iter().map(|face| (face.name.as_str(), face)).collect();
    let edges: HashMap<EdgeKey, &Edge> = edge_keys(moved).into_iter().zip(&moved.edges).collect();
    let of_face = |value: &dyn Fn(&Face) -> f64| -> Vec<f64> {
        roof.faces.iter().map(|face| faces.get(face.name.as_str()).map_or(f64::NAN, |face| value(face))).collect()
    };
    let mut all = of_face(&|face| moved.area(face).0);
    all.extend(of_face(&|face| face.plane.pitch()));
    all.extend(keys.iter().map(|key| edges.get(key).map_or(f64::NAN, |edge| moved.length(edge).0)));
    all.push(moved.roof_faces().map(|(_, face)| moved.area(face).0).sum());
    all
}
