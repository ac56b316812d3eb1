//! Footprints in a line, and what must hold of any solved roof's solid.

use eavewright_core::base::parry::to_parry;
use eavewright_core::base::units::Pitch;
use eavewright_core::outline::{Footprint, Ring, Role, Side, TakesOver};
use eavewright_core::roof::model::solid;
use eavewright_core::roof::{EdgeKind, FaceKind, Roof};
use nalgebra::Point2;
use parry3d::shape::TriMesh;
use std::collections::HashMap;

pub fn pitch(degrees: f64) -> Pitch {
    Pitch::from_degrees(degrees).unwrap()
}

pub fn eave(degrees: f64) -> Role {
    Role::Eave { pitch: pitch(degrees), breaks: Vec::new() }
}

/// A block "b" at height 0: corners with what rises from the side that starts there; sides are named A, B, C …
pub fn block(corners: &[(f64, f64, Role)]) -> Footprint {
    block_at(&corners.iter().map(|(x, y, role)| (*x, *y, 0.0, role.clone())).collect::<Vec<_>>())
}

/// The same with each side's own height.
pub fn block_at(corners: &[(f64, f64, f64, Role)]) -> Footprint {
    let side = |(index, (x, y, height, role)): (usize, &(f64, f64, f64, Role))| Side {
        name: char::from_u32('A' as u32 + u32::try_from(index).unwrap()).unwrap().to_string().into(),
        start: Point2::new(*x, *y),
        height: *height,
        role: role.clone(),
    };
    let sides: Vec<Side> = corners.iter().enumerate().map(side).collect();
    let height = sides.iter().map(|side| side.height).fold(f64::INFINITY, f64::min);
    Footprint { name: "b".into(), height, rings: vec![Ring { sides }], walls: None, take_over: TakesOver::Flatter }
}

/// A rectangle from the origin: south, east, north, west.
pub fn rectangle(width: f64, depth: f64, roles: [Role; 4]) -> Footprint {
    let [south, east, north, west] = roles;
    block(&[(0.0, 0.0, south), (width, 0.0, east), (width, depth, north), (0.0, depth, west)])
}

pub fn area(roof: &Roof) -> f64 {
    roof.roof_faces().map(|(_, face)| roof.area(face).0).sum()
}

pub fn wall_area(roof: &Roof) -> f64 {
    roof.faces.iter().filter(|face| face.kind == FaceKind::Wall).map(|face| roof.area(face).0).sum()
}

pub fn face_area(roof: &Roof, name: &str) -> f64 {
    let id = roof.face_named(name).unwrap_or_else(|| panic!("no face {name}"));
    roof.area(&roof.faces[id.index()]).0
}

/// Lengths of the edges of a kind, longest first.
pub fn lengths(roof: &Roof, kind: EdgeKind) -> Vec<f64> {
    let mut out: Vec<f64> =
        roof.edges.iter().filter(|edge| edge.kind == kind).map(|edge| roof.length(edge).0).collect();
    out.sort_by(|a, b| b.total_cmp(a));
    out
}

pub fn close(found: f64, expected: f64, allowed: f64) {
    assert!((found - expected).abs() <= allowed, "found {found}, expected {expected}");
}

/// Asserts lengths of a kind, longest first.
pub fn assert_lengths(roof: &Roof, kind: EdgeKind, expected: &[f64], allowed: f64) {
    let found = lengths(roof, kind);
    let same = found.len() == expected.len() && found.iter().zip(expected).all(|(a, b)| (a - b).abs() <= allowed);
    assert!(same, "{}: found {found:?}, expected {expected:?}", kind.word());
}

/// How far a corner lies off the plane of one of its faces at most, metres.
pub fn off_planes(roof: &Roof) -> f64 {
    let off = |face: &eavewright_core::roof::Face| {
        let corners = roof.ring(face).into_iter().chain(roof.holes(face).into_iter().flatten());
        corners.map(|corner| face.plane.distance(&corner).abs()).fold(0.0, f64::max)
    };
    roof.faces.iter().map(off).fold(0.0, f64::max)
}

/// The solid is closed, faces outwards, and its volume by parry3d's mass properties is the roof's own.
pub fn check_solid(roof: &Roof) -> Result<(), String> {
    check_solid_within(roof, 0.0)
}

/// The same where corners may lie off their faces by `off` metres, so that triangles chosen otherwise hold another volume.
pub fn check_solid_within(roof: &Roof, off: f64) -> Result<(), String> {
    let solid = solid::build(roof, 0.0);
    if solid.triangles.len() != solid.face_of.len() {
        return Err("triangles without an owner".into());
    }
    let mut runs: HashMap<(u32, u32), i32> = HashMap::new();
    for [a, b, c] in &solid.triangles {
        for (from, to) in [(a, b), (b, c), (c, a)] {
            *runs.entry((*from, *to)).or_default() += 1;
        }
    }
    for (&(from, to), &count) in &runs {
        // Two parts of a roof may touch along a plumb line: then it is run twice each way.
        if count > 2 || runs.get(&(to, from)) != Some(&count) {
            let place = solid.positions[from as usize];
            return Err(format!("the edge from {place} is not run equally often both ways"));
        }
    }
    let points: Vec<_> = solid.positions.iter().map(to_parry).collect();
    let mesh = TriMesh::new(points, solid.triangles.clone()).map_err(|e| e.to_string())?;
    let by_parry = parry3d::mass_properties::MassProperties::from_trimesh(1.0, mesh.vertices(), mesh.indices()).mass();
    let own = roof.volume.unwrap();
    let surface: f64 = roof.faces.iter().map(|face| roof.area(face).0).sum();
    if (by_parry - own).abs() > 1e-9 * own.abs() + off * surface {
        return Err(format!("volume {own}, by parry3d {by_parry}"));
    }
    Ok(())
}
