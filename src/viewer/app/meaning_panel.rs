//! The right side: what the roof means. What is chosen, how big it is, what to order, what to mind, how sure it all is.

use super::order_panel::{self, head};
use super::state::AppState;
use crate::base::estimate::Estimate;
use crate::base::finding::{Finding as _, Severity};
use crate::base::ids::FaceId;
use crate::base::tolerance::TOLD_LEVEL;
use crate::base::units::LengthUnit;
use crate::roof::FaceKind;
use crate::viewer::editors::forms::tell;
use crate::viewer::render::scene::Shade;
use crate::viewer::render::shown::Shown;
use crate::viewer::render::theme::{Palette, colour};
use crate::viewer::render::water::Figure;
use crate::viewer::signs;
use crate::wording::amount::sentence;
use crate::wording::units::Format;
use crate::wording::{self, About, estimate};
use eframe::egui;
use eframe::egui::{RichText, ScrollArea};
use std::sync::Arc;

/// The whole side.
pub fn show(ui: &mut egui::Ui, app: &mut AppState) {
    let Some(shown) = app.shown.clone() else {
        ui.set_min_width(ui.available_width());
        ui.label("Areas, lengths and the order appear here.");
        return;
    };
    let palette = app.theme.palette();
    let units = shown.answered.job.units;
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        // Results are there to be taken along.
        ui.style_mut().interaction.selectable_labels = true;
        order_panel::card(ui, &mut app.panes, &shown, palette, units);
        doubts(ui, &shown, palette, units);
        if let Some(face) = app.look.chosen {
            face_card(ui, app, &shown, face, units);
        } else {
            ui.label(
                RichText::new("Choose a face in the view or a side on the left for its facts.")
                    .color(colour(palette.faint)),
            );
        }
        size(ui, &shown, palette, units);
        water(ui, app, &shown);
        ui.scope(|ui| order_panel::order(ui, &shown, palette, units));
        cautions(ui, &shown, palette, units);
        sureness(ui, &shown, palette, units);
    });
}

/// Two columns: what, and how much to the right.
fn table(ui: &mut egui::Ui, id: &str, rows: &[(String, String)]) {
    for (index, (what, much)) in rows.iter().enumerate() {
        ui.spacing_mut().interact_size.y = 20.0;
        ui.push_id((id, index), |ui| {
            ui.horizontal(|ui| {
                ui.label(what);
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| ui.label(much));
            });
        });
    }
}

fn face_card(ui: &mut egui::Ui, app: &mut AppState, shown: &Arc<Shown>, id: FaceId, units: LengthUnit) {
    let (answer, format) = (&shown.answered.answer, Format::of(units));
    let roof = &answer.roof;
    let Some(face) = roof.faces.get(id.index()) else { return };
    let palette = app.theme.palette();
    let kind = if face.kind == FaceKind::Wall { "wall" } else { "face" };
    head(ui, &format!("{kind} {}", face.name()));
    let of = answer.of_face(id);
    let mut rows = vec![
        ("area".to_owned(), estimate::or_why(&of.area, |area| estimate::area(area, format))),
        ("pitch".to_owned(), estimate::pitch(&of.pitch, format)),
        ("area in plan".to_owned(), estimate::area(&of.plan_area, format)),
    ];
    if let Some(layout) = shown.answered.take_off.layouts.iter().find(|layout| layout.face == id) {
        rows.push(("courses".to_owned(), format!("{} at {}", layout.courses.len(), format.finer(layout.gauge))));
    }
    table(ui, "face", &rows);
    ui.add_space(2.0);
    for edge in shown.edges_of(id) {
        let of = answer.of_edge(edge);
        let text = format!("{} {}", roof.edges[edge.index()].kind.word(), estimate::length(&of.length, format));
        let slopes = of.slope.value().is_none_or(|slope| slope >= TOLD_LEVEL);
        let text = if slopes { format!("{text}, {} from level", estimate::angle(&of.slope)) } else { text };
        if ui.selectable_label(app.look.edge == Some(edge), text).clicked() {
            app.look.edge = if app.look.edge == Some(edge) { None } else { Some(edge) };
        }
    }
    ui.label(RichText::new("An edge pressed here is drawn heavy in the view.").small().color(colour(palette.faint)));
}

fn size(ui: &mut egui::Ui, shown: &Arc<Shown>, palette: &Palette, units: LengthUnit) {
    head(ui, "How big");
    let (totals, format) = (shown.answered.answer.totals(), Format::of(units));
    let area = |of: &Estimate| estimate::or_why(of, |of| estimate::area(of, format));
    let mut rows =
        vec![("roof area".to_owned(), area(&totals.area)), ("area in plan".to_owned(), area(&totals.plan_area))];
    if totals.openings > 0 {
        rows.push(("less openings".to_owned(), area(&totals.net_area)));
    }
    if !estimate::is_absent(&totals.ridge_height) {
        let height = estimate::or_why(&totals.ridge_height, |height| estimate::length(height, format));
        rows.push(("highest point".to_owned(), height));
    }
    if !estimate::is_absent(&totals.volume) {
        rows.push(("volume".to_owned(), estimate::or_why(&totals.volume, |volume| estimate::volume(volume, format))));
    }
    table(ui, "size", &rows);
    ui.add_space(4.0);
    let rows: Vec<(String, String)> = (totals.by_kind.iter())
        .map(|of| (format!("{} × {}", of.count, of.kind.word()), estimate::length(&of.length, format)))
        .collect();
    table(ui, "kinds", &rows);
    if rows.is_empty() {
        ui.label(RichText::new("no edges").color(colour(palette.faint)));
    }
}

/// What each edge carries away, while the view shows the water.
fn water(ui: &mut egui::Ui, app: &AppState, shown: &Shown) {
    let figures = app.water.figures(shown);
    if app.look.shade != Shade::Water || figures.is_empty() {
        return;
    }
    head(ui, "Where the water goes");
    let row = |figure: &Figure| (format!("{} {}", figure.edge, figure.does), figure.area.clone());
    table(ui, "water", &figures.iter().map(row).collect::<Vec<_>>());
    ui.label(RichText::new("Areas in plan.").small().color(colour(app.theme.palette().faint)));
}

/// What to mind and what was done for the user, by weight, each folded; the usual caution stands open.
fn cautions(ui: &mut egui::Ui, shown: &Arc<Shown>, palette: &Palette, units: LengthUnit) {
    head(ui, "What to mind");
    let (answered, format) = (&shown.answered, Format::of(units));
    let about = About::of(&answered.job, &answered.answer.roof).in_units_of(units);
    for (severity, words) in [(Severity::Mind, "At work"), (Severity::Note, "What was taken to be so")] {
        let mut told = wording::finding::of_severity(&about, &answered.answer.findings, severity);
        let of_order = answered.take_off.findings.iter().filter(|found| found.severity() == severity);
        told.extend(of_order.map(|found| wording::takeoff::with_faces(found, &answered.answer.roof, format)));
        if severity == Severity::Mind {
            told.extend(answered.warnings.iter().map(tell::words));
        }
        if told.is_empty() {
            continue;
        }
        ui.collapsing(words, |ui| {
            for told in &told {
                signs::found(ui, palette, severity, &sentence(told));
                ui.add_space(3.0);
            }
        });
    }
    ui.label(
        "Secure yourself at any height as local law says; mind power lines, fragile sheets and old material that may hold \
         asbestos. Structure is a licensed practitioner's. Local codes and the maker's instructions come first.",
    );
}

fn sureness(ui: &mut egui::Ui, shown: &Arc<Shown>, palette: &Palette, units: LengthUnit) {
    let survey = &shown.answered.answer.survey;
    head(ui, "How sure");
    if shown.answered.answer.totals().area.within_95().is_some() {
        ui.label(format!("{}.", estimate::explained(survey)));
    } else {
        ui.label(RichText::new("No standard deviation of the area.").color(colour(palette.faint)));
    }
    if let Some(agreement) = wording::survey::agreement(survey) {
        ui.label(sentence(&agreement));
    }
    if let Some(next) = survey.best_next.first() {
        let names = wording::survey::Names::of(&shown.answered.job);
        ui.label(sentence(&wording::survey::best_next(&names, survey, next, Format::of(units))));
    }
}

/// What stops the work and what casts doubt, before anything else.
fn doubts(ui: &mut egui::Ui, shown: &Arc<Shown>, palette: &Palette, units: LengthUnit) {
    let answered = &shown.answered;
    let about = About::of(&answered.job, &answered.answer.roof).in_units_of(units);
    let first = wording::finding::first_of_all(&about, &answered.answer.findings, &answered.take_off.findings);
    if first.is_empty() {
        return;
    }
    head(ui, "Look here first");
    for (severity, told) in first {
        signs::found(ui, palette, severity, &sentence(&told));
        ui.add_space(3.0);
    }
}
