//! A ridge or a valley, cut plumb and square to it in plan: the fold at the origin.

use super::shape::{APART, BEYOND, Shape, Slope, rectangle};
use crate::drawing::typeset::pen::Pen;
use crate::job::building::{Detail, LayerOf, Measure};
use crate::roof::EdgeKind;
use crate::wording::building::named;
use crate::wording::units::Format;
use nalgebra::Point2;

/// A ridge or a valley.
pub(super) fn shape(detail: &Detail, words: Format) -> Shape {
    let is_ridge = detail.of == EdgeKind::Ridge;
    let mut shape = Shape::default();
    let reach = BEYOND + 0.04;
    let thickness = detail.length(Measure::FoldThickness);
    let depth = detail.layers.iter().find(|layer| layer.of == LayerOf::Rafter).and_then(|layer| layer.thickness);
    let falls = if is_ridge { -1.0 } else { 1.0 };
    let mut high = 0.0;
    let slopes: Vec<(f64, Slope)> = [-1.0, 1.0]
        .into_iter()
        .zip(detail.slopes.iter().zip(&detail.pitches))
        .map(|(side, (slope, pitch))| {
            (side, Slope { reach: [0.0, side * reach], rise: side * falls * slope.tan(), plumb: 1.0 / pitch.cos() })
        })
        .collect();
    let across = detail.length(Measure::ReachAcross).unwrap_or(1.0);
    for (side, slope) in &slopes {
        // The covering of an open valley stops short of its middle.
        let clear = detail.length(Measure::ValleyClear).unwrap_or(0.0) * across;
        high = shape.layers(detail, slope, -clear);
        if let Some(depth) = depth {
            let from = side * thickness.unwrap_or(0.0) / 2.0;
            shape.rings.push((Pen::Timber, slope.band(from, -depth * slope.plumb, 0.0)));
        }
        if let Some(cover) = detail.length(Measure::CapCover).filter(|_| is_ridge) {
            let x = side * cover / slope.plumb;
            let over = high + 0.006;
            shape.lines.push((Pen::Section, [Point2::new(0.0, over), Point2::new(x, slope.at(x) + over)]));
        }
        if let (Some(width), Some(across)) = (detail.length(Measure::LiningWidth), detail.length(Measure::ReachAcross))
        {
            // Each side has half of it, as far as the drawing goes.
            let x = side * (width / 2.0 * across).min(reach);
            let over = high - APART / 2.0;
            shape.lines.push((Pen::Section, [Point2::new(0.0, over), Point2::new(x, slope.at(x) + over)]));
        }
    }
    if let Some((thickness, deep)) = thickness.zip(detail.length(Measure::FoldDepth)) {
        let top = -detail.length(Measure::Lowered).unwrap_or(0.0);
        let low = Point2::new(-thickness / 2.0, top - deep);
        shape.rings.push((Pen::Timber, rectangle(low, [thickness, deep])));
        let what = if is_ridge { "ridge board" } else { "valley rafter" };
        shape.led.push((Point2::new(0.0, low.y + deep * 0.2), named(words, what, &[thickness, deep])));
    }
    if let Some((_, left)) = slopes.first() {
        let x = -reach + 0.08;
        let bottom = left.at(x) - depth.map_or(0.0, |depth| depth * left.plumb / 2.0);
        shape.named_at = Some(([Point2::new(x, bottom), Point2::new(x, left.at(x) + high)], false));
    }
    shape
}
