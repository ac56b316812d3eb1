//! How far rings reach.

use nalgebra::Point2;

/// The box about rings.
pub(super) fn box_of(rings: &[Vec<Point2<f64>>]) -> (Point2<f64>, Point2<f64>) {
    let places = || rings.iter().flatten().copied();
    let low = places().reduce(|a, b| a.inf(&b)).unwrap_or_else(Point2::origin);
    (low, places().reduce(|a, b| a.sup(&b)).unwrap_or_else(Point2::origin))
}
