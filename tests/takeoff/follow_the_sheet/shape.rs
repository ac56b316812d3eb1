//! A face's outline cut by level lines.

use super::sheet::{Cover, Face, Place};

/// Runs of a level line inside the outline and outside the openings, in order: places that the outline goes round at least
/// once and no opening does.
pub fn inside(face: &Face, v: f64) -> Vec<[f64; 2]> {
    inside_rings(&face.outline, &face.openings, v)
}

/// The same of rings of one's own.
pub fn inside_rings(outline: &[Vec<Place>], openings: &[Vec<Place>], v: f64) -> Vec<[f64; 2]> {
    let mut crossings: Vec<(f64, i32, bool)> = Vec::new();
    for (rings, is_face) in [(outline, true), (openings, false)] {
        for ring in rings {
            for (index, from) in ring.iter().enumerate() {
                let to = ring[(index + 1) % ring.len()];
                if (from[1] <= v) != (to[1] <= v) {
                    let u = from[0] + (to[0] - from[0]) * (v - from[1]) / (to[1] - from[1]);
                    crossings.push((u, if to[1] > from[1] { -1 } else { 1 }, is_face));
                }
            }
        }
    }
    crossings.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut round, mut opening) = (0, 0);
    let mut runs: Vec<[f64; 2]> = Vec::new();
    let mut start = None;
    for (u, turn, is_face) in crossings {
        *(if is_face { &mut round } else { &mut opening }) += turn;
        match (start, round > 0 && opening <= 0) {
            (None, true) => start = Some(u),
            (Some(from), false) => {
                runs.push([from, u]);
                start = None;
            }
            _ => {}
        }
    }
    joined(runs, 0.0)
}

/// Runs in order, those nearer to each other than `gap` made one.
pub fn joined(mut runs: Vec<[f64; 2]>, gap: f64) -> Vec<[f64; 2]> {
    runs.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut joined: Vec<[f64; 2]> = Vec::new();
    for run in runs {
        match joined.last_mut() {
            Some(last) if run[0] <= last[1] + gap => last[1] = last[1].max(run[1]),
            _ => joined.push(run),
        }
    }
    joined
}

/// What of a run no other run covers.
pub fn without(run: [f64; 2], others: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let mut left = vec![run];
    for other in others {
        left = left
            .into_iter()
            .flat_map(|[from, to]| [[from, to.min(other[0])], [from.max(other[1]), to]])
            .filter(|[from, to]| to > from)
            .collect();
    }
    left
}

/// The run of a level line that lies within reach of a line's cover.
pub fn covered(cover: &Cover, v: f64) -> Option<[f64; 2]> {
    let [a, b] = cover.line;
    let along = [b[0] - a[0], b[1] - a[1]];
    let length = along[0].hypot(along[1]);
    let (mut from, mut to) = (f64::INFINITY, f64::NEG_INFINITY);
    // Discs round both ends, and the band between them.
    for end in [a, b] {
        let half = cover.by * cover.by - (v - end[1]) * (v - end[1]);
        if half >= 0.0 {
            from = from.min(end[0] - half.sqrt());
            to = to.max(end[0] + half.sqrt());
        }
    }
    let out = [-along[1] / length * cover.by, along[0] / length * cover.by];
    let corners: [Place; 4] = [
        [a[0] + out[0], a[1] + out[1]],
        [b[0] + out[0], b[1] + out[1]],
        [b[0] - out[0], b[1] - out[1]],
        [a[0] - out[0], a[1] - out[1]],
    ];
    for (index, corner) in corners.iter().enumerate() {
        let next = corners[(index + 1) % 4];
        if (corner[1] <= v) != (next[1] <= v) {
            let u = corner[0] + (next[0] - corner[0]) * (v - corner[1]) / (next[1] - corner[1]);
            from = from.min(u);
            to = to.max(u);
        }
    }
    (to > from).then_some([from, to])
}

/// Heights at which what lies on a face may change: corners of its outline and `more`, in order, with lines a hair inside
/// each slab and one in its middle.
pub fn lines(face: &Face, more: impl Iterator<Item = f64>, [low, high]: [f64; 2]) -> Vec<f64> {
    const HAIR: f64 = 2e-6;
    let mut heights: Vec<f64> =
        face.outline.iter().chain(&face.openings).flatten().map(|place| place[1]).chain(more).collect();
    heights.extend([low, high]);
    heights.retain(|v| *v >= low && *v <= high);
    heights.sort_by(f64::total_cmp);
    let mut lines = Vec::new();
    for slab in heights.windows(2).filter(|slab| slab[1] - slab[0] > 3.0 * HAIR) {
        lines.extend([slab[0] + HAIR, f64::midpoint(slab[0], slab[1]), slab[1] - HAIR]);
    }
    lines
}
