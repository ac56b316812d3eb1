//! The one handler: everything that happens at one height, point by point.
//!
//! At a point any number of chains of the wavefront may meet; each arrives along a first piece and leaves along a last
//! one, those between having shrunk to nothing, and a piece hit in its middle is a chain of itself. Their ends, sorted
//! by angle, bound sectors that the roof has not reached; the two ends of each sector become neighbours. With speeds
//! that are never negative every piece moves into its own sector, so the new wavefront is plane again: this is the
//! planar matching of Biedl, Huber and Palfrader for this class of weights.

use super::canonical::Parting;
use super::plane::{Height, TriplePoint, closing, compare_rays, estimate};
use super::queue::{Event, EventKind};
use super::wavefront::{NONE, Skeleton, Sweep};
use crate::roof::SolveError;
use smallvec::SmallVec;
use std::cmp::Ordering;

/// An event that is not stale, with its exact height.
struct Due {
    event: Event,
    height: Height,
    /// The pieces whose planes meet; none where a slope changes.
    pieces: Option<[u32; 3]>,
}

/// The events of the lowest height.
#[derive(Default)]
struct Batch {
    due: Vec<Due>,
    /// Where those happen that are no change of slope, in order.
    points: Vec<TriplePoint>,
}

/// A chain of pieces through a point: arrives along the first, leaves along the last.
#[derive(Clone, Copy)]
struct Chain {
    first: u32,
    last: u32,
}

impl Sweep<'_> {
    /// Sweeps until nothing is left, or to where a step is wanting that [`super::sweep`] then adds.
    ///
    /// # Errors
    /// The roof never closes; a coincidence without a reading; too many events.
    pub(super) fn run(mut self) -> Result<Result<Skeleton, Parting>, SolveError> {
        self.schedule_all();
        let limit = 64 * self.input.sides.len() + 4096;
        let mut points = 0;
        let mut batch = Batch::default();
        while self.next_batch(&mut batch) {
            let due = &batch.due;
            if due[0].height.compare(&self.now).is_gt() {
                self.split_level();
                self.now = due[0].height;
                self.step += 1;
                self.here.clear();
                self.splits.clear();
                self.replaced.clear();
            }
            points += due.len();
            if points > limit {
                let alive: Vec<u32> = self.alive().take(8).collect();
                return Err(self.tangled(&alive));
            }
            if batch.points.is_empty() {
                for due in due {
                    if let EventKind::Change { side, .. } = due.event.what {
                        self.change_side(side)?;
                    }
                }
            } else {
                self.meet(&batch)?;
                for due in due.iter().filter(|due| due.pieces.is_none()) {
                    self.queue.push(due.event.height, due.event.what);
                }
            }
            self.settle()?;
            if let Some(parting) = self.wanted {
                return Ok(Err(parting));
            }
            self.schedule();
        }
        self.split_level();
        if self.live > 0 {
            // What slopes shrinks till it is gone: here an event was lost where sides brought into line cross.
            let sloping: Vec<u32> = self.alive().filter(|&piece| !self.plane(piece).is_plumb()).take(8).collect();
            if !sloping.is_empty() {
                return Err(self.tangled(&sloping));
            }
            let mut sides: Vec<u32> = self.alive().map(|piece| self.pieces[piece as usize].owner).collect();
            sides.retain(|&side| side != NONE);
            sides.sort_unstable();
            sides.dedup();
            return Err(SolveError::NeverCloses { block: self.footprint.name.clone(), sides: self.names(&sides) });
        }
        Ok(Ok(self.out))
    }

    #[allow(clippy::cast_possible_truncation)]
    fn alive(&self) -> impl Iterator<Item = u32> {
        (0..self.pieces.len() as u32).filter(|&piece| self.pieces[piece as usize].alive)
    }

    /// Fetches all real events of the lowest height, by exact comparison; whether there are any.
    fn next_batch(&mut self, found: &mut Batch) -> bool {
        let Batch { due: batch, points } = found;
        batch.clear();
        loop {
            if !self.stride_on() {
                return false;
            }
            let Some(first) = self.queue.pop() else { return false };
            let Some(due) = self.locate(first) else { continue };
            let height = due.height.near;
            let before = |next: f64| next < height;
            if first.rough && (self.queue.next_height().is_some_and(before) || before(self.search.horizon)) {
                // Not the lowest, now that its height is known, or not of this stride.
                self.queue.push(height, first.what);
                continue;
            }
            let reach = height + 64.0 * f64::EPSILON * height.abs();
            batch.push(due);
            while let Some(event) = self.queue.pop_up_to(reach) {
                let Some(due) = self.locate(event) else { continue };
                match due.height.compare(&batch[0].height) {
                    Ordering::Equal => batch.push(due),
                    // Lies higher, by less than floats can tell or than its bound told: it must wait.
                    Ordering::Greater => self.later.push(due.event),
                    Ordering::Less => {
                        self.later.extend(batch.drain(..).map(|due| due.event));
                        batch.push(due);
                    }
                }
            }
            for event in self.later.drain(..) {
                self.queue.push(event.height, event.what);
            }
            // What has to wait may become real through what comes before it, so only the lowest are judged.
            points.clear();
            batch.retain(|due| self.is_real(due, points));
            if !batch.is_empty() {
                return true;
            }
        }
    }

    /// The exact height of an event that is not stale.
    fn locate(&self, event: Event) -> Option<Due> {
        match event.what {
            EventKind::Collapse { piece, changes } => {
                let at = &self.pieces[piece as usize];
                if !at.alive || at.changes != changes {
                    return None;
                }
                self.meets(event, [at.before, piece, at.after])
            }
            EventKind::Split { vertex, piece } => {
                let v = &self.vertices[vertex as usize];
                if !v.alive || !self.pieces[piece as usize].alive {
                    return None;
                }
                self.meets(event, [v.before, v.after, piece])
            }
            EventKind::Change { side, stage } => {
                if self.reached[side as usize] != stage {
                    return None;
                }
                Some(Due { event, height: self.next_change(side)?, pieces: None })
            }
        }
    }

    fn meets(&self, event: Event, pieces: [u32; 3]) -> Option<Due> {
        let [a, b, c] = pieces.map(|piece| self.plane(piece));
        let height = Height::of(a, b, c)?;
        let event = Event { height: height.near, rough: false, ..event };
        Some(Due { event, height, pieces: Some(pieces) })
    }

    /// Whether an event of the lowest height happens: whether the point where a vertex meets a piece's line lies on the
    /// piece. Adds its place if it has one and happens.
    fn is_real(&self, due: &Due, points: &mut Vec<TriplePoint>) -> bool {
        let Some(pieces) = due.pieces else { return true };
        let [a, b, c] = pieces.map(|piece| self.plane(piece));
        let point = TriplePoint::at(&due.height, a, b, c, self.input.scale);
        let real = match due.event.what {
            EventKind::Split { piece, .. } => self.hits(piece, &point, &due.height),
            _ => true,
        };
        if real {
            points.push(point);
        }
        real
    }

    /// Whether a vertex that meets a piece's line in a point at a height lies on the piece then.
    fn hits(&self, piece: u32, point: &TriplePoint, height: &Height) -> bool {
        // At the height of the event no vertex stands on its node, unless it was born there.
        if height.compare(&self.now).is_gt() {
            self.runs_past(piece, point, NONE, NONE)
        } else {
            let node = self.here.node_at(point).unwrap_or(NONE);
            self.runs_past(piece, point, node, self.step)
        }
    }

    /// Whether a point on a piece's line lies on the piece, ends included. Vertices born at `step` stand on their nodes.
    fn runs_past(&self, piece: u32, point: &TriplePoint, node: u32, step: u32) -> bool {
        let at = &self.pieces[piece as usize];
        let own = self.plane(piece);
        let beyond = |vertex: u32, neighbour: u32, within: Ordering| {
            let v = &self.vertices[vertex as usize];
            if v.born == step {
                let order = || match self.point_of(v.node) {
                    Some(place) => point.compare_along(&place, own),
                    // A corner of the outline.
                    None => {
                        let (along, place) = (own.along(), self.out.nodes[v.node as usize]);
                        let ahead = along[0] * (point.near[0] - place[0]) + along[1] * (point.near[1] - place[1]);
                        ahead.total_cmp(&0.0)
                    }
                };
                return v.node == node || order() != within.reverse();
            }
            point.side_of(self.plane(neighbour)) * v.turn >= 0
        };
        beyond(at.start, at.before, Ordering::Greater) && beyond(self.end(piece), at.after, Ordering::Less)
    }

    /// Handles all points of a batch.
    fn meet(&mut self, batch: &Batch) -> Result<(), SolveError> {
        let mut points: SmallVec<[(u32, SmallVec<[u32; 4]>); 2]> = SmallVec::new();
        let events = batch.due.iter().filter(|due| due.pieces.is_some());
        for (due, point) in events.zip(&batch.points) {
            let node = self.node_at(point);
            let seeds = match due.event.what {
                EventKind::Collapse { piece, .. } => [piece, NONE],
                EventKind::Split { vertex, piece } => [self.vertices[vertex as usize].before, piece],
                EventKind::Change { .. } => continue,
            };
            // Nodes of one height are few or come in order, so the search starts from the last.
            match points.iter_mut().rev().find(|(other, _)| *other == node) {
                Some((_, list)) => list.extend(seeds.into_iter().filter(|&seed| seed != NONE)),
                None => points.push((node, seeds.into_iter().filter(|&seed| seed != NONE).collect())),
            }
        }
        // What comes into one line goes before all else that happens at this height.
        let mut in_line = false;
        for (node, seeds) in &points {
            in_line |= self.close_in_line(*node, seeds);
        }
        if in_line {
            self.settle_but(true)?;
        }
        for (node, seeds) in points {
            if self.wanted.is_none() && !(in_line && self.runs_through(node, &seeds)) {
                self.meet_at(node, &seeds)?;
            }
        }
        Ok(())
    }

    /// Whether a vertex stands at a point of the present height.
    pub(super) fn stands_at(&self, vertex: u32, node: u32, point: &TriplePoint) -> bool {
        let v = &self.vertices[vertex as usize];
        if v.born == self.step {
            return v.node == node;
        }
        point.side_of(self.plane(v.before)) == 0 && point.side_of(self.plane(v.after)) == 0
    }

    /// The part of a piece, as split at this height, that a point lies on.
    pub(super) fn part_at(&self, seed: u32, node: u32, point: &TriplePoint) -> Option<u32> {
        let on = |&part: &u32| self.pieces[part as usize].alive && self.runs_past(part, point, node, self.step);
        let mut seed = seed;
        let gone = !self.pieces[seed as usize].alive;
        for &(old, new) in self.replaced.iter().take_while(|_| gone) {
            if old == seed && !self.pieces[seed as usize].alive {
                seed = new;
            }
        }
        if on(&seed) {
            return Some(seed);
        }
        let mut parts = vec![seed];
        for &(first, second) in &self.splits {
            if parts.contains(&first) {
                parts.push(second);
            }
        }
        parts.into_iter().find(on)
    }

    /// Everything that meets at one point.
    pub(super) fn meet_at(&mut self, node: u32, seeds: &[u32]) -> Result<(), SolveError> {
        let Some(point) = self.point_of(node) else { return Err(self.tangled(seeds)) };
        let mut chains: SmallVec<[Chain; 4]> = SmallVec::new();
        let mut involved: SmallVec<[u32; 8]> = SmallVec::new();
        let mut peak = false;
        let mut hits = 0;
        for &seed in seeds {
            let Some(seed) = self.part_at(seed, node, &point) else { continue };
            if involved.contains(&seed) {
                continue;
            }
            let mut first = seed;
            while self.stands_at(self.pieces[first as usize].start, node, &point) {
                first = self.pieces[first as usize].before;
                if first == seed {
                    break;
                }
            }
            if first == seed && self.stands_at(self.pieces[first as usize].start, node, &point) {
                // The whole ring has shrunk to the point.
                peak = true;
                let mut at = seed;
                loop {
                    self.end_vertex(self.pieces[at as usize].start, node);
                    involved.push(at);
                    at = self.pieces[at as usize].after;
                    if at == seed {
                        break;
                    }
                }
                let mut at = seed;
                loop {
                    self.kill_piece(at);
                    at = self.pieces[at as usize].after;
                    if at == seed {
                        break;
                    }
                }
                continue;
            }
            let mut last = first;
            involved.push(first);
            while self.stands_at(self.end(last), node, &point) {
                let vertex = self.end(last);
                if last != first {
                    self.kill_piece(last);
                }
                last = self.pieces[last as usize].after;
                self.end_vertex(vertex, node);
                involved.push(last);
            }
            if first == last {
                hits += 1;
                last = self.split_piece(first);
                involved.push(last);
            }
            chains.push(Chain { first, last });
        }
        if self.with_events {
            let kind = match (peak, chains.len(), hits) {
                (true, ..) => "peak",
                (_, 1, 0) => "edge",
                (_, 2, 1) => "split",
                _ => "vertex",
            };
            self.record(kind, node, &involved);
        }
        self.pair(node, &chains, &involved)
    }

    /// Cuts a piece in two at a point to be linked; gives the second part.
    fn split_piece(&mut self, piece: u32) -> u32 {
        let at = self.pieces[piece as usize];
        let second = self.add_piece(at.plane, at.owner);
        self.out.faces.join(piece, second);
        let end = self.end(piece);
        self.pieces[second as usize].after = at.after;
        self.pieces[at.after as usize].before = second;
        self.vertices[end as usize].before = second;
        self.splits.push((piece, second));
        self.touch(piece);
        self.touch(second);
        second
    }

    /// Sorts the ends of chains by angle and makes neighbours of those that bound one sector.
    fn pair(&mut self, node: u32, chains: &[Chain], involved: &[u32]) -> Result<(), SolveError> {
        if let [chain] = chains {
            self.link(chain.first, chain.last, node);
            return Ok(());
        }
        // (piece, whether it leaves the point)
        let mut ends: SmallVec<[(u32, bool); 8]> =
            chains.iter().flat_map(|chain| [(chain.first, false), (chain.last, true)]).collect();
        ends.sort_by(|&(a, a_leaves), &(b, b_leaves)| {
            compare_rays((self.plane(a), a_leaves), (self.plane(b), b_leaves)).then(b_leaves.cmp(&a_leaves))
        });
        for index in 0..ends.len() {
            let (out, leaves) = ends[index];
            if !leaves {
                continue;
            }
            let (back, next_leaves) = ends[(index + 1) % ends.len()];
            if next_leaves {
                return Err(self.tangled(involved));
            }
            self.link(back, out, node);
        }
        Ok(())
    }

    /// Schedules what follows from the wavefront at the base.
    #[allow(clippy::cast_possible_truncation)]
    fn schedule_all(&mut self) {
        self.schedule();
        for side in 0..self.input.sides.len() as u32 {
            self.schedule_change(side);
        }
    }

    /// The height at which a side's slope changes next.
    pub(super) fn next_change(&self, side: u32) -> Option<Height> {
        let reached = self.reached[side as usize] as usize;
        let ids = self.input.planes_of(side);
        let (a, b) = (*ids.get(reached)?, *ids.get(reached + 1)?);
        Height::of_parallel(&self.input.planes[a as usize], &self.input.planes[b as usize])
    }

    /// Schedules the next change of a side's slope.
    pub(super) fn schedule_change(&mut self, side: u32) {
        if let Some(height) = self.next_change(side) {
            self.queue.push(height.near, EventKind::Change { side, stage: self.reached[side as usize] });
        }
    }

    /// Schedules events of all pieces touched and vertices made since the last time.
    fn schedule(&mut self) {
        let mut touched = std::mem::take(&mut self.touched);
        touched.sort_unstable();
        touched.dedup();
        touched.retain(|&piece| self.pieces[piece as usize].alive);
        let mut made = std::mem::take(&mut self.made);
        for &piece in &touched {
            self.schedule_collapse(piece);
        }
        self.schedule_splits(&touched, &made);
        touched.clear();
        made.clear();
        (self.touched, self.made) = (touched, made);
    }

    fn schedule_collapse(&mut self, piece: u32) {
        let at = self.pieces[piece as usize];
        let (before, own, after) = (self.plane(at.before), self.plane(piece), self.plane(at.after));
        let turns = self.vertices[at.start as usize].turn * self.vertices[self.end(piece) as usize].turn;
        let what = EventKind::Collapse { piece, changes: at.changes };
        if let Some((sign, height, doubt)) = estimate(before, own, after) {
            if sign * turns <= 0 || height + doubt < self.now.low() {
                return;
            }
            if height - doubt > self.now.high() {
                self.queue.push_rough(height - doubt, what);
                return;
            }
        } else if closing(before, own, after) * turns <= 0 {
            return;
        }
        let Some(point) = TriplePoint::of(before, own, after, self.input.scale) else { return };
        let height = point.height();
        if height.compare(&self.now).is_ge() {
            self.queue.push(height.near, what);
        }
    }

    /// Schedules the crash of a reflex vertex into a piece, if there is one ahead.
    pub(super) fn schedule_split(&mut self, vertex: u32, piece: u32) {
        let v = self.vertices[vertex as usize];
        if piece == v.before || piece == v.after {
            return;
        }
        let (a, b, c) = (self.plane(v.before), self.plane(v.after), self.plane(piece));
        if let Some((sign, height, doubt)) = estimate(a, b, c) {
            if sign >= 0 || height + doubt < self.now.low() || height - doubt > self.search.horizon {
                return;
            }
            if height - doubt > self.now.high() && height + doubt <= self.search.horizon {
                if self.may_reach(a, b, height, doubt) {
                    self.queue.push_rough(height - doubt, EventKind::Split { vertex, piece });
                }
                return;
            }
        } else if closing(a, b, c) >= 0 {
            return;
        }
        let Some(point) = TriplePoint::of(a, b, c, self.input.scale) else { return };
        if !self.search.can_reach(&point.near) {
            return;
        }
        let height = point.height();
        // A vertex just made stands in its own sector, away from all that it was parted from.
        let least = if v.born == self.step { Ordering::Greater } else { Ordering::Equal };
        if height.compare(&self.now) >= least && height.near <= self.search.horizon {
            self.queue.push(height.near, EventKind::Split { vertex, piece });
        }
    }
}
