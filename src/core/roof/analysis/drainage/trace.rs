//! Follows water from column to column, along channels and down walls, to where it leaves the roof.

use super::columns::{Column, columns};
use super::flow::{EdgeFlow, Flow};
use super::{Outlet, leaves};
use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::order::SortByNumber as _;
use crate::roof::model::FaceKind;
use nalgebra::Point2;
use std::collections::{BTreeSet, HashMap};
use std::ops::Range;

/// Slopes that differ by less than this part are equal, so that waters part evenly.
const SAME_SLOPE: f64 = 1e-6;

/// A way that water takes.
#[derive(Clone, Debug, PartialEq)]
pub struct FlowPath {
    /// The outlet reached first.
    pub first: Outlet,
    /// Channels that carry it, with the share that runs there.
    pub runs: Vec<(EdgeId, f64)>,
    /// Where it leaves the roof, with shares that sum to 1.
    pub ends: Vec<(Outlet, f64)>,
}

/// A part of a column whose water takes one way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Its sides.
    pub w: [f64; 2],
    /// Its way's number.
    pub way: usize,
}

/// Ways with shares.
type Shares = Vec<(usize, f64)>;

#[derive(Clone, Debug)]
enum Found<T> {
    Not,
    /// Being looked for: water that came back here would run in a circle.
    Open,
    Done(T),
}

/// Finds ways and keeps them. Each column and each channel is looked at once.
pub struct Tracer<'a> {
    flow: &'a Flow<'a>,
    columns: Vec<Column>,
    of_face: Vec<Range<usize>>,
    /// Columns by the edge that water enters them over.
    under: HashMap<(EdgeId, FaceId), Vec<usize>>,
    parts: Vec<Found<Vec<Part>>>,
    channels: HashMap<EdgeId, Found<usize>>,
    ways: Vec<FlowPath>,
    /// Ways by the outlet reached first.
    by_first: HashMap<Outlet, Vec<usize>>,
}

impl<'a> Tracer<'a> {
    /// O(c log c + columns) for the c corners of each face.
    #[must_use]
    pub fn new(flow: &'a Flow<'a>) -> Self {
        let mut all: Vec<Column> = Vec::new();
        let mut of_face = Vec::with_capacity(flow.roof.faces.len());
        for index in 0..flow.roof.faces.len() {
            let (id, start) = (FaceId::new(index), all.len());
            if let Some(frame) = flow.frame(id) {
                all.extend(columns(flow.roof, id, frame));
            }
            of_face.push(start..all.len());
        }
        let mut under: HashMap<(EdgeId, FaceId), Vec<usize>> = HashMap::new();
        for (index, column) in all.iter().enumerate() {
            under.entry((column.high.edge, column.face)).or_default().push(index);
        }
        let parts = vec![Found::Not; all.len()];
        let (channels, by_first) = (HashMap::new(), HashMap::new());
        Self { flow, columns: all, of_face, under, parts, channels, ways: Vec::new(), by_first }
    }

    /// A way by its number.
    #[must_use]
    pub fn way(&self, way: usize) -> &FlowPath {
        &self.ways[way]
    }

    /// The columns of a face.
    #[must_use]
    pub(crate) fn columns_of(&self, face: FaceId) -> Range<usize> {
        self.of_face[face.index()].clone()
    }

    /// The columns of a face that reach into a stretch across the flow, its ends included. O(log columns).
    fn columns_over(&self, face: FaceId, low: f64, high: f64) -> Range<usize> {
        // They stand in order from one side to the other.
        let all = self.columns_of(face);
        let own = &self.columns[all.clone()];
        let first = own.partition_point(|column| column.w[1] < low);
        all.start + first..all.start + own.partition_point(|column| column.w[0] <= high).max(first)
    }

    /// A column by its number.
    #[must_use]
    pub fn column(&self, column: usize) -> &Column {
        &self.columns[column]
    }

    fn number(&mut self, way: FlowPath) -> usize {
        let alike = self.by_first.entry(way.first).or_default();
        if let Some(&known) = alike.iter().find(|&&known| self.ways[known] == way) {
            return known;
        }
        alike.push(self.ways.len());
        self.ways.push(way);
        self.ways.len() - 1
    }

    /// Water that ends here.
    fn ends_at(&mut self, outlet: Outlet) -> usize {
        self.number(FlowPath { first: outlet, runs: Vec::new(), ends: vec![(outlet, 1.0)] })
    }

    /// The parts of a column from side to side.
    pub fn parts(&mut self, index: usize) -> Vec<Part> {
        match &self.parts[index] {
            Found::Done(parts) => return parts.clone(),
            Found::Open => {
                let w = self.columns[index].w;
                let way = self.ends_at(Outlet::Pond(self.columns[index].low.edge));
                return vec![Part { w, way }];
            }
            Found::Not => self.parts[index] = Found::Open,
        }
        let column = self.columns[index];
        let parts = match self.stand_in(&column) {
            Some(neighbour) => {
                let theirs = self.parts(neighbour);
                let left = self.columns[neighbour].w[0] < column.w[0];
                let way = if left { theirs[theirs.len() - 1].way } else { theirs[0].way };
                vec![Part { w: column.w, way }]
            }
            None => self.below(&column),
        };
        self.parts[index] = Found::Done(parts.clone());
        parts
    }

    /// For a column that only rounding made: the wide one beside it with which it shares most of its side.
    fn stand_in(&self, column: &Column) -> Option<usize> {
        let tolerance = self.flow.tolerance;
        if column.width() > tolerance {
            return None;
        }
        let gap = |other: &Column| (column.w[0] - other.w[1]).max(other.w[0] - column.w[1]);
        // Twice as far as is asked for below, for that a sum is rounded otherwise.
        let reach = 16.0 * tolerance;
        self.columns_over(column.face, column.w[0] - reach, column.w[1] + reach)
            .filter(|&other| {
                let other = &self.columns[other];
                other.width() > tolerance && gap(other) <= 8.0 * tolerance && column.shared_height(other) > 0.0
            })
            .max_by(|&a, &b| {
                let shared = |at: usize| column.shared_height(&self.columns[at]);
                shared(a).total_cmp(&shared(b))
            })
    }

    /// The parts of a column by what its low edge does.
    fn below(&mut self, column: &Column) -> Vec<Part> {
        let shares = self.over_edge(column);
        let mut parts: Vec<Part> = Vec::new();
        for (share, way) in shares {
            let to = if share >= 1.0 { column.w[1] } else { column.w[0] + share * column.width() };
            let from = parts.last().map_or(column.w[0], |part| part.w[1]);
            match parts.last_mut() {
                Some(last) if last.way == way => last.w[1] = to,
                _ if to > from => parts.push(Part { w: [from, to], way }),
                _ => {}
            }
        }
        if let Some(last) = parts.last_mut() {
            last.w[1] = column.w[1];
            return parts;
        }
        let way = self.ends_at(Outlet::Edge(column.low.edge));
        vec![Part { w: column.w, way }]
    }

    /// Ways over a column's low edge, each with the share of its width where it ends, ascending to 1.
    fn over_edge(&mut self, column: &Column) -> Ends {
        let edge = column.low.edge;
        match self.flow.meeting(edge, column.face) {
            EdgeFlow::Leaves => vec![(1.0, self.ends_at(Outlet::Edge(edge)))],
            EdgeFlow::Collects => vec![(1.0, self.channel(edge))],
            EdgeFlow::Rests(face) => vec![(1.0, self.ends_at(Outlet::Level(face)))],
            EdgeFlow::Crosses(face) => self.enter(column, edge, face),
            EdgeFlow::Falls(falls) => {
                let off = self.ends_at(Outlet::Edge(edge));
                let mut shares = vec![(1.0, off)];
                if let (Some([from, to]), Some(frame)) =
                    (self.flow.run(edge, column.face), self.flow.frame(column.face))
                {
                    let [start, end] = [from, to].map(|place| frame.to(&place.xy()).x);
                    for fall in falls {
                        let over = |share: f64| {
                            ((start + (end - start) * share - column.w[0]) / column.width()).clamp(0.0, 1.0)
                        };
                        let [low, high] = fall.share.map(over);
                        if high <= low {
                            continue;
                        }
                        let inner = if self.flow.into(fall.edge, fall.face) > self.flow.tolerance {
                            self.enter(column, fall.edge, fall.face)
                        } else {
                            vec![(1.0, self.channel(fall.edge))]
                        };
                        shares = spliced(&shares, &inner, low, high);
                    }
                }
                shares
            }
        }
    }

    /// What becomes of a column's water on the next face, which it enters over an edge.
    fn enter(&mut self, column: &Column, edge: EdgeId, face: FaceId) -> Ends {
        let flow = self.flow;
        let (Some(here), Some(there)) = (flow.frame(column.face), flow.frame(face)) else {
            return vec![(1.0, self.ends_at(Outlet::Level(face)))];
        };
        let [from, to] = [0, 1].map(|side| there.to(&here.back(&Point2::new(column.w[side], column.low.v[side]))).x);
        let mut shares: Vec<(f64, f64, usize)> = Vec::new();
        for index in self.under.get(&(edge, face)).cloned().unwrap_or_default() {
            let next = &self.columns[index];
            if next.w[1] <= from.min(to) || next.w[0] >= from.max(to) {
                continue;
            }
            for part in self.parts(index) {
                let share = |w: f64| ((w - from) / (to - from)).clamp(0.0, 1.0);
                let (a, b) = (share(part.w[0]), share(part.w[1]));
                if a != b {
                    shares.push((a.min(b), a.max(b), part.way));
                }
            }
        }
        shares.sort_by_number(|a| a.0);
        let mut out: Ends = shares.into_iter().map(|(_, to, way)| (to, way)).collect();
        match out.last_mut() {
            Some(last) => last.0 = 1.0,
            None => out.push((1.0, self.ends_at(Outlet::Edge(edge)))),
        }
        out
    }

    /// The way of water in a channel.
    fn channel(&mut self, edge: EdgeId) -> usize {
        match self.channels.get(&edge) {
            Some(Found::Done(way)) => return *way,
            Some(Found::Open) => return self.ends_at(Outlet::Pond(edge)),
            _ => self.channels.insert(edge, Found::Open),
        };
        let onward: Shares = if let Some((_, lower)) = self.flow.fall(edge) {
            self.onward(lower, &BTreeSet::from([edge]))
        } else {
            // A level channel fills along its whole length and leaves wherever it can.
            let (run, corners) = self.level_run(edge);
            let exits: Vec<Shares> =
                corners.iter().map(|&corner| self.onward(corner, &run)).filter(|shares| !shares.is_empty()).collect();
            let part = 1.0 / exits.len() as f64;
            exits.into_iter().flatten().map(|(way, share)| (way, share * part)).collect()
        };
        let mut way = FlowPath { first: Outlet::Edge(edge), runs: vec![(edge, 1.0)], ends: Vec::new() };
        for (next, share) in onward {
            let next = self.ways[next].clone();
            for (run, part) in next.runs {
                add(&mut way.runs, run, part * share);
            }
            for (end, part) in next.ends {
                // What only drips off at the channel's own end leaves by the channel.
                add(&mut way.ends, end, part * share);
            }
        }
        if way.ends.is_empty() {
            way.ends.push((Outlet::Pond(edge), 1.0));
        }
        let number = self.number(way);
        self.channels.insert(edge, Found::Done(number));
        number
    }

    /// Level channels that touch, and their corners.
    fn level_run(&self, edge: EdgeId) -> (BTreeSet<EdgeId>, BTreeSet<CornerId>) {
        let (mut run, mut corners) = (BTreeSet::from([edge]), BTreeSet::new());
        let mut open = vec![edge];
        while let Some(at) = open.pop() {
            let stated = &self.flow.roof.edges[at.index()];
            for corner in [stated.from, stated.to] {
                if !corners.insert(corner) {
                    continue;
                }
                for &next in self.flow.edges_at(corner) {
                    if self.flow.collects(next) && self.flow.fall(next).is_none() && run.insert(next) {
                        open.push(next);
                    }
                }
            }
        }
        (run, corners)
    }

    /// Where water goes from a corner that a channel brought it to: down the steepest way, shared where several are
    /// equally steep; else over the eaves there; else into a level channel; else down a wall; else off the roof's edge.
    /// Nothing when it cannot leave. `came` are the channels it came by.
    fn onward(&mut self, corner: CornerId, came: &BTreeSet<EdgeId>) -> Shares {
        let down = self.steepest(corner);
        if !down.is_empty() {
            return down;
        }
        let roof = self.flow.roof;
        let edges = self.flow.edges_at(corner).to_vec();
        let eaves: Vec<EdgeId> = edges.iter().copied().filter(|edge| leaves(roof.edges[edge.index()].kind)).collect();
        if !eaves.is_empty() {
            let ways: Vec<usize> = eaves.into_iter().map(|eave| self.ends_at(Outlet::Edge(eave))).collect();
            return evenly(ways);
        }
        let level =
            |edge: &&EdgeId| !came.contains(*edge) && self.flow.collects(**edge) && self.flow.fall(**edge).is_none();
        let level: Vec<EdgeId> = edges.iter().filter(level).copied().collect();
        if !level.is_empty() {
            let ways: Vec<usize> = level.into_iter().map(|edge| self.channel(edge)).collect();
            return evenly(ways);
        }
        if !self.flow.is_open(corner) {
            return Vec::new();
        }
        for below in self.flow.corners_below(corner) {
            let shares = self.onward(below, came);
            if !shares.is_empty() {
                return shares;
            }
        }
        let place = roof.at(corner);
        for face in self.flow.faces_below(corner) {
            let ways: Vec<usize> =
                [-1.0, 1.0].into_iter().filter_map(|side| self.on_face(face, &place.xy(), side)).collect();
            if !ways.is_empty() {
                return evenly(ways);
            }
        }
        let spouts: Vec<usize> =
            came.iter().filter(|edge| edges.contains(edge)).map(|&edge| self.ends_at(Outlet::Edge(edge))).collect();
        evenly(spouts)
    }

    /// Down the steepest of the faces and channels that fall away from a corner.
    fn steepest(&mut self, corner: CornerId) -> Shares {
        let flow = self.flow;
        let place = flow.roof.at(corner);
        let mut options: Vec<(f64, Vec<usize>)> = Vec::new();
        for face in flow.faces_at(corner) {
            let stated = &flow.roof.faces[face.index()];
            debug_assert!(stated.kind == FaceKind::Roof);
            let sides = flow.sides_below(corner, face);
            let sides = [-1.0, 1.0].into_iter().zip(sides).filter(|(_, below)| *below);
            let ways: Vec<usize> = sides.filter_map(|(side, _)| self.on_face(face, &place.xy(), side)).collect();
            if !ways.is_empty() {
                options.push((stated.plane.pitch().tan(), ways));
            }
        }
        for &edge in flow.edges_at(corner) {
            if let Some((slope, lower)) = flow.fall(edge)
                && lower != corner
                && flow.collects(edge)
            {
                options.push((slope, vec![self.channel(edge)]));
            }
        }
        let most = options.iter().map(|(slope, _)| *slope).fold(0.0, f64::max);
        options.retain(|(slope, _)| *slope >= most * (1.0 - SAME_SLOPE));
        let part = 1.0 / options.len() as f64;
        let shares = options.into_iter().flat_map(|(_, ways)| evenly(ways));
        shares.map(|(way, share)| (way, share * part)).collect()
    }

    /// The way of water that runs down a face from a place on it, a shade to one side.
    fn on_face(&mut self, face: FaceId, place: &Point2<f64>, side: f64) -> Option<usize> {
        let at = self.flow.frame(face)?.to(place);
        let w = at.x + side * 4.0 * self.flow.tolerance;
        let below = self
            .columns_over(face, w, w)
            .filter(|&index| {
                let column = &self.columns[index];
                column.w[0] <= w && w < column.w[1] && column.at(&column.low, w) < at.y - self.flow.tolerance
            })
            .max_by(|&a, &b| self.columns[a].high.v[0].total_cmp(&self.columns[b].high.v[0]))?;
        self.parts(below).iter().find(|part| w < part.w[1]).map(|part| part.way)
    }
}

/// Ends of shares of a width with the way of each, ascending.
type Ends = Vec<(f64, usize)>;

/// One list of shares with another's between `low` and `high`.
fn spliced(outer: &Ends, inner: &Ends, low: f64, high: f64) -> Ends {
    let way_at = |list: &Ends, at: f64| list.iter().find(|(end, _)| at < *end).map(|(_, way)| *way);
    let mut ends: Vec<f64> = outer.iter().chain(inner).map(|(end, _)| *end).chain([low, high]).collect();
    ends.retain(|end| *end > 0.0);
    ends.sort_by(f64::total_cmp);
    ends.dedup();
    let mut from = 0.0;
    let mut out = Vec::new();
    for end in ends {
        let middle = f64::midpoint(from, end);
        let list = if low < middle && middle < high { inner } else { outer };
        if let Some(way) = way_at(list, middle) {
            out.push((end, way));
        }
        from = end;
    }
    out
}

fn evenly(ways: Vec<usize>) -> Shares {
    let part = 1.0 / ways.len() as f64;
    ways.into_iter().map(|way| (way, part)).collect()
}

fn add<K: PartialEq>(list: &mut Vec<(K, f64)>, key: K, share: f64) {
    match list.iter_mut().find(|(known, _)| *known == key) {
        Some((_, sum)) => *sum += share,
        None => list.push((key, share)),
    }
}
