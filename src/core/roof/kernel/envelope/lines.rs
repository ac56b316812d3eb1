//! Broad phase over faces, the lines in which their planes cross, and with those all segments that the plan is cut by.

use super::sheets::{BlockSheet, Blocks, Ring};
use crate::base::parry::to_parry;
use nalgebra::{Point2, Vector2};
use parry3d::bounding_volume::Aabb;
use parry3d::partitioning::{Bvh, BvhBuildStrategy};

/// Pairs of sheets of different blocks whose boxes meet, each pair once.
#[must_use]
pub(crate) fn near_pairs(sheets: &[BlockSheet]) -> Vec<(usize, usize)> {
    let boxes: Vec<Aabb> = sheets.iter().map(|sheet| Aabb::from_points(sheet.corners.iter().map(to_parry))).collect();
    let tree = Bvh::from_leaves(BvhBuildStrategy::Binned, &boxes);
    let mut pairs = Vec::new();
    for (first, sheet) in sheets.iter().enumerate() {
        let reached = tree.intersect_aabb(&boxes[first]).map(|second| second as usize);
        pairs.extend(
            reached
                .filter(|&second| second > first && sheets[second].block != sheet.block)
                .map(|second| (first, second)),
        );
    }
    pairs.sort_unstable();
    pairs
}

/// Where the planes of two sheets cross, as far as both lie over it.
#[must_use]
pub fn crossing(first: &BlockSheet, second: &BlockSheet, tolerance: f64) -> Vec<[Point2<f64>; 2]> {
    if first.same_plane == second.same_plane {
        return Vec::new();
    }
    // height = a x + b y + c on each; their difference vanishes on the line.
    let slope = |sheet: &BlockSheet| -sheet.plane.normal.xy() / sheet.plane.normal.z;
    let across: Vector2<f64> = slope(first) - slope(second);
    let Some(unit) = across.try_normalize(f64::EPSILON) else { return Vec::new() };
    // Worked out from a corner near by, so that the site's distance from the origin costs no digits.
    let near = first.rings[0][0];
    let gap = first.height(&near) - second.height(&near);
    let origin = near - unit * (gap / across.norm());
    let along = Vector2::new(-unit.y, unit.x);
    let mut shares: Vec<f64> = Vec::new();
    for ring in first.rings.iter().chain(&second.rings) {
        for (k, from) in ring.iter().enumerate() {
            let to = ring[(k + 1) % ring.len()];
            let (p, q) = ((from - origin).dot(&unit), (to - origin).dot(&unit));
            if p.abs() <= tolerance {
                shares.push((from - origin).dot(&along));
            } else if q.abs() > tolerance && (p > 0.0) != (q > 0.0) {
                let place = from + (to - from) * (p / (p - q));
                shares.push((place - origin).dot(&along));
            }
        }
    }
    shares.sort_by(f64::total_cmp);
    let place = |share: f64| origin + along * share;
    let both = |share: f64| first.covers(&place(share)) && second.covers(&place(share));
    shares
        .windows(2)
        .filter(|pair| pair[1] - pair[0] > tolerance && both(f64::midpoint(pair[0], pair[1])))
        .map(|pair| [place(pair[0]), place(pair[1])])
        .collect()
}

/// The segments that can bound a visible piece: edges of faces, walls, drip edges, and lines where planes of different
/// blocks cross.
#[must_use]
pub fn segments(blocks: &Blocks) -> Vec<[Point2<f64>; 2]> {
    let mut segments = Vec::new();
    let mut ring = |ring: &Ring| {
        for (k, from) in ring.iter().enumerate() {
            let to = ring[(k + 1) % ring.len()];
            // One that is shorter than the tolerance still ties its ends to one point.
            segments.push([*from, to]);
        }
    };
    for block in 0..blocks.footprints.len() {
        blocks.drip(block).iter().for_each(&mut ring);
        blocks.walls(block).iter().for_each(&mut ring);
    }
    blocks.sheets.iter().flat_map(|sheet| &sheet.rings).for_each(&mut ring);
    for (first, second) in near_pairs(&blocks.sheets) {
        segments.extend(crossing(&blocks.sheets[first], &blocks.sheets[second], blocks.tolerance));
    }
    segments
}
