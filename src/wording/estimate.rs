//! Numbers with their uncertainty, in one notation: `62.89 ± 0.30 m²`. ± holds in 95 of 100 cases.

use crate::base::estimate::{Estimate, Reason, State};
use crate::survey::report::Report;
use crate::wording::units::{self, Format};

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

/// What ± means in an output, and by how much it was widened where the measurements disagree.
#[must_use]
pub fn explained(survey: &Report) -> String {
    let widening = survey.widening();
    if widening > 1.0 {
        format!("{EXPLAINED}, widened {widening:.2} times because the measurements disagree")
    } else {
        EXPLAINED.to_owned()
    }
}

/// Whether there is no such thing on this roof.
#[must_use]
pub(crate) fn is_absent(estimate: &Estimate) -> bool {
    matches!(estimate.state(), State::NotDetermined(Reason::Absent))
}

/// A number told, and where it is not determined the reason behind that.
pub(crate) fn or_why(estimate: &Estimate, tell: impl Fn(&Estimate) -> String) -> String {
    match why(estimate) {
        Some(why) => format!("{NOT_DETERMINED}: {why}"),
        None => tell(estimate),
    }
}

/// A number told unless it is nothing at all.
pub(crate) fn unless_nothing(estimate: &Estimate, tell: impl Fn(&Estimate) -> String) -> String {
    if estimate.value() == Some(0.0) { String::new() } else { tell(estimate) }
}

/// A value and how far it may be off, told by the same function and joined: the unit is said once, behind the second. What
/// would be told as ± 0 is less than the digits of the value say already, and left out.
fn joined(estimate: &Estimate, tell: impl Fn(f64) -> String) -> String {
    let Some(value) = estimate.value() else { return NOT_DETERMINED.to_owned() };
    let told = tell(value);
    let nothing = tell(0.0);
    let Some(within) = estimate.within_95().map(tell).filter(|within| *within != nothing) else { return told };
    let unit = |text: &str| {
        let at = text.rfind(|letter: char| letter.is_ascii_digit() || matches!(letter, '"' | '\''))?;
        let sign = text[at..].trim_start_matches(|letter: char| letter.is_ascii_digit());
        Some(sign.trim_start().to_owned()).filter(|sign| !sign.is_empty() && !sign.contains(['"', '\'']))
    };
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
pub fn area(estimate: &Estimate, format: Format) -> String {
    joined(estimate, |value| format.area(value))
}

/// A length: `4.42 ± 0.02 m`, or `14' 6" ± 1/2"`.
#[must_use]
pub fn length(estimate: &Estimate, format: Format) -> String {
    joined(estimate, |value| format.length(value))
}

/// A length to cut to: `4419 ± 20 mm`, or `14' 6" ± 1/2"`.
#[must_use]
pub fn fine(estimate: &Estimate, format: Format) -> String {
    joined(estimate, |value| format.fine(value))
}

/// A volume: `112.4 ± 0.6 m³`, or cubic yards.
#[must_use]
pub fn volume(estimate: &Estimate, format: Format) -> String {
    joined(estimate, |value| format.volume(value))
}

/// A weight: `164 ± 6 kg`, or pounds.
#[must_use]
pub fn weight(estimate: &Estimate, format: Format) -> String {
    joined(estimate, |value| format.weight(value))
}

/// Money: `812.40 ± 31.00 EUR`.
#[must_use]
pub fn money(estimate: &Estimate, currency: Option<&str>) -> String {
    joined(estimate, |value| super::units::money(value, currency))
}

/// An angle in degrees: `35.0 ± 0.6°`.
#[must_use]
pub fn angle(estimate: &Estimate) -> String {
    joined(estimate, units::degrees)
}

/// A pitch: `35.0 ± 0.6°`, and in feet and inches the rise on 12 with it.
#[must_use]
pub fn pitch(estimate: &Estimate, format: Format) -> String {
    match estimate.value() {
        Some(pitch) if format.imperial => {
            let told = format.pitch(pitch);
            let rise = told.find(" (").map_or("", |at| &told[at..]);
            format!("{}{rise}", angle(estimate))
        }
        _ => angle(estimate),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_unit_is_said_once() {
        let metric = Format::default();
        let feet = Format { imperial: true };
        assert_eq!(area(&Estimate::measured(62.894, 0.1531), metric), "62.89 ± 0.30 m²");
        assert_eq!(length(&Estimate::measured(4.419, 0.0102), metric), "4.42 ± 0.02 m");
        assert_eq!(length(&Estimate::measured(4.4196, 0.0065), feet), "14' 6\" ± 1/2\"");
        assert_eq!(angle(&Estimate::measured(35f64.to_radians(), 0.3f64.to_radians())), "35.0 ± 0.6°");
        assert_eq!(area(&Estimate::exact(2.0), metric), "2.00 m²");
    }
}
