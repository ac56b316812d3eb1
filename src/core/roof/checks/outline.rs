//! The outline itself: its sides meet only at their shared corners.
//!
//! Sides are sorted into the cells of a square grid about as many as there are sides; those that share a cell are
//! compared.

use crate::base::tolerance::ONE_PLACE;
use nalgebra::{Point2, Vector2};

/// The first two sides found that cross or touch beside a shared corner, as (ring, side). Expected O(n) for outlines
/// without very long sides beside very many short ones.
#[must_use]
pub fn crossing(rings: &[Vec<Point2<f64>>]) -> Option<[(usize, usize); 2]> {
    struct Line {
        place: (usize, usize),
        count: usize,
        from: Point2<f64>,
        to: Point2<f64>,
    }
    let mut lines = Vec::with_capacity(rings.iter().map(Vec::len).sum());
    for (ring, corners) in rings.iter().enumerate() {
        let ahead = corners.iter().cycle().skip(1);
        for (side, (&from, &to)) in corners.iter().zip(ahead).enumerate() {
            lines.push(Line { place: (ring, side), count: corners.len(), from, to });
        }
    }
    let meet = |a: &Line, b: &Line| {
        let neighbours = a.place.0 == b.place.0 && {
            let gap = a.place.1.abs_diff(b.place.1);
            gap == 1 || gap == a.count - 1
        };
        if neighbours {
            // They share a corner; they may only run back along each other.
            let after = if a.place.1 + 1 == a.count { 0 } else { a.place.1 + 1 };
            let (one, two) = if after == b.place.1 { (a, b) } else { (b, a) };
            let (u, v) = (one.to - one.from, two.to - two.from);
            return u.perp(&v) == 0.0 && u.dot(&v) < 0.0;
        }
        segments_meet(a.from, a.to, b.from, b.to)
    };
    if lines.len() <= 24 {
        for (index, a) in lines.iter().enumerate() {
            if let Some(b) = lines[..index].iter().find(|b| meet(a, b)) {
                return Some([b.place, a.place]);
            }
        }
        return None;
    }
    let mut low = lines[0].from;
    let mut high = lines[0].from;
    for line in &lines {
        low = low.inf(&line.from);
        high = high.sup(&line.from);
    }
    let extent = high - low;
    let cells = (lines.len() as f64).sqrt().ceil().max(1.0);
    let cell = (extent.x.max(extent.y) / cells).max(f64::MIN_POSITIVE);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let index = |v: f64| (v / cell).floor().max(0.0) as usize;
    let columns = index(extent.x) + 1;
    let rows = index(extent.y) + 1;
    let mut buckets: Vec<Vec<u32>> = vec![Vec::new(); columns * rows];
    for (number, line) in lines.iter().enumerate() {
        let (a, b) = (line.from - low, line.to - low);
        let (first, last) = (index(a.y.min(b.y)), index(a.y.max(b.y)));
        for row in first..=last {
            // The part of the line within the row.
            let (from, to) = row_span(a, b, row as f64 * cell, cell);
            for column in index(from)..=index(to).min(columns - 1) {
                let bucket = &mut buckets[row.min(rows - 1) * columns + column];
                if let Some(&other) = bucket.iter().find(|&&other| meet(&lines[other as usize], line)) {
                    return Some([lines[other as usize].place, line.place]);
                }
                #[allow(clippy::cast_possible_truncation)]
                bucket.push(number as u32);
            }
        }
    }
    None
}

/// The span in x of a line within a row of cells, a little widened.
fn row_span(a: Vector2<f64>, b: Vector2<f64>, bottom: f64, cell: f64) -> (f64, f64) {
    let (low, high) = (a.x.min(b.x), a.x.max(b.x));
    let rise = b.y - a.y;
    if rise.abs() < cell * f64::EPSILON {
        return (low, high);
    }
    let at = |y: f64| a.x + (b.x - a.x) * ((y - a.y) / rise);
    let (p, q) = (at(bottom), at(bottom + cell));
    let slack = cell * ONE_PLACE;
    ((p.min(q) - slack).clamp(low, high), (p.max(q) + slack).clamp(low, high))
}

fn segments_meet(a: Point2<f64>, b: Point2<f64>, c: Point2<f64>, d: Point2<f64>) -> bool {
    let apart = |p: f64, q: f64, r: f64, s: f64| p.max(q) < r.min(s) || r.max(s) < p.min(q);
    if apart(a.x, b.x, c.x, d.x) || apart(a.y, b.y, c.y, d.y) {
        return false;
    }
    let side = |p: Point2<f64>, q: Point2<f64>, r: Point2<f64>| (q - p).perp(&(r - p));
    let (one, two) = (side(a, b, c), side(a, b, d));
    let (three, four) = (side(c, d, a), side(c, d, b));
    one * two <= 0.0 && three * four <= 0.0
}
