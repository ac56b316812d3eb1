//! Names and lengths beside the edges, names and facts on the faces: text over the 3D view, drawn by egui both in the
//! window and in pictures. Labels that would lie over each other or over an edge's own label are left out, the most
//! important ones placed first.

use super::camera::Camera;
use super::pick;
use super::scene::{Scene, SceneEdge};
use super::stage::Tag;
use super::theme::{self, Palette, SMALL};
use crate::base::estimate::Estimate;
use crate::base::ids::FaceId;
use crate::base::order::SortByNumber as _;
use crate::base::units::LengthUnit;
use crate::job::answer::Answer;
use crate::roof::{EdgeKind, Face, FaceKind};
use crate::wording::estimate;
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::{Color32, FontId, Pos2, Rect, Vec2, vec2};
use nalgebra::Point3;

/// What is labelled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Labels {
    /// Kinds and lengths of edges.
    pub edges: bool,
    /// Names, areas and pitches of faces.
    pub faces: bool,
}

/// What labelling needs to know.
pub struct Scenery<'a> {
    /// What was found.
    pub answer: &'a Answer,
    /// Its scene.
    pub scene: &'a Scene,
    /// Where it is seen from.
    pub camera: &'a Camera,
    /// Colours.
    pub palette: &'static Palette,
    /// For people.
    pub units: LengthUnit,
    /// Whether to tell how unsure it is.
    pub with_uncertainty: bool,
    /// What lies beyond this plane is cut away: n · p > d, in the scene.
    pub section: Option<(nalgebra::Vector3<f64>, f64)>,
}

impl Scenery<'_> {
    /// A number as it is told here: with its ± or without.
    fn describe(&self, estimate: Estimate) -> Estimate {
        if self.with_uncertainty { estimate } else { estimate.alone() }
    }
}

struct Wanted {
    text: String,
    at: Pos2,
    /// Along the label's edge, for pushing it aside; zero for a face.
    along: Vec2,
    /// Away from the middle of the roof, the side an edge's label is first tried on.
    outward: Vec2,
    rank: f64,
    size: f32,
    ink: Color32,
}

/// Draws the labels of the view that fills `rect`, all of them within `free`; the view's own tags come first.
pub fn draw(painter: &egui::Painter, rect: Rect, free: Rect, scenery: &Scenery, labels: Labels, tags: &[Tag]) {
    let mut wanted: Vec<Wanted> = tags.iter().filter_map(|tag| tag_label(rect, scenery, tag)).collect();
    if labels.faces {
        wanted.extend(face_labels(rect, scenery));
    }
    if labels.edges {
        wanted.extend(edge_labels(rect, scenery));
    }
    wanted.sort_by_largest(|a| a.rank);
    let mut taken: Vec<Rect> = Vec::new();
    for label in wanted {
        place(painter, free, scenery.palette, &label, &mut taken);
    }
}

fn place(painter: &egui::Painter, rect: Rect, palette: &Palette, label: &Wanted, taken: &mut Vec<Rect>) {
    let galley = painter.layout_no_wrap(label.text.clone(), FontId::proportional(label.size), label.ink);
    let half = galley.size() / 2.0 + vec2(4.0, 2.0);
    // Beside the edge first on one side, then on the other, then slid along it.
    let across = label.along.rot90();
    let reach = across.x.abs() * half.x + across.y.abs() * half.y + 5.0;
    let shifts: Vec<Vec2> = if label.along == Vec2::ZERO {
        [0.0, 1.0, -1.0, 2.0, -2.0].map(|step| vec2(0.0, step * (half.y + 2.0))).to_vec()
    } else {
        let sides = if across.dot(label.outward) > 0.0 { [1.0, -1.0] } else { [-1.0, 1.0] };
        let slides = [0.0, 0.6, -0.6];
        slides
            .iter()
            .flat_map(|slide| sides.map(|side| across * (side * reach) + label.along * (slide * half.x)))
            .collect()
    };
    let fits = |shift: &Vec2| {
        let frame = Rect::from_center_size(label.at + *shift, half * 2.0);
        rect.shrink(4.0).contains_rect(frame) && !taken.iter().any(|other| other.intersects(frame))
    };
    let Some(shift) = shifts.into_iter().find(fits) else { return };
    let middle = label.at + shift;
    taken.push(Rect::from_center_size(middle, half * 2.0));
    // A halo of paper keeps text readable over courses and lines.
    let corner = middle - galley.size() / 2.0;
    let halo = theme::colour(palette.paper).gamma_multiply(0.86);
    let plate = Rect::from_center_size(middle, galley.size() + vec2(8.0, 2.0));
    painter.rect_filled(plate, 8.0, halo);
    painter.galley(corner, galley, label.ink);
}

fn tag_label(rect: Rect, scenery: &Scenery, tag: &Tag) -> Option<Wanted> {
    let at = on_screen(rect, scenery.camera, &tag.at)?;
    let along = tag.along.and_then(|along| {
        let ends = [-0.1, 0.1].map(|step| on_screen(rect, scenery.camera, &(tag.at + along * step)));
        let [from, to] = [ends[0]?, ends[1]?];
        Some((to - from).normalized())
    });
    Some(Wanted {
        text: tag.text.clone(),
        at,
        along: along.unwrap_or(Vec2::ZERO),
        outward: vec2(0.0, -1.0),
        rank: 1e6,
        size: SMALL,
        ink: theme::colour(scenery.palette.accent),
    })
}

fn on_screen(rect: Rect, camera: &Camera, place: &Point3<f64>) -> Option<Pos2> {
    let at = camera.appears(place, f64::from(rect.aspect_ratio()))?;
    #[allow(clippy::cast_possible_truncation)]
    Some(rect.min + vec2(at.x as f32, at.y as f32) * rect.size())
}

/// Whether the eye sees a place, nothing of the roof standing before it.
fn seen(scenery: &Scenery, place: &Point3<f64>) -> bool {
    let kept = scenery.section.is_none_or(|(normal, limit)| normal.dot(&place.coords) <= limit);
    kept && pick::is_seen(scenery.scene, &scenery.camera.eye(), place, scenery.section)
}

/// Whether a face is seen from its front, and not so flat a sliver that no name fits it.
fn is_open_to(scenery: &Scenery, face: &Face, place: &Point3<f64>) -> bool {
    let towards = scenery.camera.eye() - place;
    face.plane.normal.dot(&towards) >= 0.12 * towards.norm()
}

fn face_labels(rect: Rect, scenery: &Scenery) -> Vec<Wanted> {
    let (roof, format) = (&scenery.answer.roof, Format::of(scenery.units));
    let mut wanted = Vec::new();
    for (index, face) in roof.faces.iter().enumerate().filter(|(_, face)| face.kind == FaceKind::Roof) {
        let ring: Vec<Point3<f64>> = roof.ring(face).iter().map(|place| place - scenery.scene.origin).collect();
        let Some(middle) = inner_place(&ring) else { continue };
        if !is_open_to(scenery, face, &middle) {
            continue;
        }
        let Some(at) = on_screen(rect, scenery.camera, &middle).filter(|_| seen(scenery, &middle)) else { continue };
        let of = scenery.answer.of_face(FaceId::new(index));
        let size = of.area.value().unwrap_or_default();
        let facts = format!(
            "{}\n{} · {}",
            face.name(),
            estimate::area(&scenery.describe(of.area), format),
            estimate::pitch(&scenery.describe(of.pitch), format)
        );
        wanted.push(Wanted {
            text: facts,
            at,
            along: Vec2::ZERO,
            outward: Vec2::ZERO,
            rank: 1e3 + size,
            size: SMALL,
            ink: theme::colour(scenery.palette.ink),
        });
    }
    wanted
}

/// The middle of a face by area: of the fan about its first corner, so that it lies inside for all but hooked outlines;
/// for those the middle of its longest edge drawn a little inwards.
fn inner_place(ring: &[Point3<f64>]) -> Option<Point3<f64>> {
    let first = ring.first()?;
    let whole = crate::base::polygon::vector_area(ring);
    let normal = whole.try_normalize(0.0)?;
    let mut sum = nalgebra::Vector3::zeros();
    for pair in ring.windows(2).skip(1) {
        let share = (pair[0] - first).cross(&(pair[1] - first)).dot(&normal) / 2.0;
        sum += ((pair[0] - first) + (pair[1] - first)) / 3.0 * share;
    }
    Some(first + sum / whole.norm())
}

fn edge_labels(rect: Rect, scenery: &Scenery) -> Vec<Wanted> {
    let named = |line: &&SceneEdge| line.edge.is_some() && !line.kind.is_wall_only();
    let format = Format::of(scenery.units);
    let corners: Vec<Pos2> = (scenery.answer.roof.corners.iter())
        .filter_map(|corner| on_screen(rect, scenery.camera, &(corner - scenery.scene.origin)))
        .collect();
    #[allow(clippy::cast_precision_loss)]
    let middle_of_roof = corners.iter().fold(Vec2::ZERO, |sum, at| sum + at.to_vec2()) / corners.len().max(1) as f32;
    let middle_of_roof = middle_of_roof.to_pos2();
    let mut wanted = Vec::new();
    for line in scenery.scene.lines.iter().filter(named) {
        let middle = nalgebra::center(&line.from, &line.to);
        let ends = [&line.from, &line.to].map(|end| on_screen(rect, scenery.camera, end));
        let ([Some(from), Some(to)], Some(at)) = (ends, on_screen(rect, scenery.camera, &middle)) else { continue };
        let drawn = to - from;
        if drawn.length() < 30.0 || !seen(scenery, &middle) {
            continue;
        }
        let Some(edge) = line.edge else { continue };
        // Along the back of the roof a label would lie on another face and be read as of that one.
        let roof = &scenery.answer.roof;
        let faces = &roof.edges[edge.index()].faces;
        if !faces.iter().any(|face| is_open_to(scenery, &roof.faces[face.index()], &middle)) {
            continue;
        }
        let length = scenery.answer.length(edge);
        wanted.push(Wanted {
            text: format!("{} {}", line.kind.word(), estimate::length(&scenery.describe(length), format)),
            at,
            along: drawn.normalized(),
            outward: at - middle_of_roof,
            rank: importance(line.kind) + length.value().unwrap_or_default().min(50.0),
            size: SMALL,
            ink: theme::colour(scenery.palette.ink),
        });
    }
    wanted
}

fn importance(kind: EdgeKind) -> f64 {
    match kind {
        EdgeKind::Ridge => 500.0,
        EdgeKind::Valley => 400.0,
        EdgeKind::Hip => 300.0,
        EdgeKind::Eave => 200.0,
        _ => 100.0,
    }
}
