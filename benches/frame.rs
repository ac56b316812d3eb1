//! From an edit to the picture: reading, solving, laying out and meshing as the window's worker does it while a pitch is
//! dragged, for 10, 60 and 500 sides, without and with drawing it at 1280 x 800; and one frame of a scene of some 100,000
//! triangles. Drawing is on OpenGL without a display, on whatever device EGL gives first: its name is printed.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use eavewright::cli::view::Tool;
use eavewright::roof;
use eavewright::roof::Options;
use eavewright::roof::model::solid;
use eavewright::viewer::backend::{Answered, Backend, Source, Unsure};
use eavewright::viewer::render::camera::{Camera, View};
use eavewright::viewer::render::courses;
use eavewright::viewer::render::gpu::Gpu;
use eavewright::viewer::render::scene::{Scene, Shade};
use eavewright::viewer::render::stage::{Dressing, Look};
use eavewright::viewer::render::theme::Theme;
use eavewright_headless::Headless;
use std::hint::black_box;
use std::time::Duration;
use support::random;

const SIZE: [u32; 2] = [1280, 800];

/// Pitches a hand passes, one text each.
const PITCHES: [f64; 4] = [35.0, 35.5, 36.0, 36.5];

/// Roof files of about so many sides, one a pitch, and how many sides they have.
fn files(sides: usize) -> (Vec<String>, usize) {
    let footprint = random::rectilinear(7, sides, false);
    let corners = footprint.rings[0].corners();
    let text = |pitch: &f64| {
        let side = |(index, at): (usize, &nalgebra::Point2<f64>)| {
            format!("  {{ from = \"S{index}\", at = [{:.4}, {:.4}], pitch = {pitch} }},\n", at.x, at.y)
        };
        let list: String = corners.iter().enumerate().map(side).collect();
        format!(
            "title = \"b\"\nunits = \"m\"\n[[block]]\nname = \"b\"\nheight = 2.4\nsides = [\n{list}]\n\n[covering]\ncard = \
             \"strip-shingle\"\n"
        )
    };
    (PITCHES.iter().map(text).collect(), corners.len())
}

/// As the window's worker does it.
fn scene(text: &str) -> (Answered, Scene) {
    let answered = Tool.answer(black_box(Source { text, path: None }), false);
    let answered = answered.unwrap_or_else(|faults| panic!("{faults:?}"));
    let scene = Scene::new(&answered.answer.roof, &answered.solid, |face| courses::of(&answered, face));
    (answered, scene)
}

fn edit(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("edit to scene");
    group.sample_size(20).warm_up_time(Duration::from_millis(500)).measurement_time(Duration::from_secs(3));
    for sides in [10, 60, 500] {
        let (texts, count) = files(sides);
        let mut texts = texts.iter().cycle();
        group.bench_function(BenchmarkId::from_parameter(count), |bencher| {
            bencher.iter(|| texts.next().map(|text| scene(text).1.corners.places.len()));
        });
    }
    group.finish();
}

fn context() -> Option<(Headless, Gpu)> {
    match Headless::new([16, 16]) {
        Ok(headless) => {
            println!("drawn by: {}", headless.renderer());
            let gpu = Gpu::new(headless.gl()).unwrap();
            Some((headless, gpu))
        }
        Err(error) => {
            println!("not drawn: {error}");
            None
        }
    }
}

fn picture(criterion: &mut Criterion) {
    let Some((_headless, mut gpu)) = context() else { return };
    let palette = Theme::Light.palette();
    let look = Look::plain(Shade::Covering);
    let mut group = criterion.benchmark_group("edit to picture at 1280x800");
    group.sample_size(20).warm_up_time(Duration::from_millis(500)).measurement_time(Duration::from_secs(3));
    for sides in [10, 60, 500] {
        let (texts, count) = files(sides);
        let mut texts = texts.iter().cycle();
        group.bench_function(BenchmarkId::from_parameter(count), |bencher| {
            bencher.iter(|| {
                let (answered, scene) = scene(texts.next().unwrap());
                let camera = Camera::standard(View::Corner, &scene.places, 1.6);
                let mut dressing = Dressing::default();
                dressing.dress(&answered.answer.roof, &scene, &look, palette, &Unsure::default());
                gpu.draw(&scene, &dressing.picture(&scene, &camera, &look, palette, SIZE, 1.0));
                // Reading waits until it is drawn.
                gpu.read().len()
            });
        });
    }
    group.finish();
}

fn frame(criterion: &mut Criterion) {
    let Some((_headless, mut gpu)) = context() else { return };
    let palette = Theme::Light.palette();
    let mut group = criterion.benchmark_group("frame at 1280x800");
    group.sample_size(20).warm_up_time(Duration::from_millis(500)).measurement_time(Duration::from_secs(4));
    for sides in [60, 26_500] {
        let footprint = random::rectilinear(7, sides, false);
        let roof = roof::solve(std::slice::from_ref(&footprint), &Options::default()).unwrap();
        let solid = solid::build(&roof, 0.0);
        let scene = Scene::new(&roof, &solid, |_| None);
        for shade in [Shade::Plain, Shade::Height] {
            let look = Look::plain(shade);
            let mut dressing = Dressing::default();
            dressing.dress(&roof, &scene, &look, palette, &Unsure::default());
            let mut camera = Camera::standard(View::Corner, &scene.places, 1.6);
            let name = format!("{} triangles, {}", solid.triangles.len(), shade.word());
            group.bench_function(name, |bencher| {
                bencher.iter(|| {
                    // A picture drawn before is not drawn again: the view turns as under a hand.
                    camera.orbit(0.01, 0.0);
                    gpu.draw(&scene, &dressing.picture(&scene, &camera, &look, palette, SIZE, 1.0));
                    gpu.read().len()
                });
            });
        }
    }
    group.finish();
}

criterion_group!(benches, edit, picture, frame);
criterion_main!(benches);
