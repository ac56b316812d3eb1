//! How rafters sit on the plate: heel, notch, tail.

use super::model::{Carcass, Home, NOTCH, Seat, TimberKind, Timbers, Wall};
use super::plan::{cross, inward, level};
use crate::base::ids::EdgeId;
use crate::base::tolerance;
use crate::roof::{EdgeKind, Face, Roof};
use nalgebra::Vector2;

/// The plumb height of rafters' tops over the plates' outer edges, metres: as stated, else as the blocks' roof planes lie over
/// their plates, else so that the steepest rafter is notched by [`NOTCH`].
pub(super) fn heel(carcass: &Carcass<'_>) -> f64 {
    let above = carcass.walls.iter().map(|wall| wall.above_plate).fold(0.0, f64::max);
    carcass.spec.heel.unwrap_or_else(|| {
        if above > tolerance::SMALLEST {
            return above;
        }
        let steepest = carcass.roof.roof_faces().map(|(_, face)| face.plane.pitch()).fold(0.0, f64::max);
        carcass.spec.sections.rafter().depth * (1.0 - NOTCH) / steepest.cos()
    })
}

/// How far within an eave of a face the wall below stands, level, metres; `None` where it is not known.
pub(super) fn wall_inset(carcass: &Carcass<'_>, face: &Face, edge: EdgeId) -> Option<f64> {
    inset_of((carcass.roof, carcass.walls), face, edge, |wall| face.is_of(&wall.side))
}

/// How far within an edge of a face the nearest of some walls that run along it stands, level, metres. O(walls).
pub(crate) fn inset_of(
    (roof, walls): (&Roof, &[Wall]),
    face: &Face,
    edge: EdgeId,
    counts: impl Fn(&Wall) -> bool,
) -> Option<f64> {
    let edge_of = &roof.edges[edge.index()];
    let into = inward(roof, face, edge);
    let (from, to) = (roof.at(edge_of.from).xy(), roof.at(edge_of.to).xy());
    let along = (to - from).try_normalize(f64::MIN_POSITIVE)?;
    let inset = |wall: &Wall| {
        let run = wall.ends[1] - wall.ends[0];
        let parallel = cross(along, run).abs() <= tolerance::STRAIGHT * run.norm().max(1.0);
        let at = wall.ends.map(|end| along.dot(&(end - from)));
        let beside = at[0].min(at[1]) < (to - from).norm() && at[0].max(at[1]) > 0.0;
        (parallel && beside).then(|| into.dot(&(wall.ends[0] - from)))
    };
    let insets = walls.iter().filter(|wall| counts(wall)).filter_map(inset);
    insets.filter(|inset| *inset >= -tolerance::SMALLEST).reduce(f64::min)
}

/// Sets the seats of rafters, jacks and hips that start at an eave with a known plate.
pub(super) fn seats(carcass: &Carcass<'_>, timbers: &mut Timbers) {
    let heel = timbers.heel;
    for timber in &mut timbers.all {
        let runs = match (timber.kind, timber.home) {
            (TimberKind::Rafter | TimberKind::Jack, Home::Face(face)) => {
                let of = &carcass.roof.faces[face.index()];
                under(carcass, of, timber.line[0].xy(), timber.along.xy())
            }
            (TimberKind::Hip, Home::Edge(edge)) => {
                let faces = carcass.roof.edges[edge.index()].faces.iter();
                let crossed = faces.filter_map(|face| {
                    under(carcass, &carcass.roof.faces[face.index()], timber.line[0].xy(), timber.along.xy())
                });
                // Where the two walls are not crossed at one place, their corner is not under the hip.
                let runs: Vec<f64> = crossed.collect();
                match runs[..] {
                    [a, b] if (a - b).abs() <= tolerance::BESIDE => Some(f64::midpoint(a, b)),
                    _ => None,
                }
            }
            _ => None,
        };
        let Some(run) = runs else { continue };
        let level_along = timber.along.xy().norm();
        // From the theoretical line's lower end to the wall, along the timber; less what the foot's cut takes off.
        let Some([foot, _]) = timber.top_line() else { continue };
        let tail = run / level_along - foot;
        if tail < -tolerance::SMALLEST {
            continue;
        }
        let plumb_depth = timber.section.depth / level_along;
        let top_over_plate = heel - timber.lowered;
        let over = plumb_depth - top_over_plate;
        let notch = if carcass.spec.birdsmouth { over.max(0.0) } else { 0.0 };
        let slope = timber.along.z / level_along;
        timber.seat = Some(Seat {
            tail,
            heel: if carcass.spec.birdsmouth { top_over_plate } else { plumb_depth },
            seat: if slope > tolerance::SMALLEST { notch / slope } else { 0.0 },
            notch,
            packing: if carcass.spec.birdsmouth { (-over).max(0.0) } else { 0.0 },
        });
    }
}

/// How far in plan from `from`, along `way`, the wall under a face's lowest eave is crossed.
fn under(carcass: &Carcass<'_>, face: &Face, from: nalgebra::Point2<f64>, way: Vector2<f64>) -> Option<f64> {
    let roof = carcass.roof;
    let way = way.try_normalize(f64::MIN_POSITIVE)?;
    let spec = carcass.spec;
    let eaves = face.edges.iter().filter(|edge| roof.edges[edge.index()].kind == EdgeKind::Eave);
    let runs = eaves.filter_map(|&edge| {
        let into = inward(roof, face, edge);
        let start = roof.at(roof.edges[edge.index()].from);
        // The timber starts on this eave's line.
        let off = into.dot(&(from - start.xy()));
        if off.abs() > tolerance::BESIDE {
            return None;
        }
        let inset = match (wall_inset(carcass, face, edge), spec.tail) {
            (Some(inset), _) => inset,
            (None, Some(tail)) => spec.projection + spec.sections.fascia_thickness() + tail,
            (None, None) => return None,
        };
        let towards = level(into).xy().dot(&way);
        (towards > tolerance::SMALLEST).then(|| inset / towards)
    });
    runs.reduce(f64::min)
}
