//! The adjustment from end to end.

use super::answer;
use super::covariance::{Coordinates, Covariance};
use super::equation::Source;
use super::error::SurveyError;
use super::foreseen::{self, Foreseen};
use super::minimum::Minimum;
use super::model::{RingInput, Survey};
use super::network::{FEWEST_ON_A_SHEET, Network};
use super::observation::{Sources, Unit, unit};
use super::report::{Choice, Report, Swapped, Undetermined};
use super::search::{self, Candidate};
use super::solver::cofactor::Cofactor;
use super::solver::elimination::{Elimination, Role};
use super::solver::marquardt::{Problem, Solution};
use super::solver::rows::Rows;
use super::state::State;
use super::swapped;
use crate::base::order::SortByNumber as _;
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
    /// Where points that are not marked must appear in the photos, where that was asked for.
    pub foreseen: Vec<Foreseen>,
}

/// Adjusts walked outlines, points, faces, observations and photos together.
///
/// O(n³) for n unknowns with photos; about n² for networks of tapes.
///
/// # Errors
/// [`SurveyError`]: turns that do not come round, exact measurements that contradict each other, a photo that cannot
/// be placed, an iteration that comes to no minimum.
pub fn adjust(rings: &[RingInput<'_>], survey: &Survey) -> Result<Adjusted, SurveyError> {
    adjust_with(rings, survey, &Options::default())
}

/// What is to be looked for beside the adjusted places.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Options {
    /// Where the measurements do not agree, marks that bear each other's names: takes as long again as the adjustment.
    pub swaps: bool,
    /// Where points that are not marked in a photo must appear in it: a product with the covariance for each of them. Marks of
    /// points that nothing else speaks of are left out of the adjustment then: they tell nothing.
    pub foresee: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self { swaps: true, foresee: false }
    }
}

/// The same, with a choice of what is looked for.
///
/// # Errors
/// As [`adjust`].
pub fn adjust_with(rings: &[RingInput<'_>], survey: &Survey, options: &Options) -> Result<Adjusted, SurveyError> {
    let lean = options.foresee.then(|| foreseen::lean(survey));
    let (network, state) = Network::new(rings, lean.as_ref().unwrap_or(survey))?;
    let (best, choices) = search::best(&network, &state);
    let Some(best) = best else {
        return Err(SurveyError::NotConverged { steps: 0, mean: None, doubtful: Vec::new(), places: vec![Place::Job] });
    };
    finish(&best, choices, options, survey)
}

fn finish(
    best: &Candidate<'_>,
    choices: Vec<Choice>,
    options: &Options,
    whole: &Survey,
) -> Result<Adjusted, SurveyError> {
    let Candidate { network, scaleless, solution, unplaced, rivals, other_minima, .. } = best;
    let sources = Sources { rings: network.rings, survey: network.survey };
    let state = &solution.state;
    let constraints = network.constraints(state);
    contradiction(network, &constraints, &sources)?;
    let weighted = network.linearise(state);
    // Where the measurements agree more or less, a way on that leads nowhere is a direction they hardly fix: its standard
    // deviations tell, and the sum of squares tells the rest.
    let mean = (solution.cost / weighted.len().max(1) as f64).sqrt();
    if !solution.cost.is_finite() || !(solution.converged || best.fits() || mean < MORE_OR_LESS) {
        let elimination = Elimination::new(&constraints);
        let rows = elimination.reduce(&weighted);
        let is_sound = options.swaps && rows.cost().is_finite();
        let swapped = if is_sound { swapped::find(network, &rows, &Cofactor::new(&rows)) } else { None };
        return Err(not_converged(network, solution, &weighted, &sources, swapped));
    }
    let elimination = Elimination::new(&constraints);
    let rows = elimination.reduce(&weighted);
    let cofactor = Cofactor::new(&rows);
    let cofactor = match within_reach(network, state, &elimination, &rows, &cofactor) {
        Some(rows) => Cofactor::new(&rows),
        None => cofactor,
    };
    let mut layout = Coordinates::new(network);
    for part in scaleless {
        layout.add_free_scale(network, state, part);
    }
    let covariance = Covariance::new(layout, &elimination, cofactor, rows.clone());

    let scaleless = !scaleless.is_empty();
    let minimum = Minimum { network, state, cost: solution.cost, rows, scaleless, rivals, other_minima };
    let mut report = answer::report(&minimum, &covariance, &sources);
    report.choices = choices;
    // A single suspect that is told for sure explains all.
    if options.swaps && !best.fits() && report.suspects.len() != 1 {
        report.swapped = swapped::find(network, &minimum.rows, covariance.cofactor());
    }
    report.repeated_photos = swapped::repeated_photos(network.survey);
    let photos = &network.survey.photos;
    for &photo in unplaced {
        let marks = photos[photo].marks.len();
        report.undetermined.push(Undetermined::Photo { photo, marks, wanted: FEWEST_IN_A_PHOTO });
    }
    for photo in (0..photos.len()).filter(|&photo| photos[photo].sheet.is_some() && !network.sheets.contains(&photo)) {
        let marks = photos[photo].marks.len();
        report.undetermined.push(Undetermined::Photo { photo, marks, wanted: FEWEST_ON_A_SHEET });
    }
    // Where the measurements don't agree, nothing is foreseen by them; nor where nothing is left over that would show it: five
    // marks that two photos share are met by several ways in which these can stand to each other.
    let is_sound = (best.fits() || mean < MORE_OR_LESS) && report.dof > 0;
    let foreseen = if options.foresee && is_sound {
        foreseen::all(&minimum, &elimination, covariance.cofactor(), whole)
    } else {
        Vec::new()
    };
    let points = report.points.iter().map(|point| point.located.then_some(point.at)).collect();
    let rings = network
        .ring_first
        .iter()
        .zip(network.rings)
        .map(|(&first, ring)| state.places[first..first + ring.corners()].iter().map(Point3::xy).collect())
        .collect();
    Ok(Adjusted { rings, points, report, covariance, foreseen })
}

/// The equations, and that heights which they hardly hold are no farther off than the whole is wide; `None` where they
/// hold all. Level tapes hold a height to second order alone: a first-order standard deviation of hundreds of metres
/// would spoil that of what hangs on it. What is not determined at all stays so.
fn within_reach(
    network: &Network<'_>,
    state: &State,
    elimination: &Elimination,
    rows: &Rows,
    cofactor: &Cofactor,
) -> Option<Rows> {
    let first = state.places.first().copied().unwrap_or_default();
    let reach = state.places.iter().map(|place| (place - first).norm()).fold(0.0, f64::max);
    if reach == 0.0 {
        // All at one place: there is no width to hold anything by.
        return None;
    }
    let free = |columns: &[Option<usize>; 3]| match elimination.roles[columns[2]?] {
        Role::Free(number) => Some(number),
        Role::Bound { .. } => None,
    };
    let is_loose = |number: &usize| {
        let height = [(*number, 1.0)];
        cofactor.null_part(&height).is_none() && cofactor.between(&height, &height) > reach * reach
    };
    let loose: Vec<usize> = network.layout.places.iter().filter_map(free).filter(is_loose).collect();
    (!loose.is_empty()).then(|| {
        let mut rows = rows.clone();
        for number in loose {
            rows.push(0.0, &mut [(number, 1.0 / reach)]);
        }
        rows
    })
}

/// Marks of points that are known otherwise, by which a photo is placed.
const FEWEST_IN_A_PHOTO: usize = 4;

/// Measurements that miss by less than this many of their sigmas in the mean agree more or less.
const MORE_OR_LESS: f64 = 3.0;

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

fn not_converged(
    network: &Network<'_>,
    solution: &Solution<State>,
    rows: &Rows,
    sources: &Sources<'_>,
    swapped: Option<Swapped>,
) -> SurveyError {
    let mut order: Vec<usize> = (0..rows.len()).collect();
    let size = |i: &usize| if rows.residuals[*i].is_finite() { rows.residuals[*i].abs() } else { f64::INFINITY };
    order.sort_by_largest(|a| size(a));
    let mut named: Vec<Source> = Vec::new();
    if let Some(Swapped { photo, points }) = swapped {
        let marks = network.survey.photos[photo].marks.iter().enumerate();
        named.extend(marks.filter(|(_, mark)| points.contains(&mark.point)).map(|(mark, _)| Source::Mark(photo, mark)));
        order.clear();
    }
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
