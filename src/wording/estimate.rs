//! Numbers with their uncertainty, in one notation: `62.89 ± 0.30 m²`. ± holds in 95 of 100 cases.

use crate::base::estimate::{Estimate, Reason, State};
use crate::base::words::{self, Words};

/// What ± means, for the head or foot of whatever shows one.
pub const EXPLAINED: &str = "± holds in 95 of 100 cases";

/// What stands for a number that is not determined.
pub const NOT_DETERMINED: &str = "not determined";

/// Why a number is not determined; `None` where it is.
#[must_use]
pub fn why(estimate: &Estimate) -> Option<String> {
    let State::NotDetermined(reason) = estimate.state() else { return None };
    let why = match reason {
        Reason::TooUncertain { .. } => "its standard deviation is more than a fifth of it",
        Reason::NotLocated => "the measurements do not fix it",
        Reason::PartNotDetermined => "a part of it is not determined",
        Reason::Absent => "there is none",
    };
    Some(why.to_owned())
}

/// A value and how far it may be off, told by the same function and joined: the unit is said once, behind the second.
fn joined(estimate: &Estimate, tell: impl Fn(f64) -> String) -> String {
    let Some(value) = estimate.value() else { return NOT_DETERMINED.to_owned() };
    let told = tell(value);
    let Some(within) = estimate.within_95().map(tell) else { return told };
    let unit = |text: &str| text.rsplit_once(' ').map(|(_, unit)| unit.to_owned()).filter(|unit| !unit.ends_with('"'));
    match unit(&told) {
        Some(sign) if unit(&within).as_deref() == Some(sign.as_str()) => {
            let number = told.strip_suffix(sign.as_str()).map_or(told.as_str(), str::trim_end);
            format!("{number} ± {within}")
        }
        _ => format!("{told} ± {within}"),
    }
}

/// An area: `62.89 ± 0.30 m²`, or square feet.
#[must_use]
pub fn area(estimate: &Estimate, say: Words) -> String {
    joined(estimate, |value| say.area(value))
}

/// A length: `4.42 ± 0.02 m`, or `14' 6" ± 1/2"`.
#[must_use]
pub fn length(estimate: &Estimate, say: Words) -> String {
    joined(estimate, |value| say.length(value))
}

/// An angle in degrees: `35.0 ± 0.6°`.
#[must_use]
pub fn angle(estimate: &Estimate) -> String {
    let Some(value) = estimate.value() else { return NOT_DETERMINED.to_owned() };
    let told = words::degrees(value);
    match estimate.within_95() {
        Some(within) => format!("{} ± {}", told.trim_end_matches('°'), words::degrees(within)),
        None => told,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_unit_is_said_once() {
        let metric = Words::default();
        let feet = Words { imperial: true };
        assert_eq!(area(&Estimate::measured(62.894, 0.1531), metric), "62.89 ± 0.30 m²");
        assert_eq!(length(&Estimate::measured(4.419, 0.0102), metric), "4.42 ± 0.02 m");
        assert_eq!(length(&Estimate::measured(4.4196, 0.0065), feet), "14' 6\" ± 1/2\"");
        assert_eq!(angle(&Estimate::measured(35f64.to_radians(), 0.3f64.to_radians())), "35.0 ± 0.6°");
        assert_eq!(area(&Estimate::exact(2.0), metric), "2.00 m²");
    }
}
