//! Puts the outline at one height together anew from its labelled segments.

use super::exact::{Q, V};
use super::planes::Plane;
use super::simulate::Refusal;
use std::cmp::Ordering;
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

/// Where sides of one direction came to lie on one line during the sweep.
#[derive(Clone, Debug, Default)]
pub struct Meets {
    /// How often two slopes did.
    pub same_direction: usize,
    /// How often a slope came into the line of what stood plumb.
    pub at_wall: usize,
    /// Planes of different sides that became one where they met: how they share it is a matter of naming.
    pub one_plane: Vec<(usize, usize)>,
}

/// Puts pieces together to chains.
fn chained(pieces: &[(V, V, usize)]) -> Result<Vec<Vec<Link>>, Refusal> {
    let next = follow(pieces)?;
    let mut used = vec![false; pieces.len()];
    let mut chains = Vec::new();
    for first in 0..pieces.len() {
        if used[first] {
            continue;
        }
        let mut chain: Vec<Link> = Vec::new();
        let mut at = first;
        while !used[at] {
            used[at] = true;
            chain.push((pieces[at].0.clone(), pieces[at].2));
            at = next[at];
        }
        chains.push(chain);
    }
    Ok(chains)
}

/// What a rebuilding needs to know.
pub struct Rebuild<'a> {
    pub planes: &'a mut Vec<Plane>,
    pub height: &'a Q,
    /// Planes of neighbouring sides in one line: where their speeds part, they part with a step.
    pub in_line: &'a HashSet<(usize, usize)>,
    pub next_id: &'a mut usize,
    pub meets: &'a mut Meets,
    pub reading: &'a Reading,
    /// Where pieces in one line part with a step at this height.
    pub parted: HashSet<V>,
}

/// Which of two in one line goes on.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// Of two slopes the steeper, not the flatter.
    pub steeper: bool,
    /// By number of meeting, in order: whether the other one goes on than the rule says.
    pub flipped: Vec<bool>,
}

/// A piece of a chain: where it starts, the plane it climbs.
pub type Link = (V, usize);

impl Rebuild<'_> {
    /// The first outline.
    pub fn first(&mut self, segments: Vec<(V, V, usize)>) -> Result<Vec<Vec<Corner>>, Refusal> {
        let chains = chained(&cancel(cut(segments))?)?;
        chains.into_iter().map(|chain| self.corners(&chain)).collect()
    }

    /// The chains of the outline at this height from what the old ones have come to. Slopes that change here change first;
    /// pieces that have come into one line are settled next, then what faces each other is roofed, then pieces that this
    /// has brought into one line are settled.
    pub fn chains(&mut self, old: Vec<Vec<(V, V, usize)>>) -> Result<Vec<Vec<Corner>>, Refusal> {
        for plane in self.planes.iter_mut() {
            if plane.next_change() == Some(self.height) {
                plane.change();
            }
        }
        let mut segments = Vec::new();
        for chain in old {
            let ends: Vec<V> = chain.iter().map(|(_, to, _)| to.clone()).collect();
            let chain = self.settled(chain.into_iter().map(|(from, _, plane)| (from, plane)).collect());
            // A chain has no gaps: each piece ends where the next begins.
            let count = chain.len();
            for index in 0..count {
                let to = if count == 1 { ends[0].clone() } else { chain[(index + 1) % count].0.clone() };
                segments.push((chain[index].0.clone(), to, chain[index].1));
            }
        }
        let chains = chained(&cancel(cut(segments))?)?;
        let chains: Vec<Vec<Link>> = chains.into_iter().map(|chain| self.settled(chain)).collect();
        chains.into_iter().map(|chain| self.corners(&chain)).collect()
    }

    /// Whether two neighbours in one line that start at a place part there with a step: where they lay in one plane till
    /// now, as neighbours of the outline or because one stands plumb below or above, or where such neighbours were.
    fn part(&mut self, place: &V, (a, b): (usize, usize)) -> bool {
        let (pa, pb) = (&self.planes[a], &self.planes[b]);
        if pa.normal != pb.normal {
            return false;
        }
        let below = self.speed_below(a);
        let lay_in_one = below == self.speed_below(b) && pa.speed != pb.speed;
        let plumb = below.is_zero() || pa.speed.is_zero() || pb.speed.is_zero();
        let stood = plumb && !pa.is_step && !pb.is_step;
        if lay_in_one && (stood || self.in_line.contains(&(a, b))) {
            self.parted.insert(place.clone());
        }
        self.parted.contains(place)
    }

    /// Of two planes in one line, whether the first goes on before the second: what stands plumb, the longer the more,
    /// then the flatter of slopes, last the wall of a step.
    fn outlasts(&self, a: usize, b: usize) -> Ordering {
        let (pa, pb) = (&self.planes[a], &self.planes[b]);
        let rank = |plane: &Plane| match (plane.speed.is_zero(), plane.is_step) {
            (true, false) => 2,
            (false, _) => 1,
            (true, true) => 0,
        };
        if rank(pa) != rank(pb) {
            return rank(pa).cmp(&rank(pb));
        }
        if pa.speed.is_zero() {
            return match (pa.next_change(), pb.next_change()) {
                (Some(x), Some(y)) => x.cmp(y),
                (x, y) => x.is_none().cmp(&y.is_none()),
            };
        }
        let faster = pa.speed.cmp(&pb.speed);
        if self.reading.steeper { faster.reverse() } else { faster }
    }

    /// Settles neighbours in one line: one plane is one piece; of two of different speed one goes on, the strongest of
    /// the chain first.
    fn settled(&mut self, chain: Vec<Link>) -> Vec<Link> {
        let count = chain.len();
        let parts: Vec<bool> = (0..count)
            .map(|index| self.part(&chain[index].0, (chain[(index + count - 1) % count].1, chain[index].1)))
            .collect();
        let mut chain: Vec<(Link, bool)> = chain.into_iter().zip(parts).collect();
        loop {
            let count = chain.len();
            let pair = |index: usize| (chain[(index + count - 1) % count].0.1, chain[index].0.1);
            if count > 1
                && let Some(index) = (0..count).find(|&index| pair(index).0 == pair(index).1)
            {
                chain.remove(index);
                continue;
            }
            let meets = |index: &usize| {
                let (a, b) = pair(*index);
                let (pa, pb) = (&self.planes[a], &self.planes[b]);
                !chain[*index].1 && pa.normal == pb.normal && pa.speed != pb.speed
            };
            let winner = |index: usize| {
                let (a, b) = pair(index);
                if self.outlasts(a, b).is_ge() { a } else { b }
            };
            let strongest = (0..count)
                .filter(meets)
                .reduce(|best, next| if self.outlasts(winner(next), winner(best)).is_gt() { next } else { best });
            let Some(index) = strongest else { return chain.into_iter().map(|(link, _)| link).collect() };
            let (a, b) = pair(index);
            let mut wins = winner(index);
            let number = self.meets.same_direction + self.meets.at_wall;
            if self.reading.flipped.get(number).copied().unwrap_or(false) {
                wins = a + b - wins;
            }
            let stands = |plane: &Plane| plane.speed.is_zero() && !plane.is_step;
            if stands(&self.planes[a]) || stands(&self.planes[b]) {
                self.meets.at_wall += 1;
            } else {
                self.meets.same_direction += 1;
            }
            if self.speed_below(a) == self.speed_below(b) {
                self.meets.one_plane.push((a, b));
            }
            chain[(index + count - 1) % count].0.1 = wins;
            chain[index].0.1 = wins;
        }
    }

    /// A plane's speed just below this height.
    fn speed_below(&self, plane: usize) -> Q {
        let of = &self.planes[plane];
        let changed = of.stage > 0 && of.profile[of.stage].0 == *self.height;
        of.profile[if changed { of.stage - 1 } else { of.stage }].1.clone()
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
