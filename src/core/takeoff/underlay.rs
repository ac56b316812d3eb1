//! Underlay: rows from the eave up, lapped at heads, ends, ridges, hips and valleys; rolls to order.

use super::goods::LapByPitch;
use super::goods::Underlay;
use super::margins::goes_first;
use super::outline::{CoveredFace, FaceEdge, grown_region};
use super::pieces::{Laps, PiecePlan, PlanPiece, Stock};
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

/// A piece shorter than this is not laid, nor a rest of a roll kept.
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
        |run: &super::runs::SlopeRun| Row { face: None, v: 0.0, u: [0.0, run.length()], share: 1.0, ends: Vec::new() };
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
fn pieces_of<'a>(rows: impl Iterator<Item = &'a Row>, card: &Underlay) -> Vec<PlanPiece> {
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
        pieces.extend(starts.zip(ends).map(|(start, end)| PlanPiece { row: number, u: [start, end], v, roll: None }));
    }
    pieces
}

/// Lays the rows off roll after roll, ends lapped; gives the length of full width laid and the rolls begun. What is left of
/// a roll starts the next row, or what finishes a row comes from the shortest rest that does, whichever takes fewer rolls in
/// all. O(rows × rests²).
fn unroll(rows: &mut Vec<Row>, card: &Underlay) -> (f64, u32) {
    let ways = [true, false].map(|goes_on| {
        let mut laid = rows.clone();
        let mut rolls = Rolls { card, goes_on, begun: 0, laid: 0.0, rests: Vec::new() };
        for index in 0..laid.len() {
            let (before, here) = laid.split_at_mut(index);
            let row = &mut here[0];
            let on_face = || before.iter().rev().take_while(|other| other.face == row.face && row.face.is_some());
            let next_below = on_face().map(|other| other.v).find(|v| *v < row.v);
            let below = on_face().filter(|other| Some(other.v) == next_below);
            let below: Vec<f64> = below.flat_map(|other| other.ends.iter().copied()).collect();
            row.ends = rolls.lay(row, &below);
        }
        (laid, rolls.laid, rolls.begun)
    });
    let [first, second] = ways;
    let (best, laid, begun) = if second.2 < first.2 { second } else { first };
    *rows = best;
    (laid, begun)
}

/// Rolls of underlay as they are used up.
#[derive(Clone)]
struct Rolls<'a> {
    card: &'a Underlay,
    /// Whether a long rest is worth more than two halves of it, so that rows go on where the last ended.
    goes_on: bool,
    begun: u32,
    /// Length of full width laid.
    laid: f64,
    rests: Vec<f64>,
}

impl Rolls<'_> {
    /// Lays a row; gives where its pieces meet. It starts with a rest or a new roll, from either end, so that its ends keep
    /// away from those below and the least is used up.
    fn lay(&mut self, row: &Row, below: &[f64]) -> Vec<f64> {
        let full = self.card.length / row.share;
        let rests: Vec<f64> = self.rests.iter().map(|rest| rest / row.share).collect();
        // A start may be cut shorter, so that ends keep away from those below and the last piece is none too short.
        let singles = rests.iter().copied().chain([full, full / 2.0]);
        let shorter =
            |start: f64| [0.0, SHORTEST_REST / 2.0, SHORTEST_REST, STAGGER, 2.0 * STAGGER].map(|by| start - by);
        let mut starts: Vec<Vec<f64>> =
            singles.flat_map(shorter).filter(|start| *start >= SHORTEST_REST).map(|start| vec![start]).collect();
        for (index, first) in rests.iter().enumerate() {
            let others = rests.iter().enumerate().filter(|(other, _)| *other != index);
            starts.extend(others.map(|(_, second)| vec![*first, *second]));
        }
        let mut best: Option<(usize, f64, Self, Vec<f64>)> = None;
        for start in starts {
            for is_mirrored in [false, true] {
                let mut after = self.clone();
                let (ends, last) = after.divide(row, &start, is_mirrored);
                let near = ends.iter().any(|end| below.iter().any(|other| (end - other).abs() < STAGGER));
                let faults = 2 * usize::from(near) + usize::from(!ends.is_empty() && last < SHORTEST_REST);
                let cost = after.spent() - self.spent();
                let better = best.as_ref().is_none_or(|(had, was, ..)| {
                    faults < *had || (faults == *had && cost < *was - tolerance::SMALLEST)
                });
                if better {
                    best = Some((faults, cost, after, ends));
                }
            }
        }
        let Some((_, _, after, ends)) = best else { return Vec::new() };
        *self = after;
        ends
    }

    /// Pieces of a row from one end, the first ones so long at most: where they meet, and the length of the last.
    fn divide(&mut self, row: &Row, first: &[f64], is_mirrored: bool) -> (Vec<f64>, f64) {
        let [left, right] = row.u;
        let full = self.card.length / row.share;
        let mut ends = Vec::new();
        let mut lengths = first.iter().copied().chain(std::iter::repeat(full));
        let (mut at, mut piece) = (0.0, lengths.next().unwrap_or(full));
        while right - left - at > piece + tolerance::SMALLEST {
            self.take(piece * row.share);
            let end = at + piece;
            ends.push(if is_mirrored { right - end } else { left + end });
            (at, piece) = (end - self.card.end_lap, lengths.next().unwrap_or(full));
        }
        let last = right - left - at;
        self.take(last * row.share);
        (ends, last)
    }

    /// Takes a length from the shortest rest that has it, else from a new roll.
    fn take(&mut self, length: f64) {
        let fits = self.rests.iter().enumerate().filter(|(_, rest)| **rest >= length - tolerance::SMALLEST);
        let best = fits.min_by(|a, b| a.1.total_cmp(b.1)).map(|(index, _)| index);
        let stock = if let Some(index) = best {
            self.rests.swap_remove(index)
        } else {
            self.begun += 1;
            self.card.length
        };
        self.laid += length;
        if stock - length >= SHORTEST_REST {
            self.rests.push(stock - length);
        }
    }

    /// Length begun less what the rests are still worth.
    fn spent(&self) -> f64 {
        let roll = self.card.length;
        let worth = |rest: &f64| if self.goes_on { rest * rest / roll } else { *rest };
        f64::from(self.begun) * roll - self.rests.iter().map(worth).sum::<f64>()
    }
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

    #[test]
    fn what_is_left_of_a_roll_starts_the_next_row() {
        // Four rows of 5 m off rolls of 7.5 m: 20 m and two laps or three of 0.1 m are 2.7 rolls; a row for each roll would
        // be four.
        let card = Underlay {
            width: 1.0,
            length: 7.5,
            laps: Vec::new(),
            double_below: None,
            end_lap: 0.1,
            over: 0.15,
            upstand: 0.1,
            ice_inside: None,
            ice_weight: 1.5,
            weight: 1.2,
        };
        let row = |index: u32| Row {
            face: Some(FaceId::new(0)),
            v: f64::from(index) * 0.9,
            u: [0.0, 5.0],
            share: 1.0,
            ends: Vec::new(),
        };
        let mut rows: Vec<Row> = (0..4).map(row).collect();
        let (laid, rolls) = unroll(&mut rows, &card);
        assert_eq!(rolls, 3);
        let joints: usize = rows.iter().map(|row| row.ends.len()).sum();
        assert!((laid - 20.0 - 0.1 * joints as f64).abs() < 1e-9);
        for pair in rows.windows(2) {
            for end in &pair[0].ends {
                assert!(pair[1].ends.iter().all(|other| (end - other).abs() >= STAGGER - 1e-9));
            }
        }
    }
}
