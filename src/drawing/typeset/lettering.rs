//! How much room lettering takes: known without a font at hand, so that labels can be placed before anything is written.

use super::board::Tilted;
use super::lettering_table as table;
use super::model::{Anchor, Text};
use crate::wording::lines;
use nalgebra::{Point2, Vector2};

/// Height of capitals over the size of the letters, of the font the widths were read from.
pub const CAPITALS: f64 = 1409.0 / 2048.0;
/// Smallest height of capitals on a drawing, millimetres.
pub const SMALL: f64 = 2.5;
/// What is read on site, in the rain and at arm's length.
pub const ON_SITE: f64 = 3.5;
/// Names of faces, heads of tables.
pub const MEDIUM: f64 = 3.0;
/// Titles.
pub const LARGE: f64 = 4.0;

/// Width of a letter in 1/2048 of the size. A letter without an entry is taken as wide as it is high.
fn advance(letter: char, bold: bool) -> u16 {
    let (latin, further, signs): (&[u16], &[u16], &[(char, u16)]) = if bold {
        (&table::BOLD_LATIN, &table::BOLD_GREEK_CYRILLIC, &table::BOLD_SIGNS)
    } else {
        (&table::REGULAR_LATIN, &table::REGULAR_GREEK_CYRILLIC, &table::REGULAR_SIGNS)
    };
    let code = letter as usize;
    let width = match code {
        0x20..=0x17F => latin[code - 0x20],
        0x370..=0x4FF => further[code - 0x370],
        _ => signs.iter().find(|(sign, _)| *sign == letter).map_or(0, |&(_, width)| width),
    };
    if width == 0 { 2048 } else { width }
}

/// Width of a line of lettering, millimetres. O(letters).
#[must_use]
pub fn width(words: &str, height: f64, bold: bool) -> f64 {
    let units: f64 = words.chars().map(|letter| f64::from(advance(letter, bold))).sum();
    units / 2048.0 * height / CAPITALS
}

/// Breaks words into lines no wider than `room` (a single word, or a number with its unit, may be wider). O(letters).
#[must_use]
pub(crate) fn wrap(words: &str, height: f64, bold: bool, room: f64) -> Vec<String> {
    wrap_after(words, height, bold, [room, room])
}

/// The same, where the first line has another room than the rest.
#[must_use]
pub(crate) fn wrap_after(words: &str, height: f64, bold: bool, [first, rest]: [f64; 2]) -> Vec<String> {
    let mut set = Vec::new();
    let mut line = String::new();
    for word in lines::words(words) {
        let room = if set.is_empty() { first } else { rest };
        let longer = if line.is_empty() { word.clone() } else { format!("{line} {word}") };
        if width(&longer, height, bold) <= room || line.is_empty() {
            line = longer;
        } else {
            set.push(std::mem::replace(&mut line, word));
        }
    }
    if !line.is_empty() {
        set.push(line);
    }
    set
}

/// An angle at which lettering reads from below or from the right: in (-88°, 92°].
#[must_use]
pub(crate) fn readable(angle: f64) -> f64 {
    use std::f64::consts::{FRAC_PI_2, PI};
    // Lettering that stands plumb to the eye reads upwards, whichever way its line was drawn or leans: within 2 degrees.
    let lean = 2f64.to_radians();
    let mut angle = angle % (2.0 * PI);
    while angle > FRAC_PI_2 + lean {
        angle -= PI;
    }
    while angle <= -FRAC_PI_2 + lean {
        angle += PI;
    }
    angle
}

impl Text {
    /// A level line of small lettering.
    #[must_use]
    pub fn new(at: Point2<f64>, words: impl Into<String>) -> Self {
        Self { at, height: SMALL, anchor: Anchor::Start, angle: 0.0, bold: false, words: words.into() }
    }

    /// The same with another height of capitals.
    #[must_use]
    pub fn height(self, height: f64) -> Self {
        Self { height, ..self }
    }

    /// The same, anchored otherwise.
    #[must_use]
    pub(crate) fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// The same, turned.
    #[must_use]
    pub fn turned(self, angle: f64) -> Self {
        Self { angle, ..self }
    }

    /// The same, heavier.
    #[must_use]
    pub(crate) fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    /// Its width, millimetres.
    #[must_use]
    pub fn width(&self) -> f64 {
        width(&self.words, self.height, self.bold)
    }

    /// The box about it, descenders included.
    #[must_use]
    pub fn bounds(&self) -> Tilted {
        let width = self.width();
        let along = Vector2::new(self.angle.cos(), self.angle.sin());
        let up = Vector2::new(-along.y, along.x);
        let middle = match self.anchor {
            Anchor::Start => width / 2.0,
            Anchor::Middle => 0.0,
            Anchor::End => -width / 2.0,
        };
        let (below, above) = (0.30 * self.height, 1.06 * self.height);
        Tilted {
            centre: self.at + along * middle + up * ((above - below) / 2.0),
            half: [width / 2.0, f64::midpoint(above, below)],
            angle: self.angle,
        }
    }

    /// The line whose box is centred at a place: baseline and anchor are worked out.
    #[must_use]
    pub(crate) fn centred(self, centre: Point2<f64>) -> Self {
        let up = Vector2::new(-self.angle.sin(), self.angle.cos());
        let at = centre - up * (0.38 * self.height);
        Self { at, anchor: Anchor::Middle, ..self }
    }
}
