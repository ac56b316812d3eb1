//! Points and lenses from marks when the cameras' turns are known: every mark, level, plumb line and stated direction
//! is then a linear equation. What these leave open is tied weakly to the middle.

use super::search::Direction;
use crate::base::tolerance::LAST_PLACES;
use crate::survey::equation::{Equation, Term};
use crate::survey::gauge;
use crate::survey::network::Network;
use crate::survey::solver::rows::Rows;
use crate::survey::solver::skyline::{Pattern, Skyline};
use crate::survey::state::State;
use nalgebra::{Point3, Rotation2, Vector2, Vector3};

/// Weight of a tie to the middle beside that of a mark: as much as a start value may be biased, and enough to hold what
/// the marks leave free (a ridge seen from one side could lie at any distance) near the rest.
const TIE: f64 = 1e-2;
/// Weight of a tie to a rough place that the file gives.
const NEAR_TIE: f64 = 1e-2;

struct System<'n, 'a> {
    network: &'n Network<'a>,
    state: &'n State,
    rows: Rows,
    /// First unknown of each photo's lens.
    centres: Vec<Option<usize>>,
}

/// A linear form of a place's or a lens's three coordinates.
enum Of {
    Place(usize, Vector3<f64>),
    Centre(usize, Vector3<f64>),
}

impl System<'_, '_> {
    /// `weight · (Σ forms − value) = 0`.
    fn push(&mut self, forms: &[Of], value: f64, weight: f64) {
        let mut entries = Vec::with_capacity(6);
        let mut constant = -value;
        for form in forms {
            match form {
                Of::Place(place, slope) => {
                    for k in 0..3 {
                        match self.network.layout.places[*place][k] {
                            Some(column) => entries.push((column, weight * slope[k])),
                            None => constant += slope[k] * self.state.places[*place][k],
                        }
                    }
                }
                Of::Centre(photo, slope) => {
                    if let Some(first) = self.centres[*photo] {
                        entries.extend((0..3).map(|k| (first + k, weight * slope[k])));
                    }
                }
            }
        }
        self.rows.push(weight * constant, &mut entries);
    }

    /// Difference of two places along a vector.
    fn push_between(&mut self, from: usize, to: usize, along: &Vector3<f64>) {
        self.push(&[Of::Place(to, *along), Of::Place(from, -along)], 0.0, 1.0);
    }
}

fn across(direction: &Vector3<f64>) -> [Vector3<f64>; 2] {
    let away = if direction.z.abs() < 0.5 { Vector3::z() } else { Vector3::x() };
    let first = direction.cross(&away).normalize();
    [first, direction.cross(&first)]
}

/// Solves for places and lenses. `used` photos have their rotation; they get their centre.
pub(super) fn place(network: &Network<'_>, state: &mut State, directions: &[Direction], used: &[usize]) {
    let mut unknowns = network.layout.unknowns;
    let mut centres = vec![None; state.poses.len()];
    for &photo in used {
        centres[photo] = Some(unknowns);
        unknowns += 3;
    }
    let before = state.clone();
    let mut system = System { network, state: &before, rows: Rows::new(unknowns), centres };
    let given = (0..state.places.len()).filter(|&p| gauge::is_given(network, p)).count();
    marks(&mut system, used, given < 2);
    site(&mut system, directions, given < 2);
    ties(&mut system);

    let rows = system.rows;
    let scale: Vec<f64> = rows.column_lengths().iter().map(|&l| if l > 0.0 { l } else { 1.0 }).collect();
    let pattern = Pattern::new(&rows);
    let gradient: Vec<f64> = rows.gradient().iter().zip(&scale).map(|(g, s)| -g / s).collect();
    let Some(factor) = Skyline::normal(&pattern, &rows, &scale).factor(LAST_PLACES) else { return };
    let solution: Vec<f64> = factor.solve(&gradient).iter().zip(&scale).map(|(x, s)| x / s).collect();
    for (place, columns) in state.places.iter_mut().zip(&network.layout.places) {
        for k in 0..3 {
            if let Some(column) = columns[k] {
                place[k] = solution[column];
            }
        }
    }
    for &photo in used {
        if let Some(first) = system.centres[photo] {
            state.poses[photo].centre = Point3::new(solution[first], solution[first + 1], solution[first + 2]);
        }
    }
    if given < 2 {
        scale_by_tapes(network, state, used);
        if given == 0 {
            set_down(network, state, directions, used);
        }
    }
}

fn marks(system: &mut System<'_, '_>, used: &[usize], scale_free: bool) {
    let mut depths = Vec::new();
    let mut count = 0.0;
    for &photo in used {
        let survey = &system.network.survey.photos[photo];
        let lens = system.state.lenses[survey.camera];
        let rotation = system.state.poses[photo].rotation;
        for mark in &survey.marks {
            let place = system.network.point_place[mark.point.index()];
            let ray = rotation.tr_mul(&lens.ray(mark.at)).normalize();
            for side in across(&ray) {
                system.push(&[Of::Place(place, side), Of::Centre(photo, -side)], 0.0, 1.0);
            }
            depths.push(Of::Place(place, ray));
            depths.push(Of::Centre(photo, -ray));
            count += 1.0;
        }
    }
    if scale_free {
        // Without a given length the mean depth is 1 for the time being.
        system.push(&depths, count, 1.0);
    }
}

/// Levels, plumb lines, uprights, right angles and stated directions.
fn site(system: &mut System<'_, '_>, directions: &[Direction], scale_free: bool) {
    for direction in directions {
        for side in across(&direction.along) {
            system.push_between(direction.from, direction.to, &side);
        }
    }
    let along = |a: usize, b: usize| {
        directions.iter().find_map(|d| match (d.from, d.to) {
            ends if ends == (a, b) => Some(d.along),
            ends if ends == (b, a) => Some(-d.along),
            _ => None,
        })
    };
    let mut first_of_level: Vec<Option<usize>> = vec![None; system.state.levels.len()];
    for equation in system.network.weighted.iter().chain(&system.network.exact) {
        match equation.term {
            Term::AboveLevel { place, level } => match first_of_level[level] {
                Some(first) => system.push_between(first, place, &Vector3::z()),
                None => first_of_level[level] = Some(place),
            },
            Term::Difference { places: [a, b], axis } => {
                system.push_between(a, b, &Vector3::ith(axis, 1.0));
            }
            Term::OffLine { place, line } | Term::OffLineBy { place, line, .. } => {
                let out = off(equation, system.state).map_or(0.0, |(_, _, out)| out);
                // A distance from the line means nothing yet where no size is known.
                if let Some(way) = along(line[0], line[1]).filter(|_| out == 0.0 || !scale_free) {
                    let left = Vector3::new(-way.y, way.x, 0.0);
                    system.push(&[Of::Place(place, left), Of::Place(line[0], -left)], out, 1.0);
                }
            }
            Term::PlanAngle([at, b, c]) => {
                for (one, other) in [(b, c), (c, b)] {
                    if let Some(way) = along(at, one) {
                        system.push_between(at, other, &Vector3::new(way.x, way.y, 0.0));
                    }
                }
            }
            _ => {}
        }
    }
}

/// A place that stands off a line, and how far to the left of it.
fn off(equation: &Equation, state: &State) -> Option<(usize, [usize; 2], f64)> {
    match equation.term {
        Term::OffLine { place, line } => Some((place, line, equation.observed)),
        Term::OffLineBy { place, line, level } => Some((place, line, state.levels[level])),
        _ => None,
    }
}

/// Weak ties, so that every unknown has a place: to the rough place the file gives, else to the first place.
fn ties(system: &mut System<'_, '_>) {
    use crate::survey::model::Known;
    let network = system.network;
    let mut near = vec![None; system.state.places.len()];
    for (point, &place) in network.survey.points.iter().zip(&network.point_place) {
        if let Known::Near(at) = point.known {
            near[place] = Some(at);
        }
    }
    let first = (0..near.len()).find(|&p| gauge::is_given(network, p)).unwrap_or(0);
    let marked: Vec<usize> = {
        let marks = network.survey.photos.iter().flat_map(|photo| &photo.marks);
        let mut list: Vec<usize> = marks.map(|mark| network.point_place[mark.point.index()]).collect();
        list.sort_unstable();
        list.dedup();
        list
    };
    let share = 1.0 / marked.len().max(1) as f64;
    for axis in 0..3 {
        let unit = Vector3::ith(axis, 1.0);
        // The middle of all that is marked.
        let middle = |own: Of| {
            let mut forms: Vec<Of> = marked.iter().map(|&p| Of::Place(p, -unit * share)).collect();
            forms.push(own);
            forms
        };
        for (place, near) in near.iter().enumerate() {
            if network.layout.places[place][axis].is_none() {
                continue;
            }
            match near {
                Some(at) => system.push(&[Of::Place(place, unit)], at[axis], NEAR_TIE),
                None => system.push(&middle(Of::Place(place, unit)), 0.0, TIE),
            }
            if place == first {
                system.push(&[Of::Place(place, unit)], 0.0, TIE);
            }
        }
        for photo in 0..system.centres.len() {
            if system.centres[photo].is_some() {
                system.push(&middle(Of::Centre(photo, unit)), 0.0, TIE * TIE);
            }
        }
    }
}

/// Brings the whole to the size that the tapes tell, or offsets where there are none: their median, so that a misread one does
/// not matter.
fn scale_by_tapes(network: &Network<'_>, state: &mut State, used: &[usize]) {
    let plan = |a: usize, b: usize| (state.places[b] - state.places[a]).xy();
    let median = |is_tape: bool| {
        let factors = network.weighted.iter().filter_map(|equation| {
            let span = match equation.term {
                Term::Distance(a, b) if is_tape => (state.places[b] - state.places[a]).norm(),
                Term::LevelDistance(a, b) if is_tape => plan(a, b).norm(),
                _ if is_tape => return None,
                _ => {
                    let (place, [a, b], out) = off(equation, state)?;
                    let factor = out * plan(a, b).norm() / plan(a, b).perp(&plan(a, place));
                    return (factor.is_finite() && factor > 0.0).then_some(factor);
                }
            };
            let factor = equation.observed / span;
            (factor.is_finite() && factor > 0.0).then_some(factor)
        });
        let mut factors: Vec<f64> = factors.collect();
        factors.sort_by(f64::total_cmp);
        factors.get(factors.len() / 2).copied()
    };
    // Ten metres away is where one stands before a small roof.
    let factor = median(true).or_else(|| median(false)).or_else(|| by_sheets(network, state, used)).unwrap_or(10.0);
    let anchor = (0..state.places.len()).find(|&p| gauge::is_given(network, p)).map(|p| state.places[p]);
    let anchor = anchor.unwrap_or_else(Point3::origin);
    for (place, columns) in state.places.iter_mut().zip(&network.layout.places) {
        if columns.iter().any(Option::is_some) {
            *place = anchor + (*place - anchor) * factor;
        }
    }
    for &photo in used {
        let centre = &mut state.poses[photo].centre;
        *centre = anchor + (*centre - anchor) * factor;
    }
}

/// The factor that plans of stated scale tell: by the farthest two of the places that both such a plan and a used photo show.
fn by_sheets(network: &Network<'_>, state: &State, used: &[usize]) -> Option<f64> {
    let is_used = |place: usize| {
        let mut marks = used.iter().flat_map(|&photo| &network.survey.photos[photo].marks);
        marks.any(|mark| network.point_place[mark.point.index()] == place)
    };
    (0..network.sheets.len()).find_map(|sheet| {
        let scale = network.survey.photos[network.sheets[sheet]].sheet?.scale?.value;
        let shown: Vec<(usize, [f64; 2])> = network.on_sheet(sheet).filter(|(place, _)| is_used(*place)).collect();
        let pairs = shown.iter().enumerate().flat_map(|(k, a)| shown[k + 1..].iter().map(move |b| (a, b)));
        let apart = pairs.map(|((a, at), (b, to))| {
            let stated = scale * (at[0] - to[0]).hypot(at[1] - to[1]);
            (stated, stated / (state.places[*b] - state.places[*a]).xy().norm())
        });
        let (_, factor) = apart.max_by(|a, b| a.0.total_cmp(&b.0))?;
        (factor.is_finite() && factor > 0.0).then_some(factor)
    })
}

/// Moves and turns a network that hangs on nothing: the first stated level edge starts at its rough place or at the
/// origin and runs in its stated direction.
fn set_down(network: &Network<'_>, state: &mut State, directions: &[Direction], used: &[usize]) {
    let edge = directions.iter().find(|direction| direction.along.z == 0.0);
    let first = edge.map_or(0, |edge| edge.from);
    let to = network
        .survey
        .points
        .iter()
        .zip(&network.point_place)
        .find(|(_, place)| **place == first)
        .and_then(|(point, _)| if let crate::survey::model::Known::Near(at) = point.known { Some(at) } else { None })
        .unwrap_or_else(Point3::origin);
    let from = state.places[first];
    let turn = edge.map_or_else(Rotation2::identity, |edge| {
        let way: Vector2<f64> = (state.places[edge.to] - from).xy();
        Rotation2::rotation_between(&way, &edge.along.xy())
    });
    let turn = turn.to_homogeneous();
    let moved = |place: &Point3<f64>| to + turn * (place - from);
    for place in &mut state.places {
        *place = moved(place);
    }
    for &photo in used {
        let pose = &mut state.poses[photo];
        pose.centre = moved(&pose.centre);
        pose.rotation *= turn.transpose();
    }
}

/// Brings marked places that came out behind a camera before it, at the mean depth of the others, and counts them.
pub(super) fn into_view(network: &Network<'_>, state: &mut State, left_out: &[usize]) -> usize {
    let mut behind = 0;
    for (photo, survey) in network.survey.photos.iter().enumerate() {
        if left_out.contains(&photo) || network.layout.poses[photo].is_none() {
            continue;
        }
        let pose = state.poses[photo];
        let lens = state.lenses[survey.camera];
        let depth = |state: &State, place: usize| (pose.rotation * (state.places[place] - pose.centre)).z;
        let places: Vec<usize> = survey.marks.iter().map(|mark| network.point_place[mark.point.index()]).collect();
        let good: Vec<f64> = places.iter().map(|&p| depth(state, p)).filter(|&d| d > 0.0).collect();
        let mean = if good.is_empty() { 10.0 } else { good.iter().sum::<f64>() / good.len() as f64 };
        for (mark, &place) in survey.marks.iter().zip(&places) {
            // A tenth of the mean is as bad as behind: a hand's breadth before the lens.
            if depth(state, place) < 0.1 * mean {
                behind += 1;
                if !gauge::is_given(network, place) {
                    state.places[place] = pose.centre + pose.rotation.tr_mul(&(lens.ray(mark.at) * mean));
                }
            }
        }
    }
    behind
}
