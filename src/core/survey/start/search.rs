//! What start values are looked for by: directions of edges, and how far to look.

use nalgebra::Vector3;

/// An edge and the direction it runs in on the site.
#[derive(Clone, Copy, Debug)]
pub struct Direction {
    pub from: usize,
    pub to: usize,
    pub along: Vector3<f64>,
}

/// How far to look for start states.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Search {
    /// To the first from which every stated direction runs as stated and every point lies before its cameras; rough
    /// places are believed.
    First,
    /// Through all that the directions allow, half-turn twins included; what hangs on tapes alone starts by its tapes,
    /// whatever rough places say.
    All,
    /// As if no direction were stated: photos are related to each other by the points they share, with each of these
    /// left out in turn.
    Undirected,
}
