//! Sheets of paper and the scales a drawing office uses.

use crate::base::tolerance::ROUNDING;

/// Which family of paper is in the printer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Series {
    /// A4 and A3 (ISO 216).
    #[default]
    Iso,
    /// Letter and tabloid (ANSI/ASME Y14.1 sizes A and B).
    American,
}

/// A sheet of paper as it lies before the reader.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PaperSize {
    /// Its name.
    pub name: &'static str,
    /// Width, millimetres.
    pub width: f64,
    /// Height, millimetres.
    pub height: f64,
}

impl PaperSize {
    /// A4, upright.
    pub const A4: Self = Self { name: "A4", width: 210.0, height: 297.0 };
    /// A3, upright.
    pub const A3: Self = Self { name: "A3", width: 297.0, height: 420.0 };
    /// Letter, upright: 8 1/2 by 11 inches.
    pub const LETTER: Self = Self { name: "letter", width: 215.9, height: 279.4 };
    /// Tabloid, upright: 11 by 17 inches.
    pub const TABLOID: Self = Self { name: "tabloid", width: 279.4, height: 431.8 };

    /// On its long side.
    #[must_use]
    pub(crate) fn landscape(self) -> Self {
        Self { width: self.height, height: self.width, ..self }
    }

    /// The sheet of a name, upright: "a4", "A3", "letter", "tabloid".
    #[must_use]
    pub fn of(name: &str) -> Option<Self> {
        [Self::A4, Self::A3, Self::LETTER, Self::TABLOID]
            .into_iter()
            .find(|sheet| sheet.name.eq_ignore_ascii_case(name))
    }

    /// The smaller and the larger sheet of a family, upright.
    #[must_use]
    pub fn family(series: Series) -> [Self; 2] {
        match series {
            Series::Iso => [Self::A4, Self::A3],
            Series::American => [Self::LETTER, Self::TABLOID],
        }
    }
}

/// ISO 5455, with 25 and 250 between, then decades.
const METRIC: [f64; 17] = [
    1.0, 2.0, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 250.0, 500.0, 1000.0, 2000.0, 5000.0, 10_000.0, 50_000.0,
    100_000.0,
];

/// Inches to the foot: full size, half, quarter, 1 1/2", 1", 3/4", 1/2", 3/8", 1/4", 3/16", 1/8", 3/32", 1/16", then
/// engineers' tens of feet to the inch.
const IMPERIAL: [f64; 18] = [
    1.0, 2.0, 4.0, 8.0, 12.0, 16.0, 24.0, 32.0, 48.0, 64.0, 96.0, 128.0, 192.0, 480.0, 1200.0, 6000.0, 12_000.0,
    120_000.0,
];

/// The largest usual scale at which something of a size in metres fits a room in millimetres; `None` when it fits at
/// none. Returned as its second number: 50 for 1:50.
#[must_use]
pub fn fit(size: [f64; 2], room: [f64; 2], imperial: bool) -> Option<f64> {
    fit_among(size, room, scales(imperial).iter().copied())
}

/// Scales of figures set into a sheet, where a page of the usual size has to do: those between 50 and 200 besides.
const METRIC_INSET: [f64; 20] = [
    1.0, 2.0, 5.0, 10.0, 20.0, 25.0, 50.0, 75.0, 100.0, 125.0, 150.0, 200.0, 250.0, 500.0, 1000.0, 2000.0, 5000.0,
    10_000.0, 50_000.0, 100_000.0,
];

/// Scales of figures within a sheet, the largest first.
#[must_use]
pub(crate) fn inset_scales(imperial: bool) -> &'static [f64] {
    if imperial { &IMPERIAL } else { &METRIC_INSET }
}

/// [`fit`] for figures within a sheet.
#[must_use]
pub(crate) fn fit_inset(size: [f64; 2], room: [f64; 2], imperial: bool) -> Option<f64> {
    fit_among(size, room, inset_scales(imperial).iter().copied())
}

/// The usual scales, the largest first, as their second numbers.
#[must_use]
pub fn scales(imperial: bool) -> &'static [f64] {
    if imperial { &IMPERIAL } else { &METRIC }
}

/// The same for drawings that nobody measures on: steps of a quarter to a third between scales.
#[must_use]
pub(crate) fn fit_freely(size: [f64; 2], room: [f64; 2]) -> Option<f64> {
    fit_among(size, room, free_scales())
}

/// The scales of drawings that nobody measures on, the largest first.
pub(crate) fn free_scales() -> impl Iterator<Item = f64> {
    const STEPS: [f64; 10] = [1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0];
    let decades = (0..6).map(|decade| 10f64.powi(decade));
    decades.flat_map(|decade| STEPS.into_iter().map(move |step| (step * decade).round()))
}

fn fit_among(size: [f64; 2], room: [f64; 2], mut scales: impl Iterator<Item = f64>) -> Option<f64> {
    // A hair of tolerance: a thing exactly as wide as the room fits.
    let fits = |scale: &f64| (0..2).all(|axis| size[axis] * 1000.0 / scale <= room[axis] * (1.0 + ROUNDING));
    scales.find(fits)
}

/// A scale in words: `1:50`, or `1:48 (1/4" = 1')`.
#[must_use]
pub(crate) fn scale_words(scale: f64, imperial: bool) -> String {
    let known = match scale {
        s if !imperial || s < 8.0 => None,
        8.0 => Some("1 1/2\""),
        12.0 => Some("1\""),
        16.0 => Some("3/4\""),
        24.0 => Some("1/2\""),
        32.0 => Some("3/8\""),
        48.0 => Some("1/4\""),
        64.0 => Some("3/16\""),
        96.0 => Some("1/8\""),
        128.0 => Some("3/32\""),
        192.0 => Some("1/16\""),
        _ => None,
    };
    match known {
        Some(inches) => format!("1:{scale} ({inches} = 1')"),
        None => format!("1:{scale}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_scale_that_fits_is_taken() {
        assert_eq!(fit([9.2, 5.6], [230.0, 130.0], false), Some(50.0));
        assert_eq!(fit([12.0, 5.6], [230.0, 130.0], false), Some(100.0));
        assert_eq!(fit([9.2, 5.6], [230.0, 130.0], true), Some(48.0));
    }

    #[test]
    fn architects_scales_have_names() {
        // 1/4 inch to the foot is 1:48 since a foot has 12 inches.
        assert_eq!(scale_words(48.0, true), "1:48 (1/4\" = 1')");
        assert_eq!(scale_words(50.0, false), "1:50");
    }
}
