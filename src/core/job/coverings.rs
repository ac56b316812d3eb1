//! Which faces of a roof have which covering: buildings, and parts of them.

use super::model::Job;
use crate::base::ids::FaceId;
use crate::base::union_find::UnionFind;
use crate::roof::{Face, Roof};
use crate::takeoff::model::Covering;

impl Job {
    /// What a face is covered with: its block's own covering, a dormer's host's, or the job's.
    #[must_use]
    pub fn covering_of(&self, face: &Face) -> &Covering {
        number(self, face).checked_sub(1).map_or(&self.covering, |own| &self.block_coverings[own].1)
    }
}

/// Faces of one covering that hang together.
pub(super) struct Part<'a> {
    /// Names of its blocks in order; of faces by points their own.
    pub names: Vec<String>,
    pub covering: &'a Covering,
    pub faces: Vec<FaceId>,
    /// Whether a face of another covering lies beside one of these.
    pub meets_another: bool,
}

/// The parts of a roof: faces of one covering that share an edge or a block. O(faces² + edges).
pub(super) fn parts<'a>(job: &'a Job, roof: &Roof) -> Vec<Part<'a>> {
    let faces: Vec<(FaceId, &Face)> = roof.roof_faces().collect();
    let own: Vec<usize> = faces.iter().map(|(_, face)| number(job, face)).collect();
    let place = |id: &FaceId| faces.iter().position(|(other, _)| other == id);
    let small = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
    let mut groups = UnionFind::new(faces.len());
    let mut meets = vec![false; faces.len()];
    for edge in &roof.edges {
        let [Some(a), Some(b)] = [0, 1].map(|side| edge.faces.get(side).and_then(place)) else { continue };
        if own[a] == own[b] {
            groups.join(small(a), small(b));
        } else {
            (meets[a], meets[b]) = (true, true);
        }
    }
    for (a, (_, face)) in faces.iter().enumerate() {
        let alike = |(b, (_, other)): &(usize, &(FaceId, &Face))| {
            *b < a && own[*b] == own[a] && face.block().is_some() && other.block() == face.block()
        };
        if let Some((b, _)) = faces.iter().enumerate().find(alike) {
            groups.join(small(a), small(b));
        }
    }
    let mut parts: Vec<(u32, Part<'a>)> = Vec::new();
    for (index, (id, face)) in faces.iter().enumerate() {
        let root = groups.root(small(index));
        let name = face.block().map_or_else(|| face.name(), ToString::to_string);
        let at = parts.iter().position(|(other, _)| *other == root).unwrap_or_else(|| {
            let covering = job.covering_of(face);
            parts.push((root, Part { names: Vec::new(), covering, faces: Vec::new(), meets_another: false }));
            parts.len() - 1
        });
        let part = &mut parts[at].1;
        part.faces.push(*id);
        part.meets_another |= meets[index];
        if !part.names.contains(&name) {
            part.names.push(name);
        }
    }
    parts.into_iter().map(|(_, part)| part).collect()
}

/// Which covering a face has: 0 the job's, else one more than its place among those of blocks. A dormer has its host's.
fn number(job: &Job, face: &Face) -> usize {
    let Some(block) = face.block() else { return 0 };
    let dormer = job.dormers.iter().find(|dormer| dormer.name == *block);
    let host = dormer.and_then(|dormer| job.blocks.get(dormer.face.block.index())).map(|block| block.name.as_str());
    let name = host.unwrap_or(block.as_str());
    job.block_coverings.iter().position(|(other, _)| other == name).map_or(0, |at| at + 1)
}
