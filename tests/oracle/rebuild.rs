//! Puts the outline at one height together anew from its labelled segments.

use super::exact::{Q, V};
use super::planes::Plane;
use super::simulate::Refusal;
use std::collections::{HashMap, HashSet};

/// A corner of the shrinking outline and the plane of the segment that leaves it.
#[derive(Clone, Debug)]
pub struct Corner {
    /// Never used twice.
    pub id: usize,
    /// Where it is at `since`.
    pub place: V,
    pub velocity: V,
    pub since: Q,
    /// Plane of the segment that leaves it.
    pub plane: usize,
    /// Whether the outline turns right here.
    pub reflex: bool,
}

impl Corner {
    pub fn at(&self, height: &Q) -> V {
        let elapsed = height - &self.since;
        &self.place + &self.velocity.scaled(&elapsed)
    }
}

/// Cuts every segment at every other segment's ends that lie inside it.
fn cut(segments: Vec<(V, V, usize)>) -> Vec<(V, V, usize)> {
    let mut points: Vec<(V, [f64; 2])> = Vec::new();
    let mut seen: HashSet<V> = HashSet::new();
    for (from, to, _) in &segments {
        for end in [from, to] {
            if seen.insert(end.clone()) {
                points.push((end.clone(), end.approximate()));
            }
        }
    }
    let mut pieces = Vec::new();
    for (from, to, plane) in segments {
        let along = &to - &from;
        let (a, d) = (from.approximate(), along.approximate());
        let square = d[0] * d[0] + d[1] * d[1];
        let mut inside: Vec<(Q, V)> = Vec::new();
        for (point, near) in &points {
            let r = [near[0] - a[0], near[1] - a[1]];
            let aside = d[0] * r[1] - d[1] * r[0];
            let share = d[0] * r[0] + d[1] * r[1];
            // Plainly far: floats are good to 1e-12 here, this is a hundred thousand times that.
            if aside.abs() > 1e-6 * (square + square.sqrt()) || share < -0.01 * square || share > 1.01 * square {
                continue;
            }
            let offset = point - &from;
            if !along.cross(&offset).is_zero() {
                continue;
            }
            let share = along.dot(&offset);
            if share > Q::ZERO && share < along.dot(&along) {
                inside.push((share, point.clone()));
            }
        }
        inside.sort_by(|a, b| a.0.cmp(&b.0));
        let mut start = from;
        for (_, point) in inside {
            pieces.push((start, point.clone(), plane));
            start = point;
        }
        pieces.push((start, to, plane));
    }
    pieces
}

/// Takes out pairs of pieces that run over each other in opposite directions: what has met is roofed.
fn cancel(pieces: Vec<(V, V, usize)>) -> Result<Vec<(V, V, usize)>, Refusal> {
    let mut by_ends: HashMap<(V, V), usize> = HashMap::new();
    for (from, to, plane) in pieces {
        if by_ends.remove(&(to.clone(), from.clone())).is_none() && by_ends.insert((from, to), plane).is_some() {
            return Err(Refusal::Overlap);
        }
    }
    Ok(by_ends.into_iter().map(|((from, to), plane)| (from, to, plane)).collect())
}

/// For every piece, the piece that follows it: round each point, an interior sector runs anticlockwise from a piece
/// that leaves to a piece that arrives.
fn follow(pieces: &[(V, V, usize)]) -> Result<Vec<usize>, Refusal> {
    let mut round: HashMap<&V, Vec<(V, usize, bool)>> = HashMap::new();
    for (index, (from, to, _)) in pieces.iter().enumerate() {
        round.entry(from).or_default().push((to - from, index, true));
        round.entry(to).or_default().push((from - to, index, false));
    }
    let mut next = vec![usize::MAX; pieces.len()];
    for rays in round.values_mut() {
        rays.sort_by(|a, b| a.0.by_angle(&b.0));
        for (position, (_, leaving, leaves)) in rays.iter().enumerate() {
            if !leaves {
                continue;
            }
            let (_, arriving, also_leaves) = &rays[(position + 1) % rays.len()];
            if *also_leaves {
                return Err(Refusal::Overlap);
            }
            next[*arriving] = *leaving;
        }
    }
    if next.contains(&usize::MAX) { Err(Refusal::Overlap) } else { Ok(next) }
}

/// How collinear pieces of different speed are settled.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Collinear {
    /// Both stay and a step stands between them.
    Step,
    /// The flatter takes over.
    Flatter,
}

/// Where sides of one direction came to lie on one line during the sweep.
#[derive(Clone, Debug, Default)]
pub struct Meets {
    /// How often.
    pub same_direction: usize,
    /// An eave met a verge: no rule is stated for that, and the simulator's is the eave's.
    pub eave_and_verge: bool,
    /// Planes of different sides that became one where they met: how they share it is a matter of naming.
    pub one_plane: Vec<(usize, usize)>,
}

/// What a rebuilding needs to know.
pub struct Rebuild<'a> {
    pub planes: &'a mut Vec<Plane>,
    pub height: &'a Q,
    /// Planes whose speed changed at this very height; all of them at the first outline.
    pub changed: &'a [usize],
    /// Planes of neighbouring sides in one line: where their speeds part, they part with a step.
    pub in_line: &'a HashSet<(usize, usize)>,
    pub next_id: &'a mut usize,
    pub meets: &'a mut Meets,
}

impl Rebuild<'_> {
    /// The chains of the outline at this height.
    pub fn chains(&mut self, segments: Vec<(V, V, usize)>) -> Result<Vec<Vec<Corner>>, Refusal> {
        let pieces = cancel(cut(segments))?;
        let next = follow(&pieces)?;
        let mut used = vec![false; pieces.len()];
        let mut chains = Vec::new();
        for first in 0..pieces.len() {
            if used[first] {
                continue;
            }
            let mut chain: Vec<(V, usize)> = Vec::new();
            let mut at = first;
            while !used[at] {
                used[at] = true;
                chain.push((pieces[at].0.clone(), pieces[at].2));
                at = next[at];
            }
            let chain = self.settle_collinear(chain);
            chains.push(self.corners(&chain)?);
        }
        Ok(chains)
    }

    /// Slopes that end at this height end before anything takes over: so where two neighbouring sides in one line part
    /// here, their step stands, whoever has taken the place of one of them at this very height.
    fn settle_collinear(&mut self, chain: Vec<(V, usize)>) -> Vec<(V, usize)> {
        let count = chain.len();
        let policies: Vec<Collinear> =
            (0..count).map(|index| self.policy(chain[(index + count - 1) % count].1, chain[index].1)).collect();
        let mut chain: Vec<((V, usize), Collinear)> = chain.into_iter().zip(policies).collect();
        loop {
            let count = chain.len();
            let mut changed = false;
            for index in 0..count {
                let before = (index + count - 1) % count;
                let (a, b) = (chain[before].0.1, chain[index].0.1);
                let (pa, pb) = (&self.planes[a], &self.planes[b]);
                if a != b && (pa.normal != pb.normal || pa.speed == pb.speed || chain[index].1 == Collinear::Step) {
                    continue;
                }
                if a != b {
                    self.meets.same_direction += 1;
                    self.meets.eave_and_verge |= pa.speed.is_zero() || pb.speed.is_zero();
                    if self.speed_below(a) == self.speed_below(b) {
                        self.meets.one_plane.push((a, b));
                    }
                    let flatter = if pa.speed > pb.speed { a } else { b };
                    chain[before].0.1 = flatter;
                }
                chain.remove(index);
                changed = true;
                break;
            }
            if !changed {
                return chain.into_iter().map(|(corner, _)| corner).collect();
            }
        }
    }

    /// A plane's speed just below this height: where two in one line here had the same, they were one plane till now.
    fn speed_below(&self, plane: usize) -> Q {
        let of = &self.planes[plane];
        let stage = if self.changed.contains(&plane) && of.stage > 0 { of.stage - 1 } else { of.stage };
        of.profile[stage].1.clone()
    }

    fn policy(&self, a: usize, b: usize) -> Collinear {
        let parts_now = self.changed.contains(&a) || self.changed.contains(&b);
        if parts_now && self.in_line.contains(&(a, b)) { Collinear::Step } else { Collinear::Flatter }
    }

    fn corners(&mut self, chain: &[(V, usize)]) -> Result<Vec<Corner>, Refusal> {
        let mut corners = Vec::new();
        for (index, (place, plane)) in chain.iter().enumerate() {
            let before = chain[(index + chain.len() - 1) % chain.len()].1;
            let (speed_before, speed_after) = (self.planes[before].speed.clone(), self.planes[*plane].speed.clone());
            if self.planes[before].normal == self.planes[*plane].normal && speed_before != speed_after {
                // The step runs along the perpendicular, to the faster one's line.
                let ahead = self.planes[before].normal.clone();
                let along = if speed_after > speed_before { ahead } else { ahead.negated() };
                let step = self.add_step(along.left(), place);
                corners.push(self.corner(before, step, place)?);
                corners.push(self.corner(step, *plane, place)?);
            } else {
                corners.push(self.corner(before, *plane, place)?);
            }
        }
        Ok(corners)
    }

    fn add_step(&mut self, normal: V, place: &V) -> usize {
        let offset = normal.dot(place);
        self.planes.push(Plane {
            normal,
            offset,
            speed: Q::ZERO,
            profile: vec![(self.height.clone(), Q::ZERO)],
            stage: 0,
            version: 0,
            tangents: vec![0.0],
            is_step: true,
        });
        self.planes.len() - 1
    }

    fn corner(&mut self, before: usize, plane: usize, place: &V) -> Result<Corner, Refusal> {
        let (a, b) = (&self.planes[before], &self.planes[plane]);
        let determinant = a.normal.cross(&b.normal);
        let velocity = if determinant.is_zero() {
            if a.normal != b.normal || a.speed != b.speed {
                return Err(Refusal::Overlap);
            }
            if before != plane {
                self.meets.one_plane.push((before, plane));
            }
            a.normal.scaled(&(&a.speed / a.normal.dot(&a.normal)))
        } else {
            let x = &a.speed * &b.normal.y - &b.speed * &a.normal.y;
            let y = &b.speed * &a.normal.x - &a.speed * &b.normal.x;
            V::new(x / &determinant, y / &determinant)
        };
        *self.next_id += 1;
        Ok(Corner {
            id: *self.next_id,
            place: place.clone(),
            velocity,
            since: self.height.clone(),
            plane,
            reflex: determinant < Q::ZERO,
        })
    }
}
