//! Pictures without a display: every shader compiles, every shade and theme draws, and what is drawn is what is picked.
#![cfg(feature = "viewer")]
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod support;

use eavewright::base::units::LengthUnit;
use eavewright::viewer::backend::Unsure;
use eavewright::viewer::camera::View;
use eavewright::viewer::labels::Labels;
use eavewright::viewer::scene::{Courses, Scene, Shade};
use eavewright::viewer::shot::{self, Shot};
use eavewright::viewer::theme::Theme;

#[allow(clippy::unnecessary_wraps)]
fn courses() -> Option<Courses> {
    let rows = (0..24).map(|course| [f64::from(course) * 0.143 - 0.008, f64::from(course) / 6.0]).collect();
    Some(Courses { gauge: 0.143, tab: 1.0 / 3.0, piece: 1.0, rows })
}

#[test]
fn every_shade_in_every_theme() {
    let (roof, solid) = support::hip(2.4, [0.0, 0.0]);
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
                areas: vec![Some(0.01), Some(0.03), None, Some(0.2)],
                lengths: (0..9).map(|edge| Some(0.006 * f64::from(edge))).collect(),
                points: vec![(roof.corners[4], [0.010, 0.004, 0.016]), (roof.corners[0], [0.002, 0.002, 0.004])],
            };
            let image = shot::take(&roof, &scene, &unsure, &shot).unwrap();
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

/// What the ray cast says is what is drawn: at 1,000 random pixels, colours that name the faces are compared with the
/// face the ray meets. Pixels where the four neighbours disagree lie on an edge and are drawn as a blend: they are
/// counted, not compared.
#[test]
fn the_ray_picks_what_is_drawn() {
    use eavewright::viewer::camera::Camera;
    use eavewright::viewer::gpu::Gpu;
    use eavewright::viewer::stage::{Dressing, Look};
    use eavewright_headless::Headless;
    use proptest::prelude::Rng;
    use std::sync::Arc;

    let (roof, solid) = support::hip(2.4, [3.0, -7.0]);
    let scene = Scene::new(&roof, &solid, |_| None);
    let size = [900_u32, 700];
    let headless = Headless::new([16, 16]).unwrap();
    let mut gpu = Gpu::new(headless.gl()).unwrap();
    let palette = Theme::Contrast.palette();
    let (mut compared, mut on_edges, mut seen) = (0, 0, std::collections::BTreeSet::new());
    let mut random = proptest::test_runner::TestRng::deterministic_rng(proptest::test_runner::RngAlgorithm::ChaCha);
    for view in View::ALL {
        let camera = Camera::standard(view, &scene.places, f64::from(size[0]) / f64::from(size[1]));
        let mut dressing = Dressing::default();
        let look = Look::plain(Shade::Plain);
        dressing.dress(&roof, &scene, &look, palette, &Unsure::default());
        // Each face is drawn alone as the chosen one; where the picture changes, that face is seen.
        let draw = |gpu: &mut Gpu, chosen: Option<usize>| {
            let mut picture = dressing.picture(&scene, &camera, &look, palette, size, 1.0);
            picture.chosen = chosen;
            picture.strokes = Arc::default();
            gpu.draw(&scene, &picture);
            gpu.read()
        };
        let plain = draw(&mut gpu, None);
        let each: Vec<_> = (0..roof.faces.len()).map(|face| draw(&mut gpu, Some(face))).collect();
        let drawn = |x: u32, y: u32| {
            let at = (y * size[0] + x) as usize;
            each.iter().position(|picture| picture[at] != plain[at])
        };
        for _ in 0..125 {
            let (x, y) = (1 + random.next_u32() % (size[0] - 2), 1 + random.next_u32() % (size[1] - 2));
            let around = [(x, y), (x - 1, y), (x + 1, y), (x, y - 1), (x, y + 1)].map(|(x, y)| drawn(x, y));
            if around.iter().any(|face| *face != around[0]) {
                on_edges += 1;
                continue;
            }
            let across = (f64::from(x) + 0.5) / f64::from(size[0]);
            let down = (f64::from(y) + 0.5) / f64::from(size[1]);
            let ray = camera.ray(across, down, f64::from(size[0]) / f64::from(size[1]));
            let picked = scene.picker.pick(&ray).and_then(|hit| hit.face).map(eavewright::base::ids::FaceId::index);
            assert_eq!(picked, around[0], "{view:?} at {x}, {y}");
            seen.insert(picked);
            compared += 1;
        }
    }
    assert_eq!(compared + on_edges, 1000);
    assert!(on_edges < 50, "{on_edges} of 1000 on edges");
    assert_eq!(seen.len(), 5, "every face and the background");
}
