//! Wings that merely stop at the block they stand against.

use crate::outline::{Footprint, Role};
use crate::roof::model::finding::Finding;
use crate::roof::model::{EdgeKind, FaceKind, Roof};

/// A slope whose water runs towards a wall: the cosine of the angle between both, in plan, is more than this.
const TOWARDS: f64 = 0.1;

/// A note for every side of a joined roof that stands plumb against another block's slope whose water runs towards it: a
/// wing that merely stops there. O(edges).
#[must_use]
pub(crate) fn stopping_wings(footprints: &[Footprint], roof: &Roof) -> Vec<Finding> {
    let mut findings: Vec<Finding> = Vec::new();
    for edge in roof.edges.iter().filter(|edge| edge.kind == EdgeKind::Abutment) {
        let [slope, wall] = edge.faces.as_slice() else { continue };
        let (slope, wall) = (&roof.faces[slope.index()], &roof.faces[wall.index()]);
        let (Some(over), Some(block), Some(side)) = (slope.block(), wall.block(), wall.side()) else { continue };
        if slope.kind != FaceKind::Roof || wall.kind != FaceKind::Wall || over == block {
            continue;
        }
        let sides = footprints.iter().filter(|footprint| footprint.name == *block);
        let mut stated = sides.flat_map(|footprint| &footprint.rings).flat_map(|ring| &ring.sides);
        let is_plumb =
            stated.any(|stated| stated.name == side.side && matches!(stated.role, Role::Verge | Role::Abutment));
        let Some(down) = slope.plane.downslope().filter(|_| is_plumb) else { continue };
        let towards = down.dot(&wall.plane.normal.xy()) < -TOWARDS;
        let finding = Finding::StopsAtWall { side: side.clone(), over: over.clone() };
        if towards && !findings.contains(&finding) {
            findings.push(finding);
        }
    }
    findings
}
