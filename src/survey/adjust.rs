//! The adjustment from end to end.

use super::answer;
use super::chi_square;
use super::covariance::{Coordinates, Covariance};
use super::equation::Source;
use super::error::SurveyError;
use super::gauge::{self, Scaleless};
use super::model::{Known, RingInput, Survey};
use super::network::Network;
use super::observation::{Sources, Unit, unit};
use super::report::{Report, Undetermined};
use super::solver::cofactor::Cofactor;
use super::solver::elimination::Elimination;
use super::solver::marquardt::{Problem, Solution, Stop, minimise};
use super::solver::rows::Rows;
use super::start::{self, Search};
use super::state::State;
use crate::base::place::Place;
use nalgebra::{Point2, Point3};

/// A job's measurements brought together.
#[derive(Clone, Debug)]
pub struct Adjusted {
    /// Corners of all rings, in file order, on the site plan, metres.
    pub rings: Vec<Vec<Point2<f64>>>,
    /// Every named point, in the survey's order; `None` where it is not located.
    pub points: Vec<Option<Point3<f64>>>,
    /// What the adjustment found.
    pub report: Report,
    /// Covariance of corners and points.
    pub covariance: Covariance,
}

/// A step that promises 10⁻⁹ less of the sum of squares moves no unknown by more than 3 · 10⁻⁵ of its sigma.
pub(super) const STOP: Stop = Stop { relative: 1e-10, absolute: 1e-9, turns: 300 };

/// Everything at the minimum.
pub(super) struct Minimum<'a> {
    pub network: &'a Network<'a>,
    pub state: &'a State,
    pub cost: f64,
    /// Weighted equations over the free unknowns.
    pub rows: Rows,
    /// Whether a part has no size.
    pub scaleless: bool,
}

/// Adjusts walked outlines, points, faces, observations and photos together.
///
/// O(n³) for n unknowns with photos; about n² for networks of tapes.
///
/// # Errors
/// [`SurveyError`]: turns that do not come round, exact measurements that contradict each other, a photo that cannot
/// be placed, an iteration that comes to no minimum.
pub fn adjust(rings: &[RingInput<'_>], survey: &Survey) -> Result<Adjusted, SurveyError> {
    let (network, state) = Network::new(rings, survey)?;
    let mut best: Option<Candidate<'_>> = None;
    for search in [Search::First, Search::All] {
        let mut placed = network.clone();
        let (starts, unplaced) = start::candidates(&mut placed, state.clone(), search);
        for start in starts {
            let mut held = placed.clone();
            let scaleless = gauge::hold(&mut held, &start);
            let solution = minimise(&held, start, &STOP);
            let is_better = |kept: &Candidate<'_>| {
                solution.cost < (1.0 - SAME_MINIMUM) * kept.solution.cost || !kept.solution.cost.is_finite()
            };
            if best.as_ref().is_none_or(is_better) {
                best = Some(Candidate { network: held, scaleless, solution, unplaced: unplaced.clone() });
            }
            if best.as_ref().is_some_and(Candidate::fits) {
                break;
            }
        }
        // Without photos or rough places there is but one start.
        let one_start = survey.photos.is_empty() && !survey.points.iter().any(|p| matches!(p.known, Known::Near(_)));
        if one_start || best.as_ref().is_some_and(Candidate::fits) {
            break;
        }
    }
    let Some(best) = best else {
        return Err(SurveyError::NotConverged { steps: 0, mean: None, doubtful: Vec::new(), places: vec![Place::Job] });
    };
    finish(&best)
}

/// A minimum reached from one start state.
struct Candidate<'a> {
    network: Network<'a>,
    scaleless: Vec<Scaleless>,
    solution: Solution<State>,
    /// Photos left out.
    unplaced: Vec<usize>,
}

/// A later start counts as better when its sum of squares is lower by more than this part: less is rounding.
const SAME_MINIMUM: f64 = 1e-9;
/// A sum of squares above this quantile makes the next start state be tried.
const FITS: f64 = 0.999;

impl Candidate<'_> {
    /// Whether the measurements agree as well as their sigmas promise: no other start need be tried.
    fn fits(&self) -> bool {
        let equations = self.network.weighted.len() + self.network.exact.len();
        let dof = equations.saturating_sub(self.network.layout.unknowns).max(1);
        self.solution.cost <= chi_square::quantile(FITS, dof)
    }
}

fn finish(best: &Candidate<'_>) -> Result<Adjusted, SurveyError> {
    let Candidate { network, scaleless, solution, unplaced } = best;
    let sources = Sources { rings: network.rings, survey: network.survey };
    let state = &solution.state;
    let constraints = network.constraints(state);
    contradiction(network, &constraints, &sources)?;
    let weighted = network.linearise(state);
    // Where the measurements agree, a way on that leads nowhere is a direction they hardly fix: its standard
    // deviations tell.
    if !solution.cost.is_finite() || !(solution.converged || best.fits()) {
        return Err(not_converged(network, solution, &weighted, &sources));
    }
    let elimination = Elimination::new(&constraints);
    let rows = elimination.reduce(&weighted);
    let cofactor = Cofactor::new(&rows);
    let mut layout = Coordinates::new(network);
    for part in scaleless {
        layout.add_free_scale(network, state, part);
    }
    let covariance = Covariance::new(layout, &elimination, cofactor);

    let minimum = Minimum { network, state, cost: solution.cost, rows, scaleless: !scaleless.is_empty() };
    let mut report = answer::report(&minimum, &covariance, &sources);
    for &photo in unplaced {
        report.undetermined.push(Undetermined::Photo { photo, marks: network.survey.photos[photo].marks.len() });
    }
    let points = report.points.iter().map(|point| point.located.then_some(point.at)).collect();
    let rings = network
        .ring_first
        .iter()
        .zip(network.rings)
        .map(|(&first, ring)| state.places[first..first + ring.corners()].iter().map(Point3::xy).collect())
        .collect();
    Ok(Adjusted { rings, points, report, covariance })
}

/// Exact measurements may disagree by this much of rounding: a micrometre, a millionth of a radian.
const EXACT_AGREE: f64 = crate::base::tolerance::SMALLEST;

fn contradiction(network: &Network<'_>, constraints: &Rows, sources: &Sources<'_>) -> Result<(), SurveyError> {
    let worst = constraints.residuals.iter().enumerate().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
    let Some((index, by)) = worst.filter(|(_, by)| by.is_nan() || by.abs() > EXACT_AGREE) else { return Ok(()) };
    let equation = &network.exact[index];
    // A frame is never to blame: name a measurement.
    let named = if equation.source == Source::Datum {
        network.exact.iter().find(|e| e.source != Source::Datum).unwrap_or(equation)
    } else {
        equation
    };
    let (unit, _): (Unit, f64) = unit(equation, 1.0);
    Err(SurveyError::ExactContradiction {
        observation: sources.id(named.source),
        by: by.is_finite().then(|| by.abs()),
        unit,
        place: sources.place(named.source),
    })
}

fn not_converged(network: &Network<'_>, solution: &Solution<State>, rows: &Rows, sources: &Sources<'_>) -> SurveyError {
    let mut order: Vec<usize> = (0..rows.len()).collect();
    let size = |i: &usize| if rows.residuals[*i].is_finite() { rows.residuals[*i].abs() } else { f64::INFINITY };
    order.sort_by(|a, b| size(b).total_cmp(&size(a)));
    let mut named: Vec<Source> = Vec::new();
    for index in order {
        let source = network.weighted[index].source;
        if named.len() < 3 && !named.contains(&source) {
            named.push(source);
        }
    }
    SurveyError::NotConverged {
        steps: solution.turns,
        mean: Some((solution.cost / (rows.len().max(1) as f64)).sqrt()).filter(|mean| mean.is_finite()),
        doubtful: named.iter().map(|&source| sources.id(source)).collect(),
        places: named.iter().map(|&source| sources.place(source)).collect(),
    }
}
