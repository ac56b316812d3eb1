//! Lengths and pitches as people write them.
//!
//! Sources: the international foot is 0.3048 m exactly (NIST Special Publication 811, appendix B); the common rafter
//! of a framing square at a rise of 7 is 13.89 in a foot of run (table stamped on framing squares).

use eavewright_core::base::quantity::{
    Reason, Turn, angle, area_for_people, bare_length, bearing, degrees_for_people, feet_inches, fraction, length,
    length_for_people, metres, pitch, turn,
};
use eavewright_core::base::units::LengthUnit;
use proptest::prelude::*;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

/// Every way of writing in a row is the same length, bit for bit.
#[test]
fn metric_lengths_are_exact() {
    for (expected, ways) in [
        (7.2, &["7.20 m", "7.2m", "720 cm", "7200 mm", "7.20 metres", " 7.20\u{a0}m ", "7 m 20 cm", "+7.2 M"][..]),
        (3.45, &["345 cm", "3450 mm", "3450mm", "3.45 m", "3 m 45 cm", "3 m 450 mm"]),
        (0.347, &["34.7 cm", "347 mm", ".347 m"]),
        (1.11, &["1110 mm", "111 cm", "1.11 m"]),
        (-0.5, &["-50 cm", "−0.5 m"]),
    ] {
        for way in ways {
            assert_eq!(length(way, None), Ok(expected), "{way}");
        }
    }
}

#[test]
fn imperial_lengths_are_exact() {
    // 11 ft 3 1/2 in = 135.5 in = 135.5 x 25.4 mm = 3441.7 mm.
    for way in [
        "11' 3 1/2\"",
        "11'3 1/2\"",
        "11'-3 1/2\"",
        "11' 3-1/2\"",
        "11′ 3½″",
        "11’ 3 1/2”",
        "11' 3 1/2''",
        "11' 3 1/2",
        "11 ft 3.5 in",
        "11 ft. 3.5 in.",
        "11 feet 3.5 inches",
        "135.5 in",
        "135 1/2\"",
        "11ft 3 1⁄2in",
    ] {
        assert_eq!(length(way, None), Ok(3.4417), "{way}");
    }
    assert_eq!(length("1 ft", None), Ok(0.3048));
    assert_eq!(length("11.5'", None), length("11' 6\"", None));
    assert_eq!(length("1/2\"", None), Ok(0.0127));
    assert_eq!(length("24'", None), Ok(7.3152));
}

#[test]
fn a_bare_number_takes_the_agreed_unit() {
    assert_eq!(length("7.20", Some(LengthUnit::Metre)), Ok(7.2));
    assert_eq!(length("345", Some(LengthUnit::Centimetre)), Ok(3.45));
    assert_eq!(length("12 1/2", Some(LengthUnit::Foot)), Ok(3.81));
    assert_eq!(bare_length("34.7", LengthUnit::Centimetre), Some(0.347));
    assert_eq!(bare_length("1e3", LengthUnit::Millimetre), Some(1.0));
    assert_eq!(bare_length("135.5", LengthUnit::Inch), Some(3.4417));
    let error = length("7.20", None).unwrap_err();
    assert_eq!(error.reason, Reason::NoUnit { number: "7.20".into() });
}

#[test]
fn what_is_no_length_is_refused_with_its_reason() {
    let reason = |text: &str| length(text, None).unwrap_err().reason;
    assert_eq!(reason(""), Reason::Empty);
    assert_eq!(reason("7,20 m"), Reason::Comma { readings: vec!["7.20 m".into()] });
    assert_eq!(reason("3,450 mm"), Reason::Comma { readings: vec!["3.450 mm".into(), "3450 mm".into()] });
    assert_eq!(reason("7 yards"), Reason::UnknownUnit { unit: "yards".into() });
    assert_eq!(reason("3 in 2 ft"), Reason::UnitOrder { first: "in", then: "ft" });
    assert_eq!(reason("3 m 2 in"), Reason::UnitOrder { first: "m", then: "in" });
    assert_eq!(reason("11' 14\""), Reason::Overflow { unit: "in", limit: 12.0 });
    assert_eq!(reason("11.5' 3\""), Reason::BrokenPart { unit: "ft" });
    assert_eq!(reason("3 1/0 in"), Reason::ZeroDenominator);
    for text in ["m", "7.2.1 m", "7 m 20", "--7 m", "7 m m", "about 7 m", "7 m?", "1/2/3 in", "'", "."] {
        assert!(length(text, None).is_err(), "{text}");
    }
}

#[test]
fn pitches() {
    for way in ["45", "45°", "45 deg", "45 degrees", "12:12", "100 %", "100%", "12 in 12", "12-in-12", "45º"] {
        assert_eq!(pitch(way).unwrap().tangent(), 1.0, "{way}");
    }
    let seven = pitch("7:12").unwrap();
    assert!((12.0 * seven.slope_factor() - 13.89).abs() < 0.005);
    assert!((pitch("70 %").unwrap().tangent() - 0.7).abs() < 1e-15);
    assert!((pitch("30° 15'").unwrap().degrees() - 30.25).abs() < 1e-12);
    for text in ["0", "90", "-35", "0:12", "7:0", "0 %", "120°", "7/12", "steep", "35 %%", "7:12:3", "", "35 m"] {
        assert!(pitch(text).is_err(), "{text}");
    }
    assert_eq!(pitch("7/12").unwrap_err().reason, Reason::SlopeFraction { rise: "7".into(), run: "12".into() });
}

#[test]
fn turns_are_left_positive() {
    assert_eq!(turn("L"), Ok(Turn { radians: FRAC_PI_2, is_right: true }));
    assert_eq!(turn("r"), Ok(Turn { radians: -FRAC_PI_2, is_right: true }));
    for (text, expected) in [("L 45", FRAC_PI_4), ("L45°", FRAC_PI_4), ("R 45", -FRAC_PI_4), ("-45", -FRAC_PI_4)] {
        assert_eq!(turn(text), Ok(Turn { radians: expected, is_right: false }), "{text}");
    }
    for text in ["", "X", "L R", "180", "-200", "R -45", "left 200"] {
        assert!(turn(text).is_err(), "{text}");
    }
}

#[test]
fn angles_bearings_and_percentages() {
    assert_eq!(angle("0.3°"), Ok(0.3_f64.to_radians()));
    assert!((angle("12° 30' 36\"").unwrap().to_degrees() - 12.51).abs() < 1e-12);
    assert!((angle("-12° 30'").unwrap().to_degrees() + 12.5).abs() < 1e-12);
    for (text, degrees) in [("N", 0.0), ("sw", 225.0), ("south-west", 225.0), ("WNW", 292.5), ("20", 20.0)] {
        assert!((bearing(text).unwrap().to_degrees() - degrees).abs() < 1e-12, "{text}");
    }
    assert_eq!(fraction("15 %"), Ok(0.15));
    assert_eq!(fraction("3%"), Ok(0.03));
}

#[test]
fn for_people() {
    assert_eq!(metres(7.2), "7.20 m");
    assert_eq!(metres(-0.001), "0.00 m");
    assert_eq!(feet_inches(3.4417), "11' 3 1/2\"");
    assert_eq!(feet_inches(0.3048), "1' 0\"");
    assert_eq!(feet_inches(0.0127), "1/2\"");
    assert_eq!(feet_inches(0.0), "0\"");
    // 11 ft 11 15/16 in rounds up and carries into feet.
    assert_eq!(feet_inches((11.0 * 12.0 + 11.95) * 0.0254), "12' 0\"");
    assert_eq!(feet_inches(-0.3048), "-1' 0\"");
    assert_eq!(length_for_people(3.4417, LengthUnit::Centimetre), "3.44 m");
    assert_eq!(length_for_people(3.4417, LengthUnit::Inch), "11' 3 1/2\"");
    assert_eq!(area_for_people(62.894, LengthUnit::Metre), "62.89 m²");
    assert_eq!(area_for_people(9.290_304, LengthUnit::Foot), "100.0 ft²");
    assert_eq!(degrees_for_people(FRAC_PI_4), "45.0°");
}

proptest! {
    /// What is written for people reads back to within what was rounded off.
    #[test]
    fn formats_read_back(value in -2000.0..2000.0_f64) {
        let back = length(&metres(value), None).unwrap();
        prop_assert!((back - value).abs() <= 0.005 + 1e-9);
        let back = length(&feet_inches(value), None).unwrap();
        prop_assert!((back - value).abs() <= 0.0254 / 16.0 + 1e-9, "{} {}", feet_inches(value), back);
    }

    /// No text makes a reader panic.
    #[test]
    fn nothing_panics(text in "[-+0-9.,:/%°'\"′″½ LRmcintfdeg\\PC]{0,12}") {
        let _ = length(&text, None);
        let _ = length(&text, Some(LengthUnit::Foot));
        let _ = pitch(&text);
        let _ = turn(&text);
        let _ = angle(&text);
        let _ = bearing(&text);
        let _ = fraction(&text);
    }
}
