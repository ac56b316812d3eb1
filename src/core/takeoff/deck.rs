//! The deck: boards or sheets row by row, ends on bearers, joints staggered; a cut list.

use super::card::Unit;
use super::goods::{Deck, DeckKind, Fix};
use super::item::Pack;
use super::layout::FaceLayout;
use super::outline::{CoveredFace, grown_region};
use super::pieces::{PiecePlan, PlanPiece, Stock, level_runs, upright_runs};
use super::region::Region;
use super::stock::{Bearers, Rests, StockRun};
use crate::base::tolerance;
use crate::roof::analysis::opening::CutOpening;

/// An end of a row that strays no further from a straight line is cut as one, metres.
const STRAIGHT: f64 = 0.001;

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
    /// Length of each.
    pub length: f64,
    /// Lengths, longest first.
    pub cuts: Vec<DeckCut>,
}

/// Rows of battens on a face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BattenRows {
    /// From one to the next.
    pub gauge: f64,
    /// From the deck's edge to the upper edge of the lowest that pieces hang on, under which one more carries their feet;
    /// `None`: the lowest of all begins at the edge.
    pub first: Option<f64>,
}

impl BattenRows {
    /// From the deck's edge to the lower edge of a row.
    fn below(self, row: usize, width: f64) -> f64 {
        match (self.first, row) {
            (Some(first), 1..) => first - width + (row - 1) as f64 * self.gauge,
            _ => row as f64 * self.gauge,
        }
    }
}

impl DeckCount {
    /// Nails or screws that hold it: at every bearer that a piece crosses or ends on, across a panel's width at the
    /// spacing. Of a share of a deck, by the area. O(pieces).
    #[must_use]
    pub fn fixings(&self, deck: &Deck, fix: &Fix) -> f64 {
        let at_crossing = |height: f64| match fix.spacing.filter(|_| deck.kind == DeckKind::Sheets) {
            Some(spacing) => fix.each * ((height / spacing - tolerance::RELATIVE).ceil() + 1.0),
            None => fix.each,
        };
        if self.plans.is_empty() {
            return self.area / (deck.width * deck.spacing) * at_crossing(deck.width);
        }
        let of_plan = |plan: &PiecePlan| -> f64 {
            let Some([first, _]) = plan.region.span_u() else { return 0.0 };
            let bearer = |u: f64| (u - first) / deck.spacing;
            let of_piece = |piece: &PlanPiece| {
                let [from, to] = piece.u.map(bearer);
                let crossed = (to + tolerance::SMALLEST).floor() - (from - tolerance::SMALLEST).ceil() + 1.0;
                crossed.max(2.0) * at_crossing(piece.v[1] - piece.v[0])
            };
            plan.pieces.iter().map(of_piece).sum()
        };
        self.plans.iter().map(of_plan).sum()
    }

    /// What renewing a share of it takes, in whole boards or sheets. Where they will lie is seen when the deck is open:
    /// there is no plan of them unless it is all of it.
    pub(crate) fn take_share(&mut self, share: f64) {
        if share >= 1.0 {
            return;
        }
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let boards = (f64::from(self.boards) * share - tolerance::RELATIVE).ceil().max(0.0) as u32;
        *self = Self { area: self.area * share, boards, length: self.length, ..Self::default() };
    }
}

/// From the deck's edge to the upper edge of the lowest batten that tiles hang on by their nibs.
#[must_use]
pub fn first_batten(unit: &Unit, layout: &FaceLayout) -> Option<f64> {
    let butt = layout.courses.first()?.butt_v;
    unit.nib.map(|nib| butt + unit.height - nib)
}

/// Length of each batten up the slope, metres: one on every rafter, the first at a face's left end, one at its right end.
/// O(rafters × cells).
#[must_use]
pub(crate) fn up_the_slope(plans: &[PiecePlan], spacing: f64) -> Vec<f64> {
    let of_plan = |plan: &PiecePlan| -> Vec<f64> {
        let (Some([left, right]), Some(span)) = (plan.region.span_u(), plan.region.span_v()) else { return Vec::new() };
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let bays = ((right - left) / spacing - tolerance::RELATIVE).ceil().max(1.0) as usize;
        // A hair within, so that those at the ends lie on the face.
        let inside = |u: f64| u.clamp(left + tolerance::SMALLEST, right - tolerance::SMALLEST);
        let places = (0..=bays).map(|bay| inside(left + bay as f64 * spacing));
        places.flat_map(|u| upright_runs(&plan.region, u, span)).map(|[from, to]| to - from).collect()
    };
    plans.iter().flat_map(of_plan).collect()
}

/// Lays boards on every face from the eave up: a board ends on a bearer or at the edge, no joint stands over one of the row
/// below, and what is left of a row starts or ends a later one where it spans two bearers. Of these lengths the one is
/// taken of which the least is bought, of equals the first. O(lengths × boards × rests).
#[must_use]
pub fn count(
    faces: &[CoveredFace],
    openings: &[CutOpening],
    deck: &Deck,
    lengths: &[f64],
    battens: impl Fn(&CoveredFace) -> Option<BattenRows>,
) -> DeckCount {
    let laid = lengths.iter().map(|&length| lay(faces, openings, &Deck { length, ..deck.clone() }, &battens));
    let bought = |count: &DeckCount| f64::from(count.boards) * count.length;
    laid.min_by(|a, b| bought(a).total_cmp(&bought(b))).unwrap_or_default()
}

fn lay(
    faces: &[CoveredFace],
    openings: &[CutOpening],
    deck: &Deck,
    battens: impl Fn(&CoveredFace) -> Option<BattenRows>,
) -> DeckCount {
    let mut answer = DeckCount { length: deck.length, ..DeckCount::default() };
    let mut lengths: Vec<f64> = Vec::new();
    let mut rests = Rests::new(deck);
    for face in faces {
        // Battens stand at the gauge of what hangs on them; boards and sheets side by side.
        let rows = match deck.kind {
            DeckKind::Battens => battens(face).unwrap_or(BattenRows { gauge: deck.spacing, first: None }),
            DeckKind::Boards | DeckKind::Sheets => BattenRows { gauge: deck.width, first: None },
        };
        let step = rows.gauge;
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
        let mut below: Vec<f64> = Vec::new();
        let mut row = 0_usize;
        loop {
            let from = low + rows.below(row, deck.width);
            if from > high - tolerance::SMALLEST {
                break;
            }
            let v = [from, from + deck.width.min(step)];
            let height = v[1].min(high) - v[0];
            let mut joints = Vec::new();
            for run in plan.region.runs(v[0], v[1]) {
                let slants = slants(&plan.region, run, [v[0], v[0] + height]);
                let bearers = Bearers { first: left, spacing: deck.spacing };
                let ends = rests.lay_run(&StockRun { ends: run, slants, height }, bearers, &below);
                for u in ends.windows(2).map(|pair| [pair[0], pair[1]]) {
                    plan.pieces.push(PlanPiece { row, u, v, roll: None });
                    lengths.push(u[1] - u[0]);
                }
                joints.extend(ends[1..ends.len() - 1].iter().copied());
            }
            below = joints;
            row += 1;
        }
        answer.plans.push(plan);
    }
    if deck.kind == DeckKind::Battens {
        answer.area = lengths.iter().sum::<f64>() * deck.width;
    }
    answer.boards = rests.bought;
    answer.cuts = cut_list(lengths);
    answer
}

/// How far the two ends of a run lean to the right from its foot to its head; 0 where that is not one straight line each.
fn slants(region: &Region, run: [f64; 2], [low, high]: [f64; 2]) -> [f64; 2] {
    let epsilon = (high - low) * 1e-6;
    let at = |v: f64| {
        let here = level_runs(region, v);
        let within = here.into_iter().filter(|[from, to]| *from < run[1] && *to > run[0]);
        let mut within = within.peekable();
        let first = within.next();
        if within.peek().is_some() { None } else { first }
    };
    // Along an eave out of level the lowest row has its foot at one corner alone: its ends are no straight lines.
    match (at(low + epsilon), at(f64::midpoint(low, high)), at(high - epsilon)) {
        (Some(foot), Some(middle), Some(head)) => [0, 1].map(|end| {
            let is_straight = (foot[end] + head[end] - 2.0 * middle[end]).abs() < STRAIGHT;
            if is_straight { head[end] - foot[end] } else { 0.0 }
        }),
        _ => [0.0; 2],
    }
}

/// What pieces of it are bought as.
#[must_use]
pub fn pack(deck: &Deck, length: f64) -> Pack {
    match deck.kind {
        DeckKind::Boards => Pack::Board { length, width: Some(deck.width) },
        DeckKind::Sheets => Pack::Sheet { width: deck.width, length },
        DeckKind::Battens => Pack::Batten(length),
    }
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
