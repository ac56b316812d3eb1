//! The least and the most of numbers that are said once: `4410 to 4418 mm`.

use super::estimate;
use crate::base::estimate::Estimate;
use crate::base::order::SortByNumber as _;

/// The least and the most, told by one function: one of them where both read alike, the unit once behind the second.
#[must_use]
pub fn range([least, most]: [f64; 2], tell: impl Fn(f64) -> String) -> String {
    joined(&tell(least), tell(most), &tell(most))
}

/// Estimates as one: the least and the most, with how far the most may be off. Those that are not determined are left out;
/// `None` where none is.
#[must_use]
pub fn of_estimates(
    estimates: impl IntoIterator<Item = Estimate>,
    tell: impl Fn(&Estimate) -> String,
) -> Option<String> {
    let mut given: Vec<Estimate> = estimates.into_iter().filter(|one| one.value().is_some()).collect();
    given.sort_by_number(|a| a.value().unwrap_or(0.0));
    let (least, most) = (given.first()?, given.last()?);
    Some(joined(&tell(&least.alone()), tell(most), &tell(&most.alone())))
}

/// `alone`: the most without how far it may be off.
fn joined(least: &str, most: String, alone: &str) -> String {
    if least == alone || least == estimate::NOT_DETERMINED {
        return most;
    }
    let unit = |told: &str| {
        let at = told.rfind(|letter: char| letter.is_ascii_digit() || matches!(letter, '"' | '\'' | ')'));
        at.map_or(String::new(), |at| told[at..].chars().skip(1).collect::<String>())
    };
    let sign = unit(alone);
    match least.strip_suffix(sign.as_str()) {
        Some(number) if !sign.is_empty() => format!("{} to {most}", number.trim_end()),
        _ => format!("{least} to {most}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wording::units::Format;

    #[test]
    fn the_unit_is_said_once_and_equal_numbers_too() {
        let (metric, feet) = (Format::default(), Format { imperial: true });
        assert_eq!(range([4.410, 4.418], |length| metric.fine(length)), "4410 to 4418 mm");
        assert_eq!(range([4.418, 4.4181], |length| metric.fine(length)), "4418 mm");
        assert_eq!(range([0.73, 0.733], |angle: f64| crate::wording::units::degrees(angle)), "41.8 to 42.0°");
        assert_eq!(range([0.3048, 0.6096], |length| feet.fine(length)), "1' 0\" to 2' 0\"");
        let lengths = [Estimate::measured(4.419, 0.0102), Estimate::measured(4.41, 0.0102)];
        let told = of_estimates(lengths, |one| estimate::length(one, metric));
        assert_eq!(told.as_deref(), Some("4.41 to 4.42 ± 0.02 m"));
    }
}
