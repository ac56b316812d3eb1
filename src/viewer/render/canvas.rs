//! The roof in the middle of the window: drawn by the graphics card, turned by hand, faces under the pointer told.

use super::camera::Camera;
use super::gpu::{Gpu, Picture};
use super::labels::{self, Labels, Scenery};
use super::legend;
use super::scene::{Scene, Shade};
use super::shown::Shown;
use super::stage::{Dressing, Extra, Look, Tag};
use super::theme::{self, BODY, Palette, SMALL};
use super::{facts, pick};
use crate::base::ids::EdgeId;
use crate::base::order::SortByNumber as _;
use crate::base::tolerance::{LAST_PLACES, ROUNDING};
use crate::base::units::LengthUnit;
use crate::roof::analysis::section::Between;
use crate::wording::lesson;
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::{Align2, FontId, PointerButton, Rect, Sense, Stroke, pos2, vec2};
use egui_glow::CallbackFn;
use nalgebra::Point3;
use std::sync::{Arc, Mutex};
use three_d::ScissorBox;

/// Radians a point of dragging.
const TURN: f64 = 0.008;

/// An edge this near the pointer is meant, points of the screen.
const REACH: f64 = 5.0;

/// The graphics card, and what it last said when it refused.
#[derive(Clone, Default)]
pub struct Shelf {
    gpu: Arc<Mutex<Option<Gpu>>>,
    refused: Arc<Mutex<Option<String>>>,
}

impl Shelf {
    /// Lets go of all OpenGL objects; called while the context still lives.
    pub fn clear(&self) {
        if let Ok(mut gpu) = self.gpu.lock() {
            *gpu = None;
        }
    }

    /// Why nothing is drawn, if so.
    #[must_use]
    pub fn refused(&self) -> Option<String> {
        self.refused.lock().ok().and_then(|refused| refused.clone())
    }
}

/// The view's own state.
#[derive(Default)]
pub struct Canvas {
    /// The graphics card.
    pub shelf: Shelf,
    /// Where from; `None` until there is something to see.
    pub camera: Option<Camera>,
    /// Colours and strokes kept.
    pub dressing: Dressing,
    /// Width over height when last shown.
    pub aspect: f64,
    /// Places measured between, in the scene.
    pub measured: Vec<Point3<f64>>,
    /// The view's widget, once shown.
    pub id: Option<egui::Id>,
    /// Whether clicks measure.
    pub is_measuring: bool,
    /// Whether clicks are another's: they choose nothing.
    pub is_placing: bool,
}

/// What the view has shown in a pass.
pub struct Seen {
    /// Its widget.
    pub response: egui::Response,
    /// From where.
    pub camera: Camera,
    /// What the pointer looks along, and what it meets first.
    pub pointed: Option<(super::camera::Ray, Option<pick::Hit>)>,
    /// Whether another face or edge was chosen.
    pub chose: bool,
}

/// What the view is asked to show.
pub struct Asked<'a> {
    /// The answer.
    pub shown: &'a Arc<Shown>,
    /// What is drawn of it: the answer's own scene, or another of the same faces.
    pub scene: &'a Arc<Scene>,
    /// What the view draws over it.
    pub extra: &'a Extra,
    /// What is switched on; the face under the pointer, the chosen face and the chosen edge are set here.
    pub look: &'a mut Look,
    /// What is labelled.
    pub labels: Labels,
    /// Colours.
    pub palette: &'static Palette,
    /// For people.
    pub units: LengthUnit,
}

impl Canvas {
    /// Shows the roof in all the room that is left.
    pub fn show(&mut self, ui: &mut egui::Ui, asked: &mut Asked) -> Seen {
        let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        self.id = Some(response.id);
        self.aspect = f64::from(rect.width().max(1.0)) / f64::from(rect.height().max(1.0));
        let aspect = self.aspect;
        let scene = asked.scene;
        let camera =
            self.camera.get_or_insert_with(|| Camera::standard(super::camera::View::Corner, &scene.places, aspect));
        steer(ui, &response, rect, camera, scene.radius);
        let camera = *camera;
        let pointer = response.hover_pos().filter(|_| !response.dragged());
        let hit = pointer.and_then(|at| scene.picker.pick_before(&ray_at(&camera, rect, at), asked.look.section));
        let edge = pointer.and_then(|at| edge_at(scene, &camera, rect, at, asked.look.section));
        asked.look.hovered = hit.and_then(|hit| hit.face).filter(|_| edge.is_none());
        let mut chose = false;
        if response.clicked() {
            response.request_focus();
            if self.is_placing {
            } else if self.is_measuring {
                self.measure(hit.map(|hit| snapped(scene, &camera, rect, hit.at)));
            } else {
                let face = if edge.is_some() { asked.look.chosen } else { hit.and_then(|hit| hit.face) };
                chose = asked.look.chosen != face || asked.look.edge != edge;
                (asked.look.chosen, asked.look.edge) = (face, edge);
            }
        }
        let roof = &asked.shown.answered.answer.roof;
        self.dressing.dress(roof, scene, asked.look, asked.palette, &asked.shown.unsure);
        let scale = ui.ctx().pixels_per_point();
        let size = egui::epaint::ViewportInPixels::from_points(&rect, scale, [u32::MAX / 2, u32::MAX / 2]);
        let pixels = [size.width_px, size.height_px].map(|side| u32::try_from(side).unwrap_or(1).max(1));
        let mut picture = self.dressing.picture(scene, &camera, asked.look, asked.palette, pixels, scale);
        picture.marks = Arc::clone(&asked.extra.marks);
        picture.caps.clone_from(&asked.extra.caps);
        picture.over = asked.extra.over;
        ui.painter().add(self.callback(rect, Arc::clone(scene), picture));
        let scenery = Scenery {
            answer: &asked.shown.answered.answer,
            scene,
            camera: &camera,
            palette: asked.palette,
            units: asked.units,
            with_uncertainty: asked.look.shade == Shade::Certainty,
            section: asked.look.section,
        };
        let painter = ui.painter_at(rect);
        let free = legend::draw(&painter, rect, &scenery, asked.look.shade);
        // What was measured is placed like any label, before all others.
        let measured = self.measured_tag(asked.units);
        let tags: Vec<Tag> = measured.into_iter().chain(asked.extra.tags.iter().cloned()).collect();
        labels::draw(&painter, rect, free, &scenery, asked.labels, &tags);
        self.draw_measured(&painter, rect, &camera, asked);
        if let Some(at) = pointer.filter(|_| !self.is_measuring && !self.is_placing) {
            let lines = match (edge, asked.look.hovered) {
                (Some(edge), _) => facts::of_edge(asked.shown, edge, asked.units),
                (None, Some(face)) => facts::of_face(asked.shown, face, asked.units),
                (None, None) => Vec::new(),
            };
            if !lines.is_empty() {
                plate(
                    &painter,
                    rect,
                    at + vec2(0.0, -18.0 - 9.0 * lines.len() as f32),
                    &lines.join("\n"),
                    asked.palette,
                );
            }
        }
        if let Some(refused) = self.shelf.refused() {
            let ink = theme::colour(asked.palette.fault);
            painter.text(rect.center(), Align2::CENTER_CENTER, refused, FontId::proportional(BODY), ink);
        }
        if response.has_focus() {
            let ring = Stroke::new(1.5, theme::colour(asked.palette.accent));
            painter.rect_stroke(rect.shrink(1.0), 3.0, ring, egui::StrokeKind::Inside);
        }
        let told = describe(asked);
        response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Image, true, &told));
        let pointed = pointer.map(|at| (ray_at(&camera, rect, at), hit));
        Seen { response, camera, pointed, chose }
    }

    fn callback(&self, rect: Rect, scene: Arc<Scene>, picture: Picture) -> egui::PaintCallback {
        let shelf = self.shelf.clone();
        let draw = move |info: egui::PaintCallbackInfo, painter: &egui_glow::Painter| {
            let Ok(mut gpu) = shelf.gpu.lock() else { return };
            if gpu.is_none() {
                match Gpu::new(Arc::clone(painter.gl())) {
                    Ok(made) => *gpu = Some(made),
                    Err(error) => {
                        if let Ok(mut refused) = shelf.refused.lock() {
                            *refused = Some(error.to_string());
                        }
                    }
                }
            }
            let Some(gpu) = gpu.as_mut() else { return };
            gpu.draw(&scene, &picture);
            let (at, clip) = (info.viewport_in_pixels(), info.clip_rect_in_pixels());
            let side = |side: i32| u32::try_from(side).unwrap_or_default();
            let clip = ScissorBox {
                x: clip.left_px,
                y: clip.from_bottom_px,
                width: side(clip.width_px),
                height: side(clip.height_px),
            };
            gpu.present(info.screen_size_px, [at.left_px, at.from_bottom_px], clip);
        };
        egui::PaintCallback { rect, callback: Arc::new(CallbackFn::new(draw)) }
    }

    /// Measures from or to the next corner of the roof, or the one before: measuring by key. The first press sets where
    /// from, each further one moves where to; `Canvas::measure` begins anew after two.
    pub fn measure_corner(&mut self, scene: &Scene, forward: bool) {
        let count = scene.places.len();
        if count == 0 {
            return;
        }
        self.is_measuring = true;
        let last = self.measured.last().and_then(|last| scene.places.iter().position(|place| place == last));
        let next = match (last, forward) {
            (Some(at), true) => (at + 1) % count,
            (Some(at), false) => (at + count - 1) % count,
            (None, true) => 0,
            (None, false) => count - 1,
        };
        if self.measured.len() == 2 {
            self.measured.pop();
        }
        self.measured.push(scene.places[next]);
    }

    fn measure(&mut self, place: Option<Point3<f64>>) {
        let Some(place) = place else { return };
        if self.measured.len() >= 2 {
            self.measured.clear();
        }
        self.measured.push(place);
    }

    fn measured_tag(&self, units: LengthUnit) -> Option<Tag> {
        let [a, b] = self.measured.as_slice() else { return None };
        let along = (b - a).try_normalize(ROUNDING);
        Some(Tag { at: nalgebra::center(a, b), along, text: lesson::between(&Between::of(a, b), Format::of(units)) })
    }

    fn draw_measured(&self, painter: &egui::Painter, rect: Rect, camera: &Camera, asked: &Asked) {
        let on_screen = |place: &Point3<f64>| {
            let at = camera.appears(place, self.aspect)?;
            #[allow(clippy::cast_possible_truncation)]
            Some(rect.min + vec2(at.x as f32, at.y as f32) * rect.size())
        };
        let ink = theme::colour(asked.palette.accent);
        let places: Vec<_> = self.measured.iter().filter_map(on_screen).collect();
        for at in &places {
            painter.circle(*at, 5.0, theme::colour(asked.palette.paper), Stroke::new(2.0, ink));
        }
        if let [from, to] = places.as_slice() {
            painter.line_segment([*from, *to], Stroke::new(2.0, ink));
        } else if self.is_measuring {
            let text = "measuring: click two places, corners catch the pointer; or . and , go from corner to corner";
            plate(painter, rect, pos2(rect.center().x, rect.top() + 44.0), text, asked.palette);
        }
    }
}

/// What the view shows, for a reader of the screen.
fn describe(asked: &Asked) -> String {
    let count = asked.shown.answered.answer.roof.roof_faces().count();
    let face = asked.look.chosen.and_then(|face| asked.shown.answered.answer.roof.faces.get(face.index()));
    let chosen = face.map_or_else(|| "no face chosen".to_owned(), |face| format!("face {} chosen", face.name()));
    format!("roof in 3D, {count} faces, shaded by {}, {chosen}", asked.look.shade.word())
}

fn steer(ui: &egui::Ui, response: &egui::Response, rect: Rect, camera: &mut Camera, radius: f64) {
    let moved = response.drag_delta();
    if moved != egui::Vec2::ZERO {
        let shift = ui.input(|input| input.modifiers.shift);
        if response.dragged_by(PointerButton::Primary) && !shift {
            camera.loosen();
            camera.orbit(-f64::from(moved.x) * TURN, f64::from(moved.y) * TURN);
        } else {
            let height = f64::from(rect.height().max(1.0));
            camera.pan(-f64::from(moved.x) / height, f64::from(moved.y) / height);
        }
    }
    if let Some(at) = response.hover_pos() {
        let (wheel, pinch) = ui.input(|input| (input.smooth_scroll_delta().y, input.zoom_delta()));
        let factor = (-f64::from(wheel) * 0.003).exp() / f64::from(pinch);
        if factor != 1.0 {
            let ray = ray_at(camera, rect, at);
            camera.zoom(factor, Some(ray), radius * 40.0);
        }
    }
}

fn ray_at(camera: &Camera, rect: Rect, at: egui::Pos2) -> super::camera::Ray {
    let share = (at - rect.min) / rect.size();
    camera.ray(f64::from(share.x), f64::from(share.y), f64::from(rect.aspect_ratio()))
}

/// The edge of the roof within a few points of the pointer, if the eye sees it.
fn edge_at(
    scene: &Scene,
    camera: &Camera,
    rect: Rect,
    at: egui::Pos2,
    section: Option<(nalgebra::Vector3<f64>, f64)>,
) -> Option<EdgeId> {
    let aspect = f64::from(rect.aspect_ratio());
    let size = nalgebra::Vector2::new(f64::from(rect.width()), f64::from(rect.height()));
    let share = (at - rect.min) / rect.size();
    let here = nalgebra::Point2::new(f64::from(share.x), f64::from(share.y));
    let away = |line: &super::scene::SceneEdge| {
        let edge = line.edge.filter(|_| !line.kind.is_wall_only())?;
        let [from, to] = [camera.appears(&line.from, aspect)?, camera.appears(&line.to, aspect)?];
        let on_screen = |way: nalgebra::Vector2<f64>| way.component_mul(&size);
        let (way, towards) = (on_screen(to - from), on_screen(here - from));
        let part = (towards.dot(&way) / way.norm_squared().max(LAST_PLACES)).clamp(0.0, 1.0);
        let distance = (towards - way * part).norm();
        let place = line.from + (line.to - line.from) * part;
        let kept = section.is_none_or(|(normal, limit)| normal.dot(&place.coords) <= limit);
        (distance < REACH && kept).then_some((distance, edge, place))
    };
    let mut near: Vec<_> = scene.lines.iter().filter_map(away).collect();
    near.sort_by_number(|a| a.0);
    near.into_iter().find(|(_, _, place)| pick::is_seen(scene, &camera.eye(), place, section)).map(|(_, edge, _)| edge)
}

/// A corner near the pointer (within ten points of the screen) catches it, so that lengths are measured from corner to
/// corner.
fn snapped(scene: &Scene, camera: &Camera, rect: Rect, at: Point3<f64>) -> Point3<f64> {
    let aspect = f64::from(rect.aspect_ratio());
    let Some(here) = camera.appears(&at, aspect) else { return at };
    let reach = 10.0 / f64::from(rect.height().max(1.0));
    let away = |place: &Point3<f64>| {
        let there = camera.appears(place, aspect)?;
        let offset = there - here;
        let distance = (offset.x * aspect).hypot(offset.y);
        (distance < reach).then_some((distance, *place))
    };
    let nearest = scene.places.iter().filter_map(away).min_by(|a, b| a.0.total_cmp(&b.0));
    nearest.map_or(at, |(_, place)| place)
}

fn plate(painter: &egui::Painter, rect: Rect, at: egui::Pos2, text: &str, palette: &Palette) {
    let ink = theme::colour(palette.ink);
    let galley = painter.layout_no_wrap(text.to_owned(), FontId::proportional(SMALL), ink);
    let size = galley.size() + vec2(16.0, 8.0);
    let low = rect.min + size / 2.0 + vec2(4.0, 4.0);
    let high = rect.max - size / 2.0 - vec2(4.0, 4.0);
    let middle = at.clamp(low, high.max(low));
    let frame = Rect::from_center_size(middle, size);
    painter.rect(
        frame,
        5.0,
        theme::colour(palette.paper),
        Stroke::new(1.0, theme::colour(palette.rule)),
        egui::StrokeKind::Inside,
    );
    painter.galley(frame.min + vec2(8.0, 4.0), galley, ink);
}
