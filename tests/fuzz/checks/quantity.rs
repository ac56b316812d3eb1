//! Any text as a length, pitch, turn, angle, bearing or share: what is read is finite.

use eavewright::base::quantity;
use eavewright::base::units::LengthUnit;
use eavewright::wording::reading;

pub fn check(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    for unit in [None, Some(LengthUnit::Metre), Some(LengthUnit::Millimetre), Some(LengthUnit::Foot)] {
        match quantity::length(text, unit) {
            Ok(length) => assert!(length.is_finite(), "{text:?} is {length}"),
            Err(error) => {
                assert!(!reading::quantity(&error).is_empty() && !reading::quantity_expected(&error).is_empty());
            }
        }
    }
    if let Ok(pitch) = quantity::pitch(text) {
        assert!(pitch.tangent().is_finite());
    }
    let _ = quantity::turn(text);
    for read in [quantity::angle, quantity::bearing, quantity::fraction] {
        if let Ok(value) = read(text) {
            assert!(value.is_finite(), "{text:?} is {value}");
        }
    }
}
