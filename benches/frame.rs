//! From an edit to the picture: reading, solving, laying out and meshing as the window's worker does it, for 10, 60 and
//! 500 sides; and one frame of a scene of 100,000 triangles on OpenGL without a display.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

#[path = "../tests/support/random.rs"]
mod random;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use eavewright::cli::view::Tool;
use eavewright::roof::{self, Options, solid};
use eavewright::viewer::backend::{Backend, Unsure};
use eavewright::viewer::camera::{Camera, View};
use eavewright::viewer::courses;
use eavewright::viewer::gpu::Gpu;
use eavewright::viewer::scene::{Scene, Shade};
use eavewright::viewer::stage::{Dressing, Look};
use eavewright::viewer::theme::Theme;
use eavewright_headless::Headless;
use std::hint::black_box;
use std::time::Duration;

/// A roof file of about so many sides, at one pitch.
fn file(sides: usize) -> (String, usize) {
    let footprint = random::rectilinear(7, sides, false);
    let corners = footprint.rings[0].corners();
    let side = |(index, at): (usize, &nalgebra::Point2<f64>)| {
        format!("  {{ from = \"S{index}\", at = [{:.4}, {:.4}], pitch = 35 }},\n", at.x, at.y)
    };
    let list: String = corners.iter().enumerate().map(side).collect();
    let text = format!(
        "title = \"b\"\nunits = \"m\"\n[[block]]\nname = \"b\"\nheight = 2.4\nsides = [\n{list}]\n[covering]\ncard = \
         \"strip-shingle\"\n"
    );
    (text, corners.len())
}

fn edit(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("edit to scene");
    group.sample_size(20).warm_up_time(Duration::from_millis(500)).measurement_time(Duration::from_secs(3));
    for sides in [10, 60, 500] {
        let (text, count) = file(sides);
        group.bench_with_input(BenchmarkId::from_parameter(count), &text, |bencher, text| {
            bencher.iter(|| {
                let answered = Tool.answer(black_box(text), None, false).unwrap_or_else(|faults| panic!("{faults:?}"));
                let scene = Scene::new(&answered.roof, &answered.solid, |face| courses::of(&answered, face));
                scene.corners.places.len()
            });
        });
    }
    group.finish();
}

fn frame(criterion: &mut Criterion) {
    let Ok(headless) = Headless::new([16, 16]) else {
        println!("no OpenGL without a display here: frames are not measured");
        return;
    };
    let mut gpu = Gpu::new(headless.gl()).unwrap();
    let mut group = criterion.benchmark_group("frame at 1280x800");
    group.sample_size(20).warm_up_time(Duration::from_millis(500)).measurement_time(Duration::from_secs(4));
    for sides in [60, 17_000] {
        let footprint = random::rectilinear(7, sides, false);
        let roof = roof::solve(std::slice::from_ref(&footprint), &Options::default()).unwrap();
        let solid = solid::build(&roof, 0.0);
        let scene = Scene::new(&roof, &solid, |_| None);
        let palette = Theme::Light.palette();
        let look = Look::plain(Shade::Height);
        let mut dressing = Dressing::default();
        dressing.dress(&roof, &scene, &look, palette, &Unsure::default());
        let mut camera = Camera::standard(View::Corner, &scene.places, 1.6);
        let triangles = format!("{} triangles", solid.triangles.len());
        group.bench_function(triangles, |bencher| {
            bencher.iter(|| {
                // A picture drawn before is not drawn again: the view turns as under a hand.
                camera.orbit(0.01, 0.0);
                let picture = dressing.picture(&scene, &camera, &look, palette, [1280, 800], 1.0);
                gpu.draw(&scene, &picture);
                // Reading waits until it is drawn.
                gpu.read().len()
            });
        });
    }
    group.finish();
}

criterion_group!(benches, edit, frame);
criterion_main!(benches);
