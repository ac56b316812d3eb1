//! A drawing as ink on paper: millimetres from the lower left corner of the page, y upwards, whatever it is written as.

use super::pen::{Pen, Tone};
use nalgebra::{Point2, Vector2};
use std::ops::Range;
use std::sync::Arc;

/// Which end of a line of text stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The text starts there.
    Start,
    /// It is centred there.
    Middle,
    /// It ends there.
    End,
}

/// One line of lettering.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// On the baseline, millimetres.
    pub at: Point2<f64>,
    /// Height of its capitals, millimetres, as lettering is measured (ISO 3098).
    pub height: f64,
    /// Where along the line `at` is.
    pub anchor: Anchor,
    /// Direction of the baseline, radians anticlockwise from the page's x axis.
    pub angle: f64,
    /// Heavier lettering.
    pub bold: bool,
    /// What it says.
    pub words: String,
}

/// A piece of ink.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A line through points, closed or open.
    Line {
        /// What it stands for.
        pen: Pen,
        /// Two points or more.
        points: Vec<Point2<f64>>,
        /// Whether the last joins the first.
        closed: bool,
    },
    /// A filled area of rings (even-odd).
    Area {
        /// What it is filled for.
        tone: Tone,
        /// Outer ring, then holes.
        rings: Vec<Vec<Point2<f64>>>,
    },
    /// Lettering.
    Text(Text),
    /// A photo.
    Photo(Photo),
}

/// A photo laid on the page, upright.
#[derive(Clone, Debug, PartialEq)]
pub struct Photo {
    /// Its lower left corner, millimetres.
    pub low: Point2<f64>,
    /// Its width and height, millimetres.
    pub size: [f64; 2],
    /// The picture as a JPEG file.
    pub jpeg: Arc<[u8]>,
}

/// Where the model lies on the page, for writers of real units and for reading measures back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// The place of the model's origin, millimetres.
    pub origin: Point2<f64>,
    /// Millimetres on paper for a metre of the model.
    pub factor: f64,
}

impl View {
    /// A place of the model on paper.
    #[must_use]
    pub fn to_paper(&self, place: &Point2<f64>) -> Point2<f64> {
        self.origin + place.coords * self.factor
    }

    /// A place on paper in the model, metres.
    #[must_use]
    pub fn to_model(&self, place: &Point2<f64>) -> Point2<f64> {
        Point2::from((place - self.origin) / self.factor)
    }

    /// The scale's second number: 50 for 1:50.
    #[must_use]
    pub fn scale(&self) -> f64 {
        1000.0 / self.factor
    }
}

/// What a stretch of a page is, for those who hear it read instead of seeing it.
#[derive(Clone, Debug, PartialEq)]
pub enum Role {
    /// A heading of a level, the title's 1.
    Heading(u8),
    /// Running text.
    Paragraph,
    /// A drawing, in words.
    Figure(String),
    /// A cell of a table: the table's number, the row's, whether it is a head.
    Cell {
        /// The table.
        table: usize,
        /// The row.
        row: usize,
        /// Whether it heads its column.
        head: bool,
    },
}

/// Items of a page that belong together. What is in no stretch (frames, page numbers, running heads) is not read.
#[derive(Clone, Debug, PartialEq)]
pub struct TextSpan {
    /// Which items.
    pub items: Range<usize>,
    /// What they are.
    pub role: Role,
    /// Stretches of one number are one thing that goes on over the page.
    pub number: usize,
}

/// A dimension: what is measured, and where that is told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dimension {
    /// The two places whose distance it tells, millimetres.
    pub measured: [Point2<f64>; 2],
    /// The ends of its line, in the same order; the distance is told along it.
    pub line: [Point2<f64>; 2],
    /// The middle of its lettering.
    pub lettered: Point2<f64>,
}

/// What ink means as a whole, for writers that know more than lines and letters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Meaning {
    /// A dimension with its lines and its lettering.
    Dimension(Dimension),
    /// The key that explains pens: its lines are none of what is drawn.
    Legend,
}

/// One page.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Short and unique in its set, for a file's name: `plan`, `face-store-A`.
    pub name: String,
    /// In words: "roof plan".
    pub title: String,
    /// Width and height of the page, millimetres.
    pub size: [f64; 2],
    /// Where the model lies; `None` for pages without one scale.
    pub view: Option<View>,
    /// Where "page x of y" goes, once the set is complete.
    pub page_slot: Option<Text>,
    /// Ink in the order it is laid down.
    pub items: Vec<Item>,
    /// What of it is what, in reading order; empty for a page that is one figure.
    pub stretches: Vec<TextSpan>,
    /// Items that mean something as a whole, in order, none of them twice.
    pub wholes: Vec<(Range<usize>, Meaning)>,
}

impl Drawing {
    /// An empty page.
    #[must_use]
    pub fn new(name: impl Into<String>, title: impl Into<String>, size: [f64; 2]) -> Self {
        Self {
            name: name.into(),
            title: title.into(),
            size,
            view: None,
            page_slot: None,
            items: Vec::new(),
            stretches: Vec::new(),
            wholes: Vec::new(),
        }
    }

    /// Says what the items from `start` on mean as a whole.
    pub fn mean(&mut self, start: usize, meaning: Meaning) {
        if start < self.items.len() {
            self.wholes.push((start..self.items.len(), meaning));
        }
    }

    /// Says what the items from `start` on are. Lines of one number that follow each other become one stretch.
    pub fn mark(&mut self, start: usize, role: Role, number: usize) {
        let items = start..self.items.len();
        if items.is_empty() {
            return;
        }
        match self.stretches.last_mut() {
            Some(last) if last.number == number && last.items.end == items.start => last.items.end = items.end,
            _ => self.stretches.push(TextSpan { items, role, number }),
        }
    }

    /// Draws a straight line.
    pub fn line(&mut self, pen: Pen, from: Point2<f64>, to: Point2<f64>) {
        self.items.push(Item::Line { pen, points: vec![from, to], closed: false });
    }

    /// Draws a closed ring.
    pub fn ring(&mut self, pen: Pen, points: Vec<Point2<f64>>) {
        self.items.push(Item::Line { pen, points, closed: true });
    }

    /// Fills an area.
    pub fn area(&mut self, tone: Tone, rings: Vec<Vec<Point2<f64>>>) {
        self.items.push(Item::Area { tone, rings });
    }

    /// Letters a line.
    pub fn text(&mut self, text: Text) {
        self.items.push(Item::Text(text));
    }

    /// Letters a line over a blank ground, for lettering on fine lines.
    pub fn masked_text(&mut self, text: Text) {
        self.area(Tone::Paper, vec![text.bounds().corners().to_vec()]);
        self.text(text);
    }

    /// Lays another drawing's ink on this page, its lower left corner at a place.
    pub fn inset(&mut self, other: &Drawing, at: Point2<f64>) {
        let shift = at.coords;
        let moved = |points: &[Point2<f64>]| points.iter().map(|point| point + shift).collect::<Vec<_>>();
        let first = self.items.len();
        for (items, meaning) in &other.wholes {
            let meaning = match meaning {
                Meaning::Legend => Meaning::Legend,
                Meaning::Dimension(Dimension { measured, line, lettered }) => Meaning::Dimension(Dimension {
                    measured: measured.map(|place| place + shift),
                    line: line.map(|place| place + shift),
                    lettered: lettered + shift,
                }),
            };
            self.wholes.push((first + items.start..first + items.end, meaning));
        }
        for item in &other.items {
            self.items.push(match item {
                Item::Line { pen, points, closed } => Item::Line { pen: *pen, points: moved(points), closed: *closed },
                Item::Area { tone, rings } => {
                    Item::Area { tone: *tone, rings: rings.iter().map(|ring| moved(ring)).collect() }
                }
                Item::Text(text) => Item::Text(Text { at: text.at + shift, ..text.clone() }),
                Item::Photo(photo) => Item::Photo(Photo { low: photo.low + shift, ..photo.clone() }),
            });
        }
    }

    /// A line with a filled head at its end.
    pub(crate) fn arrow(&mut self, pen: Pen, from: Point2<f64>, to: Point2<f64>, head: f64) {
        let Some(along) = (to - from).try_normalize(f64::EPSILON) else { return };
        let across = Vector2::new(-along.y, along.x) * (head * 0.3);
        let neck = to - along * head;
        self.line(pen, from, neck);
        self.area(Tone::Ink, vec![vec![to, neck + across, neck - across]]);
    }

    /// Every line of lettering.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.items.iter().filter_map(|item| if let Item::Text(text) = item { Some(text) } else { None })
    }

    /// Every straight piece drawn with pens that pass the test.
    pub fn strokes(&self, wanted: impl Fn(Pen) -> bool) -> Vec<(Pen, Point2<f64>, Point2<f64>)> {
        let mut strokes = Vec::new();
        for item in &self.items {
            if let Item::Line { pen, points, closed } = item
                && wanted(*pen)
            {
                strokes.extend(points.windows(2).map(|pair| (*pen, pair[0], pair[1])));
                if let (true, Some(&first), Some(&last)) = (*closed, points.first(), points.last()) {
                    strokes.push((*pen, last, first));
                }
            }
        }
        strokes
    }
}
