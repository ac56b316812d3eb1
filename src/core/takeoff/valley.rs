//! Courses that run through a closed or woven valley: a whole strip lies across its centre, the make-up piece elsewhere, so
//! that no joint stands within 300 mm of the centre (common practice, no source).

use super::course::ClippedSpan;
use super::coursing::CoursingSpec;
use super::joints::{COVERED, FORBIDDEN, Mark, Span};
use super::outline::CoveredFace;
use super::region::Cell;
use crate::base::tolerance;
use crate::takeoff::valleys::LEAST_PAST;
use nalgebra::Point2;

/// No joint stands nearer to the centre of the valley than this, square to it.
pub const CLEAR_OF_JOINTS: f64 = 0.300;

/// A valley that a face's courses run through.
#[derive(Clone, Copy, Debug)]
pub struct Through {
    /// Its centre, the lower end first.
    centre: [Point2<f64>; 2],
    /// Where the courses are trimmed, the lower end first.
    trim: [Point2<f64>; 2],
    /// Whether it lies to the right of the face.
    is_right: bool,
}

impl Through {
    /// From where to where along the eave no joint of a course may stand, over what shows of it; and, as far as pieces are
    /// long enough for it, over its whole height. Each with what it costs to stand there.
    pub(super) fn closed(&self, work: &CoursingSpec, butt: f64) -> impl Iterator<Item = ([f64; 2], f64)> {
        let over = move |height: f64| self.beside([butt, butt + height], CLEAR_OF_JOINTS);
        [(work.gauge, FORBIDDEN), (work.height, COVERED)]
            .into_iter()
            .filter_map(move |(height, cost)| Some((over(height)?, cost)))
    }

    /// From where to where along the eave a band lies nearer to its centre than so far, square to it; `None` where it stands
    /// beside it.
    fn beside(&self, band: [f64; 2], within: f64) -> Option<[f64; 2]> {
        let [low, high] = self.centre;
        let v = [band[0].max(low.y), band[1].min(high.y)];
        if v[1] <= v[0] {
            return None;
        }
        let along = high - low;
        let level = within * along.norm() / along.y.abs();
        let [a, b] = v.map(|v| u_at(&self.centre, v));
        Some([a.min(b) - level, a.max(b) + level])
    }
}

/// The valleys that the courses of a face run through: those its outline was moved beyond.
#[must_use]
pub fn through(face: &CoveredFace) -> Vec<Through> {
    let valleys = face.edges.iter().filter(|edge| edge.kind == crate::roof::EdgeKind::Valley);
    valleys
        .filter_map(|edge| {
            let along = edge.to - edge.from;
            let outwards = nalgebra::Vector2::new(along.y, -along.x);
            // A level valley has no course that runs through it at a slant.
            if edge.is_level || outwards.dot(&(edge.covered[0] - edge.from)) <= 0.0 {
                return None;
            }
            let upwards = edge.to.y > edge.from.y;
            let order = |[from, to]: [Point2<f64>; 2]| if upwards { [from, to] } else { [to, from] };
            // Going round anticlockwise, a line that goes up has the face on its left.
            Some(Through { centre: order([edge.from, edge.to]), trim: order(edge.covered), is_right: upwards })
        })
        .collect()
}

/// Where the courses of a band end on one side of a notch and begin again on its other side, between two valleys: what runs
/// through the one lies on another slope than what runs through the other, so no strip belongs to both. O(valleys²).
#[must_use]
pub(crate) fn partings(valleys: &[Through], band: [f64; 2]) -> Vec<f64> {
    let stand = || valleys.iter().filter(|valley| valley.centre[0].y < band[1] && valley.centre[1].y > band[0]);
    let at = |line: &[Point2<f64>; 2]| band.map(|v| u_at(line, v));
    let parting = |left: &Through| {
        let [a, b] = at(&left.trim);
        let end = a.max(b);
        let starts = stand().filter(|right| !right.is_right).map(|right| at(&right.trim)).map(|[a, b]| a.min(b));
        let next = starts.filter(|start| *start >= end - tolerance::SMALLEST).min_by(f64::total_cmp);
        next.map(|start| f64::midpoint(start, end))
    };
    let mut partings: Vec<f64> = stand().filter(|valley| valley.is_right).filter_map(parting).collect();
    partings.sort_by(f64::total_cmp);
    partings
}

/// The place of a line at a height; beyond its ends at the nearer one.
fn u_at(line: &[Point2<f64>; 2], v: f64) -> f64 {
    let along = ((v - line[0].y) / (line[1].y - line[0].y)).clamp(0.0, 1.0);
    line[0].x + (line[1].x - line[0].x) * along
}

/// Joints keep this far off those of the course after next, so that none repeats within three courses.
const NO_REPEAT: f64 = 0.020;

/// What it costs where they do not.
const REPEATED: f64 = 100.0;

/// One course of a face whose courses run through valleys, from left to right: on the grid of `origin` but where a valley
/// asks for a whole strip across it, and off the joints of the two courses below (the next one first). O(joints²).
#[must_use]
pub(super) fn course(
    cells: &[Cell],
    valleys: &[Through],
    work: &CoursingSpec,
    butt: f64,
    origin: f64,
    below: &[Vec<f64>],
) -> Vec<ClippedSpan> {
    let band = [butt, butt + work.height];
    let mut partings = partings(valleys, band);
    // Over the head of a notch the strips of both its sides are one.
    let spans = |cell: &Cell, u: f64| cell.min_u() < u - tolerance::SMALLEST && cell.max_u() > u + tolerance::SMALLEST;
    partings.retain(|parting| !cells.iter().any(|cell| spans(cell, *parting)));
    let stretch = |cell: &Cell| {
        let middle = f64::midpoint(cell.min_u(), cell.max_u());
        partings.iter().filter(|parting| **parting < middle).count()
    };
    let offs = [(work.least_offset, FORBIDDEN), (NO_REPEAT, REPEATED)];
    let marks: Vec<Mark> = below
        .iter()
        .zip(offs)
        .flat_map(|(joints, (off, cost))| joints.iter().map(move |u| Mark { u: *u, off, cost }))
        .filter(|mark| mark.off > 0.0)
        .collect();
    let mut bits = Vec::new();
    for number in 0..=partings.len() {
        let own: Vec<Cell> = cells.iter().filter(|cell| stretch(cell) == number).copied().collect();
        let left = own.iter().map(Cell::min_u).fold(f64::INFINITY, f64::min);
        let right = own.iter().map(Cell::max_u).fold(f64::NEG_INFINITY, f64::max);
        if right - left < tolerance::SMALLEST {
            continue;
        }
        let span = Span {
            ends: [left, right],
            reach: reach(valleys, work, butt, [left, right]),
            width: work.width,
            least: work.least_end,
            grid: origin,
            marks: marks.clone(),
            closed: valleys.iter().flat_map(|valley| valley.closed(work, butt)).collect(),
        };
        let joints = span.even(origin).unwrap_or_else(|| span.cheapest());
        // Where a corner stops short, an end piece reaches as far as it is long.
        let alone = if span.reach[0] > left { right - work.width } else { left };
        let starts = joints.first().map_or(alone, |first| first - work.width).max(left);
        let stops = right.min(joints.last().unwrap_or(&starts) + work.width);
        let ends: Vec<f64> = std::iter::once(starts).chain(joints).chain([stops]).collect();
        bits.extend(ends.windows(2).map(|pair| bit(&own, [pair[0], pair[1]], origin, work)));
    }
    bits.retain(|bit| bit.area > tolerance::SMALLEST * work.width);
    bits
}

/// How far the pieces of a course must reach: at a valley past its centre over what shows of them.
fn reach(valleys: &[Through], work: &CoursingSpec, butt: f64, ends: [f64; 2]) -> [f64; 2] {
    let mut reach = ends;
    for valley in valleys {
        let Some([from, to]) = valley.beside([butt, butt + work.gauge], LEAST_PAST) else { continue };
        let trim = [butt, butt + work.height].map(|v| u_at(&valley.trim, v));
        let ends_there = |end: f64, trim: f64| (end - trim).abs() < work.height;
        if valley.is_right && ends_there(ends[1], trim[0].max(trim[1])) {
            reach[1] = ends[1].min(to);
        } else if !valley.is_right && ends_there(ends[0], trim[0].min(trim[1])) {
            reach[0] = ends[0].max(from);
        }
    }
    reach
}

/// What a piece between two joints keeps of a whole one. Its slots stay in line with the grid where one of its ends is on it,
/// or where it fits between two joints of the grid; else it is laid from its left end.
fn bit(cells: &[Cell], [left, right]: [f64; 2], origin: f64, work: &CoursingSpec) -> ClippedSpan {
    let steps = |u: f64| (u - origin) / work.width;
    let is_on_grid = |u: f64| (steps(u) - steps(u).round()).abs() * work.width < tolerance::SMALLEST;
    let before = origin + (steps(left) + tolerance::SMALLEST).floor() * work.width;
    let at = if is_on_grid(left) {
        left
    } else if is_on_grid(right) {
        right - work.width
    } else if before + work.width >= right - tolerance::SMALLEST {
        before
    } else {
        left
    };
    let nothing = [f64::INFINITY, f64::NEG_INFINITY];
    let mut bit = ClippedSpan { at, from: nothing[0], to: nothing[1], v: nothing, area: 0.0 };
    let within = |cell: &&Cell| cell.min_u() < right - tolerance::SMALLEST && cell.max_u() > left + tolerance::SMALLEST;
    for cell in cells.iter().filter(within) {
        bit.area += cell.area_between(left, right);
        bit.from = bit.from.min(cell.min_u().max(left) - at);
        bit.to = bit.to.max(cell.max_u().min(right) - at);
        bit.v = [bit.v[0].min(cell.v[0]), bit.v[1].max(cell.v[1])];
    }
    bit
}
