//! A timber as it is cut: its side and its top to scale, and its ends at full size to trace onto the wood.

use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::dimension::LANE;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::frame::Furniture;
use crate::drawing::typeset::pen::Pen;
use crate::framing::timber::{Timber, TimberKind};
use crate::framing::{Framing, Piece};
use crate::wording::framing as words;
use nalgebra::{Point2, Vector2};

/// Between side view and top view, metres.
const APART: f64 = 0.030;

/// Of an end at full size so much is drawn beyond its cuts, metres.
const BEYOND: f64 = 0.040;

/// And so much of its side below the top: the line is carried on down with a straight edge, metres.
const SIDE: f64 = 0.070;

/// A piece's drawing.
#[derive(Clone, Copy, Debug)]
pub struct TimberPiece<'a> {
    piece: &'a Piece,
    timber: &'a Timber,
    /// Which end is drawn at full size; `None`: the whole piece, to scale.
    end: Option<usize>,
}

impl<'a> TimberPiece<'a> {
    /// Every piece whole, each hand of those that are cut left and right.
    #[must_use]
    pub fn all(framing: &'a Framing) -> Vec<Self> {
        framing.pieces.iter().filter_map(|piece| Self::of(framing, piece, None)).collect()
    }

    /// The ends of hips, valleys and jacks that are cut at a slant, at full size.
    #[must_use]
    pub fn templates(framing: &'a Framing) -> Vec<Self> {
        let slants = |piece: &Piece, end: usize| piece.ends[end].iter().any(|cut| cut.tilt.abs() > 1e-3);
        let wanted = |piece: &&Piece| matches!(piece.kind, TimberKind::Hip | TimberKind::Valley | TimberKind::Jack);
        let mut drawn: Vec<(usize, Self)> = Vec::new();
        for piece in framing.pieces.iter().filter(wanted) {
            for end in [0, 1].into_iter().filter(|end| slants(piece, *end)) {
                let Some(template) = Self::of(framing, piece, Some(end)) else { continue };
                // Jacks of one slope end alike: one template serves them all.
                let alike = |(other_end, other): &(usize, Self)| {
                    let cuts = |of: &Piece| of.ends[end].iter().map(|cut| [cut.plumb, cut.tilt]).collect::<Vec<_>>();
                    let near =
                        |(a, b): (&[f64; 2], &[f64; 2])| (a[0] - b[0]).abs() < 1e-3 && (a[1] - b[1]).abs() < 1e-3;
                    let (own, others) = (cuts(piece), cuts(other.piece));
                    *other_end == end
                        && other.piece.kind == piece.kind
                        && other.piece.section == piece.section
                        && own.len() == others.len()
                        && own.iter().zip(&others).all(near)
                };
                if !drawn.iter().any(alike) {
                    drawn.push((end, template));
                }
            }
        }
        drawn.into_iter().map(|(_, template)| template).collect()
    }

    fn of(framing: &'a Framing, piece: &'a Piece, end: Option<usize>) -> Option<Self> {
        let timber = framing.timbers.as_ref()?.all.get(*piece.timbers.first()?)?;
        timber.side_outline()?;
        Some(Self { piece, timber, end })
    }

    /// Its outlines as far as they are drawn: the side near the eye, the one beyond it, and the top above them.
    fn outlines(&self) -> [Vec<Point2<f64>>; 3] {
        let half = self.piece.section.thickness / 2.0;
        let apart = if self.end.is_some() { APART / 3.0 } else { APART };
        let up = Vector2::new(0.0, apart + half);
        let near = self.timber.side_at(-half).unwrap_or_default();
        let far = self.timber.side_at(half).unwrap_or_default();
        let top: Vec<Point2<f64>> = self.timber.top_outline().unwrap_or_default().iter().map(|at| at + up).collect();
        let all = [near, far, top];
        let Some(end) = self.end else { return all };
        // Beyond the innermost corner that the cuts make.
        let mut along: Vec<f64> = Vec::new();
        for outline in &all {
            let reach = |at: &&Point2<f64>| if end == 0 { at.x < self.middle() } else { at.x > self.middle() };
            along.extend(outline.iter().filter(reach).map(|at| at.x));
        }
        let at = if end == 0 {
            along.iter().copied().fold(f64::NEG_INFINITY, f64::max).min(self.middle() - BEYOND) + BEYOND
        } else {
            along.iter().copied().fold(f64::INFINITY, f64::min).max(self.middle() + BEYOND) - BEYOND
        };
        // The notch over the plate is set out by its own measures.
        let at = if end == 0 { at.min(self.first_cut() + 2.0 * BEYOND) } else { at };
        let upright = |outline: &[Point2<f64>]| outline.iter().map(|at| Point2::new(at.y, at.x)).collect::<Vec<_>>();
        all.map(|outline| upright(&clipped(&upright(&clipped(&outline, at, end)), -SIDE, 1)))
    }

    fn middle(&self) -> f64 {
        self.piece.length / 2.0
    }

    /// How far the cuts at the lower end reach into the piece.
    fn first_cut(&self) -> f64 {
        let half = self.piece.section.thickness / 2.0;
        let depth = self.piece.section.depth;
        let corners = |left: f64| self.timber.side_at(left).unwrap_or_default();
        let ends = [half, 0.0, -half].into_iter().flat_map(corners);
        // Corners of top and underside, not of the notch.
        let on_end = |at: &Point2<f64>| at.x < self.middle() && (at.y == 0.0 || (at.y + depth).abs() < 1e-9);
        let mut along: Vec<f64> = ends.filter(on_end).map(|at| at.x).collect();
        along.sort_by(f64::total_cmp);
        along.iter().copied().take_while(|x| *x < 2.0 * depth).fold(0.0, f64::max)
    }
}

/// What is left of a closed outline within `at` along x, towards the lower end (0) or the upper.
fn clipped(outline: &[Point2<f64>], at: f64, end: usize) -> Vec<Point2<f64>> {
    let inside = |point: &Point2<f64>| if end == 0 { point.x <= at } else { point.x >= at };
    let mut kept = Vec::new();
    for (index, from) in outline.iter().enumerate() {
        let to = &outline[(index + 1) % outline.len()];
        if inside(from) {
            kept.push(*from);
        }
        if inside(from) != inside(to) {
            let share = (at - from.x) / (to.x - from.x);
            kept.push(from + (to - from) * share);
        }
    }
    kept
}

impl Figure for TimberPiece<'_> {
    fn name(&self) -> String {
        let mark = self.piece.mark().replace(' ', "");
        match self.end {
            None => format!("timber-{mark}"),
            Some(0) => format!("template-{mark}-lower-end"),
            Some(_) => format!("template-{mark}-upper-end"),
        }
    }

    fn title(&self) -> String {
        let (mark, count) = (self.piece.mark(), self.piece.count());
        match self.end {
            None => format!("{} {mark}, {count} of it", words::kind(self.piece.kind)),
            Some(0) => format!("lower end of {} {mark} at full size", words::kind(self.piece.kind)),
            Some(_) => format!("upper end of {} {mark} at full size", words::kind(self.piece.kind)),
        }
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        let all = self.outlines();
        let mut corners = all.iter().flatten();
        let first = *corners.next()?;
        Some(corners.fold((first, first), |(low, high), at| (low.inf(at), high.sup(at))))
    }

    fn furniture(&self) -> Furniture {
        let remark = if self.end.is_some() {
            "Full size: print without fitting to the page and lay a rule on the scale bar before tracing. The lower outline is \
             the side near the eye, dashed the far side, the upper one the top. Where a piece is cut left and right, turn the \
             sheet over for its mirror image. Carry the lines of the side on down with a straight edge."
        } else {
            "The lower outline is the side near the eye, dashed the far side, the upper one the top. Cut plumb lines with the \
             saw tilted as the cutting list says."
        };
        Furniture {
            key: vec![(Pen::Timber, "the piece".to_owned()), (Pen::Hidden, "its far side".to_owned())],
            remarks: vec![remark.to_owned()],
            north: false,
        }
    }

    fn surround(&self) -> [f64; 3] {
        if self.end.is_some() { [4.0; 3] } else { [2.0 * LANE + 9.0; 3] }
    }

    fn fixed_scale(&self) -> Option<f64> {
        self.end.map(|_| 1.0)
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        let [near, far, top] = self.outlines();
        canvas.ring(Pen::Hidden, &far);
        canvas.ring(Pen::Timber, &near);
        canvas.ring(Pen::Timber, &top);
        if self.end.is_some() {
            return;
        }
        let format = canvas.context.words;
        let depth = self.piece.section.depth;
        let length = self.piece.length;
        let down = Vector2::new(0.0, -1.0);
        canvas.dimension(
            [Point2::new(0.0, -depth), Point2::new(length, -depth)],
            down,
            &format!("length {}", format.fine(length)),
        );
        let ends = |ring: &[Point2<f64>]| {
            let along = ring.iter().map(|at| at.x);
            [along.clone().fold(f64::INFINITY, f64::min), along.fold(f64::NEG_INFINITY, f64::max)]
        };
        let [from, to] = ends(&top);
        let over = APART + self.piece.section.thickness;
        canvas.dimension(
            [Point2::new(to, over), Point2::new(from, over)],
            -down,
            &format!("long point {}", format.fine(self.piece.long_point)),
        );
    }
}
