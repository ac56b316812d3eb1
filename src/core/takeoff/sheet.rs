//! Profiled sheets: columns of the cover width, each cut to the length its column needs, lapped where it is longer than a
//! sheet.

use super::card::{LapByPitch, SheetGoods};
use super::course::{self, ClippedSpan};
use super::details::{Details, Measures, PieceKind, Start, StartsAt};
use super::layout::{Choice, Course, FaceLayout, Hand, LaidPiece, Source};
use super::outline::CoveredFace;
use super::region::Cell;
use crate::base::tolerance;
use nalgebra::Point2;

/// Lays sheets on a face, from the left and from the right; the fewer wins, then the fewer cut. O(sheets).
#[must_use]
pub fn lay(face: &CoveredFace, sheet: &SheetGoods) -> FaceLayout {
    let left = lay_from(face, sheet, Hand::Left);
    let right = lay_from(face, sheet, Hand::Right);
    let key = |layout: &FaceLayout| (layout.new_pieces(), layout.counts().cut);
    let worst = key(&left).0.max(key(&right).0);
    let mut best = if key(&right) < key(&left) { right } else { left };
    best.choice = Choice { tried: 2, pieces: best.new_pieces(), worst, slivers: 0 };
    best
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
