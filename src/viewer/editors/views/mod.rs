//! The middle of the window: one file a view, one tab a view. What a view keeps between passes is its field of [`Views`].

pub mod compare;
mod corners;
pub mod gallery;
pub mod kept;
pub mod lesson;
mod lifting;
mod outdated;
pub mod photos;
pub mod plan;
pub mod roof;

pub use kept::{Tab, Views};

use crate::viewer::app::meaning_panel;
use crate::viewer::app::panes::Stop;
use crate::viewer::app::state::AppState;
use crate::viewer::widgets::Tool;
use eframe::egui;

/// The tabs, in the row of tools.
pub fn tabs(ui: &mut egui::Ui, app: &mut AppState, has_icons: bool) {
    for (number, tab) in Tab::ALL.into_iter().enumerate() {
        let tip = format!("{} (Ctrl+{})", tab.about(), number + 1);
        let tool = Tool { icon: has_icons.then(|| tab.icon()), ..Tool::word(tab.word(), &tip) };
        let shown = tool.on(app.views.tab == tab).tab(ui);
        if shown.clicked() {
            app.views.tab = tab;
        }
        if app.views.tab == tab {
            app.panes.stop(Stop::View, &shown);
        }
    }
}

/// The open view, in all the room that is left. Each is called only while there is an answer to show.
pub fn show(ui: &mut egui::Ui, app: &mut AppState) {
    if app.text.trim().is_empty() {
        gallery::show(ui, app);
        return;
    }
    if app.views.tab == Tab::Photos {
        // Marks are set before there is a roof.
        let shown = app.shown.clone();
        photos::show(ui, app, shown.as_ref());
        return;
    }
    let Some(shown) = app.shown.clone() else {
        ui.centered_and_justified(|ui| {
            ui.label(if app.is_idle() {
                "The roof appears here once what is typed can be solved."
            } else {
                "solving…"
            });
        });
        return;
    };
    let all = ui.available_rect_before_wrap();
    match app.views.tab {
        Tab::Roof => roof::show(ui, app, &shown),
        Tab::Plan => plan::show(ui, app, &shown),
        Tab::Compare => compare::show(ui, app),
        Tab::Photos => {}
        Tab::Lesson => lesson::show(ui, app, &shown),
    }
    if app.errors().next().is_some() {
        outdated::show(ui, app, all);
    }
}

/// The right side: what the open view means.
pub fn meaning(ui: &mut egui::Ui, app: &mut AppState) {
    let all = ui.available_rect_before_wrap();
    match (app.views.tab, app.shown.clone()) {
        (Tab::Photos, shown) => return photos::meaning(ui, app, shown.as_ref()),
        (Tab::Lesson, Some(shown)) => lesson::meaning(ui, app, &shown),
        _ => meaning_panel::show(ui, app),
    }
    if app.errors().next().is_some() && app.shown.is_some() {
        outdated::dim(ui, app.theme.palette().panel, all);
    }
}
