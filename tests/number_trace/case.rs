//! A job with its answers, as text and as JSON.

use super::answers::Answers;
use super::exceptions;
use super::jobs;
use eavewright::job::{self, Answer, Job, Options, order};
use eavewright::takeoff::answer::TakeOff;
use eavewright::wording::units::Format;
use eavewright::write::roof_json::RoofTwin;
use eavewright::write::takeoff_json::TakeoffTwin;

/// A job with its answers.
pub struct Case {
    pub name: String,
    pub job: Job,
    pub answer: Answer,
    pub take_off: TakeOff,
}

/// Every job of [`jobs`] with its answers.
pub fn cases() -> Vec<Case> {
    jobs::jobs().into_iter().map(|(name, job)| Case::of(name, job)).collect()
}

impl Case {
    /// A job, solved and taken off. Precondition: it has an answer.
    pub fn of(name: String, job: Job) -> Self {
        let answer = job::solve(&job, &Options { steps: true, spread: true });
        let answer = answer.unwrap_or_else(|failure| panic!("{name}: {failure}"));
        let take_off = order::take_off(&job, &answer);
        Self { name, job, answer, take_off }
    }

    pub fn format(&self) -> Format {
        Format::of(self.job.units)
    }

    pub fn solved(&self) -> serde_json::Value {
        serde_json::to_value(RoofTwin::new(&self.job, &self.answer, true)).unwrap()
    }

    pub fn taken_off(&self) -> serde_json::Value {
        serde_json::to_value(TakeoffTwin::new(&self.take_off, &self.answer.roof, self.format(), true)).unwrap()
    }

    pub fn answers(&self, of: &[serde_json::Value]) -> Answers {
        let mut answers = Answers::default();
        for value in of {
            answers.take(value);
        }
        answers.names.extend(exceptions::names(&self.job, &self.answer));
        answers
    }
}
