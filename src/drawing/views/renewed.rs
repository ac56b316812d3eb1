//! A face with what a repair renews and what it lifts.

use super::extent::box_of;
use super::face::{FaceShape, Laid};
use crate::base::polygon_boolean::{Region, common};
use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::format::Format;
use crate::drawing::typeset::frame::Furniture;
use crate::drawing::typeset::label::{Block, Leader};
use crate::drawing::typeset::model::Text;
use crate::drawing::typeset::pen::{Pen, Tone};
use crate::job::answer::Answer;
use crate::takeoff::layout::FaceLayout;
use crate::takeoff::repair::RepairAnswer;
use crate::wording::repair::{LIFTED, RENEWED};
use nalgebra::{Point2, Vector2};

/// A face in true shape with its courses, the repair over it.
#[derive(Clone, Debug)]
pub struct Renewed<'a> {
    shape: FaceShape<'a>,
    repair: &'a RepairAnswer,
    fresh: Vec<Region>,
    lifted: Vec<Region>,
    words: Format,
}

impl<'a> Renewed<'a> {
    /// Of a repair and the layout of its face; `None` for a face without a shape of its own or without such courses.
    #[must_use]
    pub fn new(answer: &'a Answer, layout: &'a FaceLayout, repair: &'a RepairAnswer, words: Format) -> Option<Self> {
        let shape = FaceShape::new(answer, repair.face, Laid::Courses(layout), &[], words)?.without_lettering();
        let shift = shape.frame().to_face(&layout.frame.origin).coords;
        let foot = |course: usize| layout.courses.get(course).map(|course| course.butt_v);
        let head = |course: usize| foot(course + 1).or_else(|| layout.courses.get(course).map(|last| last.head_v));
        let [first, last] = repair.courses.map(|course| course.saturating_sub(1));
        let between = |low: f64, high: f64| {
            let [left, right] = repair.along;
            let corners = [(left, low), (right, low), (right, high), (left, high)];
            let ring = corners.map(|(u, v)| Point2::new(u, v) + shift).to_vec();
            common(shape.rings(), &[ring])
        };
        let renewed = between(foot(first)?, head(last)?);
        let lifted = match head(last).zip(head(last + repair.lifted)) {
            Some((low, high)) if repair.lifted > 0 => between(low, high),
            _ => Vec::new(),
        };
        Some(Self { shape, repair, fresh: renewed, lifted, words })
    }
}

impl Figure for Renewed<'_> {
    fn name(&self) -> String {
        format!("repair-{}", self.shape.name())
    }

    fn title(&self) -> String {
        format!("what is renewed of {}", self.shape.face_name())
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        self.shape.bounds()
    }

    fn furniture(&self) -> Furniture {
        let own = self.shape.furniture();
        let mut key = own.key;
        key.push((Pen::Mark, "what the repair renews and lifts".to_owned()));
        Furniture { key, remarks: Vec::new(), ..own }
    }

    fn surround(&self) -> [f64; 3] {
        self.shape.surround()
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        for (tone, regions) in [(Tone::Caution, &self.fresh), (Tone::Tab, &self.lifted)] {
            for region in regions {
                canvas.area(tone, &region.rings);
            }
        }
        self.shape.draw(canvas);
        for (word, regions) in [(RENEWED, &self.fresh), (LIFTED, &self.lifted)] {
            for region in regions {
                region.rings.iter().for_each(|ring| canvas.ring(Pen::Mark, ring));
                let paper = canvas.rings(&region.rings);
                let block = Block::new(vec![Text::new(Point2::origin(), word.to_owned()).bold()]);
                if !canvas.name_within(&paper, &block, None) {
                    let target = nalgebra::center(&paper[0][0], &paper[0][2 % paper[0].len()]);
                    let leader = Leader::to_area();
                    canvas.lead(target, &block, &leader);
                }
            }
        }
        // Where it begins and how far it goes, from the left end of the face.
        let (low, _) = box_of(self.shape.rings());
        let (drawn, _) = box_of(&self.fresh.iter().flat_map(|region| region.rings.clone()).collect::<Vec<_>>());
        let [left, right] = self.repair.along;
        let from = drawn.x.max(low.x);
        let to = from + (right - left.max(0.0));
        for [a, b] in [[low.x, from], [from, to]] {
            if b - a > 0.0 {
                let ends = [Point2::new(a, low.y), Point2::new(b, low.y)];
                canvas.dimension(ends, Vector2::new(0.0, -1.0), &self.words.length(b - a));
            }
        }
    }
}
