//! What the gallery keeps: its cards, made once beside the window.

#![allow(clippy::cast_possible_truncation)]

use crate::base::order::SortByNumber as _;
use crate::roof::FaceKind;
use crate::roof::model::solid::Solid;
use crate::viewer::backend::{Answered, Backend, Source};
use crate::viewer::deferred::Deferred;
use eframe::egui::{Pos2, pos2};
use nalgebra::{Point3, Vector3};
use std::sync::Arc;

/// Something to begin from.
#[derive(Clone, Debug)]
pub struct Card {
    /// What it is, in a few words.
    pub about: String,
    /// The roof file.
    pub text: String,
    /// Its roof; `None` where it has none yet.
    pub picture: Option<Thumbnail>,
}

/// All there is to begin from.
#[derive(Clone, Debug, Default)]
pub struct Cards {
    /// Plain shapes.
    pub shapes: Vec<Card>,
    /// Whole jobs to look into.
    pub examples: Vec<Card>,
}

impl Cards {
    /// Solves everything there is to begin from. Some tens of milliseconds: not for the window's thread.
    #[must_use]
    pub fn of(backend: &Arc<dyn Backend>) -> Self {
        let card = |(about, text): (String, String)| {
            let picture = backend.answer(Source { text: &text, path: None }, false).ok();
            let picture = picture.and_then(|answered| Thumbnail::of(&answered));
            Card { about, text, picture }
        };
        Self {
            shapes: backend.shapes().into_iter().map(card).collect(),
            examples: backend.examples().into_iter().map(card).collect(),
        }
    }
}

/// The gallery.
#[derive(Debug, Default)]
pub struct Gallery {
    /// On their way or here.
    pub(super) cards: Deferred<Arc<Cards>>,
}

impl Gallery {
    /// Whether nothing is being worked out.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        self.cards.is_idle()
    }
}

/// A part of a thumbnail: a face of the roof, or a piece of wall.
#[derive(Clone, Debug)]
pub struct Part {
    /// Triangles, corners in the picture: x and y from 0 to 1, y down.
    pub triangles: Vec<[Pos2; 3]>,
    /// Its edges; none for a piece of wall below the roof.
    pub edges: Vec<[Pos2; 2]>,
    /// How much light falls on it, 0 to 1.
    pub light: f32,
    /// Whether it is roof.
    pub is_roof: bool,
}

/// A roof seen from its front left corner and above, as parts to paint in their order.
#[derive(Clone, Debug)]
pub struct Thumbnail {
    /// Farthest first.
    pub parts: Vec<Part>,
    /// Width over height.
    pub aspect: f32,
}

/// How far below the lowest eave walls are shown, as a share of the picture's largest size in plan.
const WALL: f64 = 0.16;

impl Thumbnail {
    /// The picture of an answer. `None` for one without a roof. O(n log n).
    #[must_use]
    pub fn of(answered: &Answered) -> Option<Self> {
        let roof = &answered.answer.roof;
        let solid: &Solid = &answered.solid;
        // Into the picture: to the right, down, away.
        let away = Vector3::new(0.55, 0.80, -0.62).normalize();
        let right = away.cross(&Vector3::z()).normalize();
        let down = away.cross(&right).normalize();
        let eave = roof.corners.iter().map(|corner| corner.z).reduce(f64::min)?;
        let plan = |axis: usize| {
            let all = || roof.corners.iter().map(|corner| corner[axis]);
            all().fold(f64::NEG_INFINITY, f64::max) - all().fold(f64::INFINITY, f64::min)
        };
        let floor = eave - WALL * plan(0).max(plan(1));
        let seen = |place: &Point3<f64>| {
            let place = Vector3::new(place.x, place.y, place.z.max(floor));
            [place.dot(&right), place.dot(&down), place.dot(&away)]
        };
        let sun = Vector3::new(-0.35, -0.60, 0.72).normalize();
        // Faces of the roof as one part each, walls triangle by triangle: each with its depth.
        let mut parts: Vec<(f64, RawPart)> = Vec::new();
        let mut of_face: Vec<Option<usize>> = vec![None; roof.faces.len()];
        for (triangle, face) in solid.triangles.iter().zip(&solid.face_of) {
            let [a, b, c] = triangle.map(|corner| solid.positions[corner as usize]);
            let normal = (b - a).cross(&(c - a));
            let normal = normal.try_normalize(0.0).filter(|normal| normal.dot(&away) < 0.0);
            let Some(normal) = normal else { continue };
            let corners = [a, b, c].map(|corner| seen(&corner));
            let known = face.and_then(|face| of_face[face.index()]);
            let part = known.unwrap_or_else(|| {
                let rings: Vec<Vec<Point3<f64>>> = face.map_or_else(Vec::new, |face| {
                    let face = &roof.faces[face.index()];
                    std::iter::once(roof.ring(face)).chain(roof.holes(face)).collect()
                });
                let edges = rings.iter().flat_map(|ring| {
                    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(from, to)| [flat(seen(from)), flat(seen(to))])
                });
                let edges = edges.collect();
                let is_roof = face.is_some_and(|face| roof.faces[face.index()].kind == FaceKind::Roof);
                let light = (0.25 + 0.75 * normal.dot(&sun).max(0.0)) as f32;
                parts.push((0.0, RawPart { triangles: Vec::new(), edges, light, is_roof }));
                if let Some(face) = face {
                    of_face[face.index()] = Some(parts.len() - 1);
                }
                parts.len() - 1
            });
            let (depth, part) = &mut parts[part];
            let count = part.triangles.len() as f64;
            let own = (corners[0][2] + corners[1][2] + corners[2][2]) / 3.0;
            *depth = (*depth * count + own) / (count + 1.0);
            part.triangles.push(corners.map(flat));
        }
        parts.sort_by_largest(|a| a.0);
        let places = || parts.iter().flat_map(|(_, part)| part.triangles.iter().flatten());
        let bound = |axis: usize| {
            let all = || places().map(|place| place[axis]);
            [all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max)]
        };
        let [left, right] = bound(0);
        let [top, bottom] = bound(1);
        let size = [right - left, bottom - top];
        if !size.iter().all(|size| *size > 0.0) {
            return None;
        }
        let place = |[x, y]: [f64; 2]| pos2(((x - left) / size[0]) as f32, ((y - top) / size[1]) as f32);
        let parts = parts.into_iter().map(|(_, part)| Part {
            triangles: part.triangles.into_iter().map(|corners| corners.map(place)).collect(),
            edges: part.edges.into_iter().map(|ends| ends.map(place)).collect(),
            light: part.light,
            is_roof: part.is_roof,
        });
        Some(Self { parts: parts.collect(), aspect: (size[0] / size[1]) as f32 })
    }
}

/// A part before the picture's size is known.
struct RawPart {
    triangles: Vec<[[f64; 2]; 3]>,
    edges: Vec<[[f64; 2]; 2]>,
    light: f32,
    is_roof: bool,
}

fn flat([x, y, _]: [f64; 3]) -> [f64; 2] {
    [x, y]
}
