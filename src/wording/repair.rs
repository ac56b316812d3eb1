//! A repair in words.

use super::amount::count;
use crate::roof::Roof;
use crate::takeoff::repair::RepairAnswer;
use crate::wording::units::Format;

/// How pieces of a repair are counted.
pub const COUNTED: &str = "Pieces are counted for the worst bond, one more a course than fit its width: how the old ones stand is \
                           seen when it is open. Match them to the old in size and colour, or the courses do not meet.";

/// What is renewed, on a drawing.
pub const RENEWED: &str = "renew";
/// What is lifted and laid back, on a drawing.
pub const LIFTED: &str = "lift";

/// Where it lies, what is renewed and what is lifted.
#[must_use]
pub fn what(repair: &RepairAnswer, roof: &Roof, format: Format) -> String {
    let [first, last] = repair.courses;
    let courses = if first == last { format!("course {first}") } else { format!("courses {first} to {last}") };
    let lifted = if repair.lifted > 0 {
        let caps = if repair.caps_off { ", the caps off before" } else { "" };
        format!(
            " Lifted and laid back: {} above, {}{caps}.",
            count(repair.lifted, "course", "courses"),
            count(repair.lifted_pieces as usize, "piece", "pieces")
        )
    } else if repair.caps_off {
        " The caps come off before.".to_owned()
    } else {
        String::new()
    };
    format!(
        "{}: {courses} renewed from {} to {} along the eave, {}, up to {}.{lifted}",
        roof.faces[repair.face.index()].name(),
        format.length(repair.along[0].max(0.0)),
        format.length(repair.along[1]),
        format.area(repair.area),
        count(repair.pieces as usize, "piece", "pieces")
    )
}
