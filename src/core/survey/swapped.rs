//! Two marks of a photo that bear each other's names: where the measurements do not agree, the names of every two marks of
//! a photo are changed over, and what then agrees is proposed.

use super::model::{RingInput, Survey};
use super::network::Network;
use super::report::{RepeatedPhoto, Swapped};
use super::search;
use crate::base::ids::PointId;

/// Most pairs tried: in a job with more a swap pulls two marks so far off that they are doubted by themselves.
const MOST_PAIRS: usize = 200;
/// Most followed to their minimum.
const MOST_FOLLOWED: usize = 3;
/// Above this many unknowns a search for each pair takes too long.
const MOST_UNKNOWNS: usize = 400;
/// Fewest marks that two photos must share to be held for one picture.
const FEWEST_SHARED: usize = 4;
/// Marks set twice in one picture differ by this many of their sigmas in the mean square, each way, at most.
const MOST_APART: f64 = 3.0;

/// The pair of names whose change makes the measurements agree; of several the one that makes them agree best.
pub(super) fn find(rings: &[RingInput<'_>], survey: &Survey) -> Option<Swapped> {
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
    let mut tried: Vec<(f64, Swapped)> = Vec::new();
    for swap in swaps {
        let trial = changed_over(survey, swap);
        let Ok((network, state)) = Network::new(rings, &trial) else { continue };
        if network.layout.unknowns > MOST_UNKNOWNS {
            return None;
        }
        tried.push((search::cost_soon(&network, &state), swap));
    }
    tried.sort_by(|a, b| a.0.total_cmp(&b.0));
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
