//! What is drawn, in single precision and near the origin: triangles with their places in their face's frame, edges with
//! their kinds, and the roof's soft shadow on the ground. Made from a roof and its solid, on the worker; no OpenGL here.

use super::pick::Picker;
use super::shadow::Shadow;
use super::theme::{self, Palette};
use crate::base::ids::{EdgeId, FaceId};
use crate::base::tolerance::{BESIDE, SMALLEST};
use crate::drawing::Pen;
use crate::drawing::views::body::Body;
use crate::roof::kernel::shell;
use crate::roof::model::frame::FaceFrame;
use crate::roof::model::solid::Solid;
use crate::roof::{EdgeKind, Face, FaceKind, Roof};
use crate::viewer::backend::Unsure;
use nalgebra::{Isometry3, Point2, Point3, Vector3};
use std::collections::HashMap;
use std::sync::Arc;

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
    /// By how sure each face's plane is, all over it.
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

/// The courses on a face, metres in its frame.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Courses {
    /// Exposure.
    pub gauge: f64,
    /// Distance of slots along a course.
    pub tab: f64,
    /// Width of a piece with its joint: distance of end joints.
    pub piece: f64,
    /// Of each course from the eave up: its butt line, and the place of one of its joints.
    pub rows: Vec<[f64; 2]>,
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
    /// Face number (-1 for the body), gauge, tab, where the face's courses begin in [`Scene::courses`].
    pub facts: Vec<[f32; 4]>,
}

/// An edge as drawn and labelled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SceneEdge {
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
    pub lines: Vec<SceneEdge>,
    /// What lies under the pointer.
    pub picker: Picker,
    /// On the ground.
    pub shadow: Arc<Shadow>,
    /// Subtracted from the job's places.
    pub origin: Vector3<f64>,
    /// Corners of the whole, for fitting.
    pub places: Vec<Point3<f64>>,
    /// Middle of the whole.
    pub centre: Point3<f64>,
    /// Reach of the whole about its middle.
    pub radius: f64,
    /// For each covered face: count of courses and width of a piece, then butt and joint of each course.
    pub courses: Vec<[f32; 2]>,
    /// Whether faces are sheets that are seen from both sides, and not the outside of a body.
    pub is_sheet: bool,
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
        let patterns = Patterns::of(roof, courses_of);
        let drawn = solid.triangles.iter().zip(&solid.face_of).map(|(triangle, face)| {
            let at = triangle.map(|corner| solid.positions[corner as usize]);
            let normal = match face {
                Some(face) => roof.faces[face.index()].plane.normal,
                None => normal_of(&at),
            };
            Drawn { at, in_face: at, normal, face: *face }
        });
        let corners = corners(roof, &patterns, &origin, drawn);
        Self::around(solid, &origin, places, corners, lines(roof, solid, &origin), patterns.courses)
    }

    /// The polygons of a body, each moved by its own pose: the roof on its way into the net. Courses stay where they
    /// are on their faces. O(triangles log triangles).
    #[must_use]
    pub(crate) fn posed(
        roof: &Roof,
        body: &Body,
        poses: &[Isometry3<f64>],
        courses_of: impl Fn(FaceId) -> Option<Courses>,
    ) -> Self {
        let mut loose = Solid::default();
        let mut drawn = Vec::with_capacity(body.triangles.len());
        for (triangle, flat) in &body.triangles {
            let in_face = triangle.map(|corner| body.places[corner]);
            let at = in_face.map(|place| poses[*flat] * place);
            let face = body.flats[*flat].face;
            drawn.push(Drawn { at, in_face, normal: poses[*flat] * body.flats[*flat].normal, face });
            let first = u32::try_from(loose.positions.len()).unwrap_or_default();
            loose.positions.extend(at);
            loose.triangles.push([first, first + 1, first + 2]);
            loose.face_of.push(face);
        }
        let places = &loose.positions;
        let low = places.iter().map(|place| place.coords).reduce(|a, b| a.inf(&b)).unwrap_or_default();
        let high = places.iter().map(|place| place.coords).reduce(|a, b| a.sup(&b)).unwrap_or_default();
        // On the ground, in the middle, however far the sheet has opened.
        let middle = (low + high) / 2.0;
        let origin = Vector3::new(middle.x, middle.y, low.z - 0.002);
        let patterns = Patterns::of(roof, courses_of);
        let corners = corners(roof, &patterns, &origin, drawn.into_iter());
        let places = loose.positions.iter().map(|place| place - origin).collect();
        let mut lines = Vec::new();
        for fold in &body.folds {
            let kind = match fold.pen {
                Pen::Edge(kind) => kind,
                _ => EdgeKind::Corner,
            };
            for flat in fold.flats.into_iter().flatten() {
                let [from, to] = fold.ends.map(|end| poses[flat] * body.places[end] - origin);
                lines.push(SceneEdge { edge: None, kind, from, to });
            }
        }
        Self { is_sheet: true, ..Self::around(&loose, &origin, places, corners, lines, patterns.courses) }
    }

    fn around(
        solid: &Solid,
        origin: &Vector3<f64>,
        places: Vec<Point3<f64>>,
        corners: Corners,
        lines: Vec<SceneEdge>,
        courses: Vec<[f32; 2]>,
    ) -> Self {
        let low = places.iter().map(|place| place.coords).reduce(|a, b| a.inf(&b)).unwrap_or_default();
        let high = places.iter().map(|place| place.coords).reduce(|a, b| a.sup(&b)).unwrap_or_default();
        Self {
            lines,
            picker: Picker::new(solid, origin),
            shadow: Arc::new(Shadow::new(&corners.places, None)),
            origin: *origin,
            centre: Point3::from((low + high) / 2.0),
            radius: ((high - low).norm() / 2.0).max(0.1),
            courses,
            places,
            is_sheet: false,
            corners,
            serial: next_serial(),
        }
    }

    /// The colour of every corner in a shade: red, green, blue, and 1 for roof, 0 for walls and floor. O(triangles).
    #[must_use]
    pub fn tints(&self, roof: &Roof, shade: Shade, palette: &Palette) -> Vec<[f32; 4]> {
        let tint_of = |index: usize| {
            let Some(face) = roof.faces.get(index).filter(|face| face.kind == FaceKind::Roof) else {
                return (palette.wall, 0.0);
            };
            let colour = match shade {
                Shade::Covering => palette.roof,
                Shade::Plain | Shade::Height | Shade::Water => palette.bare,
                Shade::Pitch => theme::between(&palette.scale, face.plane.pitch().to_degrees() / STEEPEST_SHADE),
                // What is known is coloured place by place, by the shader.
                Shade::Certainty => palette.paper,
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

/// The standard deviation of a plane that the least sure colour stands for, metres.
pub const UNSUREST_SHADE: f64 = 0.03;

/// The standard deviation of a length that the heaviest line stands for, metres.
pub const UNSUREST_LENGTH: f64 = 0.05;

/// Standard deviations of points are drawn this many times as long as they are.
pub const MAGNIFIED: f64 = 50.0;

/// The frame a face's places are told to the shader in; of a level face one along x and y.
#[must_use]
pub(crate) fn frame_of(roof: &Roof, face: &Face) -> Option<FaceFrame> {
    let level = || {
        let origin = *roof.ring(face).first()?;
        Some(FaceFrame { origin, along: Vector3::x(), up: Vector3::y() })
    };
    FaceFrame::of(roof, face).or_else(level)
}

/// The variance of each face's plane as the shader takes it, two rows a face: v(x, y) = a + b x + c y + d x² + e x y +
/// f y², square metres by the place in the face's frame; the last but one of the second row is 1 where it is known.
#[must_use]
pub fn variances(roof: &Roof, unsure: &Unsure) -> Vec<[f32; 4]> {
    let of = |(index, face): (usize, &Face)| -> Option<[[f32; 4]; 2]> {
        let spread = unsure.planes.get(index).copied().flatten()?;
        let frame = frame_of(roof, face)?;
        let at = |x: f64, y: f64| spread.shares(&frame.to_space(&Point2::new(x, y)));
        let (zero, along, up) = (at(0.0, 0.0), at(1.0, 0.0), at(0.0, 1.0));
        let (along, up) = (along - zero, up - zero);
        let part = |one: &Vector3<f64>, other: &Vector3<f64>| one.dot(&(spread.covariance * other));
        let [a, b, c] = [part(&zero, &zero), 2.0 * part(&zero, &along), 2.0 * part(&zero, &up)];
        let [d, e, f] = [part(&along, &along), 2.0 * part(&along, &up), part(&up, &up)];
        #[allow(clippy::cast_possible_truncation)]
        Some([[a, b, c, d], [e, f, 1.0, 0.0]].map(|row| row.map(|value| value as f32)))
    };
    roof.faces.iter().enumerate().flat_map(|face| of(face).unwrap_or_default()).collect()
}

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

fn normal_of(triangle: &[Point3<f64>; 3]) -> Vector3<f64> {
    let normal = (triangle[1] - triangle[0]).cross(&(triangle[2] - triangle[0]));
    normal.try_normalize(0.0).unwrap_or_else(Vector3::z)
}

/// Frames of faces and their courses in one row for the graphics card.
struct Patterns {
    frames: Vec<Option<FaceFrame>>,
    /// Of each face: gauge, distance of slots, where its courses begin; `None` where it lies bare.
    heads: Vec<Option<[f32; 3]>>,
    courses: Vec<[f32; 2]>,
}

impl Patterns {
    #[allow(clippy::cast_possible_truncation)]
    fn of(roof: &Roof, courses_of: impl Fn(FaceId) -> Option<Courses>) -> Self {
        let mut courses = Vec::new();
        let mut head = |index: usize| {
            let of = courses_of(FaceId::new(index)).filter(|of| !of.rows.is_empty() && of.gauge > 0.0)?;
            let first = courses.len() as f32;
            courses.push([of.rows.len() as f32, of.piece as f32]);
            courses.extend(of.rows.iter().map(|row| row.map(|value| value as f32)));
            Some([of.gauge as f32, of.tab as f32, first])
        };
        let heads = (0..roof.faces.len()).map(&mut head).collect();
        Self { frames: roof.faces.iter().map(|face| frame_of(roof, face)).collect(), heads, courses }
    }
}

/// A triangle where it is drawn and where it lies in its face.
struct Drawn {
    at: [Point3<f64>; 3],
    in_face: [Point3<f64>; 3],
    normal: Vector3<f64>,
    face: Option<FaceId>,
}

#[allow(clippy::cast_possible_truncation)]
fn corners(roof: &Roof, patterns: &Patterns, origin: &Vector3<f64>, drawn: impl Iterator<Item = Drawn>) -> Corners {
    let mut corners = Corners::default();
    debug_assert_eq!(roof.faces.len(), patterns.heads.len());
    for triangle in drawn {
        let frame = triangle.face.and_then(|face| patterns.frames[face.index()]);
        let head = triangle.face.and_then(|face| patterns.heads[face.index()]);
        let number = triangle.face.map_or(-1.0, |face| face.index() as f32);
        let fact = head.map_or([number, 0.0, 1.0, 0.0], |[gauge, tab, first]| [number, gauge, tab, first]);
        for (place, in_face) in triangle.at.iter().zip(&triangle.in_face) {
            let at = frame.map_or_else(Point2::origin, |frame| frame.to_face(in_face));
            corners.places.push(single(&(place.coords - origin)));
            corners.normals.push(single(&triangle.normal));
            corners.frames.push([at.x as f32, at.y as f32]);
            corners.facts.push(fact);
        }
    }
    corners
}

/// The roof's edges, and the corners and feet of the walls below the outline: edges between two of their triangles that
/// do not lie in one plane. Where walls meet the underside of an overhang there is none: it lies so close under the roof that it
/// would be seen through it.
fn lines(roof: &Roof, solid: &Solid, origin: &Vector3<f64>) -> Vec<SceneEdge> {
    let at = |place: Point3<f64>| place - origin;
    // Under overhangs walls stand back from the roof's edge, where their own edges are.
    let stands_back = shell::overhangs(roof);
    let mut lines: Vec<SceneEdge> = (roof.edges.iter().enumerate())
        .filter(|(_, edge)| !(stands_back && edge.kind.is_wall_only()))
        .map(|(index, edge)| SceneEdge {
            edge: Some(EdgeId::new(index)),
            kind: edge.kind,
            from: at(roof.at(edge.from)),
            to: at(roof.at(edge.to)),
        })
        .collect();
    let ground = solid.positions.iter().map(|place| place.z).fold(f64::INFINITY, f64::min);
    let mut normals: HashMap<(u32, u32), Vector3<f64>> = HashMap::new();
    let mut found = Vec::new();
    for (triangle, _) in solid.triangles.iter().zip(&solid.face_of).filter(|(_, face)| face.is_none()) {
        let places = triangle.map(|corner| solid.positions[corner as usize]);
        let normal = normal_of(&places);
        for i in 0..3 {
            let (a, b) = (triangle[i], triangle[(i + 1) % 3]);
            match normals.get(&(b, a)) {
                Some(other)
                    if other.z.min(normal.z) < -SMALLEST
                        && [a, b].iter().any(|&at| solid.positions[at as usize].z > ground + BESIDE) => {}
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
        let plumb = (to - from).xy().norm() < BESIDE * (to - from).norm();
        SceneEdge { edge: None, kind: if plumb { EdgeKind::Corner } else { EdgeKind::Base }, from, to }
    }));
    lines
}
