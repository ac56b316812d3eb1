//! Where points that are not yet marked in a photo must appear in it, before anybody looks: what the other measurements say,
//! carried through the adjusted camera with all that it is unsure by.

use super::equation::{Equation, Source, Term};
use super::minimum::Minimum;
use super::model::{Known, ObservationKind, Photo, Survey};
use super::sight::Sight;
use super::solver::cofactor::Cofactor;
use super::solver::elimination::Elimination;
use super::solver::rows::Rows;
use super::state::{Lens, Moved, Pose};
use crate::base::ids::PointId;
use nalgebra::{Matrix2, Matrix3, Point2, Point3, SymmetricEigen, Vector2};

/// A point that a photo does not have a mark of yet.
#[derive(Clone, Debug, PartialEq)]
pub struct Foreseen {
    /// The photo, by its number in the survey.
    pub photo: usize,
    /// The point.
    pub point: PointId,
    /// Where in the photo.
    pub seen: Seen,
}

/// Where a point appears, pixels.
#[derive(Clone, Debug, PartialEq)]
pub enum Seen {
    /// Its place is known.
    Place {
        /// Most likely here.
        at: Point2<f64>,
        /// Half axes of the ellipse of one standard deviation, the longer first, square to each other.
        axes: [Vector2<f64>; 2],
    },
    /// It is marked in one other photo alone, so that it lies somewhere on that one's line of sight.
    Line {
        /// The other photo, by its number in the survey.
        from: usize,
        /// Along the line as the lens bends it, from near that camera to far from it.
        trail: Vec<Point2<f64>>,
        /// Standard deviation of the line across itself as far off as known points are, pixels.
        sd: f64,
    },
}

/// A line of sight is drawn from this part of the nearest point's distance from its camera to so many times the farthest's.
const REACH: [f64; 2] = [0.4, 2.5];

/// A half axis longer than this part of the picture's diagonal tells nobody where to look.
const VAGUE: f64 = 0.5;

/// A photo's marks are known to be at least this unsure, pixels: nobody clicks better.
const LEAST: f64 = 0.1;

/// A survey without the marks that tell nothing: of points that one photo shows and nothing else speaks of. O(marks).
pub(super) fn lean(survey: &Survey) -> Survey {
    let mut said = vec![0_usize; survey.points.len()];
    for mark in survey.photos.iter().flat_map(|photo| &photo.marks) {
        said[mark.point.index()] += 1;
    }
    let lines = survey.photos.iter().flat_map(|photo| &photo.lines).flat_map(|line| line.ends);
    let faces = survey.faces.iter().flat_map(|face| face.points.iter().copied());
    let observed = survey.observations.iter().flat_map(|observation| named(&observation.kind));
    let given = survey.points.iter().enumerate().filter(|(_, point)| point.known != Known::Unknown);
    for point in given.map(|(at, _)| PointId::new(at)).chain(lines).chain(faces).chain(observed) {
        said[point.index()] += 1;
    }
    let mut lean = survey.clone();
    for photo in &mut lean.photos {
        photo.marks.retain(|mark| said[mark.point.index()] > 1);
    }
    lean
}

/// The points an observation speaks of.
fn named(kind: &ObservationKind) -> Vec<PointId> {
    match kind {
        ObservationKind::Tape { from, to, .. } | ObservationKind::Known { from, to, .. } => vec![*from, *to],
        ObservationKind::Offset { points, line, .. } => points.iter().chain(line).copied().collect(),
        ObservationKind::Level { points } => points.clone(),
        ObservationKind::Plumb { a, b } => vec![*a, *b],
        ObservationKind::Square { at, arms } => vec![*at, arms[0], arms[1]],
        ObservationKind::Upright { point, over } => vec![*point, over[0], over[1]],
        ObservationKind::PitchReading { .. } | ObservationKind::EqualPitch { .. } => Vec::new(),
    }
}

/// Everything that can be foreseen of a survey with all its marks, from the minimum of the lean one. O(photos × points) products
/// with the covariance.
pub(super) fn all(
    minimum: &Minimum<'_>,
    elimination: &Elimination,
    cofactor: &Cofactor,
    survey: &Survey,
) -> Vec<Foreseen> {
    let (network, state) = (minimum.network, minimum.state);
    let sight = |photo: usize| {
        network.layout.poses[photo].map(|_| Sight {
            pose: state.poses[photo],
            lens: state.lenses[survey.photos[photo].camera],
            size: survey.photos[photo].size,
        })
    };
    let place = |point: usize| state.places[network.point_place[point]];
    // How far off things are is told by points that two photos show, however the whole lies and how large it is.
    let showing = |point: usize| {
        let shows = |(photo, of): &(usize, &Photo)| {
            network.layout.poses[*photo].is_some() && of.marks.iter().any(|mark| mark.point.index() == point)
        };
        survey.photos.iter().enumerate().filter(shows).count()
    };
    let known: Vec<bool> = (0..survey.points.len())
        .map(|point| showing(point) > 1 || is_shaped(minimum, elimination, cofactor, point))
        .collect();
    let mut found = Vec::new();
    for photo in 0..survey.photos.len() {
        let Some(own) = sight(photo) else { continue };
        for point in 0..survey.points.len() {
            let id = PointId::new(point);
            if survey.photos[photo].marks.iter().any(|mark| mark.point == id) {
                continue;
            }
            let pixel = own.pixel(&place(point));
            let axes = pixel.and_then(|_| ellipse(minimum, (elimination, cofactor), photo, point, &own));
            if let (Some(at), Some(axes)) = (pixel, axes) {
                found.push(Foreseen { photo, point: id, seen: Seen::Place { at, axes } });
                continue;
            }
            let marked = survey.photos.iter().enumerate().filter_map(|(from, other)| {
                let mark = other.marks.iter().find(|mark| mark.point == id)?;
                Some((from, mark.at, sight(from)?))
            });
            if let [(from, mark, other)] = marked.collect::<Vec<_>>()[..] {
                let others = (0..known.len()).filter(|of| known[*of]).map(place);
                let Some(known) = reach(&other, others) else { continue };
                let reach = [known[0] * REACH[0], known[1] * REACH[1]];
                let ray = Ray { photos: [from, photo], mark };
                let sd = known.map(|far| ray.spread(minimum, (elimination, cofactor), &own, far));
                let [Some(near_sd), Some(far_sd)] = sd else { continue };
                let trail = own.trail(reach.map(|far| ray.place(&other, far)), [0.0, 1.0]);
                if trail.len() > 1 {
                    found.push(Foreseen {
                        photo,
                        point: id,
                        seen: Seen::Line { from, trail, sd: near_sd.max(far_sd) },
                    });
                }
            }
        }
    }
    found
}

/// Whether the measurements place a point among the others, up to how the whole lies and how large it is.
fn is_shaped(minimum: &Minimum<'_>, elimination: &Elimination, cofactor: &Cofactor, point: usize) -> bool {
    let columns = minimum.network.layout.places[minimum.network.point_place[point]];
    columns.into_iter().flatten().all(|column| {
        let mut rows = Rows::new(minimum.network.layout.unknowns);
        rows.push(0.0, &mut [(column, 1.0)]);
        cofactor.null_part(&gradients(&elimination.reduce(&rows))[0]).is_none()
    })
}

fn gradients(rows: &Rows) -> Vec<Vec<(usize, f64)>> {
    rows.iter().map(|(columns, slopes)| columns.iter().copied().zip(slopes.iter().copied()).collect()).collect()
}

/// The half axes of where a point appears; `None` where the measurements do not fix that.
fn ellipse(
    minimum: &Minimum<'_>,
    (elimination, cofactor): (&Elimination, &Cofactor),
    photo: usize,
    point: usize,
    sight: &Sight,
) -> Option<[Vector2<f64>; 2]> {
    let (network, state) = (minimum.network, minimum.state);
    let (lens, place) = (network.survey.photos[photo].camera, network.point_place[point]);
    let mut rows = Rows::new(network.layout.unknowns);
    let mut entries = Vec::with_capacity(16);
    for axis in 0..2 {
        let term = Term::Mark { pose: photo, lens, place, axis };
        let equation = Equation { term, observed: 0.0, sigma: 1.0, source: Source::Datum };
        let residual = equation.linearise(state, &network.layout, &mut entries);
        rows.push(residual, &mut entries);
    }
    let gradients = gradients(&elimination.reduce(&rows));
    if gradients.iter().any(|gradient| cofactor.null_part(gradient).is_some()) {
        return None;
    }
    let between = |a: usize, b: usize| cofactor.between(&gradients[a], &gradients[b]);
    let covariance = Matrix2::new(between(0, 0), between(0, 1), between(1, 0), between(1, 1));
    let eigen = SymmetricEigen::new(covariance);
    let longer = usize::from(eigen.eigenvalues[1] > eigen.eigenvalues[0]);
    let axis = |of: usize| {
        let length = eigen.eigenvalues[of].max(0.0).sqrt().max(LEAST);
        eigen.eigenvectors.column(of) * length
    };
    let axes = [axis(longer), axis(1 - longer)];
    let is_told = axes[0].norm() <= VAGUE * sight.size[0].hypot(sight.size[1]);
    is_told.then_some(axes)
}

/// How far from a camera known points are: the nearest, the farthest, metres.
fn reach(other: &Sight, known: impl Iterator<Item = Point3<f64>>) -> Option<[f64; 2]> {
    let away = known.map(|place| (place - other.pose.centre).norm());
    let (near, far) = away.fold((f64::INFINITY, 0.0_f64), |(near, far), away| (near.min(away), far.max(away)));
    (far > 0.0).then_some([near, far])
}

/// The line along which one photo sees a mark, as another shows it.
struct Ray {
    /// The photo that has the mark, then the one that shows the line.
    photos: [usize; 2],
    mark: [f64; 2],
}

impl Ray {
    /// A place so far along it.
    fn place(&self, other: &Sight, far: f64) -> Point3<f64> {
        other.pose.centre + (other.pose.rotation.transpose() * other.lens.ray(self.mark)).normalize() * far
    }

    /// The standard deviation, across the line, of where a place so far along it appears; `None` where the measurements do not
    /// fix how the two photos stand to each other, or hardly. Derivatives by differences: six numbers a photo, five a lens.
    fn spread(
        &self,
        minimum: &Minimum<'_>,
        (elimination, cofactor): (&Elimination, &Cofactor),
        own: &Sight,
        far: f64,
    ) -> Option<f64> {
        let (network, state) = (minimum.network, minimum.state);
        let layout = &network.layout;
        let cameras = self.photos.map(|photo| network.survey.photos[photo].camera);
        let pixel = |step: &[f64], far: f64| {
            let moved = Moved { state, layout, step };
            let [other, own] = [0, 1].map(|k| {
                let (rotation, centre) = moved.pose(self.photos[k]);
                let pose =
                    Pose { rotation: Matrix3::from_fn(|row, column| rotation[row][column]), centre: centre.into() };
                let [focal, cx, cy, k1, k2] = moved.lens(cameras[k]);
                Sight { pose, lens: Lens { values: [focal.ln(), cx, cy, k1, k2] }, size: own.size }
            });
            own.pixel(&self.place(&other, far))
        };
        let mut step = vec![0.0; layout.unknowns];
        let (here, beyond) = (pixel(&step, far)?, pixel(&step, far * (1.0 + DIFFERENCE))?);
        let along = (beyond - here).try_normalize(0.0)?;
        let across = Vector2::new(-along.y, along.x);
        let of_poses = self.photos.iter().filter_map(|&photo| layout.poses[photo]).flat_map(|first| first..first + 6);
        let of_lenses = cameras.iter().flat_map(|&lens| layout.lenses[lens]).flatten();
        let mut columns: Vec<usize> = of_poses.chain(of_lenses).collect();
        columns.sort_unstable();
        columns.dedup();
        let mut entries = Vec::with_capacity(columns.len());
        for column in columns {
            // A step that turns, moves or bends by so little as to be a difference of a few hundredths of a pixel.
            step[column] = DIFFERENCE;
            let ahead = pixel(&step, far)?;
            step[column] = -DIFFERENCE;
            let behind = pixel(&step, far)?;
            step[column] = 0.0;
            entries.push((column, (ahead - behind).dot(&across) / (2.0 * DIFFERENCE)));
        }
        let mut rows = Rows::new(layout.unknowns);
        rows.push(0.0, &mut entries);
        let gradient = &gradients(&elimination.reduce(&rows))[0];
        if cofactor.null_part(gradient).is_some() {
            return None;
        }
        let sd = cofactor.between(gradient, gradient).max(0.0).sqrt();
        (sd <= VAGUE_LINE * own.size[0].hypot(own.size[1])).then_some(sd.max(LEAST))
    }
}

/// A line that is unsure across itself by more than this part of the picture's diagonal tells nobody where to look.
const VAGUE_LINE: f64 = 0.05;

/// Steps of differences, in radians, metres and parts of a lens's numbers.
const DIFFERENCE: f64 = 1e-5;
