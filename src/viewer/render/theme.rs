//! Every colour of the window and of pictures, and the pattern and weight of every kind of edge, in one place.
//!
//! Kinds of edges are told by pattern, weight and word; colour comes second, so that a grey print and a colour-blind
//! reader lose nothing. The accents are taken from Paul Tol's "muted" and "`YlOrBr`" schemes (Colour schemes, SRON technical
//! note SRON/EPS/TN/09-002, 2021), which are made to be told apart by colour-blind readers, and muted further.

use crate::roof::EdgeKind;
use eframe::egui::Color32;

/// A theme of the window.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// Paper.
    #[default]
    Light,
    /// Slate.
    Dark,
    /// Black on white, no half-tones that carry meaning.
    Contrast,
}

/// An opaque colour, sRGB.
pub type Rgb = [u8; 3];

/// The colours of a theme.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Palette {
    /// Ground and background of the 3D view.
    pub paper: Rgb,
    /// Panels beside it.
    pub panel: Rgb,
    /// Fields in which one types.
    pub field: Rgb,
    /// Text and lines.
    pub ink: Rgb,
    /// Secondary text.
    pub faint: Rgb,
    /// Rules between parts of a panel.
    pub rule: Rgb,
    /// Borders of what can be pressed or typed in: at least 3 to 1 against what they stand on.
    pub edge: Rgb,
    /// The one accent: what is chosen, what can be pressed.
    pub accent: Rgb,
    /// What is not there yet: the ghost of a part that is placed, and its dimensions.
    pub ghost: Rgb,
    /// What needs care.
    pub caution: Rgb,
    /// What is wrong.
    pub fault: Rgb,
    /// Covering.
    pub roof: Rgb,
    /// Joints of the covering, lines of height.
    pub joint: Rgb,
    /// Roof without covering, for shades that bring their own colour.
    pub bare: Rgb,
    /// Walls.
    pub wall: Rgb,
    /// Water.
    pub water: Rgb,
    /// Strength of the ground's grid and of the shadow.
    pub ground: [f32; 2],
    /// Steps from flat to steep, from sure to unsure.
    pub scale: [Rgb; 5],
}

const LIGHT: Palette = Palette {
    paper: [247, 245, 239],
    panel: [240, 237, 229],
    field: [252, 251, 248],
    ink: [38, 42, 46],
    faint: [104, 106, 104],
    rule: [216, 211, 200],
    edge: [124, 121, 113],
    accent: [17, 102, 114],
    ghost: [112, 48, 128],
    caution: [140, 82, 8],
    fault: [158, 36, 48],
    roof: [136, 148, 154],
    joint: [38, 42, 46],
    bare: [214, 212, 204],
    wall: [240, 235, 224],
    water: [30, 92, 140],
    ground: [0.22, 0.26],
    scale: [[250, 240, 200], [246, 218, 148], [236, 182, 100], [214, 138, 68], [168, 92, 48]],
};

const DARK: Palette = Palette {
    paper: [35, 39, 43],
    panel: [28, 31, 34],
    field: [20, 22, 25],
    ink: [226, 224, 217],
    faint: [158, 160, 158],
    rule: [62, 67, 72],
    edge: [122, 128, 134],
    accent: [104, 190, 196],
    ghost: [214, 162, 224],
    caution: [232, 178, 96],
    fault: [240, 138, 134],
    roof: [104, 116, 124],
    joint: [22, 25, 28],
    bare: [122, 126, 128],
    wall: [146, 142, 134],
    water: [150, 204, 240],
    ground: [0.13, 0.42],
    scale: [[92, 96, 84], [134, 124, 84], [176, 144, 84], [204, 136, 74], [196, 104, 62]],
};

const CONTRAST: Palette = Palette {
    paper: [255, 255, 255],
    panel: [255, 255, 255],
    field: [255, 255, 255],
    ink: [0, 0, 0],
    faint: [30, 30, 30],
    rule: [0, 0, 0],
    edge: [0, 0, 0],
    accent: [0, 48, 160],
    ghost: [90, 0, 120],
    caution: [110, 50, 0],
    fault: [150, 0, 20],
    roof: [214, 214, 214],
    joint: [0, 0, 0],
    bare: [236, 236, 236],
    wall: [255, 255, 255],
    water: [0, 60, 150],
    ground: [0.0, 0.20],
    scale: [[255, 255, 255], [226, 226, 226], [190, 190, 190], [150, 150, 150], [110, 110, 110]],
};

impl Theme {
    /// All themes, in the order the window offers them.
    pub const ALL: [Self; 3] = [Self::Light, Self::Dark, Self::Contrast];

    /// Its name for a person.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Light => "light",
            Self::Dark => "dark",
            Self::Contrast => "high contrast",
        }
    }

    /// Its colours.
    #[must_use]
    pub fn palette(self) -> &'static Palette {
        match self {
            Self::Light => &LIGHT,
            Self::Dark => &DARK,
            Self::Contrast => &CONTRAST,
        }
    }
}

/// The window's three sizes of lettering, points: headings, all else, and what stands beside.
pub const SIZES: [f32; 3] = [HEADING, BODY, SMALL];
/// Headings.
pub const HEADING: f32 = 17.0;
/// All else.
pub const BODY: f32 = 14.0;
/// What stands beside: labels of a drawing, heads of columns, remarks.
pub const SMALL: f32 = 12.0;

/// To egui's colour.
#[must_use]
pub fn colour([r, g, b]: Rgb) -> Color32 {
    Color32::from_rgb(r, g, b)
}

/// To the shaders' colour: sRGB as it is, since blending is done in it throughout.
#[must_use]
pub(crate) fn shader_colour(rgb: Rgb) -> [f32; 3] {
    rgb.map(|c| f32::from(c) / 255.0)
}

/// A colour between the steps of a scale; `share` 0 ..= 1.
#[must_use]
pub fn between(scale: &[Rgb; 5], share: f64) -> Rgb {
    let place = share.clamp(0.0, 1.0) * 4.0;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let step = (place.floor() as usize).min(3);
    let part = place - place.floor().min(3.0);
    let mix = |a: u8, b: u8| f64::from(a) + (f64::from(b) - f64::from(a)) * part;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    std::array::from_fn(|i| mix(scale[step][i], scale[step + 1][i]).round() as u8)
}

/// How an edge is drawn, in pixels of an ordinary screen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Width.
    pub width: f32,
    /// Length of a dash; the whole line where `gap` is 0.
    pub dash: f32,
    /// Gap between dashes; 0 for a whole line.
    pub gap: f32,
    /// Length of a dot between dashes; 0 for none.
    pub dot: f32,
}

/// The pen of a kind of edge: ridges heaviest, hips next, valleys in long dashes, verges in dashes and dots, eaves a plain
/// line; walls only hair lines.
#[must_use]
pub fn pen(kind: EdgeKind) -> Pen {
    let pen = |width, dash, gap, dot| Pen { width, dash, gap, dot };
    match kind {
        EdgeKind::Ridge => pen(3.2, 0.0, 0.0, 0.0),
        EdgeKind::Hip => pen(2.2, 0.0, 0.0, 0.0),
        EdgeKind::Valley => pen(2.6, 13.0, 5.0, 0.0),
        EdgeKind::Eave => pen(1.7, 0.0, 0.0, 0.0),
        EdgeKind::Verge => pen(1.7, 14.0, 4.0, 3.0),
        EdgeKind::Top => pen(1.9, 22.0, 4.0, 0.0),
        EdgeKind::PitchBreak => pen(1.6, 2.0, 4.0, 0.0),
        EdgeKind::Abutment => pen(2.2, 5.0, 4.0, 0.0),
        EdgeKind::Step => pen(1.6, 8.0, 3.0, 2.0),
        EdgeKind::Base | EdgeKind::Corner => pen(1.0, 0.0, 0.0, 0.0),
    }
}
