//! The eaves' planes rise; the outline shrinks until nothing is left of it.

use super::{heading, story};
use crate::base::plane::Plane;
use crate::base::tolerance;
use crate::base::tolerance::{ROUNDING, SMALLEST};
use crate::base::units::LengthUnit;
use crate::roof::analysis::cut::{Cut, CutLine};
use crate::roof::analysis::rise::{RiseEvent, rise_events};
use crate::roof::{EdgeKind, FaceKind};
use crate::viewer::render::facts::short_name;
use crate::viewer::render::gpu::{Cap, Stroke};
use crate::viewer::render::shown::Shown;
use crate::viewer::render::stage::{Extra, Tag, corner, stroke};
use crate::viewer::render::theme;
use crate::viewer::render::theme::{Palette, Pen, Rgb, colour};
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::RichText;
use nalgebra::{Point3, Vector3};
use std::collections::BTreeMap;
use std::sync::Arc;

/// What is kept until the roof or the height changes.
#[derive(Default)]
pub struct Kept {
    story: Option<(u64, Arc<Vec<RiseEvent>>)>,
    made: Option<((u64, u64, Rgb), Made)>,
}

/// The picture at one height.
pub struct Made {
    /// What lies above is cut away: the plane in the scene.
    pub plane: (Vector3<f64>, f64),
    /// The outline left, over it.
    pub extra: Extra,
    /// Plan area the outline still holds, square metres.
    area: f64,
    /// Pieces of the outline, and holes in them.
    pieces: [usize; 2],
}

/// From the lowest eave to the highest point of the roof, metres above datum.
fn span(shown: &Shown) -> [f64; 2] {
    let roof = &shown.answered.answer.roof;
    let eaves = roof.edges.iter().filter(|edge| edge.kind == EdgeKind::Eave);
    let lowest = eaves.map(|edge| roof.at(edge.from).z.min(roof.at(edge.to).z)).reduce(f64::min);
    let all = || roof.corners.iter().map(|corner| corner.z);
    let low = lowest.or_else(|| all().reduce(f64::min)).unwrap_or_default();
    [low, all().reduce(f64::max).unwrap_or(low)]
}

impl Kept {
    fn story(&mut self, shown: &Shown) -> Arc<Vec<RiseEvent>> {
        let serial = shown.scene.serial;
        match &self.story {
            Some((of, story)) if *of == serial => Arc::clone(story),
            _ => {
                let roof = &shown.answered.answer.roof;
                let plan: Vec<_> = roof.corners.iter().map(Point3::xy).collect();
                let size = crate::base::polygon::extent(&plan);
                let story = Arc::new(rise_events(roof, 100.0 * tolerance::default_for(size)));
                self.story = Some((serial, Arc::clone(&story)));
                story
            }
        }
    }

    /// The picture at a height; made again only when something changed. O(triangles).
    pub fn at(&mut self, shown: &Shown, share: f64, palette: &Palette, units: LengthUnit) -> &Made {
        let key = (shown.scene.serial, share.to_bits(), palette.paper);
        if self.made.as_ref().is_none_or(|(of, _)| *of != key) {
            self.made = Some((key, make(shown, share, palette, units)));
        }
        // Made just now if it was not there.
        match &self.made {
            Some((_, made)) => made,
            None => unreachable!("made above"),
        }
    }

    /// What has happened and what will; the height of one that is pressed, as a share of the way.
    pub fn words(
        &mut self,
        ui: &mut egui::Ui,
        shown: &Shown,
        share: f64,
        palette: &Palette,
        units: LengthUnit,
    ) -> Option<f64> {
        let [low, high] = span(shown);
        let rise = (high - low) * share;
        let (area, pieces) = {
            let made = self.at(shown, share, palette, units);
            (made.area, made.pieces)
        };
        let faint = colour(palette.faint);
        heading(ui, &format!("{} above the eaves", Format::of(units).length(rise)));
        ui.label("Every eave's plane rises at its own pitch. Seen from above, its side moves in by rise / tan pitch:");
        for (moved, names) in moves(shown, rise, units) {
            ui.label(format!("{names}: {moved}"));
        }
        let [outer, holes] = pieces;
        let left = match (outer, holes) {
            (0, _) => "Nothing is left of the outline: the roof is closed.".to_owned(),
            (1, 0) => format!("The outline still holds {}.", Format::of(units).area(area)),
            (1, _) => format!("The outline still holds {}, with a courtyard in it.", Format::of(units).area(area)),
            (several, _) => format!("The outline has parted: {several} pieces hold {}.", Format::of(units).area(area)),
        };
        ui.label(left);
        heading(ui, "What happens on the way");
        let mut pressed = None;
        for (index, event) in self.story(shown).iter().enumerate() {
            let height = event.height - low;
            let is_past = height <= rise + ROUNDING;
            let text = format!("{}: {}", Format::of(units).length(height), story::words(shown, event, units));
            let text = if is_past { RichText::new(text) } else { RichText::new(text).color(faint) };
            ui.push_id(index, |ui| {
                let mark = if is_past { "happened" } else { "to come" };
                let button = egui::Button::selectable(false, text).wrap();
                let response = ui.add(button).on_hover_text(mark);
                if response.clicked() {
                    pressed = Some(((height + SMALLEST) / (high - low).max(ROUNDING)).clamp(0.0, 1.0));
                }
            });
        }
        ui.add_space(6.0);
        ui.label(RichText::new("A line pressed here raises the eaves to it.").small().color(faint));
        pressed
    }
}

/// How far sides have moved in, those of one pitch together: `1.71 m = 1.20 m / tan 35°`, `A, B and C`.
fn moves(shown: &Shown, rise: f64, units: LengthUnit) -> Vec<(String, String)> {
    let roof = &shown.answered.answer.roof;
    let mut by_pitch: BTreeMap<u64, (f64, Vec<String>)> = BTreeMap::new();
    for (id, face) in roof.roof_faces() {
        let has_eave = face.edges.iter().any(|edge| roof.edges[edge.index()].kind == EdgeKind::Eave);
        let pitch = face.plane.pitch();
        if has_eave && pitch > 0.0 {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let key = (pitch * 1e6).round() as u64;
            by_pitch.entry(key).or_insert_with(|| (pitch, Vec::new())).1.push(short_name(shown, id));
        }
    }
    by_pitch
        .into_values()
        .map(|(pitch, names)| {
            let moved = format!(
                "{} / tan {} = {}",
                Format::of(units).length(rise),
                Format::of(LengthUnit::Metre).pitch(pitch),
                Format::of(units).length(rise / pitch.tan())
            );
            (moved, names.join(", "))
        })
        .collect()
}

fn make(shown: &Shown, share: f64, palette: &Palette, units: LengthUnit) -> Made {
    let [low, high] = span(shown);
    let height = low + (high - low) * share;
    let origin = shown.scene.origin;
    let level = |offset: f64| Plane { normal: Vector3::z(), offset };
    let solid = &shown.answered.solid;
    let plane = level(height);
    let cut = Cut::of(solid, &plane);
    let mut marks: Vec<Stroke> = Vec::new();
    let mut tags = Vec::new();
    let ghost = Pen { width: 1.2, dash: 5.0, gap: 4.0, dot: 0.0 };
    // Where it began, and what is still to come, as thin dashes.
    for (from, to, _) in Cut::of(solid, &level(low)).lines.iter().flat_map(CutLine::sides) {
        marks.push(stroke(&(from - origin), &(to - origin), ghost, palette.ink, 0.55));
    }
    let roof = &shown.answered.answer.roof;
    for edge in roof.edges.iter().filter(|edge| !edge.kind.is_wall_only()) {
        let (mut a, mut b) = (roof.at(edge.from), roof.at(edge.to));
        if a.z > b.z {
            std::mem::swap(&mut a, &mut b);
        }
        if b.z <= height + ROUNDING {
            continue;
        }
        if a.z < height {
            a += (b - a) * ((height - a.z) / (b.z - a.z));
        }
        marks.push(stroke(&(a - origin), &(b - origin), ghost, palette.ink, 0.30));
    }
    let pen = Pen { width: 3.0, dash: 0.0, gap: 0.0, dot: 0.0 };
    for (from, to, face) in cut.lines.iter().flat_map(CutLine::sides) {
        marks.push(stroke(&(from - origin), &(to - origin), pen, palette.accent, 1.0));
        let length = (to - from).norm();
        let face = face.filter(|face| length > 0.4 && roof.faces[face.index()].kind == FaceKind::Roof);
        if let Some(face) = face {
            tags.push(Tag {
                at: nalgebra::center(&from, &to) - origin,
                along: Some((to - from) / length),
                text: format!("{} {}", short_name(shown, face), Format::of(units).length(length)),
            });
        }
    }
    let places: Vec<[f32; 3]> =
        cut.triangles(&plane).into_iter().flatten().map(|place| corner(&(place - origin))).collect();
    let [r, g, b] = theme::shader_colour(palette.accent);
    let outward = |line: &&CutLine| crate::base::polygon::vector_area(&line.places).z > 0.0;
    let outer = cut.lines.iter().filter(outward).count();
    Made {
        plane: (Vector3::z(), height - origin.z),
        area: cut.area(&plane),
        pieces: [outer, cut.lines.len() - outer],
        extra: Extra {
            marks: Arc::new(marks),
            caps: vec![Cap { places: Arc::new(places), tone: [r, g, b, 0.30], hatched: false }],
            tags,
            over: false,
        },
    }
}
