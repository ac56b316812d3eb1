//! Where the rafters of a face stand.

use super::model::{Carcass, SHORTEST};
use super::node::Meetings;
use super::run::RidgeRun;
use super::seat;
use crate::base::ids::{EdgeId, FaceId};
use crate::base::tolerance;
use crate::framing::spec::GridEnd;
use crate::roof::analysis::chord::Chords;
use crate::roof::{EdgeKind, Face};

/// Centres of the rafters of a face, along its eave in the face's frame, in order, with the ends of the openings that they are
/// trimmed at.
///
/// One grid a face: from the end of its ridge, so that rafters of both slopes stand opposite each other, and at hipped ends
/// from the apex, so that jacks of even pitches meet in pairs; else from its left end. A rafter stands flush at each verge, one
/// at each end of a ridge between hips, one at each side of an opening that cuts rafters; a rafter of the grid that would
/// stand in their place is left out.
pub(super) fn centres(
    carcass: &Carcass<'_>,
    (id, face): (FaceId, &Face),
    chords: &Chords,
    meetings: &Meetings,
) -> Vec<f64> {
    let spec = carcass.spec;
    let own = spec.grids.iter().find(|grid| face.id.is(&grid.face));
    let spacing = own.and_then(|grid| grid.spacing).unwrap_or(spec.spacing);
    let thickness = spec.sections.rafter().thickness;
    let Some([left, right]) = chords.span() else { return Vec::new() };
    let ends = [(left, 1.0), (right, -1.0)].map(|end| flush_end(carcass, face, chords, end));
    // From outermost centre to outermost centre.
    let from = ends[0].map_or(left, |end| left.max(end) + thickness / 2.0);
    let to = ends[1].map_or(right, |end| right.min(end) - thickness / 2.0);
    if to - from < -tolerance::SMALLEST {
        return Vec::new();
    }
    let mut fixed: Vec<f64> = Vec::new();
    fixed.extend(ends[0].map(|_| from));
    fixed.extend(ends[1].map(|_| to));
    let at_ridge = ridge_ends(carcass, face, chords, meetings);
    let stands_free = |place: f64, fixed: &[f64]| {
        place >= from - tolerance::SMALLEST
            && place <= to + tolerance::SMALLEST
            && fixed.iter().all(|other| (other - place).abs() >= thickness - tolerance::SMALLEST)
    };
    let origin = match own.map(|grid| (grid.from, grid.first)) {
        Some((from_end, first)) if from_end.is_some() || first.is_some() => {
            let [start, end] = eave_ends(carcass, face, chords).unwrap_or([left, right]);
            let first = first.unwrap_or(thickness / 2.0);
            if from_end == Some(GridEnd::Right) { end - first } else { start + first }
        }
        _ => match at_ridge.first() {
            Some(end) => end.at.clamp(from, to),
            None => apex(carcass, face, chords).unwrap_or(from).clamp(from, to),
        },
    };
    if own.is_none_or(|grid| grid.from.is_none() && grid.first.is_none()) {
        for end in &at_ridge {
            if stands_free(end.rafter, &fixed) {
                fixed.push(end.rafter);
            }
        }
    }
    let steps = ((from - origin) / spacing).ceil();
    let mut grid = Vec::new();
    let mut step = steps;
    while origin + step * spacing <= to + tolerance::SMALLEST {
        grid.push(origin + step * spacing);
        step += 1.0;
    }
    let trimming = trimming(carcass, id, &grid, &fixed, thickness);
    for place in trimming {
        if stands_free(place, &fixed) {
            fixed.push(place);
        }
    }
    let on_grid: Vec<f64> = grid.into_iter().filter(|place| stands_free(*place, &fixed)).collect();
    fixed.extend(on_grid);
    fixed.sort_by(f64::total_cmp);
    fixed
}

/// Where a rafter stands flush at an end of a face, along its eave: within the verge or wall there, or the wall below it where
/// that is known; `None` where the face ends in a point or a slanting edge. `inwards`: 1 at its left end, -1 at its right.
fn flush_end(carcass: &Carcass<'_>, face: &Face, chords: &Chords, (at, inwards): (f64, f64)) -> Option<f64> {
    let roof = carcass.roof;
    let edge = face.edges.iter().copied().find(|edge| {
        let of = &roof.edges[edge.index()];
        let ends = [of.from, of.to].map(|corner| chords.frame.to_face(&roof.at(corner)));
        ends.iter().all(|end| (end.x - at).abs() <= tolerance::SMALLEST)
            && (ends[1].y - ends[0].y).abs() > SHORTEST
            && !matches!(of.kind, EdgeKind::Hip | EdgeKind::Valley)
    })?;
    let inset = match roof.edges[edge.index()].kind {
        EdgeKind::Verge => verge_inset(carcass, face, edge),
        _ => 0.0,
    };
    Some(at + inwards * inset)
}

/// How far within a verge the wall stands, level, metres; where it is not known the board along the verge.
fn verge_inset(carcass: &Carcass<'_>, face: &Face, verge: EdgeId) -> f64 {
    let boards = carcass.spec.projection + carcass.spec.sections.fascia_thickness();
    let wall = face
        .block()
        .and_then(|block| seat::inset_of((carcass.roof, carcass.walls), face, verge, |wall| wall.side.block == *block));
    wall.map_or(boards, |wall| wall.max(boards))
}

/// The ends of the face's eaves along them, the outermost.
fn eave_ends(carcass: &Carcass<'_>, face: &Face, chords: &Chords) -> Option<[f64; 2]> {
    let roof = carcass.roof;
    let eaves = face.edges.iter().map(|edge| &roof.edges[edge.index()]).filter(|edge| edge.kind == EdgeKind::Eave);
    let ends = eaves.flat_map(|edge| [edge.from, edge.to]).map(|corner| chords.frame.to_face(&roof.at(corner)).x);
    ends.fold(None, |extent, at| match extent {
        None => Some([at, at]),
        Some([low, high]) => Some([f64::min(low, at), f64::max(high, at)]),
    })
}

/// An end of a ridge, along the face's eave.
struct RidgeEnd {
    /// Where it is.
    at: f64,
    /// Where the rafter at that end stands: clear of the hip or valley that bears on the ridge there.
    rafter: f64,
}

/// The ends of the face's highest ridge, the end that rafters of both its slopes are counted from first.
fn ridge_ends(carcass: &Carcass<'_>, face: &Face, chords: &Chords, meetings: &Meetings) -> Vec<RidgeEnd> {
    let roof = carcass.roof;
    let runs = meetings.runs.iter().filter(|run| run.edges.iter().any(|edge| face.edges.contains(edge)));
    let longest = runs.max_by(|a, b| {
        let height = |run: &&RidgeRun| roof.at(run.corners[0]).z;
        (height(a), a.length).partial_cmp(&(height(b), b.length)).unwrap_or(std::cmp::Ordering::Equal)
    });
    let Some(run) = longest else { return Vec::new() };
    let ends = [run.corners[0], run.corners[run.corners.len() - 1]];
    let along = ends.map(|corner| chords.frame.to_face(&roof.at(corner)).x);
    let half = carcass.spec.sections.rafter().thickness / 2.0;
    let end = |which: usize| {
        let (corner, inwards) = (ends[which], (along[1 - which] - along[which]).signum());
        let bears = face.edges.iter().find(|id| {
            let edge = &roof.edges[id.index()];
            matches!(edge.kind, EdgeKind::Hip | EdgeKind::Valley) && (edge.from == corner || edge.to == corner)
        });
        let clear = bears.map_or(0.0, |edge| meetings.clear_of_fold(carcass, corner, *edge) + half);
        RidgeEnd { at: along[which], rafter: along[which] + inwards * clear }
    };
    vec![end(0), end(1)]
}

/// Where a face without a ridge comes to a point, along its eave; `None` where its head is an edge.
fn apex(carcass: &Carcass<'_>, face: &Face, chords: &Chords) -> Option<f64> {
    let corners = face.ring.iter().map(|corner| chords.frame.to_face(&carcass.roof.at(*corner)));
    let highest = corners.clone().max_by(|a, b| a.y.total_cmp(&b.y))?;
    let level = corners.filter(|corner| highest.y - corner.y <= tolerance::SMALLEST).count();
    (level == 1).then_some(highest.x)
}

/// The rafters that stand at the sides of the openings which cut rafters of the grid.
fn trimming(carcass: &Carcass<'_>, face: FaceId, grid: &[f64], fixed: &[f64], thickness: f64) -> Vec<f64> {
    let openings = carcass.openings.iter().filter(|opening| opening.face == face);
    let sides = openings.filter_map(|opening| {
        let (low, high) =
            opening.ring.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), at| (l.min(at.x), h.max(at.x)));
        let cuts = |place: &&f64| {
            **place + thickness / 2.0 > low + tolerance::SMALLEST
                && **place - thickness / 2.0 < high - tolerance::SMALLEST
        };
        let any = grid.iter().chain(fixed).any(|place| cuts(&place));
        any.then_some([low - thickness / 2.0, high + thickness / 2.0])
    });
    sides.flatten().collect()
}
