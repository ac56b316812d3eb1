//! Lays a face: courses from the eave, every bond tried, the one that takes the fewest new pieces within the rules of
//! joints kept.

use super::bond::{self, Bond};
use super::course::{self, Bit};
use super::layout::{Choice, Course, FaceLayout, Hand, Piece, Place, Source};
use super::offcut::{self, Pool, Rules, Tally};
use super::outline::{CoveredFace, FaceEdge};
use super::region::Cell;
use super::valley;
use crate::base::tolerance;
use crate::roof::EdgeKind;
use nalgebra::Point2;

/// What the pieces of a face measure and how they are bonded, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piecework {
    /// Width of a piece, its joint with it.
    pub width: f64,
    /// Height of a piece.
    pub height: f64,
    /// Exposure.
    pub gauge: f64,
    /// Steps of the bond that make a whole width: 2n for a strip of n tabs.
    pub steps: u32,
    /// Past the eave.
    pub eave_projection: f64,
    /// Least width of an upright end.
    pub least_end: f64,
    /// Shortest offcut worth keeping.
    pub shortest_offcut: f64,
    /// Distance of slots.
    pub tab: f64,
    /// How far caps cover a slope below a ridge or hip.
    pub cap_cover: f64,
    /// How far an apron covers the courses below a wall.
    pub apron_cover: f64,
    /// Height of starter pieces; `None`: no starter.
    pub starter: Option<f64>,
    /// Whether starter pieces also run up the verges.
    pub verge_starter: bool,
}

/// The end of the courses at a level upper edge, or at a peak.
#[derive(Clone, Copy, Debug)]
struct Head {
    v: f64,
    u: [f64; 2],
    /// What will cover the topmost part of the slope.
    cover: f64,
}

/// How many courses reach a level top: the smallest N with N g >= S + p - a and (N - 1) g + h >= S + p (common
/// practice). All metres.
///
/// # Panics
/// Never: negative counts are 1.
#[must_use]
pub fn courses_to(slope: f64, projection: f64, gauge: f64, height: f64, cover: f64) -> usize {
    let by_cover = ((slope + projection - cover - tolerance::SMALLEST) / gauge).ceil();
    let by_head = ((slope + projection - height - tolerance::SMALLEST) / gauge).ceil() + 1.0;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let courses = by_cover.max(by_head).max(1.0) as usize;
    courses
}

/// Lays a face with the best bond. O(bonds × pieces).
#[must_use]
pub fn lay(face: &CoveredFace, work: &Piecework) -> FaceLayout {
    let mut pool = Pool::default();
    let mut layouts = lay_together(&[face], work, &mut pool);
    leave(&mut layouts, pool);
    layouts.swap_remove(0)
}

/// Lays faces of one plane, eaves at one height, with the best bond for all of them: they share butt lines, joints and
/// phase. Offcuts of the pool are used before new pieces, and what is left of these joins the pool. One layout a face.
/// O(bonds × pieces).
#[must_use]
pub fn lay_together(faces: &[&CoveredFace], work: &Piecework, pool: &mut Pool) -> Vec<FaceLayout> {
    let grids = Grids::of(faces, work);
    let tried_with = |bond: Bond| {
        let mut pool = pool.clone();
        let each: Vec<Tally> = grids.iter().map(|grid| grid.tally(&bond, &mut pool)).collect();
        (bond, total(&each), each)
    };
    let mut tried: Vec<(Bond, Tally, Vec<Tally>)> = bond::full(work.steps).into_iter().map(tried_with).collect();
    if tried.iter().all(|(_, tally, _)| tally.slivers > 0) {
        tried.extend(bond::shortened(work.steps).into_iter().map(tried_with));
    }
    let best = tried.iter().min_by_key(|(_, tally, _)| *tally);
    let Some((bond, tally, each)) = best else { return Vec::new() };
    let keeping = tried.iter().filter(|(_, other, _)| other.slivers == tally.slivers);
    let worst = keeping.max_by_key(|(_, other, _)| other.new).map_or(each, |(_, _, each)| each);
    let choice = |(index, tally): (usize, &Tally)| Choice {
        tried: tried.len(),
        pieces: tally.new,
        worst: worst[index].new.max(tally.new),
        slivers: tally.slivers,
    };
    let choices: Vec<Choice> = each.iter().enumerate().map(choice).collect();
    grids.iter().zip(choices).map(|(grid, choice)| grid.layout(bond, choice, pool)).collect()
}

/// Lays a face with a bond of one's own choice. O(pieces).
#[must_use]
pub fn lay_with(face: &CoveredFace, work: &Piecework, bond: &Bond) -> FaceLayout {
    let grids = Grids::new(face, work, [Hand::Left, Hand::Right].map(|hand| start_of(face, hand)), 0);
    let tally = grids.tally(bond, &mut Pool::default());
    let choice = Choice { tried: 1, pieces: tally.new, worst: tally.new, slivers: tally.slivers };
    let mut pool = Pool::default();
    let mut layouts = [grids.layout(bond, choice, &mut pool)];
    leave(&mut layouts, pool);
    let [layout] = layouts;
    layout
}

/// Notes in each layout what of its offcuts nobody used. O(offcuts × layouts).
pub fn leave(layouts: &mut [FaceLayout], pool: Pool) {
    for offcut in pool.left_over() {
        if let Some(layout) = layouts.iter_mut().find(|layout| layout.face == offcut.cut_from.face) {
            layout.offcuts_left.push(offcut.length);
        }
    }
}

fn total(each: &[Tally]) -> Tally {
    each.iter().fold(Tally::default(), |mut sum, tally| {
        sum += *tally;
        sum
    })
}

/// The clipped positions of every course for every shift from either hand.
struct Grids<'a> {
    face: &'a CoveredFace,
    work: &'a Piecework,
    /// Where courses start, from the left and from the right.
    starts: [f64; 2],
    /// Courses of the plane below this face's first.
    below: usize,
    /// Cells of each course's band.
    bands: Vec<(f64, Vec<Cell>)>,
    /// By hand, shift and course: where its bits lie in `bits`.
    ranges: Vec<std::ops::Range<usize>>,
    bits: Vec<Bit>,
}

impl<'a> Grids<'a> {
    /// The grids of faces of one plane: all count from the outermost start on either hand and from the lowest course.
    fn of(faces: &[&'a CoveredFace], work: &'a Piecework) -> Vec<Self> {
        let Some(first) = faces.first() else { return Vec::new() };
        let offset = |face: &CoveredFace| (face.frame.origin - first.frame.origin).dot(&first.frame.along);
        let on = |hand: Hand| faces.iter().map(move |face| start_of(face, hand) + offset(face));
        let left = on(Hand::Left).fold(f64::INFINITY, f64::min);
        let right = on(Hand::Right).fold(f64::NEG_INFINITY, f64::max);
        let lowest = faces.iter().map(|face| first_course(face, work)).fold(f64::INFINITY, f64::min);
        let grid = |face: &&'a CoveredFace| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let below = (first_course(face, work) - lowest).max(0.0) as usize;
            Self::new(face, work, [left - offset(face), right - offset(face)], below)
        };
        faces.iter().map(grid).collect()
    }

    fn new(face: &'a CoveredFace, work: &'a Piecework, starts: [f64; 2], below: usize) -> Self {
        let heads = heads(face, work);
        let bands = bands(face, work);
        let valleys = valley::through(face);
        let mut bits = Vec::new();
        let mut ranges = Vec::new();
        for (hand, end) in [Hand::Left, Hand::Right].into_iter().zip(starts) {
            for shift in 0..work.steps {
                let origin = origin(end, hand, shift, work);
                for (course, (butt, cells)) in bands.iter().enumerate() {
                    let start = bits.len();
                    if valleys.is_empty() {
                        course::clip(cells, origin, work.width, &mut bits);
                    } else {
                        let partings = valley::partings(&valleys, [*butt, butt + work.height]);
                        clip_apart(cells, &partings, origin, work.width, &mut bits);
                    }
                    let mut kept = start;
                    for index in start..bits.len() {
                        if !is_under_cover(&bits[index], *butt, &heads, work) {
                            bits[kept] = bits[index];
                            kept += 1;
                        }
                    }
                    bits.truncate(kept);
                    if !valleys.is_empty() {
                        let mut own = bits.split_off(start);
                        valley::clear_joints(&mut own, cells, &valleys, work, *butt, course);
                        bits.append(&mut own);
                    }
                    ranges.push(start..bits.len());
                }
            }
        }
        Self { face, work, starts, below, bands, ranges, bits }
    }

    fn shift(&self, bond: &Bond, course: usize) -> u32 {
        bond.shift(self.below + course, self.work.steps)
    }

    fn bits(&self, bond: &Bond, course: usize) -> &[Bit] {
        let hand = match bond.hand {
            Hand::Left => 0,
            Hand::Right => self.work.steps as usize,
        };
        let grid = hand + self.shift(bond, course) as usize;
        &self.bits[self.ranges[grid * self.bands.len() + course].clone()]
    }

    fn rules(&self) -> Rules {
        Rules {
            width: self.work.width,
            height: self.work.height,
            tab: self.work.tab,
            shortest: self.work.shortest_offcut,
        }
    }

    fn tally(&self, bond: &Bond, pool: &mut Pool) -> Tally {
        let courses = (0..self.bands.len()).map(|course| self.bits(bond, course));
        offcut::tally(self.face.id, courses, bond.hand, &self.rules(), self.work.least_end, pool)
    }

    fn origin(&self, bond: &Bond, shift: u32) -> f64 {
        let end = match bond.hand {
            Hand::Left => self.starts[0],
            Hand::Right => self.starts[1],
        };
        origin(end, bond.hand, shift, self.work)
    }

    fn layout(&self, bond: &Bond, choice: Choice, pool: &mut Pool) -> FaceLayout {
        let (rules, face) = (self.rules(), self.face.id);
        let mut borrowed = Vec::new();
        let mut courses = Vec::new();
        for (index, (butt_v, cells)) in self.bands.iter().enumerate() {
            let bits = self.bits(bond, index);
            if bits.is_empty() {
                continue;
            }
            let mut order: Vec<&Bit> = bits.iter().collect();
            if bond.hand == Hand::Right {
                order.reverse();
            }
            let place = |(nth, bit): (usize, &&Bit)| {
                let source = match pool.take(bit, &rules, Place { face, course: courses.len(), piece: nth }) {
                    None => Source::New,
                    Some(offcut) => {
                        if offcut.cut_from.face != face {
                            borrowed.push((offcut.cut_from.face, offcut.length));
                        }
                        Source::Offcut(offcut.cut_from)
                    }
                };
                piece(bit, cells, *butt_v, self.work, source)
            };
            let pieces = order.iter().enumerate().map(place).collect();
            let joint_u = self.origin(bond, self.shift(bond, index));
            courses.push(Course { butt_v: *butt_v, head_v: butt_v + self.work.height, joint_u, pieces });
        }
        let phase = self.shift(bond, 0);
        // Shorter by half a tab than the first course.
        let grid = self.origin(bond, phase + 1);
        let starter =
            self.work.starter.map_or_else(Vec::new, |height| starter(self.face, self.work, bond.hand, grid, height));
        FaceLayout {
            face,
            frame: self.face.frame,
            outline: self.face.outline.iter().chain(&self.face.openings).cloned().collect(),
            gauge: self.work.gauge,
            hand: bond.hand,
            phase,
            starter,
            courses,
            offcuts_left: Vec::new(),
            borrowed,
            folds_to: None,
            choice,
        }
    }
}

/// Clips the positions of one course to each of the stretches that places part. O(cells × positions a cell).
fn clip_apart(cells: &[Cell], partings: &[f64], origin: f64, width: f64, bits: &mut Vec<Bit>) {
    let stretch = |cell: &Cell| {
        let middle = f64::midpoint(cell.min_u(), cell.max_u());
        partings.iter().filter(|parting| **parting < middle).count()
    };
    for number in 0..=partings.len() {
        let own: Vec<Cell> = cells.iter().filter(|cell| stretch(cell) == number).copied().collect();
        course::clip(&own, origin, width, bits);
    }
}

/// One joint of the course's grid.
fn origin(end: f64, hand: Hand, shift: u32, work: &Piecework) -> f64 {
    let shift = f64::from(shift) * work.width / f64::from(work.steps);
    match hand {
        Hand::Left => end - shift,
        Hand::Right => end + shift,
    }
}

/// Where courses start: the longest upright side on that hand, such as a verge; else the outermost place.
fn start_of(face: &CoveredFace, hand: Hand) -> f64 {
    let is_on_hand = |from: &Point2<f64>, to: &Point2<f64>| match hand {
        Hand::Left => to.y < from.y,
        Hand::Right => to.y > from.y,
    };
    let upright = face
        .edges
        .iter()
        .map(|edge| edge.covered)
        .filter(|[from, to]| is_on_hand(from, to) && (to.x - from.x).abs() < tolerance::SMALLEST)
        .max_by(|a, b| (a[1].y - a[0].y).abs().total_cmp(&(b[1].y - b[0].y).abs()));
    if let Some([from, _]) = upright {
        return from.x;
    }
    let [left, right] = face.region.span_u().unwrap_or([0.0, 0.0]);
    match hand {
        Hand::Left => left,
        Hand::Right => right,
    }
}

/// The course that reaches a height first, counted from the eave's.
fn course_at(v: f64, work: &Piecework) -> f64 {
    ((v + work.eave_projection + tolerance::SMALLEST) / work.gauge).floor()
}

/// The lowest course of a face: it reaches the lowest place; where the eave is the lowest edge it is course 0.
fn first_course(face: &CoveredFace, work: &Piecework) -> f64 {
    face.region.span_v().map_or(0.0, |[low, _]| course_at(low, work))
}

/// Bands of courses that hold anything, from the lowest up; the course of the eave has its butt at -p.
fn bands(face: &CoveredFace, work: &Piecework) -> Vec<(f64, Vec<Cell>)> {
    let Some([low, high]) = face.region.span_v() else { return Vec::new() };
    let butt = |course: f64| -work.eave_projection + course * work.gauge;
    let first = course_at(low, work);
    let mut bands = Vec::new();
    for course in 0.. {
        let at = butt(first + f64::from(course));
        if at > high - tolerance::SMALLEST {
            break;
        }
        bands.push((at, face.region.between(at, at + work.height).collect()));
    }
    bands
}

fn heads(face: &CoveredFace, work: &Piecework) -> Vec<Head> {
    let cover = |kind: EdgeKind| match kind {
        EdgeKind::Ridge | EdgeKind::Hip => work.cap_cover,
        EdgeKind::Abutment => work.apron_cover,
        _ => 0.0,
    };
    let level = face.edges.iter().filter(|edge| edge.is_level && !edge.is_low).map(|edge| {
        let [from, to] = edge.covered;
        Head { v: from.y.max(to.y), u: [to.x, from.x], cover: cover(edge.kind) }
    });
    // A peak between two hips ends under the caps of both.
    let ends_at = |edge: &FaceEdge, peak: &Point2<f64>| edge.from == *peak || edge.to == *peak;
    let peaks = face.edges.iter().map(|edge| edge.from).filter(|peak| {
        let mut meeting = face.edges.iter().filter(|edge| ends_at(edge, peak));
        face.top - peak.y < tolerance::SMALLEST && meeting.all(|edge| edge.kind == EdgeKind::Hip)
    });
    let peaks = peaks.map(|peak| Head { v: peak.y, u: [peak.x; 2], cover: work.cap_cover });
    level.chain(peaks).collect()
}

/// Whether a piece would lie wholly under what covers the top, with the course below already reaching it.
fn is_under_cover(bit: &Bit, butt: f64, heads: &[Head], work: &Piecework) -> bool {
    // The corner beside a ridge's end, under its hip's caps, goes with the ridge.
    let (from, to) = (bit.at - work.width, bit.at + 2.0 * work.width);
    heads.iter().any(|head| {
        bit.v[1] < head.v + tolerance::SMALLEST
            && head.u[0] <= to
            && head.u[1] >= from
            && butt >= head.v - head.cover - tolerance::SMALLEST
            && butt - work.gauge + work.height >= head.v - tolerance::SMALLEST
    })
}

fn piece(bit: &Bit, cells: &[Cell], butt: f64, work: &Piecework, source: Source) -> Piece {
    let (from_u, to_u) = (bit.at, bit.at + work.width);
    let is_whole = bit.is_whole(work.width, work.height);
    let parts = if is_whole {
        let head = butt + work.height;
        vec![[(from_u, butt), (to_u, butt), (to_u, head), (from_u, head)].map(|(u, v)| Point2::new(u, v)).to_vec()]
    } else {
        let (left, right) = (bit.at + bit.from, bit.at + bit.to);
        cells.iter().map(|cell| cell.part(left, right)).filter(|part| !part.is_empty()).collect()
    };
    Piece { from_u, to_u, parts, area: bit.area, source, cut: !is_whole }
}

/// Starter pieces along every level low edge. The first is shorter by half a tab than the first of the course above, so
/// that no joint of theirs comes under a joint or a slot of it; `origin` is one of their joints. O(pieces).
fn starter(face: &CoveredFace, work: &Piecework, hand: Hand, origin: f64, height: f64) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for [from, to] in low_runs(face) {
        let cells: Vec<Cell> = face
            .region
            .between(from.y, from.y + height)
            .filter(|cell| cell.min_u() < to.x && cell.max_u() > from.x)
            .collect();
        let mut bits = Vec::new();
        course::clip(&cells, origin, work.width, &mut bits);
        let at_edge = |bit: &Bit| {
            bit.v[0] < from.y + tolerance::SMALLEST
                && bit.at + bit.to > from.x + tolerance::SMALLEST
                && bit.at + bit.from < to.x - tolerance::SMALLEST
        };
        bits.retain(at_edge);
        if hand == Hand::Right {
            bits.reverse();
        }
        let strip = Piecework { height, ..*work };
        pieces.extend(bits.iter().map(|bit| piece(bit, &cells, from.y, &strip, Source::New)));
    }
    if work.verge_starter {
        let verges = face.edges.iter().filter(|edge| edge.kind == EdgeKind::Verge);
        pieces.extend(verges.flat_map(|edge| up_the_verge(edge, work.width, height)));
    }
    pieces
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
