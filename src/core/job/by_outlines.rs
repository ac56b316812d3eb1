//! How the numbers of a roof over outlines follow its coordinates and readings, to first order, written out where the roof
//! has derivatives ([`crate::roof::analysis::derivatives`]).
//!
//! The corners of an outline as it was measured move its sides' lines; where a block is squared up, or a pitch was found
//! from a height or a rafter, the outlines are traced again with each coordinate a little off instead, and with each pitch;
//! either way no roof is solved again. Roofs with dormers, which stand in a solved roof, have no derivatives here.

use super::by_points::of_edge;
use super::model::Job;
use super::moved::{MOST_COORDINATES, Moved, STEP, uncertain};
use super::still::Still;
use crate::base::gradient::Gradient;
use crate::base::ids::{CornerId, FaceId};
use crate::outline::Footprint;
use crate::outline::block::BlockRole;
use crate::roof::analysis::derivatives::{BlockMotion, Derivatives, MeasuredSide, add_differences, bring_together};
use crate::roof::kernel::envelope::{body, gap};
use crate::roof::{self, Face, FaceKind, Roof};
use crate::survey::Adjusted;
use crate::survey::quantity;
use nalgebra::Point2;
use std::collections::BTreeMap;

/// The roof over outlines alone, and the footprints it was solved from.
#[derive(Clone, Debug)]
pub(super) struct Outlined {
    pub roof: Roof,
    pub footprints: Vec<Footprint>,
}

/// Corners that differ in height by less than this are as high, metres.
const AS_HIGH: f64 = 1e-9;

/// An edge that is longer than so many of its standard deviations lies the way it lies for most of what the measurements
/// may have been.
const SURELY_THERE: f64 = 1.0;

/// The derivatives of the roof over outlines by the coordinates of their corners, numbered as in the covariance, and by
/// readings with these standard deviations, numbered on from there. `is_found`: pitches hang on the outlines; `again` traces
/// the footprints of what was moved. `None` where there are none.
pub(super) fn derivatives(
    job: &Job,
    adjusted: &Adjusted,
    outlined: &Outlined,
    (is_found, sds): (bool, &[f64]),
    again: impl Fn(&Moved) -> Option<Vec<Footprint>>,
) -> Option<Derivatives> {
    if !job.dormers.is_empty() || outlined.footprints.is_empty() {
        return None;
    }
    let is_joined = outlined.footprints.len() > 1;
    let footprints =
        if is_joined { gap::closed(&outlined.footprints, job.site.join_gap).0 } else { outlined.footprints.clone() };
    let still = Moved { rings: adjusted.rings.clone(), readings: vec![0.0; sds.len()] };
    let mut motions: Vec<BlockMotion>;
    let add = |motions: &mut [BlockMotion], parameter: usize, sd: f64, moved: &dyn Fn(f64) -> Moved| {
        let step = STEP * sd;
        let (up, down) = (again(&moved(step))?, again(&moved(-step))?);
        add_differences(motions, &footprints, [&up, &down], parameter, step).then_some(())
    };
    if is_found || job.blocks.iter().any(|block| block.square_up) {
        motions = footprints.iter().map(BlockMotion::still).collect();
        let coordinates: Vec<usize> = uncertain(adjusted).into_iter().filter(|&k| still.has(k)).collect();
        if coordinates.len() > MOST_COORDINATES {
            return None;
        }
        for k in coordinates {
            let sd = adjusted.covariance.entry(k, k).sqrt();
            add(&mut motions, k, sd, &|offset| still.with_coordinate(k, offset))?;
        }
    } else {
        motions = as_measured(job, adjusted, &footprints);
    }
    for (reading, &sd) in sds.iter().enumerate().filter(|(_, sd)| **sd > 0.0) {
        let parameter = adjusted.covariance.count() + reading;
        add(&mut motions, parameter, sd, &|offset| still.with_reading(reading, offset))?;
    }
    let mut solid = None;
    if is_joined {
        bring_together(&mut motions, &footprints, &gap::onto(&footprints, job.site.join_gap));
        if footprints.iter().any(|footprint| footprint.walls.is_some()) {
            let options = roof::Options { tolerance: job.tolerance, join_gap: job.site.join_gap, steps: false };
            let alone = |footprint: &Footprint| roof::solve_one(footprint, &options).ok();
            let roofs: Vec<Roof> = footprints.iter().map(alone).collect::<Option<_>>()?;
            solid = Some(body(&footprints, &roofs, job.tolerance).ok()?);
        }
    }
    let mut derivatives = Derivatives::of(&outlined.roof, solid.as_ref(), &footprints, &motions);
    add_near_meetings(&mut derivatives, &outlined.roof, adjusted, sds);
    Some(derivatives)
}

/// Counts as parting corners what moves the ends of edges that are not surely there at all: where folds that were to meet in
/// one place miss it by less than the measurements tell, the edge between them may as well lie the other way, and what holds
/// of this side of their meeting alone would be said of both. O(edges).
fn add_near_meetings(derivatives: &mut Derivatives, roof: &Roof, adjusted: &Adjusted, sds: &[f64]) {
    let count = adjusted.covariance.count();
    let mut near = Vec::new();
    for edge in &roof.edges {
        let numbers = (3 * edge.from.index(), 3 * edge.to.index());
        let [slopes, ..] = of_edge(edge, roof, numbers);
        let along = chained(derivatives, &slopes);
        let (of_places, of_readings): (Vec<_>, Vec<_>) = along.entries().iter().partition(|entry| entry.0 < count);
        let by_readings = of_readings.iter().map(|(k, slope)| (slope * sds[k - count]).powi(2)).sum::<f64>();
        let variance = adjusted.covariance.variance(&of_places).map(|variance| variance + by_readings);
        if variance.is_none_or(|variance| roof.length(edge).0 < SURELY_THERE * variance.sqrt()) {
            let ends = [edge.from, edge.to].into_iter().flat_map(|corner| &derivatives.corners[corner.index()]);
            near.extend(ends.flat_map(Gradient::entries).map(|entry| entry.0));
        }
    }
    derivatives.parting.extend(near);
}

/// From slopes by the coordinates of corners, three a corner, to slopes by what moves these.
fn chained(derivatives: &Derivatives, by_corners: &[(usize, f64)]) -> Gradient {
    let mut sum = Gradient::new();
    for &(coordinate, slope) in by_corners {
        sum.add(&derivatives.corners[coordinate / 3][coordinate % 3], slope);
    }
    sum.merged()
}

/// How footprints follow the corners of their rings where they were measured.
fn as_measured(job: &Job, adjusted: &Adjusted, footprints: &[Footprint]) -> Vec<BlockMotion> {
    let mut number = 0;
    let mut motions = Vec::with_capacity(footprints.len());
    for (block, footprint) in job.blocks.iter().zip(footprints) {
        let mut rings = Vec::with_capacity(block.rings.len());
        for stated in &block.rings {
            let places: &[Point2<f64>] = &adjusted.rings[number];
            let side = |at: usize| {
                let next = (at + 1) % places.len();
                // A wing's inner side ends where the other roof covers it, wherever it was measured.
                let runs_in = stated.sides[at].role == BlockRole::RunsInto;
                MeasuredSide {
                    name: if runs_in { "" } else { &stated.sides[at].name },
                    ends: [places[at], places[next]],
                    numbers: [at, next].map(|corner| adjusted.covariance.corner(number, corner)),
                }
            };
            rings.push((0..places.len()).map(side).collect());
            number += 1;
        }
        motions.push(BlockMotion::of_measured(footprint, &rings));
    }
    motions
}

/// The derivatives of every number of [`Still::values`] by what moves the roof over outlines, which is the first part of the
/// whole. O(corners).
pub(super) fn gradients(derivatives: &Derivatives, outlines: &Roof, still: &Still<'_>) -> Vec<Gradient> {
    let roof = still.roof();
    let (faces, edges) = (roof.faces.len(), roof.edges.len());
    let mut rows = vec![Gradient::new(); still.rows()];
    let chained = |by_corners: &[(usize, f64)]| chained(derivatives, by_corners);
    for (index, face) in outlines.faces.iter().enumerate() {
        let id = FaceId::new(index);
        rows[faces + index] = derivatives.pitch(outlines, id);
        if face.kind == FaceKind::Roof {
            rows[2 * faces + index] = derivatives.plan_area(outlines, id);
            // The area is that in plan over the cosine of the pitch.
            let (pitch, mut area) = (face.plane.pitch(), Gradient::new());
            area.add(&rows[2 * faces + index], pitch.cos().recip());
            area.add(&rows[faces + index], outlines.area(face).0 * pitch.tan());
            rows[index] = area.merged();
        } else {
            rows[index] = chained(&area(outlines, face));
        }
        for (k, place) in still.support_points(id).iter().enumerate() {
            rows[still.planes() + 3 * index + k] = derivatives.plane_at(outlines, id, place);
        }
    }
    let lengths = 3 * faces;
    for (index, edge) in outlines.edges.iter().enumerate() {
        let numbers = (3 * edge.from.index(), 3 * edge.to.index());
        let [along, level, slope] = of_edge(edge, outlines, numbers);
        rows[lengths + index] = chained(&along);
        rows[lengths + edges + index] = chained(&level);
        // A level edge gets steeper whichever way it is turned: to first order it does not.
        if (outlines.at(edge.to) - outlines.at(edge.from)).z.abs() > AS_HIGH {
            rows[lengths + 2 * edges + index] = chained(&slope);
        }
    }
    let sum = |rows: &[Gradient], members: &mut dyn Iterator<Item = usize>| {
        let mut sum = Gradient::new();
        members.for_each(|member| sum.add(&rows[member], 1.0));
        sum.merged()
    };
    for (index, members) in still.kinds().iter().enumerate() {
        rows[lengths + 3 * edges + index] = sum(&rows, &mut members.iter().map(|edge| lengths + edge.index()));
    }
    let by_pitch = lengths + 3 * edges + still.kinds().len();
    for (index, members) in still.pitches().iter().enumerate() {
        rows[by_pitch + index] = sum(&rows, &mut members.iter().map(|face| face.index()));
    }
    let totals = still.totals();
    let of_kind = |kind: FaceKind| (0..outlines.faces.len()).filter(move |&face| outlines.faces[face].kind == kind);
    rows[totals] = sum(&rows, &mut of_kind(FaceKind::Roof));
    rows[totals + 1] = sum(&rows, &mut of_kind(FaceKind::Roof).map(|face| 2 * faces + face));
    rows[totals + 2] = sum(&rows, &mut of_kind(FaceKind::Wall));
    rows[totals + 3] = derivatives.volume.clone().filter(|_| roof.volume.is_some()).unwrap_or_default();
    rows[totals + 4] = ridge_height(derivatives, outlines, roof);
    rows
}

/// A face's corners, three numbers a corner.
fn ring(roof: &Roof, ring: &[CornerId]) -> Vec<(usize, nalgebra::Point3<f64>)> {
    ring.iter().map(|&corner| (3 * corner.index(), roof.at(corner))).collect()
}

/// Of a face's area by its corners.
fn area(roof: &Roof, face: &Face) -> Vec<(usize, f64)> {
    let mut slopes = quantity::area(&ring(roof, &face.ring)).gradient;
    for hole in &face.holes {
        slopes.extend(quantity::area(&ring(roof, hole)).gradient.into_iter().map(|(at, slope)| (at, -slope)));
    }
    slopes
}

/// Of the highest point. Where several are as high, as the ends of a ridge are, the highest rises with whichever rises most
/// and sinks with whichever sinks least: half-way between is what differences either side give.
fn ridge_height(derivatives: &Derivatives, outlines: &Roof, whole: &Roof) -> Gradient {
    let Some(top) = whole.ridge_height() else { return Gradient::new() };
    let highest = outlines.corners.iter().zip(&derivatives.corners).filter(|(place, _)| top - place.z <= AS_HIGH);
    let highest: Vec<&Gradient> = highest.map(|(_, moves)| &moves[2]).collect();
    let mut ends: BTreeMap<usize, (f64, f64, usize)> = BTreeMap::new();
    for &(parameter, slope) in highest.iter().flat_map(|gradient| gradient.entries()) {
        let (least, most, count) = ends.entry(parameter).or_insert((slope, slope, 0));
        (*least, *most, *count) = (least.min(slope), most.max(slope), *count + 1);
    }
    let middle = |(parameter, (least, most, count)): (usize, (f64, f64, usize))| {
        let (least, most) = if count < highest.len() { (least.min(0.0), most.max(0.0)) } else { (least, most) };
        (parameter, f64::midpoint(least, most))
    };
    ends.into_iter().map(middle).collect()
}
