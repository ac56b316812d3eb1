//! Figures: what can be drawn on a page of its own or set into a sheet, at a scale chosen to fit.

use super::board::Board;
use super::canvas::Canvas;
use super::dimension;
pub(crate) use super::frame::numbered_lines;
use super::frame::{self, Area, Furniture};
use super::lettering::SMALL;
use super::model::{Drawing, Text, View};
use super::paper::{self, PaperSize};
use super::pen::Pen;
use crate::base::tolerance::ROUNDING;
use crate::drawing::Context;
use nalgebra::{Point2, Vector2};

/// Something to draw to scale.
pub trait Figure {
    /// Short and unique in its set, for a file's name.
    fn name(&self) -> String;
    /// In words.
    fn title(&self) -> String;
    /// The corners of the box about it, metres; `None` when there is nothing to draw.
    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)>;
    /// Key, remarks, north.
    fn furniture(&self) -> Furniture;
    /// Room needed at either side, below and above for dimensions, millimetres.
    fn surround(&self) -> [f64; 3] {
        [2.0 * dimension::LANE + 9.0; 3]
    }
    /// Whether nobody measures on it, so that scales between the usual ones will do.
    fn is_measured(&self) -> bool {
        true
    }
    /// The one scale it is drawn at, as its second number; `None`: the largest usual one that fits.
    fn fixed_scale(&self) -> Option<f64> {
        None
    }
    /// Width it needs whatever its scale, millimetres.
    fn least_width(&self) -> f64 {
        0.0
    }
    /// Draws it.
    fn draw(&self, canvas: &mut Canvas<'_>);
}

/// How a scale is chosen: size, room, whether imperial.
type Fit = fn([f64; 2], [f64; 2], bool) -> Option<f64>;

fn fit(figure: &dyn Figure, context: &Context, room: [f64; 2], usual: Fit) -> Option<(f64, Point2<f64>)> {
    let (low, high) = figure.bounds()?;
    let around = figure.surround();
    let room = [room[0] - 2.0 * around[0], room[1] - around[1] - around[2]];
    let size = [high.x - low.x, high.y - low.y];
    let scale = if let Some(scale) = figure.fixed_scale() {
        let fits = (0..2).all(|axis| size[axis] * 1000.0 / scale <= room[axis] * (1.0 + ROUNDING));
        fits.then_some(scale)
    } else if figure.is_measured() {
        usual(size, room, context.words.imperial)
    } else {
        paper::fit_freely(size, room)
    };
    Some((scale?, nalgebra::center(&low, &high)))
}

/// A figure on the smallest usual sheet that takes its labels without many leaders, at the largest usual scale; what finds no
/// place is listed beneath by number, or, where even that has no room, on further pages. Empty when there is nothing to
/// draw.
#[must_use]
pub fn pages(figure: &dyn Figure, context: &Context) -> Vec<Drawing> {
    // Up to this many leaders are no reason to look for a larger sheet.
    const FEW: usize = 3;
    let furniture = figure.furniture();
    let mut found: Vec<(usize, PaperSize, f64, Point2<f64>)> = Vec::new();
    for sheet in context.sheets() {
        let Some((scale, middle)) = fit(figure, context, frame::area(sheet, &furniture).room(), paper::fit) else {
            continue;
        };
        let rank = found.iter().find(|(_, other, ..)| other.name == sheet.name).map_or(found.len(), |f| f.0);
        found.push((rank, sheet, scale, middle));
    }
    found.sort_by(|a, b| a.0.cmp(&b.0).then(a.2.total_cmp(&b.2)));
    // Lying is preferred within a size; upright only when it allows a larger scale.
    found.dedup_by_key(|(rank, ..)| *rank);
    let mut best: Option<(Canvas<'_>, PaperSize)> = None;
    for (_, sheet, scale, middle) in found {
        let view = view_in(&frame::area(sheet, &furniture), scale, middle, figure.surround());
        let canvas = on_sheet(figure, context, sheet, &furniture, view);
        let canvas = larger(figure, context, sheet, &furniture, canvas);
        let clear = canvas.clutter() <= FEW;
        if best.as_ref().is_none_or(|(best, _)| 2 * canvas.clutter() <= best.clutter()) {
            best = Some((canvas, sheet));
        }
        if clear {
            break;
        }
    }
    let Some((best, sheet)) = best else { return Vec::new() };
    if let Some(drawing) = with_list(figure, context, sheet, &best) {
        return vec![drawing];
    }
    let (drawing, unplaced) = best.finish();
    let mut pages = vec![drawing];
    pages.extend(key_pages(context, &figure.name(), &figure.title(), &unplaced));
    pages
}

/// A figure on a framed sheet.
fn on_sheet<'a>(
    figure: &dyn Figure,
    context: &'a Context,
    sheet: PaperSize,
    furniture: &Furniture,
    view: View,
) -> Canvas<'a> {
    let area = frame::area(sheet, furniture);
    let page = frame::page(context, &figure.name(), &figure.title(), sheet, furniture, Some(view));
    drawn(figure, context, page, view, Board::new(area.low, area.high))
}

/// The same at the next larger usual scales, as long as what really stands round the figure leaves it room, no label loses its
/// place and no dimension its lane.
fn larger<'a>(
    figure: &dyn Figure,
    context: &'a Context,
    sheet: PaperSize,
    furniture: &Furniture,
    mut canvas: Canvas<'a>,
) -> Canvas<'a> {
    let Some((low, high)) = figure.bounds().filter(|_| figure.is_measured() && figure.fixed_scale().is_none()) else {
        return canvas;
    };
    let area = frame::area(sheet, furniture);
    loop {
        let now = canvas.view.scale();
        let next = paper::scales(context.words.imperial).iter().rfind(|scale| **scale < now * (1.0 - ROUNDING));
        let Some(&scale) = next else { return canvas };
        let (from, to) = (canvas.paper(&low), canvas.paper(&high));
        let (ink_low, ink_high) = canvas.drawn_extent().unwrap_or((from, to));
        let (under, over) = ((from - ink_low).sup(&Vector2::zeros()), (ink_high - to).sup(&Vector2::zeros()));
        let factor = 1000.0 / scale;
        let spare = (area.high - area.low) - (high - low) * factor - under - over;
        if spare.min() < 0.0 {
            return canvas;
        }
        let dimensions = |canvas: &Canvas<'_>| canvas.drawing.strokes(|pen| pen == Pen::Dimension).len();
        let told = |canvas: &Canvas<'_>| canvas.drawing.texts().count();
        // In the middle, else with what is to spare on one side or the other.
        let places = [[0.5, 0.5], [1.0, 1.0], [0.0, 0.0], [0.5, 1.0], [1.0, 0.5]];
        let other = places.into_iter().find_map(|share| {
            let corner = area.low + under + spare.component_mul(&Vector2::from(share));
            let view = View { origin: corner - low.coords * factor, factor };
            let other = on_sheet(figure, context, sheet, furniture, view);
            // A length whose dimension finds no lane may be lettered along its line instead.
            let silent = dimensions(&other) < dimensions(&canvas) && told(&other) < told(&canvas);
            let lost = silent || other.unplaced().len() > canvas.unplaced().len();
            (!lost).then_some(other)
        });
        let Some(other) = other else { return canvas };
        canvas = other;
    }
}

/// The figure with what found no place listed beneath it by number; `None` where nothing is to be listed, or has no room.
fn with_list(figure: &dyn Figure, context: &Context, sheet: PaperSize, best: &Canvas<'_>) -> Option<Drawing> {
    // A list changes the room, and the room what is listed: a few times round it settles, or stays as it is.
    const ROUNDS: usize = 5;
    let mut listed = best.unplaced().to_vec();
    for _ in 0..ROUNDS {
        if listed.is_empty() {
            return None;
        }
        let mut furniture = figure.furniture();
        furniture.remarks.push(frame::numbered_words(&listed));
        let area = frame::area(sheet, &furniture);
        let (scale, middle) = fit(figure, context, area.room(), paper::fit)?;
        let view = view_in(&area, scale, middle, figure.surround());
        let canvas = larger(figure, context, sheet, &furniture, on_sheet(figure, context, sheet, &furniture, view));
        if canvas.unplaced() == listed {
            return Some(canvas.finish().0);
        }
        listed = canvas.unplaced().to_vec();
    }
    None
}

fn view_in(area: &Area, scale: f64, middle: Point2<f64>, around: [f64; 3]) -> View {
    let factor = 1000.0 / scale;
    let up = nalgebra::Vector2::new(0.0, (around[1] - around[2]) / 2.0);
    View { origin: area.middle() + up - middle.coords * factor, factor }
}

/// Whether an inset explains its lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Key {
    /// It does.
    With,
    /// Another figure of the same document does.
    Without,
}

/// A figure without frame for setting into a sheet, no wider than `room[0]`, no higher than `room[1]`, as large as its
/// scale makes it. What found no place is listed beneath by number. `None` when there is nothing to draw.
#[must_use]
pub fn inset(figure: &dyn Figure, context: &Context, room: [f64; 2], key: Key) -> Option<Drawing> {
    inset_led(figure, context, room, key, usize::MAX)
}

/// An [`inset`] with at most so many labels led to what they name; `None` also where more would be, which is known before all
/// of them are placed.
#[must_use]
pub(crate) fn inset_led(
    figure: &dyn Figure,
    context: &Context,
    room: [f64; 2],
    key: Key,
    most_leaders: usize,
) -> Option<Drawing> {
    let mut furniture = figure.furniture();
    if key == Key::Without {
        furniture.key.clear();
    }
    let (low, high) = figure.bounds()?;
    let around = figure.surround();
    // The list of what found no place takes room itself, which is set aside in ever larger steps until it suffices.
    let mut aside: Vec<String> = Vec::new();
    loop {
        let under = frame::foot_height(room[0], &furniture, &aside);
        let (scale, middle) = fit(figure, context, [room[0], room[1] - under], paper::fit_inset)?;
        let height = (high.y - low.y) * 1000.0 / scale + around[1] + around[2];
        let area = Area { low: Point2::new(0.0, under), high: Point2::new(room[0], under + height) };
        let view = view_in(&area, scale, middle, around);
        let mut page = Drawing::new(figure.name(), figure.title(), [room[0], under + height]);
        page.view = Some(view);
        let mut canvas = Canvas::new(context, page, view, Board::new(area.low, area.high));
        canvas.most_leaders = most_leaders;
        figure.draw(&mut canvas);
        if canvas.has_too_many_leaders() {
            return None;
        }
        let (mut drawing, left) = canvas.finish();
        if frame::foot_height(room[0], &furniture, &left) <= under {
            frame::foot(&mut drawing, context, &furniture, view, &left);
            return Some(drawing);
        }
        // Longer than what was set aside each time round, so this ends.
        aside.extend(left);
    }
}

/// A figure without frame or foot at a given scale, as large as it comes out; what found no place is listed beneath by
/// number. `None` when there is nothing to draw.
fn inset_at(figure: &dyn Figure, context: &Context, scale: f64) -> Option<Drawing> {
    let (low, high) = figure.bounds()?;
    let around = figure.surround();
    let [width, height] = inset_size(figure, scale)?;
    // As in `inset`: room is set aside for the list of what found no place until it suffices.
    let mut aside: Vec<String> = Vec::new();
    loop {
        let under = frame::numbered_height(&numbered_lines(&aside, width));
        let area = Area { low: Point2::new(0.0, under), high: Point2::new(width, under + height) };
        let view = view_in(&area, scale, nalgebra::center(&low, &high), around);
        let mut page = Drawing::new(figure.name(), figure.title(), [width, under + height]);
        page.view = Some(view);
        let canvas = drawn(figure, context, page, view, Board::new(area.low, area.high));
        let (mut drawing, left) = canvas.finish();
        let lines = numbered_lines(&left, width);
        if frame::numbered_height(&lines) <= under {
            frame::numbered(&mut drawing, &lines, 1.0);
            return Some(drawing);
        }
        aside.extend(left);
    }
}

/// A figure on a page.
fn drawn<'a>(figure: &dyn Figure, context: &'a Context, page: Drawing, view: View, board: Board) -> Canvas<'a> {
    let mut canvas = Canvas::new(context, page, view, board);
    figure.draw(&mut canvas);
    canvas
}

/// Width and height of a figure at a scale, its surroundings included, millimetres.
fn inset_size(figure: &dyn Figure, scale: f64) -> Option<[f64; 2]> {
    let (low, high) = figure.bounds()?;
    let around = figure.surround();
    let on_paper = (high - low) * 1000.0 / scale;
    Some([(on_paper.x + 2.0 * around[0]).max(figure.least_width()), on_paper.y + around[1] + around[2]])
}

/// Figures abreast at one scale.
#[derive(Clone, Debug)]
pub struct Abreast {
    /// The scale's second number.
    pub scale: f64,
    /// The drawings with the number of the figure each is of, in the order that fills rows best.
    pub drawings: Vec<(usize, Drawing)>,
}

/// Figures for setting side by side in rows, a caption of `caption` millimetres under each row, all at the largest usual
/// scale at which each fits the room and all together take at most so many rooms, else at the largest at which each
/// fits. Figures of one fixed scale are set at that. `None` when one fits at no scale. O(scales × figures²).
#[must_use]
pub(crate) fn abreast(
    figures: &[&dyn Figure],
    context: &Context,
    room: [f64; 2],
    caption: f64,
    most: f64,
) -> Option<Abreast> {
    let filled = |scale: f64| {
        let sizes: Vec<[f64; 2]> = figures.iter().map(|figure| inset_size(*figure, scale)).collect::<Option<_>>()?;
        let each = sizes.iter().all(|size| size[0] <= room[0] && size[1] + caption <= room[1]);
        each.then(|| fill_rows(&sizes, room, caption))
    };
    let fixed: Vec<f64> = figures.iter().filter_map(|figure| figure.fixed_scale()).collect();
    let scales = if fixed.is_empty() { paper::inset_scales(context.words.imperial) } else { &fixed[..1] };
    let all: Vec<_> = scales.iter().filter_map(|&scale| Some((scale, filled(scale)?))).collect();
    let (scale, (order, _)) = all.iter().find(|(_, (_, rooms))| *rooms <= most).or(all.first())?;
    let drawings =
        order.iter().filter_map(|&index| Some((index, inset_at(figures[index], context, *scale)?))).collect();
    Some(Abreast { scale: *scale, drawings })
}

/// Fills rows: each takes the first figure left and whichever later ones still fit beside it. Gives the order and how
/// many rooms the rows take.
fn fill_rows(sizes: &[[f64; 2]], room: [f64; 2], caption: f64) -> (Vec<usize>, f64) {
    let mut left: Vec<usize> = (0..sizes.len()).collect();
    let (mut order, mut rooms, mut used) = (Vec::new(), 0.0, 0.0);
    while !left.is_empty() {
        let (mut width, mut height) = (-super::pages::GAP, 0.0_f64);
        left.retain(|&index| {
            let size = sizes[index];
            let beside = width + super::pages::GAP + size[0];
            let fits = beside <= room[0];
            if fits {
                width = beside;
                height = height.max(size[1] + caption);
                order.push(index);
            }
            !fits
        });
        if used + height > room[1] {
            rooms += 1.0;
            used = 0.0;
        }
        used += height;
    }
    (order, rooms + used / room[1])
}

/// Pages that list what is numbered on a drawing.
fn key_pages(context: &Context, name: &str, title: &str, unplaced: &[String]) -> Vec<Drawing> {
    if unplaced.is_empty() {
        return Vec::new();
    }
    let sheet = context.sheet.unwrap_or(PaperSize::family(context.series)[0]);
    let area = frame::area(sheet, &Furniture::default());
    let (row, column) = (5.0, 90.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let (rows, columns) =
        (((area.room()[1] / row).floor() as usize).max(1), ((area.room()[0] / column).floor() as usize).max(1));
    let numbered: Vec<(usize, &String)> = unplaced.iter().enumerate().collect();
    let page = |(page, chunk): (usize, &[(usize, &String)])| {
        let name = format!("{name}-key-{}", page + 1);
        let title = format!("{title}: what the numbers stand for");
        let mut drawing = frame::page(context, &name, &title, sheet, &Furniture::default(), None);
        for (place, (index, words)) in chunk.iter().enumerate() {
            let (down, across) = ((place % rows) as f64, (place / rows) as f64);
            let at = Point2::new(area.low.x + 2.0 + across * column, area.high.y - row * (down + 0.8));
            let said = format!("{}  {words}", index + 1);
            drawing.text(Text::new(at, frame::shorten(&said, SMALL, false, column - 2.0)));
        }
        drawing
    };
    numbered.chunks(rows * columns).enumerate().map(page).collect()
}
