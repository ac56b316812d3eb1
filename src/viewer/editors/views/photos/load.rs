//! Photos decoded beside the window, the right way up: a smaller picture to look at, all pixels for the magnifier.

use crate::viewer::backend::{Backend, Pixels};
use eframe::egui;
use eframe::egui::{ColorImage, TextureHandle, TextureOptions};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};

/// Longest side of the picture that is looked at, pixels: what any graphics card takes.
const LONGEST: usize = 2048;

/// A photo on its way or here.
pub enum Load {
    /// Being decoded.
    Coming(Receiver<Result<(Pixels, ColorImage), String>>),
    /// Here.
    Here(Box<Here>),
    /// Why there is none.
    Failed(String),
}

/// A decoded photo.
pub struct Here {
    /// All of it.
    pub pixels: Pixels,
    /// To look at.
    pub texture: TextureHandle,
}

impl Load {
    /// Begins to decode a file named in a roof file. O(1) here, O(pixels) beside.
    #[must_use]
    pub fn begin(context: &egui::Context, backend: &Arc<dyn Backend>, path: Option<PathBuf>, file: String) -> Self {
        let (sender, receiver) = channel();
        let (backend, context) = (Arc::clone(backend), context.clone());
        let work = move || {
            let decoded = backend.photo(path.as_deref(), &file).map(|pixels| {
                let small = smaller(&pixels, LONGEST);
                (pixels, small)
            });
            // Nobody may listen any more: another file is open.
            let _ = sender.send(decoded);
            context.request_repaint();
        };
        match std::thread::Builder::new().name("photo".into()).spawn(work) {
            Ok(_) => Self::Coming(receiver),
            Err(error) => Self::Failed(error.to_string()),
        }
    }

    /// Takes over what has come.
    pub fn settle(&mut self, context: &egui::Context, name: &str) {
        let Self::Coming(receiver) = self else { return };
        match receiver.try_recv() {
            Ok(Ok((pixels, small))) => {
                let texture = context.load_texture(name, small, TextureOptions::LINEAR);
                *self = Self::Here(Box::new(Here { pixels, texture }));
            }
            Ok(Err(why)) => *self = Self::Failed(why),
            Err(std::sync::mpsc::TryRecvError::Empty) => {}
            Err(std::sync::mpsc::TryRecvError::Disconnected) => {
                *self = Self::Failed("it could not be decoded".to_owned());
            }
        }
    }
}

/// A small picture of a photo, on its way or here.
pub enum Small {
    /// Being made.
    Coming(Receiver<Result<ColorImage, String>>),
    /// Here.
    Here(TextureHandle),
    /// There is none: why is told where the photo itself is shown.
    Failed,
}

impl Small {
    /// Begins to make one. O(1) here, O(pixels) beside; the pixels are let go of.
    #[must_use]
    pub fn begin(context: &egui::Context, backend: &Arc<dyn Backend>, path: Option<PathBuf>, file: String) -> Self {
        let (sender, receiver) = channel();
        let (backend, context) = (Arc::clone(backend), context.clone());
        let work = move || {
            let small = backend.photo(path.as_deref(), &file).map(|pixels| smaller(&pixels, THUMBNAIL));
            // Nobody may listen any more: another file is open.
            let _ = sender.send(small);
            context.request_repaint();
        };
        match std::thread::Builder::new().name("thumbnail".into()).spawn(work) {
            Ok(_) => Self::Coming(receiver),
            Err(_) => Self::Failed,
        }
    }

    /// Whether it is on its way.
    #[must_use]
    pub fn is_coming(&self) -> bool {
        matches!(self, Self::Coming(_))
    }

    /// Takes over what has come.
    pub fn settle(&mut self, context: &egui::Context, name: &str) {
        let Self::Coming(receiver) = self else { return };
        match receiver.try_recv() {
            Ok(Ok(small)) => *self = Self::Here(context.load_texture(name, small, TextureOptions::LINEAR)),
            Err(std::sync::mpsc::TryRecvError::Empty) => {}
            Ok(Err(_)) | Err(std::sync::mpsc::TryRecvError::Disconnected) => *self = Self::Failed,
        }
    }
}

/// Longest side of a thumbnail, pixels.
const THUMBNAIL: usize = 160;

/// The picture made smaller by the mean of whole squares, so that no side is longer than `longest`.
fn smaller(pixels: &Pixels, longest: usize) -> ColorImage {
    let [width, height] = pixels.size;
    let factor = width.max(height).div_ceil(longest).max(1);
    let size = [width / factor, height / factor].map(|side| side.max(1));
    let mut out = Vec::with_capacity(size[0] * size[1]);
    for y in 0..size[1] {
        for x in 0..size[0] {
            let mut sum = [0_usize; 3];
            let mut count = 0;
            for row in y * factor..((y + 1) * factor).min(height) {
                for column in x * factor..((x + 1) * factor).min(width) {
                    let rgb = pixels.at(column, row);
                    (0..3).for_each(|channel| sum[channel] += usize::from(rgb[channel]));
                    count += 1;
                }
            }
            #[allow(clippy::cast_possible_truncation)]
            let mean = sum.map(|sum| (sum / count.max(1)) as u8);
            out.push(egui::Color32::from_rgb(mean[0], mean[1], mean[2]));
        }
    }
    ColorImage::new(size, out)
}

/// A square of pixels about a place, for the magnifier; what lies outside the photo is grey.
#[must_use]
pub fn about(pixels: &Pixels, at: [f64; 2], side: usize) -> ColorImage {
    #[allow(clippy::cast_possible_truncation, clippy::cast_possible_wrap)]
    let [left, top] = at.map(|middle| middle.floor() as i64 - side as i64 / 2);
    let mut out = Vec::with_capacity(side * side);
    for y in 0..side {
        for x in 0..side {
            let place = |low: i64, step: usize| usize::try_from(low + i64::try_from(step).unwrap_or_default()).ok();
            let inside = place(left, x).zip(place(top, y)).filter(|(x, y)| *x < pixels.size[0] && *y < pixels.size[1]);
            out.push(inside.map_or(egui::Color32::GRAY, |(x, y)| {
                let [r, g, b] = pixels.at(x, y);
                egui::Color32::from_rgb(r, g, b)
            }));
        }
    }
    ColorImage::new([side, side], out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_large_photo_is_halved_by_the_mean_of_squares() {
        let size = [4000, 2];
        let rgb = (0..8000_usize).flat_map(|at| if at % 2 == 0 { [10, 20, 30] } else { [30, 40, 50] }).collect();
        let small = smaller(&Pixels { size, rgb }, LONGEST);
        assert_eq!(small.size, [2000, 1]);
        assert_eq!(small.pixels[7], egui::Color32::from_rgb(20, 30, 40));
    }

    #[test]
    fn the_magnifier_stops_at_the_edge_of_the_photo() {
        let pixels = Pixels { size: [3, 3], rgb: vec![200; 27] };
        let square = about(&pixels, [0.0, 0.0], 4);
        assert_eq!(square.pixels[0], egui::Color32::GRAY);
        assert_eq!(square.pixels[2 * 4 + 2], egui::Color32::from_rgb(200, 200, 200));
    }
}
