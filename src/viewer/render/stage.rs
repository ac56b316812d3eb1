//! From a scene, a camera and what is switched on to the picture the graphics card draws: shared by the window and by
//! pictures without one.

use super::camera::Camera;
use super::gpu::{Cap, Picture, Stroke};
use super::scene::{self, MAGNIFIED, Scene, Shade, UNSUREST_LENGTH};
use super::shadow::Shadow;
use super::theme::{self, Palette, Pen, Rgb};
use crate::base::ids::{EdgeId, FaceId};
use crate::roof::Roof;
use crate::viewer::backend::Unsure;
use nalgebra::{Point3, Vector3};
use std::sync::Arc;

/// What is switched on.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// How faces are shaded.
    pub shade: Shade,
    /// Face under the pointer.
    pub hovered: Option<FaceId>,
    /// Chosen face.
    pub chosen: Option<FaceId>,
    /// Chosen edge.
    pub edge: Option<EdgeId>,
    /// What lies beyond this plane is cut away: n · p > d, in the scene.
    pub section: Option<(Vector3<f64>, f64)>,
    /// Time of running water, seconds.
    pub seconds: f32,
}

impl Look {
    /// A shade and nothing else.
    #[must_use]
    pub fn plain(shade: Shade) -> Self {
        Self { shade, hovered: None, chosen: None, edge: None, section: None, seconds: 0.0 }
    }
}

/// What a shadow hangs on: the scene and what is cut away of it.
type Cutoff = (u64, Option<(Vector3<f64>, f64)>);

/// What colours (the first three) and strokes hang on.
type Key = (u64, Shade, Rgb, Option<EdgeId>, Option<FaceId>);

/// Colours and strokes that are made once and kept while nothing they hang on changes.
#[derive(Clone, Debug, Default)]
pub struct Dressing {
    key: Option<Key>,
    tints: Arc<Vec<[f32; 4]>>,
    variances: Arc<Vec<[f32; 4]>>,
    strokes: Arc<Vec<Stroke>>,
    shadow: Option<(Cutoff, Arc<Shadow>)>,
}

impl Dressing {
    /// Makes colours, strokes and the shadow of what a section leaves where they are stale. O(triangles + edges), else
    /// O(1).
    pub fn dress(&mut self, roof: &Roof, scene: &Scene, look: &Look, palette: &'static Palette, unsure: &Unsure) {
        let cutoff = (scene.serial, look.section);
        if self.shadow.as_ref().is_none_or(|(of, _)| *of != cutoff) {
            let shadow = match look.section {
                Some(_) => Arc::new(Shadow::new(&scene.corners.places, look.section)),
                None => Arc::clone(&scene.shadow),
            };
            self.shadow = Some((cutoff, shadow));
        }
        let key = (scene.serial, look.shade, palette.paper, look.edge, look.chosen);
        if self.key == Some(key) {
            return;
        }
        let same_tints = self.key.is_some_and(|(serial, shade, of, ..)| (serial, shade, of) == (key.0, key.1, key.2));
        if !same_tints {
            self.variances = Arc::new(scene::variances(roof, unsure));
            self.tints = Arc::new(scene.tints(roof, look.shade, palette));
        }
        self.strokes = Arc::new(strokes(roof, scene, look, palette, unsure));
        self.key = Some(key);
    }

    /// The picture of what was dressed last.
    #[must_use]
    pub fn picture(
        &self,
        scene: &Scene,
        camera: &Camera,
        look: &Look,
        palette: &'static Palette,
        size: [u32; 2],
        scale: f32,
    ) -> Picture {
        let aspect = f64::from(size[0].max(1)) / f64::from(size[1].max(1));
        // The ground reaches farther than the roof.
        let matrix = camera.matrix(aspect, &scene.centre, scene.radius * 3.7);
        Picture {
            size: [size[0].max(1), size[1].max(1)],
            scale,
            matrix,
            eye: camera.eye(),
            palette,
            shade: look.shade,
            hovered: look.hovered.map(FaceId::index),
            chosen: look.chosen.map(FaceId::index),
            section: look.section,
            contour: 0.25,
            seconds: look.seconds,
            tints: Arc::clone(&self.tints),
            variances: Arc::clone(&self.variances),
            strokes: Arc::clone(&self.strokes),
            shadow: self.shadow.as_ref().map_or_else(|| Arc::clone(&scene.shadow), |(_, shadow)| Arc::clone(shadow)),
            marks: Arc::default(),
            caps: Vec::new(),
            over: false,
        }
    }
}

/// Every edge in its pen; those of the chosen face and the chosen edge heavier and in the accent; by certainty, the less
/// sure a length the heavier.
fn strokes(roof: &Roof, scene: &Scene, look: &Look, palette: &Palette, unsure: &Unsure) -> Vec<Stroke> {
    let chosen = look.chosen.and_then(|face| roof.faces.get(face.index()));
    let mut strokes: Vec<Stroke> = Vec::with_capacity(scene.lines.len());
    let mut marked = Vec::new();
    for line in &scene.lines {
        let pen = theme::pen(line.kind);
        let on_face = line.edge.is_some_and(|edge| chosen.is_some_and(|face| face.edges.contains(&edge)));
        let is_chosen = line.edge.is_some() && line.edge == look.edge;
        let sd = line.edge.and_then(|edge| unsure.lengths.get(edge.index()).copied().flatten());
        let pen = match sd.filter(|_| look.shade == Shade::Certainty) {
            Some(sd) => Pen { width: pen.width + 9.0 * single((sd / UNSUREST_LENGTH).min(1.0)), ..pen },
            None => pen,
        };
        if is_chosen || on_face {
            let pen = Pen { width: pen.width + if is_chosen { 2.4 } else { 0.8 }, ..pen };
            marked.push(stroke(&line.from, &line.to, pen, palette.accent, 1.0));
        } else {
            let opacity = if line.kind.is_wall_only() { 0.55 } else { 0.94 };
            strokes.push(stroke(&line.from, &line.to, pen, palette.ink, opacity));
        }
    }
    strokes.extend(marked);
    if look.shade == Shade::Certainty {
        strokes.extend(bars(scene, palette, unsure));
    }
    strokes
}

/// A cross at every surveyed point: its arms are the standard deviations along x, y and z, [`MAGNIFIED`].
fn bars(scene: &Scene, palette: &Palette, unsure: &Unsure) -> Vec<Stroke> {
    let pen = Pen { width: 2.6, dash: 0.0, gap: 0.0, dot: 0.0 };
    let arms = |(at, sd): &(Point3<f64>, [f64; 3])| {
        let at = at - scene.origin;
        [Vector3::x(), Vector3::y(), Vector3::z()]
            .into_iter()
            .zip(*sd)
            .map(move |(axis, sd)| {
                stroke(&(at - axis * (sd * MAGNIFIED)), &(at + axis * (sd * MAGNIFIED)), pen, palette.fault, 1.0)
            })
            .collect::<Vec<Stroke>>()
    };
    unsure.points.iter().flat_map(arms).collect()
}

#[allow(clippy::cast_possible_truncation)]
fn single(value: f64) -> f32 {
    value as f32
}

/// A stroke between two places of the scene.
#[must_use]
pub fn stroke(from: &Point3<f64>, to: &Point3<f64>, pen: Pen, ink: theme::Rgb, opacity: f32) -> Stroke {
    let [r, g, b] = theme::shader_colour(ink);
    Stroke {
        from: corner(from),
        to: corner(to),
        style: [pen.width, pen.dash, pen.gap, pen.dot],
        ink: [r, g, b, opacity],
    }
}

/// A place of the scene for the graphics card.
#[must_use]
pub fn corner(place: &Point3<f64>) -> [f32; 3] {
    [place.x, place.y, place.z].map(single)
}

/// What a view draws over the roof.
#[derive(Clone, Debug, Default)]
pub struct Extra {
    /// Lines that no section cuts away.
    pub marks: Arc<Vec<Stroke>>,
    /// Areas filled or hatched.
    pub caps: Vec<Cap>,
    /// Words at places.
    pub tags: Vec<Tag>,
    /// Whether lines and area are seen through the roof.
    pub over: bool,
}

impl Extra {
    /// Both.
    #[must_use]
    pub fn with(mut self, other: Self) -> Self {
        if !other.marks.is_empty() {
            self.marks = Arc::new(self.marks.iter().chain(other.marks.iter()).copied().collect());
        }
        self.caps.extend(other.caps);
        self.tags.extend(other.tags);
        self.over |= other.over;
        self
    }
}

/// Words at a place of the scene.
#[derive(Clone, Debug, PartialEq)]
pub struct Tag {
    /// Where, metres in the scene.
    pub at: Point3<f64>,
    /// Along this line, when they belong to one: they are set beside it.
    pub along: Option<Vector3<f64>>,
    /// What.
    pub text: String,
}
