//! Where points that have no mark yet must appear: an ellipse, or the line of sight of another photo.

use super::frame::Frame;
use crate::survey::foreseen::Seen;
use crate::viewer::render::theme::{Palette, SMALL, colour};
use eframe::egui::{Align2, FontId, Painter, Pos2, Shape, Stroke, vec2};
use nalgebra::Point2;

/// An ellipse holds the point 95 times of 100 at so many standard deviations: the root of 5.991, chi-square with two degrees of
/// freedom.
const NINETY_FIVE: f64 = 2.448;

/// No ellipse is drawn smaller than this, points of the screen.
const LEAST: f32 = 7.0;

/// Corners of an ellipse as drawn.
const CORNERS: u16 = 48;

/// Draws all that is expected in a photo, the wanted point's last and strongest.
pub fn show(painter: &Painter, frame: &Frame, expected: &[(&str, &Seen)], wanted: Option<&str>, palette: &Palette) {
    let is_wanted = |name: &str| wanted == Some(name);
    for (name, seen) in expected.iter().filter(|(name, _)| !is_wanted(name)) {
        // Lines of all points would hide the photo.
        if let Seen::Place { .. } = seen {
            one(painter, frame, name, seen, false, palette);
        }
    }
    for (name, seen) in expected.iter().filter(|(name, _)| is_wanted(name)) {
        one(painter, frame, name, seen, true, palette);
    }
}

fn one(painter: &Painter, frame: &Frame, name: &str, seen: &Seen, is_wanted: bool, palette: &Palette) {
    let on_screen = |at: &Point2<f64>| frame.at([at.x, at.y]);
    let (points, label) = match seen {
        Seen::Place { at, axes } => {
            let middle = on_screen(at);
            let axes = axes.map(|axis| {
                #[allow(clippy::cast_possible_truncation)]
                let on_screen = vec2(axis.x as f32, axis.y as f32) * frame.scale * NINETY_FIVE as f32;
                on_screen.normalized() * on_screen.length().max(LEAST)
            });
            let points: Vec<Pos2> = (0..=CORNERS)
                .map(|corner| {
                    let turn = f32::from(corner) / f32::from(CORNERS) * std::f32::consts::TAU;
                    middle + axes[0] * turn.cos() + axes[1] * turn.sin()
                })
                .collect();
            let right = points.iter().copied().max_by(|a, b| a.x.total_cmp(&b.x)).unwrap_or(middle);
            (points, right)
        }
        Seen::Line { trail, .. } => {
            let points: Vec<Pos2> = trail.iter().map(on_screen).collect();
            let inside = |at: &&Pos2| painter.clip_rect().shrink(20.0).contains(**at);
            let label = points.iter().find(inside).or(points.first()).copied().unwrap_or_default();
            (points, label)
        }
    };
    let width = if is_wanted { 2.2 } else { 1.2 };
    let ink = colour(palette.ghost);
    painter.add(Shape::line(points.clone(), Stroke::new(width + 2.4, colour(palette.paper).gamma_multiply(0.75))));
    painter.extend(Shape::dashed_line(&points, Stroke::new(width, ink), 6.0, 3.0));
    let galley = painter.layout_no_wrap(name.to_owned(), FontId::proportional(SMALL), ink);
    let frame = Align2::LEFT_CENTER.anchor_size(label + vec2(5.0, 0.0), galley.size() + vec2(8.0, 2.0));
    painter.rect_filled(frame, 5.0, colour(palette.paper).gamma_multiply(0.88));
    painter.galley(frame.min + vec2(4.0, 1.0), galley, ink);
}

/// The words for where a point must be.
#[must_use]
pub fn words(seen: Option<&Seen>) -> &'static str {
    use crate::wording::marking;
    match seen {
        Some(Seen::Place { .. }) => marking::IN_ELLIPSE,
        Some(Seen::Line { .. }) => marking::ON_LINE,
        None => marking::ANYWHERE,
    }
}
