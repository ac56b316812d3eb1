//! What the ray cast says is what is drawn, pixel by pixel; and the comparison is sharp enough to tell when it is not.

use eavewright::input::{self, NoFiles};
use eavewright::job;
use eavewright::roof::model::solid;
use eavewright::roof::model::solid::Solid;
use eavewright::roof::{FaceKind, Roof};
use eavewright::viewer::backend::Unsure;
use eavewright::viewer::render::camera::{Camera, View};
use eavewright::viewer::render::gpu::Gpu;
use eavewright::viewer::render::scene::{Scene, Shade};
use eavewright::viewer::render::stage::{Dressing, Look};
use eavewright::viewer::render::theme::Theme;
use eavewright_headless::Headless;
use nalgebra::Vector3;
use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};
use std::collections::BTreeSet;
use std::sync::Arc;

const SIZE: [u32; 2] = [900, 700];

fn aspect() -> f64 {
    f64::from(SIZE[0]) / f64::from(SIZE[1])
}

/// Which face each pixel shows, read off pictures: rows from the top, `None` where no face is seen.
struct Drawn(Vec<Option<usize>>);

impl Drawn {
    /// Each face is drawn as the chosen one, hatched; where the picture changes, that face is seen. Hatching leaves some
    /// of its pixels as they were, so each face is drawn as the hovered one too, which tints every pixel of it.
    fn new(gpu: &mut Gpu, roof: &Roof, scene: &Scene, camera: &Camera, section: Option<(Vector3<f64>, f64)>) -> Self {
        let palette = Theme::Contrast.palette();
        let mut dressing = Dressing::default();
        let look = Look { section, ..Look::plain(Shade::Plain) };
        dressing.dress(roof, scene, &look, palette, &Unsure::default());
        let mut draw = |hovered: Option<usize>| {
            let mut picture = dressing.picture(scene, camera, &look, palette, SIZE, 1.0);
            picture.hovered = hovered;
            picture.strokes = Arc::default();
            gpu.draw(scene, &picture);
            gpu.read()
        };
        let plain = draw(None);
        let mut ids = vec![None; plain.len()];
        for face in 0..roof.faces.len() {
            for (id, (pixel, before)) in ids.iter_mut().zip(draw(Some(face)).iter().zip(&plain)) {
                if pixel != before {
                    *id = Some(face);
                }
            }
        }
        Self(ids)
    }

    fn at(&self, x: u32, y: u32) -> Option<usize> {
        self.0[(y * SIZE[0] + x) as usize]
    }

    /// Whether a pixel shows what its four neighbours show; where it does not, two faces are blended.
    fn is_amid_one(&self, x: u32, y: u32) -> bool {
        let around = [(x - 1, y), (x + 1, y), (x, y - 1), (x, y + 1)];
        around.into_iter().all(|(u, v)| self.at(u, v) == self.at(x, y))
    }
}

/// Of random pixels: how many were compared, how many lie on edges, how many disagree, and the faces seen. The ray is cast
/// `aside` pixels from the pixel it is compared with.
#[derive(Debug, Default)]
struct Tally {
    compared: usize,
    on_edges: usize,
    mismatches: usize,
    seen: BTreeSet<Option<usize>>,
}

impl Tally {
    fn take(&mut self, drawn: &Drawn, scene: &Scene, camera: &Camera, look: &Compared, random: &mut TestRng) {
        for _ in 0..look.pixels {
            let (x, y) = (1 + random.next_u32() % (SIZE[0] - 2), 1 + random.next_u32() % (SIZE[1] - 2));
            if !drawn.is_amid_one(x, y) {
                self.on_edges += 1;
                continue;
            }
            let face = drawn.at(x, y);
            let across = (f64::from(x) + 0.5 + look.aside[0]) / f64::from(SIZE[0]);
            let down = (f64::from(y) + 0.5 + look.aside[1]) / f64::from(SIZE[1]);
            let hit = scene.picker.pick_before(&camera.ray(across, down, aspect()), look.section);
            let picked = hit.and_then(|hit| hit.face).map(eavewright::base::ids::FaceId::index);
            self.mismatches += usize::from(picked != face);
            self.seen.insert(face);
            self.compared += 1;
        }
    }
}

#[derive(Clone, Copy, Debug)]
struct Compared {
    pixels: usize,
    aside: [f64; 2],
    section: Option<(Vector3<f64>, f64)>,
}

fn l_shape() -> (Roof, Solid) {
    let (read, ..) = input::read("stable", include_str!("../../../examples/stable_l.toml"), &NoFiles).unwrap();
    let answer = job::solve(&read, &job::Options { steps: false, spread: false }).unwrap();
    let solid = solid::build(&answer.roof, 0.0);
    (answer.roof, solid)
}

fn tally(roof: &Roof, solid: &Solid, look: Compared) -> Tally {
    let scene = Scene::new(roof, solid, |_| None);
    let headless = Headless::new([16, 16]).unwrap();
    let mut gpu = Gpu::new(headless.gl()).unwrap();
    let mut random = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut tally = Tally::default();
    for view in View::ALL {
        let camera = Camera::standard(view, &scene.places, aspect());
        let drawn = Drawn::new(&mut gpu, roof, &scene, &camera, look.section);
        tally.take(&drawn, &scene, &camera, &look, &mut random);
    }
    tally
}

const PLAIN: Compared = Compared { pixels: 125, aside: [0.0, 0.0], section: None };

#[test]
fn the_ray_picks_what_is_drawn() {
    for (name, (roof, solid)) in [("hip", support::hip(2.4, [3.0, -7.0])), ("L", l_shape())] {
        let tally = tally(&roof, &solid, PLAIN);
        assert_eq!(tally.compared + tally.on_edges, 1000, "{name}");
        assert_eq!(tally.mismatches, 0, "{name}: {tally:?}");
        assert!(tally.on_edges < 60, "{name}: {tally:?}");
        let slopes = roof.faces.iter().filter(|face| face.kind == FaceKind::Roof).count();
        assert!(tally.seen.contains(&None) && tally.seen.len() > slopes, "{name}: every slope and the background");
    }
}

#[test]
fn the_ray_picks_what_a_section_leaves() {
    let (roof, solid) = l_shape();
    let tally = tally(&roof, &solid, Compared { section: Some((Vector3::new(0.8, 0.6, 0.0), 0.5)), ..PLAIN });
    assert_eq!(tally.mismatches, 0, "{tally:?}");
}

/// The comparison can fail: a ray that is cast a few pixels aside disagrees near edges, the farther aside the more often,
/// and one of another view disagrees almost wherever there is a roof.
#[test]
fn a_ray_cast_aside_is_found_out() {
    let (roof, solid) = support::hip(2.4, [3.0, -7.0]);
    let aside = |x: f64, y: f64| tally(&roof, &solid, Compared { aside: [x, y], ..PLAIN }).mismatches;
    let found = [aside(4.0, 3.0), aside(16.0, 12.0), aside(64.0, 48.0)];
    assert!(found[0] > 0 && found[0] < found[1] && found[1] < found[2], "{found:?}");
    assert!(found[2] > 100, "{found:?}");
}

#[test]
fn a_face_taken_for_another_is_found_out() {
    let (roof, mut solid) = support::hip(2.4, [3.0, -7.0]);
    let scene_faces = solid.face_of.clone();
    // The picker is told each triangle's face one too far, the picture is not.
    let count = roof.faces.len();
    for face in solid.face_of.iter_mut().flatten() {
        *face = eavewright::base::ids::FaceId::new((face.index() + 1) % count);
    }
    let wrong = Scene::new(&roof, &solid, |_| None);
    solid.face_of = scene_faces;
    let right = Scene::new(&roof, &solid, |_| None);
    let headless = Headless::new([16, 16]).unwrap();
    let mut gpu = Gpu::new(headless.gl()).unwrap();
    let camera = Camera::standard(View::Corner, &right.places, aspect());
    let drawn = Drawn::new(&mut gpu, &roof, &right, &camera, None);
    let mut tally = Tally::default();
    let mut random = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    tally.take(&drawn, &wrong, &camera, &Compared { pixels: 1000, ..PLAIN }, &mut random);
    let on_faces = (0..SIZE[0] * SIZE[1]).filter(|at| drawn.0[*at as usize].is_some()).count();
    let share = on_faces as f64 / f64::from(SIZE[0] * SIZE[1]);
    // Every pixel on a face disagrees, and only these.
    assert!((tally.mismatches as f64 / tally.compared as f64 - share).abs() < 0.05, "{tally:?}, {share}");
}

/// Turned, moved and seen from as much farther round, a roof is picked as before.
#[test]
fn a_roof_that_is_turned_with_its_camera_is_picked_alike() {
    let (roof, solid) = support::hip(2.4, [0.0, 0.0]);
    let turn = nalgebra::Rotation3::from_axis_angle(&Vector3::z_axis(), 0.7);
    let shift = Vector3::new(40.0, -25.0, 0.0);
    let moved =
        Solid { positions: solid.positions.iter().map(|place| turn * place + shift).collect(), ..solid.clone() };
    let (one, other) = (Scene::new(&roof, &solid, |_| None), Scene::new(&roof, &moved, |_| None));
    let camera = Camera::standard(View::Corner, &one.places, aspect());
    let mut random = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut hits = 0;
    for _ in 0..1000 {
        let at = |random: &mut TestRng| f64::from(random.next_u32()) / f64::from(u32::MAX);
        let ray = camera.ray(at(&mut random), at(&mut random), aspect());
        let from = turn * (ray.from + one.origin) + shift - other.origin;
        let turned = eavewright::viewer::render::camera::Ray { from, along: turn * ray.along };
        let (a, b) = (one.picker.pick(&ray), other.picker.pick(&turned));
        assert_eq!(a.map(|hit| hit.face), b.map(|hit| hit.face));
        if let (Some(a), Some(b)) = (a, b) {
            assert!((turn * (a.at + one.origin) + shift - (b.at + other.origin)).norm() < 1e-6);
            hits += 1;
        }
    }
    assert!(hits > 200, "{hits}");
}
