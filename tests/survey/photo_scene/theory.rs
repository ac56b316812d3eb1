//! What the example's measurements can tell, worked out apart from the tool: first-order propagation at the true places,
//! derivatives by central differences of the observation equations as the contract states them.

use super::{FACES, NAMES, place, sights};
use eavewright::survey::model::{ObservationKind, Survey};
use eavewright::survey::sight::Sight;
use nalgebra::{DMatrix, DVector, Matrix3, Point3, Rotation3, Vector3};

/// Standard deviations and covariances that the measurements imply.
pub struct Theory {
    covariance: DMatrix<f64>,
    /// Which column each unknown is; `None` for the datum.
    columns: Vec<Option<usize>>,
    truth: Vec<f64>,
    points: usize,
    /// First unknown of the first pose.
    poses: usize,
    /// First unknown of the first lens.
    lenses: usize,
}

/// The movement that brings `a` to the origin and `b` over the x axis: places and cameras of two frames are compared so.
pub struct Frame {
    about: Point3<f64>,
    turn: Rotation3<f64>,
}

impl Frame {
    pub fn of(a: Point3<f64>, b: Point3<f64>) -> Self {
        let way = b - a;
        Self { about: a, turn: Rotation3::from_axis_angle(&Vector3::z_axis(), -way.y.atan2(way.x)) }
    }

    pub fn place(&self, at: Point3<f64>) -> Point3<f64> {
        self.turn * Point3::from(at - self.about)
    }

    /// Rotation and centre of a camera.
    pub fn pose(&self, sight: &Sight) -> (Matrix3<f64>, Point3<f64>) {
        (sight.pose.rotation * self.turn.inverse().matrix(), self.place(sight.pose.centre))
    }
}

/// The true sights in the frame of the roof file.
pub fn true_poses() -> Vec<(Matrix3<f64>, Point3<f64>)> {
    let frame = Frame::of(place("a"), place("b"));
    sights().iter().map(|sight| frame.pose(sight)).collect()
}

impl Theory {
    pub fn new(survey: &Survey) -> Self {
        let lenses = vec![sights()[0].lens.values; survey.photos.len()];
        Self::about(survey, &lenses)
    }

    /// The same about other lenses than the true one: what a mark tells of a place hangs on the lens it is seen through.
    pub fn about(survey: &Survey, seen_through: &[[f64; 5]]) -> Self {
        let frame = Frame::of(place("a"), place("b"));
        let points: Vec<Point3<f64>> = survey.points.iter().map(|p| frame.place(place(&p.name))).collect();
        let mut truth: Vec<f64> = points.iter().flat_map(|p| [p.x, p.y, p.z]).collect();
        // Planes as z = p x + q y + r, each through three of its points.
        for face in &survey.faces {
            let ring: Vec<Point3<f64>> = face.points.iter().map(|p| points[p.index()]).collect();
            let n = (ring[1] - ring[0]).cross(&(ring[2] - ring[0]));
            let (p, q) = (-n.x / n.z, -n.y / n.z);
            truth.extend([p, q, ring[0].z - p * ring[0].x - q * ring[0].y]);
        }
        for observation in &survey.observations {
            if let ObservationKind::Level { points: level } = &observation.kind {
                truth.push(points[level[0].index()].z);
            }
        }
        let poses = truth.len();
        for (_, centre) in true_poses() {
            truth.extend([0.0, 0.0, 0.0, centre.x, centre.y, centre.z]);
        }
        let lenses = truth.len();
        for photo in &survey.photos {
            assert_eq!(photo.camera * 5 + lenses, truth.len(), "a lens a photo");
            truth.extend(seen_through[photo.camera]);
        }
        let a = index(survey, "a");
        let b = index(survey, "b");
        let mut held = vec![3 * a, 3 * a + 1, 3 * a + 2, 3 * b + 1];
        // What is known of a lens exactly.
        let known = survey.cameras.iter().enumerate().filter(|(_, camera)| camera.k2.sigma == 0.0);
        held.extend(known.map(|(camera, _)| lenses + 5 * camera + 4));
        let mut count = 0;
        let columns: Vec<Option<usize>> = (0..truth.len())
            .map(|unknown| {
                (!held.contains(&unknown)).then(|| {
                    count += 1;
                    count - 1
                })
            })
            .collect();
        let mut slopes: Vec<DVector<f64>> = Vec::new();
        for unknown in (0..truth.len()).filter(|&u| columns[u].is_some()) {
            slopes.push(difference(&truth, unknown, |x| DVector::from_vec(residuals(survey, x, poses, lenses))));
        }
        let jacobian = DMatrix::from_columns(&slopes);
        let covariance = (jacobian.transpose() * &jacobian).try_inverse().unwrap();
        Self { covariance, columns, truth, points: points.len(), poses, lenses }
    }

    /// Standard deviation of a number computed from the unknowns.
    fn sd(&self, value: impl Fn(&[f64]) -> f64) -> f64 {
        let mut gradient = DVector::zeros(self.covariance.nrows());
        for (unknown, column) in self.columns.iter().enumerate() {
            if let Some(column) = column {
                gradient[*column] = difference(&self.truth, unknown, |x| DVector::from_element(1, value(x)))[0];
            }
        }
        gradient.dot(&(&self.covariance * &gradient)).sqrt()
    }

    pub fn area_sd(&self, survey: &Survey, face: &str) -> f64 {
        let (_, names) = FACES.iter().find(|(name, _)| *name == face).unwrap();
        let ring: Vec<usize> = names.iter().map(|name| index(survey, name)).collect();
        assert!(ring.iter().all(|&p| p < self.points));
        self.sd(|x| {
            let ring: Vec<Point3<f64>> = ring.iter().map(|&p| point(x, p)).collect();
            // Newell's vector area.
            let twice: Vector3<f64> =
                (0..ring.len()).map(|i| (ring[i] - ring[0]).cross(&(ring[(i + 1) % ring.len()] - ring[0]))).sum();
            twice.norm() / 2.0
        })
    }

    /// How far a camera's turn (three small angles) or place is off, squared and in standard deviations: chi-square
    /// distributed with three degrees of freedom.
    pub fn off(&self, photo: usize, off: Vector3<f64>, is_place: bool) -> f64 {
        let first = self.poses + 6 * photo + if is_place { 3 } else { 0 };
        let columns: Vec<usize> = (first..first + 3).map(|u| self.columns[u].unwrap()).collect();
        let block = Matrix3::from_fn(|i, j| self.covariance[(columns[i], columns[j])]);
        off.dot(&(block.try_inverse().unwrap() * off))
    }

    /// Standard deviation of ln f, cx, cy or k1 of a photo's lens.
    pub fn lens_sd(&self, photo: usize, which: usize) -> f64 {
        let column = self.columns[self.lenses + 5 * photo + which].unwrap();
        self.covariance[(column, column)].sqrt()
    }
}

fn index(survey: &Survey, name: &str) -> usize {
    assert!(NAMES.contains(&name));
    survey.points.iter().position(|point| point.name == name).unwrap()
}

fn point(x: &[f64], index: usize) -> Point3<f64> {
    Point3::new(x[3 * index], x[3 * index + 1], x[3 * index + 2])
}

fn difference(x: &[f64], unknown: usize, of: impl Fn(&[f64]) -> DVector<f64>) -> DVector<f64> {
    // Metres, radians, pixels and pure numbers alike: far above rounding, far below any bend.
    const STEP: f64 = 1e-5;
    let moved = |step: f64| {
        let mut x = x.to_vec();
        x[unknown] += step;
        of(&x)
    };
    (moved(STEP) - moved(-STEP)) / (2.0 * STEP)
}

/// Computed less observed, over sigma. What was observed has no derivative and is left out.
fn residuals(survey: &Survey, x: &[f64], poses: usize, lenses: usize) -> Vec<f64> {
    let mut all = Vec::new();
    let planes = 3 * survey.points.len();
    for (face, stated) in survey.faces.iter().enumerate() {
        let [p, q, r] = [0, 1, 2].map(|k| x[planes + 3 * face + k]);
        for corner in &stated.points {
            let at = point(x, corner.index());
            all.push((at.z - p * at.x - q * at.y - r) / (1.0 + p * p + q * q).sqrt() / stated.sigma);
        }
    }
    let mut level = planes + 3 * survey.faces.len();
    for observation in &survey.observations {
        let sigma = observation.sigma;
        match &observation.kind {
            ObservationKind::Tape { from, to, plan: false, .. } => {
                all.push((point(x, to.index()) - point(x, from.index())).norm() / sigma);
            }
            ObservationKind::Level { points } => {
                all.extend(points.iter().map(|p| (point(x, p.index()).z - x[level]) / sigma));
                level += 1;
            }
            ObservationKind::Plumb { a, b } => {
                let way = point(x, b.index()) - point(x, a.index());
                all.extend([way.x / sigma, way.y / sigma]);
            }
            other => panic!("the example has none such: {other:?}"),
        }
    }
    for (number, photo) in survey.photos.iter().enumerate() {
        let pose = &x[poses + 6 * number..poses + 6 * number + 6];
        let lens = &x[lenses + 5 * number..lenses + 5 * number + 5];
        let rotation = Rotation3::new(Vector3::new(pose[0], pose[1], pose[2])).matrix() * true_poses()[number].0;
        for mark in &photo.marks {
            let q = rotation * (point(x, mark.point.index()) - Point3::new(pose[3], pose[4], pose[5]));
            let ray = q.xy() / q.z;
            let square = ray.norm_squared();
            let gain = lens[0].exp() * (1.0 + lens[3] * square + lens[4] * square * square);
            all.extend([(lens[1] + gain * ray.x) / mark.sigma, (lens[2] + gain * ray.y) / mark.sigma]);
        }
        let camera = &survey.cameras[photo.camera];
        let centre = camera.centre_sigma;
        let sigmas = [camera.focal.sigma, centre, centre, camera.k1.sigma, camera.k2.sigma];
        all.extend(lens.iter().zip(sigmas).filter(|(_, sigma)| *sigma > 0.0).map(|(value, sigma)| value / sigma));
    }
    all
}
