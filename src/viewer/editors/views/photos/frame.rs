//! Where a photo lies on the screen.

use eframe::egui::{Pos2, Rect, vec2};

/// The smallest scale a photo is shown at.
const LEAST_SCALE: f32 = 1e-4;

/// Where the photo lies on the screen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Place of the photo's upper left corner.
    pub corner: Pos2,
    /// Points of the screen a pixel of the photo.
    pub scale: f32,
}

impl Frame {
    /// The whole photo in a rectangle.
    #[must_use]
    pub fn fitted(size: [f64; 2], rect: Rect) -> Self {
        #[allow(clippy::cast_possible_truncation)]
        let size = vec2(size[0] as f32, size[1] as f32);
        let scale = (rect.width() / size.x).min(rect.height() / size.y).max(LEAST_SCALE);
        Self { corner: rect.center() - size * scale / 2.0, scale }
    }

    /// Where a pixel appears.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)]
    pub fn at(&self, pixel: [f64; 2]) -> Pos2 {
        self.corner + vec2(pixel[0] as f32, pixel[1] as f32) * self.scale
    }

    /// The pixel that appears there.
    #[must_use]
    pub fn pixel(&self, at: Pos2) -> [f64; 2] {
        let from = (at - self.corner) / self.scale;
        [f64::from(from.x), f64::from(from.y)]
    }

    /// Nearer about a place that stays where it is.
    #[must_use]
    pub fn zoomed(&self, at: Pos2, factor: f32) -> Self {
        let scale = (self.scale * factor).clamp(0.01, 40.0);
        Self { corner: at + (self.corner - at) * (scale / self.scale), scale }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use eframe::egui::pos2;

    #[test]
    fn a_pixel_appears_where_the_pointer_finds_it_again() {
        let rect = Rect::from_min_size(pos2(100.0, 50.0), vec2(600.0, 500.0));
        let frame = Frame::fitted([4000.0, 3000.0], rect).zoomed(pos2(300.0, 200.0), 1.7);
        let pixel = frame.pixel(frame.at([1234.5, 987.6]));
        assert!((pixel[0] - 1234.5).abs() < 0.01 && (pixel[1] - 987.6).abs() < 0.01, "{pixel:?}");
    }
}
