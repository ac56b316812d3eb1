//! Elevations from four sides and an isometric view: hidden lines removed.

use super::body::Body;
use super::hidden::{self, Look};
use super::picture::{Picture, key_of, levels, seen_from};
use crate::base::tolerance::ROUNDING;
use crate::drawing::Context;
use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::frame::Furniture;
use crate::drawing::typeset::label::Block;
use crate::drawing::typeset::lettering::MEDIUM;
use crate::drawing::typeset::model::Text;
use crate::drawing::typeset::pen::{Pen, Tone};
use crate::job::answer::Answer;
use crate::roof::Roof;
use crate::roof::analysis::dimensions;
use crate::roof::analysis::dimensions::main_axis;
use crate::wording::building;
use nalgebra::{Point2, Vector2};

/// The height walls stand on, metres.
const DATUM: f64 = 0.0;

/// What may be measured on the isometric view.
const REMARK: &str = "Lengths along the building, across it and plumb are to scale; slopes and hips are not: measure them on the \
                      true shapes. Hidden lines are left out.";

/// Four elevations on one page.
pub struct Elevations<'a> {
    answer: &'a Answer,
    roof: &'a Roof,
    pictures: Vec<Picture>,
    cell: Vector2<f64>,
}

impl<'a> Elevations<'a> {
    /// Looks at a building from four sides.
    #[must_use]
    pub fn new(answer: &'a Answer, body: &Body, context: &Context) -> Self {
        let roof = &answer.roof;
        let axis = main_axis(roof);
        let across = Vector2::new(-axis.y, axis.x);
        let pictures: Vec<Picture> = [-across, axis, across, -axis]
            .into_iter()
            .map(|towards| {
                let caption = format!("from the {}", seen_from(context, towards));
                Picture::of(body, Look::level(towards), None, caption)
            })
            .collect();
        let widest = |axis: usize| pictures.iter().map(|p| p.high[axis] - p.low[axis]).fold(0.0, f64::max);
        let (width, height) = (widest(0), widest(1));
        let gap = width.max(height);
        Self { answer, roof, pictures, cell: Vector2::new(width + 0.27 * gap, height + 0.34 * gap) }
    }

    fn shift(&self, index: usize) -> Vector2<f64> {
        let picture = &self.pictures[index];
        let (column, row) = ((index % 2) as f64, (index / 2) as f64);
        let corner = Vector2::new(column * self.cell.x, -row * self.cell.y);
        let middle = f64::midpoint(picture.low.x, picture.high.x);
        corner - Vector2::new(middle, picture.low.y)
    }
}

impl Figure for Elevations<'_> {
    fn name(&self) -> String {
        "elevations".to_owned()
    }

    fn title(&self) -> String {
        "elevations".to_owned()
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        let corners = |(index, picture): (usize, &Picture)| {
            let shift = self.shift(index);
            [picture.low + shift, picture.high + shift]
        };
        let all = || self.pictures.iter().enumerate().flat_map(corners);
        Some((all().reduce(|a, b| a.inf(&b))?, all().reduce(|a, b| a.sup(&b))?))
    }

    fn furniture(&self) -> Furniture {
        let pens = self.pictures.iter().flat_map(|p| &p.pieces).filter(|piece| piece.visible).map(|piece| piece.pen);
        let remark = building::remark(!self.roof.feet.is_empty(), !self.answer.building.walls.is_empty());
        Furniture { key: key_of(pens), remarks: vec![remark.to_owned()], north: false }
    }

    fn surround(&self) -> [f64; 3] {
        [19.0, 15.0, 4.0]
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        // All lines first, so that no lettering of one view lies under the next.
        for (index, picture) in self.pictures.iter().enumerate() {
            picture.draw(canvas, self.shift(index), false);
        }
        for (index, picture) in self.pictures.iter().enumerate() {
            let shift = self.shift(index);
            let (low, high) = (picture.low + shift, picture.high + shift);
            caption(canvas, &picture.caption, low, high);
            let along = Vector2::new(-picture.look.towards.y, picture.look.towards.x);
            let width = canvas.context.words.length(dimensions::width_along(self.roof, &along));
            canvas.dimension([Point2::new(low.x, low.y), Point2::new(high.x, low.y)], Vector2::new(0.0, -1.0), &width);
            heights(canvas, self.roof, &picture.look, shift);
            // Those of the view beside it are the same.
            levels(canvas, &self.answer.building, [low, high], shift, index % 2 == 0);
            name_faces(canvas, self.roof, &picture.look, shift);
        }
    }
}

/// Letters a view's caption under it and its dimension, nearer where the next view leaves less room, else over it.
fn caption(canvas: &mut Canvas<'_>, words: &str, low: Point2<f64>, high: Point2<f64>) {
    let middle = |y: f64| Point2::new(f64::midpoint(low.x, high.x), y);
    let (under, over) = (canvas.paper(&middle(low.y)), canvas.paper(&middle(high.y)));
    let text = Text::new(Point2::origin(), words).height(MEDIUM).bold();
    let below = [14.5, 13.0, 16.0, 11.5, 3.5].map(|down| under - Vector2::new(0.0, down));
    let places: Vec<Point2<f64>> =
        below.into_iter().chain([4.0, 6.0, 9.0].map(|up| over + Vector2::new(0.0, up))).collect();
    // Where the middle is taken, to either side of it.
    for beside in [0.0, -8.0, 8.0, -16.0, 16.0, -24.0, 24.0] {
        for place in &places {
            if canvas.try_text(text.clone().centred(place + Vector2::new(beside, 0.0))) {
                return;
            }
        }
    }
    canvas.letter(&Block::new(vec![text]), under - Vector2::new(0.0, 14.5));
}

/// Heights of eaves and of the highest point, dimensioned at the right of a view.
fn heights(canvas: &mut Canvas<'_>, roof: &Roof, look: &Look, shift: Vector2<f64>) {
    let levels = dimensions::heights(roof, DATUM);
    let Some((&first, &last)) = levels.first().zip(levels.last()) else { return };
    let right = roof.corners.iter().map(|corner| look.place(corner).x).fold(f64::NEG_INFINITY, f64::max);
    let foot = |level: f64| Point2::new(right, level) + shift;
    let outward = Vector2::new(1.0, 0.0);
    let format = canvas.context.words;
    for pair in levels.windows(2).filter(|pair| !format.reads_as_nothing(pair[1] - pair[0])) {
        let words = format.length(pair[1] - pair[0]);
        canvas.dimension([foot(pair[0]), foot(pair[1])], outward, &words);
    }
    if levels.len() > 2 {
        let words = canvas.context.words.length(last - first);
        canvas.dimension([foot(first), foot(last)], outward, &words);
    }
}

/// Names the roof faces turned to the eye, where their names fit.
fn name_faces(canvas: &mut Canvas<'_>, roof: &Roof, look: &Look, shift: Vector2<f64>) {
    for (_, face) in roof.roof_faces() {
        if face.plane.normal.dot(&look.towards) < 0.05 {
            continue;
        }
        let ring: Vec<Point2<f64>> = roof.ring(face).iter().map(|point| look.place(point) + shift).collect();
        let paper = canvas.rings(&[ring]);
        let line = Text::new(Point2::origin(), face.name());
        canvas.name_within(&paper, &Block::new(vec![line]), None);
    }
}

/// An isometric view from the quarter that shows most of the roof.
pub struct Isometric<'a> {
    roof: &'a Roof,
    named: bool,
    picture: Picture,
    fills: Vec<(Tone, Vec<Vec<Point2<f64>>>)>,
}

impl<'a> Isometric<'a> {
    /// Looks at a roof.
    #[must_use]
    pub fn new(roof: &'a Roof, body: &Body, context: &Context) -> Self {
        let axis = main_axis(roof);
        let across = Vector2::new(-axis.y, axis.x);
        let quarters = [-across + axis, -across - axis, across - axis, across + axis];
        let shown = |towards: &Vector2<f64>| -> f64 {
            let look = Look::isometric(*towards);
            hidden::edges(body, &look, None)
                .iter()
                .filter(|piece| piece.visible && matches!(piece.pen, Pen::Edge(_)))
                .map(|piece| (piece.ends[1] - piece.ends[0]).norm())
                .sum()
        };
        let mut best = (f64::NEG_INFINITY, quarters[0]);
        for quarter in quarters {
            let worth = shown(&quarter);
            if worth > best.0 * (1.0 + ROUNDING) || best.0 == f64::NEG_INFINITY {
                best = (worth, quarter);
            }
        }
        let look = Look::isometric(best.1);
        let caption = format!("seen from the {}", seen_from(context, best.1));
        let fills = super::painter::fills(body, &look);
        Self { roof, named: true, picture: Picture::of(body, look, None, caption), fills }
    }

    /// For the eye alone: without the names of its faces, and without a word on what may be measured.
    #[must_use]
    pub(crate) fn for_the_eye(self) -> Self {
        Self { named: false, ..self }
    }
}

impl Figure for Isometric<'_> {
    fn name(&self) -> String {
        "isometric".to_owned()
    }

    fn title(&self) -> String {
        format!("isometric view, {}", self.picture.caption)
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        (!self.picture.pieces.is_empty()).then_some((self.picture.low, self.picture.high))
    }

    fn furniture(&self) -> Furniture {
        let pens = self.picture.pieces.iter().filter(|piece| piece.visible).map(|piece| piece.pen);
        Furniture {
            key: key_of(pens),
            remarks: if self.named { vec![REMARK.to_owned()] } else { Vec::new() },
            north: false,
        }
    }

    fn surround(&self) -> [f64; 3] {
        [8.0, 8.0, 8.0]
    }

    fn is_measured(&self) -> bool {
        false
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        for (tone, rings) in &self.fills {
            canvas.area(*tone, rings);
        }
        self.picture.draw(canvas, Vector2::zeros(), false);
        if self.named {
            name_faces(canvas, self.roof, &self.picture.look, Vector2::zeros());
        }
    }
}
