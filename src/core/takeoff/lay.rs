//! Lays a face: courses from the eave, every bond tried, the one that takes the fewest new pieces within the rules of
//! joints kept.

use super::bond::{self, Bond};
use super::course::{self, ClippedSpan};
use super::details::Hand;
use super::details::{Bonding, Details, Measures, Start, StartsAt};
use super::layout::{Choice, Course, FaceLayout, LaidPiece, Place, Source};
use super::offcut::{self, Pool, Rules, Tally};
use super::outline::{CoveredFace, FaceEdge};
use super::region::Cell;
use super::valley::{self, Through};
use super::{rows, starter};
use crate::base::tolerance;
use crate::roof::EdgeKind;
use crate::takeoff::coursing::CoursingSpec;
use nalgebra::Point2;
use std::borrow::Cow;

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
pub fn lay(face: &CoveredFace, work: &CoursingSpec) -> FaceLayout {
    let mut pool = Pool::default();
    let mut layouts = lay_together(&[face], work, &mut pool);
    leave(&mut layouts, pool);
    layouts.swap_remove(0)
}

/// Lays faces of one plane, eaves at one height, with the best bond for all of them: they share butt lines, joints and
/// phase. Offcuts of the pool are used before new pieces, and what is left of these joins the pool. One layout a face.
/// O(bonds × pieces).
#[must_use]
pub(crate) fn lay_together(faces: &[&CoveredFace], work: &CoursingSpec, pool: &mut Pool) -> Vec<FaceLayout> {
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
pub fn lay_with(face: &CoveredFace, work: &CoursingSpec, bond: &Bond) -> FaceLayout {
    let grids = Grids::new(face, work, [Hand::Left, Hand::Right].map(|hand| start_of(face, hand).0), 0);
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
    work: &'a CoursingSpec,
    /// Where courses start, from the left and from the right.
    starts: [f64; 2],
    /// Courses of the plane below this face's first.
    below: usize,
    /// Level upper edges at which courses end.
    heads: Vec<Head>,
    /// Cells of each course's band.
    bands: Vec<(f64, Vec<Cell>)>,
    /// By band: how many courses lie below it on this face, those left out of which nothing lies.
    numbers: Vec<usize>,
    /// Valleys that its courses run through.
    valleys: Vec<Through>,
    /// By hand, shift and course: where its bits lie in `bits`.
    ranges: Vec<std::ops::Range<usize>>,
    bits: Vec<ClippedSpan>,
}

impl<'a> Grids<'a> {
    /// The grids of faces of one plane: all count from the outermost start on either hand and from the lowest course.
    fn of(faces: &[&'a CoveredFace], work: &'a CoursingSpec) -> Vec<Self> {
        let Some(first) = faces.first() else { return Vec::new() };
        let offset = |face: &CoveredFace| (face.frame.origin - first.frame.origin).dot(&first.frame.along);
        let on = |hand: Hand| faces.iter().map(move |face| start_of(face, hand).0 + offset(face));
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

    fn new(face: &'a CoveredFace, work: &'a CoursingSpec, starts: [f64; 2], below: usize) -> Self {
        let valleys = valley::through(face);
        let (bits, ranges) = (Vec::new(), Vec::new());
        let (heads, bands) = (heads(face, work), bands(face, work));
        let numbers = (0..bands.len()).collect();
        let mut grids = Self { face, work, starts, below, heads, bands, numbers, valleys, ranges, bits };
        if grids.valleys.is_empty() {
            grids.clip();
            grids.number();
        }
        grids
    }

    /// Counts courses as they are laid: the bond goes on over bands of which nothing is left, as where a slope lies under a
    /// ridge's caps and goes on beside it further up.
    fn number(&mut self) {
        let bands = self.bands.len();
        let is_laid =
            |band: usize| (band..self.ranges.len()).step_by(bands).any(|range| !self.ranges[range].is_empty());
        let laid: Vec<bool> = (0..bands).map(is_laid).collect();
        let mut count = 0;
        for (number, laid) in self.numbers.iter_mut().zip(laid) {
            *number = count;
            count += usize::from(laid);
        }
    }

    /// Clips every course to every grid.
    fn clip(&mut self) {
        for (hand, end) in [Hand::Left, Hand::Right].into_iter().zip(self.starts) {
            for shift in 0..self.work.steps {
                let origin = origin(end, hand, shift, self.work);
                for (butt, cells) in &self.bands {
                    let start = self.bits.len();
                    course::clip(cells, origin, self.work.width, &mut self.bits);
                    let mut own = self.bits.split_off(start);
                    own.retain(|bit| !is_under_cover(bit, *butt, &self.heads, self.work));
                    self.bits.append(&mut own);
                    self.ranges.push(start..self.bits.len());
                }
            }
        }
    }

    fn shift(&self, bond: &Bond, course: usize) -> u32 {
        let number = self.numbers.get(course).copied().unwrap_or(course);
        bond.shift(self.below + number, self.work.steps)
    }

    /// The pieces of every course with a bond, each course from left to right.
    fn courses(&self, bond: &Bond) -> Vec<Cow<'_, [ClippedSpan]>> {
        if self.valleys.is_empty() {
            return (0..self.bands.len()).map(|course| Cow::Borrowed(self.bits(bond, course))).collect();
        }
        // Where courses run through valleys, each one's joints hang on those of the courses below.
        let mut below: Vec<Vec<f64>> = Vec::new();
        let course = |(index, (butt, cells)): (usize, &(f64, Vec<Cell>))| {
            let origin = self.origin(bond, self.shift(bond, index));
            let mut bits = valley::course(cells, &self.valleys, self.work, *butt, origin, &below);
            bits.retain(|bit| !is_under_cover(bit, *butt, &self.heads, self.work));
            below.insert(0, course::joints(&bits));
            below.truncate(2);
            Cow::Owned(bits)
        };
        self.bands.iter().enumerate().map(course).collect()
    }

    fn bits(&self, bond: &Bond, course: usize) -> &[ClippedSpan] {
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
        let courses = self.courses(bond);
        offcut::tally(
            self.face.id,
            courses.iter().map(Cow::as_ref),
            bond.hand,
            &self.rules(),
            self.work.least_end,
            pool,
        )
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
        for ((index, (butt_v, cells)), bits) in self.bands.iter().enumerate().zip(self.courses(bond)) {
            if bits.is_empty() {
                continue;
            }
            let mut order: Vec<&ClippedSpan> = bits.iter().collect();
            if bond.hand == Hand::Right {
                order.reverse();
            }
            let place = |(nth, bit): (usize, &&ClippedSpan)| {
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
        let (starter, starter_runs) = match self.work.starter {
            Some(height) => starter::lay(self.face, self.work, bond.hand, &courses, height),
            None => (Vec::new(), Vec::new()),
        };
        let narrow = |course: &Course| rows::narrow_ends(&course.pieces, self.work.least_end);
        let choice = Choice { slivers: courses.iter().map(narrow).sum(), ..choice };
        FaceLayout {
            face,
            frame: self.face.frame,
            outline: self.face.outline.iter().chain(&self.face.openings).cloned().collect(),
            first_opening: self.face.outline.len(),
            gauge: self.work.gauge,
            hand: bond.hand,
            phase: self.shift(bond, 0),
            starter,
            starter_runs,
            courses,
            offcuts_left: Vec::new(),
            borrowed,
            folds_to: None,
            choice,
            details: self.details(bond),
        }
    }

    fn details(&self, bond: &Bond) -> Details {
        let work = self.work;
        let step = work.width / f64::from(work.steps);
        let shift = |course: usize| bond.shift(self.below + course, work.steps);
        let shifts: Vec<u32> = (0..bond.length as usize).map(shift).collect();
        let first = shifts.iter().map(|shift| work.width - f64::from(*shift) * step).collect();
        let end = self.starts[usize::from(bond.hand == Hand::Right)];
        let (own, why) = start_of(self.face, bond.hand);
        let why = if (own - end).abs() < tolerance::SMALLEST { why } else { StartsAt::SharedSlope };
        let piece = Measures {
            kind: work.kind,
            caps_each: work.caps_each,
            width: work.width,
            height: work.height,
            tab: work.tab,
            layers: work.layers,
            head_lap: work.head_lap,
            least_offset: work.least_offset,
            starter_offset: work.tab / 4.0,
            least_end: work.least_end,
            shortest_offcut: work.shortest_offcut,
        };
        let bond = Bonding { hand: bond.hand, step, shifts, first };
        Details { piece, start: Start { u: end, why }, bond: Some(bond), ..Details::default() }
    }
}

/// One joint of the course's grid.
fn origin(end: f64, hand: Hand, shift: u32, work: &CoursingSpec) -> f64 {
    let shift = f64::from(shift) * work.width / f64::from(work.steps);
    match hand {
        Hand::Left => end - shift,
        Hand::Right => end + shift,
    }
}

/// Where courses start: the longest upright side on that hand, such as a verge; else the outermost place.
fn start_of(face: &CoveredFace, hand: Hand) -> (f64, StartsAt) {
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
        return (from.x, StartsAt::UprightSide);
    }
    let [left, right] = face.region.span_u().unwrap_or([0.0, 0.0]);
    (if hand == Hand::Left { left } else { right }, StartsAt::Outermost)
}

/// The course that reaches a height first, counted from the eave's.
fn course_at(v: f64, work: &CoursingSpec) -> f64 {
    ((v + work.eave_projection + tolerance::SMALLEST) / work.gauge).floor()
}

/// The lowest course of a face: it reaches the lowest place; where the eave is the lowest edge it is course 0. Where the
/// lowest place has no starter, as at the foot of a slope between a valley and a verge, one more lies under it.
fn first_course(face: &CoveredFace, work: &CoursingSpec) -> f64 {
    let Some([low, _]) = face.region.span_v() else { return 0.0 };
    let near = |v: f64| v < low + tolerance::SMALLEST;
    let starts = starter::low_runs(face).iter().any(|run| near(run[0].y) || near(run[1].y));
    course_at(low, work) - if starts || work.layers < 2 { 0.0 } else { 1.0 }
}

/// Bands of courses that hold anything, from the lowest up; the course of the eave has its butt at -p.
fn bands(face: &CoveredFace, work: &CoursingSpec) -> Vec<(f64, Vec<Cell>)> {
    let Some([_, high]) = face.region.span_v() else { return Vec::new() };
    let butt = |course: f64| -work.eave_projection + course * work.gauge;
    let first = first_course(face, work);
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

fn heads(face: &CoveredFace, work: &CoursingSpec) -> Vec<Head> {
    let cover = |kind: EdgeKind| match kind {
        EdgeKind::Ridge | EdgeKind::Hip => work.cap_cover,
        EdgeKind::Abutment => work.apron_cover,
        _ => 0.0,
    };
    let ends_at = |edge: &FaceEdge, end: &Point2<f64>| edge.from == *end || edge.to == *end;
    let is_at =
        |kind: EdgeKind, end: &Point2<f64>| face.edges.iter().any(|edge| edge.kind == kind && ends_at(edge, end));
    let reaches = |end: &Point2<f64>, covered: f64, along_hip: f64| {
        // The corner beside a ridge's end, under its hip's caps, goes with the ridge; what runs through a valley past its end
        // does not.
        if is_at(EdgeKind::Hip, end) {
            along_hip
        } else if is_at(EdgeKind::Valley, end) {
            end.x
        } else {
            covered
        }
    };
    let level = face.edges.iter().filter(|edge| edge.is_level && !edge.is_low).map(|edge| {
        let [from, to] = edge.covered;
        let left = reaches(&edge.to, to.x, f64::NEG_INFINITY);
        let right = reaches(&edge.from, from.x, f64::INFINITY);
        Head { v: from.y.max(to.y), u: [left, right], cover: cover(edge.kind) }
    });
    // A peak between two hips ends under the caps of both.
    let peaks = face.edges.iter().map(|edge| edge.from).filter(|peak| {
        let mut meeting = face.edges.iter().filter(|edge| ends_at(edge, peak));
        face.top - peak.y < tolerance::SMALLEST && meeting.all(|edge| edge.kind == EdgeKind::Hip)
    });
    let u = [f64::NEG_INFINITY, f64::INFINITY];
    let peaks = peaks.map(|peak| Head { v: peak.y, u, cover: work.cap_cover });
    level.chain(peaks).collect()
}

/// Whether a piece would lie wholly under what covers the top, with the course below already reaching it.
fn is_under_cover(bit: &ClippedSpan, butt: f64, heads: &[Head], work: &CoursingSpec) -> bool {
    let (from, to) = (bit.at + bit.from + tolerance::SMALLEST, bit.at + bit.to - tolerance::SMALLEST);
    heads.iter().any(|head| {
        bit.v[1] < head.v + tolerance::SMALLEST
            && head.u[0] <= from
            && head.u[1] >= to
            && butt >= head.v - head.cover - tolerance::SMALLEST
            && butt - work.gauge + work.height >= head.v - tolerance::SMALLEST
    })
}

fn piece(bit: &ClippedSpan, cells: &[Cell], butt: f64, work: &CoursingSpec, source: Source) -> LaidPiece {
    let (from_u, to_u) = (bit.at, bit.at + work.width);
    let is_whole = bit.is_whole(work.width, work.height);
    let parts = if is_whole {
        let head = butt + work.height;
        vec![[(from_u, butt), (to_u, butt), (to_u, head), (from_u, head)].map(|(u, v)| Point2::new(u, v)).to_vec()]
    } else {
        let (left, right) = (bit.at + bit.from, bit.at + bit.to);
        cells.iter().map(|cell| cell.part(left, right)).filter(|part| !part.is_empty()).collect()
    };
    LaidPiece { from_u, to_u, parts, area: bit.area, source, cut: !is_whole }
}
