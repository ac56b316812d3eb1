//! Every colour on paper, in one file. Taken from the Okabe-Ito scale (Okabe and Ito, "Color Universal Design", 2008:
//! orange E69F00, sky blue 56B4E9, bluish green 009E73, blue 0072B2, vermilion D55E00), darkened so that thin lines keep
//! a contrast of 4.5:1 on white. Patterns and weights tell the lines apart without it.

use crate::drawing::{Pen, Tone};
use crate::roof::EdgeKind;
use std::fmt::Write;

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

const FACE: Colour = [0xf4, 0xf1, 0xea];
const FACE_SHADE: Colour = [0xe3, 0xde, 0xd3];
const WALL: Colour = [0xfb, 0xfb, 0xfa];
const WALL_SHADE: Colour = [0xee, 0xee, 0xec];
const OPENING: Colour = [0xdc, 0xe9, 0xf2];
const TAB: Colour = [0xf0, 0xf0, 0xee];
const CAUTION: Colour = [0xfd, 0xf1, 0xdc];
const HEAD: Colour = [0xe9, 0xec, 0xef];
/// Rules between parts of a page on a screen.
const RULE: Colour = [0xc9, 0xce, 0xd4];
/// What is chosen on a screen, under dark ink.
const CHOSEN: Colour = [0xb9, 0xd6, 0xea];

/// The colour of a filled area; `None` for shapes that are not filled on paper.
#[must_use]
pub fn tone(tone: Tone) -> Option<Colour> {
    let colour = match tone {
        Tone::Shape => return None,
        Tone::Face => FACE,
        Tone::FaceShade => FACE_SHADE,
        Tone::Wall => WALL,
        Tone::WallShade => WALL_SHADE,
        Tone::Opening => OPENING,
        Tone::Tab => TAB,
        Tone::Caution => CAUTION,
        Tone::Head => HEAD,
        Tone::Ink => INK,
        Tone::Paper => PAPER,
    };
    Some(colour)
}

/// Every colour on paper with the one that takes its place on a dark screen, of the same hue where it has one.
const ON_DARK: [(Colour, Colour); 17] = [
    (INK, [0xe9, 0xe7, 0xe2]),
    (GREY, [0xa6, 0xae, 0xb8]),
    (ACCENT, [0x74, 0xbc, 0xec]),
    (PAPER, [0x15, 0x18, 0x1c]),
    (WATER, [0x56, 0xb4, 0xe9]),
    (FOLD, [0xf2, 0xa1, 0x5e]),
    (GREEN, [0x46, 0xc8, 0xa2]),
    (FACE, [0x2c, 0x2b, 0x29]),
    (FACE_SHADE, [0x3d, 0x3b, 0x37]),
    (WALL, [0x1b, 0x1f, 0x23]),
    (WALL_SHADE, [0x24, 0x28, 0x2d]),
    (OPENING, [0x22, 0x36, 0x46]),
    (TAB, [0x26, 0x29, 0x2d]),
    (CAUTION, [0x3a, 0x2d, 0x14]),
    (HEAD, [0x25, 0x2a, 0x30]),
    (RULE, [0x3c, 0x43, 0x4b]),
    (CHOSEN, [0x1d, 0x4c, 0x6c]),
];

/// A colour as pages name it: `#1b1f24`.
#[must_use]
pub fn hex(colour: Colour) -> String {
    format!("#{:02x}{:02x}{:02x}", colour[0], colour[1], colour[2])
}

/// Pens that a page draws with itself, beside those of its drawings.
const SHOWN: [Pen; 14] = [
    Pen::Edge(EdgeKind::Eave),
    Pen::Edge(EdgeKind::Verge),
    Pen::Edge(EdgeKind::Top),
    Pen::Edge(EdgeKind::Ridge),
    Pen::Edge(EdgeKind::Hip),
    Pen::Edge(EdgeKind::Valley),
    Pen::Edge(EdgeKind::PitchBreak),
    Pen::Edge(EdgeKind::Abutment),
    Pen::Edge(EdgeKind::Step),
    Pen::Edge(EdgeKind::Base),
    Pen::Edge(EdgeKind::Corner),
    Pen::Wall,
    Pen::Opening,
    Pen::Course,
];

/// The colours of a page as properties, light, and dark where the screen asks for it. Drawings on it, whose ink is light's,
/// take dark's there; on paper all is light.
#[must_use]
pub fn style() -> String {
    const NAMED: [(&str, Colour); 12] = [
        ("ink", INK),
        ("grey", GREY),
        ("accent", ACCENT),
        ("paper", PAPER),
        ("rule", RULE),
        ("head", HEAD),
        ("caution", CAUTION),
        ("chosen", CHOSEN),
        ("slope", FACE_SHADE),
        ("wall", WALL),
        ("wall-shade", WALL_SHADE),
        ("opening", OPENING),
    ];
    let dark = |colour: Colour| ON_DARK.iter().find(|(light, _)| *light == colour).map_or(colour, |(_, dark)| *dark);
    let properties = |of: &dyn Fn(Colour) -> Colour| {
        let named = NAMED.iter().map(|(name, colour)| format!("--{name}: {};", hex(of(*colour))));
        let pens = SHOWN.iter().map(|pen| format!("--pen-{}: {};", pen.layer(), hex(of(ink(*pen)))));
        named.chain(pens).collect::<Vec<_>>().join(" ")
    };
    let mut style = format!(":root {{ {} }}\n", properties(&|colour| colour));
    // Writing to a string cannot fail.
    let _ = write!(style, "@media screen and (prefers-color-scheme: dark) {{\n:root {{ {} }}\n", properties(&dark));
    for (light, dark) in ON_DARK {
        let (light, dark) = (hex(light), hex(dark));
        let _ = writeln!(
            style,
            "svg [fill=\"{light}\"] {{ fill: {dark}; }} svg [stroke=\"{light}\"] {{ stroke: {dark}; }}"
        );
    }
    style.push_str("}\n");
    style
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Contrast of two colours (WCAG 2.2, relative luminance of sRGB).
    fn contrast(one: Colour, other: Colour) -> f64 {
        let luminance = |colour: Colour| {
            let linear = colour.map(|part| {
                let part = f64::from(part) / 255.0;
                if part <= 0.040_45 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
            });
            0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
        };
        let (a, b) = (luminance(one), luminance(other));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    fn dark(colour: Colour) -> Colour {
        // A colour without one is caught by the test below.
        ON_DARK.iter().find(|(light, _)| *light == colour).map_or(PAPER, |(_, dark)| *dark)
    }

    #[test]
    fn contrast_is_that_of_the_standard() {
        // The ends of the scale.
        assert!((contrast([0; 3], [255; 3]) - 21.0).abs() < 1e-9);
        assert!((contrast([7; 3], [7; 3]) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn inks_are_read_on_every_ground_in_both_themes() {
        let grounds = [PAPER, WALL, FACE, HEAD, CAUTION];
        for ink in [INK, GREY, ACCENT, WATER, FOLD, GREEN] {
            for ground in grounds {
                let least = if ground == PAPER || ink == INK || ink == GREY { 4.5 } else { 3.0 };
                assert!(contrast(ink, ground) >= least, "{} on {}", hex(ink), hex(ground));
                assert!(contrast(dark(ink), dark(ground)) >= least, "{} on {}", hex(dark(ink)), hex(dark(ground)));
            }
        }
        assert!(contrast(INK, CHOSEN) >= 4.5 && contrast(dark(INK), dark(CHOSEN)) >= 4.5);
    }

    #[test]
    fn every_colour_of_a_drawing_has_one_for_the_dark() {
        let pens = [Pen::Casing, Pen::Hidden, Pen::Section, Pen::Level, Pen::Doubt, Pen::Edge(EdgeKind::Step)];
        for pen in pens.into_iter().chain(SHOWN) {
            assert!(ON_DARK.iter().any(|(light, _)| *light == ink(pen)), "{pen:?}");
        }
        let tones = [Tone::Face, Tone::FaceShade, Tone::Wall, Tone::WallShade, Tone::Opening, Tone::Tab, Tone::Caution];
        for one in tones.into_iter().chain([Tone::Head, Tone::Ink, Tone::Paper]) {
            assert!(ON_DARK.iter().any(|(light, _)| Some(*light) == tone(one)), "{one:?}");
        }
        // Two lights of one name would leave one of them without its dark.
        for (index, (light, _)) in ON_DARK.iter().enumerate() {
            assert!(ON_DARK[index + 1..].iter().all(|(other, _)| other != light), "{}", hex(*light));
        }
    }
}
