//! Squaring up: turns near a right angle become right, opposite sides even, and what that changed is said.

use super::block::Block;
use super::finding::Finding;
use super::offset::directions;
use crate::base::name::SideName;
use crate::survey::model::MeasuredRing;
use nalgebra::{Matrix2, Point2, Rotation2, Vector2};

/// Turns within this of a right angle become right, radians (2°).
const NEARLY_RIGHT: f64 = 2.0 * std::f64::consts::PI / 180.0;

/// The two sizes of a rectangle are made even when they differ by no more than tapes do by chance once in a thousand
/// (3.29 standard deviations of their difference).
const BY_CHANCE: f64 = 3.29;

/// A change of a length smaller than this is not worth a word, metres.
const WORTH_A_WORD: f64 = 5e-5;

/// Squared-up rings.
#[derive(Clone, Debug, PartialEq)]
pub struct Squared {
    /// In the order and direction of the given ones; the first corner and the first direction of each stay.
    pub rings: Vec<Vec<Point2<f64>>>,
    /// What changed, where anything did.
    pub findings: Vec<Finding>,
}

/// Squares up the rings of a block. Sides joined by nearly right turns share one direction, which follows all of them
/// by length; the lengths then close with the least sum of squared changes (so opposite sides of a rectangle come out
/// even, at their mean), and a rectangle whose two sizes differ only as tapes do becomes a square of the smaller.
///
/// Precondition: rings of three sides or more, none without length, as many as the block's. O(n).
#[must_use]
pub fn square_up(block: &Block, rings: &[Vec<Point2<f64>>]) -> Squared {
    let mut squared = Squared { rings: Vec::new(), findings: Vec::new() };
    for (stated, corners) in block.rings.iter().zip(rings) {
        let names: Vec<&str> = stated.sides.iter().map(|side| side.name.as_str()).collect();
        let (corners, Changes { turns, lengths }) = ring(corners, &sigmas(&stated.measured, corners));
        squared.rings.push(corners);
        if !(turns.is_empty() && lengths.is_empty()) {
            let named = |side: usize| SideName::new(&block.name, names[side]);
            squared.findings.push(Finding::SquaredUp {
                block: block.name.as_str().into(),
                turns: turns.into_iter().map(|(side, turn)| (named(side), turn)).collect(),
                lengths: lengths.into_iter().map(|(side, lengths)| (named(side), lengths)).collect(),
            });
        }
    }
    squared
}

/// Standard deviation of each side's length: as stated, or a steel tape's (3 mm and 0.5 mm a metre).
fn sigmas(measured: &MeasuredRing, corners: &[Point2<f64>]) -> Vec<f64> {
    match measured {
        MeasuredRing::Walk(legs) => legs.iter().map(|leg| leg.length.sigma).collect(),
        MeasuredRing::Places(_) => {
            let next = corners.iter().cycle().skip(1);
            corners.iter().zip(next).map(|(from, to)| 0.003 + 0.0005 * (to - from).norm()).collect()
        }
    }
}

/// What squaring up changed, by number of the side.
#[derive(Default)]
struct Changes {
    /// The corners, by the side that starts there, whose turn was made right, with the turn as it was.
    turns: Vec<(usize, f64)>,
    /// Lengths before and after.
    lengths: Vec<(usize, [f64; 2])>,
}

fn ring(corners: &[Point2<f64>], sigmas: &[f64]) -> (Vec<Point2<f64>>, Changes) {
    let count = corners.len();
    let along = directions(corners);
    let turn = |side: usize| {
        let (u, v) = (along[side], along[(side + 1) % count]);
        u.perp(&v).atan2(u.dot(&v))
    };
    let right: Vec<bool> =
        (0..count).map(|side| (turn(side).abs() - std::f64::consts::FRAC_PI_2).abs() <= NEARLY_RIGHT).collect();
    let Some(square) = square_directions(&along, &lengths(corners), &right, turn) else {
        return (corners.to_vec(), Changes::default());
    };
    let before = lengths(corners);
    let mut after = close(&before, &square);
    if count == 4 && right.iter().all(|right| *right) {
        let (p, q) = (f64::midpoint(after[0], after[2]), f64::midpoint(after[1], after[3]));
        let by_chance = BY_CHANCE * sigmas[0].min(sigmas[2]).hypot(sigmas[1].min(sigmas[3]));
        let [p, q] = if (p - q).abs() <= by_chance { [p.min(q); 2] } else { [p, q] };
        after = vec![p, q, p, q];
    }
    let mut changes = Changes::default();
    for side in (0..count).filter(|&side| right[side]) {
        let turned = turn(side).abs();
        if (turned.to_degrees() - 90.0).abs() >= 0.005 {
            changes.turns.push(((side + 1) % count, turned));
        }
    }
    for side in (0..count).filter(|&side| (after[side] - before[side]).abs() >= WORTH_A_WORD) {
        changes.lengths.push((side, [before[side], after[side]]));
    }
    let mut place = corners[0];
    let placed = square.iter().zip(&after).map(|(direction, length)| {
        let start = place;
        place += direction * *length;
        start
    });
    (placed.collect(), changes)
}

fn lengths(corners: &[Point2<f64>]) -> Vec<f64> {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(from, to)| (to - from).norm()).collect()
}

/// Directions with every nearly right turn right: runs of sides joined by such turns share one base direction, the
/// mean by length. The whole is turned so that the first side keeps its own. `None` when nothing is to be done.
fn square_directions(
    along: &[Vector2<f64>],
    lengths: &[f64],
    right: &[bool],
    turn: impl Fn(usize) -> f64,
) -> Option<Vec<Vector2<f64>>> {
    let count = along.len();
    if !right.iter().any(|right| *right) {
        return None;
    }
    // A run starts after a turn that is not right; where all are, at the first side.
    let first = (0..count).find(|&side| !right[(side + count - 1) % count]).unwrap_or(0);
    let mut square = vec![Vector2::zeros(); count];
    let mut mean_of_first_run = 0.0;
    let mut later: Vec<usize> = Vec::new();
    let mut at = 0;
    while at < count {
        // The run's sides with their quarter turns from its first side.
        let start = (first + at) % count;
        let mut run = vec![(start, 0_i64)];
        while run.len() < count - at && right[(first + at + run.len() - 1) % count] {
            let (side, quarters) = run[run.len() - 1];
            run.push(((side + 1) % count, quarters + if turn(side) > 0.0 { 1 } else { -1 }));
        }
        let base = along[start];
        let weigh = |(side, quarters): &(usize, i64)| {
            let back = quarter_turns(along[*side], -quarters);
            lengths[*side] * base.perp(&back).atan2(base.dot(&back))
        };
        let total: f64 = run.iter().map(|(side, _)| lengths[*side]).sum();
        let mean = run.iter().map(weigh).sum::<f64>() / total;
        let holds_first = run.iter().find(|(side, _)| *side == 0);
        if let Some((_, quarters)) = holds_first {
            // This run keeps the first side's own direction exactly.
            let kept = quarter_turns(along[0], -quarters);
            mean_of_first_run = mean - base.perp(&kept).atan2(base.dot(&kept));
            for (side, quarters) in &run {
                square[*side] = quarter_turns(kept, *quarters);
            }
        } else {
            for (side, quarters) in &run {
                let meant = if run.len() == 1 { base } else { Rotation2::new(mean) * base };
                square[*side] = quarter_turns(meant, *quarters);
                later.push(*side);
            }
        }
        at += run.len();
    }
    if mean_of_first_run != 0.0 {
        for side in later {
            square[side] = Rotation2::new(-mean_of_first_run) * square[side];
        }
    }
    Some(square)
}

fn quarter_turns(v: Vector2<f64>, quarters: i64) -> Vector2<f64> {
    match quarters.rem_euclid(4) {
        0 => v,
        1 => Vector2::new(-v.y, v.x),
        2 => -v,
        _ => Vector2::new(v.y, -v.x),
    }
}

/// The lengths nearest the given ones (least squares) with which sides of these directions close:
/// l = m − Dᵀ (D Dᵀ)⁻¹ D m.
fn close(lengths: &[f64], along: &[Vector2<f64>]) -> Vec<f64> {
    let gap: Vector2<f64> = along.iter().zip(lengths).map(|(d, l)| d * *l).sum();
    let normal: Matrix2<f64> = along.iter().map(|d| d * d.transpose()).sum();
    let Some(inverse) = normal.try_inverse() else { return lengths.to_vec() };
    let multiplier = inverse * gap;
    along.iter().zip(lengths).map(|(d, l)| l - d.dot(&multiplier)).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::*;

    fn points(list: &[(f64, f64)]) -> Vec<Point2<f64>> {
        list.iter().map(|&(x, y)| Point2::new(x, y)).collect()
    }

    #[test]
    fn an_l_out_of_square_becomes_right_and_keeps_its_first_side() {
        let given = points(&[(0.0, 0.0), (8.0, 0.0), (8.02, 4.0), (4.01, 4.02), (4.0, 7.0), (-0.05, 7.03)]);
        let (square, changes) = ring(&given, &[0.005; 6]);
        assert_eq!(square[0], given[0]);
        let along = directions(&square);
        assert!((along[0] - Vector2::new(1.0, 0.0)).norm() < 1e-15);
        for side in 0..6 {
            assert!(along[side].dot(&along[(side + 1) % 6]).abs() < 1e-14);
        }
        assert!(changes.turns.iter().all(|(_, turn)| (turn.to_degrees() - 90.0).abs() < 2.0));
        assert!(!changes.turns.is_empty() && !changes.lengths.is_empty());
    }

    #[test]
    fn only_nearly_right_turns_change() {
        // A bay at 45°: its sides keep their directions, the house's turns become right.
        let given =
            points(&[(0.0, 0.0), (6.0, 0.05), (6.0, 4.0), (4.0, 4.0), (3.0, 5.0), (2.0, 5.0), (1.0, 4.0), (0.0, 4.0)]);
        let (square, _) = ring(&given, &[0.005; 8]);
        let along = directions(&square);
        for side in [0, 1, 6, 7] {
            assert!(along[side].dot(&along[(side + 1) % 8]).abs() < 1e-14, "{side}");
        }
        let kept: Vec<f64> = (2..6)
            .map(|side| {
                let before = directions(&given)[side].angle(&directions(&given)[side + 1]);
                (along[side].angle(&along[side + 1]) - before).abs()
            })
            .collect();
        assert!(kept[1..3].iter().all(|change| *change < 1e-12), "{kept:?}");
    }
}
