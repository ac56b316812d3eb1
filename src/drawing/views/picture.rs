//! One view of a body: its lines with hidden ones removed, and the heights lettered beside it.

use super::body::Body;
use super::hidden::{self, Cut, Look, Seen};
use crate::base::tolerance::ONE_LEVEL;
use crate::drawing::Context;
use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::format;
use crate::drawing::typeset::lettering::SMALL;
use crate::drawing::typeset::model::{Anchor, Text};
use crate::drawing::typeset::pen::Pen;
use crate::job::building::{Building, Level, LevelOf};
use crate::wording::building;
use crate::wording::roof::edge_word;
use nalgebra::{Point2, Vector2};
use std::collections::BTreeSet;

/// Where a view is seen from, as a compass word.
pub(super) fn seen_from(context: &Context, towards: Vector2<f64>) -> &'static str {
    format::compass(context.north + towards.x.atan2(towards.y))
}

/// One view: its pieces, and the box about what is seen.
pub(super) struct Picture {
    pub look: Look,
    pub pieces: Vec<Seen>,
    pub low: Point2<f64>,
    pub high: Point2<f64>,
    pub caption: String,
}

impl Picture {
    pub fn of(body: &Body, look: Look, cut: Option<&Cut>, caption: String) -> Self {
        let pieces = hidden::edges(body, &look, cut);
        let ends = || pieces.iter().flat_map(|piece| piece.ends);
        let low = ends().reduce(|a, b| a.inf(&b)).unwrap_or_else(Point2::origin);
        let high = ends().reduce(|a, b| a.sup(&b)).unwrap_or_else(Point2::origin);
        Self { look, pieces, low, high, caption }
    }

    pub fn draw(&self, canvas: &mut Canvas<'_>, shift: Vector2<f64>, hidden: bool) {
        if hidden {
            for piece in self.pieces.iter().filter(|piece| !piece.visible) {
                canvas.fine_line(Pen::Hidden, &(piece.ends[0] + shift), &(piece.ends[1] + shift));
            }
        }
        for piece in self.pieces.iter().filter(|piece| piece.visible) {
            canvas.line(piece.pen, &(piece.ends[0] + shift), &(piece.ends[1] + shift));
        }
    }
}

pub(super) fn key_of(pieces: impl Iterator<Item = Pen>) -> Vec<(Pen, String)> {
    let pens: BTreeSet<Pen> = pieces.collect();
    pens.into_iter()
        .map(|pen| {
            let words = match pen {
                Pen::Edge(kind) => edge_word(kind).to_owned(),
                other => other.layer().to_owned(),
            };
            (pen, words)
        })
        .collect()
}

/// Draws the ground under a view and, where they are `lettered`, letters the heights of ground, ridge, plates, drip edges and
/// tops at its left, each at its height. Those that lie too near to one lettered already are left to the dimensions.
pub(super) fn levels(
    canvas: &mut Canvas<'_>,
    building: &Building,
    [low, high]: [Point2<f64>; 2],
    shift: Vector2<f64>,
    lettered: bool,
) {
    // Room for the mark beside the view, millimetres.
    const FROM: f64 = 1.5;
    const MARK: f64 = 3.0;
    // What stands beyond a section is not to be seen in it.
    let seen = |level: &&Level| level.at + shift.y <= high.y + ONE_LEVEL;
    let mut order: Vec<&Level> = building.levels.iter().filter(seen).collect();
    let rank = |of: LevelOf| {
        [LevelOf::Ground, LevelOf::Ridge, LevelOf::Plate, LevelOf::DripEdge, LevelOf::Top]
            .iter()
            .position(|other| *other == of)
    };
    order.sort_by_key(|level| rank(level.of));
    for level in order {
        let left = canvas.paper(&Point2::new(low.x, level.at + shift.y));
        if level.of == LevelOf::Ground {
            let right = canvas.paper(&Point2::new(high.x, level.at + shift.y));
            canvas.paper_line(
                Pen::Ground,
                left - Vector2::new(FROM + MARK, 0.0),
                right + Vector2::new(FROM + MARK, 0.0),
            );
        }
        if !lettered {
            continue;
        }
        let words = building::height(level, canvas.context.words);
        let at = left - Vector2::new(FROM + MARK + 0.8, SMALL * 0.36);
        if canvas.try_text(Text::new(at, words).anchored(Anchor::End)) && level.of != LevelOf::Ground {
            canvas.paper_line(Pen::Leader, left - Vector2::new(FROM + MARK, 0.0), left - Vector2::new(FROM, 0.0));
        }
    }
}
