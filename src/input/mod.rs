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
mod regular;
mod ring;
mod role;
mod roof_file;
pub mod schema;
mod source_map;
mod values;

pub use files::{Beside, Files, NoFiles, unread, whole};
pub use schema::covering::PRICED;
pub use source_map::SourceMap;

use crate::base::diagnostic::Diagnostic;
use crate::job::Job;
use crate::job::reading::{Fault, Problem};
use crate::wording;
use crate::wording::units::Format;
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
fn together(syntax: Vec<Problem>, mut found: Vec<Problem>, torn: &[Range<usize>]) -> Vec<Problem> {
    let touch = |a: &Range<usize>, b: &Range<usize>| a.start <= b.end && b.start <= a.end;
    let is_syntax =
        |problem: &&Problem| !matches!(problem.fault, Fault::DuplicateKey { .. } | Fault::DuplicateTable { .. });
    found.retain(|problem| {
        if problem.file.is_some() {
            return true;
        }
        let spoilt = syntax.iter().filter(is_syntax).any(|error| touch(&problem.span, &error.span));
        let swallowed = torn.iter().any(|torn| touch(&problem.span, torn));
        let unseen = !torn.is_empty() && UNSEEN.contains(&problem.fault.code());
        !spoilt && !swallowed && !unseen
    });
    let mut all = syntax;
    all.append(&mut found);
    all.sort_by_key(|problem| problem.span.start);
    all
}

/// The same in words.
fn settle(syntax: Vec<Problem>, found: Vec<Problem>, torn: &[Range<usize>], format: Format) -> Vec<Diagnostic> {
    together(syntax, found, torn).iter().map(|problem| wording::reading::diagnostic(problem, format)).collect()
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
