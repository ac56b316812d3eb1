//! Courses that run through a closed or woven valley: a whole strip lies across its centre, the make-up piece elsewhere, so
//! that no joint stands within 300 mm of the centre (common practice, no source).

use super::course::Bit;
use super::lay::Piecework;
use super::outline::CoveredFace;
use super::region::Cell;
use crate::base::tolerance;
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
    /// From where to where along the eave no joint of a band may stand; `None` where the valley stands beside it.
    pub(super) fn closed(&self, band: [f64; 2]) -> Option<[f64; 2]> {
        let [low, high] = self.centre;
        let v = [band[0].max(low.y), band[1].min(high.y)];
        if v[1] <= v[0] {
            return None;
        }
        let along = high - low;
        let level = CLEAR_OF_JOINTS * along.norm() / along.y.abs();
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
pub fn partings(valleys: &[Through], band: [f64; 2]) -> Vec<f64> {
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

/// How far along the eave a strip's upper corner, clipped anyway, may stop short of its reach past the centre.
const CORNER: f64 = 0.035;

/// End joints of consecutive courses stand at least this far apart.
const APART: f64 = 0.100;

/// Moves the joints of one course (bits from left to right) clear of the valleys it runs through. `course` counts from the
/// lowest of the face. O(bits × valleys).
pub fn clear_joints(
    bits: &mut Vec<Bit>,
    cells: &[Cell],
    valleys: &[Through],
    work: &Piecework,
    butt: f64,
    course: usize,
) {
    let head = butt + work.height;
    let is_second = course % 2 == 1;
    for valley in valleys.iter().filter(|valley| valley.centre[0].y < head && valley.centre[1].y > butt) {
        if valley.is_right {
            at_right(bits, cells, valley, work, [butt, head], is_second);
        } else {
            // The same, seen in a mirror.
            let mirrored_cells: Vec<Cell> = cells.iter().map(mirrored_cell).collect();
            let flip = |line: [Point2<f64>; 2]| line.map(|place| Point2::new(-place.x, place.y));
            let mirror = Through { centre: flip(valley.centre), trim: flip(valley.trim), is_right: true };
            bits.reverse();
            mirror_all(bits, work.width);
            at_right(bits, &mirrored_cells, &mirror, work, [butt, head], is_second);
            mirror_all(bits, work.width);
            bits.reverse();
        }
    }
}

fn mirror_all(bits: &mut [Bit], width: f64) {
    for bit in bits {
        *bit = mirrored_bit(bit, width);
    }
}

fn mirrored_bit(bit: &Bit, width: f64) -> Bit {
    Bit { at: -bit.at - width, from: width - bit.to, to: width - bit.from, ..*bit }
}

fn mirrored_cell(cell: &Cell) -> Cell {
    Cell { v: cell.v, left: cell.right.map(|u| -u), right: cell.left.map(|u| -u) }
}

fn at_right(bits: &mut Vec<Bit>, cells: &[Cell], valley: &Through, work: &Piecework, band: [f64; 2], is_second: bool) {
    let along = (valley.centre[1] - valley.centre[0]).normalize();
    let level = CLEAR_OF_JOINTS / along.y.abs();
    // The line of the centre goes on beyond its ends, so that joints keep their step at the foot and at the ridge.
    let centre_at = |v: f64| {
        let [low, high] = valley.centre;
        low.x + (high.x - low.x) * (v - low.y) / (high.y - low.y)
    };
    let nearest_centre = centre_at(band[0]).min(centre_at(band[1]));
    let end = u_at(&valley.trim, band[0]).max(u_at(&valley.trim, band[1]));
    let at_end = |bit: &Bit| (bit.at + bit.to - end).abs() < tolerance::SMALLEST.max(work.height);
    let Some(mut last) = bits.iter().rposition(|bit| bit.at + bit.from < end && at_end(bit)).filter(|last| *last > 0)
    else {
        return;
    };
    let touches = |a: &Bit, b: &Bit| (a.at + work.width - b.at).abs() < tolerance::SMALLEST;
    let end = bits[last].at + bits[last].to;
    let joint = nearest_centre - level;
    // From course to course the joints go with the valley. Where that does not keep them apart, every second one is moved
    // back, as long as its strip still reaches far enough past the centre over what shows of it.
    let step = (along.x / along.y).abs() * work.gauge;
    let back = step + APART;
    let reaches = joint - back + work.width + CORNER >= nearest_centre + step + level;
    let is_staggered = step < APART && reaches;
    let joint = if is_staggered && is_second { joint - back } else { joint };
    let farthest = if is_staggered { step + back } else { step };
    // Where the run goes on beyond the valley, two valleys meet: there is no end to lay a whole strip at.
    let goes_on = bits.get(last + 1).is_some_and(|next| next.at + next.from - end < tolerance::SMALLEST);
    if goes_on || joint >= end {
        return;
    }
    if !touches(&bits[last - 1], &bits[last]) {
        return;
    }
    if joint <= bits[last - 1].at + bits[last - 1].from && last >= 2 && touches(&bits[last - 2], &bits[last - 1]) {
        // The strip at the valley takes the place of two.
        bits.remove(last - 1);
        last -= 1;
    }
    if joint <= bits[last - 1].at + bits[last - 1].from {
        return;
    }
    let mut make_up = bits[last - 1];
    // Wide enough to lay, and its own first joint clear of those that stand at the valley in the courses beside it.
    let least = work.least_end.max(farthest + APART);
    if joint - make_up.at < least && last >= 2 && touches(&bits[last - 2], &make_up) {
        // The piece before gives it a tab or two: slots stay in line.
        let tabs = ((least - (joint - make_up.at) - tolerance::SMALLEST) / work.tab).ceil();
        let given = (tabs * work.tab).min(work.width - work.tab.min(work.width / 2.0));
        make_up.at -= given;
        let before = &mut bits[last - 2];
        before.to = work.width - given;
        measure(before, cells);
    }
    make_up.to = joint - make_up.at;
    measure(&mut make_up, cells);
    bits[last - 1] = make_up;
    let mut whole = Bit { at: joint, from: 0.0, to: work.width.min(end - joint), ..bits[last] };
    measure(&mut whole, cells);
    bits[last] = whole;
}

/// Area and heights of what a bit keeps between its ends.
fn measure(bit: &mut Bit, cells: &[Cell]) {
    let (from, to) = (bit.at + bit.from, bit.at + bit.to);
    bit.area = 0.0;
    bit.v = [f64::INFINITY, f64::NEG_INFINITY];
    for cell in cells.iter().filter(|cell| cell.min_u() < to && cell.max_u() > from) {
        bit.area += cell.area_between(from, to);
        bit.v = [bit.v[0].min(cell.v[0]), bit.v[1].max(cell.v[1])];
    }
}
