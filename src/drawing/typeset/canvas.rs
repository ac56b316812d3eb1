//! A drawing under way: the page, where the model lies on it, and where lettering stands already.

use super::board::{Board, Tilted};
use super::dimension;
use super::label::{self, Block, Leader};
use super::model::{Drawing, Item, Text, View};
use super::pen::{Pen, Tone};
use crate::drawing::Context;
use nalgebra::{Point2, Vector2};

/// Where a leader may reach a line: its middle, else farther along.
#[must_use]
pub fn along(from: Point2<f64>, to: Point2<f64>) -> Vec<Point2<f64>> {
    [0.5, 0.35, 0.65, 0.2, 0.8].map(|share| from + (to - from) * share).to_vec()
}

/// The state of one figure being drawn. All lettering goes through it, so that none overlaps.
#[derive(Clone, Debug)]
pub struct Canvas<'a> {
    /// How numbers are written.
    pub context: &'a Context,
    /// Where the model lies.
    pub view: View,
    /// The label index.
    pub board: Board,
    /// The page.
    pub drawing: Drawing,
    /// Whether lettering gets a blank ground: where fine lines run beneath it.
    pub blank_ground: bool,
    /// What has more leaders than this will not be used: no place is looked for then.
    pub(crate) most_leaders: usize,
    leaders: usize,
    unplaced: Vec<String>,
    /// How much ink was on the page before anything was drawn.
    first: usize,
}

impl<'a> Canvas<'a> {
    /// A page with nothing drawn on it yet.
    #[must_use]
    pub fn new(context: &'a Context, drawing: Drawing, view: View, board: Board) -> Self {
        let first = drawing.items.len();
        Self {
            context,
            view,
            board,
            drawing,
            blank_ground: false,
            most_leaders: usize::MAX,
            leaders: 0,
            unplaced: Vec::new(),
            first,
        }
    }

    /// The page, and what found no place on it.
    #[must_use]
    pub fn finish(self) -> (Drawing, Vec<String>) {
        (self.drawing, self.unplaced)
    }

    /// What found no place so far, by number.
    #[must_use]
    pub fn unplaced(&self) -> &[String] {
        &self.unplaced
    }

    /// The corners of the box about all that is drawn, frames and keys aside; `None` when nothing is.
    #[must_use]
    pub fn drawn_extent(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        let places = self.drawing.items[self.first..].iter().flat_map(|item| match item {
            Item::Line { points, .. } => points.clone(),
            Item::Area { rings, .. } => rings.iter().flatten().copied().collect(),
            Item::Text(text) => text.bounds().corners().to_vec(),
            Item::Photo(photo) => vec![photo.low, photo.low + Vector2::from(photo.size)],
        });
        let boxes = places.map(|place| (place, place));
        boxes.reduce(|(low, high), (other, _)| (low.inf(&other), high.sup(&other)))
    }

    /// Whether more labels are led to what they name than is of use.
    #[must_use]
    pub(crate) fn has_too_many_leaders(&self) -> bool {
        self.leaders > self.most_leaders
    }

    /// How far from calm the page is: a leader is one step, a label without a place several.
    #[must_use]
    pub(crate) fn clutter(&self) -> usize {
        self.leaders + 5 * self.unplaced.len()
    }

    /// A place of the model on paper.
    #[must_use]
    pub fn paper(&self, place: &Point2<f64>) -> Point2<f64> {
        self.view.to_paper(place)
    }

    /// Rings of the model on paper.
    #[must_use]
    pub fn rings(&self, rings: &[Vec<Point2<f64>>]) -> Vec<Vec<Point2<f64>>> {
        rings.iter().map(|ring| ring.iter().map(|place| self.paper(place)).collect()).collect()
    }

    /// Draws a line of the model that lettering keeps clear of.
    pub fn line(&mut self, pen: Pen, from: &Point2<f64>, to: &Point2<f64>) {
        let (from, to) = (self.paper(from), self.paper(to));
        self.board.note_line(from, to);
        self.drawing.line(pen, from, to);
    }

    /// Draws a line on paper that lettering keeps clear of.
    pub(crate) fn paper_line(&mut self, pen: Pen, from: Point2<f64>, to: Point2<f64>) {
        self.board.note_line(from, to);
        self.drawing.line(pen, from, to);
    }

    /// Draws a fine line of the model that lettering may lie over.
    pub(crate) fn fine_line(&mut self, pen: Pen, from: &Point2<f64>, to: &Point2<f64>) {
        let (from, to) = (self.paper(from), self.paper(to));
        self.drawing.line(pen, from, to);
    }

    /// Draws a ring of the model that lettering keeps clear of.
    pub fn ring(&mut self, pen: Pen, ring: &[Point2<f64>]) {
        let ring: Vec<Point2<f64>> = ring.iter().map(|place| self.paper(place)).collect();
        for (index, from) in ring.iter().enumerate() {
            self.board.note_line(*from, ring[(index + 1) % ring.len()]);
        }
        self.drawing.ring(pen, ring);
    }

    /// Fills rings of the model.
    pub fn area(&mut self, tone: Tone, rings: &[Vec<Point2<f64>>]) {
        let rings = self.rings(rings);
        self.drawing.area(tone, rings);
    }

    /// Dimensions between two places of the model; see [`dimension::dimension`].
    pub fn dimension(&mut self, ends: [Point2<f64>; 2], outward: Vector2<f64>, words: &str) -> bool {
        let ends = [self.paper(&ends[0]), self.paper(&ends[1])];
        dimension::dimension(&mut self.board, &mut self.drawing, ends, outward, words, self.blank_ground)
    }

    /// Letters a line of the model along it, else leads a label to its middle, else numbers it.
    pub(crate) fn name_line(
        &mut self,
        from: &Point2<f64>,
        to: &Point2<f64>,
        words: &str,
        prefer: Option<Vector2<f64>>,
    ) {
        if !self.name_along(from, to, words, prefer) {
            self.lead_line(from, to, words);
        }
    }

    /// Letters a line of the model along it, if there is room.
    pub(crate) fn name_along(
        &mut self,
        from: &Point2<f64>,
        to: &Point2<f64>,
        words: &str,
        prefer: Option<Vector2<f64>>,
    ) -> bool {
        let (from, to) = (self.paper(from), self.paper(to));
        let placed = label::along(&mut self.board, from, to, words, prefer);
        placed.map(|text| self.text(text)).is_some()
    }

    /// Leads a label to the middle of a line of the model, else numbers it.
    pub(crate) fn lead_line(&mut self, from: &Point2<f64>, to: &Point2<f64>, words: &str) {
        let (from, to) = (self.paper(from), self.paper(to));
        let block = Block::new(vec![Text::new(Point2::origin(), words)]);
        let leader = Leader::to_line(to - from);
        if !self.lead_to_one(&along(from, to), &block, &leader) {
            let number = self.next_number();
            if !self.lead_to_one(&along(from, to), &number, &leader) {
                let _numbered = self.lead_to_one(&along(from, to), &number, &Leader::to_area());
            }
            self.unplaced.push(words.to_owned());
        }
    }

    /// Leads a block to a place on paper.
    pub fn lead(&mut self, target: Point2<f64>, block: &Block, leader: &Leader) -> bool {
        if self.has_too_many_leaders() {
            return false;
        }
        let led = label::led(&mut self.board, &mut self.drawing, target, block, leader);
        self.leaders += usize::from(led);
        led
    }

    /// Numbers what found no place; its words go to the key page.
    pub fn number(&mut self, target: Point2<f64>, words: String) {
        let block = self.next_number();
        let _numbered = self.lead(target, &block, &Leader::to_area());
        self.unplaced.push(words);
    }

    /// Leads a block to the first of several places on paper that a leader reaches.
    pub fn lead_to_one(&mut self, targets: &[Point2<f64>], block: &Block, leader: &Leader) -> bool {
        targets.iter().any(|target| self.lead(*target, block, leader))
    }

    /// Numbers what found no place with the number inside rings on paper, else led there.
    pub fn number_within(&mut self, rings: &[Vec<Point2<f64>>], target: Point2<f64>, words: String) {
        let block = self.next_number();
        if self.name_within(rings, &block, None) {
            self.unplaced.push(words);
        } else {
            self.number(target, words);
        }
    }

    fn next_number(&self) -> Block {
        Block::new(vec![Text::new(Point2::origin(), (self.unplaced.len() + 1).to_string()).bold()])
    }

    /// Letters a block with its middle at a place on paper, without asking whether it is free.
    pub fn letter(&mut self, block: &Block, centre: Point2<f64>) {
        for text in block.at(centre) {
            self.board.take(text.bounds().grown(0.7));
            self.text(text);
        }
    }

    /// Letters a line on paper if its place is free, over blank paper.
    pub(crate) fn try_text(&mut self, text: Text) -> bool {
        let place = text.bounds();
        if !self.board.is_free(&place.grown(0.3)) || self.board.is_crossed(&place) {
            return false;
        }
        self.board.take(place.grown(0.3));
        self.text(text);
        true
    }

    fn text(&mut self, text: Text) {
        if self.blank_ground {
            self.drawing.masked_text(text);
        } else {
            self.drawing.text(text);
        }
    }

    /// An arrow on paper that lettering keeps clear of.
    pub(crate) fn arrow(&mut self, from: Point2<f64>, to: Point2<f64>, head: f64) {
        self.drawing.arrow(Pen::Arrow, from, to, head);
        let along = to - from;
        let half = [along.norm() / 2.0 + 0.5, 1.2];
        self.board.take(Tilted { centre: nalgebra::center(&from, &to), half, angle: along.y.atan2(along.x) });
    }

    /// Letters a block inside rings on paper, with an arrow beyond it pointing `down` when that is given.
    pub(crate) fn name_within(
        &mut self,
        rings: &[Vec<Point2<f64>>],
        block: &Block,
        down: Option<Vector2<f64>>,
    ) -> bool {
        let [width, height] = block.size();
        let Some(down) = down else {
            let Some(centre) = label::inside(&self.board, rings, [width + 2.0, height + 1.0]) else { return false };
            self.letter(block, centre);
            return true;
        };
        for arrow in [11.0, 7.0, 5.0] {
            let out = 1.0 / (down.x.abs() / (width / 2.0)).max(down.y.abs() / (height / 2.0));
            let (start, end) = (down * (out + 1.0), down * (out + 1.0 + arrow));
            let low = Point2::new((-width / 2.0).min(end.x - 1.0), (-height / 2.0).min(end.y - 1.0));
            let high = Point2::new((width / 2.0).max(end.x + 1.0), (height / 2.0).max(end.y + 1.0));
            let size = [high.x - low.x + 1.0, high.y - low.y + 1.0];
            let Some(place) = label::inside(&self.board, rings, size) else { continue };
            let centre = place - nalgebra::center(&low, &high).coords;
            self.arrow(centre + start, centre + end, 2.6);
            self.letter(block, centre);
            return true;
        }
        false
    }
}
