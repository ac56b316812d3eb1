//! What every page carries: frame, title block, scale bar, north, the key of lines.

use super::format;
use super::lettering::{self, LARGE, MEDIUM, SMALL};
use super::model::{Anchor, Drawing, Meaning, Text, View};
use super::paper::{self, PaperSize};
use super::pen::{Pen, Tone};
use crate::drawing::Context;
use nalgebra::{Point2, Vector2};

/// Margin between the edge of the paper and the frame, millimetres.
pub const MARGIN: f64 = 8.0;
const STRIP: f64 = 18.0;
const KEY_ROW: f64 = 5.5;

/// What stands in the title block and the key below a drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Furniture {
    /// Lines to explain, with their words, in order.
    pub key: Vec<(Pen, String)>,
    /// Remarks, a line each (wrapped to the page).
    pub remarks: Vec<String>,
    /// Whether north is told (plans).
    pub north: bool,
}

/// The place of the drawing itself on a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Lower left corner, millimetres.
    pub low: Point2<f64>,
    /// Upper right corner.
    pub high: Point2<f64>,
}

impl Area {
    /// Width and height, millimetres.
    #[must_use]
    pub fn room(&self) -> [f64; 2] {
        [self.high.x - self.low.x, self.high.y - self.low.y]
    }

    /// Its middle.
    #[must_use]
    pub fn middle(&self) -> Point2<f64> {
        nalgebra::center(&self.low, &self.high)
    }
}

fn is_narrow(sheet: PaperSize) -> bool {
    sheet.width < 250.0
}

fn strip_height(sheet: PaperSize) -> f64 {
    if is_narrow(sheet) { STRIP + 12.0 } else { STRIP }
}

/// One entry of the key, laid out: the row counted from the bottom, where it starts, what it is.
struct Entry {
    row: usize,
    x: f64,
    pen: Option<Pen>,
    words: String,
}

fn key_entries(sheet: PaperSize, furniture: &Furniture) -> (Vec<Entry>, usize) {
    key_rows(sheet.width - 2.0 * MARGIN - 6.0, furniture)
}

fn key_rows(width: f64, furniture: &Furniture) -> (Vec<Entry>, usize) {
    let room = width;
    let mut rows: Vec<Vec<(f64, Option<Pen>, String)>> = Vec::new();
    let mut x = f64::INFINITY;
    for (pen, words) in &furniture.key {
        let width = 16.0 + lettering::width(words, SMALL, false) + 6.0;
        if x + width > room {
            rows.push(Vec::new());
            x = 0.0;
        }
        if let Some(row) = rows.last_mut() {
            row.push((x, Some(*pen), words.clone()));
        }
        x += width;
    }
    for remark in &furniture.remarks {
        for line in lettering::wrap(remark, SMALL, false, room) {
            rows.push(vec![(0.0, None, line)]);
        }
    }
    let count = rows.len();
    let entries = rows
        .into_iter()
        .enumerate()
        .flat_map(|(index, row)| {
            row.into_iter().map(move |(x, pen, words)| Entry { row: count - 1 - index, x, pen, words })
        })
        .collect();
    (entries, count)
}

/// The room a page leaves for the drawing itself.
#[must_use]
pub fn area(sheet: PaperSize, furniture: &Furniture) -> Area {
    let (_, rows) = key_entries(sheet, furniture);
    let key = if rows == 0 { 0.0 } else { rows as f64 * KEY_ROW + 2.0 };
    Area {
        low: Point2::new(MARGIN + 2.0, MARGIN + strip_height(sheet) + key + 1.0),
        high: Point2::new(sheet.width - MARGIN - 2.0, sheet.height - MARGIN - 2.0),
    }
}

/// A page with its frame, key and title block; the drawing itself is still to come.
#[must_use]
pub fn page(
    context: &Context,
    name: &str,
    title: &str,
    sheet: PaperSize,
    furniture: &Furniture,
    view: Option<View>,
) -> Drawing {
    let mut drawing = Drawing::new(name, title, [sheet.width, sheet.height]);
    drawing.view = view;
    let (left, right) = (MARGIN, sheet.width - MARGIN);
    let (bottom, top) = (MARGIN, sheet.height - MARGIN);
    let rectangle = |l: f64, b: f64, r: f64, t: f64| {
        vec![Point2::new(l, b), Point2::new(r, b), Point2::new(r, t), Point2::new(l, t)]
    };
    drawing.ring(Pen::Frame, rectangle(left, bottom, right, top));
    let strip = bottom + strip_height(sheet);
    drawing.line(Pen::Rule, Point2::new(left, strip), Point2::new(right, strip));

    let (entries, _) = key_entries(sheet, furniture);
    draw_key(&mut drawing, entries, Point2::new(left + 3.0, strip + 2.2));

    // Cells of the strip, from the right.
    let cells_top = bottom + STRIP;
    let page_cell = right - 38.0;
    let north_cell = if furniture.north { page_cell - 30.0 } else { page_cell };
    let scale_cell = north_cell - 84.0;
    let title_right = if is_narrow(sheet) { right } else { scale_cell };
    let rule = |drawing: &mut Drawing, x: f64| {
        drawing.line(Pen::Rule, Point2::new(x, bottom), Point2::new(x, cells_top));
    };
    let title_bottom = if is_narrow(sheet) {
        drawing.line(Pen::Rule, Point2::new(left, cells_top), Point2::new(right, cells_top));
        cells_top - 1.0
    } else {
        rule(&mut drawing, scale_cell);
        bottom + 1.5
    };
    rule(&mut drawing, page_cell);
    if furniture.north {
        rule(&mut drawing, north_cell);
    }
    let title_room = title_right - left - 6.0;
    let job = shorten(&context.title, LARGE, true, title_room);
    let upper = if is_narrow(sheet) { 6.9 } else { 9.0 };
    drawing.text(Text::new(Point2::new(left + 3.0, title_bottom + upper), job).height(LARGE).bold());
    let what = shorten(title, MEDIUM, false, title_room);
    drawing.text(Text::new(Point2::new(left + 3.0, title_bottom + 2.2), what).height(MEDIUM));

    if let Some(date) = &context.date {
        drawing.text(Text::new(Point2::new(page_cell + 3.0, bottom + 11.0), date.clone()));
    }
    drawing.page_slot = Some(Text::new(Point2::new(page_cell + 3.0, bottom + 4.0), ""));
    if furniture.north {
        north(&mut drawing, context, Point2::new(north_cell + 15.0, bottom + STRIP / 2.0));
    }
    let scale_left = if is_narrow(sheet) { left.max(scale_cell) } else { scale_cell };
    match view {
        Some(view) => {
            let said =
                format!("scale {} on {}", paper::scale_words(view.scale().round(), context.words.imperial), sheet.name);
            drawing.text(Text::new(Point2::new(scale_left + 4.0, bottom + 12.2), said));
            scale_bar(&mut drawing, context, view, Point2::new(scale_left + 4.0, bottom + 2.2), 66.0);
        }
        None => drawing.text(Text::new(Point2::new(scale_left + 4.0, bottom + 7.5), "not to scale")),
    }
    drawing
}

/// North stands at the right of an inset's foot.
fn foot_room(width: f64, furniture: &Furniture) -> f64 {
    if furniture.north { width - 34.0 } else { width }
}

/// Height of what stands beneath an inset figure: key, remarks, scale, numbered labels; millimetres.
#[must_use]
pub(crate) fn foot_height(width: f64, furniture: &Furniture, unplaced: &[String]) -> f64 {
    let (_, rows) = key_rows(foot_room(width, furniture), furniture);
    let numbered = super::figure::numbered_lines(unplaced, foot_room(width, furniture)).len();
    (rows + numbered) as f64 * KEY_ROW + 12.0
}

/// Draws what stands beneath an inset figure.
pub fn foot(drawing: &mut Drawing, context: &Context, furniture: &Furniture, view: View, unplaced: &[String]) {
    let width = drawing.size[0];
    let (entries, rows) = key_rows(foot_room(width, furniture), furniture);
    let lines = super::figure::numbered_lines(unplaced, foot_room(width, furniture));
    draw_key(drawing, entries, Point2::new(0.5, 11.0));
    numbered(drawing, &lines, 11.0 + rows as f64 * KEY_ROW);
    let said = format!("scale {}", paper::scale_words(view.scale().round(), context.words.imperial));
    let text = Text::new(Point2::new(0.5, 4.0), said);
    let beside = 0.5 + text.width() + 8.0;
    drawing.text(text);
    // The last number stands beside the bar.
    let longest = (foot_room(width, furniture) - beside - 12.0).min(66.0);
    scale_bar(drawing, context, view, Point2::new(beside, 1.8), longest);
    if furniture.north {
        north(drawing, context, Point2::new(width - 16.0, 8.0));
    }
}

/// Height of the key and remarks alone beneath a figure without a scale, millimetres.
#[must_use]
pub(crate) fn key_height(width: f64, furniture: &Furniture) -> f64 {
    let (_, rows) = key_rows(width, furniture);
    rows as f64 * KEY_ROW + 1.5
}

/// Draws the key and remarks at the foot of a figure without a scale.
pub fn key(drawing: &mut Drawing, furniture: &Furniture) {
    let (entries, _) = key_rows(drawing.size[0], furniture);
    draw_key(drawing, entries, Point2::new(0.5, 1.5));
}

/// Height of lines that say what numbers stand for, millimetres.
#[must_use]
pub(crate) fn numbered_height(lines: &[String]) -> f64 {
    lines.len() as f64 * KEY_ROW
}

/// Letters them, the last on a baseline at `bottom`.
pub(crate) fn numbered(drawing: &mut Drawing, lines: &[String], bottom: f64) {
    for (index, line) in lines.iter().rev().enumerate() {
        drawing.text(Text::new(Point2::new(0.5, bottom + index as f64 * KEY_ROW), line.clone()));
    }
}

/// The scale in words with its bar, for figures that share it.
#[must_use]
pub(crate) fn scale_strip(context: &Context, scale: f64) -> Drawing {
    let view = View { origin: Point2::origin(), factor: 1000.0 / scale };
    let text = Text::new(Point2::new(0.5, 3.0), format!("scale {}", paper::scale_words(scale, context.words.imperial)));
    let beside = text.width() + 8.5;
    let mut drawing = Drawing::new("scale", "scale", [beside + 80.0, 8.5]);
    drawing.text(text);
    scale_bar(&mut drawing, context, view, Point2::new(beside, 0.8), 66.0);
    drawing
}

fn draw_key(drawing: &mut Drawing, entries: Vec<Entry>, corner: Point2<f64>) {
    let start = drawing.items.len();
    for entry in entries {
        let y = corner.y + entry.row as f64 * KEY_ROW;
        let x = corner.x + entry.x;
        let at = match entry.pen {
            Some(pen) => {
                let middle = y + 0.5 * SMALL;
                drawing.line(pen, Point2::new(x, middle), Point2::new(x + 14.0, middle));
                Point2::new(x + 16.0, y)
            }
            None => Point2::new(x, y),
        };
        drawing.text(Text::new(at, entry.words));
    }
    drawing.mean(start, Meaning::Legend);
}

/// Words cut short with dots where they outgrow their room.
#[must_use]
pub fn shorten(words: &str, height: f64, bold: bool, room: f64) -> String {
    if lettering::width(words, height, bold) <= room {
        return words.to_owned();
    }
    let mut kept = words.to_owned();
    while kept.pop().is_some() {
        let dotted = format!("{}…", kept.trim_end());
        if lettering::width(&dotted, height, bold) <= room {
            return dotted;
        }
    }
    String::new()
}

/// North, and where the wind comes from when it is known.
fn north(drawing: &mut Drawing, context: &Context, centre: Point2<f64>) {
    // The +y axis of the drawing bears `north` clockwise, so north lies that far anticlockwise from it.
    let direction = |bearing: f64| {
        let angle = context.north - bearing;
        Vector2::new(-angle.sin(), angle.cos())
    };
    let centre = if context.wind_from.is_some() { centre - Vector2::new(6.5, 0.0) } else { centre };
    let up = direction(0.0);
    let across = Vector2::new(-up.y, up.x);
    let (tip, tail) = (centre + up * 4.2, centre - up * 5.0);
    drawing.line(Pen::Arrow, tail, tip);
    drawing.area(Tone::Ink, vec![vec![tip, centre + across * 1.3 - up * 0.2, centre - up * 0.2]]);
    drawing.ring(
        Pen::Arrow,
        vec![tip, centre + across * 1.3 - up * 0.2, centre - up * 0.2, centre - across * 1.3 - up * 0.2],
    );
    drawing.text(Text::new(Point2::origin(), "N").bold().centred(centre + up * 6.4));
    if let Some(wind) = context.wind_from {
        let from = direction(wind);
        let middle = centre + Vector2::new(13.5, 2.2);
        drawing.arrow(Pen::Arrow, middle + from * 4.2, middle - from * 4.2, 2.4);
        drawing.text(Text::new(Point2::origin(), "wind").centred(Point2::new(middle.x, centre.y - 5.6)));
        debug_assert!(!format::compass(wind).is_empty());
    }
}

/// A scale bar of up to `longest` millimetres, its fields dark and light in turn.
fn scale_bar(drawing: &mut Drawing, context: &Context, view: View, at: Point2<f64>, longest: f64) {
    let (unit, sign) = if context.words.imperial { (0.3048, "ft") } else { (1.0, "m") };
    let unit_width = unit * view.factor;
    // Fields of 1, 2 or 5 times a power of ten, four of them.
    let steps = [0.01, 0.02, 0.05, 0.1, 0.2, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0];
    let Some(step) = steps.iter().rev().find(|step| **step * unit_width * 4.0 <= longest) else { return };
    let width = step * unit_width;
    let height = 1.6;
    for field in 0..4_u8 {
        let x = at.x + f64::from(field) * width;
        let ring = vec![
            Point2::new(x, at.y),
            Point2::new(x + width, at.y),
            Point2::new(x + width, at.y + height),
            Point2::new(x, at.y + height),
        ];
        if field % 2 == 0 {
            drawing.area(Tone::Ink, vec![ring.clone()]);
        }
        drawing.ring(Pen::Rule, ring);
    }
    let mut free_from = f64::NEG_INFINITY;
    for tick in 0..=4_u8 {
        let value = f64::from(tick) * step;
        let words = if tick == 4 { format!("{} {sign}", trimmed(value)) } else { trimmed(value) };
        let x = at.x + f64::from(tick) * width;
        let text = Text::new(Point2::new(x, at.y + height + 1.5), words);
        // The last number stands with its unit to the right of its tick.
        let text = if tick == 4 {
            Text { at: text.at - Vector2::new(1.2, 0.0), ..text }
        } else {
            text.anchored(Anchor::Middle)
        };
        let half = text.width() / 2.0;
        let (low, high) = if tick == 4 { (x - 1.2, x + 2.0 * half) } else { (x - half, x + half) };
        let last_low = at.x + 4.0 * width - 1.2;
        if low > free_from + 1.0 && (tick == 4 || high + 1.0 < last_low) {
            free_from = high;
            drawing.text(text);
        }
    }
}

fn trimmed(value: f64) -> String {
    let words = format!("{value:.2}");
    words.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Words of a list of numbered labels, wrapped to a width.
#[must_use]
pub(crate) fn numbered_lines(unplaced: &[String], room: f64) -> Vec<String> {
    lettering::wrap(&numbered_words(unplaced), SMALL, false, room)
}

/// Words of a list of numbered labels, in one line.
#[must_use]
pub(crate) fn numbered_words(unplaced: &[String]) -> String {
    let said: Vec<String> = unplaced.iter().enumerate().map(|(i, words)| format!("{} {words}", i + 1)).collect();
    said.join(";  ")
}
