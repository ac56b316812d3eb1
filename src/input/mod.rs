//! Roof files and material cards, read with every mistake reported in one go.
//!
//! The text becomes a tree that knows where everything stands (`document`), which is walked by hand: each getter of
//! `reader` and `measures` either gives a value or says what is wrong with it and lets the walk go on. `schema` holds
//! every table with its keys. What comes out is a [`Job`] in metres and radians, and a [`SourceMap`] from the job's
//! places back to the text.

mod block;
pub mod card;
mod card_goods;
mod card_schema;
mod covering;
mod datum;
mod document;
pub mod edit;
mod files;
mod fittings;
mod hints;
mod image_facts;
mod measures;
mod methods;
mod names;
mod nearest;
mod node;
mod observations;
mod outline_check;
mod photos;
mod points;
mod reader;
mod ring;
mod role;
mod roof_file;
mod schema;
mod source_map;

pub use files::{Beside, Files, NoFiles};
pub use source_map::SourceMap;

use crate::base::diagnostic::{Diagnostic, Severity};
use crate::job::Job;

/// A roof file that can be worked with: the job, where its parts stand, and what is worth a look.
pub type Read = (Job, SourceMap, Vec<Diagnostic>);

/// Reads a roof file.
///
/// `name` is what the user calls the file; `files` serves the photos and cards it names. Besides the job come warnings
/// and notes. Linear in the text, apart from names, which are looked up in order.
///
/// # Errors
/// Everything that is wrong with it, in file order; warnings and notes among it.
pub fn read(name: &str, text: &str, files: &dyn Files) -> Result<Read, Vec<Diagnostic>> {
    roof_file::read(name, text, files)
}

/// Puts what is not TOML and what is wrong with the values together, in file order. Where the text itself is torn,
/// values that touch the tear are not judged, and things that seem missing may only be out of sight.
fn settle(syntax: Vec<Diagnostic>, mut found: Vec<Diagnostic>, is_torn: bool) -> Vec<Diagnostic> {
    let touches = |diagnostic: &Diagnostic, error: &Diagnostic| match (&diagnostic.span, &error.span) {
        (Some(a), Some(b)) => a.start <= b.end && b.start <= a.end,
        _ => false,
    };
    found.retain(|diagnostic| {
        let from_this_file = diagnostic.file.is_none();
        let spoilt = from_this_file && syntax.iter().any(|error| error.code == "syntax" && touches(diagnostic, error));
        let unseen = is_torn && from_this_file && UNSEEN.contains(&diagnostic.code);
        !spoilt && !unseen
    });
    let mut all = syntax;
    all.append(&mut found);
    for diagnostic in all.iter_mut().filter(|diagnostic| diagnostic.hints.is_empty()) {
        diagnostic.hints.extend(hints::usual(diagnostic.code).map(str::to_owned));
    }
    all.sort_by_key(|diagnostic| {
        let at = diagnostic.span.as_ref().map_or(0, |span| span.start);
        (diagnostic.severity != Severity::Error && diagnostic.span.is_none(), at)
    });
    all
}

/// What may be an echo of a bracket that is not closed.
const UNSEEN: &[&str] = &[
    "missing-key",
    "missing-point",
    "unknown-face",
    "unknown-side",
    "unknown-camera",
    "no-eave",
    "no-roof",
    "too-few-sides",
    "turn-sum",
    "wrong-count",
];
