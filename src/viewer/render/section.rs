//! The section plane: where it stands, what it cuts, what is read off it.

use super::gpu::Cap;
use super::shown::Shown;
use super::stage::{Extra, Tag, corner, stroke};
use super::theme::{self, Palette, Pen};
use crate::base::plane::Plane;
use crate::base::tolerance::ONE_PLACE;
use crate::base::units::LengthUnit;
use crate::roof::analysis::cut::Cut;
use crate::roof::{EdgeKind, FaceKind};
use crate::wording::units::Format;
use eframe::egui;
use nalgebra::Vector3;
use std::sync::Arc;

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
        if self.cutting == Cutting::Off {
            return None;
        }
        let key = (shown.scene.serial, self.cutting, self.share.to_bits(), self.flipped, palette.paper);
        if self.kept.as_ref().is_none_or(|(of, _)| *of != key) {
            self.kept = Some((key, make(self, shown, palette, units)));
        }
        self.kept.as_ref().map(|(_, made)| made)
    }
}

/// A direction square to the right is told by how far it goes back: by this share of it.
const TO_THE_BACK: f64 = 1e-3;

/// Level and along the longest ridge, or the longest eave where there is none.
fn along(shown: &Shown) -> Vector3<f64> {
    let roof = &shown.answered.answer.roof;
    let longest = |kind: EdgeKind| {
        let edges = roof.edges.iter().filter(|edge| edge.kind == kind);
        edges.max_by(|a, b| roof.plan_length(a).total_cmp(&roof.plan_length(b)))
    };
    let way = longest(EdgeKind::Ridge).or_else(|| longest(EdgeKind::Eave)).map(|edge| {
        let way = roof.at(edge.to) - roof.at(edge.from);
        // Counted from left to right, or from front to back.
        let way = Vector3::new(way.x, way.y, 0.0);
        if way.x + TO_THE_BACK * way.y < 0.0 { -way } else { way }
    });
    way.and_then(|way| way.try_normalize(0.0)).unwrap_or_else(Vector3::x)
}

fn make(section: &Section, shown: &Shown, palette: &Palette, units: LengthUnit) -> Made {
    let solid = &shown.answered.solid;
    let ridge = along(shown);
    let axis = match section.cutting {
        Cutting::Across => ridge,
        Cutting::Along => Vector3::z().cross(&ridge),
        Cutting::Off | Cutting::Level => Vector3::z(),
    };
    let reach = |place: &nalgebra::Point3<f64>| axis.dot(&place.coords);
    let low = solid.positions.iter().map(reach).reduce(f64::min).unwrap_or_default();
    let high = solid.positions.iter().map(reach).reduce(f64::max).unwrap_or_default();
    let at = low + (high - low) * section.share.clamp(ONE_PLACE, 1.0 - ONE_PLACE);
    let sign = if section.flipped { -1.0 } else { 1.0 };
    let plane = Plane { normal: axis * sign, offset: at * sign };
    let cut = Cut::of(solid, &plane);
    let origin = shown.scene.origin;
    let places = cut.triangles(&plane).into_iter().flatten().map(|place| corner(&(place - origin))).collect();
    let [r, g, b] = theme::shader_colour(palette.paper);
    let pen = Pen { width: 2.8, dash: 0.0, gap: 0.0, dot: 0.0 };
    let mut marks = Vec::new();
    let mut tags = Vec::new();
    for (from, to, face) in cut.lines.iter().flat_map(crate::roof::analysis::cut::CutLine::sides) {
        marks.push(stroke(&(from - origin), &(to - origin), pen, palette.ink, 1.0));
        let is_roof = face.is_some_and(|face| shown.answered.answer.roof.faces[face.index()].kind == FaceKind::Roof);
        let length = (to - from).norm();
        if is_roof && length > 0.25 {
            tags.push(Tag {
                at: nalgebra::center(&from, &to) - origin,
                along: Some((to - from) / length),
                text: Format::of(units).length(length),
            });
        }
    }
    let reading = reading(section, &cut, &plane, shown, [at, low], units);
    let extra = Extra {
        marks: Arc::new(marks),
        caps: vec![Cap { places: Arc::new(places), tone: [r, g, b, 1.0], hatched: true }],
        tags,
        over: false,
    };
    Made { plane: (plane.normal, plane.offset - plane.normal.dot(&origin)), extra, reading }
}

fn reading(
    section: &Section,
    cut: &Cut,
    plane: &Plane,
    shown: &Shown,
    [at, low]: [f64; 2],
    units: LengthUnit,
) -> String {
    let place = match section.cutting {
        Cutting::Off | Cutting::Level => format!("{} above datum", Format::of(units).length(at)),
        Cutting::Across => format!("{} from the left end", Format::of(units).length(at - low)),
        Cutting::Along => format!("{} from the front", Format::of(units).length(at - low)),
    };
    let corners = || cut.lines.iter().flat_map(|line| &line.places);
    let span = |axis: Vector3<f64>| {
        let reach = |place: &nalgebra::Point3<f64>| axis.dot(&place.coords);
        let high = corners().map(reach).reduce(f64::max)?;
        Some(high - corners().map(reach).reduce(f64::min)?)
    };
    let (one, other) = match section.cutting {
        Cutting::Off | Cutting::Level => {
            let ridge = along(shown);
            ((span(ridge), "along"), (span(Vector3::z().cross(&ridge)), "across"))
        }
        _ => ((span(Vector3::z().cross(&plane.normal)), "wide"), (span(Vector3::z()), "high")),
    };
    let mut parts = vec![place];
    for (span, word) in [one, other] {
        parts.extend(span.map(|span| format!("{} {word}", Format::of(units).length(span))));
    }
    let area = cut.area(plane).abs();
    if area > 0.0 {
        parts.push(format!("{} cut", Format::of(units).area(area)));
    }
    parts.join(" · ")
}

/// The row of tools: which section, where, and what is read off it.
pub fn bar(ui: &mut egui::Ui, section: &mut Section, reading: Option<&str>) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for cutting in Cutting::ALL {
            ui.selectable_value(&mut section.cutting, cutting, cutting.word()).on_hover_text("key X");
        }
        if section.cutting == Cutting::Off {
            return;
        }
        let slider = egui::Slider::new(&mut section.share, 0.0..=1.0).show_value(false);
        let slider = ui.add(slider).on_hover_text("keys Page up, Page down");
        crate::viewer::widgets::named(ui, &slider, "place of the section");
        ui.toggle_value(&mut section.flipped, "other part");
        if let Some(reading) = reading {
            ui.label(reading);
        }
    });
}
