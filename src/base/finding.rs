//! What a stage found and has to say, as data: no stage writes a sentence. Each stage has its own enum of findings with
//! typed fields in SI units; what they share is asked through [`Finding`]. `wording` turns them into sentences.

use super::ids::FaceId;

/// How much weight a finding has. The order is the order in which they are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Nothing may be ordered, cut or laid before it is settled.
    Stop,
    /// The answer may be wrong.
    Doubt,
    /// To be minded at work.
    Mind,
    /// Stated so that it is known: a policy applied, something done for the user.
    Note,
}

impl Severity {
    /// The word scripts match on.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Doubt => "doubt",
            Self::Mind => "mind",
            Self::Note => "note",
        }
    }
}

/// What every stage's findings can be asked.
pub trait Finding {
    /// Stable, kebab-case: what scripts match on.
    fn code(&self) -> &'static str;

    /// How much weight it has.
    fn severity(&self) -> Severity;

    /// The roof faces it is about; empty where it is about the whole roof or about none.
    fn faces(&self) -> Vec<FaceId>;

    /// The numbers it tells, by name, in SI units and degrees as JSON gives them: every number of its sentence is one of
    /// these.
    fn values(&self) -> Vec<(&'static str, f64)>;
}
