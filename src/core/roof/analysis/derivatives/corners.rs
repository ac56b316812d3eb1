//! How corners move: each stays on all the planes that meet there.

use super::elements::{BlockMotion, Elements};
use crate::base::gradient::Gradient;
use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::name::Name;
use crate::outline::Footprint;
use crate::roof::model::{EdgeKind, FaceKind, Roof};
use nalgebra::{DMatrix, Matrix3, Point3, Vector3};
use std::collections::{BTreeMap, BTreeSet};

/// A condition on a corner's movement: `normal · movement = by`.
struct Condition {
    normal: Vector3<f64>,
    by: Gradient,
}

/// The conditions on one corner; whether all of them are known.
struct Conditions {
    all: Vec<Condition>,
    known: bool,
}

/// A condition that is missed by more than this part of what it asks for is another one.
const MISSED: f64 = 1e-6;

/// Directions whose singular value is below this part of the largest are not held.
const HELD: f64 = 1e-9;

/// How corners move.
pub(super) struct Corners {
    /// Of each corner's x, y and z.
    pub places: Vec<[Gradient; 3]>,
    /// What may move corners of which it is not known what does.
    pub unknown: BTreeSet<usize>,
    /// What parts corners: more planes meet there than go on doing so. Such a corner's own movement keeps it as near to all
    /// of them as it can be.
    pub parting: BTreeSet<usize>,
}

/// The derivatives of every corner's place.
pub(super) fn follow(roof: &Roof, footprints: &[Footprint], motions: &[BlockMotion], elements: &Elements) -> Corners {
    let (conditions, blocks) = conditions(roof, footprints, elements);
    let (mut unknown, mut parting) = (BTreeSet::new(), BTreeSet::new());
    let mut places = Vec::with_capacity(roof.corners.len());
    for (Conditions { all, known }, blocks) in conditions.into_iter().zip(blocks) {
        let solved = if known { solve(&all, &mut parting) } else { None };
        if solved.is_none() {
            // What moves it is not known: it may be anything that blocks joined there hang on, or that stands beside.
            let of = |(footprint, motion): (&Footprint, &BlockMotion)| -> Vec<usize> {
                let is_of = footprints.len() > 1 || blocks.contains(&footprint.name);
                if is_of { motion.parameters().collect() } else { Vec::new() }
            };
            unknown.extend(footprints.iter().zip(motions).flat_map(of));
        }
        places.push(solved.unwrap_or_default());
    }
    Corners { places, unknown, parting }
}

/// What every corner has to keep to, and the blocks of the faces that meet there.
fn conditions(roof: &Roof, footprints: &[Footprint], elements: &Elements) -> (Vec<Conditions>, Vec<BTreeSet<Name>>) {
    // By corner: which planes meet there, each once.
    let mut slopes = vec![BTreeSet::new(); roof.corners.len()];
    let mut uprights = vec![BTreeSet::new(); roof.corners.len()];
    let mut levels: Vec<BTreeMap<_, Gradient>> = vec![BTreeMap::new(); roof.corners.len()];
    let mut known = vec![true; roof.corners.len()];
    let mut blocks = vec![BTreeSet::new(); roof.corners.len()];
    for (index, face) in roof.faces.iter().enumerate() {
        let id = FaceId::new(index);
        let (own, meeting) = match face.kind {
            FaceKind::Roof => (elements.slopes_of(id), &mut slopes),
            FaceKind::Wall => (elements.uprights_of(id), &mut uprights),
        };
        for corner in face.ring.iter().chain(face.holes.iter().flatten()).map(|corner| corner.index()) {
            meeting[corner].extend(own.iter().copied());
            known[corner] &= !own.is_empty();
            blocks[corner].extend(face.block().cloned());
        }
    }
    for (index, edge) in roof.edges.iter().enumerate() {
        let ends = [edge.from, edge.to].map(CornerId::index);
        if let Some(under) = elements.under(EdgeId::new(index)) {
            for corner in ends {
                uprights[corner].extend(under.iter().copied());
                known[corner] &= !under.is_empty();
            }
        } else if edge.kind == EdgeKind::Base {
            let side = edge.faces.first().and_then(|face| roof.faces[face.index()].side());
            for corner in ends {
                // A wall that ends under an overhang has its top there, in the plane of that.
                let level = side.and_then(|side| Some((side, elements.level(side, roof.corners[corner].z)?)));
                if let Some((side, moves)) = level {
                    levels[corner].insert(side.clone(), moves.clone());
                }
            }
        }
    }
    if footprints.len() > 1 {
        // What is hidden there counts as well: it comes to sight as soon as what hides it gives way.
        for (corner, place) in roof.corners.iter().enumerate() {
            let (through, slope) = elements.through(place, footprints);
            uprights[corner].extend(through);
            slopes[corner].extend(slope);
        }
    }
    let mut all = Vec::with_capacity(roof.corners.len());
    for (corner, place) in roof.corners.iter().enumerate() {
        let mut conditions = Conditions { all: Vec::new(), known: known[corner] };
        for &slope in &slopes[corner] {
            conditions.slope(elements, slope, place);
        }
        for &upright in &uprights[corner] {
            conditions.upright(elements, upright, place);
        }
        for by in std::mem::take(&mut levels[corner]).into_values() {
            conditions.all.push(Condition { normal: Vector3::z(), by });
        }
        all.push(conditions);
    }
    (all, blocks)
}

impl Conditions {
    fn slope(&mut self, elements: &Elements, slope: usize, place: &Point3<f64>) {
        let rise = elements.rise(slope);
        let normal = Vector3::new(-rise.x, -rise.y, 1.0);
        let mut by = Gradient::new();
        self.known &= elements.lift(slope, &place.xy(), 1.0 / normal.norm(), &mut by);
        self.all.push(Condition { normal: normal.normalize(), by: by.merged() });
    }

    fn upright(&mut self, elements: &Elements, upright: usize, place: &Point3<f64>) {
        let inwards = elements.uprights[upright].normal();
        let mut by = Gradient::new();
        self.known &= elements.push(upright, &place.xy(), 1.0, &mut by);
        self.all.push(Condition { normal: Vector3::new(inwards.x, inwards.y, 0.0), by: by.merged() });
    }
}

/// The movement that meets all conditions, by least squares where there are more than three; parameters by which some are
/// missed part the corner. `None` where they do not hold the corner.
fn solve(conditions: &[Condition], parting: &mut BTreeSet<usize>) -> Option<[Gradient; 3]> {
    let inverse = inverse_of(conditions)?;
    let mut moves: [Gradient; 3] = Default::default();
    for (column, condition) in conditions.iter().enumerate() {
        for (axis, sum) in moves.iter_mut().enumerate() {
            sum.add(&condition.by, inverse[(axis, column)]);
        }
    }
    let moves = moves.map(Gradient::merged);
    if conditions.len() > 3 {
        let mut asked: BTreeMap<usize, f64> = BTreeMap::new();
        for &(parameter, slope) in conditions.iter().flat_map(|condition| condition.by.entries()) {
            let most = asked.entry(parameter).or_default();
            *most = most.max(slope.abs());
        }
        for condition in conditions {
            let mut missed = condition.by.clone();
            for (axis, moved) in moves.iter().enumerate() {
                missed.add(moved, -condition.normal[axis]);
            }
            let missed = missed.merged();
            let is_missed = |&&(parameter, by): &&(usize, f64)| {
                by.abs() > MISSED * asked.get(&parameter).copied().unwrap_or_default()
            };
            parting.extend(missed.entries().iter().filter(is_missed).map(|entry| entry.0));
        }
    }
    Some(moves)
}

/// What takes the right sides of the conditions to the movement.
fn inverse_of(conditions: &[Condition]) -> Option<DMatrix<f64>> {
    if let [a, b, c] = conditions {
        let inverse = Matrix3::from_rows(&[a.normal, b.normal, c.normal].map(|n| n.transpose())).try_inverse()?;
        return (inverse.norm() * HELD < 1.0).then(|| DMatrix::from_iterator(3, 3, inverse.iter().copied()));
    }
    let rows = DMatrix::from_fn(conditions.len().max(3), 3, |row, axis| {
        conditions.get(row).map_or(0.0, |condition| condition.normal[axis])
    });
    let decomposition = rows.svd(true, true);
    let least = decomposition.singular_values.min();
    (least > HELD * decomposition.singular_values.max()).then(|| decomposition.pseudo_inverse(0.0).ok()).flatten()
}
