//! Walls with their plates, and what dormers stand in.

use super::model::Overhang;
use crate::base::ids::EdgeId;
use crate::base::name::SideName;
use crate::framing::timber::{Wall, inset_of};
use crate::job::model::Job;
use crate::outline::block::{Block, OutlineDatum};
use crate::outline::{Footprint, Ring, Side};
use crate::roof::analysis::standing::Host;
use crate::roof::{Edge, EdgeKind, FaceKind, Roof};
use nalgebra::Point2;

/// A block's walls with their plates, where its outline was measured there.
pub(in crate::job) fn walls_of(block: &Block, footprint: &Footprint) -> Vec<Wall> {
    let OutlineDatum::Wall { above_plate, .. } = block.datum else { return Vec::new() };
    let rings = footprint.rings.iter().zip(footprint.walls.iter().flatten());
    let of_ring = |(ring, corners): (&Ring, &Vec<Point2<f64>>)| {
        let side = |(at, (side, from)): (usize, (&Side, &Point2<f64>))| Wall {
            side: SideName { block: footprint.name.clone(), side: side.name.clone() },
            ends: [*from, corners[(at + 1) % corners.len()]],
            above_plate,
        };
        ring.sides.iter().zip(corners).enumerate().map(side).collect::<Vec<Wall>>()
    };
    rings.flat_map(of_ring).collect()
}

/// How far each eave and verge reaches out over the wall below it, where there is one. O(edges · walls).
pub(super) fn overhangs(roof: &Roof, walls: &[Wall]) -> Vec<Overhang> {
    let of_edge = |(index, edge): (usize, &Edge)| {
        let id = EdgeId::new(index);
        let face = edge.faces.iter().map(|face| &roof.faces[face.index()]).find(|face| face.kind == FaceKind::Roof)?;
        let reach = match edge.kind {
            EdgeKind::Eave => inset_of((roof, walls), face, id, |wall| face.is_of(&wall.side)),
            EdgeKind::Verge => {
                let block = face.block()?;
                inset_of((roof, walls), face, id, |wall| wall.side.block == *block)
            }
            _ => None,
        };
        reach.map(|reach| Overhang { edge: id, reach })
    };
    roof.edges.iter().enumerate().filter_map(of_edge).collect()
}

/// The side of the face that each dormer stands in.
pub(in crate::job) fn hosts(job: &Job) -> Vec<Host> {
    let host = |dormer: &crate::outline::Dormer| {
        let block = job.blocks.get(dormer.face.block.index())?;
        let side = block.rings.get(dormer.face.ring as usize)?.sides.get(dormer.face.side as usize)?;
        Some(Host { dormer: dormer.name.as_str().into(), side: SideName::new(&block.name, &side.name) })
    };
    job.dormers.iter().filter_map(host).collect()
}
