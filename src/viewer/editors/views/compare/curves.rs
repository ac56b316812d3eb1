//! Curves over the pitch, one panel a quantity.

use crate::base::tolerance::ROUNDING;
use crate::base::units::LengthUnit;
use crate::drawing::typeset::ticks::{decimals, ticks};
use crate::job::order::Row;
use crate::viewer::render::theme::{Palette, SMALL, colour};
use crate::wording::compare::{Curve, NO_ANSWER, curves};
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::{Align2, FontId, Pos2, Rect, Sense, Stroke, pos2, vec2};

const COLUMNS: usize = 3;

/// All panels in the room there is. Dashed where the covering does not suit; the row that is `lit` is marked in each.
pub fn show(ui: &mut egui::Ui, rows: &[Row], lit: Option<usize>, palette: &Palette, units: LengthUnit) {
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::hover());
    let panels = curves(rows, Format::of(units));
    let lines = panels.len().div_ceil(COLUMNS);
    #[allow(clippy::cast_precision_loss)]
    let size = vec2(rect.width() / COLUMNS as f32, rect.height() / lines as f32);
    let painter = ui.painter_at(rect);
    for (index, panel) in panels.iter().enumerate() {
        #[allow(clippy::cast_precision_loss)]
        let place = vec2((index % COLUMNS) as f32 * size.x, (index / COLUMNS) as f32 * size.y);
        draw(&painter, Rect::from_min_size(rect.min + place, size), panel, rows, lit, palette);
    }
    let titles: Vec<&str> = panels.iter().map(|panel| panel.title.as_str()).collect();
    let told = format!("curves over the pitch: {}", titles.join("; "));
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Image, true, &told));
}

#[allow(clippy::cast_possible_truncation)]
fn draw(painter: &egui::Painter, rect: Rect, panel: &Curve, rows: &[Row], lit: Option<usize>, palette: &Palette) {
    let (ink, faint, rule) = (colour(palette.ink), colour(palette.faint), colour(palette.rule));
    let small = FontId::proportional(SMALL);
    painter.text(rect.min + vec2(8.0, 4.0), Align2::LEFT_TOP, &panel.title, FontId::proportional(SMALL), ink);
    let frame = Rect::from_min_max(rect.min + vec2(42.0, 26.0), rect.max - vec2(14.0, 22.0));
    let known = || panel.values.iter().flatten().copied();
    let (Some(least), Some(most)) = (known().reduce(f64::min), known().reduce(f64::max)) else {
        painter.text(frame.center(), Align2::CENTER_CENTER, NO_ANSWER, small, faint);
        return;
    };
    let pitches: Vec<f64> = rows.iter().map(|row| row.pitch.degrees()).collect();
    let (first, last) = (pitches[0], pitches[pitches.len() - 1]);
    let ups = ticks(least, most);
    let (bottom, top) = (ups[0].min(least), ups[ups.len() - 1].max(most));
    let share = |value: f64, from: f64, to: f64| if to > from { (value - from) / (to - from) } else { 0.5 };
    let x = |pitch: f64| frame.left() + frame.width() * share(pitch, first, last) as f32;
    let y = |value: f64| frame.bottom() - frame.height() * share(value, bottom, top) as f32;
    for &tick in &ups {
        painter.line_segment([pos2(frame.left(), y(tick)), pos2(frame.right(), y(tick))], Stroke::new(0.6, rule));
        let text = decimals(tick, ups[1] - ups[0]);
        painter.text(pos2(frame.left() - 4.0, y(tick)), Align2::RIGHT_CENTER, text, small.clone(), faint);
    }
    for tick in ticks(first, last).into_iter().filter(|tick| *tick >= first - ROUNDING && *tick <= last + ROUNDING) {
        let text = format!("{tick:.0}°");
        painter.text(pos2(x(tick), frame.bottom() + 4.0), Align2::CENTER_TOP, text, small.clone(), faint);
    }
    let places: Vec<Option<Pos2>> =
        pitches.iter().zip(&panel.values).map(|(pitch, value)| value.map(|value| pos2(x(*pitch), y(value)))).collect();
    let stroke = Stroke::new(1.8, colour(palette.accent));
    for (index, pair) in places.windows(2).enumerate() {
        let [Some(from), Some(to)] = pair else { continue };
        let suits = rows[index].suitable != Some(false) && rows[index + 1].suitable != Some(false);
        if suits {
            painter.line_segment([*from, *to], stroke);
        } else {
            painter.extend(egui::Shape::dashed_line(&[*from, *to], stroke, 5.0, 4.0));
        }
    }
    for place in places.iter().flatten() {
        painter.circle_filled(*place, 2.2, colour(palette.accent));
    }
    if let Some(place) = lit.and_then(|lit| places.get(lit).copied().flatten()) {
        painter.line_segment([pos2(place.x, frame.top()), pos2(place.x, frame.bottom())], Stroke::new(1.0, ink));
        painter.circle(place, 4.5, colour(palette.paper), Stroke::new(1.8, ink));
    }
}
