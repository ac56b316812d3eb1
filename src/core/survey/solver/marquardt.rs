//! Marquardt's iteration ("An algorithm for least-squares estimation of nonlinear parameters", 1963): the normal
//! matrix in scaled columns is damped on its diagonal, more after a step that failed, less after one that did what
//! the linear model foretold (Nielsen's rule, "Damping parameter in Marquardt's method", 1999). A column is scaled by
//! the greatest length it has had so far (J. J. Moré, "The Levenberg-Marquardt algorithm", 1978), a greater length in
//! the past counting half as much with every step. A step follows the curve of the residuals to second order, and is
//! not tried where it bends too much for the linear model to mean anything (M. K. Transtrum and J. P. Sethna,
//! "Improvements to the Levenberg-Marquardt algorithm for nonlinear least-squares minimization", 2012).

use super::elimination::{Elimination, Role};
use super::rows::Rows;
use super::skyline::{Pattern, Skyline};

/// A sum of squares to be made small.
pub trait Problem {
    /// What is changed.
    type State: Clone;

    /// Residuals and derivatives at a state; NaN where the model has no value.
    fn linearise(&self, state: &Self::State) -> Rows;

    /// The residuals alone.
    fn residuals(&self, state: &Self::State) -> Vec<f64> {
        self.linearise(state).residuals
    }

    /// What must be zero exactly.
    fn constraints(&self, state: &Self::State) -> Rows;

    /// The state a step away.
    fn advance(&self, state: &Self::State, step: &[f64]) -> Self::State;

    /// Unknowns of one kind and place, three by three: coordinates of one point. None has a much smaller scale than the
    /// others, or one that the equations hardly hold (the height of a point with level tapes alone) runs away.
    fn alike(&self) -> Vec<[usize; 3]> {
        Vec::new()
    }
}

/// When to stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// A step that promises less than this part of the sum of squares ends the iteration.
    pub relative: f64,
    /// So does one that promises less than this.
    pub absolute: f64,
    /// Most steps tried.
    pub turns: usize,
}

/// How the iteration ended.
#[derive(Clone, Debug)]
pub struct Solution<S> {
    /// The best state found.
    pub state: S,
    /// Its sum of squares.
    pub cost: f64,
    /// Whether it is a minimum, as far as the stop rule tells.
    pub converged: bool,
    /// Steps tried.
    pub turns: usize,
}

/// A step that promises less than this, in squared sigmas, moves nothing but roundings.
const ROUNDING: f64 = 1e-20;
/// Damping a first step starts with, in columns scaled to 1.
const FIRST_DAMPING: f64 = 1e-3;
/// Damping below this no longer changes a step.
const SMALLEST_DAMPING: f64 = 1e-12;
/// Damping above this makes steps that no longer move a double.
const LARGEST_DAMPING: f64 = 1e18;
/// With every step a column's scale forgets this much of greater lengths in the past: a model that was steep where the
/// iteration began must not hold its unknown back for ever.
const MEMORY: f64 = 0.5;
/// Least length of a column beside the longest of those alike.
const LEAST_ALIKE: f64 = 0.3;
/// Largest length of the second-order part of a step over the first-order one.
const MOST_BENT: f64 = 0.75;
/// The part of a step over which the second derivative along it is taken.
const PROBE: f64 = 0.1;
/// Constraints are met when no step longer than this is left, metres or radians.
const CONSTRAINT_LEFT: f64 = 1e-13;

/// Brings a state onto the constraints by Newton steps of the unknowns that they bind.
pub(crate) fn onto_constraints<P: Problem>(problem: &P, mut state: P::State) -> P::State {
    for _ in 0..20 {
        let constraints = problem.constraints(&state);
        if constraints.residuals.iter().all(|c| c.abs() <= CONSTRAINT_LEFT) {
            break;
        }
        let elimination = Elimination::new(&constraints);
        let step = elimination.expand(&vec![0.0; elimination.free]);
        if step.iter().all(|s| s.abs() <= CONSTRAINT_LEFT) {
            break;
        }
        state = problem.advance(&state, &step);
    }
    state
}

/// Second derivative of the residuals along a step, from those at its beginning, their slopes, and those a part
/// [`PROBE`] along it.
fn curvature(rows: &Rows, step: &[f64], probed: &[f64]) -> Vec<f64> {
    let slopes = rows.along(step);
    let changes = probed.iter().zip(&rows.residuals).map(|(then, now)| (then - now) / PROBE);
    changes.zip(slopes).map(|(change, slope)| 2.0 * (change - slope) / PROBE).collect()
}

/// Column lengths, none less than a part of those of the unknowns that are alike.
fn evened(mut lengths: Vec<f64>, alike: &[[usize; 3]], elimination: &Elimination) -> Vec<f64> {
    for group in alike {
        let free = group.map(|unknown| match elimination.roles[unknown] {
            Role::Free(number) => Some(number),
            Role::Bound { .. } => None,
        });
        let longest = free.iter().flatten().map(|&number| lengths[number]).fold(0.0, f64::max);
        for number in free.into_iter().flatten() {
            lengths[number] = lengths[number].max(LEAST_ALIKE * longest);
        }
    }
    lengths
}

/// Finds a minimum near `start`.
pub fn minimise<P: Problem>(problem: &P, start: P::State, stop: &Stop) -> Solution<P::State> {
    let mut state = onto_constraints(problem, start);
    let mut rows = problem.linearise(&state);
    let mut cost = rows.cost();
    let (mut damping, mut growth) = (FIRST_DAMPING, 2.0);
    let mut pattern: Option<Pattern> = None;
    let mut turns = 0;
    let mut scale: Vec<f64> = Vec::new();
    let alike = problem.alike();
    if !cost.is_finite() {
        return Solution { state, cost, converged: false, turns };
    }
    loop {
        let elimination = Elimination::new(&problem.constraints(&state));
        let reduced = if elimination.is_trivial() { rows } else { elimination.reduce(&rows) };
        let lengths = evened(reduced.column_lengths(), &alike, &elimination);
        if scale.len() == lengths.len() {
            for (scale, length) in scale.iter_mut().zip(&lengths) {
                *scale = (MEMORY * *scale).max(*length);
            }
        } else {
            scale = lengths.iter().map(|&length| if length > 0.0 { length } else { 1.0 }).collect();
        }
        let shape = pattern.take().filter(|shape| shape.fits(&reduced)).unwrap_or_else(|| Pattern::new(&reduced));
        let normal = Skyline::normal(&shape, &reduced, &scale);
        let gradient: Vec<f64> = reduced.gradient().iter().zip(&scale).map(|(g, s)| -g / s).collect();
        // Tries steps until one is better.
        loop {
            if turns >= stop.turns || damping > LARGEST_DAMPING {
                return Solution { state, cost, converged: false, turns };
            }
            turns += 1;
            let Some(factor) = normal.factor(damping) else {
                damping = (damping * 4.0).max(SMALLEST_DAMPING);
                continue;
            };
            let scaled = factor.solve(&gradient);
            let square: f64 = scaled.iter().map(|s| s * s).sum();
            let promised = scaled.iter().zip(&gradient).map(|(s, g)| s * g).sum::<f64>() + damping * square;
            let done = promised.is_nan() || promised <= stop.relative * cost + stop.absolute;
            if done && (promised.is_nan() || promised <= ROUNDING) {
                return Solution { state, cost, converged: true, turns };
            }
            let mut step: Vec<f64> = scaled.iter().zip(&scale).map(|(s, c)| s / c).collect();
            if !done {
                let probe: Vec<f64> = step.iter().map(|s| PROBE * s).collect();
                let probed = problem.residuals(&problem.advance(&state, &elimination.expand(&probe)));
                let curved = curvature(&reduced, &step, &probed);
                let pull: Vec<f64> = reduced.against(&curved).iter().zip(&scale).map(|(g, s)| -g / s).collect();
                let bend = factor.solve(&pull);
                let bent = 2.0 * (bend.iter().map(|b| b * b).sum::<f64>() / square).sqrt();
                if bent.is_nan() || bent > MOST_BENT {
                    damping *= growth;
                    growth *= 2.0;
                    continue;
                }
                for ((step, bend), scale) in step.iter_mut().zip(&bend).zip(&scale) {
                    *step += bend / (2.0 * scale);
                }
            }
            let trial = onto_constraints(problem, problem.advance(&state, &elimination.expand(&step)));
            let trial_rows = problem.linearise(&trial);
            let trial_cost = trial_rows.cost();
            if done {
                // The last step costs no more than was paid already, and doubles the digits.
                let (state, cost) = if trial_cost <= cost { (trial, trial_cost) } else { (state, cost) };
                return Solution { state, cost, converged: true, turns };
            }
            if trial_cost < cost {
                let gain = (cost - trial_cost) / promised;
                damping = (damping * (1.0 - (2.0 * gain - 1.0).powi(3)).max(1.0 / 3.0)).max(SMALLEST_DAMPING);
                growth = 2.0;
                state = trial;
                rows = trial_rows;
                cost = trial_cost;
                break;
            }
            damping *= growth;
            growth *= 2.0;
        }
        pattern = Some(shape);
    }
}
