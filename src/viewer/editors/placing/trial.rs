//! Whether a part can stand where its ghost is: tried on the whole roof, beside the window.

use super::entry::Candidate;
use super::spot::Spot;
use crate::base::diagnostic::{Diagnostic, Severity};
use crate::base::file_tree::Edit;
use crate::job::finding::Finding;
use crate::roof;
use crate::viewer::backend::{Answered, Backend, Source};
use crate::viewer::background_task::{BackgroundTask, Wake};
use crate::wording::placing;
use nalgebra::Point3;
use std::collections::VecDeque;
use std::path::PathBuf;
use std::sync::Arc;

/// So many results are kept: the pointer comes back.
const KEPT: usize = 64;

/// What a trial found.
#[derive(Clone, Debug)]
pub enum Tried {
    /// It can stand.
    Fits(Box<Fits>),
    /// Why it can't, in words.
    Not(String),
}

/// A part that can stand.
#[derive(Clone, Debug)]
pub struct Fits {
    /// Where; smaller than wanted where there is less room.
    pub spot: Spot,
    /// The text with it.
    pub text: String,
    /// The edges of its roof; none for an opening.
    pub lines: Vec<[Point3<f64>; 2]>,
}

/// What is tried: the text it is added to, where that is saved, and how it may be written.
#[derive(Clone, Debug)]
pub struct Question {
    /// The text as it stands.
    pub text: String,
    /// Where it is saved.
    pub path: Option<PathBuf>,
    /// Best first.
    pub candidates: Vec<Candidate>,
}

impl Question {
    fn first(&self) -> Option<&Edit> {
        self.candidates.first().map(|candidate| &candidate.edit)
    }

    fn is(&self, other: &Self) -> bool {
        self.text == other.text && self.first() == other.first()
    }
}

/// The trials: one at a time, the newest question next.
#[derive(Default)]
pub struct Trials {
    running: Option<(Question, BackgroundTask<Tried>)>,
    known: VecDeque<(Question, Tried)>,
}

impl Trials {
    /// Whether none is under way.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        self.running.is_none()
    }

    /// What is known of a question; `None` while it is being tried.
    pub fn ask(&mut self, backend: &Arc<dyn Backend>, wake: &Wake, question: &Question) -> Option<Tried> {
        self.settle();
        if let Some((_, tried)) = self.known.iter().find(|(known, _)| known.is(question)) {
            return Some(tried.clone());
        }
        if self.running.is_none() {
            let (backend, its) = (Arc::clone(backend), question.clone());
            let task = BackgroundTask::start("try a part", wake, move |_| attempt(backend.as_ref(), &its));
            self.running = Some((question.clone(), task));
        }
        None
    }

    /// Takes over what has come.
    pub fn settle(&mut self) {
        let Some(result) = self.running.as_ref().and_then(|(_, task)| task.poll()) else { return };
        let Some((question, _)) = self.running.take() else { return };
        let tried = result.unwrap_or_else(|| Tried::Not(placing::not_tried()));
        self.known.push_front((question, tried));
        self.known.truncate(KEPT);
    }
}

/// The first way of writing it that the whole roof bears; else what is wrong with the first.
fn attempt(backend: &dyn Backend, question: &Question) -> Tried {
    let mut why = None;
    for candidate in &question.candidates {
        let tried = backend.edit(&question.text, &candidate.edit).and_then(|text| {
            let source = Source { text: &text, path: question.path.as_deref() };
            let answered = backend.answer(source, false).map_err(|faults| reason(&faults))?;
            match doubt(&answered, candidate.block.as_deref()) {
                Some(why) => Err(why),
                None => Ok((lines(&answered, candidate.block.as_deref()), text)),
            }
        });
        match tried {
            Ok((lines, text)) => {
                return Tried::Fits(Box::new(Fits { spot: candidate.spot.clone(), text, lines }));
            }
            Err(reason) => why = why.or(Some(reason)),
        }
    }
    Tried::Not(why.unwrap_or_else(placing::not_tried))
}

/// The first error in words.
fn reason(faults: &[Diagnostic]) -> String {
    let is_error = |fault: &&Diagnostic| fault.severity == Severity::Error;
    faults.iter().find(is_error).map_or_else(placing::not_tried, |fault| fault.message.clone())
}

/// Why a block that is no error is no roof to begin with either.
fn doubt(answered: &Answered, block: Option<&str>) -> Option<String> {
    let block = block?;
    let own = |finding: &Finding| match finding {
        Finding::Roof(roof::Finding::NoRoofToRunInto { wing }) if wing.block == block => {
            Some(placing::nothing_to_run_into())
        }
        Finding::Roof(roof::Finding::BlockUnderRoof { block: under }) if *under == block => {
            Some(placing::under_the_roof())
        }
        _ => None,
    };
    answered.answer.findings.iter().find_map(own)
}

/// The edges of a block's roof, those of walls left out.
fn lines(answered: &Answered, block: Option<&str>) -> Vec<[Point3<f64>; 2]> {
    let roof = &answered.answer.roof;
    let Some(block) = block else { return Vec::new() };
    let is_own = |edge: &&roof::Edge| {
        let of = |face: &crate::base::ids::FaceId| roof.faces[face.index()].block().is_some_and(|of| of == block);
        !edge.kind.is_wall_only() && edge.faces.iter().any(of)
    };
    roof.edges.iter().filter(is_own).map(|edge| [roof.at(edge.from), roof.at(edge.to)]).collect()
}
