//! Profiled sheets: columns of the cover width, each cut to the length its column needs, lapped where it is longer than a
//! sheet.

use super::card::SheetGoods;
use super::course::{self, ClippedSpan};
use super::details::Hand;
use super::details::{Details, Measures, PieceKind, Start, StartsAt};
use super::goods::LapByPitch;
use super::layout::{Choice, Course, FaceLayout, LaidPiece, Place, Source};
use super::outline::CoveredFace;
use super::region::Cell;
use crate::base::tolerance;
use nalgebra::Point2;

/// A narrower rest of a sheet is scrap (common practice, no source).
const NARROWEST: f64 = 0.100;

/// What is left beside a sheet that was cut along its length.
#[derive(Clone, Copy, Debug)]
struct Rest {
    /// Whether it has the left side of the sheet, which laps its neighbour there; else the right one.
    has_left: bool,
    width: f64,
    length: f64,
    cut_from: Place,
}

/// Lays sheets on every face, each from the left and from the right. Of the two the one wins that takes fewer new sheets,
/// then the one with fewer cut. What is left beside a sheet cut along its length is laid where that side of it is wanted,
/// on the same face or a later one, never turned round or over (common practice, no source). O(sheets × rests).
#[must_use]
pub(crate) fn lay_all(faces: &[CoveredFace], sheet: &SheetGoods) -> Vec<FaceLayout> {
    let mut rests: Vec<Rest> = Vec::new();
    let mut lay = |face: &CoveredFace| {
        let [left, right] = [Hand::Left, Hand::Right].map(|hand| {
            let (mut layout, mut rests) = (lay_from(face, sheet, hand), rests.clone());
            use_rests(&mut layout, sheet, &mut rests);
            (layout, rests)
        });
        let key = |(layout, _): &(FaceLayout, Vec<Rest>)| (layout.new_pieces(), layout.counts().cut);
        let worst = key(&left).0.max(key(&right).0);
        let (mut best, after) = if key(&right) < key(&left) { right } else { left };
        rests = after;
        best.choice = Choice { tried: 2, pieces: best.new_pieces(), worst, slivers: 0 };
        best
    };
    let mut layouts: Vec<FaceLayout> = faces.iter().map(&mut lay).collect();
    for (turn, layout) in layouts.iter_mut().enumerate() {
        layout.details.turn = turn;
    }
    layouts
}

/// Takes narrow pieces from what is left of others, the narrowest rest that fits, and keeps what new ones leave.
fn use_rests(layout: &mut FaceLayout, sheet: &SheetGoods, rests: &mut Vec<Rest>) {
    let face = layout.face;
    for (course, of) in layout.courses.iter_mut().enumerate() {
        for (piece, laid) in of.pieces.iter_mut().enumerate() {
            let length = ordered_length(laid, sheet);
            let [from, to] = laid.extent();
            let (left, right) = (from - laid.from_u, laid.to_u - to);
            let keeps = [left, right].map(|cut| cut < tolerance::SMALLEST);
            if keeps == [true, true] {
                continue;
            }
            // A piece that laps no neighbour with a side of its own may come from either.
            let fits = |rest: &Rest| {
                (keeps == [false, false] || keeps == [rest.has_left, !rest.has_left])
                    && rest.width >= to - from - tolerance::SMALLEST
                    && rest.length >= length - tolerance::SMALLEST
            };
            let found = rests.iter().enumerate().filter(|(_, rest)| fits(rest));
            let narrowest =
                found.min_by(|(_, a), (_, b)| a.width.total_cmp(&b.width).then(a.length.total_cmp(&b.length)));
            if let Some((index, _)) = narrowest {
                let rest = rests.remove(index);
                laid.source = Source::Offcut(rest.cut_from);
                if rest.cut_from.face != face {
                    layout.borrowed.push((rest.cut_from.face, (to - from) * length));
                }
                continue;
            }
            let cut_from = Place { face, course, piece };
            let beside =
                [(true, left), (false, right)].map(|(has_left, width)| Rest { has_left, width, length, cut_from });
            rests.extend(beside.into_iter().filter(|rest| rest.width >= NARROWEST));
        }
    }
}

/// Rows of sheets up the slope and the length of each: the fewest no longer than the longest sheet.
#[must_use]
pub fn rows(slope: f64, lap: f64, sheet: &SheetGoods) -> (u32, f64) {
    let mut rows = 1;
    loop {
        let length = (slope + f64::from(rows - 1) * lap) / f64::from(rows);
        let to_step = ((length - tolerance::SMALLEST) / sheet.length_step).ceil() * sheet.length_step;
        // A card whose laps eat its sheets would never end: 100 rows is a roof of no sense.
        if to_step <= sheet.max_length + tolerance::SMALLEST || rows == 100 {
            return (rows, to_step.max(sheet.min_length));
        }
        rows += 1;
    }
}

fn lay_from(face: &CoveredFace, sheet: &SheetGoods, hand: Hand) -> FaceLayout {
    let lap = LapByPitch::at(&sheet.laps, face.pitch).map_or(0.0, |lap| lap.lap);
    let [low, high] = face.region.span_v().unwrap_or([0.0, 0.0]);
    let [left, right] = face.region.span_u().unwrap_or([0.0, 0.0]);
    let (count, length) = rows(high - low, lap, sheet);
    let origin = match hand {
        Hand::Left => left,
        Hand::Right => right,
    };
    let step = length - lap;
    let mut courses = Vec::new();
    for row in 0..count {
        let butt = low + f64::from(row) * step;
        let cells: Vec<Cell> = face.region.between(butt, butt + length).collect();
        let mut bits: Vec<ClippedSpan> = Vec::new();
        course::clip(&cells, origin, sheet.cover_width, &mut bits);
        if hand == Hand::Right {
            bits.reverse();
        }
        let pieces: Vec<LaidPiece> = bits
            .iter()
            .map(|bit| {
                let (from_u, to_u) = (bit.at, bit.at + sheet.cover_width);
                let is_full = bit.is_upright() && bit.keeps_left() && bit.keeps_right(sheet.cover_width);
                let parts: Vec<Vec<Point2<f64>>> =
                    cells.iter().map(|cell| cell.part(from_u, to_u)).filter(|part| !part.is_empty()).collect();
                LaidPiece { from_u, to_u, parts, area: bit.area, source: Source::New, cut: !is_full }
            })
            .collect();
        if !pieces.is_empty() {
            courses.push(Course { butt_v: butt, head_v: butt + length, joint_u: origin, pieces });
        }
    }
    let piece = Measures {
        kind: PieceKind::Sheet,
        width: sheet.cover_width,
        height: length,
        tab: sheet.cover_width,
        layers: 1,
        head_lap: lap,
        ..Measures::default()
    };
    FaceLayout {
        face: face.id,
        frame: face.frame,
        outline: face.outline.iter().chain(&face.openings).cloned().collect(),
        first_opening: face.outline.len(),
        gauge: step,
        hand,
        phase: 0,
        starter: Vec::new(),
        starter_runs: Vec::new(),
        courses,
        offcuts_left: Vec::new(),
        borrowed: Vec::new(),
        folds_to: None,
        choice: Choice::default(),
        details: Details { piece, start: Start { u: origin, why: StartsAt::Outermost }, ..Details::default() },
    }
}

/// Length each sheet of a layout is ordered in: what its column needs, up to the next step.
#[must_use]
pub fn ordered_length(piece: &LaidPiece, sheet: &SheetGoods) -> f64 {
    let v = || piece.parts.iter().flatten().map(|place| place.y);
    let need = v().fold(f64::NEG_INFINITY, f64::max) - v().fold(f64::INFINITY, f64::min);
    let to_step = ((need - tolerance::SMALLEST) / sheet.length_step).ceil() * sheet.length_step;
    to_step.clamp(sheet.min_length, sheet.max_length.max(sheet.min_length))
}
