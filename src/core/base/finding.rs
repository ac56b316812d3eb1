//! What a stage found and has to say, as data: no stage writes a sentence. Each stage has its own enum of findings with
//! typed fields in SI units; what they share is asked through [`Finding`]. Errors are findings too: of severity
//! [`Severity::Stop`]. `wording` turns them into sentences.

use super::ids::{FaceId, PlaneId};
use super::name::SideName;

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

    /// Whether it stands before everything else: what stops the work, and what casts doubt.
    #[must_use]
    pub fn comes_first(self) -> bool {
        self <= Self::Doubt
    }
}

/// What every stage's findings can be asked.
pub trait Finding {
    /// Stable, kebab-case: what scripts match on.
    fn code(&self) -> &'static str;

    /// How much weight it has.
    fn severity(&self) -> Severity;

    /// The faces of the solved roof it is about; empty where it is about the whole roof or about none.
    fn faces(&self) -> Vec<FaceId> {
        Vec::new()
    }

    /// The sides it is about, where it was found before there was a roof.
    fn sides(&self) -> Vec<SideName> {
        Vec::new()
    }

    /// The faces given by points that it is about.
    fn planes(&self) -> Vec<PlaneId> {
        Vec::new()
    }

    /// The numbers it tells, by name, in SI units and degrees as JSON gives them: every number of its sentence is one of
    /// these. A name may stand several times: its numbers are a list.
    fn values(&self) -> Vec<(&'static str, f64)>;
}

/// Shows errors as their code and fields, for logs and panics; people read what `wording` makes of them.
macro_rules! plainly_shown {
    ($($error:ty),+) => {
        $(
            impl std::fmt::Display for $error {
                fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                    write!(f, "{} {self:?}", $crate::base::finding::Finding::code(self))
                }
            }

            impl std::error::Error for $error {}
        )+
    };
}

pub(crate) use plainly_shown;
