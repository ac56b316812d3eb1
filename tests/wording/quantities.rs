//! Why a text is not the quantity it should be, in words.

use eavewright::base::quantity::{QuantityError, angle, bearing, fraction, length, pitch, turn};
use eavewright::wording::reading::{quantity, quantity_expected, quantity_hint};

#[test]
fn every_error_says_what_it_is_and_what_was_expected_and_reads_as_a_sentence() {
    let errors: Vec<QuantityError> = vec![
        length("7,20 m", None).unwrap_err(),
        length("", None).unwrap_err(),
        length("7.20", None).unwrap_err(),
        length("7 yards", None).unwrap_err(),
        length("3 in 2 ft", None).unwrap_err(),
        length("11.5' 3\"", None).unwrap_err(),
        length("3 1/0 in", None).unwrap_err(),
        pitch("0").unwrap_err(),
        pitch("90°").unwrap_err(),
        pitch("7/12").unwrap_err(),
        turn("R -45").unwrap_err(),
        turn("180").unwrap_err(),
        angle("north").unwrap_err(),
        bearing("up").unwrap_err(),
        fraction("15").unwrap_err(),
    ];
    let mut told = std::collections::BTreeSet::new();
    for error in errors {
        let message = quantity(&error);
        assert!(!message.is_empty() && !message.ends_with('.'), "{message}");
        assert!(message.starts_with(char::is_lowercase), "{message}");
        assert!(!quantity_expected(&error).is_empty());
        assert!(told.insert(message.clone()), "{message} is told of two");
    }
}

#[test]
fn a_way_out_names_what_to_write() {
    let hint = quantity_hint(&length("7.20", None).unwrap_err()).unwrap();
    assert!(hint.contains("\"7.20 m\""), "{hint}");
    let hint = quantity_hint(&pitch("7/12").unwrap_err()).unwrap();
    assert!(hint.contains("\"7:12\"") && hint.contains("\"14:12\""), "{hint}");
}
