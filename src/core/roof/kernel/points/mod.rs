//! Faces by points: best-fit planes, met with their neighbours.
//!
//! `fit` gives every face its best plane; `meet` moves each corner to the nearest place on the planes of all its
//! faces, so that intersection lines of neighbours become hips, valleys and ridges; `build` names the edges and
//! makes the roof. Faces are neighbours where they share two consecutive points.

mod build;
mod error;
mod fit;
mod joint;
mod meet;
mod moved;
mod patch;

pub use error::PointsError;
pub use fit::{FittedPlane, fit_plane};
pub use moved::Move;
pub use patch::OwnFit;

use crate::base::ids::{PlaneId, PointId};
use crate::base::multi_error::MultiError;
use crate::roof::Roof;
use crate::roof::model::finding::{Finding, LeftOut, NotLocated};
use crate::survey::model::Survey;
use nalgebra::{Matrix3, Point3, Vector3};

/// What is known beside the places.
#[derive(Clone, Copy, Debug, Default)]
pub struct Options<'a> {
    /// Covariance of each point's place, square metres, in the order of [`Survey::points`]; may be shorter, or hold
    /// gaps: such points count as exact but for their face's own sigma.
    pub covariances: &'a [Option<Matrix3<f64>>],
    /// Faces to be left out although their points have places: their area is hardly determined.
    pub unsure: &'a [PlaneId],
}

/// A roof from points.
#[derive(Clone, Debug, PartialEq)]
pub struct Solved {
    /// The roof; volume `None`, no feet, no walls but plumb faces given as such.
    pub roof: Roof,
    /// One a point of any face, in the order of [`Survey::points`].
    pub moves: Vec<Move>,
    /// Root mean square distance of the given points from each face's own best plane, metres, in the order of
    /// [`Survey::faces`]; `None` for faces with points that have no place.
    pub misfits: Vec<Option<f64>>,
    /// How each face of the roof lies by its own points alone, in the order of the roof's faces.
    pub fits: Vec<OwnFit>,
}

/// Solves a roof from faces by points. `places` are the points' places in the order of [`Survey::points`]; a face
/// with a point that has none is left out with a finding.
///
/// A corner of one face is projected on its plane, of two on their line, of three to their point; where more meet, or
/// where neighbours lie so nearly in one plane that their line would be thrown off by the noise, the planes are fitted
/// again together under the condition that they meet. O(faces · corners), the joint fit cubic in the faces it holds.
///
/// # Errors
/// Everything that is wrong, at once ([`PointsError::Multiple`]): faces of fewer than three points or on one line, points out of
/// order, an edge of three faces, planes that cannot meet.
pub fn solve(survey: &Survey, places: &[Option<Point3<f64>>], options: &Options<'_>) -> Result<Solved, PointsError> {
    // Near the roof itself, so that a site far from the origin costs no digits.
    let origin = places.iter().flatten().next().map_or_else(Vector3::zeros, |place| place.coords);
    let places: Vec<Option<Point3<f64>>> = places.iter().map(|place| place.map(|place| place - origin)).collect();
    let place = |point: PointId| places.get(point.index()).copied().flatten();
    let name = |point: PointId| survey.points.get(point.index()).map_or("?", |point| point.name.as_str());
    let covariance = |point: PointId| options.covariances.get(point.index()).copied().flatten();
    let mut left_out = Vec::new();
    let mut errors = Vec::new();
    let mut patches = Vec::new();
    let mut misfits = vec![None; survey.faces.len()];
    for (index, face) in survey.faces.iter().enumerate() {
        let id = PlaneId::new(index);
        let missing: Vec<PointId> = face.points.iter().copied().filter(|&point| place(point).is_none()).collect();
        if !missing.is_empty() {
            left_out.push(LeftOut { face: id, why: NotLocated::Points(missing) });
            continue;
        }
        if options.unsure.contains(&id) {
            left_out.push(LeftOut { face: id, why: NotLocated::Area });
            continue;
        }
        match fit::patch(id, face, place, name, covariance) {
            Ok(patch) => {
                misfits[index] = Some(patch.misfit);
                patches.push(patch);
            }
            Err(error) => errors.push(error),
        }
    }
    if let Some(error) = PointsError::all_of(errors) {
        return Err(error);
    }
    if patches.is_empty() {
        return Err(PointsError::NoFaces { left_out });
    }
    let mut fits: Vec<OwnFit> = patches.iter().map(patch::Patch::own_fit).collect();
    let met = meet::meet(&mut patches, &places, name, covariance)?;
    let mut findings: Vec<Finding> = left_out.into_iter().map(Finding::FaceNotLocated).collect();
    findings.extend(met.findings);
    let mut roof = build::build(patches, &met.corners, name)?;
    for corner in &mut roof.corners {
        *corner += origin;
    }
    let planes = roof.faces.iter_mut().map(|face| &mut face.plane);
    for plane in planes.chain(fits.iter_mut().map(|fit| &mut fit.plane)) {
        plane.offset += plane.normal.dot(&origin);
    }
    findings.append(&mut roof.findings);
    roof.findings = findings;
    Ok(Solved { roof, moves: met.moves, misfits, fits })
}
