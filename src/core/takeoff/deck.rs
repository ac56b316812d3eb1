//! The deck: boards or sheets row by row, ends on bearers, joints staggered; a cut list.

use super::goods::{Deck, DeckKind};
use super::item::Pack;
use super::outline::{CoveredFace, grown_region};
use super::pieces::{Piece, PiecePlan, Stock};
use crate::base::tolerance;
use crate::roof::analysis::opening::CutOpening;

/// Boards of one length.
#[derive(Clone, Debug, PartialEq)]
pub struct DeckCut {
    /// Length, metres; of a raked end the longer side.
    pub length: f64,
    /// How many.
    pub count: usize,
}

/// The deck of a roof.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DeckCount {
    /// The pieces of each face where they lie.
    pub plans: Vec<PiecePlan>,
    /// Laid, square metres.
    pub area: f64,
    /// New boards or sheets.
    pub boards: u32,
    /// Lengths, longest first.
    pub cuts: Vec<DeckCut>,
}

/// Lays boards on every face from the eave up. Every second row starts with a board of half the length, so that joints do
/// not stand in line; a board ends on a bearer or at the edge; a rest that spans two bearers is used again.
/// O(boards × rests).
#[must_use]
pub fn count(
    faces: &[CoveredFace],
    openings: &[CutOpening],
    deck: &Deck,
    gauge: impl Fn(&CoveredFace) -> Option<f64>,
) -> DeckCount {
    let mut answer = DeckCount::default();
    let mut lengths: Vec<f64> = Vec::new();
    let mut rests: Vec<f64> = Vec::new();
    for face in faces {
        // Battens stand at the gauge of what hangs on them; boards and sheets side by side.
        let step = match deck.kind {
            DeckKind::Battens => gauge(face).unwrap_or(deck.spacing),
            DeckKind::Boards | DeckKind::Sheets => deck.width,
        };
        let cut_out: Vec<_> =
            openings.iter().filter(|opening| opening.face == face.id).map(|opening| opening.ring.clone()).collect();
        let region = grown_region(face, &cut_out, |_| 0.0);
        if deck.kind != DeckKind::Battens {
            answer.area += region.area();
        }
        let (Some([low, high]), Some([left, _])) = (region.span_v(), region.span_u()) else { continue };
        let mut plan = PiecePlan::new(face, region);
        plan.stock = Stock {
            width: deck.width,
            length: Some(deck.length),
            thickness: Some(deck.thickness),
            spacing: Some(deck.spacing),
        };
        let mut row = 0_usize;
        loop {
            let from = low + row as f64 * step;
            if from > high - tolerance::SMALLEST {
                break;
            }
            let v = [from, from + deck.width.min(step)];
            for run in plan.region.runs(v[0], v[1]) {
                row_of_boards(run, left, row % 2 == 1, deck, &mut |u| {
                    plan.pieces.push(Piece { row, u, v, roll: None });
                    lengths.push(u[1] - u[0]);
                    answer.boards += take(u[1] - u[0], deck, &mut rests);
                });
            }
            row += 1;
        }
        answer.plans.push(plan);
    }
    if deck.kind == DeckKind::Battens {
        answer.area = lengths.iter().sum::<f64>() * deck.width;
    }
    answer.cuts = cut_list(lengths);
    answer
}

/// What pieces of it are bought as.
#[must_use]
pub fn pack(deck: &Deck) -> Pack {
    match deck.kind {
        DeckKind::Boards => Pack::Board { length: deck.length, width: Some(deck.width) },
        DeckKind::Sheets => Pack::Sheet { width: deck.width, length: deck.length },
        DeckKind::Battens => Pack::Batten(deck.length),
    }
}

/// The boards of one run, from where to where along the eave.
fn row_of_boards(run: [f64; 2], first_bearer: f64, is_staggered: bool, deck: &Deck, board: &mut impl FnMut([f64; 2])) {
    let mut at = run[0];
    let mut longest = if is_staggered { deck.length / 2.0 } else { deck.length };
    while run[1] - at > tolerance::SMALLEST {
        let end = if run[1] - at <= longest {
            run[1]
        } else {
            let bearer = ((at + longest - first_bearer) / deck.spacing).floor() * deck.spacing + first_bearer;
            // Boards shorter than the spacing of bearers end where they end.
            if bearer > at + tolerance::SMALLEST { bearer } else { at + longest }
        };
        board([at, end]);
        at = end;
        longest = deck.length;
    }
}

/// 1 for a new board, 0 when a rest serves.
fn take(length: f64, deck: &Deck, rests: &mut Vec<f64>) -> u32 {
    let fits = rests.iter().enumerate().filter(|(_, rest)| **rest >= length - tolerance::SMALLEST);
    let best = fits.min_by(|a, b| a.1.total_cmp(b.1)).map(|(index, _)| index);
    let (stock, new) = match best {
        Some(index) => (rests.swap_remove(index), 0),
        None => (deck.length, 1),
    };
    let rest = stock - length;
    if rest >= 2.0 * deck.spacing {
        rests.push(rest);
    }
    new
}

/// Equal lengths together (to the millimetre), longest first.
fn cut_list(mut lengths: Vec<f64>) -> Vec<DeckCut> {
    lengths.sort_by(|a, b| b.total_cmp(a));
    let mut cuts: Vec<DeckCut> = Vec::new();
    for length in lengths {
        let to_mm = (length * 1000.0).round() / 1000.0;
        match cuts.last_mut() {
            Some(last) if last.length == to_mm => last.count += 1,
            _ => cuts.push(DeckCut { length: to_mm, count: 1 }),
        }
    }
    cuts
}
