//! The shrinking outline: rings of pieces joined by vertices, and the skeleton they leave behind.

use super::candidates::Search;
use super::canonical::{Canonical, Parting};
use super::here::Here;
use super::plane::{Height, SweepPlane, TriplePoint, cross};
use super::queue::Queue;
use crate::base::name::SideName;
use crate::base::union_find::UnionFind;
use crate::outline::Footprint;
use crate::roof::{SolveError, SweepEvent};

/// No face, no side, no piece.
pub const NONE: u32 = u32::MAX;

/// A straight piece of the wavefront on one plane.
#[derive(Clone, Copy, Debug)]
pub struct WavefrontEdge {
    /// Its plane; never changes.
    pub plane: u32,
    /// The side whose profile it follows; [`NONE`] for a step.
    pub owner: u32,
    /// The piece before it.
    pub before: u32,
    /// The piece after it.
    pub after: u32,
    /// The vertex it starts from.
    pub start: u32,
    /// Counts changes of its ends, so that events know when they are stale.
    pub changes: u32,
    /// Whether it is still on the wavefront.
    pub alive: bool,
}

/// Where two pieces meet.
#[derive(Clone, Copy, Debug)]
pub struct Vertex {
    /// The piece that ends here.
    pub before: u32,
    /// The piece that starts here.
    pub after: u32,
    /// The node it comes from.
    pub node: u32,
    /// The step of the sweep at which it came to be; while that lasts it stands on its node.
    pub born: u32,
    /// Turn of the outline: 1 left (convex), -1 right (reflex), 0 parallel, which lasts only within a step.
    pub turn: i32,
    /// Whether it is still on the wavefront.
    pub alive: bool,
}

/// A straight line left behind, between two faces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// Node it starts from.
    pub from: u32,
    /// Node it ends at.
    pub to: u32,
    /// The piece that swept the face to its left in plan, by its number in [`Skeleton::planes`].
    pub left: u32,
    /// The one to its right; [`NONE`] outside the outline.
    pub right: u32,
    /// The side whose face starts here, on the left.
    pub side: u32,
}

/// A side that goes on in another's place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TakeOver {
    /// The side that goes on; [`NONE`] for a step.
    pub winner: u32,
    /// The side that ends here.
    pub loser: u32,
    /// Height above datum, metres.
    pub height: f64,
    /// Whether what goes on stands plumb there, so that the other ends against its wall.
    pub plumb: bool,
}

/// What a sweep leaves behind.
#[derive(Clone, Debug, Default)]
pub struct Skeleton {
    /// Places in units of the frame: x, y, height above the base.
    pub nodes: Vec<[f64; 3]>,
    /// Lines between faces.
    pub segments: Vec<Segment>,
    /// By piece: its plane.
    pub planes: Vec<u32>,
    /// By piece: the side whose profile it follows, [`NONE`] for a step.
    pub owners: Vec<u32>,
    /// Pieces that swept one face: parts of one that was split, and those that became one again.
    pub faces: UnionFind,
    /// Events, lowest first, when asked for.
    pub events: Vec<SweepEvent>,
    /// Sides that another took over, lowest first.
    pub takeovers: Vec<TakeOver>,
}

/// The state of a sweep.
pub struct Sweep<'a> {
    pub(super) input: &'a Canonical,
    pub(super) footprint: &'a Footprint,
    pub(super) pieces: Vec<WavefrontEdge>,
    pub(super) vertices: Vec<Vertex>,
    pub(super) out: Skeleton,
    pub(super) queue: Queue,
    pub(super) search: Search,
    /// The height reached, and the count of distinct heights before it.
    pub(super) now: Height,
    pub(super) step: u32,
    /// Nodes at this height.
    pub(super) here: Here,
    /// Pieces split at this height: (first part, second part).
    pub(super) splits: Vec<(u32, u32)>,
    /// Pieces that gave way to others at this height: (old, new).
    pub(super) replaced: Vec<(u32, u32)>,
    /// Pieces whose ends changed, vertices made, since events were last scheduled.
    pub(super) touched: Vec<u32>,
    pub(super) made: Vec<u32>,
    /// Vertices between parallel pieces, to be resolved before the sweep goes on.
    pub(super) flats: Vec<u32>,
    pub(super) ridges: Vec<u32>,
    /// By side: the pieces that follow its profile, where that has more than one slope (empty where none has); and how far
    /// up the profile they are.
    pub(super) of_side: Vec<Vec<u32>>,
    pub(super) reached: Vec<u32>,
    pub(super) live: usize,
    /// Lines of this height between two slopes of one direction.
    pub(super) level: Vec<usize>,
    /// Events taken out of the queue too early, on their way back.
    pub(super) later: Vec<super::queue::Event>,
    pub(super) with_events: bool,
    /// A step that was found wanting: the sweep is to be run again with it.
    pub(super) wanted: Option<Parting>,
}

#[allow(clippy::cast_possible_truncation)]
fn id(index: usize) -> u32 {
    index as u32
}

impl<'a> Sweep<'a> {
    /// The wavefront at the base.
    #[must_use]
    pub fn new(input: &'a Canonical, footprint: &'a Footprint, with_events: bool) -> Self {
        let changes = input.sides.iter().any(|side| side.profile.1 > 1);
        let mut sweep = Self {
            input,
            footprint,
            pieces: Vec::with_capacity(input.sides.len() * 2),
            vertices: Vec::with_capacity(input.sides.len() * 3),
            out: Skeleton {
                nodes: Vec::with_capacity(input.corners.len() * 2),
                segments: Vec::with_capacity(input.sides.len() * 3),
                planes: Vec::with_capacity(input.sides.len() * 2),
                owners: Vec::with_capacity(input.sides.len() * 2),
                faces: UnionFind::with_capacity(input.sides.len() * 2),
                ..Skeleton::default()
            },
            queue: Queue::with_capacity(input.sides.len() * 4),
            search: Search::new(),
            now: Height::zero(),
            step: 0,
            here: Here::new(),
            splits: Vec::new(),
            replaced: Vec::new(),
            touched: Vec::with_capacity(input.sides.len() * 2),
            made: Vec::with_capacity(input.sides.len()),
            flats: Vec::new(),
            ridges: Vec::new(),
            of_side: if changes { vec![Vec::new(); input.sides.len()] } else { Vec::new() },
            reached: vec![0; input.sides.len()],
            live: 0,
            level: Vec::new(),
            later: Vec::new(),
            with_events,
            wanted: None,
        };
        sweep.out.nodes.extend(input.corners.iter().map(|corner| [corner[0], corner[1], 0.0]));
        for (number, ring) in input.rings.iter().enumerate() {
            let first = sweep.pieces.len();
            for stretch in ring {
                sweep.add_piece(stretch.plane, stretch.owner);
            }
            for (index, stretch) in ring.iter().enumerate() {
                let before = first + if index == 0 { ring.len() - 1 } else { index - 1 };
                sweep.link(id(before), id(first + index), stretch.corner);
                let end = ring.get(index + 1).unwrap_or(&ring[0]).corner;
                let mut sides = input.sides_of(number, stretch).peekable();
                while let Some(side) = sides.next() {
                    let to = sides.peek().copied().unwrap_or(end);
                    let base = Segment { from: side, to, left: id(first + index), right: NONE, side };
                    sweep.out.segments.push(base);
                }
            }
        }
        sweep
    }

    pub(super) fn plane(&self, piece: u32) -> &'a SweepPlane {
        &self.input.planes[self.pieces[piece as usize].plane as usize]
    }

    pub(super) fn end(&self, piece: u32) -> u32 {
        self.pieces[self.pieces[piece as usize].after as usize].start
    }

    pub(super) fn add_piece(&mut self, plane: u32, owner: u32) -> u32 {
        let new = self.out.faces.add();
        self.out.planes.push(plane);
        self.out.owners.push(owner);
        self.pieces.push(WavefrontEdge {
            plane,
            owner,
            before: NONE,
            after: NONE,
            start: NONE,
            changes: 0,
            alive: true,
        });
        self.follow(owner, new);
        self.live += 1;
        new
    }

    /// Notes that a piece follows the profile of a side, where that has further slopes.
    pub(super) fn follow(&mut self, owner: u32, piece: u32) {
        if owner != NONE && self.input.sides[owner as usize].profile.1 > 1 {
            self.of_side[owner as usize].push(piece);
        }
    }

    pub(super) fn kill_piece(&mut self, piece: u32) {
        self.pieces[piece as usize].alive = false;
        self.live -= 1;
    }

    pub(super) fn touch(&mut self, piece: u32) {
        self.pieces[piece as usize].changes += 1;
        self.touched.push(piece);
    }

    /// Joins two pieces by a new vertex at a node.
    pub(super) fn link(&mut self, before: u32, after: u32, node: u32) -> u32 {
        let new = id(self.vertices.len());
        let (a, b) = (self.plane(before), self.plane(after));
        #[allow(clippy::cast_possible_truncation)]
        let turn = cross(a, b).signum() as i32;
        self.vertices.push(Vertex { before, after, node, born: self.step, turn, alive: true });
        self.pieces[before as usize].after = after;
        self.pieces[after as usize].before = before;
        self.pieces[after as usize].start = new;
        self.touch(before);
        self.touch(after);
        self.made.push(new);
        if turn == 0 {
            if a.same_direction(b) { self.flats.push(new) } else { self.ridges.push(new) }
        }
        new
    }

    /// Ends a vertex at a node: what it traced becomes a line between the faces of its two pieces.
    pub(super) fn end_vertex(&mut self, vertex: u32, node: u32) {
        let Vertex { before, after, node: from, .. } = self.vertices[vertex as usize];
        self.vertices[vertex as usize].alive = false;
        if from != node {
            self.out.segments.push(Segment { from, to: node, left: before, right: after, side: NONE });
        }
    }

    /// The node at a point of the present height.
    pub(super) fn node_at(&mut self, point: &TriplePoint) -> u32 {
        if let Some(node) = self.here.node_at(point) {
            return node;
        }
        let new = id(self.out.nodes.len());
        self.out.nodes.push(point.near);
        self.here.push(new, *point);
        new
    }

    /// The exact point of a node of the present height.
    pub(super) fn point_of(&self, node: u32) -> Option<TriplePoint> {
        self.here.point_of(node).copied()
    }

    /// Where a vertex stands at the present height, given a third plane that passes through that place.
    pub(super) fn node_of(&mut self, vertex: u32, third: u32) -> Result<u32, SolveError> {
        let Vertex { before, after, node, born, .. } = self.vertices[vertex as usize];
        if born == self.step {
            return Ok(node);
        }
        let third = &self.input.planes[third as usize];
        let point = TriplePoint::of(self.plane(before), self.plane(after), third, self.input.scale);
        point.map(|point| self.node_at(&point)).ok_or_else(|| self.tangled(&[before, after]))
    }

    /// The error for coincidences that have no reading, naming the sides of some pieces.
    pub(super) fn tangled(&self, pieces: &[u32]) -> SolveError {
        let mut sides: Vec<u32> =
            pieces.iter().map(|&piece| self.pieces[piece as usize].owner).filter(|&side| side != NONE).collect();
        sides.sort_unstable();
        sides.dedup();
        let names = self.names(&sides);
        SolveError::Tangled {
            block: self.footprint.name.clone(),
            sides: names,
            height: self.input.frame.height(self.now.near),
        }
    }

    /// The names that sides go by.
    pub(super) fn names(&self, sides: &[u32]) -> Vec<SideName> {
        let name = |&side: &u32| {
            let (ring, side) = self.input.sides[side as usize].place;
            self.footprint.side_name(ring, side)
        };
        sides.iter().map(name).collect()
    }

    /// Notes an event for those who asked.
    pub(super) fn record(&mut self, kind: &'static str, node: u32, pieces: &[u32]) {
        if !self.with_events {
            return;
        }
        let mut sides: Vec<u32> =
            pieces.iter().map(|&piece| self.pieces[piece as usize].owner).filter(|&side| side != NONE).collect();
        sides.sort_unstable();
        sides.dedup();
        let place = self.input.frame.place(self.out.nodes[node as usize]);
        let event = SweepEvent { height: place.z, kind, at: place.xy(), sides: self.names(&sides) };
        self.out.events.push(event);
    }
}
