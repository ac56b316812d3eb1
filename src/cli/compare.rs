//! The comparison of pitches for a person: a table, and curves as a drawing.

use super::table::{Align, Table};
use crate::drawing::typeset::lettering::{MEDIUM, SMALL};
use crate::drawing::typeset::ticks::{decimals, ticks};
use crate::drawing::{Anchor, Drawing, Item, Pen, Text};
use crate::job::Job;
use crate::job::order::Row;
use crate::wording::compare as words;
use crate::wording::compare::{Column, Curve};
use crate::wording::units::Format;
use nalgebra::Point2;

/// The table, the reasons under it by letters, and what its columns mean.
#[must_use]
pub fn text(job: &Job, rows: &[Row], format: Format) -> String {
    let reasons = words::reasons(rows, job, format);
    let columns = words::columns(rows);
    let align = |column: &Column| if column.is_words() { Align::Left } else { Align::Right };
    let heads: Vec<(String, Align)> = columns.iter().map(|column| (column.head(format), align(column))).collect();
    let heads: Vec<(&str, Align)> = heads.iter().map(|(head, align)| (head.as_str(), *align)).collect();
    let mut table = Table::new(&heads);
    for row in rows {
        table.row(columns.iter().map(|column| match column {
            Column::Suits => format!("{}{}", column.cell(row, format), words::marks(row, job, &reasons, format)),
            _ => column.cell(row, format),
        }));
    }
    let mut text = format!("{}\n\n{}\n", words::title(&job.title), table.render());
    for told in words::lettered(&reasons).into_iter().chain(words::explained(job, rows, format)) {
        text.push_str(&super::paragraphs::paragraph(&told));
    }
    text
}

/// Width of a page and of a panel's frame, millimetres.
const PAGE: [f64; 2] = [297.0, 210.0];
const COLUMNS: usize = 3;

/// Curves over the pitch, one panel a quantity; dashed where the card does not suit. On A4, landscape.
#[must_use]
pub fn curves(title: &str, rows: &[Row], format: Format) -> Drawing {
    let panels = words::curves(rows, format);
    let mut drawing = Drawing::new("compare", format!("{title}: pitches compared"), PAGE);
    let margin = 15.0;
    drawing.text(Text::new(Point2::new(margin, PAGE[1] - margin - 4.0), words::title(title)).height(4.0));
    drawing.text(Text::new(Point2::new(margin, margin), words::CURVES_EXPLAINED));
    let lines = panels.len().div_ceil(COLUMNS);
    let (top, bottom) = (PAGE[1] - margin - 14.0, margin + 10.0);
    let width = (PAGE[0] - 2.0 * margin) / COLUMNS as f64;
    let height = (top - bottom) / lines as f64;
    let pitches: Vec<f64> = rows.iter().map(|row| row.pitch.degrees()).collect();
    let present: Vec<f64> = words::present(rows).iter().map(|pitch| pitch.to_degrees()).collect();
    let suits: Vec<bool> = rows.iter().map(|row| row.suitable != Some(false)).collect();
    for (index, panel) in panels.iter().enumerate() {
        let (column, line) = ((index % COLUMNS) as f64, (index / COLUMNS) as f64);
        let low = Point2::new(margin + column * width + 14.0, top - (line + 1.0) * height + 12.0);
        let high = Point2::new(margin + (column + 1.0) * width - 6.0, top - line * height - 10.0);
        draw_panel(&mut drawing, panel, (&pitches, &present), &suits, low, high);
    }
    drawing
}

fn draw_panel(
    drawing: &mut Drawing,
    panel: &Curve,
    (pitches, present): (&[f64], &[f64]),
    suits: &[bool],
    low: Point2<f64>,
    high: Point2<f64>,
) {
    drawing.text(Text::new(Point2::new(low.x, high.y + 3.0), panel.title.clone()).height(MEDIUM));
    let known = panel.values.iter().flatten().copied();
    let (least, most) =
        known.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), value| (least.min(value), most.max(value)));
    let (Some(&first), Some(&last)) = (pitches.first(), pitches.last()) else { return };
    if least > most {
        drawing.text(Text::new(Point2::new(low.x, f64::midpoint(low.y, high.y)), words::NO_ANSWER));
        return;
    }
    let ups = ticks(least, most);
    let (bottom, top) = (ups[0].min(least), ups[ups.len() - 1].max(most));
    let span = |from: f64, to: f64| if to > from { to - from } else { 1.0 };
    let x = |pitch: f64| low.x + (high.x - low.x) * (pitch - first) / span(first, last);
    let y = |value: f64| low.y + (high.y - low.y) * (value - bottom) / span(bottom, top);
    for &tick in &ups {
        drawing.line(Pen::Rule, Point2::new(low.x, y(tick)), Point2::new(high.x, y(tick)));
        let words = decimals(tick, ups[1] - ups[0]);
        drawing.text(Text::new(Point2::new(low.x - 1.5, y(tick) - SMALL / 2.0), words).anchored(Anchor::End));
    }
    // A pitch kept as a tangent comes back in degrees with its last digit rounded.
    let epsilon = span(first, last) * f64::EPSILON.sqrt();
    for &tick in ticks(first, last).iter().filter(|tick| **tick >= first - epsilon && **tick <= last + epsilon) {
        drawing.line(Pen::Rule, Point2::new(x(tick), low.y), Point2::new(x(tick), low.y - 1.2));
        let words = format!("{}°", decimals(tick, 1.0));
        drawing.text(Text::new(Point2::new(x(tick), low.y - 2.8 - SMALL), words).anchored(Anchor::Middle));
    }
    drawing.line(Pen::Dimension, low, Point2::new(high.x, low.y));
    for &now in present.iter().filter(|now| **now >= first - epsilon && **now <= last + epsilon) {
        drawing.line(Pen::Dimension, Point2::new(x(now), low.y), Point2::new(x(now), high.y));
        drawing.text(Text::new(Point2::new(x(now) + 0.8, high.y - SMALL), words::NOW));
    }
    // Stretches of one look, broken where there is no answer.
    let mut stretch: Vec<Point2<f64>> = Vec::new();
    let mut look = Pen::Timber;
    let mut lay = |stretch: &mut Vec<Point2<f64>>, pen: Pen| {
        let points = std::mem::take(stretch);
        if points.len() > 1 {
            drawing.items.push(Item::Line { pen, points, closed: false });
        }
    };
    for ((pitch, value), &suits) in pitches.iter().zip(&panel.values).zip(suits) {
        let Some(value) = value else {
            lay(&mut stretch, look);
            continue;
        };
        let place = Point2::new(x(*pitch), y(*value));
        stretch.push(place);
        let now = if suits { Pen::Timber } else { Pen::Fold };
        if now != look {
            lay(&mut stretch, look);
            stretch.push(place);
            look = now;
        }
    }
    lay(&mut stretch, look);
}
