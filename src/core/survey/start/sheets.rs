//! What plans show: they lie on places that are known by then, or as they are where none is, and give every further marked
//! point its place in plan. Heights follow from the faces: each rises from its eave at its pitch.

use crate::survey::equation::Term;
use crate::survey::gauge;
use crate::survey::model::{Known, ObservationKind};
use crate::survey::network::Network;
use crate::survey::sheet;
use crate::survey::state::{SheetState, State};
use nalgebra::{Point2, Rotation2, Vector2};
use std::collections::HashMap;

/// Where nothing tells the size, a plan is taken to show so many metres.
const EXTENT: f64 = 10.0;
/// A face of which no pitch was read starts from this rise over run, that of 30°.
const USUAL_RISE: f64 = 0.577;

/// Places what plans show, given the photos that have been placed.
pub(super) fn place(network: &Network<'_>, state: &mut State, photos: &[usize]) {
    if network.sheets.is_empty() {
        return;
    }
    let mut known = Found::of(network, state, photos);
    let mut rest: Vec<usize> = (0..network.sheets.len()).collect();
    // The plan that shows most of what is known comes next; what it shows with another then is known too.
    while !rest.is_empty() {
        let count = |sheet: &usize| network.on_sheet(*sheet).filter(|(place, _)| known.plan[*place]).count();
        let next = (0..rest.len()).rev().max_by_key(|&index| count(&rest[index])).unwrap_or_default();
        let sheet = rest.remove(next);
        let pairs: Vec<(Point2<f64>, [f64; 2])> = network
            .on_sheet(sheet)
            .filter(|(place, _)| known.plan[*place])
            .map(|(place, at)| (state.places[place].xy(), at))
            .collect();
        let lies = sheet::fitted(&pairs).unwrap_or_else(|| by_itself(network, sheet, pairs.first().copied()));
        state.sheets[sheet] = lies;
        for (place, at) in network.on_sheet(sheet) {
            if !known.plan[place] {
                let there = sheet::in_plan(&lies, at);
                (state.places[place].x, state.places[place].y) = (there.x, there.y);
                known.plan[place] = true;
            }
        }
    }
    hang_on(network, state, &mut known);
    heights(network, state, &mut known);
}

/// Whose place in plan is known, and whose height.
struct Found {
    plan: Vec<bool>,
    height: Vec<bool>,
}

impl Found {
    fn of(network: &Network<'_>, state: &State, photos: &[usize]) -> Self {
        let corners = network.corners();
        let mut plan: Vec<bool> =
            (0..state.places.len()).map(|place| place < corners || gauge::is_given(network, place)).collect();
        for (point, &place) in network.survey.points.iter().zip(&network.point_place) {
            plan[place] |= matches!(point.known, Known::Near(_));
        }
        for mark in photos.iter().flat_map(|&photo| &network.survey.photos[photo].marks) {
            plan[network.point_place[mark.point.index()]] = true;
        }
        Self { height: plan.clone(), plan }
    }
}

/// A plan that shows at most one known place: turned as an edge of stated direction runs, or as its own up is stated.
fn by_itself(network: &Network<'_>, sheet: usize, held: Option<(Point2<f64>, [f64; 2])>) -> SheetState {
    let shown: HashMap<usize, [f64; 2]> = network.on_sheet(sheet).collect();
    // y counts upwards on the site and downwards in the picture.
    let between = |a: usize, b: usize| {
        let (from, to) = (shown.get(&a)?, shown.get(&b)?);
        Some(Vector2::new(to[0] - from[0], from[1] - to[1])).filter(|way| way.norm() > 0.0)
    };
    let of_axis = network.survey.axes.iter().filter(|axis| axis.along.z == 0.0).find_map(|axis| {
        let [from, to] = [axis.from, axis.to].map(|point| network.point_place[point.index()]);
        Some(Rotation2::rotation_between(&between(from, to)?, &axis.along.xy()))
    });
    let stated = network.survey.photos[network.sheets[sheet]].sheet.unwrap_or_default();
    let of_up = stated.up.map(|up| Rotation2::rotation_between(&Vector2::y(), &Vector2::new(up.cos(), up.sin())));
    let turn = of_axis.or(of_up).unwrap_or_else(Rotation2::identity);
    let mut lengths: Vec<f64> = network
        .weighted
        .iter()
        .chain(&network.exact)
        .filter_map(|equation| match equation.term {
            Term::Distance(a, b) | Term::LevelDistance(a, b) => Some(equation.observed / between(a, b)?.norm()),
            _ => None,
        })
        .collect();
    lengths.sort_by(f64::total_cmp);
    let metres = stated.scale.map(|scale| scale.value).or_else(|| lengths.get(lengths.len() / 2).copied());
    let reach = |k: usize| {
        let along = shown.values().map(|at| at[k]);
        along.clone().fold(f64::NEG_INFINITY, f64::max) - along.fold(f64::INFINITY, f64::min)
    };
    let metres = metres.unwrap_or_else(|| EXTENT / reach(0).max(reach(1)).max(1.0));
    let (anchor, at) = held.unwrap_or_else(|| {
        let count = shown.len().max(1) as f64;
        (Point2::origin(), [0, 1].map(|k| shown.values().map(|at| at[k]).sum::<f64>() / count))
    });
    // (u, -v) = turned back by `turn`, over metres a pixel.
    let angle = turn.angle();
    SheetState { anchor, values: [at[0], at[1], angle.cos() / metres, angle.sin() / metres] }
}

/// Points that no plan shows: straight above or below another, or near what tapes tie them to.
fn hang_on(network: &Network<'_>, state: &mut State, known: &mut Found) {
    let equations = || network.weighted.iter().chain(&network.exact);
    for is_plumb in [true, false] {
        let mut changed = true;
        while changed {
            changed = false;
            for equation in equations() {
                let ends = match equation.term {
                    Term::Difference { places, axis: 0 } if is_plumb => places,
                    Term::Distance(a, b) | Term::LevelDistance(a, b) if !is_plumb => [a, b],
                    _ => continue,
                };
                for [from, to] in [ends, [ends[1], ends[0]]] {
                    if known.plan[from] && !known.plan[to] && !gauge::is_given(network, to) {
                        let at = state.places[from];
                        (state.places[to].x, state.places[to].y) = (at.x, at.y);
                        known.plan[to] = true;
                        changed = true;
                    }
                }
            }
        }
    }
}

/// Heights that are not known: of the points of each face by its pitch from its eave, of the rest by plumb tapes.
fn heights(network: &Network<'_>, state: &mut State, known: &mut Found) {
    let groups = level_groups(network, state);
    let rings: Vec<Vec<usize>> = network
        .survey
        .faces
        .iter()
        .map(|face| face.points.iter().map(|point| network.point_place[point.index()]).collect())
        .collect();
    let mut rest: Vec<usize> = (0..rings.len()).collect();
    while !rest.is_empty() {
        let count = |face: &usize| rings[*face].iter().filter(|&&place| known.height[place]).count();
        let next = (0..rest.len()).rev().max_by_key(|&index| count(&rest[index])).unwrap_or_default();
        let face = rest.remove(next);
        rise_from_eave(network, state, known, &rings, face, &groups);
        level_out(state, known, &groups);
    }
    for equation in network.weighted.iter().chain(&network.exact) {
        let Term::Distance(a, b) = equation.term else { continue };
        for [from, to] in [[a, b], [b, a]] {
            let across = (state.places[to] - state.places[from]).xy().norm();
            // What hangs plumb on a tape hangs below.
            if known.height[from] && !known.height[to] && across < equation.observed / 2.0 {
                state.places[to].z = state.places[from].z - equation.observed;
                known.height[to] = true;
            }
        }
    }
}

/// The places of each level.
fn level_groups(network: &Network<'_>, state: &State) -> Vec<Vec<usize>> {
    let mut groups = vec![Vec::new(); state.levels.len()];
    for equation in network.weighted.iter().chain(&network.exact) {
        if let Term::AboveLevel { place, level } = equation.term {
            groups[level].push(place);
        }
    }
    groups
}

/// Brings the unknown heights of each level to those that are known of it.
fn level_out(state: &mut State, known: &mut Found, groups: &[Vec<usize>]) {
    for group in groups {
        let heights: Vec<f64> = group.iter().filter(|&&p| known.height[p]).map(|&p| state.places[p].z).collect();
        if heights.is_empty() {
            continue;
        }
        let mean = heights.iter().sum::<f64>() / heights.len() as f64;
        for &place in group {
            if !known.height[place] {
                state.places[place].z = mean;
                known.height[place] = true;
            }
        }
    }
}

/// Gives the points of a face the heights at which they lie over its eave: a level edge that no other face shares, or its
/// longest edge where none is said to be level.
fn rise_from_eave(
    network: &Network<'_>,
    state: &mut State,
    known: &mut Found,
    rings: &[Vec<usize>],
    face: usize,
    groups: &[Vec<usize>],
) {
    let ring = &rings[face];
    let edges = || ring.iter().copied().zip(ring.iter().copied().cycle().skip(1));
    let is_free = |(a, b): (usize, usize)| {
        rings.iter().enumerate().all(|(other, ring)| other == face || !(ring.contains(&a) && ring.contains(&b)))
    };
    let is_level = |(a, b): (usize, usize)| groups.iter().any(|group| group.contains(&a) && group.contains(&b));
    let length = |(a, b): (usize, usize)| (state.places[b] - state.places[a]).xy().norm();
    let rank = |edge: (usize, usize)| (is_level(edge), is_free(edge), length(edge));
    let Some((from, to)) = edges().max_by(|&a, &b| {
        let (a, b) = (rank(a), rank(b));
        (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2))
    }) else {
        return;
    };
    let reading = network.survey.observations.iter().find_map(|observation| match observation.kind {
        ObservationKind::PitchReading { face: of, pitch } if of.index() == face => Some(pitch.tan()),
        _ => None,
    });
    let way = (state.places[to] - state.places[from]).xy();
    let Some(along) = way.try_normalize(f64::EPSILON) else { return };
    let start = state.places[from].xy();
    let rise = |state: &State, place: usize| {
        reading.unwrap_or(USUAL_RISE) * along.perp(&(state.places[place].xy() - start)).abs()
    };
    let told: Vec<f64> = ring
        .iter()
        .filter(|&&place| known.height[place])
        .map(|&place| state.places[place].z - rise(state, place))
        .collect();
    let base = if told.is_empty() { 0.0 } else { told.iter().sum::<f64>() / told.len() as f64 };
    for &place in ring {
        if !known.height[place] {
            state.places[place].z = base + rise(state, place);
            known.height[place] = true;
        }
    }
}
