//! What the marks tell by themselves, worked out beside the window whenever the text changes: before there is a face, and
//! where the file has errors.

use crate::job::Job;
use crate::job::marking::Marking;
use crate::survey::foreseen::Seen;
use crate::survey::report::Report;
use crate::viewer::backend::{Backend, Source};
use crate::viewer::background_task::{BackgroundTask, Wake};
use crate::viewer::render::shown::Shown;
use std::path::PathBuf;
use std::sync::Arc;

/// Marks of a text, brought together.
pub struct Marked {
    /// Tells one from another.
    pub serial: u64,
    /// What the text says.
    pub job: Job,
    /// What it tells.
    pub marking: Marking,
}

impl Marked {
    /// Where points without a mark must appear in a photo, by their names.
    #[must_use]
    pub fn expected(&self, photo: usize) -> Vec<(&str, &Seen)> {
        let name = |point: usize| self.job.survey.points.get(point).map_or("", |point| point.name.as_str());
        let own = self.marking.foreseen.iter().filter(|foreseen| foreseen.photo == photo);
        own.map(|foreseen| (name(foreseen.point.index()), &foreseen.seen)).collect()
    }
}

/// What photos are shown by: the answer, or the marks alone where there is none.
#[derive(Clone)]
pub enum Basis {
    /// The answer to the text as it stands.
    Shown(Arc<Shown>),
    /// The marks.
    Marked(Arc<Marked>),
}

impl Basis {
    /// What the file says.
    #[must_use]
    pub fn job(&self) -> &Job {
        match self {
            Self::Shown(shown) => &shown.answered.job,
            Self::Marked(marked) => &marked.job,
        }
    }

    /// What the adjustment found.
    #[must_use]
    pub fn report(&self) -> &Report {
        match self {
            Self::Shown(shown) => &shown.answered.answer.survey,
            Self::Marked(marked) => &marked.marking.report,
        }
    }

    /// Tells one from another.
    #[must_use]
    pub fn serial(&self) -> (bool, u64) {
        match self {
            Self::Shown(shown) => (true, shown.scene.serial),
            Self::Marked(marked) => (false, marked.serial),
        }
    }
}

/// The marks of the newest text, on their way or here.
#[derive(Default)]
pub struct Markings {
    asked: Option<(String, Option<PathBuf>)>,
    task: Option<BackgroundTask<Option<(Job, Marking)>>>,
    here: Option<Arc<Marked>>,
    count: u64,
}

impl Markings {
    /// Whether nothing is being worked out.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        self.task.is_none()
    }

    /// What was worked out last.
    #[must_use]
    pub fn here(&self) -> Option<&Arc<Marked>> {
        self.here.as_ref()
    }

    /// What is known of the newest text that was worked out; asks for this one where that is another.
    pub fn get(
        &mut self,
        backend: &Arc<dyn Backend>,
        wake: &Wake,
        text: &str,
        path: Option<&PathBuf>,
    ) -> Option<Arc<Marked>> {
        if let Some(result) = self.task.as_ref().and_then(BackgroundTask::poll) {
            self.task = None;
            self.count += 1;
            let serial = self.count;
            self.here = result.flatten().map(|(job, marking)| Arc::new(Marked { serial, job, marking }));
        }
        let is_asked = self.asked.as_ref().is_some_and(|(asked, of)| asked == text && of.as_ref() == path);
        if self.task.is_none() && !is_asked {
            let (text, path, backend) = (text.to_owned(), path.cloned(), Arc::clone(backend));
            self.asked = Some((text.clone(), path.clone()));
            let work = move |_: &_| backend.marking(Source { text: &text, path: path.as_deref() }).ok();
            self.task = Some(BackgroundTask::start("marks", wake, work));
        }
        self.here.clone()
    }
}
