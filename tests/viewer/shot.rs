//! Pictures without a display: every shader compiles, every shade and theme draws, and what is drawn is what is picked.

mod pick;

use eavewright::base::units::LengthUnit;
use eavewright::input::{self, NoFiles};
use eavewright::job::answer::{Answer, PlaneSpread};
use eavewright::job::{self, building};
use eavewright::roof::EdgeKind;
use eavewright::viewer::backend::Unsure;
use eavewright::viewer::render::camera::View;
use eavewright::viewer::render::labels::Labels;
use eavewright::viewer::render::scene::{Courses, Scene, Shade};
use eavewright::viewer::render::shot;
use eavewright::viewer::render::shot::Shot;
use eavewright::viewer::render::theme::Theme;

#[allow(clippy::unnecessary_wraps)]
fn courses() -> Option<Courses> {
    let rows = (0..24).map(|course| [f64::from(course) * 0.143 - 0.008, f64::from(course) / 6.0]).collect();
    Some(Courses { gauge: 0.143, tab: 1.0 / 3.0, piece: 1.0, rows })
}

/// Planes known to 2 to 25 mm over the first two faces, one that turns about its lowest place, one that is not known.
fn planes(roof: &eavewright::roof::Roof) -> Vec<Option<PlaneSpread>> {
    let of = |(index, face): (usize, &eavewright::roof::Face)| {
        let ring = roof.ring(face);
        let sd = [0.004, 0.012, 0.025].map(|sd: f64| sd * (1 + index) as f64 / 2.0);
        let variances = nalgebra::Vector3::from(sd.map(|sd| sd * sd));
        let covariance = nalgebra::Matrix3::from_diagonal(&variances);
        (index != 3).then(|| PlaneSpread { places: [ring[0], ring[1], ring[2]], covariance })
    };
    roof.faces.iter().enumerate().map(of).collect()
}

#[test]
fn every_shade_in_every_theme() {
    let (roof, solid) = support::hip(2.4, [0.0, 0.0]);
    let answer = Answer::of_roof(roof.clone());
    // SHOTS=FOLDER keeps the pictures, large, to look at.
    let folder = std::env::var_os("SHOTS");
    let size = if folder.is_some() { [1280, 800] } else { [320, 200] };
    for theme in Theme::ALL {
        for shade in Shade::ALL {
            let scene = Scene::new(&roof, &solid, |_| courses());
            let shot = Shot {
                view: View::Corner,
                shade,
                theme,
                size,
                labels: Labels { edges: true, faces: true },
                units: LengthUnit::Metre,
            };
            let unsure = Unsure {
                planes: planes(&roof),
                lengths: (0..9).map(|edge| Some(0.006 * f64::from(edge))).collect(),
                points: vec![(roof.corners[4], [0.010, 0.004, 0.016]), (roof.corners[0], [0.002, 0.002, 0.004])],
            };
            let image = shot::take(&answer, &scene, &unsure, &shot).unwrap();
            // The roof is drawn: the middle differs from the corner, where the paper is.
            let at = |x: u32, y: u32| {
                let first = 3 * (y * size[0] + x) as usize;
                <[u8; 3]>::try_from(&image.pixels[first..first + 3]).unwrap()
            };
            assert_eq!(at(1, 1), theme.palette().paper, "{theme:?} {shade:?}");
            assert_ne!(at(size[0] / 2, size[1] / 2), at(1, 1), "{theme:?} {shade:?}");
            if let Some(folder) = &folder {
                let name = format!("{}-{}.png", theme.word().replace(' ', "-"), shade.word());
                let path = std::path::Path::new(folder).join(name);
                image::save_buffer(path, &image.pixels, size[0], size[1], image::ColorType::Rgb8).unwrap();
            }
        }
    }
}

/// The scene of a roof file's building, chimneys and all.
fn building_of(text: &str) -> Scene {
    let (read, ..) = input::read("roof", text, &NoFiles).unwrap();
    let answer = job::solve(&read, &job::Options { steps: false, spread: false }).unwrap();
    let solid = building::with_raised(&building::solid(&answer.roof, &answer.building, 0.0), &answer.building);
    Scene::new(&answer.roof, &solid, |_| None)
}

#[test]
fn a_chimney_stands_as_high_as_the_file_says() {
    let scene = building_of(include_str!("../roofs/chimney_raised.toml"));
    let top = scene.places.iter().map(|place| place.z + scene.origin.z).fold(f64::MIN, f64::max);
    // Eaves at 2.40, ridge 2.50 behind them at 40 degrees, the chimney 1.00 over the ridge.
    assert!((top - (2.4 + 2.5 * 40_f64.to_radians().tan() + 1.0)).abs() < 1e-9, "{top}");
}

#[test]
fn walls_stand_where_they_are_under_an_overhang() {
    // Walls of 8 by 5 m with a porch of 2 by 1.5 m before them, eaves 0.3 and verges 0.2 beyond.
    let scene = building_of(include_str!("../roofs/overhang_open.toml"));
    let corners = [(0.0, 0.0), (8.0, 0.0), (8.0, 5.0), (0.0, 5.0), (2.0, -1.5), (4.0, -1.5), (4.0, 0.0), (2.0, 0.0)];
    let mut found = 0;
    for line in scene.lines.iter().filter(|line| line.edge.is_none() && line.kind == EdgeKind::Corner) {
        let at = line.from + scene.origin;
        let is_there = |(x, y): &(f64, f64)| (at.x - x).hypot(at.y - y) < 1e-6;
        // The plumb edges of the roof's own rim are as long as it is deep.
        if (line.to - line.from).norm() > 0.5 {
            assert!(corners.iter().any(is_there), "a corner of walls at {at}");
            found += 1;
        }
    }
    assert_eq!(found, corners.len());
    // No edge of a wall under the roof's edge, where none stands.
    assert!(scene.lines.iter().all(|line| line.edge.is_none() || !line.kind.is_wall_only()));
}
