//! Pictures without a display: the same view as in the window, drawn off screen.

use super::camera::{Camera, View};
use super::gpu::{Gpu, GpuError};
use super::labels::{self, Labels, Scenery};
use super::legend;
use super::scene::{Scene, Shade};
use super::stage::{Dressing, Look};
use super::theme::Theme;
use crate::base::units::LengthUnit;
use crate::job::answer::Answer;
use crate::viewer::backend::Unsure;
use eavewright_headless::{Headless, NoContext};
use eframe::egui;
use egui_glow::{CallbackFn, ShaderVersion};
use std::sync::{Arc, Mutex};

/// Greatest side of a picture, pixels.
pub const LARGEST: u32 = 4096;

/// Pictures are drawn at this multiple of their size and averaged down.
const OVERSAMPLING: u32 = 2;

/// What the picture shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shot {
    /// Where from.
    pub view: View,
    /// How faces are shaded.
    pub shade: Shade,
    /// Colours.
    pub theme: Theme,
    /// Width and height, pixels.
    pub size: [u32; 2],
    /// What is labelled.
    pub labels: Labels,
    /// For people.
    pub units: LengthUnit,
}

/// Why there is no picture.
#[derive(Debug, thiserror::Error)]
pub enum ShotError {
    /// No OpenGL without a display.
    #[error("a picture needs OpenGL without a display (EGL): {0}")]
    NoContext(#[from] NoContext),
    /// The driver refuses.
    #[error(transparent)]
    Gpu(#[from] GpuError),
    /// egui's painter refuses.
    #[error("text cannot be drawn: {0}")]
    Text(String),
    /// Unusable size.
    #[error("size is {0} x {1}, expected sides of 16 to {LARGEST} pixels")]
    Size(u32, u32),
}

/// An RGB picture, rows from the top.
#[derive(Clone, Debug, PartialEq)]
pub struct Image {
    /// Width and height.
    pub size: [u32; 2],
    /// Three bytes a pixel.
    pub pixels: Vec<u8>,
}

/// Draws a picture of a roof.
///
/// # Errors
/// [`ShotError`]: no OpenGL, a driver that refuses, an unusable size.
pub fn take(answer: &Answer, scene: &Scene, unsure: &Unsure, shot: &Shot) -> Result<Image, ShotError> {
    let [width, height] = shot.size;
    if !(16..=LARGEST).contains(&width) || !(16..=LARGEST).contains(&height) {
        return Err(ShotError::Size(width, height));
    }
    let large = shot.size.map(|side| side * OVERSAMPLING);
    let headless = Headless::new(large)?;
    let mut gpu = Gpu::new(headless.gl())?;
    let aspect = f64::from(width) / f64::from(height);
    let camera = Camera::standard(shot.view, &scene.places, aspect);
    let palette = shot.theme.palette();
    let look = Look::plain(shot.shade);
    let mut dressing = Dressing::default();
    dressing.dress(&answer.roof, scene, &look, palette, unsure);
    // Text and pens keep their size in relation to the picture.
    #[allow(clippy::cast_precision_loss)]
    let points = (height as f32 / 820.0).max(width as f32 / 1500.0).max(0.6);
    #[allow(clippy::cast_precision_loss)]
    let scale = points * OVERSAMPLING as f32;
    let picture = dressing.picture(scene, &camera, &look, palette, large, scale);
    gpu.draw(scene, &picture);
    let gpu = Arc::new(Mutex::new(gpu));
    let painter = egui_glow::Painter::new(headless.gl(), "", Some(ShaderVersion::Gl140), false);
    let mut painter = painter.map_err(|error| ShotError::Text(error.to_string()))?;
    let context = egui::Context::default();
    let paint = |ui: &mut egui::Ui| {
        let rect = ui.max_rect();
        let shared = Arc::clone(&gpu);
        let present = CallbackFn::new(move |info, _| {
            if let Ok(gpu) = shared.lock() {
                gpu.present(info.screen_size_px, [0, 0], three_d::ScissorBox::new_at_origo(large[0], large[1]));
            }
        });
        ui.painter().add(egui::PaintCallback { rect, callback: Arc::new(present) });
        let scenery = Scenery {
            answer,
            scene,
            camera: &camera,
            palette,
            units: shot.units,
            with_uncertainty: shot.shade == Shade::Certainty,
            section: None,
        };
        let free = legend::draw(ui.painter(), rect, &scenery, shot.shade);
        labels::draw(ui.painter(), rect, free, &scenery, shot.labels, &[]);
    };
    run(&context, &mut painter, large, scale, paint);
    let pixels = painter.read_screen_rgba(large);
    painter.destroy();
    drop(gpu);
    Ok(Image { size: shot.size, pixels: halved(&pixels, shot.size) })
}

/// One pass of egui over the whole picture, painted. The first pass only loads glyphs.
fn run(
    context: &egui::Context,
    painter: &mut egui_glow::Painter,
    size: [u32; 2],
    scale: f32,
    mut paint: impl FnMut(&mut egui::Ui),
) {
    #[allow(clippy::cast_precision_loss)]
    let points = egui::vec2(size[0] as f32, size[1] as f32) / scale;
    for _ in 0..2 {
        let mut input = egui::RawInput {
            screen_rect: Some(egui::Rect::from_min_size(egui::Pos2::ZERO, points)),
            ..egui::RawInput::default()
        };
        if let Some(viewport) = input.viewports.get_mut(&egui::ViewportId::ROOT) {
            viewport.native_pixels_per_point = Some(scale);
        }
        let mut output = context.run_ui(input, &mut paint);
        let primitives = context.tessellate(output.shapes, output.pixels_per_point);
        painter.clear(size, [1.0, 1.0, 1.0, 1.0]);
        painter.paint_and_update_textures(size, scale, &primitives, &mut output.textures_delta);
        output.textures_delta.clear();
    }
}

/// The mean of every two by two pixels.
fn halved(large: &egui::ColorImage, [width, height]: [u32; 2]) -> Vec<u8> {
    let (width, height) = (width as usize, height as usize);
    let mut out = Vec::with_capacity(width * height * 3);
    for y in 0..height {
        for x in 0..width {
            let at = |dx: usize, dy: usize| large.pixels[(2 * y + dy) * 2 * width + 2 * x + dx].to_array();
            let four = [at(0, 0), at(1, 0), at(0, 1), at(1, 1)];
            for channel in 0..3 {
                let sum: u16 = four.iter().map(|pixel| u16::from(pixel[channel])).sum();
                #[allow(clippy::cast_possible_truncation)]
                out.push(((sum + 2) / 4) as u8);
            }
        }
    }
    out
}
