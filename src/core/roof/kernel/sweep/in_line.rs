//! Pieces of one direction that come into one line: what stands plumb there stays, of two slopes the flatter goes on.

use super::wavefront::{NONE, Sweep, TakeOver};
use crate::outline::TakesOver;
use crate::roof::SolveError;
use smallvec::SmallVec;
use std::cmp::Ordering;

impl Sweep<'_> {
    /// Whether all that is left at a point is one piece that runs through it.
    pub(super) fn runs_through(&self, node: u32, seeds: &[u32]) -> bool {
        let Some(point) = self.point_of(node) else { return false };
        let mut parts = seeds.iter().filter_map(|&seed| self.part_at(seed, node, &point));
        let Some(first) = parts.next() else { return false };
        let ends = [self.pieces[first as usize].start, self.end(first)];
        parts.all(|part| part == first) && !ends.iter().any(|&vertex| self.stands_at(vertex, node, &point))
    }

    /// Joins the ends of every chain through a point that have come into one line; whether there is one.
    pub(super) fn close_in_line(&mut self, node: u32, seeds: &[u32]) -> bool {
        let Some(point) = self.point_of(node) else { return false };
        let mut found = false;
        for &seed in seeds {
            let Some(seed) = self.part_at(seed, node, &point) else { continue };
            let mut first = seed;
            while self.stands_at(self.pieces[first as usize].start, node, &point) {
                first = self.pieces[first as usize].before;
                if first == seed {
                    break;
                }
            }
            if self.stands_at(self.pieces[first as usize].start, node, &point) {
                continue;
            }
            let mut last = first;
            while self.stands_at(self.end(last), node, &point) {
                last = self.pieces[last as usize].after;
            }
            let meet = self.pieces[first as usize].after != last && self.plane(first).same_direction(self.plane(last));
            if !meet || self.pieces[first as usize].plane == self.pieces[last as usize].plane {
                continue;
            }
            found = true;
            let mut involved: SmallVec<[u32; 8]> = SmallVec::new();
            let mut at = first;
            while at != last {
                involved.push(at);
                let vertex = self.end(at);
                at = self.pieces[at as usize].after;
                self.end_vertex(vertex, node);
                if at != last {
                    self.kill_piece(at);
                }
            }
            involved.push(last);
            self.record("edge", node, &involved);
            self.link(first, last, node);
        }
        found
    }

    /// Whether a piece is a side's that stands plumb: a verge, an abutment, a side at rest, a plumb part of a half-hip or a
    /// gablet, not the wall of a step.
    fn stands(&self, piece: u32) -> bool {
        self.pieces[piece as usize].owner != NONE && self.plane(piece).is_plumb()
    }

    /// Whether of two pieces in one line the first goes on: what stands plumb, of such what stands longest; of slopes the
    /// flatter, or the steeper where the footprint says so; last the wall of a step.
    fn outlasts(&self, piece: u32, other: u32) -> Ordering {
        let rank = |piece: u32| match (self.stands(piece), self.plane(piece).is_plumb()) {
            (true, _) => 2,
            (false, false) => 1,
            (false, true) => 0,
        };
        let order = rank(piece).cmp(&rank(other));
        if order.is_ne() {
            return order;
        }
        if self.stands(piece) {
            let end = |piece: u32| self.next_change(self.pieces[piece as usize].owner);
            return match (end(piece), end(other)) {
                (Some(a), Some(b)) => a.compare(&b),
                (a, b) => a.is_none().cmp(&b.is_none()),
            };
        }
        let faster = self.plane(piece).compare_speed(self.plane(other));
        if self.footprint.take_over == TakesOver::Flatter { faster } else { faster.reverse() }
    }

    /// Settles one place where two neighbours run on in one direction: that of the strongest of all that go on, so that
    /// where several meet in one line the order is no matter.
    pub(super) fn take_over(&mut self) -> Result<(), SolveError> {
        let vertices = &self.vertices;
        self.flats.retain(|&vertex| vertices[vertex as usize].alive);
        // A slope, or a rest, that ends at this very height counts for nothing above it.
        for &vertex in &self.flats {
            let v = &self.vertices[vertex as usize];
            for piece in [v.before, v.after] {
                let side = self.pieces[piece as usize].owner;
                if side != NONE && self.next_change(side).is_some_and(|height| height.compare(&self.now).is_eq()) {
                    return self.change_side(side);
                }
            }
        }
        let sides = |&vertex: &u32| {
            let v = &self.vertices[vertex as usize];
            if self.outlasts(v.before, v.after).is_ge() { (v.before, v.after) } else { (v.after, v.before) }
        };
        let strongest = self
            .flats
            .iter()
            .map(sides)
            .reduce(|best, next| if self.outlasts(next.0, best.0).is_gt() { next } else { best });
        let Some((winner, loser)) = strongest else { return Ok(()) };
        if self.drop_step_beside(loser, self.pieces[winner as usize].plane)? {
            return Ok(());
        }
        let (wins, loses) = (self.pieces[winner as usize], self.pieces[loser as usize]);
        let height = self.input.frame.height(self.now.near);
        let plumb = self.stands(winner);
        self.out.takeovers.push(TakeOver { winner: wins.owner, loser: loses.owner, height, plumb });
        self.change_plane(loser, wins.plane, wins.owner, NONE)?;
        Ok(())
    }

    /// Takes away a step of no length between a piece and another on its plane: what comes into one line with the one does
    /// so with the other. Whether there was such a step; `third` is a plane through the place.
    fn drop_step_beside(&mut self, piece: u32, third: u32) -> Result<bool, SolveError> {
        let at = self.pieces[piece as usize];
        let beyond = [self.pieces[at.before as usize].before, self.pieces[at.after as usize].after];
        for (step, beyond) in [at.before, at.after].into_iter().zip(beyond) {
            let is_step = self.pieces[step as usize].owner == NONE;
            if !is_step || beyond == piece || self.pieces[beyond as usize].plane != at.plane {
                continue;
            }
            let (before, after) = if step == at.before { (beyond, piece) } else { (piece, beyond) };
            let ends = [self.pieces[step as usize].start, self.end(step)];
            let node = self.node_of(ends[0], third)?;
            for vertex in ends {
                self.end_vertex(vertex, node);
            }
            self.kill_piece(step);
            let vertex = self.link(before, after, node);
            self.flats.retain(|&flat| flat != vertex);
            self.merge(vertex);
            return Ok(true);
        }
        Ok(false)
    }
}
