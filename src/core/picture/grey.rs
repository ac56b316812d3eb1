//! A photo as brightness alone.
//!
//! A file stores brightness by about its root (the transfer function of sRGB, IEC 61966-2-1), so that equal steps look
//! equal and noise is much the same in light and shade. A lens blurs light itself: an edge between dark and bright lies
//! where light is half way, and the root would move it towards the dark. So edges are found in what is stored, and located
//! in light.

use std::sync::LazyLock;

/// Brightness of every pixel, 0 to 255, rows from the top.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Grey {
    size: [usize; 2],
    values: Vec<u8>,
}

/// Brightness at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Brightness {
    /// As it is stored, 0 to 255.
    pub stored: f64,
    /// As light, 0 to 255.
    pub light: f64,
}

/// Light of each stored value, 0 to 255: the inverse of the transfer function of sRGB.
static LIGHT: LazyLock<[f64; 256]> = LazyLock::new(|| {
    std::array::from_fn(|stored| {
        let stored = stored as f64 / 255.0;
        255.0 * if stored <= 0.04045 { stored / 12.92 } else { ((stored + 0.055) / 1.055).powf(2.4) }
    })
});

impl Grey {
    /// Of one byte a pixel; `None` when their number is not width times height.
    #[must_use]
    pub fn new(size: [usize; 2], values: Vec<u8>) -> Option<Self> {
        (size[0].checked_mul(size[1]) == Some(values.len()) && !values.is_empty()).then_some(Self { size, values })
    }

    /// Width and height.
    #[must_use]
    pub fn size(&self) -> [usize; 2] {
        self.size
    }

    /// Brightness at a place counted as marks are: the middle of the first pixel is `[0.5, 0.5]`. Between middles it is
    /// bilinear; `None` nearer to the border than half a pixel, or outside.
    #[must_use]
    pub fn at(&self, place: [f64; 2]) -> Option<Brightness> {
        let (x, y) = (place[0] - 0.5, place[1] - 0.5);
        let [width, height] = self.size;
        if !(x >= 0.0 && y >= 0.0 && x <= (width - 1) as f64 && y <= (height - 1) as f64) {
            return None;
        }
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let (left, top) = (x as usize, y as usize);
        let (right, below) = ((left + 1).min(width - 1), (top + 1).min(height - 1));
        let (u, v) = (x - left as f64, y - top as f64);
        let at = |column: usize, row: usize| usize::from(self.values[row * width + column]);
        let four = [at(left, top), at(right, top), at(left, below), at(right, below)];
        let between = |[a, b, c, d]: [f64; 4]| {
            let (upper, lower) = (a + (b - a) * u, c + (d - c) * u);
            upper + (lower - upper) * v
        };
        let light = &*LIGHT;
        Some(Brightness {
            stored: between(four.map(|value| value as f64)),
            light: between(four.map(|value| light[value])),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::Grey;

    #[test]
    fn a_place_is_counted_from_the_corner_of_the_first_pixel() {
        let Some(grey) = Grey::new([3, 2], vec![10, 20, 40, 50, 60, 80]) else { panic!("it has six pixels") };
        let stored = |place: [f64; 2]| grey.at(place).map(|at| at.stored);
        assert_eq!(stored([0.5, 0.5]), Some(10.0));
        assert_eq!(stored([2.0, 0.5]), Some(30.0));
        assert_eq!(stored([1.5, 1.0]), Some(40.0));
        // sRGB's own table from memory: 188 is half the light.
        let half = Grey::new([1, 1], vec![188]).and_then(|grey| grey.at([0.5, 0.5]));
        assert!(half.is_some_and(|half| (half.light / 255.0 - 0.503).abs() < 0.001), "{half:?}");
        assert_eq!(grey.at([0.4, 0.5]), None);
        assert_eq!(grey.at([2.6, 0.5]), None);
        assert_eq!(grey.at([f64::NAN, 0.5]), None);
        assert_eq!(Grey::new([3, 2], vec![0; 5]), None);
    }
}
