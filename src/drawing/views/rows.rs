//! Underlay and deck as the take-off lays them: the drawing shows the very pieces that were counted.

use super::clip;
use super::face::box_of;
use crate::base::polygon;
use crate::base::tolerance::{LAID_ALIKE, ONE_PLACE, ROUNDING};
use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::format::Format;
use crate::drawing::typeset::lettering::SMALL;
use crate::drawing::typeset::model::Text;
use crate::drawing::typeset::pen::Pen;
use crate::roof::{EdgeKind, Roof};
use crate::takeoff::card::Direction;
use crate::takeoff::felt::Layer;
use crate::takeoff::goods::DeckKind;
use crate::takeoff::pieces::{PiecePlan, level_runs, upright_runs};
use crate::wording::laying;
use nalgebra::{Point2, Vector2};

/// The rows of a face with what is said of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Rows<'a> {
    /// What they are: "underlay".
    pub what: &'static str,
    /// The pieces.
    pub plan: &'a PiecePlan,
    /// What is said of each row; empty where nothing is.
    pub words: Vec<String>,
    /// What is remarked below.
    pub remark: String,
}

/// "14 pieces in 4 rows".
fn count(plan: &PiecePlan) -> String {
    let several = |number: usize, word: &str| format!("{number} {word}{}", if number == 1 { "" } else { "s" });
    format!("{} in {}", several(plan.pieces.len(), "piece"), several(plan.rows().len(), "row"))
}

impl<'a> Rows<'a> {
    /// Rows of underlay.
    #[must_use]
    pub fn underlay(roof: &Roof, plan: &'a PiecePlan, words: Format) -> Self {
        let face = &roof.faces[plan.face.index()];
        let doubled = plan.laps.double;
        let number = |row: usize| if doubled { format!("row {row}") } else { format!("row {}", row + 1) };
        let said = plan.rows().into_iter().enumerate().map(|(row, v)| match row {
            0 if doubled => "half width".to_owned(),
            0 => number(0),
            _ if v > ROUNDING => format!("{}, from {} up the slope", number(row), words.fine(v)),
            _ => number(row),
        });
        let has = |kinds: &[EdgeKind]| face.edges.iter().any(|id| kinds.contains(&roof.edges[id.index()].kind));
        let remark = format!(
            "{}. Rolls of {} from the eave up, head lap {}, end laps {}.{}{}{}",
            count(plan),
            words.length(plan.stock.width),
            words.fine(plan.laps.head),
            words.fine(plan.laps.end),
            if doubled { " The pitch asks for two layers: a narrow row first." } else { "" },
            if has(&[EdgeKind::Ridge, EdgeKind::Hip]) {
                " What lies beyond the outline is folded over the ridge or hip."
            } else {
                ""
            },
            if has(&[EdgeKind::Valley]) { " A full width down the valley first." } else { "" },
        );
        Self { what: "underlay", words: said.collect(), plan, remark }
    }

    /// Strips of a layer of roll felt.
    #[must_use]
    pub fn felt(layer: Layer, plan: &'a PiecePlan, words: Format) -> Self {
        let said = plan.rows().into_iter().enumerate().map(|(row, v)| {
            let width = words.fine(laying::strip_width(plan, row));
            if row == 0 || v <= ROUNDING {
                format!("strip {}, {width} wide", row + 1)
            } else {
                format!("strip {}, {width} wide, from {} up the slope", row + 1, words.fine(v))
            }
        });
        let way = match plan.direction {
            Direction::Across => "Across the slope from the eave up",
            Direction::Up => "Up the slope, numbered from the left",
        };
        let remark = format!(
            "{}. {way}, rolls of {}, side laps {}, end laps {}. What lies beyond the outline goes over ridges, hips and valleys, \
             or up walls.",
            count(plan),
            words.length(plan.stock.width),
            words.fine(plan.laps.head),
            words.fine(plan.laps.end),
        );
        Self { what: laying::layer(layer), words: said.collect(), plan, remark }
    }

    /// Rows of deck boards, sheets or battens.
    #[must_use]
    pub fn deck(plan: &'a PiecePlan, kind: DeckKind, words: Format) -> Self {
        let kind = match kind {
            DeckKind::Boards => "Boards",
            DeckKind::Sheets => "Sheets",
            DeckKind::Battens => "Battens",
        };
        let stock = &plan.stock;
        let thick = stock.thickness.map_or_else(String::new, |thickness| format!(", {} thick", words.fine(thickness)));
        let long = stock.length.map_or_else(String::new, |length| format!(", up to {} long", words.length(length)));
        let bearers = stock
            .spacing
            .map_or_else(String::new, |spacing| format!("; ends on bearers {} apart", words.fine(spacing)));
        let remark = format!(
            "{}. {kind} {} wide{thick}{long}{bearers}, every second row begins with half a length.",
            count(plan),
            words.fine(stock.width),
        );
        Self { what: "deck", words: Vec::new(), plan, remark }
    }

    /// The corners of the box about what is covered, metres.
    #[must_use]
    pub fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        let ([left, right], [low, high]) = (self.plan.region.span_u()?, self.plan.region.span_v()?);
        Some((Point2::new(left, low), Point2::new(right, high)))
    }

    /// Draws lower edges of rows, ends of pieces, and the rim of what lies beyond the face's own `rings`.
    pub fn draw(&self, canvas: &mut Canvas<'_>, rings: &[Vec<Point2<f64>>]) {
        for (from, to) in self.rim(rings) {
            canvas.fine_line(Pen::Row, &from, &to);
        }
        let (rows, tops) = self.heights();
        if self.plan.direction == Direction::Up {
            self.draw_up(canvas, &rows);
            return;
        }
        for v in &rows {
            for [left, right] in level_runs(&self.plan.region, *v) {
                canvas.fine_line(Pen::Row, &Point2::new(left, *v), &Point2::new(right, *v));
            }
        }
        for [before, after] in self.joints() {
            let piece = &self.plan.pieces[after];
            let (u, top) = (piece.u[0], tops[piece.row]);
            debug_assert_eq!(self.plan.pieces[before].row, piece.row);
            for [from, to] in upright_runs(&self.plan.region, u, [piece.v[0], top]) {
                canvas.fine_line(Pen::Joint, &Point2::new(u, from), &Point2::new(u, to));
            }
        }
    }

    /// The same of strips up the slope: their left edges, and where their ends lap.
    fn draw_up(&self, canvas: &mut Canvas<'_>, lefts: &[f64]) {
        let Some([low, high]) = self.plan.region.span_v() else { return };
        for u in lefts {
            for [from, to] in upright_runs(&self.plan.region, *u, [low, high]) {
                canvas.fine_line(Pen::Row, &Point2::new(*u, from), &Point2::new(*u, to));
            }
        }
        for pair in self.plan.pieces.windows(2).filter(|pair| pair[0].row == pair[1].row) {
            let next = lefts.get(pair[1].row + 1).copied().unwrap_or(pair[1].u[1]);
            for [left, right] in level_runs(&self.plan.region, pair[1].v[0]) {
                let (from, to) = (left.max(pair[1].u[0]), right.min(next));
                if from < to {
                    canvas.fine_line(Pen::Joint, &Point2::new(from, pair[1].v[0]), &Point2::new(to, pair[1].v[0]));
                }
            }
        }
    }

    /// Where one piece of a row goes on from another, by their numbers in the plan.
    #[must_use]
    pub fn joints(&self) -> Vec<[usize; 2]> {
        let meets = |index: &usize| {
            let [before, after] = [index - 1, *index].map(|at| &self.plan.pieces[at]);
            before.row == after.row && after.u[0] > before.u[0] && after.u[0] <= before.u[1] + ROUNDING
        };
        (1..self.plan.pieces.len()).filter(meets).map(|index| [index - 1, index]).collect()
    }

    /// Lower edges of the rows, and where each is covered by the next.
    fn heights(&self) -> (Vec<f64>, Vec<f64>) {
        let rows = self.plan.rows();
        let last = self.plan.pieces.last().map_or(0.0, |piece| piece.v[1]);
        let tops = rows.iter().skip(1).copied().chain([last]).collect();
        (rows, tops)
    }

    /// Sides of what is covered that do not lie on the face's own outline.
    fn rim(&self, rings: &[Vec<Point2<f64>>]) -> Vec<(Point2<f64>, Point2<f64>)> {
        let epsilon = rings.first().map_or(0.0, polygon::extent) * ONE_PLACE;
        let on_outline = |place: &Point2<f64>| {
            rings.iter().any(|ring| {
                ring.iter().enumerate().any(|(index, from)| {
                    let along = ring[(index + 1) % ring.len()] - from;
                    let share = ((place - from).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
                    (from + along * share - place).norm() < epsilon
                })
            })
        };
        let mut rim = Vec::new();
        for cell in self.plan.region.cells() {
            for side in [cell.left, cell.right] {
                let ends = [Point2::new(side[0], cell.v[0]), Point2::new(side[1], cell.v[1])];
                if !on_outline(&nalgebra::center(&ends[0], &ends[1])) {
                    rim.push((ends[0], ends[1]));
                }
            }
        }
        // Level tops: the region ends above a hair below them.
        let Some([_, high]) = self.plan.region.span_v() else { return rim };
        for [left, right] in level_runs(&self.plan.region, high - epsilon) {
            let ends = [Point2::new(left, high), Point2::new(right, high)];
            if !on_outline(&nalgebra::center(&ends[0], &ends[1])) {
                rim.push((ends[0], ends[1]));
            }
        }
        rim
    }

    /// Numbers strips up the slope at their feet.
    fn letter_up(&self, canvas: &mut Canvas<'_>, rings: &[Vec<Point2<f64>>]) {
        let (low, high) = box_of(rings);
        let lefts = self.plan.rows();
        for (row, left) in lefts.iter().enumerate() {
            let middle = f64::midpoint(left.max(low.x), lefts.get(row + 1).map_or(high.x, |next| next.min(high.x)));
            let ends = [Point2::new(middle, low.y - 1.0), Point2::new(middle, high.y + 1.0)];
            let Some([foot, _]) = clip::inside(rings, &ends[0], &ends[1]).first().copied() else { continue };
            let at = canvas.paper(&foot) + Vector2::new(0.0, 4.0);
            canvas.try_text(Text::new(Point2::origin(), (row + 1).to_string()).centred(at));
        }
    }

    /// Says what each row is, at its left end, as far as there is room.
    pub fn letter(&self, canvas: &mut Canvas<'_>, rings: &[Vec<Point2<f64>>]) {
        if self.plan.direction == Direction::Up {
            self.letter_up(canvas, rings);
            return;
        }
        let (rows, tops) = self.heights();
        let (low, high) = box_of(rings);
        for ((v, top), said) in rows.iter().zip(&tops).zip(&self.words) {
            let middle = f64::midpoint(*v, top.min(high.y));
            let ends = [Point2::new(low.x - 1.0, middle), Point2::new(high.x + 1.0, middle)];
            let line = clip::inside(rings, &ends[0], &ends[1]);
            let tall = (top.min(high.y) - v) * canvas.view.factor >= 3.8;
            let (Some([start, _]), true) = (line.first(), tall && !said.is_empty()) else { continue };
            let at = canvas.paper(start) - Vector2::new(0.0, 0.38 * SMALL);
            let short = said.split(',').next().unwrap_or(said);
            'said: for words in [said.as_str(), short] {
                for off in [3.5, 5.5, 8.0] {
                    if canvas.try_text(Text::new(at + Vector2::new(off, 0.0), words)) {
                        break 'said;
                    }
                }
            }
        }
    }
}

/// Plans to draw: the plan of the first face of each shape, with the names of those of that shape whose pieces lie the
/// same; those laid otherwise get a drawing of their own. `shapes` are [`super::face::groups`].
#[must_use]
pub fn groups<'a>(
    roof: &Roof,
    shapes: &[(crate::base::ids::FaceId, Vec<String>)],
    plans: &'a [PiecePlan],
) -> Vec<(&'a PiecePlan, Vec<String>)> {
    let mut drawn: Vec<(&PiecePlan, Vec<String>)> = Vec::new();
    for (first, alike) in shapes {
        let start = drawn.len();
        for name in std::iter::once(&roof.faces[first.index()].name()).chain(alike) {
            let Some(plan) = plans.iter().find(|plan| roof.faces[plan.face.index()].name() == *name) else { continue };
            match drawn[start..].iter_mut().find(|(other, _)| same(plan, other)) {
                Some((_, names)) => names.push(name.clone()),
                None => drawn.push((plan, Vec::new())),
            }
        }
    }
    drawn
}

/// Whether the pieces of two plans lie the same to a hundredth of a millimetre.
fn same(a: &PiecePlan, b: &PiecePlan) -> bool {
    let near = |a: &[f64; 2], b: &[f64; 2]| (a[0] - b[0]).abs() < LAID_ALIKE && (a[1] - b[1]).abs() < LAID_ALIKE;
    a.pieces.len() == b.pieces.len()
        && a.pieces.iter().zip(&b.pieces).all(|(a, b)| a.row == b.row && near(&a.u, &b.u) && near(&a.v, &b.v))
}
