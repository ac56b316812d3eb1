//! Which observations to doubt. Those with a standardised residual above the critical value are left out one by one
//! and the rest adjusted anew: the one whose absence makes the rest agree best is named. Where another explains the
//! disagreement nearly as well, three are named; where the named one is told for sure, the search goes on without it.

use super::equation::{Equation, Source, Term};
use super::model::{ObservationKind, Survey};
use super::network::Network;
use super::reliability::{CRITICAL, Check, check};
use super::solver::cofactor::Cofactor;
use super::solver::elimination::Elimination;
use super::solver::marquardt::{Problem, Stop, minimise};
use super::state::State;
use crate::base::order::SortByNumber as _;

/// Most named.
const MOST: usize = 3;
/// Most left out one by one in a round.
const MOST_TRIED: usize = 12;
/// Two explanations whose sums of squares differ by less than this can't be told apart: one that fits as a single
/// observation at the critical value would.
const TOLD_APART: f64 = CRITICAL * CRITICAL;
/// Above this many unknowns an adjustment anew for each candidate takes too long: there the standardised residuals rank
/// them, and only what is told for sure is left out.
const MOST_UNKNOWNS: usize = 400;
/// Enough to rank by.
const STOP: Stop = Stop { relative: 1e-7, absolute: 1e-6, turns: 60 };

/// Equations that stand or fall together: both coordinates of a mark, both directions of a plumb line, an offset from a wall
/// at every point it was measured for.
pub(super) fn group(survey: &Survey, source: Source) -> Source {
    let is_one =
        |kind: &ObservationKind| matches!(kind, ObservationKind::Plumb { .. } | ObservationKind::Offset { .. });
    match source {
        Source::Observation(index, _) if survey.observations.get(index).is_some_and(|o| is_one(&o.kind)) => {
            Source::Observation(index, 0)
        }
        other => other,
    }
}

/// Of what can't be told apart, which is named first: a plan's stated scale, which every copy of it changes; what somebody
/// read or set as a mark; what was taken to be so.
fn rank(equation: &Equation) -> usize {
    match equation.term {
        Term::SheetScale(_) => 0,
        _ if is_reading(equation) => 1,
        _ => 2,
    }
}

/// Whether somebody read it, or set it as a mark: the rest was taken to be so.
fn is_reading(equation: &Equation) -> bool {
    // In the plane over a line a point was taken to be; how far out of it, was measured.
    if let Term::OffLine { .. } = equation.term {
        return equation.observed != 0.0;
    }
    matches!(
        equation.term,
        Term::Distance(..)
            | Term::LevelDistance(..)
            | Term::Turn(_)
            | Term::Pitch(_)
            | Term::LevelValue(_)
            | Term::Mark { .. }
            | Term::OnLine { .. }
            | Term::Along { .. }
            | Term::OnSheet { .. }
            | Term::OffSheetLine { .. }
    )
}

/// That points lie on a face is one statement.
fn face_of(source: Source) -> Source {
    match source {
        Source::OnFace { face, .. } => Source::OnFace { face, point: 0 },
        other => other,
    }
}

/// A named observation: its check (that of its worse coordinate) and the equation that the check is of.
#[derive(Clone, Copy, Debug)]
pub(super) struct Named {
    pub check: Check,
    pub equation: Equation,
}

/// The doubtful observations, worst first, and the first two of those that are equally to blame.
#[derive(Default)]
pub(super) struct Found {
    pub named: Vec<Named>,
    pub tied: Option<[Tied; 2]>,
}

/// One of several observations of which any may be wrong.
pub(super) struct Tied {
    pub named: Named,
    /// Everything at the minimum of the rest, without it.
    pub without: State,
}

/// A network without one of its observations, adjusted.
struct Rest<'a> {
    network: Network<'a>,
    state: State,
    /// By how much its absence lowers the sum of squares, less what it takes by chance.
    drop: f64,
}

/// `None` where nothing comes of it.
fn without<'a>(network: &Network<'a>, state: &State, cost: f64, left_out: &Named) -> Option<Rest<'a>> {
    let survey = network.survey;
    let key = group(survey, left_out.check.source);
    let mut rest = network.clone();
    rest.weighted.retain(|equation| group(survey, equation.source) != key);
    let count = (network.weighted.len() - rest.weighted.len()) as f64;
    let solution = minimise(&rest, state.clone(), &STOP);
    // Each further equation left out takes one square with it by chance.
    let drop = cost - solution.cost - (count - 1.0);
    solution.cost.is_finite().then_some(Rest { network: rest, state: solution.state, drop })
}

/// The doubtful observations, worst first.
pub(super) fn find(network: &Network<'_>, state: &State, checks: &[Check], cost: f64) -> Found {
    let mut network = network.clone();
    let mut state = state.clone();
    let mut checks = checks.to_vec();
    let mut cost = cost;
    let mut named: Vec<Named> = Vec::new();
    let mut tied = None;
    while named.len() < MOST {
        let worst = worst_of_each_group(&network, &checks);
        if worst.is_empty() {
            break;
        }
        let mut tried: Vec<(f64, Named, Option<Rest<'_>>)> = if network.layout.unknowns > MOST_UNKNOWNS {
            // The square of a standardised residual is the drop, to first order.
            worst.into_iter().map(|candidate| (candidate.check.w.powi(2), candidate, None)).collect()
        } else {
            let rest = |candidate: Named| {
                let rest = without(&network, &state, cost, &candidate)?;
                Some((rest.drop, candidate, Some(rest)))
            };
            worst.into_iter().take(MOST_TRIED).filter_map(rest).collect()
        };
        // What a standardised residual promises to first order must come true.
        tried.retain(|entry| entry.0 > TOLD_APART / 2.0);
        tried.sort_by_largest(|a| a.0);
        let told = match (tried.first(), tried.get(1)) {
            (Some(first), Some(second)) => first.0 - second.0 > TOLD_APART,
            (Some(_), None) => true,
            (None, _) => break,
        };
        if !told {
            // In the order of their ranks; of one face's points the first.
            let best = tried.first().map_or(0.0, |entry| entry.0);
            let as_good = |drop: f64| best - drop <= TOLD_APART;
            tried.sort_by_key(|entry| (!as_good(entry.0), rank(&entry.1.equation)));
            let mut seen: Vec<Source> = Vec::new();
            tried.retain(|entry| {
                let key = face_of(entry.1.check.source);
                let is_new = !seen.contains(&key);
                seen.push(key);
                is_new
            });
            named.extend(tried.iter().map(|entry| entry.1).take(MOST - named.len()));
            let either = tried.into_iter().take(2).filter(|entry| as_good(entry.0));
            let either = either.filter_map(|(_, named, rest)| Some(Tied { named, without: rest?.state }));
            tied = <[Tied; 2]>::try_from(either.collect::<Vec<Tied>>()).ok();
            break;
        }
        let (_, first, rest) = tried.swap_remove(0);
        named.push(first);
        let Some(rest) = rest.or_else(|| without(&network, &state, cost, &first)) else { break };
        let rows = rest.network.linearise(&rest.state);
        cost = rows.cost();
        let reduced = Elimination::new(&rest.network.constraints(&rest.state)).reduce(&rows);
        checks = check(&rest.network.weighted, &reduced, &Cofactor::new(&reduced));
        network = rest.network;
        state = rest.state;
    }
    Found { named, tied }
}

fn worst_of_each_group(network: &Network<'_>, checks: &[Check]) -> Vec<Named> {
    let mut doubtful: Vec<&Check> = checks.iter().filter(|check| check.w.abs() > CRITICAL).collect();
    doubtful.sort_by_largest(|a| a.w.abs());
    let mut seen: Vec<Source> = Vec::new();
    let mut worst = Vec::new();
    for check in doubtful {
        let key = group(network.survey, check.source);
        let equation = network.weighted[check.equation];
        // What a camera is taken to be is not a measurement, but a wrong focal length is worth a word.
        if !seen.contains(&key) && !matches!(equation.term, Term::LensValue { which: 1 | 2, .. }) {
            seen.push(key);
            worst.push(Named { check: *check, equation });
        }
    }
    worst
}
