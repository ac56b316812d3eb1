//! The middle of the window: one file a view, one tab a view. What a view keeps between passes is its field of [`Views`].

pub mod compare;
pub mod lesson;
mod outdated;
pub mod photos;
pub mod plan;
pub mod roof;

use crate::viewer::app::meaning_panel;
use crate::viewer::app::panes::Stop;
use crate::viewer::app::state::AppState;
use crate::viewer::icons::Icon;
use crate::viewer::widgets::Tool;
use eframe::egui;

/// A view of the middle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Tab {
    /// The roof in 3D.
    #[default]
    Roof,
    /// The outline from above.
    Plan,
    /// Other pitches beside it.
    Compare,
    /// Photos with their marks.
    Photos,
    /// How the roof comes about.
    Lesson,
}

impl Tab {
    /// All views, in the order of their tabs and of their keys.
    pub const ALL: [Self; 5] = [Self::Roof, Self::Plan, Self::Compare, Self::Photos, Self::Lesson];

    /// Its word on the tab.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Roof => "Roof",
            Self::Plan => "Plan",
            Self::Compare => "Compare",
            Self::Photos => "Photos",
            Self::Lesson => "Lesson",
        }
    }

    /// Its icon.
    #[must_use]
    pub fn icon(self) -> Icon {
        match self {
            Self::Roof => Icon::Roof,
            Self::Plan => Icon::Plan,
            Self::Compare => Icon::Compare,
            Self::Photos => Icon::Photos,
            Self::Lesson => Icon::Lesson,
        }
    }

    /// What it is for, in a line.
    #[must_use]
    pub fn about(self) -> &'static str {
        match self {
            Self::Roof => "the roof in 3D",
            Self::Plan => "the outline from above",
            Self::Compare => "the same roof at other pitches",
            Self::Photos => "photos, their marks, and the solved roof over them",
            Self::Lesson => "how the roof folds: rising eaves, true lengths, the net",
        }
    }
}

/// What each view keeps between passes.
#[derive(Default)]
pub struct Views {
    /// The open one.
    pub tab: Tab,
    /// Of [`compare`].
    pub compare: compare::Compare,
    /// Of [`plan`].
    pub plan: plan::Plan,
    /// Of [`photos`].
    pub photos: photos::Photos,
    /// Of [`lesson`].
    pub lesson: lesson::Lesson,
}

impl Views {
    /// Whether nothing is being worked out beside the window.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        self.lesson.is_idle() && self.photos.is_idle() && !self.compare.is_busy()
    }

    /// Lets go of what is dragged.
    pub fn call_off(&mut self) {
        self.plan.call_off();
        self.photos.call_off();
    }
}

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
    let Some(shown) = app.shown.clone() else {
        ui.centered_and_justified(|ui| {
            let waits = !app.is_idle() && !app.text.trim().is_empty();
            ui.label(if waits { "solving…" } else { "The roof appears here: begin from a shape, or open a file." });
        });
        return;
    };
    let all = ui.available_rect_before_wrap();
    match app.views.tab {
        Tab::Roof => roof::show(ui, app, &shown),
        Tab::Plan => plan::show(ui, app, &shown),
        Tab::Compare => compare::show(ui, app),
        Tab::Photos => photos::show(ui, app, &shown),
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
        (Tab::Photos, Some(shown)) => photos::meaning(ui, app, &shown),
        (Tab::Lesson, Some(shown)) => lesson::meaning(ui, app, &shown),
        _ => meaning_panel::show(ui, app),
    }
    if app.errors().next().is_some() && app.shown.is_some() {
        outdated::dim(ui, app.theme.palette().panel, all);
    }
}
