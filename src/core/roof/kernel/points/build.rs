//! From met planes to a roof: edges found, named and turned the right way.

use super::error::PointsError;
use super::fit::flipped;
use super::patch::Patch;
use crate::base::ids::{CornerId, EdgeId, FaceId, PointId};
use crate::base::multi_error::MultiError;
use crate::roof::model::finding::Finding;
use crate::roof::model::names::FaceName;
use crate::roof::model::{Edge, EdgeKind, Face, FaceKind, Roof};
use nalgebra::{Point3, Vector3};
use smallvec::SmallVec;
use std::collections::{BTreeMap, HashMap};

/// A free edge within this of level is an eave or a top, radians (1°).
const LEVEL_EDGE: f64 = std::f64::consts::PI / 180.0;

/// A convex fold within this of level is a ridge, radians (0.5°).
const LEVEL_RIDGE: f64 = 0.5 * std::f64::consts::PI / 180.0;

/// One use of an edge: which patch, and the ends in the order its ring takes them.
#[derive(Clone, Copy)]
struct Use {
    patch: usize,
    from: PointId,
    to: PointId,
}

/// Makes the roof. O(corners).
pub(super) fn build<'a>(
    mut patches: Vec<Patch>,
    corners: &BTreeMap<PointId, Point3<f64>>,
    name: impl Fn(PointId) -> &'a str,
) -> Result<Roof, PointsError> {
    let mut order: Vec<(PointId, PointId)> = Vec::new();
    let mut uses: HashMap<(PointId, PointId), Vec<Use>> = HashMap::new();
    for (index, patch) in patches.iter().enumerate() {
        for (from, to) in sides(patch) {
            let key = (from.min(to), from.max(to));
            let here = uses.entry(key).or_default();
            if here.is_empty() {
                order.push(key);
            }
            here.push(Use { patch: index, from, to });
        }
    }
    turn_walls(&mut patches, &mut uses);

    let mut errors = Vec::new();
    for key in &order {
        let here = &uses[key];
        if here.len() > 2 {
            let named = |use_: &Use| patches[use_.patch].name.clone();
            let (from, to) = (name(key.0).to_owned(), name(key.1).to_owned());
            errors.push(PointsError::SharedByMany { faces: here.iter().map(named).collect(), from, to });
        }
    }
    if let Some(error) = PointsError::all_of(errors) {
        return Err(error);
    }

    let mut roof = Roof::default();
    let corner_of: BTreeMap<PointId, CornerId> =
        corners.keys().enumerate().map(|(index, point)| (*point, CornerId::new(index))).collect();
    roof.corners = corners.values().copied().collect();
    let mut edge_of: HashMap<(PointId, PointId), EdgeId> = HashMap::new();
    for key in &order {
        let mut here = uses[key].clone();
        // The roof first, a wall second.
        here.sort_by_key(|use_| patches[use_.patch].kind == FaceKind::Wall);
        let (kind, dihedral) = classify(&patches, corners, &here, &mut roof.findings);
        edge_of.insert(*key, EdgeId::new(roof.edges.len()));
        roof.edges.push(Edge {
            kind,
            from: corner_of[&here[0].from],
            to: corner_of[&here[0].to],
            faces: here.iter().map(|use_| FaceId::new(use_.patch)).collect(),
            dihedral,
        });
    }
    for patch in patches {
        let edges = sides(&patch).map(|(from, to)| edge_of[&(from.min(to), from.max(to))]).collect();
        roof.faces.push(Face {
            ring: patch.ring.iter().map(|point| corner_of[point]).collect(),
            id: FaceName::Points(patch.name.into()),
            sides: SmallVec::new(),
            kind: patch.kind,
            plane: patch.plane,
            holes: Vec::new(),
            edges,
        });
    }
    Ok(roof)
}

fn sides(patch: &Patch) -> impl Iterator<Item = (PointId, PointId)> + '_ {
    let next = patch.ring.iter().cycle().skip(1);
    patch.ring.iter().copied().zip(next.copied())
}

/// Turns walls so that they run along a shared edge against their neighbour, whose outside is known: from roof faces
/// to the walls that touch them, and on from wall to wall.
fn turn_walls(patches: &mut [Patch], uses: &mut HashMap<(PointId, PointId), Vec<Use>>) {
    let mut known: Vec<usize> = (0..patches.len()).filter(|&patch| patches[patch].kind == FaceKind::Roof).collect();
    let mut settled: Vec<bool> = patches.iter().map(|patch| patch.kind == FaceKind::Roof).collect();
    while let Some(patch) = known.pop() {
        let around: Vec<(PointId, PointId)> = sides(&patches[patch]).collect();
        for (from, to) in around {
            let neighbours = uses.get(&(from.min(to), from.max(to))).cloned().unwrap_or_default();
            for neighbour in neighbours.iter().filter(|use_| !settled[use_.patch]).copied().collect::<Vec<_>>() {
                let wall = neighbour.patch;
                if settled[wall] {
                    continue;
                }
                if neighbour.from == from {
                    patches[wall].ring.reverse();
                    patches[wall].plane = flipped(patches[wall].plane);
                    for use_ in uses.values_mut().flatten().filter(|use_| use_.patch == wall) {
                        std::mem::swap(&mut use_.from, &mut use_.to);
                    }
                }
                settled[wall] = true;
                known.push(wall);
            }
        }
    }
}

/// An edge's kind by its real fold, and the angle inside the solid between two roof faces.
fn classify(
    patches: &[Patch],
    corners: &BTreeMap<PointId, Point3<f64>>,
    uses: &[Use],
    findings: &mut Vec<Finding>,
) -> (EdgeKind, Option<f64>) {
    let first = uses[0];
    let one = &patches[first.patch];
    let (from, to) = (corners[&first.from], corners[&first.to]);
    let along = to - from;
    let slope = along.z.abs().atan2(along.xy().norm());
    let Some(second) = uses.get(1) else {
        return (free(one, &along, slope), None);
    };
    let two = &patches[second.patch];
    match (one.kind, two.kind) {
        (FaceKind::Roof, FaceKind::Roof) => {
            // Anticlockwise round the first face, so positive where the second falls away from it.
            let faces = [one.id, two.id];
            let (n1, mut n2) = (one.plane.normal, two.plane.normal);
            if first.from == second.from {
                // Both lie on one side of their edge: one leans out under the other, its outside faces down.
                n2 = -n2;
                findings.push(Finding::FacesOverlap { faces });
            }
            let fold = n1.cross(&n2).dot(&along.normalize()).atan2(n1.dot(&n2));
            let kind = if fold.abs() <= 4.0 * f64::EPSILON.sqrt() {
                findings.push(Finding::FacesInOnePlane { faces });
                EdgeKind::PitchBreak
            } else if fold < 0.0 {
                EdgeKind::Valley
            } else if slope > LEVEL_RIDGE {
                EdgeKind::Hip
            } else {
                if upslope(one, &along) * upslope(two, &-along) < 0.0 {
                    findings.push(Finding::LevelFoldOnSlope { faces });
                }
                EdgeKind::Ridge
            };
            (kind, Some(std::f64::consts::PI - fold))
        }
        (FaceKind::Roof, FaceKind::Wall) => {
            let middle = f64::midpoint(from.z, to.z);
            let heights: f64 = two.ring.iter().map(|point| corners[point].z - middle).sum();
            let kind = if heights > 0.0 { EdgeKind::Abutment } else { free(one, &along, slope) };
            (kind, None)
        }
        _ => (free(one, &along, slope), None),
    }
}

/// How much the face rises from an edge into its inside, per metre: positive where the face lies above the edge.
/// `along` runs anticlockwise round the face.
fn upslope(patch: &Patch, along: &Vector3<f64>) -> f64 {
    patch.plane.normal.cross(along).normalize().z
}

/// The kind of an edge of one face, or of walls.
fn free(patch: &Patch, along: &Vector3<f64>, slope: f64) -> EdgeKind {
    match patch.kind {
        FaceKind::Wall if slope > std::f64::consts::FRAC_PI_4 => EdgeKind::Corner,
        FaceKind::Wall => EdgeKind::Base,
        FaceKind::Roof if slope > LEVEL_EDGE => EdgeKind::Verge,
        FaceKind::Roof if upslope(patch, along) >= 0.0 => EdgeKind::Eave,
        FaceKind::Roof => EdgeKind::Top,
    }
}
