//! Starter pieces: along every low edge, under the lowest course, and up the verges where a card says so.
//!
//! No starter joint stands nearer than a quarter of a tab to a joint or a slot of the course that lies on it, and none
//! where a valley allows none; no upright end is narrower than the least (common practice, no source). The grid of that
//! course moved by an odd number of half tabs keeps this on a plain slope. Where valleys have moved the joints of the
//! course, each starter piece is as long as its place allows.

use super::lay::Piecework;
use super::layout::{Course, Hand, Piece, Source, StarterRun};
use super::outline::{CoveredFace, FaceEdge};
use super::region::Cell;
use super::valley;
use crate::base::tolerance;
use crate::roof::EdgeKind;
use nalgebra::Point2;

/// The starter of a face under its courses, in laying order: pieces, and which of them lie along which low edge.
/// O(pieces²) of a low edge.
pub(super) fn lay(
    face: &CoveredFace,
    work: &Piecework,
    hand: Hand,
    courses: &[Course],
    height: f64,
) -> (Vec<Piece>, Vec<StarterRun>) {
    let (mut pieces, mut runs) = (Vec::new(), Vec::new());
    for [from, to] in low_runs(face) {
        let start = pieces.len();
        let band = [from.y, from.y + height];
        let (cells, [left, right]) = reach(face, band, [from.x, to.x]);
        if right - left < tolerance::SMALLEST {
            continue;
        }
        let place = Placing::new(face, work, hand, courses, band, [left, right]);
        let joints = place.joints();
        pieces.extend(place.pieces(&joints, &cells, band, work));
        runs.push(StarterRun { butt_v: band[0], head_v: band[1], pieces: start..pieces.len() });
    }
    if work.verge_starter {
        let verges = face.edges.iter().filter(|edge| edge.kind == EdgeKind::Verge);
        pieces.extend(verges.flat_map(|edge| up_the_verge(edge, work.width, height)));
    }
    (pieces, runs)
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
        let meets =
            |cell: &&Cell| cell.left[0] < right - tolerance::SMALLEST && cell.right[0] > left + tolerance::SMALLEST;
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

/// Where the joints of one starter may stand, seen from the hand the face is laid from: places count onwards from there.
struct Placing {
    hand: Hand,
    /// Where it begins and ends.
    span: [f64; 2],
    width: f64,
    tab: f64,
    least_end: f64,
    /// A joint of the grid of the course on it.
    grid: f64,
    /// Joints and slots of the course on it.
    marks: Vec<f64>,
    /// From where to where a valley allows no joint.
    closed: Vec<[f64; 2]>,
}

impl Placing {
    fn new(
        face: &CoveredFace,
        work: &Piecework,
        hand: Hand,
        courses: &[Course],
        band: [f64; 2],
        [left, right]: [f64; 2],
    ) -> Self {
        let turn = |u: f64| if hand == Hand::Left { u } else { -u };
        let turned = |[a, b]: [f64; 2]| if hand == Hand::Left { [a, b] } else { [-b, -a] };
        // The course that lies on it: the last one that begins no higher.
        let on_it = courses.iter().rev().find(|course| course.butt_v <= band[0] + tolerance::SMALLEST);
        let mut marks = Vec::new();
        for piece in on_it.into_iter().flat_map(|course| &course.pieces) {
            let [from, to] = piece.extent();
            let slots = (0..).map(|slot| piece.from_u + f64::from(slot) * work.tab);
            let shown = slots.take_while(|slot| *slot < to - tolerance::SMALLEST).filter(|slot| *slot > from);
            marks.extend([from, to].into_iter().chain(shown).map(turn));
        }
        let span = turned([left, right]);
        // The ends of the course at the ends of the starter are no joints.
        marks.retain(|mark| *mark > span[0] + tolerance::SMALLEST && *mark < span[1] - tolerance::SMALLEST);
        Self {
            hand,
            span,
            width: work.width,
            tab: work.tab,
            least_end: work.least_end,
            grid: turn(on_it.map_or(left, |course| course.joint_u)),
            marks,
            closed: valley::through(face).iter().filter_map(|valley| valley.closed(band)).map(turned).collect(),
        }
    }

    fn is_clear(&self, place: f64) -> bool {
        let off_marks = self.marks.iter().all(|mark| (mark - place).abs() >= self.tab / 4.0 - tolerance::SMALLEST);
        let closes = |[from, to]: &[f64; 2]| place > from + tolerance::SMALLEST && place < to - tolerance::SMALLEST;
        off_marks && !self.closed.iter().any(closes)
    }

    /// The best grid: a usual one (an odd number of half tabs from the course's), else one moved otherwise; of either kind
    /// the one with the fewest pieces, the first of equals. Where none keeps the rules, joint by joint.
    fn joints(&self) -> Vec<f64> {
        let [from, to] = self.span;
        if to - from <= self.width + tolerance::SMALLEST {
            return Vec::new();
        }
        let half = self.tab / 2.0;
        let count = |length: f64| (0_u32..).take_while(move |step| f64::from(*step) * length < self.width - half / 2.0);
        let usual = count(self.tab).map(|step| f64::from(2 * step + 1) * half);
        let finer = half / 6.0;
        let others = count(finer).map(|step| f64::from(step) * finer);
        let fewest = |shifts: &mut dyn Iterator<Item = f64>| {
            shifts.filter_map(|shift| self.even(self.grid - shift)).min_by_key(Vec::len)
        };
        fewest(&mut usual.into_iter()).or_else(|| fewest(&mut others.into_iter())).unwrap_or_else(|| self.one_by_one())
    }

    /// Joints a width apart, one of them at `origin`, where they keep the rules.
    fn even(&self, origin: f64) -> Option<Vec<f64>> {
        let [from, to] = self.span;
        let first = origin + ((from + tolerance::SMALLEST - origin) / self.width).ceil() * self.width;
        let places = (0_u32..).map(|step| first + f64::from(step) * self.width);
        let joints: Vec<f64> = places.take_while(|place| *place < to - tolerance::SMALLEST).collect();
        let least = self.least_end - tolerance::SMALLEST;
        let ends = joints.first()? - from >= least && to - joints.last()? >= least;
        (ends && joints.iter().all(|joint| self.is_clear(*joint))).then_some(joints)
    }

    /// Each piece as long as the rules allow.
    fn one_by_one(&self) -> Vec<f64> {
        let [mut at, to] = self.span;
        let mut joints = Vec::new();
        while to - at > self.width + tolerance::SMALLEST {
            let farthest = (at + self.width).min(to - self.least_end);
            at = self.farthest([at + self.least_end.min(self.width / 2.0), farthest]).unwrap_or(farthest);
            joints.push(at);
        }
        joints
    }

    /// The farthest place of a stretch where a joint may stand.
    fn farthest(&self, [from, to]: [f64; 2]) -> Option<f64> {
        let mut place = to;
        while place >= from {
            if self.is_clear(place) {
                return Some(place);
            }
            let before_mark = |mark: &f64| mark - self.tab / 4.0;
            let marks = self.marks.iter().filter(|mark| (*mark - place).abs() < self.tab / 4.0 - tolerance::SMALLEST);
            let closed = self.closed.iter().filter(|[a, b]| place > *a && place < *b).map(|closed| closed[0]);
            let next = marks.map(before_mark).chain(closed).fold(place, f64::min);
            if next > place - tolerance::SMALLEST {
                return None;
            }
            place = next;
        }
        None
    }

    /// The pieces between joints, in laying order.
    fn pieces(&self, joints: &[f64], cells: &[Cell], band: [f64; 2], work: &Piecework) -> Vec<Piece> {
        let [from, to] = self.span;
        let ends: Vec<f64> = std::iter::once(from).chain(joints.iter().copied()).chain([to]).collect();
        let turned = |[a, b]: [f64; 2]| if self.hand == Hand::Left { [a, b] } else { [-b, -a] };
        let height = band[1] - band[0];
        let piece = |(index, pair): (usize, &[f64])| {
            // The first is cut at its outer end, all others at the far one.
            let uncut = if index == 0 && !joints.is_empty() { pair[1] - self.width } else { pair[0] };
            let [left, right] = turned([pair[0], pair[1]]);
            let [from_u, to_u] = turned([uncut, uncut + self.width]);
            let area: f64 = cells.iter().map(|cell| cell.area_between(left, right)).sum();
            let cut = work.width * height - area >= tolerance::SMALLEST * (work.width + height);
            let parts = cells.iter().map(|cell| cell.part(left, right)).filter(|part| !part.is_empty()).collect();
            Piece { from_u, to_u, parts, area, source: Source::New, cut }
        };
        let pieces = ends.windows(2).enumerate().map(piece);
        pieces.filter(|piece| piece.area > tolerance::SMALLEST * self.width).collect()
    }
}

/// Starter pieces up a verge, over those of the eave: their long side along it, their height inwards.
fn up_the_verge(edge: &FaceEdge, width: f64, height: f64) -> Vec<Piece> {
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
        pieces.push(Piece {
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
pub fn low_runs(face: &CoveredFace) -> Vec<[Point2<f64>; 2]> {
    let mut runs: Vec<[Point2<f64>; 2]> =
        face.edges.iter().filter(|edge| edge.begins_anew).map(|edge| edge.covered).collect();
    // Each runs to the right, so what it goes on from comes before it. Heights in one line differ by rounding and order
    // nothing until they are joined.
    runs.sort_by(|a, b| a[0].x.total_cmp(&b[0].x));
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
