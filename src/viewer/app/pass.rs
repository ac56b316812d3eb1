//! One pass of the window: what came in meanwhile is taken up, keys are done, bars, panes and the view are shown.

use super::keys;
use super::panes::{self, Pane};
use super::state::AppState;
use super::toolbar;
use crate::viewer::editors::forms;
use crate::viewer::editors::placing;
use crate::viewer::editors::views;
use crate::viewer::editors::views::Tab;
use crate::viewer::render::style;
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::region;
use eframe::egui;
use std::path::PathBuf;

impl AppState {
    /// One pass of the window.
    pub fn show(&mut self, ui: &mut egui::Ui) {
        if self.styled != Some(self.theme) {
            style::apply(ui.ctx(), self.theme);
            self.styled = Some(self.theme);
            ui.ctx().request_repaint();
        }
        self.size_up(ui.ctx());
        self.listen();
        self.listen_to_files(ui.ctx());
        self.look_at_disk(ui.ctx());
        self.keep(ui.ctx());
        if !ui.input(|input| input.pointer.any_down()) {
            self.is_called_off = false;
        }
        placing::keys(ui.ctx(), self);
        placing::pass(self);
        for action in keys::pressed(ui.ctx(), self.canvas.id, self.history.is_held()) {
            self.act(action);
        }
        self.take_dropped(dropped(ui.ctx()));
        let palette = self.theme.palette();
        let bar = egui::Frame::NONE.fill(colour(palette.panel)).inner_margin(egui::Margin::symmetric(12, 6));
        egui::Panel::top("tools").frame(bar).show(ui, |ui| toolbar::top(ui, self));
        egui::Panel::bottom("foot").frame(bar).show(ui, |ui| toolbar::foot(ui, self));
        self.sides(ui);
        egui::CentralPanel::default().frame(egui::Frame::NONE.fill(colour(palette.paper))).show(ui, |ui| {
            region(ui, "view of the roof");
            ui.spacing_mut().item_spacing.y = 0.0;
            views::show(ui, self);
        });
        if self.shows_keys {
            let mut open = true;
            egui::Window::new("Keys")
                .anchor(egui::Align2::CENTER_CENTER, egui::Vec2::ZERO)
                .open(&mut open)
                .collapsible(false)
                .resizable(false)
                .show(ui.ctx(), keys::list);
            self.shows_keys = open;
        }
    }

    /// Pictures dropped on a job become photos of it; dropped where there is none they begin one.
    fn take_dropped(&mut self, paths: Vec<PathBuf>) {
        let (pictures, others): (Vec<_>, Vec<_>) =
            paths.into_iter().partition(|path| views::photos::is_picture(path) && self.written.is_some());
        if !pictures.is_empty() {
            self.views.tab = Tab::Photos;
        }
        if let (true, Some(first)) = (self.text.trim().is_empty(), pictures.first()) {
            views::photos::begin(self, first);
        }
        let first = self.written.as_ref().map_or(0, |file| file.list("photo").len());
        for path in &pictures {
            views::photos::add(self, path);
        }
        if !pictures.is_empty() {
            self.views.photos.turn_to(first);
        }
        if let Some(path) = others.into_iter().next() {
            self.open(path);
        }
    }

    /// The panes beside the view, those that are open.
    fn sides(&mut self, ui: &mut egui::Ui) {
        let width = ui.ctx().content_rect().width();
        let frame = panes::frame(self.theme.palette());
        self.panes.measure(width);
        let [left, right] = self.panes.open(width);
        if left {
            let (usual, range) = panes::widths(Pane::Left, width);
            egui::Panel::left("edited").frame(frame).default_size(usual).size_range(range).show(ui, |ui| {
                region(ui, "what is typed");
                forms::show(ui, self);
            });
        }
        if right {
            let (usual, range) = panes::widths(Pane::Right, width);
            egui::Panel::right("meaning").frame(frame).default_size(usual).size_range(range).show(ui, |ui| {
                region(ui, "what it means");
                // Its width is the user's: what is wide for a moment does not push the view aside.
                let room = ui.available_rect_before_wrap();
                let mut inner = ui.new_child(egui::UiBuilder::new().max_rect(room));
                inner.set_clip_rect(room.expand(4.0).intersect(ui.clip_rect()));
                views::meaning(&mut inner, self);
                ui.advance_cursor_after_rect(room);
            });
        }
    }
}

fn dropped(context: &egui::Context) -> Vec<PathBuf> {
    context.input(|input| input.raw.dropped_files.iter().map(|file| file.path().to_path_buf()).collect())
}
