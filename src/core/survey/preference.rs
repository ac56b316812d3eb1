//! Which of several states that fit the measurements alike is taken to be the roof: by stated directions, then rough
//! places, then feet below what stands on them, then cameras above the ground, then ridges over eaves, then faces whose
//! points run anticlockwise seen from above.

use super::network::Network;
use super::report::ChosenBy;
use super::start::orient;
use super::state::State;
use crate::base::polygon::signed_area;
use crate::survey::model::Known;
use nalgebra::Point2;
use std::cmp::Ordering;
use std::collections::HashMap;

/// What speaks for a state and against it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Preference {
    /// Stated directions that run another way.
    axes: usize,
    /// Root mean square distance from rough places, metres.
    rough: f64,
    /// Feet above what stands on them.
    feet: usize,
    /// Cameras below the ground.
    cameras: usize,
    /// How much higher folds lie than free edges, metres in the mean.
    ridges: f64,
    /// Faces that run anticlockwise less those that run clockwise, in plan.
    order: f64,
}

/// Rough places prefer a state when it is nearer to them by this factor.
const NEARER: f64 = 0.7;
/// Differences below this, metres, tell nothing.
const NOTHING: f64 = 0.05;
/// A stated direction is kept when its edge runs within 45° of it.
const ALONG: f64 = std::f64::consts::FRAC_1_SQRT_2;

impl Preference {
    pub(super) fn of(network: &Network<'_>, state: &State) -> Self {
        Self {
            axes: axes_against(network, state),
            rough: from_rough(network, state),
            feet: feet_above(network, state),
            cameras: cameras_below(network, state),
            ridges: ridges_over_eaves(network, state),
            order: anticlockwise(network, state),
        }
    }

    /// Which is preferred (`Less`: this one), and by what; `None` where nothing tells.
    pub(super) fn compare(&self, other: &Self) -> Option<(Ordering, ChosenBy)> {
        let differs = |a: f64, b: f64, least: f64| (a - b).abs() > least;
        if self.axes != other.axes {
            return Some((self.axes.cmp(&other.axes), ChosenBy::Axes));
        }
        let (near, far) = (self.rough.min(other.rough), self.rough.max(other.rough));
        if differs(near, far, NOTHING) && near < NEARER * far {
            return Some((self.rough.total_cmp(&other.rough), ChosenBy::RoughPlaces));
        }
        if self.feet != other.feet {
            return Some((self.feet.cmp(&other.feet), ChosenBy::Feet));
        }
        if self.cameras != other.cameras {
            return Some((self.cameras.cmp(&other.cameras), ChosenBy::Cameras));
        }
        if differs(self.ridges, other.ridges, NOTHING) {
            return Some((other.ridges.total_cmp(&self.ridges), ChosenBy::Ridges));
        }
        differs(self.order, other.order, 0.0).then(|| (other.order.total_cmp(&self.order), ChosenBy::OrderOfPoints))
    }

    /// Which of two states that differ in their shapes is preferred: the steeper roof has the higher ridges and is none the more
    /// likely for that.
    pub(super) fn compare_shapes(&self, other: &Self) -> Option<(Ordering, ChosenBy)> {
        let level = Self { ridges: other.ridges, ..*self };
        level.compare(other)
    }
}

fn axes_against(network: &Network<'_>, state: &State) -> usize {
    let runs_another_way = |axis: &&crate::survey::model::AxisHint| {
        let [from, to] = [axis.from, axis.to].map(|point| state.places[network.point_place[point.index()]]);
        let way = to - from;
        way.dot(&axis.along) < ALONG * way.norm()
    };
    network.survey.axes.iter().filter(runs_another_way).count()
}

fn from_rough(network: &Network<'_>, state: &State) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for (point, &place) in network.survey.points.iter().zip(&network.point_place) {
        if let Known::Near(near) = point.known {
            sum += (state.places[place] - near).norm_squared();
            count += 1.0;
        }
    }
    if count > 0.0 { (sum / count).sqrt() } else { 0.0 }
}

/// Places of the points of any face.
fn on_faces(network: &Network<'_>) -> Vec<bool> {
    let mut on_face = vec![false; network.layout.places.len()];
    for point in network.survey.faces.iter().flat_map(|face| &face.points) {
        on_face[network.point_place[point.index()]] = true;
    }
    on_face
}

/// Feet: of two places of which one stands above the other, the one that is on no face, where the other is on one.
fn feet(network: &Network<'_>) -> Vec<[usize; 2]> {
    let on_face = on_faces(network);
    let foot_first = |[a, b]: [usize; 2]| match (on_face[a], on_face[b]) {
        (false, true) => Some([a, b]),
        (true, false) => Some([b, a]),
        _ => None,
    };
    orient::plumb_pairs(network).filter_map(foot_first).collect()
}

fn feet_above(network: &Network<'_>, state: &State) -> usize {
    feet(network).iter().filter(|[foot, top]| state.places[*foot].z > state.places[*top].z).count()
}

/// The ground is taken to be at the lowest foot, or at the lowest place where there is none.
fn cameras_below(network: &Network<'_>, state: &State) -> usize {
    let feet: Vec<usize> = feet(network).iter().map(|pair| pair[0]).collect();
    if feet.is_empty() {
        return 0;
    }
    let ground = feet.iter().map(|&place| state.places[place].z).fold(f64::INFINITY, f64::min);
    let used = state.poses.iter().zip(&network.layout.poses).filter(|(_, used)| used.is_some());
    used.filter(|(pose, _)| pose.centre.z < ground).count()
}

/// Mean height of edges that two faces share less that of edges of one face alone, weighted by their lengths.
fn ridges_over_eaves(network: &Network<'_>, state: &State) -> f64 {
    let mut faces_of: HashMap<[usize; 2], usize> = HashMap::new();
    for face in &network.survey.faces {
        let places: Vec<usize> = face.points.iter().map(|point| network.point_place[point.index()]).collect();
        for (&a, &b) in places.iter().zip(places.iter().cycle().skip(1)) {
            *faces_of.entry([a.min(b), a.max(b)]).or_default() += 1;
        }
    }
    // In a fixed order, so that the same input gives the same sum.
    let mut edges: Vec<([usize; 2], usize)> = faces_of.into_iter().collect();
    edges.sort_unstable();
    let (mut shared, mut free) = ([0.0; 2], [0.0; 2]);
    for ([a, b], count) in edges {
        let (from, to) = (state.places[a], state.places[b]);
        let length = (to - from).norm();
        let sum = if count > 1 { &mut shared } else { &mut free };
        sum[0] += length * f64::midpoint(from.z, to.z);
        sum[1] += length;
    }
    if shared[1] > 0.0 && free[1] > 0.0 { shared[0] / shared[1] - free[0] / free[1] } else { 0.0 }
}

fn anticlockwise(network: &Network<'_>, state: &State) -> f64 {
    let runs = network.survey.faces.iter().map(|face| {
        let ring: Vec<Point2<f64>> =
            face.points.iter().map(|point| state.places[network.point_place[point.index()]].xy()).collect();
        let area = signed_area(&ring);
        if area == 0.0 { 0.0 } else { area.signum() }
    });
    runs.sum()
}
