//! What the middle shows before there is a roof: shapes to begin from and examples to look into, each with its picture.

#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]

pub mod kept;

use crate::viewer::app::state::AppState;
use crate::viewer::editors::forms::Guide;
use crate::viewer::render::theme::{Palette, colour};
use crate::viewer::widgets::heading;
use eframe::egui;
use eframe::egui::{Align2, Color32, FontId, Mesh, Rect, RichText, ScrollArea, Sense, Shape, Stroke, pos2, vec2};
use kept::{Card, Cards, Thumbnail};
use std::sync::Arc;

/// A card, points.
const CARD: egui::Vec2 = vec2(176.0, 150.0);

/// The words below a card's picture, points.
const WORDS: f32 = 40.0;

/// The whole view. What is pressed becomes the roof that is worked on.
pub fn show(ui: &mut egui::Ui, app: &mut AppState) {
    let backend = Arc::clone(&app.backend);
    let cards = app.views.gallery.cards.get(ui.ctx(), 0, move || Arc::new(Cards::of(&backend))).cloned();
    // Until pictures are there, the shapes can be chosen without.
    let cards = cards.unwrap_or_else(|| {
        let plain = |(about, text)| Card { about, text, picture: None };
        Arc::new(Cards {
            shapes: app.backend.shapes().into_iter().map(plain).collect(),
            examples: app.backend.examples().into_iter().map(plain).collect(),
        })
    });
    let mut chosen: Option<(String, bool)> = None;
    ScrollArea::vertical().id_salt("gallery").auto_shrink(false).show(ui, |ui| {
        egui::Frame::NONE.inner_margin(20).show(ui, |ui| {
            ui.spacing_mut().item_spacing = vec2(12.0, 12.0);
            let palette = app.theme.palette();
            let row = |ui: &mut egui::Ui, cards: &[Card], verb: &str| -> Option<String> {
                let mut pressed = None;
                ui.horizontal_wrapped(|ui| {
                    for card in cards {
                        if show_card(ui, card, verb, palette).clicked() {
                            pressed = Some(card.text.clone());
                        }
                    }
                });
                pressed
            };
            heading(ui, "Begin from a shape");
            ui.label(RichText::new("Then put your own measures in.").color(colour(palette.faint)));
            if let Some(text) = row(ui, &cards.shapes, "Begin with") {
                chosen = Some((text, true));
            }
            ui.add_space(8.0);
            heading(ui, "Look into an example");
            ui.label(
                RichText::new("Invented jobs, whole: change what you like, nothing is written until you save.")
                    .color(colour(palette.faint)),
            );
            if let Some(text) = row(ui, &cards.examples, "Look into") {
                chosen = Some((text, false));
            }
        });
    });
    if let Some((text, is_shape)) = chosen {
        app.begin(text);
        // Shapes that are walked round are led through; points and photos have their own order.
        let is_walked = app.written.as_ref().is_some_and(|file| !file.list("block").is_empty());
        app.forms.guide = Guide::at((is_shape && is_walked).then_some(0));
    }
}

fn show_card(ui: &mut egui::Ui, card: &Card, verb: &str, palette: &Palette) -> egui::Response {
    let (rect, response) = ui.allocate_exact_size(CARD, Sense::click());
    let label = format!("{verb} {}", card.about);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Button, true, &label));
    let is_met = response.hovered() || response.has_focus();
    let edge = if is_met { Stroke::new(2.0, colour(palette.accent)) } else { Stroke::new(1.0, colour(palette.edge)) };
    ui.painter().rect(rect, 4.0, colour(palette.field), edge, egui::StrokeKind::Inside);
    let (top, words) = rect.split_top_bottom_at_y(rect.bottom() - WORDS);
    match &card.picture {
        Some(picture) => paint(ui.painter(), picture, top.shrink(14.0), palette),
        None => {
            let font = FontId::proportional(12.0);
            ui.painter().text(top.center(), Align2::CENTER_CENTER, "by marks", font, colour(palette.faint));
        }
    }
    let font = egui::TextStyle::Body.resolve(ui.style());
    let mut job = egui::text::LayoutJob::simple(card.about.clone(), font, colour(palette.ink), words.width() - 20.0);
    job.halign = egui::Align::Center;
    let galley = ui.painter().layout_job(job);
    let at = pos2(words.center().x, words.center().y - galley.size().y / 2.0 - 3.0);
    ui.painter().galley(at, galley, colour(palette.ink));
    if is_met {
        ui.ctx().set_cursor_icon(egui::CursorIcon::PointingHand);
    }
    response
}

/// Paints a roof into a rectangle, as large as it fits.
fn paint(painter: &egui::Painter, picture: &Thumbnail, rect: Rect, palette: &Palette) {
    let wide = rect.width().min(rect.height() * picture.aspect);
    let size = vec2(wide, wide / picture.aspect);
    let rect = Rect::from_center_size(rect.center(), size);
    let at = |place: &egui::Pos2| rect.min + place.to_vec2() * size;
    for part in &picture.parts {
        let fill = lit(if part.is_roof { palette.roof } else { palette.wall }, part.light);
        let mut mesh = Mesh::default();
        for triangle in &part.triangles {
            let first = mesh.vertices.len() as u32;
            for corner in triangle {
                mesh.colored_vertex(at(corner), fill);
            }
            mesh.add_triangle(first, first + 1, first + 2);
        }
        painter.add(Shape::mesh(mesh));
        // A mesh has hard edges: a hairline of its own colour along them softens those.
        for triangle in &part.triangles {
            for side in 0..3 {
                let ends = [at(&triangle[side]), at(&triangle[(side + 1) % 3])];
                painter.line_segment(ends, Stroke::new(0.8, fill));
            }
        }
        // Edge by edge, not as one line, whose joints would run out into spikes.
        for [from, to] in &part.edges {
            painter.line_segment([at(from), at(to)], Stroke::new(1.2, colour(palette.ink)));
        }
    }
}

/// A colour in some light: darker where less of it falls.
fn lit(of: [u8; 3], light: f32) -> Color32 {
    let [red, green, blue] = of.map(|part| (f32::from(part) * (0.62 + 0.42 * light)).min(255.0) as u8);
    Color32::from_rgb(red, green, blue)
}
