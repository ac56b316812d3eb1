//! What the window tells while photos are marked point by point and faces are built of the points.

use super::amount::count;

/// What the next click does. `point`: "P4".
#[must_use]
pub fn click(point: &str) -> String {
    format!("click where {point} appears")
}

/// The same for a point that has no name yet.
#[must_use]
pub fn click_new(point: &str) -> String {
    format!("click any corner: it becomes {point}")
}

/// Where a known point must be.
pub const IN_ELLIPSE: &str = "it must lie in the ellipse";

/// Where a point of one photo must be in another.
pub const ON_LINE: &str = "it must lie on the line";

/// Nothing tells yet.
pub const ANYWHERE: &str = "nothing tells yet where";

/// Nothing is left to mark.
pub const ALL_MARKED: &str = "all known points that can be seen here are marked: take the next photo, or add a point";

/// What may be done by key.
pub const KEYS: &str = "N: not seen here";

/// A click that lies where the point can't be.
#[must_use]
pub fn elsewhere(point: &str) -> String {
    format!(
        "{point} can't appear there by what the other photos show: click where it is drawn, or with Shift to mark it all the same"
    )
}

/// What the next click does while a face is built.
#[must_use]
pub fn face(points: &[String]) -> String {
    match points {
        [] => "click the face's corners in order round it".to_owned(),
        [first, _, _, ..] => format!("{}: go on, or click {first} again (Enter) to close it", points.join(", ")),
        _ => format!("{}: go on round the face", points.join(", ")),
    }
}

/// A face that is built.
#[must_use]
pub fn built(name: &str, points: usize) -> String {
    format!("{name} built of {}; the next one begins with the next click", count(points, "point", "points"))
}

/// How many marks a photo has, on its thumbnail.
#[must_use]
pub fn marks(number: usize) -> String {
    count(number, "mark", "marks")
}

/// There are photos and no face yet.
pub const NO_FACE_YET: &str = "no face yet: mark points in the photos, then build faces of them";

/// A photo has too few marks of points that are known.
pub const NOT_PLACED: &str = "The photo is not placed yet: it takes marks of points that other measurements fix, four at least and better six, spread \
     over the picture.";

/// The text of a job that begins with photos.
pub const NEW_JOB: &str =
    "title = \"Roof from photos\"\nunits = \"m\"\n\n[covering]\ncard = \"strip-shingle\"\nwaste = \"layout\"\n";
