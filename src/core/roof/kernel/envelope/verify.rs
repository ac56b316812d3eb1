//! What must hold before a joined roof leaves.

use super::arrangement::Arrangement;
use super::label::Labels;
use super::mesh::Runs;
use super::pieces::Pieces;
use super::sheets::{Blocks, Ring, within};
use crate::base::polygon_boolean;
use crate::base::tolerance::{RELATIVE, ROUNDING};
use crate::roof::checks::{Check, Violation};
use crate::roof::model::names::FaceName;
use crate::roof::model::solid;
use crate::roof::model::triangulate::Triangulator;
use crate::roof::model::{FaceKind, Roof};
use nalgebra::Point2;
use std::collections::HashSet;

/// Every edge joins two faces that run along it in opposite ways, or lies over the edge of a block's plan: where nothing
/// lies beyond, or where an overhang ends in the open.
pub fn closed(
    arrangement: &Arrangement,
    labels: &Labels,
    pieces: &Pieces,
    runs: &Runs,
    blocks: &Blocks,
) -> Result<(), Violation> {
    let point_of = pieces.corners.points();
    let mut open: HashSet<(usize, usize)> = HashSet::new();
    let mut open_points: HashSet<usize> = HashSet::new();
    for half in 0..arrangement.next.len() {
        let cells = [arrangement.cell[half], arrangement.cell[half ^ 1]];
        let overhangs = |&cell: &usize| labels.visible[cell].iter().any(|&sheet| labels.solid[cell] != Some(sheet));
        if cells.iter().any(|&cell| labels.visible[cell].is_empty()) || cells.iter().any(overhangs) {
            let [a, b] = arrangement.ends(half);
            open.insert((a.min(b), a.max(b)));
            open_points.extend([a, b]);
        }
    }
    for (&(a, b), along) in runs {
        if let [Some(_), Some(_)] = along {
            continue;
        }
        let (p, q) = (point_of[&a], point_of[&b]);
        let allowed = if p == q { open_points.contains(&p) } else { open.contains(&(p.min(q), p.max(q))) };
        if !allowed {
            let faces =
                along.iter().flatten().map(|&index| FaceName::over(blocks.name(pieces.all[index].side))).collect();
            return Err(Violation { check: Check::ClosedBetweenOutlines, faces });
        }
    }
    Ok(())
}

/// Corners lie on their planes; plan areas add up to those of the cells they came from; names are unique.
pub fn faces(arrangement: &Arrangement, labels: &Labels, blocks: &Blocks, roof: &Roof) -> Result<(), Violation> {
    let slack = 4.0 * blocks.slack();
    let mut names = HashSet::new();
    let mut plan = 0.0;
    for face in &roof.faces {
        let off = |check: Check| Violation::at(check, face.id.clone());
        let places = roof.ring(face).into_iter().chain(roof.holes(face).into_iter().flatten());
        if places.map(|place| face.plane.distance(&place).abs()).any(|distance| distance.is_nan() || distance > slack) {
            return Err(off(Check::Flat));
        }
        if !names.insert(&face.id) {
            return Err(off(Check::NamesUnique));
        }
        if face.ring.len() < 3 {
            return Err(off(Check::ThreeCorners));
        }
        if face.kind == FaceKind::Roof {
            plan += roof.plan_area(face).0;
        }
    }
    let mut wanted = 0.0;
    let origin = arrangement.points.first().copied().unwrap_or_else(nalgebra::Point2::origin);
    for half in 0..arrangement.next.len() {
        let [from, to] = arrangement.places(half);
        let sheets = labels.visible[arrangement.cell[half]].len();
        wanted += (from - origin).perp(&(to - origin)) / 2.0 * sheets as f64;
    }
    // Corners dropped from straight edges may lie off them by the tolerance.
    let bound = ROUNDING * wanted + blocks.tolerance * blocks.size() * RELATIVE.sqrt();
    if (plan - wanted).abs() > bound {
        return Err(Violation { check: Check::PlanArea { expected: wanted, found: plan }, faces: Vec::new() });
    }
    Ok(())
}

/// What the cells that show something cover is what the blocks' plans cover together.
pub fn plan(arrangement: &Arrangement, labels: &Labels, blocks: &Blocks, plans: &[Vec<Ring>]) -> Result<(), Violation> {
    let origin = arrangement.points.first().copied().unwrap_or_else(Point2::origin);
    let mut covered = 0.0;
    for half in (0..arrangement.next.len()).filter(|&half| !labels.visible[arrangement.cell[half]].is_empty()) {
        let [from, to] = arrangement.places(half);
        covered += (from - origin).perp(&(to - origin)) / 2.0;
    }
    let mut together: Vec<Ring> = Vec::new();
    for plan in plans {
        together = polygon_boolean::joined(&together, plan).into_iter().flat_map(|region| region.rings).collect();
    }
    let wanted: f64 = together.iter().map(|ring| crate::base::polygon::signed_area(ring)).sum();
    // Every outline may have moved by the tolerance.
    let round = |ring: &Ring| (0..ring.len()).map(|k| (ring[(k + 1) % ring.len()] - ring[k]).norm()).sum::<f64>();
    let bound = ROUNDING * wanted + blocks.tolerance * plans.iter().flatten().map(round).sum::<f64>();
    if (covered - wanted).abs() <= bound {
        return Ok(());
    }
    Err(Violation { check: Check::Covered { expected: wanted, found: covered }, faces: Vec::new() })
}

/// Over the middle of every triangle of every roof face a block has its roof at that height, and no block's roof within
/// its walls is higher. `inside`: blocks count within their walls only. O(triangles · corners of all faces).
pub fn upper(roof: &Roof, blocks: &Blocks, inside: bool) -> Result<(), Violation> {
    let slack = 4.0 * blocks.slack();
    let walls: Vec<Vec<Ring>> = (0..blocks.footprints.len()).map(|block| blocks.walls(block)).collect();
    let mut triangulator = Triangulator::default();
    for (_, face) in roof.roof_faces() {
        let off = |check: Check| Violation::at(check, face.id.clone());
        for triangle in triangulator.cut(roof, face) {
            let [a, b, c] = triangle.map(|corner| roof.corners[corner as usize].xy());
            let round = (b - a).norm() + (c - b).norm() + (a - c).norm();
            // Nearer to an edge than that either side may answer.
            if (b - a).perp(&(c - a)) <= 8.0 * blocks.tolerance * round {
                continue;
            }
            let place = Point2::from((a.coords + b.coords + c.coords) / 3.0);
            let height = face.plane.height_at(&place).unwrap_or(f64::NAN);
            let mut found = false;
            for (block, walls) in walls.iter().enumerate() {
                let solid = blocks.footprints[block].walls.is_none() || within(walls, &place);
                let Some(sheet) = blocks.sheet_over(block, &place).filter(|_| solid || !inside) else { continue };
                let above = blocks.sheets[sheet].height(&place) - height;
                found |= above.abs() <= slack;
                if solid && above > slack {
                    return Err(off(Check::NotHidden));
                }
            }
            if !found {
                return Err(off(Check::InOwnRoof));
            }
        }
    }
    Ok(())
}

/// Closed down to the datum it is a solid: every edge run as often one way as the other, and of the volume summed up
/// before.
pub fn solid(roof: &Roof, slack: f64) -> Result<(), Violation> {
    let built = solid::build(roof, 0.0);
    let off = |check: Check| Violation { check, faces: Vec::new() };
    if !built.is_closed() {
        return Err(off(Check::SolidCloses));
    }
    let (held, wanted) = (built.volume(), roof.volume.unwrap_or(f64::NAN));
    let plan = roof.total_plan_area().0;
    if (held - wanted).abs() <= slack * plan + ROUNDING * wanted.abs() {
        return Ok(());
    }
    Err(off(Check::Volume { expected: wanted, found: held }))
}
