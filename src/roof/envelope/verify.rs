//! What must hold before a joined roof leaves.

use super::EnvelopeError;
use super::arrangement::Arrangement;
use super::label::Labels;
use super::mesh::Runs;
use super::pieces::Pieces;
use super::sheets::Blocks;
use crate::base::tolerance::RELATIVE;
use crate::roof::model::{FaceKind, Roof};
use std::collections::{HashMap, HashSet};

/// Every edge joins two faces that run along it in opposite ways, or lies over the edge of a block's plan: where nothing
/// lies beyond, or where an overhang ends in the open.
pub fn closed(
    arrangement: &Arrangement,
    labels: &Labels,
    pieces: &Pieces,
    runs: &Runs,
    names: &[String],
) -> Result<(), EnvelopeError> {
    let point_of: HashMap<usize, usize> = pieces
        .corners
        .over
        .iter()
        .enumerate()
        .flat_map(|(point, over)| over.iter().map(move |&corner| (corner, point)))
        .collect();
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
            let face = along.iter().flatten().next().map(|&index| names[index].clone()).unwrap_or_default();
            return Err(EnvelopeError { check: "the surface is closed between the outlines".into(), face });
        }
    }
    Ok(())
}

/// Corners lie on their planes; plan areas add up to those of the cells they came from; names are unique.
pub fn faces(arrangement: &Arrangement, labels: &Labels, blocks: &Blocks, roof: &Roof) -> Result<(), EnvelopeError> {
    let slack = 4.0 * blocks.slack();
    let mut names = HashSet::new();
    let mut plan = 0.0;
    for face in &roof.faces {
        let off = |check: &str| EnvelopeError { check: check.into(), face: face.name.clone() };
        let places = roof.ring(face).into_iter().chain(roof.holes(face).into_iter().flatten());
        if places.map(|place| face.plane.distance(&place).abs()).any(|distance| distance.is_nan() || distance > slack) {
            return Err(off("corners lie on their face's plane"));
        }
        if !names.insert(&face.name) {
            return Err(off("names are unique"));
        }
        if face.ring.len() < 3 {
            return Err(off("a face has three corners"));
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
    let bound = 1e-9 * wanted + blocks.tolerance * blocks.size() * RELATIVE.sqrt();
    if (plan - wanted).abs() > bound {
        let check = format!("plan areas add up to the outlines' ({plan} and {wanted} m²)");
        return Err(EnvelopeError { check, face: String::new() });
    }
    Ok(())
}
