//! How the survey's uncertainty reaches areas, pitches and lengths: first-order propagation by central differences.
//!
//! The roof is solved again with each uncertain coordinate moved up and down by a step well inside its own standard
//! deviation; `J Σ Jᵀ` then gives the variance of every area, pitch and length. Nothing is assumed about how the
//! kernel reaches its answer, so faces by outlines and by points are treated alike. A ridge height and a taped rafter,
//! from which a pitch was found, are moved likewise. Cost: two solves a coordinate or reading.

use super::answer::{PlaneSpread, Spread};
use crate::roof::{Edge, EdgeKind, Face, Roof};
use crate::survey::Adjusted;
use nalgebra::{Matrix3, Point2, Point3, Vector3};
use std::collections::HashMap;

/// The most uncertain coordinates that are moved one by one; a job with more gives no standard deviations and a note.
pub const MOST_COORDINATES: usize = 512;

/// The step as a fraction of the coordinate's own standard deviation: small enough that no fold changes its place in
/// the topology for any outline a tape can tell apart, large enough to stand far above rounding.
const STEP: f64 = 0.1;

/// What a roof is solved from, one number of it moved.
#[derive(Clone, Debug)]
pub struct Moved {
    /// Corners of all rings.
    pub rings: Vec<Vec<Point2<f64>>>,
    /// Named points.
    pub points: Vec<Option<Point3<f64>>>,
    /// What each reading outside the adjustment is changed by.
    pub readings: Vec<f64>,
}

/// Propagates the covariance of the adjusted places, and readings outside the adjustment with these standard deviations,
/// to the answer. `solve` gives the roof of what was moved, or `None` where that has no answer; such a number is
/// differenced on the other side alone.
#[must_use]
pub fn propagate(roof: &Roof, adjusted: &Adjusted, readings: &[f64], solve: impl Fn(&Moved) -> Option<Roof>) -> Spread {
    let faces = roof.faces.len();
    let planes = 2 * faces + roof.edges.len() + 1;
    let count = planes + 3 * faces;
    let keys = edge_keys(roof);
    let stakes: Vec<[Point3<f64>; 3]> = roof.faces.iter().map(|face| stakes(roof, face)).collect();
    let values = |moved: &Roof| values(roof, moved, &keys, &stakes);
    let here = values(roof);
    let still =
        Moved { rings: adjusted.rings.clone(), points: adjusted.points.clone(), readings: vec![0.0; readings.len()] };
    let slopes = |sd: f64, moved: &dyn Fn(f64) -> Moved| -> Vec<f64> {
        let step = STEP * sd;
        let at = |offset: f64| solve(&moved(offset)).map(|moved| values(&moved));
        let (up, down) = (at(step), at(-step));
        let slope = |row: usize| match (&up, &down) {
            (Some(up), Some(down)) => (up[row] - down[row]) / (2.0 * step),
            (Some(up), None) => (up[row] - here[row]) / step,
            (None, Some(down)) => (here[row] - down[row]) / step,
            (None, None) => f64::NAN,
        };
        (0..count).map(slope).collect()
    };
    let mut gradients: Vec<Vec<(usize, f64)>> = vec![Vec::new(); count];
    for coordinate in uncertain(adjusted) {
        let variance = adjusted.covariance.matrix()[(coordinate, coordinate)];
        let slopes = slopes(variance.sqrt(), &|offset| still.with_coordinate(coordinate, offset));
        for (gradient, slope) in gradients.iter_mut().zip(slopes).filter(|(_, slope)| *slope != 0.0) {
            gradient.push((coordinate, slope));
        }
    }
    // Readings are independent of each other and of what was adjusted.
    let mut by_readings: Vec<Vec<f64>> = vec![Vec::with_capacity(readings.len()); count];
    for (reading, &sd) in readings.iter().enumerate() {
        let slopes = slopes(sd, &|offset| still.with_reading(reading, offset));
        for (changes, slope) in by_readings.iter_mut().zip(slopes) {
            changes.push(slope * sd);
        }
    }
    let is_known = |row: usize| {
        let mut slopes = gradients[row].iter().map(|(_, slope)| slope).chain(&by_readings[row]);
        here[row].is_finite() && slopes.all(|slope| slope.is_finite())
    };
    let covariance = |row: usize, other: usize| {
        let known = is_known(row) && is_known(other);
        let adjusted = known.then(|| adjusted.covariance.covariance(&gradients[row], &gradients[other])).flatten();
        let by_readings = || by_readings[row].iter().zip(&by_readings[other]).map(|(a, b)| a * b).sum::<f64>();
        adjusted.map(|covariance| covariance + by_readings())
    };
    let sd = |row: usize| covariance(row, row).map(|variance| variance.max(0.0).sqrt());
    let plane = |face: usize| {
        let mut matrix = Matrix3::zeros();
        for i in 0..3 {
            for j in 0..3 {
                matrix[(i, j)] = covariance(planes + 3 * face + i, planes + 3 * face + j)?;
            }
        }
        Some(PlaneSpread { places: stakes[face], covariance: matrix })
    };
    Spread {
        face_area: (0..faces).map(sd).collect(),
        face_pitch: (faces..2 * faces).map(sd).collect(),
        edge_length: (2 * faces..planes - 1).map(sd).collect(),
        total_area: sd(planes - 1),
        face_plane: (0..faces).map(plane).collect(),
    }
}

/// Numbers of the coordinates that have a variance.
#[must_use]
pub fn uncertain(adjusted: &Adjusted) -> Vec<usize> {
    let matrix = adjusted.covariance.matrix();
    (0..matrix.nrows()).filter(|&k| matrix[(k, k)] > 0.0).collect()
}

impl Moved {
    /// With one coordinate, by its number in the covariance, moved.
    fn with_coordinate(&self, coordinate: usize, offset: f64) -> Self {
        let mut moved = self.clone();
        let mut rest = coordinate;
        for ring in &mut moved.rings {
            if let Some(corner) = ring.get_mut(rest / 2) {
                corner[rest % 2] += offset;
                return moved;
            }
            rest -= 2 * ring.len();
        }
        if let Some(Some(point)) = moved.points.get_mut(rest / 3) {
            point[rest % 3] += offset;
        }
        moved
    }

    /// With one reading changed.
    fn with_reading(&self, reading: usize, offset: f64) -> Self {
        let mut moved = self.clone();
        moved.readings[reading] += offset;
        moved
    }
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

/// Three places of a face's plane, well apart for its size and about its middle.
fn stakes(roof: &Roof, face: &Face) -> [Point3<f64>; 3] {
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

/// Areas, pitches, lengths and the total of `moved`, in the order of `roof`'s faces and edges, then how far each face's
/// plane lies, square to `roof`'s, from that face's three stakes; NaN where `moved` has no such face or edge.
fn values(roof: &Roof, moved: &Roof, keys: &[EdgeKey], stakes: &[[Point3<f64>; 3]]) -> Vec<f64> {
    let faces: HashMap<&str, &Face> = moved.faces.iter().map(|face| (face.name.as_str(), face)).collect();
    let edges: HashMap<EdgeKey, &Edge> = edge_keys(moved).into_iter().zip(&moved.edges).collect();
    let of_face = |value: &dyn Fn(&Face) -> f64| -> Vec<f64> {
        roof.faces.iter().map(|face| faces.get(face.name.as_str()).map_or(f64::NAN, |face| value(face))).collect()
    };
    let mut all = of_face(&|face| moved.area(face).0);
    all.extend(of_face(&|face| face.plane.pitch()));
    all.extend(keys.iter().map(|key| edges.get(key).map_or(f64::NAN, |edge| moved.length(edge).0)));
    all.push(moved.roof_faces().map(|(_, face)| moved.area(face).0).sum());
    for (face, stakes) in roof.faces.iter().zip(stakes) {
        let plane = faces.get(face.name.as_str()).map(|face| face.plane);
        let away = |stake: &Point3<f64>| {
            plane.map_or(f64::NAN, |plane| -plane.distance(stake) / plane.normal.dot(&face.plane.normal))
        };
        all.extend(stakes.iter().map(away));
    }
    all
}
