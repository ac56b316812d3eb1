//! Corners where planes meet.

use super::error::PointsError;
use super::fit::in_order;
use super::joint::{self, Held};
use super::moved::{BEYOND_CHANCE, Move};
use super::patch::Patch;
use crate::base::ids::{PlaneId, PointId};
use crate::base::multi_error::MultiError;
use crate::base::plane::Plane;
use crate::base::tolerance;
use crate::roof::model::finding::{Finding, Refitted};
use nalgebra::{DMatrix, DVector, Matrix3, Point3, Vector3};
use std::collections::BTreeMap;

/// Planes whose normals span no more than this in some direction lie nearly in one plane (two planes: 8° apart); their
/// meeting line is only taken where the noise leaves it near its points.
const NEARLY_ONE_PLANE: f64 = 0.1;

/// Normals that span less than this in some direction do not determine that direction at all: the square root of the
/// float error, as directions come from squares.
const ONE_PLANE: f64 = 1.5e-8;

/// Planes that miss each other by no more than this many roundings of the roof's size meet.
const ROUNDINGS: f64 = 1024.0;

/// Where the points went.
pub(super) struct Met {
    /// Every point of a face, at its corner of the roof.
    pub corners: BTreeMap<PointId, Point3<f64>>,
    /// How far each moved.
    pub moves: Vec<Move>,
    /// What is worth a word.
    pub findings: Vec<Finding>,
}

/// Moves every point of the patches to the nearest place on all its planes; planes that must give way are changed in
/// place.
pub(super) fn meet<'a>(
    patches: &mut [Patch],
    places: &[Option<Point3<f64>>],
    name: impl Fn(PointId) -> &'a str + Copy,
    covariance: impl Fn(PointId) -> Option<Matrix3<f64>> + Copy,
) -> Result<Met, PointsError> {
    let mut faces_at: BTreeMap<PointId, Vec<usize>> = BTreeMap::new();
    for (index, patch) in patches.iter().enumerate() {
        for &point in &patch.ring {
            faces_at.entry(point).or_default().push(index);
        }
    }
    let given: BTreeMap<PointId, Point3<f64>> =
        faces_at.keys().filter_map(|&point| Some((point, places.get(point.index()).copied().flatten()?))).collect();
    let size = spread(given.values());
    let least = tolerance::default_for(size);
    let rounding = ROUNDINGS * f64::EPSILON * size;
    let sigmas: Vec<f64> = patches.iter().map(|patch| patch.sigma).collect();
    let sigma_along = |point: PointId, by: &Vector3<f64>| {
        let own = faces_at[&point].iter().map(|&face| sigmas[face]).fold(0.0, f64::max);
        let along = match (covariance(point), by.try_normalize(f64::MIN_POSITIVE)) {
            (Some(c), Some(u)) => (u.transpose() * c * u)[0].max(0.0),
            _ => 0.0,
        };
        own.hypot(along.sqrt())
    };

    // Points whose planes must give way are held; a round of fitting may show further ones.
    let fitted: Vec<Plane> = patches.iter().map(|patch| patch.plane).collect();
    let mut planes = fitted.clone();
    let mut held: BTreeMap<PointId, Held> = BTreeMap::new();
    let (corners, gaps) = loop {
        let mut corners = BTreeMap::new();
        let mut gaps = BTreeMap::new();
        let before = held.len();
        for (&point, faces) in &faces_at {
            let from = given[&point];
            let here: Vec<Plane> = faces.iter().map(|&face| planes[face]).collect();
            let nearest = nearest(&from, &here);
            corners.insert(point, nearest.place);
            if held.contains_key(&point) {
                gaps.insert(point, nearest.gap);
                continue;
            }
            let by = nearest.place - from;
            if nearest.spanned < NEARLY_ONE_PLANE && by.norm() > (BEYOND_CHANCE * sigma_along(point, &by)).max(least) {
                held.insert(point, Held::NearItsPlace);
            } else if nearest.gap > rounding {
                let kind = if nearest.least_spanned < NEARLY_ONE_PLANE { Held::NearItsPlace } else { Held::Freely };
                held.insert(point, kind);
            }
        }
        if held.len() == before {
            break (corners, gaps);
        }
        planes = joint::fit(patches, &fitted, &given, &held, covariance);
    };
    for (patch, plane) in patches.iter_mut().zip(&planes) {
        patch.plane = *plane;
    }
    let patches = &*patches;

    let moves: Vec<Move> = corners
        .iter()
        .map(|(&point, corner)| {
            let by = corner - given[&point];
            Move { point, name: name(point).to_owned(), by, sigma: sigma_along(point, &by) }
        })
        .collect();
    let apart = gaps.iter().filter(|(_, gap)| **gap > least).map(|(&point, &gap)| PointsError::StayApart {
        faces: faces_at[&point].iter().map(|&face| patches[face].name.clone()).collect(),
        point: name(point).to_owned(),
        gap,
    });
    if let Some(error) = PointsError::all_of(apart.collect()) {
        return Err(error);
    }
    whole(patches, &faces_at, &given, &corners, &moves, &held, name)?;
    let findings = findings(patches, (&faces_at, &given), &held, &fitted, &moves);
    Ok(Met { corners, moves, findings })
}

fn spread<'a>(places: impl Iterator<Item = &'a Point3<f64>> + Clone) -> f64 {
    let low = places.clone().fold(Vector3::repeat(f64::INFINITY), |low, p| low.inf(&p.coords));
    let high = places.fold(Vector3::repeat(f64::NEG_INFINITY), |high, p| high.sup(&p.coords));
    (high - low).max()
}

/// The nearest place on several planes.
struct Nearest {
    place: Point3<f64>,
    /// Largest distance left from any of the planes, metres.
    gap: f64,
    /// The least extent of the planes' normals in the directions they determine (1 for a single plane).
    spanned: f64,
    /// The same over all directions that so many planes should determine: 0 where planes coincide.
    least_spanned: f64,
}

/// The place nearest to `from` that lies on all planes, in the sense of least squares where they have none in common:
/// p = from + N⁺ (d − N from), N the normals row by row.
fn nearest(from: &Point3<f64>, planes: &[Plane]) -> Nearest {
    let normals = DMatrix::from_fn(planes.len(), 3, |row, column| planes[row].normal[column]);
    let off = DVector::from_fn(planes.len(), |row, _| -planes[row].distance(from));
    let svd = normals.svd(true, true);
    let spanned = svd.singular_values.iter().copied().filter(|value| *value > ONE_PLANE).fold(f64::INFINITY, f64::min);
    let least_spanned = svd.singular_values.min();
    let by = svd.solve(&off, ONE_PLANE).map_or_else(|_| Vector3::zeros(), |by| Vector3::new(by[0], by[1], by[2]));
    let place = from + by;
    let gap = planes.iter().map(|plane| plane.distance(&place).abs()).fold(0.0, f64::max);
    Nearest { place, gap, spanned, least_spanned }
}

/// Whether every face is still whole: no corner moved more than half its shortest edge (or, where that is shorter than
/// the noise, more than chance allows), no ring crosses itself.
fn whole<'a>(
    patches: &[Patch],
    faces_at: &BTreeMap<PointId, Vec<usize>>,
    given: &BTreeMap<PointId, Point3<f64>>,
    corners: &BTreeMap<PointId, Point3<f64>>,
    moves: &[Move],
    held: &BTreeMap<PointId, Held>,
    name: impl Fn(PointId) -> &'a str + Copy,
) -> Result<(), PointsError> {
    let names =
        |point: PointId| -> Vec<String> { faces_at[&point].iter().map(|&face| patches[face].name.clone()).collect() };
    let mut shortest: BTreeMap<PointId, f64> = BTreeMap::new();
    for patch in patches {
        for (index, &from) in patch.ring.iter().enumerate() {
            let to = patch.ring[(index + 1) % patch.ring.len()];
            let length = (given[&to] - given[&from]).norm();
            for point in [from, to] {
                shortest.entry(point).and_modify(|least| *least = least.min(length)).or_insert(length);
            }
        }
    }
    let most = |moved: &Move| (shortest[&moved.point] / 2.0).max(BEYOND_CHANCE * moved.sigma);
    let crossed: Vec<String> = patches
        .iter()
        .filter_map(|patch| match in_order(patch, |point| corners[&point], name) {
            Err(PointsError::NotInOrder { first, .. }) => Some(first),
            _ => None,
        })
        .collect();
    let mut errors: Vec<PointsError> = Vec::new();
    for moved in moves {
        let (by, most) = (moved.by.norm(), most(moved));
        if by <= most && !crossed.contains(&moved.name) {
            continue;
        }
        // Where planes were turned to meet, the corner they were turned for is to blame.
        let faces = &faces_at[&moved.point];
        let blamed = held.keys().find(|point| faces_at[point].iter().any(|face| faces.contains(face)));
        let point = blamed.copied().unwrap_or(moved.point);
        let (faces, point): (Vec<String>, String) = (names(point), name(point).to_owned());
        let error = match <[String; 1]>::try_from(faces) {
            Ok([face]) => PointsError::NotFlat { face, point, by, most },
            Err(faces) => PointsError::CannotMeet { faces, point, moved: moved.name.clone(), by, most },
        };
        let said = |other: &PointsError| match (other, &error) {
            (PointsError::CannotMeet { point: a, .. }, PointsError::CannotMeet { point: b, .. }) => a == b,
            _ => false,
        };
        if !errors.iter().any(said) {
            errors.push(error);
        }
    }
    match PointsError::all_of(errors) {
        None => Ok(()),
        Some(error) => Err(error),
    }
}

/// A move shorter than this is not worth a word, metres.
const WORTH_A_WORD: f64 = 0.0005;

fn findings(
    patches: &[Patch],
    (faces_at, given): (&BTreeMap<PointId, Vec<usize>>, &BTreeMap<PointId, Point3<f64>>),
    held: &BTreeMap<PointId, Held>,
    fitted: &[Plane],
    moves: &[Move],
) -> Vec<Finding> {
    let planes = |point: PointId| -> Vec<PlaneId> { faces_at[&point].iter().map(|&face| patches[face].id).collect() };
    let mut findings = Vec::new();
    for (&point, kind) in held {
        let turns = faces_at[&point].iter().map(|&face| patches[face].plane.normal.angle(&fitted[face].normal));
        let apart = faces_at[&point].iter().flat_map(|&face| {
            let patch = &patches[face];
            patch
                .ring
                .iter()
                .map(move |point| (patch.plane.distance(&given[point]) - fitted[face].distance(&given[point])).abs())
        });
        let why = match kind {
            Held::Freely => Refitted::ManyMeet,
            Held::NearItsPlace => Refitted::NearlyOnePlane,
        };
        let (turned, moved) = (turns.fold(0.0, f64::max), apart.fold(0.0, f64::max));
        findings.push(Finding::PlanesRefitted { point, faces: planes(point), why, turned, moved });
    }
    let mut moved: Vec<&Move> = moves.iter().filter(|moved| moved.by.norm() >= WORTH_A_WORD).collect();
    moved.sort_by(|a, b| b.by.norm().total_cmp(&a.by.norm()));
    if !moved.is_empty() {
        let mut faces: Vec<PlaneId> = moved.iter().flat_map(|moved| planes(moved.point)).collect();
        faces.sort();
        faces.dedup();
        let moved = moved.iter().map(|moved| (moved.point, moved.by.norm())).collect();
        findings.push(Finding::PointsMoved { moved, faces });
    }
    for moved in moved.iter().filter(|moved| moved.by.norm() > BEYOND_CHANCE * moved.sigma) {
        let (point, by) = (moved.point, moved.by.norm());
        findings.push(Finding::PointMovedFar { point, by, sigma: moved.sigma, faces: planes(point) });
    }
    findings
}
