//! Any text as a length, pitch, turn, angle, bearing or share: what is read is finite.
#![no_main]

use eavewright::base::quantity;
use eavewright::base::units::LengthUnit;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    for unit in [None, Some(LengthUnit::M), Some(LengthUnit::Mm), Some(LengthUnit::Ft)] {
        match quantity::length(text, unit) {
            Ok(length) => assert!(length.is_finite(), "{text:?} is {length}"),
            Err(error) => assert!(!error.message().is_empty() && !error.expected().is_empty()),
        }
    }
    if let Ok(pitch) = quantity::pitch(text) {
        assert!(pitch.tan().is_finite());
    }
    let _ = quantity::turn(text);
    for read in [quantity::angle, quantity::bearing, quantity::fraction] {
        if let Ok(value) = read(text) {
            assert!(value.is_finite(), "{text:?} is {value}");
        }
    }
});
