//! What the photos are shown by, and what the next click on one marks.

use super::expected;
use super::known::{Basis, Marked};
use super::load::Load;
use super::next::{self, Candidate};
use super::written::{self, PhotoInFile};
use crate::job::Job;
use crate::viewer::app::state::AppState;
use crate::viewer::render::shown::Shown;
use std::collections::HashSet;
use std::sync::Arc;

/// What the open photo is shown by: the answer where it is one to this text, else the marks.
#[must_use]
pub fn basis(app: &AppState, shown: Option<&Arc<Shown>>, marked: Option<&Arc<Marked>>) -> Option<Basis> {
    let answer = shown.filter(|_| app.errors().next().is_none()).map(|shown| Basis::Shown(Arc::clone(shown)));
    answer.or_else(|| marked.map(|marked| Basis::Marked(Arc::clone(marked))))
}

/// Width and height of the open photo: as decoded, else as stated.
#[must_use]
pub fn size(app: &AppState, list: &[PhotoInFile], marked: Option<&Marked>) -> [f64; 2] {
    let open = app.views.photos.open;
    let key = list.get(open).map(|photo| (app.path.clone(), photo.file.clone()));
    let decoded = match key.and_then(|key| app.views.photos.loads.get(&key)) {
        Some(Load::Here(here)) => Some(here.pixels.size.map(|side| side as f64)),
        _ => None,
    };
    let of = |job: &Job| job.survey.photos.get(open).map(|photo| photo.size);
    let shown = app.shown.as_ref().and_then(|shown| of(&shown.answered.job));
    decoded.or(shown).or_else(|| marked.and_then(|marked| of(&marked.job))).unwrap_or([4000.0, 3000.0])
}

/// What the next click on the open photo marks.
#[must_use]
pub fn wanted(app: &AppState) -> Guided {
    let list = app.written.as_deref().map(written::photos).unwrap_or_default();
    let marked = app.views.photos.markings.here().map(Arc::as_ref);
    Guided::of(app, &list, marked, size(app, &list, marked))
}

/// What a click on the photo marks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Guided {
    /// A point chosen by hand.
    Chosen(String),
    /// The point that comes next by itself, and where it must be, in words.
    Next(String, &'static str),
    /// A point the file does not know yet, by the name it gets.
    New(String),
    /// Nothing: all is marked, or nothing shall be.
    Nothing,
}

impl Guided {
    /// Its name.
    #[must_use]
    pub fn wanted(&self) -> Option<&str> {
        match self {
            Self::Chosen(name) | Self::Next(name, _) | Self::New(name) => Some(name),
            Self::Nothing => None,
        }
    }

    /// As the file, the marks and what was chosen by hand have it.
    #[must_use]
    pub fn of(app: &AppState, list: &[PhotoInFile], marked: Option<&Marked>, size: [f64; 2]) -> Self {
        let photos = &app.views.photos;
        let (Some(written), Some(photo)) = (app.written.as_deref(), list.get(photos.open)) else {
            return Self::Nothing;
        };
        if photos.building.is_some() {
            return Self::Nothing;
        }
        if let Some(name) = &photos.adding {
            return Self::Chosen(name.clone());
        }
        if photos.is_unguided {
            return Self::Nothing;
        }
        let free = written::free_names(written, photo);
        let is_first = free.is_empty() && photo.marks.is_empty();
        if photos.is_new || is_first {
            return Self::New(written::new_name(written));
        }
        let candidates = candidates(&free, list, photos.open, marked);
        let none = HashSet::new();
        let left_out = photos.left_out.get(&photos.open).unwrap_or(&none);
        next::next(&candidates, size, left_out).map_or(Self::Nothing, |name| {
            let seen = candidates.iter().find(|candidate| candidate.name == name).and_then(|candidate| candidate.seen);
            Self::Next(name.to_owned(), expected::words(seen))
        })
    }
}

fn candidates<'a>(
    free: &'a [String],
    list: &[PhotoInFile],
    open: usize,
    marked: Option<&'a Marked>,
) -> Vec<Candidate<'a>> {
    let expected = marked.map(|marked| marked.expected(open)).unwrap_or_default();
    let others = || list.iter().enumerate().filter(|(index, _)| *index != open).map(|(_, photo)| photo);
    free.iter()
        .map(|name| Candidate {
            name,
            seen: expected.iter().find(|(of, _)| *of == name.as_str()).map(|(_, seen)| *seen),
            is_marked_elsewhere: others().any(|photo| photo.marks.iter().any(|(of, _)| of == name)),
        })
        .collect()
}
