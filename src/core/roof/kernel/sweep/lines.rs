//! The lines that sides lie on: parallel and square sides share a direction, sides in one line an offset, bit for bit.

use super::decimals::{Frame, ratio};
use crate::outline::Footprint;
use nalgebra::Vector2;
use smallvec::SmallVec;
use std::collections::BTreeMap;
use std::f64::consts::FRAC_PI_2;

/// A side and the line it lies on, in units of the frame.
pub(super) struct SupportLine {
    pub ring: usize,
    pub side: usize,
    pub start: Vector2<f64>,
    pub end: Vector2<f64>,
    pub length: f64,
    /// Direction class, and quarter turns from its direction.
    pub class: usize,
    pub quarter: u8,
    pub normal: [f64; 2],
    /// Length of the normal: 1 but for directions that are ratios of whole numbers.
    pub norm: f64,
    pub offset: f64,
}

/// A vector turned left by quarters.
pub(super) fn turned(v: [f64; 2], quarter: u8) -> [f64; 2] {
    match quarter {
        0 => v,
        1 => [-v[1], v[0]],
        2 => [-v[0], -v[1]],
        _ => [v[1], -v[0]],
    }
}

/// The sides of a footprint that have length.
pub(super) fn lines(footprint: &Footprint, frame: &Frame, snap: f64) -> Vec<SupportLine> {
    let mut out = Vec::with_capacity(footprint.rings.iter().map(|ring| ring.sides.len()).sum());
    for (ring_index, ring) in footprint.rings.iter().enumerate() {
        let places: SmallVec<[Vector2<f64>; 32]> = ring.sides.iter().map(|side| frame.local(&side.start)).collect();
        let place = |side: usize| places[side];
        let count = ring.sides.len();
        // A side of no length starts no line; the one before runs on to the next corner.
        let has_length =
            |&index: &usize| (place(if index + 1 == count { 0 } else { index + 1 }) - place(index)).norm() > snap;
        let kept: SmallVec<[usize; 32]> = (0..count).filter(has_length).collect();
        for (position, &side) in kept.iter().enumerate() {
            let start = place(side);
            let end = place(*kept.get(position + 1).unwrap_or(&kept[0]));
            let length = (end - start).norm();
            out.push(SupportLine {
                ring: ring_index,
                side,
                start,
                end,
                length,
                class: 0,
                quarter: 0,
                normal: [0.0; 2],
                norm: 1.0,
                offset: 0.0,
            });
        }
    }
    out
}

/// Up to this many classes of direction are searched one by one.
const FEW_CLASSES: usize = 16;

/// The quarter turn that brings a direction nearest to another, and the sine of what is then between them.
fn fit(class: [f64; 2], along: &Vector2<f64>) -> (u8, f64) {
    let dot = class[0] * along.x + class[1] * along.y;
    let cross = class[0] * along.y - class[1] * along.x;
    if dot.abs() >= cross.abs() {
        (if dot > 0.0 { 0 } else { 2 }, cross.abs())
    } else {
        (if cross > 0.0 { 1 } else { 3 }, dot.abs())
    }
}

/// A direction's angle within a quarter turn, in the order of its bits.
fn angle(along: [f64; 2]) -> u64 {
    along[1].atan2(along[0]).rem_euclid(FRAC_PI_2).min(FRAC_PI_2.next_down()).to_bits()
}

/// Gives every line a direction class, so that sides parallel or square to each other have the same bits.
pub(super) fn assign_directions(lines: &mut [SupportLine], snap: f64) {
    let mut order: SmallVec<[usize; 32]> = (0..lines.len()).collect();
    order.sort_unstable_by(|&a, &b| lines[b].length.total_cmp(&lines[a].length).then(a.cmp(&b)));
    let mut classes: SmallVec<[[f64; 2]; FEW_CLASSES]> = SmallVec::new();
    classes.push([1.0, 0.0]);
    // By class: its direction as a ratio of whole numbers where it has one, and the length of that.
    let mut ratios: SmallVec<[([f64; 2], f64); FEW_CLASSES]> = SmallVec::new();
    ratios.push(([1.0, 0.0], 1.0));
    // Filled when classes are no longer few.
    let mut by_angle: BTreeMap<u64, usize> = BTreeMap::new();
    for index in order {
        let line = &mut lines[index];
        let along = (line.end - line.start) / line.length;
        let nearer = |best: (usize, u8, f64), class: usize| {
            let (quarter, sine) = fit(classes[class], &along);
            if sine < best.2 { (class, quarter, sine) } else { best }
        };
        let none = (0, 0, f64::INFINITY);
        let best = if classes.len() <= FEW_CLASSES {
            (0..classes.len()).fold(none, nearer)
        } else {
            if by_angle.is_empty() {
                by_angle.extend(classes.iter().enumerate().map(|(class, &along)| (angle(along), class)));
            }
            let angle = angle([along.x, along.y]);
            let below = by_angle.range(..=angle).next_back().or_else(|| by_angle.iter().next_back());
            let above = by_angle.range(angle..).next().or_else(|| by_angle.iter().next());
            below.into_iter().chain(above).map(|(_, &class)| class).fold(none, nearer)
        };
        (line.class, line.quarter) = if best.2 * line.length <= snap {
            (best.0, best.1)
        } else {
            let whole = ratio(&(line.end - line.start));
            let (way, norm) = whole.map_or(([along.x, along.y], 1.0), |way| (way, way[0].hypot(way[1])));
            let unit = way.map(|part| part / norm);
            classes.push(unit);
            ratios.push((way, norm));
            if !by_angle.is_empty() {
                by_angle.insert(angle(unit), classes.len() - 1);
            }
            (classes.len() - 1, fit(unit, &along).0)
        };
        let (way, norm) = ratios[line.class];
        line.normal = turned(turned(way, line.quarter), 1);
        line.norm = norm;
        let middle = (line.start + line.end) / 2.0;
        line.offset = line.normal[0] * middle.x + line.normal[1] * middle.y;
    }
}

/// Brings parallel sides that lie in one line to one offset.
pub(super) fn assign_offsets(lines: &mut [SupportLine], snap: f64) {
    // Offset along the direction class's own normal, whichever way the side runs.
    let signed = |line: &SupportLine| if line.quarter < 2 { line.offset } else { -line.offset };
    let mut order: SmallVec<[usize; 32]> = (0..lines.len()).collect();
    order.sort_unstable_by(|&first, &second| {
        let (a, b) = (&lines[first], &lines[second]);
        let lines = (a.class, a.quarter % 2).cmp(&(b.class, b.quarter % 2)).then(signed(a).total_cmp(&signed(b)));
        lines.then(first.cmp(&second))
    });
    let mut start = 0;
    for position in 1..=order.len() {
        let together = position < order.len() && {
            let (a, b) = (&lines[order[position - 1]], &lines[order[position]]);
            a.class == b.class && a.quarter % 2 == b.quarter % 2 && signed(b) - signed(a) <= snap * a.norm
        };
        if together {
            continue;
        }
        let group = &order[start..position];
        let longest =
            group.iter().copied().fold(group[0], |a, b| if lines[b].length > lines[a].length { b } else { a });
        let shared = signed(&lines[longest]);
        for &index in group {
            lines[index].offset = if lines[index].quarter < 2 { shared } else { -shared };
        }
        start = position;
    }
    // Neighbours of one direction share a corner, so they are one line however short they are.
    for index in 1..lines.len() {
        let (before, after) = lines.split_at_mut(index);
        let (a, b) = (&before[index - 1], &mut after[0]);
        if a.ring == b.ring && a.normal == b.normal {
            b.offset = a.offset;
        }
    }
}
