//! The planar subdivision that a set of segments makes, points nearer than the tolerance taken as one.
//!
//! Every place where segments touch or cross becomes a point and cuts them, over and over until nothing new turns up
//! (a point that moves may touch a further segment); what remains are arcs that meet in their ends only. O(s² + c·a) for
//! s segments, c cells and a arcs: roofs of a few blocks have hundreds.

use crate::base::union_find::UnionFind;
use nalgebra::{Point2, Vector2};
use std::collections::{HashMap, HashSet};

/// An arc's directed half: arc `a` from its first end is `2 a`, the other way `2 a + 1`.
pub type Half = usize;

/// Points, arcs and cells.
#[derive(Debug, Default)]
pub struct Arrangement {
    /// Places of the points.
    pub points: Vec<Point2<f64>>,
    /// Ends of the arcs.
    pub arcs: Vec<[usize; 2]>,
    /// For each half, the one that follows with the same cell to its left.
    pub next: Vec<Half>,
    /// For each half, the cell to its left: 0 is the outside.
    pub cell: Vec<usize>,
    /// For each cell, a place well inside; that of cell 0 means nothing.
    pub inside: Vec<Point2<f64>>,
}

/// Points on a grid, for finding what is near.
struct Snap {
    tolerance: f64,
    points: Vec<Point2<f64>>,
    grid: HashMap<(i64, i64), Vec<usize>>,
}

impl Snap {
    #[allow(clippy::cast_possible_truncation)]
    fn square(&self, place: &Point2<f64>) -> (i64, i64) {
        let step = 4.0 * self.tolerance;
        ((place.x / step).floor() as i64, (place.y / step).floor() as i64)
    }

    fn point(&mut self, place: &Point2<f64>) -> usize {
        let (x, y) = self.square(place);
        for i in x - 1..=x + 1 {
            for j in y - 1..=y + 1 {
                for &point in self.grid.get(&(i, j)).into_iter().flatten() {
                    if (self.points[point] - place).norm() <= self.tolerance {
                        return point;
                    }
                }
            }
        }
        self.points.push(*place);
        self.grid.entry((x, y)).or_default().push(self.points.len() - 1);
        self.points.len() - 1
    }
}

/// Where a place lies along a segment (0 to 1) and how far from it.
pub fn along(place: &Point2<f64>, from: &Point2<f64>, to: &Point2<f64>) -> (f64, f64) {
    let d = to - from;
    let share = (place - from).dot(&d) / d.norm_squared();
    (share, (place - (from + d * share.clamp(0.0, 1.0))).norm())
}

impl Arrangement {
    /// The subdivision of segments. Earlier segments' ends are the places that later ones move to.
    #[must_use]
    pub fn of(segments: &[[Point2<f64>; 2]], tolerance: f64) -> Self {
        let mut snap = Snap { tolerance, points: Vec::new(), grid: HashMap::new() };
        let mut arcs: Vec<[usize; 2]> = Vec::new();
        for [from, to] in segments {
            let ends = [snap.point(from), snap.point(to)];
            arcs.push(ends);
        }
        let mut arcs = tidy(arcs);
        // Each round can only add points; in practice the second finds nothing.
        for _ in 0..32 {
            let cuts = cuts(&arcs, &mut snap);
            if cuts.iter().all(Vec::is_empty) {
                break;
            }
            arcs = split(&arcs, cuts, &snap.points);
        }
        let mut arrangement = Self { points: snap.points, arcs, ..Self::default() };
        arrangement.link();
        arrangement.find_cells(tolerance);
        arrangement
    }

    /// Where a half starts and ends.
    #[must_use]
    pub fn ends(&self, half: Half) -> [usize; 2] {
        let [a, b] = self.arcs[half / 2];
        if half.is_multiple_of(2) { [a, b] } else { [b, a] }
    }

    /// The places where a half starts and ends.
    #[must_use]
    pub fn places(&self, half: Half) -> [Point2<f64>; 2] {
        self.ends(half).map(|point| self.points[point])
    }

    /// Cuts an arc at a share of its length and gives the new point; cells stay as they are.
    pub(crate) fn cut_arc(&mut self, arc: usize, share: f64) {
        let [a, b] = self.arcs[arc];
        let middle = self.points.len();
        self.points.push(self.points[a] + (self.points[b] - self.points[a]) * share);
        let fresh = self.arcs.len();
        self.arcs[arc] = [a, middle];
        self.arcs.push([middle, b]);
        let (forth, back) = (2 * arc, 2 * arc + 1);
        let (new_forth, new_back) = (2 * fresh, 2 * fresh + 1);
        let after_forth = if self.next[forth] == back { new_back } else { self.next[forth] };
        self.next.extend([after_forth, back]);
        self.next[forth] = new_forth;
        // What led into the back half at b leads into its far part now.
        for half in 0..self.next.len() {
            if self.next[half] == back && half != new_back {
                self.next[half] = new_back;
            }
        }
        self.cell.extend([self.cell[forth], self.cell[back]]);
    }

    /// Cuts an arc at shares of its length, those nearer than a tolerance taken as one.
    pub(crate) fn cut_arc_at(&mut self, arc: usize, mut shares: Vec<f64>, tolerance: f64) {
        let [from, to] = self.places(2 * arc);
        let length = (to - from).norm();
        shares.sort_by(f64::total_cmp);
        shares.dedup_by(|a, b| (*a - *b) * length <= tolerance);
        // From the far end, so that the near piece keeps its number.
        let mut rest = 1.0;
        for share in shares.into_iter().rev() {
            self.cut_arc(arc, share / rest);
            rest = share;
        }
    }

    fn link(&mut self) {
        let mut round: Vec<Vec<(f64, Half)>> = vec![Vec::new(); self.points.len()];
        for half in 0..2 * self.arcs.len() {
            let [from, to] = self.places(half);
            let d: Vector2<f64> = to - from;
            round[self.ends(half)[0]].push((d.y.atan2(d.x), half));
        }
        self.next = vec![0; 2 * self.arcs.len()];
        for rays in &mut round {
            rays.sort_by(|a, b| a.0.total_cmp(&b.0));
            for k in 0..rays.len() {
                // Arriving against ray k, with the cell to the left, one leaves along the next ray clockwise.
                let before = rays[(k + rays.len() - 1) % rays.len()].1;
                self.next[rays[k].1 ^ 1] = before;
            }
        }
    }

    fn find_cells(&mut self, tolerance: f64) {
        const NONE: usize = usize::MAX;
        let halves = self.next.len();
        let mut cycle = vec![NONE; halves];
        let mut areas: Vec<f64> = Vec::new();
        let mut leftmost: Vec<Half> = Vec::new();
        for start in 0..halves {
            if cycle[start] != NONE {
                continue;
            }
            let (mut half, mut area, mut left) = (start, 0.0, start);
            let origin = self.places(start)[0];
            while cycle[half] == NONE {
                cycle[half] = areas.len();
                let [from, to] = self.places(half);
                area += (from - origin).perp(&(to - origin)) / 2.0;
                if from.x < self.places(left)[0].x {
                    left = half;
                }
                half = self.next[half];
            }
            areas.push(area);
            leftmost.push(left);
        }
        let component = self.components();
        let of_cycle = |index: usize| component[self.ends(leftmost[index])[0]];
        // Each component's outline, seen from outside it, is its least cycle.
        let mut outline: HashMap<usize, usize> = HashMap::new();
        for index in 0..areas.len() {
            let least = outline.entry(of_cycle(index)).or_insert(index);
            if areas[index] < areas[*least] {
                *least = index;
            }
        }
        let mut cell_of = vec![NONE; areas.len()];
        let mut cells = 1;
        for (index, area) in areas.iter().enumerate() {
            // Less is a line walked forth and back.
            if *area > 0.1 * tolerance * tolerance && outline[&of_cycle(index)] != index {
                cell_of[index] = cells;
                cells += 1;
            }
        }
        for index in 0..areas.len() {
            let mut at = index;
            let mut seen = HashSet::new();
            while cell_of[at] == NONE && seen.insert(at) {
                let around = if outline[&of_cycle(at)] == at {
                    // What surrounds the component faces its leftmost point.
                    self.first_to_the_left(self.ends(leftmost[at])[0], &cycle, &component)
                } else {
                    // A cell without area goes with its neighbour over the longest arc.
                    let length = |half: &Half| {
                        let [from, to] = self.places(*half);
                        (to - from).norm()
                    };
                    let own = (0..halves).filter(|half| cycle[*half] == at);
                    own.max_by(|a, b| length(a).total_cmp(&length(b))).map(|half| cycle[half ^ 1])
                };
                match around {
                    Some(found) => at = found,
                    None => break,
                }
            }
            let found = if cell_of[at] == NONE { 0 } else { cell_of[at] };
            cell_of[index] = found;
        }
        self.cell = cycle.iter().map(|&cycle| cell_of[cycle]).collect();
        self.inside = (0..cells).map(|cell| self.place_inside(cell)).collect();
    }

    /// For each point a number that all points have which arcs connect it with.
    #[allow(clippy::cast_possible_truncation)]
    fn components(&self) -> Vec<usize> {
        let number = |point: usize| point as u32;
        let mut groups = UnionFind::new(self.points.len());
        for &[a, b] in &self.arcs {
            groups.join(number(a), number(b));
        }
        (0..self.points.len()).map(|at| groups.root(number(at)) as usize).collect()
    }

    /// The cycle of another component that faces a point from its left.
    fn first_to_the_left(&self, point: usize, cycle: &[usize], component: &[usize]) -> Option<usize> {
        let place = self.points[point];
        let mut best: Option<(f64, Half)> = None;
        for half in 0..self.next.len() {
            let [from, to] = self.places(half);
            // A half that runs down has its cell to the right of it in the picture.
            let down = from.y > place.y && to.y <= place.y;
            if !down || component[self.ends(half)[0]] == component[point] {
                continue;
            }
            let x = from.x + (to.x - from.x) * (place.y - from.y) / (to.y - from.y);
            if x < place.x && best.is_none_or(|(best_x, best)| self.is_nearer((x, half), (best_x, best))) {
                best = Some((x, half));
            }
        }
        best.map(|(_, half)| cycle[half])
    }

    /// Whether of two halves that run down past a level the first passes it further to the right, just above it where both
    /// end there in one point.
    fn is_nearer(&self, (x, half): (f64, Half), (other_x, other): (f64, Half)) -> bool {
        let lean = |half: Half| {
            let [from, to] = self.places(half);
            (from.x - to.x) / (from.y - to.y)
        };
        let ([from, to], [other_from, other_to]) = (self.ends(half), self.ends(other));
        if to == other_to {
            lean(half) > lean(other)
        } else if from == other_from {
            lean(half) < lean(other)
        } else {
            x > other_x
        }
    }

    /// The middle of the widest level line within a cell, of a handful of lines tried.
    fn place_inside(&self, cell: usize) -> Point2<f64> {
        let own = |half: &Half| self.cell[*half] == cell;
        let mut heights: Vec<f64> =
            (0..self.next.len()).filter(own).flat_map(|half| self.places(half).map(|place| place.y)).collect();
        heights.sort_by(f64::total_cmp);
        let mut gaps: Vec<(f64, f64)> =
            heights.windows(2).map(|pair| (pair[1] - pair[0], f64::midpoint(pair[0], pair[1]))).collect();
        gaps.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut best = (0.0, Point2::origin());
        for (gap, y) in gaps.into_iter().take(8) {
            let mut crossings: Vec<(f64, Half)> = Vec::new();
            for half in 0..self.next.len() {
                let [from, to] = self.places(half);
                if from.y > y && to.y <= y {
                    let x = from.x + (to.x - from.x) * (y - from.y) / (to.y - from.y);
                    crossings.push((x, half));
                }
            }
            crossings.sort_by(|a, b| a.0.total_cmp(&b.0));
            for pair in crossings.windows(2) {
                let width = (pair[1].0 - pair[0].0).min(gap);
                if self.cell[pair[0].1] == cell && width > best.0 {
                    best = (width, Point2::new(f64::midpoint(pair[0].0, pair[1].0), y));
                }
            }
        }
        best.1
    }
}

/// Drops arcs without length and doubles.
fn tidy(arcs: Vec<[usize; 2]>) -> Vec<[usize; 2]> {
    let mut seen = HashSet::new();
    arcs.into_iter().filter(|&[a, b]| a != b && seen.insert([a.min(b), a.max(b)])).collect()
}

/// For each arc the points that lie within it.
fn cuts(arcs: &[[usize; 2]], snap: &mut Snap) -> Vec<Vec<usize>> {
    let mut cuts: Vec<Vec<usize>> = vec![Vec::new(); arcs.len()];
    let mut order: Vec<usize> = (0..arcs.len()).collect();
    let low = |snap: &Snap, arc: usize| arcs[arc].map(|p| snap.points[p].x).into_iter().fold(f64::INFINITY, f64::min);
    let high = |snap: &Snap, arc: usize| arcs[arc].map(|p| snap.points[p].x).into_iter().fold(f64::MIN, f64::max);
    order.sort_by(|&a, &b| low(snap, a).total_cmp(&low(snap, b)));
    for (position, &first) in order.iter().enumerate() {
        let end = high(snap, first) + snap.tolerance;
        for &second in &order[position + 1..] {
            if low(snap, second) > end {
                break;
            }
            meet(arcs, [first, second], snap, &mut cuts);
        }
    }
    cuts
}

/// Notes where two arcs touch or cross.
fn meet(arcs: &[[usize; 2]], pair: [usize; 2], snap: &mut Snap, cuts: &mut [Vec<usize>]) {
    let [[a, b], [c, d]] = pair.map(|arc| arcs[arc]);
    let [pa, pb, pc, pd] = [a, b, c, d].map(|point| snap.points[point]);
    let t = snap.tolerance;
    if pa.y.min(pb.y) > pc.y.max(pd.y) + t || pc.y.min(pd.y) > pa.y.max(pb.y) + t {
        return;
    }
    let mut touched = false;
    for (point, arc, [from, to]) in [(c, 0, [a, b]), (d, 0, [a, b]), (a, 1, [c, d]), (b, 1, [c, d])] {
        if point == from || point == to {
            touched = true;
            continue;
        }
        let (share, off) = along(&snap.points[point], &snap.points[from], &snap.points[to]);
        if off <= t && share > 0.0 && share < 1.0 {
            touched = true;
            cuts[pair[arc]].push(point);
        }
    }
    if touched {
        return;
    }
    let (u, v) = (pb - pa, pd - pc);
    let cross = u.perp(&v);
    let (s, r) = ((pc - pa).perp(&v) / cross, (pc - pa).perp(&u) / cross);
    if cross != 0.0 && s > 0.0 && s < 1.0 && r > 0.0 && r < 1.0 {
        let point = snap.point(&(pa + u * s));
        if point != a && point != b {
            cuts[pair[0]].push(point);
        }
        if point != c && point != d {
            cuts[pair[1]].push(point);
        }
    }
}

fn split(arcs: &[[usize; 2]], cuts: Vec<Vec<usize>>, points: &[Point2<f64>]) -> Vec<[usize; 2]> {
    let mut out = Vec::new();
    for (&[from, to], mut cut) in arcs.iter().zip(cuts) {
        let share = |point: &usize| along(&points[*point], &points[from], &points[to]).0;
        cut.sort_by(|a, b| share(a).total_cmp(&share(b)));
        let mut last = from;
        for point in cut {
            out.push([last, point]);
            last = point;
        }
        out.push([last, to]);
    }
    tidy(out)
}
