//! What is wrong with a file, in words: what it is, what was found, what was expected, what to do.

pub mod codes;
mod expected;
mod lists;
mod message;
mod quantity;

use crate::base::diagnostic::{Diagnostic, Label};
use crate::job::reading::{Beside, EditError, PictureError, Problem};
use crate::wording::units::Format;

pub(crate) use lists::unread;
pub use quantity::{expected as quantity_expected, hint as quantity_hint, message as quantity};

/// A problem as people and scripts are told it.
#[must_use]
pub fn diagnostic(problem: &Problem, format: Format) -> Diagnostic {
    let fault = &problem.fault;
    let label = |(span, what): &(std::ops::Range<usize>, Beside)| Label { span: span.clone(), message: beside(what) };
    let mut hints = expected::hints(problem);
    if hints.is_empty() {
        hints.extend(codes::usual_hint(fault.code()).map(str::to_owned));
    }
    Diagnostic {
        code: fault.code(),
        severity: problem.severity,
        span: Some(problem.span.clone()),
        message: message::message(fault, problem.written.as_deref().unwrap_or(""), format),
        found: expected::found(problem),
        expected: expected::expected(fault),
        labels: problem.beside.iter().map(label).collect(),
        hints,
        values: Vec::new(),
        file: problem.file.clone(),
    }
}

fn beside(what: &Beside) -> String {
    match what {
        Beside::NoLongerFits => "this no longer fits".to_owned(),
        Beside::FirstGiven => "first given here".to_owned(),
        Beside::FirstUsed => "first used here".to_owned(),
        Beside::FirstHere => "first here".to_owned(),
        Beside::Key(key) => format!("`{key}`"),
        Beside::OtherRole => "the other role".to_owned(),
        Beside::OtherOpen => "the other".to_owned(),
        Beside::OtherSide => "the other side".to_owned(),
        Beside::StandsHere => "which stands here".to_owned(),
        Beside::FirstOfSides => "the first of its sides".to_owned(),
    }
}

/// Why a file gives no pixels, as a sentence of its own.
#[must_use]
pub fn picture(why: &PictureError) -> String {
    match why {
        PictureError::Heif => "export it as JPEG: it is a HEIF (HEIC) picture, whose pixels are not read".to_owned(),
        PictureError::CutOff => {
            "it is cut off: the JPEG data end before the picture does; copy it from the phone again".to_owned()
        }
        PictureError::TooLarge { megapixels, most } => {
            format!("it has {megapixels:.0} million pixels: export it with {most} million or fewer")
        }
        PictureError::Unreadable(said) => format!("it can't be read as a picture: {said}"),
    }
}

/// Why a change can't be made.
#[must_use]
pub fn edit(why: &EditError) -> String {
    match why {
        EditError::NotToml(said) => format!("the file is not TOML: {said}"),
        EditError::NoSuchPlace => "the file has no such place".to_owned(),
        EditError::Taken(name) => format!("the name {name} is taken"),
    }
}
