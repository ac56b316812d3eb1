//! The ghost of a part, its dimensions, and in words why it can't stand.

use super::kept::Active;
use super::spot::Spot;
use super::trial::Tried;
use crate::base::diagnostic::Severity;
use crate::viewer::app::state::AppState;
use crate::viewer::render::camera::Camera;
use crate::viewer::render::theme::{Palette, Rgb, SMALL, colour};
use crate::viewer::signs;
use crate::wording::placing as words;
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::{FontId, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};
use nalgebra::{Point3, Vector3};

/// Where places of the site appear on the screen.
pub type OnScreen<'a> = dyn Fn(&Point3<f64>) -> Option<Pos2> + 'a;

/// Places of the site as a camera shows them in a rectangle; `origin` is the scene's.
pub fn on_screen(camera: Camera, rect: Rect, origin: Vector3<f64>) -> impl Fn(&Point3<f64>) -> Option<Pos2> {
    move |place| {
        let at = camera.appears(&(place - origin), f64::from(rect.aspect_ratio()))?;
        #[allow(clippy::cast_possible_truncation)]
        Some(rect.min + vec2(at.x as f32, at.y as f32) * rect.size())
    }
}

/// A line's weight and the paper beside it, points.
const LINE: f32 = 2.2;
const HALO: f32 = 5.0;

/// Draws the ghost over a view, what it measures, and what is to be known of it at the foot.
pub fn show(painter: &Painter, rect: Rect, app: &AppState, at: &OnScreen) {
    let Some(active) = &app.views.placing.active else { return };
    let palette = app.theme.palette();
    let (words, is_wrong) = match (&active.spot, &active.tried) {
        (Err(why), _) | (_, Some(Tried::Not(why))) => (why.clone(), true),
        (Ok(_), None) => (words::trying(active.part.word()), false),
        (Ok(_), Some(Tried::Fits(_))) => (words::help(active.part.word()), false),
    };
    if let Ok(spot) = &active.spot {
        let ink = if is_wrong { palette.fault } else { palette.ghost };
        let spot = body(painter, active, spot, ink, palette, at);
        dimensions(painter, rect, spot, (ink, Some(Format::of(app.units()))), palette, at);
    }
    foot(painter, rect, &words, is_wrong, palette);
}

/// The ghost itself; where it stands, which may be smaller than was wanted.
fn body<'a>(
    painter: &Painter,
    active: &'a Active,
    spot: &'a Spot,
    ink: Rgb,
    palette: &Palette,
    at: &OnScreen,
) -> &'a Spot {
    let (spot, lines) = match &active.tried {
        Some(Tried::Fits(fits)) => (&fits.spot, fits.lines.as_slice()),
        _ => (spot, [].as_slice()),
    };
    let corners: Vec<Pos2> = spot.corners().iter().filter_map(at).collect();
    if corners.len() == 4 {
        painter.add(Shape::convex_polygon(corners.clone(), colour(ink).gamma_multiply(0.22), Stroke::NONE));
        let closed: Vec<Pos2> = corners.iter().chain(corners.first()).copied().collect();
        painter.add(Shape::line(closed.clone(), Stroke::new(HALO, colour(palette.paper).gamma_multiply(0.7))));
        let stroke = Stroke::new(LINE, colour(ink));
        // Told from what stands by its dashes first, by its colour second.
        painter.extend(Shape::dashed_line(&closed, stroke, 7.0, 4.0));
    }
    for ends in lines {
        if let [Some(from), Some(to)] = [at(&ends[0]), at(&ends[1])] {
            painter.line_segment([from, to], Stroke::new(HALO - 1.0, colour(palette.paper).gamma_multiply(0.6)));
            painter.extend(Shape::dashed_line(&[from, to], Stroke::new(LINE - 0.6, colour(ink)), 7.0, 4.0));
        }
    }
    spot
}

/// Dimension lines with ticks at their ends; nothing where one is too short to be read. Their lengths stand on paper, clear of
/// each other, where `format` is given.
pub fn dimensions(
    painter: &Painter,
    rect: Rect,
    spot: &Spot,
    (ink, format): (Rgb, Option<Format>),
    palette: &Palette,
    at: &OnScreen,
) {
    let mut labels = Vec::new();
    for of in spot.dimensions() {
        let [Some(from), Some(to)] = [at(&of.from), at(&of.to)] else { continue };
        let way = to - from;
        if way.length() < SHORT {
            continue;
        }
        let across = way.normalized().rot90() * 5.0;
        let stroke = Stroke::new(1.4, colour(ink));
        painter.line_segment([from, to], Stroke::new(3.4, colour(palette.paper).gamma_multiply(0.7)));
        painter.line_segment([from, to], stroke);
        for end in [from, to] {
            painter.line_segment([end - across, end + across], stroke);
        }
        labels.extend(format.map(|format| ([from, to], format.length(of.metres))));
    }
    let mut taken: Vec<Rect> = Vec::new();
    for (ends, words) in labels {
        let galley = painter.layout_no_wrap(words, FontId::proportional(SMALL), colour(ink));
        let size = galley.size() + vec2(8.0, 2.0);
        let frame = Rect::from_center_size(label_at(ends, size, &taken, rect), size);
        if rect.contains_rect(frame) {
            painter.rect_filled(frame, 4.0, colour(palette.paper).gamma_multiply(0.9));
            painter.galley(frame.min + vec2(4.0, 1.0), galley, colour(ink));
            taken.push(frame);
        }
    }
}

/// A line shorter than this is not drawn, points.
const SHORT: f32 = 6.0;

/// Where what a dimension tells stands: on its line where that is long enough, else beside it, clear of what is taken.
#[must_use]
pub fn label_at([from, to]: [Pos2; 2], size: Vec2, taken: &[Rect], within: Rect) -> Pos2 {
    let way = to - from;
    let middle = from + way / 2.0;
    let along = if way == Vec2::ZERO { vec2(1.0, 0.0) } else { way.normalized() };
    let across = along.rot90();
    let beside = across * (across.x.abs() * size.x / 2.0 + across.y.abs() * size.y / 2.0 + 9.0);
    let is_long = way.length() > along.x.abs() * size.x + along.y.abs() * size.y + 14.0;
    let first = if is_long { 0.0 } else { 1.0 };
    let steps = [first, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0];
    let is_free = |at: &Pos2| {
        let frame = Rect::from_center_size(*at, size);
        within.contains_rect(frame) && !taken.iter().any(|other| other.intersects(frame))
    };
    steps.into_iter().map(|step| middle + beside * step).find(is_free).unwrap_or(middle)
}

/// What is to be known, at the foot of the view; what is wrong with its sign before it.
fn foot(painter: &Painter, rect: Rect, words: &str, is_wrong: bool, palette: &Palette) {
    let (icon, ink) = signs::sign_of(Severity::Error, palette);
    let ink = if is_wrong { ink } else { colour(palette.ink) };
    let sign = if is_wrong { 22.0 } else { 0.0 };
    let wide = (rect.width() - 60.0 - sign).max(120.0);
    let galley = painter.layout(words.to_owned(), FontId::proportional(SMALL), ink, wide);
    let size = galley.size() + vec2(sign + 16.0, 8.0);
    let frame = Rect::from_min_size(pos2(rect.center().x - size.x / 2.0, rect.bottom() - 34.0 - size.y), size);
    painter.rect(
        frame,
        5.0,
        colour(palette.paper).gamma_multiply(0.95),
        Stroke::new(1.0, ink),
        egui::StrokeKind::Inside,
    );
    if is_wrong {
        let square = Rect::from_center_size(pos2(frame.left() + 15.0, frame.center().y), vec2(15.0, 15.0));
        icon.draw(painter, square, ink);
    }
    painter.galley(frame.min + vec2(8.0 + sign, 4.0), galley, ink);
}
