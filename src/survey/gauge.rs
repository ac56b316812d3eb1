//! Which parts of a network hang on no given place, and what is held there: one point and one bearing. Levels and
//! plumb lines fix the vertical.

use super::equation::Term;
use super::network::Network;
use super::state::State;
use nalgebra::Vector2;

/// Parts of a network that observations tie together.
struct Parts {
    parent: Vec<usize>,
}

impl Parts {
    fn find(&mut self, mut item: usize) -> usize {
        while self.parent[item] != item {
            self.parent[item] = self.parent[self.parent[item]];
            item = self.parent[item];
        }
        item
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.find(a), self.find(b));
        self.parent[a] = b;
    }
}

/// The places of each part of the network that has unknowns, in order of their first places. Places are tied by
/// observations that concern their plan positions; heights alone tie nothing.
#[must_use]
pub(super) fn parts(network: &Network<'_>) -> Vec<Vec<usize>> {
    let places = network.layout.places.len();
    let planes = network.layout.planes.len();
    let poses = network.layout.poses.len();
    let mut parts = Parts { parent: (0..places + planes + poses).collect() };
    for equation in network.weighted.iter().chain(&network.exact) {
        match equation.term {
            Term::Distance(a, b) | Term::LevelDistance(a, b) | Term::Difference { places: [a, b], .. } => {
                parts.join(a, b);
            }
            Term::Turn([a, b, c]) | Term::PlanAngle([a, b, c]) => {
                parts.join(a, b);
                parts.join(b, c);
            }
            Term::OffRay { from, to, .. } => parts.join(from, to),
            Term::OffLine { place, line: [a, b] } | Term::AlongLine { place, line: [a, b] } => {
                parts.join(place, a);
                parts.join(place, b);
            }
            Term::OffPlane { place, plane } => parts.join(place, places + plane),
            Term::PitchDifference([a, b]) => parts.join(places + a, places + b),
            Term::Mark { pose, place, .. } => parts.join(place, places + planes + pose),
            Term::AboveLevel { .. } | Term::Pitch(_) | Term::LensValue { .. } => {}
        }
    }
    let mut lists: Vec<(usize, Vec<usize>)> = Vec::new();
    for place in 0..places {
        let root = parts.find(place);
        match lists.iter_mut().find(|list| list.0 == root) {
            Some(list) => list.1.push(place),
            None => lists.push((root, vec![place])),
        }
    }
    lists
        .into_iter()
        .map(|list| list.1)
        .filter(|list| list.iter().any(|&place| network.layout.places[place].iter().any(Option::is_some)))
        .collect()
}

/// Whether a place is given in plan.
pub(super) fn is_given(network: &Network<'_>, place: usize) -> bool {
    network.layout.places[place][0].is_none() && network.layout.places[place][1].is_none()
}

/// Holds a point and a bearing in each part that hangs on nothing, a bearing in each that hangs on one point. A
/// ring's first corner and first heading are such a hold already.
pub(super) fn hold(network: &mut Network<'_>, state: &State) {
    let rings_end = network.point_place.iter().copied().chain([state.places.len()]).min().unwrap_or(0);
    let first_free =
        network.ring_first.last().map_or(0, |&first| first + network.rings.last().map_or(0, |ring| ring.sides.len()));
    let corners = first_free.max(rings_end.min(first_free));
    for part in parts(network) {
        let given: Vec<usize> = part.iter().copied().filter(|&place| is_given(network, place)).collect();
        let spread = given.iter().any(|&p| (state.places[p] - state.places[given[0]]).xy().norm() > 0.0);
        if spread || part.iter().any(|&place| place < corners) {
            continue;
        }
        let Some(first) = given.first().copied().or_else(|| axis_start(network, &part)).or(part.first().copied())
        else {
            continue;
        };
        let reach = |p: usize| (state.places[p] - state.places[first]).xy().norm();
        let far = axis_end(network, &part, first)
            .or_else(|| part.iter().copied().max_by(|&a, &b| reach(a).total_cmp(&reach(b))))
            .filter(|&far| reach(far) > 0.0);
        let bearing = far.map(|far| {
            let way = (state.places[far] - state.places[first]).xy();
            (far, snapped(way.normalize()))
        });
        network.pin(first, bearing);
    }
    network.renumber();
}

/// A direction along an axis exactly, when it is one to within rounding.
fn snapped(direction: Vector2<f64>) -> Vector2<f64> {
    let near = |v: f64| if v.abs() < 1e-9 { 0.0 } else { v };
    Vector2::new(near(direction.x), near(direction.y)).normalize()
}

/// The first level axis between two points of the part: where it starts.
fn axis_start(network: &Network<'_>, part: &[usize]) -> Option<usize> {
    level_axes(network).map(|(from, _)| from).find(|from| part.contains(from))
}

fn axis_end(network: &Network<'_>, part: &[usize], first: usize) -> Option<usize> {
    level_axes(network).find(|&(from, to)| from == first && part.contains(&to)).map(|(_, to)| to)
}

fn level_axes<'n>(network: &'n Network<'_>) -> impl Iterator<Item = (usize, usize)> + 'n {
    network
        .survey
        .axes
        .iter()
        .filter(|axis| axis.along.z == 0.0)
        .map(|axis| (network.point_place[axis.from.index()], network.point_place[axis.to.index()]))
}
