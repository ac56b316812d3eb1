//! How the survey's uncertainty reaches areas, pitches and lengths: first-order propagation.
//!
//! `J Σ Jᵀ` gives the variance of every area, pitch and length. The derivatives `J` are written out: of faces by points
//! (`by_points`) and of the roof over outlines (`by_outlines`). Where the latter has none, by what moves a corner at which
//! more than three planes meet, or nearly do so for what the measurements tell, and of roofs with dormers, it is solved again
//! with the coordinate moved up and down by a step well inside its own standard deviation, at the cost of two solves each.

use super::by_outlines;
use super::by_points::{ByPoints, Gradient};
use super::moved::{MOST_COORDINATES, Moved, STEP, uncertain};
use super::still::{Still, TOTALS};
use crate::base::estimate::NINETY_FIVE;
use crate::base::ids::{EdgeId, FaceId};
use crate::roof::Roof;
use crate::roof::analysis::derivatives::Derivatives;
use crate::survey::Adjusted;
use nalgebra::{Matrix3, Point3, Vector3};

/// How often all are moved together where too many have no derivative.
const DRAWS: u32 = 128;

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
    pub(crate) fn area_of(&self, face: FaceId) -> Option<f64> {
        self.face_area.get(face.index()).copied().flatten()
    }

    /// Of an edge's length, metres.
    #[must_use]
    pub fn length_of(&self, edge: EdgeId) -> Option<f64> {
        self.edge_length.get(edge.index()).copied().flatten()
    }
}

/// Propagates the covariance of the adjusted places, and readings outside the adjustment with these standard deviations,
/// to the answer. `solve` gives the roof of what was moved, or `None` where that has no answer; such a number is
/// differenced on the other side alone. Faces by points are not solved again: [`ByPoints`] has their derivatives. By how
/// much a number of theirs differs from that of the points as they were measured, for points were moved to lie on their
/// faces, is part of how unsure it is. `known` are the derivatives of the roof over outlines, with that roof.
#[must_use]
pub(super) fn propagate(
    roof: &Roof,
    adjusted: &Adjusted,
    readings: &[f64],
    by_points: &ByPoints,
    known: Option<(&Derivatives, &Roof)>,
    solve: impl Fn(&Moved) -> Option<Roof>,
) -> Spread {
    let still_roof = Still::of(roof);
    let values = |moved: &Roof| still_roof.values(moved);
    let here = values(roof);
    let as_measured = by_points.as_measured(roof, &adjusted.points);
    let of_points = by_points.gradients(&still_roof, &as_measured, &adjusted.covariance);
    let (gradients, by_readings) = slopes((&still_roof, &here), adjusted, readings, of_points, known, solve);
    let is_known = |row: usize| {
        let mut slopes = gradients[row].iter().map(|(_, slope)| slope).chain(&by_readings[row]);
        here[row].is_finite() && slopes.all(|slope| slope.is_finite())
    };
    let variance = |row: usize| {
        let adjusted = is_known(row).then(|| adjusted.covariance.variance(&gradients[row])).flatten();
        adjusted.map(|variance| variance + by_readings[row].iter().map(|change| change * change).sum::<f64>())
    };
    let measured = values(&as_measured);
    let sd = |row: usize| variance(row).map(|variance| widened(variance.max(0.0).sqrt(), measured[row] - here[row]));
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
        let first = planes + 3 * face;
        let mut matrix = if (first..first + 3).all(is_known) {
            adjusted.covariance.of_three([0, 1, 2].map(|k| gradients[first + k].as_slice()))?
        } else {
            return None;
        };
        for i in 0..3 {
            for j in 0..3 {
                matrix[(i, j)] +=
                    by_readings[first + i].iter().zip(&by_readings[first + j]).map(|(a, b)| a * b).sum::<f64>();
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

/// The derivatives of every number of [`Still::values`], which are `here`: by coordinates, added to those by points, and the
/// changes by readings and by draws, each for one standard deviation.
fn slopes(
    (still_roof, here): (&Still<'_>, &[f64]),
    adjusted: &Adjusted,
    readings: &[f64],
    mut gradients: Vec<Gradient>,
    known: Option<(&Derivatives, &Roof)>,
    solve: impl Fn(&Moved) -> Option<Roof>,
) -> (Vec<Gradient>, Vec<Vec<f64>>) {
    let values = |moved: &Roof| still_roof.values(moved);
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
    let written_out = known.map(|(derivatives, roof)| by_outlines::gradients(derivatives, roof, still_roof));
    let is_wholly_open = |parameter: usize| known.is_none_or(|(derivatives, _)| derivatives.open.contains(&parameter));
    let first_reading = adjusted.covariance.count();
    let all: Vec<usize> = uncertain(adjusted).into_iter().filter(|&k| still.has(k)).collect();
    let parts = |parameter: usize| known.is_some_and(|(derivatives, _)| derivatives.parting.contains(&parameter));
    // Of what parts corners lengths alone are in doubt: where it is much, their corners' own derivatives serve.
    let counts_parting = all.iter().filter(|&&k| is_wholly_open(k) || parts(k)).count() <= MOST_COORDINATES;
    let is_open = |parameter: usize| is_wholly_open(parameter) || counts_parting && parts(parameter);
    let is_large = all.len() > MOST_COORDINATES;
    let coordinates: Vec<usize> = all.into_iter().filter(|&k| is_open(k)).collect();
    // In a large job draws cost less than coordinates one by one, two solves each.
    let is_drawn = is_large && coordinates.len() > DRAWS as usize;
    // Readings are independent of each other and of what was adjusted.
    let mut by_readings: Vec<Vec<f64>> = vec![Vec::with_capacity(readings.len()); count];
    for (reading, &sd) in readings.iter().enumerate() {
        let parameter = first_reading + reading;
        if let Some(written_out) = written_out.as_ref().filter(|_| !is_open(parameter)) {
            for (changes, gradient) in by_readings.iter_mut().zip(written_out) {
                changes.push(gradient.slope(parameter) * sd);
            }
            continue;
        }
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
        for (gradient, written_out) in gradients.iter_mut().zip(written_out.iter().flatten()) {
            let entries = written_out.entries().iter();
            gradient.extend(entries.filter(|entry| entry.0 < first_reading && !is_open(entry.0)));
        }
        for coordinate in coordinates {
            let variance = adjusted.covariance.entry(coordinate, coordinate);
            let slopes = slopes(variance.sqrt(), &|offset| still.with_coordinate(coordinate, offset));
            for (gradient, slope) in gradients.iter_mut().zip(slopes).filter(|(_, slope)| *slope != 0.0) {
                gradient.push((coordinate, slope));
            }
        }
    }
    (gradients, by_readings)
}

/// The standard deviation that with [`NINETY_FIVE`] of it to either side holds 95 of 100 cases, of a number with this
/// standard deviation that is known to be off by so much: 1.645 of the former lie beyond the latter.
fn widened(sd: f64, off: f64) -> f64 {
    if off.is_finite() { sd.max((off.abs() + ONE_SIDED * sd) / NINETY_FIVE) } else { sd }
}

/// The normal distribution's one-sided 95 %.
const ONE_SIDED: f64 = 1.645;
