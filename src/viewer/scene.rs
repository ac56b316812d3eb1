//! What is drawn, in single precision and near the origin: triangles with their places in their face's frame, edges with
//! their kinds, and the roof's soft shadow on the ground. Made from a roof and its solid, on the worker; no OpenGL here.

use super::pick::Picker;
use super::shadow::Shadow;
use super::theme::{self, Palette};
use crate::base::ids::{EdgeId, FaceId};
use crate::roof::frame::FaceFrame;
use crate::roof::solid::Solid;
use crate::roof::{EdgeKind, FaceKind, Roof};
use nalgebra::{Point2, Point3, Vector3};
use std::collections::HashMap;

/// How faces are shaded.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Shade {
    /// Form alone.
    Plain,
    /// The covering, courses and joints where they will lie.
    #[default]
    Covering,
    /// By pitch.
    Pitch,
    /// Lines of equal height.
    Height,
    /// Water running down to the eaves.
    Water,
    /// By how sure each area is.
    Certainty,
}

impl Shade {
    /// All shades, in the order the window offers them.
    pub const ALL: [Self; 6] = [Self::Covering, Self::Plain, Self::Pitch, Self::Height, Self::Water, Self::Certainty];

    /// Its name on the command line and in the window.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Covering => "covering",
            Self::Pitch => "pitch",
            Self::Height => "height",
            Self::Water => "water",
            Self::Certainty => "certainty",
        }
    }

    /// The shade of a name.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|shade| shade.word() == word)
    }

    /// The number the shader knows it by.
    #[must_use]
    pub fn number(self) -> i32 {
        match self {
            Self::Plain => 0,
            Self::Covering => 1,
            Self::Pitch => 2,
            Self::Height => 3,
            Self::Water => 4,
            Self::Certainty => 5,
        }
    }
}

/// The pattern of courses on a face, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Courses {
    /// Exposure.
    pub gauge: f64,
    /// Distance of slots or joints along a course.
    pub tab: f64,
    /// Of the first course below the eave.
    pub projection: f64,
    /// Shift of the first course in half tabs.
    pub phase: u32,
}

/// One corner of a triangle, as the shader takes it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Corners {
    /// Places near the origin.
    pub places: Vec<[f32; 3]>,
    /// Outward.
    pub normals: Vec<[f32; 3]>,
    /// Along the eave, up the slope, metres.
    pub frames: Vec<[f32; 2]>,
    /// Face number (-1 for the body), gauge, tab, phase.
    pub facts: Vec<[f32; 4]>,
}

/// An edge as drawn and labelled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// The roof's edge; `None` for edges of the walls below.
    pub edge: Option<EdgeId>,
    /// Its kind.
    pub kind: EdgeKind,
    /// One end, metres in the scene.
    pub from: Point3<f64>,
    /// The other.
    pub to: Point3<f64>,
}

/// Everything that is drawn of one answer.
pub struct Scene {
    /// Triangles' corners, three in a row each.
    pub corners: Corners,
    /// Edges.
    pub lines: Vec<Line>,
    /// What lies under the pointer.
    pub picker: Picker,
    /// On the ground.
    pub shadow: Shadow,
    /// Subtracted from the job's places.
    pub origin: Vector3<f64>,
    /// Corners of the whole, for fitting.
    pub places: Vec<Point3<f64>>,
    /// Middle of the whole.
    pub centre: Point3<f64>,
    /// Reach of the whole about its middle.
    pub radius: f64,
    /// Of the first course.
    pub projection: f64,
    /// Distinguishes scenes: buffers are filled again when it changes.
    pub serial: u64,
}

impl Scene {
    /// The scene of a roof. `courses_of` says how each face is covered; `None` leaves it bare. O(triangles log
    /// triangles).
    #[must_use]
    pub fn new(roof: &Roof, solid: &Solid, courses_of: impl Fn(FaceId) -> Option<Courses>) -> Self {
        let origin = origin_of(&solid.positions);
        let places: Vec<Point3<f64>> = solid.positions.iter().map(|place| place - origin).collect();
        let low = places.iter().map(|place| place.coords).reduce(|a, b| a.inf(&b)).unwrap_or_default();
        let high = places.iter().map(|place| place.coords).reduce(|a, b| a.sup(&b)).unwrap_or_default();
        let mut courses = Vec::with_capacity(roof.faces.len());
        courses.extend((0..roof.faces.len()).map(|index| courses_of(FaceId::new(index))));
        Self {
            corners: corners(roof, solid, &origin, &courses),
            lines: lines(roof, solid, &origin),
            picker: Picker::new(solid, &origin),
            shadow: Shadow::new(solid, &origin),
            origin,
            centre: Point3::from((low + high) / 2.0),
            radius: ((high - low).norm() / 2.0).max(0.1),
            projection: courses.iter().flatten().map(|courses| courses.projection).next().unwrap_or_default(),
            places,
            serial: next_serial(),
        }
    }

    /// The colour of every corner in a shade: red, green, blue, and 1 for roof, 0 for walls and floor. `unsure` is each
    /// face's relative standard deviation of its area, where known. O(triangles).
    #[must_use]
    pub fn tints(&self, roof: &Roof, shade: Shade, palette: &Palette, unsure: &[Option<f64>]) -> Vec<[f32; 4]> {
        let tint_of = |index: usize| {
            let Some(face) = roof.faces.get(index).filter(|face| face.kind == FaceKind::Roof) else {
                return (palette.wall, 0.0);
            };
            let share = |value: f64, most: f64| theme::between(&palette.scale, value / most);
            let colour = match shade {
                Shade::Covering => palette.roof,
                Shade::Plain | Shade::Height | Shade::Water => palette.bare,
                Shade::Pitch => share(face.plane.pitch().to_degrees(), STEEPEST_SHADE),
                Shade::Certainty => {
                    let known = unsure.get(index).copied().flatten();
                    known.map_or(palette.paper, |relative| share(relative, UNSUREST_SHADE))
                }
            };
            (colour, 1.0)
        };
        let each: Vec<[f32; 4]> = (0..roof.faces.len())
            .map(|index| {
                let (colour, kind) = tint_of(index);
                let [r, g, b] = theme::shader_colour(colour);
                [r, g, b, kind]
            })
            .collect();
        let [r, g, b] = theme::shader_colour(palette.wall);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let of = |fact: &[f32; 4]| if fact[0] < 0.0 { [r, g, b, 0.0] } else { each[fact[0] as usize] };
        self.corners.facts.iter().map(of).collect()
    }
}

/// The pitch that the steepest colour stands for, degrees.
pub const STEEPEST_SHADE: f64 = 60.0;

/// The relative standard deviation that the least sure colour stands for.
pub const UNSUREST_SHADE: f64 = 0.05;

fn next_serial() -> u64 {
    static NEXT: std::sync::atomic::AtomicU64 = std::sync::atomic::AtomicU64::new(1);
    NEXT.fetch_add(1, std::sync::atomic::Ordering::Relaxed)
}

/// The middle of the plan in whole metres; heights stay above datum unless the datum is far below.
fn origin_of(places: &[Point3<f64>]) -> Vector3<f64> {
    let low = places.iter().map(|place| place.coords).reduce(|a, b| a.inf(&b)).unwrap_or_default();
    let high = places.iter().map(|place| place.coords).reduce(|a, b| a.sup(&b)).unwrap_or_default();
    let middle = (low + high) / 2.0;
    let datum = if (0.0..20.0).contains(&low.z) { 0.0 } else { low.z };
    Vector3::new(middle.x.round(), middle.y.round(), datum)
}

#[allow(clippy::cast_possible_truncation)]
fn single(v: &Vector3<f64>) -> [f32; 3] {
    [v.x as f32, v.y as f32, v.z as f32]
}

#[allow(clippy::cast_possible_truncation)]
fn corners(roof: &Roof, solid: &Solid, origin: &Vector3<f64>, courses: &[Option<Courses>]) -> Corners {
    let frames: Vec<Option<FaceFrame>> = roof.faces.iter().map(|face| FaceFrame::of(roof, face)).collect();
    let count = 3 * solid.triangles.len();
    let mut corners = Corners {
        places: Vec::with_capacity(count),
        normals: Vec::with_capacity(count),
        frames: Vec::with_capacity(count),
        facts: Vec::with_capacity(count),
    };
    for (triangle, face) in solid.triangles.iter().zip(&solid.face_of) {
        let places = triangle.map(|corner| solid.positions[corner as usize]);
        let own = (places[1] - places[0]).cross(&(places[2] - places[0]));
        let normal = match face {
            Some(face) => roof.faces[face.index()].plane.normal,
            None => own.try_normalize(0.0).unwrap_or_else(Vector3::z),
        };
        let frame = face.and_then(|face| frames[face.index()]);
        let pattern = face.and_then(|face| courses[face.index()]);
        let fact = [
            face.map_or(-1.0, |face| face.index() as f32),
            pattern.map_or(0.0, |pattern| pattern.gauge as f32),
            pattern.map_or(1.0, |pattern| pattern.tab as f32),
            pattern.map_or(0.0, |pattern| pattern.phase as f32),
        ];
        for place in places {
            let at = frame.map_or_else(Point2::origin, |frame| frame.to_face(&place));
            corners.places.push(single(&(place.coords - origin)));
            corners.normals.push(single(&normal));
            corners.frames.push([at.x as f32, at.y as f32]);
            corners.facts.push(fact);
        }
    }
    corners
}

/// The roof's edges, and the corners and feet of the walls below the outline: edges between two of their triangles that
/// do not lie in one plane.
fn lines(roof: &Roof, solid: &Solid, origin: &Vector3<f64>) -> Vec<Line> {
    let at = |place: Point3<f64>| place - origin;
    let mut lines: Vec<Line> = (roof.edges.iter().enumerate())
        .map(|(index, edge)| Line {
            edge: Some(EdgeId::new(index)),
            kind: edge.kind,
            from: at(roof.at(edge.from)),
            to: at(roof.at(edge.to)),
        })
        .collect();
    let mut normals: HashMap<(u32, u32), Vector3<f64>> = HashMap::new();
    let mut found = Vec::new();
    for (triangle, _) in solid.triangles.iter().zip(&solid.face_of).filter(|(_, face)| face.is_none()) {
        let places = triangle.map(|corner| solid.positions[corner as usize]);
        let normal = (places[1] - places[0]).cross(&(places[2] - places[0])).try_normalize(0.0).unwrap_or_default();
        for i in 0..3 {
            let (a, b) = (triangle[i], triangle[(i + 1) % 3]);
            match normals.get(&(b, a)) {
                // Flat within a tenth of a degree.
                Some(other) if other.cross(&normal).norm() > 2e-3 || other.dot(&normal) < 0.0 => found.push((a, b)),
                Some(_) => {}
                None => {
                    normals.insert((a, b), normal);
                }
            }
        }
    }
    lines.extend(found.into_iter().map(|(a, b)| {
        let (from, to) = (at(solid.positions[a as usize]), at(solid.positions[b as usize]));
        let plumb = (to - from).xy().norm() < 1e-3 * (to - from).norm();
        Line { edge: None, kind: if plumb { EdgeKind::Corner } else { EdgeKind::Base }, from, to }
    }));
    lines
}
