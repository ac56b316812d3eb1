//! Every colour on paper, in one file. Taken from the Okabe-Ito scale (Okabe and Ito, "Color Universal Design", 2008:
//! orange E69F00, sky blue 56B4E9, bluish green 009E73, blue 0072B2, vermilion D55E00), darkened so that thin lines keep
//! a contrast of 4.5:1 on white. Patterns and weights tell the lines apart without it.

use crate::drawing::{Pen, Tone};
use crate::roof::EdgeKind;

/// Red, green, blue.
pub type Colour = [u8; 3];

/// Dark ink for lettering and most lines.
pub const INK: Colour = [0x1b, 0x1f, 0x24];
/// Secondary lines.
pub const GREY: Colour = [0x5a, 0x62, 0x6b];
/// The one accent.
pub const ACCENT: Colour = [0x00, 0x5a, 0x8c];
const PAPER: Colour = [0xff, 0xff, 0xff];
const WATER: Colour = [0x00, 0x72, 0xb2];
const FOLD: Colour = [0xa8, 0x4a, 0x00];
const GREEN: Colour = [0x00, 0x74, 0x55];

/// The colour of a line.
#[must_use]
pub fn ink(pen: Pen) -> Colour {
    match pen {
        Pen::Edge(EdgeKind::Valley) => WATER,
        Pen::Casing => PAPER,
        Pen::Edge(EdgeKind::Hip) | Pen::Doubt => FOLD,
        Pen::Edge(EdgeKind::PitchBreak | EdgeKind::Step) => GREEN,
        Pen::Level | Pen::Mark => ACCENT,
        Pen::Hidden | Pen::Dimension | Pen::Leader | Pen::Trace | Pen::Rule | Pen::Joint | Pen::Wall => GREY,
        _ => INK,
    }
}

/// The colour of a filled area; `None` for shapes that are not filled on paper.
#[must_use]
pub fn tone(tone: Tone) -> Option<Colour> {
    let colour = match tone {
        Tone::Shape => return None,
        Tone::Face => [0xf4, 0xf1, 0xea],
        Tone::FaceShade => [0xe3, 0xde, 0xd3],
        Tone::Wall => [0xfb, 0xfb, 0xfa],
        Tone::WallShade => [0xee, 0xee, 0xec],
        Tone::Opening => [0xdc, 0xe9, 0xf2],
        Tone::Tab => [0xf0, 0xf0, 0xee],
        Tone::Caution => [0xfd, 0xf1, 0xdc],
        Tone::Head => [0xe9, 0xec, 0xef],
        Tone::Ink => INK,
        Tone::Paper => PAPER,
    };
    Some(colour)
}

/// The nearest of the numbered colours of drawing programs (1 red, 3 green, 5 blue, 7 black or white, 8 grey, 30 orange).
#[must_use]
pub fn index(pen: Pen) -> u8 {
    match ink(pen) {
        colour if colour == WATER || colour == ACCENT => 5,
        colour if colour == FOLD => 30,
        colour if colour == GREEN => 3,
        colour if colour == GREY => 8,
        _ => 7,
    }
}
