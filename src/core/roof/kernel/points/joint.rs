//! Planes fitted together under the condition that they meet.
//!
//! Least squares with equality conditions: the weighted squared distances of all points from their planes are
//! minimised while every held corner lies on all its planes. Solved by sequential quadratic steps on the Lagrange
//! conditions (Nocedal and Wright, *Numerical Optimization*, ch. 18), by nalgebra, with its SVD where conditions
//! repeat themselves because planes coincide.

use super::patch::Patch;
use crate::base::ids::PointId;
use crate::base::plane::Plane;
use nalgebra::{DMatrix, DVector, Matrix3, Point3, Vector3};
use std::collections::BTreeMap;

/// How a corner takes part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Held {
    /// Its planes determine it once they meet.
    Freely,
    /// Its planes lie nearly in one plane: it is held near its given place with its own weight.
    NearItsPlace,
}

/// Weight of a freely held corner's place against a point's distance from a plane: it only breaks ties.
const TIE_BREAKER: f64 = 1e-6;

/// Most steps; four or five do.
const STEPS: usize = 40;

/// A step of no more than this many roundings of the faces' reach is none.
const ROUNDINGS: f64 = 64.0;

/// A plane about a place of its own: `normal · (p − centre) = shift`.
struct Turning {
    centre: Point3<f64>,
    normal: Vector3<f64>,
    shift: f64,
}

impl Turning {
    fn off(&self, place: &Point3<f64>) -> f64 {
        self.normal.dot(&(place - self.centre)) - self.shift
    }

    /// Two directions square to the normal: the plane is turned by changing the normal along them.
    fn tangents(&self) -> [Vector3<f64>; 2] {
        let axis = if self.normal.z.abs() < 0.9 { Vector3::z() } else { Vector3::x() };
        let first = axis.cross(&self.normal).normalize();
        [first, self.normal.cross(&first)]
    }
}

/// The planes of all patches after the joint fit; planes without a held corner stay as they are.
pub(super) fn fit(
    patches: &[Patch],
    fitted: &[Plane],
    given: &BTreeMap<PointId, Point3<f64>>,
    held: &BTreeMap<PointId, Held>,
    covariance: impl Fn(PointId) -> Option<Matrix3<f64>>,
) -> Vec<Plane> {
    let taking_part: Vec<usize> =
        (0..patches.len()).filter(|&face| patches[face].ring.iter().any(|point| held.contains_key(point))).collect();
    let corner_of: BTreeMap<PointId, usize> = held.keys().enumerate().map(|(index, point)| (*point, index)).collect();
    let mut planes: Vec<Turning> = taking_part
        .iter()
        .map(|&face| {
            let ring = &patches[face].ring;
            let sum: Vector3<f64> = ring.iter().map(|point| given[point] - given[&ring[0]]).sum();
            let centre = given[&ring[0]] + sum / ring.len() as f64;
            Turning { centre, normal: fitted[face].normal, shift: -fitted[face].distance(&centre) }
        })
        .collect();
    let mut corners: Vec<Point3<f64>> = held.keys().map(|point| given[point]).collect();
    let weights = weights(patches, &taking_part, fitted, covariance);
    let conditions: Vec<(usize, usize)> = taking_part
        .iter()
        .enumerate()
        .flat_map(|(plane, &face)| {
            let corner_of = &corner_of;
            patches[face].ring.iter().filter_map(move |point| Some((plane, *corner_of.get(point)?)))
        })
        .collect();

    let reach = planes.iter().map(|plane| (plane.centre - corners[0]).norm()).fold(1.0, f64::max);
    let (unknown_planes, unknown) = (3 * planes.len(), 3 * (planes.len() + corners.len()));
    let size = unknown + conditions.len();
    for _ in 0..STEPS {
        let mut matrix = DMatrix::zeros(size, size);
        let mut right = DVector::zeros(size);
        for (index, &face) in taking_part.iter().enumerate() {
            let plane = &planes[index];
            let [t1, t2] = plane.tangents();
            for (point, weight) in patches[face].ring.iter().zip(&weights[index]) {
                let from = given[point] - plane.centre;
                let slope = Vector3::new(t1.dot(&from), t2.dot(&from), -1.0);
                let off = plane.off(&given[point]);
                for row in 0..3 {
                    right[3 * index + row] -= weight * slope[row] * off;
                    for column in 0..3 {
                        matrix[(3 * index + row, 3 * index + column)] += weight * slope[row] * slope[column];
                    }
                }
            }
        }
        for ((corner, at), (point, kind)) in corners.iter().enumerate().zip(held) {
            let weight = match kind {
                Held::Freely => TIE_BREAKER,
                Held::NearItsPlace => 1.0,
            };
            for axis in 0..3 {
                let row = unknown_planes + 3 * corner + axis;
                matrix[(row, row)] += weight;
                right[row] -= weight * (at - given[point])[axis];
            }
        }
        for (index, &(plane, corner)) in conditions.iter().enumerate() {
            let row = unknown + index;
            let [t1, t2] = planes[plane].tangents();
            let from = corners[corner] - planes[plane].centre;
            let turn = [t1.dot(&from), t2.dot(&from), -1.0];
            for (axis, turn) in turn.into_iter().enumerate() {
                let reach = planes[plane].normal[axis];
                for (column, value) in [(3 * plane + axis, turn), (unknown_planes + 3 * corner + axis, reach)] {
                    matrix[(row, column)] = value;
                    matrix[(column, row)] = value;
                }
            }
            right[row] = -planes[plane].off(&corners[corner]);
        }
        let Some(step) = solved(matrix, &right) else { break };
        for (index, plane) in planes.iter_mut().enumerate() {
            let [t1, t2] = plane.tangents();
            let normal = plane.normal + t1 * step[3 * index] + t2 * step[3 * index + 1];
            let length = normal.norm();
            plane.normal = normal / length;
            plane.shift = (plane.shift + step[3 * index + 2]) / length;
        }
        for (index, corner) in corners.iter_mut().enumerate() {
            let at = unknown_planes + 3 * index;
            *corner += Vector3::new(step[at], step[at + 1], step[at + 2]);
        }
        if step.rows(0, unknown).amax() <= ROUNDINGS * f64::EPSILON * reach {
            break;
        }
    }
    let mut all = fitted.to_vec();
    for (&face, plane) in taking_part.iter().zip(&planes) {
        if let Some(plane) = Plane::through(&(plane.centre + plane.normal * plane.shift), &plane.normal) {
            all[face] = plane;
        }
    }
    all
}

/// The step, by elimination; where conditions repeat themselves, the shortest step by the singular value decomposition.
fn solved(matrix: DMatrix<f64>, right: &DVector<f64>) -> Option<DVector<f64>> {
    let close = |step: &DVector<f64>| (&matrix * step - right).amax() <= f64::EPSILON.sqrt() * right.amax();
    let modest = |step: &DVector<f64>| step.amax() <= right.amax() / f64::EPSILON.sqrt();
    if let Some(step) = matrix.clone().lu().solve(right).filter(|step| modest(step) && close(step)) {
        return Some(step);
    }
    let size = matrix.nrows();
    let svd = matrix.svd(true, true);
    let smallest = svd.singular_values.max() * f64::EPSILON * size as f64;
    svd.solve(right, smallest).ok()
}

/// Weight of each point's distance from each plane, 1 over its variance, the largest brought to 1.
fn weights(
    patches: &[Patch],
    taking_part: &[usize],
    fitted: &[Plane],
    covariance: impl Fn(PointId) -> Option<Matrix3<f64>>,
) -> Vec<Vec<f64>> {
    let variance = |face: usize, point: PointId| {
        let normal = fitted[face].normal;
        let along = covariance(point).map_or(0.0, |c| (normal.transpose() * c * normal)[0].max(0.0));
        patches[face].sigma.powi(2) + along
    };
    let variances: Vec<Vec<f64>> = taking_part
        .iter()
        .map(|&face| patches[face].ring.iter().map(|&point| variance(face, point)).collect())
        .collect();
    let least = variances.iter().flatten().copied().filter(|v| *v > 0.0).fold(f64::INFINITY, f64::min);
    variances.iter().map(|face| face.iter().map(|&v| if v > 0.0 { least / v } else { 1.0 }).collect()).collect()
}
