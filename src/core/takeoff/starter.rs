//! Starter pieces: along every low edge, under the lowest course, at the foot of a slope that runs out in a point beside it,
//! and up the verges where a card says so.
//!
//! No starter joint stands nearer than a quarter of a tab to a joint or a slot of the course that lies on it, and none
//! where a valley allows none; no upright end is narrower than the least (common practice, no source). The grid of that
//! course moved by an odd number of half tabs keeps this on a plain slope. Where valleys have moved the joints of the
//! course, each starter piece is as long as its place allows.

use super::coursing::CoursingSpec;
use super::details::Hand;
use super::joints::{COVERED, FORBIDDEN, Mark, Span};
use super::layout::{Course, LaidPiece, Source, StarterRun};
use super::outline::{CoveredFace, FaceEdge};
use super::region::Cell;
use super::valley;
use crate::base::order::SortByNumber as _;
use crate::base::tolerance;
use crate::roof::EdgeKind;
use nalgebra::Point2;

/// The starter of a face under its courses, in laying order: pieces, and which of them lie along which low edge.
/// O(pieces²) of a low edge.
pub(super) fn lay(
    face: &CoveredFace,
    work: &CoursingSpec,
    hand: Hand,
    courses: &[Course],
    height: f64,
) -> (Vec<LaidPiece>, Vec<StarterRun>) {
    let (mut pieces, mut runs) = (Vec::new(), Vec::new());
    // From the lower end of one that is not quite level.
    let along = low_runs(face).into_iter().map(|[from, to]| {
        let low = from.y.min(to.y);
        ([from.x, to.x], [low, low + height])
    });
    for (foot, band) in along.chain(feet(face, work, courses, height)) {
        let start = pieces.len();
        let (cells, [left, right]) = reach(face, band, foot);
        // Nothing lies where caps cover all of it.
        let has_course = courses.iter().any(|course| course.butt_v <= band[0] + tolerance::SMALLEST);
        if right - left < tolerance::SMALLEST || !has_course {
            continue;
        }
        let span = span(face, work, courses, band, [left, right]);
        pieces.extend(self::pieces(&span, &joints(&span, work.tab, hand), &cells, band, hand));
        runs.push(StarterRun { butt_v: band[0], head_v: band[1], pieces: start..pieces.len() });
    }
    if work.verge_starter {
        let verges = face.edges.iter().filter(|edge| edge.kind == EdgeKind::Verge);
        pieces.extend(verges.flat_map(|edge| up_the_verge(edge, work.width, height)));
    }
    (pieces, runs)
}

/// Where a slope begins in a point, as between a verge and a valley, at a place that too few courses reach: the foot, and the
/// band up to where the starter of the course that lies there would end. O(corners · courses).
fn feet(face: &CoveredFace, work: &CoursingSpec, courses: &[Course], height: f64) -> Vec<([f64; 2], [f64; 2])> {
    let runs = low_runs(face);
    let is_on_run = |at: &Point2<f64>| runs.iter().flatten().any(|end| (end - at).norm() < tolerance::SMALLEST);
    let foot = |ring: &[Point2<f64>], index: usize| {
        let at = ring[index];
        let [before, after] = [ring[(index + ring.len() - 1) % ring.len()], ring[(index + 1) % ring.len()]];
        let is_lowest = [before, after].iter().all(|other| other.y > at.y + tolerance::SMALLEST);
        // The slope lies above it, not below, as it does where a notch comes down to a point.
        let is_foot = is_lowest && (at - before).perp(&(after - at)) > 0.0;
        if !is_foot || is_on_run(&at) {
            return None;
        }
        let begins = |course: &&Course| course.butt_v <= at.y + tolerance::SMALLEST;
        let over = courses.iter().filter(begins).filter(|course| course.head_v > at.y + tolerance::SMALLEST).count();
        let on_it = courses.iter().rev().find(begins)?;
        let top = on_it.butt_v + height;
        let wide = 10.0 * tolerance::SMALLEST;
        let is_thin = u32::try_from(over).is_ok_and(|over| over < work.layers);
        (is_thin && top > at.y + wide).then_some(([at.x - wide, at.x + wide], [at.y, top]))
    };
    let of_ring = |ring: &Vec<Point2<f64>>| (0..ring.len()).filter_map(|index| foot(ring, index)).collect::<Vec<_>>();
    face.outline.iter().flat_map(of_ring).collect()
}

/// What of a band stands on a stretch of its foot, and how far that reaches to the left and to the right: with sides that
/// lean outwards, not with what begins beside the stretch higher up.
fn reach(face: &CoveredFace, band: [f64; 2], foot: [f64; 2]) -> (Vec<Cell>, [f64; 2]) {
    let cells: Vec<Cell> = face.region.between(band[0], band[1]).collect();
    let [mut left, mut right] = foot;
    let mut span = [f64::INFINITY, f64::NEG_INFINITY];
    let mut kept: Vec<Cell> = Vec::new();
    let mut rest = cells.as_slice();
    while let Some(first) = rest.first() {
        let count = rest.iter().take_while(|cell| cell.v == first.v).count();
        let (slab, above) = rest.split_at(count);
        rest = above;
        // At an end that is not quite level a slab begins in a point.
        let meets =
            |cell: &&Cell| cell.min_u() < right - tolerance::SMALLEST && cell.max_u() > left + tolerance::SMALLEST;
        let own: Vec<Cell> = slab.iter().filter(meets).copied().collect();
        let (Some(one), Some(last)) = (own.first(), own.last()) else { break };
        // A side that goes on from the one below leans as it does; one that stands further out begins beside the stretch.
        let near = |a: f64, b: f64| (a - b).abs() < tolerance::SMALLEST;
        if kept.is_empty() || near(one.left[0], left) || one.left[0] > left {
            span[0] = span[0].min(one.min_u());
            left = one.left[1];
        }
        if kept.is_empty() || near(last.right[0], right) || last.right[0] < right {
            span[1] = span[1].max(last.max_u());
            right = last.right[1];
        }
        kept.extend(own);
    }
    (kept, if span[0] < span[1] { span } else { [foot[0]; 2] })
}

/// What the joints of one starter keep off: joints and slots of the course that lies on it, the sides of valleys; and where
/// one of that course's grid stands.
fn span(face: &CoveredFace, work: &CoursingSpec, courses: &[Course], band: [f64; 2], ends: [f64; 2]) -> Span {
    // The course that lies on it: the last one that begins no higher.
    let on_it = courses.iter().rev().find(|course| course.butt_v <= band[0] + tolerance::SMALLEST);
    let mut places = Vec::new();
    for piece in on_it.into_iter().flat_map(|course| &course.pieces) {
        let [from, to] = piece.extent();
        let slots = (0..).map(|slot| piece.from_u + f64::from(slot) * work.tab);
        let shown = slots.take_while(|slot| *slot < to - tolerance::SMALLEST).filter(|slot| *slot > from);
        places.extend([from, to].into_iter().chain(shown));
    }
    // The ends of the course at the ends of the starter are no joints.
    places.retain(|u| *u > ends[0] + tolerance::SMALLEST && *u < ends[1] - tolerance::SMALLEST);
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| *a - *b < tolerance::SMALLEST);
    Span {
        ends,
        reach: ends,
        width: work.width,
        least: work.least_end,
        grid: on_it.map_or(ends[0], |course| course.joint_u),
        marks: places.into_iter().map(|u| Mark { u, off: work.tab / 4.0, cost: FORBIDDEN }).collect(),
        closed: valley::through(face)
            .iter()
            .flat_map(|valley| valley.closed(work, band[0]))
            .map(|(stretch, _)| (stretch, COVERED))
            .collect(),
    }
}

/// The best grid: a usual one (an odd number of half tabs from the course's), else one moved otherwise; of either kind the
/// one with the fewest pieces, the first of equals. Where none keeps the rules, each piece as its place allows.
fn joints(span: &Span, tab: f64, hand: Hand) -> Vec<f64> {
    let half = tab / 2.0;
    let steps = |length: f64| {
        let within = move |step: &u32| f64::from(*step) * length < span.width - half / 2.0;
        (0_u32..).take_while(within).map(f64::from)
    };
    // Shorter by so much than what the course on it begins with.
    let moved = |by: f64| span.grid - if hand == Hand::Left { by } else { -by };
    let fewest =
        |shifts: &mut dyn Iterator<Item = f64>| shifts.filter_map(|shift| span.even(moved(shift))).min_by_key(Vec::len);
    let finer = half / 6.0;
    fewest(&mut steps(tab).map(|step| (2.0 * step + 1.0) * half))
        .or_else(|| fewest(&mut steps(finer).map(|step| step * finer)))
        .unwrap_or_else(|| Span { grid: moved(half), ..span.clone() }.cheapest())
}

/// The pieces between joints, in laying order.
fn pieces(span: &Span, joints: &[f64], cells: &[Cell], band: [f64; 2], hand: Hand) -> Vec<LaidPiece> {
    let [from, to] = span.ends;
    let ends: Vec<f64> = std::iter::once(from).chain(joints.iter().copied()).chain([to]).collect();
    let height = band[1] - band[0];
    let piece = |(index, pair): (usize, &[f64])| {
        let (left, right) = (pair[0], pair[1]);
        let is_first = index == if hand == Hand::Left { 0 } else { joints.len() };
        // The first is cut at its outer end, all others at the far one.
        let from_u = if is_first == (hand == Hand::Left) && !joints.is_empty() { right - span.width } else { left };
        let area: f64 = cells.iter().map(|cell| cell.area_between(left, right)).sum();
        let cut = span.width * height - area >= tolerance::SMALLEST * (span.width + height);
        let parts = cells.iter().map(|cell| cell.part(left, right)).filter(|part| !part.is_empty()).collect();
        LaidPiece { from_u, to_u: from_u + span.width, parts, area, source: Source::New, cut }
    };
    let mut pieces: Vec<LaidPiece> = ends.windows(2).enumerate().map(piece).collect();
    pieces.retain(|piece| piece.area > tolerance::SMALLEST * span.width);
    if hand == Hand::Right {
        pieces.reverse();
    }
    pieces
}

/// Starter pieces up a verge, over those of the eave: their long side along it, their height inwards.
fn up_the_verge(edge: &FaceEdge, width: f64, height: f64) -> Vec<LaidPiece> {
    let [from, to] =
        if edge.covered[0].y < edge.covered[1].y { edge.covered } else { [edge.covered[1], edge.covered[0]] };
    let length = (to - from).norm();
    let Some(along) = (to - from).try_normalize(f64::MIN_POSITIVE) else { return Vec::new() };
    // The face lies to the left of an edge that goes up on its way round, so to the right of one that goes down.
    let side = if edge.covered[0].y < edge.covered[1].y { 1.0 } else { -1.0 };
    let inwards = nalgebra::Vector2::new(-along.y, along.x) * side * height;
    let mut pieces = Vec::new();
    let mut at = 0.0;
    while length - at > tolerance::SMALLEST {
        let end = (at + width).min(length);
        let (low, high) = (from + along * at, from + along * end);
        let mut corners = vec![low, high, high + inwards, low + inwards];
        if side > 0.0 {
            corners.reverse();
        }
        let u = || corners.iter().map(|place| place.x);
        pieces.push(LaidPiece {
            from_u: u().fold(f64::INFINITY, f64::min),
            to_u: u().fold(f64::NEG_INFINITY, f64::max),
            parts: vec![corners.clone()],
            area: (end - at) * height,
            source: Source::New,
            cut: end - at < width,
        });
        at = end;
    }
    pieces
}

/// Low edges over which the covering begins, as covered, those that touch joined, from the lowest up and left to right.
/// O(n²).
#[must_use]
pub(crate) fn low_runs(face: &CoveredFace) -> Vec<[Point2<f64>; 2]> {
    let mut runs: Vec<[Point2<f64>; 2]> =
        face.edges.iter().filter(|edge| edge.begins_anew).map(|edge| edge.covered).collect();
    // Each runs to the right, so what it goes on from comes before it. Heights in one line differ by rounding and order
    // nothing until they are joined.
    runs.sort_by_number(|a| a[0].x);
    let mut joined: Vec<[Point2<f64>; 2]> = Vec::new();
    for run in runs {
        match joined.iter_mut().find(|before| (run[0] - before[1]).norm() < tolerance::SMALLEST) {
            Some(before) => before[1] = run[1],
            None => joined.push(run),
        }
    }
    let height = |run: &[Point2<f64>; 2]| (run[0].y / tolerance::SMALLEST).round();
    joined.sort_by(|a, b| height(a).total_cmp(&height(b)).then(a[0].x.total_cmp(&b[0].x)));
    joined
}
