//! The section plane: where it stands, what it cuts, what is read off it.

use super::gpu::Cap;
use super::shown::Shown;
use super::stage::{Extra, Tag, corner, stroke};
use super::theme::{self, Palette, Pen};
use crate::base::units::LengthUnit;
use crate::roof::analysis::section::{self as analysis, SectionKind};
use crate::wording::lesson;
use crate::wording::units::Format;
use eframe::egui;
use nalgebra::Vector3;
use std::sync::Arc;

/// A shorter line has no room for its length, metres.
const SHORTEST_TOLD: f64 = 0.25;

/// How the plane lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Cutting {
    /// No section.
    #[default]
    Off,
    /// Level.
    Level,
    /// Plumb, across the ridge.
    Across,
    /// Plumb, along the ridge.
    Along,
}

impl Cutting {
    /// All, in the order of their buttons.
    pub const ALL: [Self; 4] = [Self::Off, Self::Level, Self::Across, Self::Along];

    /// What it is of the core's kinds; none when off.
    fn kind(self) -> Option<SectionKind> {
        match self {
            Self::Off => None,
            Self::Level => Some(SectionKind::Level),
            Self::Across => Some(SectionKind::Across),
            Self::Along => Some(SectionKind::Along),
        }
    }

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Off => "no section",
            Self::Level => "level section",
            Self::Across => "section across",
            Self::Along => "section along",
        }
    }
}

/// The section plane.
#[derive(Debug)]
pub struct Section {
    /// How it lies.
    pub cutting: Cutting,
    /// Where, from the low to the high end of the whole, 0 ..= 1.
    pub share: f64,
    /// Whether the other part is kept.
    pub flipped: bool,
    kept: Option<(Key, Made)>,
}

type Key = (u64, Cutting, u64, bool, theme::Rgb);

/// What a section shows.
#[derive(Clone, Debug)]
pub struct Made {
    /// The plane in the scene: what lies at n · p > d is cut away.
    pub plane: (Vector3<f64>, f64),
    /// The cut itself.
    pub extra: Extra,
    /// Where it stands and what it measures, in words.
    pub reading: String,
}

impl Default for Section {
    fn default() -> Self {
        Self { cutting: Cutting::Off, share: 0.5, flipped: false, kept: None }
    }
}

impl Section {
    /// The next kind of section.
    pub fn next(&mut self) {
        let at = Cutting::ALL.iter().position(|cutting| *cutting == self.cutting).unwrap_or(0);
        self.cutting = Cutting::ALL[(at + 1) % Cutting::ALL.len()];
    }

    /// Moves the plane by hundredths of its way.
    pub fn step(&mut self, hundredths: i8) {
        self.share = (self.share + f64::from(hundredths) / 100.0).clamp(0.0, 1.0);
    }

    /// What it shows now, if it is on; made again only when something changed. O(triangles).
    pub fn made(&mut self, shown: &Shown, palette: &Palette, units: LengthUnit) -> Option<&Made> {
        let kind = self.cutting.kind()?;
        let key = (shown.scene.serial, self.cutting, self.share.to_bits(), self.flipped, palette.paper);
        if self.kept.as_ref().is_none_or(|(of, _)| *of != key) {
            self.kept = Some((key, make(self, kind, shown, palette, units)));
        }
        self.kept.as_ref().map(|(_, made)| made)
    }
}

fn make(chosen: &Section, kind: SectionKind, shown: &Shown, palette: &Palette, units: LengthUnit) -> Made {
    let roof = &shown.answered.answer.roof;
    let section = analysis::Section::of(roof, &shown.answered.building, kind, chosen.share, chosen.flipped);
    let (origin, plane) = (shown.scene.origin, &section.plane);
    let places = section.cut.triangles(plane).into_iter().flatten().map(|place| corner(&(place - origin))).collect();
    let [r, g, b] = theme::shader_colour(palette.paper);
    let pen = Pen { width: 2.8, dash: 0.0, gap: 0.0, dot: 0.0 };
    let sides = section.cut.lines.iter().flat_map(crate::roof::analysis::cut::CutLine::sides);
    let marks = sides.map(|(from, to, _)| stroke(&(from - origin), &(to - origin), pen, palette.ink, 1.0));
    let tag = |line: analysis::SectionLine| {
        let [from, to] = line.ends;
        (line.length > SHORTEST_TOLD).then(|| Tag {
            at: nalgebra::center(&from, &to) - origin,
            along: Some((to - from) / line.length),
            text: Format::of(units).length(line.length),
        })
    };
    let extra = Extra {
        marks: Arc::new(marks.collect()),
        caps: vec![Cap { places: Arc::new(places), tone: [r, g, b, 1.0], hatched: true }],
        tags: section.lines(roof).filter_map(tag).collect(),
        over: false,
    };
    let reading = lesson::section(&section, Format::of(units));
    Made { plane: (plane.normal, plane.offset - plane.normal.dot(&origin)), extra, reading }
}

/// The row of a section: where it is, and what is read off it. Nothing while there is none.
pub fn bar(ui: &mut egui::Ui, section: &mut Section, reading: Option<&str>) {
    if section.cutting == Cutting::Off {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let slider = egui::Slider::new(&mut section.share, 0.0..=1.0).show_value(false);
        let slider = ui.add(slider).on_hover_text("keys Page up, Page down");
        crate::viewer::widgets::named(ui, &slider, "place of the section");
        ui.toggle_value(&mut section.flipped, "other part");
        if let Some(reading) = reading {
            ui.label(reading);
        }
    });
}
