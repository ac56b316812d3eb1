//! Amounts within sentences, in the units of a job.

use crate::base::quantity::feet_inches;
use crate::wording::units::Format;

/// Square metres in a square foot, cubic metres in a cubic foot: of the international foot.
const SQUARE_FOOT: f64 = 0.3048 * 0.3048;
const CUBIC_FOOT: f64 = SQUARE_FOOT * 0.3048;
const INCH: f64 = 0.0254;

/// A distance that is mostly small: `38 mm` under a metre, then `1.20 m`; `1 1/2"`.
#[must_use]
pub fn distance(metres: f64, format: Format) -> String {
    if metres.abs() < 1.0 { format.fine(metres) } else { format.length(metres) }
}

/// A length to the millimetre: `4.010 m`; feet and inches to an eighth.
#[must_use]
pub(crate) fn to_millimetre(metres: f64, format: Format) -> String {
    if format.imperial { feet_inches(metres) } else { format!("{metres:.3} m") }
}

/// A gap or a move: `12 mm`; decimal inches, since an eighth is too coarse: `0.47 in`.
#[must_use]
pub fn gap(metres: f64, format: Format) -> String {
    if format.imperial { format!("{:.2} in", metres / INCH) } else { format!("{:.0} mm", metres * 1000.0) }
}

/// A gap to a tenth of a millimetre: `1.5 mm`, `0.059 in`.
#[must_use]
pub(crate) fn fine_gap(metres: f64, format: Format) -> String {
    if format.imperial { format!("{:.3} in", metres / INCH) } else { format!("{:.1} mm", metres * 1000.0) }
}

/// What only a computer tells apart: `0.0012 mm`, `0.00005 in`.
#[must_use]
pub(crate) fn tiny_length(metres: f64, format: Format) -> String {
    let (number, unit) = if format.imperial { (metres / INCH, "in") } else { (metres * 1000.0, "mm") };
    let text = format!("{number:.6}");
    format!("{} {unit}", text.trim_end_matches('0').trim_end_matches('.'))
}

/// An area to the square centimetre or finer: `0.0125 m²`, `0.135 ft²`.
#[must_use]
pub(crate) fn fine_area(square_metres: f64, format: Format) -> String {
    if format.imperial { format!("{:.3} ft²", square_metres / SQUARE_FOOT) } else { format!("{square_metres:.4} m²") }
}

/// A volume to the litre: `12.345 m³`, `435.96 ft³`.
#[must_use]
pub(crate) fn fine_volume(cubic_metres: f64, format: Format) -> String {
    if format.imperial { format!("{:.2} ft³", cubic_metres / CUBIC_FOOT) } else { format!("{cubic_metres:.3} m³") }
}

/// A count with what is counted: `1 face`, `4 faces`.
#[must_use]
pub fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// Names in a row: `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn list<S: AsRef<str>>(names: &[S]) -> String {
    let names: Vec<&str> = names.iter().map(AsRef::as_ref).collect();
    match names.split_last() {
        None => String::new(),
        Some((last, [])) => (*last).to_owned(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}

/// A sentence of its own: the first letter large, a full stop at the end.
#[must_use]
pub fn sentence(words: &str) -> String {
    let mut letters = words.trim().chars();
    let mut sentence: String = letters.next().map(|first| first.to_uppercase().collect::<String>()).unwrap_or_default();
    sentence.push_str(letters.as_str());
    if !sentence.ends_with(['.', '!', '?']) {
        sentence.push('.');
    }
    sentence
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_told_in_the_units_of_the_job() {
        let (metric, feet) = (Format::default(), Format { imperial: true });
        assert_eq!((distance(0.038, metric), distance(0.0381, feet)), ("38 mm".to_owned(), "1 1/2\"".to_owned()));
        assert_eq!((distance(1.2, metric), to_millimetre(4.01, metric)), ("1.20 m".to_owned(), "4.010 m".to_owned()));
        assert_eq!((gap(0.012, metric), gap(0.012, feet)), ("12 mm".to_owned(), "0.47 in".to_owned()));
        // A square metre is 10.7639 ft², a cubic metre 35.3147 ft³ (NIST SP 811, table B.8).
        assert_eq!((fine_area(1.0, feet), fine_volume(1.0, feet)), ("10.764 ft²".to_owned(), "35.31 ft³".to_owned()));
    }

    #[test]
    fn counts_and_lists_read_as_sentences_do() {
        assert_eq!((count(1, "face", "faces"), count(0, "face", "faces")), ("1 face".to_owned(), "0 faces".to_owned()));
        assert_eq!((list(&["a"]), list(&["a", "b", "c"])), ("a".to_owned(), "a, b and c".to_owned()));
        assert_eq!((sentence("told"), sentence("Why?")), ("Told.".to_owned(), "Why?".to_owned()));
    }
}
