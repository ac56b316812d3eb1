//! Roofs built by hand from the corners of their faces, so that drawings are tested apart from the stages before them.

use eavewright::base::ids::{CornerId, EdgeId, FaceId};
use eavewright::base::name::SideName;
use eavewright::base::plane::Plane;
use eavewright::base::polygon;
use eavewright::base::units::Pitch;
use eavewright::drawing::Context;
use eavewright::drawing::typeset::format::Format;
use eavewright::drawing::typeset::paper::Series;
use eavewright::outline::footprint::{Footprint, Ring, Role, Side, TakesOver};
use eavewright::roof::model::names::FaceName;
use eavewright::roof::{Edge, EdgeKind, Face, FaceKind, Roof};
use nalgebra::{Point2, Point3};

#[allow(dead_code)]
type Corner = [f64; 3];

/// A roof from faces: a name and the ring of its corners, anticlockwise seen from outside. Kinds of edges follow from
/// the folds: level convex is a ridge, sloping convex a hip, concave a valley; free edges are eaves when level and
/// lowest, tops when level and highest, else verges.
#[allow(dead_code)]
pub fn roof(faces: &[(&str, &[Corner])]) -> Roof {
    let mut roof = Roof::default();
    let corner = |roof: &mut Roof, place: &Corner| {
        let place = Point3::from(*place);
        let found = roof.corners.iter().position(|known| (known - place).norm() < 1e-9);
        CornerId::new(found.unwrap_or_else(|| {
            roof.corners.push(place);
            roof.corners.len() - 1
        }))
    };
    for (index, (name, places)) in faces.iter().enumerate() {
        let ring: Vec<CornerId> = places.iter().map(|place| corner(&mut roof, place)).collect();
        let points: Vec<Point3<f64>> = ring.iter().map(|&id| roof.at(id)).collect();
        let plane = Plane::through(&points[0], &polygon::vector_area(&points)).unwrap();
        let mut edges = Vec::new();
        for i in 0..ring.len() {
            let (from, to) = (ring[i], ring[(i + 1) % ring.len()]);
            let known = roof.edges.iter().position(|edge| edge.from == to && edge.to == from);
            let id = known.unwrap_or_else(|| {
                roof.edges.push(Edge {
                    kind: EdgeKind::Eave,
                    from,
                    to,
                    faces: [].into_iter().collect(),
                    dihedral: None,
                });
                roof.edges.len() - 1
            });
            roof.edges[id].faces.push(FaceId::new(index));
            edges.push(EdgeId::new(id));
        }
        let (block, side) = name.split_once('/').unwrap_or(("", name));
        roof.faces.push(Face {
            id: FaceName::over(SideName::new(block, side)),
            sides: [SideName::new(block, side)].into_iter().collect(),
            kind: FaceKind::Roof,
            plane,
            ring: ring.into(),
            holes: Vec::new(),
            edges: edges.into(),
        });
    }
    classify(&mut roof);
    roof
}

fn classify(roof: &mut Roof) {
    for index in 0..roof.edges.len() {
        let edge = roof.edges[index].clone();
        let (from, to) = (roof.at(edge.from), roof.at(edge.to));
        let level = (to.z - from.z).abs() < 1e-9;
        let kind = if let [first, second] = edge.faces[..] {
            let (a, b) = (&roof.faces[first.index()], &roof.faces[second.index()]);
            // The first face runs along the edge from `from` to `to`.
            let convex = a.plane.normal.cross(&b.plane.normal).dot(&(to - from)) > 0.0;
            let bend = a.plane.normal.dot(&b.plane.normal).clamp(-1.0, 1.0).acos();
            let pi = std::f64::consts::PI;
            roof.edges[index].dihedral = Some(if convex { pi - bend } else { pi + bend });
            match (convex, level) {
                (true, true) => EdgeKind::Ridge,
                (true, false) => EdgeKind::Hip,
                (false, _) => EdgeKind::Valley,
            }
        } else {
            let face = &roof.faces[edge.faces[0].index()];
            let heights: Vec<f64> = roof.ring(face).iter().map(|p| p.z).collect();
            let lowest = heights.iter().copied().fold(f64::INFINITY, f64::min);
            match level {
                true if from.z < lowest + 1e-9 => EdgeKind::Eave,
                true => EdgeKind::Top,
                false => EdgeKind::Verge,
            }
        };
        roof.edges[index].kind = kind;
    }
}

/// A hipped roof over a rectangle, eaves at a height, all faces of one pitch in degrees.
#[allow(dead_code)]
pub fn hip(length: f64, depth: f64, eaves: f64, pitch: f64) -> Roof {
    let run = depth / 2.0;
    let top = eaves + run * pitch.to_radians().tan();
    let (a, b, c, d) = ([0.0, 0.0, eaves], [length, 0.0, eaves], [length, depth, eaves], [0.0, depth, eaves]);
    let (r, s) = ([run, run, top], [length - run, run, top]);
    roof(&[("store/A", &[a, b, s, r]), ("store/B", &[b, c, s]), ("store/C", &[c, d, r, s]), ("store/D", &[d, a, r])])
}

/// A T with gables: main 10.0 x 6.0, a wing 4.0 wide standing 3.0 out of its long side.
#[allow(dead_code)]
pub fn tee() -> Roof {
    let t = 40f64.to_radians().tan();
    let (main, wing) = (2.4 + 3.0 * t, 2.4 + 2.0 * t);
    let e = 2.4;
    let (r0, r1) = ([0.0, 3.0, main], [10.0, 3.0, main]);
    let (w0, w1) = ([5.0, -3.0, wing], [5.0, 2.0, wing]);
    roof(&[
        ("barn/A", &[[0.0, 0.0, e], [3.0, 0.0, e], w1, [7.0, 0.0, e], [10.0, 0.0, e], r1, r0]),
        ("barn/C", &[[10.0, 6.0, e], [0.0, 6.0, e], r0, r1]),
        ("wing/B", &[[7.0, -3.0, e], [7.0, 0.0, e], w1, w0]),
        ("wing/D", &[[3.0, 0.0, e], [3.0, -3.0, e], w0, w1]),
    ])
}

/// A lean-to 6.0 x 3.0 at 12 degrees.
#[allow(dead_code)]
pub fn lean_to() -> Roof {
    let top = 2.1 + 3.0 * 12f64.to_radians().tan();
    roof(&[("shed/A", &[[0.0, 0.0, 2.1], [6.0, 0.0, 2.1], [6.0, 3.0, top], [0.0, 3.0, top]])])
}

/// What the pages say about the job.
#[allow(dead_code)]
pub fn context(title: &str) -> Context {
    Context {
        title: title.to_owned(),
        date: Some("2026-05-01".to_owned()),
        words: Format { imperial: false },
        north: 20f64.to_radians(),
        wind_from: Some(225f64.to_radians()),
        series: Series::Iso,
        sheet: None,
    }
}

/// A roof solved from an outline: corners with what the roof does above the side that starts there.
#[allow(dead_code)]
pub fn solved(name: &str, height: f64, sides: &[([f64; 2], Role)]) -> Roof {
    let letters = ('A'..='Z').map(String::from);
    let sides = sides
        .iter()
        .zip(letters)
        .map(|((start, role), name)| Side {
            name: name.into(),
            start: Point2::from(*start),
            height,
            role: role.clone(),
        })
        .collect();
    let footprint = Footprint {
        name: name.into(),
        height,
        rings: vec![Ring { sides }],
        walls: None,
        take_over: TakesOver::Flatter,
    };
    let options = eavewright::roof::Options { steps: true, ..eavewright::roof::Options::default() };
    eavewright::roof::solve(&[footprint], &options).unwrap()
}

#[allow(dead_code)]
pub fn eave(degrees: f64) -> Role {
    Role::Eave { pitch: Pitch::from_degrees(degrees).unwrap(), breaks: Vec::new() }
}

/// Invented: a hipped boat store, an L-shaped stable with a gable, a store with a half-hip and a gambrel side.
#[allow(dead_code)]
pub fn examples() -> Vec<(&'static str, Roof)> {
    let store = solved(
        "store",
        2.4,
        &[([0.0, 0.0], eave(35.0)), ([9.2, 0.0], eave(35.0)), ([9.2, 5.6], eave(35.0)), ([0.0, 5.6], eave(45.0))],
    );
    let stable = solved(
        "stable",
        2.5,
        &[
            ([0.0, 0.0], eave(30.0)),
            ([8.0, 0.0], Role::Verge),
            ([8.0, 4.0], eave(30.0)),
            ([4.0, 4.0], eave(30.0)),
            ([4.0, 7.0], eave(30.0)),
            ([0.0, 7.0], eave(30.0)),
        ],
    );
    let half = Role::HalfHip { hip_from: 2.0, pitch: Pitch::from_degrees(60.0).unwrap() };
    let gambrel = Role::Eave {
        pitch: Pitch::from_degrees(60.0).unwrap(),
        breaks: vec![(1.4, Pitch::from_degrees(28.0).unwrap())],
    };
    let barn = solved(
        "barn",
        2.2,
        &[([0.0, 0.0], gambrel), ([8.0, 0.0], half), ([8.0, 6.0], eave(45.0)), ([0.0, 6.0], Role::Verge)],
    );
    vec![("store", store), ("stable", stable), ("barn", barn)]
}
