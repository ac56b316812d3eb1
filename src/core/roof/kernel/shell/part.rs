//! Parts of a solid that touch in a line or a point are parted: what lies round each corner becomes one sheet of
//! triangles with a corner of its own, drawn back into its own part.

use crate::base::union_find::UnionFind;
use crate::roof::model::solid::Solid;
use nalgebra::{Point3, Vector3};
use std::collections::HashMap;

/// Parts what touches, moving corners by `apart`, metres; a solid that touches itself nowhere stays as it is. An edge
/// that four triangles or more run along is paired round the solid: each two that have solid between them.
/// O(triangles log triangles).
pub fn touching(solid: &mut Solid, apart: f64) {
    weld(solid);
    cut_doubled_edges(solid);
    let corners = fans(solid);
    move_apart(solid, &corners, apart);
}

/// For each place the first of the same digits.
#[allow(clippy::cast_possible_truncation)]
fn first_of_place(positions: &[Point3<f64>]) -> Vec<u32> {
    let mut first: HashMap<[u64; 3], u32> = HashMap::with_capacity(positions.len());
    let key = |place: &Point3<f64>| [place.x, place.y, place.z].map(|value| (value + 0.0).to_bits());
    positions.iter().enumerate().map(|(at, place)| *first.entry(key(place)).or_insert(at as u32)).collect()
}

/// Makes corners at one place one, as a reader does who knows places alone.
fn weld(solid: &mut Solid) {
    let first = first_of_place(&solid.positions);
    let mut face_of = Vec::with_capacity(solid.face_of.len());
    let mut triangles = Vec::with_capacity(solid.triangles.len());
    for (t, face) in solid.triangles.iter().zip(&solid.face_of) {
        let t = t.map(|at| first[at as usize]);
        if t[0] != t[1] && t[1] != t[2] && t[2] != t[0] {
            triangles.push(t);
            face_of.push(*face);
        }
    }
    (solid.triangles, solid.face_of) = (triangles, face_of);
}

/// The triangles along each edge, lower number first: those that run up in number, and those that run down.
type Along = HashMap<(u32, u32), [Vec<usize>; 2]>;

fn along(solid: &Solid) -> Along {
    let mut along = Along::with_capacity(2 * solid.triangles.len());
    for (index, t) in solid.triangles.iter().enumerate() {
        for side in 0..3 {
            let (from, to) = (t[side], t[(side + 1) % 3]);
            along.entry((from.min(to), from.max(to))).or_default()[usize::from(from > to)].push(index);
        }
    }
    along
}

/// The pairs of triangles along an edge that have solid between them.
fn pairs(solid: &Solid, (from, to): (u32, u32), [forth, back]: &[Vec<usize>; 2]) -> Vec<[usize; 2]> {
    if let ([forth], [back]) = (forth.as_slice(), back.as_slice()) {
        return vec![[*forth, *back]];
    }
    let (a, b) = (solid.positions[from as usize], solid.positions[to as usize]);
    let Some(axis) = (b - a).try_normalize(0.0) else {
        return forth.iter().zip(back).map(|(&forth, &back)| [forth, back]).collect();
    };
    let right = axis.cross(&if axis.z.abs() < 0.9 { Vector3::z() } else { Vector3::x() }).normalize();
    let up = axis.cross(&right);
    let angle = |triangle: usize| {
        let third = solid.triangles[triangle].into_iter().find(|&at| at != from && at != to).unwrap_or(from);
        let spoke = solid.positions[third as usize] - a;
        spoke.dot(&up).atan2(spoke.dot(&right))
    };
    // The solid lies clockwise of one that runs forth.
    let mut left: Vec<usize> = back.clone();
    let mut out = Vec::new();
    for &one in forth {
        let way = |&other: &usize| (angle(one) - angle(other)).rem_euclid(std::f64::consts::TAU);
        let Some(nearest) = (0..left.len()).min_by(|&x, &y| way(&left[x]).total_cmp(&way(&left[y]))) else { break };
        out.push([one, left.swap_remove(nearest)]);
    }
    out
}

/// Where along it an edge is cut: away from its middle, where a symmetrical roof may have another corner.
const CUT_AT: f64 = 0.382;

/// Cuts every edge that more than two triangles run along, a place for each pair of them, so that the pairs
/// can be parted even where both ends belong to one part.
#[allow(clippy::cast_possible_truncation)]
fn cut_doubled_edges(solid: &mut Solid) {
    let mut doubled: Vec<((u32, u32), [Vec<usize>; 2])> =
        along(solid).into_iter().filter(|(_, [forth, back])| forth.len() > 1 && back.len() > 1).collect();
    doubled.sort_unstable();
    // Pairs are told before any triangle is cut.
    let cuts: Vec<((u32, u32), Vec<[usize; 2]>)> =
        doubled.into_iter().map(|(ends, along)| (ends, pairs(solid, ends, &along))).collect();
    // Of a triangle that was cut, the pieces.
    let mut pieces: HashMap<usize, Vec<usize>> = HashMap::new();
    for ((from, to), pairs) in cuts {
        let (start, end) = (solid.positions[from as usize], solid.positions[to as usize]);
        let place = start + (end - start) * CUT_AT;
        for pair in pairs {
            let fresh = solid.positions.len() as u32;
            solid.positions.push(place);
            for triangle in pair {
                let of = pieces.entry(triangle).or_insert_with(|| vec![triangle]);
                let runs = |&piece: &usize| {
                    let t = solid.triangles[piece];
                    (0..3).find(|&side| {
                        let ends = (t[side], t[(side + 1) % 3]);
                        ends == (from, to) || ends == (to, from)
                    })
                };
                let Some((piece, side)) = of.iter().find_map(|piece| runs(piece).map(|side| (*piece, side))) else {
                    continue;
                };
                let t = solid.triangles[piece];
                let (start, end, apex) = (t[side], t[(side + 1) % 3], t[(side + 2) % 3]);
                solid.triangles[piece] = [start, fresh, apex];
                solid.triangles.push([fresh, end, apex]);
                solid.face_of.push(solid.face_of[piece]);
                of.push(solid.triangles.len() - 1);
            }
        }
    }
}

/// Gives each corner of each triangle the number of what it lies round: corners that an edge joins are one.
#[allow(clippy::cast_possible_truncation)]
fn fans(solid: &Solid) -> Vec<[u32; 3]> {
    let mut groups = UnionFind::new(3 * solid.triangles.len());
    let mut edges: Vec<_> = along(solid).into_iter().collect();
    edges.sort_unstable();
    for (ends, along) in edges {
        for [one, other] in pairs(solid, ends, &along) {
            for at in [ends.0, ends.1] {
                let corner = |triangle: usize| {
                    let position =
                        solid.triangles[triangle].iter().position(|&corner| corner == at).unwrap_or_default();
                    (3 * triangle + position) as u32
                };
                groups.join(corner(one), corner(other));
            }
        }
    }
    (0..solid.triangles.len()).map(|triangle| [0, 1, 2].map(|side| groups.root((3 * triangle + side) as u32))).collect()
}

/// Gives a place of its own to all but the largest of the fans about each corner.
#[allow(clippy::cast_possible_truncation)]
fn move_apart(solid: &mut Solid, fans: &[[u32; 3]], apart: f64) {
    let first = first_of_place(&solid.positions);
    // Fans by place and corner, with the number of triangles in each and the sum of their directions, by their angles.
    let mut at: HashMap<[u32; 3], (usize, Vector3<f64>)> = HashMap::new();
    for (t, fan) in solid.triangles.iter().zip(fans) {
        for side in 0..3 {
            let [a, b, c] = [0, 1, 2].map(|step| solid.positions[t[(side + step) % 3] as usize]);
            let (u, v) = (b - a, c - a);
            let angle = u.angle(&v);
            let normal = u.cross(&v).try_normalize(0.0).unwrap_or_default();
            let entry = at.entry([first[t[side] as usize], t[side], fan[side]]).or_insert((0, Vector3::zeros()));
            *entry = (entry.0 + 1, entry.1 + normal * angle);
        }
    }
    let mut fans_of: Vec<([u32; 3], (usize, Vector3<f64>))> = at.into_iter().collect();
    fans_of.sort_by_key(|([place, corner, fan], (count, _))| (*place, usize::MAX - count, *corner, *fan));
    let mut number: HashMap<(u32, u32), u32> = HashMap::new();
    let (mut last, mut rank) = (None, 0.0);
    for ([at, corner, fan], (_, outwards)) in fans_of {
        if last != Some(at) {
            (last, rank) = (Some(at), 0.0);
            continue;
        }
        // Several that face one way still come to places of their own.
        rank += 1.0;
        let place: Point3<f64> = solid.positions[corner as usize];
        let back = outwards.try_normalize(0.0).unwrap_or_else(Vector3::z) * (apart * rank);
        number.insert((corner, fan), solid.positions.len() as u32);
        solid.positions.push(place - back);
    }
    if number.is_empty() {
        return;
    }
    for (t, fan) in solid.triangles.iter_mut().zip(fans) {
        for side in 0..3 {
            if let Some(&own) = number.get(&(t[side], fan[side])) {
                t[side] = own;
            }
        }
    }
}
