//! Renders a test's window without a display, the real 3D view in it.

use eavewright_headless::Headless;
use eframe::egui;
use egui_glow::{Painter, ShaderVersion};
use egui_kittest::TestRenderer;

/// OpenGL without a display behind egui's own painter.
pub struct Renderer {
    painter: Painter,
    headless: Headless,
}

impl Renderer {
    /// A renderer for windows of up to `size` pixels.
    pub fn new(size: [u32; 2]) -> Self {
        let headless = Headless::new(size).expect("tests of the window need EGL: libegl1 libegl-mesa0 libgl1-mesa-dri");
        let painter = Painter::new(headless.gl(), "", Some(ShaderVersion::Gl140), false).unwrap();
        Self { painter, headless }
    }
}

impl TestRenderer for Renderer {
    fn handle_delta(&mut self, delta: &mut egui::TexturesDelta) {
        for (id, images) in delta.set.drain() {
            for image in images {
                self.painter.set_texture(id, &image);
            }
        }
        for id in delta.free.drain() {
            self.painter.free_texture(id);
        }
    }

    fn render(&mut self, context: &egui::Context, output: &egui::FullOutput) -> Result<image::RgbaImage, String> {
        let scale = output.pixels_per_point;
        let points = context.input(eframe::egui::InputState::viewport_rect).size() * scale;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let size = [points.x.round() as u32, points.y.round() as u32];
        let largest = self.headless.size();
        if size[0] > largest[0] || size[1] > largest[1] {
            return Err(format!("{size:?} pixels wanted, {largest:?} at most"));
        }
        let primitives = context.tessellate(output.shapes.clone(), scale);
        self.painter.clear(size, [1.0, 0.0, 1.0, 1.0]);
        self.painter.paint_primitives(size, scale, &primitives);
        let read = self.painter.read_screen_rgba(size);
        let bytes = read.pixels.iter().flat_map(egui::Color32::to_array).collect();
        image::RgbaImage::from_raw(size[0], size[1], bytes).ok_or_else(|| "short read".to_owned())
    }
}

impl Drop for Renderer {
    fn drop(&mut self) {
        self.painter.destroy();
    }
}
