//! Laps by pitch.

use super::{length, limits, rule_pitch, source};
use crate::base::schema::Table;

/// `[[….lap]]`.
pub static LAP: Table = Table {
    name: "lap",
    header: "a lap by pitch",
    one: "lap",
    many: "Laps by pitch",
    about: "The lap from a pitch on.",
    keys: &[
        rule_pitch("pitch_from", "from pitch", "20", "the pitch it holds from").needed(),
        length("lap", limits::LAP, "lap", "\"100 mm\"", "the lap from there on").needed(),
        source(),
    ],
    names: None,
    example: "[[underlay.lap]]\npitch_from = 20\nlap = \"100 mm\"\nsource = \"common practice\"",
};
