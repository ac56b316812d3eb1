//! How the numbers of faces by points follow their points, to first order, written out: no roof need be solved again for
//! them. A face's area and its edges' lengths are those of its points where they were measured; its plane is its own best
//! one. By how much the roof differs there, because planes were met and corners moved onto them, is known and told apart
//! from how unsure the points are.

use super::still::Still;
use crate::base::ids::{CornerId, FaceId, PointId};
use crate::roof::kernel::points::OwnFit;
use crate::roof::{Edge, Face, FaceKind, Roof};
use crate::survey::Covariance;
use crate::survey::quantity;
use nalgebra::{Matrix2, Point2, Point3, Vector2, Vector3};

/// A quantity's derivatives by coordinates, numbered as in the covariance.
pub(super) type Gradient = Vec<(usize, f64)>;

/// The part of a roof that stands on points.
#[derive(Clone, Debug, Default)]
pub(super) struct ByPoints {
    /// Number of its first corner and of its first face in the whole roof; further ones follow.
    pub first: (usize, usize),
    /// By corner: the point.
    pub points: Vec<PointId>,
    /// By face: its own best plane.
    pub fits: Vec<OwnFit>,
    /// The roof of these faces alone.
    pub roof: Roof,
}

impl ByPoints {
    /// The roof as its points were measured: corners where they were, planes as they fit best.
    pub(crate) fn as_measured(&self, roof: &Roof, places: &[Option<Point3<f64>>]) -> Roof {
        let mut measured = roof.clone();
        for (corner, point) in measured.corners.iter_mut().skip(self.first.0).zip(&self.points) {
            if let Some(Some(place)) = places.get(point.index()) {
                *corner = *place;
            }
        }
        for (face, fit) in measured.faces.iter_mut().skip(self.first.1).zip(&self.fits) {
            face.plane = fit.plane;
        }
        measured
    }

    /// Number of a corner's x coordinate; `None` where it is none of a point.
    fn number(&self, covariance: &Covariance, corner: CornerId) -> Option<usize> {
        let own = corner.index().checked_sub(self.first.0)?;
        self.points.get(own).map(|point| covariance.point(point.index()))
    }

    /// The derivatives of every number of [`Still::values`] by the coordinates of points. `measured` is the roof as its
    /// points were measured. O(corners).
    pub(crate) fn gradients(&self, still: &Still<'_>, measured: &Roof, covariance: &Covariance) -> Vec<Gradient> {
        let roof = still.roof();
        let mut rows = vec![Gradient::new(); still.rows()];
        let (faces, edges) = (roof.faces.len(), roof.edges.len());
        for ((index, face), fit) in roof.faces.iter().enumerate().skip(self.first.1).zip(&self.fits) {
            let ring = self.ring(face, measured, covariance);
            rows[index] = quantity::area(&ring).gradient;
            let flat: Vec<(usize, Point2<f64>)> = ring.iter().map(|(x, place)| (*x, place.xy())).collect();
            rows[2 * faces + index] = quantity::plan_area(&flat).gradient;
            let tilting = Tilting::of(fit, &face.plane.normal, &measured_at(measured, self, fit), covariance);
            rows[faces + index] = tilting.pitch();
            for (k, support_point) in still.support_points(FaceId::new(index)).iter().enumerate() {
                rows[still.planes() + 3 * index + k] = tilting.at(support_point);
            }
        }
        let lengths = 3 * faces;
        for (index, edge) in roof.edges.iter().enumerate() {
            let Some(numbers) = self.number(covariance, edge.from).zip(self.number(covariance, edge.to)) else {
                continue;
            };
            let [along, level, slope] = of_edge(edge, measured, numbers);
            rows[lengths + index] = along;
            rows[lengths + edges + index] = level;
            rows[lengths + 2 * edges + index] = slope;
        }
        let sum = |rows: &[Gradient], members: &mut dyn Iterator<Item = usize>| -> Gradient {
            members.flat_map(|member| rows[member].iter().copied()).collect()
        };
        for (index, members) in still.kinds().iter().enumerate() {
            let total = sum(&rows, &mut members.iter().map(|edge| lengths + edge.index()));
            rows[lengths + 3 * edges + index] = total;
        }
        let by_pitch = lengths + 3 * edges + still.kinds().len();
        for (index, members) in still.pitches().iter().enumerate() {
            let total = sum(&rows, &mut members.iter().map(|face| face.index()));
            rows[by_pitch + index] = total;
        }
        let totals = still.totals();
        let of_kind = |kind: FaceKind| (0..faces).filter(move |&face| roof.faces[face].kind == kind);
        rows[totals] = sum(&rows, &mut of_kind(FaceKind::Roof));
        rows[totals + 1] = sum(&rows, &mut of_kind(FaceKind::Roof).map(|face| 2 * faces + face));
        rows[totals + 2] = sum(&rows, &mut of_kind(FaceKind::Wall));
        let highest = (0..roof.corners.len()).max_by(|&a, &b| roof.corners[a].z.total_cmp(&roof.corners[b].z));
        if let Some(x) = highest.and_then(|corner| self.number(covariance, CornerId::new(corner))) {
            rows[totals + 4] = vec![(x + 2, 1.0)];
        }
        rows
    }

    fn ring(&self, face: &Face, measured: &Roof, covariance: &Covariance) -> Vec<(usize, Point3<f64>)> {
        let corners = face.ring.iter();
        corners.filter_map(|&id| Some((self.number(covariance, id)?, measured.corners[id.index()]))).collect()
    }
}

/// Where the points of a face's fit were measured, in its order.
fn measured_at(measured: &Roof, by_points: &ByPoints, fit: &OwnFit) -> Vec<Point3<f64>> {
    let place = |point: &PointId| {
        let own = by_points.points.iter().position(|other| other == point);
        own.map_or_else(Point3::origin, |own| measured.corners[by_points.first.0 + own])
    };
    fit.points.iter().map(|(point, _)| place(point)).collect()
}

/// Of an edge's length, its length in plan and its slope.
pub(super) fn of_edge(edge: &Edge, measured: &Roof, (from, to): (usize, usize)) -> [Gradient; 3] {
    let way = measured.corners[edge.to.index()] - measured.corners[edge.from.index()];
    let both = |slope: Vector3<f64>| -> Gradient {
        (0..3).flat_map(|k| [(to + k, slope[k]), (from + k, -slope[k])]).filter(|entry| entry.1 != 0.0).collect()
    };
    let (length, run) = (way.norm(), way.xy().norm());
    let along = if length > 0.0 { both(way / length) } else { Gradient::new() };
    if run == 0.0 {
        return [along, Gradient::new(), Gradient::new()];
    }
    let level = Vector3::new(way.x, way.y, 0.0) / run;
    let steeper = (Vector3::z() * run - level * way.z) * (way.z.signum() / (length * length));
    [along, both(level), both(steeper)]
}

/// How a face's best plane moves with its points: the displacement of the plane square to itself is a linear function over
/// it, fitted to those of the points by their weights.
struct Tilting {
    normal: Vector3<f64>,
    middle: Point3<f64>,
    axes: [Vector3<f64>; 2],
    inverse: Matrix2<f64>,
    whole: f64,
    /// Number of the x coordinate, weight, place along the axes from the middle.
    points: Vec<(usize, f64, Vector2<f64>)>,
}

impl Tilting {
    fn of(fit: &OwnFit, outwards: &Vector3<f64>, places: &[Point3<f64>], covariance: &Covariance) -> Self {
        let normal = if fit.plane.normal.dot(outwards) < 0.0 { -fit.plane.normal } else { fit.plane.normal };
        let first = normal.cross(&Vector3::ith(normal.iamin(), 1.0)).normalize();
        let axes = [first, normal.cross(&first)];
        let whole: f64 = fit.points.iter().map(|(_, weight)| weight).sum();
        let about = places.first().copied().unwrap_or_default();
        let shift = places.iter().zip(&fit.points).map(|(place, (_, weight))| (place - about) * *weight);
        let middle = about + shift.sum::<Vector3<f64>>() / whole;
        let points: Vec<(usize, f64, Vector2<f64>)> = places
            .iter()
            .zip(&fit.points)
            .map(|(place, (point, weight))| {
                let way = place - middle;
                (covariance.point(point.index()), *weight, Vector2::new(way.dot(&axes[0]), way.dot(&axes[1])))
            })
            .collect();
        let moments: Matrix2<f64> = points.iter().map(|(_, weight, at)| at * at.transpose() * *weight).sum();
        let inverse = moments.try_inverse().unwrap_or_else(Matrix2::zeros);
        Self { normal, middle, axes, inverse, whole, points }
    }

    /// Of the displacement, square to the plane, of a place that is `shift` (0 or 1) plus so much along the axes.
    fn along(&self, shift: f64, at: &Vector2<f64>) -> Gradient {
        let mut gradient = Gradient::new();
        for (x, weight, own) in &self.points {
            let share = weight * (shift / self.whole + at.dot(&(self.inverse * own)));
            gradient.extend((0..3).map(|k| (x + k, share * self.normal[k])).filter(|entry| entry.1 != 0.0));
        }
        gradient
    }

    /// Of how far the plane lies off at a place of it.
    fn at(&self, place: &Point3<f64>) -> Gradient {
        let way = place - self.middle;
        self.along(1.0, &Vector2::new(way.dot(&self.axes[0]), way.dot(&self.axes[1])))
    }

    /// Of the plane's pitch; none where it is level: to first order a level plane does not get steeper.
    fn pitch(&self) -> Gradient {
        let n = self.normal;
        let run = n.xy().norm();
        if run == 0.0 {
            return Gradient::new();
        }
        let upslope = Vector3::new(-n.x * n.z, -n.y * n.z, run * run) * (n.z.signum() / run);
        self.along(0.0, &Vector2::new(upslope.dot(&self.axes[0]), upslope.dot(&self.axes[1])))
    }
}
