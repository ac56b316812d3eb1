//! Nails and adhesive, counted from the pieces really laid.

use super::goods::{Adhesive, Exposure, NailRule, Nails};
use super::layout::{FaceLayout, LaidPiece};
use crate::base::tolerance;

/// The rule for a pitch and exposure: the steepest `pitch_from` not above the pitch, of those for this exposure or any.
#[must_use]
pub fn nail_rule(nails: &Nails, pitch: f64, exposure: Exposure) -> Option<&NailRule> {
    let holds = nails.rules.iter().filter(|rule| rule.pitch_from <= pitch + tolerance::RELATIVE);
    let fits = holds.filter(|rule| rule.exposure.is_none_or(|other| other == exposure));
    // Of rules from the same pitch the one made for this exposure; of two such the one that asks for more.
    fits.max_by(|a, b| {
        (a.pitch_from.total_cmp(&b.pitch_from))
            .then(a.exposure.is_some().cmp(&b.exposure.is_some()))
            .then(a.per_piece.total_cmp(&b.per_piece))
    })
}

/// Nails on the pieces of a face, starter apart: the rule's on a whole piece, in proportion but at least `least` on a cut
/// one.
#[must_use]
pub(crate) fn nails_on(layout: &FaceLayout, width: f64, per_piece: f64, least: u32) -> f64 {
    let pieces = layout.courses.iter().flat_map(|course| &course.pieces);
    pieces
        .map(|piece| {
            // A hair of width asks for no nail.
            let share = per_piece * kept(piece) / width - tolerance::SMALLEST;
            if piece.cut { share.ceil().max(f64::from(least)) } else { per_piece }
        })
        .sum()
}

/// Width of what is kept of a piece, metres.
#[must_use]
pub fn kept(piece: &LaidPiece) -> f64 {
    let [left, right] = piece.extent();
    (right - left).max(0.0)
}

/// Tabs on a face, parts of tabs counted as such.
#[must_use]
pub(crate) fn tabs_on(layout: &FaceLayout, tab: f64) -> f64 {
    let pieces = layout.courses.iter().flat_map(|course| &course.pieces);
    pieces.map(|piece| ((kept(piece) - tolerance::SMALLEST) / tab).ceil().max(0.0)).sum()
}

/// Tubes for so many dabs.
#[must_use]
pub fn tubes(dabs: f64, card: &Adhesive) -> f64 {
    dabs * card.dab / card.tube
}
