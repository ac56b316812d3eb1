//! Details at 1:10 (1" to the foot): what lies at an eave, a verge, a ridge or a valley, in order, and how far what reaches. Only
//! what the roof file and the card state.

mod edge;
mod fold;
mod shape;

use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::frame::Furniture;
use crate::drawing::typeset::label::{Block, Leader};
use crate::drawing::typeset::model::{Anchor, Text};
use crate::drawing::typeset::pen::{Pen, Tone};
use crate::job::answer::Answer;
use crate::job::building::Detail;
use crate::roof::EdgeKind;
use crate::wording::building as words;
use crate::wording::roof::edge_word;
use crate::wording::units::Format;
use nalgebra::{Point2, Vector2};
use shape::Shape;

/// From line to line of the names of layers, millimetres.
const LINE: f64 = 4.2;

/// A detail's drawing.
#[derive(Clone, Debug)]
pub struct DetailFigure<'a> {
    detail: &'a Detail,
    /// Its place among details of its kind, from 1.
    number: usize,
    title: String,
    shape: Shape,
    format: Format,
}

impl<'a> DetailFigure<'a> {
    /// Every detail of an answer.
    #[must_use]
    pub fn all(answer: &'a Answer, format: Format) -> Vec<Self> {
        let details = &answer.building.details;
        let figure = |(index, detail): (usize, &'a Detail)| Self {
            detail,
            number: details[..index].iter().filter(|other| other.of == detail.of).count() + 1,
            title: words::detail_title(detail, &answer.roof, format),
            shape: match detail.of {
                EdgeKind::Eave | EdgeKind::Verge => edge::shape(detail, format),
                _ => fold::shape(detail, format),
            },
            format,
        };
        details.iter().enumerate().map(figure).collect()
    }

    /// What it is of, with the lengths that are not dimensioned: for a sheet that says once how details are meant.
    #[must_use]
    pub fn caption(&self) -> String {
        let lengths = words::detail_lengths(self.detail, self.format);
        format!("{}. {}", self.title, lengths.unwrap_or_default()).trim_end().to_owned()
    }

    /// The layers by name, the outermost first.
    fn names(&self) -> Vec<String> {
        self.detail.layers.iter().map(|layer| words::layer(layer, self.format)).collect()
    }

    /// Names the layers above the drawing, at a line that goes through them.
    fn name_layers(&self, canvas: &mut Canvas<'_>) {
        let (Some(([bottom, top], to_left)), Some((_, high))) = (self.shape.named_at, self.shape.bounds()) else {
            return;
        };
        let names = self.names();
        let above = canvas.paper(&Point2::new(top.x, high.y)).y + 3.0;
        let (low, at) = (canvas.paper(&bottom), canvas.paper(&top));
        let first = above + LINE * (names.len() as f64 - 1.0);
        canvas.paper_line(Pen::Leader, low, Point2::new(at.x, first + 2.0));
        dot(canvas, low);
        for (index, name) in names.iter().enumerate() {
            let y = first - LINE * index as f64;
            let (x, anchor) = if to_left { (at.x - 1.5, Anchor::End) } else { (at.x + 1.5, Anchor::Start) };
            let _lettered = canvas.try_text(Text::new(Point2::new(x, y), name.clone()).anchored(anchor));
        }
    }
}

/// A dot at a place on paper.
fn dot(canvas: &mut Canvas<'_>, at: Point2<f64>) {
    let ring = (0..8_u8).map(|step| {
        let (sine, cosine) = (f64::from(step) * std::f64::consts::FRAC_PI_4).sin_cos();
        at + Vector2::new(cosine, sine) * 0.5
    });
    canvas.drawing.area(Tone::Ink, vec![ring.collect()]);
}

impl Figure for DetailFigure<'_> {
    fn name(&self) -> String {
        format!("detail-{}-{}", edge_word(self.detail.of).replace(' ', "-"), self.number)
    }

    fn title(&self) -> String {
        format!("detail: {}", self.title)
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        self.shape.bounds()
    }

    fn furniture(&self) -> Furniture {
        Furniture {
            key: Vec::new(),
            remarks: words::detail_lengths(self.detail, self.format)
                .into_iter()
                .chain([words::DETAILS_REMARK.to_owned()])
                .collect(),
            north: false,
        }
    }

    fn surround(&self) -> [f64; 3] {
        [18.0, 32.0, 8.0 + LINE * self.detail.layers.len() as f64]
    }

    fn fixed_scale(&self) -> Option<f64> {
        Some(if self.format.imperial { 12.0 } else { 10.0 })
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        for (pen, ring) in &self.shape.rings {
            canvas.ring(*pen, ring);
        }
        for (pen, [from, to]) in &self.shape.lines {
            canvas.line(*pen, from, to);
        }
        self.name_layers(canvas);
        // The longest first, which has the fewest places; what finds no lane is led to.
        for (ends, outward, said) in self.shape.dimensions.iter().rev() {
            if !canvas.dimension(*ends, *outward, said) {
                canvas.lead_line(&ends[0], &ends[1], said);
            }
        }
        for (place, said) in &self.shape.led {
            let block = Block::new(vec![Text::new(Point2::origin(), said.clone())]);
            let target = canvas.paper(place);
            if !canvas.lead(target, &block, &Leader::to_area()) {
                canvas.number(target, said.clone());
            }
        }
    }
}
