//! A face in true shape: the eave at the bottom, every edge and angle to mark out, what is laid on it.

use super::clip;
pub(super) use super::extent::box_of;
pub use super::face_groups::{groups, groups_as_coursed, groups_as_laid};
use super::rows::Rows;
use super::set_out;
use crate::base::ids::FaceId;
use crate::base::polygon;
use crate::base::tolerance::{ONE_PLACE, STRAIGHT};
use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::file_names::safe;
use crate::drawing::typeset::format;
use crate::drawing::typeset::format::Format;
use crate::drawing::typeset::frame::Furniture;
use crate::drawing::typeset::label;
use crate::drawing::typeset::label::Block;
use crate::drawing::typeset::lettering::{MEDIUM, SMALL};
use crate::drawing::typeset::model::{Anchor, Text};
use crate::drawing::typeset::pen::{Pen, Tone};
use crate::job::answer::Answer;
use crate::roof::analysis::dimensions;
use crate::roof::analysis::opening::CutOpening;
use crate::roof::model::frame::FaceFrame;
use crate::roof::{EdgeKind, Roof};
use crate::takeoff::card::{CoveringKind, SheetGoods};
use crate::takeoff::layout::FaceLayout;
use crate::takeoff::sheet::ordered_length;
use crate::wording::estimate;
use crate::wording::roof::edge_word;
use nalgebra::{Point2, Vector2};
use std::f64::consts::PI;

/// What is shown on a face.
#[derive(Clone, Copy, Debug)]
pub enum Laid<'a> {
    /// Nothing: the bare shape.
    Bare,
    /// Courses and joints.
    Courses(&'a FaceLayout),
    /// Courses alone: for faces that are laid in the same courses with other joints.
    CourseLines(&'a FaceLayout),
    /// Sheets cut to length.
    Sheets(&'a FaceLayout, &'a SheetGoods),
    /// Rows of underlay or deck.
    Rows(&'a Rows<'a>),
}

impl<'a> Laid<'a> {
    /// What a covering shows of its layout.
    #[must_use]
    pub fn of(layout: &'a FaceLayout, covering: &'a CoveringKind) -> Self {
        match covering {
            CoveringKind::Sheet(sheet) => Self::Sheets(layout, sheet),
            CoveringKind::Strip(_) | CoveringKind::Unit(_) | CoveringKind::Felt(_) => Self::Courses(layout),
        }
    }
}

/// A face in true shape as a figure.
#[derive(Clone, Debug)]
pub struct FaceShape<'a> {
    answer: &'a Answer,
    roof: &'a Roof,
    id: FaceId,
    frame: FaceFrame,
    laid: Laid<'a>,
    rings: Vec<Vec<Point2<f64>>>,
    openings: Vec<&'a CutOpening>,
    alike: Vec<String>,
    words: Format,
    lettered: bool,
}

impl<'a> FaceShape<'a> {
    /// The shape of a face; `None` for a level face, whose plan is its true shape already. `alike` are names of faces of
    /// the same shape that need no drawing of their own.
    #[must_use]
    pub fn new(answer: &'a Answer, id: FaceId, laid: Laid<'a>, alike: &[String], words: Format) -> Option<Self> {
        let roof = &answer.roof;
        let face = roof.faces.get(id.index())?;
        let frame = FaceFrame::of(roof, face)?;
        let flat = |ring: Vec<nalgebra::Point3<f64>>| ring.iter().map(|place| frame.to_face(place)).collect();
        let rings = std::iter::once(roof.ring(face)).chain(roof.holes(face)).map(flat).collect();
        let openings = answer.openings.iter().filter(|opening| opening.face == id).collect();
        Some(Self { answer, roof, id, frame, laid, rings, openings, alike: alike.to_vec(), words, lettered: true })
    }

    /// Without its angles, its name and its area: room for what else is drawn on it.
    #[must_use]
    pub(crate) fn without_lettering(self) -> Self {
        Self { lettered: false, ..self }
    }

    /// The face's own frame.
    #[must_use]
    pub fn frame(&self) -> &FaceFrame {
        &self.frame
    }

    /// The face's name.
    #[must_use]
    pub fn face_name(&self) -> String {
        self.face().name()
    }

    /// The rings in the face's frame, metres.
    #[must_use]
    pub fn rings(&self) -> &[Vec<Point2<f64>>] {
        &self.rings
    }

    fn face(&self) -> &crate::roof::Face {
        &self.roof.faces[self.id.index()]
    }

    fn edge_words(&self, canvas: &Canvas<'_>, index: usize) -> String {
        let id = self.face().edges[index];
        let length = estimate::length(&self.answer.length(id).alone(), canvas.context.words);
        format!("{} {length}", edge_word(self.roof.edges[id.index()].kind))
    }

    fn kind(&self, index: usize) -> EdgeKind {
        self.roof.edges[self.face().edges[index].index()].kind
    }

    fn draw_laid(&self, canvas: &mut Canvas<'_>) {
        match self.laid {
            Laid::Bare => {}
            Laid::Courses(layout) | Laid::CourseLines(layout) | Laid::Sheets(layout, _) => {
                self.draw_courses(canvas, layout);
            }
            Laid::Rows(rows) => rows.draw(canvas, &self.rings),
        }
    }

    fn draw_courses(&self, canvas: &mut Canvas<'_>, layout: &FaceLayout) {
        let shift = self.frame.to_face(&layout.frame.origin).coords;
        let place = |u: f64, v: f64| Point2::new(u, v) + shift;
        let outline: Vec<Vec<Point2<f64>>> =
            layout.outline.iter().map(|ring| ring.iter().map(|p| place(p.x, p.y)).collect()).collect();
        let (left, right) = span(&outline);
        let step = drawn_every(layout, canvas.view.factor);
        let last = layout.courses.len().saturating_sub(1);
        for (index, course) in layout.courses.iter().enumerate().step_by(step) {
            for [from, to] in clip::inside(
                &outline,
                &Point2::new(left - 1.0, course.butt_v + shift.y),
                &Point2::new(right + 1.0, course.butt_v + shift.y),
            ) {
                canvas.fine_line(Pen::Course, &from, &to);
            }
            if step > 1 || matches!(self.laid, Laid::CourseLines(_)) {
                continue;
            }
            // Of the last course all of it shows.
            let top = if index == last { course.head_v } else { course.butt_v + layout.gauge };
            for end in course.joints() {
                for [from, to] in clip::inside(&outline, &place(end, course.butt_v), &place(end, top)) {
                    canvas.fine_line(Pen::Joint, &from, &to);
                }
            }
        }
    }

    /// Numbers the courses at the left ends of their lines, as many as there is room for, the first and the last always.
    fn number_courses(&self, canvas: &mut Canvas<'_>, layout: &FaceLayout) {
        let rise = self.frame.to_face(&layout.frame.origin).y;
        let (left, right) = span(&self.rings);
        let spacing = layout.gauge * canvas.view.factor;
        let step = [1, 2, 5, 10, 20, 50, 100].into_iter().find(|&step| spacing * step as f64 >= 3.6).unwrap_or(200);
        let last = layout.courses.len();
        for (index, course) in layout.courses.iter().enumerate() {
            let number = index + 1;
            let from_ends = (number - 1).min(last - number) as f64 * spacing;
            let told = number == 1 || number == last || (number % step == 0 && from_ends >= 3.6);
            if !told {
                continue;
            }
            let v = course.butt_v + rise + layout.gauge / 2.0;
            let line = clip::inside(&self.rings, &Point2::new(left - 1.0, v), &Point2::new(right + 1.0, v));
            let at = line.first().map_or(Point2::new(left, v), |piece| piece[0]);
            let at = canvas.paper(&at) - Vector2::new(0.0, 0.38 * SMALL);
            // Outside the edge; where a dimension is in the way, inside it.
            let text = Text::new(at - Vector2::new(2.2, 0.0), number.to_string()).anchored(Anchor::End);
            if !canvas.try_text(text) {
                canvas.try_text(Text::new(at + Vector2::new(2.6, 0.0), number.to_string()));
            }
        }
    }

    /// Numbers the sheets at their feet in the order they are laid.
    fn number_sheets(&self, canvas: &mut Canvas<'_>, layout: &FaceLayout) {
        let shift = self.frame.to_face(&layout.frame.origin).coords;
        let pieces = layout.courses.iter().flat_map(|course| &course.pieces);
        for (index, piece) in pieces.enumerate() {
            let [left, right] = piece.extent();
            let foot = piece.parts.iter().flatten().map(|place| place.y).fold(f64::INFINITY, f64::min).max(0.0);
            let at = canvas.paper(&(Point2::new(f64::midpoint(left, right), foot) + shift)) + Vector2::new(0.0, 4.0);
            canvas.try_text(Text::new(Point2::origin(), (index + 1).to_string()).centred(at));
        }
    }

    /// Draws edges and openings.
    fn draw_outline(&self, canvas: &mut Canvas<'_>) {
        let mut index = 0;
        for ring in &self.rings {
            for (i, from) in ring.iter().enumerate() {
                canvas.line(Pen::Edge(self.kind(index)), from, &ring[(i + 1) % ring.len()]);
                index += 1;
            }
        }
        for opening in &self.openings {
            canvas.area(Tone::Paper, std::slice::from_ref(&opening.ring));
            canvas.area(Tone::Opening, std::slice::from_ref(&opening.ring));
            canvas.ring(Pen::Opening, &opening.ring);
        }
    }

    /// Names openings within them, over what is laid; gives what those are called whose names do not fit, and where they are.
    fn name_openings(&self, canvas: &mut Canvas<'_>) -> Vec<(Point2<f64>, Block)> {
        let mut unnamed = Vec::new();
        for opening in &self.openings {
            let ring = canvas.rings(std::slice::from_ref(&opening.ring));
            let line = |words: String| Text::new(Point2::origin(), words);
            let (_, size) = dimensions::box_about(&opening.ring);
            let words = canvas.context.words;
            let size = format!("{} x {}", words.length(size.x), words.length(size.y));
            let blocks = [
                Block::new(vec![line(opening.kind.clone()), line(size)]),
                Block::new(vec![line(opening.kind.clone())]),
            ];
            if !blocks.iter().any(|block| canvas.name_within(&ring, block, None)) {
                unnamed.push((nalgebra::center(&ring[0][0], &ring[0][2 % ring[0].len()]), blocks[0].clone()));
            }
        }
        unnamed
    }

    /// Dimensions the edges of the outer ring outside it; gives those that found no lane.
    fn dimension_edges(&self, canvas: &mut Canvas<'_>) -> Vec<usize> {
        let Some(ring) = self.rings.first() else { return Vec::new() };
        let mut left = Vec::new();
        for (index, from) in ring.iter().enumerate() {
            let to = &ring[(index + 1) % ring.len()];
            let Some(along) = (to - from).try_normalize(f64::EPSILON) else { continue };
            if canvas.context.words.reads_as_nothing((to - from).norm()) {
                continue;
            }
            let outward = Vector2::new(along.y, -along.x);
            let words = self.edge_words(canvas, index);
            if !canvas.dimension([*from, *to], outward, &words) {
                left.push(index);
            }
        }
        left
    }

    /// Offsets of the corners along the eave: what is needed to mark the shape out square.
    fn dimension_offsets(&self, canvas: &mut Canvas<'_>) {
        let Some(ring) = self.rings.first() else { return };
        let (low, _) = box_of(&self.rings);
        let stations = dimensions::stations(ring);
        if stations.len() > 2 && stations.len() <= 7 {
            let format = canvas.context.words;
            for pair in stations.windows(2).filter(|pair| !format.reads_as_nothing(pair[1] - pair[0])) {
                let ends = [Point2::new(pair[0], low.y), Point2::new(pair[1], low.y)];
                let words = canvas.context.words.length(pair[1] - pair[0]);
                canvas.dimension(ends, Vector2::new(0.0, -1.0), &words);
            }
        }
    }

    /// The height up the slope, unless a side that runs straight up it says that already.
    fn dimension_height(&self, canvas: &mut Canvas<'_>) {
        let Some(ring) = self.rings.first() else { return };
        let (low, high) = box_of(&self.rings);
        let epsilon = (high - low).norm() * ONE_PLACE;
        let tells_height = |(index, from): (usize, &Point2<f64>)| {
            let to = &ring[(index + 1) % ring.len()];
            (to.x - from.x).abs() < epsilon && ((to.y - from.y).abs() - (high.y - low.y)).abs() < epsilon
        };
        let is_nothing = canvas.context.words.reads_as_nothing(high.y - low.y);
        if !is_nothing && !ring.iter().enumerate().any(tells_height) {
            let ends = [Point2::new(high.x, low.y), high];
            let words = format!("up the slope {}", canvas.context.words.length(high.y - low.y));
            canvas.dimension(ends, Vector2::new(1.0, 0.0), &words);
        }
    }

    /// Its name, area and pitch inside it, else led to it.
    fn letter_name(&self, canvas: &mut Canvas<'_>) {
        let face = self.face();
        let line = |words: String| Text::new(Point2::origin(), words);
        let area = estimate::area(&self.answer.area(self.id).alone(), canvas.context.words);
        let pitch = format!("pitch {}", estimate::angle(&self.answer.pitch(self.id).alone()));
        let name = line(face.name()).height(MEDIUM).bold();
        let blocks = [
            Block::new(vec![name, line(area.clone()), line(pitch.clone())]),
            Block::new(vec![line(format!("{}  {area}  {pitch}", face.name()))]),
        ];
        let mut rings = self.rings.clone();
        rings.extend(self.openings.iter().map(|opening| opening.ring.clone()));
        let paper = canvas.rings(&rings);
        if !blocks.iter().any(|block| canvas.name_within(&paper, block, None)) {
            let everywhere = crate::drawing::typeset::board::Board::new(Point2::new(-1e9, -1e9), Point2::new(1e9, 1e9));
            let target = label::inside(&everywhere, &paper, [0.0, 0.0]).unwrap_or(paper[0][0]);
            let leader = label::Leader::to_area();
            let _led = canvas.lead(target, &blocks[0], &leader);
        }
    }

    /// The angle at each corner of the outer ring, inside it on its bisector.
    fn letter_angles(&self, canvas: &mut Canvas<'_>) {
        let Some(ring) = self.rings.first() else { return };
        let paper = canvas.rings(std::slice::from_ref(ring)).swap_remove(0);
        let angles = dimensions::angles(ring);
        for (index, (corner, &inside)) in paper.iter().zip(&angles).enumerate() {
            if (inside - PI).abs() < STRAIGHT {
                continue;
            }
            let after = paper[(index + 1) % paper.len()];
            let Some(a) = (after - corner).try_normalize(f64::EPSILON) else { continue };
            let middle = a.y.atan2(a.x) + inside / 2.0;
            let bisector = Vector2::new(middle.cos(), middle.sin());
            let text = Text::new(Point2::origin(), format::degrees(inside));
            for step in 0..24_u8 {
                let placed = text.clone().centred(corner + bisector * (4.5 + f64::from(step) * 1.5));
                if polygon::contains(&paper, &placed.bounds().centre) && canvas.try_text(placed) {
                    break;
                }
            }
        }
    }
}

/// Where course lines would lie closer than 1.8 mm only some are drawn: every second, fifth, tenth.
fn drawn_every(layout: &FaceLayout, factor: f64) -> usize {
    let spacing = layout.gauge * factor;
    [1, 2, 5, 10, 20, 50].into_iter().find(|&step| spacing * step as f64 >= 1.8).unwrap_or(100)
}

fn span(rings: &[Vec<Point2<f64>>]) -> (f64, f64) {
    let (low, high) = box_of(rings);
    (low.x, high.x)
}

impl Figure for FaceShape<'_> {
    fn name(&self) -> String {
        let what = match self.laid {
            Laid::Rows(rows) => rows.what,
            _ => "face",
        };
        format!("{}-{}", what.replace(' ', "-"), safe(&self.face().name()))
    }

    fn title(&self) -> String {
        let names: Vec<String> = std::iter::once(self.face().name()).chain(self.alike.iter().cloned()).collect();
        let what = match self.laid {
            Laid::Rows(rows) => rows.what,
            _ => "true shape",
        };
        format!("{what} of {}", names.join(", "))
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        let (low, high) = self.rings.first().map(|_| box_of(&self.rings))?;
        // Rows may reach over the face's edges.
        let rows = if let Laid::Rows(rows) = self.laid { rows.bounds() } else { None };
        Some(rows.map_or((low, high), |(left, right)| (low.inf(&left), high.sup(&right))))
    }

    fn furniture(&self) -> Furniture {
        let mut kinds: Vec<EdgeKind> = (0..self.face().edges.len()).map(|index| self.kind(index)).collect();
        kinds.sort_unstable();
        kinds.dedup();
        let mut key: Vec<(Pen, String)> =
            kinds.into_iter().map(|kind| (Pen::Edge(kind), edge_word(kind).to_owned())).collect();
        let mut remarks = Vec::new();
        match self.laid {
            Laid::Bare => {}
            Laid::Courses(layout) => {
                key.push((Pen::Course, "butt line of a course".to_owned()));
                key.push((Pen::Joint, "joint".to_owned()));
                remarks.push(format!(
                    "{} courses from the eave up at a gauge of {}, laid from the {}.",
                    layout.courses.len(),
                    self.words.finer(layout.gauge),
                    if layout.hand == crate::takeoff::details::Hand::Left { "left" } else { "right" }
                ));
            }
            Laid::CourseLines(layout) => {
                key.push((Pen::Course, "butt line of a course".to_owned()));
                remarks.push(format!(
                    "{} courses from the eave up at a gauge of {}; their joints differ, see how to lay it.",
                    layout.courses.len(),
                    self.words.finer(layout.gauge)
                ));
            }
            Laid::Sheets(layout, sheet) => {
                key.push((Pen::Joint, "side of a sheet".to_owned()));
                let pieces: Vec<_> = layout.courses.iter().flat_map(|course| &course.pieces).collect();
                let lengths: Vec<String> =
                    pieces.iter().map(|piece| self.words.length(ordered_length(piece, sheet))).collect();
                let rows = layout.courses.len();
                remarks.push(format!(
                    "{} sheet{} of {} cover in {rows} row{}, laid from the {}; in this order {}.",
                    pieces.len(),
                    if pieces.len() == 1 { "" } else { "s" },
                    self.words.fine(sheet.cover_width),
                    if rows == 1 { "" } else { "s" },
                    if layout.hand == crate::takeoff::details::Hand::Left { "left" } else { "right" },
                    lengths.join(", ").replace(" m,", ",")
                ));
            }
            Laid::Rows(rows) => {
                key.push((Pen::Row, "lower edge of a row".to_owned()));
                if !rows.joints().is_empty() {
                    key.push((Pen::Joint, "end of a piece".to_owned()));
                }
                remarks.push(rows.remark.clone());
            }
        }
        Furniture { key, remarks, north: false }
    }

    fn surround(&self) -> [f64; 3] {
        if let Laid::Rows(_) = self.laid { [6.0, 6.0, 6.0] } else { [14.0, 18.0, 14.0] }
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        canvas.area(Tone::Shape, &self.rings);
        canvas.blank_ground = !matches!(self.laid, Laid::Bare);
        self.draw_outline(canvas);
        self.draw_laid(canvas);
        let unnamed = self.name_openings(canvas);
        let left = if let Laid::Rows(rows) = self.laid {
            // The rows are what this drawing is for; lengths and angles stand on the true shape.
            rows.letter(canvas, &self.rings);
            Vec::new()
        } else {
            if self.lettered {
                set_out::dimension(canvas, &self.answer.set_out, self.id, box_of(&self.rings));
            }
            self.dimension_offsets(canvas);
            let left = self.dimension_edges(canvas);
            self.dimension_height(canvas);
            if let Laid::Courses(layout) | Laid::CourseLines(layout) = self.laid {
                self.number_courses(canvas, layout);
            }
            if let Laid::Sheets(layout, _) = self.laid {
                self.number_sheets(canvas, layout);
            }
            if self.lettered {
                self.letter_angles(canvas);
            }
            left
        };
        if self.lettered {
            self.letter_name(canvas);
        }
        for (place, block) in unnamed {
            let leader = label::Leader::to_area();
            let _led = canvas.lead(place, &block, &leader);
        }
        for index in left {
            let ring = &self.rings[0];
            let words = self.edge_words(canvas, index);
            canvas.name_line(&ring[index], &ring[(index + 1) % ring.len()], &words, None);
        }
    }
}
