//! What a detail is drawn of: outlines, lines, what is led to them and what is dimensioned.

use crate::drawing::typeset::pen::Pen;
use crate::job::building::{Detail, Layer, LayerOf};
use nalgebra::{Point2, Vector2};

/// How far lines of layers whose thickness is not stated are drawn apart, metres.
pub(super) const APART: f64 = 0.009;

/// How far a slope is drawn beyond what matters, metres.
pub(super) const BEYOND: f64 = 0.24;

/// A detail's drawing in its own plane: x level, y plumb, metres; the fold or the drip edge at the origin, in the roof's surface.
#[derive(Clone, Debug, Default)]
pub(super) struct Shape {
    /// Closed outlines.
    pub rings: Vec<(Pen, Vec<Point2<f64>>)>,
    /// Lines.
    pub lines: Vec<(Pen, [Point2<f64>; 2])>,
    /// Words led to places.
    pub led: Vec<(Point2<f64>, String)>,
    /// Lengths dimensioned: from where to where, which way out, words.
    pub dimensions: Vec<([Point2<f64>; 2], Vector2<f64>, String)>,
    /// The line that the layers are named at, from the lowest up, and whether their names stand to its left.
    pub named_at: Option<([Point2<f64>; 2], bool)>,
}

/// One slope of a detail: from `from` outwards to `to` along x, rising with x times `sign`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slope {
    /// Along x, where the slope begins and ends.
    pub reach: [f64; 2],
    /// Rise for each unit of x.
    pub rise: f64,
    /// What makes a layer's thickness plumb: 1 over the cosine of the pitch.
    pub plumb: f64,
}

impl Slope {
    /// Height of the roof's surface at x.
    pub fn at(&self, x: f64) -> f64 {
        x * self.rise
    }

    /// A band of the slope between two plumb heights over its surface, from x to its far end.
    pub fn band(&self, from: f64, low: f64, high: f64) -> Vec<Point2<f64>> {
        let [a, b] =
            [from, self.reach[1]].map(|x| [Point2::new(x, self.at(x) + low), Point2::new(x, self.at(x) + high)]);
        let ring = vec![a[0], b[0], b[1], a[1]];
        if self.reach[1] < from { ring.into_iter().rev().collect() } else { ring }
    }
}

impl Shape {
    /// Draws the layers over the rafters of a slope and gives how high they lie, plumb. `past` is how far the covering goes on
    /// before the slope's beginning.
    pub fn layers(&mut self, detail: &Detail, slope: &Slope, past: f64) -> f64 {
        let mut height = 0.0;
        let start = slope.reach[0];
        let out = (start - slope.reach[1]).signum();
        for layer in detail.layers.iter().rev().filter(|layer| layer.of != LayerOf::Rafter) {
            let from = if layer.of.is_covering() { start + out * past } else { start };
            match layer.thickness {
                Some(thickness) => {
                    let top = height + thickness * slope.plumb;
                    self.rings.push((pen_of(layer), slope.band(from, height, top)));
                    height = top;
                }
                None if layer.of == LayerOf::Caps || layer.of == LayerOf::ValleyLining => {}
                None => {
                    height += APART * slope.plumb;
                    let ends = [from, slope.reach[1]].map(|x| Point2::new(x, slope.at(x) + height));
                    self.lines.push((pen_of(layer), ends));
                }
            }
        }
        height
    }

    /// The corners of the box about it.
    pub fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        let rings = self.rings.iter().flat_map(|(_, ring)| ring.iter().copied());
        let all = || rings.clone().chain(self.lines.iter().flat_map(|(_, ends)| *ends));
        Some((all().reduce(|a, b| a.inf(&b))?, all().reduce(|a, b| a.sup(&b))?))
    }
}

/// What a layer is drawn with: what bears in a middle line, sheets in a fine one, the covering in a heavy one.
pub(super) fn pen_of(layer: &Layer) -> Pen {
    match layer.of {
        // Two heavy lines would leave nothing between them.
        of if of.is_covering() && layer.thickness.is_some() => Pen::Course,
        LayerOf::Underlay | LayerOf::BaseLayer => Pen::Row,
        LayerOf::Deck | LayerOf::Battens | LayerOf::CounterBattens | LayerOf::Rafter => Pen::Timber,
        _ => Pen::Section,
    }
}

/// A rectangle by its lower left corner and its size.
pub(super) fn rectangle(low: Point2<f64>, size: [f64; 2]) -> Vec<Point2<f64>> {
    [(0.0, 0.0), (size[0], 0.0), (size[0], size[1]), (0.0, size[1])].map(|(x, y)| low + Vector2::new(x, y)).to_vec()
}
