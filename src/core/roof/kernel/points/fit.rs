//! The best plane of a face's points.

use super::error::PointsError;
use super::patch::Patch;
use crate::base::ids::{PlaneId, PointId};
use crate::base::plane::Plane;
use crate::base::polygon::{extent, vector_area};
use crate::base::tolerance;
use crate::outline::checks::{self, Rings};
use crate::outline::error::OutlineError;
use crate::roof::model::FaceKind;
use crate::survey::model::FaceByPoints;
use nalgebra::{DMatrix, Matrix3, Point2, Point3, Vector3};

/// Faces within this of plumb are walls, radians (1°).
const PLUMB: f64 = std::f64::consts::PI / 180.0;

/// Rounds of weighting by the covariance along the normal; the normal hardly moves after the second.
const ROUNDS: usize = 4;

/// A best-fit plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FittedPlane {
    /// The plane; its normal points up (for a plumb one, to either side).
    pub plane: Plane,
    /// Root mean square distance of the points from it, metres.
    pub misfit: f64,
    /// Root mean square distance of the points from the best line in it, metres: near 0, the plane is not determined.
    pub breadth: f64,
}

/// The plane with the least weighted sum of squared distances: through the weighted mean, its normal the right
/// singular vector of the smallest singular value of the centred points (Golub and Van Loan, *Matrix Computations*,
/// total least squares; by nalgebra's SVD). `weigh` gives a point's weight for a trial normal, 1 over its variance
/// along it. `None` for fewer than three points or numbers that are not finite. O(n).
#[must_use]
pub fn fit_plane(points: &[Point3<f64>], weigh: impl Fn(usize, &Vector3<f64>) -> f64) -> Option<FittedPlane> {
    if points.len() < 3 || points.iter().any(|p| !p.coords.iter().all(|x| x.is_finite())) {
        return None;
    }
    let mut weights = vec![1.0; points.len()];
    let mut fitted: Option<FittedPlane> = None;
    for round in 0..ROUNDS {
        if let Some(fitted) = fitted.filter(|_| round > 0) {
            weights = (0..points.len()).map(|index| weigh(index, &fitted.plane.normal)).collect();
        }
        let sum: f64 = weights.iter().sum();
        let mean: Vector3<f64> =
            points.iter().zip(&weights).map(|(p, w)| (p - points[0]) * *w).sum::<Vector3<f64>>() / sum;
        let mean = points[0] + mean;
        let centred = DMatrix::from_fn(points.len(), 3, |row, column| {
            (points[row][column] - mean[column]) * (weights[row] / sum).sqrt()
        });
        let svd = centred.svd(false, true);
        let v_t = svd.v_t.as_ref()?;
        let mut order: Vec<usize> = (0..svd.singular_values.len()).collect();
        order.sort_by(|&a, &b| svd.singular_values[b].total_cmp(&svd.singular_values[a]));
        let (middle, least) = (*order.get(1)?, *order.get(2)?);
        let normal = Vector3::new(v_t[(least, 0)], v_t[(least, 1)], v_t[(least, 2)]);
        let normal = if normal.z < 0.0 { -normal } else { normal };
        let plane = Plane::through(&mean, &normal)?;
        let squares: f64 = points.iter().map(|p| normal.dot(&(p - mean)).powi(2)).sum();
        let misfit = (squares / points.len() as f64).sqrt();
        fitted = Some(FittedPlane { plane, misfit, breadth: svd.singular_values[middle] });
    }
    fitted
}

/// Checks a face and fits its plane; its ring comes out anticlockwise seen from above (walls as given).
pub(super) fn patch<'a>(
    id: PlaneId,
    face: &FaceByPoints,
    place: impl Fn(PointId) -> Option<Point3<f64>>,
    name: impl Fn(PointId) -> &'a str,
    covariance: impl Fn(PointId) -> Option<Matrix3<f64>>,
) -> Result<Patch, PointsError> {
    let count = face.points.len();
    let points: Vec<Point3<f64>> = face.points.iter().filter_map(|&point| place(point)).collect();
    if count < 3 || points.len() != count {
        return Err(PointsError::TooFewPoints { face: face.name.clone(), found: points.len() });
    }
    let size = points.iter().flat_map(|p| points.iter().map(move |q| (p - q).norm())).fold(0.0, f64::max);
    let least = tolerance::default_for(size);
    for i in 0..count {
        for j in 0..i {
            if face.points[i] == face.points[j] || (points[i] - points[j]).norm() <= least {
                let (first, second) = (name(face.points[j]).to_owned(), name(face.points[i]).to_owned());
                return Err(PointsError::SamePlace { face: face.name.clone(), first, second });
            }
        }
    }
    let own = face.sigma.powi(2);
    let weigh = |index: usize, normal: &Vector3<f64>| {
        let along = covariance(face.points[index]).map_or(0.0, |c| (normal.transpose() * c * normal)[0].max(0.0));
        let variance = own + along;
        if variance > 0.0 { 1.0 / variance } else { 1.0 / (least * least) }
    };
    let fitted = fit_plane(&points, weigh)
        .filter(|fitted| fitted.breadth > least)
        .ok_or_else(|| PointsError::OnOneLine { face: face.name.clone(), within: least })?;

    let mut ring = face.points.clone();
    let mut weights: Vec<f64> = (0..count).map(|index| weigh(index, &fitted.plane.normal)).collect();
    let mut plane = fitted.plane;
    let kind = if plane.normal.z.abs() < PLUMB.sin() { FaceKind::Wall } else { FaceKind::Roof };
    let winding = vector_area(&points).dot(&plane.normal);
    match kind {
        FaceKind::Roof if winding < 0.0 => {
            ring.reverse();
            weights.reverse();
        }
        // A wall's outside is the side from which it was given anticlockwise, until a neighbour says otherwise.
        FaceKind::Wall if winding < 0.0 => plane = flipped(plane),
        _ => {}
    }
    let (name_of_face, misfit) = (face.name.clone(), fitted.misfit);
    let patch = Patch { id, name: name_of_face, ring, weights, sigma: face.sigma, plane, misfit, kind };
    in_order(&patch, |point| place(point).unwrap_or_else(Point3::origin), name)?;
    Ok(patch)
}

/// The same plane seen from its other side.
pub(super) fn flipped(plane: Plane) -> Plane {
    Plane { normal: -plane.normal, offset: -plane.offset }
}

/// A ring seen along its plane's normal.
pub(super) fn seen(plane: &Plane, points: &[Point3<f64>]) -> Vec<Point2<f64>> {
    let axis = if plane.normal.z.abs() < 0.9 { Vector3::z() } else { Vector3::x() };
    let u = axis.cross(&plane.normal).normalize();
    let v = plane.normal.cross(&u);
    points.iter().map(|p| p - points[0]).map(|p| Point2::new(p.dot(&u), p.dot(&v))).collect()
}

/// Whether the ring of a face never crosses itself.
pub(super) fn in_order<'a>(
    patch: &Patch,
    place: impl Fn(PointId) -> Point3<f64>,
    name: impl Fn(PointId) -> &'a str,
) -> Result<(), PointsError> {
    let points: Vec<Point3<f64>> = patch.ring.iter().map(|&point| place(point)).collect();
    let flat = vec![seen(&patch.plane, &points)];
    debug_assert!(extent(&flat[0]) > 0.0);
    let names = vec![patch.ring.iter().map(|&point| name(point).to_owned()).collect()];
    let rings = Rings { block: &patch.name, corners: &flat, names: &names };
    let face = || patch.name.clone();
    let errors = checks::each_ring(rings);
    let errors = if errors.is_empty() { checks::together(rings) } else { errors };
    match errors.into_iter().next() {
        None => Ok(()),
        Some(OutlineError::Crossing { first, second, .. } | OutlineError::FoldsBack { first, second, .. }) => {
            Err(PointsError::NotInOrder { face: face(), first, second })
        }
        Some(OutlineError::ZeroLength { side, .. }) => {
            Err(PointsError::SamePlace { face: face(), first: side.clone(), second: side })
        }
        Some(_) => Err(PointsError::OnOneLine { face: face(), within: 0.0 }),
    }
}
