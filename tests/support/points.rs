//! Roofs by points, written as a list of places and a list of faces.

use eavewright_core::base::ids::PointId;
use eavewright_core::roof::Roof;
use eavewright_core::roof::kernel::points::{Options, solve};
use eavewright_core::survey::model::{FaceByPoints, Known, Point, Survey};
use nalgebra::Point3;

/// A roof from named points and faces.
pub fn roof(points: &[(&str, [f64; 3])], faces: &[(&str, &[&str])]) -> Roof {
    let mut survey = Survey::default();
    let mut places = Vec::new();
    for (name, at) in points {
        survey.points.push(Point { name: (*name).to_owned(), known: Known::At(Point3::from(*at)) });
        places.push(Some(Point3::from(*at)));
    }
    for (name, ring) in faces {
        let at = |point: &&str| PointId::new(points.iter().position(|(name, _)| name == point).unwrap());
        survey.faces.push(FaceByPoints {
            name: (*name).to_owned(),
            points: ring.iter().map(at).collect(),
            sigma: 0.01,
        });
    }
    solve(&survey, &places, &Options::default()).unwrap().roof
}
