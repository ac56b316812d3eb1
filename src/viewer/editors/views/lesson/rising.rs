//! The eaves' planes rise; the outline shrinks until nothing is left of it.

use super::heading::heading;
use crate::base::tolerance;
use crate::base::tolerance::{ROUNDING, SMALLEST};
use crate::base::units::LengthUnit;
use crate::roof::FaceKind;
use crate::roof::analysis::cut::CutLine;
use crate::roof::analysis::rise::{self, RiseEvent, Risen, rise_events};
use crate::viewer::render::facts::short_name;
use crate::viewer::render::gpu::{Cap, Stroke};
use crate::viewer::render::shown::Shown;
use crate::viewer::render::stage::{Extra, Tag, corner, stroke};
use crate::viewer::render::theme;
use crate::viewer::render::theme::{Palette, Pen, Rgb, colour};
use crate::wording::lesson;
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::RichText;
use nalgebra::{Point3, Vector3};
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
    /// What is left of the outline.
    risen: Risen,
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
        let (roof, format) = (&shown.answered.answer.roof, Format::of(units));
        let [low, high] = rise::span(roof);
        let risen = self.at(shown, share, palette, units).risen.clone();
        let faint = colour(palette.faint);
        heading(ui, &format!("{} above the eaves", format.length(risen.rise)));
        ui.label("Every eave's plane rises at its own pitch. Seen from above, its side moves in by rise / tan pitch:");
        for moved in &risen.moves {
            ui.label(lesson::moved(roof, moved, risen.rise, format));
        }
        ui.label(lesson::left(&risen, format));
        heading(ui, "What happens on the way");
        let mut pressed = None;
        for (index, event) in self.story(shown).iter().enumerate() {
            let height = event.height - low;
            let is_past = height <= risen.rise + ROUNDING;
            let text = format!("{}: {}", format.length(height), lesson::event(&shown.answered.answer, event, format));
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

fn make(shown: &Shown, share: f64, palette: &Palette, units: LengthUnit) -> Made {
    let roof = &shown.answered.answer.roof;
    let solid = &shown.answered.solid;
    let risen = Risen::at(roof, solid, share);
    let [low, _] = rise::span(roof);
    let (height, plane) = (low + risen.rise, risen.plane);
    let origin = shown.scene.origin;
    let mut marks: Vec<Stroke> = Vec::new();
    let mut tags = Vec::new();
    let ghost = Pen { width: 1.2, dash: 5.0, gap: 4.0, dot: 0.0 };
    // Where it began, and what is still to come, as thin dashes.
    for (from, to, _) in Risen::at(roof, solid, 0.0).cut.lines.iter().flat_map(CutLine::sides) {
        marks.push(stroke(&(from - origin), &(to - origin), ghost, palette.ink, 0.55));
    }
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
    for (from, to, face) in risen.cut.lines.iter().flat_map(CutLine::sides) {
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
        risen.cut.triangles(&plane).into_iter().flatten().map(|place| corner(&(place - origin))).collect();
    let [r, g, b] = theme::shader_colour(palette.accent);
    Made {
        plane: (Vector3::z(), height - origin.z),
        extra: Extra {
            marks: Arc::new(marks),
            caps: vec![Cap { places: Arc::new(places), tone: [r, g, b, 0.30], hatched: false }],
            tags,
            over: false,
        },
        risen,
    }
}
