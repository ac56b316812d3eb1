//! Roofs of a single face, drawn in that face's own frame, and the strip the layout rules are written for.

use eavewright_core::base::ids::{CornerId, EdgeId, FaceId};
use eavewright_core::base::name::SideName;
use eavewright_core::base::plane::Plane;
use eavewright_core::roof::analysis::opening::CutOpening;
use eavewright_core::roof::model::names::FaceName;
use eavewright_core::roof::{Edge, EdgeKind, Face, FaceKind, Roof};
use eavewright_core::takeoff::coursing::CoursingSpec;
use eavewright_core::takeoff::details::PieceKind;
use eavewright_core::takeoff::margins::Margins;
use eavewright_core::takeoff::model::HipMethod;
use eavewright_core::takeoff::outline::{CoveredFace, Folds, cover};
use eavewright_core::takeoff::valleys::Valleys;
use nalgebra::{Point2, Point3, Vector3};

/// A roof whose only face has these corners (along the eave, up the slope) and edge kinds.
pub fn one_face(places: &[(f64, f64)], kinds: &[EdgeKind], degrees: f64) -> Roof {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let corners: Vec<_> = places.iter().map(|&(u, v)| Point3::new(u, v * cos, v * sin)).collect();
    let ring: Vec<_> = (0..places.len()).map(CornerId::new).collect();
    let edges = (0..places.len())
        .map(|index| Edge {
            kind: kinds[index],
            from: ring[index],
            to: ring[(index + 1) % ring.len()],
            faces: [FaceId::new(0)].into_iter().collect(),
            dihedral: None,
        })
        .collect();
    let face = Face {
        id: FaceName::over(SideName::new("shed", "A")),
        sides: [SideName::new("shed", "A")].into_iter().collect(),
        kind: FaceKind::Roof,
        plane: Plane::through(&corners[0], &Vector3::new(0.0, -sin, cos)).unwrap(),
        edges: (0..ring.len()).map(EdgeId::new).collect(),
        ring: ring.into(),
        holes: Vec::new(),
    };
    Roof { corners, faces: vec![face], edges, ..Roof::default() }
}

/// Eave, verge, ridge, verge.
pub const GABLE_SIDE: [EdgeKind; 4] = [EdgeKind::Eave, EdgeKind::Verge, EdgeKind::Ridge, EdgeKind::Verge];

/// A gable roof's side.
pub fn rectangle(width: f64, slope: f64, degrees: f64) -> Roof {
    one_face(&[(0.0, 0.0), (width, 0.0), (width, slope), (0.0, slope)], &GABLE_SIDE, degrees)
}

/// A hip end.
pub fn triangle(width: f64, slope: f64, degrees: f64) -> Roof {
    let kinds = [EdgeKind::Eave, EdgeKind::Hip, EdgeKind::Hip];
    one_face(&[(0.0, 0.0), (width, 0.0), (width / 2.0, slope)], &kinds, degrees)
}

/// An opening by its lower left corner and size.
pub fn opening(at: [f64; 2], size: [f64; 2]) -> CutOpening {
    let ring = vec![
        Point2::new(at[0], at[1]),
        Point2::new(at[0] + size[0], at[1]),
        Point2::new(at[0] + size[0], at[1] + size[1]),
        Point2::new(at[0], at[1] + size[1]),
    ];
    CutOpening { face: FaceId::new(0), ring, area: size[0] * size[1], kind: "roof window".into() }
}

/// The face as covered with the usual margins.
pub fn covered(roof: &Roof, openings: &[CutOpening]) -> CoveredFace {
    let (margins, valleys) = (Margins::default(), Valleys::default());
    let folds = Folds { margins: &margins, hip: HipMethod::Trimmed, valleys: &valleys };
    cover(roof, FaceId::new(0), openings, &folds).unwrap()
}

/// The strip of the layout rules: 1000 x 336 mm, three tabs, gauge 143 mm, 8 mm past the eave (common practice, no
/// source).
pub fn strip() -> CoursingSpec {
    let tab = 1.0 / 3.0;
    CoursingSpec {
        kind: PieceKind::Strip,
        caps_each: 3,
        width: 1.0,
        height: 0.336,
        gauge: 0.143,
        steps: 6,
        eave_projection: 0.008,
        least_end: tab / 2.0,
        shortest_offcut: tab,
        tab,
        layers: 2,
        head_lap: 0.050,
        least_offset: 0.100,
        cap_cover: tab / 2.0 - 0.025,
        apron_cover: 0.125,
        starter: Some(0.336 - 0.143),
        verge_starter: false,
    }
}
