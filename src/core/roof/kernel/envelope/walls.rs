//! Walls: wherever the building's height parts along an arc, and gables above the outline.

use super::arrangement::{Arrangement, Half, along};
use super::label::Labels;
use super::pieces::{Corners, FacePart, Ordered, side_along};
use super::sheets::{BlockSide, Blocks, direction};
use crate::roof::model::FaceKind;
use nalgebra::Point2;

/// A wall over one arc, the higher part to the half's left.
#[derive(Clone, Debug)]
struct Panel {
    half: Half,
    /// Corners along its foot, at the half's start and end.
    low: [usize; 2],
    /// Corners along its top.
    high: [usize; 2],
}

/// All walls, panels in one line joined.
pub fn walls(arrangement: &Arrangement, blocks: &Blocks, labels: &Labels, corners: &mut Corners) -> Vec<FacePart> {
    let mut panels: Ordered<Panel> = Ordered::new();
    for half in 0..arrangement.next.len() {
        let [here, beyond] = [arrangement.cell[half], arrangement.cell[half ^ 1]];
        let points = arrangement.ends(half);
        let places = arrangement.places(half);
        let (sheet, low) = if let (Some(upper), Some(lower)) = (labels.solid[here], labels.solid[beyond]) {
            if blocks.sheets[upper].same_plane == blocks.sheets[lower].same_plane {
                continue;
            }
            (upper, points.map(|point| corners.of_sheet(arrangement, blocks, lower, point)))
        } else if let ([upper, ..], []) = (labels.visible[here].as_slice(), labels.visible[beyond].as_slice()) {
            let standing = standing(blocks, &alike(blocks, arrangement, here, *upper), &places);
            let Some(side) = standing else { continue };
            let base = blocks.side(side).height;
            (*upper, points.map(|point| corners.corner(arrangement, point, base)))
        } else {
            continue;
        };
        let high = points.map(|point| corners.of_sheet(arrangement, blocks, sheet, point));
        let rises = |k: usize| corners.places[high[k]].z > corners.places[low[k]].z && high[k] != low[k];
        let falls = |k: usize| corners.places[high[k]].z < corners.places[low[k]].z && high[k] != low[k];
        if falls(0) || falls(1) || !(rises(0) || rises(1)) {
            continue;
        }
        let side = owner(blocks, sheet, &alike(blocks, arrangement, here, sheet), &places);
        panels.entry(side).or_default().push(Panel { half, low, high });
    }
    let mut out = Vec::new();
    for (side, panels) in panels {
        for chain in chains(arrangement, corners, panels) {
            out.push(FacePart { side, sides: vec![side], sheet: None, rings: vec![ring(&chain)] });
        }
    }
    out
}

/// The blocks that have a face in a sheet's plane over a cell, in file order.
fn alike(blocks: &Blocks, arrangement: &Arrangement, cell: usize, sheet: usize) -> Vec<usize> {
    let (place, plane) = (arrangement.inside[cell], blocks.sheets[sheet].same_plane);
    let has = |block: &usize| {
        *block == blocks.sheets[sheet].block
            || blocks.sheet_over(*block, &place).is_some_and(|over| blocks.sheets[over].same_plane == plane)
    };
    (0..blocks.footprints.len()).filter(has).collect()
}

/// The side a wall belongs to: of the blocks whose surface it carries the longest side it stands on, else the one that
/// their own wall there belongs to, else the one whose roof it carries.
fn owner(blocks: &Blocks, sheet: usize, alike: &[usize], ends: &[Point2<f64>; 2]) -> BlockSide {
    if let Some(found) = standing(blocks, alike, ends) {
        return found;
    }
    let walled = |&block: &usize| wall_of(blocks, block, ends);
    alike.iter().find_map(walled).unwrap_or(blocks.sheets[sheet].sides[0])
}

/// The side that a wall stands on: of walls that coincide the longest, so that it is not cut where a shorter one begins
/// and ends.
fn standing(blocks: &Blocks, alike: &[usize], ends: &[Point2<f64>; 2]) -> Option<BlockSide> {
    let length = |&BlockSide { block, ring, number }: &BlockSide| {
        let sides = &blocks.footprints[block].rings[ring].sides;
        (sides[(number + 1) % sides.len()].start - sides[number].start).norm()
    };
    let stands = |&block: &usize| side_along(blocks, block, ends);
    let longer = |best, next| if length(&next) > length(&best) + blocks.tolerance { next } else { best };
    alike.iter().filter_map(stands).reduce(longer)
}

/// The side that a block's own wall along a line belongs to.
fn wall_of(blocks: &Blocks, block: usize, ends: &[Point2<f64>; 2]) -> Option<BlockSide> {
    let roof = &blocks.roofs[block];
    let stands_here = |face: &&crate::roof::Face| {
        let ring = roof.ring(face);
        let covered = |end: &Point2<f64>| {
            (0..ring.len()).any(|k| {
                let (from, to) = (ring[k].xy(), ring[(k + 1) % ring.len()].xy());
                (to - from).norm() > blocks.tolerance && along(end, &from, &to).1 <= 2.0 * blocks.tolerance
            })
        };
        face.kind == FaceKind::Wall && ends.iter().all(covered)
    };
    blocks.index_of(roof.faces.iter().find(stands_here)?.side()?)
}

/// Panels in one line whose faces touch along a plumb line, in order.
fn chains(arrangement: &Arrangement, corners: &Corners, mut panels: Vec<Panel>) -> Vec<Vec<Panel>> {
    let mut out = Vec::new();
    let height = |corner: usize| corners.places[corner].z;
    let follows = |before: &Panel, after: &Panel| {
        let ([a, b], [c, d]) = (arrangement.places(before.half), arrangement.places(after.half));
        let straight = direction(&a, &b).perp(&direction(&c, &d)).abs() * (d - c).norm() <= corners.slack()
            && direction(&a, &b).dot(&direction(&c, &d)) > 0.0;
        arrangement.ends(before.half)[1] == arrangement.ends(after.half)[0]
            && straight
            && height(before.high[1]).min(height(after.high[0])) > height(before.low[1]).max(height(after.low[0]))
            && before.low[1] != before.high[1]
            && after.low[0] != after.high[0]
    };
    while let Some(first) = panels.pop() {
        let mut chain = vec![first];
        while let Some(position) = panels.iter().position(|panel| follows(&chain[chain.len() - 1], panel)) {
            chain.push(panels.swap_remove(position));
        }
        while let Some(position) = panels.iter().position(|panel| follows(panel, &chain[0])) {
            chain.insert(0, panels.swap_remove(position));
        }
        out.push(chain);
    }
    out
}

/// Along the feet, and back along the tops.
fn ring(chain: &[Panel]) -> Vec<usize> {
    let feet = chain.iter().flat_map(|panel| panel.low);
    let tops = chain.iter().rev().flat_map(|panel| [panel.high[1], panel.high[0]]);
    let mut ring: Vec<usize> = feet.chain(tops).collect();
    ring.dedup();
    while ring.len() > 1 && ring.first() == ring.last() {
        ring.pop();
    }
    ring
}
