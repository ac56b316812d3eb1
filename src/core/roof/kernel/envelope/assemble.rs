//! The roof of the pieces: faces named and in order, edges by kind.

use super::mesh;
use super::pieces::Pieces;
use super::sheets::{BlockSheet, BlockSide, Blocks, within};
use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::plane::Plane;
use crate::base::polygon::vector_area;
use crate::roof::checks::Violation;
use crate::roof::model::classify;
use crate::roof::model::names::FaceName;
use crate::roof::model::{CornerRing, Edge, EdgeKind, Face, FaceKind, Roof};
use nalgebra::{Point2, Point3, Vector2, Vector3};
use std::collections::{BTreeMap, HashMap};

/// Faces, edges and corners of a roof; the rest of it is left for the caller.
///
/// # Errors
/// When two faces run along one edge the same way.
pub fn roof(mut pieces: Pieces, blocks: &Blocks) -> Result<Roof, Violation> {
    let places = pieces.corners.places.clone();
    order(&mut pieces, blocks);
    let runs = mesh::runs(&pieces.all, blocks)?;
    let mut roof = Roof::default();
    let mut number: HashMap<usize, CornerId> = HashMap::new();
    for &corner in pieces.all.iter().flat_map(|piece| piece.rings.iter().flatten()) {
        number.entry(corner).or_insert_with(|| {
            roof.corners.push(places[corner]);
            CornerId::new(roof.corners.len() - 1)
        });
    }
    let edge_of: HashMap<(usize, usize), EdgeId> =
        runs.keys().enumerate().map(|(index, &ends)| (ends, EdgeId::new(index))).collect();
    let mut counts: BTreeMap<(BlockSide, bool), u32> = BTreeMap::new();
    for piece in &pieces.all {
        let side = blocks.name(piece.side);
        let is_wall = piece.sheet.is_none();
        let count = counts.entry((piece.side, is_wall)).or_default();
        *count += 1;
        let kind = if is_wall { FaceKind::Wall } else { FaceKind::Roof };
        let ring = |ring: &Vec<usize>| ring.iter().map(|corner| number[corner]).collect::<CornerRing>();
        let edges = piece.rings.iter().flat_map(|ring| {
            (0..ring.len()).map(|k| (ring[k], ring[(k + 1) % ring.len()])).map(|(a, b)| edge_of[&(a.min(b), a.max(b))])
        });
        let outer: Vec<Point3<f64>> = piece.rings[0].iter().map(|&corner| places[corner]).collect();
        let plane = piece.sheet.map_or_else(|| wall_plane(&outer), |sheet| blocks.sheets[sheet].plane);
        roof.faces.push(Face {
            id: FaceName::Piece { side, kind, number: *count },
            sides: piece.sides.iter().map(|&side| blocks.name(side)).collect(),
            kind,
            plane,
            ring: ring(&piece.rings[0]),
            holes: piece.rings[1..].iter().map(ring).collect(),
            edges: edges.collect(),
        });
    }
    for (&(a, b), along) in &runs {
        let edge = edge(&roof, &pieces, blocks, [a, b], *along, &number, &places);
        roof.edges.push(edge);
    }
    Ok(roof)
}

/// Roof before walls on each side, lowest first, then along the side.
fn order(pieces: &mut Pieces, blocks: &Blocks) {
    let places = &pieces.corners.places;
    let key = |piece: &super::pieces::FacePart| {
        let BlockSide { block, ring, number } = piece.side;
        let sides = &blocks.footprints[block].rings[ring].sides;
        let from = sides[number].start;
        let along = sides[(number + 1) % sides.len()].start - from;
        let corners = || piece.rings[0].iter().map(|&corner| places[corner]);
        let lowest = corners().map(|corner| corner.z).fold(f64::INFINITY, f64::min);
        let first = corners().map(|corner| (corner.xy() - from).dot(&along)).fold(f64::INFINITY, f64::min);
        (piece.sheet.is_none(), lowest, first)
    };
    let slack = pieces.corners.slack();
    let keys: Vec<_> = pieces.all.iter().map(key).collect();
    let mut order: Vec<usize> = (0..keys.len()).collect();
    order.sort_by(|&a, &b| {
        let (pa, pb) = (&pieces.all[a], &pieces.all[b]);
        let (ka, kb) = (keys[a], keys[b]);
        let height = if (ka.1 - kb.1).abs() <= slack { std::cmp::Ordering::Equal } else { ka.1.total_cmp(&kb.1) };
        (pa.side, ka.0).cmp(&(pb.side, kb.0)).then(height).then(ka.2.total_cmp(&kb.2))
    });
    pieces.all = order.into_iter().map(|index| pieces.all[index].clone()).collect();
}

/// The plumb plane through a wall's corners, outwards.
fn wall_plane(ring: &[Point3<f64>]) -> Plane {
    let area = vector_area(ring);
    let level = Vector3::new(area.x, area.y, 0.0);
    Plane::through(&ring[0], &level).unwrap_or(Plane { normal: Vector3::x(), offset: 0.0 })
}

fn edge(
    roof: &Roof,
    pieces: &Pieces,
    blocks: &Blocks,
    ends: [usize; 2],
    along: [Option<usize>; 2],
    number: &HashMap<usize, CornerId>,
    places: &[Point3<f64>],
) -> Edge {
    // Roof first; the edge runs with its first face to the left.
    let is_wall = |face: usize| pieces.all[face].sheet.is_none();
    let (first, second, [from, to]) = match along {
        [Some(left), Some(right)] if !is_wall(left) || is_wall(right) => (left, Some(right), ends),
        [Some(left), Some(right)] => (right, Some(left), [ends[1], ends[0]]),
        [Some(left), None] => (left, None, ends),
        [None, Some(right)] => (right, None, [ends[1], ends[0]]),
        [None, None] => (0, None, ends),
    };
    let (start, end) = (places[from], places[to]);
    let kind = kind(roof, pieces, blocks, first, second, &[start, end]);
    let both_roof = second.filter(|&second| !is_wall(first) && !is_wall(second));
    let dihedral = both_roof.map(|second| classify::dihedral(&roof.faces[first], &roof.faces[second], &(end - start)));
    Edge {
        kind,
        from: number[&from],
        to: number[&to],
        faces: std::iter::once(first).chain(second).map(FaceId::new).collect(),
        dihedral,
    }
}

fn kind(
    roof: &Roof,
    pieces: &Pieces,
    blocks: &Blocks,
    first: usize,
    second: Option<usize>,
    ends: &[Point3<f64>; 2],
) -> EdgeKind {
    let along = ends[1] - ends[0];
    let piece = &pieces.all[first];
    if piece.sheet.is_none() {
        return match second {
            None if along.xy().norm() > blocks.slack() => EdgeKind::Base,
            _ => EdgeKind::Corner,
        };
    }
    let before = || piece.sheet.and_then(|sheet| kind_before(blocks, sheet, ends));
    let Some((other, beyond)) = second.map(|second| (&pieces.all[second], &roof.faces[second])) else {
        return free_kind(blocks, piece.side.block, ends, before());
    };
    match other.sheet {
        Some(_) => {
            let same_direction = of_one_side(blocks, piece.sheet, other.sheet, ends);
            let context = classify::Context { same_direction, ..classify::Context::default() };
            classify::kind(&roof.faces[first], Some(beyond), &along, context)
        }
        None => {
            let plain = classify::kind(&roof.faces[first], Some(beyond), &along, classify::Context::default());
            if plain == EdgeKind::Abutment { plain } else { before().unwrap_or(plain) }
        }
    }
}

/// The kind of an edge of a roof face beyond which no face goes on, by what stands beyond it: `before` is what it was in its own
/// block's roof. It runs against a body that is higher there; over a body that is lower, or over nothing, it is what it was, or
/// drips where it is level and is a verge where it rakes.
fn free_kind(blocks: &Blocks, block: usize, ends: &[Point3<f64>; 2], before: Option<EdgeKind>) -> EdgeKind {
    let along = ends[1] - ends[0];
    let rakes = along.z.abs() > along.xy().norm() * classify::LEVEL.tan();
    let middle = nalgebra::center(&ends[0], &ends[1]);
    // The face lies to the left.
    let right = Vector2::new(along.y, -along.x).try_normalize(0.0).unwrap_or_default();
    let beyond: Point2<f64> = middle.xy() + right * (8.0 * blocks.tolerance);
    let bodies = (0..blocks.footprints.len()).filter(|&other| other != block && within(&blocks.walls(other), &beyond));
    let heights: Vec<f64> = bodies
        .filter_map(|other| blocks.sheet_over(other, &beyond).map(|sheet| blocks.sheets[sheet].height(&beyond)))
        .collect();
    if heights.iter().any(|height| *height > middle.z + 8.0 * blocks.slack()) {
        return EdgeKind::Abutment;
    }
    match before {
        // Its wall would stand on a roof that is there and has none.
        Some(EdgeKind::Abutment) if !heights.is_empty() => {
            if rakes {
                EdgeKind::Verge
            } else {
                EdgeKind::Top
            }
        }
        Some(kind) => kind,
        None => {
            if rakes {
                EdgeKind::Verge
            } else {
                EdgeKind::Eave
            }
        }
    }
}

/// The faces of all blocks that lie in a sheet's plane: which of them is seen is a matter of file order alone.
fn in_plane<'a>(blocks: &'a Blocks, sheet: usize) -> impl Iterator<Item = &'a BlockSheet> {
    let plane = blocks.sheets[sheet].same_plane;
    blocks.sheets.iter().filter(move |other| other.same_plane == plane)
}

/// Whether two planes are slopes of one side, or one side took over from another along this edge.
fn of_one_side(blocks: &Blocks, one: Option<usize>, other: Option<usize>, ends: &[Point3<f64>; 2]) -> bool {
    let (Some(one), Some(other)) = (one, other) else { return false };
    let shares = |a: &BlockSheet, b: &BlockSheet| a.sides.iter().any(|side| b.sides.contains(side));
    in_plane(blocks, one).any(|a| {
        in_plane(blocks, other).any(|b| shares(a, b)) || kind_in(blocks, a, ends) == Some(EdgeKind::PitchBreak)
    })
}

/// What the edge was in the roofs of blocks that have a face in the sheet's plane there, the first of [`EdgeKind`]'s order.
fn kind_before(blocks: &Blocks, sheet: usize, ends: &[Point3<f64>; 2]) -> Option<EdgeKind> {
    in_plane(blocks, sheet).filter_map(|other| kind_in(blocks, other, ends)).min()
}

/// What the edge was in its block's own roof, where it lay on an edge of that sheet's face.
fn kind_in(blocks: &Blocks, sheet: &BlockSheet, ends: &[Point3<f64>; 2]) -> Option<EdgeKind> {
    let roof = &blocks.roofs[sheet.block];
    let slack = blocks.slack();
    let on = |edge: &&Edge| {
        let (from, to) = (roof.at(edge.from), roof.at(edge.to));
        let along = to - from;
        ends.iter().all(|end| {
            let share = ((end - from).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
            (end - (from + along * share)).norm() <= 2.0 * slack
        })
    };
    roof.faces[sheet.face].edges.iter().map(|&id| &roof.edges[id.index()]).find(on).map(|edge| edge.kind)
}
