//! An eave, cut plumb up its slope, and a verge, cut plumb along its eave: the drip edge at the origin, the building to the right.

use super::shape::{BEYOND, Shape, Slope, rectangle};
use crate::drawing::typeset::pen::Pen;
use crate::job::building::{Detail, LayerOf, Measure};
use crate::roof::EdgeKind;
use crate::wording::building::named;
use crate::wording::units::Format;
use nalgebra::{Point2, Vector2};

/// How much of the wall is drawn below what stands on it, metres.
const WALL: f64 = 0.18;

/// An eave or a verge.
pub(super) fn shape(detail: &Detail, words: Format) -> Shape {
    let is_eave = detail.of == EdgeKind::Eave;
    let overhang = detail.length(Measure::Overhang);
    let rise = detail.slopes.first().copied().unwrap_or_default().tan();
    let plumb = 1.0 / detail.pitches.first().copied().unwrap_or_default().cos();
    let slope = Slope { reach: [0.0, overhang.unwrap_or(0.15) + BEYOND], rise, plumb };
    let mut shape = Shape::default();
    let projection = detail.length(Measure::PastFascia).unwrap_or(0.0);
    let fascia = detail.length(Measure::FasciaThickness).zip(detail.length(Measure::FasciaDepth));
    let behind = projection + fascia.map_or(0.0, |(thickness, _)| thickness);
    let past = detail.length(Measure::CoveringPast).unwrap_or(0.0) / plumb;
    let high = shape.layers(detail, &slope, past);
    let depth = detail.layers.iter().find(|layer| layer.of == LayerOf::Rafter).and_then(|layer| layer.thickness);
    let plate = overhang.zip(detail.length(Measure::Heel)).map(|(x, heel)| Point2::new(x, slope.at(x) - heel));
    if let (Some(depth), true) = (depth, is_eave) {
        shape.rings.push(rafter(
            &slope,
            behind,
            depth * plumb,
            plate.filter(|_| detail.length(Measure::Notch).is_some()),
        ));
    }
    let mut low = slope.at(0.0) - depth.unwrap_or(0.0) * plumb;
    if let Some((thickness, deep)) = fascia {
        // Its outer upper edge lies in the roof's surface; a verge board is as deep square to the rake.
        let deep = if is_eave { deep } else { deep * plumb };
        let under = slope.at(projection) - deep;
        shape.rings.push((Pen::Timber, rectangle(Point2::new(projection, under), [thickness, deep])));
        let middle = Point2::new(projection + thickness / 2.0, under + deep * 0.25);
        shape.led.push((
            middle,
            named(
                words,
                if is_eave { "fascia" } else { "verge board" },
                &[thickness, if is_eave { deep } else { deep / plumb }],
            ),
        ));
        low = low.min(under);
        if let (Some(soffit), Some(x)) = (detail.length(Measure::Soffit), overhang) {
            let from = projection + thickness;
            if x > from {
                shape.rings.push((Pen::Timber, rectangle(Point2::new(from, under), [x - from, soffit])));
                shape.led.push((
                    Point2::new(f64::midpoint(from, x), under + soffit / 2.0),
                    named(words, "soffit", &[soffit]),
                ));
            }
        }
        if projection > 0.0 {
            shape.dimensions.push(dimension(projection, under, named(words, "past the fascia", &[projection])));
        }
    }
    if let Some(x) = overhang {
        wall(&mut shape, detail, x, plate, (&slope, low), words);
    }
    let x = slope.reach[1] - 0.06;
    let bottom = slope.at(x) - depth.map_or(0.0, |depth| depth * plumb / 2.0);
    shape.named_at = Some(([Point2::new(x, bottom), Point2::new(x, slope.at(x) + high)], true));
    shape
}

/// A level length from the drip edge inwards, dimensioned below.
fn dimension(x: f64, y: f64, said: String) -> ([Point2<f64>; 2], Vector2<f64>, String) {
    ([Point2::new(0.0, y), Point2::new(x, y)], Vector2::new(0.0, -1.0), said)
}

/// A rafter from its foot to where the drawing ends, notched over the plate where that is told.
fn rafter(slope: &Slope, foot: f64, depth: f64, plate: Option<Point2<f64>>) -> (Pen, Vec<Point2<f64>>) {
    let end = slope.reach[1];
    let under = |x: f64| Point2::new(x, slope.at(x) - depth);
    let mut ring = vec![under(foot)];
    if let Some(plate) = plate {
        let inner = (plate.y + depth) / slope.rise.max(f64::MIN_POSITIVE);
        if under(plate.x).y < plate.y && inner < end {
            ring.extend([under(plate.x), plate, under(inner)]);
        }
    }
    ring.extend([under(end), Point2::new(end, slope.at(end)), Point2::new(foot, slope.at(foot))]);
    (Pen::Timber, ring)
}

/// The wall below, with its plate where that is stated.
fn wall(
    shape: &mut Shape,
    detail: &Detail,
    x: f64,
    plate: Option<Point2<f64>>,
    (slope, low): (&Slope, f64),
    words: Format,
) {
    let mut top = plate.map_or(slope.at(x), |plate| plate.y);
    let sized = detail.length(Measure::PlateWidth).zip(detail.length(Measure::PlateDepth));
    if let (Some(at), Some((width, deep))) = (plate, sized) {
        shape.rings.push((Pen::Timber, rectangle(Point2::new(x, at.y - deep), [width, deep])));
        shape.led.push((Point2::new(x + width / 2.0, at.y - deep / 2.0), named(words, "plate", &[width, deep])));
        top = at.y - deep;
    }
    let bottom = top.min(low) - WALL;
    shape.lines.push((Pen::Wall, [Point2::new(x, bottom), Point2::new(x, top)]));
    if let Some(thickness) = detail.length(Measure::Wall) {
        shape.lines.push((Pen::Wall, [Point2::new(x + thickness, bottom), Point2::new(x + thickness, top)]));
        shape.led.push((Point2::new(x + thickness / 2.0, bottom + WALL / 3.0), named(words, "wall", &[thickness])));
    }
    shape.dimensions.push(dimension(x, bottom, named(words, "overhang", &[x])));
}
