//! The solved roof as a photo shows it: edges projected through the adjusted pose and lens, hidden parts told apart, and
//! each mark with where the adjustment puts its point. Pixels, free of any device: the printed page and the window
//! draw the same.

use super::body::Body;
use crate::base::ids::EdgeId;
use crate::base::order::SortByNumber as _;
use crate::base::place::Place;
use crate::base::tolerance;
use crate::drawing::typeset::pen::Pen;
use crate::roof::{EdgeKind, Roof};
use crate::survey::model::Survey;
use crate::survey::report::Report;
use nalgebra::{Point2, Point3, Vector3};
use std::collections::BTreeMap;

/// What is drawn over one photo. Pixels, origin top left, x right, y down.
#[derive(Clone, Debug, PartialEq)]
pub struct Overlay {
    /// Width and height of the photo.
    pub size: [f64; 2],
    /// Hidden lines first, so that what is seen lies over them.
    pub lines: Vec<SeenLine>,
    /// In the order of the file.
    pub marks: Vec<SeenMark>,
}

/// A piece of an edge, wholly seen or wholly hidden.
#[derive(Clone, Debug, PartialEq)]
pub struct SeenLine {
    /// What it is: [`Pen::Edge`] with the kind, or [`Pen::Wall`].
    pub pen: Pen,
    /// The roof's edge; `None` for edges of walls below the outline.
    pub edge: Option<EdgeId>,
    /// Along it, as the lens bends it. May run a little out of the picture.
    pub points: Vec<Point2<f64>>,
    /// Whether something stands before it.
    pub hidden: bool,
}

/// A marked point.
#[derive(Clone, Debug, PartialEq)]
pub struct SeenMark {
    /// The point's name.
    pub point: String,
    /// Where it was marked.
    pub at: Point2<f64>,
    /// Where the adjusted point appears; `None` when it lies behind the camera.
    pub computed: Option<Point2<f64>>,
    /// Standard deviation the mark was given, pixels.
    pub sigma: f64,
    /// The larger standardised residual (Baarda's w) of its two coordinates; `None` where nothing checks them.
    pub w: Option<f64>,
    /// Whether the adjustment doubts it.
    pub is_suspect: bool,
}

impl SeenMark {
    /// How far the adjusted point appears from the mark, pixels.
    #[must_use]
    pub fn miss(&self) -> Option<f64> {
        self.computed.map(|computed| (computed - self.at).norm())
    }
}

/// The overlay of a photo; `None` when the photo was not placed. O(edges × triangles).
#[must_use]
pub fn overlay(roof: &Roof, survey: &Survey, report: &Report, photo: usize) -> Option<Overlay> {
    let sight = report.photos.get(photo).copied().flatten()?;
    let taken = survey.photos.get(photo)?;
    let body = Body::of(roof, 0.0);
    let screens = screens(roof, &body, &sight.pose.centre);
    let ids: BTreeMap<(usize, usize), EdgeId> = roof
        .edges
        .iter()
        .enumerate()
        .map(|(index, edge)| (ordered(edge.from.index(), edge.to.index()), EdgeId::new(index)))
        .collect();
    let mut lines = Vec::new();
    for fold in &body.folds {
        let ends = fold.ends.map(|end| body.places[end]);
        let edge = ids.get(&ordered(fold.ends[0], fold.ends[1])).copied();
        let mut add = |part: [f64; 2], hidden: bool| {
            let points = sight.trail(ends, part);
            if points.len() > 1 {
                lines.push(SeenLine { pen: fold.pen, edge, points, hidden });
            }
        };
        let mut from = 0.0;
        for hidden in hidden_parts(&screens, ends) {
            add([from, hidden[0]], false);
            add(hidden, true);
            from = hidden[1];
        }
        add([from, 1.0], false);
    }
    lines.sort_by_key(|line| !line.hidden);
    let marks = taken.marks.iter().map(|mark| {
        let point = &report.points[mark.point.index()];
        let place = Place::Mark { photo, point: point.name.clone() };
        let checks = report.checks.iter().filter(|check| check.place == place);
        SeenMark {
            point: point.name.clone(),
            at: Point2::from(mark.at),
            computed: sight.pixel(&point.at),
            sigma: mark.sigma,
            w: checks.filter_map(|check| check.w).max_by(|a, b| a.abs().total_cmp(&b.abs())),
            is_suspect: report.suspects.iter().any(|suspect| suspect.place == place),
        }
    });
    Some(Overlay { size: sight.size, marks: marks.collect(), lines })
}

fn ordered(a: usize, b: usize) -> (usize, usize) {
    (a.min(b), a.max(b))
}

/// Half of space: where `normal · p + offset` is positive.
#[derive(Clone, Copy)]
struct Side {
    normal: Vector3<f64>,
    offset: f64,
}

impl Side {
    fn through(place: &Point3<f64>, normal: Vector3<f64>) -> Self {
        Self { normal, offset: -normal.dot(&place.coords) }
    }

    fn of(&self, place: &Point3<f64>) -> f64 {
        self.normal.dot(&place.coords) + self.offset
    }
}

/// A triangle's shadow: what the eye cannot see for it. Convex, so a straight line has one part in it.
struct Screen {
    /// Beyond the triangle's plane, within the three planes through the eye and a side.
    sides: [Side; 4],
}

impl Screen {
    fn new(corners: [Point3<f64>; 3], eye: &Point3<f64>, margin: f64) -> Option<Self> {
        let [a, b, c] = corners;
        let normal = (b - a).cross(&(c - a)).try_normalize(f64::MIN_POSITIVE)?;
        let towards = normal.dot(&(eye - a));
        // Seen edge-on it hides nothing that its own edges do not.
        if towards.abs() <= margin {
            return None;
        }
        let away = if towards > 0.0 { -normal } else { normal };
        let mut behind = Side::through(&a, away);
        // What lies in the plane itself, such as the triangle's own sides, is not hidden by it.
        behind.offset -= margin;
        let middle = Point3::from((a.coords + b.coords + c.coords) / 3.0);
        let through_eye = |from: &Point3<f64>, to: &Point3<f64>| {
            let normal = (from - eye).cross(&(to - eye));
            let side = Side::through(eye, normal);
            if side.of(&middle) < 0.0 { Side { normal: -side.normal, offset: -side.offset } } else { side }
        };
        Some(Self { sides: [behind, through_eye(&a, &b), through_eye(&b, &c), through_eye(&c, &a)] })
    }

    /// The shares of a line between which it is hidden.
    fn hides(&self, ends: [Point3<f64>; 2]) -> Option<[f64; 2]> {
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for side in &self.sides {
            let (a, b) = (side.of(&ends[0]), side.of(&ends[1]));
            if a <= 0.0 && b <= 0.0 {
                return None;
            }
            if a < 0.0 {
                from = from.max(a / (a - b));
            } else if b < 0.0 {
                to = to.min(a / (a - b));
            }
        }
        (from < to).then_some([from, to])
    }
}

/// Everything that hides: the body's triangles; where it has no walls, plumb curtains below its free edges, since
/// something carries them.
fn screens(roof: &Roof, body: &Body, eye: &Point3<f64>) -> Vec<Screen> {
    let margin = tolerance::default_for(body.size());
    let of = |corners: [Point3<f64>; 3]| Screen::new(corners, eye, margin);
    let mut list: Vec<Screen> =
        body.triangles.iter().filter_map(|(corners, _)| of(corners.map(|corner| body.places[corner]))).collect();
    if !body.closed {
        // Deep enough to reach below any picture of it.
        let drop = Vector3::z() * (10.0 * (body.size() + eye.coords.norm()));
        let is_free = |kind: EdgeKind| matches!(kind, EdgeKind::Eave | EdgeKind::Verge | EdgeKind::Top);
        for edge in roof.edges.iter().filter(|edge| edge.faces.len() == 1 && is_free(edge.kind)) {
            let (a, b) = (roof.at(edge.from), roof.at(edge.to));
            list.extend([[a, b, b - drop], [a, b - drop, a - drop]].into_iter().filter_map(of));
        }
    }
    list
}

/// A piece shorter than this part of its line is drawn with its neighbour: nobody sees it, and margins leave such.
const SLIVER: f64 = 1e-3;

/// The hidden parts of a line as shares of its length, in order, apart from each other.
fn hidden_parts(screens: &[Screen], ends: [Point3<f64>; 2]) -> Vec<[f64; 2]> {
    let mut parts: Vec<[f64; 2]> = screens.iter().filter_map(|screen| screen.hides(ends)).collect();
    parts.sort_by_number(|a| a[0]);
    let mut joined: Vec<[f64; 2]> = Vec::new();
    for part in parts {
        match joined.last_mut() {
            Some(last) if part[0] <= last[1] + SLIVER => last[1] = last[1].max(part[1]),
            _ => joined.push(part),
        }
    }
    joined.retain(|part| part[1] - part[0] > SLIVER);
    let snapped = |share: f64| {
        if share < SLIVER {
            0.0
        } else if share > 1.0 - SLIVER {
            1.0
        } else {
            share
        }
    };
    joined.into_iter().map(|part| part.map(snapped)).collect()
}
