//! Underlay and deck, row by row up a face: what their plans show.

use super::words::Words;
use crate::roof::{EdgeKind, Face, Roof};
use crate::takeoff::card::LapByPitch;
use crate::takeoff::goods::{Deck, DeckKind, Underlay};
use nalgebra::Point2;

/// Rows of a face: lower edges up the slope with their words, ends of pieces, a remark.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rows {
    /// Lower edges up the slope, metres, with words.
    pub rows: Vec<(f64, String)>,
    /// Ends along the eave by row.
    pub ends: Vec<(usize, f64)>,
    /// What is remarked.
    pub remark: String,
}

/// The lap of the underlay at a pitch, and whether every point lies under two layers.
#[must_use]
pub fn lap(underlay: &Underlay, pitch: f64) -> (f64, bool) {
    let doubled = underlay.is_double(pitch);
    let lap = LapByPitch::at(&underlay.laps, pitch).map_or(0.1, |entry| entry.lap);
    // Double cover: half a width first, then whole widths half lapped (IRC R905.2: 19 in of 36 in).
    (if doubled { lap.max(underlay.width * 19.0 / 36.0) } else { lap }, doubled)
}

fn height_of(ring: &[Point2<f64>]) -> f64 {
    ring.iter().map(|place| place.y).fold(0.0, f64::max)
}

/// Rows of underlay of a face from the eave up; `ring` is the face in its frame.
#[must_use]
pub fn underlay(roof: &Roof, face: &Face, ring: &[Point2<f64>], underlay: &Underlay, words: Words) -> Rows {
    let (lap, doubled) = lap(underlay, face.plane.pitch());
    let slope = height_of(ring);
    let mut rows = Rows::default();
    let mut v = 0.0;
    if doubled {
        rows.rows.push((0.0, "half width".to_owned()));
    }
    let mut number = 1;
    while v < slope - 1e-9 {
        let at = if number == 1 { String::new() } else { format!(", from {} up the slope", words.fine(v)) };
        rows.rows.push((v, format!("row {number}{at}")));
        v += underlay.width - lap;
        number += 1;
    }
    let over = face.edges.iter().any(|id| matches!(roof.edges[id.index()].kind, EdgeKind::Ridge | EdgeKind::Hip));
    let valley = face.edges.iter().any(|id| roof.edges[id.index()].kind == EdgeKind::Valley);
    rows.remark = format!(
        "Rolls of {} from the eave up, head lap {}, end laps {}, ends well away from those of the row below.{}{}{}",
        words.length(underlay.width),
        words.fine(lap),
        words.fine(underlay.end_lap),
        if doubled { " The pitch asks for two layers: a half-width row first." } else { "" },
        if over { format!(" {} over ridges and hips.", words.fine(underlay.over)) } else { String::new() },
        if valley { " A full width in the valley first." } else { "" },
    );
    rows
}

/// Rows of deck boards or sheets of a face from the eave up, every second row starting with half a length.
#[must_use]
pub fn deck(ring: &[Point2<f64>], deck: &Deck, words: Words) -> Rows {
    let slope = height_of(ring);
    let left = ring.iter().map(|place| place.x).fold(f64::INFINITY, f64::min);
    let right = ring.iter().map(|place| place.x).fold(f64::NEG_INFINITY, f64::max);
    let mut rows = Rows::default();
    let mut v = 0.0;
    let mut row = 0;
    while v < slope - 1e-9 {
        rows.rows.push((v, String::new()));
        let first = if row % 2 == 0 { deck.length } else { deck.length / 2.0 };
        let mut u = left + first;
        while u < right - 1e-9 {
            rows.ends.push((row, u));
            u += deck.length;
        }
        v += deck.width;
        row += 1;
    }
    let kind = match deck.kind {
        DeckKind::Boards => "Boards",
        DeckKind::Sheets => "Sheets",
        DeckKind::Battens => "Battens",
    };
    rows.remark = format!(
        "{kind} {} wide, {} thick, up to {} long, {row} rows; joints on bearers {} apart, staggered.",
        words.fine(deck.width),
        words.fine(deck.thickness),
        words.length(deck.length),
        words.fine(deck.spacing),
    );
    rows
}
