//! From the loops of a sweep to a roof: faces with names, edges with kinds.

use super::sweep::canonical::{Canonical, Step};
use super::sweep::plane::SweepPlane;
use super::sweep::trace::{Arrangement, Loop, view};
use super::sweep::wavefront::{NONE, Skeleton};
use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::name::SideName;
use crate::base::plane::Plane;
use crate::base::polygon;
use crate::base::tolerance;
use crate::outline::Footprint;
use crate::roof::model::classify;
use crate::roof::model::classify::Context;
use crate::roof::model::names::{FaceName, Numbering, Rank};
use crate::roof::model::{CornerRing, Edge, EdgeKind, Face, FaceKind, Roof};
use nalgebra::{Point2, Point3, Vector3};
use smallvec::SmallVec;
use std::collections::HashMap;

/// A face in the making.
struct SideFace {
    outer: usize,
    holes: Vec<usize>,
    plane: u32,
    sides: SmallVec<[u32; 2]>,
    step: bool,
    rank: Rank,
}

/// Makes a roof of loops. O(n log n).
#[must_use]
pub fn assemble(footprint: &Footprint, input: &Canonical, skeleton: &Skeleton, arrangement: &Arrangement) -> Roof {
    let mut pieces = pieces(input, skeleton, arrangement);
    pieces.sort_by(|a, b| a.rank.compare(&b.rank));
    let block = &footprint.name;
    let name_of = |side: u32| {
        let (ring, number) = input.sides[side as usize].place;
        SideName { block: block.clone(), side: footprint.rings[ring].sides[number].name.clone() }
    };
    let mut numbering = Numbering::default();

    let (corners, corner_of) = corners(input, arrangement);
    let mut roof = Roof { corners, faces: Vec::with_capacity(pieces.len()), ..Roof::default() };
    let mut face_of = vec![NONE; arrangement.segments.len() * 2];
    let mut edge_of = vec![NONE; arrangement.segments.len()];
    let mut first_half = Vec::with_capacity(arrangement.segments.len());
    for (number, piece) in pieces.iter().enumerate() {
        let mut edges = SmallVec::with_capacity(arrangement.halves(&arrangement.loops[piece.outer]).len());
        let mut ring_of = |part: usize| -> CornerRing {
            let halves = arrangement.halves(&arrangement.loops[part]);
            let start = halves.iter().position(|&half| is_foot(arrangement, half)).unwrap_or(0);
            let (before, after) = halves.split_at(start);
            let mut ring = CornerRing::with_capacity(halves.len());
            for &half in after.iter().chain(before) {
                face_of[half as usize] = id(number);
                let slot = &mut edge_of[half as usize / 2];
                if *slot == NONE {
                    *slot = id(first_half.len());
                    first_half.push(half);
                }
                edges.push(EdgeId::new(*slot as usize));
                ring.push(CornerId::new(corner_of[arrangement.from(half) as usize] as usize));
            }
            ring
        };
        let ring = ring_of(piece.outer);
        let holes = piece.holes.iter().map(|&hole| ring_of(hole)).collect();
        roof.faces.push(Face {
            id: FaceName::Piece {
                side: name_of(piece.rank.side),
                kind: piece.rank.kind,
                number: numbering.next(&piece.rank),
            },
            sides: piece.sides.iter().map(|&side| name_of(side)).collect(),
            kind: piece.rank.kind,
            plane: plane(input, &input.planes[piece.plane as usize]),
            ring,
            holes,
            edges,
        });
    }
    roof.edges.reserve(first_half.len());
    for &half in &first_half {
        let corner = |node: u32| CornerId::new(corner_of[node as usize] as usize);
        let (from, to) = (corner(arrangement.from(half)), corner(arrangement.to(half)));
        let (first, second) = (face_of[half as usize], face_of[half as usize ^ 1]);
        roof.edges.push(edge(&roof, input, &pieces, (from, to), (first, second)));
    }
    roof.feet =
        footprint.walls.clone().unwrap_or_else(|| footprint.rings.iter().map(crate::outline::Ring::corners).collect());
    roof.volume = Some(match &footprint.walls {
        Some(walls) => crate::roof::model::solid::volume_within(&roof, walls, 0.0),
        None => crate::roof::model::solid::volume(&roof, 0.0),
    });
    roof
}

/// Whether a half-edge is where its face starts: over its side.
fn is_foot(arrangement: &Arrangement, half: u32) -> bool {
    half.is_multiple_of(2) && arrangement.segments[half as usize / 2].side != NONE
}

fn pieces(input: &Canonical, skeleton: &Skeleton, arrangement: &Arrangement) -> Vec<SideFace> {
    let mut steps: HashMap<u32, SmallVec<[&Step; 1]>> = HashMap::new();
    for step in &input.steps {
        steps.entry(step.plane).or_default().push(step);
    }
    // Sides with one profile of several slopes, which may have come together before the second.
    let mut alike: HashMap<&[u32], SmallVec<[u32; 2]>> = HashMap::new();
    for side in (0..id(input.sides.len())).filter(|&side| input.sides[side as usize].profile.1 > 1) {
        alike.entry(input.planes_of(side)).or_default().push(side);
    }
    let swept_from = swept_from(input, skeleton, arrangement);
    let beside = if alike.is_empty() { Vec::new() } else { input.beside() };
    let slack = tolerance::RELATIVE * input.extent;
    let piece = |(index, part): (usize, &Loop)| {
        let shape = &input.planes[part.plane as usize];
        let halves = arrangement.halves(part);
        let along = shape.along();
        let place = |[x, y]: [f64; 2]| along[0] * x + along[1] * y;
        let node = |node: u32| {
            let [x, y, _] = arrangement.nodes[node as usize];
            place([x, y])
        };
        let mut sides: SmallVec<[u32; 2]> = SmallVec::new();
        let (mut lowest, mut begins) = (f64::INFINITY, f64::INFINITY);
        for &half in halves {
            if is_foot(arrangement, half) {
                let side = arrangement.segments[half as usize / 2].side;
                let known = sides.len();
                if let Some(alike) = alike.get(input.planes_of(side)).filter(|alike| alike.len() > 1) {
                    // Those that this line runs over.
                    let (from, to) = (node(arrangement.from(half)), node(arrangement.to(half)));
                    let over = |side: &u32| {
                        let [start, end] = input.ends_of(*side).map(place);
                        end.min(to) - start.max(from) > slack
                    };
                    sides.extend(alike.iter().copied().filter(over));
                }
                if sides.len() == known {
                    // A roof that begins beyond its sides, where one that rests has run on, is that of all in one line there.
                    match beside.get(side as usize) {
                        Some(&stretch) => sides.extend(sides_beside(input, side, stretch)),
                        None => sides.push(side),
                    }
                }
            }
            lowest = lowest.min(arrangement.nodes[arrangement.from(half) as usize][2]);
            begins = begins.min(node(arrangement.from(half)));
        }
        let step = sides.is_empty() && steps.contains_key(&part.plane);
        if sides.is_empty() {
            // Of several steps in one plane those that this wall grew from.
            let grew_from = |step: &&&Step| {
                halves.iter().any(|&half| (node(arrangement.from(half)) - place(step.at)).abs() <= slack)
            };
            let all = || steps.get(&part.plane).into_iter().flatten();
            sides.extend(swept_from.get(&part.face).into_iter().flatten().copied());
            if sides.is_empty() {
                sides.extend(all().filter(grew_from).map(|step| step.owner));
            }
            if sides.is_empty() {
                sides.push(all().next().map_or(0, |step| step.owner));
            }
        }
        sides.sort_unstable();
        sides.dedup();
        let kind = if shape.is_plumb() { FaceKind::Wall } else { FaceKind::Roof };
        let rank = Rank { side: sides[0], kind, lowest, along: begins };
        SideFace { outer: index, holes: Vec::new(), plane: part.plane, sides, step, rank }
    };
    let mut out: Vec<SideFace> = Vec::with_capacity(arrangement.loops.len());
    out.extend(arrangement.loops.iter().enumerate().filter(|(_, part)| part.area >= 0.0).map(piece));
    for (index, hole) in arrangement.loops.iter().enumerate().filter(|(_, part)| part.area < 0.0) {
        let shape = &input.planes[hole.plane as usize];
        let place = |half: u32| {
            let [x, y] = view(shape, arrangement.nodes[arrangement.from(half) as usize]);
            Point2::new(x, y)
        };
        // The smallest loop round it of the same face.
        let inside = place(arrangement.halves(hole)[0]);
        let round = out
            .iter_mut()
            .filter(|piece| arrangement.loops[piece.outer].face == hole.face)
            .filter(|piece| arrangement.loops[piece.outer].area > -hole.area)
            .filter(|piece| {
                let halves = arrangement.halves(&arrangement.loops[piece.outer]);
                let ring: Vec<Point2<f64>> = halves.iter().map(|&half| place(half)).collect();
                polygon::contains(&ring, &inside)
            })
            .min_by(|a, b| arrangement.loops[a.outer].area.total_cmp(&arrangement.loops[b.outer].area));
        match round {
            Some(piece) => piece.holes.push(index),
            // No hole, for nothing of its face is round it: a face of almost no area that rounding turned over.
            None => out.push(piece((index, hole))),
        }
    }
    out
}

/// By face that begins over no side: the sides that its pieces followed, with those in one line with them from the start.
fn swept_from(input: &Canonical, skeleton: &Skeleton, arrangement: &Arrangement) -> HashMap<u32, SmallVec<[u32; 2]>> {
    let has_foot = |part: &&Loop| arrangement.halves(part).iter().any(|&half| is_foot(arrangement, half));
    let mut found: HashMap<u32, SmallVec<[u32; 2]>> =
        arrangement.loops.iter().filter(|part| !has_foot(part)).map(|part| (part.face, SmallVec::new())).collect();
    if found.is_empty() {
        return found;
    }
    let mut faces = arrangement.faces.clone();
    let beside = input.beside();
    for (piece, &owner) in skeleton.owners.iter().enumerate().filter(|(_, owner)| **owner != NONE) {
        if let Some(sides) = found.get_mut(&faces.root(id(piece))) {
            sides_beside(input, owner, beside[owner as usize]).for_each(|side| {
                if !sides.contains(&side) {
                    sides.push(side);
                }
            });
        }
    }
    found
}

/// The sides of one plane with a side that follow each other along its ring: the first of them, and how many.
fn sides_beside(input: &Canonical, side: u32, (first, count): (u32, u32)) -> impl Iterator<Item = u32> + use<> {
    let ring = input.ring_of(side);
    (0..count).map(move |at| ring.0 + (first + at - ring.0) % ring.1)
}

#[allow(clippy::cast_possible_truncation)]
fn id(index: usize) -> u32 {
    index as u32
}

/// Places of the nodes in use, and where each node went.
fn corners(input: &Canonical, arrangement: &Arrangement) -> (Vec<Point3<f64>>, Vec<u32>) {
    let mut used = vec![NONE; arrangement.nodes.len()];
    for segment in &arrangement.segments {
        used[segment.from as usize] = 0;
        used[segment.to as usize] = 0;
    }
    let mut places = Vec::with_capacity(used.len());
    for (slot, node) in used.iter_mut().zip(arrangement.nodes).filter(|(slot, _)| **slot != NONE) {
        *slot = id(places.len());
        places.push(input.frame.place(*node));
    }
    (places, used)
}

/// The plane in space, normal outwards.
fn plane(input: &Canonical, shape: &SweepPlane) -> Plane {
    let (slope, offset) = input.frame.plane(shape.normal, shape.speed, shape.offset);
    let out = Vector3::new(-shape.normal[0], -shape.normal[1], slope);
    let length = out.norm();
    Plane { normal: out / length, offset: -offset / length }
}

fn edge(
    roof: &Roof,
    input: &Canonical,
    pieces: &[SideFace],
    (from, to): (CornerId, CornerId),
    (first, second): (u32, u32),
) -> Edge {
    let along = roof.at(to) - roof.at(from);
    let face = |index: u32| roof.faces.get(index as usize);
    let piece = |index: u32| pieces.get(index as usize);
    let (one, two) = (face(first), face(second));
    let shape = |index: u32| piece(index).map(|piece| &input.planes[piece.plane as usize]);
    let is_wall = |index: u32| piece(index).is_some_and(|piece| piece.rank.kind == FaceKind::Wall);
    let walls = || [first, second].into_iter().filter(|&index| is_wall(index)).filter_map(piece);
    let context = Context {
        same_direction: shape(first).zip(shape(second)).is_some_and(|(a, b)| a.same_direction(b)),
        abutment: walls().any(|wall| wall.sides.iter().any(|&side| input.sides[side as usize].abutment)),
        step: walls().any(|wall| wall.step),
    };
    let kind = one.map_or(EdgeKind::Base, |one| classify::kind(one, two, &along, context));
    let mut faces: SmallVec<[FaceId; 2]> = SmallVec::new();
    faces.push(FaceId::new(first as usize));
    if second != NONE {
        // The wall second, then in order.
        let swapped = (is_wall(second), second) < (is_wall(first), first);
        faces.insert(usize::from(!swapped), FaceId::new(second as usize));
    }
    let dihedral = one.zip(two).filter(|(one, two)| one.kind == FaceKind::Roof && two.kind == FaceKind::Roof);
    let dihedral = dihedral.map(|(one, two)| classify::dihedral(one, two, &along));
    Edge { kind, from, to, faces, dihedral }
}
