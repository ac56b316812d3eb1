//! From pieces to a mesh: plumb edges cut at every corner on them, needless corners dropped, edges found.

use super::arrangement::Arrangement;
use super::label::Labels;
use super::pieces::{Corners, FacePart};
use super::sheets::Blocks;
use crate::roof::checks::{Check, Violation};
use crate::roof::model::names::FaceName;
use nalgebra::Point3;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Edges between corners: for each pair, lower number first, the pieces that run along it upwards and downwards in
/// number.
pub type Runs = BTreeMap<(usize, usize), [Option<usize>; 2]>;

/// Cuts the plumb edges of walls at every corner that lies on them.
pub(crate) fn cut_plumb_edges(pieces: &mut [FacePart], corners: &Corners) {
    let point_of = corners.points();
    // Only corners that some face has.
    let used: BTreeSet<usize> = pieces.iter().flat_map(|piece| piece.rings.iter().flatten().copied()).collect();
    for piece in pieces.iter_mut().filter(|piece| piece.sheet.is_none()) {
        for ring in &mut piece.rings {
            let mut out: Vec<usize> = Vec::new();
            for (k, &from) in ring.iter().enumerate() {
                let to = ring[(k + 1) % ring.len()];
                out.push(from);
                if point_of[&from] != point_of[&to] {
                    continue;
                }
                let over: Vec<usize> =
                    corners.over[point_of[&from]].iter().copied().filter(|corner| used.contains(corner)).collect();
                let position = |corner| over.iter().position(|&other| other == corner).unwrap_or_default();
                let (a, b) = (position(from), position(to));
                if a < b {
                    out.extend(&over[a + 1..b]);
                } else {
                    out.extend(over[(b + 1).min(a)..a].iter().rev());
                }
            }
            *ring = without_spikes(out);
        }
    }
}

/// Gives a corner of its own to a face whose free edge lies just where another's does: an overhang that comes down to the
/// eave of the roof below it touches that eave and is not joined to it. O(edges) for each.
pub(crate) fn part_touching(pieces: &mut [FacePart], corners: &mut Corners) {
    let count = pieces.iter().flat_map(|piece| &piece.rings).map(Vec::len).sum();
    for _ in 0..count {
        let mut runs: HashMap<(usize, usize), Vec<usize>> = HashMap::new();
        for (index, piece) in pieces.iter().enumerate() {
            for ring in &piece.rings {
                for (k, &from) in ring.iter().enumerate() {
                    runs.entry((from, ring[(k + 1) % ring.len()])).or_default().push(index);
                }
            }
        }
        let free = |piece: usize, corner: usize| {
            pieces[piece].rings.iter().all(|ring| {
                (0..ring.len()).filter(|&k| ring[k] == corner).all(|k| {
                    let (before, after) = (ring[(k + ring.len() - 1) % ring.len()], ring[(k + 1) % ring.len()]);
                    !runs.contains_key(&(corner, before)) && !runs.contains_key(&(after, corner))
                })
            })
        };
        let mut doubled: Vec<_> = runs.iter().filter(|(_, along)| along.len() > 1).collect();
        doubled.sort_unstable();
        let found = doubled.into_iter().find_map(|(&(from, to), along)| {
            let mut choices = along.iter().flat_map(|&piece| [(piece, from), (piece, to)]);
            choices.find(|&(piece, corner)| pieces[piece].sheet.is_some() && free(piece, corner))
        });
        let Some((piece, corner)) = found else { return };
        let own = corners.twin(corner);
        for place in pieces[piece].rings.iter_mut().flatten().filter(|place| **place == corner) {
            *place = own;
        }
    }
}

/// Gives a corner of its own in the middle to the edge of an overhang that lies along an edge of the building to which both
/// its ends belong: it touches there and is not joined. O(edges).
pub(crate) fn part_along(
    pieces: &mut [FacePart],
    corners: &mut Corners,
    arrangement: &mut Arrangement,
    labels: &Labels,
    blocks: &Blocks,
) {
    let point_of = corners.points();
    let mut runs: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
    for (index, piece) in pieces.iter().enumerate() {
        for ring in &piece.rings {
            for (k, &from) in ring.iter().enumerate() {
                runs.entry((from, ring[(k + 1) % ring.len()])).or_default().push(index);
            }
        }
    }
    for ((from, to), along) in runs.into_iter().filter(|(_, along)| along.len() > 1) {
        let ends = [point_of[&from], point_of[&to]];
        let Some(half) = (0..arrangement.next.len()).find(|&half| arrangement.ends(half) == ends) else { continue };
        let cell = arrangement.cell[half];
        let plane = |sheet: usize| blocks.sheets[sheet].same_plane;
        let hangs = |&&piece: &&usize| {
            pieces[piece].sheet.is_some_and(|sheet| labels.solid[cell].map(plane) != Some(plane(sheet)))
        };
        let Some(&piece) = along.iter().find(hangs) else { continue };
        let share = if half.is_multiple_of(2) { PARTED_AT } else { 1.0 - PARTED_AT };
        arrangement.cut_arc(half / 2, share);
        let middle = arrangement.points.len() - 1;
        let height = corners.places[from].z + (corners.places[to].z - corners.places[from].z) * PARTED_AT;
        corners.over.push(Vec::new());
        let own = corners.corner(arrangement, middle, height);
        for ring in &mut pieces[piece].rings {
            let next = |k: usize, ring: &[usize]| ring[(k + 1) % ring.len()];
            if let Some(k) = (0..ring.len()).find(|&k| ring[k] == from && next(k, ring) == to) {
                ring.insert(k + 1, own);
            }
        }
    }
}

/// Where along it such an edge gets its corner: away from its middle, where a symmetrical roof may have another.
const PARTED_AT: f64 = 0.382;

/// Takes out places where a ring goes somewhere and straight back.
fn without_spikes(mut ring: Vec<usize>) -> Vec<usize> {
    let mut changed = true;
    while changed && ring.len() > 2 {
        changed = false;
        for k in 0..ring.len() {
            let (next, after) = ((k + 1) % ring.len(), (k + 2) % ring.len());
            if ring[k] == ring[after] || ring[k] == ring[next] {
                let mut drop = if ring[k] == ring[next] { vec![next] } else { vec![next, after] };
                drop.sort_unstable();
                for position in drop.into_iter().rev() {
                    ring.remove(position);
                }
                changed = true;
                break;
            }
        }
    }
    ring
}

/// Who runs along each edge.
///
/// # Errors
/// When two faces run along one edge the same way: the surface would not be one.
pub fn runs(pieces: &[FacePart], blocks: &Blocks) -> Result<Runs, Violation> {
    let mut runs = Runs::new();
    for (index, piece) in pieces.iter().enumerate() {
        for ring in &piece.rings {
            for (k, &from) in ring.iter().enumerate() {
                let to = ring[(k + 1) % ring.len()];
                let way = usize::from(from > to);
                let entry = runs.entry((from.min(to), from.max(to))).or_default();
                if from == to || entry[way].is_some() {
                    return Err(Violation::at(Check::RunOnceEachWay, FaceName::over(blocks.name(piece.side))));
                }
                entry[way] = Some(index);
            }
        }
    }
    Ok(runs)
}

/// Drops corners in the middle of a straight edge that has the same faces on both halves.
pub(crate) fn drop_needless_corners(pieces: &mut [FacePart], places: &[Point3<f64>], runs: &Runs, slack: f64) {
    let mut edges_at: HashMap<usize, Vec<(usize, usize)>> = HashMap::new();
    for &(a, b) in runs.keys() {
        edges_at.entry(a).or_default().push((a, b));
        edges_at.entry(b).or_default().push((a, b));
    }
    let faces = |edge: &(usize, usize)| runs[edge].iter().copied().collect::<BTreeSet<Option<usize>>>();
    let mut needless: BTreeSet<usize> = BTreeSet::new();
    for (&corner, edges) in &edges_at {
        let [first, second] = edges.as_slice() else { continue };
        let other = |edge: &(usize, usize)| places[if edge.0 == corner { edge.1 } else { edge.0 }];
        let (from, to) = (other(first), other(second));
        let along = to - from;
        let off = (places[corner] - from).cross(&along).norm() / along.norm();
        let ends = [first, second].map(|edge| if edge.0 == corner { edge.1 } else { edge.0 });
        // An edge of other faces lies there, which this one only touches.
        if runs.contains_key(&(ends[0].min(ends[1]), ends[0].max(ends[1]))) {
            continue;
        }
        if faces(first) == faces(second) && off <= slack && (places[corner] - from).dot(&(to - places[corner])) > 0.0 {
            needless.insert(corner);
        }
    }
    for ring in pieces.iter_mut().flat_map(|piece| &mut piece.rings) {
        if ring.iter().filter(|corner| !needless.contains(corner)).count() >= 3 {
            ring.retain(|corner| !needless.contains(corner));
        }
    }
}
