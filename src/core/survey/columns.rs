//! Covariances of coordinates with all unknowns, each worked out once: of the many measurements that may still be taken all are
//! between the same few places.

use super::covariance::Covariance;
use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

/// Columns of the covariance that were asked for.
pub(super) struct Columns<'c> {
    covariance: &'c Covariance,
    known: RefCell<HashMap<usize, Rc<[f64]>>>,
}

impl<'c> Columns<'c> {
    pub fn of(covariance: &'c Covariance) -> Self {
        Self { covariance, known: RefCell::default() }
    }

    fn column(&self, coordinate: usize) -> Rc<[f64]> {
        let mut known = self.known.borrow_mut();
        let make = || {
            let own = self.covariance.by_unknowns(&[(coordinate, 1.0)]);
            self.covariance.cofactor().carried(&own).into()
        };
        known.entry(coordinate).or_insert_with(make).clone()
    }

    /// Covariance of a quantity, by its slopes by coordinates, with a combination of unknowns.
    pub fn between(&self, slopes: &[(usize, f64)], unknowns: &[(usize, f64)]) -> f64 {
        let with = |column: &[f64]| unknowns.iter().map(|&(unknown, part)| column[unknown] * part).sum::<f64>();
        slopes.iter().map(|&(coordinate, slope)| slope * with(&self.column(coordinate))).sum()
    }

    /// Variance of a quantity by its slopes, as far as it is determined.
    pub fn variance(&self, slopes: &[(usize, f64)]) -> f64 {
        self.between(slopes, &self.covariance.by_unknowns(slopes))
    }
}
