//! Whether the corners of a face are held well enough for its numbers to mean something. Standard deviations are carried
//! to first order: where a corner may lie metres away, an area that stands still for its first millimetre says nothing.

use super::covariance::Covariance;
use super::equation::{Source, Term};
use super::minimum::Minimum;
use super::report::LARGEST_SD;
use super::state::State;
use crate::base::ids::PointId;
use crate::base::polygon::vector_area;
use nalgebra::Point3;

/// A pitch whose standard deviation is more than this, radians, and more than [`LARGEST_SD`] of it, is not answered (3°).
const LARGEST_PITCH_SD: f64 = std::f64::consts::PI / 60.0;

/// A state elsewhere tells nothing new when a corner lies within so many standard deviations there.
const BEYOND_CHANCE: f64 = 4.0;

/// A corner of a face that is hardly held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Loose {
    /// The point.
    pub point: usize,
    /// Standard deviation of its place, or how far off it may lie as well, metres.
    pub sd: f64,
}

/// The corner of a face that is held worst, where its standard deviation is more than [`LARGEST_SD`] of the face's extent; or
/// that lies farthest off in another minimum which gives the face another area than chance would.
pub(super) fn loose_corner(
    minimum: &Minimum<'_>,
    covariance: &Covariance,
    face: usize,
    [area, area_sd]: [f64; 2],
) -> Option<Loose> {
    if is_taped_triangle(minimum, face) {
        return None;
    }
    let network = minimum.network;
    let points = &network.survey.faces[face].points;
    let places_of = |state: &State| -> Vec<Point3<f64>> {
        points.iter().map(|point| state.places[network.point_place[point.index()]]).collect()
    };
    let places = places_of(minimum.state);
    let extent = places.iter().flat_map(|a| places.iter().map(move |b| (a - b).norm())).fold(0.0, f64::max);
    let along: Vec<_> = minimum.rivals.iter().map(places_of).collect();
    let is_another = |ring: &Vec<Point3<f64>>| (vector_area(ring).norm() - area).abs() > BEYOND_CHANCE * area_sd;
    let apart: Vec<_> = minimum.other_minima.iter().map(places_of).filter(is_another).collect();
    let loose = points.iter().enumerate().filter_map(|(corner, point)| {
        let first = covariance.point(point.index());
        let variance: Option<f64> = (0..3).map(|k| covariance.variance(&[(first + k, 1.0)])).sum();
        let sd = variance?.sqrt();
        let farthest = |rings: &[Vec<Point3<f64>>]| {
            rings.iter().map(|ring| (ring[corner] - places[corner]).norm()).fold(0.0, f64::max)
        };
        let elsewhere = farthest(&along);
        // What is within chance of here the standard deviation tells.
        let off = if elsewhere > BEYOND_CHANCE * sd { elsewhere } else { sd }.max(farthest(&apart));
        (!apart.is_empty() || off > LARGEST_SD * extent).then_some(Loose { point: point.index(), sd: off })
    });
    loose.max_by(|a, b| a.sd.total_cmp(&b.sd))
}

/// Whether a face is a triangle with a length taped along every side: however it swings, its area stands still.
fn is_taped_triangle(minimum: &Minimum<'_>, face: usize) -> bool {
    let network = minimum.network;
    let [a, b, c] = network.survey.faces[face].points[..] else { return false };
    let place = |point: PointId| network.point_place[point.index()];
    let is_taped = |one: PointId, other: PointId| {
        let ends = [place(one), place(other)];
        network.weighted.iter().chain(&network.exact).any(|equation| match equation.term {
            Term::Distance(p, q) => equation.source != Source::Datum && (ends == [p, q] || ends == [q, p]),
            _ => false,
        })
    };
    is_taped(a, b) && is_taped(b, c) && is_taped(c, a)
}

/// Whether a pitch is answered.
pub(super) fn is_pitch_held(pitch: f64, sd: f64) -> bool {
    sd <= (LARGEST_SD * pitch).max(LARGEST_PITCH_SD)
}
