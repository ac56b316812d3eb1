//! Faces by points as the tests state them.

use eavewright_core::base::ids::PointId;
use eavewright_core::roof::kernel::points::{Options, PointsError, Solved, solve};
use eavewright_core::roof::{EdgeKind, Roof};
use eavewright_core::survey::model::{FaceByPoints, Known, Point, Survey};
use nalgebra::Point3;
use std::collections::BTreeMap;

pub struct Model {
    pub survey: Survey,
    pub places: Vec<Option<Point3<f64>>>,
}

impl Model {
    pub fn new() -> Self {
        Self { survey: Survey::default(), places: Vec::new() }
    }

    pub fn point(&mut self, at: Point3<f64>) -> PointId {
        if let Some(index) = self.places.iter().position(|place| *place == Some(at)) {
            return PointId::new(index);
        }
        self.named(&format!("p{}", self.places.len()), Some(at))
    }

    pub fn named(&mut self, name: &str, at: Option<Point3<f64>>) -> PointId {
        self.survey.points.push(Point { name: name.to_owned(), known: at.map_or(Known::Unknown, Known::At) });
        self.places.push(at);
        PointId::new(self.places.len() - 1)
    }

    pub fn name(&self, point: PointId) -> &str {
        &self.survey.points[point.index()].name
    }

    pub fn face(&mut self, name: &str, points: Vec<PointId>) {
        self.survey.faces.push(FaceByPoints { name: name.to_owned(), points, sigma: 0.01 });
    }

    pub fn solve(&self) -> Result<Solved, PointsError> {
        solve(&self.survey, &self.places, &Options::default())
    }
}

/// Named points and faces by names.
pub fn model(points: &[(&str, [f64; 3])], faces: &[(&str, &[&str])]) -> Model {
    let mut model = Model::new();
    let ids: BTreeMap<&str, PointId> =
        points.iter().map(|(name, at)| (*name, model.named(name, Some(Point3::from(*at))))).collect();
    for (name, points) in faces {
        model.face(name, points.iter().map(|point| ids[point]).collect());
    }
    model
}

pub fn length_of(roof: &Roof, kind: EdgeKind) -> f64 {
    roof.edges.iter().filter(|edge| edge.kind == kind).map(|edge| roof.length(edge).0).sum()
}

/// Every corner lies on every plane of its faces, every edge on both planes, and rings run anticlockwise.
pub fn check_sound(roof: &Roof) {
    for face in &roof.faces {
        let ring = roof.ring(face);
        for corner in &ring {
            assert!(face.plane.distance(corner).abs() < 1e-9, "{} {}", face.name(), face.plane.distance(corner));
        }
        assert!(eavewright_core::base::polygon::vector_area(&ring).dot(&face.plane.normal) > 0.0);
        assert_eq!(face.edges.len(), ring.len());
        for (index, edge) in face.edges.iter().enumerate() {
            let edge = &roof.edges[edge.index()];
            let ends = [face.ring[index], face.ring[(index + 1) % ring.len()]];
            assert!(ends == [edge.from, edge.to] || ends == [edge.to, edge.from]);
        }
    }
}

/// A hip roof over a rectangle, sides of one pitch: eaves E1..E4 anticlockwise from the origin, ridge R1, R2.
pub fn hip_roof(length: f64, width: f64, degrees: f64) -> Model {
    let (run, rise) = (width / 2.0, width / 2.0 * degrees.to_radians().tan());
    model(
        &[
            ("E1", [0.0, 0.0, 0.0]),
            ("E2", [length, 0.0, 0.0]),
            ("E3", [length, width, 0.0]),
            ("E4", [0.0, width, 0.0]),
            ("R1", [run, run, rise]),
            ("R2", [length - run, run, rise]),
        ],
        &[
            ("south", &["E1", "E2", "R2", "R1"]),
            ("east", &["E2", "E3", "R2"]),
            ("north", &["E3", "E4", "R1", "R2"]),
            ("west", &["E4", "E1", "R1"]),
        ],
    )
}
