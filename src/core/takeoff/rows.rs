//! The pieces of a course as they are told: side by side in rows, with every joint. A course that an opening or a notch
//! breaks is several rows.

use super::details::Hand;
use super::layout::{FaceLayout, LaidPiece};
use crate::base::order::SortByNumber as _;
use crate::base::polygon;
use crate::base::tolerance;
use nalgebra::Point2;

/// Pieces of one course side by side without a gap.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Which course, the lowest of the face 1.
    pub course: usize,
    /// Height of its lower edge up the slope, metres.
    pub butt_v: f64,
    /// Left end.
    pub from_u: f64,
    /// Right end.
    pub to_u: f64,
    /// Length of its first piece seen from the hand the face is laid from.
    pub first: f64,
    /// Length of its last piece.
    pub last: f64,
    /// Where its pieces meet, from left to right.
    pub joints: Vec<f64>,
    /// What lies in it, from left to right.
    pub stretches: Vec<RowSpan>,
}

/// What a row holds of one piece: all of it, or one part of a piece that an opening cuts in two.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RowSpan {
    /// The piece's place in its course, in laying order from 0.
    pub piece: usize,
    /// Left and right end.
    pub u: [f64; 2],
}

/// The rows of pieces given in laying order. O(n log n) for n parts.
#[must_use]
pub fn rows(course: usize, butt_v: f64, pieces: &[LaidPiece], hand: Hand) -> Vec<Row> {
    let each = pieces.iter().enumerate();
    let mut stretches: Vec<RowSpan> =
        each.flat_map(|(piece, laid)| stretches(&laid.parts).into_iter().map(move |u| RowSpan { piece, u })).collect();
    // What is left of a part at its far end by rounding is nothing.
    stretches.retain(|stretch| stretch.u[1] - stretch.u[0] > tolerance::SMALLEST);
    stretches.sort_by_number(|a| a.u[0]);
    let mut rows: Vec<Row> = Vec::new();
    for stretch in stretches {
        match rows.last_mut() {
            Some(row) if (row.to_u - stretch.u[0]).abs() < tolerance::SMALLEST => {
                row.joints.push(stretch.u[0]);
                row.to_u = stretch.u[1];
                row.stretches.push(stretch);
            }
            _ => rows.push(Row {
                course,
                butt_v,
                from_u: stretch.u[0],
                to_u: stretch.u[1],
                first: 0.0,
                last: 0.0,
                joints: Vec::new(),
                stretches: vec![stretch],
            }),
        }
    }
    for row in &mut rows {
        let left = row.joints.first().unwrap_or(&row.to_u) - row.from_u;
        let right = row.to_u - row.joints.last().unwrap_or(&row.from_u);
        (row.first, row.last) = match hand {
            Hand::Left => (left, right),
            Hand::Right => (right, left),
        };
    }
    rows
}

/// Ends narrower than `least` that stand upright, so that their width shows: of whole pieces and of the parts that an opening
/// leaves of one. O(parts²) a piece.
#[must_use]
pub fn narrow_ends(pieces: &[LaidPiece], least: f64) -> usize {
    let is_narrow = |group: &Vec<&Vec<Point2<f64>>>| {
        let [left, right] = extent(group.iter().copied().flatten());
        let [low, high] = span_v(group.iter().copied().flatten());
        let area: f64 = group.iter().map(|part| polygon::signed_area(part)).sum();
        let fills = (right - left) * (high - low) - area < tolerance::SMALLEST * (right - left + high - low);
        right - left > tolerance::SMALLEST && right - left < least - tolerance::SMALLEST && fills
    };
    pieces.iter().map(|piece| groups(&piece.parts).iter().filter(|group| is_narrow(group)).count()).sum()
}

/// Left and right ends of what hangs together of a piece's parts. O(parts²).
fn stretches(parts: &[Vec<Point2<f64>>]) -> Vec<[f64; 2]> {
    groups(parts).iter().map(|group| extent(group.iter().copied().flatten())).collect()
}

/// A piece's parts, those that hang together as one. O(parts²).
fn groups(parts: &[Vec<Point2<f64>>]) -> Vec<Vec<&Vec<Point2<f64>>>> {
    let mut groups: Vec<Vec<&Vec<Point2<f64>>>> = Vec::new();
    for part in parts.iter().filter(|part| part.len() > 2) {
        let (mut own, others): (Vec<_>, Vec<_>) =
            groups.into_iter().partition(|group| group.iter().any(|other| touch(part, other)));
        groups = others;
        let mut joined: Vec<&Vec<Point2<f64>>> = own.drain(..).flatten().collect();
        joined.push(part);
        groups.push(joined);
    }
    groups
}

fn extent<'a>(places: impl Iterator<Item = &'a Point2<f64>>) -> [f64; 2] {
    places.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], place| [low.min(place.x), high.max(place.x)])
}

fn span_v<'a>(places: impl Iterator<Item = &'a Point2<f64>>) -> [f64; 2] {
    places.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], place| [low.min(place.y), high.max(place.y)])
}

/// Whether two convex parts, one over the other, share a level side.
fn touch(a: &[Point2<f64>], b: &[Point2<f64>]) -> bool {
    let at =
        |part: &[Point2<f64>], v: f64| extent(part.iter().filter(|place| (place.y - v).abs() < tolerance::SMALLEST));
    let (of_a, of_b) = (span_v(a.iter()), span_v(b.iter()));
    [(of_a[1], of_b[0]), (of_a[0], of_b[1])].into_iter().any(|(here, there)| {
        let (left, right) = (at(a, here), at(b, there));
        (here - there).abs() < tolerance::SMALLEST
            && left[0].max(right[0]) < left[1].min(right[1]) - tolerance::SMALLEST
    })
}

impl FaceLayout {
    /// Every row of every course, from the eave up and from left to right. O(pieces log pieces).
    #[must_use]
    pub fn rows(&self) -> Vec<Row> {
        let each = self.courses.iter().enumerate();
        each.flat_map(|(index, course)| rows(index + 1, course.butt_v, &course.pieces, self.hand)).collect()
    }

    /// The rows of the starter along each low edge, from the lowest up; `course` is 0. O(pieces log pieces).
    #[must_use]
    pub fn starter_rows(&self) -> Vec<(f64, Vec<Row>)> {
        let of = |run: &super::layout::StarterRun| {
            (run.head_v - run.butt_v, rows(0, run.butt_v, &self.starter[run.pieces.clone()], self.hand))
        };
        self.starter_runs.iter().map(of).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::takeoff::layout::Source;

    fn rectangle(u: [f64; 2], v: [f64; 2]) -> Vec<Point2<f64>> {
        [(u[0], v[0]), (u[1], v[0]), (u[1], v[1]), (u[0], v[1])].map(|(u, v)| Point2::new(u, v)).to_vec()
    }

    fn piece(parts: Vec<Vec<Point2<f64>>>) -> LaidPiece {
        LaidPiece { from_u: 0.0, to_u: 1.0, parts, area: 0.0, source: Source::New, cut: true }
    }

    #[test]
    fn an_opening_through_a_piece_breaks_the_row_and_one_in_its_lower_part_does_not() {
        let through = piece(vec![rectangle([0.0, 0.3], [0.0, 0.3]), rectangle([0.5, 1.0], [0.0, 0.3])]);
        let notched = piece(vec![
            rectangle([1.0, 1.3], [0.0, 0.2]),
            rectangle([1.5, 2.0], [0.0, 0.2]),
            rectangle([1.0, 2.0], [0.2, 0.3]),
        ]);
        let told = rows(3, 0.0, &[through, notched], Hand::Right);
        let ends: Vec<[f64; 2]> = told.iter().map(|row| [row.from_u, row.to_u]).collect();
        assert_eq!(ends, [[0.0, 0.3], [0.5, 2.0]]);
        assert_eq!(told[1].joints, [1.0]);
        assert_eq!((told[1].first, told[1].last), (1.0, 0.5));
    }
}
