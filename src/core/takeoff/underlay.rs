//! Underlay: rows from the eave up, lapped at heads, ends, ridges, hips and valleys; rolls to order.

use super::card::LapByPitch;
use super::goods::Underlay;
use super::outline::{CoveredFace, FaceEdge, goes_first, grown_region};
use super::pieces::{Laps, Piece, PiecePlan, Stock};
use super::region::Region;
use crate::base::ids::FaceId;
use crate::base::tolerance;
use crate::roof::analysis::opening::CutOpening;
use crate::roof::{EdgeKind, Roof};

/// Underlay of a roof.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct UnderlayCount {
    /// Laid, laps included, square metres.
    pub area: f64,
    /// Rows and strips laid, metres.
    pub length: f64,
    /// Rolls.
    pub rolls: u32,
    /// Rows in laying order: valley strips first, then face by face from the eave up.
    pub rows: Vec<Row>,
    /// The same piece by piece, a plan for each face in order; strips down valleys go before them.
    pub plans: Vec<PiecePlan>,
    /// Ice barrier at eaves, square metres, where the card asks for one.
    pub ice_barrier: Option<f64>,
}

/// A row, or a strip down a valley.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// The face it lies on; `None` for a strip down a valley.
    pub face: Option<FaceId>,
    /// Its lower edge, up the slope from the face's eave, metres.
    pub v: f64,
    /// Where it begins and ends along the eave (down the valley: from 0), metres.
    pub u: [f64; 2],
    /// How much of a roll's width it takes: 1, or the narrow first row's part.
    pub share: f64,
    /// Where pieces meet along it: the end of the one below, with the lap.
    pub ends: Vec<f64>,
}

/// An opening smaller than this is laid across and cut out afterwards: nothing is saved.
const LARGE_OPENING: f64 = 1.0;

/// A rest of a roll shorter than this is not laid on.
const SHORTEST_REST: f64 = 1.0;

/// Ends of neighbouring rows stand at least this far apart (IRC R905.1.1, from memory: 6 ft).
const STAGGER: f64 = 1.829;

/// IRC R905.2: below 4:12 a 19 in strip first, then 36 in sheets lapped 19 in.
const DOUBLE_LAP: f64 = 19.0 / 36.0;

/// Rows that cover a slope S: 1 + ceil((S + over - W) / (W - lap)).
#[must_use]
pub fn rows(slope: f64, over: f64, width: f64, lap: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let more = ((slope + over - width - tolerance::SMALLEST) / (width - lap)).ceil().max(0.0) as u32;
    more + 1
}

/// The lap of rows at a pitch, and whether every point lies under two layers.
#[must_use]
pub fn head_lap(card: &Underlay, pitch: f64) -> (f64, bool) {
    if card.is_double(pitch) {
        return (card.width * DOUBLE_LAP, true);
    }
    (LapByPitch::at(&card.laps, pitch).map_or(card.end_lap, |lap| lap.lap), false)
}

/// Underlay of a roof. O(faces × rows).
#[must_use]
pub fn count(
    roof: &Roof,
    faces: &[CoveredFace],
    openings: &[CutOpening],
    card: &Underlay,
    wall_inside: Option<f64>,
) -> UnderlayCount {
    // A full-width strip down each valley first.
    let valleys = super::runs::straight(roof, EdgeKind::Valley);
    let strip =
        |run: &super::runs::Run| Row { face: None, v: 0.0, u: [0.0, run.length()], share: 1.0, ends: Vec::new() };
    let mut all: Vec<Row> = valleys.iter().map(strip).collect();
    let mut plans: Vec<PiecePlan> = Vec::new();
    let mut ice = 0.0;
    for face in faces {
        let large: Vec<_> = openings
            .iter()
            .filter(|opening| opening.face == face.id && opening.area > LARGE_OPENING)
            .map(|opening| opening.ring.clone())
            .collect();
        let region = grown_region(face, &large, |edge| reach(roof, face, edge, card));
        let (lap, double) = head_lap(card, face.pitch);
        if double {
            // A narrow row at the eave first; what is left of its width goes under another.
            let low = region.span_v().map_or(0.0, |[low, _]| low);
            all.extend(row_of(face.id, &region, [low, low + lap], DOUBLE_LAP));
        }
        face_rows(face.id, &region, card.width, lap, double, &mut all);
        let inside = wall_inside.zip(card.ice_inside);
        if let Some((to_wall, beyond)) = inside {
            let up = (to_wall + beyond) / face.pitch.cos();
            if let Some([low, _]) = region.span_v() {
                ice += region.between(low, low + up).map(|cell| cell.area()).sum::<f64>();
            }
        }
        let laps = Laps { head: lap, end: card.end_lap, double };
        let stock = Stock { width: card.width, ..Stock::default() };
        plans.push(PiecePlan { laps, stock, ..PiecePlan::new(face, region) });
    }
    let (laid, rolls) = unroll(&mut all, card);
    for plan in &mut plans {
        plan.pieces = pieces_of(all.iter().filter(|row| row.face == Some(plan.face)), card);
    }
    UnderlayCount {
        rows: all,
        plans,
        area: laid * card.width,
        length: laid,
        rolls,
        ice_barrier: card.ice_inside.zip(wall_inside).map(|_| ice),
    }
}

/// How far the rows run past an edge: over ridges from one side, over hips from both, up walls.
fn reach(roof: &Roof, face: &CoveredFace, edge: &FaceEdge, card: &Underlay) -> f64 {
    match edge.kind {
        EdgeKind::Ridge if goes_first(roof, face.id, edge.id) => card.over,
        EdgeKind::Hip | EdgeKind::Valley => card.over,
        EdgeKind::Abutment => card.upstand,
        EdgeKind::PitchBreak if edge.is_low => card.over,
        _ => 0.0,
    }
}

fn row_of(face: FaceId, region: &Region, [from, to]: [f64; 2], share: f64) -> impl Iterator<Item = Row> {
    let row = move |u| Row { face: Some(face), v: from, u, share, ends: Vec::new() };
    region.runs(from, to).into_iter().map(row)
}

fn face_rows(face: FaceId, region: &Region, width: f64, lap: f64, double: bool, all: &mut Vec<Row>) {
    let Some([low, high]) = region.span_v() else { return };
    // Two layers up to the top: the last row but one reaches it.
    let over = if double { width - lap } else { 0.0 };
    for row in 0..rows(high - low, over, width, lap) {
        let from = low + f64::from(row) * (width - lap);
        all.extend(row_of(face, region, [from, from + width], 1.0));
    }
}

/// Rows of one face as their pieces; runs at one height are one row.
fn pieces_of<'a>(rows: impl Iterator<Item = &'a Row>, card: &Underlay) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut before: Option<&Row> = None;
    let mut number = 0;
    for row in rows {
        number += usize::from(before.is_some_and(|other| (other.v, other.share) != (row.v, row.share)));
        before = Some(row);
        let v = [row.v, row.v + card.width * row.share];
        // Rows may be laid from either end.
        let mut meets = row.ends.clone();
        meets.sort_by(f64::total_cmp);
        let starts = std::iter::once(row.u[0]).chain(meets.iter().map(|end| end - card.end_lap));
        let ends = meets.iter().copied().chain([row.u[1]]);
        pieces.extend(starts.zip(ends).map(|(start, end)| Piece { row: number, u: [start, end], v, roll: None }));
    }
    pieces
}

/// Lays the rows off roll after roll, ends lapped; gives the length of full width laid and the rolls begun. What finishes a
/// row comes from the shortest rest that does. O(rows × rests).
fn unroll(rows: &mut [Row], card: &Underlay) -> (f64, u32) {
    let (mut laid, mut rolls) = (0.0, 0_u32);
    let mut rests: Vec<f64> = Vec::new();
    for index in 0..rows.len() {
        let (before, here) = rows.split_at_mut(index);
        let row = &mut here[0];
        let on_face = || before.iter().rev().take_while(|other| other.face == row.face && row.face.is_some());
        let next_below = on_face().map(|other| other.v).find(|v| *v < row.v);
        let below = on_face().filter(|other| Some(other.v) == next_below);
        let below: Vec<f64> = below.flat_map(|other| other.ends.iter().copied()).collect();
        let (ends, pieces) = divide(row, &below, card);
        row.ends = ends;
        for piece in pieces {
            let fits = rests.iter().enumerate().filter(|(_, rest)| **rest >= piece - tolerance::SMALLEST);
            let best = fits.min_by(|a, b| a.1.total_cmp(b.1)).map(|(index, _)| index);
            let stock = if let Some(index) = best {
                rests.swap_remove(index)
            } else {
                rolls += 1;
                card.length
            };
            laid += piece;
            if stock - piece >= SHORTEST_REST {
                rests.push(stock - piece);
            }
        }
    }
    (laid, rolls)
}

/// Where pieces of a row meet, and their lengths of full width: whole rolls from one end, from the other, or from half a
/// roll on, whichever first keeps its ends away from those below.
fn divide(row: &Row, below: &[f64], card: &Underlay) -> (Vec<f64>, Vec<f64>) {
    let [left, right] = row.u;
    // A narrow row is cut lengthwise: a roll gives more of it.
    let roll = card.length / row.share;
    let from = |first: f64, is_mirrored: bool| {
        let (mut ends, mut pieces) = (Vec::new(), Vec::new());
        let (mut at, mut piece) = (0.0, first);
        while right - left - at > piece + tolerance::SMALLEST {
            let end = at + piece;
            ends.push(if is_mirrored { right - end } else { left + end });
            pieces.push(piece * row.share);
            (at, piece) = (end - card.end_lap, roll);
        }
        pieces.push((right - left - at) * row.share);
        (ends, pieces)
    };
    let ways = [from(roll, false), from(roll, true), from(roll / 2.0, false)];
    let keeps_away = |ends: &[f64]| ends.iter().all(|end| below.iter().all(|other| (end - other).abs() >= STAGGER));
    let [first, second, half] = ways;
    [first, second].into_iter().find(|(ends, _)| keeps_away(ends)).unwrap_or(half)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_reach_over_the_ridge_on_one_side_only() {
        // S = 3 m, W = 1 m, lap 100 mm: 1 + ceil((3 + 0.15 - 1) / 0.9) = 4 over the ridge, 1 + ceil(2 / 0.9) = 4 on the other.
        assert_eq!(rows(3.0, 0.15, 1.0, 0.1), 4);
        assert_eq!(rows(2.8, 0.15, 1.0, 0.1), 4);
        assert_eq!(rows(2.8, 0.0, 1.0, 0.1), 3);
        assert_eq!(rows(0.5, 0.0, 1.0, 0.1), 1);
    }
}
