//! A photo with the solved roof over it, on a page of its own or set into a sheet, so that the eye can judge what the
//! adjustment found.

use super::clip;
use super::overlay::{Overlay, SeenLine, SeenMark};
use crate::base::ids::EdgeId;
use crate::drawing::Context;
use crate::drawing::typeset::board::{Board, Tilted};
use crate::drawing::typeset::file_names::safe;
use crate::drawing::typeset::frame;
use crate::drawing::typeset::frame::{Area, Furniture};
use crate::drawing::typeset::label;
use crate::drawing::typeset::label::Block;
use crate::drawing::typeset::model::{Drawing, Item, Photo, Text};
use crate::drawing::typeset::paper::PaperSize;
use crate::drawing::typeset::pen::Pen;
use crate::job::Answer;
use crate::wording::estimate;
use crate::wording::roof::edge_word;
use nalgebra::{Point2, Vector2};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Half the width of a mark's cross, millimetres.
const CROSS: f64 = 1.7;
/// Half the diagonal of the square round a doubtful mark.
const DOUBT: f64 = 3.4;
/// Longest arrow from a mark to where its point appears.
const LONGEST_ARROW: f64 = 14.0;
/// How many times arrows may be lengthened.
const MAGNIFICATIONS: [f64; 8] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0];

/// What a page says of a photo beside the overlay itself.
#[derive(Clone, Debug)]
pub struct Shown {
    /// As the roof file names it.
    pub file: String,
    /// The photo, the right way up, as a JPEG file.
    pub jpeg: Arc<[u8]>,
}

/// A photo that was placed, with what it is drawn from.
#[derive(Clone, Debug)]
pub struct Taken {
    /// The solved roof over it.
    pub overlay: Overlay,
    /// The photo itself.
    pub shown: Shown,
}

/// The page.
#[must_use]
pub fn page(taken: &Taken, answer: &Answer, context: &Context) -> Drawing {
    let overlay = &taken.overlay;
    let small = PaperSize::family(context.series)[0];
    let upright = overlay.size[1] > overlay.size[0];
    let sheet = context.sheet.unwrap_or(small);
    let sheet = if upright { sheet } else { sheet.landscape() };
    // The scale depends on the room, the room on the furniture: its rows are the same whatever the magnification.
    let guess = frame::area(sheet, &furniture(overlay, 1.0));
    let magnification = magnification(overlay, Fit::new(overlay.size, &guess).factor);
    let furniture = furniture(overlay, magnification);
    let fit = Fit::new(overlay.size, &frame::area(sheet, &furniture));
    let page = frame::page(context, &taken.name(), &taken.title(), sheet, &furniture, None);
    Sketch::draw(page, taken, answer, context, fit, magnification)
}

/// The same without frame for setting into a sheet, as wide as the room and no higher.
#[must_use]
pub fn inset(taken: &Taken, answer: &Answer, context: &Context, room: [f64; 2]) -> Drawing {
    let overlay = &taken.overlay;
    let under = frame::key_height(room[0], &furniture(overlay, 1.0));
    let most = (room[1] - under).max(1.0);
    let high = (overlay.size[1] * room[0] / overlay.size[0]).min(most);
    let area = Area { low: Point2::new(0.0, under), high: Point2::new(room[0], under + high) };
    let fit = Fit::new(overlay.size, &area);
    let magnification = magnification(overlay, fit.factor);
    let mut page = Drawing::new(taken.name(), taken.title(), [room[0], under + high]);
    frame::key(&mut page, &furniture(overlay, magnification));
    Sketch::draw(page, taken, answer, context, fit, magnification)
}

impl Taken {
    fn name(&self) -> String {
        let file = &self.shown.file;
        let stem = file.rsplit_once('.').map_or(file.as_str(), |(stem, _)| stem);
        format!("photo-{}", safe(stem))
    }

    fn title(&self) -> String {
        format!("the solved roof over {}", self.shown.file)
    }
}

/// Where the photo lies on the page.
#[derive(Clone, Copy)]
struct Fit {
    /// Lower left corner, millimetres.
    low: Point2<f64>,
    /// Millimetres a pixel.
    factor: f64,
    pixels: [f64; 2],
}

impl Fit {
    fn new(pixels: [f64; 2], area: &Area) -> Self {
        let room = area.room();
        let factor = (room[0] / pixels[0]).min(room[1] / pixels[1]);
        let half = Vector2::new(pixels[0], pixels[1]) * (factor / 2.0);
        Self { low: area.middle() - half, factor, pixels }
    }

    fn high(&self) -> Point2<f64> {
        self.low + Vector2::new(self.pixels[0], self.pixels[1]) * self.factor
    }

    fn paper(&self, pixel: &Point2<f64>) -> Point2<f64> {
        self.low + Vector2::new(pixel.x, self.pixels[1] - pixel.y) * self.factor
    }

    fn frame(&self) -> Vec<Point2<f64>> {
        let high = self.high();
        vec![self.low, Point2::new(high.x, self.low.y), high, Point2::new(self.low.x, high.y)]
    }
}

/// The largest usual magnification at which no arrow is longer than it should be.
fn magnification(overlay: &Overlay, factor: f64) -> f64 {
    let longest = overlay.marks.iter().filter_map(SeenMark::miss).fold(0.0, f64::max) * factor;
    MAGNIFICATIONS.iter().rev().copied().find(|times| times * longest <= LONGEST_ARROW).unwrap_or(1.0)
}

fn furniture(overlay: &Overlay, magnification: f64) -> Furniture {
    let pens: BTreeSet<Pen> = overlay.lines.iter().filter(|line| !line.hidden).map(|line| line.pen).collect();
    let mut key: Vec<(Pen, String)> = pens
        .into_iter()
        .map(|pen| match pen {
            Pen::Edge(kind) => (pen, edge_word(kind).to_owned()),
            _ => (pen, "wall".to_owned()),
        })
        .collect();
    if overlay.lines.iter().any(|line| line.hidden) {
        key.push((Pen::Hidden, "hidden".to_owned()));
    }
    let mut said = "Cross: a mark as it was set. ".to_owned();
    said.push_str(&if magnification > 1.0 {
        format!("Arrow: from it to where the solved point appears, {magnification:.0} times as long as it is.")
    } else {
        "Arrow: from it to where the solved point appears.".to_owned()
    });
    if overlay.marks.iter().any(|mark| mark.is_suspect) {
        said.push_str(" In a square on its corner: a mark to doubt, with its standardised residual w.");
    }
    Furniture { key, remarks: vec![said], north: false }
}

struct Sketch {
    page: Drawing,
    board: Board,
    fit: Fit,
    magnification: f64,
}

impl Sketch {
    /// Lays the photo on a page and draws over it.
    fn draw(
        mut page: Drawing,
        taken: &Taken,
        answer: &Answer,
        context: &Context,
        fit: Fit,
        magnification: f64,
    ) -> Drawing {
        let overlay = &taken.overlay;
        let size = overlay.size.map(|pixels| pixels * fit.factor);
        page.items.push(Item::Photo(Photo { low: fit.low, size, jpeg: Arc::clone(&taken.shown.jpeg) }));
        let mut sketch = Self { board: Board::new(fit.low, fit.high()), page, fit, magnification };
        sketch.lines(overlay);
        sketch.marks(overlay);
        sketch.names(overlay, &|edge| estimate::length(&answer.length(edge), context.words));
        sketch.page
    }

    /// A line through places on paper with blank paper on either side.
    fn cased(&mut self, pen: Pen, points: Vec<Point2<f64>>) {
        for pair in points.windows(2) {
            self.board.note_line(pair[0], pair[1]);
        }
        self.page.items.push(Item::Line { pen: Pen::Casing, points: points.clone(), closed: false });
        self.page.items.push(Item::Line { pen, points, closed: false });
    }

    fn lines(&mut self, overlay: &Overlay) {
        for line in &overlay.lines {
            for piece in self.within(line) {
                if line.hidden {
                    self.page.items.push(Item::Line { pen: Pen::Hidden, points: piece, closed: false });
                } else {
                    self.cased(line.pen, piece);
                }
            }
        }
    }

    /// The pieces of a line on the photo, on paper.
    fn within(&self, line: &SeenLine) -> Vec<Vec<Point2<f64>>> {
        let rings = [self.fit.frame()];
        let mut pieces: Vec<Vec<Point2<f64>>> = Vec::new();
        for pair in line.points.windows(2) {
            let (from, to) = (self.fit.paper(&pair[0]), self.fit.paper(&pair[1]));
            for [a, b] in clip::inside(&rings, &from, &to) {
                match pieces.last_mut() {
                    Some(piece) if piece.last() == Some(&a) => piece.push(b),
                    _ => pieces.push(vec![a, b]),
                }
            }
        }
        pieces
    }

    fn marks(&mut self, overlay: &Overlay) {
        let (across, up) = (Vector2::x() * CROSS, Vector2::y() * CROSS);
        for mark in &overlay.marks {
            let at = self.fit.paper(&mark.at);
            if let Some(computed) = mark.computed {
                let to = at + (self.fit.paper(&computed) - at) * self.magnification;
                let head = (to - at).norm().min(1.6);
                if (to - at).norm() > 0.2 {
                    self.page.items.push(Item::Line { pen: Pen::Casing, points: vec![at, to], closed: false });
                    self.page.arrow(Pen::Arrow, at, to, head);
                    self.board.note_line(at, to);
                }
            }
            if mark.is_suspect {
                let corner = |x: f64, y: f64| at + Vector2::new(x, y) * DOUBT;
                let ring = [corner(1.0, 0.0), corner(0.0, 1.0), corner(-1.0, 0.0), corner(0.0, -1.0), corner(1.0, 0.0)];
                self.cased(Pen::Doubt, ring.to_vec());
            }
            self.cased(Pen::Mark, vec![at - across, at + across]);
            self.cased(Pen::Mark, vec![at - up, at + up]);
            let half = if mark.is_suspect { DOUBT } else { CROSS };
            self.board.take(Tilted { centre: at, half: [half, half], angle: 0.0 });
        }
    }

    /// Points by their marks, edges along themselves where there is room.
    fn names(&mut self, overlay: &Overlay, length: &dyn Fn(EdgeId) -> String) {
        for mark in &overlay.marks {
            let words = match mark.w.filter(|_| mark.is_suspect) {
                Some(w) => format!("{}: w {:.1}", mark.point, w.abs()),
                None => mark.point.clone(),
            };
            let text = Text::new(Point2::origin(), words);
            let text = if mark.is_suspect { text.bold() } else { text };
            let at = self.fit.paper(&mark.at);
            if let Some(placed) = self.beside(at, &text) {
                self.page.masked_text(placed);
            }
        }
        let mut named: BTreeSet<EdgeId> = BTreeSet::new();
        let seen: Vec<&SeenLine> = overlay.lines.iter().filter(|line| !line.hidden).collect();
        for line in seen {
            let (Pen::Edge(kind), Some(edge)) = (line.pen, line.edge) else { continue };
            let words = format!("{} {}", edge_word(kind), length(edge));
            for piece in self.within(line) {
                let (Some(&from), Some(&to)) = (piece.first(), piece.last()) else { continue };
                if named.contains(&edge) {
                    break;
                }
                if let Some(text) = label::along(&mut self.board, from, to, &words, None) {
                    self.page.masked_text(text);
                    named.insert(edge);
                }
            }
        }
    }

    /// The nearest free place for a short text beside a mark.
    fn beside(&mut self, at: Point2<f64>, text: &Text) -> Option<Text> {
        let [width, height] = Block::new(vec![text.clone()]).size();
        for ring in 0..5_u8 {
            for turn in 0..16_u8 {
                // Upper right first, then round.
                let angle = (f64::from(turn) + 2.0) * std::f64::consts::TAU / 16.0;
                let direction = Vector2::new(angle.cos(), angle.sin());
                let out = CROSS + 0.6 + f64::from(ring) * 1.5;
                let centre = at + Vector2::new(direction.x * (out + width / 2.0), direction.y * (out + height / 2.0));
                let placed = text.clone().centred(centre);
                let place = placed.bounds().grown(0.3);
                if self.board.is_free(&place) && !self.board.is_crossed(&place) {
                    self.board.take(place);
                    return Some(placed);
                }
            }
        }
        None
    }
}
