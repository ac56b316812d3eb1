//! Equations over a few unknowns of their own, with nothing held exactly: a camera set by points, a gable's edges.

use super::equation::Equation;
use super::solver::marquardt::Problem;
use super::solver::rows::Rows;
use super::state::{Layout, State};

/// A least-squares problem without constraints.
pub(super) struct Unconstrained {
    pub equations: Vec<Equation>,
    pub layout: Layout,
}

impl Problem for Unconstrained {
    type State = State;

    fn linearise(&self, state: &State) -> Rows {
        let mut rows = Rows::new(self.layout.unknowns);
        let mut entries = Vec::new();
        for equation in &self.equations {
            let residual = equation.linearise(state, &self.layout, &mut entries);
            rows.push(residual, &mut entries);
        }
        rows
    }

    fn constraints(&self, _: &State) -> Rows {
        Rows::new(self.layout.unknowns)
    }

    fn advance(&self, state: &State, step: &[f64]) -> State {
        state.advanced(&self.layout, step)
    }
}
