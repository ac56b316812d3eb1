//! Running words on a terminal, broken to its width.

use crate::wording::lines;

/// Width of running text, characters.
const WIDTH: usize = 98;

/// With a capital to begin with.
pub(super) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A paragraph, indented.
pub(super) fn paragraph(words: &str) -> String {
    set(words, "  ", "  ")
}

/// A paragraph as a list item.
pub(super) fn wrapped(words: &str) -> String {
    set(words, "  - ", "    ")
}

/// A paragraph as a step.
pub(super) fn numbered(number: usize, words: &str) -> String {
    set(words, &format!("{number:3}. "), "     ")
}

/// What to mind in a step.
pub(super) fn cautioned(words: &str) -> String {
    set(words, "     ! ", "       ")
}

fn set(words: &str, first: &str, others: &str) -> String {
    let mut text = String::new();
    let mut line = first.to_owned();
    let mut bare = true;
    for word in lines::words(words) {
        if !bare && line.chars().count() + 1 + word.chars().count() > WIDTH {
            text.push_str(&line);
            text.push('\n');
            others.clone_into(&mut line);
            bare = true;
        }
        if !bare {
            line.push(' ');
        }
        line.push_str(&word);
        bare = false;
    }
    text.push_str(&line);
    text.push('\n');
    text
}
