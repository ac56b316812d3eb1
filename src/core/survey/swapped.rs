//! Two marks of a photo that bear each other's names: where the measurements do not agree, the names of every two marks of
//! a photo are changed over. Those for which the equations as they are promise the lowest sum of squares are followed, and
//! what then agrees is proposed.

use super::equation::Source;
use super::model::{RingInput, Survey};
use super::network::Network;
use super::report::{RepeatedPhoto, Swapped};
use super::search;
use super::solver::cofactor::Cofactor;
use super::solver::rows::Rows;
use crate::base::ids::PointId;
use crate::base::order::SortByNumber as _;
use std::collections::HashMap;

/// Most pairs tried: in a job with more a swap pulls two marks so far off that they are doubted by themselves.
const MOST_PAIRS: usize = 2000;
/// Most followed for some steps.
const MOST_STARTED: usize = 200;
/// Most followed to their minimum.
const MOST_FOLLOWED: usize = 3;
/// Above this many unknowns a search for each pair takes too long.
const MOST_UNKNOWNS: usize = 400;
/// Fewest marks that two photos must share to be held for one picture.
const FEWEST_SHARED: usize = 4;
/// Marks set twice in one picture differ by this many of their sigmas in the mean square, each way, at most.
const MOST_APART: f64 = 3.0;

/// The pair of names whose change makes the measurements agree; of several the one that makes them agree best.
/// `rows` are the network's weighted equations over the free unknowns, the cofactor theirs.
pub(super) fn find(network: &Network<'_>, rows: &Rows, cofactor: &Cofactor) -> Option<Swapped> {
    let (rings, survey): (&[RingInput<'_>], &Survey) = (network.rings, network.survey);
    if network.layout.unknowns > MOST_UNKNOWNS {
        return None;
    }
    let mut swaps: Vec<Swapped> = Vec::new();
    for (photo, shown) in survey.photos.iter().enumerate() {
        for (index, first) in shown.marks.iter().enumerate() {
            let others = &shown.marks[index + 1..];
            swaps.extend(others.iter().map(|second| Swapped { photo, points: [first.point, second.point] }));
        }
    }
    if swaps.len() > MOST_PAIRS {
        return None;
    }
    let equations = equations_of_marks(network);
    let mut promising: Vec<(f64, Swapped)> = swaps
        .into_iter()
        .map(|swap| (promised(network, &equations, rows, cofactor, swap).unwrap_or(f64::INFINITY), swap))
        .collect();
    promising.sort_by_number(|a| a.0);
    let mut tried: Vec<(f64, Swapped)> = Vec::new();
    for (_, swap) in promising.into_iter().take(MOST_STARTED) {
        let trial = changed_over(survey, swap);
        let Ok((network, state)) = Network::new(rings, &trial) else { continue };
        tried.push((search::cost_soon(&network, &state), swap));
    }
    tried.sort_by_number(|a| a.0);
    let mut best: Option<(f64, Swapped)> = None;
    for (_, swap) in tried.into_iter().take(MOST_FOLLOWED) {
        let trial = changed_over(survey, swap);
        let Ok((network, state)) = Network::new(rings, &trial) else { continue };
        let cost = search::cost_where_it_fits(&network, &state);
        if let Some(cost) = cost.filter(|&cost| best.as_ref().is_none_or(|kept| cost < kept.0)) {
            best = Some((cost, swap));
        }
    }
    best.map(|found| found.1)
}

/// The two equations of each mark, by photo and point.
fn equations_of_marks(network: &Network<'_>) -> HashMap<(usize, PointId), Vec<usize>> {
    let mut of_marks: HashMap<(usize, PointId), Vec<usize>> = HashMap::new();
    for (index, equation) in network.weighted.iter().enumerate() {
        if let Source::Mark(photo, mark) = equation.source {
            of_marks.entry((photo, network.survey.photos[photo].marks[mark].point)).or_default().push(index);
        }
    }
    of_marks
}

/// The sum of squares that the equations as they are promise after a swap: what is left of the residuals with the marks
/// changed over once the unknowns have followed them, r (1 - A Q Aᵀ) r. `None` where a mark is not used.
fn promised(
    network: &Network<'_>,
    equations: &HashMap<(usize, PointId), Vec<usize>>,
    rows: &Rows,
    cofactor: &Cofactor,
    swap: Swapped,
) -> Option<f64> {
    let [one, other] = swap.points.map(|point| equations.get(&(swap.photo, point)));
    let (one, other) = (one?, other?);
    let mut residuals = rows.residuals.clone();
    for (&a, &b) in one.iter().zip(other) {
        let apart = network.weighted[a].observed - network.weighted[b].observed;
        residuals[a] += apart / network.weighted[a].sigma;
        residuals[b] -= apart / network.weighted[b].sigma;
    }
    let pull: Vec<(usize, f64)> = rows.against(&residuals).into_iter().enumerate().collect();
    let moved = cofactor.carried(&pull);
    let followed: f64 = pull.iter().map(|&(unknown, pull)| pull * moved[unknown]).sum();
    Some(residuals.iter().map(|r| r * r).sum::<f64>() - followed)
}

fn changed_over(survey: &Survey, swap: Swapped) -> Survey {
    let mut trial = survey.clone();
    let [a, b] = swap.points;
    for mark in &mut trial.photos[swap.photo].marks {
        if mark.point == a {
            mark.point = b;
        } else if mark.point == b {
            mark.point = a;
        }
    }
    trial
}

/// Photos that are one picture: the same file, or marks that all lie where those of another lie.
pub(super) fn repeated_photos(survey: &Survey) -> Vec<RepeatedPhoto> {
    let mut found = Vec::new();
    for (second, later) in survey.photos.iter().enumerate() {
        let first = survey.photos[..second].iter().position(|earlier| {
            let is_one_file = earlier.file.is_some() && earlier.file == later.file;
            let mark_of = |point: PointId| earlier.marks.iter().find(|mark| mark.point == point);
            let shared: Vec<f64> = later
                .marks
                .iter()
                .filter_map(|mark| {
                    let other = mark_of(mark.point)?;
                    let off = [0, 1].map(|k| mark.at[k] - other.at[k]);
                    let square = f64::midpoint(off[0] * off[0], off[1] * off[1]);
                    Some(square / (mark.sigma * mark.sigma + other.sigma * other.sigma))
                })
                .collect();
            let mean = shared.iter().sum::<f64>() / shared.len().max(1) as f64;
            is_one_file || shared.len() >= FEWEST_SHARED && mean < MOST_APART
        });
        found.extend(first.map(|first| RepeatedPhoto { first, second }));
    }
    found
}
