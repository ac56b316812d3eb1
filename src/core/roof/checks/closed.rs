//! Every edge is run once each way by its faces, one with a single face once with that to its left, and every ring of a
//! face closes.

use super::{Check, Violation};
use crate::roof::model::Roof;

/// O(n).
///
/// # Errors
/// Faces whose rings do not close, or edges that their faces do not share.
pub fn check(roof: &Roof) -> Result<(), Violation> {
    let mut runs = vec![[0u8; 2]; roof.edges.len()];
    for face in &roof.faces {
        let violation = || Violation { check: Check::EdgesRunRound, faces: vec![face.id.clone()] };
        let mut edges = face.edges.iter();
        for ring in std::iter::once(&face.ring).chain(&face.holes) {
            if ring.len() < 3 {
                return Err(violation());
            }
            for (&from, &to) in ring.iter().zip(ring[1..].iter().chain(&ring[..1])) {
                let id = *edges.next().ok_or_else(violation)?;
                let edge = &roof.edges[id.index()];
                if (edge.from, edge.to) == (from, to) {
                    runs[id.index()][0] += 1;
                } else if (edge.to, edge.from) == (from, to) {
                    runs[id.index()][1] += 1;
                } else {
                    return Err(violation());
                }
            }
        }
    }
    for (edge, run) in roof.edges.iter().zip(runs) {
        let shared = match edge.faces.len() {
            1 => run == [1, 0],
            2 => run == [1, 1],
            _ => false,
        };
        if !shared {
            let faces = edge.faces.iter().map(|&id| roof.faces[id.index()].id.clone()).collect();
            return Err(Violation { check: Check::EdgesShared, faces });
        }
    }
    Ok(())
}
