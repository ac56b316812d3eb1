//! From places on the site to places on the screen and back: y up, one scale.

use eframe::egui::{Pos2, Rect, Vec2, vec2};
use nalgebra::{Point2, Vector2};

/// Points of the screen kept free round the plan.
const MARGIN: f32 = 76.0;

/// Where the plan stands on the screen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    middle: Point2<f64>,
    on_screen: Pos2,
    /// Points of the screen a metre.
    pub scale: f64,
}

impl Frame {
    /// Fits places into a rectangle.
    #[must_use]
    pub fn fitted(places: impl Iterator<Item = Point2<f64>>, rect: Rect) -> Self {
        let (mut low, mut high) = (Point2::new(f64::MAX, f64::MAX), Point2::new(f64::MIN, f64::MIN));
        for place in places {
            (low, high) = (low.inf(&place), high.sup(&place));
        }
        let size = (high - low).map(|side| side.max(0.1));
        let room = (rect.size() - Vec2::splat(2.0 * MARGIN)).max(Vec2::splat(20.0));
        let scale = (f64::from(room.x) / size.x).min(f64::from(room.y) / size.y);
        Self { middle: nalgebra::center(&low, &high), on_screen: rect.center(), scale }
    }

    /// Nearer or farther about a place of the screen.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)]
    pub fn zoomed(self, about: Pos2, factor: f64) -> Self {
        let on_screen = about + (self.on_screen - about) * factor as f32;
        Self { scale: self.scale * factor, on_screen, ..self }
    }

    /// Moved on the screen.
    #[must_use]
    pub fn moved(self, by: Vec2) -> Self {
        Self { on_screen: self.on_screen + by, ..self }
    }

    /// Where a place appears.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)]
    pub fn at(&self, place: Point2<f64>) -> Pos2 {
        let from = (place - self.middle) * self.scale;
        self.on_screen + vec2(from.x as f32, -from.y as f32)
    }

    /// What lies at a place of the screen.
    #[must_use]
    pub fn place(&self, at: Pos2) -> Point2<f64> {
        let from = at - self.on_screen;
        self.middle + Vector2::new(f64::from(from.x), -f64::from(from.y)) / self.scale
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use eframe::egui::pos2;

    #[test]
    fn there_and_back() {
        let rect = Rect::from_min_max(pos2(100.0, 50.0), pos2(700.0, 450.0));
        let places = [Point2::new(-1.0, 2.0), Point2::new(8.0, 6.0)];
        let frame = Frame::fitted(places.into_iter(), rect).zoomed(pos2(300.0, 200.0), 1.7).moved(vec2(4.0, -9.0));
        for place in places {
            assert!((frame.place(frame.at(place)) - place).norm() < 1e-4);
        }
        let fitted = Frame::fitted(places.into_iter(), rect);
        assert!(places.iter().all(|place| rect.contains(fitted.at(*place))));
    }
}
