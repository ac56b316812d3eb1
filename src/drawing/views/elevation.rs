//! Elevations from four sides, a section across the ridge, an isometric view: hidden lines removed.

use super::body::Body;
use super::hidden::{self, Cut, Look, Seen};
use crate::base::tolerance::ROUNDING;
use crate::drawing::Context;
use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::format;
use crate::drawing::typeset::frame::Furniture;
use crate::drawing::typeset::label::Block;
use crate::drawing::typeset::lettering::MEDIUM;
use crate::drawing::typeset::model::Text;
use crate::drawing::typeset::pen::{Pen, Tone};
use crate::job::answer::Answer;
use crate::roof::Roof;
use crate::roof::analysis::dimensions;
use crate::roof::analysis::dimensions::{Slope, main_axis};
use crate::wording::estimate;
use crate::wording::roof::edge_word;
use nalgebra::{Point2, Vector2};
use std::collections::BTreeSet;

/// Where a view is seen from, as a compass word.
fn seen_from(context: &Context, towards: Vector2<f64>) -> &'static str {
    format::compass(context.north + towards.x.atan2(towards.y))
}

/// What may be measured on the isometric view.
const REMARK: &str = "Lengths along the building, across it and plumb are to scale; slopes and hips are not: measure them on the \
                      true shapes. Hidden lines are left out.";

/// One view: its pieces, and the box about what is seen.
struct Picture {
    look: Look,
    pieces: Vec<Seen>,
    low: Point2<f64>,
    high: Point2<f64>,
    caption: String,
}

impl Picture {
    fn of(body: &Body, look: Look, cut: Option<&Cut>, caption: String) -> Self {
        let pieces = hidden::edges(body, &look, cut);
        let ends = || pieces.iter().flat_map(|piece| piece.ends);
        let low = ends().reduce(|a, b| a.inf(&b)).unwrap_or_else(Point2::origin);
        let high = ends().reduce(|a, b| a.sup(&b)).unwrap_or_else(Point2::origin);
        Self { look, pieces, low, high, caption }
    }

    fn draw(&self, canvas: &mut Canvas<'_>, shift: Vector2<f64>, hidden: bool) {
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

fn key_of(pieces: impl Iterator<Item = Pen>) -> Vec<(Pen, String)> {
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

/// Four elevations on one page.
pub struct Elevations<'a> {
    roof: &'a Roof,
    datum: f64,
    pictures: Vec<Picture>,
    cell: Vector2<f64>,
}

impl<'a> Elevations<'a> {
    /// Looks at a roof from four sides.
    #[must_use]
    pub fn new(roof: &'a Roof, body: &Body, context: &Context, datum: f64) -> Self {
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
        Self { roof, datum, pictures, cell: Vector2::new(width + 0.27 * gap, height + 0.34 * gap) }
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
        let remark = if self.roof.feet.is_empty() {
            "Heights are those of the points measured."
        } else {
            "Heights are above datum; walls stand under the edge of the roof."
        };
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
            heights(canvas, self.roof, self.datum, &picture.look, shift);
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
    let places = below.into_iter().chain([4.0, 6.0, 9.0].map(|up| over + Vector2::new(0.0, up)));
    for place in places {
        if canvas.try_text(text.clone().centred(place)) {
            return;
        }
    }
    canvas.letter(&Block::new(vec![text]), under - Vector2::new(0.0, 14.5));
}

/// Heights of eaves and of the highest point, dimensioned at the right of a view.
fn heights(canvas: &mut Canvas<'_>, roof: &Roof, datum: f64, look: &Look, shift: Vector2<f64>) {
    let levels = dimensions::heights(roof, datum);
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

/// What is told of a slope that is cut.
struct Told {
    name: String,
    length: String,
    run: Option<String>,
    pitch: String,
}

/// A section across the longest ridge, or through the highest point where there is none.
pub struct Section {
    picture: Picture,
    cut: Vec<([Point2<f64>; 2], Option<Told>)>,
    levels: Vec<f64>,
    title: String,
}

impl Section {
    /// Cuts a roof.
    #[must_use]
    pub fn new(answer: &Answer, body: &Body, context: &Context) -> Option<Self> {
        let roof = &answer.roof;
        let plane = dimensions::cut_across(roof)?;
        let (point, towards) = (plane.point, plane.towards);
        let look = Look::level(towards);
        let cut = Cut { point, normal: look.towards };
        let mut lines = Vec::new();
        for (corners, flat) in body.triangles.iter().filter(|(_, flat)| body.flats[*flat].face.is_none()) {
            let triangle = corners.map(|at| body.places[at]);
            let Some([from, to]) = cut.line_in(&triangle) else { continue };
            lines.push(([look.place(&from), look.place(&to)], *flat));
        }
        let slopes = dimensions::slopes(roof, &plane);
        let others: Vec<[Point2<f64>; 2]> = join(lines).into_iter().map(|(ends, _)| ends).collect();
        let levels = dimensions::section_heights(roof, &slopes, 0.0);
        let describe = |slope: &Slope| {
            let given = answer.area(slope.face).value().is_some();
            let length = |metres: f64| {
                if given { context.words.length(metres) } else { estimate::NOT_DETERMINED.to_owned() }
            };
            Told {
                name: roof.faces[slope.face.index()].name(),
                length: length(slope.length()),
                run: given.then(|| length(slope.run())),
                pitch: estimate::angle(&answer.pitch(slope.face).alone()),
            }
        };
        let slopes = slopes.iter().map(|slope| (slope.ends.map(|end| look.place(&end)), Some(describe(slope))));
        let cut_lines = slopes.chain(others.into_iter().map(|ends| (ends, None))).collect();
        let caption = format!("seen from the {}", seen_from(context, towards));
        let title = format!("section across the {}, {caption}", if plane.across_ridge { "ridge" } else { "slope" });
        Some(Self { picture: Picture::of(body, look, Some(&cut), caption), cut: cut_lines, levels, title })
    }
}

/// Joins the cut lines of one polygon's triangles to one line.
fn join(lines: Vec<([Point2<f64>; 2], usize)>) -> Vec<([Point2<f64>; 2], usize)> {
    let mut joined: Vec<([Point2<f64>; 2], usize)> = Vec::new();
    for (mut ends, flat) in lines {
        let epsilon = ROUNDING * (1.0 + ends[0].coords.norm());
        let touching = |ends: &[Point2<f64>; 2], other: &[Point2<f64>; 2]| {
            (0..2).flat_map(|a| (0..2).map(move |b| (a, b))).find(|&(a, b)| (ends[a] - other[b]).norm() < epsilon)
        };
        while let Some((index, (a, b))) = joined.iter().enumerate().find_map(|(index, (other, owner))| {
            (*owner == flat).then(|| touching(&ends, other)).flatten().map(|at| (index, at))
        }) {
            ends = [ends[1 - a], joined[index].0[1 - b]];
            joined.remove(index);
        }
        if (ends[1] - ends[0]).norm() > epsilon {
            joined.push((ends, flat));
        }
    }
    joined
}

impl Figure for Section {
    fn name(&self) -> String {
        "section".to_owned()
    }

    fn title(&self) -> String {
        self.title.clone()
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        let ends = || self.cut.iter().flat_map(|(ends, _)| *ends).chain([self.picture.low, self.picture.high]);
        Some((ends().reduce(|a, b| a.inf(&b))?, ends().reduce(|a, b| a.sup(&b))?))
    }

    fn furniture(&self) -> Furniture {
        let pens = self.picture.pieces.iter().filter(|piece| piece.visible).map(|piece| piece.pen);
        let mut key = vec![(Pen::Section, "cut".to_owned())];
        key.extend(key_of(pens));
        Furniture {
            key,
            remarks: vec![
                "Lengths on the slope are of the roof's surface, from edge to edge in this plane; timbers lie below it."
                    .to_owned(),
            ],
            north: false,
        }
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        let still = Vector2::zeros();
        self.picture.draw(canvas, still, false);
        for (ends, _) in &self.cut {
            canvas.line(Pen::Section, &ends[0], &ends[1]);
        }
        let Some((low, high)) = self.bounds() else { return };
        let format = canvas.context.words;
        for (ends, told) in &self.cut {
            let Some(Told { name, length, run, pitch }) = told else { continue };
            if format.reads_as_nothing((ends[1] - ends[0]).norm()) {
                continue;
            }
            let words = format!("{name}  {length}  pitch {pitch}");
            let short = format!("{length}  {pitch}");
            let up = Some(Vector2::new(0.0, 1.0));
            if !canvas.name_along(&ends[0], &ends[1], &words, up) {
                canvas.name_line(&ends[0], &ends[1], &short, up);
            }
            // Run and rise of each slope.
            let drawn = (ends[1].x - ends[0].x).abs();
            if let Some(run) = run.as_ref().filter(|_| drawn > (high.x - low.x) * 0.02) {
                let below = [Point2::new(ends[0].x, low.y), Point2::new(ends[1].x, low.y)];
                canvas.dimension(below, Vector2::new(0.0, -1.0), run);
            }
        }
        let levels = &self.levels;
        let right = Vector2::new(1.0, 0.0);
        if levels.len() <= 5 {
            for pair in levels.windows(2).filter(|pair| !format.reads_as_nothing(pair[1] - pair[0])) {
                let words = format.length(pair[1] - pair[0]);
                canvas.dimension([Point2::new(high.x, pair[0]), Point2::new(high.x, pair[1])], right, &words);
            }
        }
        if let ([first, .., last], true) = (&levels[..], levels.len() > 2) {
            let words = canvas.context.words.length(last - first);
            canvas.dimension([Point2::new(high.x, *first), Point2::new(high.x, *last)], right, &words);
        }
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
