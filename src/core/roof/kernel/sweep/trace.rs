//! From the lines a sweep leaves behind to the loops round its faces.
//!
//! Every line is two half-edges: `2 i` runs from its first node to its second with the left face on its left, `2 i + 1`
//! back with the right one. Remnants of edges are contracted first; what that leaves without width is zipped shut.

use super::canonical::Canonical;
use super::plane::SweepPlane;
use super::wavefront::{NONE, Segment, Skeleton};
use crate::base::union_find::UnionFind;

/// A closed walk round a face.
#[derive(Clone, Debug)]
pub struct Loop {
    /// The face, by the least of the pieces that swept it: its outer ring and its holes have one number.
    pub face: u32,
    /// The face's plane.
    pub plane: u32,
    /// Where its half-edges begin in [`Arrangement::halves`], and where they end.
    halves: (u32, u32),
    /// Area in plan, for a plumb face as seen from outside, in units of the frame: negative for a hole, or where rounding
    /// turned over what has almost none.
    pub area: f64,
}

/// Lines and the loops that they make.
#[derive(Clone, Debug)]
pub struct Arrangement<'a> {
    /// Places in units of the frame.
    pub nodes: &'a [[f64; 3]],
    /// Lines.
    pub segments: Vec<Segment>,
    /// Loops.
    pub loops: Vec<Loop>,
    /// Half-edges, loop after loop.
    halves: Vec<u32>,
    /// Pieces that swept one face.
    pub faces: UnionFind,
}

impl Arrangement<'_> {
    /// A loop's half-edges in order, the face to their left.
    #[must_use]
    pub fn halves(&self, part: &Loop) -> &[u32] {
        &self.halves[part.halves.0 as usize..part.halves.1 as usize]
    }

    /// The node that a half-edge runs from.
    #[must_use]
    pub fn from(&self, half: u32) -> u32 {
        let segment = &self.segments[half as usize / 2];
        if half.is_multiple_of(2) { segment.from } else { segment.to }
    }

    /// The node that a half-edge runs to.
    #[must_use]
    pub fn to(&self, half: u32) -> u32 {
        self.from(half ^ 1)
    }

    fn face(&self, half: u32) -> u32 {
        let segment = &self.segments[half as usize / 2];
        if half.is_multiple_of(2) { segment.left } else { segment.right }
    }
}

/// Traces the loops of a skeleton after contracting edges shorter than `shortest` (0 for none). O(n).
///
/// `None` when the lines do not close into loops: a bug, or a coincidence misread.
#[must_use]
pub fn trace<'a>(input: &Canonical, skeleton: &'a Skeleton, shortest: f64) -> Option<Arrangement<'a>> {
    let mut faces = skeleton.faces.clone();
    let planes = &skeleton.planes;
    let segments = contracted(input, skeleton, shortest);
    let mut arrangement = Arrangement {
        nodes: &skeleton.nodes,
        segments,
        loops: Vec::new(),
        halves: Vec::new(),
        faces: UnionFind::default(),
    };
    // Each round zips all that has no width; what that brings together may need another.
    for _ in 0..64 {
        arrangement.segments.retain(|&Segment { from, to, left, right, .. }| {
            if from == to || left == right {
                return false;
            }
            // Two of one plane with nothing between them are one face.
            let one = right != NONE && planes[left as usize] == planes[right as usize];
            if one {
                faces.join(left, right);
            }
            !one
        });
        for segment in &mut arrangement.segments {
            segment.left = faces.root(segment.left);
            if segment.right != NONE {
                segment.right = faces.root(segment.right);
            }
        }
        let shape = |face: u32| &input.planes[planes[face as usize] as usize];
        let (next, back_again) = next_halves(shape, &arrangement)?;
        if back_again && zip(&mut arrangement, &next) {
            continue;
        }
        let closed = loops(input, planes, &mut arrangement, next);
        arrangement.faces = faces;
        return closed.then_some(arrangement);
    }
    None
}

fn contracted(input: &Canonical, skeleton: &Skeleton, shortest: f64) -> Vec<Segment> {
    let (plan, rise) = (input.frame.plan, input.frame.rise);
    let short = |segment: &&Segment| {
        let (a, b) = (skeleton.nodes[segment.from as usize], skeleton.nodes[segment.to as usize]);
        let gap = [(a[0] - b[0]) / plan, (a[1] - b[1]) / plan, (a[2] - b[2]) / rise];
        gap[0] * gap[0] + gap[1] * gap[1] + gap[2] * gap[2] < shortest * shortest
    };
    let mut merged = skeleton.segments.iter().filter(short).peekable();
    if merged.peek().is_none() {
        return skeleton.segments.clone();
    }
    let mut groups = UnionFind::new(skeleton.nodes.len());
    for segment in merged {
        // Corners of the outline come first, so they stay where they are.
        groups.join(segment.from, segment.to);
    }
    let moved =
        |segment: &Segment| Segment { from: groups.root(segment.from), to: groups.root(segment.to), ..*segment };
    skeleton.segments.iter().map(moved).collect()
}

/// A place in a plane's own view: plan for a slope, elevation for a plumb plane.
#[must_use]
pub fn view(plane: &SweepPlane, place: [f64; 3]) -> [f64; 2] {
    if plane.is_plumb() {
        let along = plane.along();
        [along[0] * place[0] + along[1] * place[1], place[2]]
    } else {
        [place[0], place[1]]
    }
}

/// For every half-edge of a face the one that follows it round that face; and whether any runs straight back.
#[allow(clippy::cast_possible_truncation)]
fn next_halves<'a>(shape: impl Fn(u32) -> &'a SweepPlane, arrangement: &Arrangement) -> Option<(Vec<u32>, bool)> {
    /// A half-edge that leaves a node.
    #[derive(Clone, Copy, Default)]
    struct Leaving {
        face: u32,
        half: u32,
        to: u32,
    }
    let nodes = arrangement.nodes;
    // By node: where the half-edges that leave it end in `out`, then, all filled in from behind, where they begin.
    let mut first = vec![0u32; nodes.len() + 1];
    for segment in &arrangement.segments {
        first[segment.from as usize] += 1;
        first[segment.to as usize] += 1;
    }
    let mut sum = 0;
    for end in &mut first {
        sum += *end;
        *end = sum;
    }
    let mut out = vec![Leaving::default(); arrangement.segments.len() * 2];
    for (index, &Segment { from, to, left, right, .. }) in arrangement.segments.iter().enumerate().rev() {
        let half = index as u32 * 2;
        for (face, half, from, to) in [(right, half + 1, to, from), (left, half, from, to)] {
            let slot = &mut first[from as usize];
            *slot -= 1;
            out[*slot as usize] = Leaving { face, half, to };
        }
    }
    let mut next = vec![NONE; out.len()];
    let mut back_again = false;
    for (index, &Segment { from, to, left, right, .. }) in arrangement.segments.iter().enumerate() {
        for (face, half, from, to) in [(left, index * 2, from, to), (right, index * 2 + 1, to, from)] {
            if face == NONE {
                continue;
            }
            let leaving = &out[first[to as usize] as usize..first[to as usize + 1] as usize];
            let mut same = leaving.iter().filter(|leaving| leaving.face == face);
            let only = same.next()?;
            let after = if same.next().is_none() {
                only
            } else {
                // The face touches itself here: the first half-edge clockwise from where this one came.
                let plane = shape(face);
                let here = view(plane, nodes[to as usize]);
                let toward = |node: u32| {
                    let there = view(plane, nodes[node as usize]);
                    [there[0] - here[0], there[1] - here[1]]
                };
                let back = toward(from);
                let clockwise = |other: &Leaving| {
                    let ahead = toward(other.to);
                    let cross = back[0] * ahead[1] - back[1] * ahead[0];
                    let dot = back[0] * ahead[0] + back[1] * ahead[1];
                    (-cross).atan2(dot).rem_euclid(std::f64::consts::TAU)
                };
                let same = leaving.iter().filter(|leaving| leaving.face == face);
                same.min_by(|a, b| clockwise(a).total_cmp(&clockwise(b)))?
            };
            back_again |= after.to == from;
            next[half] = after.half;
        }
    }
    Some((next, back_again))
}

/// Makes one line of each two that run there and back round a face with nothing between; whether there were any.
fn zip(arrangement: &mut Arrangement, next: &[u32]) -> bool {
    let mut used = vec![false; arrangement.segments.len()];
    let mut zipped = Vec::new();
    for (half, &after) in next.iter().enumerate() {
        #[allow(clippy::cast_possible_truncation)]
        let half = half as u32;
        if after == NONE || arrangement.to(after) != arrangement.from(half) {
            continue;
        }
        let (i, j) = (half as usize / 2, after as usize / 2);
        if i == j || used[i] || used[j] {
            continue;
        }
        (used[i], used[j]) = (true, true);
        let (right, left) = (arrangement.face(half ^ 1), arrangement.face(after ^ 1));
        let (from, to) = (arrangement.from(half), arrangement.to(half));
        let mut line = Segment { from, to, left, right, side: NONE };
        for old in [arrangement.segments[i], arrangement.segments[j]] {
            if old.side != NONE && old.left == line.left {
                line.side = old.side;
            } else if old.side != NONE && old.left == line.right {
                line = Segment { from: line.to, to: line.from, left: line.right, right: line.left, side: old.side };
            }
        }
        // A face is never to the right of nothing.
        if line.left == NONE {
            line = Segment { from: line.to, to: line.from, left: line.right, right: line.left, side: line.side };
        }
        zipped.push(line);
    }
    if zipped.is_empty() {
        return false;
    }
    let mut index = 0;
    arrangement.segments.retain(|_| {
        index += 1;
        !used[index - 1]
    });
    arrangement.segments.extend(zipped);
    true
}

/// Adds the loops; whether all walks come back to where they began.
#[allow(clippy::cast_possible_truncation)]
fn loops(input: &Canonical, planes: &[u32], arrangement: &mut Arrangement, mut next: Vec<u32>) -> bool {
    let mut out = Vec::with_capacity(input.sides.len() + input.sides.len() / 2);
    let mut halves: Vec<u32> = Vec::with_capacity(next.len());
    for start in 0..next.len() as u32 {
        if next[start as usize] == NONE {
            continue;
        }
        let face = arrangement.face(start);
        let plane = planes[face as usize];
        let shape = &input.planes[plane as usize];
        let place = |half: u32| view(shape, arrangement.nodes[arrangement.from(half) as usize]);
        let origin = place(start);
        let mut last = [0.0; 2];
        let mut area = 0.0;
        let first = halves.len() as u32;
        let mut at = start;
        // What is walked over has no next any more.
        while next[at as usize] != NONE {
            halves.push(at);
            let here = place(at);
            let spoke = [here[0] - origin[0], here[1] - origin[1]];
            area += last[0] * spoke[1] - last[1] * spoke[0];
            last = spoke;
            at = std::mem::replace(&mut next[at as usize], NONE);
        }
        if at != start {
            return false;
        }
        out.push(Loop { face, plane, halves: (first, halves.len() as u32), area: area / 2.0 });
    }
    (arrangement.loops, arrangement.halves) = (out, halves);
    true
}
