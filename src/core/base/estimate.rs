//! A number as an answer gives it: its value, how sure it is, and on what footing it stands. Whoever tells it to a person
//! takes it from here and works nothing out again.

/// Half the width of the interval that holds 95 of 100 cases of a normal distribution, in standard deviations.
pub const NINETY_FIVE: f64 = 1.959_963_984_540_054;

/// On what footing a number stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum State {
    /// Stated or counted: nothing is open.
    Exact,
    /// Follows from measurements, each with its sigma.
    Measured,
    /// Rests on something nobody measured.
    Taken(Assumption),
    /// Not answered.
    NotDetermined(Reason),
}

/// What a number that was not measured rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Assumption {
    /// No standard deviation could be worked out for it.
    SpreadNotComputed,
    /// The material card says so.
    Card,
    /// A rule of thumb of the trade.
    RuleOfThumb,
}

/// Why a number is not answered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// Its standard deviation is more than the part of it that is still answered.
    TooUncertain {
        /// What the measurements would give, in the unit of the number.
        value: f64,
        /// Its standard deviation, in the same unit.
        sd: f64,
    },
    /// The measurements do not fix it at all.
    NotLocated,
    /// It is a sum of numbers of which one or more are not determined.
    PartNotDetermined,
    /// There is no such thing on this roof, or the card says nothing of it.
    Absent,
}

/// A number with its standard deviation and its footing. In SI units and radians, as its owner states.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    value: f64,
    sd: f64,
    state: State,
}

impl Estimate {
    /// Stated or counted.
    #[must_use]
    pub fn exact(value: f64) -> Self {
        Self { value, sd: 0.0, state: State::Exact }
    }

    /// Measured, with its standard deviation; of a deviation of 0 it is exact.
    #[must_use]
    pub fn measured(value: f64, sd: f64) -> Self {
        if sd > 0.0 { Self { value, sd, state: State::Measured } } else { Self::exact(value) }
    }

    /// Taken on an assumption; how unsure that makes it is not known.
    #[must_use]
    pub fn taken(value: f64, assumption: Assumption) -> Self {
        Self { value, sd: f64::NAN, state: State::Taken(assumption) }
    }

    /// Not answered.
    #[must_use]
    pub(crate) fn not_determined(reason: Reason) -> Self {
        Self { value: f64::NAN, sd: f64::NAN, state: State::NotDetermined(reason) }
    }

    /// The value; `None` where it is not determined.
    #[must_use]
    pub fn value(&self) -> Option<f64> {
        (!matches!(self.state, State::NotDetermined(_))).then_some(self.value)
    }

    /// Its standard deviation; 0 where exact, `None` where not known.
    #[must_use]
    pub fn sd(&self) -> Option<f64> {
        self.sd.is_finite().then_some(self.sd)
    }

    /// Half the width of the interval that holds 95 of 100 cases; `None` where nothing is open or how much is not known.
    #[must_use]
    pub fn within_95(&self) -> Option<f64> {
        self.sd().filter(|sd| *sd > 0.0).map(|sd| NINETY_FIVE * sd)
    }

    /// The same number without how sure it is, for where there is no room to tell that.
    #[must_use]
    pub fn alone(self) -> Self {
        Self { sd: f64::NAN, ..self }
    }

    /// On what footing it stands.
    #[must_use]
    pub fn state(&self) -> State {
        self.state
    }

    /// The same number in another unit, or a fixed multiple of it.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        let state = match self.state {
            State::NotDetermined(Reason::TooUncertain { value, sd }) => {
                State::NotDetermined(Reason::TooUncertain { value: value * factor, sd: sd * factor.abs() })
            }
            state => state,
        };
        Self { value: self.value * factor, sd: self.sd * factor.abs(), state }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_that_is_not_determined_gives_no_value() {
        let unknown = Estimate::not_determined(Reason::TooUncertain { value: 4.0, sd: 1.0 });
        assert_eq!((unknown.value(), unknown.sd(), unknown.within_95()), (None, None, None));
        let state = unknown.times(2.0).state();
        assert_eq!(state, State::NotDetermined(Reason::TooUncertain { value: 8.0, sd: 2.0 }));
    }

    #[test]
    fn half_the_width_of_95_in_100_is_the_normal_quantile() {
        // The 97.5 % quantile of the standard normal distribution to five digits, 1.95996 (handbook tables).
        let length = Estimate::measured(3.0, 0.1).within_95();
        assert!(length.is_some_and(|half| (half - 0.195_996).abs() < 1e-6));
        assert_eq!(Estimate::measured(3.0, 0.0).state(), State::Exact);
    }
}
