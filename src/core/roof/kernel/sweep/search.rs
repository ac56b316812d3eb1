//! Which reflex vertices may run into which pieces.
//!
//! The sweep goes in strides. For each, up to its horizon ([`super::candidates::Search`]), every live piece and every reflex vertex is put
//! into the cells of a grid that it can touch until then, and pairs that share a cell are tried; what changes during
//! the stride is put in anew and tried again. Cells are as large as a stride is long and about as many as there are
//! live pieces, so strides lengthen as the wavefront thins out. Where pairs are few, all are tried at once; where no
//! vertex is reflex, none.

use super::candidates::{Mode, NOWHERE};
use super::grid::Region;
use super::plane::SweepPlane;
use super::wavefront::{NONE, Sweep};
use crate::base::tolerance::LAST_PLACES;

/// Up to this many pairs are simply all tried.
const FEW: usize = 600;
/// How far regions are widened for rounding, as a part of the outline's extent.
const SLACK: f64 = 1e-9;
/// The same where places are cheaply estimated.
const WIDE_SLACK: f64 = 1e-6;
/// Lines whose directions' cross product is smaller are too near parallel for floats to tell where they cross.
const LEAST_CROSS: f64 = 1e-6;
/// Longest stride, in cells.
const LONGEST: f64 = 16.0;

impl Sweep<'_> {
    /// Schedules splits for vertices made and pieces touched.
    pub(super) fn schedule_splits(&mut self, touched: &[u32], made: &[u32]) {
        let is_reflex = |&vertex: &u32| {
            let v = &self.vertices[vertex as usize];
            v.alive && v.turn < 0
        };
        match self.search.mode {
            Mode::Idle => {
                let known = self.search.reflex.len();
                self.search.reflex.extend(made.iter().copied().filter(is_reflex));
                if self.search.reflex.len() > known {
                    self.start_stride(self.now.near);
                }
            }
            Mode::All => {
                let new: Vec<u32> = made.iter().copied().filter(is_reflex).collect();
                let mut old = std::mem::take(&mut self.search.reflex);
                old.retain(|&vertex| self.vertices[vertex as usize].alive);
                let first = self.search.known;
                self.count_live();
                let live = std::mem::take(&mut self.search.live);
                for &vertex in &new {
                    for &piece in &live {
                        self.schedule_split(vertex, piece);
                    }
                }
                for &piece in live.iter().rev().take_while(|&&piece| piece as usize >= first) {
                    for &vertex in &old {
                        self.schedule_split(vertex, piece);
                    }
                }
                old.extend(new);
                self.search.live = live;
                self.search.reflex = old;
            }
            Mode::Cells => {
                for &vertex in made {
                    if is_reflex_now(self, vertex) {
                        self.search.reflex.push(vertex);
                        self.put_vertex(vertex, self.now.near);
                    }
                }
                for &piece in touched {
                    self.put_piece(piece, self.now.near);
                }
            }
        }
    }

    /// Brings the list of live pieces up to date; it stays in order of making.
    #[allow(clippy::cast_possible_truncation)]
    fn count_live(&mut self) {
        let mut live = std::mem::take(&mut self.search.live);
        live.extend(self.search.known as u32..self.pieces.len() as u32);
        live.retain(|&piece| self.pieces[piece as usize].alive);
        self.search.known = self.pieces.len();
        self.search.live = live;
    }

    /// Goes on to the stride that holds the next event; whether there may be any.
    pub(super) fn stride_on(&mut self) -> bool {
        loop {
            let horizon = self.search.horizon;
            match self.queue.next_height() {
                Some(height) if height <= horizon || self.search.mode != Mode::Cells => return true,
                None if self.search.mode != Mode::Cells => return false,
                None => {
                    // Nothing shrinks any more: try all that is left, whatever its number.
                    self.search.mode = Mode::Idle;
                    self.start_stride_with(horizon, usize::MAX);
                }
                Some(_) => self.start_stride(horizon),
            }
        }
    }

    fn start_stride(&mut self, from: f64) {
        self.start_stride_with(from, FEW);
    }

    /// Starts a stride at a height: chooses how pairs are found and schedules all of its splits.
    fn start_stride_with(&mut self, from: f64, few: usize) {
        if self.search.stride == 0 {
            self.measure();
        }
        self.search.stride += 1;
        self.search.tried_piece.clear();
        self.search.tried_vertex.clear();
        self.count_live();
        let mut reflex = std::mem::take(&mut self.search.reflex);
        reflex.retain(|&vertex| is_reflex_now(self, vertex));
        let live = std::mem::take(&mut self.search.live);
        self.search.mode = if reflex.is_empty() {
            Mode::Idle
        } else if reflex.len().saturating_mul(live.len()) <= few {
            Mode::All
        } else {
            Mode::Cells
        };
        self.search.horizon = f64::INFINITY;
        match self.search.mode {
            Mode::Idle => {}
            Mode::All => {
                for &vertex in &reflex {
                    for &piece in &live {
                        self.schedule_split(vertex, piece);
                    }
                }
            }
            Mode::Cells => {
                self.lay_grid(from, &live);
                self.search.regions.resize(self.pieces.len(), (0, NOWHERE));
                for &piece in &live {
                    self.put_piece(piece, from);
                }
                for &vertex in &reflex {
                    self.put_vertex(vertex, from);
                }
            }
        }
        self.search.live = live;
        self.search.reflex = reflex;
    }

    /// The outline's box.
    fn measure(&mut self) {
        let slack = SLACK * self.input.extent;
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for corner in &self.input.corners {
            for axis in 0..2 {
                low[axis] = low[axis].min(corner[axis] - slack);
                high[axis] = high[axis].max(corner[axis] + slack);
            }
        }
        (self.search.low, self.search.high, self.search.length) = (low, high, 1.0);
    }

    fn lay_grid(&mut self, from: f64, live: &[u32]) {
        // Longer strides where little happened in the last.
        let events = self.vertices.len() - self.search.events;
        self.search.events = self.vertices.len();
        if self.search.stride > 1 {
            let longer = events * 8 < live.len();
            self.search.length = if longer { (2.0 * self.search.length).min(LONGEST) } else { 1.0 };
        }
        let (low, high) = (self.search.low, self.search.high);
        let area = (high[0] - low[0]).max(SLACK) * (high[1] - low[1]).max(SLACK);
        let cell = (area / live.len() as f64).sqrt();
        self.search.pieces.reset(low, high, cell);
        self.search.vertices.reset(low, high, cell);
        let speeds = live.iter().map(|&piece| self.plane(piece).speed).filter(|&speed| speed > 0.0);
        let (sum, count) = speeds.fold((0.0, 0.0), |(sum, count), speed| (sum + speed, count + 1.0));
        let speed = if count > 0.0 { sum / count } else { 1.0 };
        // An ulp at least, so that every stride gets on.
        self.search.horizon = (from + self.search.length * cell / speed).max(from * (1.0 + LAST_PLACES));
    }

    /// Whether two planes' lines may cross within the outline's box at a height known to within a doubt.
    pub(super) fn may_reach(&self, a: &SweepPlane, b: &SweepPlane, height: f64, doubt: f64) -> bool {
        let Some(place) = crossing(a, b, height) else { return true };
        // Lines that cross at so small an angle as `crossing` allows carry the doubt this far.
        let slack = WIDE_SLACK * self.input.extent + doubt * (a.speed + b.speed) / LEAST_CROSS;
        let search = &self.search;
        (0..2).all(|axis| place[axis] >= search.low[axis] - slack && place[axis] <= search.high[axis] + slack)
    }

    /// Where a vertex is at a height; `None` where its pieces are so near parallel that floats can't tell.
    fn place(&self, vertex: u32, height: f64) -> Option<[f64; 2]> {
        let v = &self.vertices[vertex as usize];
        crossing(self.plane(v.before), self.plane(v.after), height)
    }

    fn region(&self, places: &[Option<[f64; 2]>], normal: [f64; 2], slab: [f64; 2]) -> Region {
        let slack = SLACK * self.input.extent;
        let search = &self.search;
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for place in places {
            let Some(place) = place else {
                (low, high) = (search.low, search.high);
                break;
            };
            for axis in 0..2 {
                low[axis] = low[axis].min(place[axis] - slack);
                high[axis] = high[axis].max(place[axis] + slack);
            }
        }
        for axis in 0..2 {
            low[axis] = low[axis].clamp(search.low[axis], search.high[axis]);
            high[axis] = high[axis].clamp(search.low[axis], search.high[axis]);
        }
        Region { low, high, normal, slab: [slab[0] - slack, slab[1] + slack] }
    }

    fn put_piece(&mut self, piece: u32, from: f64) {
        let to = self.search.horizon;
        let (start, end) = (self.pieces[piece as usize].start, self.end(piece));
        let plane = self.plane(piece);
        let places = [self.place(start, from), self.place(start, to), self.place(end, from), self.place(end, to)];
        let slab = [plane.offset + plane.speed * from, plane.offset + plane.speed * to];
        let region = self.region(&places, plane.normal, slab);
        let regions = &mut self.search.regions;
        if regions.len() <= piece as usize {
            regions.resize(self.pieces.len(), (0, NOWHERE));
        }
        let (stride, old) = regions[piece as usize];
        if stride == self.search.stride && region.within(&old) {
            return;
        }
        regions[piece as usize] = (self.search.stride, region);
        self.search.tried_vertex.resize(self.vertices.len(), NONE);
        let mut tried = std::mem::take(&mut self.search.tried_vertex);
        let (mut grid, vertices) = (std::mem::take(&mut self.search.pieces), std::mem::take(&mut self.search.vertices));
        let mut cells = std::mem::take(&mut self.search.cells);
        cells.clear();
        grid.cells(&region, |cell| cells.push(cell));
        for &cell in &cells {
            grid.put(cell, piece);
            for vertex in vertices.at(cell) {
                let slot = &mut tried[vertex as usize];
                if *slot != piece && self.vertices[vertex as usize].alive {
                    *slot = piece;
                    self.schedule_split(vertex, piece);
                }
            }
        }
        (self.search.pieces, self.search.vertices) = (grid, vertices);
        self.search.tried_vertex = tried;
        self.search.cells = cells;
    }

    fn put_vertex(&mut self, vertex: u32, from: f64) {
        let (start, end) = (self.place(vertex, from), self.place(vertex, self.search.horizon));
        let (normal, along) = match (start, end) {
            (Some(a), Some(b)) => {
                let path = [b[0] - a[0], b[1] - a[1]];
                let length = path[0].hypot(path[1]);
                if length > 0.0 {
                    let normal = [-path[1] / length, path[0] / length];
                    (normal, normal[0] * a[0] + normal[1] * a[1])
                } else {
                    ([0.0; 2], 0.0)
                }
            }
            _ => ([0.0; 2], 0.0),
        };
        let region = self.region(&[start, end], normal, [along, along]);
        self.search.tried_piece.resize(self.pieces.len(), NONE);
        let mut tried = std::mem::take(&mut self.search.tried_piece);
        let (pieces, mut grid) = (std::mem::take(&mut self.search.pieces), std::mem::take(&mut self.search.vertices));
        let mut cells = std::mem::take(&mut self.search.cells);
        cells.clear();
        grid.cells(&region, |cell| cells.push(cell));
        for &cell in &cells {
            grid.put(cell, vertex);
            for piece in pieces.at(cell) {
                let slot = &mut tried[piece as usize];
                if *slot != vertex && self.pieces[piece as usize].alive {
                    *slot = vertex;
                    self.schedule_split(vertex, piece);
                }
            }
        }
        (self.search.pieces, self.search.vertices) = (pieces, grid);
        self.search.tried_piece = tried;
        self.search.cells = cells;
    }
}

/// Where two planes' lines cross at a height; `None` where they are so near parallel that floats can't tell.
fn crossing(a: &SweepPlane, b: &SweepPlane, height: f64) -> Option<[f64; 2]> {
    let cross = a.normal[0] * b.normal[1] - a.normal[1] * b.normal[0];
    let (p, q) = (a.offset + a.speed * height, b.offset + b.speed * height);
    let x = (p * b.normal[1] - q * a.normal[1]) / cross;
    let y = (q * a.normal[0] - p * b.normal[0]) / cross;
    (cross.abs() > LEAST_CROSS).then_some([x, y])
}

fn is_reflex_now(sweep: &Sweep<'_>, vertex: u32) -> bool {
    let v = &sweep.vertices[vertex as usize];
    v.alive && v.turn < 0
}
