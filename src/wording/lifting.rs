//! What the window tells of the handles by which eave, pitch and ridge are lifted.

use super::units::Format;

/// What the handle at an eave does.
pub const EAVE: &str = "drag: eave height";

/// What the handle in a slope does.
pub const PITCH: &str = "drag: pitch";

/// What the handle on a ridge does.
pub const RIDGE: &str = "drag: ridge height, both pitches follow";

/// Where an eave is, metres above datum.
#[must_use]
pub fn eave(height: f64, format: Format) -> String {
    format!("eave at {}", format.length(height))
}

/// What a pitch is, degrees.
#[must_use]
pub fn pitch(degrees: f64, format: Format) -> String {
    format!("pitch {}", format.pitch(degrees.to_radians()))
}

/// Where a ridge is, metres above datum.
#[must_use]
pub fn ridge(height: f64, format: Format) -> String {
    format!("ridge at {}", format.length(height))
}
