//! The window without a display.

use super::renderer;
use super::state::Plain;
pub use super::state::{HIP, keep, settle};
use eavewright::viewer::app::state::AppState;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::PathBuf;
use std::sync::Arc;

pub const STABLE: &str = include_str!("../../../examples/stable_l.toml");

/// A window of 1280 by 800 points.
pub fn window(text: &str) -> Harness<'static, AppState> {
    sized(text, None, [1280.0, 800.0])
}

pub fn sized(text: &str, path: Option<PathBuf>, size: [f32; 2]) -> Harness<'static, AppState> {
    let app = AppState::new(Arc::new(Plain::default()), text.to_owned(), path, || {});
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let pixels = size.map(|side| side as u32);
    let mut harness = Harness::builder()
        .with_size(size)
        .with_max_steps(30)
        .renderer(renderer::Renderer::new(pixels))
        .build_ui_state(|ui, app: &mut AppState| app.show(ui), app);
    settle(&mut harness);
    harness
}

/// Presses what bears a name.
pub fn press(harness: &mut Harness<'static, AppState>, name: &str) {
    harness.get_by_label(name).click();
    settle(harness);
}

/// The same view in every theme and both sizes, kept to be looked at; one size only where pictures are not kept.
pub fn show_in_all(
    text: &str,
    path: Option<&std::path::Path>,
    name: &str,
    go: impl Fn(&mut Harness<'static, AppState>),
) {
    use eavewright::viewer::render::theme::Theme;
    for (word, theme) in [("light", Theme::Light), ("dark", Theme::Dark), ("contrast", Theme::Contrast)] {
        for size in [[1280.0, 800.0], [1920.0, 1080.0]] {
            let mut harness = sized(text, path.map(std::path::Path::to_path_buf), size);
            harness.state_mut().theme = theme;
            go(&mut harness);
            settle(&mut harness);
            let image = keep(&mut harness, &format!("{name}-{word}-{}", size[0]));
            let [r, g, b] = theme.palette().panel;
            assert_eq!(image.get_pixel(14, image.height() / 2).0, [r, g, b, 255], "{name} {word}");
            if std::env::var_os("SHOTS").is_none() {
                break;
            }
        }
    }
}
