//! How the survey's uncertainty reaches areas, pitches and lengths: first-order propagation.
//!
//! The roof over outlines is solved again with each uncertain coordinate moved up and down by a step well inside its own
//! standard deviation; `J Σ Jᵀ` then gives the variance of every area, pitch and length. Nothing is assumed about how the
//! kernel reaches its answer. A ridge height and a taped rafter, from which a pitch was found, are moved likewise. Faces by
//! points have their derivatives written out (`by_points`). Cost: two solves a coordinate of an outline or
//! reading.

use super::by_points::{ByPoints, Gradient};
use super::still::{Still, TOTALS};
use crate::base::estimate::NINETY_FIVE;
use crate::base::ids::{EdgeId, FaceId};
use crate::roof::Roof;
use crate::survey::Adjusted;
use nalgebra::{Matrix3, Point2, Point3, Vector3};

/// The most uncertain coordinates that are moved one by one. In a job with more all are moved together, drawn at random as
/// the adjustment's errors would move them, so often that a standard deviation is told to within 6 % of itself.
pub const MOST_COORDINATES: usize = 512;
/// So often.
const DRAWS: u32 = 128;

/// The step as a fraction of the coordinate's own standard deviation: small enough that no fold changes its place in
/// the topology for any outline a tape can tell apart, large enough to stand far above rounding.
const STEP: f64 = 0.1;

/// Standard deviations of the answer as the measurements' own sigmas give them; `None` where these did not allow one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spread {
    /// Of each face's area, square metres.
    pub face_area: Vec<Option<f64>>,
    /// Of each face's pitch, radians.
    pub face_pitch: Vec<Option<f64>>,
    /// Of each edge's length, metres.
    pub edge_length: Vec<Option<f64>>,
    /// Of each face's plan area, square metres.
    pub face_plan_area: Vec<Option<f64>>,
    /// Of each edge's length in plan, metres.
    pub edge_plan_length: Vec<Option<f64>>,
    /// Of each edge's slope, radians.
    pub edge_slope: Vec<Option<f64>>,
    /// Of the length of all edges of each kind the roof has, in the order of [`crate::roof::EdgeKind`], metres.
    pub kind_length: Vec<Option<f64>>,
    /// Of the area of all faces of each pitch, flattest first, square metres.
    pub pitch_area: Vec<Option<f64>>,
    /// Of the whole roof area, square metres.
    pub total_area: Option<f64>,
    /// By how much the whole roof area changes with each reading outside the adjustment, for one standard deviation of
    /// it, square metres.
    pub total_area_by_reading: Vec<f64>,
    /// Of the whole plan area, square metres.
    pub total_plan_area: Option<f64>,
    /// Of the area of all walls, square metres.
    pub walls_area: Option<f64>,
    /// Of the volume, cubic metres.
    pub volume: Option<f64>,
    /// Of the highest point above datum, metres.
    pub ridge_height: Option<f64>,
    /// Of each face's plane, at every place of it.
    pub face_plane: Vec<Option<PlaneSpread>>,
}

/// How unsure a face's plane is, all over the face: by how much it may lie off, square to itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaneSpread {
    /// Three places of the plane that are not in one line, metres.
    pub places: [Point3<f64>; 3],
    /// Covariance of the plane's displacements there, square metres.
    pub covariance: Matrix3<f64>,
}

impl PlaneSpread {
    /// Standard deviation of the plane at a place of it, metres: the displacement of a plane is linear over it, so its
    /// variance is a quadratic form of the place's barycentric coordinates.
    #[must_use]
    pub fn at(&self, place: &Point3<f64>) -> f64 {
        let shares = self.shares(place);
        shares.dot(&(self.covariance * shares)).max(0.0).sqrt()
    }

    /// Barycentric coordinates of a place of the plane in the three places. Precondition: these are not in one line.
    #[must_use]
    pub fn shares(&self, place: &Point3<f64>) -> Vector3<f64> {
        let [a, b, c] = self.places;
        let normal = (b - a).cross(&(c - a));
        let whole = normal.norm_squared();
        let of = |from: &Point3<f64>, to: &Point3<f64>| (to - from).cross(&(place - from)).dot(&normal) / whole;
        Vector3::new(of(&b, &c), of(&c, &a), of(&a, &b))
    }
}

impl Spread {
    /// Of a face's plane.
    #[must_use]
    pub fn plane_of(&self, face: FaceId) -> Option<PlaneSpread> {
        self.face_plane.get(face.index()).copied().flatten()
    }

    /// Of a face's area, square metres.
    #[must_use]
    pub fn area_of(&self, face: FaceId) -> Option<f64> {
        self.face_area.get(face.index()).copied().flatten()
    }

    /// Of an edge's length, metres.
    #[must_use]
    pub fn length_of(&self, edge: EdgeId) -> Option<f64> {
        self.edge_length.get(edge.index()).copied().flatten()
    }
}

/// What the roof over outlines is solved from, one number of it moved.
#[derive(Clone, Debug)]
pub struct Moved {
    /// Corners of all rings.
    pub rings: Vec<Vec<Point2<f64>>>,
    /// What each reading outside the adjustment is changed by.
    pub readings: Vec<f64>,
}

/// Propagates the covariance of the adjusted places, and readings outside the adjustment with these standard deviations,
/// to the answer. `solve` gives the roof of what was moved, or `None` where that has no answer; such a number is
/// differenced on the other side alone. Faces by points are not solved again: [`ByPoints`] has their derivatives. By how
/// much a number of theirs differs from that of the points as they were measured, for points were moved to lie on their
/// faces, is part of how unsure it is.
#[must_use]
pub(super) fn propagate(
    roof: &Roof,
    adjusted: &Adjusted,
    readings: &[f64],
    by_points: &ByPoints,
    solve: impl Fn(&Moved) -> Option<Roof>,
) -> Spread {
    let still_roof = Still::of(roof);
    let values = |moved: &Roof| still_roof.values(moved);
    let here = values(roof);
    let still = Moved { rings: adjusted.rings.clone(), readings: vec![0.0; readings.len()] };
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
        (0..here.len()).map(slope).collect()
    };
    let count = here.len();
    let as_measured = by_points.as_measured(roof, &adjusted.points);
    let mut gradients = by_points.gradients(&still_roof, &as_measured, &adjusted.covariance);
    let coordinates: Vec<usize> = uncertain(adjusted).into_iter().filter(|&k| still.has(k)).collect();
    let is_drawn = coordinates.len() > MOST_COORDINATES;
    // Readings are independent of each other and of what was adjusted.
    let mut by_readings: Vec<Vec<f64>> = vec![Vec::with_capacity(readings.len()); count];
    for (reading, &sd) in readings.iter().enumerate() {
        let slopes = slopes(sd, &|offset| still.with_reading(reading, offset));
        for (changes, slope) in by_readings.iter_mut().zip(slopes) {
            changes.push(slope * sd);
        }
    }
    if is_drawn {
        let of_points = std::mem::replace(&mut gradients, vec![Gradient::new(); count]);
        for draw in 0..DRAWS {
            let displacements = adjusted.covariance.draw(u64::from(draw));
            let slopes = slopes(1.0, &|offset| still.displaced(&displacements, offset));
            for ((changes, slope), points) in by_readings.iter_mut().zip(slopes).zip(&of_points) {
                let of_points: f64 = points.iter().map(|&(coordinate, slope)| slope * displacements[coordinate]).sum();
                changes.push((slope + of_points) / f64::from(DRAWS).sqrt());
            }
        }
    } else {
        for coordinate in coordinates {
            let variance = adjusted.covariance.entry(coordinate, coordinate);
            let slopes = slopes(variance.sqrt(), &|offset| still.with_coordinate(coordinate, offset));
            for (gradient, slope) in gradients.iter_mut().zip(slopes).filter(|(_, slope)| *slope != 0.0) {
                gradient.push((coordinate, slope));
            }
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
    let measured = values(&as_measured);
    let sd =
        |row: usize| covariance(row, row).map(|variance| widened(variance.max(0.0).sqrt(), measured[row] - here[row]));
    let mut row = 0;
    let mut next = |count: usize| -> Vec<Option<f64>> {
        row += count;
        (row - count..row).map(sd).collect()
    };
    let (faces, edges) = (roof.faces.len(), roof.edges.len());
    let [face_area, face_pitch, face_plan_area] = [0; 3].map(|_| next(faces));
    let [edge_length, edge_plan_length, edge_slope] = [0; 3].map(|_| next(edges));
    let (kind_length, pitch_area) = (next(still_roof.kinds().len()), next(still_roof.pitches().len()));
    let totals = next(TOTALS);
    let planes = still_roof.planes();
    let total_area_by_reading = by_readings[still_roof.totals()][..readings.len()].to_vec();
    let plane = |face: usize| {
        let mut matrix = Matrix3::zeros();
        for i in 0..3 {
            for j in 0..3 {
                matrix[(i, j)] = covariance(planes + 3 * face + i, planes + 3 * face + j)?;
            }
        }
        Some(PlaneSpread { places: *still_roof.support_points(FaceId::new(face)), covariance: matrix })
    };
    Spread {
        face_area,
        face_pitch,
        face_plan_area,
        edge_length,
        edge_plan_length,
        edge_slope,
        kind_length,
        pitch_area,
        total_area: totals[0],
        total_area_by_reading,
        total_plan_area: totals[1],
        walls_area: totals[2],
        volume: totals[3],
        ridge_height: totals[4],
        face_plane: (0..faces).map(plane).collect(),
    }
}

/// The standard deviation that with [`NINETY_FIVE`] of it to either side holds 95 of 100 cases, of a number with this
/// standard deviation that is known to be off by so much: 1.645 of the former lie beyond the latter.
fn widened(sd: f64, off: f64) -> f64 {
    if off.is_finite() { sd.max((off.abs() + ONE_SIDED * sd) / NINETY_FIVE) } else { sd }
}

/// The normal distribution's one-sided 95 %.
const ONE_SIDED: f64 = 1.645;

/// Numbers of the coordinates that have a variance.
#[must_use]
pub fn uncertain(adjusted: &Adjusted) -> Vec<usize> {
    (0..adjusted.covariance.count()).filter(|&k| adjusted.covariance.entry(k, k) > 0.0).collect()
}

impl Moved {
    /// Whether a coordinate, by its number in the covariance, is one of a ring's corner.
    fn has(&self, coordinate: usize) -> bool {
        coordinate < 2 * self.rings.iter().map(Vec::len).sum::<usize>()
    }

    /// With one coordinate of a ring's corner, by its number in the covariance, moved.
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
        moved
    }

    /// With every corner moved, by the numbers of coordinates in the covariance.
    fn displaced(&self, displacements: &[f64], times: f64) -> Self {
        let mut moved = self.clone();
        let coordinates = moved.rings.iter_mut().flatten().flat_map(|corner| corner.coords.iter_mut());
        for (coordinate, by) in coordinates.zip(displacements) {
            *coordinate += by * times;
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
