//! Two observations equally to blame: the measurement that tells which. Without the one and without the other the rest is
//! adjusted anew; what a further measurement would read then differs, and the one counts whose readings lie farthest apart
//! for how unsure they are.

use super::columns::Columns;
use super::covariance::Covariance;
use super::equation::Source;
use super::minimum::Minimum;
use super::next::{self, Candidate};
use super::observation::Sources;
use super::reliability::{CONTROLLED, CRITICAL};
use super::report::Parting;
use super::suspects::{Tied, group};

/// The measurement that tells two observations apart best, if any does: the readings foretold lie farther apart than chance
/// brings them, as one new measurement or as one of the two taken again.
pub(super) fn best(
    minimum: &Minimum<'_>,
    covariance: &Covariance,
    sources: &Sources<'_>,
    tied: &[Tied; 2],
) -> Option<(Candidate, Parting)> {
    let survey = minimum.network.survey;
    let listed = tied.iter().filter_map(|tied| match tied.named.check.source {
        Source::Observation(index, _) => next::again(minimum, covariance, &survey.observations[index].kind),
        _ => None,
    });
    let mut candidates = next::not_taken(minimum, covariance);
    candidates.extend(listed);
    let columns = Columns::of(covariance);
    let taken = [0, 1].map(|k| Taken::of(minimum, covariance, &tied[k]));
    let weighed = candidates.into_iter().filter_map(|candidate| {
        let expected = [0, 1].map(|k| candidate.of.at(minimum, &tied[k].without));
        let noise = candidate.sigma.powi(2)
            + taken.iter().map(|taken| unsure(covariance, &columns, &candidate, taken)).sum::<f64>();
        let apart = (expected[1] - expected[0]).abs() / noise.sqrt();
        (apart > CRITICAL).then_some((apart, candidate, expected))
    });
    let (_, candidate, expected) = weighed.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let between = [0, 1].map(|k| sources.id(tied[k].named.check.source));
    let parts = Parting { between, expected, again: !candidate.is_new };
    Some((candidate, parts))
}

/// The equations of an observation, each with its redundancy.
struct Taken {
    rows: Vec<(Vec<(usize, f64)>, f64)>,
}

impl Taken {
    fn of(minimum: &Minimum<'_>, covariance: &Covariance, tied: &Tied) -> Self {
        let network = minimum.network;
        let key = group(network.survey, tied.named.check.source);
        let own = network.weighted.iter().enumerate();
        let own = own.filter(|(_, equation)| group(network.survey, equation.source) == key);
        let rows = own.map(|(index, _)| {
            let (columns, slopes) = minimum.rows.row(index);
            let row: Vec<(usize, f64)> = columns.iter().copied().zip(slopes.iter().copied()).collect();
            let redundancy = 1.0 - covariance.cofactor().between(&row, &row);
            (row, redundancy)
        });
        Self { rows: rows.collect() }
    }
}

/// Variance of what a measurement would read without one of the observations: that with it, and what the observation takes
/// off it.
fn unsure(covariance: &Covariance, columns: &Columns<'_>, candidate: &Candidate, taken: &Taken) -> f64 {
    if !covariance.is_determined(&candidate.slopes) {
        return f64::INFINITY;
    }
    let off = taken
        .rows
        .iter()
        .map(|(row, redundancy)| columns.between(&candidate.slopes, row).powi(2) / redundancy.max(CONTROLLED));
    columns.variance(&candidate.slopes).max(0.0) + off.sum::<f64>()
}
