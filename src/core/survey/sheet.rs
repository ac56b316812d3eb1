//! A plan, or any picture straight down in which a pixel is one size all over: an orthographic camera. Where it shows a place
//! is a similarity of the place in plan, so that marks tell how it lies by one linear least squares.

use super::scalar::Scalar;
use super::sight::Sight;
use super::slopes::Slopes;
use super::state::{Lens, Pose, SheetState, State};
use nalgebra::{Matrix3, Point2, Point3, Vector2};

/// From so high above, metres, a camera sees a building as a plan shows it: heights of ten metres shift a picture of four
/// thousand pixels by less than a hundredth of one.
const FAR_ABOVE: f64 = 1e7;

/// The pixel of a place.
pub(super) fn pixel<S: Scalar>([u0, v0, p, q]: [S; 4], anchor: &Point2<f64>, place: [S; 3]) -> [S; 2] {
    let (x, y) = (place[0] - S::constant(anchor.x), place[1] - S::constant(anchor.y));
    [u0 + p * x + q * y, v0 + q * x - p * y]
}

/// Distance of a pixel from the line through two places, pixels; 0 where these lie in one place of the plan.
pub(super) fn off_line<S: Scalar>(sheet: [S; 4], anchor: &Point2<f64>, ends: [[S; 3]; 2], at: [f64; 2]) -> S {
    let [a, b] = ends.map(|end| pixel(sheet, anchor, end));
    let way = [b[0] - a[0], b[1] - a[1]];
    let off = [S::constant(at[0]) - a[0], S::constant(at[1]) - a[1]];
    let length = (way[0] * way[0] + way[1] * way[1]).sqrt();
    if length.value() == 0.0 {
        return S::constant(0.0);
    }
    (way[0] * off[1] - way[1] * off[0]) / length
}

/// Pixels a metre.
pub(super) fn pixels_a_metre<S: Scalar>([_, _, p, q]: [S; 4]) -> S {
    (p * p + q * q).sqrt()
}

/// The derivatives of the pixel of a place given by shares of others, along a direction of the picture, but for those by u0
/// and v0.
fn pixel_slopes(state: &State, sheet: usize, places: &[(usize, f64)], across: [f64; 2], slopes: &mut Slopes<'_>) {
    let SheetState { anchor, values: [_, _, p, q] } = state.sheets[sheet];
    let first = slopes.layout.sheets[sheet];
    let by_plan = Vector2::new(p * across[0] + q * across[1], q * across[0] - p * across[1]);
    let mut at = Vector2::zeros();
    for &(place, share) in places {
        slopes.plan(place, &(by_plan * share));
        at += (state.places[place].xy() - anchor) * share;
    }
    slopes.add(Some(first + 2), across[0] * at.x - across[1] * at.y);
    slopes.add(Some(first + 3), across[0] * at.y + across[1] * at.x);
}

/// Where the sheet shows a place as the state has it.
pub(super) fn seen(sheet: &SheetState, place: &Point3<f64>) -> [f64; 2] {
    pixel(sheet.values, &sheet.anchor, [place.x, place.y, place.z])
}

/// A mark's column or row, with its derivatives.
pub(super) fn mark_slopes(state: &State, sheet: usize, place: usize, axis: usize, slopes: &mut Slopes<'_>) -> f64 {
    let across = if axis == 0 { [1.0, 0.0] } else { [0.0, 1.0] };
    pixel_slopes(state, sheet, &[(place, 1.0)], across, slopes);
    slopes.add(Some(slopes.layout.sheets[sheet] + axis), 1.0);
    seen(&state.sheets[sheet], &state.places[place])[axis]
}

/// [`off_line`], with its derivatives: those of the line's place nearest to the pixel, across the line.
pub(super) fn line_slopes(state: &State, sheet: usize, ends: [usize; 2], at: [f64; 2], slopes: &mut Slopes<'_>) -> f64 {
    let [a, b] = ends.map(|end| Vector2::from(seen(&state.sheets[sheet], &state.places[end])));
    let (way, off) = (b - a, Vector2::from(at) - a);
    let length = way.norm();
    let (share, across) = if length > 0.0 {
        (way.dot(&off) / (length * length), [way.y / length, -way.x / length])
    } else {
        (0.0, [0.0; 2])
    };
    pixel_slopes(state, sheet, &[(ends[0], 1.0 - share), (ends[1], share)], across, slopes);
    for (axis, part) in across.into_iter().enumerate() {
        slopes.add(Some(slopes.layout.sheets[sheet] + axis), part);
    }
    if length > 0.0 { way.perp(&off) / length } else { 0.0 }
}

/// Pixels a metre, with its derivatives.
pub(super) fn scale_slopes(state: &State, sheet: usize, slopes: &mut Slopes<'_>) -> f64 {
    let [_, _, p, q] = state.sheets[sheet].values;
    let length = p.hypot(q);
    if length > 0.0 {
        let first = slopes.layout.sheets[sheet];
        slopes.add(Some(first + 2), p / length);
        slopes.add(Some(first + 3), q / length);
    }
    length
}

/// How a plan lies that shows places at pixels: least squares; `None` where the places are one.
pub(super) fn fitted(pairs: &[(Point2<f64>, [f64; 2])]) -> Option<SheetState> {
    let count = pairs.len().max(1) as f64;
    let anchor = Point2::from(pairs.iter().map(|pair| pair.0.coords).sum::<Vector2<f64>>() / count);
    let [u0, v0] = [0, 1].map(|k| pairs.iter().map(|pair| pair.1[k]).sum::<f64>() / count);
    let (mut p, mut q, mut square) = (0.0, 0.0, 0.0);
    for (place, [u, v]) in pairs {
        let (d, u, v) = (place - anchor, u - u0, v - v0);
        p += u * d.x - v * d.y;
        q += u * d.y + v * d.x;
        square += d.norm_squared();
    }
    let values = [u0, v0, p / square, q / square];
    (square > 0.0 && (p != 0.0 || q != 0.0)).then_some(SheetState { anchor, values })
}

/// The place in plan that a pixel shows.
pub(super) fn in_plan(sheet: &SheetState, at: [f64; 2]) -> Point2<f64> {
    let [u0, v0, p, q] = sheet.values;
    let (u, v, square) = (at[0] - u0, at[1] - v0, p * p + q * q);
    sheet.anchor + Vector2::new(p * u + q * v, q * u - p * v) / square
}

/// The plan as a camera far above sees it.
pub(super) fn sight(sheet: &SheetState, size: [f64; 2]) -> Sight {
    let [u0, v0, p, q] = sheet.values;
    let length = p.hypot(q);
    let (p, q) = (p / length, q / length);
    let rotation = Matrix3::new(p, q, 0.0, q, -p, 0.0, 0.0, 0.0, -1.0);
    let centre = Point3::new(sheet.anchor.x, sheet.anchor.y, FAR_ABOVE);
    let lens = Lens { values: [(length * FAR_ABOVE).ln(), u0, v0, 0.0, 0.0] };
    Sight { pose: Pose { rotation, centre }, lens, size }
}
