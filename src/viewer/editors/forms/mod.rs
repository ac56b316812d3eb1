//! The left side: the file, a page for each part of it. What the pages show is the file as written; what is typed goes
//! into the text at its place and nowhere else.

mod columns;
mod covering;
pub mod field;
mod guide;
mod job;
mod list;
mod measures;
mod openings;
pub mod page;
mod points;
mod sides;
mod split;
pub mod tell;
mod text;

pub(crate) use columns::unit_question;
pub use page::{Forms, Guide, Page};
pub(crate) use sides::pitch_edit;

use crate::base::diagnostic::Severity;
use crate::base::file_tree::FileTable;
use crate::viewer::app::files;
use crate::viewer::app::panes::Stop;
use crate::viewer::app::state::AppState;
use crate::viewer::icons::Icon;
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::{Tool, named};
use eframe::egui;
use eframe::egui::{ScrollArea, vec2};
use page::spans;
use std::ops::Range;
use std::sync::Arc;

/// Height of the messages below a page, points.
const MESSAGES: f32 = 108.0;

/// The whole side.
pub fn show(ui: &mut egui::Ui, app: &mut AppState) {
    if app.text.trim().is_empty() {
        start(ui, app);
        return;
    }
    guide::show(ui, app);
    let file = app.written.clone();
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 1.0;
        for page in Page::ALL {
            let faults = file.as_ref().map_or(0, |file| faults(app, file, page));
            let tip = if faults > 0 { "something here needs mending" } else { "" };
            let tab = Tool::word(page.word(), tip).on(app.forms.page == page).tab(ui);
            if faults > 0 {
                // Over its corner, so that no tab moves when it comes or goes.
                let corner = egui::Rect::from_center_size(tab.rect.right_top() + vec2(-3.0, 5.0), vec2(10.0, 10.0));
                Icon::Error.draw(ui.painter(), corner, colour(app.theme.palette().fault));
                named(ui, &tab, &format!("{} ({faults})", page.word()));
            }
            if tab.clicked() {
                app.forms.page = page;
            }
            if app.forms.page == page {
                app.panes.stop(Stop::Left, &tab);
            }
        }
    });
    ui.add_space(4.0);
    app.forms.placed.clear();
    field::take_focus(ui);
    let before = std::mem::take(&mut app.forms.messages);
    if app.forms.page == Page::Text {
        text::show(ui, app);
        return;
    }
    let page = app.forms.page;
    egui::Panel::bottom("messages").resizable(true).default_size(MESSAGES).size_range(48.0..=320.0).show(ui, |ui| {
        ScrollArea::vertical().id_salt("messages").auto_shrink(false).show(ui, |ui| tell::list(ui, app, &before));
    });
    ScrollArea::vertical().id_salt(page.word()).auto_shrink(false).show(ui, |ui| {
        match &file {
            None => {
                ui.label("The text can't be read as fields now; see the page File.");
            }
            Some(file) => part(ui, app, file, page),
        }
        tell::elsewhere(app);
    });
    if app.forms.messages != before {
        ui.ctx().request_repaint();
    }
}

fn part(ui: &mut egui::Ui, app: &mut AppState, file: &Arc<FileTable>, page: Page) {
    match page {
        Page::Job => job::show(ui, app, file),
        Page::Sides => sides::show(ui, app, file),
        Page::Points => points::show(ui, app, file),
        Page::Measures => measures::show(ui, app, file),
        Page::Openings => openings::show(ui, app, file),
        Page::Covering => covering::show(ui, app, file),
        Page::Text => {}
    }
}

/// How many errors stand in a page's part of the file.
fn faults(app: &AppState, file: &FileTable, page: Page) -> usize {
    let is_own = |key: &str| app.schema.key(key).is_some_and(|key| Page::of(key) == page);
    let own = file.entries.iter().filter(|(key, _)| page != Page::Text && is_own(key));
    let spans: Vec<Range<usize>> = own.flat_map(|(_, entry)| spans(entry)).collect();
    let errors = app.diagnostics.iter().filter(|diagnostic| diagnostic.severity == Severity::Error);
    errors.filter(|error| spans.iter().any(|span| error.touches(span))).count()
}

/// What there is to begin from beside the gallery in the middle.
fn start(ui: &mut egui::Ui, app: &mut AppState) {
    // As wide as it will be once there is something to fill it.
    ui.set_min_width(ui.available_width());
    ui.heading("A new roof");
    ui.label("Begin from a shape in the middle, or open a roof file: Ctrl+O, or drop it on the window.");
    let recent = app.files.recent.clone();
    if !recent.is_empty() {
        ui.add_space(12.0);
        ui.strong("Used lately");
    }
    for path in recent {
        if ui.add(egui::Button::new(files::describe(&path)).wrap()).clicked() {
            app.open(path);
        }
    }
}
