//! Roof files and material cards, read with every mistake reported in one go.
//!
//! The text becomes a tree that knows where everything stands (`document`), which is walked by hand: each getter of
//! `reader` and `measures` either gives a value or says what is wrong with it and lets the walk go on. `schema` holds
//! every table with its keys. What comes out is a [`Job`] in metres and radians, and a [`SourceMap`] from the job's
//! places back to the text.

mod block;
pub mod card;
mod card_goods;
mod circles;
pub mod codes;
mod covering;
mod datum;
mod document;
pub mod edit;
mod files;
mod fittings;
mod image_facts;
mod measures;
mod methods;
mod names;
mod nearest;
mod node;
mod observations;
mod offer;
mod outline_check;
mod photos;
pub mod picture;
mod points;
pub mod prices;
mod reader;
mod ring;
mod role;
mod roof_file;
pub mod schema;
mod source_map;
mod values;

pub use files::{Beside, Files, NoFiles, reason, whole};
pub use schema::covering::PRICED;
pub use source_map::SourceMap;

use crate::base::diagnostic::{Diagnostic, Severity};
use crate::job::Job;
use std::ops::Range;

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
fn settle(syntax: Vec<Diagnostic>, mut found: Vec<Diagnostic>, torn: &[Range<usize>]) -> Vec<Diagnostic> {
    let touch = |a: &Range<usize>, b: &Range<usize>| a.start <= b.end && b.start <= a.end;
    found.retain(|diagnostic| {
        let Some(span) = diagnostic.span.as_ref().filter(|_| diagnostic.file.is_none()) else { return true };
        let spoilt = syntax
            .iter()
            .filter(|error| error.code == "syntax")
            .any(|error| error.span.as_ref().is_some_and(|place| touch(span, place)));
        let swallowed = torn.iter().any(|torn| touch(span, torn));
        let unseen = !torn.is_empty() && UNSEEN.contains(&diagnostic.code);
        !spoilt && !swallowed && !unseen
    });
    let mut all = syntax;
    all.append(&mut found);
    for diagnostic in all.iter_mut().filter(|diagnostic| diagnostic.hints.is_empty()) {
        diagnostic.hints.extend(codes::usual_hint(diagnostic.code).map(str::to_owned));
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
