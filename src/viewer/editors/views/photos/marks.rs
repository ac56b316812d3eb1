//! Marks on a photo: drawn, taken hold of by the pointer or by key, magnified while in hand, with what they miss.

use super::faces;
use super::frame::Frame;
use super::kept::{Drag, Photos};
use super::load::{self, Load};
use super::plates;
use super::written::{self, PhotoInFile};
use crate::drawing::views::overlay::{Overlay, SeenMark};
use crate::viewer::app::state::AppState;
use crate::viewer::render::theme::{Palette, SMALL, colour};
use eframe::egui;
use eframe::egui::{Align2, Color32, FontId, Key, Pos2, Rect, Sense, Stroke, pos2, vec2};

/// Paper about a name, both sides together.
const PAD: egui::Vec2 = vec2(8.0, 2.0);

/// How near the pointer takes hold of a mark, points of the screen.
const HOLD: f32 = 11.0;

/// Side of the magnifier on the screen, points, and of what it shows, pixels.
const LENS: f32 = 168.0;
const LENS_PIXELS: usize = 42;

/// The longest arrow is drawn about this long, points.
const ARROW: f32 = 46.0;

/// All marks of the open photo; the magnifier shows what is in hand, else what is `looked_at` before it is marked.
pub fn show(
    ui: &mut egui::Ui,
    app: &mut AppState,
    photo: &PhotoInFile,
    over: Option<&Overlay>,
    (rect, frame, size): (Rect, &Frame, [f64; 2]),
    looked_at: Option<[f64; 2]>,
) {
    let palette = app.theme.palette();
    let open = app.views.photos.open;
    let times = over.map_or(1.0, |over| magnification(over, frame));
    let painter = ui.painter_at(rect);
    let mut in_hand = None;
    let mut names = Vec::new();
    for (name, stated) in &photo.marks {
        let drag = app.views.photos.drag.as_ref().filter(|drag| drag.name == *name);
        let pixel = drag.map_or(*stated, |drag| drag.at);
        let at = frame.at(pixel);
        let id = ui.scope_id().with(("mark", open, name));
        let response = ui.interact(
            Rect::from_center_size(at, vec2(2.0 * HOLD, 2.0 * HOLD)).intersect(rect),
            id,
            Sense::click_and_drag(),
        );
        let told = format!("mark {name} at {:.1}, {:.1}", pixel[0], pixel[1]);
        response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Button, true, &told));
        if response.clicked() && app.views.photos.building.is_some() {
            faces::take(app, name);
        } else if response.clicked() || response.drag_started() {
            response.request_focus();
            app.views.photos.chosen = Some(name.clone());
        }
        if response.drag_started() {
            app.hold();
            app.views.photos.drag = Some(Drag { name: name.clone(), at: *stated });
        }
        if response.dragged() && app.views.photos.drag.is_some() {
            // With Shift a fifth of the way, to hit a pixel.
            let share = if ui.input(|input| input.modifiers.shift) { 0.2 } else { 1.0 };
            // The hand has moved a little before it counts as dragging: that is part of the way.
            let before = |origin: Pos2| response.interact_pointer_pos().map(|at| at - origin);
            let since = ui.input(|input| input.pointer.press_origin()).filter(|_| response.drag_started());
            let moved = since.and_then(before).unwrap_or_else(|| response.drag_delta()) * share / frame.scale;
            let moved = within([pixel[0] + f64::from(moved.x), pixel[1] + f64::from(moved.y)], size);
            set(app, name, moved);
            app.views.photos.drag = Some(Drag { name: name.clone(), at: moved });
        }
        if response.drag_stopped() && app.views.photos.drag.take().is_some() {
            app.let_go();
        }
        let mut is_chosen = app.views.photos.chosen.as_ref() == Some(name);
        if response.has_focus() {
            app.views.photos.chosen = Some(name.clone());
            is_chosen = true;
            keys(ui, app, id, name, pixel, size);
        }
        let seen = over.and_then(|over| over.marks.iter().find(|mark| mark.point == *name));
        let lit = is_chosen || response.hovered();
        draw(&painter, frame, at, seen, lit, times, palette);
        names.push(Name { of: name, at, is_suspect: seen.is_some_and(|seen| seen.is_suspect), is_chosen });
        if is_chosen {
            in_hand = Some(pixel);
        }
    }
    label(&painter, rect, &mut names, palette);
    let in_drag = in_hand.filter(|_| app.views.photos.drag.is_some());
    if let Some(pixel) = in_drag.or(looked_at).or(in_hand) {
        magnify(ui, &mut app.views.photos, photo, pixel, rect, frame, palette, &(app.path.clone(), photo.file.clone()));
    }
    if over.is_some_and(|over| over.marks.iter().any(|mark| mark.miss().is_some())) {
        let words = if times > 1.0 {
            format!("arrows: from the mark to where the solved point appears, {times:.0} times as long")
        } else {
            "arrows: from the mark to where the solved point appears".to_owned()
        };
        plate(
            &painter,
            pos2(rect.left() + 12.0, rect.bottom() - 12.0),
            Align2::LEFT_BOTTOM,
            &words,
            palette.ink,
            palette,
        );
    }
}

fn within(pixel: [f64; 2], size: [f64; 2]) -> [f64; 2] {
    [pixel[0].clamp(0.0, size[0]), pixel[1].clamp(0.0, size[1])]
}

fn set(app: &mut AppState, name: &str, pixel: [f64; 2]) {
    let open = app.views.photos.open;
    app.edit(&[written::mark(open, name, Some(pixel))], &format!("mark {name} in photo {open}"));
}

/// Arrow keys move the mark in focus by a pixel, with Shift by ten; Delete removes it.
fn keys(ui: &egui::Ui, app: &mut AppState, id: egui::Id, name: &str, pixel: [f64; 2], size: [f64; 2]) {
    let arrows = egui::EventFilter { horizontal_arrows: true, vertical_arrows: true, ..egui::EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, arrows));
    let (x, y, removes) = ui.input(|input| {
        let pressed = |key: Key| input.num_presses(key) as f64;
        let step = if input.modifiers.shift { 10.0 } else { 1.0 };
        (
            step * (pressed(Key::ArrowRight) - pressed(Key::ArrowLeft)),
            step * (pressed(Key::ArrowDown) - pressed(Key::ArrowUp)),
            input.key_pressed(Key::Delete) || input.key_pressed(Key::Backspace),
        )
    });
    if removes {
        remove(app, name);
    } else if x != 0.0 || y != 0.0 {
        set(app, name, within([pixel[0] + x, pixel[1] + y], size));
    }
}

/// Takes a mark away.
pub fn remove(app: &mut AppState, name: &str) {
    let open = app.views.photos.open;
    app.edit(&[written::mark(open, name, None)], &format!("remove {name} from photo {open}"));
    app.views.photos.chosen = None;
}

/// By how much arrows are lengthened: 1, 2, 5, 10, 20 … so that the longest stays readable.
fn magnification(over: &Overlay, frame: &Frame) -> f32 {
    #[allow(clippy::cast_possible_truncation)]
    let longest = over.marks.iter().filter_map(SeenMark::miss).fold(0.0, f64::max) as f32 * frame.scale;
    let steps = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];
    steps.into_iter().rev().find(|step| longest * step <= ARROW).unwrap_or(1.0)
}

/// The name of a mark as drawn.
struct Name<'a> {
    of: &'a str,
    at: Pos2,
    is_suspect: bool,
    is_chosen: bool,
}

/// The names of all marks, the one in hand and doubtful ones first, each clear of the others.
fn label(painter: &egui::Painter, rect: Rect, names: &mut [Name], palette: &Palette) {
    names.sort_by_key(|name| (!name.is_chosen, !name.is_suspect));
    let galleys: Vec<_> = names
        .iter()
        .map(|name| {
            let ink = colour(if name.is_suspect { palette.fault } else { palette.ink });
            let text = if name.is_suspect { format!("{}, doubtful", name.of) } else { name.of.to_owned() };
            painter.layout_no_wrap(text, FontId::proportional(SMALL), ink)
        })
        .collect();
    let wanted: Vec<_> = names.iter().zip(&galleys).map(|(name, galley)| (name.at, galley.size() + PAD)).collect();
    let marks: Vec<Pos2> = names.iter().map(|name| name.at).collect();
    for ((name, galley), frame) in names.iter().zip(galleys).zip(plates::place(&wanted, &marks, rect)) {
        let ink = colour(if name.is_suspect { palette.fault } else { palette.ink });
        let near = frame.clamp(name.at);
        if near.distance(name.at) > plates::NEAR {
            painter.line_segment([name.at, near], Stroke::new(3.0, colour(palette.paper)));
            painter.line_segment([name.at, near], Stroke::new(1.0, ink));
        }
        painter.rect_filled(frame, 5.0, colour(palette.paper).gamma_multiply(0.88));
        painter.galley(frame.min + PAD / 2.0, galley, ink);
    }
}

fn draw(
    painter: &egui::Painter,
    frame: &Frame,
    at: Pos2,
    seen: Option<&SeenMark>,
    lit: bool,
    times: f32,
    palette: &Palette,
) {
    let is_suspect = seen.is_some_and(|seen| seen.is_suspect);
    let ink = if is_suspect { colour(palette.fault) } else { colour(palette.ink) };
    if let Some(computed) = seen.and_then(|seen| seen.computed) {
        let tip = at + (frame.at([computed.x, computed.y]) - at) * times;
        arrow(painter, at, tip, colour(palette.paper), 4.5);
        arrow(painter, at, tip, if is_suspect { ink } else { colour(palette.accent) }, 2.2);
    }
    // A cross with an open middle, so that the pixel itself stays in sight; dark on light on any ground.
    let reach = if lit { 11.0 } else { 8.0 };
    for (stroke, inset) in [(Stroke::new(4.0, colour(palette.paper)), 2.0), (Stroke::new(1.8, ink), 2.5)] {
        for way in [vec2(1.0, 0.0), vec2(-1.0, 0.0), vec2(0.0, 1.0), vec2(0.0, -1.0)] {
            painter.line_segment([at + way * inset, at + way * reach], stroke);
        }
        if lit || is_suspect {
            painter.circle_stroke(at, reach, stroke);
        }
    }
    if is_suspect {
        painter.circle_stroke(at, reach + 4.0, Stroke::new(1.8, ink));
    }
}

fn arrow(painter: &egui::Painter, from: Pos2, to: Pos2, ink: Color32, width: f32) {
    let way = to - from;
    if way.length() < 1.5 {
        return;
    }
    let along = way.normalized();
    let stroke = Stroke::new(width, ink);
    painter.line_segment([from, to], stroke);
    let head = 8.0_f32.min(way.length() * 0.6);
    for side in [1.0, -1.0] {
        painter.line_segment([to, to - along * head + along.rot90() * (side * head * 0.45)], stroke);
    }
}

fn plate(painter: &egui::Painter, at: Pos2, anchor: Align2, text: &str, ink: [u8; 3], palette: &Palette) {
    let galley = painter.layout_no_wrap(text.to_owned(), FontId::proportional(SMALL), colour(ink));
    let frame = anchor.anchor_size(at, galley.size() + PAD);
    painter.rect_filled(frame, 5.0, colour(palette.paper).gamma_multiply(0.88));
    painter.galley(frame.min + PAD / 2.0, galley, colour(ink));
}

/// The pixels about the mark in hand, large, in the corner of the view away from it.
#[allow(clippy::too_many_arguments)]
fn magnify(
    ui: &egui::Ui,
    photos: &mut Photos,
    photo: &PhotoInFile,
    pixel: [f64; 2],
    rect: Rect,
    frame: &Frame,
    palette: &Palette,
    key: &(Option<std::path::PathBuf>, String),
) {
    let Some(Load::Here(here)) = photos.loads.get(key) else { return };
    let picture = load::about(&here.pixels, pixel, LENS_PIXELS);
    match &mut photos.lens {
        Some(lens) => lens.set(picture, egui::TextureOptions::NEAREST),
        None => photos.lens = Some(ui.ctx().load_texture("magnifier", picture, egui::TextureOptions::NEAREST)),
    }
    let Some(lens) = &photos.lens else { return };
    let left = frame.at(pixel).x > rect.center().x;
    let corner = if left { rect.left() + 10.0 } else { rect.right() - LENS - 10.0 };
    let square = Rect::from_min_size(pos2(corner, rect.top() + 10.0), vec2(LENS, LENS));
    let painter = ui.painter_at(rect);
    painter.image(lens.id(), square, Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0)), Color32::WHITE);
    let per_pixel = LENS / LENS_PIXELS as f32;
    let first = pixel.map(|at| at.floor() - (LENS_PIXELS / 2) as f64);
    #[allow(clippy::cast_possible_truncation)]
    let on_lens = |at: [f64; 2]| square.min + vec2((at[0] - first[0]) as f32, (at[1] - first[1]) as f32) * per_pixel;
    let inside = ui.painter_at(square);
    for (name, other) in photo.marks.iter().filter(|(_, other)| *other != pixel) {
        let at = on_lens(*other);
        inside.circle_stroke(at, 4.0, Stroke::new(1.5, colour(palette.ink)));
        inside.text(at + vec2(6.0, 0.0), Align2::LEFT_CENTER, name, FontId::proportional(SMALL), colour(palette.ink));
    }
    let at = on_lens(pixel);
    for (ink, width) in [(palette.paper, 3.0), (palette.accent, 1.2)] {
        let stroke = Stroke::new(width, colour(ink));
        for way in [vec2(1.0, 0.0), vec2(-1.0, 0.0), vec2(0.0, 1.0), vec2(0.0, -1.0)] {
            inside.line_segment([at + way * 5.0, at + way * LENS], stroke);
        }
    }
    painter.rect_stroke(square, 2.0, Stroke::new(1.5, colour(palette.ink)), egui::StrokeKind::Outside);
    let words = format!("{:.1}, {:.1}", pixel[0], pixel[1]);
    plate(&painter, square.center_bottom() + vec2(0.0, 4.0), Align2::CENTER_TOP, &words, palette.ink, palette);
}
