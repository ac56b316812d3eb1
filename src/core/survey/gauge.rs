//! Which parts of a network hang on no given place, and what is held there: one point and one bearing. Levels and
//! plumb lines fix the vertical.

use super::equation::{Equation, Term};
use super::network::Network;
use super::state::State;
use crate::base::tolerance::ROUNDING;
use nalgebra::{Rotation2, Vector2};

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
    let sheets = network.layout.sheets.len();
    let mut parts = Parts { parent: (0..places + planes + poses + sheets).collect() };
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
            Term::OffLine { place, line: [a, b] }
            | Term::OffLineBy { place, line: [a, b], .. }
            | Term::AlongLine { place, line: [a, b] } => {
                parts.join(place, a);
                parts.join(place, b);
            }
            Term::OffTurnedLine { from, to, line: [a, b], .. } => {
                parts.join(from, to);
                parts.join(from, a);
                parts.join(from, b);
            }
            Term::OffPlane { place, plane } => parts.join(place, places + plane),
            Term::PitchDifference([a, b]) => parts.join(places + a, places + b),
            Term::Mark { pose, place, .. } => parts.join(place, places + planes + pose),
            Term::OnLine { pose, ends: [a, b], .. } => {
                parts.join(a, places + planes + pose);
                parts.join(b, places + planes + pose);
            }
            Term::OnSheet { sheet, place, .. } => parts.join(place, places + planes + poses + sheet),
            Term::OffSheetLine { sheet, ends: [a, b], .. } => {
                parts.join(a, places + planes + poses + sheet);
                parts.join(b, places + planes + poses + sheet);
            }
            Term::AboveLevel { .. }
            | Term::Pitch(_)
            | Term::LensValue { .. }
            | Term::Along { .. }
            | Term::LevelValue(_)
            | Term::SheetScale(_) => {}
        }
    }
    let mut lists: Vec<(usize, Vec<usize>)> = Vec::new();
    let mut list_of = vec![usize::MAX; parts.parent.len()];
    for place in 0..places {
        let root = parts.find(place);
        if list_of[root] == usize::MAX {
            list_of[root] = lists.len();
            lists.push((root, Vec::new()));
        }
        lists[list_of[root]].1.push(place);
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

/// A part of the network that has a shape but no size.
#[derive(Clone, Debug)]
pub(super) struct Scaleless {
    /// Its places.
    pub places: Vec<usize>,
    /// The one it would grow about.
    pub about: usize,
}

/// Holds what the network needs. A ring's first corner and heading, or two given points, are a hold already, and what
/// hangs on neither then stays free: it is not located. Where there is no such hold, the largest part is the datum: a
/// point and a bearing of it are held. A part without any length keeps the size it starts with.
pub(super) fn hold(network: &mut Network<'_>, state: &State) -> Vec<Scaleless> {
    let corners = network.corners();
    let parts = parts(network);
    let mut scaleless = Vec::new();
    let mut anchored = !network.rings.is_empty();
    for part in &parts {
        let given: Vec<usize> = part.iter().copied().filter(|&place| is_given(network, place)).collect();
        let spread = given.iter().any(|&p| (state.places[p] - state.places[given[0]]).xy().norm() > 0.0);
        anchored |= spread;
        let sized = spread || part.iter().any(|&place| place < corners) || has_length(network, state, part);
        let about = given.first().copied().unwrap_or(part[0]);
        let reach = |p: usize| (state.places[p] - state.places[about]).norm();
        let far = part.iter().copied().max_by(|&a, &b| reach(a).total_cmp(&reach(b)));
        if let Some(far) = far.filter(|&far| !sized && reach(far) > 0.0) {
            network.hold_distance(about, far, reach(far));
            scaleless.push(Scaleless { places: part.clone(), about });
        }
    }
    let largest = parts.iter().max_by_key(|part| part.len()).filter(|_| !anchored);
    if let Some(part) = largest {
        hold_place_and_bearing(network, state, part);
    }
    network.renumber();
    scaleless
}

/// Turns every part that is free to turn so that its first stated level edge runs as stated, or else a plan that shows it lies
/// as stated.
pub(super) fn turn_as_stated(network: &Network<'_>, state: &mut State) {
    let corners = network.corners();
    for part in parts(network) {
        let is_walked = part.iter().any(|&place| place < corners);
        let given: Vec<usize> = part.iter().copied().filter(|&place| is_given(network, place)).collect();
        let is_spread = given.iter().any(|&p| (state.places[p] - state.places[given[0]]).xy().norm() > 0.0);
        let axis = network.survey.axes.iter().filter(|axis| axis.along.z == 0.0).find(|axis| {
            let ends = [axis.from, axis.to].map(|point| network.point_place[point.index()]);
            ends.iter().all(|place| part.binary_search(place).is_ok())
        });
        if is_walked || is_spread {
            continue;
        }
        let (way, along, from) = match axis {
            Some(axis) => {
                let [from, to] = [axis.from, axis.to].map(|point| network.point_place[point.index()]);
                ((state.places[to] - state.places[from]).xy(), axis.along.xy(), from)
            }
            None => match up_of_a_sheet(network, state, &part) {
                Some((way, along)) => (way, along, part[0]),
                None => continue,
            },
        };
        if way.norm() == 0.0 {
            continue;
        }
        let turn = Rotation2::rotation_between(&way, &along).to_homogeneous();
        let about = state.places[given.first().copied().unwrap_or(from)];
        for &place in &part {
            if !is_given(network, place) {
                state.places[place] = about + turn * (state.places[place] - about);
            }
        }
        for (pose, photo) in state.poses.iter_mut().zip(&network.survey.photos) {
            let shows =
                photo.marks.iter().any(|mark| part.binary_search(&network.point_place[mark.point.index()]).is_ok());
            if shows {
                pose.centre = about + turn * (pose.centre - about);
                pose.rotation *= turn.transpose();
            }
        }
        network.fit_to_places(state);
    }
}

/// Which way up is, on the site, in the first plan that shows a part and says so; as the state has it and as stated.
fn up_of_a_sheet(network: &Network<'_>, state: &State, part: &[usize]) -> Option<(Vector2<f64>, Vector2<f64>)> {
    (0..network.sheets.len()).find_map(|sheet| {
        let up = network.survey.photos[network.sheets[sheet]].sheet?.up?;
        let shows = network.on_sheet(sheet).any(|(place, _)| part.binary_search(&place).is_ok());
        let [.., p, q] = state.sheets[sheet].values;
        shows.then(|| (Vector2::new(-q, p), Vector2::new(up.cos(), up.sin())))
    })
}

fn has_length(network: &Network<'_>, state: &State, part: &[usize]) -> bool {
    network.weighted.iter().chain(&network.exact).any(|equation| match equation.term {
        Term::Distance(a, _) | Term::LevelDistance(a, _) => part.binary_search(&a).is_ok(),
        Term::OffLine { place, .. } if equation.observed != 0.0 => part.binary_search(&place).is_ok(),
        Term::OffLineBy { place, level, .. } if state.levels[level] != 0.0 => part.binary_search(&place).is_ok(),
        Term::SheetScale(sheet) => network.on_sheet(sheet).any(|(place, _)| part.binary_search(&place).is_ok()),
        _ => false,
    })
}

/// The only equation that tells a size, by its number among the weighted ones: nothing checks it, though what is taken to be
/// level, plumb and flat to some millimetres fits the better the smaller all is, and so feigns a check.
pub(super) fn only_size(network: &Network<'_>) -> Option<usize> {
    let tells = |equation: &Equation| match equation.term {
        Term::Distance(..) | Term::LevelDistance(..) | Term::SheetScale(_) => true,
        Term::OffLine { .. } | Term::LevelValue(_) => equation.observed != 0.0,
        _ => false,
    };
    let given = (0..network.layout.places.len()).filter(|&place| is_given(network, place)).count();
    // A network that hangs on nothing is held by one place.
    if given > 1 || network.corners() > 0 || network.exact.iter().any(tells) {
        return None;
    }
    let mut telling = network.weighted.iter().enumerate().filter(|(_, equation)| tells(equation));
    let first = telling.next()?.0;
    telling.next().is_none().then_some(first)
}

fn hold_place_and_bearing(network: &mut Network<'_>, state: &State, part: &[usize]) {
    let given = part.iter().copied().find(|&place| is_given(network, place));
    let Some(first) = given.or_else(|| axis_start(network, part)).or(part.first().copied()) else { return };
    let reach = |p: usize| (state.places[p] - state.places[first]).xy().norm();
    let far = axis_end(network, part, first)
        .or_else(|| part.iter().copied().max_by(|&a, &b| reach(a).total_cmp(&reach(b))))
        .filter(|&far| reach(far) > 0.0);
    let bearing = far.map(|far| {
        let way = (state.places[far] - state.places[first]).xy();
        (far, snapped(way.normalize()))
    });
    network.pin(first, height_datum(network, part, first), bearing);
}

/// The place whose height is held: the first one, unless nothing ties its height to those of most points of faces. A plan and
/// offsets tie places in plan alone.
fn height_datum(network: &Network<'_>, part: &[usize], first: usize) -> usize {
    let places = network.layout.places.len();
    let planes = places + network.layout.levels.len();
    let poses = planes + network.layout.planes.len();
    let mut tied = Parts { parent: (0..poses + network.layout.poses.len()).collect() };
    for equation in network.weighted.iter().chain(&network.exact) {
        match equation.term {
            Term::Distance(a, b) | Term::Difference { places: [a, b], axis: 2 } => tied.join(a, b),
            Term::AboveLevel { place, level } => tied.join(place, places + level),
            Term::OffPlane { place, plane } => tied.join(place, planes + plane),
            Term::Mark { pose, place, .. } => tied.join(place, poses + pose),
            Term::OnLine { pose, ends, .. } => ends.into_iter().for_each(|end| tied.join(end, poses + pose)),
            _ => {}
        }
    }
    let mut on_faces: Vec<(usize, usize)> = Vec::new();
    for point in network.survey.faces.iter().flat_map(|face| &face.points) {
        let place = network.point_place[point.index()];
        if part.binary_search(&place).is_ok() {
            let root = tied.find(place);
            match on_faces.iter_mut().find(|(known, _)| *known == root) {
                Some((_, count)) => *count += 1,
                None => on_faces.push((root, 1)),
            }
        }
    }
    let own = tied.find(first);
    // Of equal ones the earlier; its own before all others.
    let most = on_faces.iter().rev().max_by_key(|(root, count)| (*count, *root == own)).map(|(root, _)| *root);
    match most {
        Some(root) if root != own => part.iter().copied().find(|&place| tied.find(place) == root).unwrap_or(first),
        _ => first,
    }
}

/// A direction along an axis exactly, when it is one to within rounding.
fn snapped(direction: Vector2<f64>) -> Vector2<f64> {
    let near = |v: f64| if v.abs() < ROUNDING { 0.0 } else { v };
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
