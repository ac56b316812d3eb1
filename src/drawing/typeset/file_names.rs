//! Names of a set's files: safe on every file system, and no two the same, upper and lower case alike.

use super::model::Drawing;
use std::collections::HashSet;

/// Longest name of a file without its ending, bytes: file systems allow 255 for the whole.
const LONGEST: usize = 120;

/// A name as part of a file's name: letters, digits and hyphens, anything else a hyphen. O(n).
#[must_use]
pub fn safe(name: &str) -> String {
    name.chars().map(|letter| if letter.is_alphanumeric() || letter == '-' { letter } else { '-' }).collect()
}

/// Shortens the names that are too long and numbers those that would fall together, so that every drawing of a set has a
/// file of its own also where upper and lower case are not told apart. Names that are short and unlike stay. O(n).
pub(crate) fn tell_apart(drawings: &mut [Drawing]) {
    let mut taken: HashSet<String> = HashSet::new();
    for drawing in drawings {
        let mut stem = drawing.name.clone();
        shorten(&mut stem, LONGEST);
        let mut name = stem.clone();
        for number in 2_usize.. {
            if taken.insert(name.to_lowercase()) {
                break;
            }
            name = format!("{stem}-{number}");
        }
        drawing.name = name;
    }
}

/// Letters "page x of y" on every drawing of a complete set, and gives each a name of its own.
pub fn number_pages(drawings: &mut [Drawing]) {
    tell_apart(drawings);
    let pages = drawings.len();
    for (index, drawing) in drawings.iter_mut().enumerate() {
        if let Some(mut slot) = drawing.page_slot.take() {
            slot.words = format!("page {} of {pages}", index + 1);
            drawing.text(slot);
        }
    }
}

/// Cuts a name to so many bytes, between two letters.
fn shorten(name: &mut String, bytes: usize) {
    if name.len() > bytes {
        let end = (0..=bytes).rev().find(|&end| name.is_char_boundary(end)).unwrap_or(0);
        name.truncate(end);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_fall_together_are_numbered() {
        let names = ["face-a-b", "face-A-b", "plan", "face-a-b-2", &"x".repeat(300), &"x".repeat(301), &"ä".repeat(90)];
        let mut set: Vec<Drawing> = names.map(|name| Drawing::new(name, "", [1.0, 1.0])).into();
        tell_apart(&mut set);
        let got: Vec<&str> = set.iter().map(|drawing| drawing.name.as_str()).collect();
        assert_eq!(got[..4], ["face-a-b", "face-A-b-2", "plan", "face-a-b-2-2"]);
        let apart: HashSet<String> = got.iter().map(|name| name.to_lowercase()).collect();
        assert_eq!(apart.len(), names.len());
        assert!(got.iter().all(|name| name.len() < 130));
    }
}
