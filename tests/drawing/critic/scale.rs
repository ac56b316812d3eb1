//! Whether a drawing could be larger at a usual scale.

use eavewright::drawing::typeset::paper;
use eavewright::drawing::{Drawing, Item, Pen};
use nalgebra::Point2;

#[derive(Clone, Copy)]
struct Extent {
    low: Point2<f64>,
    high: Point2<f64>,
}

impl Extent {
    fn of(points: impl IntoIterator<Item = Point2<f64>>) -> Option<Self> {
        let each = points.into_iter().map(|point| Self { low: point, high: point });
        each.reduce(|a, b| Self { low: a.low.inf(&b.low), high: a.high.sup(&b.high) })
    }
}

/// Figures whose scale is not the page's to choose: sheets of one net share one, and what nobody measures on has scales
/// between the usual ones.
const OTHERWISE: [&str; 3] = ["net", "construction", "isometric"];

/// Between two dimension lines, millimetres: lengthened lines may need one lane more.
const LANE: f64 = 7.0;

/// A drawing on a sheet of its own that the next usual scale would suit: what is drawn grows, lettering and dimension lanes
/// keep their size. Where labels are led from outside their room cannot be told by measuring: such drawings are left out.
pub fn could_be_larger(drawing: &Drawing, imperial: bool) -> Vec<String> {
    let Some(view) = drawing.view else { return Vec::new() };
    let led = drawing.strokes(|pen| pen == Pen::Leader).len();
    if led > 0 || OTHERWISE.iter().any(|name| drawing.name.starts_with(name)) {
        return Vec::new();
    }
    let scale = view.scale();
    let Some(larger) = paper::scales(imperial).iter().copied().rfind(|next| *next < scale - 1e-6) else {
        return Vec::new();
    };
    let Some(room) = room(drawing) else { return Vec::new() };
    let inside = |point: &Point2<f64>| point.y > room.low.y && point.x > room.low.x && point.x < room.high.x;
    let model =
        |pen: Pen| !matches!(pen, Pen::Frame | Pen::Rule | Pen::Dimension | Pen::Leader | Pen::Arrow | Pen::Casing);
    let strokes = drawing.strokes(model).into_iter().flat_map(|(_, from, to)| [from, to]).filter(inside);
    let Some(drawn) = Extent::of(strokes) else { return Vec::new() };
    let lettering = drawing.texts().filter(|text| inside(&text.at)).flat_map(|text| text.bounds().corners());
    let lines = drawing.strokes(|pen| matches!(pen, Pen::Dimension)).into_iter().flat_map(|(_, from, to)| [from, to]);
    let Some(all) = Extent::of(lettering.chain(lines.filter(inside)).chain([drawn.low, drawn.high])) else {
        return Vec::new();
    };
    let grown = scale / larger;
    let fits = (0..2).all(|axis| {
        let around = (all.high[axis] - all.low[axis]) - (drawn.high[axis] - drawn.low[axis]);
        (drawn.high[axis] - drawn.low[axis]) * grown + around + LANE <= room.high[axis] - room.low[axis]
    });
    if fits { vec![format!("drawn at 1:{scale:.0}, though 1:{larger:.0} has room")] } else { Vec::new() }
}

/// What a framed page leaves for the drawing: above the title block and the key, within the frame.
fn room(drawing: &Drawing) -> Option<Extent> {
    let frame = drawing.items.iter().find_map(|item| match item {
        Item::Line { pen: Pen::Frame, points, closed: true } => Extent::of(points.iter().copied()),
        _ => None,
    })?;
    let rules = drawing.strokes(|pen| pen == Pen::Rule).into_iter();
    let across = rules.filter(|(_, from, to)| (to.x - from.x).abs() > frame.high.x - frame.low.x - 1.0);
    let strip = across.map(|(_, from, _)| from.y).reduce(f64::max)?;
    // Rows of the key, one over the other.
    let mut top = strip;
    for row in 0..12 {
        let y = strip + 2.2 + 5.5 * f64::from(row);
        if !drawing.texts().any(|text| (text.at.y - y).abs() < 0.01 && text.angle == 0.0) {
            break;
        }
        top = y + 5.3;
    }
    Some(Extent {
        low: Point2::new(frame.low.x + 2.0, top + 1.0),
        high: Point2::new(frame.high.x - 2.0, frame.high.y - 2.0),
    })
}
