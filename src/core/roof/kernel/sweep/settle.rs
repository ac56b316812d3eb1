//! What must be settled before the sweep goes on: neighbours that have become parallel, and slopes that change.

use super::canonical::{Parting, first_ahead, part_at_wall};
use super::wavefront::{NONE, Segment, Sweep};
use crate::outline::TakesOver;
use crate::roof::SolveError;

impl Sweep<'_> {
    /// Resolves all vertices between parallel pieces: pieces of one plane become one, of two that run on in one direction
    /// what stands plumb stays, else the flatter takes over along a level pitch-break, and pieces that face each other
    /// leave a level ridge.
    ///
    /// What has come into one line goes first, then all ridges, then what these have brought into one line: so nothing
    /// hangs on the order in which events of one height are found.
    ///
    /// # Errors
    /// A coincidence without a reading.
    pub(super) fn settle(&mut self) -> Result<(), SolveError> {
        self.settle_but(false)
    }

    /// [`Sweep::settle`], ridges left for later where asked.
    ///
    /// # Errors
    /// A coincidence without a reading.
    pub(super) fn settle_but(&mut self, without_ridges: bool) -> Result<(), SolveError> {
        let limit = 8 * self.pieces.len() + 1024;
        let mut closing = false;
        for _ in 0..limit {
            if self.wanted.is_some() {
                return Ok(());
            }
            let one_plane = self.flats.iter().position(|&vertex| self.is_one_plane(vertex));
            if let Some(position) = one_plane {
                let vertex = self.flats.swap_remove(position);
                self.unite(vertex);
            } else if !closing && !self.flats.is_empty() {
                self.take_over()?;
            } else if without_ridges {
                return Ok(());
            } else if let Some(vertex) = self.ridges.pop() {
                closing = true;
                self.close_ridge(vertex)?;
            } else if closing {
                closing = false;
            } else {
                return Ok(());
            }
        }
        let pieces: Vec<u32> =
            self.flats.iter().chain(&self.ridges).map(|&vertex| self.vertices[vertex as usize].before).collect();
        Err(self.tangled(&pieces))
    }

    fn is_one_plane(&self, vertex: u32) -> bool {
        let v = &self.vertices[vertex as usize];
        v.alive && self.pieces[v.before as usize].plane == self.pieces[v.after as usize].plane
    }

    /// Two neighbours on one plane become one piece, but for those that part further up where one of them stands plumb:
    /// between these a step is put in, of no length as yet.
    fn unite(&mut self, vertex: u32) {
        let v = self.vertices[vertex as usize];
        let (a, b) = (v.before, v.after);
        if a == b {
            return;
        }
        if self.input.takes_late_steps()
            && self.part_at_wall(a, b)
            && let Some(a_is_ahead) = self.is_ahead(a, b)
        {
            let owners = [a, b].map(|piece| self.pieces[piece as usize].owner);
            let [x, y, _] = self.out.nodes[v.node as usize];
            let parting = Parting { owners, at: [x, y], plane: self.pieces[a as usize].plane, a_is_ahead };
            let Some(step) = self.input.step_of(&parting) else {
                self.wanted = Some(parting);
                return;
            };
            self.vertices[vertex as usize].alive = false;
            let between = self.add_piece(step, NONE);
            self.link(a, between, v.node);
            self.link(between, b, v.node);
            return;
        }
        self.merge(vertex);
    }

    /// Two neighbours on one plane become one piece.
    pub(super) fn merge(&mut self, vertex: u32) {
        let v = self.vertices[vertex as usize];
        let (a, b) = (v.before, v.after);
        self.keep_flatter(a, b);
        self.out.faces.join(a, b);
        self.vertices[vertex as usize].alive = false;
        let end = self.end(b);
        let next = self.pieces[b as usize].after;
        self.kill_piece(b);
        self.replaced.push((b, a));
        self.vertices[end as usize].before = a;
        self.pieces[a as usize].after = next;
        self.pieces[next as usize].before = a;
        self.touch(a);
        self.touch(next);
    }

    /// Whether the profile of a piece gets ahead of that of another on its plane; `None` where they never part.
    fn is_ahead(&self, piece: u32, other: u32) -> Option<bool> {
        let [own, others] = [piece, other].map(|piece| self.pieces[piece as usize].owner);
        if own == others {
            return None;
        }
        let rest = |side: u32| &self.input.planes_of(side)[self.reached[side as usize] as usize..];
        first_ahead(&self.input.planes, rest(own), rest(others))
    }

    /// Whether two pieces of one plane part further up where one of them stands plumb.
    fn part_at_wall(&self, a: u32, b: u32) -> bool {
        let [own, others] = [a, b].map(|piece| self.pieces[piece as usize].owner);
        if own == NONE || others == NONE || own == others {
            return false;
        }
        let rest = |side: u32| &self.input.planes_of(side)[self.reached[side as usize] as usize..];
        part_at_wall(&self.input.planes, rest(own), rest(others))
    }

    /// Gives a piece that another on its plane becomes one with the profile that goes on, the flatter unless the footprint
    /// says otherwise.
    fn keep_flatter(&mut self, kept: u32, other: u32) {
        let others = self.pieces[other as usize].owner;
        if others == NONE {
            return;
        }
        let flatter = self.footprint.take_over == TakesOver::Flatter;
        let own = self.pieces[kept as usize].owner;
        let stays = own != NONE && self.is_ahead(kept, other).is_none_or(|ahead| ahead == flatter);
        if !stays && own != others {
            self.pieces[kept as usize].owner = others;
            self.follow(others, kept);
        }
    }

    /// Two neighbours that face each other have met along a level line.
    fn close_ridge(&mut self, vertex: u32) -> Result<(), SolveError> {
        let v = self.vertices[vertex as usize];
        if !v.alive {
            return Ok(());
        }
        let (a, b) = (v.before, v.after);
        let (start, end) = (self.pieces[a as usize].start, self.end(b));
        if self.pieces[b as usize].after == a {
            let from = self.vertices[start as usize].node;
            if self.vertices[start as usize].born != self.step {
                return Err(self.tangled(&[a, b]));
            }
            self.vertices[vertex as usize].alive = false;
            self.vertices[start as usize].alive = false;
            self.kill_piece(a);
            self.kill_piece(b);
            if from != v.node {
                self.out.segments.push(Segment { from, to: v.node, left: b, right: a, side: NONE });
            }
            self.record("ridge", v.node, &[a, b]);
            return Ok(());
        }
        let near = self.node_of(start, self.pieces[b as usize].plane)?;
        let far = self.node_of(end, self.pieces[a as usize].plane)?;
        let away = |node: u32| {
            let (p, q) = (self.out.nodes[node as usize], self.out.nodes[v.node as usize]);
            (p[0] - q[0]).hypot(p[1] - q[1])
        };
        // The ridge runs on along the second piece to the end that comes first.
        let near_first = match (self.point_of(near), self.point_of(far)) {
            (Some(one), Some(two)) => one.compare_along(&two, self.plane(b)).is_le(),
            _ => away(near) <= away(far),
        };
        let node = if near == far || near_first { near } else { far };
        self.ridges.push(vertex);
        let before = self.vertices.len();
        self.meet_at(node, &[a, b])?;
        if self.vertices.len() == before {
            return Err(self.tangled(&[a, b]));
        }
        Ok(())
    }

    /// A side's slope changes: so do all the pieces that follow its profile.
    ///
    /// # Errors
    /// A coincidence without a reading.
    pub(super) fn change_side(&mut self, side: u32) -> Result<(), SolveError> {
        let reached = self.reached[side as usize] as usize;
        let ids = self.input.planes_of(side);
        let (Some(&old), Some(&new)) = (ids.get(reached), ids.get(reached + 1)) else { return Ok(()) };
        self.reached[side as usize] += 1;
        for piece in std::mem::take(&mut self.of_side[side as usize]) {
            let at = self.pieces[piece as usize];
            if at.alive && at.plane == old && at.owner == side {
                self.change_plane(piece, new, side, side)?;
            }
        }
        self.schedule_change(side);
        Ok(())
    }

    /// Puts a piece on a plane of the same direction that meets its own along the line where it now is.
    pub(super) fn change_plane(&mut self, piece: u32, plane: u32, owner: u32, side: u32) -> Result<u32, SolveError> {
        let at = self.pieces[piece as usize];
        let (start, end) = (at.start, self.end(piece));
        let from = self.node_of(start, plane)?;
        let to = self.node_of(end, plane)?;
        self.end_vertex(start, from);
        self.end_vertex(end, to);
        self.kill_piece(piece);
        let new = self.add_piece(plane, owner);
        self.replaced.push((piece, new));
        self.link(at.before, new, from);
        self.link(new, at.after, to);
        // A step of no length beside it begins to grow now: what stands behind the step starts afresh too.
        self.restart(self.pieces[at.before as usize].start, from);
        self.restart(self.end(at.after), to);
        if from != to {
            self.level.push(self.out.segments.len());
            self.out.segments.push(Segment { from, to, left: new, right: piece, side });
        }
        self.record("speed change", from, &[piece]);
        Ok(new)
    }

    /// Breaks the line that a vertex traces at a node, if it stands there.
    fn restart(&mut self, vertex: u32, node: u32) {
        let v = self.vertices[vertex as usize];
        if v.born == self.step {
            return;
        }
        if let Some(point) = self.point_of(node)
            && self.stands_at(vertex, node, &point)
        {
            self.end_vertex(vertex, node);
            self.link(v.before, v.after, node);
        }
    }

    /// Splits the level lines of this height at the nodes of this height that lie on them: where a line changes twice at
    /// one height, the two lines must share their nodes to be told apart or zipped shut.
    pub(super) fn split_level(&mut self) {
        for index in std::mem::take(&mut self.level) {
            let line = self.out.segments[index];
            let plane = self.plane(line.left);
            let place = |node: u32| {
                let (at, along) = (self.out.nodes[node as usize], plane.along());
                at[0] * along[0] + at[1] * along[1]
            };
            let (start, end) = (place(line.from), place(line.to));
            let mut between: Vec<(f64, u32)> = self
                .here
                .iter()
                .filter(|(node, point)| {
                    let at = place(*node);
                    *node != line.from && *node != line.to && at > start && at < end && point.side_of(plane) == 0
                })
                .map(|(node, _)| (place(*node), *node))
                .collect();
            between.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut from = line.from;
            for (position, &(_, node)) in between.iter().enumerate() {
                let part = Segment { from, to: node, ..line };
                if position == 0 {
                    self.out.segments[index] = part;
                } else {
                    self.out.segments.push(part);
                }
                from = node;
            }
            if from != line.from {
                self.out.segments.push(Segment { from, ..line });
            }
        }
    }
}
