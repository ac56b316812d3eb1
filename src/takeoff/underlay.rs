//! Underlay: rows from the eave up, lapped at heads, ends, ridges, hips and valleys; rolls to order.

use super::card::LapByPitch;
use super::goods::Underlay;
use super::outline::{CoveredFace, FaceEdge, goes_first, grown_region};
use super::region::Region;
use crate::base::tolerance;
use crate::roof::opening::CutOpening;
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
    /// Ice barrier at eaves, square metres, where the card asks for one.
    pub ice_barrier: Option<f64>,
}

/// An opening smaller than this is laid across and cut out afterwards: nothing is saved.
const LARGE_OPENING: f64 = 1.0;

/// A rest of a roll shorter than this is not laid on.
const SHORTEST_REST: f64 = 1.0;

/// IRC R905.2: below 4:12 a 19 in strip first, then 36 in sheets lapped 19 in.
const DOUBLE_LAP: f64 = 19.0 / 36.0;

/// Rows that cover a slope S: 1 + ceil((S + over - W) / (W - lap)).
#[must_use]
pub fn rows(slope: f64, over: f64, width: f64, lap: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let more = ((slope + over - width - tolerance::SMALLEST) / (width - lap)).ceil().max(0.0) as u32;
    more + 1
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
    let mut lengths: Vec<f64> = Vec::new();
    let mut ice = 0.0;
    for face in faces {
        let large: Vec<_> = openings
            .iter()
            .filter(|opening| opening.face == face.id && opening.area > LARGE_OPENING)
            .map(|opening| opening.ring.clone())
            .collect();
        let region = grown_region(face, &large, |edge| reach(roof, face, edge, card));
        let double = card.double_below.is_some_and(|limit| face.pitch < limit);
        let lap = if double {
            card.width * DOUBLE_LAP
        } else {
            LapByPitch::at(&card.laps, face.pitch).map_or(card.end_lap, |lap| lap.lap)
        };
        if double {
            // A narrow row at the eave first; what is left of its width goes under another.
            let first = region.span_v().map_or_else(Vec::new, |[low, _]| region.runs(low, low + lap));
            lengths.extend(first.iter().map(|run| (run[1] - run[0]) * DOUBLE_LAP));
        }
        face_rows(&region, card.width, lap, &mut lengths);
        let inside = wall_inside.zip(card.ice_inside);
        if let Some((to_wall, beyond)) = inside {
            let up = (to_wall + beyond) / face.pitch.cos();
            if let Some([low, _]) = region.span_v() {
                ice += region.between(low, low + up).map(|cell| cell.area()).sum::<f64>();
            }
        }
    }
    // A full-width strip down each valley first.
    let valleys = super::runs::straight(roof, EdgeKind::Valley);
    lengths.extend(valleys.iter().map(super::runs::Run::length));
    let (laid, rolls) = unroll(&lengths, card);
    UnderlayCount {
        area: laid * card.width,
        length: laid,
        rolls,
        ice_barrier: card.ice_inside.zip(wall_inside).map(|_| ice),
    }
}

/// How far the rows run past an edge: over ridges from one side, over hips from both, up walls.
fn reach(roof: &Roof, face: &CoveredFace, edge: &FaceEdge, card: &Underlay) -> f64 {
    match edge.kind {
        EdgeKind::Ridge if goes_first(roof, face.id, edge) => card.over,
        EdgeKind::Hip | EdgeKind::Valley => card.over,
        EdgeKind::Abutment => card.upstand,
        EdgeKind::PitchBreak if edge.is_low => card.over,
        _ => 0.0,
    }
}

fn face_rows(region: &Region, width: f64, lap: f64, lengths: &mut Vec<f64>) {
    let Some([low, high]) = region.span_v() else { return };
    for row in 0..rows(high - low, 0.0, width, lap) {
        let from = low + f64::from(row) * (width - lap);
        lengths.extend(region.runs(from, from + width).iter().map(|run| run[1] - run[0]));
    }
}

/// Lays the rows off roll after roll, ends lapped; gives the length laid and the rolls begun.
fn unroll(lengths: &[f64], card: &Underlay) -> (f64, u32) {
    let (mut laid, mut rolls, mut rest) = (0.0, 0_u32, 0.0);
    for &length in lengths {
        let mut need = length;
        while need > tolerance::SMALLEST {
            if rest < SHORTEST_REST.min(need) {
                rolls += 1;
                rest = card.length;
            }
            let piece = need.min(rest);
            laid += piece;
            rest -= piece;
            need -= piece;
            if need > tolerance::SMALLEST {
                need += card.end_lap;
            }
        }
    }
    (laid, rolls)
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
