//! A roof built by hand: what tests of writers and of the viewer need without running the stages before them.

use eavewright_core::base::ids::{CornerId, EdgeId, FaceId};
use eavewright_core::base::name::SideName;
use eavewright_core::base::plane::Plane;
use eavewright_core::roof::model::names::FaceName;
use eavewright_core::roof::model::solid::Solid;
use eavewright_core::roof::{Edge, EdgeKind, Face, FaceKind, Roof};
use nalgebra::{Point2, Point3, Vector2};

/// A hip roof 9.20 x 5.60 m at 35 degrees, eaves at `height` above datum, moved by `shift`. Its area has a closed form:
/// 9.20 x 5.60 / cos 35 = 62.894 m2; ridge 3.60 m.
pub fn hip(height: f64, shift: [f64; 2]) -> (Roof, Solid) {
    let (a, b, t) = (9.2, 5.6, 35_f64.to_radians().tan());
    let at = |x: f64, y: f64, z: f64| Point3::new(x + shift[0], y + shift[1], height + z);
    let corners = vec![
        at(0.0, 0.0, 0.0),
        at(a, 0.0, 0.0),
        at(a, b, 0.0),
        at(0.0, b, 0.0),
        at(b / 2.0, b / 2.0, t * b / 2.0),
        at(a - b / 2.0, b / 2.0, t * b / 2.0),
    ];
    let edges = [
        (EdgeKind::Eave, 0, 1, vec![0]),
        (EdgeKind::Eave, 1, 2, vec![1]),
        (EdgeKind::Eave, 2, 3, vec![2]),
        (EdgeKind::Eave, 3, 0, vec![3]),
        (EdgeKind::Hip, 1, 5, vec![0, 1]),
        (EdgeKind::Hip, 2, 5, vec![1, 2]),
        (EdgeKind::Hip, 3, 4, vec![2, 3]),
        (EdgeKind::Hip, 0, 4, vec![3, 0]),
        (EdgeKind::Ridge, 5, 4, vec![0, 2]),
    ];
    let faces = [
        ("A", vec![0, 1, 5, 4], vec![0, 4, 8, 7], [0.0, 1.0], 0),
        ("B", vec![1, 2, 5], vec![1, 5, 4], [-1.0, 0.0], 1),
        ("C", vec![2, 3, 4, 5], vec![2, 6, 8, 5], [0.0, -1.0], 2),
        ("D", vec![3, 0, 4], vec![3, 7, 6], [1.0, 0.0], 3),
    ];
    let roof = Roof {
        faces: faces
            .into_iter()
            .map(|(side, ring, edges, inward, start)| {
                let start: Point3<f64> = corners[start];
                Face {
                    id: FaceName::over(SideName::new("store", side)),
                    sides: [SideName::new("store", side)].into_iter().collect(),
                    kind: FaceKind::Roof,
                    plane: Plane::rising(&start.xy(), start.z, &Vector2::new(inward[0], inward[1]), t),
                    ring: ring.into_iter().map(CornerId::new).collect(),
                    holes: Vec::new(),
                    edges: edges.into_iter().map(EdgeId::new).collect(),
                }
            })
            .collect(),
        edges: edges
            .into_iter()
            .map(|(kind, from, to, faces)| Edge {
                kind,
                from: CornerId::new(from),
                to: CornerId::new(to),
                faces: faces.into_iter().map(FaceId::new).collect(),
                dihedral: None,
            })
            .collect(),
        volume: Some(a * b * height + t * b * b * (a / 4.0 - b / 12.0)),
        feet: vec![corners[..4].iter().map(|corner| Point2::new(corner.x, corner.y)).collect()],
        corners: corners.clone(),
        findings: Vec::new(),
        events: Vec::new(),
        triangles: None,
    };
    (roof, solid(&corners, height))
}

/// Walls down to the datum and a floor under the hip roof.
fn solid(corners: &[Point3<f64>], height: f64) -> Solid {
    let mut positions = corners.to_vec();
    positions.extend(corners[..4].iter().map(|corner| Point3::new(corner.x, corner.y, corner.z - height)));
    let faces: [(&[[u32; 3]], Option<usize>); 5] = [
        (&[[0, 1, 5], [0, 5, 4]], Some(0)),
        (&[[1, 2, 5]], Some(1)),
        (&[[2, 3, 4], [2, 4, 5]], Some(2)),
        (&[[3, 0, 4]], Some(3)),
        (
            &[
                [0, 6, 7],
                [0, 7, 1],
                [1, 7, 8],
                [1, 8, 2],
                [2, 8, 9],
                [2, 9, 3],
                [3, 9, 6],
                [3, 6, 0],
                [6, 8, 7],
                [6, 9, 8],
            ],
            None,
        ),
    ];
    let each = faces.iter().flat_map(|(list, face)| list.iter().map(|t| (*t, face.map(FaceId::new))));
    let (triangles, face_of) = each.unzip();
    Solid { positions, triangles, face_of }
}
