//! Everything that is wrong with a text, put together in its order.

use crate::base::diagnostic::Diagnostic;
use crate::job::reading::{Fault, Problem};
use crate::wording;
use crate::wording::units::Format;
use std::ops::Range;

/// Puts what is not TOML and what is wrong with the values together, in file order. Where the text itself is torn,
/// values that touch the tear are not judged, and things that seem missing may only be out of sight.
pub(super) fn together(syntax: Vec<Problem>, mut found: Vec<Problem>, torn: &[Range<usize>]) -> Vec<Problem> {
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
pub(super) fn settle(
    syntax: Vec<Problem>,
    found: Vec<Problem>,
    torn: &[Range<usize>],
    format: Format,
) -> Vec<Diagnostic> {
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
