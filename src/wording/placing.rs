//! What the window tells while a part is placed on a roof: how to, and why it can't stand where it is.

use super::units::Format;

/// How a part is put down. `part`: "porch".
#[must_use]
pub fn help(part: &str) -> String {
    format!("Click to put the {part} down; Esc leaves. By key: the arrows, [ and ] for the next place, Enter.")
}

/// That its place is being tried.
#[must_use]
pub fn trying(part: &str) -> String {
    format!("trying whether the {part} can stand here…")
}

/// That it was put down.
#[must_use]
pub fn put_down(part: &str, on: &str) -> String {
    format!("{part} put down on {on}: on the plan it can be dragged and its dimensions typed")
}

/// Where a ghost is and whether it can stay, for those who hear the window.
#[must_use]
pub fn told(part: &str, on: &str, before: f64, after: f64, format: Format, state: &str) -> String {
    format!("{part} on {on}, {} before it, {} after it, {state}", format.length(before), format.length(after))
}

/// The end of [`told`] where it can stand.
pub const FITS: &str = "can stand here";

/// There is no outline to put it on.
#[must_use]
pub fn no_side(part: &str) -> String {
    format!("a {part} stands on a side of a walked outline, and this roof has none")
}

/// There is no face to put it in.
#[must_use]
pub fn no_face(part: &str) -> String {
    format!("a {part} stands in a slope of the roof, and there is none it could stand in")
}

/// The pointer is beside the roof.
#[must_use]
pub fn beside_the_roof(part: &str) -> String {
    format!("no slope of the roof lies here: a {part} stands in one")
}

/// The side is too short.
#[must_use]
pub fn too_short(part: &str, side: &str, length: f64, least: f64, format: Format) -> String {
    let [length, least] = [length, least].map(|length| format.length(length));
    format!("side {side} is {length} long: a {part} takes {least} at least")
}

/// The file has errors.
#[must_use]
pub fn mend_first() -> String {
    "what is wrong with the file is mended first: only then can be said whether it stands".to_owned()
}

/// Nothing came of it.
#[must_use]
pub fn not_tried() -> String {
    "no way was found in which it could stand here".to_owned()
}

/// No roof covers the end of a wing.
#[must_use]
pub fn nothing_to_run_into() -> String {
    "there is no roof here that it could run into".to_owned()
}

/// It would be hidden.
#[must_use]
pub fn under_the_roof() -> String {
    "it would lie wholly under the roof that is there".to_owned()
}

/// What is typed into a dimension is no length.
#[must_use]
pub fn no_length(typed: &str) -> String {
    format!("{typed:?} is no length, expected one such as 1.20: all stays as it was")
}
