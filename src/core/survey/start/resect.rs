//! A camera set by points that are known: twelve level cameras look at them from around, each is refined by least
//! squares over its six numbers, the best is kept.

use super::orient::level_camera;
use crate::survey::equation::{Equation, Source, Term};
use crate::survey::gauge;
use crate::survey::model::{Known, Mark};
use crate::survey::network::{Network, centroid};
use crate::survey::solver::marquardt::{Stop, minimise};
use crate::survey::state::{Layout, Pose, State};
use crate::survey::unconstrained::Unconstrained;
use nalgebra::{Matrix3, Point3, Vector3};
use std::f64::consts::FRAC_PI_6;

/// Enough for a start value.
const STOP: Stop = Stop { relative: 1e-6, absolute: 1e-9, turns: 60 };
/// Most marks that a camera is set by.
const MOST_MARKS: usize = 24;
/// Rays whose directions differ by less than about the root of this, radians, do not tell where they meet.
const PARALLEL: f64 = 1e-3;
/// Start values within this many pixels of their marks, in the mean, are good enough to go on from, as a part of the
/// focal length.
const GOOD_ENOUGH: f64 = 0.1;

/// Places the photos that are not in `used`, from marks on places known by then. Gives those that it could not.
pub(super) fn place_rest(network: &Network<'_>, state: &mut State, photos: &[usize], used: &[usize]) -> Vec<usize> {
    let mut failed = Vec::new();
    let seen_in_used = |place: usize| {
        used.iter().any(|&photo| {
            network.survey.photos[photo].marks.iter().any(|mark| network.point_place[mark.point.index()] == place)
        })
    };
    let mut known: Vec<bool> =
        (0..state.places.len()).map(|p| gauge::is_given(network, p) || seen_in_used(p)).collect();
    for (point, &place) in network.survey.points.iter().zip(&network.point_place) {
        known[place] |= matches!(point.known, Known::Near(_));
    }
    let place_of = |mark: &Mark| network.point_place[mark.point.index()];
    let mut placed = used.to_vec();
    let mut rest: Vec<usize> = photos.iter().copied().filter(|photo| !used.contains(photo)).collect();
    // The photo that shows most of what is known comes next; what it shows with another then is known too.
    while !rest.is_empty() {
        let count =
            |photo: &usize| network.survey.photos[*photo].marks.iter().filter(|mark| known[place_of(mark)]).count();
        let next = (0..rest.len()).rev().max_by_key(|&index| count(&rest[index])).unwrap_or_default();
        let photo = rest.remove(next);
        let survey = &network.survey.photos[photo];
        let marks: Vec<Mark> = survey.marks.iter().filter(|mark| known[place_of(mark)]).copied().collect();
        // Some, spread over all, tell a start as well as all.
        let every = marks.len().div_ceil(MOST_MARKS).max(1);
        let marks: Vec<Mark> = marks.into_iter().step_by(every).collect();
        let places: Vec<Point3<f64>> = marks.iter().map(|mark| state.places[place_of(mark)]).collect();
        let seen: Vec<[f64; 2]> = marks.iter().map(|mark| mark.at).collect();
        let pose = if marks.len() < 4 { None } else { resect(state, survey.camera, &seen, &places) };
        let Some(pose) = pose else {
            failed.push(photo);
            continue;
        };
        state.poses[photo] = pose;
        placed.push(photo);
        for mark in &survey.marks {
            let place = place_of(mark);
            if !known[place]
                && let Some(at) = where_rays_meet(network, state, &placed, place)
            {
                state.places[place] = at;
                known[place] = true;
            }
        }
    }
    failed
}

/// The place nearest to the rays of all placed photos that show it; `None` where fewer than two do, or nearly along one
/// line.
fn where_rays_meet(network: &Network<'_>, state: &State, placed: &[usize], place: usize) -> Option<Point3<f64>> {
    let (mut normal, mut right, mut count) = (Matrix3::zeros(), Vector3::zeros(), 0);
    for &photo in placed {
        let survey = &network.survey.photos[photo];
        let Some(mark) = survey.marks.iter().find(|mark| network.point_place[mark.point.index()] == place) else {
            continue;
        };
        let pose = &state.poses[photo];
        let ray = pose.rotation.tr_mul(&state.lenses[survey.camera].ray(mark.at)).normalize();
        let across = Matrix3::identity() - ray * ray.transpose();
        normal += across;
        right += across * pose.centre.coords;
        count += 1;
    }
    let least = normal.symmetric_eigenvalues().min();
    (count > 1 && least > PARALLEL).then(|| normal.try_inverse().map(|inverse| Point3::from(inverse * right))).flatten()
}

/// The pose from which the places look most like the marks; `None` when none does.
pub(crate) fn resect(state: &State, camera: usize, marks: &[[f64; 2]], places: &[Point3<f64>]) -> Option<Pose> {
    let lens = state.lenses[camera];
    let middle = centroid(places);
    let spread = (places.iter().map(|p| (p - middle).norm_squared()).sum::<f64>() / places.len() as f64).sqrt();
    let rays: Vec<Vector3<f64>> = marks.iter().map(|&mark| lens.ray(mark)).collect();
    let ray = rays.iter().sum::<Vector3<f64>>() / rays.len() as f64;
    let angle = (rays.iter().map(|r| (r - ray).norm_squared()).sum::<f64>() / rays.len() as f64).sqrt();
    let depth = spread / angle;
    if !depth.is_finite() || depth <= 0.0 {
        return None;
    }
    let mut equations = Vec::new();
    for (place, mark) in marks.iter().enumerate() {
        for (axis, &observed) in mark.iter().enumerate() {
            let term = Term::Mark { pose: 0, lens: 0, place, axis };
            equations.push(Equation { term, observed, sigma: 1.0, source: Source::Datum });
        }
    }
    let layout = Layout {
        places: vec![[None; 3]; places.len()],
        poses: vec![Some(0)],
        lenses: vec![[None; 5]],
        unknowns: 6,
        ..Layout::default()
    };
    let problem = Unconstrained { equations, layout };
    let mut best: Option<(f64, Pose)> = None;
    for step in 0..12 {
        let rotation = level_camera(f64::from(step) * FRAC_PI_6);
        let centre = middle - rotation.tr_mul(&ray) * depth;
        let start = State {
            places: places.to_vec(),
            poses: vec![Pose { rotation, centre }],
            lenses: vec![lens],
            ..State::default()
        };
        let solution = minimise(&problem, start, &STOP);
        if solution.cost.is_finite() && best.as_ref().is_none_or(|kept| solution.cost < kept.0) {
            best = Some((solution.cost, solution.state.poses[0]));
        }
    }
    let limit = GOOD_ENOUGH * lens.focal();
    best.filter(|(cost, _)| (cost / marks.len() as f64).sqrt() < limit).map(|(_, pose)| pose)
}
