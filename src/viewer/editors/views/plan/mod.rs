//! The outline from above, flat. Corners and sides are taken hold of, by the pointer or by key; what the file says
//! follows: lengths and turns, or places. The roof over it is drawn as it is solved meanwhile.

mod frame;
mod handles;
pub mod kept;
pub mod moved;
mod parts;
mod plot;
mod text;
pub mod write;

use super::corners;
use crate::base::ids::EdgeId;
use crate::base::units::LengthUnit;
use crate::job::Answer;
use crate::roof::{EdgeKind, Roof};
use crate::viewer::app::state::AppState;
use crate::viewer::editors::placing;
use crate::viewer::editors::placing::spot::face_over;
use crate::viewer::editors::placing::{Pointed, menu};
use crate::viewer::icons::Icon;
use crate::viewer::render::shown::Shown;
use crate::viewer::render::theme;
use crate::viewer::render::theme::{Palette, SMALL, colour};
use crate::viewer::widgets::Tool;
use crate::wording::estimate;
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::{Align2, FontId, Rect, RichText, Sense, Stroke, pos2, vec2};
use frame::Frame;
use nalgebra::Point3;
use std::sync::Arc;

/// The whole view.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, shown: &Arc<Shown>) {
    let palette = app.theme.palette();
    let help = "Drag a corner or a side, with Shift tidily; by key Tab, arrows.";
    let tools = egui::Frame::NONE.inner_margin(egui::Margin { left: 12, right: 12, top: 6, bottom: 4 });
    tools.show(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            menu::show(ui, app, true);
            corners::tool(ui, app, true);
            if Tool::new(Icon::Fit, "Fit", "fill the view (key F)").show(ui).clicked() {
                app.views.plan.fit();
            }
            ui.label(RichText::new(help).color(colour(palette.faint)));
        });
    });
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
    let painter = ui.painter_at(rect);
    let roof = &shown.answered.answer.roof;
    let outline = shown.answered.answer.corners.iter().flatten().flatten().copied();
    let mut frame = match (&app.views.plan.drag, app.views.plan.frame) {
        (Some(drag), _) => drag.frame,
        (None, Some(frame)) => frame,
        (None, None) => Frame::fitted(roof.corners.iter().map(Point3::xy).chain(outline), rect),
    };
    steer(ui, &response, &mut frame, app);
    edges(&painter, roof, &frame, palette);
    let north = shown.answered.job.site.north;
    north_arrow(&painter, rect, north, palette);
    scale_bar(&painter, rect, &frame, app.units(), palette);
    let mut taken = taken(roof, &frame);
    if app.views.placing.is_on() {
        take_up(app, &frame, &mut taken);
        handles::draw(ui, app, shown, rect, &frame, &mut taken);
        place(ui, app, shown, &response, rect, &frame);
    } else if app.views.photos.building.is_some() {
        handles::draw(ui, app, shown, rect, &frame, &mut taken);
        corners::show(ui, app, shown, rect, &|place| Some(frame.at(place.xy())));
    } else {
        parts::take_up(app, shown, rect, &frame, &mut taken);
        handles::show(ui, app, shown, rect, &frame, &mut taken);
        parts::show(ui, app, shown, rect, &frame);
        if response.clicked() {
            app.views.placing.chosen = None;
        }
    }
    edge_names(&painter, rect, &shown.answered.answer, &frame, app, &mut taken);
    let ghost = placing::told(app).map_or_else(String::new, |told| format!("; {told}"));
    let told = format!("plan of the roof, {} faces{ghost}", roof.roof_faces().count());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Image, true, &told));
}

/// The ghost of a part follows the pointer over the plan.
fn place(ui: &egui::Ui, app: &mut AppState, shown: &Shown, response: &egui::Response, rect: Rect, frame: &Frame) {
    placing::shown_in(ui, app, response);
    let is_moved = ui.input(|input| input.pointer.delta() != egui::Vec2::ZERO);
    if let Some(at) = response.hover_pos().filter(|_| is_moved || response.clicked()) {
        let plan = frame.place(at);
        let face = face_over(&shown.answered.answer.roof, &plan);
        placing::follow(app, &Pointed { plan: Some(plan), face, reach: CATCH / frame.scale });
    }
    if response.clicked() {
        placing::put(app);
    }
    placing::show(&ui.painter_at(rect), rect, app, &|place| Some(frame.at(place.xy())));
}

/// What a ghost and its dimensions take up: the plan's words keep off them.
fn take_up(app: &AppState, frame: &Frame, taken: &mut text::Taken) {
    let Some(spot) = placing::spot(app) else { return };
    let corners = spot.corners().map(|corner| frame.at(corner.xy()));
    for (from, to) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        taken.line([*from, *to]);
    }
    taken.frame(Rect::from_points(&corners));
    for of in spot.dimensions() {
        let ends = [of.from, of.to].map(|end| frame.at(end.xy()));
        let middle = placing::label_at(ends, LABEL, &[], Rect::EVERYTHING);
        taken.frame(Rect::from_center_size(middle, LABEL));
    }
}

/// About what a dimension's words take, points.
const LABEL: egui::Vec2 = vec2(48.0, 18.0);

/// How near the middle or an end of a side catches a ghost, points of the screen.
const CATCH: f64 = 8.0;

fn steer(ui: &egui::Ui, response: &egui::Response, frame: &mut Frame, app: &mut AppState) {
    let before = *frame;
    if response.dragged() {
        *frame = frame.moved(response.drag_delta());
    }
    if let Some(at) = response.hover_pos() {
        let (wheel, pinch) = ui.input(|input| (input.smooth_scroll_delta().y, input.zoom_delta()));
        let factor = (f64::from(wheel) * 0.003).exp() * f64::from(pinch);
        if factor != 1.0 {
            *frame = frame.zoomed(at, factor);
        }
    }
    if *frame != before {
        app.views.plan.frame = Some(*frame);
    }
}

/// The roof's edges as on paper.
fn edges(painter: &egui::Painter, roof: &Roof, frame: &Frame, palette: &Palette) {
    let ink = colour(palette.ink).gamma_multiply(0.62);
    for edge in roof.edges.iter().filter(|edge| !edge.kind.is_wall_only()) {
        let ends = [edge.from, edge.to].map(|corner| frame.at(roof.corners[corner.index()].xy()));
        let pen = theme::pen(edge.kind);
        let stroke = Stroke::new(pen.width * 0.8, ink);
        if pen.gap <= 0.0 {
            painter.line_segment(ends, stroke);
        } else if pen.dot > 0.0 {
            let (dashes, gaps) = ([pen.dash, pen.dot], [pen.gap, pen.gap]);
            painter.extend(egui::Shape::dashed_line_with_offset(&ends, stroke, &dashes, &gaps, 0.0));
        } else {
            painter.extend(egui::Shape::dashed_line(&ends, stroke, pen.dash, pen.gap));
        }
    }
}

/// Kinds and lengths of what lies within the outline, where there is room for them.
fn edge_names(
    painter: &egui::Painter,
    rect: Rect,
    answer: &Answer,
    frame: &Frame,
    app: &AppState,
    taken: &mut text::Taken,
) {
    let palette = app.theme.palette();
    let ink = colour(palette.faint);
    let named = |edge: &crate::roof::Edge| {
        matches!(edge.kind, EdgeKind::Ridge | EdgeKind::Hip | EdgeKind::Valley | EdgeKind::PitchBreak | EdgeKind::Top)
    };
    let roof = &answer.roof;
    let mut edges: Vec<_> = roof.edges.iter().enumerate().filter(|(_, edge)| named(edge)).collect();
    edges.sort_by(|(_, a), (_, b)| a.kind.cmp(&b.kind).then(roof.length(b).total_cmp(&roof.length(a))));
    for (index, edge) in edges {
        let ends = [edge.from, edge.to].map(|corner| frame.at(roof.corners[corner.index()].xy()));
        let way = ends[1] - ends[0];
        let length = estimate::length(&answer.length(EdgeId::new(index)).alone(), Format::of(app.units()));
        let words = format!("{} {length}", edge.kind.word());
        let galley = painter.layout_no_wrap(words, FontId::proportional(SMALL), ink);
        if way.length() < galley.size().x * 0.7 {
            continue;
        }
        let size = text::padded(galley.size());
        let across = way.normalized().rot90();
        if let Some(place) = taken.place_clear(text::beside(ends, across, size), size, rect) {
            painter.rect_filled(place, 3.0, colour(palette.paper).gamma_multiply(0.8));
            painter.galley(place.min + (place.size() - galley.size()) / 2.0, galley, ink);
        }
    }
}

/// What the roof's own lines take up.
fn taken(roof: &Roof, frame: &Frame) -> text::Taken {
    let mut taken = text::Taken::default();
    for edge in roof.edges.iter().filter(|edge| !edge.kind.is_wall_only()) {
        taken.line([edge.from, edge.to].map(|corner| frame.at(roof.corners[corner.index()].xy())));
    }
    taken
}

/// Which way north lies; `north` is the bearing of the plan's upward axis.
#[allow(clippy::cast_possible_truncation)]
fn north_arrow(painter: &egui::Painter, rect: Rect, north: f64, palette: &Palette) {
    let middle = pos2(rect.right() - 44.0, rect.top() + 44.0);
    // A bearing runs clockwise from north, so north lies anticlockwise of the axis by as much.
    let way = vec2(-(north.sin() as f32), -(north.cos() as f32));
    let stroke = Stroke::new(1.4, colour(palette.faint));
    painter.arrow(middle - way * 18.0, way * 36.0, stroke);
    let font = FontId::proportional(SMALL);
    painter.text(middle + way * 30.0, Align2::CENTER_CENTER, "N", font, colour(palette.faint));
}

/// A bar of a round length.
#[allow(clippy::cast_possible_truncation)]
fn scale_bar(painter: &egui::Painter, rect: Rect, frame: &Frame, units: LengthUnit, palette: &Palette) {
    let unit = if units.is_imperial() { 0.3048 } else { 1.0 };
    let wanted = 120.0 / frame.scale / unit;
    let power = 10_f64.powf(wanted.log10().floor());
    let round = [1.0, 2.0, 5.0, 10.0].map(|step| step * power);
    let length = round.into_iter().rfind(|length| *length <= wanted).unwrap_or(power) * unit;
    let from = pos2(rect.left() + 20.0, rect.bottom() - 20.0);
    let to = from + vec2((length * frame.scale) as f32, 0.0);
    let stroke = Stroke::new(1.4, colour(palette.faint));
    painter.line_segment([from, to], stroke);
    for end in [from, to] {
        painter.line_segment([end - vec2(0.0, 4.0), end + vec2(0.0, 4.0)], stroke);
    }
    let text = format!("{} {}", length / unit, if units.is_imperial() { "ft" } else { "m" });
    painter.text(to + vec2(8.0, 0.0), Align2::LEFT_CENTER, text, FontId::proportional(SMALL), colour(palette.faint));
}
